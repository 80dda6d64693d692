"""Units of each kind of quantity, with exact factors.

Exact definitions: inch 25.4 mm, pound 0.45359237 kg (international yard and pound agreement,
1959); standard gravity 9.80665 m/s² (3rd CGPM, 1901), hence pound-force 4.4482216152605 N;
knot 1852 m an hour (SI Brochure, 8th edition, table 8); 0 °C = 273.15 K (SI Brochure).
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from typing import Literal

from strutkit.errors import UnitError

Kind = Literal[
    "length",
    "mass",
    "force",
    "moment",
    "angle",
    "temperature",
    "speed",
    "inertia",
    "hinge_damping",
    "strut_damping",
    "number",
]
"""`hinge_damping` is that of a hinge [N·m·s], `strut_damping` that of a strut [N·s/m]."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: SI value = number · factor + offset. The spellings are read as well."""

    symbol: str
    kind: Kind
    factor: Fraction
    offset: Fraction = Fraction(0)
    spellings: tuple[str, ...] = ()


INCH = Fraction("0.0254")
FOOT = 12 * INCH
POUND = Fraction("0.45359237")
GRAVITY = Fraction("9.80665")
POUND_FORCE = POUND * GRAVITY
DEGREE = Fraction("3.14159265358979323846264338327950288419716939937510582097494") / 180

UNITS = (
    Unit("mm", "length", Fraction("0.001")),
    Unit("cm", "length", Fraction("0.01")),
    Unit("m", "length", Fraction(1)),
    Unit("in", "length", INCH, spellings=('"', "''", "in.", "inch", "inches")),
    Unit("ft", "length", FOOT, spellings=("'", "ft.", "foot", "feet")),
    Unit("kg", "mass", Fraction(1)),
    Unit("g", "mass", Fraction("0.001")),
    Unit("lb", "mass", POUND, spellings=("lb.", "lbs")),
    Unit("oz", "mass", POUND / 16, spellings=("oz.",)),
    Unit("N", "force", Fraction(1)),
    Unit("kN", "force", Fraction(1000)),
    Unit("lbf", "force", POUND_FORCE),
    Unit("kgf", "force", GRAVITY),
    Unit("N m", "moment", Fraction(1), spellings=("Nm",)),
    Unit("kN m", "moment", Fraction(1000), spellings=("kNm",)),
    Unit("N mm", "moment", Fraction("0.001"), spellings=("Nmm",)),
    Unit("lbf ft", "moment", FOOT * POUND_FORCE, spellings=("ft lbf",)),
    Unit("lbf in", "moment", INCH * POUND_FORCE, spellings=("in lbf",)),
    Unit("deg", "angle", DEGREE, spellings=("°", "degree", "degrees")),
    Unit("rad", "angle", Fraction(1)),
    Unit("degC", "temperature", Fraction(1), Fraction("273.15"), ("°C", "deg C", "℃")),
    Unit("degF", "temperature", Fraction(5, 9), Fraction("459.67") * 5 / 9, ("°F", "deg F", "℉")),
    Unit("K", "temperature", Fraction(1)),
    Unit("m/s", "speed", Fraction(1)),
    Unit("km/h", "speed", Fraction(5, 18)),
    Unit("mph", "speed", 5280 * FOOT / 3600),
    Unit("kn", "speed", Fraction(1852, 3600), spellings=("knot", "knots")),
    Unit("ft/s", "speed", FOOT),
    Unit("kg m2", "inertia", Fraction(1), spellings=("kgm2",)),
    Unit("kg mm2", "inertia", Fraction("0.000001"), spellings=("kgmm2",)),
    Unit("lb ft2", "inertia", POUND * FOOT**2),
    Unit("lb in2", "inertia", POUND * INCH**2),
    Unit("N m s", "hinge_damping", Fraction(1), spellings=("Nms", "N m s/rad", "Nms/rad")),
    Unit("lbf ft s", "hinge_damping", FOOT * POUND_FORCE, spellings=("ft lbf s",)),
    Unit("lbf in s", "hinge_damping", INCH * POUND_FORCE, spellings=("in lbf s",)),
    Unit("N s/m", "strut_damping", Fraction(1), spellings=("Ns/m",)),
    Unit("N s/mm", "strut_damping", Fraction(1000), spellings=("Ns/mm",)),
    Unit("lbf s/in", "strut_damping", POUND_FORCE / INCH),
    Unit("", "number", Fraction(1)),
    Unit("%", "number", Fraction(1, 100)),
)

_BY_NAME = {name: unit for unit in UNITS for name in (unit.symbol, *unit.spellings)}
_JOINTS = re.compile(r" *[·⋅∙] *|(?<=[A-Za-z0-9])[-.*](?=[A-Za-z])| +")
TIGHT = ('"', "''", "'", "°", "%", "")
"""Signs that stand against their number without a space."""
PARTS = {("ft", "in"): 12, ("lb", "oz"): 16}
"""A whole number of the first unit followed by less than so many of the second."""


@lru_cache(maxsize=256)
def find_unit(text: str) -> Unit | None:
    """The unit of that symbol or spelling; products may be joined by space, ·, -, * or a dot.

    >>> find_unit("kg·m²").symbol, find_unit("ft-lbf").symbol, find_unit("furlong")
    ('kg m2', 'lbf ft', None)
    """
    plain = _JOINTS.sub(" ", text.strip()).replace("^2", "2").replace("²", "2")
    return _BY_NAME.get(plain.replace(" /", "/").replace("/ ", "/"))


@cache
def unit_symbols(kind: Kind) -> tuple[str, ...]:
    """Symbols of the units of one kind, the SI or workshop unit first."""
    return tuple(unit.symbol for unit in UNITS if unit.kind == kind)


def in_unit(value: float, symbol: str) -> float:
    """An SI value as a number of the unit, for pictures and tables. Raises `UnitError`.

    >>> in_unit(0.6223, "in")
    24.5
    """
    unit = find_unit(symbol)
    if unit is None:
        raise UnitError(f"The unit {literal(symbol)} is not known.")
    return float((Fraction(value) - unit.offset) / unit.factor)


def literal(text: str, most: int = 60) -> str:
    r"""A stranger's text for a message: cut to `most` characters, odd signs spelled out.

    >>> literal("a\nb")
    'a\\nb'
    """
    cut = text[:most] + ("…" if len(text) > most else "")
    return "".join(each if each.isprintable() else ascii(each)[1:-1] for each in cut)
