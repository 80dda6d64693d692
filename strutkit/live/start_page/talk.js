// Requests to Python and their answers. Each page has a name of its own, so that two tabs of one
// notebook do not take each other's answers.

const SILENT = 4000; // no answer for so long: Python is busy or gone [ms]
const LOOKING = 20000; // the same while a start is looked for [ms]
const GIVE_UP = 20000; // an answer that comes later is not waited for [ms]

const NOT_CONNECTED = "Not connected: run the cell again; what you typed is kept.";

class Talk {
  constructor(model) {
    this.model = model;
    this.client = Math.random().toString(36).slice(2);
    this.seq = 0;
    this.waiting = new Map();
    this.listeners = new Set();
    this.answeredAt = new Date();
    this.silent = false;
    this.lost = false;
    model.on("msg:custom", (message) => this.hear(message));
    model.on("comm_live_update", () => this.lose());
    this.timer = setInterval(() => this.watch(), 250);
  }

  stop() {
    clearInterval(this.timer);
  }

  ask(kind, body = {}) {
    if (this.lost) return Promise.resolve({ fault: NOT_CONNECTED, silent: true });
    this.seq += 1;
    const { seq } = this;
    return new Promise((resolve) => {
      this.waiting.set(seq, { kind, resolve, since: performance.now() });
      try {
        this.model.send({ ...body, kind, seq, client: this.client });
      } catch {
        this.lose(); // the notebook gave up its kernel
      }
    });
  }

  hear(message) {
    this.answeredAt = new Date();
    if (this.silent) {
      this.silent = false;
      this.tell("link");
    }
    if (message.kind === "changed") {
      this.tell("changed", message);
      return;
    }
    const found = message.client === this.client ? this.waiting.get(message.seq) : null;
    if (!found) return;
    this.waiting.delete(message.seq);
    found.resolve(message);
  }

  watch() {
    const now = performance.now();
    for (const [seq, { kind, resolve, since }] of this.waiting) {
      if (!this.silent && now - since > (kind === "suggest" ? LOOKING : SILENT)) {
        this.silent = true;
        this.tell("link");
      }
      if (now - since > (kind === "suggest" ? 6 * GIVE_UP : GIVE_UP)) {
        this.waiting.delete(seq);
        resolve({ fault: "No answer: a cell is running, or the kernel has stopped. What you typed "
          + "is kept.", silent: true });
      }
    }
  }

  // The kernel is gone: nothing that was asked will be answered.
  lose() {
    this.lost = true;
    for (const { resolve } of this.waiting.values()) {
      resolve({ fault: NOT_CONNECTED, silent: true });
    }
    this.waiting.clear();
    this.tell("link");
  }

  tell(topic, message) {
    for (const listener of this.listeners) listener(topic, message);
  }

  listen(listener) {
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
