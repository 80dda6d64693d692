// Under the side view: which mount, its numbers to type, and the view along the hinge line.

const LONGEST_CHOICE = 20; // letters of a strut's name in the list of mounts

class Boxes {
  constructor(store) {
    this.store = store;
    this.choice = control("select", { "aria-label": "Mount" });
    this.choice.addEventListener("change", () => {
      const [place, mount] = this.choice.value.split(" ");
      store.select(Number(place), mount);
    });
    this.unit = element("span", { class: "sk-unit" });
    this.boxes = [0, 1, 2].map((axis) => this.box(axis));
    this.sent = new Map(); // what was typed for a mount and axis, until the door with it is drawn
    this.node = element("div", { class: "sk-boxes" }, this.choice, this.unit,
      element("div", { class: "sk-numbers" }, ...this.boxes.map((one) => one.label)));
  }

  // A box keeps the direction that it had when its mount was chosen: a number below zero lies the
  // other way, and means the same however often it is typed.
  senses() {
    const { selected, scene } = this.store;
    const of = JSON.stringify([selected, this.store.nameAt(selected.place), scene.key]);
    if (of !== this.sensed?.of) {
      this.sensed = { of, ways: this.at.map((value) => (value < 0 ? -1 : 1)) };
    }
    return this.sensed.ways;
  }

  box(axis) {
    const word = element("span");
    const input = control("input", { type: "text", inputmode: "decimal", autocomplete: "off" });
    const label = element("label", {}, word, input);
    // What is typed belongs to the mount and unit that the boxes showed when the typing began.
    input.addEventListener("input", () => {
      this.owner ??= this.shownMount();
      this.store.enter(true);
    });
    input.addEventListener("blur", () => {
      this.take(axis, input);
      this.before = null;
    });
    input.addEventListener("keydown", (event) => {
      if (event.key === "Enter") this.take(axis, input);
      if (event.key === "Escape") {
        this.escape(axis, input);
        input.blur();
      }
      const sense = { ArrowUp: 1, ArrowDown: -1 }[event.key];
      if (!sense) return;
      event.preventDefault();
      this.step(axis, sense * (event.shiftKey ? 10 : 1));
    });
    return { word, input, label };
  }

  // The typing is over: what was typed since it began counts.
  take(axis, input) {
    const { owner } = this;
    if (!owner) return;
    this.owner = null;
    // Escape goes back to it from the keys after it.
    if (input.value !== input.dataset.shown) this.before = null;
    this.typed(axis, input, owner);
    this.store.enter(false);
  }

  // What is typed goes, and what was typed before and does not fit; where nothing is, the mount goes
  // back to where the keys took it from.
  escape(axis, input) {
    const { store, before } = this;
    const { place, mount } = store.selected;
    if (this.onItsWay(axis) || store.untakenIn(place, mount, axis)) {
      store.drop([[place, mount, axis]]);
    }
    const typed = input.value !== input.dataset.shown;
    this.owner = null;
    store.enter(false);
    input.value = input.dataset.shown;
    if (!typed && before) store.takeBack(before);
  }

  get at() {
    const { store } = this;
    const strut = store.strutAt(store.selected.place);
    return strut && store.mounts(strut)[store.selected.mount];
  }

  // A step counts from the place that the mount has after all that is typed and on its way.
  step(axis, steps) {
    const { store } = this;
    const { input } = this.boxes[axis];
    this.take(axis, input);
    const { place, mount } = store.selected;
    const by = this.senses()[axis] * steps * lengthStep(store.unit);
    if (store.onItsWay) {
      this.before = store.stepBy(this.before, place, mount, axis, by);
      return;
    }
    input.value = input.dataset.shown;
    const at = [...this.at];
    this.before = store.remember(this.before, place, mount, at, axis);
    at[axis] = Math.round((at[axis] + by) * 1e6) / 1e6;
    store.hold(place, mount);
    store.move({ place, [mount]: at, axes: [axis] });
    store.commitSoon();
  }

  shownMount() {
    const { selected, unit, scene } = this.store;
    return { ...selected, strut: this.store.nameAt(selected.place), ways: this.senses(), unit,
      door: scene.key };
  }

  // What was typed for the mount that the boxes show and is on its way, unless it was moved since.
  onItsWay(axis) {
    const { selected, scene, unit } = this.store;
    const { place, mount } = selected;
    const sent = this.sent.get(`${place} ${mount} ${axis}`);
    return sent && !this.movedSince(axis) && sent.unit === unit && sent.door === scene.key ? sent : null;
  }

  // A number alone is in the unit that stands beside the boxes; a unit may be typed as well.
  async typed(axis, input, { place, mount, strut, ways, unit, door }) {
    const { store } = this;
    const text = input.value;
    const waits = store.untakenIn(place, mount, axis);
    if (text === input.dataset.shown && !store.undrawn && !waits) {
      if (store.refused && !store.dragging) store.forget();
      return;
    }
    if (door !== store.scene.key) {
      input.value = input.dataset.shown;
      store.say({ words: `Another door was opened while ${text} was typed; nothing was changed.` });
      return;
    }
    const key = `${place} ${mount} ${axis}`;
    const sent = { unit, door, text };
    this.sent.set(key, sent);
    input.dataset.shown = text;
    const { unread } = await store.type({ place, strut, door,
      typed: { mount, axis, sense: ways[axis], text, unit } });
    sent.answered = true;
    if (!unread || this.sent.get(key) !== sent) return;
    this.sent.delete(key);
    this.update();
  }

  // A text that could not be read stays in its box until it is mended or given up.
  unread(axis) {
    const { place, mount } = this.store.selected;
    const waits = this.store.untakenIn(place, mount, axis);
    return waits && !waits.read && !this.movedSince(axis) ? waits.edit.typed.text : null;
  }

  // Whether a hand moves the mount that the boxes show along this axis.
  movedSince(axis) {
    const { selected: { place, mount }, draft } = this.store;
    return draft?.place === place && draft[mount] && (draft.axes?.includes(axis) ?? true);
  }

  rebuild() {
    const { scene } = this.store;
    const options = [];
    scene.struts.forEach((strut, index) => {
      if (scene.struts.findIndex((one) => one.place === strut.place) !== index) return;
      for (const mount of ["panel", "frame"]) {
        options.push([`${strut.place} ${mount}`,
          `${SIDES[mount]}, ${fittedWords(strut.name, LONGEST_CHOICE)}`]);
      }
    });
    setOptions(this.choice, options);
    // Another mount lies another way: the boxes stay where they are, with room for either word.
    this.boxes.forEach(({ word }, axis) => {
      const widths = scene.words[axis].map((one) => textWidth(one, 13));
      word.style.minWidth = `${Math.ceil(Math.max(...widths))}px`;
    });
    this.node.hidden = options.length === 0;
    for (const [key, { answered }] of this.sent) if (answered) this.sent.delete(key);
    this.update();
  }

  update() {
    const { store } = this;
    const { selected, scene, unit } = store;
    const at = this.at;
    if (!at) return;
    const choice = `${selected.place} ${selected.mount}`;
    if (this.choice.value !== choice) this.choice.value = choice;
    setText(this.unit, unit);
    this.node.classList.toggle("sk-inch", unit === "inch");
    const strut = store.strutAt(selected.place);
    this.choice.title = `${SIDES[selected.mount]}, ${strut.name}`;
    const ways = this.senses();
    this.boxes.forEach(({ word, input }, axis) => {
      const name = way(scene.words, axis, ways[axis]);
      setText(word, name);
      const sent = this.onItsWay(axis)?.text;
      const unread = sent ? null : this.unread(axis);
      const text = sent ?? placeFigure(ways[axis] * at[axis], unit);
      input.setAttribute("aria-label",
        `${strut.name}, mount on ${selected.mount}, ${name}, ${unit}`);
      const typing = document.activeElement === input && Boolean(this.owner);
      input.dataset.shown = text;
      assign(input, { "aria-invalid": unread === null ? null : "true",
        "aria-describedby": unread === null ? null : store.messageId });
      const shown = unread ?? text;
      if (!typing && input.value !== shown) writeIn(input, shown);
    });
  }
}

// A text with its middle left out where it has more letters.
function fittedWords(text, most) {
  const letters = [...text];
  if (letters.length <= most) return text;
  const half = Math.floor((most - 1) / 2);
  return `${letters.slice(0, half).join("")}…${letters.slice(-half).join("")}`;
}

// Another text in a box; a text that is selected whole, to be typed over, stays so.
function writeIn(input, text) {
  const whole = document.activeElement === input && input.value !== ""
    && input.selectionStart === 0 && input.selectionEnd === input.value.length;
  input.value = text;
  if (whole) input.select();
}

// The view along the hinge line, seen from outside: where each mount sits along it.
class AlongView {
  constructor(store) {
    this.store = store;
    this.node = drawing("svg", { class: "sk-along", role: "group",
      "aria-label": "Places along the hinge line, seen from outside" });
    this.still = drawing("g");
    this.grabs = drawing("g");
    this.node.append(this.still, this.grabs);
    this.handles = [];
    let handle = null;
    let start = null;
    dragging(this.node, {
      holds: (x, y) => nearest(this.handles, x, y) !== null,
      start: (x, y) => {
        handle = nearest(this.handles, x, y);
        if (!handle) return false;
        store.hold(handle.place, handle.mount);
        start = store.mounts(store.strutAt(handle.place))[handle.mount];
        return true;
      },
      move: (x, _, event) => {
        const along = (x - this.centre) / this.scale;
        const step = event.altKey ? Math.round(along * 10) / 10 : snapped(along, store.unit);
        store.move({ place: handle.place, [handle.mount]: [start[0], start[1],
          handle.twin ? -step : step], axes: [2] });
      },
      end: () => store.commit(),
      cancel: () => store.cancel(),
    });
  }

  layout(width) {
    const { scene } = this.store;
    this.width = width;
    const height = 104;
    assign(this.node, { width, height, viewBox: `0 0 ${width} ${height}` });
    const places = [...scene.struts.flatMap((one) => [one.frame[2], one.panel[2]]),
      ...scene.hinge_points.map((point) => point[2]), (scene.width ?? 0) / 2, 50];
    const reach = Math.max(...places.map(Math.abs));
    this.scale = (width - 170) / (2 * reach);
    this.centre = width / 2 + 12;
    this.update();
  }

  x(along) {
    return this.centre + along * this.scale;
  }

  get places() {
    const { store } = this;
    const ends = store.scene.struts.map((one) => store.mounts(one));
    return JSON.stringify([store.selected, store.unit, store.condition?.name, store.tried,
      ends.map((one) => [one.frame[2], one.panel[2]])]);
  }

  stale() {
    return this.places !== this.drawn;
  }

  update() {
    const { store } = this;
    const { scene } = store;
    if (!this.width || !scene) return;
    this.drawn = this.places;
    const parts = [];
    const [left, right] = [this.x(-(scene.width ?? 0) / 2), this.x((scene.width ?? 0) / 2)];
    const names = [["hinge line", 22], ["fixed side", 52], ["door side", 84]];
    for (const [name, y] of names) {
      parts.push(part("text", { x: 0, y: y + 4, class: "sk-figure" }, name));
    }
    if (scene.width) {
      parts.push(part("rect", { x: left, y: 70, width: right - left, height: 28,
        class: "sk-edge sk-solid-panel" }));
    }
    const line = scene.hinge_points.map((point) => this.x(point[2])).sort((a, b) => a - b);
    parts.push(part("line", { x1: Math.min(line[0], left) - 10, x2: Math.max(line[1], right) + 10,
      y1: 22, y2: 22, class: "sk-arc" }));
    for (const x of line) {
      parts.push(part("circle", { cx: x, cy: 22, r: 5, class: "sk-hinge" }),
        part("path", { d: `M${x - 9} 22h18M${x} 13v18`, class: "sk-hinge-cross" }));
    }
    parts.push(part("line", { x1: this.centre, x2: this.centre, y1: 8, y2: 102, class: "sk-arc" }));
    const labels = new Labels(this.width, 104);
    labels.block(this.centre - 2, 0, 4, 104);
    if (scene.width) {
      labels.blockLine([[left, 70], [right, 70], [right, 98], [left, 98], [left, 70]], 3, 2);
    }
    this.handles = [];
    const grabs = [];
    const chosen = [];
    const lost = store.lostStrut;
    for (const strut of scene.struts) {
      const at = store.mounts(strut);
      const [x1, x2] = [this.x(at.frame[2]), this.x(at.panel[2])];
      parts.push(part("line", { x1, y1: 52, x2, y2: 84,
        class: strut === lost ? "sk-lost-strut" : "sk-edge sk-struts" }));
      if (strut === lost) {
        const place = labels.place("lost", [[x1 + 14, 72, "start"], [x1 - 14, 72, "end"]], { weight: 600 });
        parts.push(haloText("lost", place, "sk-strong sk-struts"));
      }
      for (const [mount, y] of [["frame", 52], ["panel", 84]]) {
        const x = this.x(at[mount][2]);
        const selected = store.selected.place === strut.place && store.selected.mount === mount;
        const twin = store.strutAt(strut.place) !== strut;
        this.handles.push({ x, y, place: strut.place, mount, strut, twin, selected });
        labels.block(x - 10, y - 10, 20, 20);
        if (selected) chosen.push([x, y, at[mount][2]]);
        grabs.push(part("g", { transform: `translate(${x} ${y})`,
          class: `sk-grab sk-small${selected ? " sk-in-use" : ""}` },
        part("circle", { r: 11, class: "sk-ring" }), part("circle", { r: 6.5, class: "sk-disc" }),
        part("circle", { r: 2, class: "sk-dot" })));
      }
    }
    for (const [x, y, along] of chosen) {
      const text = placeFigure(Math.abs(along), store.unit);
      const place = labels.place(text, [[x + 14, y + 4], [x - 14, y + 4, "end"],
        [x, y - 14, "middle"], [x + 26, y + 4], [x - 26, y + 4, "end"]], { weight: 600 });
      parts.push(haloText(text, place, "sk-strong"));
    }
    this.drawRefused(parts, labels);
    redraw(this.still, parts);
    redraw(this.grabs, grabs);
  }

  // A place along the hinge line that does not fit: hollow handle at the pointer, dashed strut; one
  // name for both of a pair.
  drawRefused(parts, labels) {
    const { store } = this;
    const edit = store.tried;
    const discs = { frame: [], panel: [] };
    for (const strut of store.scene.struts.filter((one) => one.place === edit?.place)) {
      const moved = store.movedMounts(strut, edit, [2]);
      if (!moved.length) continue;
      const at = store.mountsWith(strut, edit);
      parts.push(part("path", { d: `M${this.x(at.frame[2])} 52L${this.x(at.panel[2])} 84`,
        class: "sk-refused-strut" }));
      for (const mount of moved) {
        const [x, y] = [this.x(at[mount][2]), mount === "frame" ? 52 : 84];
        parts.push(...refusedDisc(x, y, 6.5));
        labels.block(x - 10, y - 10, 20, 20);
        discs[mount].push([x, y]);
      }
    }
    for (const some of Object.values(discs).filter((one) => one.length)) {
      const places = some.flatMap(([x, y]) => [[x + 12, y + 4, "start"], [x - 12, y + 4, "end"],
        [x, y - 12, "middle"]]);
      const place = labels.place("does not fit", places, { weight: 600 });
      parts.push(haloText("does not fit", place, "sk-strong sk-fails"));
    }
  }
}
