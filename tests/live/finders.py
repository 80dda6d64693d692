"""Finders in a page: the cells that show two of them, and a search in one."""

from playwright.sync_api import Page

from strutkit.data import door_path
from tests.live.conftest import DOORS, Bench

ROOF = door_path("roof-hatch")
CELL = """from pathlib import Path
from strutkit import finder, read_door, read_stock
from strutkit.data import stock_path
some = [one for one in read_stock(stock_path()) if one.name.startswith('8-18-180')][:2]
{name} = finder(read_door(Path({door!r})), stock=some)
{name}"""
HOSTILE = f"finder(read_door(Path({str(DOORS / 'hostile-names.toml')!r})), stock=some)"
SECONDS = 60_000


def finder_in(page: Page, index: int) -> Bench:
    found = Bench(page, page.locator(".strutkit-finder").nth(index))
    found.node.get_by_role("button", name="Find mounts").wait_for()
    found.at_rest()
    return found


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
