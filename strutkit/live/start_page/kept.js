// What was typed, and the door on the bench below, kept in this browser: they outlive a new kernel,
// a cell that runs again and a page that is loaded again. The notebook's own mark is the key, under
// the prefix that the live view's copies have too.

const KEPT = "strutkit.kept.";
const MOST_KEPT = 20;

class Kept {
  constructor(model) {
    this.key = `${KEPT}form.${model.get("place")}`;
    this.session = model.get("session");
  }

  read() {
    try {
      const kept = JSON.parse(localStorage.getItem(this.key));
      return kept?.answers && filled(kept.answers) ? kept : null;
    } catch {
      return null;
    }
  }

  write(answers, { design, shown }) {
    try {
      const kept = Object.keys(localStorage).filter((one) => one.startsWith(KEPT));
      if (kept.length >= MOST_KEPT && !kept.includes(this.key)) {
        const age = (one) => JSON.parse(localStorage.getItem(one)).time;
        localStorage.removeItem(kept.sort((a, b) => age(a) - age(b))[0]);
      }
      localStorage.setItem(this.key, JSON.stringify({ answers, design, shown,
        session: this.session, time: Date.now() }));
    } catch {
      // No storage in this browser: what was typed still lives in the kernel.
    }
  }

  clear() {
    try {
      localStorage.removeItem(this.key);
    } catch {
      // Nothing was kept.
    }
  }
}

function filled({ boxes, lumps, name }) {
  return Boolean(name) || Boolean(lumps?.length)
    || Object.values(boxes ?? {}).some((box) => box.text || box.unknown);
}

function clock(time) {
  return `${time.getHours()}:${String(time.getMinutes()).padStart(2, "0")}`;
}
