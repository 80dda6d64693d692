"""What the findings judge and no bar of the rating window shows, in words."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from strutkit.compute import statics
from strutkit.decide.conditions import door_statics, nominal_condition
from strutkit.decide.findings import Finding
from strutkit.decide.starters import weight_sense
from strutkit.describe.records import Door
from strutkit.show.subjects import SUBJECTS, subject

TRAVEL = ("travel_compressed", "travel_extended")
"""Limits that no rating changes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BesideBars:
    """Sentences, each empty where it has nothing to say.

    unlooked: what is judged beside the rules and does not fail now; beside: what of that fails
    now; unmended: limits that no rating changes, and that fail."""

    unlooked: str
    beside: str
    unmended: str


def beside_bars(door: Door, findings: Sequence[Finding], rules: Collection[str]) -> BesideBars:
    """All that `check` judges now, or would with another rating, and that is none of the rules."""
    judged = [one for one in findings if one.ok is not None and one.name not in rules]
    fails = [one for one in judged if one.ok is False]
    failing = {one.name for one in fails}
    passing = {one.name for one in judged if one.ok} | _judged_elsewhere(door, findings) - failing
    now = [subject(one.name, one.condition) for one in fails if one.name not in TRAVEL]
    always = [subject(one.name) for one in fails if one.name in TRAVEL]
    order = [*SUBJECTS, *sorted(passing - SUBJECTS.keys())]
    rest = [subject(name) for name in order if name in passing]
    return BesideBars(
        unlooked=_sentence("Not looked at here", rest),
        beside=_sentence("Fails now beside these rules", now),
        unmended=_sentence("Fails at every rating", always),
    )


def _judged_elsewhere(door: Door, findings: Sequence[Finding]) -> set[str]:
    """Findings that may be judged with another rating though they are not with the present one: a
    charge so small that it is only stated, a strut as stop that does not pull, struts that lift
    less together than they push shut."""
    said = {one.name for one in findings}
    found = {"charge_pressure"} & said
    if "travel_end" in said:
        found.add("strut_as_stop")
    if weight_sense(door) != "drops" and _lifts(door):
        found.add("gas_to_spare")
    return found


def _lifts(door: Door) -> bool:
    """Whether any strut lifts the open panel."""
    model = door_statics(door, [nominal_condition])
    return bool((statics.moments(model, model.end).lever_arm > 0.0).any())


def _sentence(start: str, subjects: Sequence[str]) -> str:
    return f"{start}: {', '.join(dict.fromkeys(subjects))}." if subjects else ""
