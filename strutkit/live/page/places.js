// Places in the browser where what a view holds is kept: they outlive a new kernel and a page that
// is loaded again. All views share them, so that they stay few.

const KEPT = "strutkit.kept.";
const MOST_KEPT = 20;

// Keeps a record under a key of ours; the oldest of the others go. Quiet where there is no storage.
function keep(key, record) {
  try {
    localStorage.removeItem(key);
    const others = Object.keys(localStorage).filter((one) => one.startsWith(KEPT))
      .sort((a, b) => keptAt(b) - keptAt(a));
    for (const one of others.slice(MOST_KEPT - 1)) localStorage.removeItem(one);
    localStorage.setItem(key, JSON.stringify({ ...record, time: Date.now() }));
  } catch {
    // What was typed still lives in the kernel and in the notebook.
  }
}

function letGo(key) {
  try {
    localStorage.removeItem(key);
  } catch {
    // Nothing was kept.
  }
}

// What is kept under a key, or null.
function keptUnder(key) {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null;
  }
}

// When something was kept; 0 where what stands there tells no time.
function keptAt(key) {
  return Number(keptUnder(key)?.time) || 0;
}

function clock(time) {
  return `${time.getHours()}:${String(time.getMinutes()).padStart(2, "0")}`;
}
