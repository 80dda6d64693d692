// The finder as a whole: bar, side view and corners, what is asked, the result.

const FINDER_NARROW = 760;

class FinderView {
  constructor(desk, host) {
    this.desk = desk;
    this.host = host;
    this.root = element("div", { class: "strutkit-bench strutkit-finder", tabindex: -1,
      "data-lm-suppress-shortcuts": "true" });
    this.root.addEventListener("keydown", (event) => event.stopPropagation());
    host.append(this.root);
    this.build();
    this.unlisten = desk.listen((topic) => this.react(topic));
    this.resize = new ResizeObserver(() => this.layout());
    this.resize.observe(host);
    this.theme = themeWatch(() => this.dress());
    this.dress();
    if (desk.scene) this.react("door");
    else desk.request("open");
  }

  build() {
    const { desk } = this;
    this.title = element("h2", { class: "sk-name" });
    this.units = element("div", { class: "sk-switch", role: "group", "aria-label":
      "Lengths shown in" }, ...["mm", "inch"].map((unit) => {
      const one = control("button", { type: "button" }, unit);
      one.addEventListener("click", () => {
        desk.model.set("unit", unit);
        desk.model.save_changes();
      });
      return one;
    }));
    const tool = (name, label, act) => {
      const one = button(label, {}, icon(name), element("span", { class: "sk-word" }, label));
      one.addEventListener("click", act);
      return one;
    };
    this.undo = tool("undo", "Undo", () => desk.request("undo"));
    this.redo = tool("redo", "Redo", () => desk.request("redo"));
    this.save = tool("save", "Save", () => this.toggleSave());
    this.sign = element("span", { class: "sk-message-sign" });
    this.words = element("strong");
    this.more = element("span", { class: "sk-more" });
    this.message = element("div", { class: "sk-message", role: "status" }, this.sign,
      element("p", {}, this.words, " ", this.more));
    this.path = new Plain("Save the door file as", "", () => {}, { placeholder: "my-hatch.toml" });
    this.replace = control("button", { type: "button", hidden: true }, "Replace it");
    this.saving = element("form", { class: "sk-form", hidden: true }, this.path.node,
      control("button", { type: "submit" }, "Save the file"), this.replace);
    this.saving.addEventListener("submit", (event) => {
      event.preventDefault();
      this.keep(false);
    });
    this.replace.addEventListener("click", () => this.keep(true));
    this.picture = new ZonePicture(desk);
    this.corners = new Corners(desk);
    this.asks = new Asks(desk);
    this.results = new Results(desk);
    this.trade = new TradePicture(desk);
    const show = [["whole", "Whole door"], ["frame", "Fixed side"], ["panel", "Door side"]];
    this.views = element("div", { class: "sk-switch sk-views", role: "group", "aria-label":
      "Picture shows" }, ...show.map(([what, title]) => {
      const one = control("button", { type: "button" }, title);
      one.dataset.value = what;
      one.addEventListener("click", () => {
        this.picture.show(what);
        this.press();
      });
      return one;
    }));
    this.column = element("div", { class: "sk-column" }, this.views, this.picture.node,
      this.corners.node);
    this.root.append(element("div", { class: "sk-bar" }, this.title, element("div", {
      class: "sk-tools" }, this.units, this.undo, this.redo, this.save)), this.saving, this.message,
    element("div", { class: "sk-finder-grid" }, this.column, this.asks.node),
    this.results.node, this.trade.section);
  }

  react(topic) {
    const { desk } = this;
    assign(this.root, { "data-rest": String(desk.atRest && !desk.progress?.running) });
    if (!desk.scene) {
      if (topic === "message") this.say();
      return;
    }
    const actions = {
      door: () => this.update(),
      zones: () => {
        this.picture.update();
        this.corners.update();
      },
      select: () => {
        this.picture.update();
        this.corners.update();
      },
      faults: () => {
        this.picture.update();
        this.corners.update();
        this.asks.progress();
      },
      asked: () => this.asks.update(),
      progress: () => this.asks.progress(),
      results: () => {
        this.results.update();
        this.trade.update();
        this.say();
      },
      message: () => this.say(),
    };
    actions[topic]?.();
  }

  update() {
    const { desk } = this;
    setText(this.title, desk.scene.name);
    for (const one of this.units.children) {
      assign(one, { "aria-pressed": String(one.textContent === desk.unit) });
    }
    this.undo.disabled = !desk.state.undo;
    this.redo.disabled = !desk.state.redo;
    this.press();
    this.layout();
    this.corners.update();
    this.asks.update();
    this.results.update();
    this.trade.update();
    this.say();
  }

  press() {
    for (const one of this.views.children) {
      assign(one, { "aria-pressed": String(one.dataset.value === this.picture.shown) });
    }
  }

  // The message line: what was just said, else the result, else what to do.
  say() {
    const { notice, results } = this.desk;
    const line = notice ?? (results ? { ...results.verdict, more: `${results.verdict.more}${
      results.stale ? " The door was changed since: search again." : ""}`,
    state: results.stale ? "not judged" : results.verdict.state } : { state: "not judged",
      words: "Mark where brackets can be fixed, then find mounts.",
      more: "Drag the corners of both zones, or type them." });
    show(this.results.proof, Boolean(notice));
    this.message.dataset.state = line.state;
    this.sign.replaceChildren(...(line.state ? [stateSign(line.state)] : []));
    setText(this.words, line.words);
    setText(this.more, line.more ?? "");
  }

  toggleSave() {
    show(this.saving, this.saving.hidden);
    if (this.saving.hidden) return;
    if (!this.path.box.value) this.path.box.value = this.desk.state.path ?? doorFile(this.desk.scene);
    this.path.box.focus();
    this.path.box.select();
  }

  async keep(replace) {
    const { desk } = this;
    const amiss = await desk.amiss();
    if (amiss) {
      desk.say("Nothing was saved.", "fails", amiss);
      return;
    }
    const answer = await desk.ask("save", { path: this.path.box.value, replace });
    show(this.replace, Boolean(answer.exists));
    if (answer.fault) desk.say(answer.fault, "fails");
    else if (answer.exists) desk.say(`${answer.exists} is there already.`, "not judged");
    else {
      show(this.saving, false);
      this.save.focus();
      const besides = PARTS.some((part) => desk.refused[part])
        ? " The zone that cannot be used is not in it." : "";
      desk.say(answer.words, "passes", answer.folder + besides);
      desk.request("door");
    }
  }

  layout() {
    const width = this.host.clientWidth;
    if (!width || !this.desk.scene) return;
    this.root.classList.toggle("sk-narrow", width < FINDER_NARROW);
    const inside = this.root.clientWidth - 16;
    const wide = width >= FINDER_NARROW;
    const side = wide ? Math.max(380, Math.min(512, inside - 452)) : inside;
    this.column.style.width = `${side}px`;
    this.picture.layout(side, wide ? 440 : Math.min(384, Math.round(side * 0.95)));
    this.trade.layout(inside);
  }

  dress() {
    dress(this.root, this.host);
    useFamily(getComputedStyle(this.root).fontFamily);
  }

  remove() {
    this.unlisten();
    this.resize.disconnect();
    this.theme.disconnect();
    this.root.remove();
  }
}

function doorFile({ name }) {
  const words = name.toLowerCase().normalize("NFKD").replace(/[^a-z0-9]+/g, "-");
  return `${words.replace(/^-+|-+$/g, "").slice(0, 60) || "door"}.toml`;
}

export default () => {
  let desk = null;
  return {
    initialize({ model }) {
      desk = new Desk(model);
    },
    render({ el }) {
      const view = new FinderView(desk, el);
      return () => view.remove();
    },
  };
};
