// Numbers as the screen shows them: lengths 1 mm or 1/16 in, forces 1 N, angles 1°.

const MINUS = "−";
const INCH = 25.4;

function signed(text) {
  return text.replace("-", MINUS);
}

function whole(value) {
  const text = String(Math.round(Math.abs(value)));
  return value < -0.5 ? MINUS + text : text;
}

function degrees(angle) {
  return `${whole((angle * 180) / Math.PI)}°`;
}

// A typed or snapped length keeps its half and tenth millimetres.
function millimetres(value) {
  return signed(String(Math.round(value * 10) / 10));
}

function inches(value) {
  const parts = Math.round(Math.abs(value / INCH) * 16);
  const units = Math.floor(parts / 16);
  let over = parts % 16;
  let under = 16;
  while (over && over % 2 === 0) {
    over /= 2;
    under /= 2;
  }
  const fraction = over ? `${over}/${under}` : "";
  const text = [units || !over ? String(units) : "", fraction].filter(Boolean).join(" ");
  return value < 0 && parts ? MINUS + text : text;
}

function lengthFigure(value, unit) {
  return unit === "inch" ? inches(value) : millimetres(value);
}

function lengthWords(value, unit) {
  return `${lengthFigure(value, unit)} ${unit === "inch" ? "in" : "mm"}`;
}

// The step of a key press [mm]: one millimetre, or a sixteenth of an inch.
function lengthStep(unit) {
  return unit === "inch" ? INCH / 16 : 1;
}

function snapped(value, unit) {
  const step = lengthStep(unit);
  return Math.round(value / step) * step;
}

// Words for a coordinate of a mount: which way from the hinge line. words: a pair for + and -.
function way(words, axis, value) {
  return words[axis][value < 0 ? 1 : 0];
}

function placeWords(words, at, unit) {
  return [0, 1, 2]
    .map((axis) => `${lengthWords(Math.abs(at[axis]), unit)} ${way(words, axis, at[axis])}`)
    .join(", ");
}
