// The whole view: its parts, their places, the theme, and what to draw when something changes.

const WIDE = 760;
const GAP = 12;
const NO_STRUT = "No strut yet: write one in the door file and open it here, or take a start that "
  + "start_door() suggests.";
const RELABEL_EVERY = 250; // labels follow a drag at most so often [ms]

class View {
  constructor(store, host) {
    this.store = store;
    this.host = host;
    this.root = element("div", { class: "strutkit-bench", tabindex: -1,
      "data-lm-suppress-shortcuts": "true" });
    host.append(this.root);
    this.parts = this.build();
    this.root.addEventListener("keydown", (event) => event.stopPropagation());
    this.root.addEventListener("pointerdown", (event) => this.press(event));
    this.resize = new ResizeObserver(() => {
      if (Math.floor(this.host.clientWidth) !== this.laidWidth) this.layout();
    });
    this.resize.observe(host);
    this.theme = themeWatch(() => this.dress());
    this.told = new Set();
    this.frame = null;
    this.unlisten = store.listen((topic) => this.hear(topic));
    this.labelled = 0;
    this.watchSight();
    this.root.dataset.rest = String(Boolean(store.rested));
    this.dress();
    this.layout();
  }

  build() {
    const { store } = this;
    const bar = new Bar(store);
    const message = new Message(store);
    const side = new SideView(store);
    const condition = control("select", { "aria-label": "Shown in" });
    condition.addEventListener("change", () => store.keep("condition", condition.value));
    const zoom = element("div", { class: "sk-zoom" }, ...[["Smaller", "less", () =>
      side.zoomButton(1 / 1.5)], ["Larger", "more", () => side.zoomButton(1.5)], ["Whole door",
      "whole", () => side.whole()]].map(([label, sign, action]) => {
      const one = button(label, {}, icon(sign));
      one.addEventListener("click", action);
      return one;
    }));
    const boxes = new Boxes(store);
    const along = new AlongView(store);
    const slider = new AngleSlider(store);
    const charts = { moment: new MomentChart(store), force: new ForceChart(store),
      length: new LengthChart(store), hinge: new HingeChart(store) };
    const findings = new Findings(store);
    const rating = new RatingView(store);
    const compare = new CompareView(store);
    const map = new MapView(store);
    const note = element("p", { class: "sk-note", hidden: true });
    this.root.append(bar.node, bar.form.node, bar.papers.node, message.node, element("div", { class: "sk-grid" },
      element("div", { class: "sk-column" },
        element("div", { class: "sk-area-side" }, element("div", { class: "sk-shown" },
          element("label", {}, element("span", {}, "Shown in"), condition), zoom), side.node, boxes.node,
        along.node),
        findings.node),
      element("div", { class: "sk-column" },
        note, element("div", { class: "sk-area-charts" }, slider.box, charts.moment.node,
          charts.force.node),
        rating.node,
        map.node,
        element("section", { class: "sk-block sk-area-loads" }, charts.length.node, charts.hinge.node)),
      compare.node));
    return { bar, message, side, condition, boxes, along, slider, charts, findings, rating, compare,
      map, note };
  }

  dress() {
    dress(this.root, this.host);
  }

  layout() {
    const width = Math.floor(this.host.clientWidth);
    this.laidWidth = width;
    if (!width || !this.store.scene) return;
    useFamily(getComputedStyle(this.root).fontFamily);
    const inner = width - 16;
    const wide = width >= WIDE;
    const narrow = !wide;
    this.root.classList.toggle("sk-narrow", narrow);
    const low = window.innerHeight < 620;
    const total = Math.min(inner, 1200);
    let right = narrow ? inner : Math.min(Math.max(440, Math.round(total * 0.46)), total - 400 - GAP);
    const left = narrow ? inner : total - right - GAP;
    if (narrow) right = inner;
    this.root.style.setProperty("--sk-left", `${left}px`);
    this.root.style.setProperty("--sk-right", `${right}px`);
    const { side, along, slider, charts, findings, rating, map } = this.parts;
    this.settle();
    side.layout(left, narrow ? Math.min(384, Math.max(300, left * 0.95)) : low ? 400 : 440);
    along.layout(left);
    const swept = Boolean(this.store.curves && this.store.axes);
    this.root.classList.toggle("sk-no-curves", !swept);
    const words = swept ? "" : "Charts and findings come with the first place that fits.";
    setText(this.parts.note, this.store.scene.struts.length ? words : NO_STRUT);
    show(this.parts.note, this.parts.note.textContent !== "");
    if (!swept) return;
    slider.layout(right);
    charts.moment.layout(right, low ? 170 : 196, false);
    charts.force.layout(right, low ? 200 : 236, true);
    charts.length.layout(right, 170, false);
    charts.hinge.layout(right, 190, true);
    findings.narrow = narrow;
    rating.layout(right, narrow);
    map.layout(right);
    findings.update();
    this.laid = true;
  }

  settle() {
    const { bar, message, boxes, condition } = this.parts;
    const { scene, curves } = this.store;
    bar.update();
    message.update();
    boxes.rebuild();
    setOptions(condition, scene.conditions.map((one) => [one.name, one.name]));
    condition.value = curves?.condition ?? this.store.model.get("condition");
    this.root.classList.toggle("sk-lost", Boolean(this.store.lost));
  }

  // All that was told since the last frame is drawn in one go.
  hear(topic) {
    if (topic === "rest" && !this.store.rested) this.root.dataset.rest = "false";
    this.told.add(topic);
    this.frame ??= requestAnimationFrame(() => {
      this.frame = null;
      if (this.pressed) return;
      const { told } = this;
      this.told = new Set();
      keepingFocus(this.root, () => this.draw(told));
      this.mark(told);
    });
  }

  // A button that is pressed stays under the finger until its click: what was typed before is
  // answered meanwhile, and is drawn after it.
  press({ target }) {
    if (!target.closest("button") || this.pressed) return;
    this.pressed = true;
    const ends = new AbortController();
    const up = () => {
      ends.abort();
      setTimeout(() => {
        this.pressed = false;
        this.hear("pressed");
      });
    };
    for (const one of ["pointerup", "pointercancel", "blur"]) {
      window.addEventListener(one, up, { signal: ends.signal });
    }
  }

  draw(told) {
    if (told.has("scene")) {
      this.layout();
      this.parts.compare.update();
    }
    if (!this.laid) {
      if (this.store.scene) this.drawUnswept(told);
      return;
    }
    const { bar, message, side, boxes, along, slider, charts, findings, rating, compare, map } = this.parts;
    const every = Object.values(charts);
    if (told.has("angle")) {
      if (!told.has("curves")) side.turn();
      slider.turn();
      every.forEach((one) => one.turn());
      this.relabelAtRest();
    }
    if (told.has("draft")) {
      const { draft } = this.store;
      if (!told.has("curves")) side.follow();
      if (draft === null || draft.rating !== undefined) rating.update();
      if (draft === null || along.stale()) along.update();
      map.follow();
    }
    const boxed = told.has("untaken") || (told.has("draft") && !this.store.streaming);
    if (told.has("curves") || boxed) boxes.update();
    if (told.has("curves")) {
      side.retrace();
      if (along.stale()) along.update();
      slider.update();
      this.drawCharts(every);
    }
    if (told.has("select")) {
      side.turn();
      boxes.update();
      along.update();
      rating.update();
      charts.length.layout(charts.length.plot.width, 170, false);
      compare.stale();
      map.update();
      side.drawMap();
    }
    if (told.has("verdict")) {
      findings.update();
      rating.update();
      map.follow();
    }
    if (told.has("compare")) compare.update();
    if (told.has("map")) {
      map.update();
      side.drawMap();
    }
    if (told.has("waiting")) {
      findings.stale();
      rating.stale();
      compare.stale();
    }
    if (told.has("verdict") || told.has("message") || told.has("waiting")) message.update();
    if (told.has("message")) {
      bar.update();
      this.root.classList.toggle("sk-lost", Boolean(this.store.lost));
    }
    every.forEach((one) => one.stale());
  }

  // A door that no curve was drawn of yet: why it cannot be swept, and mounts to move.
  drawUnswept(told) {
    if (told.has("verdict") || told.has("curves")) this.layout();
    if (this.laid) return;
    const { bar, message, side, boxes, along } = this.parts;
    side.update();
    boxes.update();
    along.update();
    message.update();
    bar.update();
  }

  // Curves in sight are drawn with each answer; labels, and curves that are scrolled away, at a
  // slower pace, and once more when no answer follows.
  drawCharts(every) {
    const due = performance.now() - this.labelled > RELABEL_EVERY;
    if (due) this.labelled = performance.now();
    else this.later ??= setTimeout(() => {
      this.later = null;
      this.hear("curves");
    }, RELABEL_EVERY);
    for (const one of every) {
      if (due || this.seen.has(one.node)) one.update();
      if (due) one.relabel();
    }
  }

  // Labels leave the cursor's figures room once the angle rests.
  relabelAtRest() {
    clearTimeout(this.angleRest);
    this.angleRest = setTimeout(() => {
      if (this.laid) Object.values(this.parts.charts).forEach((one) => one.relabel());
    }, RELABEL_EVERY);
  }

  // Which charts are in sight; one that comes into sight is brought up to date.
  watchSight() {
    this.seen = new Set();
    this.sight = new IntersectionObserver((entries) => {
      for (const { target, isIntersecting } of entries) {
        if (isIntersecting) this.seen.add(target);
        else this.seen.delete(target);
      }
      this.labelled = 0;
      this.hear("curves");
    });
    for (const { node } of Object.values(this.parts.charts)) this.sight.observe(node);
  }

  // What tests and measurements read: rest, and the time from the move of a hand to what it
  // changed in the page [ms].
  mark(told) {
    const now = performance.now();
    const { store } = this;
    const data = this.root.dataset;
    if (told.has("rest")) data.rest = String(store.rested);
    if (told.has("answered")) data.latency = (now - store.moved.curves).toFixed(1);
    if (told.has("verdict") && store.moved.verdict) {
      data.findings = (now - store.moved.verdict).toFixed(1);
      store.moved.verdict = null;
    }
  }

  remove() {
    this.unlisten();
    if (this.frame !== null) cancelAnimationFrame(this.frame);
    clearTimeout(this.later);
    clearTimeout(this.angleRest);
    this.resize.disconnect();
    this.sight.disconnect();
    this.theme.disconnect();
    this.root.remove();
  }
}

export default () => {
  let store = null;
  return {
    initialize({ model }) {
      store = new Store(model);
      store.start();
      return () => store.stop();
    },
    render({ el }) {
      const view = new View(store, el);
      return () => view.remove();
    },
  };
};
