// What a door in the page shows: its mounts with what is being dragged, and its curves at an angle.

const FINEST_MOVE = 0.01; // a mount is elsewhere where it is so far away [mm]

class Shown {
  // Where a strut of the scene is mounted, with what is being dragged [mm].
  mounts(strut) {
    return this.mountsWith(strut, this.drawn);
  }

  // The edit that the picture shows; null: the design.
  get drawn() {
    return this.refused ? this.accepted : this.draft;
  }

  // The newest edit while it does not fit; null: it fits.
  get tried() {
    return this.refused ? this.draft ?? this.refused.edit : null;
  }

  // Mounts of a strut that lie elsewhere with an edit than they are drawn, along any of these axes.
  movedMounts(strut, edit, axes) {
    const [drawn, tried] = [this.mounts(strut), this.mountsWith(strut, edit)];
    return ["frame", "panel"].filter((mount) =>
      axes.some((axis) => Math.abs(drawn[mount][axis] - tried[mount][axis]) > FINEST_MOVE));
  }

  mountsWith(strut, edit) {
    const at = { frame: strut.frame, panel: strut.panel };
    if (edit && edit.place === strut.place) {
      const twin = this.scene.struts.find((one) => one.place === strut.place) !== strut;
      for (const mount of ["frame", "panel"]) {
        if (!edit[mount]) continue;
        const moved = twin ? this.mirrored(edit[mount]) : edit[mount];
        at[mount] = edit.axes ? at[mount].map((own, axis) =>
          (edit.axes.includes(axis) ? moved[axis] : own)) : moved;
      }
    }
    return at;
  }

  mirrored([outward, upward, along]) {
    return [outward, upward, -along];
  }

  strutAt(place) {
    return this.scene.struts.find((one) => one.place === place) ?? null;
  }

  // The condition that the curves are of.
  get condition() {
    const { conditions } = this.scene;
    return conditions.find((one) => one.name === this.curves?.condition) ?? conditions[0];
  }

  // The strut that this condition takes away.
  get lostStrut() {
    return this.scene.struts[this.condition.missing ?? -1] ?? null;
  }

  get end() {
    return this.curves ? this.curves.end : 0;
  }

  get shownAngle() {
    return Math.min(Math.max(this.angle, 0), this.end || this.angle);
  }

  // An array of the curves at an angle, by straight interpolation of the table.
  at(name, angle = this.shownAngle, row = 0) {
    const { arrays } = this.curves;
    const grid = arrays.angle[0];
    const values = arrays[name][row];
    let high = 1;
    let low = 0;
    for (let top = grid.length - 1; top - low > 1;) {
      high = (low + top) >> 1;
      if (grid[high] <= angle) low = high;
      else top = high;
    }
    high = Math.min(low + 1, grid.length - 1);
    const span = grid[high] - grid[low] || 1;
    const share = Math.min(Math.max((angle - grid[low]) / span, 0), 1);
    return values[low] + share * (values[high] - values[low]);
  }

  // A strut is told to Python by its place, its name and the door it is of: another may have taken
  // that place.
  whoseAt(place) {
    return { strut: this.nameAt(place), door: this.scene.key };
  }

  nameAt(place) {
    return this.strutAt(place)?.name ?? null;
  }

  lay(edit) {
    const laid = this.scene.struts.map((one) => this.mountsWith(one, edit));
    this.scene.struts.forEach((one, index) => Object.assign(one, laid[index],
      edit?.place === one.place && edit.rating !== undefined ? { rating: edit.rating } : {}));
  }
}
