"""Moves and typed numbers that become part of the design, asked as the page asks."""

from pathlib import Path

import pytest

from strutkit import Door, bench
from strutkit.describe.doorfile import door_text
from tests.live.asking import Page, edit

TYPED = {"mount": "panel", "axis": 0, "sense": -1, "text": "30", "unit": "mm"}


@pytest.fixture
def page(rear_hatch: Door, monkeypatch: pytest.MonkeyPatch) -> Page:
    return Page(bench(rear_hatch), monkeypatch)


def test_a_commit_is_one_step_of_undo(page: Page, rear_hatch: Door) -> None:
    assert page.ask("commit", edit=edit(panel=[-24.0, -120.0, -610.0]))["changed"] is True
    assert page.widget.door.struts[0].panel_mount == (-0.024, -0.61, -0.12)
    assert page.widget.design == door_text(page.widget.door)
    page.ask("undo")
    assert page.widget.door == rear_hatch
    page.ask("redo")
    assert page.widget.door.struts[0].panel_mount == (-0.024, -0.61, -0.12)
    page.ask("reset")
    assert page.widget.door == rear_hatch
    page.ask("undo")
    assert page.widget.door.struts[0].panel_mount == (-0.024, -0.61, -0.12)


def test_a_move_leaves_the_other_coordinates_as_the_door_has_them_by_then(page: Page) -> None:
    """A number typed for one coordinate, then a move that set out before it was answered."""
    page.ask("commit", edit={"place": 0, "typed": {**TYPED, "text": "39"}})
    page.ask("commit", edit=edit(panel=[-24.0, -120.0, -610.0], axes=[1]))
    assert page.widget.door.struts[0].panel_mount == (-0.039, -0.61, -0.12)
    page.ask("commit", edit={"place": 0, "typed": {**TYPED, "sense": 1, "by": -1.5}})
    assert page.widget.door.struts[0].panel_mount == (-0.0405, -0.61, -0.12)


def test_no_file_is_saved_beside_a_text_that_cannot_be_read(page: Page, tmp_path: Path) -> None:
    """Whatever else is typed, until it is typed over."""
    page.ask("commit", edit={"place": 0, "typed": {**TYPED, "text": "zz"}})
    page.ask("commit", edit={"place": 0, "typed": {**TYPED, "axis": 1, "text": "110"}})
    page.ask("commit", edit={"place": 0, "typed": {**TYPED, "sense": 1, "by": -1.0}})
    path = str(tmp_path / "door.toml")
    for kind, more in (("save", {}), ("sheet", {}), ("paper", {"paper": "sheet", "save": True})):
        said = page.ask(kind, path=path, **more)["fault"]
        assert said.startswith("Nothing was saved: what is typed for a mount cannot be read. zz ")
    assert list(tmp_path.iterdir()) == []
    shown = page.ask("paper", paper="card")
    assert shown["pictures"]
    assert [one["read"] for one in shown["untaken"]] == [False]
    page.ask("commit", edit={"place": 0, "typed": {**TYPED, "text": "31"}})
    assert page.ask("save", path=path)["file"] == "door.toml"


def test_a_commit_that_changes_nothing_is_no_step(page: Page) -> None:
    assert page.ask("commit", edit=edit(panel=[-24.0, -108.0, -610.0]))["changed"] is False
    assert page.widget.state["undo"] is False


def test_a_length_is_typed_alone_or_with_its_unit(page: Page, rear_hatch: Door) -> None:
    """Of the mount only that coordinate changes; the hatch is 24 mm inward, 108 mm down."""
    for text, unit, millimetres in (
        ("112", "mm", 112.0),
        ("4 1/2", "inch", 114.3),
        ("4 1/2 in", "mm", 114.3),
        ("0.115 m", "inch", 115.0),
    ):
        typed = {"mount": "panel", "axis": 1, "sense": -1, "text": text, "unit": unit}
        page.ask("commit", edit=edit(strut="left", typed=typed))
        place = page.widget.door.struts[0].panel_mount
        assert place == pytest.approx((-0.024, -0.61, -millimetres / 1e3), abs=1e-12)
    for text, words in (("3 kg", "3 kg is a mass"), (" ", "Nothing is written here")):
        answer = page.ask("commit", edit=edit(typed={**TYPED, "text": text}))
        assert words in answer["unread"]
        assert answer["changed"] is False
    assert page.widget.door.struts[0].frame_mount == rear_hatch.struts[0].frame_mount


def test_numbers_typed_in_two_boxes_are_both_kept(page: Page) -> None:
    """Neither message knows of the other: a cell ran while both were typed."""
    for axis, text in ((0, "30"), (1, "112")):
        page.ask("commit", edit=edit(typed={**TYPED, "axis": axis, "text": text}))
    assert page.widget.door.struts[0].panel_mount == (-0.03, -0.61, -0.112)


def test_a_typed_place_that_does_not_fit_is_told_with_the_place(page: Page) -> None:
    typed = {"mount": "frame", "axis": 1, "sense": -1, "text": "1.2", "unit": "inch"}
    answer = page.ask("commit", edit=edit(typed=typed))
    assert "when shut" in answer["fault"]
    assert answer["edit"] == {"place": 0, "frame": [-88.0, pytest.approx(-30.48), -610.0]}
    assert answer["design"] == page.widget.design


def test_back_undoes_the_steps_and_leaves_what_was_before_them(
    page: Page, rear_hatch: Door
) -> None:
    first = edit(panel=[-24.0, -108.0, -610.0])
    page.ask("commit", edit=edit(rating=450.0))
    before = page.widget.door
    for down in (109.0, 110.0):
        page.ask("commit", edit=edit(panel=[-24.0, -down, -610.0]))
    page.ask("back", edit=first)
    assert page.widget.door == before
    page.ask("undo")
    assert page.widget.door == rear_hatch
    for _ in range(3):
        page.ask("redo")
    assert page.widget.door.struts[0].panel_mount == (-0.024, -0.61, -0.11)
    page.ask("back", edit=edit(panel=[-24.0, -150.0, -610.0]))
    assert page.widget.door.struts[0].panel_mount == (-0.024, -0.61, -0.15), "never there before"
    page.ask("undo")
    assert page.widget.door.struts[0].panel_mount == (-0.024, -0.61, -0.11)


def test_of_a_drag_the_newest_place_that_fits_is_taken(page: Page) -> None:
    bad, good = edit(frame=[-88.0, -900.0, -610.0]), edit(frame=[-90.0, -716.0, -610.0])
    answer = page.ask("commit", edit=bad, earlier=[bad, good, edit(panel=[-24.0, -120.0, -610.0])])
    assert answer["changed"] is True
    assert answer["design"] == page.widget.design
    assert "too short when shut" in answer["fault"]
    assert page.widget.door.struts[0].frame_mount == (-0.09, -0.61, -0.716)
