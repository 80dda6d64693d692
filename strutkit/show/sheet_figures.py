"""What the sheet says in figures: what to buy, what to expect, hinge loads, lengths, conditions.

Results are rounded toward the bad side. Everything is text by the time it leaves here.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from strutkit.decide.conditions import hinge_axis
from strutkit.decide.hands import straight_force
from strutkit.decide.judging import Study, capital
from strutkit.decide.loads import held_by_hand, radial_forces
from strutkit.decide.starters import PRACTICE
from strutkit.decide.sweep import sweep_many
from strutkit.describe.hinge_points import hinge_point_names
from strutkit.describe.numbers import (
    LengthUnit,
    figure,
    quantity_text,
    travel_text,
    typed_text,
    unbroken,
)
from strutkit.describe.records import NOMINAL, Condition, Door, FittedStrut, Strut
from strutkit.show.mount_words import NO_BREAK, between, both_units, hung_names, millimetres

STRAIGHT = "straight down"
MARK = f" ({PRACTICE})"
SHUT = "shut and latched"
AT_END = 1e-6
"""An angle so near to an end of the travel [rad] is that end."""


def buy(door: Door, length_unit: LengthUnit) -> list[dict[str, Any]]:
    """Each different strut once, with how many of it and, of several, between which balls."""
    kinds: list[tuple[Strut, list[_Place]]] = []
    for fitted, names in zip(door.fitted, hung_names(door), strict=True):
        bare, place = replace(fitted.strut, name="-"), _Place(fitted, names)
        for known, places in kinds:
            if known == bare:
                places.append(place)
                break
        else:
            kinds.append((bare, [place]))
    return [_bought(strut, places, length_unit) for strut, places in kinds]


@dataclass(frozen=True, slots=True)
class _Place:
    """A strut as it hangs, and the names of its fixed-side and door-side ball."""

    fitted: FittedStrut
    names: tuple[str, str]

    @property
    def rod_end(self) -> str:
        """The ball at the end of the rod."""
        return self.names[0 if self.fitted.rod_end == "frame" else 1]

    @property
    def words(self) -> str:
        """Between which balls it hangs; empty for the only strut or pair of a door."""
        return "" if self.names == ("F", "D") else between(self.names)


def _bought(strut: Strut, places: Sequence[_Place], length_unit: LengthUnit) -> dict[str, Any]:
    law = strut.gas_law
    length, other = both_units(strut.extended_length, length_unit)
    stroke, other_stroke = both_units(strut.stroke, length_unit)
    rating = typed_text(strut.rating, "force")
    tolerance = "" if strut.tolerance is None else f" ±{typed_text(strut.tolerance, 'force')}"
    stated, assumed = _of_the_label(strut)
    ends = dict.fromkeys(place.rod_end for place in places)
    where = dict.fromkeys(place.words for place in places if place.words)
    lines = [
        *([f"for {', '.join(where)}"] if where else []),
        *([f"{rating}{tolerance}"] if strut.order_code or tolerance else []),
        f"{length} long, extended ({other})",
        f"stroke {stroke} ({other_stroke})",
        *stated,
        f"rod {'at' if where else 'end at'} {' and '.join(ends)}",
    ]
    if strut.rod_diameter is None:
        assumed.append(f"charge {figure(law.pressure / 1e6)} MPa assumed")
    if strut.price is not None:
        lines.append(f"price as listed: {strut.price:g}")
    return {
        "head": f"{len(places)} × {strut.order_code or rating}",
        "lines": [unbroken(line) for line in lines],
        "assumed": assumed,
    }


def _of_the_label(strut: Strut) -> tuple[list[str], list[str]]:
    """Force ratio, friction and diameters: lines of what is stated, and of what is assumed."""
    law = strut.gas_law
    ratio = f"force ratio {law.force_ratio:.6g}"
    friction = f"friction ±{typed_text(law.friction, 'force')}"
    pairs = ((ratio, strut.force_ratio), (friction, strut.friction))
    stated = [text for text, given in pairs if given is not None]
    diameters = [
        f"{what} Ø {millimetres(value)}".replace(" ", NO_BREAK)
        for what, value in (("rod", strut.rod_diameter), ("tube", strut.tube_diameter))
        if value is not None
    ]
    sizes = f"{', '.join(diameters)}{NO_BREAK}mm" if diameters else "rod and tube: not stated"
    lines = [*stated, sizes]
    return lines, [f"{text} assumed" for text, given in pairs if given is None]


@dataclass(frozen=True, slots=True)
class _Row:
    """One expectation: values in service, nominal first, how it is shown, which is worst."""

    label: str
    values: list[float]
    shown: Callable[[float], str]
    most: bool


def expect(looked: Study) -> dict[str, Any]:
    """New struts at 20 °C against the worst condition in service, with the ones that decide."""
    rows, deciding = [], []
    for row in _expected(looked):
        worst = int(np.argmax(row.values) if row.most else np.argmin(row.values))
        rows.append(
            {
                "label": row.label,
                "new": row.shown(row.values[0]),
                "worst": row.shown(row.values[worst]),
            }
        )
        deciding.append((row.label, looked.conditions[looked.service[worst]].name))
    return {"new": "new", "rows": rows, "notes": _expect_notes(looked, deciding)}


def _expected(looked: Study) -> list[_Row]:
    found = [looked.summaries[row] for row in looked.service]
    rows = []
    if not looked.drops:
        lift_off = [math.inf if one.lift_off is None else one.lift_off for one in found]
        rows.append(_Row("lifts off", lift_off, _angle, most=True))
    rows.append(_Row("to open", [one.peak_opening for one in found], upward, most=True))
    rows.append(_Row("to shut", [one.peak_closing for one in found], upward, most=True))
    if not looked.drops:
        straight = _straight_down(looked)
        if math.isfinite(max(straight)):
            rows.append(_Row(STRAIGHT, straight, upward, most=True))
        spare = [one.reserve_force for one in found]
        rows.append(_Row("to spare", spare, _downward, most=False))
    latch = [one.latch_load for one in found]
    if max(latch) > 0.0:
        rows.append(_Row("on the latch", latch, upward, most=True))
    else:
        rows.append(_Row("holds shut", [one.seat_load for one in found], _downward, most=False))
    label = "on the stop" if _ends_at_stop(looked) else "pull in a strut"
    rows.append(_Row(label, _stop_loads(looked), upward, most=True))
    return rows


def _straight_down(looked: Study) -> list[float]:
    """Greatest straight-down pull that shuts it, in each condition in service [N]."""
    rows = list(looked.service)
    conditions = [looked.conditions[row] for row in rows]
    swept = sweep_many(looked.door, conditions, looked.model.take(rows))
    return [_greatest(straight_force(one, task="closing", toward="down")) for one in swept]


def _greatest(forces: np.ndarray) -> float:
    fair = forces[np.isfinite(forces)]
    return float(fair.max()) if fair.size else math.inf


def _angle(value: float) -> str:
    return quantity_text(None if math.isinf(value) else value, "angle", toward="up")


def upward(value: float) -> str:
    """A force rounded up to whole newtons."""
    return quantity_text(value, "force", toward="up")


def _downward(value: float) -> str:
    return quantity_text(value, "force", toward="down")


def _expect_notes(looked: Study, deciding: Sequence[tuple[str, str]]) -> list[str]:
    stop = "stop" if _ends_at_stop(looked) else "pull: inside a strut, taken alone"
    ways = ", or straight down to shut" if any(one == STRAIGHT for one, _ in deciding) else ""
    note = unbroken(
        f"New: at 20 °C. Forces along the handle's arc{ways}; {stop}, at rest, more if swung."
    )
    if len(looked.service) == 1:
        return [note, "No conditions are named: worst is the same as new."]
    labels: dict[str, list[str]] = {}
    for label, name in deciding:
        if name != NOMINAL:
            labels.setdefault(name, []).append(label)
    marked = all(name.endswith(MARK) for name in labels)
    worst = "; ".join(
        f"{', '.join(which)} in: {name.removesuffix(MARK) if marked else name}"
        for name, which in labels.items()
    )
    if not worst:
        return [note, "In no condition is it worse."]
    return [note, f"Worst: {worst}{MARK if marked else ''}."]


@dataclass(frozen=True, slots=True)
class Peak:
    """Greatest force in service [N]: condition, angle [rad], and words for both."""

    force: float
    condition: Condition
    angle: float
    where: str


def hinge_peaks(looked: Study) -> tuple[Peak, Peak]:
    """Greatest radial force on the first and the second hinge point, held or at rest."""
    found: list[list[Peak]] = [[], []]
    for row in looked.service:
        condition, end = looked.conditions[row], float(looked.model.end[row])
        angles = np.linspace(0.0, end, 361)
        forces = held_by_hand(looked.door, (condition,), looked.model.take([row]), angles)
        radial = radial_forces(looked.door, forces[0][0], forces[1][0])
        for place in range(2):
            at = int(np.argmax(radial[place]))
            words = f"held at{NO_BREAK}{place_text(looked, float(angles[at]))}"
            one = Peak(float(radial[place][at]), condition, float(angles[at]), words)
            found[place].append(one)
        for name, case in looked.cases[row].items():
            at_rest = radial_forces(looked.door, case.first, case.second)
            angle = 0.0 if name == SHUT else end
            for place in range(2):
                found[place].append(Peak(float(at_rest[place]), condition, angle, name))
    return _greatest_peak(found[0]), _greatest_peak(found[1])


def _greatest_peak(found: Sequence[Peak]) -> Peak:
    return max(found, key=lambda one: one.force)


def place_text(looked: Study, angle: float) -> str:
    """Where on the travel something is: to 1°, an end of the travel as it is given elsewhere."""
    if any(abs(angle - float(end)) < AT_END for end in looked.model.end):
        return travel_text(angle)
    return quantity_text(angle, "angle")


def stop_peak(looked: Study) -> Peak | None:
    """Greatest force on the open stop, or pull in a strut that is it; None where nothing stops."""
    found = [
        Peak(load, looked.conditions[row], float(looked.model.end[row]), "")
        for row, load in zip(looked.service, _stop_loads(looked), strict=True)
        if load > 0.0
    ]
    return _greatest_peak(found) if found else None


def hinge_lines(looked: Study) -> list[str]:
    """Greatest radial force on each hinge point in service, where, the thrust, and the stop."""
    door = looked.door
    peaks = hinge_peaks(looked)
    names = hinge_point_names(door)
    first, second, either = (
        f"{upward(one.force)} at most, {_unmarked(one.condition)}, {one.where}"
        for one in (*peaks, _greatest_peak(peaks))
    )
    told = [(one.condition, one.where) for one in peaks]
    if abs(peaks[0].force - peaks[1].force) < 0.5 and told[0] == told[1]:
        lines = [f"Each hinge point carries {either}."]
    else:
        lines = [f"{capital(names[0])} hinge point: {first}.", f"{capital(names[1])}: {second}."]
    lines = [unbroken(line) for line in lines]
    lines.append(
        unbroken(
            f"Thrust along the line: {upward(_thrust(looked))} at most, at the"
            f" {names[door.hinge.thrust_at == 'second']} hinge point."
        )
    )
    return [*lines, unbroken(_stop_line(looked))]


def _stop_line(looked: Study) -> str:
    """What ends the travel. Its load at rest stands among the expectations."""
    end = travel_text(float(looked.model.end[0]))
    if _ends_at_stop(looked):
        at = "" if looked.door.hinge.stop is None else ", where the panel meets it"
        return f"A stop is needed at {end}{at}."
    return f"No stop is met: a fully extended strut ends the travel, at {end}."


def _ends_at_stop(looked: Study) -> bool:
    return float(looked.model.end[0]) == looked.door.hinge.stop_angle


def _stop_loads(looked: Study) -> list[float]:
    """Force on the open stop, or greatest pull on one strut that is it, at rest [N]."""
    names = ("open stop", "extended strut", "extended strut, one alone")
    loads = []
    for row in looked.service:
        cases = looked.cases[row]
        loads.append(max((cases[name].force for name in names if name in cases), default=0.0))
    return loads


def _thrust(looked: Study) -> float:
    """Greatest force along the hinge line in service, held by the hand or at rest [N]."""
    door = looked.door
    axis = hinge_axis(door)[1]
    most = 0.0
    for row in looked.service:
        condition = looked.conditions[row]
        angles = np.linspace(0.0, float(looked.model.end[row]), 361)
        first, second = held_by_hand(door, (condition,), looked.model.take([row]), angles)
        most = max(most, float(np.abs((first + second) @ axis).max()))
        for case in looked.cases[row].values():
            most = max(most, abs(float((case.first + case.second) @ axis)))
    return most


def _unmarked(condition: Condition) -> str:
    """Its name without the mark of a starter set, which the expectations bear."""
    return condition.name.removesuffix(MARK)
