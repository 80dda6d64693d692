// The angle slider and the charts under it: one angle axis, one cursor through all.

const PLAY_SECONDS = 4;
const STATES = { falls: "falls", rests: "stays", rises: "rises by itself" };
const DROPPING = { falls: "shuts by itself", rests: "stays", rises: "drops open" };

// Words for a panel that its weight shuts, or for one that its weight opens.
function liftWords({ lift_off: angle, drops }) {
  return `${drops ? "drops from" : "lifts off"} ${degreesUp(angle)}`;
}

// Angle slider, play button, and what the panel does by itself at each angle ----------------------

class AngleSlider {
  constructor(store) {
    this.store = store;
    this.button = button("Play", { class: "sk-play" }, icon("play"));
    this.button.addEventListener("click", () => this.togglePlay());
    this.node = drawing("svg", { class: "sk-chart sk-slider" });
    this.track = drawing("g");
    this.marks = drawing("g");
    this.thumb = drawing("g", {
      role: "slider", tabindex: 0, class: "sk-thumb", "data-lm-suppress-shortcuts": "true",
      "aria-label": "Opening angle",
    }, drawing("circle", { r: 24, class: "sk-hit" }), drawing("circle", { r: 15, class: "sk-ring" }),
    drawing("circle", { r: 8.5, class: "sk-disc" }), drawing("circle", { r: 2.5, class: "sk-dot" }));
    this.readout = drawing("text", { class: "sk-label sk-strong", "text-anchor": "middle" });
    this.node.append(this.track, this.marks, this.readout, this.thumb);
    this.box = element("div", { class: "sk-slide" }, this.button, this.node);
    this.bind();
  }

  bind() {
    dragging(this.node, {
      start: (x) => {
        this.stopPlay();
        this.store.turn(this.angleAt(x));
        this.thumb.focus({ preventScroll: true });
        return true;
      },
      move: (x) => this.store.turn(this.angleAt(x)),
      end: () => this.store.keepAngle(),
    });
    this.thumb.addEventListener("keydown", (event) => {
      const { store } = this;
      const step = (event.shiftKey ? 10 : 1) * DEGREE;
      const steps = { ArrowRight: step, ArrowUp: step, ArrowLeft: -step, ArrowDown: -step,
        PageUp: 10 * DEGREE, PageDown: -10 * DEGREE, Home: -Infinity, End: Infinity };
      if (!(event.key in steps)) return;
      event.preventDefault();
      this.stopPlay();
      const wanted = store.shownAngle + steps[event.key];
      store.turnTo(Math.min(Math.max(wanted, 0), store.end));
      store.keepAngle();
    });
  }

  angleAt(x) {
    return Math.min(((x - PLOT_LEFT) / this.span) * this.stop, this.store.end) > 0
      ? Math.min(((x - PLOT_LEFT) / this.span) * this.stop, this.store.end) : 0;
  }

  x(angle) {
    return PLOT_LEFT + (angle / this.stop) * this.span;
  }

  layout(width) {
    const { store } = this;
    this.width = width;
    this.stop = store.scene.stop_angle;
    this.span = width - PLOT_LEFT - PLOT_RIGHT;
    assign(this.node, { width, height: 66, viewBox: `0 0 ${width} 66` });
    const parts = [drawing("rect", { x: PLOT_LEFT, y: 24, width: this.span, height: 16,
      class: "sk-track" })];
    const ticks = angleTicks(this.stop, this.span, 36);
    for (const tick of ticks) {
      const last = tick === this.stop;
      parts.push(drawing("line", { x1: this.x(tick), x2: this.x(tick), y1: 40, y2: 45,
        class: "sk-tick" }));
      parts.push(drawing("text", { x: last ? this.x(tick) + 6 : this.x(tick), y: 59,
        class: "sk-figure", "text-anchor": last ? "end" : "middle" }, degrees(tick)));
    }
    for (let at = 5; at * DEGREE < this.stop; at += 5) {
      parts.push(drawing("line", { x1: this.x(at * DEGREE), x2: this.x(at * DEGREE), y1: 40, y2: 43,
        class: "sk-tick" }));
    }
    this.track.replaceChildren(...parts);
    this.update();
  }

  update() {
    const { store } = this;
    if (!store.curves || !this.stop) return;
    const { segments, lift_off: liftOff, balance, end, ended_by: endedBy, drops } = store.curves;
    const parts = [];
    for (const [low, high, word] of segments) {
      const [x0, x1] = [this.x(low), this.x(high)];
      parts.push(drawing("rect", { x: x0, y: 24, width: Math.max(0, x1 - x0), height: 16,
        class: `sk-${word}` }));
      if (word === "rests") {
        parts.push(drawing("path", { d: dotsPath(x0, x1, 24, 40), class: "sk-dots" }));
      }
      const text = (drops ? DROPPING : STATES)[word];
      const room = textWidth(text, 11.5, 400) + 10;
      const thumb = this.x(store.shownAngle);
      const centre = word === "rises" ? x1 - room / 2 : x0 + room / 2;
      if (word !== "rests" && x1 - x0 > room && Math.abs(thumb - centre) > room / 2 + 16) {
        parts.push(drawing("text", { x: word === "rises" ? x1 - 6 : x0 + 6, y: 36,
          class: "sk-figure", "text-anchor": word === "rises" ? "end" : "start" }, text));
      }
    }
    parts.push(drawing("rect", { x: PLOT_LEFT, y: 24, width: this.span, height: 16,
      class: "sk-track-edge" }));
    if (endedBy === "strut") {
      parts.push(drawing("path", { d: limitPathUpright(this.x(end), 22, 42, 1), class: "sk-limit" }));
    }
    for (const [angle] of balance) {
      parts.push(drawing("path", { d: `M${this.x(angle) - 5} 15h10l-5 8z`, class: "sk-balance" }));
    }
    if (liftOff !== null && liftOff > 0) {
      const x = this.x(liftOff);
      const thumb = this.x(store.shownAngle);
      parts.push(drawing("path", { d: `M${x} 21V43`, class: "sk-lift" }));
      const text = liftWords(store.curves);
      const width = textWidth(text, 12, 600);
      const left = Math.min(Math.max(x - width / 2, PLOT_LEFT - 6), this.width - width - 4);
      const clash = Math.abs(left + width / 2 - thumb) < width / 2 + 22;
      const beside = thumb > x ? Math.max(thumb - 22 - width, 0) : thumb + 22;
      parts.push(drawing("text", { x: clash ? beside : left, y: 11, class: "sk-label sk-strong" },
        text));
    }
    redraw(this.marks, parts);
    this.turn();
  }

  turn() {
    const { store } = this;
    if (!store.curves || !this.stop) return;
    const angle = store.shownAngle;
    const x = this.x(angle);
    assign(this.thumb, { transform: `translate(${x} 32)`, "aria-valuemin": 0,
      "aria-valuemax": Math.round(store.end / DEGREE), "aria-valuenow": Math.round(angle / DEGREE),
      "aria-valuetext": `${degrees(angle)}, ${handWords(store)}` });
    assign(this.readout, { x, y: 11 });
    setText(this.readout, degrees(angle));
  }

  togglePlay() {
    if (this.playing) this.stopPlay();
    else this.play();
  }

  play() {
    const { store } = this;
    const { end } = store;
    const from = store.shownAngle >= end - 1e-9 ? 0 : store.shownAngle;
    const steps = matchMedia("(prefers-reduced-motion: reduce)").matches ? 5 * DEGREE : 0;
    let start = null;
    this.button.replaceChildren(icon("pause"));
    assign(this.button, { "aria-label": "Pause", title: "Pause" });
    const frame = (now) => {
      start ??= now;
      const angle = Math.min(end, from + ((now - start) / 1000 / PLAY_SECONDS) * end);
      const shown = steps && angle < end ? Math.floor(angle / steps) * steps : angle;
      store.turn(shown);
      if (angle < end) this.playing = requestAnimationFrame(frame);
      else this.stopPlay();
    };
    this.playing = requestAnimationFrame(frame);
  }

  stopPlay() {
    if (!this.playing) return;
    cancelAnimationFrame(this.playing);
    this.playing = null;
    this.button.replaceChildren(icon("play"));
    assign(this.button, { "aria-label": "Play", title: "Play" });
    this.store.keepAngle();
  }
}

function handWords(store) {
  const opening = store.at("opening");
  const closing = store.at("closing");
  const words = [];
  if (opening > 0.5) words.push(`push to open ${whole(opening)} N`);
  if (closing > 0.5) words.push(`push to shut ${whole(closing)} N`);
  return words.join(", ") || "stays where it is put";
}

// Dots for friction and rest: 1.6 px each 5 px.
function dotsPath(x0, x1, y0, y1) {
  let path = "";
  for (let y = y0 + 3; y < y1 - 1; y += 5) {
    for (let x = x0 + 2.5; x < x1 - 1; x += 5) path += `M${x.toFixed(1)} ${y}h0`;
  }
  return path;
}

// A chart with curves, a cursor and labels that hold their place during a drag --------------------

class CurveChart {
  constructor(store, className, label) {
    this.store = store;
    this.plot = new Plot(className, label);
    this.node = this.plot.node;
    this.cursor = drawing("line", { class: "sk-cursor" });
    this.dots = drawing("g");
    this.stamp = drawing("g", { class: "sk-stamp" });
    this.labels = drawing("g");
    this.lines = {};
    dragging(this.node, {
      start: (x) => {
        if (x < PLOT_LEFT - 6) return false;
        this.store.turn(Math.min(this.plot.angleAt(x), this.store.end));
        return true;
      },
      move: (x) => this.store.turn(Math.min(this.plot.angleAt(x), this.store.end)),
      end: () => this.store.keepAngle(),
    });
  }

  line(name, className) {
    this.lines[name] = drawing("path", { class: className, "data-curve": name });
    this.plot.inside.append(this.lines[name]);
    return this.lines[name];
  }

  finish() {
    this.plot.front.append(this.labels, this.cursor, this.dots, this.stamp);
  }

  layout(width, height, angles) {
    this.stamped = null;
    const axis = this.store.axes[this.axisName];
    this.plot.fit({ width, height, top: 24, bottom: angles ? 24 : 8, low: axis.low, high: axis.high,
      stop: this.store.scene.stop_angle });
    this.plot.frame({ title: this.title, unit: this.unit, ticks: axis.ticks, angles,
      figure: (tick) => this.tickFigure(tick) });
    this.update();
    this.relabel();
  }

  tickFigure(tick) {
    return whole(tick);
  }

  turn() {
    if (!this.store.curves || !this.plot.width) return;
    const x = this.plot.x(this.store.shownAngle);
    assign(this.cursor, { x1: x, x2: x, y1: this.plot.top - 6, y2: this.plot.bottom + 4 });
    redraw(this.dots, this.cursorDots(x));
  }

  // A dot on each curve with its figure, the upper figure above, the lower below.
  dotPair(x, pairs) {
    const parts = [];
    const [first, second] = pairs.map(({ value }) => this.plot.y(value));
    const rightEdge = x > this.plot.right - 40;
    pairs.forEach(({ value, text, className }, index) => {
      const y = this.plot.y(value);
      if (y < this.plot.top - 4 || y > this.plot.bottom + 4) return;
      const upper = index === 0 ? first <= second : second < first;
      parts.push(drawing("circle", { cx: x, cy: y, r: 3.4, class: `sk-point ${className}` }));
      if (text) {
        const left = (upper || rightEdge) && x > PLOT_LEFT + 34;
        parts.push(drawing("text", { x: left ? x - 7 : x + 7, y: upper ? y - 4 : y + 13,
          "text-anchor": left ? "end" : "start", class: `sk-label sk-strong ${className}` }, text));
      }
    });
    return parts;
  }

  stale() {
    const { store } = this;
    const text = store.refused ? "last place that fits" : store.waiting ? "waiting" : "";
    if (text === this.stamped) return;
    this.stamped = text;
    this.node.classList.toggle("sk-stale", store.waiting);
    if (!text) {
      this.stamp.replaceChildren();
      return;
    }
    const width = textWidth(text, 12, 400) + 14;
    const right = this.plot.right - 36;
    this.stamp.replaceChildren(
      drawing("rect", { x: right - width, y: 1, width, height: 19 }),
      drawing("text", { x: right - width / 2, y: 14.5, "text-anchor": "middle" }, text),
    );
  }
}

class MomentChart extends CurveChart {
  constructor(store) {
    super(store, "sk-moment", "Moment about the hinge line against opening angle");
    this.axisName = "moment";
    this.title = "Moment about the hinge line";
    this.unit = "N·m";
    this.line("strut_band", "sk-band sk-struts");
    this.line("weight_band", "sk-band sk-weight");
    this.line("weight_moment", "sk-curve sk-weight sk-dashed");
    this.line("strut_moment", "sk-curve sk-struts");
    this.balance = drawing("g");
    this.plot.front.append(this.balance);
    this.finish();
  }

  update() {
    const { arrays, balance } = this.store.curves;
    const { plot, lines } = this;
    const [angle] = arrays.angle;
    const [band] = arrays.band_angle;
    assign(lines.strut_band, { d: plot.between(band, arrays.strut_high[0], arrays.strut_low[0]) });
    assign(lines.weight_band, { d: plot.between(band, arrays.weight_high[0], arrays.weight_low[0]) });
    assign(lines.weight_moment, { d: plot.path(angle, arrays.weight_moment[0]) });
    const struts = this.store.scene.struts.length > 0;
    assign(lines.strut_moment, { d: struts ? plot.path(angle, arrays.strut_moment[0]) : null });
    redraw(this.balance, balance.map(([at]) => drawing("circle", { cx: plot.x(at),
      cy: plot.y(this.store.at("weight_moment", at)), r: 4, class: "sk-crossing" })));
    this.turn();
  }

  relabel() {
    const { arrays } = this.store.curves;
    const { plot } = this;
    const labels = chartLabels(plot);
    const [angle] = arrays.angle;
    const struts = plot.points(angle, arrays.strut_moment[0]);
    const weight = plot.points(angle, arrays.weight_moment[0]);
    labels.block(plot.x(this.store.shownAngle) - 18, plot.top, 36, plot.height);
    labels.blockLine(struts);
    labels.blockLine(weight);
    const [band] = arrays.band_angle;
    const low = plot.points(band, arrays.weight_low[0]);
    const high = plot.points(band, arrays.weight_high[0]);
    for (let i = 1; i < low.length; i += 1) {
      labels.block(low[i - 1][0], high[i][1], low[i][0] - low[i - 1][0] + 1,
        Math.max(2, low[i][1] - high[i][1]), 0.4);
    }
    const parts = [];
    if (this.store.scene.struts.length) {
      const lifts = mean(arrays.strut_moment[0]) >= 0;
      const text = lifts ? "struts lift" : "struts hold back";
      parts.push(haloText(text, labels.place(text, besideCurve(struts), { weight: 600 }),
        "sk-strong sk-struts"));
    } else {
      const text = "No strut yet: add one or suggest a start";
      parts.push(haloText(text, labels.place(text, [[plot.x(plot.stop / 2), plot.y(0) - 8, "middle"],
        [plot.x(plot.stop / 2), plot.top + 14, "middle"]]), "sk-struts"));
    }
    const pulls = mean(arrays.weight_moment[0]) >= 0 ? "weight pulls down" : "weight opens";
    parts.push(haloText(pulls, labels.place(pulls, besideCurve(weight), { weight: 600 }),
      "sk-strong sk-weight"));
    if (this.store.scene.conditions.length > 1) {
      const edge = plot.points(band, arrays.strut_high[0]);
      const floor = plot.points(band, arrays.strut_low[0]);
      const text = "all in service";
      const places = edge.flatMap(([x, y], i) => [[x, y + 14, "end"], [x, floor[i][1] - 6, "end"],
        [x, y - 5, "end"]]).reverse().filter(([x]) => x > PLOT_LEFT + 100);
      parts.push(haloText(text, labels.place(text, places), "sk-struts"));
    }
    redraw(this.labels, parts);
    this.stale();
  }

  cursorDots(x) {
    const struts = this.store.at("strut_moment");
    const weight = this.store.at("weight_moment");
    const pairs = [{ value: weight, text: whole(weight), className: "sk-weight" }];
    if (this.store.scene.struts.length) {
      pairs.push({ value: struts, text: whole(struts), className: "sk-struts" });
    }
    return this.dotPair(x, pairs);
  }
}

function mean(values) {
  let sum = 0;
  for (const value of values) sum += value;
  return sum / values.length;
}

// Hand force, signed: push to open upward, push to shut downward, both figured positive.
class ForceChart extends CurveChart {
  constructor(store) {
    super(store, "sk-force", "Hand force at the handle against opening angle");
    this.axisName = "force";
    this.title = "Hand force at the handle";
    this.unit = "N";
    this.over = drawing("g");
    this.plot.inside.append(this.over);
    const pattern = `sk-friction-${Math.random().toString(36).slice(2)}`;
    this.node.firstChild.append(drawing("pattern", { id: pattern, width: 5, height: 5,
      patternUnits: "userSpaceOnUse" }, drawing("circle", { cx: 2.5, cy: 2.5, r: 0.8,
      class: "sk-pattern-dot" })));
    this.line("friction", "sk-friction");
    assign(this.lines.friction, { fill: `url(#${pattern})` });
    this.line("worst_opening", "sk-worst sk-open");
    this.line("worst_closing", "sk-worst sk-shut");
    this.line("opening", "sk-curve sk-open sk-dashed");
    this.line("closing", "sk-curve sk-shut");
    this.limits = drawing("g");
    this.plot.front.append(this.limits);
    this.finish();
  }

  tickFigure(tick) {
    return whole(Math.abs(tick));
  }

  update() {
    const { arrays } = this.store.curves;
    const { plot, lines } = this;
    const { limits } = this.store.scene;
    const [angle] = arrays.angle;
    const [band] = arrays.band_angle;
    assign(lines.friction, { d: plot.between(angle, arrays.opening[0], arrays.closing[0], [1, -1]) });
    assign(lines.opening, { d: plot.path(angle, arrays.opening[0]) });
    assign(lines.closing, { d: plot.path(angle, arrays.closing[0], -1) });
    assign(lines.worst_opening, { d: plot.path(band, arrays.worst_opening[0]) });
    assign(lines.worst_closing, { d: plot.path(band, arrays.worst_closing[0], -1) });
    const lines_ = [];
    const over = [];
    for (const [name, limit, sign] of [["worst_opening", limits.hand_opening, 1],
      ["worst_closing", limits.hand_closing, -1]]) {
      if (limit === null) continue;
      const y = plot.y(sign * limit);
      lines_.push(drawing("path", { d: limitPath(PLOT_LEFT, plot.right, y, -sign),
        class: "sk-limit" }));
      const raised = Float32Array.from(arrays[name][0], (value) => Math.max(value, limit));
      if (raised.some((value) => value > limit)) {
        const line = Float32Array.from(raised, () => limit);
        over.push(drawing("path", { d: plot.between(band, raised, line, [sign, sign]),
          class: "sk-over" }));
      }
    }
    redraw(this.over, over);
    redraw(this.limits, lines_);
    this.turn();
  }

  relabel() {
    const { arrays } = this.store.curves;
    const { plot } = this;
    const { limits } = this.store.scene;
    const [angle] = arrays.angle;
    const [band] = arrays.band_angle;
    const labels = chartLabels(plot);
    const opening = plot.points(angle, arrays.opening[0]);
    const closing = plot.points(angle, arrays.closing[0], -1);
    const worst = { opening: plot.points(band, arrays.worst_opening[0]),
      closing: plot.points(band, arrays.worst_closing[0], -1) };
    labels.block(plot.x(this.store.shownAngle) - 14, plot.top, 28, plot.height, 0.6);
    for (const points of [opening, closing, worst.opening, worst.closing]) labels.blockLine(points);
    for (const [limit, sign] of [[limits.hand_opening, 1], [limits.hand_closing, -1]]) {
      if (limit === null) continue;
      labels.block(PLOT_LEFT, plot.y(sign * limit) - (sign > 0 ? 6 : 2), plot.span, 8);
    }
    const parts = [];
    for (const [name, sign] of [["opening", 1], ["closing", -1]]) {
      parts.push(...this.overLabel(labels, name, sign, worst[name]));
    }
    const put = (text, places, className, options) => {
      parts.push(haloText(text, labels.place(text, places, options), className));
    };
    put("push to open", besideCurve(opening), "sk-strong sk-open", { weight: 600 });
    put("push to shut", besideCurve(closing), "sk-strong sk-shut", { weight: 600 });
    for (const [limit, sign, word] of [[limits.hand_opening, 1, "open"],
      [limits.hand_closing, -1, "shut"]]) {
      if (limit === null) continue;
      const y = plot.y(sign * limit) + (sign > 0 ? 15 : -7);
      const other = plot.y(sign * limit) + (sign > 0 ? -9 : 18);
      put(`limit to ${word} ${whole(limit)}`, [[plot.right, y, "end"], [PLOT_LEFT + 5, y, "start"],
        [PLOT_LEFT + 5, other, "start"], [plot.right, other, "end"]], "sk-quiet");
    }
    if (this.store.scene.conditions.length > 1) {
      for (const name of ["opening", "closing"]) {
        const gapped = worst[name].filter(([x], i) => i % 3 === 0 && x > PLOT_LEFT + 44).reverse();
        if (worstApart(arrays, name)) {
          put("worst in service", gapped.flatMap(([x, y]) => [[Math.min(x, plot.right), y - 5, "end"],
            [Math.min(x, plot.right), y + 14, "end"]]), name === "opening" ? "sk-open" : "sk-shut");
        }
      }
    }
    parts.push(...this.frictionLabel(labels, opening, closing));
    redraw(this.labels, parts);
    this.stale();
  }

  overLabel(labels, name, sign, points) {
    const limit = this.store.scene.limits[name === "opening" ? "hand_opening" : "hand_closing"];
    const values = this.store.curves.arrays[`worst_${name}`][0];
    let top = 0;
    for (let i = 0; i < values.length; i += 1) if (values[i] > values[top]) top = i;
    if (limit === null || !(values[top] > limit)) return [];
    const text = `${Math.ceil(values[top] - 1e-6)} N to ${name === "opening" ? "open" : "shut"}`;
    const x = this.plot.x(this.store.curves.arrays.band_angle[0][top]);
    const y = Math.min(Math.max(this.plot.y(sign * values[top]), this.plot.top), this.plot.bottom);
    const away = sign > 0 ? y - 6 : y + 15;
    const places = [0, 30, -30, 60, -60, 90, -90].map((dx) => [x + dx, away, "middle"]);
    const back = this.plot.y(sign * limit) + (sign > 0 ? 15 : -8);
    places.push([x, back, "middle"], [x - 40, back, "middle"], [x + 40, back, "middle"]);
    const place = labels.place(text, places, { weight: 600 });
    return [haloText(text, place, "sk-strong sk-fails")];
  }

  frictionLabel(labels, opening, closing) {
    const widest = opening.map(([x, y], i) => [closing[i][1] - y, x, (closing[i][1] + y) / 2])
      .sort((a, b) => b[0] - a[0])[0];
    if (widest[0] < 8) return [];
    const [, x, y] = widest;
    const places = [[x, y - 34, "middle"], [x, y + 44, "middle"], [x - 50, y - 40, "middle"],
      [x - 50, y + 50, "middle"], [x + 40, y - 40, "middle"], [x + 40, y + 50, "middle"]];
    const place = labels.place("friction", places, { size: 11.5 });
    const end = place.y < y ? place.y + 3 : place.y - 12;
    return [drawing("line", { x1: place.x, y1: end, x2: x, y2: y, class: "sk-leader" }),
      haloText("friction", place, "sk-quiet", 11.5)];
  }

  cursorDots(x) {
    const opening = this.store.at("opening");
    const closing = this.store.at("closing");
    const text = (value) => (value > 0.5 ? whole(value) : "");
    return this.dotPair(x, [{ value: opening, text: text(opening), className: "sk-open" },
      { value: -closing, text: text(closing), className: "sk-shut" }]);
  }
}

function worstApart(arrays, name) {
  const worst = arrays[`worst_${name}`][0];
  const shown = arrays[name][0];
  const count = Math.min(worst.length, shown.length);
  let most = 0;
  for (let i = 0; i < count; i += 1) most = Math.max(most, worst[i] - shown[i]);
  return most > 3;
}

// Strut length within its travel: the fitted struts, both ends of the stroke, what is to be kept.
class LengthChart extends CurveChart {
  constructor(store) {
    super(store, "sk-length", "Strut length against opening angle");
    this.axisName = "length";
    this.limits = drawing("g");
    this.curves = drawing("g");
    this.plot.inside.append(this.curves);
    this.plot.front.append(this.limits);
    this.finish();
  }

  get title() {
    return "Strut length within its travel";
  }

  get strut() {
    return this.store.strutAt(this.store.selected.place);
  }

  get row() {
    return Math.max(0, this.store.scene.struts.indexOf(this.strut));
  }

  get unit() {
    return this.store.unit;
  }

  layout(width, height, angles) {
    const strut = this.strut;
    if (!strut) return;
    const room = strut.stroke * 0.12;
    this.store.axes.length = { low: strut.extended - strut.stroke - room,
      high: strut.extended + room, ticks: lengthTicks(strut.extended - strut.stroke, strut.extended,
        this.unit) };
    super.layout(width, height, angles);
  }

  update() {
    const { arrays } = this.store.curves;
    const { plot, strut } = this;
    const { scene } = this.store;
    if (!strut || !arrays.strut_length[this.row]) return;
    redraw(this.curves, [drawing("path", { class: "sk-curve sk-struts",
      "data-curve": "strut_length", d: plot.path(arrays.angle[0], arrays.strut_length[this.row]) })]);
    const parts = [];
    const ends = [[strut.extended, -1], [strut.extended - strut.stroke, 1]];
    for (const [value, side] of ends) {
      parts.push(drawing("path", { d: limitPath(PLOT_LEFT, plot.right, plot.y(value), side),
        class: "sk-limit" }));
    }
    const kept = [[scene.limits.travel_extended, strut.extended, -1],
      [scene.limits.travel_compressed, strut.extended - strut.stroke, 1]];
    for (const [limit, end, sign] of kept) {
      if (limit === null) continue;
      const y = plot.y(end + sign * limit * 1000);
      parts.push(drawing("line", { x1: PLOT_LEFT, x2: plot.right, y1: y, y2: y, class: "sk-kept" }));
    }
    redraw(this.limits, parts);
    this.turn();
  }

  relabel() {
    const { plot, strut } = this;
    if (!strut) return;
    const labels = chartLabels(plot);
    const points = plot.points(this.store.curves.arrays.angle[0],
      this.store.curves.arrays.strut_length[this.row]);
    labels.blockLine(points);
    labels.block(plot.x(this.store.shownAngle) - 16, plot.top, 32, plot.height, 0.6);
    const parts = [];
    const put = (text, places, className, options) => {
      parts.push(haloText(text, labels.place(text, places, options), className));
    };
    const { unit } = this.store;
    const high = plot.y(strut.extended) + 15;
    const low = plot.y(strut.extended - strut.stroke) - 7;
    put(`fully out ${lengthWords(strut.extended, unit)}`, [[PLOT_LEFT + 5, high],
      [plot.right, high, "end"]], "sk-quiet");
    put(`fully in ${lengthWords(strut.extended - strut.stroke, unit)}`, [[plot.right, low, "end"],
      [PLOT_LEFT + 5, low]], "sk-quiet");
    put(strut.name, besideCurve(points), "sk-strong sk-struts", { weight: 600 });
    redraw(this.labels, parts);
    this.stale();
  }

  tickFigure(tick) {
    return lengthFigure(tick, this.unit);
  }

  cursorDots(x) {
    const value = this.store.at("strut_length", this.store.shownAngle, this.row);
    const text = this.unit === "inch" ? lengthFigure(value, "inch") : whole(value);
    return this.dotPair(x, [{ value, text, className: "sk-struts" }]);
  }
}

// Round lengths of the unit shown [mm]: at most about four, in inches by halves of halves.
function lengthTicks(low, high, unit) {
  const raw = (high - low) / 4;
  const power = 10 ** Math.floor(Math.log10(raw));
  const steps = unit === "inch" ? [1, 2, 4, 8, 16, 32, 64, 160, 320].map((one) => (one * INCH) / 16)
    : [1, 2, 2.5, 5, 10].map((one) => one * power);
  const step = steps.find((one) => one >= raw) ?? steps.at(-1);
  const ticks = [];
  for (let at = Math.ceil(low / step) * step; at <= high + 1e-9; at += step) ticks.push(at);
  return ticks;
}

// Radial load at each hinge point, held by the hand.
class HingeChart extends CurveChart {
  constructor(store) {
    super(store, "sk-hinge-loads", "Load at each hinge point against opening angle");
    this.axisName = "hinge";
    this.title = "Load at each hinge point";
    this.unit = "N";
    this.line("first", "sk-curve sk-inked");
    this.line("second", "sk-curve sk-inked sk-dashed");
    this.limits = drawing("g");
    this.plot.front.append(this.limits);
    this.finish();
  }

  update() {
    const { arrays } = this.store.curves;
    const { plot } = this;
    assign(this.lines.first, { d: plot.path(arrays.angle[0], arrays.first[0]) });
    assign(this.lines.second, { d: plot.path(arrays.angle[0], arrays.second[0]) });
    const limit = this.store.scene.limits.hinge_radial;
    redraw(this.limits, limit === null ? [] : [drawing("path", { class: "sk-limit",
      d: limitPath(PLOT_LEFT, plot.right, plot.y(limit), -1) })]);
    this.turn();
  }

  get alike() {
    const { first, second } = this.store.curves.arrays;
    let apart = 0;
    for (let i = 0; i < first[0].length; i += 1) {
      apart = Math.max(apart, Math.abs(first[0][i] - second[0][i]));
    }
    return apart < 1;
  }

  relabel() {
    const { plot } = this;
    const { arrays } = this.store.curves;
    const labels = chartLabels(plot);
    const first = plot.points(arrays.angle[0], arrays.first[0]);
    const second = plot.points(arrays.angle[0], arrays.second[0]);
    labels.blockLine(first);
    labels.blockLine(second);
    labels.block(plot.x(this.store.shownAngle) - 16, plot.top, 32, plot.height, 0.6);
    const parts = [];
    const put = (text, points) => parts.push(haloText(text,
      labels.place(text, besideCurve(points), { weight: 600 }), "sk-strong sk-inked"));
    if (this.alike) put("first and second alike", first);
    else {
      put("first", first);
      put("second", second);
    }
    redraw(this.labels, parts);
    this.stale();
  }

  cursorDots(x) {
    const first = this.store.at("first");
    const second = this.store.at("second");
    const pairs = [{ value: first, text: whole(first), className: "sk-inked" }];
    if (!this.alike) pairs.push({ value: second, text: whole(second), className: "sk-inked" });
    return this.dotPair(x, pairs);
  }
}
