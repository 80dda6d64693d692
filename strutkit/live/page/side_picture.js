// The side view as a picture, square to the hinge line: the door at its angle.

const MOUNTS = ["frame", "panel"];
const SIDES = { frame: "fixed side", panel: "door side" };

class SidePicture {
  constructor(store) {
    this.store = store;
    this.zoom = 1;
    this.pan = [0, 0];
    this.handles = [];
    this.node = drawing("svg", { class: "sk-side", role: "group", "aria-label":
      "Side view of the door, square to the hinge line" });
    this.hatch = `sk-hatch-${Math.random().toString(36).slice(2)}`;
    this.defs = drawing("defs", {}, drawing("pattern", { id: this.hatch, width: 6, height: 6,
      patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
    drawing("line", { x1: 0, y1: 0, x2: 0, y2: 6, class: "sk-hatch" })));
    this.layers = {};
    for (const name of ["map", "still", "dimensions", "swing", "panel", "struts", "marks", "labels",
      "refused", "handles"]) {
      this.layers[name] = drawing("g", { class: `sk-layer-${name}` });
    }
    this.node.append(this.defs, ...Object.values(this.layers));
  }

  // Places -------------------------------------------------------------------------------------

  screen([outward, upward]) {
    return [this.x0 + outward * this.scale, this.y0 - upward * this.scale];
  }

  plane(x, y) {
    return [(x - this.x0) / this.scale, (this.y0 - y) / this.scale];
  }

  turned([outward, upward], angle) {
    const [c, s] = [Math.cos(angle), this.store.scene.turn * Math.sin(angle)];
    return [outward * c - upward * s, outward * s + upward * c];
  }

  // The scale holds for all positions of the door; it never changes during a drag.
  fit() {
    const { scene } = this.store;
    const points = [[0, 0], ...scene.struts.map((one) => one.frame)];
    for (const zone of scene.zones) if (zone.part === "frame") points.push(...zone.corners);
    const added = scene.conditions.map((one) => one.added_at).filter((one) => one !== null);
    const moving = [...scene.outline, scene.handle, scene.centre, ...added,
      ...scene.struts.map((one) => one.panel)];
    for (const zone of scene.zones) if (zone.part === "panel") moving.push(...zone.corners);
    const swing = [];
    for (let i = 0; i <= 36; i += 1) {
      for (const point of moving) swing.push(this.turned(point, (i / 36) * scene.stop_angle));
    }
    points.push(...swing);
    const across = points.map((point) => point[0]);
    const up = points.map((point) => point[1]);
    const handle = Array.from({ length: 19 }, (_, i) =>
      this.turned(scene.handle, (i / 18) * scene.stop_angle));
    this.heightsLeft = mean(handle.map((point) => point[0])) >= 0;
    this.depthsAbove = mean(handle.map((point) => point[1])) <= 0;
    // Figures of depths stand upright beyond their line; 64ths of an inch are the longest.
    this.depthRoom = this.store.unit === "inch" ? 66 : 50;
    const deep = this.depthRoom + 30;
    const margin = { left: this.heightsLeft ? 74 : 34, right: this.heightsLeft ? 34 : 74,
      top: this.depthsAbove ? deep : 30, bottom: this.depthsAbove ? 30 : deep };
    const [low, high] = [Math.min(...across), Math.max(...across)];
    const [floor, ceiling] = [Math.min(...up), Math.max(...up)];
    const room = [this.width - margin.left - margin.right, this.height - margin.top - margin.bottom];
    const scale = Math.min(room[0] / Math.max(high - low, 1), room[1] / Math.max(ceiling - floor, 1));
    this.base = { scale, x0: margin.left + room[0] / 2 - ((low + high) / 2) * scale,
      y0: margin.top + room[1] / 2 + ((floor + ceiling) / 2) * scale };
  }

  // The whole-door scale with zoom and shift on top.
  apply() {
    const { base, zoom, pan } = this;
    const [cx, cy] = [this.width / 2, this.height / 2];
    this.scale = base.scale * zoom;
    this.x0 = cx + (base.x0 - cx) * zoom + pan[0];
    this.y0 = cy + (base.y0 - cy) * zoom + pan[1];
  }

  layout(width, height) {
    this.width = width;
    this.height = height;
    assign(this.node, { width, height, viewBox: `0 0 ${width} ${height}` });
    const { outline, stop_angle: stop, zones, handle } = this.store.scene;
    const key = JSON.stringify([width, height, outline, stop, zones, handle, this.store.unit]);
    if (key !== this.fitted) this.fit();
    this.fitted = key;
    this.apply();
    this.buildHandles();
    this.update();
  }

  // Zoom about a place of the picture.
  zoomBy(factor, x = this.width / 2, y = this.height / 2) {
    const before = this.plane(x, y);
    this.zoom = Math.min(Math.max(this.zoom * factor, 1), 40);
    if (this.zoom === 1) this.pan = [0, 0];
    this.apply();
    if (this.zoom > 1) {
      const after = this.screen(before);
      this.pan = [this.pan[0] + x - after[0], this.pan[1] + y - after[1]];
      this.apply();
    }
    this.update();
  }

  zoomButton(factor) {
    const handle = this.handles.find((one) => one.selected);
    this.zoomBy(factor, handle?.x, handle?.y);
  }

  whole() {
    this.zoom = 1;
    this.pan = [0, 0];
    this.fit();
    this.apply();
    this.update();
  }

  // Drawing ------------------------------------------------------------------------------------

  update() {
    if (!this.width || !this.store.scene) return;
    this.drawMap();
    this.drawStill();
    this.drawSwing();
    this.turn();
  }

  // New curves: travel and marks may end elsewhere.
  retrace() {
    if (!this.width || !this.store.scene) return;
    this.drawSwing();
    this.turn();
  }

  // All that moves with the angle or with a drag.
  turn() {
    if (!this.width || !this.store.scene) return;
    this.labels = new Labels(this.width, this.height);
    for (const corners of this.ground ?? []) {
      this.labels.blockLine([...corners, corners[0]].map((point) => this.screen(point)));
    }
    for (const [x, y] of this.arc) this.labels.block(x - 4, y - 4, 8, 8, 0.7);
    this.placeHandles();
    if (this.measured === this.dimensionKey()) this.labels.taken.push(...this.dimensionBlocks);
    else this.drawDimensions();
    this.turnMap();
    this.drawPanel();
    this.drawStruts();
    this.drawMarks();
    this.drawRefused();
  }

  // What a dragged mount moves before Python has answered; the rest follows with the curves.
  follow() {
    if (!this.store.streaming) {
      this.turn();
      return;
    }
    this.labels = new Labels(this.width, this.height);
    this.placeHandles();
    this.drawStruts();
    this.drawRefused();
  }

  path(points, close = true) {
    const places = points.map((point) => this.screen(point));
    return `M${places.map(([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`).join("L")}${close ? "Z" : ""}`;
  }

  drawStill() {
    const { scene } = this.store;
    const parts = [];
    for (const zone of scene.zones) {
      if (zone.part === "frame") {
        parts.push(part("path", { d: this.path(zone.corners), class: "sk-zone" }));
      }
    }
    parts.push(...this.fixedSide());
    const closed = scene.outline.length > 2;
    const shut = this.path(scene.outline, closed);
    parts.push(part("path", { d: shut, class: "sk-ghost" }));
    redraw(this.layers.still, parts);
  }

  // The edges of the opening in section, cut off short: at the hinge line beyond the panel, and
  // the seat under the shut panel's free edge. What lies farther on the door file does not say.
  fixedSide() {
    const { scene } = this.store;
    const outer = scene.outline.slice(0, Math.ceil(scene.outline.length / 2));
    const far = outer.reduce((one, other) =>
      (Math.hypot(...other) > Math.hypot(...one) ? other : one));
    const reach = Math.hypot(...far);
    if (reach * this.base.scale < 60) return [];
    const along = [far[0] / reach, far[1] / reach];
    const inward = [scene.turn * along[1], -scene.turn * along[0]];
    const [long, deep, gap] = [34, 12, 4].map((pixels) => pixels / this.base.scale);
    const face = Math.max(0, ...scene.outline.map((point) =>
      (point[0] - far[0]) * inward[0] + (point[1] - far[1]) * inward[1]));
    const at = (a, i) => [along[0] * a + inward[0] * i, along[1] * a + inward[1] * i];
    const block = (from, to, low, high) => [at(from, low), at(to, low), at(to, high), at(from, high)];
    const hinge = block(-2 * gap - long, -2 * gap, -deep / 2, deep / 2);
    const seat = block(reach - deep, reach + long / 2, face + gap, face + gap + deep);
    this.ground = [hinge, seat];
    return this.ground.flatMap((corners) => [
      part("path", { d: this.path(corners), class: "sk-cut-ground" }),
      part("path", { d: this.path(corners), fill: `url(#${this.hatch})` }),
      part("path", { d: this.path(corners), class: "sk-cut-edge" })]);
  }

  // Where all rules hold, behind the mount in use; on the panel it turns with the door.
  drawMap() {
    if (!this.width || !this.store.scene) return;
    const { map } = this.store;
    const shades = map && map.range ? [0, 2, 4] : [];
    redraw(this.layers.map, shades.map((shade) => part("path", { class: "sk-map-holds",
      d: map.shaded(shade).map((points) => this.path(points)).join("") })));
    this.turnMap();
  }

  turnMap() {
    const { map, scene, shownAngle } = this.store;
    const turn = map?.mount === "panel" ? (-scene.turn * shownAngle) / DEGREE : 0;
    assign(this.layers.map, { transform: turn ? `rotate(${turn} ${this.x0} ${this.y0})` : null });
  }

  drawSwing() {
    const { scene, curves } = this.store;
    const parts = [];
    this.arc = [];
    if (curves) {
      const { end } = curves;
      const closed = scene.outline.length > 2;
      const open = scene.outline.map((point) => this.turned(point, end));
      parts.push(part("path", { d: this.path(open, closed), class: "sk-ghost" }));
      const arc = [];
      for (let i = 0; i <= 60; i += 1) arc.push(this.turned(scene.handle, (i / 60) * end));
      this.arc = arc.map((point) => this.screen(point));
      parts.push(part("path", { d: this.path(arc, false), class: "sk-arc" }));
      for (let at = 10; at * DEGREE < end - 1e-6; at += 10) {
        parts.push(this.arcTick(at * DEGREE, at % 30 ? 4 : 6, "sk-arc-tick"));
      }
      for (const [low, high, word] of curves.segments) {
        if (word !== "rests") continue;
        for (let at = low; at <= high; at += 1.2 * DEGREE) {
          parts.push(this.arcTick(at, 4, "sk-arc-rest"));
        }
      }
      if (curves.lift_off > 0) parts.push(this.arcTick(curves.lift_off, 13, "sk-lift"));
      for (const strut of this.places()) {
        const { frame, panel } = this.store.mounts(strut);
        for (const angle of [0, end]) {
          parts.push(part("path", { class: "sk-arc",
            d: this.path([frame, this.turned(panel, angle)], false) }));
        }
      }
    }
    redraw(this.layers.swing, parts);
  }

  arcTick(angle, half, className) {
    const [x, y] = this.screen(this.turned(this.store.scene.handle, angle));
    const [dx, dy] = [x - this.x0, y - this.y0];
    const far = Math.hypot(dx, dy) || 1;
    const [ux, uy] = [dx / far, dy / far];
    return part("line", { x1: x - ux * half, y1: y - uy * half, x2: x + ux * half,
      y2: y + uy * half, class: className });
  }

  // The originals: a mirrored twin hangs behind its original in this view.
  places() {
    const { struts } = this.store.scene;
    return struts.filter((one, index) => struts.findIndex((o) => o.place === one.place) === index);
  }

  drawPanel() {
    const { scene } = this.store;
    const angle = this.store.shownAngle;
    const at = (points) => points.map((point) => this.turned(point, angle));
    const closed = scene.outline.length > 2;
    const parts = [];
    for (const zone of scene.zones) {
      if (zone.part === "panel") {
        parts.push(part("path", { d: this.path(at(zone.corners)), class: "sk-zone" }));
      }
    }
    const outline = at(scene.outline);
    parts.push(part("path", { d: this.path(outline, closed),
      class: closed ? "sk-edge sk-solid-panel" : "sk-edge" }));
    this.labels.blockLine(outline.map((point) => this.screen(point)));
    redraw(this.layers.panel, parts);
  }

  drawStruts() {
    const angle = this.store.shownAngle;
    const parts = [];
    const lost = this.store.lostStrut;
    for (const strut of this.places()) {
      const { frame, panel } = this.store.mounts(strut);
      const turned = this.turned(panel, angle);
      if (lost?.place === strut.place && !strut.mirrored) {
        parts.push(part("path", { d: this.path([frame, turned], false), class: "sk-lost-strut" }));
        continue;
      }
      const [rod, tube] = strut.rod_end === "frame" ? [frame, turned] : [turned, frame];
      const along = Math.hypot(turned[0] - frame[0], turned[1] - frame[1], panel[2] - frame[2]);
      const share = Math.min(strut.tube_length / along, 1);
      const [a, b] = [this.screen(tube), this.screen(rod)];
      const end = [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
      parts.push(part("line", { x1: end[0], y1: end[1], x2: b[0], y2: b[1], class: "sk-rod" }));
      parts.push(part("path", { class: "sk-tube",
        d: barPath(a, end, Math.max(strut.tube_diameter * this.scale, 5) / 2) }));
      this.labels.blockLine([a, b], 0.6, 6);
    }
    redraw(this.layers.struts, parts);
  }
}

function barPath([ax, ay], [bx, by], half) {
  const length = Math.hypot(bx - ax, by - ay) || 1;
  const [nx, ny] = [(-(by - ay) / length) * half, ((bx - ax) / length) * half];
  const corner = (x, y) => `${x.toFixed(2)} ${y.toFixed(2)}`;
  return `M${corner(ax + nx, ay + ny)}L${corner(bx + nx, by + ny)}L${corner(bx - nx, by - ny)}`
    + `L${corner(ax - nx, ay - ny)}Z`;
}
