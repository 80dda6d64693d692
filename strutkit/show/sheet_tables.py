"""The sheet's tables: tape lengths, lengths by angle, points, conditions.

Everything is text by the time it leaves here.
"""

import math
from typing import Any

from strutkit.decide.conditions import used_tolerance
from strutkit.decide.judging import Study, capital
from strutkit.decide.lengths import strut_lengths
from strutkit.decide.sweep import sweep
from strutkit.describe.hinge_points import hinge_point_names
from strutkit.describe.numbers import (
    LengthUnit,
    figure,
    length_text,
    quantity_text,
    travel_text,
    typed_text,
    unbroken,
)
from strutkit.describe.records import NOMINAL, Condition, Door
from strutkit.show.holes import hole_of
from strutkit.show.mount_words import NO_BREAK, ball_names, both_units, millimetres
from strutkit.show.sheet_figures import upward


def tape(door: Door, length_unit: LengthUnit) -> list[dict[str, str]]:
    """Centre to centre of each strut's balls, shut and open."""
    lengths = strut_lengths(door).length
    rows = []
    for (fixed, moving), index in zip(ball_names(door), firsts(door), strict=True):
        for when, length in (("shut", lengths[index, 0]), ("open", lengths[index, -1])):
            main, other = _by_tape(float(length), length_unit)
            rows.append(
                {"label": f"{fixed} to {moving}, {when}:", "main": main, "other": f"({other})"}
            )
    return rows


def _by_tape(metres: float, length_unit: LengthUnit) -> tuple[str, str]:
    """A worked-out length in both units: whole mm where mm come first, as a tape checks them."""
    main, other = both_units(metres, length_unit)
    return (
        (length_text(metres).replace(" ", NO_BREAK), other)
        if length_unit == "mm"
        else (main, other)
    )


TAPE_NOTE = unbroken("Between ball centres, within 2 mm.")


def _travel_left(door: Door) -> str:
    """The stroke that is left at both ends of the travel."""
    swept = sweep(door)
    left = []
    for (fixed, _), index in zip(ball_names(door), firsts(door), strict=True):
        strut = door.fitted[index].strut
        lengths = swept.strut_length[index]
        pushed_in = float(lengths.min()) - (strut.extended_length - strut.stroke)
        pulled_out = strut.extended_length - float(lengths.max())
        name = "" if len(door.struts) == 1 else f"{fixed}: "
        left.append(
            f"{name}{_kept(pushed_in)} before it is fully pushed in, {_kept(pulled_out)} before"
            " it is fully extended"
        )
    return unbroken(f"Stroke left: {'; '.join(left)}.")


def _kept(metres: float) -> str:
    return quantity_text(max(0.0, metres), "length", toward="down")


def firsts(door: Door) -> list[int]:
    """Index in `door.fitted` of each strut record."""
    firsts, index = [], 0
    for one in door.struts:
        firsts.append(index)
        index += 2 if one.mirrored else 1
    return firsts


def lengths_by_angle(door: Door, length_unit: LengthUnit) -> dict[str, Any]:
    """Strut lengths each 10° and at both ends, with the hand forces of new struts at 20 °C."""
    found = strut_lengths(door)
    swept = sweep(door, angles=found.angle)
    strut_indices = firsts(door)
    head = ["angle"]
    for fixed, moving in ball_names(door):
        head += [f"{fixed} to {moving}", "inch" if length_unit == "mm" else "mm"]
    rows = []
    for place, angle in enumerate(found.angle):
        row = [travel_text(float(angle))]
        for index in strut_indices:
            row += _by_tape(float(found.length[index, place]), length_unit)
        row += [
            upward(float(swept.hand_force_opening[place])),
            upward(float(swept.hand_force_closing[place])),
        ]
        rows.append(row)
    notes = ["A force under 0 need not be given: the panel moves by itself."]
    return {
        "title": "Strut lengths by angle, and hand forces with new struts at 20 °C",
        "head": [*head, "to open", "to shut"],
        "columns": [0] * (2 * len(strut_indices) + 3),
        "align": ["right"] * (2 * len(strut_indices) + 3),
        "rows": rows,
        "notes": [_travel_left(door), _slat(door, length_unit), *notes] if door.struts else notes,
    }


def _slat(door: Door, length_unit: LengthUnit) -> str:
    words = []
    for (fixed, _), fitted in zip(ball_names(door), door.struts, strict=True):
        longest = both_units(fitted.strut.extended_length, length_unit)[0]
        shortest = both_units(fitted.strut.extended_length - fitted.strut.stroke, length_unit)[0]
        name = "" if len(door.struts) == 1 else f"{fixed}: "
        words.append(f"{name}it must never be under {shortest} nor over {longest}")
    return (
        "Try the mounts before drilling: clamp the brackets, and hold two slats that slide on"
        " each other between the ball centres while a helper holds and moves the panel; their"
        f" length follows the table. {capital('; '.join(words))}."
    )


def points(door: Door) -> dict[str, Any]:
    """All points in the structure frame, panel shut."""
    names = hinge_point_names(door)
    named = [
        (f"{names[0]} hinge point", door.hinge.first),
        (f"{names[1]} hinge point", door.hinge.second),
    ]
    for fitted in door.fitted:
        for part, side, ball in (
            ("frame", "fixed side", fitted.frame_mount),
            ("panel", "door side", fitted.panel_mount),
        ):
            named.append((f"{fitted.strut.name}, {side}", ball))
            hole = hole_of(fitted, part)
            if hole is not None:
                named.append((f"{fitted.strut.name}, {side}, hole", hole.place))
    named.append(("centre of gravity", door.panel.centre_of_gravity))
    named.append(("handle", door.panel.handle))
    return {
        "title": "Points in the structure frame, mm, panel shut",
        "head": ["point", "x, outward", "y, right", "z, up"],
        "columns": [1, 0, 0, 0],
        "align": ["left", "right", "right", "right"],
        "rows": [[name, *(millimetres(part) for part in place)] for name, place in named],
        "notes": [
            "Mounts are ball or pin centres, holes lie apart. Right is right as seen from outside.",
            _panel_words(door),
        ],
    }


def _panel_words(door: Door) -> str:
    """Mass, width and thickness of the panel, and what ends its travel."""
    swept = sweep(door, angles=[0.0])
    parts = [f"Panel {typed_text(door.panel.mass, 'mass')}"]
    if door.panel.width is not None:
        parts.append(f"{millimetres(door.panel.width)} mm wide")
    if door.panel.thickness:
        parts.append(f"{millimetres(door.panel.thickness)} mm thick")
    if door.hinge.friction_moment:
        parts.append(f"hinge friction {typed_text(door.hinge.friction_moment, 'moment')}")
    end = travel_text(swept.end_of_travel)
    what = "the stop" if swept.ended_by == "stop" else "a fully extended strut, not the stop,"
    return unbroken(f"{', '.join(parts)}. At {end} {what} ends its travel.")


def conditions_table(looked: Study) -> dict[str, Any]:
    """Every condition that was looked at, in words."""
    every = (*looked.conditions, *looked.left_out)
    return {
        "title": "Conditions",
        "head": ["condition", "what it is"],
        "columns": [1, 1],
        "align": ["left", "left"],
        "rows": [[one.name, condition_words(looked.door, one)] for one in every],
        "notes": [],
    }


def condition_words(door: Door, condition: Condition) -> str:
    """A condition in words: everything in it that is not nominal."""
    parts = [quantity_text(condition.temperature, "temperature")]
    if condition.ageing != 1.0:
        parts.append(f"gas force × {condition.ageing:g} by age")
    if condition.strut_ageing is not None:
        each = "; ".join(
            f"{fitted.strut.name} × {factor:g}"
            for fitted, factor in zip(door.fitted, condition.strut_ageing, strict=True)
            if factor != 1.0
        )
        parts.append(f"gas force {each}" if each else "no strut aged more")
    if condition.rating_change:
        parts.append(f"rating {_signed(condition.rating_change)} N")
    if condition.rating_tolerance:
        change = condition.rating_tolerance * max(
            (used_tolerance(one.strut) for one in door.fitted), default=0.0
        )
        parts.append(f"rating {_signed(change)} N of tolerance")
    if condition.mass_factor != 1.0:
        parts.append(f"mass × {condition.mass_factor:g}")
    if condition.added_mass:
        parts.append(f"{typed_text(condition.added_mass, 'mass')} added")
    if condition.pitch:
        parts.append(f"outside tipped {_tipped(condition.pitch)}")
    if condition.roll:
        parts.append(f"right side tipped {_tipped(condition.roll)}")
    if condition.missing is not None:
        parts.append(f"{door.fitted[condition.missing].strut.name} not there")
    if condition.wind_speed:
        parts.append(f"wind {typed_text(condition.wind_speed, 'speed')}")
    words = ", ".join(parts)
    return f"{words}, new struts, level" if condition.name == NOMINAL else words


def _signed(number: float) -> str:
    return figure(number, 0.1).removesuffix(".0") if number < 0 else f"+{number:.4g}"


def _tipped(angle: float) -> str:
    size = figure(abs(math.degrees(angle)), 0.1).removesuffix(".0")
    return f"{'up' if angle > 0.0 else 'down'} by {size}°"
