// The angle slider, the play button, and what the panel does by itself at each angle.

const PLAY_SECONDS = 4;
const STATES = { falls: "falls", rests: "stays", rises: "rises by itself" };
const DROPPING = { falls: "shuts by itself", rests: "stays", rises: "drops open" };

// Words for a panel that its weight shuts, or for one that its weight opens.
function liftWords({ lift_off: angle, drops }) {
  return `${drops ? "drops from" : "lifts off"} ${degreesUp(angle)}`;
}

class AngleSlider {
  constructor(store) {
    this.store = store;
    this.button = button("Play", { class: "sk-play" }, icon("play"));
    this.button.addEventListener("click", () => this.togglePlay());
    this.node = drawing("svg", { class: "sk-chart sk-slider" });
    this.track = drawing("g");
    this.marks = drawing("g");
    this.thumb = drawing("g", {
      role: "slider", tabindex: 0, class: "sk-thumb", ...OURS,
      "aria-label": "Opening angle",
    }, drawing("circle", { r: 24, class: "sk-hit" }), drawing("circle", { r: 15, class: "sk-ring" }),
    drawing("circle", { r: 8.5, class: "sk-disc" }), drawing("circle", { r: 2.5, class: "sk-dot" }));
    this.readout = drawing("text", { class: "sk-label sk-strong", "text-anchor": "middle" });
    this.words = []; // {node, low, high} of the words on the track
    this.lift = drawing("text", { class: "sk-label sk-strong sk-lift-words", y: 11 });
    this.node.append(this.track, this.marks, this.lift, this.readout, this.thumb);
    this.box = element("div", { class: "sk-slide" }, this.button, this.node);
    this.bind();
  }

  bind() {
    dragging(this.node, {
      start: (x) => {
        this.stopPlay();
        this.store.turn(this.angleAt(x));
        this.thumb.focus({ preventScroll: true });
        return true;
      },
      move: (x) => this.store.turn(this.angleAt(x)),
      end: () => this.store.keepAngle(),
    });
    this.thumb.addEventListener("keydown", (event) => {
      const { store } = this;
      const step = (event.shiftKey ? 10 : 1) * DEGREE;
      const steps = { ArrowRight: step, ArrowUp: step, ArrowLeft: -step, ArrowDown: -step,
        PageUp: 10 * DEGREE, PageDown: -10 * DEGREE, Home: -Infinity, End: Infinity };
      if (!(event.key in steps)) return;
      event.preventDefault();
      this.stopPlay();
      const wanted = store.shownAngle + steps[event.key];
      store.turnTo(Math.min(Math.max(wanted, 0), store.end));
      store.keepAngle();
    });
  }

  angleAt(x) {
    return Math.min(((x - PLOT_LEFT) / this.span) * this.stop, this.store.end) > 0
      ? Math.min(((x - PLOT_LEFT) / this.span) * this.stop, this.store.end) : 0;
  }

  x(angle) {
    return PLOT_LEFT + (angle / this.stop) * this.span;
  }

  layout(width) {
    const { store } = this;
    this.width = width;
    this.stop = store.scene.stop_angle;
    this.span = width - PLOT_LEFT - PLOT_RIGHT;
    assign(this.node, { width, height: 66, viewBox: `0 0 ${width} 66` });
    const parts = [part("rect", { x: PLOT_LEFT, y: 24, width: this.span, height: 16,
      class: "sk-track" })];
    const ticks = angleTicks(this.stop, this.span, 36);
    for (const tick of ticks) {
      const last = tick === this.stop;
      parts.push(part("line", { x1: this.x(tick), x2: this.x(tick), y1: 40, y2: 45,
        class: "sk-tick" }));
      parts.push(part("text", { x: last ? this.x(tick) + 6 : this.x(tick), y: 59,
        class: "sk-figure", "text-anchor": last ? "end" : "middle" },
      last ? travelDegrees(tick) : degrees(tick)));
    }
    for (let at = 5; at * DEGREE < this.stop; at += 5) {
      parts.push(part("line", { x1: this.x(at * DEGREE), x2: this.x(at * DEGREE), y1: 40, y2: 43,
        class: "sk-tick" }));
    }
    redraw(this.track, parts);
    this.update();
  }

  update() {
    const { store } = this;
    if (!store.curves || !this.stop) return;
    const { segments, lift_off: liftOff, balance, end, ended_by: endedBy, drops } = store.curves;
    const parts = [];
    const { small } = store.scene;
  const least = small ? FINEST_STEP / 2 : 0.5;
  const words = [];
    for (const [low, high, word] of segments) {
      const [x0, x1] = [this.x(low), this.x(high)];
      parts.push(part("rect", { x: x0, y: 24, width: Math.max(0, x1 - x0), height: 16,
        class: `sk-${word}` }));
      if (word === "rests") {
        parts.push(part("path", { d: dotsPath(x0, x1, 24, 40), class: "sk-dots" }));
      }
      const text = (drops ? DROPPING : STATES)[word];
      const room = textWidth(text, 11.5, 400) + 10;
      if (word !== "rests" && x1 - x0 > room) {
        words.push({ index: parts.length, low: word === "rises" ? x1 - room : x0,
          high: word === "rises" ? x1 : x0 + room });
        parts.push(part("text", { x: word === "rises" ? x1 - 6 : x0 + 6, y: 36,
          class: "sk-figure", "text-anchor": word === "rises" ? "end" : "start" }, text));
      }
    }
    parts.push(part("rect", { x: PLOT_LEFT, y: 24, width: this.span, height: 16,
      class: "sk-track-edge" }));
    if (endedBy === "strut") {
      parts.push(part("path", { d: limitPathUpright(this.x(end), 22, 42, 1), class: "sk-limit" }));
    }
    for (const [angle] of balance) {
      parts.push(part("path", { d: `M${this.x(angle) - 5} 15h10l-5 8z`, class: "sk-balance" }));
    }
    if (liftOff !== null && liftOff > 0) {
      const x = this.x(liftOff);
      parts.push(part("path", { d: `M${x} 21V43`, class: "sk-lift" }));
    }
    setText(this.lift, liftOff > 0 ? liftWords(store.curves) : "");
    redraw(this.marks, parts);
    this.words = words.map((one) => ({ ...one, node: this.marks.childNodes[one.index] }));
    this.turn();
  }

  // The words of the lift-off stand over their bar, or begin or end at it where the angle stands;
  // words on the track are hidden while the thumb is over them.
  clearThumb(thumb) {
    for (const { node, low, high } of this.words) {
      assign(node, { visibility: thumb > low - 16 && thumb < high + 16 ? "hidden" : null });
    }
    const { lift_off: liftOff } = this.store.curves;
    if (!(liftOff > 0)) return;
    const x = this.x(liftOff);
    const width = textWidth(this.lift.textContent, 12, 600);
    const taken = textWidth(degrees(this.store.shownAngle), 12, 600) / 2 + 8;
    const [from, to] = [2, this.width - width - 2];
    const places = [x - width / 2, x - 4, x + 4 - width, thumb + taken, thumb - taken - width];
    const left = places.map((one) => Math.min(Math.max(one, from), to))
      .find((one) => one > thumb + taken - 1 || one + width < thumb - taken + 1);
    assign(this.lift, { x: left, visibility: left === undefined ? "hidden" : null });
  }

  turn() {
    const { store } = this;
    if (!store.curves || !this.stop) return;
    const angle = store.shownAngle;
    const x = this.x(angle);
    assign(this.thumb, { transform: `translate(${x} 32)`, "aria-valuemin": 0,
      "aria-valuemax": Math.round(store.end / DEGREE), "aria-valuenow": Math.round(angle / DEGREE),
      "aria-valuetext": `${degrees(angle)}, ${handWords(store)}` });
    assign(this.readout, { x, y: 11 });
    setText(this.readout, degrees(angle));
    this.clearThumb(x);
  }

  togglePlay() {
    if (this.playing) this.stopPlay();
    else this.play();
  }

  play() {
    const { store } = this;
    const { end } = store;
    const from = store.shownAngle >= end - 1e-9 ? 0 : store.shownAngle;
    const steps = matchMedia("(prefers-reduced-motion: reduce)").matches ? 5 * DEGREE : 0;
    let start = null;
    this.button.replaceChildren(icon("pause"));
    assign(this.button, { "aria-label": "Pause", title: "Pause" });
    const frame = (now) => {
      start ??= now;
      const angle = Math.min(end, from + ((now - start) / 1000 / PLAY_SECONDS) * end);
      const shown = steps && angle < end ? Math.floor(angle / steps) * steps : angle;
      store.turn(shown);
      if (angle < end) this.playing = requestAnimationFrame(frame);
      else this.stopPlay();
    };
    this.playing = requestAnimationFrame(frame);
  }

  stopPlay() {
    if (!this.playing) return;
    cancelAnimationFrame(this.playing);
    this.playing = null;
    this.button.replaceChildren(icon("play"));
    assign(this.button, { "aria-label": "Play", title: "Play" });
    this.store.keepAngle();
  }
}

function handWords(store) {
  const opening = store.at("opening");
  const closing = store.at("closing");
  const { small } = store.scene;
  const least = small ? FINEST_STEP / 2 : 0.5;
  const words = [];
  if (opening > least) words.push(`push to open ${forceFigure(opening, small)} N`);
  if (closing > least) words.push(`push to shut ${forceFigure(closing, small)} N`);
  return words.join(", ") || "stays where it is put";
}

// Dots for friction and rest: 1.6 px each 5 px.
function dotsPath(x0, x1, y0, y1) {
  let path = "";
  for (let y = y0 + 3; y < y1 - 1; y += 5) {
    for (let x = x0 + 2.5; x < x1 - 1; x += 5) path += `M${x.toFixed(1)} ${y}h0`;
  }
  return path;
}
