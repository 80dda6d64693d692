// Whether what is shown belongs to an earlier place than the one drawn, for so long that it is said.

class Late {
  constructor(wait) {
    this.wait = wait; // [ms]
    this.since = null;
    this.shown = false;
  }

  begin() {
    this.since ??= performance.now();
  }

  // since: when something moved on from what has come; null where it is of the newest place.
  end(since = null) {
    this.since = since;
  }

  // Whether it changed what is to be said.
  turned(now) {
    const late = this.since !== null && now - this.since > this.wait;
    if (late === this.shown) return false;
    this.shown = late;
    return true;
  }
}
