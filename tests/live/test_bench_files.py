"""Doors and papers that the bench opens and saves."""

from dataclasses import replace
from pathlib import Path

import pytest

from strutkit import (
    Door,
    bench,
    read_door,
)
from strutkit.data import door_path
from strutkit.errors import SaveError
from tests.live.asking import Page, edit
from tests.live.conftest import DOORS

REAR = DOORS / "rear-hatch.toml"


@pytest.fixture
def page(rear_hatch: Door, monkeypatch: pytest.MonkeyPatch) -> Page:
    return Page(bench(rear_hatch), monkeypatch)


def test_saving_keeps_comments_and_writes_only_what_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "hatch.toml"
    path.write_bytes(REAR.read_bytes())
    page = Page(bench(path), monkeypatch)
    assert page.widget.state["path"] == str(path)
    page.ask("commit", edit=edit(panel=[-24.0, -120.0, -610.0]))
    assert page.widget.state["unsaved"] is True
    answer = page.ask("save", path=str(path))
    assert answer["file"] == "hatch.toml"
    changed = [
        (old, new)
        for old, new in zip(
            REAR.read_text("utf-8").splitlines(), path.read_text("utf-8").splitlines(), strict=True
        )
        if old != new
    ]
    assert changed == [('panel_mount = "-24, -610, -108 mm"', 'panel_mount = "-24, -610, -120 mm"')]
    assert read_door(path) == page.widget.door
    assert page.widget.state["unsaved"] is False


def test_another_file_is_replaced_only_when_that_is_said(page: Page, tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_bytes(REAR.read_bytes())
    page.ask("commit", edit=edit(rating=450.0))
    assert page.ask("save", path=str(path)) | {"exists": "mine.toml"} == page.answers[-1][0]
    assert path.read_bytes() == REAR.read_bytes()
    assert page.ask("save", path=str(path), replace=True)["file"] == "mine.toml"
    assert read_door(path).struts[0].strut.rating == 450.0


def test_a_new_door_does_not_replace_the_file_of_the_former_one(
    page: Page, rear_hatch: Door, tmp_path: Path
) -> None:
    path = tmp_path / "hatch.toml"
    page.ask("save", path=str(path))
    page.ask("commit", edit=edit(rating=450.0))
    assert page.ask("save", path=str(path))["file"] == "hatch.toml"
    former = path.read_bytes()
    page.widget.door = replace(rear_hatch, name="Another door")
    assert page.ask("save", path=str(path))["exists"] == "hatch.toml"
    turned = replace(rear_hatch.hinge, stop_angle=rear_hatch.hinge.stop_angle / 2.0)
    page.widget.door = replace(rear_hatch, hinge=turned)
    assert page.ask("save", path=str(path))["exists"] == "hatch.toml"
    assert path.read_bytes() == former
    assert page.ask("save", path=str(path), replace=True)["file"] == "hatch.toml"
    assert read_door(path) == page.widget.door


def test_a_file_that_another_hand_changed_is_asked_about(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    path = tmp_path / "hatch.toml"
    path.write_bytes(REAR.read_bytes())
    page = Page(bench(path), monkeypatch)
    page.ask("commit", edit=edit(rating=450.0))
    theirs = REAR.read_bytes() + b"# measured again\n"
    path.write_bytes(theirs)
    answer = page.ask("save", path=str(path))
    assert (answer["exists"], answer["changed"]) == ("hatch.toml", True)
    with pytest.raises(SaveError, match="changed by another hand"):
        page.widget.save()
    assert path.read_bytes() == theirs
    assert page.ask("save", path=str(path), replace=True)["file"] == "hatch.toml"
    page.ask("commit", edit=edit(rating=470.0))
    assert page.ask("save", path=str(path))["file"] == "hatch.toml"
    assert read_door(path) == page.widget.door


@pytest.mark.parametrize(
    ("name", "words"),
    [
        (".", "is a folder: add the file's name"),
        ("..", "is a folder: add the file's name"),
        ("/", "is a folder: add the file's name"),
        ("folder", "is a folder: add the file's name"),
        ("n" * 300, "A name has over"),
        ("~nobody-of-that-name/x", "names a home folder that is not there"),
    ],
)
def test_a_path_that_names_no_file_is_said(
    page: Page, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, words: str
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "folder").mkdir()
    for kind in ("save", "sheet"):
        assert words in page.ask(kind, path=name)["fault"]
    assert [one.name for one in tmp_path.iterdir()] == ["folder"]


def test_undo_of_an_opening_brings_its_file_back(page: Page, tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    page.ask("save", path=str(path))
    page.ask("open", path=str(DOORS / "hostile-names.toml"))
    page.ask("undo")
    assert page.widget.path == path
    assert page.widget.state["unsaved"] is False
    page.ask("redo")
    assert page.widget.path == DOORS / "hostile-names.toml"


def test_an_ending_is_added_and_a_missing_path_is_asked_for(page: Page, tmp_path: Path) -> None:
    for typed, file in (("new", "new.toml"), ("my.hatch", "my.hatch.toml"), ("my.", "my.toml")):
        assert page.ask("save", path=str(tmp_path / typed))["file"] == file
    assert "No path is typed" in page.ask("save", path="  ")["fault"]
    with pytest.raises(SaveError, match="no file yet: say where"):
        bench(page.widget.door).save()


def test_the_sheet_is_saved(page: Page, tmp_path: Path) -> None:
    answer = page.ask("sheet", path=str(tmp_path / "sheet.pdf"))
    assert answer.get("fault") is None
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
    assert page.ask("sheet", path=str(tmp_path / "sheet.pdf"))["exists"] == "sheet.pdf"


def test_doors_are_chosen_by_names_of_a_list_and_never_by_a_path(
    page: Page, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "notebooks"
    folder.mkdir()
    monkeypatch.chdir(folder)
    hostile = "<img src=x onerror=1>.toml"
    (folder / hostile).write_text(REAR.read_text(encoding="utf-8"), encoding="utf-8")
    (folder / "settings.toml").write_text("[tool]\n", encoding="utf-8")
    (tmp_path / "outside.toml").write_text(REAR.read_text(encoding="utf-8"), encoding="utf-8")
    listed = page.ask("doors")
    assert listed["beside"] == [hostile]
    assert "roof-hatch" in listed["examples"]
    assert page.ask("open", beside=hostile)["file"] == hostile
    assert page.widget.path == Path(hostile)
    for name in ("../outside.toml", str(tmp_path / "outside.toml"), "settings.toml", ""):
        assert "is not among the door files" in page.ask("open", beside=name)["fault"]
    assert "no example door" in page.ask("open", example="../doors/roof-hatch")["fault"]
    assert "Workshop van, roof hatch" in page.ask("open", example="roof-hatch")["file"]
    assert page.widget.path is None
    with pytest.raises(SaveError, match="has no file yet"):
        page.widget.save()
    page.widget.undo()
    assert page.widget.door == read_door(REAR)


def test_an_example_is_saved_in_its_own_units_and_words(page: Page, tmp_path: Path) -> None:
    """Only the lines of another strut differ from the example's own file, which stays as it is."""
    example = door_path("counter-flap")
    given = example.read_text("utf-8")
    assert ' in"' in given
    page.ask("open", example="counter-flap")
    page.ask("commit", edit=edit(rating=110.0))
    path = tmp_path / "mine.toml"
    assert page.ask("save", path=str(path))["file"] == "mine.toml"
    saved = path.read_text("utf-8").splitlines()
    changed = [pair for pair in zip(given.splitlines(), saved, strict=True) if len(set(pair)) > 1]
    assert [(old.split(" #")[0].rstrip(), new.split(" #")[0].rstrip()) for old, new in changed] == [
        ('rating = "100 N"', 'rating = "110 N"'),
        ('order_code = "6-15-120-100"', 'order_code = ""'),
    ]
    assert read_door(path) == page.widget.door
    assert example.read_text("utf-8") == given


def test_a_door_of_another_name_is_saved_without_the_words_of_an_example(
    page: Page, tmp_path: Path
) -> None:
    page.ask("open", example="counter-flap")
    page.widget.door = replace(page.widget.door, name="My own flap")
    page.ask("save", path=str(tmp_path / "own.toml"))
    assert "invented" in door_path("counter-flap").read_text("utf-8")
    assert "invented" not in (tmp_path / "own.toml").read_text("utf-8")


def test_another_door_is_opened_and_that_can_be_undone(page: Page, rear_hatch: Door) -> None:
    answer = page.ask("open", path=str(DOORS / "hostile-names.toml"))
    assert answer["file"] == "hostile-names.toml"
    assert page.widget.door == read_door(DOORS / "hostile-names.toml")
    assert page.widget.state["changed"] is False
    page.ask("undo")
    assert page.widget.door == rear_hatch
    assert "There is no file" in page.ask("open", path="no/such.toml")["fault"]


def test_pages_come_with_the_design_that_they_show(page: Page) -> None:
    page.ask("commit", edit=edit(rating=450.0))
    assert page.ask("paper", paper="drawing")["design"] == page.widget.design
