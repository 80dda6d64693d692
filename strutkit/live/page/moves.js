// What a hand moves or types: part of the design when it is let go or entered. What a click asks of
// Python afterwards acts after it: messages are answered in the order in which they are sent.

const BURST = 600; // keys that follow each other so soon make one step of undo [ms]
const CHANGES = new Set(["commit", "undo", "redo", "reset", "back", "take", "open"]);

class Moves extends Shown {
  // A hand takes hold of a mount ("frame", "panel") or of a "rating", or goes on with it.
  hold(place, grip) {
    this.stopBurst();
    const other = this.draft?.place !== place || this.grip !== grip;
    if (this.dragging && this.draft && other) this.commit();
    if (!this.dragging) this.begin();
    if (grip !== "rating") this.select(place, grip);
    this.grip = grip;
    this.held = this.whoseAt(place);
    this.dragging = true;
  }

  // What was let go before is on its way to Python: it stays drawn where it was left, and is no
  // part of the new edit.
  begin() {
    if (!this.draft && !this.refused) return;
    this.lay(this.drawn);
    this.clear();
  }

  // axes: the coordinates of a mount that are moved; the door keeps the others as it has them when
  // the move is answered.
  move(edit) {
    if (this.lost) return;
    if (!this.dragging) {
      this.hold(edit.place, ["frame", "panel"].find((one) => one in edit) ?? "rating");
    }
    const axes = edit.axes && { axes: [...new Set([...(this.draft?.axes ?? []), ...edit.axes])] };
    this.draft = { ...this.draft, ...edit, ...axes, ...this.held };
    this.movedAt = performance.now();
    this.pending = this.draft;
    this.notice = null;
    this.outdate();
    this.markRest();
    this.tell("draft");
    this.stream();
  }

  // The drag ends: the newest place that fits becomes part of the design, as one step of undo.
  commit() {
    this.stopBurst();
    this.dragging = false;
    this.pending = null;
    this.tell("draft");
    if (this.draft && !this.lost) this.put(this.newest, true);
  }

  // Keys move in bursts: the move is let go once no key came for a while.
  commitSoon() {
    this.stopBurst();
    this.burst = setTimeout(() => this.commit(), BURST);
  }

  stopBurst() {
    clearTimeout(this.burst);
    this.burst = null;
  }

  endBurst() {
    if (this.burst !== null) this.commit();
  }

  // What is still in hand is let go, before a click acts.
  release() {
    if (this.dragging) this.commit();
  }

  // What is being dragged, newest first: what is drawn while the newest does not fit comes last.
  get newest() {
    const flying = [...this.flying].filter(([seq]) => seq > this.shownSeq).map(([, sent]) => sent.edit);
    const [edit, ...earlier] = new Set([this.draft, ...flying.reverse(), this.accepted]);
    return { edit, earlier: earlier.filter((one) => one !== null) };
  }

  // Moves that Python has not made part of the design yet.
  get unsettled() {
    return this.dragging && this.draft ? [...this.committing, this.newest] : [...this.committing];
  }

  // Once it is answered the design is drawn, and beside it the newest place if that does not fit.
  // drawn: the picture shows the outcome already.
  async put(move, drawn = false) {
    const { draft } = this;
    this.committing.push(move);
    this.unsaved.keep();
    const answer = await this.ask("commit", move, drawn);
    this.committing.splice(this.committing.indexOf(move), 1);
    const later = this.changesAsked.length > 0;
    const newest = !this.dragging && this.draft === draft && !later;
    if (newest) {
      this.refused = null;
      this.draft = answer.fault ? null : draft;
    }
    this.hearUntaken(answer);
    if (answer.gone) this.sayGone(move.edit, answer.fault);
    else if (newest && answer.fault) {
      const { place, typed } = move.edit;
      const box = answer.kept ? [place, typed.mount, typed.axis] : null;
      this.refuse(answer.edit ?? move.edit, answer.fault, answer.design, box);
    } else if (answer.fault && this.draft && !answer.kept) this.notice = { words: answer.fault };
    if (answer.joined?.length) this.sayJoined(answer.joined);
    this.tell("message");
    if (!answer.changed) this.refresh();
    return answer;
  }

  // The strut or the door that it was meant for is there no more.
  sayGone({ typed }, fault) {
    this.notice = { words: typed?.text ? `${typed.text} was not taken. ${fault}` : fault };
  }

  sayJoined(words) {
    const [fit, are] = words.length > 1 ? ["fit", "are"] : ["fits", "is"];
    this.notice = { words: `${words.join(" and ")} ${fit} now and ${are} taken.`,
      more: "Undo takes back all that came with it." };
  }

  hearUntaken({ untaken }) {
    if (!untaken) return;
    this.state = { ...this.state, untaken };
    this.unsaved.keep();
    this.tell("untaken");
    this.tell("message");
  }

  // What was typed and is not in the door: {words, why, read, edit}, each of another box.
  get untaken() {
    return this.state?.untaken ?? [];
  }

  untakenIn(place, mount, axis) {
    return this.untaken.find(({ edit }) => edit.place === place && edit.typed.mount === mount
      && edit.typed.axis === axis) ?? null;
  }

  // Back to what is drawn; a typed number that did not fit is given up.
  giveUp() {
    const { box } = this.refused;
    this.cancel();
    if (box) this.drop([box]);
  }

  // What was typed in these boxes and is not in the door is given up.
  async drop(boxes) {
    const those = new Set(boxes.map(String));
    this.hearUntaken({ untaken: this.untaken.filter((one) => !those.has(String(boxOf(one)))) });
    this.hearUntaken(await this.ask("drop", { boxes }));
    const { box } = this.refused ?? {};
    if (box && !this.dragging && !this.untakenIn(...box)) this.forget();
  }

  // A number typed in a box: Python reads it and makes it part of the design in one go, so that
  // nothing comes between. What it cannot read is `unread` in the answer.
  type(edit) {
    this.endBurst();
    // A hand may have taken hold of the next mount already: its drag goes on.
    if (!this.dragging) this.begin();
    this.say(null);
    this.outdate();
    return this.put({ edit, earlier: [] });
  }

  // Something of the door is on its way that is not drawn: keys count on from it, in Python.
  get onItsWay() {
    return this.undrawn && (!this.dragging || this.burst !== null);
  }

  // A key's step [mm] from where the mount is by then, or from where keys just before took it (on).
  // Gives what Escape takes it back to: the mount before the first of such steps, as Python knows it.
  stepBy(before, place, mount, axis, by) {
    const now = performance.now();
    const on = now - this.steppedAt < BURST;
    this.steppedAt = now;
    this.type({ place, ...this.whoseAt(place), typed: { mount, axis, sense: 1, by, on } });
    return before ?? { step: this.seq, edit: this.whoseAt(place) };
  }

  // A key's step [N] from the rating that the strut has by then.
  rateBy(place, by) {
    this.endBurst();
    this.begin();
    this.say(null);
    this.outdate();
    return this.put({ edit: { place, ...this.whoseAt(place), rating_by: by }, earlier: [] });
  }

  // Where keys took a mount from, along each axis, to go back there by Escape.
  remember(before, place, mount, at, axis) {
    if (before?.step !== undefined) return before;
    const { edit } = before ?? { edit: { place, ...this.whoseAt(place), [mount]: [...at],
      axes: [] } };
    if (!edit.axes.includes(axis)) {
      edit.axes.push(axis);
      edit[mount][axis] = at[axis];
    }
    return { edit };
  }

  takeBack({ step, edit }) {
    if (this.dragging) this.cancel();
    if (edit.door === this.scene.key) this.change("back", step === undefined ? { edit } : { step });
  }

  // Whether a number is being typed: it is none of the door's yet, but the click that ends the
  // typing acts after it.
  enter(entering) {
    if (this.entering === entering) return;
    this.entering = entering;
    this.tell("message");
  }

  // A change is in hand or on its way: there will be something to take back.
  get changing() {
    return this.entering || this.dragging || this.committing.length > 0 || this.refreshing;
  }

  cancel() {
    this.stopBurst();
    this.dragging = false;
    this.forget();
  }

  // Nothing is dragged any more: where a drag was drawn, the design is drawn again.
  forget() {
    const moved = this.draft !== null || this.accepted !== null;
    this.clear();
    if (moved) this.refresh();
  }

  clear() {
    this.draft = null;
    this.pending = null;
    this.accepted = null;
    this.refused = null;
    this.shownSeq = this.seq;
    this.tell("draft");
    this.tell("message");
  }

  // The design that stands while an edit does not fit; null: the edit is still in hand. box: of a
  // typed number that is tried again with the next one.
  refuse(edit, words, design = null, box = null) {
    this.refused = { edit, words, design, box };
    if (!this.accepted) for (const one of Object.values(this.late)) one.end();
    this.tell("draft");
    this.tell("message");
  }

  // The design is drawn as it stands, with what did not fit unless another change came since.
  settle() {
    this.draft = null;
    this.accepted = null;
    if (this.refused && this.refused.design !== this.model.get("design")) this.refused = null;
  }
}

// Which box something was typed in that is not in the door.
function boxOf({ edit: { place, typed } }) {
  return [place, typed.mount, typed.axis];
}
