"""The mount-point sheet as data: everything that its template prints, in the order of the page."""

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from strutkit._version import __version__
from strutkit.decide.conditions import assumptions
from strutkit.decide.findings import check, count_words
from strutkit.decide.judging import Finding, Study, study
from strutkit.decide.strut_advice import fitted_shut
from strutkit.decide.summary import Summary
from strutkit.decide.sweep import sweep
from strutkit.describe.doorfile import door_fingerprint
from strutkit.describe.hinge_points import hinge_point_names
from strutkit.describe.numbers import LengthUnit, quantity_text, unbroken
from strutkit.describe.records import NOMINAL, Condition, Door
from strutkit.describe.size import shown_finely
from strutkit.show import (
    cautions,
    mount_forces,
    sheet_figures,
    sheet_pictures,
    sheet_tables,
    workshop,
)
from strutkit.show.calculation import Calculation, calculation
from strutkit.show.holes import SIZES, hole_of
from strutkit.show.mount_words import (
    NO_BREAK,
    Ball,
    assumed_places,
    ball_names,
    balls,
    lean,
    listed,
)
from strutkit.show.sheet_figures import AT_END, place_text
from strutkit.show.steps import Step

LONG_TITLE = 60
"""A longer name is set smaller."""

LEANS = math.radians(0.5)
"""A hinge line that leans more than this [rad] is said to."""


@shown_finely
def sheet_data(
    door: Door,
    *,
    page: str,
    length_unit: LengthUnit,
    angle: float | None,
    date: dt.date | None,
) -> dict[str, Any]:
    """All that the sheet prints. Raises as `sweep` does for a door that cannot be swept."""
    looked = study(door)
    findings = check(door)
    shut = fitted_shut(looked)
    return {
        **frame_data(door, page, length_unit, date),
        "title_size": 15 if len(door.name) <= LONG_TITLE else 10,
        "verdict": _verdict(findings),
        "sides": sheet_pictures.sides(door, length_unit),
        "along": sheet_pictures.along(door, length_unit),
        "buy": sheet_figures.buy(door, length_unit),
        "expect": sheet_figures.expect(looked),
        "hinge": [*sheet_figures.hinge_lines(looked), *mount_forces.pushed_line(looked)],
        "cautions_short": cautions.short(shut),
        "cautions_bold": [one for one in lost_strut(findings) if one != _sentence(findings[0])],
        **_mounts(door, length_unit),
        "tape": sheet_tables.tape(door, length_unit),
        "tape_note": sheet_tables.TAPE_NOTE,
        "as_built": _as_built(door),
        "charts": sheet_pictures.charts(door, page),
        "findings": [_finding(looked, one) for one in findings],
        "conditions": sheet_tables.conditions_table(looked),
        "assumptions": _assumed(looked),
        "not_checked": [one.words for one in findings if one.name == "not_checked"],
        "fitting": workshop.fitting_order(looked),
        "lengths_by_angle": sheet_tables.lengths_by_angle(door, length_unit),
        "mount_forces": mount_forces.mount_forces(looked),
        "points": sheet_tables.points(door),
        "cautions": cautions.full(shut),
        "calculations": _calculations(looked, findings, angle),
        "signatures": ["Built by, date", "Checked by, date", "Weight measured, kg"],
        "closing": ["Door fingerprint, SHA-256 of the door file:", door_fingerprint(door)],
    }


def frame_data(
    door: Door, page: str, length_unit: LengthUnit, date: dt.date | None
) -> dict[str, Any]:
    """What every page bears: paper, title, date, fingerprint, version."""
    first, second = ("mm", "inch to 1/64") if length_unit == "mm" else ("inch to 1/64", "mm")
    return {
        "page": page,
        "title": door.name,
        "description": "Where to drill, what to buy and what to expect of a gas strut door.",
        "date": None if date is None else date.isoformat(),
        "lengths": f"{first} ({second})",
        "fingerprint": door_fingerprint(door),
        "kit": f"strutkit {__version__}",
    }


def _verdict(findings: Sequence[Finding]) -> dict[str, str]:
    count, _, rest = count_words(findings).partition(", ")
    states = [one.state for one in findings]
    worst = findings[0]
    kinds = ("fails", "passes", "not judged", "assumed")
    count_state = next(one for one in kinds if one in states)
    return {
        "state": worst.state,
        "words": _sentence(worst),
        "count": count,
        "count_state": worst.state if worst.name == "travel_end" else count_state,
        "rest": f", {rest}" if rest else "",
    }


def _sentence(finding: Finding) -> str:
    return unbroken(" ".join(finding.words.split()))


def _finding(looked: Study, finding: Finding) -> dict[str, Any]:
    where = [] if finding.condition is None else [finding.condition]
    if finding.angle is not None:
        where.append(f"at{NO_BREAK}{place_text(looked, finding.angle)}")
    return {
        "state": finding.state,
        "words": _sentence(finding),
        "where": [line for line in (", ".join(where), finding.source) if line],
    }


def lost_strut(findings: Sequence[Finding]) -> list[str]:
    """What happens with a strut lost: the worst of those findings, where there is one."""
    return [_sentence(one) for one in findings if one.name.startswith("fault_")][:1]


def _mounts(door: Door, length_unit: LengthUnit) -> dict[str, Any]:
    holes = _holes(door, length_unit)
    notes = []
    if not holes:
        notes.append(
            "Ball or pin centres, not holes: drill through the bracket, its ball on the centre."
        )
    else:
        notes.append(f"Do not drill at ball centres. {SIZES}")
        notes.append("A bracket’s further holes: drill through the bracket.")
        if len(holes) < 2 * len(door.struts):
            notes.append("Holes that are not listed depend on the bracket.")
    notes.append("Panel shut; square to the hinge line.")
    if length_unit == "in":
        notes.append("Inches are to the nearest 1/64″; the mm to 0.1.")
    if not all(one.mirrored for one in door.struts):
        notes.append("Left and right as seen from outside.")
    if lean(door) > LEANS:
        notes.append(
            f"The hinge line leans by {quantity_text(lean(door), 'angle')}: set the square on the"
            " hinge line, not on the level."
        )
    rows = []
    for place, ball in enumerate(balls(door, length_unit)):
        alone = len(door.struts) == 1
        strut = "" if alone and (holes or ball.count > 1) else f", {ball.strut}"
        if place not in holes:
            kind = "ball centre" if holes else ""
            rows.append(_mount(ball, kind, ball.side, strut))
            continue
        hole, words = holes[place]
        rows.append(_mount(ball, "ball centre", ball.side, ""))
        rows.append(_mount(hole, "hole", words, strut.removeprefix(", ")))
    return {
        "mount_heads": ["across", "height", "from the middle"],
        "mounts": rows,
        "mount_notes": [" ".join(notes)],
        "mount_assumed": assumed_places(door),
    }


def _holes(door: Door, length_unit: LengthUnit) -> dict[int, tuple[Ball, str]]:
    """Place among the balls -> its hole as the sheet lists it, and the drill in words."""
    found = {}
    for number, (names, fitted) in enumerate(zip(ball_names(door), door.struts, strict=True)):
        for place, part in enumerate(("frame", "panel")):
            hole = hole_of(fitted, part)
            if hole is not None:
                row = listed(door, fitted, names[place], hole.place, "", length_unit)
                found[2 * number + place] = (row, hole.words)
    return found


def _mount(ball: Ball, kind: str, words: str, strut: str) -> dict[str, Any]:
    return {
        "ball": ball.name,
        "kind": kind,
        "count": "" if ball.count == 1 else f"{ball.count}×",
        "places": [asdict(ball.outward), asdict(ball.upward), asdict(ball.along)],
        "side": words,
        "strut": strut,
    }


def _as_built(door: Door) -> list[str]:
    fields = []
    for one, (fixed, moving) in zip(door.struts, ball_names(door), strict=True):
        sides = (" left", " right") if one.mirrored else ("",)
        for ball, when in ((fixed, "shut"), (moving, "open")):
            fields += [f"{ball}{side}" for side in sides]
            fields.append(f"{fixed}–{moving} {when}")
    return fields


def _assumed(looked: Study) -> list[str]:
    texts: dict[str, None] = {}
    for condition in looked.conditions:
        texts.update(dict.fromkeys(assumptions(looked.door, condition)))
    return list(texts)


def _calculations(
    looked: Study, findings: Sequence[Finding], angle: float | None
) -> list[dict[str, Any]]:
    """The calculation at the chosen angle, new struts at 20 °C, and at the deciding one."""
    door = looked.door
    end = float(looked.model.end[0])
    known: set[tuple[str, Step]] = set()
    chosen = _middle_angle(end) if angle is None else angle
    sweep(door, angles=[chosen])
    made = [
        _calculation(
            calculation(door, door.condition(NOMINAL), chosen),
            "Calculation: new struts at 20 °C",
            known,
        )
    ]
    done = [(door.condition(NOMINAL), chosen)]
    for condition, where, title in _worked_out(looked, findings):
        if any(condition == one and abs(where - at) < AT_END for one, at in done):
            continue
        done.append((condition, where))
        made.append(_calculation(calculation(door, condition, where), title, known))
    return made


def _worked_out(looked: Study, findings: Sequence[Finding]) -> list[tuple[Condition, float, str]]:
    """What is followed by hand: the finding that decides, the greatest hinge and stop loads."""
    found = []
    deciding = _deciding(looked, findings)
    if deciding is not None:
        condition, where, words = deciding
        found.append((condition, where, f"Calculation that decides: {words}"))
    names = hinge_point_names(looked.door)
    peaks = sheet_figures.hinge_peaks(looked)
    place = int(peaks[1].force > peaks[0].force)
    most = peaks[place]
    load = quantity_text(most.force, "force", toward="up")
    words = f"Calculation of the greatest hinge load: {names[place]} hinge point, {load}."
    found.append((most.condition, most.angle, words))
    stop = sheet_figures.stop_peak(looked)
    if stop is not None:
        load = quantity_text(stop.force, "force", toward="up")
        found.append((stop.condition, stop.angle, f"Calculation at the open stop: {load}."))
    return found


def _middle_angle(end: float) -> float:
    """Half the travel, to whole 5°."""
    return min(end, math.radians(max(5.0, 5.0 * round(math.degrees(end) / 10.0))))


def _deciding(looked: Study, findings: Sequence[Finding]) -> tuple[Condition, float, str] | None:
    """Condition, angle and words of the finding that is farthest over its limit or nearest to it;
    else the heaviest push."""
    named = {one.name: one for one in looked.conditions}
    judged = [
        one
        for one in findings
        if one.ok is not None and one.condition in named and one.angle is not None and one.limit
    ]
    if judged:
        failing = [one for one in judged if one.ok is False]
        one = failing[0] if failing else min(judged, key=_room)
        return named[one.condition or ""], one.angle or 0.0, _sentence(one)
    row = max(looked.service, key=lambda place: _heaviest(looked.summaries[place])[0])
    force, angle = _heaviest(looked.summaries[row])
    if force <= 0.0:
        return None
    words = f"the hand gives {quantity_text(force, 'force', toward='up')} at most."
    return looked.conditions[row], angle, words


def _room(finding: Finding) -> float:
    """How far a value is from its limit, as a share of the limit."""
    value, limit = finding.value or 0.0, finding.limit or 1.0
    return abs(value - limit) / abs(limit)


def _heaviest(one: Summary) -> tuple[float, float]:
    return max(
        (one.peak_opening, one.peak_opening_angle), (one.peak_closing, one.peak_closing_angle)
    )


def _calculation(made: Calculation, title: str, known: set[tuple[str, Step]]) -> dict[str, Any]:
    """A calculation for the page. known: steps of earlier ones, which are not worked out again."""
    blocks = []
    for heading, block in made.blocks:
        given = [one for one in block if not one.formula or (heading, one) in known]
        blocks.append(
            {
                "title": heading,
                "given": [_step(one) for one in given],
                "steps": [_step(one) for one in block if one not in given],
            }
        )
        known.update((heading, one) for one in block if one.formula)
    return {
        "title": title,
        "note": f"At {math.degrees(made.angle):.3f}°, condition: {made.condition.name}. Lengths in"
        " m, forces in N, moments in N·m; positive opens. Outward, up and along as in “Where to"
        " drill”; forces act on the panel, what holds it feels the opposite. Each result is worked"
        " out from the numbers as printed; what came out alike before is not repeated."
        " Elsewhere on the sheet forces are whole newtons, rounded to the careful side.",
        "blocks": blocks,
    }


def _step(step: Step) -> dict[str, Any]:
    unit = "" if step.result.unit in ("", "°") else f"{NO_BREAK}{step.result.unit}"
    degrees = "°" if step.result.unit == "°" else ""
    return {
        "says": step.says,
        "symbol": step.symbol,
        "formula": step.formula,
        "numbers": step.numbers,
        "result": f"{step.result.text}{degrees}{unit}",
    }
