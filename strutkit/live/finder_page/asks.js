// What is asked: how many struts, what is best, which of the stock list, drilling, limits; and Run.

const COUNT_WORDS = [["one", "one strut"], ["pair", "a mirrored pair"], ["either", "either"]];
const RANK_WORDS = [["hand_force", "least hand force"], ["reserve", "most reserve"],
  ["hinge_resultant", "least hinge load"]];

class Asks {
  constructor(desk) {
    this.desk = desk;
    this.limits = new Map();
    this.count = this.choices(COUNT_WORDS, "count", "Struts");
    this.rank = this.choices(RANK_WORDS, "rank_by", "Best means");
    this.tick = control("input", { type: "checkbox" });
    this.error = control("input", { type: "text", autocomplete: "off", "aria-label":
      "Drilling error, each mount up to" });
    this.tick.addEventListener("change", () => this.change({ drilling: this.tick.checked }));
    this.error.addEventListener("change", () => this.change({ drilling_error: this.error.value }));
    this.line = element("p", { class: "sk-fault", role: "alert", hidden: true });
    this.stock = new StockChoice((left_out) => this.change({ left_out }));
    this.main = element("div", { class: "sk-limits" });
    this.others = element("div", { class: "sk-limits" });
    const starters = (words) => {
      const one = control("button", { type: "button" }, words);
      one.addEventListener("click", () => desk.request("starters"));
      return one;
    };
    this.bare = element("p", { class: "sk-zone-line", "data-state": "assumed", hidden: true },
      stateSign("assumed"), element("span", {}, "The door names no conditions: only new struts at "
        + "20 °C, standing level, are looked at. Starter ones add frost, heat and slopes."),
      starters("Take starter conditions and limits"));
    this.run = control("button", { type: "button", class: "sk-run" }, "Find mounts");
    this.stop = control("button", { type: "button", hidden: true }, "Stop");
    this.run.addEventListener("click", () => desk.run());
    this.stop.addEventListener("click", () => desk.ask("stop"));
    this.bar = element("progress", { max: 1, "aria-label": "Share of the search that is done" });
    this.words = element("span", { role: "status" });
    this.node = element("div", { class: "sk-asks-column" },
      this.group("Struts", this.count), this.group("Best means", this.rank),
      this.stock.node,
      element("div", { class: "sk-line" }, element("label", { class: "sk-tick" }, this.tick,
        "with drilling error, each mount up to"), this.error), this.line,
      element("h3", {}, "Limits to keep", element("small", {}, "an empty box is not asked")),
      this.main, section("More limits", "latch, stroke, hinge points", this.others,
        element("div", { class: "sk-line" }, starters("Starter conditions and limits again"))),
      this.bare,
      element("div", { class: "sk-line sk-go" }, this.run, this.stop, this.bar, this.words));
  }

  group(title, node) {
    return element("div", { class: "sk-asked" }, element("span", {}, title), node);
  }

  choices(words, key, label) {
    return element("div", { class: "sk-switch", role: "group", "aria-label": label },
      ...words.map(([value, title]) => {
        const one = control("button", { type: "button", "aria-pressed": "false" }, title);
        one.dataset.value = value;
        one.addEventListener("click", () => this.change({ [key]: value }));
        return one;
      }));
  }

  change(some) {
    this.desk.send({ ...this.desk.asked, ...some });
    this.update();
  }

  update() {
    const { asked, stock, limits, conditions } = this.desk;
    for (const [group, value] of [[this.count, asked.count], [this.rank, asked.rank_by]]) {
      for (const one of group.children) {
        assign(one, { "aria-pressed": String(one.dataset.value === value) });
      }
    }
    this.tick.checked = asked.drilling;
    if (document.activeElement !== this.error) this.error.value = asked.drilling_error;
    this.error.disabled = !asked.drilling;
    setText(this.line, this.desk.askFault ?? "");
    show(this.line, Boolean(this.desk.askFault));
    this.stock.update(stock, asked.left_out);
    show(this.bare, conditions === 0);
    if (!this.limits.size) {
      for (const limit of limits) {
        const row = new LimitRow(limit, this.desk);
        this.limits.set(limit.name, row);
        (limit.main ? this.main : this.others).append(row.node);
      }
    }
    for (const limit of limits) this.limits.get(limit.name).update(limit);
    this.progress();
  }

  progress() {
    const { progress } = this.desk;
    const running = Boolean(progress?.running);
    this.run.disabled = !this.desk.canRun;
    show(this.stop, running);
    show(this.bar, running);
    if (running && progress.share > 0) this.bar.value = progress.share;
    else this.bar.removeAttribute("value");
    setText(this.words, running ? progress.words : "");
  }
}

class LimitRow {
  constructor(limit, desk) {
    this.desk = desk;
    this.name = limit.name;
    this.box = control("input", { type: "text", spellcheck: "false", autocomplete: "off",
      placeholder: "not asked" });
    this.source = element("small");
    this.fault = element("span", { class: "sk-fault", role: "alert", hidden: true });
    this.node = element("label", { class: "sk-limit-row", "data-name": limit.name },
      element("span", {}, limit.label, " ", this.source), this.box, this.fault);
    this.box.addEventListener("change", () => desk.expect(this.send()));
  }

  async send() {
    const answer = await this.desk.ask("limit", { name: this.name, text: this.box.value });
    setText(this.fault, answer.fault ?? "");
    show(this.fault, Boolean(answer.fault));
    assign(this.box, { "aria-invalid": answer.fault ? "true" : "false" });
    if (answer.fault) this.desk.unread.set(this.name, { words: answer.fault });
    else {
      this.desk.unread.delete(this.name);
      this.desk.take(answer);
    }
  }

  update({ text, source }) {
    setText(this.source, source);
    if (this.desk.unread.has(this.name)) return;
    if (document.activeElement === this.box && this.box.value !== text && this.box.value) return;
    this.box.value = text;
    show(this.fault, false);
    assign(this.box, { "aria-invalid": "false" });
  }
}

// Which struts of the stock list: ticked ones are searched.
class StockChoice {
  constructor(changed) {
    this.changed = changed;
    this.filter = control("input", { type: "text", "aria-label": "Show struts whose name holds",
      placeholder: "show names that hold …", autocomplete: "off" });
    this.filter.addEventListener("input", () => this.sift());
    this.list = element("div", { class: "sk-stock-list", role: "group", "aria-label":
      "Struts of the stock list" });
    const every = (words, ticked) => {
      const one = control("button", { type: "button" }, words);
      one.addEventListener("click", () => this.tickShown(ticked));
      return one;
    };
    this.node = section("Stock list", "", element("div", { class: "sk-line" }, this.filter,
      every("Tick those shown", true), every("Untick those shown", false)), this.list);
    this.title = this.node.querySelector("summary");
    this.count = element("small");
    this.title.append(this.count);
    this.rows = [];
  }

  build(stock) {
    this.rows = stock.map((name, row) => {
      const box = control("input", { type: "checkbox" });
      box.addEventListener("change", () => this.changed(this.leftOut));
      return { name, row, box, node: element("label", { class: "sk-tick" }, box, name) };
    });
    this.list.replaceChildren(...this.rows.map((one) => one.node));
  }

  get leftOut() {
    return this.rows.filter((one) => !one.box.checked).map((one) => one.row);
  }

  sift() {
    const text = this.filter.value.trim().toLowerCase();
    for (const one of this.rows) show(one.node, one.name.toLowerCase().includes(text));
  }

  tickShown(ticked) {
    for (const one of this.rows) if (!one.node.hidden) one.box.checked = ticked;
    this.changed(this.leftOut);
  }

  update(stock, leftOut) {
    if (this.rows.length !== stock.length) this.build(stock);
    const out = new Set(leftOut);
    for (const one of this.rows) one.box.checked = !out.has(one.row);
    const chosen = stock.length - out.size;
    setText(this.count, chosen === stock.length ? `all ${chosen} struts`
      : `${chosen} of ${stock.length} struts`);
  }
}
