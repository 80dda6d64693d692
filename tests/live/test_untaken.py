"""Numbers typed for mounts that do not fit: said, tried again with the next, named beside files.

What fits is known from plain geometry: shut, a strut is no longer than its extended length and no
shorter than that less its stroke.
"""

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from strutkit.decide.sweep import sweep
from strutkit.describe.doorfile import door_text, read_door, write_door
from strutkit.describe.records import Door
from strutkit.errors import SaveError, StrutkitError
from strutkit.live.bench import Bench
from tests.live.asking import Page, edit
from tests.live.conftest import DOORS

HATCH = read_door(DOORS / "rear-hatch.toml")
STRUT = HATCH.struts[0].strut
FRAME, PANEL = HATCH.struts[0].frame_mount, HATCH.struts[0].panel_mount


@pytest.fixture
def page(monkeypatch: pytest.MonkeyPatch) -> Page:
    return Page(Bench(HATCH), monkeypatch)


def typed(text: str, mount: str = "panel", axis: int = 1, sense: int = -1) -> dict[str, Any]:
    """Outward, upward and along the hinge line; sense -1: inward, down, left."""
    one = {"mount": mount, "axis": axis, "sense": sense, "text": text, "unit": "mm"}
    return edit(strut="left", typed=one)


def words(page: Page) -> list[str]:
    return [one["words"] for one in page.widget.state["untaken"]]


def fits_shut(frame: tuple[float, ...], panel: tuple[float, ...]) -> bool:
    shut = math.dist(frame, panel)
    return STRUT.extended_length - STRUT.stroke < shut < STRUT.extended_length


def test_numbers_that_fit_together_are_taken_together(page: Page) -> None:
    """Neither 240 mm on the door side nor 860 mm on the fixed side fits without the other."""
    panel, frame = (-0.024, -0.61, -0.24), (-0.088, -0.61, -0.86)
    assert not fits_shut(FRAME, panel)
    assert not fits_shut(frame, PANEL)
    assert fits_shut(frame, panel)
    first = page.ask("commit", edit=typed("240"))
    assert (first["kept"], first["changed"]) == (True, False)
    assert words(page) == ["240 mm down (door side, left)"]
    assert "112 mm too long when shut" in page.widget.state["untaken"][0]["why"]
    second = page.ask("commit", edit=typed("860", "frame"))
    assert second["joined"] == ["240 mm down (door side, left)"]
    assert words(page) == second["untaken"] == []
    fitted = page.widget.door.struts[0]
    assert fitted.frame_mount == pytest.approx(frame)
    assert fitted.panel_mount == pytest.approx(panel)
    page.ask("undo")
    assert page.widget.door == HATCH


def test_a_number_that_still_does_not_fit_stays_said_and_is_named_beside_the_file(
    page: Page, tmp_path: Path
) -> None:
    page.ask("commit", edit=typed("240"))
    answer = page.ask("commit", edit=typed("30", axis=0))
    assert (answer["changed"], answer["kept"], answer["joined"]) == (True, False, [])
    assert page.widget.door.struts[0].panel_mount == (-0.03, *PANEL[1:])
    saved = page.ask("save", path=str(tmp_path / "hatch.toml"))
    sheet = page.ask("sheet", path=str(tmp_path / "hatch.pdf"))
    (said,) = saved["untaken"]
    assert (said["words"], said["why"]) == ("240 mm down (door side, left)", said_why(page))
    assert [said] == sheet["untaken"] == answer["untaken"]
    assert read_door(tmp_path / "hatch.toml") == page.widget.door


def said_why(page: Page) -> str:
    return str(page.widget.state["untaken"][0]["why"])


@pytest.mark.parametrize(
    ("kind", "body", "left"),
    [
        ("commit", {"edit": typed("115")}, 0),
        ("commit", {"edit": typed("250")}, 1),
        ("commit", {"edit": typed("500", axis=0, sense=1)}, 2),
        ("commit", {"edit": edit(panel=[-24.0, -110.0, -610.0], axes=[0, 1])}, 0),
        ("commit", {"edit": edit(panel=[-24.0, -108.0, -600.0], axes=[2])}, 1),
        ("commit", {"edit": edit(frame=[-88.0, -715.0, -610.0])}, 1),
        ("commit", {"edit": edit(rating=450.0)}, 1),
        ("drop", {"boxes": [[0, "panel", 1]]}, 0),
        ("drop", {}, 1),
    ],
)
def test_it_is_let_go_when_its_box_its_coordinate_or_a_word_says_so(
    page: Page, kind: str, body: dict[str, Any], left: int
) -> None:
    """250 mm down and 500 mm outward do not fit either."""
    assert not fits_shut(FRAME, (-0.024, -0.61, -0.25))
    assert not fits_shut(FRAME, (0.5, -0.61, -0.108))
    page.ask("commit", edit=typed("240"))
    page.ask(kind, **body)
    assert len(words(page)) == left


def test_that_of_one_box_can_be_given_up(page: Page) -> None:
    page.ask("commit", edit=typed("240"))
    page.ask("commit", edit=typed("2000", "frame"))
    page.ask("drop", boxes=[[0, "frame", 1]])
    assert words(page) == ["240 mm down (door side, left)"]


def test_it_stays_said_while_its_door_and_strut_are_there(page: Page) -> None:
    """Undo, redo and a cell that changes the mass leave it; reset and another door do not."""
    page.ask("commit", edit=edit(rating=450.0))
    page.ask("commit", edit=typed("240"))
    page.ask("undo")
    page.ask("redo")
    panel = replace(page.widget.door.panel, mass=16.0)
    page.widget.door = replace(page.widget.door, panel=panel)
    assert len(words(page)) == 1
    page.ask("reset")
    assert words(page) == []
    for door in (replace(HATCH, name="another"), replace(HATCH, struts=())):
        page.ask("commit", edit=typed("240"))
        page.widget.door = door
        assert words(page) == []
        page.widget.door = HATCH


def test_it_waits_on_with_a_new_kernel(page: Page, monkeypatch: pytest.MonkeyPatch) -> None:
    """Also where it would fit by now: nothing comes into the door by itself. Then moves that were
    not answered are made; a drag of that coordinate lets it go."""
    page.ask("commit", edit=typed("240"))
    page.ask("commit", edit=typed("31,5", axis=0))
    page.ask("commit", edit=edit(frame=[-88.0, -846.0, -610.0], axes=[1]))
    there = page.widget.door.struts[0]
    assert there.frame_mount == (-0.088, -0.61, -0.846)
    together = replace(there, panel_mount=(-0.024, -0.61, -0.24))
    assert can_be_swept(replace(page.widget.door, struts=(together,)))
    waits = page.widget.state["untaken"]
    assert [one["words"] for one in waits] == [
        "240 mm down (door side, left)",
        "31,5 inward (door side, left)",
    ]
    kept = {"design": page.widget.design, "untaken": [*waits, {"edit": 3}, None]}
    again = Page(Bench(HATCH), monkeypatch)
    answer = again.ask("restore", **kept)
    assert again.widget.door == page.widget.door
    assert answer["untaken"] == again.widget.state["untaken"] == waits
    taken = Page(Bench(HATCH), monkeypatch)
    drag = {"edit": edit(panel=[-24.0, -110.0, -610.0], axes=[1])}
    taken.ask("take", **kept, moves=[drag, {"edit": 3}, None])
    assert words(taken) == ["31,5 inward (door side, left)"]
    assert taken.widget.door.struts[0].panel_mount[2] == pytest.approx(-0.11)


PLACES = st.tuples(
    st.integers(-140, -50), st.integers(-860, -560), st.integers(-40, -8), st.integers(-290, -60)
)


def can_be_swept(door: Door) -> bool:
    try:
        sweep(door)
    except StrutkitError:
        return False
    return True


@given(PLACES, st.permutations(range(4)))
def test_all_numbers_of_a_place_that_fits_are_taken_in_any_order(
    place: tuple[int, int, int, int], order: list[int]
) -> None:
    """As written on a paper: outward and down of both mounts. Where the whole does not fit, what is
    in the door does, and a number is untaken."""
    page = Page(Bench(HATCH), pytest.MonkeyPatch())
    boxes = [("frame", 0), ("frame", 1), ("panel", 0), ("panel", 1)]
    frame = (place[0] / 1e3, -0.61, place[1] / 1e3)
    panel = (place[2] / 1e3, -0.61, place[3] / 1e3)
    for index in order:
        mount, axis = boxes[index]
        page.ask("commit", edit=typed(str(-place[index]), mount, axis))
    there = page.widget.door.struts[0]
    reached = (*there.frame_mount, *there.panel_mount)
    whole = replace(HATCH.struts[0], frame_mount=frame, panel_mount=panel)
    if can_be_swept(replace(HATCH, struts=(whole,))):
        assert reached == pytest.approx((*frame, *panel))
        assert words(page) == []
    else:
        assert fits_shut(there.frame_mount, there.panel_mount)
        assert words(page)


def test_keys_go_on_from_where_the_mount_does_not_fit(page: Page) -> None:
    """Three steps of 10 mm down and two up, of which only the first fits, come to one down."""
    for by, on in ((-10.0, False), (-10.0, True), (-10.0, True), (10.0, True), (10.0, True)):
        step = {"mount": "panel", "axis": 1, "sense": 1, "by": by, "on": on}
        answer = page.ask("commit", edit=edit(typed=step))
    assert fits_shut(FRAME, (-0.024, -0.61, -0.118))
    assert not fits_shut(FRAME, (-0.024, -0.61, -0.128))
    assert "fault" not in answer
    assert page.widget.door.struts[0].panel_mount == pytest.approx((-0.024, -0.61, -0.118))


@pytest.mark.parametrize("way", ["another name", "a copy of the file"])
def test_what_was_done_on_a_former_door_is_not_done_to_the_next(
    page: Page, way: str, tmp_path: Path
) -> None:
    """Both have a strut "left" in the same place."""
    key = page.ask("scene")["scene"]["key"]
    if way == "another name":
        page.widget.door = replace(HATCH, name="another")
    else:
        write_door(HATCH, tmp_path / "hatch.toml")
        page.ask("open", path=str(tmp_path / "hatch.toml"))
    other = page.widget.door
    for change in (
        typed("30"),
        edit(panel=[-25.0, -108.0, -610.0], axes=[0, 1]),
        edit(stock=0),
        edit(rating_by=5.0),
    ):
        answer = page.ask("commit", edit={**change, "door": key})
        assert answer["gone"] is True
        assert answer["fault"] == "Another door was opened meanwhile; nothing was changed."
    assert "Another door" in page.ask("back", edit={**edit(), "door": key})["fault"]
    assert page.widget.door == other
    new = page.ask("compare", place=0)["compare"]["door"]
    assert page.ask("commit", edit=edit(rating=450.0, door=new))["changed"] is True


def test_a_key_steps_from_the_rating_that_the_door_has(page: Page) -> None:
    page.ask("commit", edit=edit(rating=450.0))
    page.ask("commit", edit=edit(rating_by=-5.0))
    assert page.widget.door.struts[0].strut.rating == 445.0


AXES = {"5000": 0, "240": 1}


@pytest.mark.parametrize("wrong", ["before", "after"])
def test_some_of_them_are_taken_together(page: Page, wrong: str) -> None:
    """Of three that do not fit, 5 m inward never does; the other two do with each other."""
    order = {"before": ["5000", "240"], "after": ["240", "5000"]}[wrong]
    for text in order:
        page.ask("commit", edit=typed(text, axis=AXES[text]))
    answer = page.ask("commit", edit=typed("860", "frame"))
    assert answer["joined"] == ["240 mm down (door side, left)"]
    assert words(page) == ["5000 mm inward (door side, left)"]


def test_a_number_typed_back_takes_the_place_of_the_one_that_waits(page: Page) -> None:
    """What stands in the door already is a number of its box as well."""
    page.ask("commit", edit=typed("240"))
    page.ask("commit", edit=typed("108"))
    answer = page.ask("commit", edit=typed("860", "frame"))
    assert answer["joined"] == []
    assert page.widget.door == HATCH
    assert words(page) == ["860 mm down (fixed side, left)"]


def test_escape_takes_back_steps_of_keys_made_meanwhile(page: Page) -> None:
    """By undoing; what another hand did meanwhile stays. In a page the first of them is named."""
    page.ask("commit", edit=edit(rating=450.0))
    before = page.widget.door
    step = {"mount": "panel", "axis": 1, "sense": 1, "by": -1.0, "on": False}
    first = page.ask("commit", edit=edit(typed=step))["seq"]
    page.ask("commit", edit=edit(typed={**step, "axis": 0}))
    assert page.widget.door != before
    heavier = replace(page.widget.door.panel, mass=16.0)
    page.ask("back", step=first)
    assert page.widget.door == before
    page.ask("redo")
    page.widget.door = replace(page.widget.door, panel=heavier)
    page.ask("back", step=first)
    assert page.widget.door == replace(before, panel=heavier)
    for _ in range(3):
        page.ask("undo")
    assert page.widget.door == before
    page.ask("undo")
    assert page.widget.door == HATCH
    assert "Undo takes its step back" in page.ask("back", step=10_000)["fault"]


def test_kept_moves_are_made_again_as_they_would_have_been(monkeypatch: pytest.MonkeyPatch) -> None:
    """Moves that were not answered when the kernel went: numbers, a text, keys beyond what fits."""
    step = {"mount": "panel", "axis": 0, "sense": 1, "on": True}
    edits = [
        typed("240"),
        typed("860", "frame"),
        typed("31,5", axis=0),
        *(edit(typed={**step, "by": by}) for by in (-1.0, -900.0, 899.0)),
    ]
    asked = Page(Bench(HATCH), monkeypatch)
    for one in edits:
        asked.ask("commit", edit=one)
    again = Page(Bench(HATCH), monkeypatch)
    again.ask("restore", design=door_text(HATCH), moves=[{"edit": one} for one in edits])
    assert again.widget.door == asked.widget.door
    assert again.widget.untaken == asked.widget.untaken
    there = again.widget.door.struts[0]
    assert (*there.frame_mount, *there.panel_mount) == pytest.approx(
        (-0.088, -0.61, -0.86, -0.026, -0.61, -0.24)
    )
    assert words(again) == ["31,5 inward (door side, left)"]


@pytest.mark.parametrize(
    "odd", ["24.5\u200b", "2\u00ad4", "\ufeff24", "2\u202e4", "2\x004", "", " ", "9" * 90]
)
def test_any_text_is_told_of_and_breaks_nothing(page: Page, odd: str) -> None:
    """A character that cannot be seen is shown as its number; a long text is cut."""
    answer = page.ask("commit", edit=typed(odd, axis=0))
    assert "untaken" in answer
    (told,) = page.ask("scene")["state"]["untaken"]
    assert told["words"].isprintable()
    assert len(told["words"]) < 80
    assert "(door side, left)" in told["words"]
    assert told["read"] is False


def test_cells_are_refused_a_file_as_buttons_are(page: Page, tmp_path: Path) -> None:
    page.ask("commit", edit=typed("31,5", axis=0))
    for save in (page.widget.save, page.widget.save_sheet):
        with pytest.raises(SaveError, match=r"cannot be read\. 31,5 inward"):
            save(tmp_path / "hatch")
    page.widget.reset()
    assert words(page) == []
    page.widget.save(tmp_path / "hatch")
