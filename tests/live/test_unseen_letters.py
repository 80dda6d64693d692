"""A character that cannot be seen is shown as its number, by one rule on page, still and paper.

Outside check: the general categories of the Unicode Character Database as Python's `unicodedata`
has them (Cf format characters, Zl and Zp separators; UAX #44, from memory).
"""

import sys
import unicodedata
from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Page

from strutkit import Door
from strutkit.live.still import still_html
from strutkit.show.typesetting import has_letter, marked
from tests.live.conftest import store_page

UNSEEN = [
    letter
    for letter in map(chr, range(sys.maxunicode + 1))
    if unicodedata.category(letter) in ("Cf", "Zl", "Zp")
]
SEEN = "Großes Tor, e\u0301 no\u00a0break, דלת הגג, دریچه, 戸, 🚪 ≤ 5 mm\n"


def numbered(letter: str) -> str:
    return f"rear[U+{ord(letter):04X}]hatch"


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    with store_page(browser) as page:
        yield page


def test_the_known_ones_are_among_them() -> None:
    """Zero-width space and joiners, soft hyphen, byte order mark, marks of direction."""
    known = "\u200b\u200c\u200d\u00ad\ufeff\u200e\u200f\u202e\u2066\u061c\u2060\u2028\u2029"
    assert set(known) <= set(UNSEEN)


def test_paper_and_still_show_the_number_of_each(rear_hatch: Door) -> None:
    assert [marked(f"rear{one}hatch") for one in UNSEEN] == [numbered(one) for one in UNSEEN]
    assert not any(has_letter(one) for one in UNSEEN)
    assert marked(SEEN) == SEEN
    text = still_html(replace(rear_hatch, name="rear\u200bhatch"))
    assert "rear[U+200B]hatch" in text
    assert not set(text) & set(UNSEEN)


def test_the_page_shows_the_number_of_each(page: Page) -> None:
    """Whichever way a text comes into the page."""
    names = [f"rear{one}hatch" for one in UNSEEN]
    ways = {
        "element": "(name) => element('p', {}, name).textContent",
        "set": "(name) => { const p = element('p'); setText(p, name); return p.textContent; }",
        "drawing": "(name) => { const g = drawing('g'); redraw(g, [part('text', {}, name)]);"
        " return g.textContent; }",
    }
    for way, script in ways.items():
        shown = page.evaluate(f"(names) => names.map({script})", names)
        assert shown == [numbered(one) for one in UNSEEN], way
    assert page.evaluate("marked", SEEN) == SEEN
