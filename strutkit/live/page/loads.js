// Charts of what struts and hinge do over the opening angle: lengths in their travel, hinge loads.

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
    this.node.style.display = strut ? "" : "none";
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
    const { travel_extended: open, travel_compressed: shut } = this.store.scene.limits;
    const high = plot.y(strut.extended - (open ?? 0) * 1000) + 14;
    const low = plot.y(strut.extended - strut.stroke + (shut ?? 0) * 1000) - 6;
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
