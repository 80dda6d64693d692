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
    this.next = element("p", { class: "sk-next", hidden: true });
    this.more = control("button", { type: "button", class: "sk-more-rows" });
    this.more.addEventListener("click", () => {
      this.all = !this.all;
      this.update();
    });
    this.assumed = element("ul", { class: "sk-cautions" });
    this.assumedNode = section("Assumed or left out", "", this.assumed);
    this.node = element("section", { class: "sk-block sk-found" }, this.proof, this.next, this.missList,
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
    const now = [...rows, ...(results.trade?.points ?? [])].find((row) => row.now);
    show(this.next, Boolean(now));
    setText(this.next, now ? `In the door now: ${now.strut}, ${now.count}. ${nextStep(this.desk)}` : "");
    for (const one of [this.heading, this.table]) show(one, rows.length > 0);
    setText(this.note, `${results.rank.toLowerCase()}${results.drilling
      ? " at worst within the drilling error" : ""}, best first; forces in N, the worst of all `
      + `conditions${results.drilling ? ", and the check, with mounts drilled exactly" : ""}`);
    const shown = this.all ? rows : rows.slice(0, FEW);
    const heads = [["Strut"], ["Fixed side", "wide"], ["Door side", "wide"], [results.rank],
      ["Lost by rounding", "wide"]];
    if (results.drilling) heads.push(["Drilled exactly", "wide"]);
    heads.push(["To open", "wide"], ["To shut", "wide"], ["To spare open", "wide"],
      ["Hinge line"], ["Tightest limit", "wide sk-tight"], ["Check", "wide"]);
    const head = element("tr", {}, ...heads.map(([text, wide]) => element("th", { scope: "col",
      class: wide ? `sk-${wide}` : null }, text)),
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
      element("span", { class: "sk-narrow-place" }, `Fixed side ${row.fixed}; door side ${row.door}`),
      element("span", { class: "sk-narrow-place" }, ...tightWords(row))),
    place(row.fixed), place(row.door), cell(row.value), cell(row.rounding, true)];
    if (results.drilling) cells.push(cell(row.placed, true));
    cells.push(cell(row.open, true), cell(row.shut, true), cell(row.spare, true), cell(row.hinge),
      element("td", { class: "sk-wide sk-tight" }, ...tightWords(row)),
      element("td", { class: "sk-wide sk-verdict" },
        stateSign(row.state === "passes" && row.cautions.length ? "assumed" : row.state),
        row.state === "passes" && row.cautions.length ? "passes, but mind" : row.state),
      element("td", { class: "sk-use" }, row.now ? "in the door" : adoptButton(this.desk, row)));
    const nodes = [element("tr", { class: row.now ? "sk-now" : null, "data-id": row.id }, ...cells)];
    const said = [...(row.reason ? [["fails", row.reason]] : []),
      ...row.cautions.map((words) => ["assumed", words])];
    for (const [state, words] of said) {
      nodes.push(element("tr", { class: "sk-reason", "data-state": state }, element("td", {
        colspan: columns + 1 }, stateSign(state), element("span", {}, words))));
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

// What is left of the tightest limit; a sign and colour where that is nothing.
function tightWords(row) {
  return row.none_left ? [element("span", { class: "sk-none-left" }, stateSign("assumed"), row.tight)]
    : [row.tight];
}

function nextStep(desk) {
  return `Next: Save, or put it on the bench: run bench(${desk.called}.door) in a cell.`;
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
  const mind = [row.reason, ...row.cautions].filter(Boolean).join(" ");
  desk.say(`Adopted: ${row.strut}, ${row.count}.`,
    row.state === "passes" && row.cautions.length ? "assumed" : row.state,
    `${mind || "The side view shows it."} ${nextStep(desk)}`);
}
