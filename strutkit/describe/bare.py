"""Bare numbers of a form: the unit that goes with its choice of mm or inch."""

from collections.abc import Mapping
from types import MappingProxyType

from strutkit.describe.numbers import LengthUnit
from strutkit.describe.units import is_bare

UNITS: Mapping[LengthUnit, Mapping[str, str]] = MappingProxyType(
    {
        "mm": {"length": "mm", "point": "mm", "points": "mm", "mass": "kg", "angle": "deg"},
        "in": {"length": "in", "point": "in", "points": "in", "mass": "lb", "angle": "deg"},
    }
)
"""Choice -> kind of quantity -> unit of a bare number. Other kinds have none: a scale shows
newtons or kilograms, and only who reads it knows which."""


def with_unit(text: str, kind: str, unit: LengthUnit) -> str:
    """The text with the unit of the choice behind a bare number; any other text as it is.

    A point has three numbers, a list of points parts them by ";". A fraction is nobody's
    millimetres: beside mm it stays bare, and is asked for. Raises `UnitError` for characters that
    cannot be seen.

    >>> with_unit("620", "length", "mm"), with_unit("24 1/2", "length", "in")
    ('620 mm', '24 1/2 in')
    >>> with_unit("24 1/2", "length", "mm"), with_unit("45", "force", "mm")
    ('24 1/2', '45')
    """
    written = UNITS[unit].get(kind)
    if written is None or (written == "mm" and any(map(_is_fraction, text))):
        return text
    several = text.split(";") if kind == "points" else [text]
    return ";".join(f"{one} {written}" if _is_unitless(one, kind) else one for one in several)


def _is_fraction(sign: str) -> bool:
    return sign in "/⁄∕" or (sign.isnumeric() and not sign.isdigit())


def _is_unitless(text: str, kind: str) -> bool:
    parts = text.split(",") if kind in ("point", "points") else [text]
    return all(any(map(str.isnumeric, part)) and is_bare(part) for part in parts)
