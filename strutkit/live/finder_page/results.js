// What was found: near misses to act on, and candidates, best first.

const FEW = 8;

class Results {
  constructor(desk) {
    this.desk = desk;
    this.all = false;
    this.proof = element("p", { class: "sk-proof" });
    this.missList = element("div", { class: "sk-misses" });
    this.table = element("table");
    this.note = element("small");
    this.more = control("button", { type: "button", class: "sk-more-rows" });
    this.more.addEventListener("click", () => {
      this.all = !this.all;
      this.update();
    });
    this.assumed = element("ul", { class: "sk-cautions" });
    this.assumedNode = section("Assumed or left out", "", this.assumed);
    this.node = element("section", { class: "sk-block sk-found" }, this.proof, this.missList,
      this.heading = element("h3", {}, "Candidates", this.note), this.table, this.more,
      this.assumedNode);
  }

  update() {
    const { results } = this.desk;
    show(this.node, Boolean(results));
    if (!results) return;
    this.drawMisses(results.misses);
    setText(this.proof, `${results.verdict.words} ${results.verdict.more}`);
    const { rows } = results;
    for (const one of [this.heading, this.table]) show(one, rows.length > 0);
    setText(this.note, `${results.rank.toLowerCase()}${results.drilling
      ? " at worst within the drilling error" : ""}, best first; forces in N, the worst of all `
      + "conditions");
    const shown = this.all ? rows : rows.slice(0, FEW);
    const heads = [["Strut"], ["Fixed side", "wide"], ["Door side", "wide"], [results.rank],
      ["Lost by rounding", "wide"]];
    if (results.drilling) heads.push(["Drilled exactly", "wide"]);
    heads.push(["To open", "wide"], ["To shut", "wide"], ["To spare open", "wide"],
      ["Hinge line"], ["Check", "wide"]);
    const head = element("tr", {}, ...heads.map(([text, wide]) => element("th", { scope: "col",
      class: wide ? "sk-wide" : null }, text)),
    element("th", { scope: "col" }, element("span", { class: "sk-hidden" }, "Adopt it")));
    this.table.replaceChildren(element("thead", {}, head), element("tbody", {},
      ...shown.flatMap((row) => this.rowNodes(row, results, heads.length))));
    const left = rows.length - FEW;
    show(this.more, left > 0);
    const failing = rows.slice(FEW).filter((row) => row.state === "fails").length;
    setText(this.more, this.all ? "Only the best" : `${left} more${failing
      ? `, ${failing} of them ${failing === 1 ? "fails" : "fail"} the check` : ""}`);
    show(this.assumedNode, results.assumptions.length > 0);
    this.assumed.replaceChildren(...results.assumptions.map((words) => element("li", {},
      stateSign("assumed"), element("span", {}, words))));
  }

  rowNodes(row, results, columns) {
    const cell = (text, wide) => element("td", { class: wide ? "sk-wide" : null }, text);
    const place = (text) => element("td", { class: "sk-wide sk-place" }, text);
    const cells = [element("th", { scope: "row" }, element("strong", {}, row.strut),
      element("small", {}, row.count),
      element("span", { class: "sk-narrow-place" }, `Fixed side ${row.fixed}; door side ${row.door}`)),
    place(row.fixed), place(row.door), cell(row.value), cell(row.rounding, true)];
    if (results.drilling) cells.push(cell(row.placed, true));
    cells.push(cell(row.open, true), cell(row.shut, true), cell(row.spare, true), cell(row.hinge),
      element("td", { class: "sk-wide sk-verdict" }, stateSign(row.state), row.state),
      element("td", { class: "sk-use" }, row.now ? "in the door" : adoptButton(this.desk, row)));
    const nodes = [element("tr", { class: row.now ? "sk-now" : null, "data-id": row.id }, ...cells)];
    if (row.reason) {
      nodes.push(element("tr", { class: "sk-reason" }, element("td", { colspan: columns + 1 },
        stateSign("fails"), element("span", {}, row.reason))));
    }
    return nodes;
  }

  drawMisses(misses) {
    show(this.missList, misses.length > 0);
    this.missList.replaceChildren(element("h3", {}, "What stands in the way",
      element("small", {}, "each of these alone would do, nearest first")),
    ...misses.map((miss) => {
      const ask = control("button", { type: "button" }, `Ask for ${miss.ask}`);
      ask.addEventListener("click", async () => {
        const answer = await this.desk.request("limit", { name: miss.rule, text: miss.ask });
        if (!answer.fault) this.desk.run();
      });
      return element("div", { class: "sk-line" }, element("span", {}, miss.words), ask);
    }));
  }
}

function adoptButton(desk, row) {
  const one = control("button", { type: "button", "aria-label": `Adopt ${row.strut}, ${row.count}` },
    "Adopt");
  one.addEventListener("click", () => adopt(desk, row));
  return one;
}

async function adopt(desk, row) {
  const answer = await desk.request("adopt", { id: row.id });
  if (answer.fault) return;
  desk.say(`Adopted: ${row.strut}, ${row.count}.`, row.state, row.reason
    || "The side view shows it. Save the door, or put it on the bench: bench(view.door).");
}
