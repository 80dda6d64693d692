// The finder's state in the page: the door as Python has it, zones being dragged, the search.
// It belongs to the model, so that two views of one widget show the same.

class FinderTalk extends Talk {
  hear(message) {
    if (message.kind === "news") this.onNews?.(message);
    else super.hear(message);
  }
}

class Desk {
  constructor(model) {
    this.model = model;
    this.talk = new FinderTalk(model);
    this.talk.onNews = (news) => this.news(news);
    this.listeners = new Set();
    this.drafts = { frame: null, panel: null };
    this.held = { frame: false, panel: false };
    this.refused = { frame: "", panel: "" };
    this.selected = { part: "frame", at: 0 };
    this.turn = 0;
    this.pending = null;
    this.typing = new Set(); // what was typed in boxes, until it is answered and said
    this.unread = new Map(); // what could not be read and still stands in its box: {words}
    this.busy = 0;
    const follow = settled(() => {
      if (!this.dragging) this.request("door");
    }, 150);
    model.on("change:design", () => follow());
    model.on("change:unit", () => this.request("door"));
  }

  listen(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  tell(topic) {
    for (const listener of this.listeners) listener(topic);
  }

  get unit() {
    return this.model.get("unit");
  }

  async ask(kind, body) {
    this.busy += 1;
    this.tell("rest");
    const answer = await this.talk.ask(kind, body);
    this.busy -= 1;
    this.tell("rest");
    return answer;
  }

  get atRest() {
    return this.busy === 0 && !this.dragging && Boolean(this.scene);
  }

  // A request whose answer is the door as it stands; a fault goes into the message line.
  async request(kind, body = {}) {
    const answer = await this.ask(kind, body);
    if (answer.fault) this.say(answer.fault, "fails");
    else {
      if (kind !== "door") this.unread.clear();
      this.take(answer);
    }
    return answer;
  }

  say(words, state, more = "") {
    this.notice = words ? { words, state, more } : null;
    this.tell("message");
  }

  take(answer) {
    for (const key of ["asked", "stock", "scene", "end", "zones", "faults", "notes", "limits",
      "conditions", "state", "called"]) {
      if (key in answer) this[key] = answer[key];
    }
    for (const part of ["frame", "panel"]) {
      if (!this.refused[part] && !this.held[part]) this.drafts[part] = null;
    }
    const count = this.corners(this.selected.part).length;
    this.selected.at = Math.min(this.selected.at, count - 1);
    this.progress = answer.progress;
    this.takeResults(answer.results);
    this.tell("door");
  }

  takeResults(results) {
    const text = JSON.stringify(results);
    if (text === this.resultsText) return;
    this.resultsText = text;
    this.results = results;
    this.tell("results");
  }

  // What is typed is part of the door before what is clicked next acts ------------------------------

  expect(typed) {
    this.typing.add(typed);
    typed.then(() => this.typing.delete(typed));
  }

  async allTyped() {
    await Promise.all(this.typing);
  }

  // What a search or a file would leave out of what the screen shows, as a sentence.
  async amiss() {
    await this.allTyped();
    const [unread] = this.unread.values();
    return unread ? `What is typed in a box cannot be used: ${unread.words}` : "";
  }

  // Zones --------------------------------------------------------------------------------------

  corners(part) {
    const number = this.zones?.[part];
    return this.drafts[part] ?? (number === null || number === undefined ? []
      : this.scene.zones[number].corners);
  }

  fault(part) {
    return this.refused[part] || (this.drafts[part] ? "" : this.faults?.[part] ?? "");
  }

  select(part, at) {
    if (this.selected.part === part && this.selected.at === at) return;
    this.selected = { part, at };
    this.tell("select");
  }

  // Corners of a zone as they are dragged: tried one at a time, the newest next. Until they stay,
  // no other answer takes them away.
  move(part, corners) {
    this.drafts[part] = corners;
    this.held[part] = true;
    this.tell("zones");
    this.pending = part;
    if (!this.trying) this.tryPending();
  }

  async tryPending() {
    while (this.pending) {
      const part = this.pending;
      this.pending = null;
      this.trying = true;
      const { turn } = this;
      const answer = await this.ask("zone", { part, corners: this.drafts[part] });
      this.trying = false;
      if (turn !== this.turn || !this.drafts[part]) continue;
      this.refused[part] = answer.fault ?? "";
      this.tell("faults");
    }
  }

  // The corners become part of the door, where it takes them; else they stay as refused ones.
  async stay(part) {
    this.dragging = false;
    if (!this.drafts[part]) return;
    this.held[part] = true;
    this.turn += 1;
    this.pending = null;
    const { turn } = this;
    const corners = this.drafts[part];
    const answer = await this.ask("zone", { part, corners, stay: true });
    if (turn !== this.turn || corners !== this.drafts[part]) return;
    this.held[part] = false;
    this.refused[part] = answer.fault ?? "";
    if (answer.fault) this.tell("faults");
    else {
      this.drafts[part] = null;
      this.take(answer);
    }
  }

  // A number typed for a corner: Python reads it and puts it in where the zone stands by then.
  async type(part, typed) {
    const answer = await this.ask("zone", { part, typed, stay: true, corners: this.drafts[part] });
    if (answer.unread || this.held[part]) return answer;
    this.turn += 1;
    this.refused[part] = answer.fault ?? "";
    this.drafts[part] = answer.corners ?? null;
    if (answer.fault) {
      this.tell("zones");
      this.tell("faults");
    } else this.take(answer);
    return answer;
  }

  // Back to the zone that the door holds.
  back(part) {
    this.turn += 1;
    this.dragging = false;
    this.pending = null;
    this.drafts[part] = null;
    this.held[part] = false;
    this.refused[part] = "";
    this.selected.at = Math.min(this.selected.at, this.corners(this.selected.part).length - 1);
    this.tell("zones");
    this.tell("faults");
    this.tell("rest");
  }

  // The search ---------------------------------------------------------------------------------

  news(news) {
    const before = this.progress;
    this.progress = news;
    this.tell("progress");
    if (!before || before.phase !== news.phase) this.refresh();
  }

  async refresh() {
    const answer = await this.ask("results");
    if (answer.fault) this.say(answer.fault, "fails");
    else {
      this.progress = answer.progress;
      this.takeResults(answer.results);
      this.tell("progress");
      this.tell("message");
    }
  }

  send(asked) {
    this.asked = asked;
    this.expect(this.sent(asked));
  }

  async sent(asked) {
    const answer = await this.ask("ask", { asked });
    this.askFault = answer.fault ?? "";
    this.tell("asked");
  }

  async run() {
    this.say("");
    const amiss = await this.amiss() || this.askFault || this.fault("frame") || this.fault("panel");
    if (amiss) {
      this.say("Not searched.", "fails", amiss);
      return;
    }
    const answer = await this.ask("run");
    if (answer.fault) this.say(answer.fault, "fails");
    else if (!this.progress?.running) this.news(answer);
  }

  get canRun() {
    return Boolean(this.scene) && !this.askFault && !this.fault("frame") && !this.fault("panel")
      && !this.progress?.running;
  }
}
