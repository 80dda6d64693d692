// Beside the numbered rows: further weights, and a point by tape.

class Weights {
  constructor(answers, changed, unit) {
    this.changed = changed;
    this.unit = unit;
    this.second = new Plain("Pull at a second angle", "", changed, example("4 kg or 39 N",
      "9 lb or 39 N", unit("mass")));
    this.angle = new Plain("Free edge above level by", "", changed, { placeholder: "40 deg",
      unit: unit("angle") });
    this.strut = new Plain("Weight of one strut", "", changed, { ...example("0.4 kg", "0.9 lb",
      unit("mass")), unit: unit("mass") });
    this.place = new Plain("Hinge line to its mount on the door", "", changed,
      { ...example("160 mm", "6 1/4 in", unit("length")), unit: unit("length") });
    this.parts = element("div", { class: "sk-lumps" });
    this.heads = lumpHeads("Part", "Weight", "Hinge line to its middle", "");
    this.lumps = [];
    const add = control("button", { type: "button" }, "Add a part");
    add.addEventListener("click", () => {
      this.add(["", "", ""]);
      this.lumps.at(-1).name.focus();
    });
    this.node = section("Weigh it better", "second pull, parts not fitted yet, half of each strut",
      element("p", {}, "A second pull, with the door held well above or below level, tells how deep "
        + "the centre of gravity lies in the door. Again at the handle, at right angles to the door; "
        + "minus where the free edge is below level."),
      element("div", { class: "sk-pairs" }, this.second.node, this.angle.node),
      element("p", {}, "Parts that are not on the door yet, each from a kitchen scale: pane, seal, "
        + "latch, trim."), this.heads, this.parts, add,
      element("p", {}, "Half of each strut’s weight hangs on the door."),
      element("div", { class: "sk-pairs" }, this.strut.node, this.place.node));
    this.fill(answers);
  }

  add([name, mass, place]) {
    const box = (label, value, hint, kind) => {
      const one = control("input", { type: "text", "aria-label": label, spellcheck: "false",
        autocomplete: "off", ...(kind ? example(...hint, this.unit(kind)) : { placeholder: hint }) });
      one.value = value;
      one.addEventListener("input", () => this.changed(false));
      one.addEventListener("change", () => {
        one.value = kind ? withUnit(one.value, this.unit(kind)()) : one.value;
        this.changed(true);
      });
      return one;
    };
    const number = this.lumps.length + 1;
    show(this.heads, true);
    const lump = { name: box(`Part ${number}`, name, "pane"), mass: box(`Part ${number}, weight`,
      mass, ["1.2 kg", "2.6 lb"], "mass"), place: box(`Part ${number}, hinge line to its middle`, place,
      ["400 mm", "16 in"], "length"),
    line: element("span", { class: "sk-fault", role: "alert", hidden: true }) };
    const drop = control("button", { type: "button", "aria-label": `Leave out part ${number}` },
      "Leave out");
    lump.node = element("div", { class: "sk-lump" }, lump.name, lump.mass, lump.place, drop,
      lump.line);
    drop.addEventListener("click", () => {
      this.lumps.splice(this.lumps.indexOf(lump), 1);
      lump.node.remove();
      show(this.heads, this.lumps.length > 0);
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
    show(this.heads, false);
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

// What the boxes of a list of rows hold, above them.
function lumpHeads(...words) {
  return element("div", { class: "sk-lump sk-lump-heads", "aria-hidden": "true" },
    ...words.map((one) => element("small", {}, one)));
}

class Tapes {
  constructor(talk, uses, say, unit) {
    this.talk = talk;
    this.unit = unit("length");
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
      element("p", {}, "Door shut. Hold the tape from three or more points whose places you know to "
        + "the point you want. A place is x, y, z from the middle of the hinge line: x to the "
        + "outside, y to the right seen from outside, z up. The known points must not all lie on "
        + "one line; a fourth, off the plane of the others, shows how well the tapes agree and "
        + "tells the side."),
      lumpHeads("Known point: x, y, z", "Tape from there"), this.rows, add, this.line, this.found,
      element("div", { class: "sk-line" }, element("span", {}, "Take the point as"), this.use,
        this.take));
  }

  add() {
    const number = this.rows.children.length + 1;
    const box = (label, hint, point) => {
      const one = control("input", { type: "text", "aria-label": label, ...hint,
        spellcheck: "false", autocomplete: "off" });
      one.addEventListener("input", () => this.later());
      one.addEventListener("change", () => {
        one.value = withUnit(one.value, this.unit(), point);
        this.later();
      });
      return one;
    };
    this.rows.append(element("div", { class: "sk-lump" },
      box(`Known point ${number}`, example("0, -400, 0 mm", "0, -16, 0 in", this.unit),
      true), box(`Tape ${number}`, example("620 mm", "24 1/2 in", this.unit), false)));
  }

  // A place of the tapes as they were is not to be taken for one of these.
  later() {
    this.take.disabled = true;
    this.chosen = null;
    this.solve();
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
