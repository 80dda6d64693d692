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
    redraw(this.curves, [part("path", { class: "sk-curve sk-struts",
      "data-curve": "strut_length", d: plot.path(arrays.angle[0], arrays.strut_length[this.row]) })]);
    const parts = [];
    for (const [value, side] of this.limitsAt()) {
      parts.push(part("path", { d: limitPath(PLOT_LEFT, plot.right, plot.y(value), side),
        class: "sk-limit" }));
    }
    const kept = [[scene.limits.travel_extended, strut.extended, -1],
      [scene.limits.travel_compressed, strut.extended - strut.stroke, 1]];
    for (const [limit, end, sign] of kept) {
      if (limit === null) continue;
      const y = plot.y(end + sign * limit * 1000);
      parts.push(part("line", { x1: PLOT_LEFT, x2: plot.right, y1: y, y2: y, class: "sk-kept" }));
    }
    if (this.otherEnder()) {
      parts.push(part("path", { class: "sk-limit",
        d: limitPathUpright(plot.x(this.store.end), plot.top, plot.bottom, 1) }));
    }
    redraw(this.limits, parts);
    this.turn();
  }

  relabel() {
    if (this.strut) super.relabel();
  }

  write(labels, put) {
    const { plot, strut } = this;
    const points = plot.points(this.store.curves.arrays.angle[0],
      this.store.curves.arrays.strut_length[this.row]);
    labels.blockLine(points);
    const { unit } = this.store;
    if (this.otherEnder()) {
      labels.block(plot.x(this.store.end) - 2, plot.top, 8, plot.bottom - plot.top, 6);
    }
    const { travel_extended: open, travel_compressed: shut } = this.store.scene.limits;
    const high = plot.y(strut.extended - (open ?? 0) * 1000) + 14;
    const low = plot.y(strut.extended - strut.stroke + (shut ?? 0) * 1000) - 6;
    put(`fully out ${lengthWords(strut.extended, unit)}`, [[PLOT_LEFT + 5, high],
      [plot.right, high, "end"]], "sk-quiet");
    put(`fully in ${lengthWords(strut.extended - strut.stroke, unit)}`, [[plot.right, low, "end"],
      [PLOT_LEFT + 5, low], [plot.x(this.store.end) - 6, low, "end"], [plot.right, low - 14, "end"],
      [PLOT_LEFT + 5, low - 14]], "sk-quiet");
    this.endLabel(put);
    put(fitted(strut.name, plot.span * 0.6, 12, 600), besideCurve(points), "sk-strong sk-struts",
      { weight: 600 });
  }

  // Which other strut ends the travel, where this one has not come to its end.
  endLabel(put) {
    const { plot } = this;
    const ender = this.otherEnder();
    if (!ender) return;
    const x = plot.x(this.store.end);
    const places = [0.5, 0.35, 0.65, 0.2, 0.8].flatMap((share) => {
      const y = plot.top + share * (plot.bottom - plot.top);
      return [[x + 10, y, "start"], [x - 8, y, "end"]];
    });
    put(`${fitted(ender.name, 110, 11.5)} is fully out`, places, "sk-quiet", { size: 11.5 });
  }

  otherEnder() {
    const { store } = this;
    if (store.curves.ended_by !== "strut") return null;
    const { struts } = store.scene;
    const out = struts.filter((one, row) => {
      const lengths = store.curves.arrays.strut_length[row];
      return lengths && one.extended - lengths.at(-1) < 0.05;
    });
    return out.some((one) => one.place === this.strut.place) ? null : out[0] ?? null;
  }

  // Both ends of the stroke.
  limitsAt() {
    const { strut } = this;
    return strut === null ? [] : [[strut.extended, -1], [strut.extended - strut.stroke, 1]];
  }

  tickFigure(tick) {
    return lengthFigure(tick, this.unit);
  }

  cursorValues() {
    if (!this.strut) return [];
    const value = this.store.at("strut_length", this.store.shownAngle, this.row);
    const text = this.unit === "inch" ? lengthFigure(value, "inch") : whole(value);
    return [{ value, text, className: "sk-struts" }];
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
    redraw(this.limits, limit === null ? [] : [part("path", { class: "sk-limit",
      d: limitPath(PLOT_LEFT, plot.right, plot.y(limit), -1) })]);
    this.turn();
  }

  limitsAt() {
    const { hinge_radial: limit } = this.store.scene.limits;
    return limit === null ? [] : [[limit, -1]];
  }

  get alike() {
    const { first, second } = this.store.curves.arrays;
    let apart = 0;
    for (let i = 0; i < first[0].length; i += 1) {
      apart = Math.max(apart, Math.abs(first[0][i] - second[0][i]));
    }
    return apart < (this.fine ? FINEST_STEP : 1);
  }

  write(labels, put) {
    const { plot } = this;
    const { arrays } = this.store.curves;
    const { hinge_names: names } = this.store.scene;
    const first = plot.points(arrays.angle[0], arrays.first[0]);
    const second = plot.points(arrays.angle[0], arrays.second[0]);
    labels.blockLine(first);
    labels.blockLine(second);
    const name = (text, points) => put(text, besideCurve(points), "sk-strong sk-inked",
      { weight: 600 });
    if (this.alike) name(`${names.join(" and ")} alike`, first);
    else [first, second].forEach((points, i) => name(names[i], points));
  }

  cursorValues() {
    const first = this.store.at("first");
    const second = this.store.at("second");
    const pairs = [{ value: first, text: forceFigure(first, this.fine), className: "sk-inked" }];
    if (!this.alike) pairs.push({ value: second, text: forceFigure(second, this.fine), className: "sk-inked" });
    return pairs;
  }
}
