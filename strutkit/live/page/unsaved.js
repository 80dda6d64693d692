// Unsaved moves kept in the browser: a design outlives a kernel that is started again, and so do
// moves that were let go and are not part of the design yet.

const MOST_KEPT_TEXT = 200000; // characters of a design that is kept
const KEPT_FOR = 30 * 24 * 3600 * 1000; // [ms]

class UnsavedMoves {
  constructor(store) {
    this.store = store;
    this.found = null; // moves of an earlier run that were neither taken back nor replaced
  }

  get key() {
    return KEPT + this.store.model.get("kept_as");
  }

  keep() {
    const { model, state } = this.store;
    const moves = this.store.unsettled;
    const { untaken } = this.store;
    if (!state.unsaved && this.found) return;
    if (!state.unsaved && moves.length === 0 && untaken.length === 0) {
      letGo(this.key);
      return;
    }
    const design = model.get("design");
    if (design.length > MOST_KEPT_TEXT) return;
    this.found = null;
    keep(this.key, { design, moves, untaken, origin: model.get("base"), session: model.get("session") });
  }

  // Unsaved moves of an earlier run of the kernel come back by themselves where the door is the one
  // they were made on; where its file has changed since, or the cell alone was run again, they are
  // offered.
  async bringBack() {
    const { store } = this;
    const { model } = store;
    const kept = keptDesign(this.key);
    if (!kept) return;
    const { design, moves, untaken } = kept;
    const other = kept.origin !== model.get("base");
    const again = kept.session === model.get("session");
    const waits = untaken.length > 0 && !again;
    if (design === model.get("design") && moves.length === 0 && !waits) return;
    this.found = kept;
    if (!other && !again) {
      const answer = await store.ask("restore", { design, moves, untaken });
      if (!answer.fault) {
        this.found = null;
        store.hearUntaken(answer);
        if (!answer.restored) return;
        store.notice = { words: "Your unsaved moves were restored.",
          more: "Undo takes you back to the file.", good: true };
        store.tell("message");
        return;
      }
    }
    const { changes = [] } = await store.ask("differs", { design, moves });
    store.notice = {
      words: `An unsaved design of ${clock(new Date(kept.time))} is kept in this browser.`,
      more: [again ? "The cell was run again." : "",
        other ? "It was made on another door than this one: what differs goes back with it." : "",
        changesWords(changes)].filter(Boolean).join(" "),
      label: "Bring it back",
      action: () => store.change("take", { design, moves, untaken }),
    };
    store.tell("message");
  }
}

// Every value in whole, a line each: by them it is decided whether the design comes back.
function changesWords(changes) {
  if (!changes.length) return "";
  return ["Undo takes back what it changes:", ...changes.map((one) => `• ${one}`)].join("\n");
}

// A design kept under a key; anything else that stands there is null.
function keptDesign(key) {
  const { design, moves = [], untaken = [], origin, session, time } = keptUnder(key) ?? {};
  const fresh = time <= Date.now() && time > Date.now() - KEPT_FOR;
  const whole = [design, origin, session].every((one) => typeof one === "string")
    && Array.isArray(moves) && Array.isArray(untaken);
  return fresh && whole && design.length <= MOST_KEPT_TEXT
    ? { design, moves, untaken, origin, session, time } : null;
}
