// Toolbar, forms for files, and the message line.

class Bar {
  constructor(store) {
    this.store = store;
    this.title = element("h2", { class: "sk-name" }, element("span"),
      element("small", {}, "not saved"));
    this.undo = button("Undo", {}, icon("undo"));
    this.redo = button("Redo", {}, icon("redo"));
    this.undo.addEventListener("click", () => store.change("undo"));
    this.redo.addEventListener("click", () => store.change("redo"));
    this.reset = this.tool("Reset", "reset", "Reset: back to the door as it was given");
    this.reset.addEventListener("click", () => store.change("reset"));
    this.open = this.tool("Open", "open", "Open a door file");
    this.save = this.tool("Save", "save", "Save the door file");
    this.sheet = this.tool("Sheet", "sheet", "Save the sheet");
    this.papers = new Papers(store);
    this.look = this.tool("Papers", "papers", "Look at the papers");
    this.look.addEventListener("click", () => this.papers.toggle(this.look));
    this.units = ["mm", "inch"].map((unit) => {
      const one = control("button", { type: "button", "aria-pressed": "false" }, unit);
      one.addEventListener("click", () => store.keep("unit", unit));
      return one;
    });
    this.node = element("div", { class: "sk-bar", role: "toolbar", "aria-label": "Door" }, this.title,
      element("div", { class: "sk-tools" }, this.undo, this.redo, this.reset, this.open, this.save,
        this.sheet, this.look, element("div", { class: "sk-switch", role: "group", "aria-label": "Lengths in" },
          ...this.units)));
    this.form = new FileForm(store);
    for (const kind of ["open", "save", "sheet"]) {
      this[kind].addEventListener("click", () => this.form.toggle(kind, this[kind]));
    }
    // What was saved before is not said below a new question.
    for (const one of [this.open, this.save, this.sheet, this.look]) {
      one.addEventListener("click", () => { if (store.notice?.good) store.say(null); });
    }
  }

  tool(word, sign, label) {
    return button(label, { class: "sk-tool" }, icon(sign), element("span", { class: "sk-word" }, word));
  }

  update() {
    const { scene, state, lost, changing } = this.store;
    setText(this.title.firstChild, scene.name);
    this.title.title = scene.name;
    show(this.title.lastChild, state.unsaved);
    this.undo.disabled = lost || !(state.undo || changing);
    this.redo.disabled = lost || !state.redo;
    this.reset.disabled = lost || !(state.changed || changing);
    for (const kind of ["open", "save", "sheet", "look"]) this[kind].disabled = Boolean(lost);
    this.papers.update();
    this.units.forEach((one) => {
      assign(one, { "aria-pressed": String(one.textContent === this.store.unit) });
    });
  }
}

const LONGEST_PATH = 90; // letters of a path in the message line

const FORMS = {
  save: { label: "Save the door file as", action: "Save", name: "path" },
  sheet: { label: "Save the sheet as", action: "Save sheet", name: "sheet_path" },
  open: { label: "Open the door file", action: "Open", name: "path" },
};

// One line under the toolbar: a path is typed here, or is the one the door was read from.
class FileForm {
  constructor(store) {
    this.store = store;
    this.kind = null;
    this.label = element("label");
    this.path = control("input", { type: "text", spellcheck: "false", autocomplete: "off" });
    this.label.append(element("span"), this.path);
    this.go = control("button", { type: "submit" });
    this.replace = control("button", { type: "button" }, "Replace it");
    this.close = control("button", { type: "button" }, "Cancel");
    this.words = element("p", { class: "sk-form-words", role: "alert" });
    this.shelf = element("div", { class: "sk-shelf", hidden: true });
    this.node = element("form", { class: "sk-form", hidden: true }, this.label, this.go, this.replace,
      this.close, this.words, this.shelf);
    this.node.addEventListener("submit", (event) => {
      event.preventDefault();
      this.send();
    });
    this.replace.addEventListener("click", () => this.run(this.kind, { ...this.asked, replace: true }));
    this.path.addEventListener("input", () => this.ask(""));
    this.close.addEventListener("click", () => this.hide());
    this.node.addEventListener("keydown", (event) => {
      if (event.key === "Escape") this.hide();
    });
  }

  toggle(kind, opener) {
    if (this.kind === kind) {
      this.hide();
      return;
    }
    this.kind = kind;
    this.opener = opener;
    const { label, action, name } = FORMS[kind];
    setText(this.label.firstChild, label);
    setText(this.go, action);
    this.path.value = this.store.state[name] ?? "";
    this.ask("");
    show(this.shelf, false);
    if (kind === "open") this.fillShelf();
    show(this.node, true);
    this.path.focus();
    this.path.select();
  }

  // Door files to choose from; the names come from Python and are sent back as they came.
  async fillShelf() {
    const answer = await this.store.ask("doors");
    if (this.kind !== "open" || answer.fault) return;
    const groups = [["Beside the notebook", "beside", answer.beside],
      ["Examples", "example", answer.examples]];
    this.shelf.replaceChildren(...groups.filter(([, , names]) => names.length).map(([title, key, names]) =>
      element("div", { role: "group", "aria-label": title }, element("strong", {}, title),
        ...names.map((name) => {
          const one = control("button", { type: "button" }, name);
          one.addEventListener("click", () => this.run("open", { [key]: name }));
          return one;
        }))));
    show(this.shelf, true);
  }

  hide() {
    this.kind = null;
    keepingFocus(this.node, () => show(this.node, false), this.opener);
  }

  ask(words, exists = false) {
    setText(this.words, words);
    show(this.words, words !== "");
    keepingFocus(this.node, () => show(this.replace, exists));
  }

  async send() {
    const path = this.path.value.trim();
    if (!path) {
      this.ask("Write where, for example my-hatch.toml.");
      return;
    }
    await this.run(this.kind, { path, replace: false });
  }

  async run(kind, body) {
    const { value } = this.path;
    keepingFocus(this.node, () => { this.go.disabled = true; });
    if (kind === "sheet") this.ask("Writing the sheet …");
    const answer = kind === "open" ? await this.store.change("open", body)
      : await this.store.save(kind, body);
    this.go.disabled = false;
    // A form that was closed, or where another file was named since, is not of this answer.
    const own = kind === this.kind && value === this.path.value;
    if (!answer.fault && !answer.exists) this.done(kind, answer, own);
    else if (own) this.askAgain(kind, body, answer);
    else if (kind !== "open") sayUnsaved(this.store, body.path, answer);
  }

  askAgain(kind, body, answer) {
    this.asked = body;
    if (kind === "open") this.store.say(null);
    if (answer.fault) this.ask(answer.fault);
    else this.ask(`${existsWords(answer)}${answer.changed
      ? ": what was written there is lost if you replace it." : "."}`, true);
  }

  done(kind, answer, own) {
    if (own) this.hide();
    const words = kind === "open" ? `Opened ${answer.file}.` : `Saved ${answer.file}.`;
    const more = [answer.folder, answer.besides].filter(Boolean).join(". ");
    this.store.say({ words, more, good: true });
    this.store.refreshState();
  }
}

function existsWords({ exists, changed }) {
  return `${exists} ${changed ? "was changed by another hand since it was opened here"
    : "is there already"}`;
}

// What cannot be said beside the question any more stands in the message line.
function sayUnsaved(store, what, answer) {
  const words = answer.exists ? `${existsWords(answer)}; nothing was saved.`
    : `${fittedWords(what, LONGEST_PATH)} was not saved.`;
  store.say({ words, more: answer.fault });
}

// The message line: what is wrong now, else the worst finding with the count.
class Message {
  constructor(store) {
    this.store = store;
    this.sign = element("span", { class: "sk-message-sign" });
    this.words = element("strong");
    this.more = element("span", { class: "sk-more" });
    this.count = element("span", { class: "sk-count" });
    this.action = control("button", { type: "button" });
    this.action.addEventListener("click", () => this.act?.());
    this.dismiss = control("button", { type: "button" }, "Dismiss");
    this.dismiss.addEventListener("click", () => {
      if (this.boxes) {
        store.drop(this.boxes);
        return;
      }
      store.unsaved.found = null;
      store.say(null);
    });
    this.done = element("span");
    this.doneAway = control("button", { type: "button", "aria-label": "Dismiss" }, "Dismiss");
    this.doneAway.addEventListener("click", () => store.say(null));
    this.doneLine = element("p", { class: "sk-done", role: "status", hidden: true }, this.done,
      this.doneAway);
    this.node = element("div", { class: "sk-message" }, this.sign,
      element("p", { id: store.messageId }, this.words, " ", this.more), this.count, this.action, this.dismiss,
      this.doneLine);
  }

  // The line keeps its height while a hand drags what stands below it.
  hold() {
    this.held = this.store.dragging ? this.held ?? this.node.offsetHeight : null;
    this.node.style.height = this.held === null ? "" : `${this.held}px`;
    this.node.style.setProperty("--sk-lines", Math.max(1, Math.floor(((this.held ?? 0) - 8) / 20)));
    this.node.classList.toggle("sk-held", this.held !== null);
  }

  update() {
    this.hold();
    const line = this.line();
    this.node.dataset.state = line.state;
    if (line.sign !== this.signed) {
      this.sign.replaceChildren(...(line.sign ? [stateSign(line.sign)] : []));
      this.signed = line.sign;
    }
    setText(this.words, line.words);
    setText(this.more, line.more ?? "");
    setText(this.count, line.count ?? "");
    show(this.count, Boolean(line.count));
    this.act = line.action;
    this.boxes = line.boxes;
    setText(this.action, line.label ?? "");
    show(this.action, Boolean(line.action));
    show(this.dismiss, Boolean(line.dismiss));
    // What was saved, and what the line has no room to say now, stand below it.
    const { notice, lost } = this.store;
    const below = notice && (notice.good || !(lost || line.tells === notice)) ? notice : null;
    setText(this.done, below ? `${below.words} ${below.more ?? ""}`.trim() : "");
    show(this.doneLine, below !== null);
  }

  line() {
    const { store } = this;
    if (store.lost) {
      return { state: "lost", sign: "not judged", words: `Not connected: the picture is from ${
        clock(store.silentSince)}.`, more: "Run the cell again; your changes are kept." };
    }
    if (store.silentSince) {
      return { state: "lost", sign: "not judged", words: `No answer since ${
        clock(store.silentSince)}.`, more: "A cell is running, or the kernel has stopped." };
    }
    if (store.refused) {
      const [first, rest] = sentences(store.refused.words);
      const { box } = store.refused;
      const again = box ? " What was typed is tried again with the next number." : "";
      const besides = alsoOut(store.untaken.filter((one) => String(boxOf(one)) !== String(box)));
      return { state: "refused", sign: "fails", words: first,
        more: `${rest} Picture and numbers show the last place that fits.${again}${besides}`.trim(),
        label: "Back to it", action: () => store.giveUp() };
    }
    if (store.fault && (!store.notice || store.notice.good || store.notice.older)) {
      const [first, rest] = sentences(store.fault);
      const charts = store.curves ? "Charts show the last door that fits." : "";
      return { state: "refused", sign: "fails", words: first,
        more: `${`${rest} ${charts}`.trim()}${alsoOut(store.untaken)}`.trim() };
    }
    const unread = store.untaken.filter((one) => !one.read);
    if (unread.length) {
      return { state: "notice", sign: "fails", dismiss: true, boxes: unread.map(boxOf),
        words: `Cannot be read: ${listed(unread)}.`,
        more: `${unread.at(-1).why} Nothing is saved until it is mended, or dismissed.` };
    }
    if (store.notice && !store.notice.good) {
      const { notice } = store;
      return { state: "notice", sign: "not judged", dismiss: true, ...notice,
        more: `${notice.more ?? ""}${alsoOut(store.untaken)}`.trim(), tells: notice };
    }
    const { untaken } = store;
    if (untaken.length) {
      const those = untaken.length > 1 ? "They do" : "It does";
      return { state: "notice", sign: "not judged", dismiss: true, boxes: untaken.map(boxOf),
        words: `Not in the door: ${listed(untaken)}.`,
        more: `${those} not fit yet and will be tried again with the next number. ${
          untaken.at(-1).why}` };
    }
    return this.verdictLine();
  }

  verdictLine() {
    const { verdict } = this.store;
    if (!verdict) return { state: "quiet", words: "" };
    if (this.store.late.verdict.shown) {
      return { state: "quiet", sign: "not judged", words: "Waiting for the findings of this place." };
    }
    const [worst] = verdict.findings;
    const { count } = verdict;
    const all = [verdict.short, count].filter(Boolean).join("; ");
    if (worst.state === "fails") {
      return { state: "fails", sign: "fails", words: worst.words, more: worst.where, count: all };
    }
    if (!verdict.judged) {
      return { state: "quiet", sign: "not judged", words: "Not judged: the door has no limits.",
        more: "Write [limits] in its file, or give it starter_limits(door).", count: all };
    }
    if (verdict.short) {
      return { state: "short", sign: "not judged", count,
        words: `It ${verdict.short}; all that is judged passes.` };
    }
    return { state: "passes", sign: "passes", words: "All that is judged passes.", count };
  }
}

function alsoOut(untaken) {
  return untaken.length ? ` Not in the door: ${listed(untaken)}.` : "";
}

function listed(untaken) {
  return untaken.map((one) => one.words).join("; ");
}

// The part of a text that says what is wrong, and the rest.
function sentences(text) {
  const [first] = text.split(/(?<=[.:]) (?=\S)/);
  return [first, text.slice(first.length).trim()];
}
