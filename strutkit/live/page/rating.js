// Rating window: one bar for each rule on a common axis, all rules together, and the rating to
// drag along it.

const ON_EDGE = 1e-6; // as in Python: a rating so near an edge, as a share of it, lies on it

class RatingView {
  constructor(store) {
    this.store = store;
    this.svg = drawing("svg", { class: "sk-chart sk-rating" });
    this.still = drawing("g");
    this.bars = drawing("g");
    this.line = drawing("line", { class: "sk-cursor" });
    this.thumb = drawing("g", { role: "slider", tabindex: 0, class: "sk-thumb",
      ...OURS, "aria-label": "Rating" },
    drawing("circle", { r: 24, class: "sk-hit" }), drawing("circle", { r: 15, class: "sk-ring" }),
    drawing("circle", { r: 8.5, class: "sk-disc" }), drawing("circle", { r: 2.5, class: "sk-dot" }));
    this.now = drawing("text", { class: "sk-label sk-strong" });
    this.svg.append(this.still, this.bars, this.line, this.now, this.thumb);
    this.words = element("p", { class: "sk-window-words" });
    this.first = ["weaker", "stronger"].map(() => element("p", { class: "sk-breaks-first" }));
    this.beside = element("p", { class: "sk-window-words sk-window-fails" });
    this.unmended = element("p", { class: "sk-window-words sk-window-fails" });
    this.unlooked = element("p", { class: "sk-breaks-first" });
    this.note = element("small");
    this.node = element("section", { class: "sk-block sk-area-window" },
      element("h3", {}, "Rating window", this.note), this.svg, this.words,
      this.beside, this.unmended, ...this.first, this.unlooked);
    this.bind();
  }

  bind() {
    const { store } = this;
    dragging(this.svg, {
      holds: (x, y) => Math.hypot(x - this.thumbX, y - this.thumbY) <= HIT,
      start: (x, y) => {
        if (Math.hypot(x - this.thumbX, y - this.thumbY) > HIT) return false;
        store.hold(store.selected.place, "rating");
        this.thumb.focus({ preventScroll: true });
        return true;
      },
      move: (x, _, event) => this.rateTo(this.valueAt(x), event.altKey ? 1 : 5),
      end: () => store.commit(),
      cancel: () => store.cancel(),
    });
    this.thumb.addEventListener("keydown", (event) => {
      if (event.key === "Escape") {
        event.preventDefault();
        store.cancel();
        return;
      }
      const step = event.shiftKey ? 50 : 5;
      const { rating, axis: { low, high } } = this;
      const ratings = { ArrowRight: rating + step, ArrowUp: rating + step, ArrowLeft: rating - step,
        ArrowDown: rating - step, PageUp: rating + 50, PageDown: rating - 50, Home: low, End: high };
      if (!(event.key in ratings)) return;
      event.preventDefault();
      if (store.onItsWay && !["Home", "End"].includes(event.key)) {
        store.rateBy(store.selected.place, ratings[event.key] - rating);
        return;
      }
      store.hold(store.selected.place, "rating");
      this.rateTo(ratings[event.key], 1);
      store.commitSoon();
    });
  }

  rateTo(value, step) {
    const { low, high } = this.axis;
    const [least, most] = [Math.ceil(low / step), Math.floor(high / step)];
    const steps = Math.min(Math.max(Math.round(value / step), least), Math.max(least, most));
    const rating = Math.max(1, steps * step);
    this.store.move({ place: this.store.selected.place, rating });
  }

  get rating() {
    const { store } = this;
    const { place } = store.selected;
    const own = store.draft?.place === place ? store.draft.rating : undefined;
    return own ?? store.strutAt(place)?.rating ?? 0;
  }

  // The bars begin beside the longest rule.
  measureLeft(rules) {
    const widest = Math.max(96, ...rules.map((one) => textWidth(`✕ ${one.label}`, 12, 600)));
    this.left = this.narrow ? 14 : Math.min(widest + 12, this.width * 0.55);
  }

  x(value) {
    const { low, high } = this.axis;
    const share = Math.min(Math.max((value - low) / (high - low), 0), 1);
    return this.left + share * (this.width - PLOT_RIGHT - this.left);
  }

  valueAt(x) {
    const { low, high } = this.axis;
    return low + ((x - this.left) / (this.width - PLOT_RIGHT - this.left)) * (high - low);
  }

  layout(width, narrow) {
    this.width = width;
    this.narrow = narrow;
    this.update();
  }

  update() {
    const window_ = this.store.window;
    const strut = this.store.strutAt(this.store.selected.place);
    show(this.node, Boolean(window_ && strut));
    if (!window_ || !strut || !this.width) return;
    if (this.ofAnother) {
      this.stale();
      return;
    }
    if (!this.store.dragging || !this.axis) this.axis = window_.axis;
    const row = this.narrow ? 40 : 26;
    const top = 30;
    const { rules } = window_;
    this.measureLeft(rules);
    const height = top + (rules.length + 1) * row + 46;
    assign(this.svg, { width: this.width, height, viewBox: `0 0 ${this.width} ${height}` });
    this.drawAxis(window_, top, top + (rules.length + 1) * row);
    const parts = [];
    rules.forEach((rule, index) => this.drawRule(parts, rule, top + 10 + index * row));
    this.drawAll(parts, window_, top + 10 + rules.length * row);
    redraw(this.bars, parts);
    this.thumbY = height - 22;
    this.placeThumb(top);
    setText(this.words, window_.words);
    show(this.words, window_.words !== "");
    this.of = window_.of;
    this.stale();
    for (const name of ["beside", "unmended", "unlooked"]) {
      setText(this[name], window_[name]);
      show(this[name], window_[name] !== "");
    }
    this.sayFirst(window_, window_.unmended !== "");
  }

  // The bars are of the strut that was chosen before.
  get ofAnother() {
    const { window: window_, selected } = this.store;
    return Boolean(window_) && window_.place !== selected.place;
  }

  stale() {
    const { shown } = this.store.late.window;
    const words = this.ofAnother ? "waiting: these bars are of another strut"
      : "waiting: these bars are of an earlier place";
    setText(this.note, shown || this.ofAnother ? words : `${this.of}; dotted: in the stock list`);
  }

  // Which of the bars that hold now is broken first by a weaker and by a stronger strut, or next
  // where some fail already; unmended: limits that no rating changes do. A weaker one may be left no
  // charge before it breaks a bar. What no bar shows may break before: "of these rules" says so.
  sayFirst({ rules, looked_from: least, starved }, unmended) {
    const { rating } = this;
    const holding = rules.filter((rule) => this.holds(rule));
    const below = holding.filter((rule) => rule.low > least).sort((a, b) => b.low - a.low)[0];
    const above = holding.filter((rule) => rule.high !== null).sort((a, b) => a.high - b.high)[0];
    const words = [["Weaker", below, below && `under ${this.figure(below.low, Math.ceil)} N`],
      ["Stronger", above, above && `over ${this.figure(above.high, Math.floor)} N`]];
    const failing = rules.filter((rule) => !this.holds(rule)).map((rule) => `“${rule.label}”`);
    const fails = failing.length === 1 ? "fails" : "fail";
    const still = failing.length ? `; ${failing.join(", ")} ${fails} now` : "";
    const some = failing.length > 0 || unmended;
    const [more, rank] = some ? ["no further one", "next"] : ["none", "first"];
    words.forEach(([way_, rule, edge], i) => {
      setText(this.first[i], rule
        ? `${way_}: of these rules “${rule.label}” breaks ${rank}, ${edge}${still}.`
        : `${way_} than ${this.figure(rating)} N: ${more} of these rules breaks${still}.`);
      show(this.first[i], rules.length > 0);
    });
    if (starved && !below) setText(this.first[0], `Weaker: ${starved}${still}.`);
  }

  figure(rating, round = null) {
    return forceFigure(rating, this.store.scene.small, round);
  }

  holds(rule) {
    const near = ON_EDGE * this.rating;
    return !rule.empty && rule.low <= this.rating + near
      && this.rating - near <= (rule.high ?? Infinity);
  }

  drawAxis(window_, top, bottom) {
    const parts = [];
    if (!this.narrow) {
      parts.push(part("text", { x: 0, y: 14, class: "sk-figure" }, "Rating, N"));
    }
    const right = this.width - PLOT_RIGHT;
    parts.push(part("line", { x1: this.left, x2: right, y1: top - 8, y2: top - 8,
      class: "sk-axis" }));
    for (const rating of window_.stock) {
      if (rating < this.axis.low || rating > this.axis.high) continue;
      parts.push(part("line", { x1: this.x(rating), x2: this.x(rating), y1: top - 8, y2: bottom,
        class: "sk-stock" }));
    }
    for (const tick of this.axis.ticks) {
      const x = this.x(tick);
      parts.push(part("line", { x1: x, x2: x, y1: top - 12, y2: top - 8, class: "sk-axis" }),
        part("text", { x, y: 14, class: "sk-figure", "text-anchor": "middle" }, tickFigure(tick)));
    }
    redraw(this.still, parts);
  }

  drawRule(parts, rule, y) {
    const right = this.width - PLOT_RIGHT;
    const holds = this.holds(rule);
    const barY = this.narrow ? y + 16 : y;
    parts.push(part("text", { x: 0, y: this.narrow ? y + 8 : y + 11,
      class: `sk-rule ${holds ? "" : "sk-strong sk-fails"}` }, `${holds ? "✓" : "✕"} ${rule.label}`));
    parts.push(part("rect", { x: this.left, y: barY, width: right - this.left, height: 14,
      class: "sk-bar-empty" }));
    if (rule.empty) {
      parts.push(part("text", { x: this.left + 8, y: barY + 11, class: "sk-figure" }, "no rating"));
      return;
    }
    const [x0, x1] = [this.x(rule.low), this.x(rule.high ?? Infinity)];
    parts.push(part("rect", { x: x0, y: barY, width: Math.max(0, x1 - x0), height: 14,
      class: holds ? "sk-bar-holds" : "sk-bar-fails" }));
    const { low, high } = this.axis;
    if (rule.low > low && rule.low < high) {
      parts.push(part("path", { d: limitPathUpright(x0, barY - 2, barY + 16, -1),
        class: "sk-limit" }),
      haloText(this.figure(rule.low, Math.ceil), { x: x0 - 9, y: barY + 11.5, anchor: "end" },
        holds ? "sk-quiet" : "sk-strong sk-fails"));
    }
    if (rule.high !== null && rule.high > low && rule.high < high) {
      const figure = this.figure(rule.high, Math.floor);
      const room = x1 + 9 + textWidth(figure, 12, holds ? 400 : 600) <= this.width;
      parts.push(part("path", { d: limitPathUpright(x1, barY - 2, barY + 16, 1),
        class: "sk-limit" }),
      haloText(figure, { x: room ? x1 + 9 : x1 - 9, y: barY + 11.5, anchor: room ? "start" : "end" },
        holds ? "sk-quiet" : "sk-strong sk-fails"));
    }
  }

  drawAll(parts, window_, y) {
    const barY = this.narrow ? y + 16 : y;
    parts.push(part("text", { x: 0, y: this.narrow ? y + 8 : y + 11, class: "sk-rule sk-strong" },
      "All these rules"));
    if (window_.empty || !window_.rules.length) {
      const words = window_.empty ? "no rating" : "the door has no limits";
      parts.push(haloText(words, { x: this.left + 8, y: barY + 11, anchor: "start" },
        "sk-strong"));
      return;
    }
    const [x0, x1] = [this.x(window_.low), this.x(window_.high ?? Infinity)];
    parts.push(part("rect", { x: x0, y: barY, width: Math.max(1.5, x1 - x0), height: 14,
      class: "sk-bar-all" }));
    const width = textWidth(window_.range, 12, 600);
    const [before, after] = [x0 - 8 - width >= (this.narrow ? 0 : 96), x1 + 8 + width <= this.width];
    const inside = x1 - x0 > width + 16 ? x1 - 8 : this.width - 2;
    const place = before ? { x: x0 - 8, anchor: "end" } : { x: after ? x1 + 8 : inside,
      anchor: after ? "start" : "end" };
    parts.push(haloText(window_.range, { ...place, y: barY + 11.5 }, "sk-strong"));
  }

  placeThumb(top) {
    const { rating } = this;
    this.thumbX = this.x(rating);
    assign(this.line, { x1: this.thumbX, x2: this.thumbX, y1: top - 8, y2: this.thumbY });
    assign(this.thumb, { transform: `translate(${this.thumbX} ${this.thumbY})`,
      "aria-valuemin": Math.ceil(this.axis.low), "aria-valuemax": Math.floor(this.axis.high),
      "aria-valuenow": Math.round(rating), "aria-valuetext": `${this.figure(rating)} N` });
    const left = this.thumbX > this.width - 110;
    assign(this.now, { x: left ? this.thumbX - 22 : this.thumbX + 22, y: this.thumbY + 4,
      "text-anchor": left ? "end" : "start" });
    setText(this.now, `now ${this.figure(rating)} N`);
  }
}
