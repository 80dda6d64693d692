// What was typed, and the door on the bench below, kept in this browser: they outlive a new kernel,
// a cell that runs again and a page that is loaded again. The notebook's own mark is the key, under
// the prefix that the live view's copies have too.

class Kept {
  constructor(model) {
    this.key = `${KEPT}form.${model.get("place")}`;
    this.session = model.get("session");
  }

  read() {
    const kept = keptUnder(this.key);
    return kept?.answers && filled(kept.answers) ? kept : null;
  }

  write(answers, { design, shown }) {
    keep(this.key, { answers, design, shown, session: this.session });
  }

  clear() {
    letGo(this.key);
  }
}

function filled({ boxes, lumps, name }) {
  return Boolean(name) || Boolean(lumps?.length)
    || Object.values(boxes ?? {}).some((box) => box.text || box.unknown);
}
