"""Quantities as people write them: text with its unit, to SI and back.

A number is read as an exact fraction and rounded once, so the float is the one nearest to what
was written. A small grammar does the reading: a stranger's text is never evaluated. One reader
serves door files, stock lists and number boxes (model section 11.22).
"""

import difflib
import math
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from strutkit.describe import unit_hints as hints
from strutkit.describe.fields import NAMED_DIRECTIONS, Point
from strutkit.describe.numbers import sentence_unit
from strutkit.describe.unit_table import (
    PARTS,
    TIGHT,
    UNITS,
    Kind,
    Unit,
    find_unit,
    in_unit,
    literal,
    unit_symbols,
)
from strutkit.errors import UnitError

__all__ = [
    "Kind",
    "Point",
    "Quantity",
    "format_direction",
    "format_point",
    "format_points",
    "format_quantity",
    "in_unit",
    "is_bare",
    "literal",
    "parse_direction",
    "parse_point",
    "parse_points",
    "parse_quantity",
    "read_point",
    "read_points",
    "read_quantity",
    "unit_symbols",
]

LONGEST_TEXT = 120
"""Most characters of one quantity; longer text is refused unread."""
MOST_DIGITS = 40
"""Most digits of one number."""
LARGEST_EXPONENT = 400
MOST_POINTS = 300
"""Most points of a list such as a section or a zone."""

_PLAIN = {
    "-": "−‐‑–﹣－",
    "/": "⁄∕",
    " ": "\u00a0\u2007\u2009\u202f\t\n\r",
    "'": "’′",
    '"': "”″",
}
_SIGNS = {ord(sign): plain for plain, signs in _PLAIN.items() for sign in signs}
_VULGAR = re.compile(r"([0-9]?)([ -]*)([¼-¾⅐-⅞])")
_NUMBER = re.compile(
    r"(?:(?P<whole>[0-9]+)(?: +|-))?(?P<over>[0-9]+)/(?P<under>[0-9]+)"
    r"|(?P<decimal>(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE](?P<exponent>[+-]?[0-9]+))?)"
)
_SIGNED = re.compile(r"([+-]?) *([0-9.].*)")
_UNIT_SIGN = re.compile(r"[^0-9eE.+/ -]")
_TWO_PARTS = re.compile(r"(ft\.?|foot|feet|'|lbs?\.?)(?: *|-)([0-9.].*)")


@dataclass(frozen=True, slots=True)
class Quantity:
    """What was read: the SI value, and the unit as it was written ("in" after feet and inches)."""

    value: float
    unit: str


def parse_quantity(text: str, kind: Kind) -> float:
    r"""SI value of a text with its unit: 24 1/2 in, 5' 6", -20 degC; plain numbers, 85 % too.

    The sign covers the whole mixed number. Raises `UnitError`: what was typed, what to write.

    >>> parse_quantity("24-1/2 in", "length"), parse_quantity("-3 ¼ in", "length")
    (0.6223, -0.08255)
    """
    return read_quantity(text, kind).value


@lru_cache(maxsize=4096)
def read_quantity(text: str, kind: Kind) -> Quantity:
    """As `parse_quantity`, with the unit as it was written, to write a new value back in it."""
    clean = _clean(text)
    if "," in clean:
        raise UnitError(hints.comma(clean))
    match = _SIGNED.fullmatch(clean)
    if match is None:
        raise UnitError(hints.no_number(clean, kind))
    number, rest = _take_number(match[2], clean, kind)
    if match[1] == "-":
        number = -number
    typed = hints.Typed(clean, clean.removesuffix(rest).rstrip(" "), number, kind)
    second = _TWO_PARTS.fullmatch(rest)
    if second is not None:
        number, rest = _add_second_part(typed, second)
        typed = replace(typed, number=number)
    unit = _unit_after(rest, typed)
    value = _nearest(number * unit.factor + unit.offset)
    if math.isinf(value):
        raise UnitError(f"{literal(text)} is too large a number to work with.")
    return Quantity(value, rest)


def _clean(text: str) -> str:
    _refuse_long(text, LONGEST_TEXT)
    signs = text.translate(_SIGNS).strip(" ")
    if any(unicodedata.category(each)[0] in "CZ" and each != " " for each in signs):
        raise UnitError(f"{literal(text)} holds a character that cannot be seen. Type it again.")
    return _VULGAR.sub(_spell_fraction, signs)


def _refuse_long(text: str, most: int) -> None:
    if len(text) > most:
        raise UnitError(
            f"{literal(text, 20)} has {len(text)} characters, and at most {most} are read. "
            "Write it shorter."
        )


def _spell_fraction(match: re.Match[str]) -> str:
    digit, between, fraction = match.groups()
    spelled = unicodedata.normalize("NFKC", fraction).replace("⁄", "/")
    return digit + (between or " " if digit else between) + spelled


def is_bare(text: str) -> bool:
    """Whether a text is a number without a unit, as far as its signs tell. Raises `UnitError`."""
    return not _UNIT_SIGN.search(_clean(text))


def _take_number(text: str, clean: str, kind: Kind) -> tuple[Fraction, str]:
    """The number in front (without sign) and what follows it."""
    match = _NUMBER.match(text)
    if match is None:
        raise UnitError(hints.no_number(clean, kind))
    if sum(each.isdigit() for each in match[0]) > MOST_DIGITS:
        raise UnitError(
            f"{literal(clean, 20)} has a number of more than {MOST_DIGITS} digits. Round it."
        )
    rest = text[match.end() :].lstrip(" ")
    if match["decimal"]:
        if abs(int(match["exponent"] or 0)) > LARGEST_EXPONENT:
            raise UnitError(f"{literal(clean)} is too large or too small a number to work with.")
        return Fraction(match["decimal"]), rest
    whole, over, under = (int(match[part] or 0) for part in ("whole", "over", "under"))
    if under == 0:
        raise UnitError(
            f"{literal(clean)} divides by zero. Write for example {hints.EXAMPLES[kind]}."
        )
    if match["whole"] and over >= under:
        raise UnitError(
            f"{literal(clean)} has a fraction of 1 or more behind a whole number. "
            "Write the whole number and a fraction under 1, as 24 1/2 in."
        )
    return whole + Fraction(over, under), rest


def _add_second_part(typed: hints.Typed, match: re.Match[str]) -> tuple[Fraction, str]:
    """Feet and inches or pounds and ounces as one number of the second unit."""
    unit = find_unit(match[1])
    pair = next(pair for pair in PARTS if unit is not None and pair[0] == unit.symbol)
    more, written = _take_number(match[2], typed.text, typed.kind)
    second, most = find_unit(written), PARTS[pair]
    whole = typed.number.denominator == 1 and "/" not in typed.figure
    if second is None or second.symbol != pair[1] or more >= most or not whole:
        raise UnitError(hints.two_parts(typed.text, *pair, most))
    sign = -1 if typed.text.startswith("-") else 1
    return typed.number * most + sign * more, written


def _unit_after(written: str, typed: hints.Typed) -> Unit:
    unit = find_unit(written)
    if unit is None:
        raise UnitError(hints.unknown_unit(typed, written))
    if unit.kind == typed.kind:
        return unit
    raise UnitError(hints.wrong_kind(typed, unit) if written else hints.bare(typed))


def format_quantity(value: float, unit: str) -> str:
    """Shortest text of an SI value in a unit that `parse_quantity` reads back as the same float.

    Minus zero is written as 0. A temperature so near to 0 K that no 17 digits hold it is written
    in K. Raises `UnitError` for an unknown unit or a number that is not finite.

    >>> format_quantity(0.6223, "in"), format_quantity(253.15, "degC")
    ('24.5 in', '-20 degC')
    """
    return _joined(*_number_text(value, unit))


def _joined(number: str, unit: str) -> str:
    return number + ("" if unit in TIGHT else " ") + unit


def _number_text(value: float, unit: str) -> tuple[str, str]:
    """The number as text, and the unit that it is in."""
    found = find_unit(unit)
    if found is None:
        raise UnitError(f"The unit {literal(unit)} is not known.")
    if not math.isfinite(value):
        raise UnitError(f"{value} is no finite number, and cannot be written as a quantity.")
    number = _shortest(value, found)
    if number is None:
        return _plain(Decimal(repr(value))), _SI_SYMBOLS[found.kind]
    return number, unit


_SI_SYMBOLS = {u.kind: u.symbol for u in reversed(UNITS) if u.factor == 1 and not u.offset}


def _shortest(value: float, unit: Unit) -> str | None:
    exact = (Fraction(value) - unit.offset) / unit.factor
    if exact == 0:
        return "0"
    place = math.floor(math.log10(abs(exact.numerator)) - math.log10(exact.denominator))
    scale = Fraction(10) ** (17 - place)
    longest = round(exact * scale)
    near = math.ceil(Fraction(math.ulp(value)) / unit.factor * scale) + 1
    for digits in range(1, 19):
        step = 10 ** (18 - digits)
        if min(longest % step, -longest % step) > near:
            continue  # so few digits lie farther from the value than the next float does
        shift = Fraction(10) ** (digits - 1 - place)
        whole = round(exact * shift)
        if _nearest(whole / shift * unit.factor + unit.offset) == value:
            return _plain(Decimal(whole).scaleb(place + 1 - digits))
    return None


def _nearest(exact: Fraction) -> float:
    try:
        return float(exact)
    except OverflowError:
        return math.inf


def _plain(number: Decimal) -> str:
    """
    >>> _plain(Decimal("1.50E+3")), _plain(Decimal("2E-9"))
    ('1500', '2e-9')
    """
    if number == 0:
        return "0"
    number = number.normalize()
    if -7 < number.adjusted() < 17:
        return format(number, "f")
    return str(number).lower().replace("e+", "e")


def parse_point(text: str) -> Point:
    """A point [m]: three lengths with one unit ("330, 0, -12 mm"), or each with its own.

    Raises `UnitError`.
    """
    return read_point(text)[0]


def read_point(text: str) -> tuple[Point, str]:
    """As `parse_point`, with the unit that was written last."""
    _refuse_long(text, 4 * LONGEST_TEXT)
    text = text.strip()
    parts = text.split(",")
    if not text:
        raise UnitError("Nothing is written here. Write a point, for example 330, 0, -12.5 mm.")
    if len(parts) != 3:
        counted = "one number" if len(parts) == 1 else f"{len(parts)} numbers"
        raise UnitError(
            f"{literal(text)} has {counted}, and a point has three: x, y, z. "
            "Write them with decimal points and one unit, for example 330, 0, -12.5 mm."
        )
    bare = [is_bare(part) for part in parts]
    if all(bare):
        units = ("in", "mm") if sentence_unit() == "in" else ("mm", "in")
        choices = hints.listed(tuple(f"{literal(text)} {unit}" for unit in units))
        raise UnitError(f"{literal(text)} has no unit. Write {choices}.")
    last = read_quantity(parts[2], "length")
    if bare[0] != bare[1]:
        raise UnitError(
            f"{literal(text)} has a unit on two of its numbers. "
            "Write one unit after the last, or a unit on each."
        )
    tail = f" {last.unit}" if bare[0] else ""
    x, y = (parse_quantity(part + tail, "length") for part in parts[:2])
    return (x, y, last.value), last.unit


def format_point(point: Point, unit: str) -> str:
    """Shortest text of a point [m] that reads back equal, with the unit once.

    >>> format_point((0.33, 0.0, -0.012), "mm")
    '330, 0, -12 mm'
    """
    numbers = [_number_text(each, unit)[0] for each in point]
    return _joined(", ".join(numbers), unit)


def parse_points(text: str) -> tuple[Point, ...]:
    """A list of points [m] parted by ";", each with its unit. Raises `UnitError`."""
    return read_points(text)[0]


def read_points(text: str) -> tuple[tuple[Point, ...], str]:
    """As `parse_points`, with the unit that was written last."""
    _refuse_long(text, LONGEST_TEXT * MOST_POINTS)
    parts = text.split(";")
    if len(parts) > MOST_POINTS:
        raise UnitError(f"{len(parts)} points are too many: write at most {MOST_POINTS}.")
    read, faults = [], []
    for count, part in enumerate(parts, start=1):
        try:
            read.append(read_point(part))
        except UnitError as fault:
            faults.append(f"Point {count}: {fault}")
    if len(faults) > 3:
        faults[3:] = [f"{len(faults) - 3} more points have faults."]
    if faults:
        raise UnitError(" ".join(faults))
    return tuple(point for point, _ in read), read[-1][1]


def format_points(points: Iterable[Point], unit: str) -> str:
    """Shortest text of a list of points [m] that reads back equal."""
    return "; ".join(format_point(point, unit) for point in points)


def parse_direction(text: str) -> str | Point:
    """A direction: out, in, right, left, up or down, or three plain numbers. Raises `UnitError`."""
    _refuse_long(text, 4 * LONGEST_TEXT)
    word, parts = text.strip(), text.split(",")
    if word in NAMED_DIRECTIONS:
        return word
    if len(parts) == 3:
        x, y, z = (parse_quantity(part, "number") for part in parts)
        return (x, y, z)
    near = difflib.get_close_matches(word.lower(), NAMED_DIRECTIONS, 1)
    raise UnitError(
        f"{literal(text)} is no direction.{f' Did you mean {near[0]}?' if near else ''} "
        f"Write {hints.listed(tuple(NAMED_DIRECTIONS))}, or three numbers as 0, 0.2, 1."
    )


def format_direction(direction: str | Point) -> str:
    """The word, or three numbers that read back equal."""
    if isinstance(direction, str):
        return direction
    return ", ".join(format_quantity(each, "") for each in direction)
