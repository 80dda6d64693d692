// Every value of the door in forms, each change one step that can be undone; and the door file as
// text, there and back.

class Editor {
  constructor(talk, stock) {
    this.talk = talk;
    this.open = new Set();
    this.fields = new Map();
    this.shape = "";
    this.undo = button("Undo", {}, icon("undo"));
    this.redo = button("Redo", {}, icon("redo"));
    this.undo.addEventListener("click", () => this.run("undo"));
    this.redo.addEventListener("click", () => this.run("redo"));
    this.rows = control("select", { "aria-label": "Strut of the stock list" },
      ...stock.map((name, row) => element("option", { value: row }, name)));
    this.line = element("p", { class: "sk-fault", role: "alert", hidden: true });
    this.parts = element("div");
    const act = (words, edit) => {
      const one = control("button", { type: "button" }, words);
      one.addEventListener("click", () => this.edit(edit()));
      return one;
    };
    const row = () => Number(this.rows.value);
    this.node = section("Change anything", "struts, weight, handles, stop, zones, conditions, limits",
      element("div", { class: "sk-line" }, this.undo, this.redo,
        element("span", {}, "Stock list"), this.rows,
        act("Add one strut", () => ({ do: "add strut", row: row(), pair: false })),
        act("Add a pair", () => ({ do: "add strut", row: row(), pair: true }))),
      element("div", { class: "sk-line" },
        act("Add a condition", () => ({ do: "add condition" })),
        act("Zone on the fixed side", () => ({ do: "add zone", side: "frame" })),
        act("Zone on the door side", () => ({ do: "add zone", side: "panel" })),
        act("Starter values again", () => ({ do: "starters" }))),
      element("p", {}, element("small", {}, "Starter conditions and limits are common practice: "
        + "leave out what you do not ask, or write your own. An empty limit is not judged.")),
      this.line, this.parts);
    this.text = control("textarea", { "aria-label": "Door file", rows: "16", spellcheck: "false" });
    this.textLine = element("p", { class: "sk-fault sk-lines", role: "alert", hidden: true });
    const take = control("button", { type: "button" }, "Take the text");
    const back = control("button", { type: "button" }, "Back to the door’s text");
    take.addEventListener("click", () => this.takeText());
    back.addEventListener("click", () => this.refresh(true));
    this.textNode = section("Door file as text", "there and back", this.text, this.textLine,
      element("div", { class: "sk-line" }, take, back));
    for (const one of [this.node, this.textNode]) {
      one.addEventListener("toggle", () => one.open && this.refresh(true));
    }
  }

  async refresh(force = false) {
    if (!this.node.open && !this.textNode.open) return;
    this.take(await this.talk.ask("editor"), force);
  }

  async run(kind) {
    this.take(await this.talk.ask(kind), true);
  }

  async edit(edit) {
    const answer = await this.talk.ask("edit", { edit });
    const field = edit.do === "set" ? this.fields.get(`${edit.part}/${edit.field}`) : null;
    if (field) {
      setText(field.line, answer.fault ?? "");
      show(field.line, Boolean(answer.fault));
      assign(field.box, { "aria-invalid": answer.fault ? "true" : "false" });
      if (!answer.fault) this.take(answer, true);
    } else {
      this.take(answer, true);
    }
  }

  async takeText() {
    const answer = await this.talk.ask("take text", { text: this.text.value });
    setText(this.textLine, answer.fault ?? "");
    show(this.textLine, Boolean(answer.fault));
    if (answer.fault) return;
    this.take(answer, true);
    this.onAnswers?.(answer);
  }

  take(answer, force) {
    setText(this.line, answer.fault ?? "");
    show(this.line, Boolean(answer.fault));
    if (answer.fault) return;
    this.undo.disabled = !answer.undo;
    this.redo.disabled = !answer.redo;
    if (force || document.activeElement !== this.text) {
      this.text.value = answer.text;
      show(this.textLine, false);
    }
    const shape = JSON.stringify(answer.parts.map((part) => [part.id, part.title]));
    if (shape !== this.shape) this.build(answer.parts);
    this.shape = shape;
    for (const part of answer.parts) {
      for (const field of part.fields) {
        const found = this.fields.get(`${part.id}/${field.name}`);
        if (found && found.box !== document.activeElement) {
          found.box.value = field.text;
          show(found.line, false);
          assign(found.box, { "aria-invalid": "false" });
        } else if (found && force) {
          found.box.value = field.text;
        }
      }
    }
  }

  build(parts) {
    this.fields.clear();
    this.parts.replaceChildren(...parts.map((part) => {
      const node = section(part.title, "", this.actions(part), element("div", { class: "sk-fields" },
        ...part.fields.map((field) => this.field(part, field))));
      node.classList.add("sk-part");
      node.dataset.part = part.id;
      node.open = this.open.has(part.id);
      node.addEventListener("toggle", () => {
        if (node.open) this.open.add(part.id);
        else this.open.delete(part.id);
      });
      return node;
    }));
  }

  field(part, field) {
    const box = field.choices.length
      ? control("select", {}, ...field.choices.map((one) => element("option", { value: one },
        one || "not stated")))
      : control("input", { type: "text", spellcheck: "false", autocomplete: "off" });
    box.value = field.text;
    box.addEventListener("change", () => this.edit({ do: "set", part: part.id, field: field.name,
      text: box.value }));
    const line = element("span", { class: "sk-fault", role: "alert", hidden: true });
    this.fields.set(`${part.id}/${field.name}`, { box, line });
    return element("label", { class: "sk-plain" }, element("span", {}, field.label), box, line);
  }

  actions(part) {
    const [kind] = part.id.split(":");
    const wanted = { strut: [["Turn end for end", "turn"], ["Single", "single"],
      ["Mirrored pair", "pair"], ["Two unlike", "unlike"], ["Take from the stock list", "exchange"],
      ["Remove", "remove"]], condition: [["Leave out", "remove"]], zone: [["Remove", "remove"]] };
    return element("div", { class: "sk-line" }, ...(wanted[kind] ?? []).map(([words, action]) => {
      const one = control("button", { type: "button" }, words);
      one.addEventListener("click", () => this.edit({ do: action, part: part.id,
        row: Number(this.rows.value) }));
      return one;
    }));
  }
}
