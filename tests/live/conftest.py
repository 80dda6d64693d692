"""What the tests of the live view share: doors, and a bench in a page, in JupyterLab or without."""

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import nbformat
import pytest
from playwright.sync_api import Browser, Locator, Page, ViewportSize

from strutkit import Door, read_door
from strutkit.live import page_files
from tests.lab import Lab
from tests.plain_host import PlainHost

HERE = Path(__file__).parent
DOORS = HERE / "doors"
WIDE: ViewportSize = {"width": 1240, "height": 1000}
TALL_LAB: ViewportSize = {"width": 1440, "height": 1900}
ARTEFACTS = HERE / "artefacts"

MODEL = """
window.sent = [];
window.traits = { design: 'd', origin: 'o', base: 'o', session: 's', kept_as: 'k',
    condition: 'nominal', unit: 'mm', angle: 0 };
window.hears = {};
window.model = {
    get: (name) => window.traits[name], set: (name, value) => { window.traits[name] = value; },
    save_changes: () => {}, on: (name, hear) => { window.hears[name] = hear; }, off: () => {},
    send: (content) => window.sent.push(content),
};
window.store = new Store(window.model);
const strut = (place, name) => ({ place, name, frame: [place, 0, 0], panel: [place, 9, 0] });
store.scene = { key: 'k', struts: [strut(0, 'one'), strut(1, 'two')],
    words: [['outward', 'inward'], ['up', 'down'], ['right', 'left']] };
store.state = { unsaved: false };
window.answer = (asked, more = {}) => window.store.hear({ client: asked.client, seq: asked.seq,
    kind: asked.kind, figures: { end: 1, seq: asked.seq }, layout: [['angle', 1, 2]], ...more },
    [new Float32Array([0, 1]).buffer]);
window.streamed = () => window.sent.filter((one) => one.kind === 'curves');
window.commits = () => sent.filter((one) => one.kind === 'commit').map((one) => one.edit);
window.frame = () => new Promise((resolve) => requestAnimationFrame(() =>
    requestAnimationFrame(resolve)));
"""
"""The store of the view beside a model that only writes down what is sent."""

BOXES = """
    const boxes = new Boxes(store);
    document.body.replaceChildren(boxes.node);
    store.listen((topic) => {
        if (['select', 'draft', 'untaken'].includes(topic)) boxes.update();
        if (topic === 'scene') boxes.rebuild();
    });
    store.scene.struts[0].panel = [-35, 9, 0];
    boxes.rebuild();
    const [inward, up] = boxes.boxes.map((one) => one.input);
    const type = (input, text) => {
        input.value = text;
        input.dispatchEvent(new Event('input'));
        input.dispatchEvent(new Event('blur'));
    };
    const key = (input, name) => {
        input.focus();
        input.dispatchEvent(new KeyboardEvent('keydown', { key: name, cancelable: true }));
    };
    const asked = (kind) => sent.filter((one) => one.kind === kind);
    const answered = async (one, more = {}) => {
        answer(one, { layout: null, changed: true, ...more });
        await frame();
    };
    const drawn = async (panel) => {
        store.scene.struts[0].panel = panel;
        if (!store.dragging) store.settle();
        store.tell('scene');
        await frame();
    };
"""
"""Number boxes beside it, and hands that type, press keys and answer for Python."""

CENTRE = """(node) => {
    node.scrollIntoViewIfNeeded();
    const box = node.getBoundingClientRect();
    return [box.x + box.width / 2, box.y + box.height / 2];
}"""


@pytest.fixture
def rear_hatch() -> Door:
    return read_door(DOORS / "rear-hatch.toml")


@contextlib.contextmanager
def store_page(browser: Browser) -> Iterator[Page]:
    """A page with the store of the view alone, without a notebook."""
    context = browser.new_context()
    page = context.new_page()
    add_store(page)
    yield page
    context.close()


def add_store(page: Page) -> None:
    page.add_script_tag(content=page_files.module().replace("export default", "window.bench ="))
    page.add_script_tag(content=MODEL)


@pytest.fixture(scope="session")
def bare_page(browser: Browser) -> Iterator[Page]:
    """A page for one test after the other: to open one costs ten times a test of the store."""
    context = browser.new_context()
    page = context.new_page()
    page.route("http://bench.test/", lambda route: route.fulfill(body="<!doctype html>"))
    yield page
    context.close()


@pytest.fixture
def page(bare_page: Page) -> Page:
    """The store alone, in a document of its own that may keep things and has kept nothing."""
    bare_page.goto("http://bench.test/")
    bare_page.evaluate("localStorage.clear()")
    add_store(bare_page)
    return bare_page


@pytest.fixture(scope="session")
def shared_store(browser: Browser) -> Iterator[Page]:
    with store_page(browser) as page:
        yield page


@pytest.fixture
def fresh_store(shared_store: Page) -> Page:
    """A store anew in one page for all who ask: nothing may be kept in the browser there."""
    shared_store.evaluate("store.stop(); document.body.replaceChildren()")
    shared_store.evaluate(MODEL)
    return shared_store


def run(page: Page, code: str) -> Any:
    """What the code gives in that page."""
    return page.evaluate(f"async () => {{ {code} }}")


@dataclass
class Bench:
    """A bench in a page, and how a person works it."""

    page: Page
    node: Locator

    def slider(self, name: str) -> Locator:
        return self.node.get_by_role("slider", name=name, exact=True)

    def button(self, name: str) -> Locator:
        return self.node.get_by_role("button", name=name, exact=True)

    @property
    def line(self) -> Locator:
        """The message line."""
        return self.node.locator(".sk-message")

    def centre(self, node: Locator) -> tuple[float, float]:
        """Where on the screen the node is, once in view; one reading, as it may be redrawn."""
        x, y = node.evaluate(CENTRE)
        return float(x), float(y)

    def at_rest(self) -> None:
        """Wait until all that was asked of Python is answered and drawn."""
        self.page.wait_for_function(
            "(node) => node.dataset.rest === 'true'", arg=self.node.element_handle(), polling=50
        )

    def execute(self, code: str) -> str:
        """What a cell of this code prints."""
        return str(self.page.evaluate("(code) => execute(code)", code))

    def shoot(self, name: str) -> Path:
        """A picture of the view, kept for people to look at."""
        path = ARTEFACTS / f"{name}.png"
        self.node.screenshot(path=path)
        assert path.stat().st_size > 10_000
        return path


def write_notebook(path: Path, *cells: str) -> Path:
    made = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells])
    nbformat.write(made, path)
    return path


def bench_cell(door: Path) -> str:
    return (
        f"from strutkit import read_door\nfrom strutkit.live.bench import bench\n"
        f"w = bench(read_door({str(door)!r}))\nw"
    )


def shown(page: Page, index: int = 0) -> Bench:
    node = page.locator(".strutkit-bench").nth(index)
    node.locator(".sk-row").first.wait_for()
    bench = Bench(page, node)
    bench.at_rest()
    return bench


@pytest.fixture(scope="session")
def lab_bench(jupyterlab: Lab, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """A bench of the rear hatch in one notebook for all; what else a test shows there, it shows
    in a `jupyterlab.cell`."""
    path = tmp_path_factory.mktemp("bench") / "bench.ipynb"
    write_notebook(path, bench_cell(DOORS / "rear-hatch.toml"))
    with jupyterlab.notebook(path) as page:
        yield shown(page)


@pytest.fixture(scope="module")
def open_plain_bench(plain_host: PlainHost) -> Iterator[Any]:
    """Opens a page without a notebook with a bench of a door file, as `open_bench` does."""
    pages: list[Page] = []

    def opened(door: Path, *more_cells: str) -> Bench:
        page = plain_host.open(bench_cell(door), *more_cells, viewport=WIDE)
        pages.append(page)
        return shown(page)

    yield opened
    for page in pages:
        page.context.close()
    assert plain_host.complaints() == []
