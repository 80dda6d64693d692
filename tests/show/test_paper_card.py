"""The glove-box card, read back from the PDF."""

from dataclasses import replace
from pathlib import Path

import pytest

from strutkit import read_door, save_card, sweep
from strutkit.data import door_names, door_path
from strutkit.errors import SaveError
from tests.show.pdf_reader import (
    POINTS_PER_MM,
    all_text,
    page_count,
    page_texts,
    pages,
    properties,
)
from tests.show.picture_doors import roof_lid, unlike_hatch, upright_door
from tests.show.test_paper_names import HOSTILE


def saved(door, folder: Path, **options: object) -> bytes:
    save_card(door, folder / "card.pdf", **options)
    return (folder / "card.pdf").read_bytes()


@pytest.mark.parametrize("name", door_names())
def test_the_card_is_one_page_of_a6_with_what_a_change_needs(papers, name) -> None:
    """ISO 216: A6 is 105 by 148 mm; a quarter of A4 by its edges is 105 by 148.5 mm."""
    door = read_door(door_path(name))
    (page,) = pages(papers("card", name))
    assert page.width == pytest.approx(105.0 * POINTS_PER_MM, abs=0.02)
    assert page.height == pytest.approx(148.5 * POINTS_PER_MM, abs=0.02)
    letters, edge = page.letters, 5.0 * POINTS_PER_MM
    assert min(letter["size"] for letter in letters) >= 7.99
    assert min(letter["x0"] for letter in letters) >= edge
    assert max(letter["x1"] for letter in letters) <= page.width - edge
    assert max(letter["bottom"] for letter in letters) <= page.height - edge
    strut = door.struts[0].strut
    lengths = sweep(door).strut_length[0] * 1e3
    for words in (
        door.name,
        strut.order_code,
        f"{strut.extended_length * 1e3:.0f} mm long",
        f"shut: {lengths[0]:.0f} mm",
        f"open: {lengths[-1]:.0f} mm",
        "never open, drill, heat or cut",
        "last word",
    ):
        assert words in page.text


def test_same_door_same_bytes_and_another_page_size(papers, tmp_path) -> None:
    assert saved(read_door(door_path("cabin-door")), tmp_path) == papers("card", "cabin-door")
    (page,) = pages(papers("card", "cabin-door", "letter", "in"))
    assert (page.width, page.height) == (306.0, 396.0)


@pytest.mark.parametrize("name", [*HOSTILE, "W" * 250])
def test_hostile_names_print_literally(tmp_path, name) -> None:
    """Of a name of more than 60 letters the beginning."""
    door = replace(read_door(door_path("roof-hatch")), name=name)
    data = saved(door, tmp_path)
    assert name[:60].replace(" ", "") in all_text(data).replace(" ", "")
    assert page_count(data) == 1
    assert properties(data)["Title"].startswith(name[:59])


def test_another_ending_is_refused(tmp_path) -> None:
    with pytest.raises(SaveError, match=r"'card\.png' does not end in \.pdf"):
        save_card(read_door(door_path("roof-hatch")), tmp_path / "card.png")


@pytest.mark.parametrize(("page", "unit"), [("a4", "mm"), ("letter", "in")])
def test_one_card_holds_two_unlike_struts_and_a_second_one_says_that_it_is(
    tmp_path, page, unit
) -> None:
    """Two cards only where names of 60 letters in every line leave no other way."""
    named = replace(unlike_hatch(), name="W" * 250)
    for door in (named, upright_door(), roof_lid(struts=False)):
        assert page_count(saved(door, tmp_path, page=page, length_unit=unit)) == 1
    long = replace(unlike_hatch("post " + "W" * 60, "W" * 200), name="W" * 250)
    data = saved(long, tmp_path, page=page, length_unit=unit)
    assert page_count(data) == 2
    texts = page_texts(data)
    assert "card 1 of 2" in texts[0]
    assert "card 2 of 2" in texts[1]
    assert "never open, drill, heat or cut" in " ".join(texts)
