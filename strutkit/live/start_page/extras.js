// Beside the numbered rows: further weights, and a point by tape.

class Weights {
  constructor(answers, changed) {
    this.changed = changed;
    this.second = new Plain("Pull at a second angle", "", changed);
    this.angle = new Plain("Free edge above level by", "", changed);
    this.strut = new Plain("Weight of one strut", "", changed);
    this.place = new Plain("Hinge line to its mount", "", changed);
    this.parts = element("div", { class: "sk-lumps" });
    this.lumps = [];
    const add = control("button", { type: "button" }, "Add a part");
    add.addEventListener("click", () => {
      this.add(["", "", ""]);
      this.lumps.at(-1).name.focus();
    });
    this.node = section("Weigh it better", "second pull, parts not fitted yet, half of each strut",
      element("p", {}, "A second pull, with the door held well above or below level, gives how deep "
        + "the centre of gravity lies. Pull at right angles to the door, at the handle."),
      element("div", { class: "sk-pairs" }, this.second.node, this.angle.node),
      element("p", {}, "Parts that are not on the door yet, each from a kitchen scale: pane, seal, "
        + "latch, trim."), this.parts, add,
      element("p", {}, "Half of each strut hangs on the door."),
      element("div", { class: "sk-pairs" }, this.strut.node, this.place.node));
    this.fill(answers);
  }

  add([name, mass, place]) {
    const box = (label, value, hint) => {
      const one = control("input", { type: "text", "aria-label": label, placeholder: hint,
        spellcheck: "false", autocomplete: "off" });
      one.value = value;
      one.addEventListener("input", () => this.changed(false));
      one.addEventListener("change", () => this.changed(true));
      return one;
    };
    const number = this.lumps.length + 1;
    const lump = { name: box(`Part ${number}`, name, "pane"), mass: box(`Part ${number}, weight`,
      mass, "1.2 kg"), place: box(`Part ${number}, hinge line to its middle`, place, "400 mm"),
    line: element("span", { class: "sk-fault", role: "alert", hidden: true }) };
    const drop = control("button", { type: "button", "aria-label": `Leave out part ${number}` },
      "Leave out");
    lump.node = element("div", { class: "sk-lump" }, lump.name, lump.mass, lump.place, drop,
      lump.line);
    drop.addEventListener("click", () => {
      this.lumps.splice(this.lumps.indexOf(lump), 1);
      lump.node.remove();
      this.changed(true);
    });
    this.lumps.push(lump);
    this.parts.append(lump.node);
  }

  fill(answers) {
    for (const [name, one] of [["second_pull", this.second], ["second_angle", this.angle],
      ["strut_mass", this.strut], ["strut_place", this.place]]) {
      one.box.value = answers.boxes[name]?.text ?? "";
    }
    this.lumps = [];
    this.parts.replaceChildren();
    answers.lumps.forEach((lump) => this.add(lump));
    if (answers.lumps.length || this.second.box.value || this.strut.box.value) this.node.open = true;
  }

  get boxes() {
    const answer = (one) => ({ text: one.box.value, unknown: false });
    return { second_pull: answer(this.second), second_angle: answer(this.angle),
      strut_mass: answer(this.strut), strut_place: answer(this.place) };
  }

  get rows() {
    return this.lumps.map(({ name, mass, place }) => [name.value, mass.value, place.value]);
  }

  update(boxes) {
    this.second.update(boxes.second_pull);
    this.angle.update(boxes.second_angle);
    this.strut.update(boxes.strut_mass);
    this.place.update(boxes.strut_place);
    this.lumps.forEach((lump, number) => {
      const state = boxes[`lump_${number}`];
      const fault = state?.state === "fault" ? state.words : "";
      setText(lump.line, fault);
      show(lump.line, fault !== "");
    });
  }
}

class Tapes {
  constructor(talk, uses, say) {
    this.talk = talk;
    this.rows = element("div", { class: "sk-lumps" });
    this.found = element("div", { class: "sk-found", role: "status" });
    this.line = element("p", { class: "sk-fault", role: "alert", hidden: true });
    const add = control("button", { type: "button" }, "Add a tape");
    add.addEventListener("click", () => this.add());
    this.use = control("select", { "aria-label": "Take the point as" },
      ...uses.map((use) => element("option", { value: use }, use)));
    this.take = control("button", { type: "button", disabled: true }, "Take it");
    this.take.addEventListener("click", async () => {
      const answer = await talk.ask("take tape", { rows: this.values, place: this.chosen,
        use: this.use.value });
      this.fault(answer.fault);
      if (!answer.fault) say(answer.words);
    });
    this.solve = settled(() => this.ask(), 500);
    for (let count = 0; count < 3; count += 1) this.add();
    this.node = section("A point by tape", "on a curved body, from three or more known points",
      element("p", {}, "Known points as x, y, z from where the hinge line’s middle is: x to the "
        + "outside, y to the right seen from outside, z up. Door shut. Not all on one line; a "
        + "fourth, off the plane of the others, shows the misfit and settles the side."),
      this.rows, add, this.line, this.found,
      element("div", { class: "sk-line" }, element("span", {}, "Take the point as"), this.use,
        this.take));
  }

  add() {
    const number = this.rows.children.length + 1;
    const box = (label, hint) => {
      const one = control("input", { type: "text", "aria-label": label, placeholder: hint,
        spellcheck: "false", autocomplete: "off" });
      one.addEventListener("input", () => this.solve());
      return one;
    };
    this.rows.append(element("div", { class: "sk-lump" },
      box(`Known point ${number}`, "0, -400, 0 mm"), box(`Tape ${number}`, "620 mm")));
  }

  get values() {
    return [...this.rows.children].map((row) => [...row.querySelectorAll("input")]
      .map((one) => one.value));
  }

  fault(words) {
    setText(this.line, words ?? "");
    show(this.line, Boolean(words));
  }

  async ask() {
    const filled = this.values.filter((row) => row.every((text) => text.trim())).length;
    this.take.disabled = true;
    this.chosen = null;
    if (filled < 3) {
      this.fault("");
      this.found.replaceChildren();
      return;
    }
    const answer = await this.talk.ask("tape", { rows: this.values });
    this.fault(answer.fault);
    const places = answer.places ?? [];
    const choices = places.map((place, number) => {
      const pick = control("input", { type: "radio", name: `sk-place-${this.talk.client}` });
      pick.addEventListener("change", () => {
        this.chosen = number;
        this.take.disabled = false;
      });
      return element("label", { class: "sk-choice" }, pick, element("span", {}, place.words,
        element("small", {}, place.check)));
    });
    const words = places.length > 1 ? "Two places fit as well, one the mirror image of the other. "
      + "Which is it?" : places.length ? "The point:" : "";
    this.found.replaceChildren(element("p", {}, words), ...choices);
    if (choices.length === 1) choices[0].firstChild.click();
  }
}
