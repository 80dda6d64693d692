// Under the side view: which corner, its numbers to type, and what is amiss with either zone.

const CORNER = "corner"; // among what is typed and could not be read

class Corners {
  constructor(desk) {
    this.desk = desk;
    this.choice = control("select", { "aria-label": "Corner" });
    this.choice.addEventListener("change", () => {
      const [part, at] = this.choice.value.split(" ");
      desk.select(part, Number(at));
    });
    this.unit = element("span", { class: "sk-unit" });
    this.boxes = [0, 1, 2].map((axis) => this.box(axis));
    this.add = control("button", { type: "button" }, "Add a corner");
    this.drop = control("button", { type: "button" }, "Remove the corner");
    this.add.addEventListener("click", () => this.insert());
    this.drop.addEventListener("click", () => this.remove());
    this.lines = Object.fromEntries(PARTS.map((part) => [part, this.line(part)]));
    this.node = element("div", {}, element("div", { class: "sk-boxes" }, this.choice, this.unit,
      ...this.boxes.map((one) => one.label), this.add, this.drop),
    ...PARTS.map((part) => this.lines[part].node));
  }

  line(part) {
    const words = element("span");
    const back = control("button", { type: "button", "aria-label":
      `Back to the last good zone on the ${SIDES[part]}` }, "Back to it");
    back.addEventListener("click", () => this.desk.back(part));
    const sign = element("span", { class: "sk-row-sign" });
    return { words, back, sign, node: element("p", { class: "sk-zone-line", role: "status",
      "data-part": part }, sign, words, back) };
  }

  box(axis) {
    const word = element("span");
    const input = control("input", { type: "text", inputmode: "decimal", autocomplete: "off" });
    const label = element("label", {}, word, input);
    // What is typed belongs to the corner that the boxes showed when the typing began.
    input.addEventListener("input", () => { this.owner ??= this.shownCorner(); });
    input.addEventListener("change", () => {
      const owner = this.owner ?? this.shownCorner();
      this.owner = null;
      this.desk.expect(this.typed(axis, input, owner));
    });
    input.addEventListener("keydown", (event) => {
      if (event.key === "Escape") {
        this.owner = null;
        input.value = input.dataset.shown;
        this.desk.unread.delete(CORNER);
        this.update();
        input.blur();
      }
    });
    return { word, input, label };
  }

  // A number alone is in the unit that stands beside the boxes; a unit may be typed as well. The
  // place along the hinge line goes for the whole zone.
  async typed(axis, input, { part, at, ways }) {
    const { desk } = this;
    desk.unread.delete(CORNER);
    const text = input.value;
    if (text !== input.dataset.shown) {
      const { unread } = await desk.type(part, { at, axis, sense: ways[axis], text,
        unit: desk.unit });
      if (unread) desk.unread.set(CORNER, { part, at, axis, text, words: unread });
      else if (input.value === text) input.value = input.dataset.shown;
    }
    this.update();
  }

  shownCorner() {
    const { part, at } = this.desk.selected;
    return { part, at, ways: this.desk.corners(part)[at].map((value) => (value < 0 ? -1 : 1)) };
  }

  put(part, corners) {
    this.desk.drafts[part] = corners;
    this.desk.tell("zones");
    this.desk.stay(part);
  }

  async insert() {
    await this.desk.allTyped();
    const { part, at } = this.desk.selected;
    const corners = this.desk.corners(part);
    const [one, next] = [corners[at], corners[(at + 1) % corners.length]];
    const middle = one.map((value, axis) => Math.round((value + next[axis]) / 2));
    middle[2] = one[2];
    this.desk.selected = { part, at: at + 1 };
    this.put(part, [...corners.slice(0, at + 1), middle, ...corners.slice(at + 1)]);
  }

  async remove() {
    await this.desk.allTyped();
    const { part, at } = this.desk.selected;
    const corners = this.desk.corners(part).filter((_, index) => index !== at);
    this.desk.selected = { part, at: Math.min(at, corners.length - 1) };
    this.put(part, corners);
  }

  update() {
    const { desk } = this;
    const { part, at } = desk.selected;
    setOptions(this.choice, PARTS.flatMap((one) => desk.corners(one).map((_, index) =>
      [`${one} ${index}`, `${SIDES[one]}, corner ${index + 1}`])));
    this.choice.value = `${part} ${at}`;
    setText(this.unit, desk.unit);
    const corner = desk.corners(part)[at];
    this.drop.disabled = desk.corners(part).length < 4;
    const unread = this.unreadHere();
    this.boxes.forEach(({ word, input }, axis) => {
      const name = way(desk.scene.words, axis, corner[axis]);
      setText(word, name);
      const text = lengthFigure(Math.abs(corner[axis]), desk.unit);
      input.setAttribute("aria-label", axis === 2
        ? `${SIDES[part]} zone, ${name} of the middle, ${desk.unit}`
        : `${SIDES[part]} zone, corner ${at + 1}, ${name}, ${desk.unit}`);
      const typing = document.activeElement === input && input.value !== input.dataset.shown;
      input.dataset.shown = text;
      assign(input, { "aria-invalid": axis === unread?.axis ? "true" : null });
      if (typing) return;
      input.value = axis === unread?.axis ? unread.text : text;
    });
    this.updateLines();
  }

  // A text that could not be read stays in its box until the box is of another corner, or typed
  // in again.
  unreadHere() {
    const { unread, selected, dragging } = this.desk;
    const typed = unread.get(CORNER);
    if (typed && (dragging || typed.part !== selected.part || typed.at !== selected.at)) {
      unread.delete(CORNER);
    }
    return unread.get(CORNER);
  }

  updateLines() {
    const unread = this.desk.unread.get(CORNER);
    for (const part of PARTS) {
      const { node, words, back, sign } = this.lines[part];
      const typed = unread?.part === part ? unread.words : "";
      const fault = typed || this.desk.fault(part);
      const note = fault || (this.desk.notes?.[part] ?? "");
      const side = SIDES[part];
      setText(words, fault && !typed ? fault.replace(/^(frame|panel) zone: /,
        `${side[0].toUpperCase()}${side.slice(1)} zone: `) : note
        && `${side[0].toUpperCase()}${side.slice(1)}: ${note[0].toLowerCase()}${note.slice(1)}`);
      node.dataset.state = fault ? "fails" : note ? "assumed" : "";
      sign.replaceChildren(...(note ? [stateSign(fault ? "fails" : "assumed")] : []));
      show(back, Boolean(this.desk.refused[part]));
      show(node, note !== "");
    }
  }
}
