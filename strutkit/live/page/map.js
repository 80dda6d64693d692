// Mount map of the handle in use: where each rule holds, where all hold, and how well.

class MapView {
  constructor(store) {
    this.store = store;
    this.node = element("div", { class: "sk-map" });
  }

  layout(width) {
    this.width = width;
    this.update();
  }

  update() {
    show(this.node.parentElement ?? this.node, Boolean(this.store.map));
  }
}
