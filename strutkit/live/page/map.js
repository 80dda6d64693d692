// Mount map of the mount in use: where each rule holds, where all hold, and how good each place is.
// The map of a mount does not depend on where that mount is now: it stays while it is dragged.

const MAP_RIGHT = 168;
const MAP_TALL = 320;
const MAP_LEAST = [260, 150]; // a narrow or flat zone stands in a picture so wide and high [px]
const LEADER_GAP = 32; // from one name of an edge to the next [px]
const MAP_HEAD = 32; // above the zone, for the words of the axes [px]
const SHADES = 5;
const JUMP = 1e5; // a rule this far over or under its limit does not come into play gradually

// Nodes of the map's grid: what each rule is over its limit, and the value. Between nodes all is
// taken as straight, so that an edge of a rule runs where it is just kept.
class MountGrid {
  constructor({ arrays, ...figures }) {
    Object.assign(this, figures);
    this.over = arrays.over;
    this.value = arrays.value[0];
    this.worst = this.worstOfAll();
  }

  // The most that any rule is over its limit, each rule in its own usual size.
  worstOfAll() {
    const sizes = this.over.map((row) => {
      const known = row.filter((value) => Math.abs(value) < JUMP);
      return known.reduce((sum, value) => sum + Math.abs(value), 0) / (known.length || 1) || 1;
    });
    return Float32Array.from(this.value, (_, index) =>
      this.over.reduce((most, row, rule) => Math.max(most, row[index] / sizes[rule]), -Infinity));
  }

  at(column, row) {
    return row * this.columns + column;
  }

  place(column, row) {
    return [this.origin[0] + column * this.step, this.origin[1] + row * this.step];
  }

  holds(index) {
    return this.worst[index] <= 0;
  }

  // Each cell of four nodes inside the zone, counted round from its lower left corner.
  *cells() {
    for (let row = 0; row + 1 < this.rows; row += 1) {
      for (let column = 0; column + 1 < this.columns; column += 1) {
        const corners = [[column, row], [column + 1, row], [column + 1, row + 1], [column, row + 1]];
        const indices = corners.map((corner) => this.at(...corner));
        if (indices.every((index) => Number.isFinite(this.worst[index]))) yield { corners, indices };
      }
    }
  }

  // Where a field passes zero between two nodes; half-way where it jumps.
  crossing(one, other, from, to) {
    const jump = Math.abs(from) >= JUMP || Math.abs(to) >= JUMP;
    const share = jump ? 0.5 : from / (from - to);
    const [a, b] = [this.place(...one), this.place(...other)];
    return [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
  }

  crossings({ corners, indices }, field) {
    const found = [];
    corners.forEach((corner, i) => {
      const next = (i + 1) % 4;
      const [from, to] = [field[indices[i]], field[indices[next]]];
      if (from <= 0 !== to <= 0) found.push(this.crossing(corner, corners[next], from, to));
    });
    return found;
  }

  // Polygons of the area where a field is zero or less.
  area(field) {
    const polygons = [];
    for (const { corners, indices } of this.cells()) {
      const points = [];
      corners.forEach((corner, i) => {
        const next = (i + 1) % 4;
        const [from, to] = [field[indices[i]], field[indices[next]]];
        if (from <= 0) points.push(this.place(...corner));
        if (from <= 0 !== to <= 0) points.push(this.crossing(corner, corners[next], from, to));
      });
      if (points.length > 2) polygons.push(points);
    }
    return polygons;
  }

  // Pieces of the line on which a field is zero, each with the direction in which it grows. judged:
  // only in cells where the struts fit all round.
  line(field, judged = false) {
    const pieces = [];
    for (const cell of this.cells()) {
      if (judged && !cell.indices.every((index) => this.over[0][index] <= 0)) continue;
      const found = this.crossings(cell, field);
      for (let i = 0; i + 1 < found.length; i += 2) {
        pieces.push({ ends: [found[i], found[i + 1]], away: this.growth(cell, field),
          good: cell.indices.some((index) => this.holds(index)) });
      }
    }
    return pieces;
  }

  growth({ indices }, field) {
    const [a, b, c, d] = indices.map((index) => Math.max(-JUMP, Math.min(JUMP, field[index])));
    const [dx, dy] = [b + c - a - d, c + d - a - b];
    const length = Math.hypot(dx, dy) || 1;
    return [dx / length, dy / length];
  }

  // A field between nodes, straight in both directions; NaN off the map.
  between(field, [outward, upward]) {
    const across = (outward - this.origin[0]) / this.step;
    const up = (upward - this.origin[1]) / this.step;
    const column = Math.min(Math.max(Math.floor(across), 0), this.columns - 2);
    const row = Math.min(Math.max(Math.floor(up), 0), this.rows - 2);
    const [s, t] = [across - column, up - row];
    if (s < -0.01 || s > 1.01 || t < -0.01 || t > 1.01) return NaN;
    const value = (i, j) => field[this.at(column + i, row + j)];
    return (1 - t) * ((1 - s) * value(0, 0) + s * value(1, 0))
      + t * ((1 - s) * value(0, 1) + s * value(1, 1));
  }

  // Pieces of one rule's edge, and those of them that are marked and named: all of them where no
  // place holds every rule, else those that bound the area where all hold. The first rule is that
  // the struts fit: beyond its edge no other is judged.
  edge(rule, every = false) {
    const pieces = this.line(this.over[rule], rule > 0);
    if (every) return { pieces, bounding: pieces };
    const bounding = pieces.filter(({ ends: [a, b], good }) => {
      if (!good || rule === 0) return good;
      const middle = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
      return this.over.every((field, other) => other === rule || this.between(field, middle) <= 0);
    });
    return { pieces, bounding };
  }

  // The rules that no place holds, and where: of those where the struts fit, if there are any. Only
  // there is another rule judged.
  brokenEverywhere() {
    const [fits] = this.over;
    const judged = Array.from(fits.keys()).filter((index) => fits[index] <= 0);
    if (!judged.length) return { where: "Everywhere", rules: this.rules.slice(0, 1) };
    const rules = this.rules.filter((_, rule) =>
      judged.every((index) => !(this.over[rule][index] <= 0)));
    const all = fits.every((value) => !(value > 0));
    return { where: all ? "Everywhere" : "Wherever it fits", rules };
  }

  // Least and greatest value where all rules hold, and the place of the least. The place where the
  // mount is counts beside the nodes: none may lie as near to the corner of a zone.
  get range() {
    const { here } = this;
    let [low, high, at] = here.holds ? [here.value, here.value, here.at] : [Infinity, -Infinity, null];
    for (let index = 0; index < this.value.length; index += 1) {
      if (!this.holds(index)) continue;
      if (this.value[index] < low) {
        [low, at] = [this.value[index],
          this.place(index % this.columns, Math.floor(index / this.columns))];
      }
      high = Math.max(high, this.value[index]);
    }
    return at && { low, high, at };
  }

  // What a place is worth, NaN where the strut does not fit, and whether all rules hold there.
  worthOf(place) {
    const { at, value, holds } = this.here;
    if (Math.hypot(place[0] - at[0], place[1] - at[1]) < 1e-6) return { value: value ?? NaN, holds };
    return { value: this.between(this.value, place), holds: this.between(this.worst, place) <= 0 };
  }

  // The area where all rules hold and the value is in the better part of its range.
  shaded(shade) {
    const { low, high } = this.range;
    const most = high - ((high - low) * shade) / SHADES;
    if (shade === 0) return this.area(this.worst);
    const size = high - low || 1;
    return this.area(Float32Array.from(this.worst, (worst, index) =>
      Math.max(worst, (this.value[index] - most) / size)));
  }

  // Pieces of the line on which the value has this height, inside the area where all rules hold.
  level(height) {
    const field = Float32Array.from(this.value, (value) => value - height);
    return this.line(field).map((piece) => piece.ends)
      .filter((ends) => ends.every((end) => this.between(this.worst, end) <= 0));
  }
}

class MapView {
  constructor(store) {
    this.store = store;
    this.svg = drawing("svg", { class: "sk-chart sk-map", role: "group",
      "aria-label": "Where this mount may go" });
    this.still = drawing("g");
    this.best = drawing("g");
    this.grab = drawing("g", { class: "sk-grab sk-in-use" },
      drawing("circle", { r: HIT, class: "sk-hit" }), drawing("circle", { r: 15, class: "sk-ring" }),
      drawing("circle", { r: 8.5, class: "sk-disc" }), drawing("circle", { r: 2.5, class: "sk-dot" }));
    this.worth = drawing("text", { class: "sk-label sk-strong", "font-size": 12 });
    this.here = drawing("g", { visibility: "hidden" }, this.grab, this.worth);
    this.svg.append(this.still, this.best, this.here);
    this.note = element("small");
    this.words = element("p");
    this.legend = element("small");
    this.unlooked = element("p", { class: "sk-map-unlooked" });
    this.node = element("section", { class: "sk-block sk-area-map", hidden: true },
      element("h3", {}, "Where this mount may go", this.note), this.svg, this.words, this.legend,
      this.unlooked);
    this.bind();
  }

  bind() {
    const { store } = this;
    dragging(this.svg, {
      holds: (x, y) => this.near(x, y),
      start: (x, y) => {
        if (!this.near(x, y)) return false;
        store.hold(this.grid.place_index, this.grid.mount);
        this.along = this.at[2];
        return true;
      },
      move: (x, y, event) => {
        const step = event.altKey ? (value) => Math.round(value * 10) / 10
          : (value) => snapped(value, store.unit);
        const [outward, upward] = this.plane(x, y).map(step);
        store.move({ place: this.grid.place_index, [this.grid.mount]: [outward, upward, this.along],
          axes: [0, 1] });
      },
      end: () => store.commit(),
      cancel: () => store.cancel(),
    });
  }

  near(x, y) {
    return this.spot !== null && Math.hypot(x - this.spot[0], y - this.spot[1]) <= HIT;
  }

  get at() {
    const strut = this.store.strutAt(this.store.selected.place);
    return strut && this.store.mounts(strut)[this.store.selected.mount];
  }

  layout(width) {
    this.width = width;
    this.update();
  }

  screen([outward, upward]) {
    return [this.x0 + (outward - this.grid.origin[0]) * this.scale,
      this.y0 - (upward - this.grid.origin[1]) * this.scale];
  }

  plane(x, y) {
    return [this.grid.origin[0] + (x - this.x0) / this.scale,
      this.grid.origin[1] + (this.y0 - y) / this.scale];
  }

  update() {
    this.grid = this.store.map;
    this.spot = null;
    show(this.node, Boolean(this.grid));
    if (!this.grid || !this.width) return;
    const { grid } = this;
    const across = Math.max((grid.columns - 1) * grid.step, grid.step);
    const up = Math.max((grid.rows - 1) * grid.step, grid.step);
    const room = this.width - MAP_RIGHT;
    this.scale = Math.min(room / across, MAP_TALL / up);
    // A narrow or flat zone keeps its scale, in the middle of a picture with room for its words.
    this.across = Math.max(across * this.scale, Math.min(MAP_LEAST[0], room));
    this.up = Math.max(up * this.scale + MAP_HEAD, MAP_LEAST[1]);
    this.x0 = 1 + (this.across - across * this.scale) / 2;
    this.y0 = 1 + (this.up + MAP_HEAD + up * this.scale) / 2;
    this.zone = { x: this.x0, y: this.y0 - up * this.scale, width: across * this.scale,
      height: up * this.scale };
    const { range } = grid;
    const edges = grid.rules.map((_, rule) => grid.edge(rule, range === null));
    const named = edges.filter(({ bounding }) => bounding.length).length;
    const tall = Math.max(this.up + 2, 190, LEADER_GAP * named + 8);
    assign(this.svg, { "data-step": grid.step, width: this.width, height: tall, viewBox: `0 0 ${this.width} ${tall}` });
    setText(this.note, `${grid.title}; worst of all conditions, N`);
    this.draw(tall, range, edges);
    this.follow();
    const { where, rules } = grid.brokenEverywhere();
    setText(this.words, "No place on this map holds all rules."
      + (rules.length ? ` ${where}: ${rules.join(", ")}.` : ""));
    show(this.words, range === null);
    setText(this.legend, range ? "Fuller colour: smaller hand force. Ticks: the side on which a rule fails."
      : "Ticks: the side on which a rule fails.");
    this.sayUnlooked();
  }

  // What is judged, but not by the map, and which of that fails where the mount is now.
  sayUnlooked() {
    const { looked, unlooked } = this.grid;
    const judged = (this.store.verdict?.findings ?? []).filter((one) =>
      ["fails", "passes"].includes(one.state) && !looked.includes(one.name));
    const words = new Map([...judged.map((one) => [one.name, one.subject]),
      ...unlooked.map((one) => [one.finding, one.words])]);
    const fails = judged.filter((one) => one.state === "fails").map((one) => one.subject);
    const now = fails.length ? ` Fails as it is now: ${fails.join(", ")}.` : "";
    setText(this.unlooked, `Not looked at here: ${[...words.values()].join(", ")}.${now}`);
    this.unlooked.classList.toggle("sk-window-fails", fails.length > 0);
    show(this.unlooked, words.size > 0);
  }

  draw(tall, range, edges) {
    const { grid } = this;
    const parts = [part("rect", { x: 1, y: 1, width: this.across, height: this.up,
      class: "sk-map-frame" }), part("rect", { ...this.zone, class: "sk-map-ground" })];
    const labels = new Labels(this.across, this.up);
    this.blockHere(labels);
    const figures = this.drawGrid(parts, labels);
    if (range) {
      for (let shade = 0; shade < SHADES; shade += 1) {
        parts.push(part("path", { class: "sk-map-holds", d: this.polygons(grid.shaded(shade)) }));
      }
    }
    for (const { pieces } of edges) {
      parts.push(part("path", { class: "sk-map-rule", d: this.lines(pieces) }));
    }
    for (const { bounding } of edges) {
      parts.push(part("path", { class: "sk-map-edge",
        d: this.lines(bounding) + this.ticks(bounding) }));
    }
    this.drawLeaders(parts, edges, tall);
    const best = range && this.screen(range.at);
    if (best) labels.block(best[0] - 9, best[1] - 9, 18, 18, 8);
    this.drawBar(parts, labels);
    parts.push(...figures);
    redraw(this.best, range ? this.bestParts(labels, range, best) : []);
    if (range) this.drawLevels(parts, labels, range);
    redraw(this.still, parts);
    this.range = range;
  }

  // Where the mount is, and what is said beside it.
  blockHere(labels) {
    const at = this.at && this.screen(this.at);
    if (!at) return;
    labels.block(at[0] - 16, at[1] - 16, 32, 32, 8);
    const side = this.hereLeft(at[0]) ? -1 : 1;
    labels.block(at[0] + side * 53 - 37, at[1] + 4, 74, 18, 8);
    if (this.zone.height < 60) labels.block(1, this.zone.y - 4, this.across, this.zone.height + 8, 1);
  }

  polygons(polygons) {
    return polygons.map((points) => `M${points.map((point) => this.screen(point)
      .map((value) => value.toFixed(1)).join(" ")).join("L")}Z`).join("");
  }

  lines(pieces) {
    return pieces.map(({ ends }) => `M${ends.map((point) => this.screen(point)
      .map((value) => value.toFixed(1)).join(" ")).join("L")}`).join("");
  }

  // Ticks at 45° on the side where a rule fails, about 7 px apart.
  ticks(edges) {
    let path = "";
    let walked = 7;
    for (const { ends, away } of edges) {
      const [a, b] = ends.map((point) => this.screen(point));
      walked += Math.hypot(b[0] - a[0], b[1] - a[1]);
      if (walked < 7) continue;
      walked = 0;
      const [mx, my] = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
      const [nx, ny] = [away[0], -away[1]];
      path += `M${mx.toFixed(1)} ${my.toFixed(1)}l${((nx - ny) * 4.2).toFixed(1)} ${
        ((ny + nx) * 4.2).toFixed(1)}`;
    }
    return path;
  }

  drawGrid(parts, labels) {
    const { grid } = this;
    const { unit } = this.store;
    const words = this.store.scene.words;
    const [low, high] = [this.plane(0, this.up), this.plane(this.across, 0)];
    const figures = [];
    const head = `${way(words, 0, (low[0] + high[0]) / 2)}, ${unit}`;
    const headRight = 4 + textWidth(head, 11.5) + 8;
    const put = (text, x, y, anchor, most = SPARED) => {
      const place = labels.place(text, [[x, y, anchor]], { size: 11.5, most });
      figures.push(haloText(text, place, "sk-quiet", 11.5));
    };
    for (const at of lengthTicks(low[0], high[0], unit)) {
      const [x] = this.screen([at, 0]);
      parts.push(part("line", { x1: x, x2: x, y1: 1, y2: this.up + 1, class: "sk-grid" }));
      const text = lengthFigure(Math.abs(at), unit);
      const left = x - textWidth(text, 11.5) / 2;
      if (left > headRight && x < this.across - 40) put(text, x, 13, "middle");
    }
    for (const at of lengthTicks(low[1], high[1], unit)) {
      const [, y] = this.screen([0, at]);
      parts.push(part("line", { x1: 1, x2: this.across + 1, y1: y, y2: y, class: "sk-grid" }));
      if (y > 40 && y < this.up - 10) {
        put(lengthFigure(Math.abs(at), unit), this.across - 4, y + 4, "end");
      }
    }
    put(head, 4, 13, "start", Infinity);
    put(`${way(words, 1, (low[1] + high[1]) / 2)}, ${unit}`, this.across - 4, 27, "end", Infinity);
    return figures;
  }

  // Each rule that borders the good area is named once, in the margin.
  drawLeaders(parts, edges, tall) {
    const { grid } = this;
    const named = [];
    grid.rules.forEach((rule, index) => {
      const { bounding } = edges[index];
      if (!bounding.length) return;
      const spots = bounding.map(({ ends: [a, b] }) => this.screen([(a[0] + b[0]) / 2,
        (a[1] + b[1]) / 2]));
      named.push({ rule, spot: spots.reduce((one, other) => (other[0] > one[0] ? other : one)) });
    });
    named.sort((one, other) => one.spot[1] - other.spot[1]);
    const lines = named.map(({ rule }) => wrapped(rule.replace(/(\d\S*) (?=N\b|mm\b|%)/g, "$1\u00a0"), MAP_RIGHT - 22));
    const room = Math.max(12, tall - 24 - LEADER_GAP * (named.length - 1));
    const wanted = spread(named.map(({ spot }) => spot[1]), LEADER_GAP)
      .map((y, i) => Math.min(Math.max(y - LEADER_GAP * i, 12), room) + LEADER_GAP * i);
    named.forEach(({ spot }, i) => {
      const x = this.across + 8;
      parts.push(part("path", { class: "sk-dimension",
        d: `M${spot[0]} ${spot[1]}L${x} ${wanted[i]}H${x + 6}` }),
      part("circle", { cx: spot[0], cy: spot[1], r: 1.8, class: "sk-arrow" }));
      lines[i].forEach((line, k) => parts.push(part("text", { x: x + 10,
        y: wanted[i] + 4 + k * 14 }, line)));
    });
  }

  drawLevels(parts, labels, { low, high }) {
    const { small } = this.store.scene;
    const least = small ? [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5] : [];
    const step = [...least, 1, 2, 5, 10, 20, 50, 100].find((one) => (high - low) / one <= 6) ?? 200;
    for (let height = Math.ceil(low / step + 0.2) * step; height < high; height += step) {
      const pieces = this.grid.level(height);
      if (!pieces.length) continue;
      parts.push(part("path", { class: "sk-map-level",
        d: this.lines(pieces.map((ends) => ({ ends }))) }));
      const spots = pieces.map(([a]) => this.screen(a)).filter((_, i) => i % 4 === 0)
        .map(([x, y]) => [x, y + 4, "middle"]);
      const text = `${forceFigure(height, small)} N`;
      const place = labels.place(text, spots, { size: 11.5 });
      if (place && place.cost < 100) parts.push(haloText(text, place, "sk-quiet", 11.5));
    }
  }

  bestParts(labels, { low }, [x, y]) {
    const text = `best here ${forceFigure(low, this.store.scene.small, Math.ceil)} N`;
    const spots = [];
    for (const away of [0, 14, 28]) {
      spots.push([x - 12, y - 10 - away, "end"], [x + 12, y - 10 - away, "start"],
        [x + 12, y + 16 + away, "start"], [x - 12, y + 16 + away, "end"]);
    }
    const place = labels.place(text, spots, { weight: 600 });
    return [part("circle", { cx: x, cy: y, r: 4, class: "sk-map-best" }),
      part("path", { d: `M${x - 8} ${y}h16M${x} ${y - 8}v16`, class: "sk-map-best" }),
      haloText(text, place, "sk-strong")];
  }

  // A round length of the unit shown, in a corner of the map that nothing else takes.
  drawBar(parts, labels) {
    const { unit } = this.store;
    const round = unit === "inch" ? [1, 2, 4, 8, 16, 32, 64].map((one) => (one * INCH) / 16)
      : [1, 2, 5, 10, 20, 50, 100];
    const long = round.find((one) => one * this.scale > 44) ?? round.at(-1);
    const size = long * this.scale;
    const [low, high] = [this.up - 9, MAP_HEAD + 24];
    const boxes = [[12, low], [this.across - size - 12, low], [12, high],
      [this.across - size - 12, high]].map(([x, y]) => ({ x: x - 4, y: y - 20, width: size + 8, height: 28 }));
    const box = boxes.reduce((one, other) => (labels.cost(other) < labels.cost(one) ? other : one));
    const [x, y, right] = [box.x + 4, box.y + 20, box.x + 4 + size];
    parts.push(part("path", { class: "sk-map-bar",
      d: `M${x} ${y - 4}v8M${x} ${y}H${right}M${right} ${y - 4}v8` }),
    haloText(lengthWords(long, unit), { x: (x + right) / 2, y: y - 7, anchor: "middle" }, ""));
    labels.block(box.x, box.y, box.width, box.height, 8);
  }

  hereLeft(x) {
    return x > this.across - 110;
  }

  // Where the mount is now, and what that place is worth.
  follow() {
    if (!this.grid || !this.width) return;
    this.sayUnlooked();
    const { selected } = this.store;
    const at = this.at;
    const mine = at && selected.place === this.grid.place_index && selected.mount === this.grid.mount;
    const spot = mine ? this.screen(at) : null;
    const seen = spot && spot[0] > -4 && spot[0] < this.across + 6 && spot[1] > -4
      && spot[1] < this.up + 6;
    this.spot = seen ? spot : null;
    assign(this.here, { visibility: seen ? null : "hidden" });
    assign(this.best, { visibility: null });
    if (!seen) return;
    const [x, y] = spot;
    centre(this.grab.children, x, y);
    const { value, holds } = this.grid.worthOf(at);
    // While it is dragged to a better place than any at rest, that one is not called the best.
    assign(this.best, { visibility: holds && this.range && value < this.range.low ? "hidden" : null });
    const left = this.hereLeft(x);
    setText(this.worth, Number.isFinite(value) ? `here ${forceFigure(value, this.store.scene.small, Math.ceil)} N` : "");
    assign(this.worth, { x: left ? x - 18 : x + 18, y: y + 18, "text-anchor": left ? "end" : "start" });
  }
}

// A text broken into lines of at most this width.
function wrapped(text, width) {
  const lines = [""];
  for (const word of text.split(" ")) {
    const longer = lines.at(-1) ? `${lines.at(-1)} ${word}` : word;
    if (textWidth(longer, 12) <= width || !lines.at(-1)) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}
