// Compare struts at these mounts: figures of the worst condition, small curves to one scale.

const CURVE_WIDTH = 140;
const CURVE_HEIGHT = 40;

class CompareView {
  constructor(store) {
    this.store = store;
    this.table = element("table");
    this.note = element("small");
    this.place = null; // whose rows are shown
    this.node = element("section", { class: "sk-block sk-area-compare" },
      element("h3", {}, "Compare struts", this.note), this.table);
  }

  update() {
    const { compare } = this.store;
    show(this.node, Boolean(compare && compare.rows.length));
    if (!compare || !compare.rows.length) return;
    const [{ fault }] = compare.rows;
    const none = Boolean(fault) && compare.rows.every((row) => row.fault === fault);
    show(this.table, !none);
    this.words = none ? `none of these struts fits: ${fault}` : [compare.of, compare.source,
      "at these mounts, worst of all conditions"].filter(Boolean).join("; ");
    this.place = compare.rows[0].edit.place;
    if (none) {
      this.stale();
      return;
    }
    const limit = this.store.scene.limits.hand_closing;
    const one = limit === null ? "one scale" : `one scale, limit ${forceFigure(limit, this.store.scene.small)} N`;
    const heads = [["Strut"], ["All rules", "wide"], [`Hand force by angle, ${one}`], ["Lifts off by",
      "wide"], ["To open, N", "wide"], ["To shut, N"], ["To spare open, N"], ["Gas to spare", "wide"],
    ["Hinge point, N", "wide"], [`Travel kept shut / open, ${this.store.unit}`, "wide"]];
    if (compare.rows.some((row) => row.price !== null)) heads.push(["Price", "wide"]);
    const head = element("tr", {}, ...heads.map(([text, wide]) =>
      element("th", { scope: "col", class: wide ? "sk-wide" : null }, text)),
    element("th", { scope: "col" }, element("span", { class: "sk-hidden" }, "Use it")));
    const held = nameIn([...this.table.rows].find((one) => one.contains(document.activeElement)));
    this.table.replaceChildren(element("thead", {}, head),
      element("tbody", {}, ...compare.rows.map((row) => this.row(row, compare, heads.length))));
    if (held) this.refocus(held);
    this.stale();
  }

  // The focus stays with the strut: on its button, else on its name.
  refocus(name) {
    const row = [...this.table.rows].find((one) => nameIn(one) === name);
    (row?.querySelector("button") ?? row?.querySelector("th"))?.focus({ preventScroll: true });
  }

  // Rows of another strut than the one chosen wait for their own, and nothing of them is used.
  stale() {
    const other = this.place !== null && this.place !== this.store.selected.place;
    const shown = other || this.store.late.compare.shown;
    const words = other ? "waiting: these figures are of another strut"
      : "waiting: these figures are of an earlier place";
    setText(this.note, shown ? words : this.words ?? "");
    this.table.classList.toggle("sk-earlier", shown);
    for (const one of this.table.querySelectorAll("button")) one.disabled = other;
  }

  row(row, compare, columns) {
    const name = element("th", { scope: "row", tabindex: -1 }, element("strong", {}, row.name),
      row.now ? " now" : "");
    if (row.fault) {
      return element("tr", { class: row.now ? "sk-now" : null }, name,
        element("td", { colspan: columns, class: "sk-fault" }, row.fault));
    }
    const short = () => [stateSign("not judged"), `opens to ${row.opens_to}`];
    const judged = (fails) => (row.opens_to && row.state === "passes" ? short()
      : [stateSign(row.state), row.state, element("span", { class: "sk-row-fails" }, ...fails
        .map((one, i) => element("span", {}, `${one}${i < fails.length - 1 ? "," : ""}`)))]);
    name.append(element("span", { class: "sk-narrow-verdict" }, ...judged(row.fails_narrow)));
    const cell = (key, text, wide) => {
      const bad = row.broken.includes(key);
      return element("td", { class: `${bad ? "sk-bad" : ""}${wide ? " sk-wide" : ""}` },
        bad ? `✕ ${text}` : text);
    };
    const mark = this.store.unit === "inch" ? "″" : "";
    const cells = [
      element("td", { class: "sk-wide sk-verdict" }, ...judged(row.fails)),
      element("td", { class: "sk-small-curve" }, this.curve(row, compare)),
      cell("lift_off", row.lift_off, true),
      cell("hand_opening", row.hand_opening, true), cell("hand_closing", row.hand_closing),
      cell("reserve_force", row.reserve_force), cell("gas_to_spare", row.gas_to_spare, true),
      cell("hinge_radial", row.hinge, true),
      cell("travel", `${row.kept_shut}${mark} / ${row.kept_open}${mark}`, true),
    ];
    if (row.opens_to) cells.at(-1).append(element("span", { class: "sk-short" }, ...short()));
    if (compare.rows.some((one) => one.price !== null)) {
      cells.push(element("td", { class: "sk-wide" }, row.price === null ? "" : String(row.price)));
    }
    const use = element("td", { class: "sk-use" });
    if (!row.now) {
      const action = control("button", { type: "button", "aria-label": `Use ${row.name}` }, "Use");
      action.addEventListener("click", () => this.store.change("commit", {
        edit: { ...row.edit, door: compare.door } }));
      use.append(action);
    }
    return element("tr", { class: row.now ? "sk-now" : null }, name, ...cells, use);
  }

  curve(row, compare) {
    const { low, high } = compare.scale;
    const limits = this.store.scene.limits;
    const x = (angle) => (angle / this.store.scene.stop_angle) * CURVE_WIDTH;
    const y = (value) => CURVE_HEIGHT - 3 - ((value - low) / (high - low)) * (CURVE_HEIGHT - 6);
    const path = (values, sign) => values.map((value, i) =>
      `${i ? "L" : "M"}${x(row.angle[i]).toFixed(1)} ${y(sign * value).toFixed(1)}`).join("");
    const parts = [drawing("line", { x1: 0, x2: CURVE_WIDTH, y1: y(0), y2: y(0), class: "sk-zero" })];
    for (const [limit, sign] of [[limits.hand_opening, 1], [limits.hand_closing, -1]]) {
      if (limit === null || sign * limit < low || sign * limit > high) continue;
      parts.push(drawing("path", { d: limitPath(0, CURVE_WIDTH, y(sign * limit), -sign),
        class: "sk-limit" }));
    }
    parts.push(drawing("path", { d: path(row.opening, 1), class: "sk-curve sk-thin sk-open sk-dashed" }),
      drawing("path", { d: path(row.closing, -1), class: "sk-curve sk-thin sk-shut" }));
    return drawing("svg", { width: CURVE_WIDTH, height: CURVE_HEIGHT, role: "img",
      viewBox: `0 0 ${CURVE_WIDTH} ${CURVE_HEIGHT}`, "aria-label":
        `Worst hand force, push to open ${row.hand_opening} N, push to shut ${row.hand_closing} N` },
    ...parts);
  }
}

// The strut of a row of the table.
function nameIn(row) {
  return row?.querySelector("th strong")?.textContent;
}
