"""Findings on struts that fail: one lost (does it fall, from where to where), one tired.

Model sections 3 and 11.17.
"""

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


def findings(study: Study) -> list[Finding]:
    """Every finding on this subject that has something to say."""
    falls = _falls(study)
    several = [_strut_tired(study)]
    several.extend(
        _bottoms_out(study, index) if index in study.bottoming else _fault(study, index, falls)
        for index in range(len(study.door.fitted))
    )
    return [finding for finding in several if finding is not None]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fall:
    """What a panel does by itself with a strut lost: it moves from one angle to another [rad].

    start None: it does not move. hold: greatest force at the handle that holds it there [N], at
    an angle [rad]. at_point: greatest radial force of a hinge point, held by the hand [N].
    """

    row: int
    start: float | None
    stop: float | None
    hold: float
    angle: float
    at_point: float


def _fault(study: Study, index: int, falls: Sequence[_Fall]) -> Finding:
    """What happens with one strut lost: does it fall, from where to where, what hand and hinge
    feel."""
    own = [one for one in falls if study.conditions[one.row].missing == index]
    fall = max(own, key=lambda one: one.hold)
    at_point = fall.at_point
    for case in study.cases[fall.row].values():
        at_point = max(
            at_point, *map(float, radial_forces(study.door, case.first, case.second)[:2])
        )
    label = strut_label(study.door.fitted[index])
    load = quantity_text(at_point, "force", toward="up")
    happens = _fall_words(study.sense, fall, float(study.model.end[fall.row]))
    return Finding(
        name=f"fault_{index}",
        value=fall.hold,
        unit="N",
        condition=study.conditions[fall.row].name,
        angle=fall.angle,
        words=f"With {label} lost {happens}. A hinge point then carries {load}.",
    )


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


def _falls(study: Study) -> list[_Fall]:
    """What the panel does in each condition with a strut missing, in the order of `Study.order`."""
    rows = [row for row in study.order if study.conditions[row].missing is not None]
    found: dict[int, _Fall] = {}
    for end in {float(study.model.end[row]) for row in rows}:
        group = [row for row in rows if study.model.end[row] == end]
        found.update(zip(group, _falls_with_one_travel(study, group), strict=True))
    return [found[row] for row in rows]


def _falls_with_one_travel(study: Study, rows: Sequence[int]) -> list[_Fall]:
    """A lid falls where M + Mf < 0, from the widest such angle down to where it comes to rest; a
    flap whose weight opens it drops where M - Mf > 0, from the smallest such angle on."""
    door, model = study.door, study.model.take(rows)
    nodes = critical_angles(model)
    side = np.full(len(rows), -1.0 if study.drops else 1.0)

    def curve(picked: npt.NDArray[np.intp], angle: Floats) -> Floats:
        return statics.with_friction(model.take(picked), side[picked], angle)

    at = statics.moments(model, nodes)
    every = np.broadcast_to(nodes, at.moment.shape)
    values = at.moment + side[:, None] * at.friction_moment
    stops = [
        np.array([0.0, *inside, nodes[-1]]) for inside in roots.find_roots(curve, every, values)
    ]
    owner = np.repeat(np.arange(len(rows)), [len(edges) - 1 for edges in stops])
    middle = np.concatenate([(edges[:-1] + edges[1:]) / 2.0 for edges in stops])
    pushes = curve(owner, middle[:, None])[:, 0]
    moving = pushes > 0.0 if study.drops else pushes < 0.0
    radius = door.hinge_distance(door.panel.handle)
    hold = at.moment / radius * (1.0 if study.drops else -1.0)
    conditions = [study.conditions[row] for row in rows]
    radial = radial_forces(door, *held_by_hand(door, conditions, model, nodes))[:2]
    at_point = np.max(radial, axis=(0, 2))
    found = []
    for place, row in enumerate(rows):
        start, stop, low, high = None, None, 0.0, float(nodes[-1])
        pieces = np.flatnonzero(moving[owner == place])
        if len(pieces):
            piece = pieces[0] if study.drops else pieces[-1]
            low, high = stops[place][piece : piece + 2].tolist()
            start, stop = (low, high) if study.drops else (high, low)
        inside = np.flatnonzero((nodes >= low) & (nodes <= high))
        worst = int(inside[hold[place, inside].argmax()])
        found.append(
            _Fall(
                row=row,
                start=start,
                stop=stop,
                hold=max(0.0, float(hold[place, worst])),
                angle=float(nodes[worst]),
                at_point=float(at_point[place]),
            )
        )
    return found


def _fall_words(sense: str, fall: _Fall, end: float) -> str:
    """A fall in words, by the sense of travel."""
    if fall.start is None or fall.stop is None:
        return {"lifts": "it stays up"}.get(sense, "it stays where it is")
    force = quantity_text(fall.hold, "force", toward="up")
    if sense == "drops":
        start = "from shut" if fall.start == 0.0 else f"once past {_degrees(fall.start, 'down')}"
        rest = "" if fall.stop == end else f" to {_degrees(fall.stop, 'up')} and stays there"
        return f"it drops open {start}{rest}; holding it takes {force}"
    falls, sinks = ("falls shut", "sinks") if sense == "lifts" else ("swings shut", "swings")
    wide_open = fall.start == end
    if fall.stop > 0.0:
        rest = f"to {_degrees(fall.stop, 'down')} and stays there; holding it takes {force}"
        if wide_open:
            return f"it {sinks} from fully open {rest}"
        return f"it stays open above {_degrees(fall.start, 'up')} and below {sinks} {rest}"
    if wide_open:
        return f"it {falls} from fully open; holding it takes {force}"
    above = _degrees(fall.start, "up")
    return f"it stays open above {above} and {falls} below; holding it takes {force}"


def _degrees(angle: float, toward: Toward) -> str:
    return quantity_text(angle, "angle", toward=toward)


def _strut_tired(study: Study) -> Finding | None:
    """The open panel with one strut tired, each tried in turn, new and level otherwise."""
    door = study.door
    if study.drops or not door.fitted:
        return None
    tired = tired_conditions(door)
    forces = least_moments(door, door_statics(door, tired)) / door.hinge_distance(door.panel.handle)
    index = int(forces.argmin())
    value, way = float(forces[index]), limit_rules.STAYS[study.sense]
    shown = quantity_text(abs(value), "force", toward="down" if value >= 0.0 else "up")
    happens = f"it stays {way} with {shown} to spare" if value >= 0.0 else f"it sags, {shown} short"
    return Finding(
        name="strut_tired",
        value=value,
        unit="N",
        condition=tired[index].name,
        angle=float(study.model.end[0]),
        words=f"With {strut_label(door.fitted[index])} tired to 70 % {happens}.",
        source=PRACTICE,
    )
