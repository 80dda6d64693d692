"""Fields of the records: each says its kind of quantity and its bounds, and checks itself.

The same metadata drive the door file, the stock list and the number boxes.
"""

import dataclasses
import math
import unicodedata
from collections.abc import Iterable
from typing import Any

from strutkit.describe.numbers import sentence_unit
from strutkit.errors import RecordError

Point = tuple[float, float, float]
"""(x, y, z) [m] in the structure frame with the panel shut."""

SHOWN: dict[str, tuple[float, str]] = {
    "length": (1e3, " mm"),
    "point": (1e3, " mm"),
    "points": (1e3, " mm"),
    "mass": (1.0, " kg"),
    "force": (1.0, " N"),
    "angle": (180.0 / math.pi, "°"),
    "moment": (1.0, " N·m"),
    "inertia": (1.0, " kg·m²"),
    "hinge_damping": (1.0, " N·m·s"),
    "strut_damping": (1.0, " N·s/m"),
    "speed": (1.0, " m/s"),
}
"""Kind of quantity -> factor from SI and unit, as messages show it."""

NAMED_DIRECTIONS: dict[str, Point] = {
    "out": (1.0, 0.0, 0.0),
    "in": (-1.0, 0.0, 0.0),
    "right": (0.0, 1.0, 0.0),
    "left": (0.0, -1.0, 0.0),
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
}
"""Directions of the structure frame by name."""

LONGEST_NAME = 250

ROUNDING = 1e-12
"""A bound missed by this share of itself is met: -40 + 273.15 K is a little under 233.15 K."""


def quantity(
    kind: str,
    default: Any = dataclasses.MISSING,
    *,
    over: float | None = None,
    least: float | None = None,
    most: float | None = None,
    choices: tuple[str, ...] = (),
) -> Any:
    """A record field: kind of quantity, default, and bounds (over: exclusive; least, most)."""
    metadata = {"kind": kind, "over": over, "least": least, "most": most, "choices": choices}
    return dataclasses.field(default=default, metadata=metadata)


def shown(value: float, kind: str) -> str:
    """A value in SI as messages show it.

    >>> shown(0.412, "length"), shown(293.15, "temperature"), shown(1.3, "number")
    ('412 mm', '20 °C', '1.3')
    """
    if kind == "temperature":
        return f"{value - 273.15:.6g} °C"
    factor, unit = SHOWN.get(kind, (1.0, ""))
    if unit == " mm" and sentence_unit() == "in":
        factor, unit = 1.0 / 0.0254, " in"
    return f"{value * factor:.6g}{unit}"


def check_fields(record: Any, owner: str) -> None:
    """Bring every field of a frozen record into its stored form, or refuse it.

    Numbers become float, points tuples of three floats. Raises `RecordError`.
    """
    for field in dataclasses.fields(record):
        if "kind" not in field.metadata:
            continue
        value = getattr(record, field.name)
        if value is None and field.default is None:
            continue
        stored = stored_value(value, field.metadata, f"{owner}: {field.name}")
        object.__setattr__(record, field.name, stored)


def stored_value(value: Any, rules: Any, where: str) -> Any:
    """A value in the form a record stores it, checked against a field's metadata (`rules`).

    `where` names it in messages. Raises `RecordError`.
    """
    kind = rules["kind"]
    if kind == "name":
        return checked_name(value, where)
    if kind == "text":
        return checked_name(value, where) if value != "" else ""
    if kind == "choice":
        return _choice(value, rules["choices"], where)
    if kind == "direction":
        return direction(value, where)
    if kind == "flag":
        if not isinstance(value, bool):
            raise RecordError(f"{where} is {value!r}; write true or false.")
        return value
    if kind == "index":
        return _index(value, where)
    if kind == "point":
        return point(value, where)
    if kind == "points":
        return _points(value, int(rules["least"] or 2), where)
    if kind == "texts":
        return tuple(checked_name(one, where) for one in _several(value, where))
    if kind == "numbers":
        return tuple(_bounded(_number(one, where), rules, where) for one in _several(value, where))
    if kind in RECORD_KINDS:
        return value
    return _bounded(_number(value, where), rules, where)


RECORD_KINDS = ("record", "records")
"""Kinds whose values are records themselves; `Door` and `FittedStrut` check those."""


def checked_name(value: Any, where: str) -> str:
    """A text fit to be shown literally: not empty, at most 250 letters, no control characters."""
    if not isinstance(value, str):
        raise RecordError(f"{where} is {value!r}; write a text.")
    if not value.strip():
        raise RecordError(f"{where} is empty; write a name.")
    if len(value) > LONGEST_NAME:
        raise RecordError(f"{where} has {len(value)} letters; write at most {LONGEST_NAME}.")
    for letter in value:
        if unicodedata.category(letter) in ("Cc", "Cs", "Zl", "Zp"):
            raise RecordError(
                f"{where} holds the control character U+{ord(letter):04X}; leave it out."
            )
    return value


def _choice(value: Any, choices: tuple[str, ...], where: str) -> str:
    if not isinstance(value, str) or value not in choices:
        raise RecordError(f"{where} is {value!r}; write one of {', '.join(choices)}.")
    return str(value)


def _index(value: Any, where: str) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        raise RecordError(f"{where} is {value!r}; write a whole number from 0.")
    return value


def _number(value: Any, where: str) -> float:
    if isinstance(value, (bool, str)):
        raise RecordError(f"{where} is {value!r}; write a number.")
    try:
        number = float(value)
    except (TypeError, ValueError, OverflowError):
        raise RecordError(f"{where} is {value!r}; write a number.") from None
    if not math.isfinite(number):
        raise RecordError(f"{where} is {number}; write a finite number.")
    return number


def _bounded(number: float, rules: Any, where: str) -> float:
    kind = rules["kind"]
    over, least, most = rules["over"], rules["least"], rules["most"]
    text = f"{where} is {shown(number, kind)}"
    if over is not None and number <= over:
        raise RecordError(f"{text}; it must be over {shown(over, kind)}.")
    if least is not None and number < least - ROUNDING * abs(least):
        raise RecordError(f"{text}; it must be at least {shown(least, kind)}.")
    if most is not None and number > most + ROUNDING * abs(most):
        raise RecordError(f"{text}; it must be at most {shown(most, kind)}.")
    return number


def _several(value: Any, where: str) -> tuple[Any, ...]:
    if isinstance(value, str) or not isinstance(value, Iterable):
        raise RecordError(f"{where} is {value!r}; write a list.")
    return tuple(value)


def point(value: Any, where: str) -> Point:
    """Three finite numbers as a tuple, each within 1 km."""
    numbers = tuple(_number(one, where) for one in _several(value, where))
    if len(numbers) != 3:
        raise RecordError(f"{where} has {len(numbers)} numbers; write three: x, y, z.")
    if max(abs(number) for number in numbers) > 1e3:
        raise RecordError(f"{where} lies over 1 km away; check its unit.")
    return numbers


def _points(value: Any, least: int, where: str) -> tuple[Point, ...]:
    points = tuple(point(one, where) for one in _several(value, where))
    if len(points) < least:
        raise RecordError(f"{where} has {len(points)} points; write at least {least}.")
    return points


def direction(value: Any, where: str) -> str | Point:
    """A direction by name, or as three numbers that are not all zero."""
    if isinstance(value, str):
        if value not in NAMED_DIRECTIONS:
            names = ", ".join(NAMED_DIRECTIONS)
            raise RecordError(f"{where} is {value!r}; write one of {names}, or three numbers.")
        return value
    numbers = point(value, where)
    if not any(numbers):
        raise RecordError(f"{where} is 0, 0, 0; that points nowhere.")
    return numbers
