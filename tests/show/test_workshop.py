"""One order of work on sheet and card: open and propped, or shut and locked, never both."""

from dataclasses import replace
from pathlib import Path

from strutkit import Door, check, save_card, save_sheet, sweep
from tests.show.pdf_reader import all_text
from tests.show.picture_doors import drop_flap, rear_hatch


def papers(door: Door, folder: Path) -> dict[str, str]:
    save_sheet(door, folder / "sheet.pdf")
    save_card(door, folder / "card.pdf")
    sheet = all_text((folder / "sheet.pdf").read_bytes())
    return {"sheet": sheet, "card": all_text((folder / "card.pdf").read_bytes())}


def flap_fitted_shut() -> Door:
    """A flap that drops open, its struts longest with the panel shut."""
    door = drop_flap()
    struts = (
        replace(door.struts[0], frame_mount=(0.03, -0.5, -0.25), panel_mount=(0, -0.5, 0.15)),
    )
    strut = replace(struts[0].strut, extended_length=0.41)
    door = replace(door, struts=(replace(struts[0], strut=strut),))
    lengths = sweep(door).strut_length[0]
    assert lengths[0] > lengths[-1] + 0.02
    assert lengths[0] == lengths.max()
    return door


def test_a_panel_that_drops_open_is_locked_in_every_step(tmp_path: Path) -> None:
    """9 kg at (10, 250) mm against a hand at (20, 500) mm: 44.1 N, at 90° - atan(10 / 250)."""
    door = flap_fitted_shut()
    for text in papers(door, tmp_path).values():
        lowered = text.lower()
        assert "prop " not in lowered
        assert "propped" not in lowered
        steps = ("Shut the panel and lock it", "Hang the strut on F and D", "Unlock it only when")
        places = [text.index(words) for words in steps]
        assert places == sorted(places)
        shut = text[places[0] : places[1]]
        assert "at the handle to hold" not in shut
        assert "up to 45 N at the handle to hold (at 88°)" in text[places[2] :]
        assert "with the panel shut" in text
    assert "with the panel shut" in next(one.words for one in check(door) if one.name == "snap_on")


def test_a_panel_that_falls_shut_is_propped_in_every_step(tmp_path: Path) -> None:
    for text in papers(replace(rear_hatch(), conditions=()), tmp_path).values():
        assert "lock it" not in text
        assert "Unlock" not in text
        steps = ("Open the panel to 98° and prop it", "Hang the strut on F and D", "Take the prop")
        places = [text.index(words) for words in steps]
        assert places[0] < places[1]
        assert "with the panel open" in text


def test_a_card_without_struts_has_no_steps(tmp_path: Path) -> None:
    save_card(replace(flap_fitted_shut(), struts=()), tmp_path / "card.pdf")
    text = all_text((tmp_path / "card.pdf").read_bytes())
    assert "No strut yet." in text
    assert "Hang the strut" not in text
