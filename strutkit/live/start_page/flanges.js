// Flanges that may bear a mount, as a tape finds them.

const FLANGES = { panel: "On the door", frame: "On the fixed side" };

class Flanges {
  constructor(answers, changed, unit) {
    this.boxes = {};
    const box = (name, label, ...hint) => {
      this.boxes[name] = new Plain(label, "", changed, { ...example(...hint, unit("length")),
        unit: unit("length") });
      return this.boxes[name].node;
    };
    const side = (name) => element("fieldset", { class: "sk-flange" },
      element("legend", {}, FLANGES[name]), element("div", { class: "sk-pairs" },
        box(`${name}_near`, "", "80 mm", "3 in"), box(`${name}_far`, "", "260 mm", "10 in"),
        box(`${name}_low`, "", "10 mm", "3/8 in"), box(`${name}_high`, "", "30 mm", "1 1/4 in")));
    this.node = section("Where mounts may go", "flanges that you mark, as the tape finds them",
      element("p", {}, "Leave these empty to take the usual places of this kind of opening. Where a "
        + "flange, rib or post can bear a mount, measure with the door shut where it begins and "
        + "ends; the ball is then placed somewhere between."),
      side("panel"), side("frame"), element("div", { class: "sk-pairs" },
        box("flange_beside", "Strut in from the left or right end of the door", "30 mm", "1 1/4 in")));
    this.fill(answers);
  }

  // The labels speak of the faces that this kind's struts are bolted to.
  say(outside, level) {
    const along = { panel: "along the door", frame: outside ? "straight down" : "along the door" };
    const face = outside ? "outer face" : "inner face";
    const off = { panel: `Off the ${face}`,
      frame: outside ? "Out from the wall" : `${level ? "Below" : "Behind"} the door’s ${face}` };
    for (const side of Object.keys(FLANGES)) {
      const label = (end, words) => setText(this.boxes[`${side}_${end}`].node.firstChild, words);
      label("near", `Hinge line to its near end, ${along[side]}`);
      label("far", `Hinge line to its far end, ${along[side]}`);
      label("low", `${off[side]}, least`);
      label("high", `${off[side]}, most`);
    }
  }

  fill(answers) {
    for (const [name, one] of Object.entries(this.boxes)) {
      one.box.value = answers.boxes[name]?.text ?? "";
      if (one.box.value) this.node.open = true;
    }
  }

  get answers() {
    return Object.fromEntries(Object.entries(this.boxes).map(([name, one]) => [name,
      { text: one.box.value, unknown: false }]));
  }

  update(states) {
    for (const [name, one] of Object.entries(this.boxes)) one.update(states[name]);
  }
}
