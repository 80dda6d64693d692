// What all views of one widget share: the answers of Python, what is being dragged, and the
// stream of messages. Belongs to the model, not to a view.

const MOST_IN_FLIGHT = 2;
const GIVE_UP = 1000; // a streamed request without an answer after this is let go [ms]
const WAITING = 250; // no answer for so long: the charts say so [ms]
const SILENT = 4000; // no answer to a request for so long: Python is busy or gone [ms]
const DRAWS_PAPER = 60000; // the same while it draws or saves a paper that was asked for [ms]
const JUDGE_EVERY = 100; // findings follow a drag at most so often [ms]
const WINDOW_EVERY = 400; // the rating window, half of their work, at most so often [ms]
const MAP_WAIT = 300; // at rest for so long before a map is asked for [ms]

class Store extends Moves {
  constructor(model) {
    super();
    this.model = model;
    this.client = Math.random().toString(36).slice(2) + Date.now().toString(36);
    this.messageId = `sk-message-${this.client}`;
    this.seq = 0;
    this.shownSeq = 0;
    this.flying = new Map();
    this.asked = new Map();
    this.listeners = new Set();
    this.scene = null;
    this.curves = null;
    this.axes = null;
    this.verdict = null;
    this.window = null; // of ratings; it follows a drag more slowly than the findings
    this.compare = null;
    this.map = null;
    this.draft = null; // an edit that is drawn but not yet part of the design
    this.accepted = null; // the edit that the curves are drawn of; null: they are of the design
    this.committing = []; // what was let go and Python has not answered yet
    this.fault = null; // why the door as it stands cannot be swept: the curves are of an earlier one
    this.refused = null; // {edit, words, design} while the newest edit does not fit
    this.notice = null; // {words, more, action, label, good, older}: another message line
    this.burst = null;
    this.entering = false;
    this.undrawn = false; // a change that only Python knows the outcome of is not drawn yet
    this.refreshing = false;
    this.dragging = false;
    this.held = null; // name and door of the strut in hand
    this.steppedAt = -Infinity; // when a key stepped on what is not drawn yet
    this.grip = null; // what of it is in hand: "frame", "panel" or "rating"
    this.turning = false; // the angle is being moved: nothing is asked meanwhile
    this.waiting = false;
    this.late = { verdict: new Late(2 * WAITING), window: new Late(2 * WAITING),
      compare: new Late(WAITING) };
    this.silentSince = null;
    this.answeredAt = null;
    this.selected = { place: 0, mount: "panel" };
    this.chosen = null; // name of the finding that was clicked
    this.angle = model.get("angle");
    this.judging = null; // {seq, movedAt, since} while findings of a drag are asked for
    this.nextJudged = 0;
    this.nextWindow = 0;
    this.moved = {}; // when the hand moved to what the newest curves and findings show
    this.pending = null;
    this.timers = new Set();
    this.unsaved = new UnsavedMoves(this);
  }

  start() {
    const { model } = this;
    model.on("msg:custom", (content, buffers) => this.hear(content, buffers));
    model.on("change:design", () => this.refresh());
    model.on("change:condition", () => this.refresh());
    model.on("change:unit", () => this.useUnit());
    model.on("change:base", () => this.refreshState());
    model.on("change:angle", () => this.turnTo(model.get("angle")));
    model.on("comm_live_update", () => this.lose());
    this.every(50, () => this.watch());
    this.refresh();
    this.unsaved.bringBack();
  }

  stop() {
    this.stopBurst();
    for (const timer of this.timers) clearInterval(timer);
    clearTimeout(this.mapTimer);
  }

  every(milliseconds, action) {
    this.timers.add(setInterval(action, milliseconds));
  }

  listen(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  tell(topic) {
    for (const listener of this.listeners) listener(topic);
  }

  // Nothing is dragged, sent or waited for.
  get resting() {
    return !this.dragging && this.pending === null && this.flying.size === 0 && this.asked.size === 0;
  }

  // Something is dragged and answers come as they should: what they bring is drawn with them.
  get streaming() {
    return this.dragging && !this.waiting;
  }

  markRest() {
    if (this.resting === this.rested) return;
    this.rested = this.resting;
    this.tell("rest");
  }

  get unit() {
    return this.model.get("unit");
  }

  // Angle --------------------------------------------------------------------------------------

  // The angle follows a hand or the play button, until keepAngle.
  turn(angle) {
    this.turning = true;
    this.turnTo(angle);
  }

  turnTo(angle) {
    if (angle === this.angle) return;
    this.angle = angle;
    this.tell("angle");
  }

  keepAngle() {
    this.turning = false;
    this.model.set("angle", this.angle);
    this.model.save_changes();
  }

  // Sentences and their lengths come from Python, in the unit shown.
  useUnit() {
    this.map = null;
    this.tell("scene");
    this.refresh();
  }

  // Another message, or none, in place of the one that stood there.
  say(notice) {
    this.notice = notice;
    this.tell("message");
  }

  keep(name, value) {
    this.model.set(name, value);
    this.model.save_changes();
  }

  select(place, mount) {
    if (this.selected.place === place && this.selected.mount === mount) return;
    const moved = this.selected.place !== place;
    this.selected = { place, mount };
    this.map = null;
    this.tell("select");
    if (moved) this.judge();
    else this.wantMap();
  }

  // Drag: drawn on the next frame, streamed as fast as answers come --------------------------------

  outdate() {
    for (const one of Object.values(this.late)) one.begin();
  }

  stream() {
    if (this.pending === null || this.flying.size >= MOST_IN_FLIGHT) return;
    const now = performance.now();
    const edit = this.pending;
    const movedAt = this.movedAt ?? now;
    this.pending = null;
    this.movedAt = null;
    const judged = this.judging === null && now > this.nextJudged;
    const asked = { place: edit.place, window: now > this.nextWindow };
    const seq = this.post("curves", { edit, condition: this.model.get("condition"),
      ...(judged ? asked : {}) });
    this.flying.set(seq, { edit, movedAt, since: now });
    if (judged) this.awaitFindings(seq, edit, movedAt, asked.window);
    if (this.flying.size === 1) {
      // A single small packet waits for the next; an empty one, never answered, sends it on its way.
      requestAnimationFrame(() => {
        if (this.pending === null && this.flying.has(seq)) this.post("nudge", {});
      });
    }
  }

  // Findings come behind the curves of the same message, or alone.
  awaitFindings(seq, edit, movedAt, window) {
    const since = performance.now();
    this.judging = { seq, edit, movedAt, since, window };
    this.judgedEdit = edit;
    if (!window) return;
    this.windowEdit = edit;
    this.nextWindow = since + WINDOW_EVERY;
  }

  // A hand that holds still, or is where nothing fits: findings of the place that is drawn.
  judgeShown(now) {
    if (!this.dragging || this.lost || this.judging || now < this.nextJudged) return;
    if (this.pending !== null || this.flying.size || !this.accepted) return;
    const edit = this.accepted;
    if (this.judgedEdit === edit && this.windowEdit === edit) return;
    const asked = { edit, place: edit.place, window: true };
    this.awaitFindings(this.post("judge", asked), edit, null, true);
  }

  post(kind, body) {
    this.seq += 1;
    if (this.lost) return this.seq;
    try {
      this.model.send({ client: this.client, seq: this.seq, kind, ...body });
    } catch {
      this.lose(); // the notebook gave up its kernel
    }
    return this.seq;
  }

  // Requests with one answer --------------------------------------------------------------------

  // drawn: a change whose outcome the picture shows already.
  ask(kind, body = {}, drawn = false) {
    return new Promise((resolve) => {
      const seq = this.post(kind, body);
      this.asked.set(seq, { kind, drawn, resolve, since: performance.now() });
      if (CHANGES.has(kind) && !drawn) this.undrawn = true;
      this.markRest();
    });
  }

  get changesAsked() {
    return [...this.asked.values()].filter(({ kind }) => CHANGES.has(kind));
  }

  async refresh() {
    if (this.lost) return;
    if (this.refreshing) {
      this.refreshAgain = true;
      return;
    }
    this.refreshing = true;
    const answer = await this.ask("scene", { condition: this.model.get("condition") });
    this.refreshing = false;
    if (this.refreshAgain) {
      this.refreshAgain = false;
      this.refresh();
      return;
    }
    this.scene = answer.scene;
    this.undrawn = this.changesAsked.some(({ drawn }) => !drawn);
    const { map } = this;
    if (map && answer.map_keys[`${map.place_index} ${map.mount}`] !== map.key) this.map = null;
    this.state = answer.state;
    if (!this.strutAt(this.selected.place)) this.selected = { place: 0, mount: "panel" };
    if (!this.dragging) this.axes = answer.axes ?? this.axes;
    if (!this.dragging && this.committing.length === 0) this.settle();
    if (answer.curves && !this.accepted) this.curves = answer.curves;
    this.setWaiting(false);
    const fault = answer.fault ?? null;
    if (fault && fault !== this.fault && this.notice) this.notice.older = true;
    this.fault = fault;
    this.unsaved.keep();
    this.tell("scene");
    this.judge();
  }

  async refreshState() {
    const answer = await this.ask("state");
    this.state = answer.state ?? this.state;
    this.unsaved.keep();
    this.tell("message");
  }

  // Findings of the design, unless a drag is drawn: when that ends they are asked for again.
  async judge() {
    if (this.accepted) return;
    this.outdate();
    const verdict = await this.ask("judge", { place: this.selected.place });
    if (this.accepted) return;
    this.verdict = verdict.fault ? null : verdict.verdict;
    this.window = this.verdict?.window ?? null;
    this.late.verdict.end();
    this.late.window.end();
    this.tell("verdict");
    const compare = await this.ask("compare", { place: this.selected.place });
    if (this.accepted) return;
    this.compare = compare.fault ? null : compare.compare;
    this.late.compare.end();
    this.tell("compare");
    this.wantMap();
  }

  // The map of the mount in use: the whole zone first, then the detail, both only at rest.
  wantMap() {
    clearTimeout(this.mapTimer);
    this.mapTimer = setTimeout(() => this.askMap(false), MAP_WAIT);
  }

  async askMap(fine) {
    if (!this.resting || this.turning) {
      this.wantMap();
      return;
    }
    const { place, mount } = this.selected;
    const answer = await this.ask("map", { place, mount, fine });
    if (place !== this.selected.place || mount !== this.selected.mount) return;
    this.map = answer.curves && !answer.fault ? new MountGrid(answer.curves) : null;
    this.tell("map");
    if (this.map && !fine && this.map.range) this.askMap(true);
  }

  // Answers -------------------------------------------------------------------------------------

  hear(content, buffers) {
    if (content.client !== this.client) return;
    this.answeredAt = new Date();
    if (this.silentSince !== null) {
      this.silentSince = null;
      this.tell("message");
    }
    const answer = { ...content };
    if (content.layout) answer.curves = { ...content.figures, arrays: unpacked(content, buffers) };
    const asked = this.asked.get(content.seq);
    if (asked) {
      this.asked.delete(content.seq);
      asked.resolve(answer);
      return;
    }
    if (content.kind === "judge") {
      if (this.judging?.seq === content.seq) this.judged(answer);
      return;
    }
    const sent = this.flying.get(content.seq);
    this.flying.delete(content.seq);
    if (sent && content.seq > this.shownSeq) {
      this.moved.curves = sent.movedAt;
      this.accept(sent.edit, answer);
      this.tell("answered");
    }
    this.stream();
  }

  // Findings of a drag; they cost more than curves, and take at most a third of the time.
  judged({ seq, verdict }) {
    const { edit, movedAt, since, window } = this.judging;
    const now = performance.now();
    this.judging = null;
    this.nextJudged = now + Math.max(JUDGE_EVERY - (now - since), 2 * (now - since));
    if (!this.dragging || !verdict) return;
    if (edit !== this.accepted && (this.refused || seq < this.shownSeq)) return;
    this.moved.verdict = movedAt;
    this.verdict = verdict;
    if (window) this.window = verdict.window;
    const movedOn = edit === (this.refused ? this.accepted : this.draft) ? null : now;
    this.late.verdict.end(movedOn);
    if (window) this.late.window.end(movedOn);
    this.tell("verdict");
  }

  accept(edit, answer) {
    this.shownSeq = answer.seq;
    this.setWaiting(false);
    if (answer.fault) {
      this.refuse(edit, answer.fault);
      return;
    }
    const healed = this.refused !== null || this.fault !== null;
    this.refused = null;
    this.fault = null;
    this.accepted = edit;
    this.curves = answer.curves;
    this.tell("curves");
    if (healed) this.tell("message");
  }

  // Silence -------------------------------------------------------------------------------------

  watch() {
    const now = performance.now();
    this.markRest();
    let oldest = null;
    for (const [seq, { since }] of this.flying) {
      oldest = Math.min(oldest ?? since, since);
      if (now - since > GIVE_UP) {
        this.flying.delete(seq);
      }
    }
    if (this.judging && now - this.judging.since > GIVE_UP) this.judging = null;
    if (oldest !== null && now - oldest > WAITING) this.setWaiting(true);
    this.stream();
    this.judgeShown(now);
    let patience = SILENT;
    for (const { kind, since } of this.asked.values()) {
      oldest = Math.min(oldest ?? since, since);
      if (kind === "commit" && now - since > WAITING) this.setWaiting(true);
      if (kind === "paper" || kind === "sheet") patience = DRAWS_PAPER;
    }
    if (Object.values(this.late).filter((one) => one.turned(now)).length) this.tell("waiting");
    if (oldest !== null && now - oldest > patience && this.silentSince === null) {
      this.silentSince = this.answeredAt ?? new Date();
      this.tell("message");
    }
  }

  setWaiting(waiting) {
    if (this.waiting === waiting) return;
    this.waiting = waiting;
    this.tell("waiting");
  }

  // The kernel is gone: say so, and keep the design in the browser for the next run of the cell.
  lose() {
    if (this.lost) return;
    this.lost = true;
    this.silentSince = this.answeredAt ?? new Date();
    if (this.scene) this.unsaved.keep();
    this.dragging = false;
    this.pending = null;
    this.tell("draft");
    this.tell("message");
  }

  // A change that Python makes: undo, redo, reset, adopting a strut, taking back a design.
  async change(kind, body = {}) {
    this.release();
    this.forget();
    this.say(null);
    const answer = await this.ask(kind, body);
    if (answer.fault) this.say({ words: answer.fault });
    // Where nothing was changed no change of the design brings the scene anew.
    if (this.undrawn && !this.refreshing) this.refresh();
    return answer;
  }

  // A file of the door as it stands after all that was moved and typed before; `besides`: what is
  // not in it.
  async save(kind, body) {
    this.release();
    const answer = await this.ask(kind, body);
    return { ...answer, besides: this.besides(answer) };
  }

  besides({ untaken }) {
    if (untaken?.length) {
      const fit = untaken.length > 1 ? "they do not fit" : "it does not fit";
      const why = untaken.every((one) => one.read) ? `, as ${fit}` : "";
      return `Not in it${why}: ${untaken.map((one) => one.words).join("; ")}.`;
    }
    if (this.refused) return "The place that does not fit is not in it.";
    return this.notice && !this.notice.good ? this.notice.words : "";
  }
}

// Rows of 32-bit floats, as the layout says: [name, rows, columns].
function unpacked({ layout }, [buffer]) {
  const bytes = buffer instanceof DataView
    ? buffer.buffer.slice(buffer.byteOffset, buffer.byteOffset + buffer.byteLength)
    : buffer.slice(0);
  const flat = new Float32Array(bytes);
  const arrays = {};
  let from = 0;
  for (const [name, rows, columns] of layout) {
    arrays[name] = [];
    for (let row = 0; row < rows; row += 1, from += columns) {
      arrays[name].push(flat.subarray(from, from + columns));
    }
  }
  return arrays;
}
