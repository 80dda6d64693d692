// Every value of the door in forms, each change one step that can be undone; and the door file as
// text, there and back.

class Editor {
  constructor(talk, stock) {
    this.talk = talk;
    this.open = new Set();
    this.editing = new Set(); // edits that Python has not answered yet
    this.unread = new Map(); // by field: what could not be taken and still stands in its box
    this.fields = new Map();
    this.shape = "";
    this.undo = button("Undo", {}, icon("undo"));
    this.redo = button("Redo", {}, icon("redo"));
    this.undo.addEventListener("click", () => this.run("undo"));
    this.redo.addEventListener("click", () => this.run("redo"));
    this.stock = stock;
    this.rows = this.stockList();
    this.line = element("p", { class: "sk-fault", role: "alert", hidden: true });
    this.cards = new Map();
    this.parts = element("div", { class: "sk-groups" });
    this.node = section("Change anything", "every value of the door, each change can be undone",
      element("div", { class: "sk-line" }, this.undo, this.redo),
      element("p", {}, element("small", {}, "A place is three lengths: outward, to the right seen "
        + "from outside, up; the door shut. A number alone is taken in the unit that its box "
        + "shows, a length in the unit chosen above.")),
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

  stockList() {
    return control("select", { "aria-label": "Strut of the stock list" },
      ...this.stock.map((name, row) => element("option", { value: row }, name)));
  }

  // What is amiss is said beside the box, or in the card whose button was pressed.
  edit(edit, line = this.line) {
    const editing = this.send(edit, line);
    this.editing.add(editing);
    editing.then(() => this.editing.delete(editing));
  }

  // What a file would leave out of what the boxes show, as a sentence.
  async amiss() {
    await Promise.all(this.editing);
    const [words] = this.unread.values();
    return words ? `What is typed in a box cannot be used: ${words}` : "";
  }

  async send(edit, line) {
    const answer = await this.talk.ask("edit", { edit });
    const key = `${edit.part}/${edit.field}`;
    const field = edit.do === "set" ? this.fields.get(key) : null;
    if (field && answer.fault) this.unread.set(key, answer.fault);
    const where = field ? field.line : line;
    setText(where, answer.fault ?? "");
    show(where, Boolean(answer.fault));
    if (field) assign(field.box, { "aria-invalid": answer.fault ? "true" : "false" });
    if (!answer.fault) this.take(answer, true);
  }

  act(words, edit, line, attributes = {}) {
    const one = control("button", { type: "button", ...attributes }, words);
    one.addEventListener("click", () => this.edit(edit(), line));
    return one;
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
    const shape = JSON.stringify([answer.starters, answer.groups.map((group) =>
      group.cards.map((card) => [card.id, card.title, card.mirrored,
        card.fields.map((field) => field.choices)]))]);
    if (shape !== this.shape) this.build(answer);
    this.shape = shape;
    for (const { cards } of answer.groups) {
      for (const { fields } of cards) fields.forEach((field) => this.update(field, force));
    }
  }

  update(field, force) {
    const found = this.fields.get(`${field.part}/${field.name}`);
    if (!found) return;
    const typing = found.box === document.activeElement;
    if (!typing || force) {
      found.box.value = field.text;
      this.unread.delete(`${field.part}/${field.name}`);
    }
    setText(found.note, field.note);
    found.node.classList.toggle("sk-warned", field.note.includes("beyond the free edge"));
    found.usual.replaceChildren(...this.usual(field));
    if (typing) return;
    show(found.line, false);
    assign(found.box, { "aria-invalid": "false" });
  }

  // A starter value is marked; it can be left out, and asked for again.
  usual(field) {
    if (!field.starter) return [];
    const set = (text) => () => ({ do: "set", part: field.part, field: field.name, text });
    if (field.text === field.starter) {
      const out = this.act("Leave out", set(""), this.line, { "aria-label":
        `Leave out: ${field.label}` });
      return [element("small", {}, "common practice"), ...(field.optional ? [out] : [])];
    }
    return [this.act(`Take ${field.starter}, common practice`, set(field.usual), this.line)];
  }

  build({ groups, starters }) {
    this.fields.clear();
    this.unread.clear();
    const focus = document.activeElement?.dataset?.key;
    this.parts.replaceChildren(...groups.map((group) => {
      const node = section(group.title, group.hint, ...this.groupActions(group, starters),
        ...group.cards.map((card) => this.card(card)));
      node.classList.add("sk-part");
      node.dataset.part = group.title;
      node.open = this.open.has(group.title);
      node.addEventListener("toggle", () => {
        if (node.open) this.open.add(group.title);
        else this.open.delete(group.title);
      });
      return node;
    }));
    if (focus) this.fields.get(focus)?.box.focus();
  }

  groupActions({ title }, starters) {
    const line = (...children) => element("div", { class: "sk-line" }, ...children);
    const row = () => Number(this.rows.value);
    const actions = {
      Struts: () => [line(element("span", {}, "Stock list"), this.rows,
        this.act("Add one strut", () => ({ do: "add strut", row: row(), pair: false })),
        this.act("Add a pair", () => ({ do: "add strut", row: row(), pair: true })))],
      Zones: () => [line(this.act("Add a zone on the fixed side", () => ({ do: "add zone", side: "frame" })),
        this.act("Add a zone on the door side", () => ({ do: "add zone", side: "panel" })))],
      Conditions: () => [this.starterSwitches(starters),
        line(this.act("Add a condition of your own", () => ({ do: "add condition" })))],
      Limits: () => [line(this.act("Starter conditions and limits again", () => ({ do: "starters" })))],
    };
    return actions[title]?.() ?? [];
  }

  starterSwitches(starters) {
    return element("fieldset", { class: "sk-starters" },
      element("legend", {}, "Starter conditions, common practice"), ...starters.map(({ name, on }) => {
        const tick = control("input", { type: "checkbox" });
        tick.checked = on;
        tick.addEventListener("change", () => this.edit({ do: "starter", name, on: tick.checked }));
        return element("label", { class: "sk-tick" }, tick, name.replace(" (common practice)", ""));
      }));
  }

  card(card) {
    const line = element("p", { class: "sk-fault", role: "alert", hidden: true });
    return element("section", { class: "sk-card", "data-card": card.id },
      card.title ? element("h4", {}, card.title) : null,
      element("div", { class: "sk-fields" }, ...card.fields.map((field) => this.field(field))),
      ...this.cardActions(card, line), line);
  }

  // A choice, one line, or for long lists as many lines as the words fill.
  box({ choices, wide }) {
    if (choices.length) {
      return control("select", {}, ...choices.map(([value, words]) =>
        element("option", { value }, words)));
    }
    const plain = { spellcheck: "false", autocomplete: "off" };
    if (!wide) return control("input", { type: "text", ...plain });
    const lines = control("textarea", { rows: "2", ...plain });
    lines.addEventListener("keydown", (event) => {
      if (event.key !== "Enter") return;
      event.preventDefault();
      lines.blur();
    });
    return lines;
  }

  field(field) {
    const key = `${field.part}/${field.name}`;
    const box = this.box(field);
    assign(box, { title: `In the door file: ${field.key}`, "data-key": key });
    box.value = field.text;
    box.addEventListener("change", () => this.edit({ do: "set", part: field.part, field: field.name,
      text: box.value }));
    const line = element("span", { class: "sk-fault", role: "alert", hidden: true });
    const note = element("small", { class: "sk-note" });
    const usual = element("span", { class: "sk-usual" });
    const node = element("div", { class: `sk-plain${field.wide ? " sk-whole" : ""}` },
      element("label", {}, element("span", {}, field.label), box), note, usual, line);
    this.fields.set(key, { box, line, note, usual, node });
    this.update(field, true);
    return node;
  }

  cardActions(card, line) {
    const act = (words, action, attributes) => this.act(words, () => ({ do: action, part: card.id }),
      line, attributes);
    const kind = card.id.split(":")[0];
    if (kind === "zone") return [element("div", { class: "sk-line" }, act("Remove this zone", "remove"))];
    if (kind === "condition") {
      return [element("div", { class: "sk-line" }, act("Leave out this condition", "remove"))];
    }
    if (kind !== "strut") return [];
    const rows = this.stockList();
    const pressed = (yes) => ({ "aria-pressed": String(yes) });
    return [element("div", { class: "sk-line" },
      element("div", { class: "sk-switch", role: "group", "aria-label": "How it hangs" },
        act("Single", "single", pressed(!card.mirrored)),
        act("Mirrored pair", "pair", pressed(card.mirrored))),
      card.mirrored ? act("Two unlike ones", "unlike") : null, act("Turn end for end", "turn"),
      act("Remove", "remove")),
    element("div", { class: "sk-line" }, element("span", {}, "Stock list"), rows,
      this.act("Take this strut", () => ({ do: "exchange", part: card.id, row: Number(rows.value) }),
        line))];
  }
}
