"""Messages of the form answered without a page: every answer is words or figures, never a crash."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from strutkit import read_door, start_door, write_door
from strutkit.data import door_path
from strutkit.live import start_messages
from strutkit.live.start import Start, tidy_answers
from tests.texts import texts

LID = {
    "kind": "lid",
    "boxes": {
        "length": {"text": "700 mm", "unknown": False},
        "mass": {"text": "8 kg", "unknown": False},
    },
}


@pytest.fixture
def start(monkeypatch: pytest.MonkeyPatch) -> Start:
    """A form whose answers to the page are kept in `sent`."""
    form = start_door()
    sent: list[Any] = []
    monkeypatch.setattr(type(form.form), "send", lambda _, body, *__: sent.append(body))
    form.sent = sent  # type: ignore[attr-defined]
    return form


def ask(start: Start, kind: str, **body: Any) -> dict[str, Any]:
    """The answer to one message, as the page would read it."""
    start_messages.receive(start.form, {"kind": kind, "client": "a", "seq": 7, **body}, [])
    answer: dict[str, Any] = next(
        one
        for one in reversed(start.sent)  # type: ignore[attr-defined]
        if one["kind"] == kind
    )
    assert (answer["client"], answer["seq"]) == ("a", 7)
    json.dumps(answer)
    return answer


def test_an_opening_page_gets_all_it_draws(start: Start) -> None:
    answer = ask(start, "open")
    assert answer["kinds"][0]["name"] == "side_door"
    assert answer["sketch"].startswith("<svg")
    assert len(answer["questions"]) == 11
    assert answer["outcome"]["words"] == "11 of 11 still to fill in"


def test_what_is_typed_is_kept_in_the_trait(start: Start) -> None:
    ask(start, "judge", answers=LID)
    assert start.form.answers["boxes"]["mass"]["text"] == "8 kg"
    assert start.door is not None
    assert start.door.panel.mass == 8.0


def test_nothing_is_suggested_or_changed_before_the_first_size(start: Start) -> None:
    for kind in ("suggest", "editor", "edit", "save"):
        answer = ask(start, kind, edit={"do": "starters"}, path="x.toml")
        assert "is needed first" in answer["fault"], kind
    assert start.bench is None


def test_a_start_stands_in_the_bench_and_can_be_taken_back(start: Start) -> None:
    first = ask(start, "suggest", answers=LID)
    assert first["fits"]
    assert first["holds"]
    assert start.bench is not None
    hung = start.bench.door
    assert len(hung.fitted) == 2
    heavier = {"do": "set", "part": "panel", "field": "mass", "text": "9 kg"}
    assert ask(start, "edit", edit=heavier)["undo"]
    assert start.bench.door.panel.mass == 9.0
    ask(start, "suggest")
    assert start.bench.door.panel.mass == 9.0, "a start keeps what was changed since the form"
    ask(start, "undo")
    ask(start, "undo")
    assert start.bench.door == hung
    assert ask(start, "redo")["redo"]
    moved = LID | {"boxes": LID["boxes"] | {"length": {"text": "800 mm", "unknown": False}}}
    ask(start, "suggest", answers=moved)
    assert start.bench.door.panel.mass == 8.0, "a form that was changed is taken again"


def test_saving_asks_before_it_replaces(start: Start, tmp_path: Path) -> None:
    path = str(tmp_path / "mine")
    assert ask(start, "save", answers=LID, path=path)["words"] == "Saved mine.toml."
    assert read_door(tmp_path / "mine.toml") == start.door
    assert ask(start, "save", path=path)["exists"] == "mine.toml"
    assert ask(start, "save", path=path, replace=True)["words"] == "Saved mine.toml."
    assert "No path is typed" in ask(start, "save", path=" ")["fault"]
    assert "fault" in ask(start, "save", path=str(tmp_path / "none" / "mine.toml"))


def test_what_a_saved_door_leaves_out_of_the_boxes_is_said(start: Start, tmp_path: Path) -> None:
    """A box that cannot be read; and a bench below that the boxes have left behind."""

    def besides(**texts: str) -> str:
        boxes = {name: {"text": text, "unknown": False} for name, text in texts.items()}
        answers = LID | {"boxes": LID["boxes"] | boxes}
        path = str(tmp_path / "lid.toml")
        return str(ask(start, "save", answers=answers, path=path, replace=True)["besides"])

    assert besides() == ""
    assert besides(mass="heavy") == "Not in it: 1 box to put right."
    assert besides(mass="heavy", width="1 kg") == "Not in it: 2 boxes to put right."
    ask(start, "suggest", answers=LID)
    assert besides() == ""
    assert besides(length="800 mm") == "It is the door of the bench below, not that of these boxes."
    assert read_door(tmp_path / "lid.toml") == start.door


def test_a_tape_names_its_row_and_its_fault(start: Start) -> None:
    rows = [["0, 0, 0 mm", "1 m"], ["1, 0, 0 m", "1 m"], ["0, 1, 0 m", "1/2"]]
    assert ask(start, "tape", rows=rows)["fault"].startswith("Row 3: 1/2 has no unit")
    assert "tape from at least three" in ask(start, "tape", rows=rows[:2])["fault"]
    rows[2] = ["0, 1, 0 m", "1 m"]
    places = ask(start, "tape", rows=rows)["places"]
    assert len(places) == 2
    upper = next(number for number, one in enumerate(places) if ", 707.1 mm" in one["words"])
    ask(start, "judge", answers=LID)
    assert "Choose one of the places" in ask(start, "take tape", rows=rows, use="stop")["fault"]
    ask(start, "take tape", rows=rows, place=upper, use="stop")
    assert start.bench is not None
    assert start.bench.door.hinge.stop == pytest.approx((0.5, 0.5, 0.70711))
    fault = ask(start, "take tape", rows=rows, place=0, use="fixed-side mount")["fault"]
    assert "'strut:0' is not there" in fault


def test_own_strut_is_the_only_one_to_choose_from_until_it_is_dropped(start: Start) -> None:
    texts = {"F1": "38 kg", "F2": "50 kg", "F3": "42 kg", "F4": "54 kg"}
    assert ask(start, "label", **texts, extended="465 mm", stroke="")["fault"].startswith("Stroke")
    ask(start, "label", **texts, extended="465 mm", stroke="200 mm")
    assert "own strut" in ask(start, "suggest", answers=LID)["words"]
    ask(start, "drop label")
    assert "own strut" not in ask(start, "suggest", answers=LID)["words"]


def test_a_door_typed_as_text_goes_back_into_the_boxes(start: Start) -> None:
    ask(start, "judge", answers=LID)
    text = ask(start, "editor")["text"]
    fault = ask(start, "take text", text=text.replace('"8 kg"', '"8"'))["fault"]
    assert "has no unit" in fault
    answer = ask(start, "take text", text=text.replace('"8 kg"', '"20 lb"'))
    assert answer["answers"]["boxes"]["mass"]["text"] == "9.072 kg"
    assert answer["answers"]["boxes"]["thickness"]["unknown"]
    assert start.bench is not None
    assert start.bench.door.panel.mass == pytest.approx(20 * 0.45359237)


def test_the_form_says_which_door_the_bench_shows(start: Start, tmp_path: Path) -> None:
    first = ask(start, "suggest", answers=LID)
    assert first["below"] == {"state": "same", "name": "Lid"}
    assert start.bench is not None
    heavier = {"do": "set", "part": "panel", "field": "mass", "text": "9 kg"}
    ask(start, "edit", edit=heavier)
    assert ask(start, "judge", answers=LID)["below"]["state"] == "edited"
    longer = LID | {"boxes": LID["boxes"] | {"length": {"text": "800 mm", "unknown": False}}}
    assert ask(start, "judge", answers=longer)["below"]["state"] == "older"
    write_door(read_door(door_path("rear-hatch")), tmp_path / "other.toml")
    start.bench.open_door(tmp_path / "other.toml")
    changed = [one for one in start.sent if one["kind"] == "changed"]  # type: ignore[attr-defined]
    assert changed[-1]["below"]["state"] == "other"
    taken = ask(start, "take below")
    assert taken["below"]["state"] == "same"
    assert taken["answers"]["name"] == start.bench.door.name
    assert taken["answers"]["kind"] == "rear_hatch"


def test_a_door_file_opened_in_the_form_stands_in_boxes_and_bench(
    start: Start, tmp_path: Path
) -> None:
    path = tmp_path / "mine.toml"
    write_door(replace(read_door(door_path("rear-hatch")), name="Mine"), path)
    opened = ask(start, "open file", path=str(path))
    assert opened["words"] == "Opened mine.toml."
    assert opened["below"] == {"state": "same", "name": "Mine"}
    assert opened["answers"]["boxes"]["length"]["text"]
    assert start.bench is not None
    assert start.bench.door == read_door(path)
    assert start.bench.path == path
    assert "No path is typed" in ask(start, "open file", path=" ")["fault"]
    assert "fault" in ask(start, "open file", path=str(tmp_path / "none.toml"))


def test_what_a_page_kept_comes_back_with_the_bench(start: Start) -> None:
    ask(start, "suggest", answers=LID)
    assert start.bench is not None
    moved = {"do": "set", "part": "panel", "field": "mass", "text": "9 kg"}
    kept = ask(start, "edit", edit=moved) and start.sent[-2]  # type: ignore[attr-defined]
    again = start_door()
    sent: list[Any] = []
    again.sent = sent  # type: ignore[attr-defined]
    again.form.send = lambda body, *_: sent.append(body)  # type: ignore[method-assign]
    design = {"design": kept["design"], "shown": kept["shown"]}
    answer = ask(again, "bring back", answers=start.form.answers, **design)
    assert answer["answers"] == start.form.answers
    assert again.bench is not None
    assert again.bench.door == start.bench.door
    assert answer["below"]["state"] == "same"
    fault = ask(again, "bring back", answers=LID, design="[panel")["fault"]
    assert "The door kept in this browser" in fault


json_like = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(-5, 5), texts(max_size=6)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(
            st.sampled_from(("kind", "count", "unit", "name", "boxes", "lumps", "text", "length")),
            inner,
            max_size=5,
        ),
    ),
    max_leaves=12,
)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(answers=json_like)
def test_any_saved_answers_are_brought_into_form(start: Start, answers: Any) -> None:
    tidy = tidy_answers(answers)
    assert tidy_answers(tidy) == tidy
    assert "outcome" in ask(start, "judge", answers=answers)


@pytest.mark.parametrize("kind", [["open"], {"a": 1}, None, 7, "no such"])
def test_messages_of_no_known_kind_are_left_alone(start: Start, kind: Any) -> None:
    start_messages.receive(start.form, {"kind": kind, "client": "a", "seq": 7}, [])
    assert start.sent == []  # type: ignore[attr-defined]
