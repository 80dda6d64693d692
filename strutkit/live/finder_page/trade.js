// The trade-off picture: hand force against hinge load, and against reserve, on one force axis.
// Each numbered point is a layout that none beats in all three; taking it adopts it.

const TRADE_LEFT = 60;
const TRADE_RIGHT = 24;
const PLOT_HEIGHT = 170;

class TradePicture {
  constructor(desk) {
    this.desk = desk;
    this.node = drawing("svg", { class: "sk-chart sk-trade", role: "group", "aria-label":
      "Trade-off of hand force, hinge load and reserve: each point can be adopted" });
    this.words = element("p", { class: "sk-trade-words", role: "status" });
    this.note = element("small");
    this.section = element("section", { class: "sk-block" }, element("h3", {}, "Trade-off", this.note),
    this.node, this.words);
    this.node.addEventListener("click", (event) => {
      const box = this.node.getBoundingClientRect();
      const found = nearest(this.spots, event.clientX - box.left, event.clientY - box.top);
      if (found) adopt(this.desk, found.point);
    });
    this.spots = [];
  }

  layout(width) {
    this.width = Math.min(width, 720);
    this.update();
  }

  update() {
    const trade = this.desk.results?.trade;
    show(this.section, Boolean(trade));
    if (!trade || !this.width) return;
    setText(this.note, `each point is best for its hinge load or reserve, to 1 %; click one to adopt `
      + `it${trade.left_out ? `. ${trade.left_out} that fail the check are left out` : ""}`);
    const focus = this.node.contains(document.activeElement)
      ? document.activeElement.dataset.id : null;
    const height = 2 * PLOT_HEIGHT + 34;
    assign(this.node, { width: this.width, height, viewBox: `0 0 ${this.width} ${height}` });
    const x = (value) => TRADE_LEFT + (this.width - TRADE_LEFT - TRADE_RIGHT)
      * ((value - trade.hand_force.low) / (trade.hand_force.high - trade.hand_force.low));
    this.spots = [];
    const parts = [];
    [["hinge_resultant", "Hinge line, at most", "N"], ["reserve",
      "Reserve, share of the weight’s moment", "%"]].forEach(([name, title, unit], number) => {
      parts.push(...this.plot(trade, name, title, unit, number * PLOT_HEIGHT, x));
    });
    const bottom = 2 * PLOT_HEIGHT - 8;
    for (const tick of trade.hand_force.ticks) {
      parts.push(drawing("text", { x: x(tick), y: bottom + 18, class: "sk-figure",
        "text-anchor": "middle" }, tradeFigure(tick)));
    }
    parts.push(drawing("text", { x: this.width - TRADE_RIGHT, y: bottom + 36, class: "sk-title",
      "text-anchor": "end" }, "Largest hand force, N"));
    this.node.replaceChildren(...parts);
    if (focus) this.node.querySelector(`[data-id="${focus}"]`)?.focus();
    const now = trade.points.findIndex((point) => point.now);
    setText(this.words, now < 0 ? "" : this.pointWords(trade.points[now], now));
  }

  pointWords(point, index) {
    return `${index + 1}, ${point.now ? "in the door" : point.state}: ${point.words}; `
      + `${point.strut}, ${point.count}; fixed side ${point.fixed}; door side ${point.door}.`
      + [point.reason, ...point.cautions].filter(Boolean).map((words) => ` ${words}`).join("");
  }

  plot(trade, name, title, unit, top, x) {
    const { low, high, ticks } = trade[name];
    const [ceiling, floor] = [top + 26, top + PLOT_HEIGHT - 8];
    const y = (value) => floor - ((value - low) / (high - low)) * (floor - ceiling);
    const right = this.width - TRADE_RIGHT;
    const parts = [drawing("text", { x: 6, y: top + 13, class: "sk-title" }, title),
      drawing("text", { x: right, y: top + 13, class: "sk-figure", "text-anchor": "end" }, unit)];
    for (const tick of ticks) {
      parts.push(drawing("line", { x1: TRADE_LEFT, x2: right, y1: y(tick), y2: y(tick),
        class: "sk-grid" }), drawing("text", { x: TRADE_LEFT - 7, y: y(tick) + 4,
        class: "sk-figure", "text-anchor": "end" }, tradeFigure(tick)));
    }
    for (const tick of trade.hand_force.ticks) {
      parts.push(drawing("line", { x1: x(tick), x2: x(tick), y1: ceiling, y2: floor,
        class: "sk-grid" }));
    }
    const labels = new Labels(this.width, 2 * PLOT_HEIGHT);
    const places = trade.points.map((point) => [x(point.hand_force), y(point[name])]);
    for (const [px, py] of places) labels.block(px - 8, py - 8, 16, 16, 2);
    const first = top === 0;
    trade.points.forEach((point, index) => {
      const [px, py] = places[index];
      this.spots.push({ x: px, y: py, point, selected: point.now });
      const node = drawing("g", { transform: `translate(${px.toFixed(2)} ${py.toFixed(2)})`,
        class: `sk-trade-point${point.now ? " sk-in-use" : ""}`, "data-state": point.state,
        ...(first ? { role: "button", tabindex: 0, "data-id": point.id,
          "data-lm-suppress-shortcuts": "true", "aria-pressed": String(point.now),
          "aria-label": `Adopt point ${this.pointWords(point, index)}` } : { "aria-hidden": true }) },
      drawing("circle", { r: 13, class: "sk-ring" }), drawing("circle", { r: 6, class: "sk-spot" }),
      ...(point.state === "fails" ? [drawing("path", { d: "M-3 -3l6 6M3 -3l-6 6",
        class: "sk-spot-cross" })] : []));
      if (first) {
        node.addEventListener("keydown", (event) => {
          if (event.key !== "Enter" && event.key !== " ") return;
          event.preventDefault();
          adopt(this.desk, point);
        });
        node.addEventListener("focus", () => setText(this.words, this.pointWords(point, index)));
      }
      parts.push(node);
      const spot = labels.place(String(index + 1), [[px + 10, py - 7], [px - 10, py - 7, "end"],
        [px + 10, py + 16], [px - 10, py + 16, "end"]], { weight: 600 });
      parts.push(drawing("text", { x: spot.x, y: spot.y, "text-anchor": spot.anchor,
        class: "sk-label sk-strong" }, String(index + 1)));
    });
    return parts;
  }
}

function tradeFigure(value) {
  return signed(String(Math.round(value * 100) / 100));
}
