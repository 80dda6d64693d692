"""A finger on the view: what it takes hold of moves and the notebook stays; beside it, it scrolls.

Touches enter the browser itself, which decides what scrolls, and not the page's own events.
"""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Locator, expect

from strutkit.data import door_path
from tests.lab import Lab
from tests.live.conftest import Bench
from tests.live.drawn import given_again
from tests.live.test_looks import set_theme

SCROLLED = """() => [...document.querySelectorAll('*')].reduce((sum, one) => sum + one.scrollTop, 0)
    + window.scrollY"""


FINDER = f"from strutkit import finder\nf = finder({str(door_path('roof-hatch'))!r})\nf"


@pytest.fixture(scope="module")
def bench(lab_bench: Bench) -> Iterator[Bench]:
    """A bench on a screen that takes fingers until the last test is over."""
    bench = lab_bench
    bench.page.set_viewport_size({"width": 1100, "height": 700})
    given_again(bench)
    session = bench.page.context.new_cdp_session(bench.page)
    touched = "Emulation.setTouchEmulationEnabled"
    session.send(touched, {"enabled": True, "maxTouchPoints": 1})
    assert bench.page.evaluate("navigator.maxTouchPoints === 1")
    yield bench
    session.send(touched, {"enabled": False})
    session.detach()


def finger(bench: Bench, x: float, y: float, down: float) -> float:
    """Draw a finger from a place so far down the screen; how far the notebook scrolled [px]."""
    page = bench.page
    session = page.context.new_cdp_session(page)
    before = page.evaluate(SCROLLED)

    def touch(kind: str, *points: dict[str, float]) -> None:
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [*points]})
        page.wait_for_timeout(30)

    touch("touchStart", {"x": x, "y": y})
    for step in range(1, 11):
        touch("touchMove", {"x": x, "y": y + down * step / 10})
    touch("touchEnd")
    page.wait_for_timeout(300)
    session.detach()
    return abs(float(page.evaluate(SCROLLED)) - float(before))


def in_the_middle(bench: Bench, node: Locator) -> tuple[float, float]:
    """The node's place, with room to scroll both ways."""
    node.evaluate("(node) => node.scrollIntoView({ block: 'center' })")
    bench.page.wait_for_timeout(200)
    return bench.centre(node)


@pytest.mark.parametrize("name", ["left, mount on panel", "left, mount on frame"])
def test_a_finger_moves_a_mount_and_not_the_notebook(bench: Bench, name: str) -> None:
    handle = bench.slider(name)
    x, y = in_the_middle(bench, handle)
    before = handle.get_attribute("aria-valuetext")
    assert finger(bench, x, y, -12) == 0.0
    bench.at_rest()
    assert handle.get_attribute("aria-valuetext") != before
    assert finger(bench, *bench.centre(handle), 80) == 0.0
    bench.execute("w.reset()")
    bench.at_rest()


@pytest.mark.parametrize("name", ["Opening angle", "Rating"])
def test_a_finger_on_a_slider_does_not_scroll(bench: Bench, name: str) -> None:
    assert finger(bench, *in_the_middle(bench, bench.slider(name)), 80) == 0.0


def test_a_finger_beside_the_handles_scrolls_the_notebook(bench: Bench) -> None:
    x, y = in_the_middle(bench, bench.node.locator(".sk-findings, [aria-label='Findings']").first)
    assert finger(bench, x, y, -120) > 20.0


def test_a_finger_moves_a_corner_and_not_the_notebook(bench: Bench, jupyterlab: Lab) -> None:
    with jupyterlab.cell(bench.page, FINDER):
        move_a_corner(bench)


def move_a_corner(bench: Bench) -> None:
    view = Bench(bench.page, bench.page.locator(".strutkit-finder"))
    view.button("Fixed side").click()
    corners = "print([one.corners for one in f.door.zones if one.part == 'frame'])"
    before = view.execute(corners)
    corner = view.slider("fixed side zone, corner 1")
    assert finger(view, *in_the_middle(view, corner), 60) == 0.0
    view.at_rest()
    assert view.execute(corners) != before


@pytest.fixture
def narrow(bench: Bench) -> Bench:
    """A narrow column, as the door file has the door."""
    bench.execute("w.reset()")
    bench.at_rest()
    bench.page.set_viewport_size({"width": 560, "height": 3000})
    bench.page.evaluate("jupyterapp.commands.execute('application:toggle-left-area')")
    expect(bench.node).to_have_class(re.compile("sk-narrow"))
    return bench


def test_narrow_and_touched(narrow: Bench) -> None:
    bench = narrow
    bench.page.set_viewport_size({"width": 480, "height": 3000})
    bench.page.wait_for_function(
        "(node) => node.clientWidth < 400 && [node, node.querySelector('.sk-bar')]"
        ".every((one) => one.scrollWidth <= one.clientWidth)",
        arg=bench.node.element_handle(),
    )
    bench.node.evaluate("(node) => node.scrollIntoView()")
    expect(bench.button("inch")).to_be_in_viewport()
    bench.page.set_viewport_size({"width": 560, "height": 3000})
    bench.page.wait_for_function(
        "(node) => node.clientWidth > 400", arg=bench.node.element_handle()
    )
    assert bench.node.evaluate("(node) => node.scrollWidth - node.clientWidth") <= 0
    expect(bench.node.locator(".sk-more-rows")).to_have_text("7 more, all pass")
    bench.shoot("light-narrow-touch")
    set_theme(bench.page, "JupyterLab Dark")
    bench.shoot("dark-narrow-touch")
    set_theme(bench.page, "JupyterLab Light")
    handle = bench.slider("left, mount on frame")
    place = handle.get_attribute("aria-valuetext")
    assert finger(bench, *in_the_middle(bench, handle), -12) == 0.0
    bench.at_rest()
    assert handle.get_attribute("aria-valuetext") != place
