"""Every value that nobody measured names itself, on the screen and on the sheet, for each kind."""

from pathlib import Path
from typing import Any

import pytest

from strutkit import check, save_sheet, start_door, verdict
from strutkit.decide.start.kinds import KINDS
from strutkit.decide.start.questions import questions
from strutkit.live.start import Start
from strutkit.live.start_messages import receive
from tests.show.pdf_reader import all_text

TAKEN = {
    "thickness": "panel thickness: 30 mm, common practice",
    "knuckle_diameter": "knuckle diameter: 12 mm, common practice",
    "width": "panel width: 900 mm, common practice",
    "handle": "handle: at the free edge",
    "mass": "panel mass: 7.5 kg, 12 kg for a square metre, common practice",
    "centre_of_gravity": "centre of gravity: half-way out, common practice",
    "stop_angle": "hinge stop angle: ",
    "lean": "lean of the panel: upright",
    "rise": "slope of the hinge line: level",
}
"""What "don't know" takes for 700 mm: pin to edge 0.694 m x 0.9 m x 12 kg/m² = 7.50 kg."""

NOT_TAKEN = {"length", "pull", "hinge_height"}
"""Must be known; told by weight and centre of gravity; left open, and nothing taken for it."""

NOT_ASKED = (
    "hinge points: at the two ends of the panel",
    "open stop: one that you fit, at the free edge",
    "depth of the centre of gravity: half-way through the thickness",
    "strut label: of the generic list",
)


def nothing_known(kind: str) -> Start:
    """The form with the length typed, "don't know" everywhere else, and a start suggested."""
    boxes = {
        one.name: {"text": "", "unknown": True} for one in questions(KINDS[kind])
    } | {"length": {"text": "700 mm", "unknown": False}}  # fmt: skip
    start = start_door()
    start.form.answers = start.form.answers | {"kind": kind, "boxes": boxes}
    start.suggest()
    return start


def expected(kind: str) -> list[str]:
    asked = {one.name for one in questions(KINDS[kind])} - NOT_TAKEN
    return [TAKEN[name] for name in sorted(asked)] + list(NOT_ASKED)


ON_PAPER = ("canted_side_door", "drop_flap")
"""Kinds whose sheet is read as well: the one that is asked everything, and the one that falls."""


def test_the_kind_on_paper_is_asked_everything() -> None:
    every = {one.name for kind in KINDS.values() for one in questions(kind)}
    assert {one.name for one in questions(KINDS[ON_PAPER[0]])} == every


@pytest.mark.parametrize("kind", KINDS)
def test_every_value_taken_names_itself_on_screen_and_sheet(
    kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    start = nothing_known(kind)
    sent: list[dict[str, object]] = []
    monkeypatch.setattr(type(start.form), "send", lambda _, body, *__: sent.append(body))
    judge = {"kind": "judge", "client": "a", "seq": 1, "answers": start.form.answers}
    receive(start.form, judge, [])
    listed: Any = sent[0]["assumed"]
    shown = [one["words"] for one in listed]
    door = start.door
    assert door is not None
    for words in expected(kind):
        said = words[0].upper() + words[1:]
        assert any(one.startswith(said) for one in shown), f"{words} is not on the screen"
    assert len(shown) == len(expected(kind)), "a value is taken that is not expected here"
    assert all(one["change"] and one["touches"] for one in listed)
    assert verdict(check(door)).endswith(f", {len(shown)} assumed"), "two counts of one thing"
    assert all(one.name.endswith("(common practice)") for one in door.conditions)
    if kind not in ON_PAPER:
        return
    save_sheet(door, tmp_path / "sheet.pdf")
    paper = squeezed(all_text((tmp_path / "sheet.pdf").read_bytes()))
    for words in (*expected(kind), *door.assumed):
        assert squeezed(words) in paper, f"{words} is not on the sheet"
    for condition in door.conditions:
        assert squeezed(condition.name) in paper, f"{condition.name} is not on the sheet"
    assert squeezed("equals the starter value (common practice)") in paper, "limits are not marked"


def squeezed(text: str) -> str:
    """Text without spaces, line ends and the places where the sheet may break a long word."""
    return "".join(text.replace("\u200b", "").split())
