"""Findings on what the builder asked: one for each limit, its worst over all conditions.

Model sections 3 and 11.11-11.19. The same functions answer, without any words, which limits hold
(`verdicts`), so that an assumption can be tried with other values.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from strutkit.compute import geometry, roots, statics
from strutkit.decide.conditions import shortest_length, strut_label
from strutkit.decide.judging import Finding, Study
from strutkit.decide.loads import held_by_hand, radial_forces
from strutkit.decide.summary import critical_angles, least_gas, least_moments, least_shares
from strutkit.describe.hinge_points import hinge_point_names
from strutkit.describe.numbers import judged, limit_text, quantity_text

Floats = npt.NDArray[np.float64]

HAND_FORCES = ((50.0, "light"), (80.0, "fair"), (120.0, "heavy"), (math.inf, "very heavy"))
"""How one hand overhead feels a force up to so many newtons (judgement from published strength
data, not a standard)."""

HINGE_FIGURES = (("hinge_radial", "first"), ("hinge_radial", "second"), ("hinge_resultant", ""))
"""Name and hinge point of what `radial_forces` gives."""

MOST_SHARE, OVER_SHARE = 10.0, "over 1000 %"
"""A share of the weight's moment beyond this is no figure: the moment nearly passes zero there."""

RISES = {"lifts": "Rises", "drops": "Drops open", "swings": "Opens"}
STAYS = {"lifts": "up", "drops": "open", "swings": "open"}
"""Words by the sense of travel (`Study.sense`)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worst:
    """The worst value of one limited figure, and where it stands. ok None: nothing was asked."""

    name: str
    value: float | None
    ok: bool | None
    condition: str
    angle: float | None
    subject: str = ""


def findings(study: Study) -> list[Finding]:
    """A finding for each limit asked, and for each figure that is worth knowing unasked."""
    return [_worded(study, worst) for worst in measure(study) if _worth_saying(worst)]


def verdicts(study: Study) -> dict[str, Worst]:
    """The judged limits by name."""
    return {worst.name: worst for worst in measure(study) if worst.ok is not None}


def measure(study: Study) -> list[Worst]:
    """The worst of every figure that a limit may bound."""
    several = [_peak(study, "hand_opening"), _peak(study, "hand_closing"), _latch(study)]
    if study.door.limits.lift_off is not None or not study.drops:
        several.append(_lift_off(study))
    several.append(_reserve(study))
    if study.door.limits.reserve_force is not None or not study.drops:
        several.append(_reserve_force(study))
    several.extend(_hinge(study))
    if study.door.fitted:
        several.extend(measure_travel(study))
    return several


def _worth_saying(worst: Worst) -> bool:
    """Unasked, some figures are said by another finding (lift_off_angle, latch_load ...)."""
    unasked_elsewhere = ("lift_off", "latch", "reserve", "travel_compressed", "travel_extended")
    return worst.ok is not None or worst.name not in unasked_elsewhere


def _at_most(study: Study, name: str, value: float) -> bool | None:
    limit = getattr(study.door.limits, name)
    return None if limit is None else value <= limit


def worst_row(study: Study, badness: Callable[[int], float]) -> int:
    """The condition in service that is worst; ties go to the first of `Study.service`."""
    return max(study.service, key=badness)


def _peak(study: Study, name: str) -> Worst:
    peak = "peak_opening" if name == "hand_opening" else "peak_closing"
    row = worst_row(study, lambda one: getattr(study.summaries[one], peak))
    value = float(getattr(study.summaries[row], peak))
    return Worst(
        name=name,
        value=value,
        ok=_at_most(study, name, value),
        condition=study.conditions[row].name,
        angle=getattr(study.summaries[row], f"{peak}_angle"),
    )


def _latch(study: Study) -> Worst:
    row = worst_row(study, lambda one: study.summaries[one].latch_load)
    value = study.summaries[row].latch_load
    return Worst(
        name="latch",
        value=value,
        ok=_at_most(study, "latch", value),
        condition=study.conditions[row].name,
        angle=0.0,
    )


def _lift_off(study: Study) -> Worst:
    """The latest lift-off; the rule asks M - Mf > 0 from the limit to the end (model 11.12)."""
    row = worst_row(study, lambda one: _lateness(study, one))
    latest = study.summaries[row].lift_off
    limit = study.door.limits.lift_off
    ok = None
    if limit is not None:
        ok = latest is not None and latest <= min(limit, float(study.model.end[row]))
    return Worst(
        name="lift_off",
        value=latest,
        ok=ok,
        condition=study.conditions[row].name,
        angle=float(study.model.end[row]) if latest is None else latest,
    )


def _lateness(study: Study, row: int) -> float:
    """Lift-off angle [rad]; where it never comes, beyond any, by what lacks at the end [N·m]."""
    latest = study.summaries[row].lift_off
    if latest is not None:
        return latest
    model = study.model.take([row])
    at = statics.moments(model, model.end)
    return 1e9 + float(at.friction_moment[0, 0] - at.moment[0, 0])


def _reserve(study: Study) -> Worst:
    row = worst_row(study, lambda one: -study.summaries[one].reserve)
    value = study.summaries[row].reserve
    limit = study.door.limits.reserve
    return Worst(
        name="reserve",
        value=value,
        ok=None if limit is None else value >= limit,
        condition=study.conditions[row].name,
        angle=float(least_shares(study.door, study.model.take([row]))[0][0]),
    )


def _reserve_force(study: Study) -> Worst:
    row = worst_row(study, lambda one: -study.summaries[one].reserve_force)
    value = study.summaries[row].reserve_force
    limit = study.door.limits.reserve_force
    return Worst(
        name="reserve_force",
        value=value,
        ok=None if limit is None else value >= limit,
        condition=study.conditions[row].name,
        angle=float(least_moments(study.door, study.model.take([row]))[0][0]),
    )


def gas_to_spare(study: Study) -> dict[str, float]:
    """Least share of gas that may be lost over the reserve span, by the name of each condition in
    service; empty where struts do not lift in one."""
    shares = least_gas(study.door, study.model.take(list(study.service)))[1]
    if np.isneginf(shares).any():
        return {}
    names = (study.conditions[row].name for row in study.service)
    return dict(zip(names, shares.tolist(), strict=True))


def _hinge(study: Study) -> list[Worst]:
    """Greatest radial hinge forces in service: whole line, and either point with cases at rest."""
    angles = critical_angles(study.model)
    shared = angles if angles.ndim == 1 else None
    best: dict[str, tuple[float, int, float, str]] = {}
    for rows in _rows_with_one_travel(study):
        nodes = shared if shared is not None else angles[rows[0]]
        conditions = [study.conditions[row] for row in rows]
        model = study.model.take(rows)
        sizes = np.array(
            radial_forces(study.door, *held_by_hand(study.door, conditions, model, nodes))
        )
        places, at = np.divmod(sizes.reshape(3, -1).argmax(axis=1), len(nodes))
        worst = [rows[int(place)] for place in places]
        values, peaks = _refined_hinge(study, worst, nodes, at)
        for (name, subject), row, value, angle in zip(
            HINGE_FIGURES, worst, values.tolist(), peaks.tolist(), strict=True
        ):
            if name not in best or value > best[name][0]:
                best[name] = (value, row, angle, subject)
    _count_cases(study, best)
    return [
        Worst(
            name=name,
            value=value,
            ok=_at_most(study, name, value),
            condition=study.conditions[row].name,
            angle=angle,
            subject=subject,
        )
        for name, (value, row, angle, subject) in best.items()
    ]


def _rows_with_one_travel(study: Study) -> list[list[int]]:
    ends: dict[float, list[int]] = {}
    for row in study.service:
        ends.setdefault(float(study.model.end[row]), []).append(row)
    return list(ends.values())


def _refined_hinge(
    study: Study, rows: list[int], nodes: Floats, at: npt.NDArray[np.intp]
) -> tuple[Floats, Floats]:
    """Greatest value of each of `HINGE_FIGURES` near a node in a condition, and its angle [3]."""
    conditions, model = [study.conditions[row] for row in rows], study.model.take(rows)
    figure = np.arange(len(HINGE_FIGURES))

    def sizes(_: npt.NDArray[np.intp], angle: Floats) -> Floats:
        held = held_by_hand(study.door, conditions, model, angle.ravel())
        every = np.array(radial_forces(study.door, *held)).reshape(3, len(rows), *angle.shape)
        return np.asarray(every[figure, figure, figure])

    angle, value = roots.refine_peaks(sizes, *roots.beside(nodes, nodes[at]))
    return value, angle


def _count_cases(study: Study, best: dict[str, tuple[float, int, float, str]]) -> None:
    """Cases at rest count for either hinge point."""
    for row in study.service:
        for case_name, case in study.cases[row].items():
            first, second, _ = radial_forces(study.door, case.first, case.second)
            angle = 0.0 if case_name == "shut and latched" else float(study.model.end[row])
            for subject, size in (("first", float(first)), ("second", float(second))):
                if size > best["hinge_radial"][0] * (1.0 + 1e-9):
                    best["hinge_radial"] = (size, row, angle, f"{subject}, {case_name}")


def measure_travel(study: Study, struts: Sequence[int] | None = None) -> list[Worst]:
    """Least stroke kept at each end, over all angles and conditions (model 11.19).

    struts: indices in `door.fitted` of those that count (None: all).
    """
    kept: dict[str, tuple[float, int, float, str]] = {}
    ends: dict[float, int] = {}
    for row in study.order:
        ends.setdefault(float(study.model.end[row]), row)
    for end, row in ends.items():
        shortest, at_shortest = geometry.shortest(study.model.geometry, end)
        longest, at_longest = geometry.longest(study.model.geometry, end)
        for index, fitted in enumerate(study.door.fitted):
            if not study.model.present[row, index] or (struts is not None and index not in struts):
                continue
            pushed_in = float(shortest[index]) - shortest_length(fitted)
            extended = fitted.strut.extended_length - float(longest[index])
            options = [("travel_compressed", pushed_in, float(at_shortest[index]))]
            if not _is_stop(study, end, extended):
                options.append(("travel_extended", extended, float(at_longest[index])))
            for name, value, angle in options:
                if name not in kept or value < kept[name][0]:
                    kept[name] = (max(0.0, value), row, angle, strut_label(fitted))
    return [
        Worst(
            name=name,
            value=value,
            ok=_at_least(study, name, value),
            condition=study.conditions[row].name,
            angle=angle,
            subject=subject,
        )
        for name, (value, row, angle, subject) in kept.items()
    ]


def _is_stop(study: Study, end: float, extended: float) -> bool:
    return end < study.door.hinge.stop_angle and extended <= geometry.LENGTH_SLACK


def _at_least(study: Study, name: str, value: float) -> bool | None:
    limit = getattr(study.door.limits, name)
    return None if limit is None else value >= limit - 1e-9


def _worded(study: Study, worst: Worst) -> Finding:
    limit = getattr(study.door.limits, worst.name)
    unit = {"lift_off": "rad", "reserve": "1"}.get(worst.name, "N")
    finding = Finding(
        name=worst.name,
        value=worst.value,
        limit=limit,
        unit="m" if worst.name.startswith("travel") else unit,
        ok=worst.ok,
        condition=worst.condition,
        angle=worst.angle,
        words="",
        source="" if limit is None else study.source(worst.name),
    )
    return replace(finding, words=WORDS[worst.name](study, worst, limit))


def _force_words(start: str, worst: Worst, limit: float | None) -> str:
    value = worst.value or 0.0
    if limit is None:
        return f"{start} {quantity_text(value, 'force', toward='up')}; no limit is given."
    shown, allowed = judged(value, limit, "force", broken=worst.ok is False)
    return f"{start} {shown}; the limit is {allowed}."


def _none_needed(start: str, limit: float | None) -> str:
    allowed = "no limit is given" if limit is None else f"the limit is {_most(limit)}"
    return f"{start}; {allowed}."


def _opening_words(study: Study, worst: Worst, limit: float | None) -> str:
    if not worst.value:
        return _none_needed("It opens without a push", limit)
    return _force_words("To open it takes", worst, limit)


def _closing_words(study: Study, worst: Worst, limit: float | None) -> str:
    if not worst.value:
        return _none_needed("It shuts without a push", limit)
    start = "To lift it shut takes" if study.drops else "To shut it takes"
    words = _force_words(start, worst, limit)
    if limit is None:
        return words.replace("; no", f", {feel(worst.value or 0.0)} for one hand; no")
    return words


def feel(force: float) -> str:
    """How one hand feels a force [N]: light, fair, heavy, very heavy (a judgement)."""
    return next(word for bound, word in HAND_FORCES if force <= bound)


def _latch_words(study: Study, worst: Worst, limit: float | None) -> str:
    if not worst.value:
        return _none_needed("Shut, it does not push on the latch", limit)
    return _force_words("Shut, it pushes on the latch with", worst, limit)


def _lift_off_words(study: Study, worst: Worst, limit: float | None) -> str:
    """The nominal lift-off, then the worst one against what was asked."""
    new = study.summaries[0].lift_off
    asked = quantity_text(limit, "angle", toward="down")
    if worst.value is None:
        worst_words = f"In {worst.condition} it never does, and you asked for {asked}."
    elif limit is not None:
        shown, asked = judged(worst.value, limit, "angle", broken=worst.ok is False)
        worst_words = f"In {worst.condition} only from {shown}, and you asked for {asked}."
    rises = RISES[study.sense]
    if worst.ok and not worst.value:
        return f"{rises} by itself from shut; the limit is {asked}."
    if worst.ok:
        return f"{rises} by itself from {shown} at the latest; the limit is {asked}."
    if worst.value is None and new is None:
        return f"It never {rises.lower()} by itself to the end; you asked for {asked}."
    if worst.condition == study.conditions[0].name:
        return f"{rises} by itself only from {shown}; you asked for {asked}."
    start = (
        f"New, it never {rises.lower()} by itself to the end."
        if new is None
        else f"{rises} by itself from {quantity_text(new, 'angle', toward='up')}."
    )
    return f"{start} {worst_words}"


def _reserve_words(study: Study, worst: Worst, limit: float | None) -> str:
    value, asked = worst.value or 0.0, limit or 0.0
    allowed = limit_text(asked, "share", at_most=False)
    if value < 0.0:
        short = OVER_SHARE if value < -MOST_SHARE else quantity_text(-value, "share", toward="up")
        return (
            f"Open, it lacks {short} of the weight's moment to stay {STAYS[study.sense]}; the limit"
            f" is {allowed} to spare."
        )
    if value > max(MOST_SHARE, asked):
        shown = OVER_SHARE
    else:
        shown, allowed = judged(value, asked, "share", at_most=False, broken=worst.ok is False)
    return f"Open, it keeps {shown} of the weight's moment to spare; the limit is {allowed}."


def _reserve_force_words(study: Study, worst: Worst, limit: float | None) -> str:
    value, way = worst.value or 0.0, STAYS[study.sense]
    share = _gas_words(study, worst) if value > 0.0 else ""
    if value < 0.0:
        short = quantity_text(-value, "force", toward="up")
        asked = "no limit is given" if limit is None else f"the limit is {_least(limit)} to spare"
        return f"Open, it lacks {short} at the handle to stay {way}; {asked}."
    if limit is None:
        return (
            f"Stays {way} with {quantity_text(value, 'force', toward='down')} to spare{share};"
            " no limit is given."
        )
    shown, allowed = judged(value, limit, "force", at_most=False, broken=worst.ok is False)
    return f"Stays {way} with {shown} to spare{share}; the limit is {allowed}."


def _gas_words(study: Study, worst: Worst) -> str:
    """The least gas to spare, and in which condition where that of the newtons reads another."""
    every = gas_to_spare(study)
    if not every:
        return ""
    name = min(every, key=lambda one: every[one])
    least, own = gas_text(every[name]), gas_text(every[worst.condition])
    within = "" if least == own else f" in {name}"
    return f" ({least} of its gas{within})"


def gas_text(share: float) -> str:
    """A share of gas to spare, rounded down."""
    return quantity_text(min(share, 1.0), "share", toward="down")


def _least(limit: float) -> str:
    return quantity_text(limit, "force", toward="up")


def _most(limit: float) -> str:
    return quantity_text(limit, "force", toward="down")


def _radial_words(study: Study, worst: Worst, limit: float | None) -> str:
    point, _, case = worst.subject.partition(", ")
    where = f" ({case})" if case else ""
    point = hinge_point_names(study.door)[point == "second"]
    return _force_words(f"The {point} hinge point carries{where}", worst, limit)


def _resultant_words(study: Study, worst: Worst, limit: float | None) -> str:
    return _force_words("The hinge line carries", worst, limit)


def _travel_words(study: Study, worst: Worst, limit: float | None) -> str:
    end = "pushed in" if worst.name == "travel_compressed" else "extended"
    subject = worst.subject[:1].upper() + worst.subject[1:]
    shown, allowed = judged(
        worst.value or 0.0, limit or 0.0, "length", at_most=False, broken=worst.ok is False
    )
    return f"{subject} keeps {shown} of stroke {end}; the limit is {allowed}."


WORDS: dict[str, Callable[[Study, Worst, float | None], str]] = {
    "hand_opening": _opening_words,
    "hand_closing": _closing_words,
    "latch": _latch_words,
    "lift_off": _lift_off_words,
    "reserve": _reserve_words,
    "reserve_force": _reserve_force_words,
    "hinge_radial": _radial_words,
    "hinge_resultant": _resultant_words,
    "travel_compressed": _travel_words,
    "travel_extended": _travel_words,
}
"""The sentence of each limit."""
