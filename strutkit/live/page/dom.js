// Elements, drawings and labels. Text from a door enters as text nodes only, never as markup.

const DRAWING = "http://www.w3.org/2000/svg";

// What was written to a drawing: to read it back from the page costs more than to write it.
const WRITTEN = Symbol("written");

function assign(node, attributes) {
  for (const [name, value] of Object.entries(attributes)) write(node, name, value);
  return node;
}

// An attribute that is written again costs the browser a new look at the node, even when the same.
function write(node, name, value) {
  const written = node[WRITTEN];
  if (written) {
    if (written[name] === value) return;
    written[name] = value;
  }
  if (value === null || value === undefined || value === false) {
    node.removeAttribute(name);
    return;
  }
  const text = value === true ? "" : String(value);
  if (written || node.getAttribute(name) !== text) node.setAttribute(name, text);
}

function element(tag, attributes = {}, ...children) {
  return withChildren(assign(document.createElement(tag), attributes), children);
}

function drawing(tag, attributes = {}, ...children) {
  const node = document.createElementNS(DRAWING, tag);
  node[WRITTEN] = {};
  return withChildren(assign(node, attributes), children);
}

// A drawing as it is to be, for `redraw`: parts and texts in it.
function part(tag, attributes = {}, ...children) {
  return { tag, attributes, children };
}

function withChildren(node, children) {
  node.append(...children.filter((child) => child !== null && child !== undefined)
    .map((child) => (typeof child === "string" ? marked(child) : child)));
  return node;
}

// Characters that cannot be seen, such as those that turn the direction of what follows, as paper
// shows them: by their numbers (Unicode's format characters, line and paragraph separators).
function marked(text) {
  return text.replace(/[\p{Cf}\p{Zl}\p{Zp}]/gu, (letter) =>
    `[U+${letter.codePointAt(0).toString(16).toUpperCase().padStart(4, "0")}]`);
}

// Draws these parts in a group. What is there already stays and is changed where it differs: the
// browser then lays out and paints only that. Not for parts that listen to events.
function redraw(group, parts) {
  let there = group.firstChild;
  for (const one of parts) {
    const following = there ? there.nextSibling : null;
    if (there === null) group.append(made(one));
    else renew(there, one);
    there = following;
  }
  while (there) {
    const following = there.nextSibling;
    there.remove();
    there = following;
  }
}

function made(one) {
  if (typeof one === "string") return document.createTextNode(marked(one));
  return drawing(one.tag, one.attributes, ...one.children.map(made));
}

function renew(there, one) {
  if (typeof one === "string" && there.nodeType === Node.TEXT_NODE) {
    const text = marked(one);
    if (there.data !== text) there.data = text;
    return;
  }
  if (there.localName !== one.tag) {
    there.replaceWith(made(one));
    return;
  }
  for (const name of Object.keys(there[WRITTEN])) {
    if (!(name in one.attributes)) write(there, name, null);
  }
  assign(there, one.attributes);
  if (there.firstChild || one.children.length) redraw(there, one.children);
}

// Moves circles, without a transform: one that changes makes the browser sort the layers of the
// whole page anew.
function centre(circles, x, y) {
  for (const one of circles) assign(one, { cx: x.toFixed(2), cy: y.toFixed(2) });
}

// The notebook's own shortcuts and its menu of cells leave what a hand works alone.
const OURS = { "data-lm-suppress-shortcuts": "true", "data-jp-suppress-context-menu": "true" };

// A control that can be focused.
function control(tag, attributes = {}, ...children) {
  return element(tag, { ...OURS, ...attributes }, ...children);
}

function button(label, attributes = {}, ...children) {
  return control("button", { type: "button", title: label, "aria-label": label, ...attributes },
    ...children);
}

// Options of a list, changed only where they differ, so that an open list stays open.
function setOptions(select, options) {
  const same = select.options.length === options.length
    && options.every(([value, text], i) => select.options[i].value === value
      && select.options[i].textContent === marked(text));
  if (same) return;
  select.replaceChildren(...options.map(([value, text]) => element("option", { value }, text)));
}

// The text node stays: one that is taken out and put in costs the browser a new layout around it.
function setText(node, written) {
  const text = marked(String(written));
  const [only, more] = node.childNodes;
  if (only?.nodeType === Node.TEXT_NODE && !more) {
    if (only.data !== text) only.data = text;
  } else if (node.textContent !== text) node.textContent = text;
}

function show(node, visible) {
  node.hidden = !visible;
}

// Makes a change. What has the focus in this node and cannot keep it hands it to `heir`, else to what
// stands around it: the keys stay in the view. A focus that is elsewhere stays there.
function keepingFocus(node, change, heir = null) {
  const focused = document.activeElement;
  const inside = node.contains(focused);
  const around = [];
  for (let one = focused; one; one = one.parentElement) around.push(one);
  change();
  const now = document.activeElement;
  if (!inside || canFocus(focused) || (now !== focused && now !== document.body)) return;
  const next = [heir, ...around].find((one) => one && canFocus(one));
  if (next.tabIndex < 0) next.tabIndex = -1;
  next.focus({ preventScroll: true });
}

function canFocus(node) {
  return node.isConnected && !node.disabled && !node.closest("[hidden]");
}

// Signs of 16 px, told apart by shape: filled square with cross, ring with tick, dashed ring with
// dash, open diamond with wave.
function stateSign(state, size = 16) {
  const shapes = {
    fails: [["rect", { x: 1, y: 1, width: 14, height: 14, class: "sk-solid" }],
      ["path", { d: "M5 5l6 6M11 5l-6 6", class: "sk-cut" }]],
    passes: [["circle", { cx: 8, cy: 8, r: 6.6 }], ["path", { d: "M4.8 8.3l2.2 2.3 4.2-4.8" }]],
    "not judged": [["circle", { cx: 8, cy: 8, r: 6.6, "stroke-dasharray": "2.2 1.9" }],
      ["path", { d: "M5 8h6" }]],
    assumed: [["path", { d: "M8 1l7 7-7 7-7-7z" }],
      ["path", { d: "M4.6 8.4q1.7-2.2 3.4-.4t3.4-.4" }]],
  };
  const parts = shapes[state].map(([tag, attributes]) => drawing(tag, attributes));
  return drawing("svg", { class: `sk-sign sk-${state.replace(" ", "-")}`, viewBox: "0 0 16 16",
    width: size, height: size, "aria-hidden": "true" }, ...parts);
}

// Icons of the toolbar, drawn on 16 px.
const ICONS = {
  undo: "M6 3.5L3 6.5l3 3M3.5 6.5h5.5a3.5 3.5 0 0 1 0 7H7",
  redo: "M10 3.5l3 3-3 3M12.5 6.5H7a3.5 3.5 0 0 0 0 7h2",
  save: "M8 2v8M4.8 7L8 10.2 11.2 7M2.5 11.5v2.5h11v-2.5",
  sheet: "M3.5 1.5h6l3 3v10h-9zM9.5 1.5v3h3M5.5 8h5M5.5 11h5",
  papers: "M5.5 1.5h8.5v10.5h-8.5zM5.5 4h-3.5v10.5h8.5v-2.5M8 5h3.5M8 8h3.5",
  open: "M1.5 13.5v-11h4.5l1.5 2h6v2M1.5 13.5l2.5-7h11l-2.5 7z",
  reset: "M3.2 6a5.3 5.3 0 1 1-.4 3.4M3 2.5V6h3.5",
  less: "M3 8h10",
  more: "M3 8h10M8 3v10",
  whole: "M2 5.5V2h3.5M10.5 2H14v3.5M14 10.5V14h-3.5M5.5 14H2v-3.5",
  play: "M4.5 2.5l8.5 5.5-8.5 5.5z",
  pause: "M5 3v10M11 3v10",
};

function icon(name) {
  return drawing("svg", { class: "sk-icon", viewBox: "0 0 16 16", width: 16, height: 16,
    "aria-hidden": "true" }, drawing("path", { d: ICONS[name] }));
}

let ruler = null;
let family = "sans-serif";
const widths = new Map();

function useFamily(name) {
  if (name) family = name;
}

// Width of a text in the page's own font [px].
function textWidth(text, size = 12, weight = 400) {
  const font = `${weight} ${size}px ${family}`;
  const key = font + text;
  if (!widths.has(key)) {
    if (widths.size > 2000) widths.clear();
    ruler ??= document.createElement("canvas").getContext("2d");
    ruler.font = font;
    widths.set(key, ruler.measureText(text).width);
  }
  return widths.get(key);
}

// The text, cut to this width [px].
function fitted(text, width, size = 12, weight = 400) {
  if (textWidth(text, size, weight) <= width) return text;
  const letters = [...text];
  while (letters.length > 1 && textWidth(`${letters.join("")}…`, size, weight) > width) letters.pop();
  return `${letters.join("").trimEnd()}…`;
}

const APART = 4; // between labels beside each other [px]

// Finds a free place for each label of one picture: the first of its places that meets nothing,
// else the one that meets least.
class Labels {
  constructor(width, height) {
    this.width = width;
    this.height = height;
    this.taken = [];
  }

  block(x, y, width, height, weight = 1) {
    this.taken.push({ x, y, width, height, weight });
  }

  blockLine(points, weight = 3, half = 3) {
    for (let i = 1; i < points.length; i += 1) {
      const [[x0, y0], [x1, y1]] = [points[i - 1], points[i]];
      const pieces = Math.max(1, Math.ceil(Math.hypot(x1 - x0, y1 - y0) / 5));
      for (let k = 0; k < pieces; k += 1) {
        const t = (k + 0.5) / pieces;
        this.block(x0 + t * (x1 - x0) - half, y0 + t * (y1 - y0) - half, 2 * half, 2 * half,
          weight);
      }
    }
  }

  cost(box) {
    const out = Math.max(0, 2 - box.x) + Math.max(0, box.x + box.width - this.width + 2)
      + Math.max(0, 1 - box.y) + Math.max(0, box.y + box.height - this.height + 1);
    let sum = out * 400;
    for (const other of this.taken) {
      const across = Math.min(box.x + box.width, other.x + other.width) - Math.max(box.x, other.x);
      const down = Math.min(box.y + box.height, other.y + other.height) - Math.max(box.y, other.y);
      if (across > 0 && down > 0) sum += across * down * other.weight;
    }
    return sum;
  }

  // places: [x, y, anchor] of the text's baseline; returns the one taken, null where there are none
  // or all of them cost more than `most`.
  place(text, places, { size = 12, weight = 400, enough = 4, most = Infinity } = {}) {
    const width = textWidth(text, size, weight);
    const height = size * 1.2;
    let best = null;
    for (const [x, y, anchor = "start"] of places) {
      const left = anchor === "end" ? x - width : anchor === "middle" ? x - width / 2 : x;
      const box = { x: left, y: y - size * 0.95, width, height };
      const cost = this.cost(box);
      if (best === null || cost < best.cost) best = { cost, box, x, y, anchor };
      if (cost <= enough) break;
    }
    if (best === null || best.cost > most) return null;
    const { x, width: wide } = best.box;
    this.taken.push({ ...best.box, x: x - APART, width: wide + 2 * APART, weight: 8 });
    return best;
  }
}
