"""Kernel started again, a cell that runs long, a second browser tab: nothing dragged is lost."""

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.lab import VIEWPORT, Lab
from tests.live.conftest import TALL_LAB, Bench, shown
from tests.live.drawn import given_again

PLACE = "aria-valuetext"


@pytest.fixture
def bench(lab_bench: Bench) -> Bench:
    lab_bench.page.set_viewport_size(VIEWPORT)
    given_again(lab_bench)
    return lab_bench


def move_down(bench: Bench, millimetres: int) -> None:
    bench.slider("left, mount on panel").focus()
    for _ in range(millimetres):
        bench.page.keyboard.press("ArrowDown")
    bench.at_rest()


def run_for(bench: Bench, seconds: float) -> None:
    """Begin a cell that runs so long, and come back at once."""
    bench.page.evaluate(
        "(code) => { jupyterapp.shell.currentWidget.sessionContext.session.kernel"
        ".requestExecute({code}); }",
        f"import time; time.sleep({seconds})",
    )


def test_nothing_is_lost_by_a_kernel_that_is_started_again(bench: Bench, jupyterlab: Lab) -> None:
    page = bench.page
    second = second_tab(bench)
    move_down(bench, 3)
    expect(second.slider("left, mount on panel")).to_have_attribute(
        PLACE, re.compile("111 mm down")
    )
    second.at_rest()
    move_down(second, 2)
    expect(bench.slider("left, mount on panel")).to_have_attribute(PLACE, re.compile("113 mm down"))
    second.page.close()

    run_for(bench, 2.5)
    move_down(bench, 1)
    expect(bench.slider("left, mount on panel")).to_have_attribute(PLACE, re.compile("114 mm down"))
    expect(bench.line).to_have_attribute("data-state", re.compile("fails|passes|short"))

    run_for(bench, 60)
    bench.slider("left, mount on panel").focus()
    page.keyboard.press("ArrowDown")
    bench.slider("left, mount on panel").blur()
    page.evaluate("jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart()")
    expect(bench.line).to_contain_text("Not connected: the picture is from", timeout=20_000)
    expect(bench.line).to_contain_text("Run the cell again; your changes are kept.")
    expect(bench.button("Save the door file")).to_be_disabled()
    page.set_viewport_size(TALL_LAB)
    bench.shoot("light-not-connected")
    page.set_viewport_size(VIEWPORT)
    bench.slider("left, mount on panel").focus()
    page.keyboard.press("ArrowDown")
    expect(bench.slider("left, mount on panel")).to_have_attribute(PLACE, re.compile("115 mm down"))

    jupyterlab.run_all(page)
    again = shown(page)
    expect(again.line).to_contain_text("Your unsaved moves were restored.")
    expect(again.slider("left, mount on panel")).to_have_attribute(PLACE, re.compile("115 mm down"))
    again.button("Undo").click()
    again.at_rest()
    expect(again.slider("left, mount on panel")).to_have_attribute(PLACE, re.compile("108 mm down"))
    assert jupyterlab.page_errors == []


def second_tab(bench: Bench) -> Bench:
    """The same notebook and kernel in a second tab of the browser."""
    first: Any = bench.page
    first.evaluate("jupyterapp.commands.execute('docmanager:save')")
    path = first.evaluate("jupyterapp.shell.currentWidget.context.path")
    page = first.context.new_page()
    base, _, _ = first.url.partition("/workspaces/")
    page.goto(f"{base}/workspaces/second-{Path(path).stem}/tree/{path}")
    page.wait_for_function("() => window.jupyterapp !== undefined")
    page.locator(".strutkit-bench .sk-row").first.wait_for(timeout=30_000)
    return shown(page)
