"""The finder in a real JupyterLab: zones by mouse and keys, run, stop, adopt, save, looks."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from strutkit import find_mounts, read_door, read_stock
from strutkit.data import door_path, stock_path
from tests.lab import Lab
from tests.live.conftest import DOORS, Bench, write_notebook
from tests.live.test_looks import assert_readable, set_theme

ROOF = door_path("roof-hatch")
CELL = """from pathlib import Path
from strutkit import finder, read_door, read_stock
from strutkit.data import stock_path
some = [one for one in read_stock(stock_path()) if one.name.startswith('8-18-180')][:2]
w = finder(read_door(Path({door!r})), stock=some)
w"""
HOSTILE = f"finder(read_door(Path({str(DOORS / 'hostile-names.toml')!r})), stock=some)"
SECONDS = 60_000


@pytest.fixture(scope="module")
def page(jupyterlab: Lab, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A notebook with two finders, of the roof hatch and of a door with hostile names."""
    path = tmp_path_factory.mktemp("finder") / "finder.ipynb"
    write_notebook(path, CELL.format(door=str(ROOF)), HOSTILE)
    with jupyterlab.notebook(path, viewport={"width": 1440, "height": 2600}) as opened:
        yield opened


def finder_in(page: Page, index: int) -> Bench:
    found = Bench(page, page.locator(".strutkit-finder").nth(index))
    found.node.get_by_role("button", name="Find mounts").wait_for()
    found.at_rest()
    return found


@pytest.fixture(scope="module")
def roof(page: Page) -> Bench:
    return finder_in(page, 0)


def run(view: Bench) -> None:
    """Search for a pair with mounts drilled exactly: the rest takes longer."""
    view.node.get_by_label("with drilling error", exact=False).uncheck()
    view.button("a mirrored pair").click()
    view.at_rest()
    view.button("Find mounts").click()
    view.node.locator(".sk-trade-point").first.wait_for(timeout=SECONDS)
    view.page.wait_for_function(
        "(node) => node.dataset.rest === 'true'", arg=view.node.element_handle(), timeout=SECONDS
    )


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


def test_from_a_search_to_a_saved_door(roof: Bench, jupyterlab: Lab, tmp_path: Path) -> None:
    run(roof)
    stock = tuple(one for one in read_stock(stock_path()) if one.name.startswith("8-18-180"))
    plain = find_mounts(read_door(ROOF), stock=stock[:2], counts=(2,))
    words = roof.line.text_content() or ""
    proved = re.search(r"Proved: no layout .* beats ([\d.]+) N by more than 0.1 %", words)
    assert proved is not None
    assert float(proved[1]) == pytest.approx(plain.value, abs=0.2)
    first = roof.node.locator(".sk-found tbody tr").first
    best = next(one for one in plain.candidates if not one.failures)
    expect(first).to_contain_text(best.strut.name)
    expect(first).to_contain_text("of 20 N asked")

    point = roof.node.locator(".sk-trade-point[role=button]").nth(1)
    chosen = point.get_attribute("data-id")
    point.focus()
    roof.page.keyboard.press("Enter")
    expect(roof.line).to_contain_text("Adopted:")
    expect(roof.line).to_contain_text("run bench(w.door) in a cell")
    roof.at_rest()
    expect(roof.node.locator(".sk-next")).to_contain_text("In the door now:")
    put = "from strutkit import bench\nprint(bench(w.door).door.struts == w.door.struts)"
    assert roof.execute(put) == "True\n"
    same = f"print(w.door.struts == w.candidates()[{chosen!r}].door.struts)"
    assert roof.execute(same) == "True\n"
    x, y = roof.centre(roof.node.locator(".sk-trade-point[role=button]").first)
    roof.page.mouse.click(x, y)
    roof.at_rest()
    assert roof.execute("print(w.door.struts == w.candidates()['trade 0'].door.struts)") == "True\n"
    roof.shoot("finder-adopted-wide")

    for kind in ("new.toml", "other.toml"):
        (tmp_path / "other.toml").write_text("kept")
        roof.button("Save").click()
        path = roof.node.get_by_role("textbox", name="Save the door file as")
        path.fill(str(tmp_path / kind))
        path.press("Enter")
        if kind == "other.toml":
            expect(roof.line).to_contain_text("other.toml is there already.")
            assert (tmp_path / kind).read_text() == "kept"
            roof.button("Replace it").click()
        expect(roof.line).to_contain_text(f"Saved {kind}.")
        roof.at_rest()
    equal = f"print(read_door(Path({str(tmp_path / 'new.toml')!r})) == w.door)"
    assert roof.execute(equal) == "True\n"
    assert jupyterlab.page_errors == []


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


def test_hostile_names_both_themes_and_narrow(page: Page, jupyterlab: Lab) -> None:
    view = finder_in(page, 1)
    expect(view.node.locator(".sk-name")).to_contain_text("<img src=x onerror=")
    run(view)
    assert view.page.evaluate("window.broken") is None
    assert view.node.locator("script, img, iframe, b").count() == 0
    assert view.page.locator(".strutkit-still script, .strutkit-still img").count() == 0
    for theme, name in (("JupyterLab Light", "light"), ("JupyterLab Dark", "dark")):
        set_theme(view.page, theme)
        view.page.set_viewport_size({"width": 1440, "height": 2600})
        view.page.wait_for_timeout(300)
        assert_readable(view)
        view.shoot(f"finder-{name}-wide")
        view.page.set_viewport_size({"width": 800, "height": 3400})
        expect(view.node).to_have_class(re.compile(r"\bsk-narrow\b"))
        view.page.wait_for_timeout(300)
        assert view.node.evaluate("(node) => node.scrollWidth - node.clientWidth") <= 0
        assert_readable(view)
        view.shoot(f"finder-{name}-narrow")
    set_theme(view.page, "JupyterLab Light")
    assert jupyterlab.page_errors == []
