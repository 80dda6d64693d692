"""Every paper to look at, and page 1 with all that the door needs."""

import re
import tempfile
from contextlib import closing
from dataclasses import replace
from functools import cache
from pathlib import Path

import pypdfium2
import pytest

from strutkit import Door, read_door, save_card, save_sheet, sheet_pages
from strutkit.data import door_names, door_path
from strutkit.errors import RecordError
from strutkit.show.paper import paper_pages
from strutkit.show.sheet_figures import buy
from tests.show.pdf_reader import all_text, check_letters, page_count, page_texts, pages
from tests.show.picture_doors import unlike_hatch, upright_door
from tests.show.test_paper import check_hinge_points

ARTEFACTS = Path(__file__).parent / "artefacts"
NEEDED = (
    "Buy",
    "What to expect",
    "on the stop",
    "Hinge, stop and mounts",
    "Where to drill",
    "Cautions",
    "along the hinge line",
    "Tape check",
    "As built",
)
KINDS = ("sheet", "drill template", "card")
PAGES = [
    *((name, "a4", "mm") for name in door_names()),
    ("rear-hatch", "letter", "in"),
    ("cabin-door", "letter", "in"),
]


@pytest.mark.parametrize(("name", "page", "unit"), PAGES)
def test_page_1_holds_all_that_is_needed_at_the_door(name, page, unit, papers) -> None:
    """What the door asks for stands on one page; every paper is kept for those who look."""
    for kind in KINDS:
        data = papers(kind, name, page, unit)
        (ARTEFACTS / f"{kind}-{name}-{page}.pdf".replace(" ", "-")).write_bytes(data)
        with closing(pypdfium2.PdfDocument(data)) as pdf:
            for one in pdf:
                assert one.render(scale=0.5, grayscale=True).to_numpy().min() < 40
        if kind == "sheet":
            first = page_texts(data)[0]
            assert not missing(first)


@cache
def letter_sheet(door: Door) -> bytes:
    """US Letter is 17.6 mm lower than A4, and inches take more room than millimetres."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sheet.pdf"
        save_sheet(door, path, page="letter", length_unit="in")
        return path.read_bytes()


@pytest.mark.parametrize(
    "door",
    [unlike_hatch(holes=True), unlike_hatch(order_code=""), upright_door()],
    ids=lambda one: one.name[:8],
)
def test_page_1_holds_two_unlike_struts_on_the_smaller_paper(door: Door) -> None:
    data = letter_sheet(door)
    first = page_texts(data)[0]
    assert not missing(first)
    for words in ("F1 to D1, shut", "F2 to D2, open", "F2–D2 open", "F2 and D2 are pushed apart"):
        assert words in first
    check_letters(pages(data)[0])


def test_hinge_points_of_an_upright_hinge_line_are_named_by_where_they_are() -> None:
    check_hinge_points(all_text(letter_sheet(upright_door())), "lower", "upper")


def test_what_to_buy_says_between_which_balls_each_strut_hangs(tmp_path: Path) -> None:
    """Of two struts of one size the weaker one must not hang where the stronger one belongs."""
    door = unlike_hatch(order_code="")
    save_card(door, tmp_path / "card.pdf")
    for data in (letter_sheet(door), (tmp_path / "card.pdf").read_bytes()):
        first = page_texts(data)[0]
        for rating, balls in ((400, "F1–D1"), (350, "F2–D2")):
            assert re.search(rf"1 × {rating} N:? for {balls}, {rating} N ", first)
    middle = replace(door.struts[1], mirrored=False)
    pair = replace(door.struts[0], mirrored=True)
    heads = {one["head"]: one["lines"] for one in buy(replace(door, struts=(pair, middle)), "mm")}
    assert heads["2 × 400 N"][0] == "for F1–D1"
    assert heads["1 × 350 N"][0] == "for F2–D2"
    assert "rod at F2" in heads["1 × 350 N"]
    alone = buy(replace(door, struts=(pair,)), "mm")[0]["lines"]
    assert not [line for line in alone if line.startswith("for ")]


def missing(first: str) -> list[str]:
    return [words for words in NEEDED if words not in first]


@pytest.mark.parametrize("kind", KINDS)
def test_a_preview_has_the_pages_of_the_file(kind, papers) -> None:
    door = read_door(door_path("counter-flap"))
    pictures = sheet_pages(door, ppi=40) if kind == "sheet" else paper_pages(door, kind)
    assert len(pictures) == page_count(papers(kind, "counter-flap"))
    assert all(one.startswith(b"\x89PNG") for one in pictures)


def test_an_unknown_paper_is_refused() -> None:
    door = read_door(door_path("counter-flap"))
    with pytest.raises(RecordError, match="paper is 'map'; write one of sheet, drill template"):
        paper_pages(door, "map")
