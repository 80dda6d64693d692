// Numbers as the screen shows them: lengths 1 mm or 1/16 in, mounts as they are or 1/64 in as on
// the sheet, forces 1 N, angles 1°.

const MINUS = "−";
const INCH = 25.4;
const FINEST_STEP = 1e-4; // as in Python: of a force [N], moment [N·m] or mass [kg]
const NOISE = 1e-6;

function signed(text) {
  return text.replace("-", MINUS);
}

function whole(value) {
  const text = String(Math.round(Math.abs(value)));
  return value <= -0.5 ? MINUS + text : text;
}

// The step of a force, moment or mass: one, or on a small door (fine) that of two digits of a value
// under one, as in Python.
function forceStep(value, fine) {
  const size = Math.abs(value);
  if (!fine || size >= 1 || size < 1e-9) return 1;
  return Math.max(10 ** (Math.floor(Math.log10(size)) - 1), FINEST_STEP);
}

// A force or moment: rounded to the nearest (no value shown as -0), up or down.
function forceFigure(value, fine, round = null) {
  const step = forceStep(value, fine);
  if (round) return fineText(round(value / step - (round === Math.ceil ? NOISE : -NOISE)), step);
  if (step === 1) return whole(value);
  return fineText(Math.sign(value) * Math.round(Math.abs(value) / step + 1e-9), step);
}

function fineText(steps, step) {
  return signed(String(Number((steps * step).toFixed(4)) + 0));
}

// A tick of a value axis, with as many places as its step needs.
function tickFigure(tick) {
  return signed(String(Number(tick.toPrecision(6)) + 0));
}

// A mass: to 0.1 kg, under 1 kg to 0.01 kg, on a small door finer.
function massFigure(mass, fine) {
  if (mass >= 1) return String(Number(mass.toFixed(1)));
  return fineText(Math.round(mass / Math.min(forceStep(mass, fine), 0.01) + 1e-9),
    Math.min(forceStep(mass, fine), 0.01));
}

function degrees(angle) {
  return `${whole((angle * 180) / Math.PI)}°`;
}

// Where the travel ends, as findings and paper give it: to 0.1°.
function travelDegrees(angle) {
  return `${Math.round((angle * 1800) / Math.PI + 1e-9) / 10}°`;
}

// Rounded up, as findings round a lift-off angle.
function degreesUp(angle) {
  return `${Math.ceil((angle * 180) / Math.PI - 1e-9)}°`;
}

// A typed or snapped length keeps its half and tenth millimetres.
function millimetres(value) {
  return signed(String(Math.round(value * 10) / 10));
}

function inches(value, finest) {
  const parts = Math.round(Math.abs(value / INCH) * finest);
  const units = Math.floor(parts / finest);
  let over = parts % finest;
  let under = finest;
  while (over && over % 2 === 0) {
    over /= 2;
    under /= 2;
  }
  const fraction = over ? `${over}/${under}` : "";
  const text = [units || !over ? String(units) : "", fraction].filter(Boolean).join(" ");
  return value < 0 && parts ? MINUS + text : text;
}

function lengthFigure(value, unit) {
  return unit === "inch" ? inches(value, 16) : millimetres(value);
}

// A place that is drilled: the figure of the sheet.
function placeFigure(value, unit) {
  return unit === "inch" ? inches(value, 64) : millimetres(value);
}

function lengthWords(value, unit) {
  return unit === "inch" ? `${lengthFigure(value, unit)}″` : `${lengthFigure(value, unit)} mm`;
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
    .map((axis) => `${placeFigure(Math.abs(at[axis]), unit)} ${
      unit === "inch" ? "in" : "mm"} ${way(words, axis, at[axis])}`)
    .join(", ");
}
