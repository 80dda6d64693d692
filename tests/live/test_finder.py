"""The finder in a page without a notebook: zones by mouse and keys, limits, stop, names."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Locator, Page, expect

from strutkit.live import searching
from tests.live.conftest import Bench
from tests.live.finders import CELL, HOSTILE, ROOF, SECONDS, finder_in, run
from tests.live.test_looks import assert_readable
from tests.plain_host import PlainHost


@pytest.fixture(scope="module")
def page(plain_host: PlainHost) -> Iterator[Page]:
    """Two finders, of the roof hatch and of a door with hostile names; short fronts of the
    trade-off, which has its own tests."""
    view = {"width": 1240, "height": 1400}
    page = plain_host.open(CELL.format(name="w", door=str(ROOF)), HOSTILE, viewport=view)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(searching, "LEVELS", 3)
        yield page
    page.context.close()
    assert plain_host.complaints() == []


@pytest.fixture(scope="module")
def roof(page: Page) -> Bench:
    return finder_in(page, 0)


def corner(view: Bench, side: str, number: int) -> Locator:
    return view.slider(f"{side} zone, corner {number}")


def corners(view: Bench, part: str) -> str:
    return view.execute(f"print([z for z in w.door.zones if z.part == {part!r}][0].corners)")


def test_corners_are_dragged_stepped_typed_added_and_taken_back(roof: Bench) -> None:
    """The roof hatch lies level: outward is x, upward is z. Corner 1 of its well: 140, -280."""
    assert corners(roof, "frame").startswith("((0.14, -0.37, -0.28)")
    roof.button("Fixed side").click()
    handle = corner(roof, "fixed side", 1)
    x, y = roof.centre(handle)
    roof.page.mouse.move(x, y)
    roof.page.mouse.down()
    roof.page.mouse.move(x - 30, y + 20, steps=4)
    roof.page.mouse.up()
    roof.at_rest()
    moved = re.match(r"\(\((-?[\d.]+), -0.37, (-?[\d.]+)\)", corners(roof, "frame"))
    assert moved is not None
    assert float(moved[1]) < 0.14
    assert float(moved[2]) < -0.28
    roof.button("Undo").click()
    roof.at_rest()
    handle.press("ArrowRight")
    handle.press("Shift+ArrowDown")
    roof.page.wait_for_timeout(800)
    roof.at_rest()
    assert corners(roof, "frame").startswith("((0.141, -0.37, -0.29)")
    handle.press("Shift+ArrowDown")
    handle.press("Escape")
    roof.at_rest()
    assert corners(roof, "frame").startswith("((0.141, -0.37, -0.29)")
    box = roof.node.get_by_label("fixed side zone, corner 1, outward, mm")
    box.fill("5 1/2 in")
    box.press("Enter")
    roof.page.wait_for_timeout(200)
    roof.at_rest()
    assert corners(roof, "frame").startswith("((0.1397, -0.37, -0.29)")
    roof.button("Add a corner").click()
    roof.at_rest()
    expect(corner(roof, "fixed side", 5)).to_be_visible()
    roof.button("Remove the corner").click()
    roof.at_rest()
    for _ in range(4):
        roof.button("Undo").click()
        roof.at_rest()
    assert corners(roof, "frame").startswith("((0.14, -0.37, -0.28)")
    roof.button("Whole door").click()


def test_a_bad_zone_is_a_sentence_and_is_not_searched(roof: Bench) -> None:
    line = roof.node.locator('.sk-zone-line[data-part="frame"]')
    roof.node.get_by_label("Corner", exact=True).select_option("frame 0")
    for axis, text in (("outward", "300"), ("down", "100")):
        box = roof.node.get_by_label(f"fixed side zone, corner 1, {axis}, mm")
        box.fill(text)
        box.press("Enter")
        roof.page.wait_for_timeout(200)
        roof.at_rest()
    expect(line).to_contain_text("Fixed side zone: its outline crosses or touches itself")
    expect(roof.button("Find mounts")).to_be_disabled()
    roof.shoot("finder-bad-zone")
    roof.button("Back to the last good zone on the fixed side").click()
    roof.at_rest()
    expect(line).to_be_hidden()
    expect(roof.button("Find mounts")).to_be_enabled()
    assert corners(roof, "frame").startswith("((0.3, -0.37, -0.28)"), "the last good zone"
    roof.button("Undo").click()
    roof.at_rest()
    assert corners(roof, "frame").startswith("((0.14, -0.37, -0.28)")
    box = roof.node.get_by_label("fixed side zone, corner 1, outward, mm")
    box.fill("lots")
    box.press("Enter")
    expect(line).to_contain_text("lots")
    box.press("Escape")
    expect(line).to_be_hidden()


def test_limits_say_where_they_come_from_and_make_the_result_old(roof: Bench) -> None:
    row = roof.node.locator('.sk-limit-row[data-name="reserve_force"]')
    expect(row).to_contain_text("starter value, common practice")
    box = row.locator("input")
    box.fill("25 kg")
    box.press("Enter")
    expect(row).to_contain_text("25 kg is a mass")
    box.fill("25 N")
    box.press("Enter")
    expect(row).to_contain_text("asked")
    roof.at_rest()
    assert roof.execute("print(w.door.limits.reserve_force)") == "25.0\n"
    roof.button("Undo").click()
    roof.at_rest()


def test_it_can_be_stopped_and_says_how_sure_it_is(roof: Bench) -> None:
    roof.execute("w.stock = tuple(read_stock(stock_path())); w.asked = {'drilling': True}")
    roof.button("Find mounts").click()
    roof.button("Stop").click()
    expect(roof.node.locator(".sk-proof")).to_contain_text("Stopped", timeout=SECONDS)
    expect(roof.button("Stop")).to_be_hidden()
    roof.execute("w.stock = tuple(some); w.asked = {}")


UNNAMED = """(root) => [...root.querySelectorAll('button, input, select, [role=slider],'
    + ' [role=button], summary')].filter((one) => one.checkVisibility()).filter((one) => {
        const name = one.getAttribute('aria-label') || one.labels?.[0]?.textContent
            || one.textContent;
        return !name.trim() || (one.tabIndex < 0) || (!one.disabled
            && !one.dataset.lmSuppressShortcuts);
    }).map((one) => one.outerHTML.slice(0, 200))"""


def test_every_control_has_a_name_and_takes_the_keyboard(roof: Bench) -> None:
    for title in ("Stock list", "More limits"):
        roof.node.locator("summary", has_text=title).click()
    assert roof.node.evaluate(UNNAMED) == []
    for title in ("Stock list", "More limits"):
        roof.node.locator("summary", has_text=title).click()


def test_hostile_names_are_shown_as_written_and_narrow(page: Page) -> None:
    view = finder_in(page, 1)
    expect(view.node.locator(".sk-name")).to_contain_text("<img src=x onerror=")
    run(view)
    assert view.page.evaluate("window.broken") is None
    assert view.node.locator("script, img, iframe, b").count() == 0
    assert_readable(view)
    view.page.set_viewport_size({"width": 640, "height": 1400})
    expect(view.node).to_have_class(re.compile(r"\bsk-narrow\b"))
    view.page.wait_for_timeout(300)
    assert view.node.evaluate("(node) => node.scrollWidth - node.clientWidth") <= 0
    assert_readable(view)
    view.shoot("finder-hostile-names")
