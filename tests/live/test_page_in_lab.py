"""The live view in a real JupyterLab: hands reach it, the notebook keeps out of the way."""

import math
import re

import pytest
from playwright.sync_api import expect

from strutkit import Door, sweep
from tests.lab import VIEWPORT, Lab
from tests.live.conftest import Bench, shown
from tests.live.drawn import (
    assert_drawn_as_swept,
    drag,
    given_again,
    moved,
    quick_drag,
    shown_place,
)


@pytest.fixture
def bench(lab_bench: Bench) -> Bench:
    return lab_bench


@pytest.fixture(autouse=True)
def fresh(bench: Bench) -> None:
    bench.page.set_viewport_size(VIEWPORT)
    given_again(bench)


def test_dragging_a_mount_draws_the_sweep_of_the_new_place(bench: Bench, rear_hatch: Door) -> None:
    handle = bench.slider("left, mount on frame")
    drag(bench, handle, right=-6, down=-4)
    bench.page.wait_for_timeout(400)
    outward, upward, along = shown_place(handle)
    assert outward < -95
    assert upward > -710
    place = (outward / 1e3, along / 1e3, upward / 1e3)
    assert_drawn_as_swept(bench, moved(rear_hatch, frame_mount=place))
    assert bench.execute("print(w.door.struts[0].frame_mount)") == "(-0.088, -0.61, -0.716)\n"
    bench.page.mouse.up()
    bench.at_rest()
    assert bench.execute("print(w.door.struts[0].frame_mount)") == f"{place}\n"
    assert_drawn_as_swept(bench, moved(rear_hatch, frame_mount=place))


def test_a_quick_drag_rests_at_the_door_of_the_cells(bench: Bench) -> None:
    quick_drag(bench, (20, 20, 20, 0))


def test_keys_move_a_mount_and_never_reach_the_notebook(bench: Bench, rear_hatch: Door) -> None:
    cells = bench.page.locator(".jp-Cell").count()
    handle = bench.slider("left, mount on panel")
    handle.focus()
    for key in ("ArrowDown", "Shift+ArrowDown", "ArrowLeft", "a", "b", "d", "d", "x", "Enter"):
        bench.page.keyboard.press(key)
    bench.at_rest()
    place = (-0.025, -0.61, -0.119)
    expect(handle).to_have_attribute("aria-valuetext", "25 mm inward, 119 mm down, 610 mm left")
    assert bench.execute("print(w.door.struts[0].panel_mount, len(w._past))").startswith(f"{place}")
    assert_drawn_as_swept(bench, moved(rear_hatch, panel_mount=place))
    assert bench.page.locator(".jp-Cell").count() == cells
    expect(handle).to_be_focused()


def test_a_right_click_in_a_box_leaves_the_notebook_alone(bench: Bench) -> None:
    """The notebook's menu of cells takes the keys: it comes on the view's own ground alone, where
    a second view is opened by it."""
    menu = bench.page.locator(".lm-Menu:visible")
    box = bench.node.get_by_label("left, mount on panel, inward, mm")
    box.click(button="right")
    bench.slider("left, mount on panel").click(button="right")
    expect(menu).to_have_count(0)
    bench.node.get_by_role("heading", name="Findings").click(button="right")
    expect(menu).to_have_count(1)
    bench.page.keyboard.press("Escape")


def test_keys_after_a_drag_in_a_chart_never_reach_the_notebook(bench: Bench) -> None:
    cells = bench.page.locator(".jp-Cell").count()
    for part in (".sk-moment", ".sk-along"):
        bench.page.locator(".jp-InputPrompt").first.click()
        drag(bench, bench.node.locator(part), right=30, down=0)
        bench.page.mouse.up()
        for key in ("a", "b", "d", "d", "x"):
            bench.page.keyboard.press(key)
    bench.at_rest()
    assert bench.page.locator(".jp-Cell").count() == cells
    bench.node.get_by_role("heading", name="Findings").click()
    bench.page.keyboard.press("b")
    assert bench.page.locator(".jp-Cell").count() == cells


def test_angle_needs_no_round_trip(bench: Bench, rear_hatch: Door) -> None:
    """The slider turns the panel and reads the tables while Python is not asked at all."""
    bench.page.evaluate(
        "() => { window.sent = 0; const send = WebSocket.prototype.send;"
        " WebSocket.prototype.send = function (...data) { window.sent += 1;"
        " return send.apply(this, data); }; }"
    )
    slider = bench.slider("Opening angle")
    x, y = bench.centre(slider)
    bench.page.mouse.move(x, y)
    bench.page.mouse.down()
    before = bench.page.evaluate("window.sent")
    for step in range(20):
        bench.page.mouse.move(x - 3 * step, y)
    assert bench.page.evaluate("window.sent") == before
    angle = float(slider.get_attribute("aria-valuenow") or "nan")
    bench.page.mouse.up()
    bench.at_rest()
    kept = float(bench.execute("print(w.angle)"))
    assert math.degrees(kept) == pytest.approx(angle, abs=0.51)
    swept = sweep(rear_hatch, angles=[kept])
    figures = bench.node.locator(".sk-moment text.sk-label.sk-struts")
    expect(figures.filter(has_text=f"{swept.strut_moment.sum():.0f}")).to_have_count(1)


def test_two_views_of_one_widget_are_both_live(bench: Bench, jupyterlab: Lab) -> None:
    with jupyterlab.cell(bench.page, "w"):
        second = shown(bench.page, 1)
        handle = second.slider("left, mount on panel")
        handle.scroll_into_view_if_needed()
        handle.focus()
        bench.page.keyboard.press("ArrowDown")
        second.at_rest()
        for one in (bench, second):
            expect(one.slider("left, mount on panel")).to_have_attribute(
                "aria-valuetext", re.compile("109 mm down")
            )


def test_setting_the_door_from_a_cell_is_one_step_of_undo(bench: Bench) -> None:
    bench.execute("from dataclasses import replace; w.door = replace(w.door, name='Other name')")
    expect(bench.node.locator(".sk-name span")).to_have_text("Other name")
    bench.at_rest()
    bench.button("Undo").click()
    expect(bench.node.locator(".sk-name span")).to_have_text("Market van, rear hatch")


def test_the_page_threw_nothing(bench: Bench, jupyterlab: Lab) -> None:
    assert jupyterlab.page_errors == []
