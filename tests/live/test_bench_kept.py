"""What a page keeps of a bench, and takes back."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from strutkit import (
    Door,
    bench,
    write_door,
)
from strutkit.describe.doorfile import door_text
from strutkit.describe.numbers import LengthUnit
from strutkit.live import bench as bench_module
from strutkit.live.bench import Bench
from strutkit.live.changes import changes
from tests.live.asking import Page, edit


@pytest.fixture
def page(rear_hatch: Door, monkeypatch: pytest.MonkeyPatch) -> Page:
    return Page(bench(rear_hatch), monkeypatch)


def test_changes_kept_by_the_page_are_taken_back(page: Page, rear_hatch: Door) -> None:
    kept = door_text(replace(rear_hatch, name="Kept"))
    page.ask("take", design=kept)
    assert page.widget.door.name == "Kept"
    assert "fault" in page.ask("take", design="name = 3")


def test_unsaved_moves_are_restored_on_a_door_just_given(page: Page, rear_hatch: Door) -> None:
    page.widget.condition = "nominal"
    kept = door_text(replace(rear_hatch, name="Kept"))
    assert page.ask("restore", design=kept)["restored"] is True
    assert page.widget.door.name == "Kept"
    page.ask("undo")
    assert page.widget.door == rear_hatch


def test_a_move_that_no_design_has_yet_is_restored_with_it(page: Page, rear_hatch: Door) -> None:
    """The newest edit that fits; what the browser keeps beside it is passed over."""
    bad, good = edit(frame=[-88.0, -900.0, -610.0]), edit(panel=[-24.0, -120.0, -610.0])
    moves = [{"edit": bad, "earlier": [good]}, {"edit": bad}, 3, {}]
    asked = {"design": door_text(rear_hatch), "moves": moves}
    assert page.ask("restore", **asked)["restored"] is True
    assert page.widget.door.struts[0].panel_mount == (-0.024, -0.61, -0.12)
    assert page.ask("restore", **asked)["restored"] is False
    page.ask("undo")
    assert page.widget.door == rear_hatch


def test_moves_made_meanwhile_are_not_replaced_by_restored_ones(
    page: Page, rear_hatch: Door
) -> None:
    page.widget.door = replace(rear_hatch, name="Moved by now")
    assert page.ask("restore", design=door_text(rear_hatch))["restored"] is False
    assert page.widget.door.name == "Moved by now"


@pytest.mark.parametrize("design", ["name = 3", "", "x" * 3_000_000, "[" * 50_000])
def test_no_door_in_what_was_kept_is_a_fault(page: Page, rear_hatch: Door, design: str) -> None:
    assert "The design kept in the browser" in page.ask("restore", design=design)["fault"]
    assert page.widget.door == rear_hatch


def test_after_a_save_the_cell_gives_the_saved_door(
    rear_hatch: Door, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """What a page keeps was made on the door that it finds when the cell is run again: the saved
    one where the cell reads that file, else the door as it was given."""
    path, other = tmp_path / "hatch.toml", tmp_path / "other.toml"
    write_door(rear_hatch, path)
    page = Page(bench(path), monkeypatch)
    move = edit(panel=[-25.4, -120.0, -610.0])
    page.ask("commit", edit=move)
    page.ask("save", path=str(path))
    assert page.widget.base == bench(path).base != page.widget.origin
    page.ask("commit", edit=edit(rating=450.0))
    page.ask("save", path=str(other))
    assert page.widget.base == bench(path).base
    page.ask("open", path=str(other))
    page.ask("undo")
    assert page.widget.base == bench(path).base
    built = Page(bench(rear_hatch), monkeypatch)
    built.ask("commit", edit=move)
    built.ask("save", path=str(other), replace=True)
    assert built.widget.base == bench(rear_hatch).base


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_every_value_that_differs_is_named(rear_hatch: Door, unit: LengthUnit) -> None:
    """One at a time: whatever makes another door is told in one sentence, nothing else is."""
    first = rear_hatch.struts[0]
    strut = replace(first.strut, stroke=first.strut.stroke - 1e-5)
    cold = replace(rear_hatch.conditions[0], temperature=250.0)
    others = {
        "Name of the door: Market van, rear hatch becomes X": replace(rear_hatch, name="X"),
        "Handle, to open": replace(
            rear_hatch, panel=replace(rear_hatch.panel, handle=(0.03, 0.1, -0.9))
        ),
        "strut left, fixed side": replace(
            rear_hatch, struts=(replace(first, frame_mount=(-0.088, -0.6100001, -0.716)),)
        ),
        "strut left, Stroke": replace(rear_hatch, struts=(replace(first, strut=strut),)),
        "strut left, mirrored pair: yes becomes no": replace(
            rear_hatch, struts=(replace(first, mirrored=False),), conditions=()
        ),
        f"condition {cold.name}, Temperature": replace(
            rear_hatch, conditions=(cold, *rear_hatch.conditions[1:])
        ),
        f"condition {rear_hatch.conditions[1].name}: left out": replace(
            rear_hatch, conditions=(rear_hatch.conditions[0], *rear_hatch.conditions[2:])
        ),
    }
    for words, other in others.items():
        base = replace(rear_hatch, conditions=()) if "mirrored" in words else rear_hatch
        (said,) = changes(base, other, unit)
        assert said.startswith(words)
        before, _, after = said.rpartition(": ")[2].partition(" becomes ")
        assert before != after
        assert changes(other, other, unit) == []
    places = changes(rear_hatch, others["strut left, fixed side"], unit)
    assert places == ["strut left, fixed side: 610 mm left becomes 610.0001 mm left"]


def test_a_bench_is_kept_by_notebook_cell_and_door(
    rear_hatch: Door, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Made again it has the same place; another notebook, cell or door has another."""

    def place(notebook: str, cell: str, name: str = "Door") -> str:
        class Shell:
            def get_parent(self) -> dict[str, Any]:
                return {"metadata": {"cellId": cell}}

        monkeypatch.setenv("JPY_SESSION_NAME", notebook)
        monkeypatch.setattr(bench_module, "get_ipython", Shell)
        return Bench(replace(rear_hatch, name=name)).kept_as

    first = place("a.ipynb", "1")
    assert place("a.ipynb", "1") == first
    others = {place("b.ipynb", "1"), place("a.ipynb", "2"), place("a.ipynb", "1", "Hatch")}
    assert len(others | {first}) == 4


def test_a_kept_design_says_what_it_changes_and_undo_takes_it_back(
    page: Page, rear_hatch: Door
) -> None:
    """A mass corrected in the file meanwhile goes back with a kept design, and comes again."""
    corrected = replace(rear_hatch, panel=replace(rear_hatch.panel, mass=14.0))
    moved = replace(
        rear_hatch, struts=(replace(rear_hatch.struts[0], panel_mount=(-0.025, -0.61, -0.108)),)
    )
    page.widget.door = corrected
    assert page.ask("differs", design=door_text(moved))["changes"] == [
        "Weight, all that moves: 14 kg becomes 15.8 kg",
        "strut left, door side: 24 mm inward becomes 25 mm inward",
    ]
    page.widget.unit = "inch"
    assert page.ask("differs", design=door_text(moved))["changes"][1] == (
        "strut left, door side: 15/16 in inward becomes 63/64 in inward"
    )
    assert "fault" in page.ask("differs", design="no door")
    page.ask("take", design=door_text(moved))
    assert page.widget.door == moved
    page.ask("undo")
    assert page.widget.door == corrected
