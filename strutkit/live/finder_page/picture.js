// The side view of the finder: the door shut and open, and zones whose corners can be dragged.

const SIDES = { frame: "fixed side", panel: "door side" };
const PARTS = ["frame", "panel"];

class ZonePicture {
  constructor(desk) {
    this.desk = desk;
    this.shown = "whole";
    this.handles = [];
    this.node = drawing("svg", { class: "sk-side sk-zones", role: "group", "aria-label":
      "Side view of the door, shut, square to the hinge line, with the zones that are searched" });
    this.back = drawing("g");
    this.front = drawing("g");
    this.grabs = drawing("g");
    this.node.append(this.back, this.front, this.grabs);
    this.bind();
  }

  screen([outward, upward]) {
    return [this.x0 + outward * this.scale, this.y0 - upward * this.scale];
  }

  turned([outward, upward], angle) {
    const [c, s] = [Math.cos(angle), this.desk.scene.turn * Math.sin(angle)];
    return [outward * c - upward * s, outward * s + upward * c];
  }

  // The scale holds through a drag; the buttons above say what is fitted.
  fit() {
    const { scene, end } = this.desk;
    let points = [];
    if (this.shown === "whole") {
      points = [[0, 0], ...scene.outline, ...scene.struts.map((one) => one.frame)];
      for (const part of PARTS) points.push(...this.desk.corners(part));
      for (let i = 1; i <= 24; i += 1) {
        for (const point of [...scene.outline, scene.handle]) {
          points.push(this.turned(point, (i / 24) * end));
        }
      }
    } else points = this.desk.corners(this.shown);
    const [across, up] = [0, 1].map((axis) => points.map((point) => point[axis]));
    const size = [across, up].map((values) => Math.max(...values) - Math.min(...values));
    const centre = [across, up].map((values) => (Math.max(...values) + Math.min(...values)) / 2);
    const margin = this.shown === "whole" ? 40 : 84;
    this.scale = Math.min((this.width - 2 * margin) / Math.max(size[0], 20),
      (this.height - 2 * margin) / Math.max(size[1], 20));
    this.x0 = this.width / 2 - centre[0] * this.scale;
    this.y0 = this.height / 2 + centre[1] * this.scale;
  }

  layout(width, height) {
    this.width = width;
    this.height = height;
    assign(this.node, { width, height, viewBox: `0 0 ${width} ${height}` });
    this.fit();
    this.update();
  }

  show(what) {
    this.shown = what;
    this.fit();
    this.update();
  }

  path(points, close = true) {
    const places = points.map((point) => this.screen(point));
    return `M${places.map(([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`).join("L")}${close ? "Z" : ""}`;
  }

  update() {
    if (!this.width || !this.desk.scene) return;
    this.labels = new Labels(this.width, this.height);
    this.placeHandles();
    this.drawDoor();
    this.drawZones();
  }

  drawDoor() {
    const { scene, end } = this.desk;
    const closed = scene.outline.length > 2;
    const arc = [];
    for (let i = 0; i <= 60; i += 1) arc.push(this.turned(scene.handle, (i / 60) * end));
    const open = scene.outline.map((point) => this.turned(point, end));
    const parts = [drawing("path", { d: this.path(open, closed), class: "sk-ghost" }),
      drawing("path", { d: this.path(arc, false), class: "sk-arc" }),
      drawing("path", { d: this.path(scene.outline, closed),
        class: closed ? "sk-edge sk-solid-panel" : "sk-edge" })];
    this.labels.blockLine(scene.outline.map((point) => this.screen(point)));
    const places = scene.struts.filter((one, index) =>
      scene.struts.findIndex((other) => other.place === one.place) === index);
    for (const strut of places) parts.push(...this.strut(strut));
    const [x, y] = [this.x0, this.y0];
    parts.push(drawing("circle", { cx: x, cy: y, r: 5, class: "sk-hinge" }),
      drawing("path", { d: `M${x - 12} ${y}h24M${x} ${y - 12}v24`, class: "sk-hinge-cross" }));
    this.labels.block(x - 12, y - 12, 24, 24);
    const [hx, hy] = this.screen(scene.handle);
    parts.push(drawing("circle", { cx: hx, cy: hy, r: 4, class: "sk-handle-mark" }));
    const texts = [["hinge line", x, y], ["handle", hx, hy]];
    const [ox, oy] = this.screen(this.turned(scene.handle, end));
    texts.push([`open ${travelDegrees(end)}`, ox, oy]);
    for (const [text, tx, ty] of texts) this.label(parts, text, tx, ty, "sk-quiet");
    this.back.replaceChildren(...parts);
  }

  strut(strut) {
    const { end } = this.desk;
    const [rod, tube] = strut.rod_end === "frame" ? [strut.frame, strut.panel]
      : [strut.panel, strut.frame];
    const along = Math.hypot(rod[0] - tube[0], rod[1] - tube[1], rod[2] - tube[2]);
    const share = Math.min(strut.tube_length / along, 1);
    const [a, b] = [this.screen(tube), this.screen(rod)];
    const to = [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
    const width = Math.min(Math.max(strut.tube_diameter * this.scale, 6), 18);
    this.labels.blockLine([a, b], 0.6, 6);
    const line = (from, until, className, stroke) => drawing("line", { x1: from[0], y1: from[1],
      x2: until[0], y2: until[1], class: className, "stroke-width": stroke });
    return [drawing("path", { class: "sk-arc",
      d: this.path([strut.frame, this.turned(strut.panel, end)], false) }),
    line(to, b, "sk-rod"), line(a, to, "sk-tube-edge", width + 2), line(a, to, "sk-tube-body",
      width - 2), ...[a, b].map(([cx, cy]) => drawing("circle", { cx, cy, r: 3.4, class: "sk-ball" }))];
  }

  label(parts, text, x, y, className) {
    if (x < 0 || y < 0 || x > this.width || y > this.height) return;
    const place = this.labels.place(text, [[x + 12, y - 8], [x + 12, y + 16], [x - 12, y - 8, "end"],
      [x - 12, y + 16, "end"], [x, y - 16, "middle"], [x, y + 24, "middle"]]);
    parts.push(haloLabel(text, place, className));
  }

  drawZones() {
    const { desk } = this;
    const parts = [];
    const chosen = PARTS.map((part) => desk.zones[part]);
    desk.scene.zones.forEach((zone, number) => {
      if (!chosen.includes(number)) {
        parts.push(drawing("path", { d: this.path(zone.corners), class: "sk-other-zone" }));
      }
    });
    for (const part of PARTS) {
      const corners = desk.corners(part);
      const refused = Boolean(desk.refused[part]);
      parts.push(drawing("path", { d: this.path(corners), "data-part": part,
        class: refused ? "sk-zone sk-zone-refused" : "sk-zone" }));
      const places = corners.map((point) => this.screen(point));
      const spots = places.flatMap(([x, y]) => [[x + 16, y - 10], [x - 16, y - 10, "end"],
        [x + 16, y + 20], [x - 16, y + 20, "end"]]);
      parts.push(haloLabel(SIDES[part], this.labels.place(SIDES[part], spots, { weight: 600 }),
        `sk-strong${refused ? " sk-fails" : ""}`));
    }
    this.front.replaceChildren(...parts);
  }

  // Handles ------------------------------------------------------------------------------------

  placeHandles() {
    const { desk } = this;
    const counts = JSON.stringify(PARTS.map((part) => desk.corners(part).length));
    if (counts !== this.built) this.buildHandles();
    this.built = counts;
    for (const handle of this.handles) {
      const at = desk.corners(handle.part)[handle.at];
      [handle.x, handle.y] = this.screen(at);
      handle.selected = desk.selected.part === handle.part && desk.selected.at === handle.at;
      handle.node.classList.toggle("sk-in-use", handle.selected);
      assign(handle.node, { transform: `translate(${handle.x.toFixed(2)} ${handle.y.toFixed(2)})`,
        "aria-valuemin": -100000, "aria-valuemax": 100000, "aria-valuenow": Math.round(at[0]),
        "aria-valuetext": placeWords(desk.scene.words, at, desk.unit) });
      this.labels.block(handle.x - 9, handle.y - 9, 18, 18, 2);
    }
  }

  buildHandles() {
    const nodes = [];
    this.handles = [];
    for (const part of PARTS) {
      this.desk.corners(part).forEach((_, at) => {
        const node = drawing("g", { role: "slider", tabindex: 0, class: "sk-grab sk-corner",
          "data-lm-suppress-shortcuts": "true", "aria-roledescription": "corner of a zone",
          "aria-label": `${SIDES[part]} zone, corner ${at + 1}` },
        drawing("circle", { r: HIT, class: "sk-hit" }), drawing("circle", { r: 13, class: "sk-ring" }),
        drawing("circle", { r: 7, class: "sk-disc" }), drawing("circle", { r: 2, class: "sk-dot" }));
        const handle = { part, at, node, x: 0, y: 0, selected: false };
        node.addEventListener("keydown", (event) => this.key(handle, event));
        node.addEventListener("focus", () => this.desk.select(part, at));
        node.addEventListener("blur", () => this.keysEnd(handle));
        this.handles.push(handle);
        nodes.push(node);
      });
    }
    this.grabs.replaceChildren(...nodes);
  }

  bind() {
    let handle = null;
    let offset = [0, 0];
    dragging(this.node, {
      holds: (x, y) => nearest(this.handles, x, y) !== null,
      start: (x, y) => {
        handle = nearest(this.handles, x, y);
        if (handle === null) return false;
        offset = [handle.x - x, handle.y - y];
        this.moved = false;
        handle.node.focus({ preventScroll: true });
        return true;
      },
      move: (x, y, event) => {
        if (handle === null) return;
        const step = event.altKey ? (value) => Math.round(value * 10) / 10
          : (value) => snapped(value, this.desk.unit);
        this.moved = true;
        this.moveTo(handle, [step((x + offset[0] - this.x0) / this.scale),
          step((this.y0 - y - offset[1]) / this.scale)]);
      },
      end: () => {
        if (handle !== null && this.moved) this.desk.stay(handle.part);
        handle = null;
      },
      cancel: () => {
        if (handle !== null) this.desk.back(handle.part);
        handle = null;
      },
    });
  }

  moveTo(handle, [outward, upward]) {
    const corners = this.desk.corners(handle.part).map((one) => [...one]);
    corners[handle.at] = [outward, upward, corners[handle.at][2]];
    this.desk.dragging = true;
    this.desk.move(handle.part, corners);
  }

  // Arrow keys move by one step, with Shift by ten; Escape goes back to the door's own zone.
  key(handle, event) {
    if (event.key === "Escape") {
      event.preventDefault();
      clearTimeout(this.rest);
      this.rest = null;
      this.desk.back(handle.part);
      return;
    }
    const [across, up] = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1],
      ArrowDown: [0, -1] }[event.key] ?? [0, 0];
    if (!across && !up) return;
    event.preventDefault();
    const step = lengthStep(this.desk.unit) * (event.shiftKey ? 10 : 1);
    const at = this.desk.corners(handle.part)[handle.at];
    const round = (value) => Math.round(value * 1e6) / 1e6;
    this.moveTo(handle, [round(at[0] + across * step), round(at[1] + up * step)]);
    clearTimeout(this.rest);
    this.rest = setTimeout(() => this.keysEnd(handle), 600);
  }

  keysEnd(handle) {
    if (!this.rest) return;
    clearTimeout(this.rest);
    this.rest = null;
    this.desk.stay(handle.part);
  }
}

function haloLabel(text, place, className) {
  return drawing("text", { x: place.x, y: place.y, "text-anchor": place.anchor,
    class: `sk-label ${className}` }, text);
}
