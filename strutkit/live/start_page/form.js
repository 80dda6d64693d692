// The form as a whole: kind, sketch, rows, what is amiss, and the two ways on.

const NARROW = 760;

class StartView {
  constructor(talk, model, host) {
    this.talk = talk;
    this.model = model;
    this.host = host;
    this.root = element("div", { class: "strutkit-bench strutkit-start" });
    this.root.addEventListener("keydown", (event) => event.stopPropagation());
    host.append(this.root);
    this.judge = settled(() => this.send(), 900);
    this.resize = new ResizeObserver(() => this.root.classList.toggle("sk-narrow",
      host.clientWidth < NARROW));
    this.resize.observe(host);
    this.theme = new MutationObserver(() => this.dress());
    this.theme.observe(document.body, { attributes: true, attributeFilter: ["class", "style",
      "data-jp-theme-light", "data-jp-theme-name"] });
    this.dress();
    this.unlisten = talk.onChanged(() => this.editor?.refresh());
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
    this.kept = filled(this.answers) ? null : recall();
    if (this.kept) {
      this.say("What was typed here before is kept.", null, this.kept.name ?? "");
      show(this.bring, true);
    }
  }

  build(answer) {
    this.title = element("h2", { class: "sk-name" });
    this.units = this.choices(["mm", "inch"], ["mm", "inch"], "Lengths shown in", "unit");
    this.kind = this.choices(this.kinds.map((one) => one.title), this.kinds.map((one) => one.name),
      "Kind of opening", "kind");
    this.kind.classList.replace("sk-switch", "sk-kinds");
    this.kinds.forEach((kind, number) => this.kind.children[number].prepend(kindIcon(kind.icon)));
    this.count = this.choices(["one strut", "two"], [1, 2], "Struts", "count");
    this.sketch = element("div", { class: "sk-sketch" });
    this.list = element("div", { class: "sk-asks" });
    const changed = (now) => (now ? this.judge.now() : this.judge());
    this.weights = new Weights(this.answers, changed);
    this.name = new Plain("Name of the door", this.answers.name, changed,
      { placeholder: "Workshop van, rear hatch" });
    this.tapes = new Tapes(this.talk, answer.uses, (words) => this.say(words, "passes"));
    this.label = new Label(this.talk, answer.cautions, answer.own_strut);
    this.editor = new Editor(this.talk, answer.stock);
    this.editor.onAnswers = (found) => {
      this.answers = found.answers;
      this.shownKind = null;
      this.name.box.value = this.answers.name;
      this.weights.clear();
      this.take(found);
    };
    this.status = element("p", { class: "sk-status", role: "status" });
    this.suggest = control("button", { type: "button", class: "sk-suggest" }, "Suggest a start");
    this.save = control("button", { type: "button" }, "Save as far as it goes");
    this.suggest.addEventListener("click", () => this.ask());
    this.save.addEventListener("click", () => this.toggleSave());
    this.path = new Plain("Save the door file as", "", () => {}, { placeholder: "my-hatch.toml" });
    this.path.box.setAttribute("aria-label", "Save the door file as");
    this.go = control("button", { type: "submit" }, "Save");
    this.replace = control("button", { type: "button", hidden: true }, "Replace it");
    this.saving = element("form", { class: "sk-line sk-saving", hidden: true }, this.path.node,
      this.go, this.replace);
    this.saving.addEventListener("submit", (event) => {
      event.preventDefault();
      this.keep(false);
    });
    this.replace.addEventListener("click", () => this.keep(true));
    this.sign = element("span", { class: "sk-message-sign" });
    this.words = element("strong");
    this.more = element("span", { class: "sk-more" });
    this.bring = control("button", { type: "button", hidden: true }, "Bring it back");
    this.bring.addEventListener("click", () => this.bringBack());
    this.message = element("div", { class: "sk-message", role: "status", hidden: true }, this.sign,
      element("p", {}, this.words, " ", this.more), this.bring);
    this.assumed = element("ul", { class: "sk-cautions" });
    this.assumedNode = section("Assumed", "listed on the sheet until you weigh or measure it",
      this.assumed);
    this.root.replaceChildren(
      element("div", { class: "sk-bar" }, this.title, this.units),
      element("div", { class: "sk-kind-bar" }, this.kind, this.count),
      element("div", { class: "sk-start-grid" }, this.sketch, this.list),
      this.weights.node, this.tapes.node, this.label.node, this.assumedNode,
      element("div", { class: "sk-foot" }, this.status, element("div", { class: "sk-line" },
        this.name.node, this.suggest, this.save)),
      this.saving, this.message, this.editor.node, this.editor.textNode);
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
    const boxes = { ...this.answers.boxes, ...this.weights.boxes };
    for (const row of this.rows ?? []) boxes[row.question.name] = row.answer;
    this.answers = { ...this.answers, boxes, lumps: this.weights.rows, name: this.name.box.value };
    if (filled(this.answers)) remember(this.answers);
    return this.answers;
  }

  bringBack() {
    this.answers = this.kept;
    this.rows = [];
    this.shownKind = null;
    this.build(this.opened);
    this.send();
  }

  async send() {
    const answer = await this.talk.ask("judge", { answers: this.gather() });
    if (answer.fault) this.say(answer.fault, "fails");
    else this.take(answer);
  }

  take({ questions, sketch, outcome }) {
    const { kind, unit, count } = this.answers;
    for (const [group, value] of [[this.units, unit], [this.kind, kind], [this.count, count]]) {
      for (const one of group.children) {
        assign(one, { "aria-pressed": String(one.dataset.value === String(value)) });
      }
    }
    if (this.shownKind !== kind) {
      this.shownKind = kind;
      const found = this.kinds.find((one) => one.name === kind);
      setText(this.title, `Start a door: ${found.title[0].toLowerCase()}${found.title.slice(1)}`);
      this.sketch.replaceChildren(svgNode(sketch));
      const changed = (now) => (now ? this.judge.now() : this.judge());
      this.rows = questions.map((question, number) => new Row(question, number + 1,
        this.answers.boxes[question.name] ?? { text: "", unknown: false }, changed));
      this.list.replaceChildren(...this.rows.map((row) => row.node));
    }
    for (const row of this.rows) {
      row.update(outcome.boxes[row.question.name] ?? { state: "blank", words: "" });
    }
    this.weights.update(outcome.boxes);
    setText(this.status, outcome.trouble || outcome.words);
    this.suggest.disabled = !outcome.ready;
    this.assumed.replaceChildren(...outcome.assumed.map((words) => element("li", {},
      stateSign("assumed"), element("span", {}, words))));
    if (!outcome.assumed.length) this.assumed.append(element("li", {}, "Nothing yet."));
  }

  say(words, state, more = "") {
    show(this.bring, false);
    this.message.dataset.state = state;
    this.sign.replaceChildren(...(state ? [stateSign(state)] : []));
    setText(this.words, words);
    setText(this.more, more);
    show(this.message, words !== "");
  }

  async ask() {
    this.suggest.disabled = true;
    this.say("Looking through the stock list for struts and places …", "not judged");
    const answer = await this.talk.ask("suggest", { answers: this.gather() });
    this.suggest.disabled = false;
    if (answer.fault) this.say(answer.fault, "fails");
    else {
      this.say(answer.words, answer.holds ? "passes" : "fails", answer.fits
        ? "The door stands below: drag, compare, save. A start is no proof of clearance." : "");
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

  async keep(replace) {
    const answer = await this.talk.ask("save", { path: this.path.box.value, replace,
      answers: this.gather() });
    show(this.replace, Boolean(answer.exists));
    if (answer.fault) this.say(answer.fault, "fails");
    else if (answer.exists) this.say(`${answer.exists} is there already.`, "not judged");
    else {
      show(this.saving, false);
      this.say(answer.words, "passes", answer.folder);
    }
  }

  // Light or dark by the luminance of the ground that the form stands on.
  dress() {
    let ground = [255, 255, 255];
    for (let one = this.host; one instanceof Element; one = one.parentElement) {
      const parts = getComputedStyle(one).backgroundColor.match(/[\d.]+/g)?.map(Number) ?? [];
      if (parts.length === 3 || (parts.length === 4 && parts[3] > 0.5)) {
        ground = parts.slice(0, 3);
        break;
      }
    }
    const [red, green, blue] = ground.map((value) => (value / 255 <= 0.04045 ? value / 255 / 12.92
      : ((value / 255 + 0.055) / 1.055) ** 2.4));
    this.root.classList.toggle("sk-dark", 0.2126 * red + 0.7152 * green + 0.0722 * blue < 0.18);
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

// What was typed is kept in this browser tab, in case the cell runs again or the kernel is new.
const KEPT = "strutkit-start";

function filled({ boxes }) {
  return Object.values(boxes ?? {}).some((box) => box.text || box.unknown);
}

function remember(answers) {
  try {
    sessionStorage.setItem(`${KEPT}:${location.pathname}`, JSON.stringify(answers));
  } catch { /* A browser that keeps nothing. */ }
}

function recall() {
  try {
    const kept = JSON.parse(sessionStorage.getItem(`${KEPT}:${location.pathname}`));
    return kept?.boxes && Array.isArray(kept.lumps) ? kept : null;
  } catch {
    return null;
  }
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
    },
    render({ model, el }) {
      const view = new StartView(talk, model, el);
      return () => view.remove();
    },
  };
};
