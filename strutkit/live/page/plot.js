// One chart: a plot area that begins 52 px from the left and ends 14 px from the right of its
// column, title above at the left, unit above at the right. The angle runs along all of them.

const PLOT_LEFT = 52;
const PLOT_RIGHT = 14;
const DEGREE = Math.PI / 180;

// Limit: an ink line with 45° ticks on the forbidden side (above: -1, below: 1 on the screen).
function limitPath(x0, x1, y, side) {
  let path = `M${x0} ${y}H${x1}`;
  for (let x = x0 + 3; x + 4 <= x1; x += 7) path += `M${x} ${y}l4.2 ${side * 4.2}`;
  return path;
}

function limitPathUpright(x, y0, y1, side) {
  let path = `M${x} ${y0}V${y1}`;
  for (let y = y0 + 2; y + 4 <= y1; y += 7) path += `M${x} ${y + 4.2}l${side * 4.2} -4.2`;
  return path;
}

// Ticks at round angles, and the end; those that would touch the figure at the end are left out.
function angleTicks(stop, width, endRoom) {
  const room = Math.max(1, Math.floor(width / 48));
  const step = [5, 10, 15, 20, 30, 45, 60, 90].find((one) => stop / DEGREE / one <= room) ?? 90;
  const ticks = [];
  for (let at = 0; at * DEGREE < stop * (1 - endRoom / width); at += step) ticks.push(at * DEGREE);
  return [...ticks, stop];
}

const SLACK = 0.05; // an area's edge passes its curve by at most so much [px]

// Which of these points [x, y], from left to right, a line needs to pass all of them within SLACK:
// from each corner it goes on as far as one straight piece can.
function corners(points) {
  const kept = [0];
  let [x, y] = points[0];
  let [least, most] = [-Infinity, Infinity];
  for (let i = 1; i < points.length; i += 1) {
    const slope = (points[i][1] - y) / (points[i][0] - x);
    if (slope < least || slope > most) {
      kept.push(i - 1);
      [x, y] = points[i - 1];
      [least, most] = [-Infinity, Infinity];
    }
    const run = points[i][0] - x;
    least = Math.max(least, (points[i][1] - SLACK - y) / run);
    most = Math.min(most, (points[i][1] + SLACK - y) / run);
  }
  return [...kept, points.length - 1];
}

class Plot {
  constructor(className, label) {
    this.node = drawing("svg", { class: `sk-chart ${className}`, role: "img", "aria-label": label });
    this.clip = `sk-clip-${Math.random().toString(36).slice(2)}`;
    this.clipRect = drawing("rect");
    this.back = drawing("g");
    this.inside = drawing("g", { "clip-path": `url(#${this.clip})` });
    this.front = drawing("g");
    this.node.append(drawing("defs", {}, drawing("clipPath", { id: this.clip }, this.clipRect)),
      this.back, this.inside, this.front);
  }

  // low, high: the value axis; stop: the end of the angle axis.
  fit({ width, height, top, bottom, low, high, stop }) {
    Object.assign(this, { width, height, top, low, high, stop });
    this.bottom = height - bottom;
    this.right = width - PLOT_RIGHT;
    this.span = this.right - PLOT_LEFT;
    assign(this.node, { width, height, viewBox: `0 0 ${width} ${height}` });
    assign(this.clipRect, { x: PLOT_LEFT, y: top - 4, width: this.span,
      height: this.bottom - top + 8 });
    // What a reader of the page needs to turn drawn points back into numbers.
    assign(this.node, { "data-left": PLOT_LEFT, "data-right": this.right, "data-top": this.top,
      "data-bottom": this.bottom, "data-low": low, "data-high": high, "data-stop": stop });
  }

  x(angle) {
    return PLOT_LEFT + (angle / this.stop) * this.span;
  }

  y(value) {
    return this.bottom - ((value - this.low) / (this.high - this.low)) * (this.bottom - this.top);
  }

  angleAt(x) {
    return Math.min(Math.max(((x - PLOT_LEFT) / this.span) * this.stop, 0), this.stop);
  }

  // Places across as a path writes them; they seldom change while curves do.
  across(angles) {
    const { written } = this;
    const same = written && written.stop === this.stop && written.span === this.span
      && written.angles.length === angles.length
      && written.angles.every((angle, i) => angle === angles[i]);
    if (!same) {
      this.written = { angles, stop: this.stop, span: this.span,
        texts: Array.from(angles, (angle) => this.x(angle).toFixed(2)) };
    }
    return this.written.texts;
  }

  path(angles, values, sign = 1) {
    const across = this.across(angles);
    let path = "";
    for (let i = 0; i < angles.length; i += 1) {
      path += `${i ? "L" : "M"}${across[i]} ${this.y(sign * values[i]).toFixed(2)}`;
    }
    return path;
  }

  // The area between two curves, edges within SLACK of the curves.
  between(angles, upper, lower, signs = [1, 1]) {
    const [there, back] = [[upper, signs[0]], [lower, signs[1]]].map(([values, sign]) => {
      const places = this.points(angles, values, sign, 1);
      return corners(places).map((i) => `${places[i][0].toFixed(2)} ${places[i][1].toFixed(2)}`);
    });
    return `M${[...there, ...back.reverse()].join("L")}Z`;
  }

  points(angles, values, sign = 1, step = 4) {
    const places = [];
    for (let i = 0; i < angles.length; i += step) {
      places.push([this.x(angles[i]), this.y(sign * values[i])]);
    }
    return places;
  }

  // Grid, figures of both axes, title, unit.
  frame({ title, unit, ticks, figure, angles = true }) {
    const parts = [
      part("text", { x: 6, y: 13, class: "sk-title" }, title),
      part("text", { x: this.right, y: 13, class: "sk-figure", "text-anchor": "end" }, unit),
    ];
    for (const tick of ticks) {
      const y = this.y(tick);
      parts.push(
        part("line", { x1: PLOT_LEFT, x2: this.right, y1: y, y2: y,
          class: tick === 0 ? "sk-zero" : "sk-grid" }),
        part("text", { x: PLOT_LEFT - 7, y: y + 4, class: "sk-figure", "text-anchor": "end" },
          figure(tick)),
      );
    }
    if (angles) {
      for (const tick of angleTicks(this.stop, this.span, 72)) {
        const last = tick === this.stop;
        parts.push(part("text", { x: last ? this.right : this.x(tick), y: this.height - 5,
          class: "sk-figure", "text-anchor": last ? "end" : "middle" },
        last ? `stop ${travelDegrees(tick)}` : degrees(tick)));
      }
    }
    redraw(this.back, parts);
  }
}

// The free places of a chart: not over the title, not over the figures at the left, not past the
// end of the axes.
function chartLabels(plot) {
  const labels = new Labels(plot.right + 3, plot.bottom + 6);
  labels.block(0, 0, plot.width, plot.top - 8, 20);
  labels.block(0, 0, PLOT_LEFT - 2, plot.height, 20);
  return labels;
}

// Where a label of a curve may stand: along it, above or below. [x, y, anchor, y of the curve]
function besideCurve(points, gap = 7) {
  const places = [];
  for (const share of [0.6, 0.7, 0.5, 0.4, 0.8, 0.3, 0.2, 0.88, 0.12]) {
    const [x, y] = points[Math.min(points.length - 1, Math.round(share * (points.length - 1)))];
    for (const more of [0, 7, 14]) {
      places.push([x, y - gap - more, "middle", y], [x, y + gap + 9 + more, "middle", y]);
    }
  }
  const [x0, y0] = points[0];
  for (const more of [0, 7, 14]) {
    places.push([x0 + 4, y0 - gap - more, "start", y0], [x0 + 4, y0 + gap + 9 + more, "start", y0]);
  }
  const [x, y] = points.at(-1);
  for (const up of [4, -3, 11]) places.push([x + gap, y + up, "start", y]);
  return places;
}

function meets(one, other) {
  return one.x < other.x + other.width && other.x < one.x + one.width
    && one.y < other.y + other.height && other.y < one.y + one.height;
}

function haloText(text, place, className, size = 12) {
  if (place === null) return part("g");
  return part("text", { x: place.x, y: place.y, "text-anchor": place.anchor,
    class: `sk-label ${className}`, "font-size": size }, text);
}
