"""Every paper to look at, and page 1 with all that the door needs."""

import re
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

from strutkit import Door, read_door, save_card, save_drill_template, save_sheet
from strutkit.data import door_names, door_path
from strutkit.errors import RecordError
from strutkit.show.paper import paper_pages
from strutkit.show.sheet_figures import buy
from tests.show.pdf_reader import page_count, page_texts, pages
from tests.show.picture_doors import unlike_hatch, upright_door
from tests.show.test_paper import check_letters

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
SAVE = {"sheet": save_sheet, "drill template": save_drill_template, "card": save_card}


@pytest.mark.parametrize(("page", "unit"), [("a4", "mm"), ("letter", "in")])
@pytest.mark.parametrize("name", door_names())
def test_page_1_holds_all_that_is_needed_at_the_door(name, page, unit, papers) -> None:
    """What the door asks for stands on one page; every paper is kept for those who look."""
    for kind in SAVE:
        data = papers(kind, name, page, unit)
        (ARTEFACTS / f"{kind}-{name}-{page}.pdf".replace(" ", "-")).write_bytes(data)
        with closing(pypdfium2.PdfDocument(data)) as pdf:
            for one in pdf:
                assert one.render(scale=0.7, grayscale=True).to_numpy().min() < 40
        if kind == "sheet":
            first = page_texts(data)[0]
            assert not missing(first)


@pytest.mark.parametrize(
    "door", [unlike_hatch(holes=True), unlike_hatch(), upright_door()], ids=lambda one: one.name[:8]
)
def test_page_1_holds_two_unlike_struts_on_the_smaller_paper(door: Door, tmp_path: Path) -> None:
    """US Letter is 17.6 mm lower than A4, and inches take more room than millimetres."""
    save_sheet(door, tmp_path / "sheet.pdf", page="letter", length_unit="in")
    data = (tmp_path / "sheet.pdf").read_bytes()
    first = page_texts(data)[0]
    assert not missing(first)
    for words in ("F1 to D1, shut", "F2 to D2, open", "F2–D2 open", "F2 and D2 are pushed apart"):
        assert words in first
    check_letters(pages(data)[0])


def test_what_to_buy_says_between_which_balls_each_strut_hangs(tmp_path: Path) -> None:
    """Of two struts of one size the weaker one must not hang where the stronger one belongs."""
    door = unlike_hatch(order_code="")
    for save in (save_sheet, save_card):
        save(door, tmp_path / "paper.pdf")
        first = " ".join(page_texts((tmp_path / "paper.pdf").read_bytes())[0].split())
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


@pytest.mark.parametrize("kind", SAVE)
def test_a_preview_has_the_pages_of_the_file(kind, tmp_path) -> None:
    door = read_door(door_path("counter-flap"))
    SAVE[kind](door, tmp_path / "a.pdf")
    pictures = paper_pages(door, kind)
    assert len(pictures) == page_count((tmp_path / "a.pdf").read_bytes())
    assert all(one.startswith(b"\x89PNG") for one in pictures)
    with pytest.raises(RecordError, match="paper is 'map'; write one of sheet, drill template"):
        paper_pages(door, "map")
