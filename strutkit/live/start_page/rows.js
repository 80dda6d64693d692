// The numbered rows of the form: a box, "don't know", and what is said beside them.

const ASSUMED_WORDS = "Assumed, and listed on the sheet until you weigh or measure it.";
const FOLLOWS_WORDS = "Worked out from the other boxes.";

// A number alone, as Python's `is_bare` sees it; a fraction is nobody's millimetres.
const NUMBERS = /^[-+−–0-9eE.,;/⁄ ¼-¾⅐-⅞]*[0-9¼-¾⅐-⅞][-+−–0-9eE.,;/⁄ ¼-¾⅐-⅞]*$/;

// The text with the unit behind it, if it is a number alone (or three, for a point).
function withUnit(text, unit, point = false) {
  const bare = text.trim();
  if (!unit || !NUMBERS.test(bare) || (!point && /[,;]/.test(bare))) return text;
  return unit === "mm" && /[/⁄¼-¾⅐-⅞]/.test(bare) ? text : `${bare} ${unit}`;
}

// An example in an empty box, in the unit that is chosen.
function example(mm, inch, unit) {
  const metric = ["mm", "kg"].includes(unit());
  return { placeholder: metric ? mm : inch, "data-mm": mm, "data-inch": inch };
}

class Row {
  constructor(question, number, answer, changed) {
    this.question = question;
    this.box = control("input", { type: "text", spellcheck: "false", autocomplete: "off",
      id: `sk-box-${question.name}`, "aria-describedby": `sk-words-${question.name}` });
    this.box.value = answer.text;
    this.words = element("span", { class: "sk-taken", hidden: true });
    this.tick = control("input", { type: "checkbox" });
    this.tick.checked = answer.unknown;
    this.sign = element("span", { class: "sk-row-sign" });
    this.hint = element("span");
    this.line = element("p", { class: "sk-hint", id: `sk-words-${question.name}` }, this.sign,
      this.hint);
    this.node = element("div", { class: "sk-ask", "data-name": question.name },
      element("span", { class: "sk-ring-number", "aria-hidden": "true" }, String(number)),
      element("label", { for: `sk-box-${question.name}` }, question.label),
      element("span", { class: "sk-box" }, this.box, this.words),
      question.required ? element("span") : element("label", { class: "sk-tick" }, this.tick,
        "don’t know"), this.line);
    this.box.addEventListener("input", () => changed(false));
    this.box.addEventListener("change", () => {
      this.box.value = withUnit(this.box.value, this.question.unit);
      changed(true);
    });
    this.tick.addEventListener("change", () => {
      changed(true);
      if (!this.tick.checked) this.box.focus();
    });
    this.update({ state: "blank", words: "" });
  }

  get answer() {
    return { text: this.box.value, unknown: this.tick.checked };
  }

  update(state, question = this.question) {
    this.question = question;
    assign(this.box, { placeholder: question.placeholder });
    const taken = this.tick.checked && !this.question.required;
    this.node.dataset.state = taken && state.state === "blank" ? "assumed" : state.state;
    show(this.box, !taken);
    show(this.words, taken);
    setText(this.words, taken ? state.words || "…" : "");
    assign(this.box, { "aria-invalid": state.state === "fault" ? "true" : "false" });
    const lines = { fault: ["fails", state.words], assumed: ["assumed", ASSUMED_WORDS],
      follows: [null, FOLLOWS_WORDS], "left out": [null, "Left off the sheet."],
      given: state.words ? ["not judged", state.words] : undefined };
    const [sign, words] = lines[state.state] ?? [null, this.question.hint];
    this.sign.replaceChildren(...(sign ? [stateSign(sign)] : []));
    setText(this.hint, words);
  }
}

// A box without a number: label, text, and a line below for what is amiss.
class Plain {
  constructor(label, value, changed, { unit = () => "", ...attributes } = {}) {
    this.box = control("input", { type: "text", spellcheck: "false", autocomplete: "off",
      ...attributes });
    this.box.value = value;
    this.line = element("span", { class: "sk-fault", role: "alert", hidden: true });
    this.node = element("label", { class: "sk-plain" }, element("span", {}, label), this.box,
      this.line);
    this.box.addEventListener("input", () => changed(false));
    this.box.addEventListener("change", () => {
      this.box.value = withUnit(this.box.value, unit());
      changed(true);
    });
  }

  update(state) {
    const fault = state?.state === "fault" ? state.words : "";
    setText(this.line, fault);
    show(this.line, fault !== "");
    assign(this.box, { "aria-invalid": fault ? "true" : "false" });
  }
}

function section(title, hint, ...children) {
  const summary = control("summary", {}, element("strong", {}, title),
    hint ? element("small", {}, hint) : null);
  return element("details", { class: "sk-section" }, summary, element("div", { class: "sk-inside" },
    ...children));
}
