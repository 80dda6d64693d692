"""Mounts in the builder's words: which way from the hinge line, how far, in mm and inch.

Outward and upward are those of the side view, square to the hinge line; the third measure runs
along the hinge line from the panel's middle (look: the builder's tape). Panel shut.
"""

import math
from dataclasses import dataclass

import numpy as np

from strutkit.compute.geometry import side_axes
from strutkit.describe.fields import Point
from strutkit.describe.hinge_points import direction_words
from strutkit.describe.numbers import LengthUnit, figure, inch_text
from strutkit.describe.records import Door, FittedStrut
from strutkit.show.plane import hinge_place

NO_BREAK = "\N{NO-BREAK SPACE}"
INCH_PARTS = 64
WORTH_SAYING = 5e-5
"""A length over this [m] has a way; a smaller one is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One length as printed: in the unit asked for, in words, and in the other unit."""

    main: str
    word: str
    other: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ball:
    """One point as the sheet lists it: name, how many alike, measures, side, strut."""

    name: str
    count: int
    outward: Measure
    upward: Measure
    along: Measure
    side: str
    strut: str


def millimetres(metres: float) -> str:
    """A length in mm: whole or half millimetres as they are, all else to 0.1 mm.

    >>> millimetres(0.0245), millimetres(0.02413), millimetres(-0.1000000001)
    ('24.5', '24.1', '−100')
    """
    exact = metres * 1e3
    near = round(exact * 2.0) / 2.0
    text = figure(near if abs(exact - near) < 5e-3 else exact, 0.1)
    return text.removesuffix(".0")


def both_units(metres: float, length_unit: LengthUnit) -> tuple[str, str]:
    """A length in the unit asked for and in the other one.

    >>> [text.replace(NO_BREAK, " ") for text in both_units(0.7162, "in")]
    ['28 13/64″', '716.2 mm']
    """
    in_mm = f"{millimetres(metres)}{NO_BREAK}mm"
    inches = inch_text(metres, parts=INCH_PARTS).replace(" ", NO_BREAK)
    return (in_mm, inches) if length_unit == "mm" else (inches, in_mm)


def measure(metres: float, ways: tuple[str, str], length_unit: LengthUnit) -> Measure:
    """A signed length with its way in words."""
    main, other = both_units(abs(metres), length_unit)
    word = "" if abs(metres) < WORTH_SAYING else ways[0] if metres > 0.0 else ways[1]
    return Measure(main=main, word=word, other=f"({other})")


def place_words(
    door: Door, point: Point, unit: LengthUnit = "mm", *, pair: bool = False, parts: int = 16
) -> str:
    """A point in words: "24 inward, 108 down, 610 left of the middle" (unit left to the heading).

    pair: it stands for its twin on the other side as well.
    """
    place, (*words, along) = hinge_place(door, point), direction_words(door)

    def size(metres: float) -> str:
        return millimetres(abs(metres)) if unit == "mm" else inch_text(abs(metres), parts=parts)

    texts = [
        f"{size(value)} {pair_of_words[value < 0.0]}"
        for value, pair_of_words in zip((place.outward, place.upward), words, strict=True)
    ]
    if abs(place.along) < WORTH_SAYING:
        return f"{', '.join(texts)}, at the middle"
    way = "each side of" if pair else OF_MIDDLE[along[place.along < 0.0]]
    return f"{', '.join(texts)}, {size(place.along)} {way} the middle"


OF_MIDDLE = {
    "outward": "outward of",
    "inward": "inward of",
    "right": "right of",
    "left": "left of",
    "up": "above",
    "down": "below",
}
"""Ways along the hinge line -> where that is, seen from the panel's middle."""


def ball_names(door: Door) -> list[tuple[str, str]]:
    """Names of the fixed-side and door-side ball of each strut record: F, D or F1, D1 ..."""
    if len(door.struts) == 1:
        return [("F", "D")]
    return [(f"F{number}", f"D{number}") for number in range(1, len(door.struts) + 1)]


def hung_names(door: Door) -> list[tuple[str, str]]:
    """The same for each strut as they hang, `door.fitted`: a twin has the names of its original."""
    pairs = zip(ball_names(door), door.struts, strict=True)
    return [names for names, one in pairs for _ in range(1 + one.mirrored)]


def between(names: tuple[str, str]) -> str:
    """A strut by its two balls.

    >>> between(("F1", "D1"))
    'F1–D1'
    """
    return "–".join(names)


def balls(door: Door, length_unit: LengthUnit) -> list[Ball]:
    """Every mount of the door, a mirrored pair as one row."""
    rows = []
    for (fixed, moving), fitted in zip(ball_names(door), door.struts, strict=True):
        rows.append(listed(door, fitted, fixed, fitted.frame_mount, "fixed side", length_unit))
        rows.append(listed(door, fitted, moving, fitted.panel_mount, "door side", length_unit))
    return rows


def listed(
    door: Door, fitted: FittedStrut, name: str, place: Point, side: str, length_unit: LengthUnit
) -> Ball:
    """A point of a strut as the sheet lists it, a mirrored pair as one."""
    out_ways, up_ways, along_ways = direction_words(door)
    at = hinge_place(door, place)
    if fitted.mirrored:
        along_measure = measure(abs(at.along), ("each side",) * 2, length_unit)
    else:
        along_measure = measure(at.along, along_ways, length_unit)
    return Ball(
        name=name,
        count=2 if fitted.mirrored else 1,
        outward=measure(at.outward, out_ways, length_unit),
        upward=measure(at.upward, up_ways, length_unit),
        along=along_measure,
        side=side,
        strut=fitted.strut.name,
    )


def lean(door: Door) -> float:
    """Greatest angle between the side view's axes and those of the structure frame [rad].

    0 for a hinge line along x, y or z.
    """
    axis = np.array(door.hinge_direction)
    least = min(max(abs(float(part)) for part in line) for line in (axis, *side_axes(axis)))
    return math.acos(min(1.0, least))


PLACING = {
    "hinge points": "hinge points",
    "panel width": "width",
    "panel thickness": "thickness",
    "knuckle diameter": "knuckle diameter",
    "lean of the panel": "lean",
    "slope of the hinge line": "slope",
}
"""Subjects of `Door.assumed` that places of mounts are measured from, as they are printed."""

AT_ENDS = "hinge points: at the two ends of the panel"


def assumed_places(door: Door) -> list[str]:
    """What has to be measured before a mount is marked, in a sentence; none if it was."""
    subjects = {text.partition(":")[0] for text in door.assumed}
    words = [word for subject, word in PLACING.items() if subject in subjects]
    if AT_ENDS in door.assumed:
        words[0] = "hinge points at the panel’s ends"
    return [f"Assumed, measure yours first: {', '.join(words)}."] if words else []
