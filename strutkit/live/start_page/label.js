// A strut without a label, read on a bathroom scale: asked in the order in which it is done.

const STEPS = [["F3", "1. Going in, 10 mm from full length (F3)"],
  ["F4", "2. Going on in, 10 mm from fully pushed in (F4)"],
  ["F2", "3. Coming out again, at that same place (F2)"],
  ["F1", "4. Coming out, 10 mm from full length (F1)"],
  ["extended", "5. Length pulled out, centre to centre"],
  ["stroke", "6. Stroke: how far the rod goes in"]];

const READ_LENGTHS = { extended: ["480 mm", "18 7/8 in"], stroke: ["200 mm", "7 7/8 in"] };

class Label {
  constructor(talk, cautions, owned, unit) {
    this.line = element("p", { class: "sk-fault", role: "alert", hidden: true });
    this.result = element("p", { role: "status" }, owned ? `Taken: ${owned}.` : "");
    this.boxes = Object.fromEntries(STEPS.map(([name, label]) => [name, new Plain(label, "",
      () => {}, READ_LENGTHS[name] ? { ...example(...READ_LENGTHS[name], unit("length")),
        unit: unit("length") } : example("30 kg", "66 lb", unit("mass")))]));
    const read = control("button", { type: "button" }, "Take this strut");
    const drop = control("button", { type: "button", hidden: !owned }, "Back to the stock list");
    read.addEventListener("click", async () => {
      const answer = await talk.ask("label", Object.fromEntries(Object.entries(this.boxes)
        .map(([name, one]) => [name, one.box.value])));
      setText(this.line, answer.fault ?? "");
      show(this.line, Boolean(answer.fault));
      setText(this.result, answer.words ?? "");
      if (!answer.fault) show(drop, true);
    });
    drop.addEventListener("click", async () => {
      await talk.ask("drop label");
      setText(this.result, "");
      show(drop, false);
    });
    this.node = section("A strut without a label", "rating, friction and force ratio by bathroom "
      + "scale", element("ul", { class: "sk-cautions" }, ...cautions.map((words) => element("li", {},
      stateSign("assumed"), element("span", {}, words)))),
    element("p", {}, "Press the strut in once and let it out once, slowly, and read the scale while "
      + "it moves: 10 mm from each end, 5 mm for strokes up to 80 mm. A helper reads."),
    element("div", { class: "sk-pairs" }, ...Object.values(this.boxes).map((one) => one.node)),
    this.line, element("div", { class: "sk-line" }, read, drop), this.result);
  }
}
