// Under the side view: which corner, its numbers to type, and what is amiss with either zone.

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
    input.addEventListener("change", () => this.typed(axis, input));
    input.addEventListener("keydown", (event) => {
      if (event.key === "Escape") {
        input.value = input.dataset.shown;
        input.removeAttribute("aria-invalid");
        this.typedFault = null;
        this.updateLines();
        input.blur();
      }
    });
    return { word, input, label };
  }

  // A number alone is in the unit that stands beside the boxes; a unit may be typed as well. The
  // place along the hinge line goes for the whole zone.
  async typed(axis, input) {
    this.typedFault = null;
    if (input.value === input.dataset.shown) {
      this.update();
      return;
    }
    const { desk } = this;
    const { part, at } = desk.selected;
    const answer = await desk.ask("length", { text: input.value, unit: desk.unit });
    if (answer.fault) {
      input.setAttribute("aria-invalid", "true");
      this.typedFault = { part, words: answer.fault };
      this.updateLines();
      return;
    }
    this.typedFault = null;
    const corners = desk.corners(part).map((one) => [...one]);
    const value = corners[at][axis] < 0 ? -answer.value : answer.value;
    input.value = input.dataset.shown;
    corners.forEach((one, index) => {
      if (axis === 2 || index === at) one[axis] = value;
    });
    this.put(part, corners);
  }

  put(part, corners) {
    this.desk.drafts[part] = corners;
    this.desk.tell("zones");
    this.desk.stay(part);
  }

  insert() {
    const { part, at } = this.desk.selected;
    const corners = this.desk.corners(part);
    const [one, next] = [corners[at], corners[(at + 1) % corners.length]];
    const middle = one.map((value, axis) => Math.round((value + next[axis]) / 2));
    middle[2] = one[2];
    this.desk.selected = { part, at: at + 1 };
    this.put(part, [...corners.slice(0, at + 1), middle, ...corners.slice(at + 1)]);
  }

  remove() {
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
    this.boxes.forEach(({ word, input }, axis) => {
      const name = way(desk.scene.words, axis, corner[axis]);
      setText(word, name);
      const text = lengthFigure(Math.abs(corner[axis]), desk.unit);
      input.setAttribute("aria-label", axis === 2
        ? `${SIDES[part]} zone, ${name} of the middle, ${desk.unit}`
        : `${SIDES[part]} zone, corner ${at + 1}, ${name}, ${desk.unit}`);
      const typing = document.activeElement === input && input.value !== input.dataset.shown;
      input.dataset.shown = text;
      if (typing && !desk.dragging) return;
      input.value = text;
      input.removeAttribute("aria-invalid");
    });
    this.updateLines();
  }

  updateLines() {
    for (const part of PARTS) {
      const { node, words, back, sign } = this.lines[part];
      const typed = this.typedFault?.part === part ? this.typedFault.words : "";
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
