// Charts over the opening angle: one axis, one cursor through all. Moments and hand forces.

const SPARED = 120; // a label that can be spared is left out where every place costs more

// A chart with curves, a cursor and labels that hold their place during a drag.

class CurveChart {
  constructor(store, className, label) {
    this.store = store;
    this.plot = new Plot(className, label);
    this.node = this.plot.node;
    this.cursor = drawing("line", { class: "sk-cursor" });
    this.dots = drawing("g");
    this.stamp = drawing("g", { class: "sk-stamp" });
    this.labels = drawing("g", { class: "sk-curve-labels" });
    this.written = []; // {box, node} of each label
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
    this.plot.front.append(this.cursor, this.labels, this.dots, this.stamp);
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
    return tickFigure(tick);
  }

  // Values under one have two digits: on a small door, and where the axis has finer steps.
  get fine() {
    const { ticks } = this.store.axes[this.axisName];
    return this.store.scene.small || ticks[1] - ticks[0] < 1;
  }

  turn() {
    if (!this.store.curves || !this.plot.width) return;
    const x = this.plot.x(this.store.shownAngle);
    assign(this.cursor, { x1: x, x2: x, y1: this.plot.top - 6, y2: this.plot.bottom + 4 });
    const figures = this.figures(x, this.written.map((one) => one.box));
    redraw(this.dots, figures.flatMap(({ y, text, place, className }) => [
      part("circle", { cx: x, cy: y, r: 3.4, class: `sk-point ${className}` }),
      ...(text ? [haloText(text, place, `sk-strong ${className}`)] : [])]));
    this.giveWay(figures);
  }

  // The cursor's dots and the places of their figures: the upper one above, the lower one below,
  // else where it meets no other figure and no label (boxes in `taken`).
  figures(x, taken) {
    const { plot } = this;
    const labels = chartLabels(plot);
    for (const box of taken) labels.block(box.x, box.y, box.width, box.height, 2);
    this.blockLimits(labels, 1);
    const shown = this.cursorValues().map((one) => ({ ...one, y: plot.y(one.value) }))
      .filter(({ y }) => y >= plot.top - 4 && y <= plot.bottom + 4);
    const highest = Math.min(...shown.map(({ y }) => y));
    let above = shown.length > 1;
    for (const one of shown) {
      if (!one.text) continue;
      const upper = above && one.y === highest;
      if (upper) above = false;
      const [left, right] = [[x - 7, "end"], [x + 7, "start"]];
      const [up, down] = [one.y - 4, one.y + 13];
      const places = [[left, up], [right, up], [right, down], [left, down]];
      const order = upper || shown.length === 1 ? places : [...places.slice(2), ...places.slice(0, 2)];
      one.place = labels.place(one.text, order.map(([[at, anchor], y]) => [at, y, anchor]),
        { weight: 600 });
    }
    return shown;
  }

  // Limits of the chart: [value, side of its ticks on the screen].
  limitsAt() {
    return [];
  }

  blockLimits(labels, weight) {
    for (const [value, side] of this.limitsAt()) {
      labels.block(PLOT_LEFT, this.plot.y(value) - (side < 0 ? 6 : 2), this.plot.span, 8, weight);
    }
  }

  // A label that a figure of the cursor runs into is hidden until the figure has left it.
  giveWay(figures) {
    for (const { box, node } of this.written) {
      const met = figures.some(({ place }) => place && meets(place.box, box));
      assign(node, { visibility: met ? "hidden" : null });
    }
  }

  // Labels of the chart, each in a free place that leaves the cursor and its figures room.
  relabel() {
    if (!this.store.curves || !this.plot.width) return;
    const { plot } = this;
    const labels = chartLabels(plot);
    const x = plot.x(this.store.shownAngle);
    labels.block(x - 3, plot.top, 6, plot.height, 4);
    this.blockLimits(labels, 3);
    for (const { y, place } of this.figures(x, [])) {
      labels.block(x - 5, y - 5, 10, 10, 8);
      if (place) labels.block(place.box.x - 8, place.box.y, place.box.width + 16, place.box.height, 20);
    }
    const parts = [];
    const boxes = [];
    this.write(labels, (text, places, className, options = {}, ...more) => {
      const place = labels.place(text, places, options);
      if (place === null) return;
      boxes.push(place.box);
      parts.push(part("g", {}, ...more.map((one) => one(place)),
        haloText(text, place, className, options.size)));
    });
    redraw(this.labels, parts);
    this.written = boxes.map((box, i) => ({ box, node: this.labels.childNodes[i] }));
    this.turn();
    this.stale();
  }

  stale() {
    const { store } = this;
    if (!this.plot.width) return;
    const old = store.refused ? "last place that fits" : store.fault ? "last door that fits" : "";
    const text = old || (store.waiting ? "waiting" : "");
    if (text === this.stamped) return;
    this.stamped = text;
    this.node.classList.toggle("sk-stale", store.waiting);
    const title = this.plot.back.firstChild;
    if (!text) {
      redraw(this.stamp, []);
      setText(title, this.title);
      return;
    }
    const width = textWidth(text, 12, 400) + 14;
    const right = this.plot.right - textWidth(this.unit, 11.5) - 8;
    setText(title, fitted(this.title, right - width - 12, 12, 600));
    redraw(this.stamp, [
      part("rect", { x: right - width, y: 1, width, height: 19 }),
      part("text", { x: right - width / 2, y: 14.5, "text-anchor": "middle" }, text),
    ]);
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
    redraw(this.balance, balance.map(([at]) => part("circle", { cx: plot.x(at),
      cy: plot.y(this.store.at("weight_moment", at)), r: 4, class: "sk-crossing" })));
    this.turn();
  }

  write(labels, put) {
    const { arrays } = this.store.curves;
    const { plot } = this;
    const [angle] = arrays.angle;
    const struts = plot.points(angle, arrays.strut_moment[0]);
    const weight = plot.points(angle, arrays.weight_moment[0]);
    labels.blockLine(struts);
    labels.blockLine(weight);
    const [band] = arrays.band_angle;
    const low = plot.points(band, arrays.weight_low[0]);
    const high = plot.points(band, arrays.weight_high[0]);
    for (let i = 1; i < low.length; i += 1) {
      labels.block(low[i - 1][0], high[i][1], low[i][0] - low[i - 1][0] + 1,
        Math.max(2, low[i][1] - high[i][1]), 0.4);
    }
    const fitted = this.store.scene.struts.length > 0;
    if (fitted) {
      const lifts = mean(arrays.strut_moment[0]) >= 0;
      put(lifts ? "struts lift" : "struts hold back", besideCurve(struts), "sk-strong sk-struts",
        { weight: 600 });
    } else {
      const text = "No strut yet";
      const spots = [0.5, 0.25, 0.75, 0.12, 0.88].flatMap((share) => [plot.y(0) - 8, plot.top + 14]
        .map((y) => [plot.x(plot.stop * share), y, "middle"]));
      put(text, spots, "sk-struts");
    }
    const pulls = mean(arrays.weight_moment[0]) >= 0 ? "weight pulls down" : "weight opens";
    put(pulls, besideCurve(weight), "sk-strong sk-weight", { weight: 600 });
    if (fitted && this.store.scene.in_service > 1) {
      const edge = plot.points(band, arrays.strut_high[0]);
      const floor = plot.points(band, arrays.strut_low[0]);
      const places = edge.flatMap(([x, y], i) => [[x, y + 14, "end"], [x, floor[i][1] - 6, "end"],
        [x, y - 5, "end"]]).reverse().filter(([x]) => x > PLOT_LEFT + 100);
      put("all in service", places, "sk-struts", { most: SPARED });
    }
  }

  cursorValues() {
    const struts = this.store.at("strut_moment");
    const weight = this.store.at("weight_moment");
    const pairs = [{ value: weight, text: forceFigure(weight, this.fine), className: "sk-weight" }];
    if (this.store.scene.struts.length) {
      pairs.push({ value: struts, text: forceFigure(struts, this.fine), className: "sk-struts" });
    }
    return pairs;
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
    return tickFigure(Math.abs(tick));
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
      lines_.push(part("path", { d: limitPath(PLOT_LEFT, plot.right, y, -sign),
        class: "sk-limit" }));
      const raised = Float32Array.from(arrays[name][0], (value) => Math.max(value, limit));
      if (raised.some((value) => value > limit)) {
        const line = Float32Array.from(raised, () => limit);
        over.push(part("path", { d: plot.between(band, raised, line, [sign, sign]),
          class: "sk-over" }));
      }
    }
    redraw(this.over, over);
    redraw(this.limits, lines_);
    this.turn();
  }

  limitsAt() {
    const { hand_opening: opening, hand_closing: closing } = this.store.scene.limits;
    return [[opening, -1], [closing === null ? null : -closing, 1]].filter(([one]) => one !== null);
  }

  write(labels, put) {
    const { arrays } = this.store.curves;
    const { plot } = this;
    const { limits } = this.store.scene;
    const [angle] = arrays.angle;
    const [band] = arrays.band_angle;
    const opening = plot.points(angle, arrays.opening[0]);
    const closing = plot.points(angle, arrays.closing[0], -1);
    const worst = { opening: plot.points(band, arrays.worst_opening[0]),
      closing: plot.points(band, arrays.worst_closing[0], -1) };
    for (const points of [opening, closing, worst.opening, worst.closing]) labels.blockLine(points);
    for (const [name, sign] of [["opening", 1], ["closing", -1]]) this.overLabel(put, name, sign);
    put("push to open", this.besidePush(opening, -1), "sk-strong sk-open", { weight: 600 });
    put("push to shut", this.besidePush(closing, 1), "sk-strong sk-shut", { weight: 600 });
    for (const [limit, sign, word] of [[limits.hand_opening, 1, "open"],
      [limits.hand_closing, -1, "shut"]]) {
      if (limit === null) continue;
      const y = plot.y(sign * limit) + (sign > 0 ? 15 : -7);
      const other = plot.y(sign * limit) + (sign > 0 ? -9 : 18);
      put(`limit to ${word} ${forceFigure(limit, this.store.scene.small)}`, [[plot.right, y, "end"], [PLOT_LEFT + 5, y, "start"],
        [PLOT_LEFT + 5, other, "start"], [plot.right, other, "end"]], "sk-quiet");
    }
    if (this.store.scene.in_service > 1) {
      for (const name of ["opening", "closing"]) {
        const text = "worst in service";
        const least = PLOT_LEFT + textWidth(text) + 2;
        const gapped = worst[name].filter(([x], i) => i % 3 === 0 && x > least).reverse();
        if (worstApart(arrays, name)) {
          put(text, gapped.flatMap(([x, y]) => [5, -14, 12, -21].map((up) =>
            [Math.min(x, plot.right), y - up, "end"])), name === "opening" ? "sk-open" : "sk-shut",
          { most: SPARED });
        }
      }
    }
    this.frictionLabel(put, opening, closing);
  }

  // Places for the name of a push: each on its curve's own side of zero, first where a hand pushes.
  // side: of a push, -1 above zero on the screen, 1 below.
  besidePush(points, side) {
    const zero = this.plot.y(0);
    const places = besideCurve(points);
    const own = places.filter(([, y, , curve]) =>
      (curve > zero || (curve === zero && side > 0) ? y - 11 >= zero : y + 3 <= zero));
    const pushed = own.filter(([, , , curve]) => (curve - zero) * side > 2);
    const found = [...pushed, ...own.filter((one) => !pushed.includes(one))];
    return found.length ? found : places;
  }

  overLabel(put, name, sign) {
    const limit = this.store.scene.limits[name === "opening" ? "hand_opening" : "hand_closing"];
    const values = this.store.curves.arrays[`worst_${name}`][0];
    let top = 0;
    for (let i = 0; i < values.length; i += 1) if (values[i] > values[top]) top = i;
    if (limit === null || !(values[top] > limit)) return;
    const text = `${forceFigure(values[top], this.store.scene.small, Math.ceil)} N to ${name === "opening" ? "open" : "shut"}`;
    const x = this.plot.x(this.store.curves.arrays.band_angle[0][top]);
    const y = Math.min(Math.max(this.plot.y(sign * values[top]), this.plot.top), this.plot.bottom);
    const away = sign > 0 ? y - 6 : y + 15;
    const places = [0, 30, -30, 60, -60, 90, -90].map((dx) => [x + dx, away, "middle"]);
    const back = this.plot.y(sign * limit) + (sign > 0 ? 15 : -8);
    places.push([x, back, "middle"], [x - 40, back, "middle"], [x + 40, back, "middle"]);
    put(text, places, "sk-strong sk-fails", { weight: 600 });
  }

  frictionLabel(put, opening, closing) {
    const widest = opening.map(([x, y], i) => [closing[i][1] - y, x, (closing[i][1] + y) / 2])
      .sort((a, b) => b[0] - a[0])[0];
    if (widest[0] < 8) return;
    const [, x, y] = widest;
    const places = [0, -50, 40, -90, -130].flatMap((dx) => [-34, 44, -50, 56]
      .map((dy) => [x + dx, y + dy, "middle"]));
    put("friction", places, "sk-quiet", { size: 11.5, most: SPARED }, (place) => part("line", { x1: place.x,
      y1: place.y < y ? place.y + 3 : place.y - 12, x2: x, y2: y, class: "sk-leader" }));
  }

  cursorValues() {
    const opening = this.store.at("opening");
    const closing = this.store.at("closing");
    const least = this.fine ? FINEST_STEP / 2 : 0.5;
    const text = (value) => (value > least ? forceFigure(value, this.fine) : "");
    return [{ value: opening, text: text(opening), className: "sk-open" },
      { value: -closing, text: text(closing), className: "sk-shut" }];
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
