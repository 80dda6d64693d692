"""Findings on struts that fail: one lost (does it fall, from where to where), one tired.

Model sections 3 and 11.17.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.compute import roots, statics
from strutkit.decide import limit_rules
from strutkit.decide.conditions import door_statics, strut_label
from strutkit.decide.judging import PRACTICE, Finding, Study, tired_conditions
from strutkit.decide.loads import held_by_hand, radial_forces
from strutkit.decide.summary import critical_angles, least_moments
from strutkit.describe.numbers import Toward, quantity_text

Floats = npt.NDArray[np.float64]

_Ways = tuple[tuple[float, float], ...]
"""From where to where a panel moves by itself [rad], in the order in which it comes to them."""

HOLD_NODES = 181
"""Angles of a fall at which the holding force is looked at, before its peak is refined."""

VERBS = {"lifts": ("falls shut", "sinks"), "swings": ("swings shut", "swings")}
"""What a panel does by itself, to shut and to somewhere on its way, by `Study.sense`."""


def findings(study: Study) -> list[Finding]:
    """Every finding on this subject that has something to say, the lost struts worst first."""
    tired = _strut_tired(study)
    lost = sorted(_every_lost(study), key=lambda one: _worst_first(study, one))
    several = {
        index: [one for one in lost if study.conditions[one.row].missing == index]
        for index in range(len(study.door.fitted))
        if index not in study.bottoming
    }
    order = sorted(several, key=lambda index: _worst_first(study, several[index][0]))
    return [
        *([] if tired is None else [tired]),
        *(_bottoms_out(study, index) for index in study.bottoming),
        *(_fault(study, index, several[index]) for index in order),
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lost:
    """A panel in one condition with a strut lost.

    hold: greatest force at the handle that holds it on its falls, or anywhere where there are
    none [N], at an angle [rad]; at_point: greatest radial force of a hinge point, held by the hand
    or at rest [N].
    """

    row: int
    falls: _Ways
    hold: float
    angle: float
    at_point: float


def _worst_first(study: Study, lost: _Lost) -> tuple[float, ...]:
    """Sorts first what stays least of the travel from where it should stay, then what falls on
    farthest, then what is hardest to hold; noise decides nothing."""
    if not lost.falls:
        return math.inf, 0.0, -round(lost.hold, 6)
    start, stop = lost.falls[0]
    kept = start if study.drops else float(study.model.end[lost.row]) - start
    return round(kept, 9), round(-stop if study.drops else stop, 9), -round(lost.hold, 6)


def _fault(study: Study, index: int, own: Sequence[_Lost]) -> Finding:
    """What happens with one strut lost: does it fall, from where to where, what hand and hinge
    feel. own: the conditions without it, worst first."""
    told = own[0]
    hold = max((one for one in own if one.falls), key=lambda one: one.hold, default=told)
    hinge = max(own, key=lambda one: one.at_point)
    load, load_within = _greatest(study, hinge, hinge.at_point, told, told.at_point)
    happens = "it stays up" if study.sense == "lifts" else "it stays where it is"
    if told.falls:
        force, force_within = _greatest(study, hold, hold.hold, told, told.hold)
        if force_within and force_within == load_within:
            force_within, load_within = "", load_within.replace("in ", "both figures in ", 1)
        falls = _fall_words(study, told) + _further_words(study, own)
        happens = f"{falls}; holding it takes {force}{force_within}"
    label = strut_label(study.door.fitted[index])
    return Finding(
        name=f"fault_{index}",
        value=hold.hold,
        unit="N",
        condition=study.conditions[told.row].name,
        angle=told.angle,
        words=f"With {label} lost {happens}. A hinge point then carries {load}{load_within}.",
    )


def _greatest(
    study: Study, worst: _Lost, greatest: float, told: _Lost, here: float
) -> tuple[str, str]:
    """The greatest force [N], and in which condition it is where the one that is told reads
    another figure."""
    shown = quantity_text(greatest, "force", toward="up")
    alike = shown == quantity_text(here, "force", toward="up")
    return shown, "" if alike else _within(study, told, worst)


def _within(study: Study, told: _Lost, other: _Lost) -> str:
    return "" if other is told else f" (in {study.conditions[other.row].name})"


def _bottoms_out(study: Study, index: int) -> Finding:
    """With one strut lost the panel opens on until another bottoms out and pries at the hinge."""
    too_long = study.bottoming[index]
    return Finding(
        name=f"fault_{index}",
        value=too_long.excess,
        limit=0.0,
        unit="m",
        ok=False,
        condition=min(one.name for one in study.left_out if one.missing == index),
        angle=too_long.angle,
        words=too_long.words,
    )


def _every_lost(study: Study) -> list[_Lost]:
    """Each condition with a strut missing, in the order of `Study.order`."""
    rows = [row for row in study.order if study.conditions[row].missing is not None]
    found: dict[int, _Lost] = {}
    for end in {float(study.model.end[row]) for row in rows}:
        group = [row for row in rows if study.model.end[row] == end]
        found.update(zip(group, _lost_with_one_travel(study, group, end), strict=True))
    return [found[row] for row in rows]


def _lost_with_one_travel(study: Study, rows: Sequence[int], end: float) -> list[_Lost]:
    door, model = study.door, study.model.take(rows)
    conditions = [study.conditions[row] for row in rows]
    falls = _falls(study, model)
    nodes = critical_angles(model)
    radial = radial_forces(door, *held_by_hand(door, conditions, model, nodes))[:2]
    held = np.max(radial, axis=(0, 2)).tolist()
    holds = _holds(study, model, [ways or ((0.0, end),) for ways in falls])
    return [
        _Lost(
            row=row,
            falls=falls[place],
            hold=max(0.0, holds[place][1]),
            angle=holds[place][0],
            at_point=max(held[place], _at_rest(study, row)),
        )
        for place, row in enumerate(rows)
    ]


def _at_rest(study: Study, row: int) -> float:
    """Greatest radial force of a hinge point in any case at rest [N]."""
    cases = study.cases[row].values()
    radial = [radial_forces(study.door, one.first, one.second)[:2] for one in cases]
    return max((float(one) for pair in radial for one in pair), default=0.0)


def _falls(study: Study, model: statics.Statics) -> list[_Ways]:
    """Where the panel moves by itself, for each condition of a model with one travel.

    A lid falls where M + Mf < 0, from the widest such angle down to where it comes to rest; a
    flap whose weight opens it drops where M - Mf > 0, from the smallest such angle on.
    """
    nodes = critical_angles(model)
    side = np.full(len(model.end), -1.0 if study.drops else 1.0)

    def curve(picked: npt.NDArray[np.intp], angle: Floats) -> Floats:
        return statics.with_friction(model.take(picked), side[picked], angle)

    at = statics.moments(model, nodes)
    every = np.broadcast_to(nodes, at.moment.shape)
    values = at.moment + side[:, None] * at.friction_moment
    found = []
    for place, inside in enumerate(roots.find_roots(curve, every, values)):
        edges = np.array([0.0, *inside, nodes[-1]])
        middle = (edges[:-1] + edges[1:]) / 2.0
        pushes = side[place] * curve(np.full(len(middle), place), middle[:, None])[:, 0]
        pieces = [edges[one : one + 2].tolist() for one in np.flatnonzero(pushes < 0.0)]
        ways = [(low, high) if study.drops else (high, low) for low, high in pieces]
        found.append(tuple(ways if study.drops else ways[::-1]))
    return found


def _holds(
    study: Study, model: statics.Statics, ways: Sequence[_Ways]
) -> list[tuple[float, float]]:
    """Angle [rad] and greatest force at the handle [N] that holds the panel anywhere on its ways,
    for each condition of a model."""
    owner = np.repeat(np.arange(len(ways)), [len(own) for own in ways])
    push = (1.0 if study.drops else -1.0) / study.door.hinge_distance(study.door.panel.handle)

    def holding(rows: npt.NDArray[np.intp], angle: Floats) -> Floats:
        return push * statics.moments(model.take(owner[rows]), angle).moment

    pieces = np.sort([way for own in ways for way in own], axis=1)
    nodes = pieces[:, :1] + (pieces[:, 1:] - pieces[:, :1]) * np.linspace(0.0, 1.0, HOLD_NODES)
    angle, value = roots.find_peaks(holding, nodes, holding(np.arange(len(nodes)), nodes))
    found = list(zip(angle.tolist(), value.tolist(), strict=True))
    return [
        max((found[one] for one in np.flatnonzero(owner == place)), key=lambda one: one[1])
        for place in range(len(ways))
    ]


def _fall_words(study: Study, told: _Lost) -> str:
    """The first fall of a condition in words, by the sense of travel."""
    (start, stop), end = told.falls[0], float(study.model.end[told.row])
    if study.drops:
        opens = "from shut" if start == 0.0 else f"once past {_degrees(start, 'down')}"
        rest = "" if stop == end else f" to {_degrees(stop, 'up')} and stays there"
        return f"it drops open {opens}{rest}"
    falls, sinks = VERBS[study.sense]
    goes, rest = falls, ""
    if stop > 0.0:
        goes, rest = sinks, f" to {_degrees(stop, 'down')} and stays there"
    if start == end:
        return f"it {goes} from fully open{rest}"
    above = f"it stays open above {_degrees(start, 'up')} and"
    return f"{above} below {sinks}{rest}" if rest else f"{above} {falls} below"


def _further_words(study: Study, own: Sequence[_Lost]) -> str:
    """Of a panel said to stay somewhere on its way: where it falls on from, in any condition."""
    told = own[0]
    way, side = (-1.0, "up") if study.drops else (1.0, "down")
    every = [(way * stop, -way * start, one) for one in own for start, stop in one.falls]
    last, first, other = min(every, key=lambda one: one[:2])
    start, stop, rests = -way * first, way * last, _degrees(way * last, side)
    if rests == _degrees(told.falls[0][1], side):
        return ""
    within = _within(study, told, other)
    if study.drops:
        goes = "open" if stop == float(study.model.end[other.row]) else f"to {rests}"
        return f", but drops {goes} once past {_degrees(start, 'down')}{within}"
    falls, sinks = VERBS[study.sense]
    goes = f"{sinks} to {rests}" if stop > 0.0 else falls
    return f", but {goes} below {_degrees(start, 'up')}{within}"


def _degrees(angle: float, toward: Toward) -> str:
    return quantity_text(angle, "angle", toward=toward)


def _strut_tired(study: Study) -> Finding | None:
    """The open panel with one strut tired, each tried in turn, new and level otherwise."""
    door = study.door
    if study.drops or not door.fitted:
        return None
    tired = tired_conditions(door)
    angles, moments = least_moments(door, door_statics(door, tired))
    forces = moments / door.hinge_distance(door.panel.handle)
    index = int(forces.argmin())
    value, way = float(forces[index]), limit_rules.STAYS[study.sense]
    shown = quantity_text(abs(value), "force", toward="down" if value >= 0.0 else "up")
    happens = f"it stays {way} with {shown} to spare" if value >= 0.0 else f"it sags, {shown} short"
    return Finding(
        name="strut_tired",
        value=value,
        unit="N",
        condition=tired[index].name,
        angle=float(angles[index]),
        words=f"With {strut_label(door.fitted[index])} tired to 70 % {happens}.",
        source=PRACTICE,
    )
