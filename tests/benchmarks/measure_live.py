"""Measure the live view in JupyterLab: from the move of a hand to new curves on the screen.

    python -m tests.benchmarks.measure_live

Beside it, in the same run and page, an empty echo through the same kernel: what any widget can
reach at best on this machine. Two answers drawn in one frame count as one result of a drag; echoes
are counted singly. Prints; judges nothing.
"""

import statistics
import tempfile
from pathlib import Path
from typing import Any

import nbformat
from playwright.sync_api import Page, sync_playwright

from tests.conftest import BROWSER_SWITCHES, browser_path
from tests.lab import Lab

DOOR = Path(__file__).parents[1] / "live" / "doors" / "rear-hatch.toml"

ECHO = '''
import anywidget
class Echo(anywidget.AnyWidget):
    _esm = """
    export default { render({ model, el }) {
        el.className = "echo";
        el.textContent = "echo";
        let waiting = new Map();
        window.echoed = [];
        model.on("msg:custom", ({ seq }) => {
            const { start, resolve } = waiting.get(seq);
            el.textContent = String(seq);
            requestAnimationFrame(() => window.echoed.push(performance.now() - start));
            resolve();
        });
        let seq = 0;
        window.echoOnce = () => new Promise((resolve) => {
            seq += 1;
            waiting.set(seq, { start: performance.now(), resolve });
            model.send({ seq });
        });
    } };
    """
    def __init__(self):
        super().__init__()
        self.on_msg(lambda _, content, buffers: self.send(content))
Echo()
'''

BENCH = f"""
from strutkit import bench
w = bench({str(DOOR)!r})
w
"""

ECHO_STREAM = """async (seconds) => {
    const end = performance.now() + seconds * 1000;
    window.echoed.length = 0;
    const work = async () => {
        while (performance.now() < end) await window.echoOnce();
    };
    await Promise.all([work(), work()]);
    return window.echoed;
}"""

ECHO_ALONE = """async (count) => {
    window.echoed.length = 0;
    for (let i = 0; i < count; i += 1) {
        await window.echoOnce();
        await new Promise((resolve) => setTimeout(resolve, 60));
    }
    return window.echoed;
}"""

DRAG = """async ({ name, seconds, alone }) => {
    const root = document.querySelector('.strutkit-bench');
    const svg = root.querySelector('.sk-side');
    const handle = root.querySelector(`[aria-label='${name}']`);
    handle.scrollIntoView({ block: 'center' });
    await new Promise((resolve) => setTimeout(resolve, 300));
    const box = handle.getBoundingClientRect();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    const fire = (type, dx, dy) => svg.dispatchEvent(new PointerEvent(type, { bubbles: true,
        cancelable: true, pointerId: 1, button: 0, clientX: x + dx, clientY: y + dy }));
    svg.setPointerCapture = () => {};
    const times = [];
    const findings = [];
    const seen = new MutationObserver((changes) => {
        for (const { attributeName: name } of changes) {
            if (name === 'data-latency') times.push(Number(root.dataset.latency));
            else findings.push(Number(root.dataset.findings));
        }
    });
    seen.observe(root, { attributes: true, attributeFilter: ['data-latency', 'data-findings'] });
    fire('pointerdown', 0, 0);
    const frames = [];
    const start = performance.now();
    let step = 0;
    while (performance.now() - start < seconds * 1000) {
        step += 1;
        fire('pointermove', -3 - 3 * Math.sin(step / 9), -3 - 3 * Math.cos(step / 7));
        if (alone) await new Promise((resolve) => setTimeout(resolve, 130));
        else {
            frames.push(await new Promise(requestAnimationFrame));
            // A hand's moves come when the frame has been drawn, not amid its callbacks.
            await new Promise((resolve) => setTimeout(resolve));
        }
    }
    // Back to where it began: each round drags over the same places, all of which fit.
    fire('pointermove', 0, 0);
    fire('pointerup', 0, 0);
    seen.disconnect();
    return { times, findings, frames, seconds: (performance.now() - start) / 1000 };
}"""

SLIDE = """async (seconds) => {
    const send = WebSocket.prototype.send;
    let sent = 0;
    WebSocket.prototype.send = function (...data) { sent += 1; return send.apply(this, data); };
    const svg = document.querySelector('.strutkit-bench .sk-slider');
    const box = svg.getBoundingClientRect();
    svg.setPointerCapture = () => {};
    const fire = (type, x) => svg.dispatchEvent(new PointerEvent(type, { bubbles: true,
        cancelable: true, pointerId: 1, button: 0, clientX: box.x + x, clientY: box.y + 32 }));
    fire('pointerdown', 200);
    const before = sent;
    const frames = [];
    let busy = 0;
    const start = performance.now();
    while (performance.now() - start < seconds * 1000) {
        const at = performance.now();
        fire('pointermove', 60 + ((at - start) / 8) % 300);
        busy += performance.now() - at;
        frames.push(await new Promise(requestAnimationFrame));
    }
    const during = sent - before;
    fire('pointerup', 200);
    WebSocket.prototype.send = send;
    return { frames, during, busy: busy / frames.length };
}"""


def percentile(values: list[float], share: float) -> float:
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def row(name: str, times: list[float], rate: float | None = None) -> str:
    if not times:
        return f"{name:<44}    none"
    text = f"{name:<44}{statistics.median(times):8.1f}{percentile(times, 0.95):8.1f}"
    return text + (f"{rate:12.1f}" if rate is not None else "")


def frames_per_second(frames: list[float]) -> float:
    return 1000.0 * (len(frames) - 1) / (frames[-1] - frames[0])


def measure(page: Page, *, rounds: int = 2) -> list[str]:
    """Rows of the table."""
    name = "left, mount on frame"
    page.evaluate(ECHO_STREAM, 0.5)
    page.evaluate(DRAG, {"name": name, "seconds": 0.5, "alone": False})
    page.wait_for_timeout(800)
    rows = [f"{'':<44}{'median':>8}{'p95':>8}{'results/s':>12}", f"{'':<44}{'ms':>8}{'ms':>8}"]
    ratios: list[float] = []
    findings: list[float] = []
    shown_frames: list[float] = []
    for _ in range(rounds):
        echo: list[float] = page.evaluate(ECHO_STREAM, 1.5)
        drag: dict[str, Any] = page.evaluate(DRAG, {"name": name, "seconds": 1.5, "alone": False})
        ratios.append(statistics.median(drag["times"]) / statistics.median(echo))
        findings += drag["findings"]
        rows.append(row("empty echo, two in flight", echo, len(echo) / 1.5))
        rate = len(drag["times"]) / drag["seconds"]
        rows.append(row("drag to new numbers on screen", drag["times"], rate))
        shown_frames.append(frames_per_second(drag["frames"]))
        page.wait_for_timeout(700)
    rows.append(row("drag to its findings on screen", findings))
    alone: list[float] = page.evaluate(ECHO_ALONE, 10)
    single = page.evaluate(DRAG, {"name": name, "seconds": 1.5, "alone": True})
    rows.append(row("empty echo, one at a time", alone))
    rows.append(row("single move to new numbers on screen", single["times"]))
    page.wait_for_timeout(700)
    slid = page.evaluate(SLIDE, 1.0)
    rows.append(
        f"angle slider: {frames_per_second(slid['frames']):.0f} frames/s,"
        f" {slid['busy']:.2f} ms of page each, {slid['during']} messages sent"
    )
    rows.append(f"frames/s while dragging: {', '.join(f'{one:.0f}' for one in shown_frames)}")
    rows.append(f"drag over echo, medians: {', '.join(f'{one:.2f}' for one in ratios)}")
    return rows


def main() -> None:
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        path = browser_path(playwright)
        if path is None:
            print("No Chromium on this machine: the live view is not measured.")
            return
        browser = playwright.chromium.launch(executable_path=path, args=list(BROWSER_SWITCHES))
        cells = [nbformat.v4.new_code_cell(cell.strip()) for cell in (ECHO, BENCH)]
        notebook = Path(folder) / "measure.ipynb"
        nbformat.write(nbformat.v4.new_notebook(cells=cells), notebook)
        lab_folder = Path(folder) / "lab"
        lab_folder.mkdir()
        with Lab(browser, lab_folder) as lab, lab.notebook(notebook) as page:
            page.locator(".strutkit-bench .sk-row").first.wait_for()
            page.wait_for_timeout(1000)
            print("\n".join(measure(page)))
        browser.close()


if __name__ == "__main__":
    main()
