// The side view with mounts to take hold of: by mouse, finger and keys.

class SideView extends SideMarks {
  constructor(store) {
    super(store);
    this.bind();
  }

  // Handles stay while the struts are the same, so that the focus stays too.
  buildHandles() {
    const places = this.places();
    const names = JSON.stringify(places.map((one) => [one.place, one.name]));
    if (names === this.built) {
      for (const one of this.handles) one.strut = this.store.strutAt(one.place);
      return;
    }
    this.built = names;
    const nodes = [];
    this.handles = [];
    for (const strut of places) {
      for (const mount of MOUNTS) {
        const node = drawing("g", { role: "slider", tabindex: 0, class: "sk-grab",
          ...OURS, "aria-roledescription": "mount",
          "aria-label": `${strut.name}, mount on ${mount}` },
        drawing("circle", { r: HIT, class: "sk-hit" }), drawing("circle", { r: 15, class: "sk-ring" }),
        drawing("circle", { r: 8.5, class: "sk-disc" }), drawing("circle", { r: 2.5, class: "sk-dot" }));
        const handle = { place: strut.place, mount, strut, node, x: 0, y: 0, selected: false };
        node.addEventListener("keydown", (event) => this.key(handle, event));
        node.addEventListener("focus", () => this.store.select(handle.place, handle.mount));
        node.addEventListener("blur", () => {
          this.store.endBurst();
          this.before = null;
        });
        this.handles.push(handle);
        nodes.push(node);
      }
    }
    this.layers.handles.replaceChildren(...nodes);
  }

  placeHandles() {
    const { store } = this;
    for (const handle of this.handles) {
      const at = store.mounts(handle.strut)[handle.mount];
      const seen = handle.mount === "panel" ? this.turned(at, store.shownAngle) : at;
      [handle.x, handle.y] = this.screen(seen);
      handle.selected = store.selected.place === handle.place
        && store.selected.mount === handle.mount;
      handle.node.classList.toggle("sk-in-use", handle.selected);
      centre(handle.node.children, handle.x, handle.y);
      assign(handle.node, { "aria-valuemin": -100000, "aria-valuemax": 100000, "aria-valuenow": Math.round(at[0]),
        "aria-valuetext": placeWords(store.scene.words, at, store.unit) });
      this.labels.block(handle.x - 12, handle.y - 12, 24, 24, 2);
    }
  }

  bind() {
    let handle = null;
    let offset = [0, 0];
    let last = null;
    dragging(this.node, {
      holds: (x, y) => nearest(this.handles, x, y) !== null || this.zoom > 1,
      start: (x, y) => {
        last = [x, y];
        handle = nearest(this.handles, x, y);
        if (handle === null) return this.zoom > 1;
        offset = [handle.x - x, handle.y - y];
        this.begin(handle);
        handle.node.focus({ preventScroll: true });
        return true;
      },
      move: (x, y, event) => {
        if (handle === null) {
          this.pan = [this.pan[0] + x - last[0], this.pan[1] + y - last[1]];
          last = [x, y];
          this.apply();
          this.update();
          return;
        }
        this.dragTo(handle, x + offset[0], y + offset[1], event.altKey);
      },
      end: () => {
        if (handle !== null && this.store.dragging) this.store.commit();
        handle = null;
      },
      cancel: () => {
        if (handle !== null) this.store.cancel();
        handle = null;
      },
    });
    this.node.addEventListener("wheel", (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      const box = this.node.getBoundingClientRect();
      this.zoomBy(Math.exp(-event.deltaY / 400), event.clientX - box.left, event.clientY - box.top);
    }, { passive: false });
  }

  begin(handle) {
    const { store } = this;
    this.before = null;
    store.hold(handle.place, handle.mount);
    this.start = store.mounts(store.strutAt(handle.place))[handle.mount];
  }

  dragTo(handle, x, y, free) {
    const { store } = this;
    let [outward, upward] = this.plane(x, y);
    if (handle.mount === "panel") [outward, upward] = this.turned([outward, upward], -store.shownAngle);
    const step = free ? (value) => Math.round(value * 10) / 10 : (value) => snapped(value, store.unit);
    const along = this.start[2];
    store.move({ place: handle.place, [handle.mount]: [step(outward), step(upward), along],
      axes: [0, 1] });
  }

  // Where the mount was before the keys moved it, as long as it keeps the focus.
  back(handle) {
    const { store, before } = this;
    this.before = null;
    if (before) store.takeBack(before);
    else store.cancel();
  }

  // Arrow keys move by one step, with Shift by ten; Escape goes back to where it was.
  key(handle, event) {
    const { store } = this;
    if (event.key === "Escape") {
      event.preventDefault();
      this.back(handle);
      return;
    }
    const [axis, way] = { ArrowRight: [0, 1], ArrowLeft: [0, -1], ArrowUp: [1, 1], ArrowDown: [1, -1],
      PageUp: [2, 1], PageDown: [2, -1] }[event.key] ?? [];
    if (axis === undefined) return;
    event.preventDefault();
    const { place, mount } = handle;
    const by = way * lengthStep(store.unit) * (event.shiftKey ? 10 : 1);
    if (store.onItsWay) {
      this.before = store.stepBy(this.before, place, mount, axis, by);
      return;
    }
    if (!store.dragging || store.draft?.place !== place || store.grip !== mount) {
      const { before } = this;
      this.begin(handle);
      this.before = before;
    }
    const shown = store.mounts(store.strutAt(place))[mount];
    this.before = store.remember(this.before, place, mount, shown, axis);
    const moved = [...(store.draft?.[mount] ?? shown)];
    const from = store.draft?.axes.includes(axis) ? moved : shown;
    moved[axis] = Math.round((from[axis] + by) * 1e6) / 1e6;
    store.move({ place, [mount]: moved, axes: [axis] });
    store.commitSoon();
  }

  // A place that does not fit: hollow handle at the pointer, dashed strut ---------------------------

  drawRefused() {
    const { store } = this;
    const edit = store.tried;
    const strut = edit && store.strutAt(edit.place);
    const moved = strut ? store.movedMounts(strut, edit, [0, 1]) : [];
    if (!moved.length) {
      this.layers.refused.replaceChildren();
      return;
    }
    const at = store.mountsWith(strut, edit);
    const seen = { frame: at.frame, panel: this.turned(at.panel, store.shownAngle) };
    const parts = [part("path", { d: this.path([seen.frame, seen.panel], false),
      class: "sk-refused-strut" })];
    for (const mount of moved) {
      const [x, y] = this.screen(seen[mount]);
      parts.push(...refusedDisc(x, y, 8.5));
      const place = this.labels.place("does not fit", [[x + 18, y + 4, "start"],
        [x - 18, y + 4, "end"], [x, y + 26, "middle"], [x, y - 18, "middle"]], { weight: 600 });
      parts.push(haloText("does not fit", place, "sk-strong sk-fails"));
    }
    redraw(this.layers.refused, parts);
  }
}

// A mount where it does not fit.
function refusedDisc(x, y, radius) {
  return [part("circle", { cx: x, cy: y, r: radius, class: "sk-refused" }),
    part("path", { d: `M${x - 3.5} ${y - 3.5}l7 7M${x + 3.5} ${y - 3.5}l-7 7`, class: "sk-refused" })];
}
