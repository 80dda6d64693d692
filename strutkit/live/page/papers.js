// Papers to take to the door: each page as a picture, and a file saved with one click.

const DRAWS = "Drawing the pages …";
const PAPERS = ["sheet", "drill template", "card", "drawing"];

class Papers {
  constructor(store) {
    this.store = store;
    const option = (value, text = value) => element("option", { value }, text);
    this.kind = control("select", { "aria-label": "Paper" }, ...PAPERS.map((one) => option(one)));
    this.page = control("select", { "aria-label": "Page size" }, option("a4", "A4"),
      option("letter", "Letter"));
    this.ending = control("select", { "aria-label": "File ending", hidden: true },
      option(".dxf", "DXF"), option(".svg", "SVG"));
    this.back = button("Page before", {}, "‹");
    this.next = button("Next page", {}, "›");
    this.count = element("span", { role: "status" });
    this.save = control("button", { type: "button" }, "Save");
    this.replace = control("button", { type: "button", hidden: true }, "Replace it");
    this.close = control("button", { type: "button" }, "Close");
    this.words = element("p", { class: "sk-form-words", role: "alert", hidden: true });
    this.missing = element("p", { class: "sk-form-words", role: "status", hidden: true });
    this.picture = element("img", { class: "sk-paper", alt: "" });
    this.again = control("button", { type: "button" }, "Look again");
    this.again.addEventListener("click", () => this.look());
    this.old = element("p", { class: "sk-paper-old", role: "status", hidden: true },
      element("strong", {}, "An earlier design"), this.again);
    this.sheet = element("div", { class: "sk-paper-page" }, this.picture, this.old);
    this.node = element("section", { class: "sk-form", "aria-label": "Papers", hidden: true },
      this.kind, this.page, this.ending, this.back, this.count, this.next, this.save, this.replace, this.close,
      this.words, this.missing, this.sheet);
    this.pictures = [];
    this.shows = null; // the design and unit that the pages show
    for (const one of [this.kind, this.page]) one.addEventListener("change", () => this.look());
    this.ending.addEventListener("change", () => this.say(""));
    this.back.addEventListener("click", () => this.turn(-1));
    this.next.addEventListener("click", () => this.turn(1));
    this.save.addEventListener("click", () => this.send({ paper: this.kind.value, page: this.page.value,
      ending: this.drawing ? this.ending.value : null, save: true, replace: false }));
    this.replace.addEventListener("click", () => this.send({ ...this.file, replace: true }));
    this.close.addEventListener("click", () => this.toggle());
  }

  toggle(opener = this.opener) {
    this.opener = opener;
    if (this.open) {
      keepingFocus(this.node, () => show(this.node, false), opener);
      return;
    }
    show(this.node, true);
    this.kind.focus();
    this.look();
  }

  get open() {
    return !this.node.hidden;
  }

  get drawing() {
    return this.kind.value === "drawing";
  }

  say(words, exists = false) {
    setText(this.words, words);
    show(this.words, words !== "");
    keepingFocus(this.node, () => show(this.replace, exists));
  }

  // The pages of the door as it stands now.
  async look() {
    this.store.release();
    this.say(DRAWS);
    show(this.page, !this.drawing);
    show(this.ending, this.drawing);
    this.sheet.classList.add("sk-paper-earlier");
    const { unit } = this.store;
    const asked = this.store.ask("paper", { paper: this.kind.value, page: this.page.value });
    this.asked = asked;
    const answer = await asked;
    if (asked !== this.asked) return; // another paper was chosen since
    this.sheet.classList.remove("sk-paper-earlier");
    // What was said of a file meanwhile stays.
    if (answer.fault || this.words.textContent === DRAWS) this.say(answer.fault ?? "");
    this.pictures = answer.pictures ?? [];
    this.shows = { design: answer.design, unit };
    this.at = 0;
    this.turn(0);
    this.update();
  }

  // Pages of another design than the one on the bench say so; what is saved is always the latter.
  update() {
    const { model, unit } = this.store;
    const old = this.shows?.design !== model.get("design") || this.shows?.unit !== unit;
    keepingFocus(this.node, () => show(this.old, this.pictures.length > 0 && old));
    const { untaken } = this.store;
    setText(this.missing, untaken.length ? this.store.besides({ untaken }) : "");
    show(this.missing, untaken.length > 0);
  }

  turn(step) {
    const { length } = this.pictures;
    this.at = Math.max(0, Math.min(length - 1, this.at + step));
    this.picture.src = this.pictures[this.at] ?? "";
    this.picture.alt = `${this.kind.value}, page ${this.at + 1} of ${length}`;
    show(this.picture, length > 0);
    setText(this.count, length ? `${this.at + 1} of ${length}` : "");
    keepingFocus(this.node, () => {
      this.back.disabled = this.at <= 0;
      this.next.disabled = this.at >= length - 1;
    });
  }

  // "Replace it" is said of this file, whatever was chosen since.
  async send(file) {
    keepingFocus(this.node, () => { this.save.disabled = true; });
    this.file = file;
    const answer = await this.store.save("paper", file);
    this.save.disabled = false;
    const { exists, fault, folder, besides } = answer;
    const saved = `Saved ${answer.file}`;
    if (this.open) {
      this.say(exists ? `${exists} is there already.` : fault ?? `${saved} in ${folder}. ${besides}`,
        Boolean(exists));
    } else if (exists || fault) sayUnsaved(this.store, `The ${file.paper}`, answer);
    else this.store.say({ words: `${saved}.`, more: [folder, besides].filter(Boolean).join(". "),
      good: true });
  }
}
