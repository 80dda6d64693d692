// Pointer drags in one place: mouse, pen and touch alike, with x and y in the node's own pixels.

const HIT = 24;

// actions.start(x, y, event) says whether it takes the drag; then move(x, y, event), end(event),
// and cancel() on Escape or when the pointer is taken away.
function dragging(node, actions) {
  let pointer = null;
  let box = null;
  // Where the node lies is read once, and again when something scrolls: what is drawn above it
  // during a drag must not move what is held.
  const measure = () => { box = node.getBoundingClientRect(); };
  const place = (event) => [event.clientX - box.left, event.clientY - box.top];
  const release = () => {
    pointer = null;
    window.removeEventListener("scroll", measure, true);
    window.removeEventListener("keydown", escape, true);
  };
  const stop = (event, name) => {
    if (pointer === null || event.pointerId !== pointer) return;
    release();
    actions[name]?.(event);
  };
  function escape(event) {
    if (event.key !== "Escape" || !actions.cancel) return;
    event.preventDefault();
    event.stopPropagation();
    release();
    actions.cancel(event);
  }
  node.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || pointer !== null) return;
    measure();
    if (!actions.start(...place(event), event)) return;
    pointer = event.pointerId;
    window.addEventListener("scroll", measure, true);
    window.addEventListener("keydown", escape, true);
    node.setPointerCapture(pointer);
    // The keys that follow a drag are the view's, not the notebook's.
    if (!node.contains(document.activeElement)) {
      node.closest(".strutkit-bench")?.focus({ preventScroll: true });
    }
    event.preventDefault();
  });
  node.addEventListener("pointermove", (event) => {
    if (event.pointerId === pointer) actions.move(...place(event), event);
  });
  node.addEventListener("pointerup", (event) => stop(event, "end"));
  node.addEventListener("pointercancel", (event) => stop(event, actions.cancel ? "cancel" : "end"));
  node.addEventListener("lostpointercapture", (event) => stop(event, "end"));
  // A finger on something to take hold of must not scroll the notebook.
  node.addEventListener("touchstart", (event) => {
    const [touch] = event.changedTouches;
    measure();
    if (actions.holds?.(touch.clientX - box.left, touch.clientY - box.top) ?? true) {
      event.preventDefault();
    }
  }, { passive: false });
}

// The handle nearest to a place, within reach; the one in use wins a tie.
function nearest(handles, x, y) {
  let best = null;
  for (const handle of handles) {
    const distance = Math.hypot(handle.x - x, handle.y - y) - (handle.selected ? 0.5 : 0);
    if (distance <= HIT && (best === null || distance < best.distance)) best = { handle, distance };
  }
  return best && best.handle;
}
