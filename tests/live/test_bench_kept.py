"""What a page keeps of a bench, and takes back."""

from dataclasses import replace
from typing import Any

import pytest

from strutkit import (
    Door,
    bench,
)
from strutkit.describe.doorfile import door_text
from strutkit.live import bench as bench_module
from strutkit.live.bench import Bench
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
        "panel mass: 14 kg becomes 15.8 kg",
        "strut left panel_mount: -24, -610, -108 mm becomes -25, -610, -108 mm",
    ]
    assert "fault" in page.ask("differs", design="no door")
    page.ask("take", design=door_text(moved))
    assert page.widget.door == moved
    page.ask("undo")
    assert page.widget.door == corrected
