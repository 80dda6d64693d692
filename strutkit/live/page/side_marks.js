// What stands on the side view: marks, words and running dimensions.

class SideMarks extends SidePicture {
  drawMarks() {
    const { scene, curves } = this.store;
    const angle = this.store.shownAngle;
    const parts = [];
    const texts = [];
    const put = (text, places, className, options = {}) => {
      const place = this.labels.place(text, places, options);
      texts.push(haloText(text, place, className, options.size));
      return place;
    };
    parts.push(...this.hingeMark());
    const { condition } = this.store;
    if (condition.tilted) this.drawLevel(condition, parts, put);
    const handle = this.screen(this.turned(scene.handle, angle));
    parts.push(part("circle", { cx: handle[0], cy: handle[1], r: 4, class: "sk-handle-mark" }));
    this.labels.block(handle[0] - 6, handle[1] - 6, 12, 12);
    if (curves) {
      if (!this.store.fault) this.drawHold(handle, angle, parts, put);
      this.arcLabels(put);
      if (angle > 2 * DEGREE) this.drawAngle(angle, parts, put);
    }
    this.drawWeight(condition, angle, parts, put);
    this.sayLost(angle, put);
    redraw(this.layers.marks, parts);
    redraw(this.layers.labels, texts);
  }

  sayLost(angle, put) {
    const lost = this.store.lostStrut;
    if (!lost) return;
    const { frame, panel } = this.store.mounts(lost);
    const [a, b] = [this.screen(frame), this.screen(this.turned(panel, angle))];
    const spots = [0.5, 0.3, 0.7].map((t) => [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
    put(this.store.strutAt(lost.place).mirrored ? "one of two lost" : "lost", spots.flatMap(([x, y]) =>
      [[x - 10, y + 4, "end"], [x + 10, y + 4, "start"]]), "sk-strong sk-struts", { weight: 600 });
  }

  hingeMark() {
    const { x0: x, y0: y } = this;
    this.labels.block(x - 8, y - 8, 16, 16);
    return [part("circle", { cx: x, cy: y, r: 5, class: "sk-hinge" }),
      part("path", { d: `M${x - 12} ${y}h24M${x} ${y - 12}v24`, class: "sk-hinge-cross" })];
  }

  drawLevel(condition, parts, put) {
    const [downOut, downUp] = condition.down;
    const level = [-downUp, downOut];
    const sense = this.heightsLeft ? 1 : -1;
    const far = Math.hypot(...this.store.scene.handle.slice(0, 2)) * 1.15;
    const end = this.screen([level[0] * far * sense, level[1] * far * sense]);
    parts.push(part("line", { x1: this.x0, y1: this.y0, x2: end[0], y2: end[1],
      class: "sk-level" }));
    const at = (t) => [this.x0 + t * (end[0] - this.x0), this.y0 + t * (end[1] - this.y0) + 14];
    put("level", [0.7, 0.85, 0.5, 0.35].map((t) => [...at(t), "middle"]), "sk-quiet");
  }

  drawWeight(condition, angle, parts, put) {
    const { scene } = this.store;
    this.drawMass(scene.centre, scene.mass * condition.mass_factor, "kg", condition, angle, parts, put);
    if (condition.added_mass > 0) {
      this.drawMass(condition.added_at, condition.added_mass, "kg more", condition, angle, parts, put);
    }
  }

  drawMass(point, mass, unit, condition, angle, parts, put) {
    const [x, y] = this.screen(this.turned(point, angle));
    const [dx, dy] = [condition.down[0] * 46, -condition.down[1] * 46];
    parts.push(part("line", { x1: x, y1: y, x2: x + dx * 0.88, y2: y + dy * 0.88,
      class: "sk-weight-line" }), arrowHead([x, y], [x + dx, y + dy], "sk-weight-head"));
    parts.push(...quarteredCircle(x, y));
    this.labels.block(x - 8, y - 8, 16, 16);
    put(`${massFigure(mass, this.store.scene.small)} ${unit}`, [[x + 8, y + dy, "start"], [x - 8, y + dy, "end"], [x + 8, y + 22, "start"],
      [x - 8, y + 22, "end"], [x + 10, y - 10, "start"]], "sk-strong sk-weight", { weight: 600 });
  }

  drawHold(handle, angle, parts, put) {
    const holding = this.store.at("holding");
    const { small } = this.store.scene;
    if (Math.abs(holding) < (small ? FINEST_STEP / 2 : 0.5)) return;
    const ahead = this.screen(this.turned(this.store.scene.handle, angle + 0.01));
    const length = Math.hypot(ahead[0] - handle[0], ahead[1] - handle[1]) || 1;
    const sense = Math.sign(holding);
    const unit = [((ahead[0] - handle[0]) / length) * sense, ((ahead[1] - handle[1]) / length) * sense];
    const at = (pixels) => [handle[0] + unit[0] * pixels, handle[1] + unit[1] * pixels];
    // A push to the handle, or a pull from it: the one whose arrow lies clear of the panel.
    const clear = (side) => ![6, 9, 12].some((pixels) => this.covered(at(side * pixels), angle));
    const pulls = !clear(-1) && clear(1);
    const [tail, tip, far] = pulls ? [at(5), at(42), at(42)] : [at(-42), at(-5), at(-42)];
    parts.push(part("line", { x1: tail[0], y1: tail[1], x2: tip[0] - unit[0] * 5,
      y2: tip[1] - unit[1] * 5, class: "sk-force-line" }), arrowHead(tail, tip, "sk-force-head"));
    this.labels.blockLine([tail, tip]);
    const text = `hold ${forceFigure(Math.abs(holding), small)} N`;
    put(text, [[far[0], far[1] - 6, "middle"], [far[0], far[1] + 15, "middle"],
      [far[0] + 8, far[1] + 4, "start"], [far[0] - 8, far[1] + 4, "end"]], "sk-strong",
    { weight: 600 });
  }

  // Whether a place of the screen lies on the section of the panel at this angle.
  covered([x, y], angle) {
    const [outward, upward] = this.turned(this.plane(x, y), -angle);
    const { outline } = this.store.scene;
    let inside = false;
    outline.forEach(([x1, y1], i) => {
      const [x0, y0] = outline.at(i - 1);
      if ((y0 > upward) === (y1 > upward)) return;
      if (outward < x0 + ((upward - y0) / (y1 - y0)) * (x1 - x0)) inside = !inside;
    });
    return inside;
  }

  arcPlace(angle, away) {
    const [x, y] = this.screen(this.turned(this.store.scene.handle, angle));
    const far = Math.hypot(x - this.x0, y - this.y0) || 1;
    return [x + ((x - this.x0) / far) * away, y + ((y - this.y0) / far) * away + 4];
  }

  arcLabels(put) {
    const { curves } = this.store;
    if (curves.lift_off > 0) {
      const [x, y] = this.arcPlace(curves.lift_off, 18);
      const [xi, yi] = this.arcPlace(curves.lift_off, -20);
      put(liftWords(curves), [[x + 3, y, "start"], [x + 3, y + 12, "start"],
        [x - 3, y, "end"], [x, y - 8, "middle"], [x, y + 12, "middle"], [x, y - 10, "end"],
        [xi, yi, "end"], [xi, yi, "start"]], "sk-strong", { weight: 600 });
    }
    for (const [angle, text] of [[0, "shut"], [curves.end, `open ${travelDegrees(curves.end)}`]]) {
      const spots = [];
      for (const away of [16, 30, -18]) {
        for (const anchor of ["middle", "end", "start"]) spots.push([...this.arcPlace(angle, away), anchor]);
      }
      put(text, spots, "sk-quiet");
    }
    for (let at = 30; at < curves.end / DEGREE - 5; at += 30) {
      const [x, y] = this.arcPlace(at * DEGREE, 16);
      const [xi, yi] = this.arcPlace(at * DEGREE, -17);
      put(`${at}°`, [[x, y, "middle"], [xi, yi, "middle"]], "sk-quiet", { size: 11.5 });
    }
  }

  drawAngle(angle, parts, put) {
    const { scene } = this.store;
    const share = 0.25;
    const arc = [];
    for (let i = 0; i <= 24; i += 1) {
      const point = this.turned(scene.handle, (i / 24) * angle);
      arc.push([point[0] * share, point[1] * share]);
    }
    parts.push(part("path", { d: this.path(arc, false), class: "sk-dimension" }));
    const middle = this.turned(scene.handle, angle / 2);
    const spot = (s) => this.screen([middle[0] * s, middle[1] * s]);
    const { box } = put(degrees(angle), [0.33, 0.19, 0.42].map((s) => {
      const [x, y] = spot(s);
      return [x, y + 4, "middle"];
    }), "sk-strong", { weight: 600 });
    // Another figure close beside it would read as one with it.
    this.labels.block(box.x - 10, box.y, box.width + 20, box.height);
  }

  // Running dimensions from the hinge line, on the side away from the swing ------------------------

  // What dimensions depend on; the angle is not among it.
  dimensionKey() {
    const { x0, y0, scale, width, height } = this;
    return JSON.stringify([this.dimensioned(), this.store.unit, x0, y0, scale, width, height]);
  }

  drawDimensions() {
    const points = this.dimensioned();
    const before = this.labels.taken.length;
    const parts = [];
    const lineX = this.heightsLeft ? 28 : this.width - 28;
    const lineY = this.depthsAbove ? this.depthRoom : this.height - this.depthRoom;
    const heights = this.figureHeights(points.map((one) => this.screen(one.at)[1]), 15);
    const depths = spread(points.map((one) => this.screen(one.at)[0]), 15);
    points.forEach((one, index) => {
      const [x, y] = this.screen(one.at);
      if (one.mount === "panel") {
        parts.push(part("circle", { cx: x, cy: y, r: 3, class: "sk-shut-ring" }));
      }
      parts.push(...this.heightFigure(one, x, y, lineX, heights[index]));
      parts.push(...this.depthFigure(one, x, y, lineY, depths[index]));
    });
    parts.push(...this.dimensionLines(points, lineX, lineY));
    redraw(this.layers.dimensions, parts);
    this.dimensionBlocks = this.labels.taken.slice(before);
    this.measured = this.dimensionKey();
  }

  // The mounts of the strut in use: a figure of another would not say whose it is.
  dimensioned() {
    const strut = this.store.strutAt(this.store.selected.place);
    if (!strut) return [];
    const at = this.store.mounts(strut);
    return MOUNTS.map((mount) => ({ mount, at: at[mount] }));
  }

  // Heights of figures at least `gap` apart; none comes across the hinge line, as each stands on
  // the side of its line that is away from there.
  figureHeights(values, gap) {
    const heights = [];
    for (const side of [-1, 1]) {
      const mine = values.map((_, i) => i).filter((i) => (values[i] < this.y0 ? -1 : 1) === side);
      const moved = spread(mine.map((i) => side * (values[i] - this.y0)), gap);
      const shift = Math.max(0, (side < 0 ? 2 : 0) - Math.min(...moved));
      mine.forEach((i, k) => { heights[i] = this.y0 + side * (moved[k] + shift); });
    }
    return heights;
  }

  heightFigure(one, x, y, lineX, figureY) {
    const sense = this.heightsLeft ? 1 : -1;
    const near = x - sense * 14;
    const text = placeFigure(Math.abs(one.at[1]), this.store.unit);
    const kink = lineX + sense * 6;
    const labelX = lineX + sense * 6;
    const above = figureY < this.y0;
    this.labels.block(this.heightsLeft ? lineX : lineX - 40, above ? figureY - 15 : figureY, 40, 15);
    const parts = [part("text", { x: labelX, y: above ? figureY - 4 : figureY + 12, class: "sk-label sk-quiet",
      "text-anchor": this.heightsLeft ? "start" : "end" }, text)];
    if ((near - kink) * sense > 4) {
      parts.push(part("path", { class: "sk-dimension", d: figureY === y
        ? `M${near} ${y}H${lineX}` : `M${near} ${y}H${kink + sense * (34 + Math.abs(figureY - y))}`
          + `L${kink + sense * 34} ${figureY}H${lineX}` }));
    }
    parts.push(arrowHead([lineX, this.y0], [lineX, y], "sk-arrow"));
    return parts;
  }

  depthFigure(one, x, y, lineY, figureX) {
    const sense = this.depthsAbove ? 1 : -1;
    const near = y - sense * 14;
    const text = placeFigure(Math.abs(one.at[0]), this.store.unit);
    const end = lineY - sense * 4;
    const spot = this.depthsAbove ? [figureX + 4, lineY - 7] : [figureX + 4, lineY + 7];
    this.labels.block(figureX - 8, this.depthsAbove ? 0 : lineY, 16, this.depthRoom);
    const parts = [part("g", { transform: "rotate(-90)" }, part("text", { x: -spot[1],
      y: spot[0], class: "sk-label sk-quiet", "text-anchor": this.depthsAbove ? "start" : "end" },
    text))];
    if ((near - end) * sense > 4) {
      const shift = Math.abs(figureX - x);
      parts.push(part("path", { class: "sk-dimension", d: shift < 0.01
        ? `M${x} ${near}V${end}`
        : `M${x} ${near}V${lineY + sense * (10 + shift)}L${figureX} ${lineY + sense * 10}V${end}` }));
    }
    parts.push(arrowHead([this.x0, lineY], [x, lineY], "sk-arrow"));
    return parts;
  }

  dimensionLines(points, lineX, lineY) {
    const ys = [this.y0, ...points.map((one) => this.screen(one.at)[1])];
    const xs = [this.x0, ...points.map((one) => this.screen(one.at)[0])];
    const senseX = this.heightsLeft ? 1 : -1;
    const senseY = this.depthsAbove ? 1 : -1;
    return [
      part("line", { x1: lineX, x2: lineX, y1: Math.min(...ys), y2: Math.max(...ys),
        class: "sk-dimension" }),
      part("line", { y1: lineY, y2: lineY, x1: Math.min(...xs), x2: Math.max(...xs),
        class: "sk-dimension" }),
      part("path", { class: "sk-dimension", d: `M${this.x0 - senseX * 14} ${this.y0}H${lineX}`
        + `M${this.x0} ${this.y0 - senseY * 14}V${lineY}` }),
      part("circle", { cx: lineX, cy: this.y0, r: 3, class: "sk-origin" }),
      part("circle", { cx: this.x0, cy: lineY, r: 3, class: "sk-origin" }),
    ];
  }
}

// A filled arrow head, 7 long and 4.2 wide, its tip at `to`.
function arrowHead(from, to, className) {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  if (length < 7) return part("path", { class: className, d: "" });
  const [ux, uy] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
  const back = [to[0] - ux * 7, to[1] - uy * 7];
  return part("path", { class: className, d: `M${to[0]} ${to[1]}L${back[0] - uy * 2.1} `
    + `${back[1] + ux * 2.1}L${back[0] + uy * 2.1} ${back[1] - ux * 2.1}Z` });
}

function quarteredCircle(x, y) {
  return [part("circle", { cx: x, cy: y, r: 7, class: "sk-centre" }),
    part("path", { class: "sk-centre-quarters",
      d: `M${x} ${y}V${y - 7}A7 7 0 0 1 ${x + 7} ${y}ZM${x} ${y}V${y + 7}A7 7 0 0 1 ${x - 7} ${y}Z` })];
}

// Figures moved apart to at least `gap`, each as little as can be (pool adjacent violators).
function spread(values, gap) {
  const order = values.map((value, index) => ({ value, index })).sort((a, b) => a.value - b.value);
  const pools = [];
  order.forEach(({ value }, rank) => {
    pools.push({ sum: value - rank * gap, count: 1 });
    while (pools.length > 1) {
      const [before, last] = pools.slice(-2);
      if (before.sum / before.count <= last.sum / last.count) break;
      pools.splice(-2, 2, { sum: before.sum + last.sum, count: before.count + last.count });
    }
  });
  const moved = new Array(values.length);
  let rank = 0;
  for (const pool of pools) {
    for (let i = 0; i < pool.count; i += 1, rank += 1) {
      moved[order[rank].index] = pool.sum / pool.count + rank * gap;
    }
  }
  return moved;
}
