// Requests to Python and their answers. Each page has a name of its own, so that two tabs of one
// notebook do not take each other's answers.

const SILENCE = 20000;

class Talk {
  constructor(model) {
    this.model = model;
    this.client = Math.random().toString(36).slice(2);
    this.seq = 0;
    this.waiting = new Map();
    this.listeners = new Set();
    model.on("msg:custom", (message) => this.hear(message));
  }

  ask(kind, body = {}) {
    this.seq += 1;
    const { seq } = this;
    this.model.send({ ...body, kind, seq, client: this.client });
    return new Promise((resolve) => {
      const timer = setTimeout(() => {
        this.waiting.delete(seq);
        resolve({ fault: "No answer: a cell is running, or the kernel has stopped. Run the cell "
          + "again; what you typed is kept.", silent: true });
      }, kind === "suggest" ? 6 * SILENCE : SILENCE);
      this.waiting.set(seq, { resolve, timer });
    });
  }

  hear(message) {
    if (message.kind === "changed") {
      for (const listener of this.listeners) listener();
      return;
    }
    const found = message.client === this.client ? this.waiting.get(message.seq) : null;
    if (!found) return;
    clearTimeout(found.timer);
    this.waiting.delete(message.seq);
    found.resolve(message);
  }

  onChanged(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }
}

// A function that is called once, some time after the last of its calls.
function settled(action, wait) {
  let timer = null;
  const later = (...values) => {
    clearTimeout(timer);
    timer = setTimeout(() => action(...values), wait);
  };
  later.now = (...values) => {
    clearTimeout(timer);
    action(...values);
  };
  return later;
}

// An SVG text made by the kit, as a node of this page.
function svgNode(text) {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  return document.importNode(parsed, true);
}
