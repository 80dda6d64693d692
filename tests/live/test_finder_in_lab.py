"""The finder in a real JupyterLab: from a search to a saved door, both themes, hostile names."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from strutkit import find_mounts, read_door, read_stock
from strutkit.data import stock_path
from tests.lab import Lab
from tests.live.conftest import Bench
from tests.live.finders import CELL, HOSTILE, ROOF, finder_in, run
from tests.live.test_looks import assert_readable, set_theme


@pytest.fixture(scope="module")
def page(jupyterlab: Lab, lab_bench: Bench) -> Iterator[Page]:
    """A notebook with two finders below the bench, of the roof hatch and of hostile names; short
    fronts of the trade-off, which has its own tests."""
    page = lab_bench.page
    few = "from strutkit.live import searching\nsearching.LEVELS = 3\n"
    cell = few + CELL.format(name="f", door=str(ROOF))
    with jupyterlab.cell(page, cell), jupyterlab.cell(page, HOSTILE):
        yield page


@pytest.fixture(scope="module")
def roof(page: Page) -> Bench:
    return finder_in(page, 0)


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
    expect(roof.line).to_contain_text("run bench(f.door) in a cell")
    roof.at_rest()
    expect(roof.node.locator(".sk-next")).to_contain_text("In the door now:")
    put = "from strutkit import bench\nprint(bench(f.door).door.struts == f.door.struts)"
    assert roof.execute(put) == "True\n"
    same = f"print(f.door.struts == f.candidates()[{chosen!r}].door.struts)"
    assert roof.execute(same) == "True\n"
    x, y = roof.centre(roof.node.locator(".sk-trade-point[role=button]").first)
    roof.page.mouse.click(x, y)
    roof.at_rest()
    assert roof.execute("print(f.door.struts == f.candidates()['trade 0'].door.struts)") == "True\n"
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
    equal = f"print(read_door(Path({str(tmp_path / 'new.toml')!r})) == f.door)"
    assert roof.execute(equal) == "True\n"
    look(roof)
    assert jupyterlab.page_errors == []


def look(view: Bench) -> None:
    """Every text can be read in both themes, wide and narrow."""
    for theme, name, width in (("Light", "light-wide", 1440), ("Dark", "dark-narrow", 800)):
        set_theme(view.page, f"JupyterLab {theme}")
        view.page.set_viewport_size({"width": width, "height": 3400 - width})
        view.page.wait_for_timeout(300)
        classes = view.node.get_attribute("class") or ""
        assert ("sk-narrow" in classes) == (width < 1000)
        assert view.node.evaluate("(node) => node.scrollWidth - node.clientWidth") <= 0
        assert_readable(view)
        view.shoot(f"finder-{name}")
    set_theme(view.page, "JupyterLab Light")


def test_hostile_names_are_shown_as_written(page: Page, jupyterlab: Lab) -> None:
    view = finder_in(page, 1)
    expect(view.node.locator(".sk-name")).to_contain_text("<img src=x onerror=")
    assert view.page.evaluate("window.broken") is None
    assert view.node.locator("script, img, iframe, b").count() == 0
    still = view.page.locator(".strutkit-still", has_text="<img src=x onerror=")
    assert still.count() == 1
    assert still.locator("script, img").count() == 0
    assert jupyterlab.page_errors == []
