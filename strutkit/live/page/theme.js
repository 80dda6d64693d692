// Light or dark: which set of colours suits the ground that a view stands on.

const GROUND = Symbol("ground");

// The set of colours follows the luminance of the ground behind `host`; as long as that stays the
// same there is nothing to do, and the notebook's page need not be styled anew to look.
function dress(root, host) {
  const ground = groundBehind(host);
  if (root[GROUND] === String(ground)) return;
  root[GROUND] = String(ground);
  root.classList.remove("sk-dark", "sk-own-ground");
  root.classList.toggle("sk-dark", luminance(ground) < 0.18);
  const roles = ["--sk-ink2", "--sk-fail", "--sk-weight", "--sk-open", "--sk-grab", "--sk-line"];
  const style = getComputedStyle(root);
  const weak = roles.some((role) => contrast(parseColour(style.getPropertyValue(role)), ground)
    < (role === "--sk-line" ? 3 : 4.5));
  root.classList.toggle("sk-own-ground", weak);
}

// Calls `action` whenever the notebook's theme may have changed, at most once a frame.
function themeWatch(action) {
  let frame = null;
  const watch = new MutationObserver(() => {
    frame ??= requestAnimationFrame(() => {
      frame = null;
      action();
    });
  });
  for (const node of [document.documentElement, document.body]) {
    watch.observe(node, { attributes: true, attributeFilter: ["class", "style",
      "data-jp-theme-light", "data-jp-theme-name"] });
  }
  return watch;
}

function groundBehind(node) {
  for (let one = node; one instanceof Element; one = one.parentElement) {
    const colour = parseColour(getComputedStyle(one).backgroundColor);
    if (colour[3] > 0.5) return colour;
  }
  return [255, 255, 255, 1];
}

function parseColour(text) {
  const hex = /^\s*#([0-9a-f]{6})\s*$/i.exec(text);
  if (hex) return [...[0, 2, 4].map((at) => parseInt(hex[1].slice(at, at + 2), 16)), 1];
  const numbers = (text.match(/[\d.]+/g) ?? [255, 255, 255]).map(Number);
  return [numbers[0], numbers[1], numbers[2], numbers.length > 3 ? numbers[3] : 1];
}

// Relative luminance and contrast as in WCAG 2.
function luminance([red, green, blue]) {
  const [r, g, b] = [red, green, blue].map((value) => {
    const share = value / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(one, other) {
  const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (high + 0.05) / (low + 0.05);
}
