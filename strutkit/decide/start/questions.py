"""What is asked of a builder for each kind of opening, in the order of the sketch's numbers."""

import math
from dataclasses import dataclass
from typing import Any

from strutkit.compute.statics import STANDARD_GRAVITY
from strutkit.decide.start.kinds import KINDS, Kind
from strutkit.describe.bare import with_unit
from strutkit.describe.numbers import LengthUnit
from strutkit.describe.units import is_bare, parse_quantity, read_quantity, unit_symbols
from strutkit.errors import RecordError, UnitError


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One numbered place: name (of the starter door's argument), label, hint, kind of quantity.

    required: there is no "don't know".
    """

    name: str
    label: str
    hint: str
    kind: str = "length"
    required: bool = False


_EVERY = {
    question.name: question
    for question in (
        Question(
            name="length",
            label="Outer edge of the knuckle to free edge",
            hint="Along the door, shut. The knuckle is the barrel round the hinge pin; the hinge"
            " line runs through the pin.",
            required=True,
        ),
        Question(
            name="thickness",
            label="Thickness",
            hint="Of the closed-up door, outer face to inner face, with its lining.",
        ),
        Question(
            name="knuckle_diameter",
            label="Knuckle diameter",
            hint="Across the hinge barrel on the outer face; the pin is in its middle.",
        ),
        Question(name="width", label="Width", hint="Along the hinge line, end to end of the door."),
        Question(
            name="handle",
            label="Hinge line to handle",
            hint="Along the door, to where the hand takes it.",
        ),
        Question(
            name="pull",
            label="Pull at the handle, door held level",
            hint="Luggage scale hooked to the handle, at right angles to the door; somebody else"
            " steadies the door.",
            kind="pull",
        ),
        Question(
            name="mass",
            label="Weight of the door",
            hint="As it hangs now, without struts. The pull alone will do as well.",
            kind="mass",
        ),
        Question(
            name="centre_of_gravity",
            label="Hinge line to centre of gravity",
            hint="Along the door, to where it balances on an edge.",
        ),
        Question(
            name="stop_angle",
            label="Free edge when open",
            hint="How far above the hinge line, minus if below; or the opening angle, as 95 deg.",
            kind="open",
        ),
        Question(
            name="hinge_height",
            label="Hinge line above the ground",
            hint="Printed on the sheet only: whether one can reach the open handle is not judged.",
        ),
        Question(
            name="lean",
            label="Free edge out from the hinge line",
            hint="Shut: level, from a plumb line at the hinge line to the edge; minus if the edge"
            " is further in.",
        ),
        Question(
            name="rise",
            label="Right end of the hinge line above the left",
            hint="Seen from outside; minus if below.",
        ),
    )
}


def questions(kind: Kind) -> tuple[Question, ...]:
    """The questions of a kind, numbered from 1 in this order."""
    left_out = ([] if kind.leans else ["lean"]) + ([] if kind.slopes else ["rise"])
    return tuple(one for one in _EVERY.values() if one.name not in left_out)


def read_answer(question: Question, text: str, unit: LengthUnit = "mm") -> tuple[float, str]:
    """A typed answer: value in SI, and its kind (a pull is a force, an opening a length or an
    angle). A bare length or weight is in the unit shown; a bare pull or opening could be either
    of two things and is asked for. Raises `UnitError`, `RecordError`."""
    if question.kind == "pull":
        return read_pull(text), "force"
    if question.kind == "open":
        return _read_opening(text)
    kind: Any = question.kind
    return parse_quantity(with_unit(text, kind, unit), kind), question.kind


def read_pull(text: str) -> float:
    """What a scale shows [N], in newtons or pounds-force, or in kilograms or pounds of weight.

    >>> read_pull("10 kg")
    98.0665
    """
    _refuse_bare(text, "kg", "lb", "N", "lbf")
    try:
        return parse_quantity(text, "force")
    except UnitError:
        if not _ends_with(text, unit_symbols("mass")):
            raise
    return parse_quantity(text, "mass") * STANDARD_GRAVITY


def _refuse_bare(text: str, *units: str) -> None:
    typed = text.strip()[:40]
    if any(map(str.isnumeric, typed)) and is_bare(typed):
        choices = [f"{typed} {unit}" for unit in units]
        words = f"{', '.join(choices[:-1])} or {choices[-1]}"
        raise UnitError(f"{typed} has no unit. Write {words}.")


def _read_opening(text: str) -> tuple[float, str]:
    _refuse_bare(text, "deg", "mm", "in")
    if _ends_with(text, (*unit_symbols("angle"), "°")):
        angle = parse_quantity(text, "angle")
        if not 0.0 < angle < math.tau:
            raise RecordError(f"{text.strip()[:40]} is no opening. Write over 0 and under 360 deg.")
        return angle, "angle"
    return read_quantity(text, "length").value, "length"


def _ends_with(text: str, symbols: tuple[str, ...]) -> bool:
    word = text.strip().lower()
    return any(word.endswith(symbol.lower()) for symbol in symbols)


def opening_angle(
    kind: Kind, height: float, length: float, radius: float, lean: float, rise: float, width: float
) -> float:
    """Opening angle [rad] at which the outer edge of a panel stands `height` above the hinge line.

    length: pin to free edge; radius: the outer face lies this far inside the pin; lean, rise,
    width as in `starter_door`, all [m]. The free edge turns in the plane square to the hinge line

        height = cos b (length sin e - s radius cos e)

    with e the panel's elevation, b the slope of the hinge line, s 1 where the outer face looks
    up. Raises `RecordError` where the edge does not reach.
    """
    reach = math.hypot(length, radius) * math.cos(math.asin(rise / width))
    if abs(height) > reach:
        raise RecordError(
            f"The free edge is at most {reach * 1e3:.0f} mm from the hinge line; write less than"
            " that, or the opening angle as 95 deg."
        )
    up = kind.outer_face_up
    elevation = math.asin(height / reach) + up * math.atan2(radius, length)
    upright = math.asin(lean / length)
    shut = {1.0: 0.0 if kind.name == "lid" else upright - math.pi / 2.0, -1.0: math.pi / 2.0}[up]
    angle = up * (elevation - shut)
    if angle < math.radians(1.0):
        raise RecordError(
            f"That is an opening of {math.degrees(angle):.0f}°; measure the free edge with the door"
            " open, or write the opening angle as 95 deg."
        )
    return angle


__all__ = ["KINDS", "Question", "opening_angle", "questions", "read_answer", "read_pull"]
