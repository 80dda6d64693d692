// The form as a whole: kind, sketch, rows, what is amiss, and the two ways on.

const NARROW = 760;

class StartView {
  constructor(talk, model, host) {
    this.talk = talk;
    this.model = model;
    this.host = host;
    this.root = element("div", { class: "strutkit-bench strutkit-start", tabindex: -1,
      "data-lm-suppress-shortcuts": "true" });
    this.root.addEventListener("keydown", (event) => event.stopPropagation());
    host.append(this.root);
    this.judge = settled(() => this.send(), 900);
    this.resize = new ResizeObserver(() => this.root.classList.toggle("sk-narrow",
      host.clientWidth < NARROW));
    this.resize.observe(host);
    this.theme = themeWatch(() => dress(this.root, host));
    dress(this.root, host);
    this.kept = new Kept(model);
    this.units = { length: "mm", mass: "kg", angle: "deg" };
    this.below = { state: "nothing", name: "" };
    this.unlisten = talk.listen((topic, message) => this.hear(topic, message));
    this.start();
  }

  async start() {
    const answer = await this.talk.ask("open");
    if (answer.fault) {
      this.root.replaceChildren(element("p", { class: "sk-fault", role: "alert" }, answer.fault));
      return;
    }
    this.answers = answer.answers;
    this.kinds = answer.kinds;
    this.opened = answer;
    this.build(answer);
    this.take(answer);
    const kept = filled(this.answers) ? null : this.kept.read();
    if (kept) await this.bringBack(kept);
    this.showLink();
  }

  hear(topic, message) {
    if (topic === "link") {
      this.showLink();
      if (this.rows && !this.talk.lost && !this.talk.silent) this.judge.now();
    } else {
      this.takeBelow(message);
      if (this.rows) this.keep();
      this.editor?.refresh();
    }
  }

  build(answer) {
    this.title = element("h2", { class: "sk-name" });
    this.choice = this.choices(["mm", "inch"], ["mm", "inch"], "Lengths shown in", "unit");
    this.kind = this.choices(this.kinds.map((one) => one.title), this.kinds.map((one) => one.name),
      "Kind of opening", "kind");
    this.kind.classList.replace("sk-switch", "sk-kinds");
    this.kinds.forEach((kind, number) => this.kind.children[number].prepend(kindIcon(kind.icon)));
    this.count = this.choices(["one strut", "two"], [1, 2], "Struts", "count");
    this.sketch = element("div", { class: "sk-sketch" });
    this.list = element("div", { class: "sk-asks" });
    const changed = (now) => (now ? this.judge.now() : this.judge());
    const unit = (kind) => () => this.units[kind];
    this.weights = new Weights(this.answers, changed, unit);
    this.name = new Plain("Name of the door", this.answers.name, changed,
      { placeholder: "Workshop van, rear hatch" });
    this.flanges = new Flanges(this.answers, changed, unit);
    this.tapes = new Tapes(this.talk, answer.uses, (words) => this.say(words, "passes"), unit);
    this.label = new Label(this.talk, answer.cautions, answer.own_strut, unit);
    this.editor = new Editor(this.talk, answer.stock);
    this.editor.onAnswers = (found) => this.takeAnswers(found);
    this.status = element("p", { class: "sk-status", role: "status" });
    this.suggest = control("button", { type: "button", class: "sk-suggest" }, "Suggest a start");
    this.save = control("button", { type: "button" }, "Save as far as it goes");
    this.suggest.addEventListener("click", () => this.ask());
    this.save.addEventListener("click", () => this.toggleSave());
    this.open = control("button", { type: "button" }, "Open a door file");
    this.open.addEventListener("click", () => {
      show(this.opening, this.opening.hidden);
      if (!this.opening.hidden) this.file.box.focus();
    });
    this.file = new Plain("Open the door file", "", () => {}, { placeholder: "my-hatch.toml" });
    this.file.box.setAttribute("aria-label", "Open the door file");
    this.opening = element("form", { class: "sk-line sk-saving", hidden: true }, this.file.node,
      control("button", { type: "submit" }, "Open"));
    this.opening.addEventListener("submit", (event) => {
      event.preventDefault();
      this.openFile();
    });
    this.path = new Plain("Save the door file as", "", () => {}, { placeholder: "my-hatch.toml" });
    this.path.box.setAttribute("aria-label", "Save the door file as");
    this.go = control("button", { type: "submit" }, "Save");
    this.replace = control("button", { type: "button", hidden: true }, "Replace it");
    this.saving = element("form", { class: "sk-line sk-saving", hidden: true }, this.path.node,
      this.go, this.replace);
    this.saving.addEventListener("submit", (event) => {
      event.preventDefault();
      this.saveFile(false);
    });
    this.replace.addEventListener("click", () => this.saveFile(true));
    this.sign = element("span", { class: "sk-message-sign" });
    this.words = element("strong");
    this.more = element("span", { class: "sk-more" });
    this.empty = control("button", { type: "button", hidden: true }, "Start empty");
    this.empty.addEventListener("click", () => this.startEmpty());
    this.message = element("div", { class: "sk-message", role: "status", hidden: true }, this.sign,
      element("p", {}, this.words, " ", this.more), this.empty);
    this.link = element("div", { class: "sk-message", role: "status", hidden: true,
      "data-state": "lost" }, element("span", { class: "sk-message-sign" },
      stateSign("not judged")), element("p", {}, element("strong"), " ",
      element("span", { class: "sk-more" })));
    this.fitting = element("ul", { class: "sk-fitting", hidden: true });
    this.belowWords = element("span");
    this.belowTake = control("button", { type: "button", hidden: true }, "Take it into the boxes");
    this.belowTake.addEventListener("click", async () => {
      const found = await this.talk.ask("take below");
      if (!found.fault) this.takeAnswers(found);
    });
    this.belowNode = element("p", { class: "sk-below sk-line", role: "status", hidden: true },
      this.belowWords, this.belowTake);
    this.assumed = element("ul", { class: "sk-cautions sk-assumptions" });
    this.assumedNode = section("Assumed", "listed on the sheet until you weigh or measure it",
      this.assumed);
    this.hints = element("p", { class: "sk-units" });
    this.root.replaceChildren(
      element("div", { class: "sk-bar" }, this.title, this.choice),
      this.link,
      element("div", { class: "sk-kind-bar" }, this.kind, this.count),
      element("div", { class: "sk-start-grid" }, this.sketch,
        element("div", {}, this.hints, this.list)),
      this.weights.node, this.flanges.node, this.tapes.node, this.label.node, this.assumedNode,
      element("div", { class: "sk-foot" }, this.status, element("div", { class: "sk-line" },
        this.name.node, this.suggest, this.save, this.open)),
      this.saving, this.opening, this.message, this.fitting, this.editor.node,
      this.editor.textNode, this.belowNode);
  }

  choices(titles, values, label, key) {
    const buttons = titles.map((title, number) => {
      const one = control("button", { type: "button", "aria-pressed": "false" }, title);
      one.dataset.value = String(values[number]);
      one.addEventListener("click", () => {
        this.answers[key] = values[number];
        this.judge.now();
      });
      return one;
    });
    return element("div", { class: "sk-switch", role: "group", "aria-label": label }, ...buttons);
  }

  gather() {
    const boxes = { ...this.answers.boxes, ...this.weights.boxes, ...this.flanges.answers };
    for (const row of this.rows ?? []) boxes[row.question.name] = row.answer;
    this.answers = { ...this.answers, boxes, lumps: this.weights.rows, name: this.name.box.value };
    return this.answers;
  }

  // What was typed in an earlier run, and the door that stood below.
  async bringBack(kept) {
    const found = await this.talk.ask("bring back", kept);
    if (found.fault) {
      this.say("What was typed here before cannot be read.", "fails", found.fault);
      return;
    }
    this.takeAnswers(found);
    this.keep();
    const door = this.below.state === "nothing" ? "" : "So is the door below, with its struts.";
    this.say(`What you typed here until ${clock(new Date(kept.time))} is back.`, "passes", door);
    show(this.empty, true);
  }

  async startEmpty() {
    const { kind, unit, count } = this.answers;
    const empty = { kind, unit, count, name: "", boxes: {}, lumps: [] };
    const found = await this.talk.ask("judge", { answers: empty });
    if (found.fault) return;
    this.kept.clear();
    this.takeAnswers({ answers: empty, ...found });
    this.say("", null);
  }

  async openFile() {
    const found = await this.talk.ask("open file", { path: this.file.box.value });
    if (found.fault) {
      this.say(found.fault, "fails");
      return;
    }
    show(this.opening, false);
    this.takeAnswers(found);
    this.keep();
    this.say(found.words, "passes", "The door stands below; these boxes say as much of it as they can.");
  }

  // Answers that come from Python: every box is filled anew.
  takeAnswers(found) {
    this.answers = found.answers;
    this.shownKind = null;
    this.name.box.value = this.answers.name;
    this.weights.fill(this.answers);
    this.flanges.fill(this.answers);
    this.take(found);
    this.editor.refresh(true);
  }

  keep() {
    const answers = this.gather();
    if (filled(answers)) this.kept.write(answers, this);
    return answers;
  }

  async send() {
    const answer = await this.talk.ask("judge", { answers: this.keep() });
    if (!answer.fault) this.take(answer);
    else if (!answer.silent) this.say(answer.fault, "fails");
  }

  // Whether Python answers: said at the top, and again where it acts.
  showLink() {
    if (!this.link) return;
    const { lost, silent, answeredAt } = this.talk;
    const [words, more] = [...this.link.querySelectorAll("strong, .sk-more")];
    const since = clock(answeredAt);
    setText(words, lost ? `Not connected: what is said beside the boxes is from ${since}.`
      : `No answer since ${since}.`);
    setText(more, lost ? "Run the cell again; what you type is kept."
      : "A cell is running, or the kernel has stopped. What you type is kept.");
    show(this.link, lost || silent);
    this.root.classList.toggle("sk-lost", lost);
    if (!lost) return;
    const those = ".sk-foot button, .sk-saving button, .sk-below button, details button";
    for (const one of this.root.querySelectorAll(those)) {
      one.disabled = true;
    }
  }

  // What is assumed: one list, one count.
  takeAssumed(assumed) {
    const several = assumed.map(({ words, change, touches }) => element("li", {},
      stateSign("assumed"), element("span", {}, words), element("small", {},
        `Change it in ${change}.${touches ? ` It touches ${touches}.` : ""}`)));
    this.assumed.replaceChildren(...several);
    if (!several.length) this.assumed.append(element("li", {}, "Nothing yet."));
    const words = assumed.length ? `${assumed.length} assumed, listed above` : "";
    setText(this.status, [this.said, words].filter(Boolean).join("; "));
  }

  // Which door the bench below shows.
  takeBelow({ below, design, shown, assumed }) {
    this.takeAssumed(assumed);
    this.below = below;
    this.design = design;
    this.shown = shown;
    const name = below.name ? `“${below.name}”` : "";
    const words = {
      nothing: "",
      same: `The bench below shows the door of these boxes, ${name}.`,
      edited: `The bench below shows the door of these boxes, ${name}, with the changes made since.`,
      older: `The bench below shows ${name} as it was before these boxes changed. “Suggest a `
        + "start” brings it up to date.",
      other: `The bench below shows another door, ${name}, opened there.`,
    }[below.state];
    setText(this.belowWords, words);
    show(this.belowNode, words !== "");
    show(this.belowTake, below.state === "other");
  }

  take(found) {
    const { questions, sketch, outcome, outside } = found;
    this.said = outcome.trouble || outcome.words;
    this.takeBelow(found);
    this.units = found.units;
    const { kind, unit, count } = this.answers;
    for (const [group, value] of [[this.choice, unit], [this.kind, kind], [this.count, count]]) {
      for (const one of group.children) {
        assign(one, { "aria-pressed": String(one.dataset.value === String(value)) });
      }
    }
    if (this.shownUnit && this.shownUnit !== unit) this.editor.refresh(true);
    this.shownUnit = unit;
    if (this.shownKind !== kind) {
      this.shownKind = kind;
      const { title } = this.kinds.find((one) => one.name === kind);
      setText(this.title, `Start a door: ${title[0].toLowerCase()}${title.slice(1)}`);
      this.sketch.replaceChildren(svgNode(sketch));
      const changed = (now) => (now ? this.judge.now() : this.judge());
      this.rows = questions.map((question, number) => new Row(question, number + 1,
        this.answers.boxes[question.name] ?? { text: "", unknown: false }, changed));
      this.list.replaceChildren(...this.rows.map((row) => row.node));
    }
    for (const one of this.root.querySelectorAll("input[data-inch]")) {
      assign(one, { placeholder: one.dataset[unit] });
    }
    setText(this.hints, unit === "mm"
      ? "A number alone counts as mm, a weight as kg. Any other unit can be written behind it."
      : "A number alone counts as inches, a weight as lb. Any other unit can be written behind it.");
    this.rows.forEach((row, number) => row.update(outcome.boxes[row.question.name]
      ?? { state: "blank", words: "" }, questions[number]));
    this.weights.update(outcome.boxes);
    this.flanges.say(outside, kind === "lid");
    this.flanges.update(outcome.boxes);
    this.suggest.disabled = !outcome.ready;
  }

  say(words, state, more = "") {
    show(this.empty, false);
    show(this.fitting, false);
    this.message.dataset.state = state;
    this.sign.replaceChildren(...(state ? [stateSign(state)] : []));
    setText(this.words, words);
    setText(this.more, more);
    show(this.message, words !== "");
  }

  async ask() {
    this.suggest.disabled = true;
    this.say("Looking through the stock list for struts and places …", "not judged");
    const answer = await this.talk.ask("suggest", { answers: this.keep() });
    this.suggest.disabled = false;
    if (answer.fault) this.say(answer.fault, "fails");
    else {
      this.take(answer);
      this.keep();
      this.say(answer.words, answer.holds ? "passes" : "fails", answer.fits
        ? "The door stands below: drag, compare, save. A start is no proof of clearance." : "");
      this.fitting.replaceChildren(...answer.fitting.map((words) => element("li", {}, words)));
      show(this.fitting, answer.fitting.length > 0);
    }
    this.editor.refresh(true);
  }

  toggleSave() {
    show(this.saving, this.saving.hidden);
    if (!this.saving.hidden) {
      if (!this.path.box.value) this.path.box.value = fileName(this.gather());
      this.path.box.focus();
      this.path.box.select();
    }
  }

  async saveFile(replace) {
    const amiss = await this.editor.amiss();
    if (amiss) {
      this.say("Nothing was saved.", "fails", amiss);
      return;
    }
    const answer = await this.talk.ask("save", { path: this.path.box.value, replace,
      answers: this.gather() });
    show(this.replace, Boolean(answer.exists));
    if (answer.fault) this.say(answer.fault, "fails");
    else if (answer.exists) this.say(`${answer.exists} is there already.`, "not judged");
    else {
      show(this.saving, false);
      this.say(answer.words, answer.besides ? "not judged" : "passes",
        [answer.folder, answer.besides].filter(Boolean).join(". "));
    }
  }

  remove() {
    this.unlisten();
    this.resize.disconnect();
    this.theme.disconnect();
    this.root.remove();
  }
}

// The small sign of a kind: panel shut, panel open, hinge line, fixed side.
function kindIcon({ shut, open, hinge, fixed }) {
  const line = ([[x0, y0], [x1, y1]], width, dash = null) => drawing("path", {
    d: `M${x0} ${y0}L${x1} ${y1}`, "stroke-width": width, "stroke-dasharray": dash });
  return drawing("svg", { class: "sk-kind-icon", viewBox: "0 0 28 22", width: 28, height: 22,
    "aria-hidden": "true" }, line(fixed, 1), line(open, 1, "3 2"), line(shut, 2.5),
  drawing("circle", { cx: hinge[0], cy: hinge[1], r: 2, fill: "currentColor", stroke: "none" }));
}

function fileName({ name, kind }) {
  const words = (name || kind).toLowerCase().normalize("NFKD").replace(/[^a-z0-9]+/g, "-");
  return `${words.replace(/^-+|-+$/g, "").slice(0, 60) || "door"}.toml`;
}

export default () => {
  let talk = null;
  return {
    initialize({ model }) {
      talk = new Talk(model);
      return () => talk.stop();
    },
    render({ model, el }) {
      const view = new StartView(talk, model, el);
      return () => view.remove();
    },
  };
};
