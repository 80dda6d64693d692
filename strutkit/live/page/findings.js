// The findings, worst first; a click shows the condition and angle of one.

class Findings {
  constructor(store) {
    this.store = store;
    this.rows = new Map();
    this.list = element("div", { role: "status", "aria-label": "Findings", class: "sk-findings" });
    this.more = control("button", { type: "button", class: "sk-more-rows" });
    this.more.addEventListener("click", () => {
      this.whole = !this.whole;
      this.update();
    });
    this.note = element("small", {}, "worst first");
    this.node = element("section", { class: "sk-block sk-area-findings" },
      element("h3", {}, "Findings", this.note), this.list, this.more);
  }

  row(finding) {
    const sign = element("span", { class: "sk-row-sign" });
    const word = element("span", { class: "sk-row-word" });
    const words = element("span", { class: "sk-row-words" });
    const where = element("small");
    const node = control("button", { type: "button", class: "sk-row", "aria-pressed": "false" }, sign,
      word, element("span", {}, words, where));
    node.addEventListener("click", () => this.choose(finding.name));
    return { node, sign, word, words, where };
  }

  choose(name) {
    const { store } = this;
    const finding = store.verdict.findings.find((one) => one.name === name);
    store.chosen = name;
    if (finding.condition !== null) store.keep("condition", finding.condition);
    if (finding.angle !== null) {
      store.turnTo(finding.angle);
      store.keepAngle();
    }
    this.update();
  }

  stale() {
    setText(this.note, this.store.late.verdict.shown ? "waiting: these are of an earlier place"
      : "worst first");
  }

  // Rows keep their order while something is dragged; they move at rest, at once.
  update() {
    const { verdict, dragging: busy } = this.store;
    if (!verdict) return;
    assign(this.list, { "aria-busy": String(busy) });
    for (const finding of verdict.findings) {
      if (!this.rows.has(finding.name)) this.rows.set(finding.name, this.row(finding));
      const row = this.rows.get(finding.name);
      if (row.state !== finding.state) row.sign.replaceChildren(stateSign(finding.state));
      row.state = finding.state;
      setText(row.word, finding.state);
      setText(row.words, finding.words);
      setText(row.where, finding.where);
      assign(row.node, { "data-state": finding.state,
        "aria-pressed": String(this.store.chosen === finding.name) });
    }
    const names = verdict.findings.map((one) => one.name);
    for (const [name, row] of this.rows) {
      if (!names.includes(name)) {
        row.node.remove();
        this.rows.delete(name);
      }
    }
    if (!busy || this.list.childElementCount !== names.length) this.order(verdict.findings);
  }

  // In a narrow column all that pass but the first are folded away.
  order(findings) {
    const wanted = findings.map((one) => this.rows.get(one.name).node);
    const now = [...this.list.children];
    if (wanted.some((node, index) => node !== now[index])) {
      const focused = wanted.find((node) => node === document.activeElement);
      this.list.replaceChildren(...wanted);
      focused?.focus({ preventScroll: true });
    }
    const passing = findings.filter((one) => one.state === "passes").slice(1);
    const folded = this.narrow && !this.whole && passing.length > 0;
    for (const one of findings) this.rows.get(one.name).node.hidden = folded && passing.includes(one);
    this.more.hidden = !this.narrow || passing.length === 0;
    setText(this.more, folded ? `${passing.length} more, all pass` : "Fewer");
  }
}
