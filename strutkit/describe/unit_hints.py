"""What to write instead: the texts for quantities that cannot be read.

Each text says what was typed and what to write. The line under a number box shows it as it is.
"""

import difflib
import re
from dataclasses import dataclass
from fractions import Fraction

from strutkit.describe.numbers import sentence_unit
from strutkit.describe.unit_table import (
    FOOT,
    GRAVITY,
    INCH,
    UNITS,
    Kind,
    Unit,
    literal,
    unit_symbols,
)

EXAMPLES: dict[Kind, str] = {
    "length": "620 mm or 24 1/2 in",
    "mass": "12.5 kg or 27 1/2 lb",
    "force": "220 N or 50 lbf",
    "moment": "2.5 N m or 22 lbf in",
    "angle": "80 deg",
    "temperature": "-20 degC or -4 degF",
    "speed": "12 m/s or 27 mph",
    "inertia": "3.4 kg m2",
    "hinge_damping": "1.5 N m s",
    "strut_damping": "150 N s/m",
    "number": "1.3",
}
"""One or two quantities of each kind, written as they should be."""
KIND_WORDS: dict[Kind, str] = {
    "length": "a length",
    "mass": "a mass",
    "force": "a force",
    "moment": "a moment",
    "angle": "an angle",
    "temperature": "a temperature",
    "speed": "a speed",
    "inertia": "a moment of inertia",
    "hinge_damping": "damping of a hinge",
    "strut_damping": "damping of a strut",
    "number": "a plain number",
}
_BARE_CHOICES: dict[Kind, tuple[str, ...]] = {
    "length": ("mm", "in"),
    "mass": ("kg", "lb"),
    "force": ("N", "lbf"),
    "moment": ("N m", "lbf in"),
    "angle": ("deg",),
    "temperature": ("degC", "degF"),
    "speed": ("m/s", "mph"),
    "inertia": ("kg m2", "lb ft2"),
    "hinge_damping": ("N m s",),
    "strut_damping": ("N s/m",),
}
_PART_WORDS = {"ft": "feet", "in": "inches", "lb": "pounds", "oz": "ounces"}
_POUND_MOMENT = re.compile(r"(?:(ft|in)[ -]*lbs?|lbs?[ -]*(ft|in))")


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed: the whole text, the number in front as typed and as read, kind asked."""

    text: str
    figure: str
    number: Fraction
    kind: Kind


def listed(words: tuple[str, ...]) -> str:
    """
    >>> listed(("mm", "cm", "m"))
    'mm, cm or m'
    """
    return " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def no_number(text: str, kind: Kind) -> str:
    """For a text that does not begin with a number."""
    if not text:
        return f"Nothing is written here. Write for example {EXAMPLES[kind]}."
    if re.match(r"[+-]? *(nan|inf)", text, re.IGNORECASE):
        return f"{literal(text)} is no number to work with. Write for example {EXAMPLES[kind]}."
    if re.search(r"[-+*/^(]+ *[0-9]", text):
        return arithmetic(text, kind)
    return f"{literal(text)} has no number in front. Write for example {EXAMPLES[kind]}."


def arithmetic(text: str, kind: Kind) -> str:
    """For sums, powers, brackets."""
    return (
        f"{literal(text)} is arithmetic, which is not worked out here. "
        f"Write one number, for example {EXAMPLES[kind]}."
    )


def comma(text: str) -> str:
    """For decimal and thousands commas."""
    if text.count(",") > 1 or "." in text:
        choices = [text.replace(",", "")]
    elif re.search(r"(?<![0-9])[1-9][0-9]{0,2},[0-9]{3}(?![0-9])", text):
        choices = [text.replace(",", "."), text.replace(",", "") + ", as meant"]
    else:
        choices = [text.replace(",", ".")]
    return f"{literal(text)} has a comma. Write {literal(' or '.join(choices), 130)}."


def bare(typed: Typed) -> str:
    """For a number without a unit, with that number in units it may have been meant in.

    Where lengths are shown in inches, that number in inches comes first.
    """
    figure, number = typed.figure, typed.number
    if typed.kind == "length" and sentence_unit() == "in":
        choices = f"{figure} in or {float(number * INCH * 1000):.4g} mm"
    elif typed.kind == "length" and "/" in figure and 1 <= abs(number) < 12:
        feet = float(number * FOOT / INCH), float(number * FOOT * 1000)
        choices = f"{figure} ft, {feet[0]:.4g} in or {feet[1]:.0f} mm"
    elif typed.kind == "length" and "/" in figure:
        choices = f"{figure} in or {float(number * INCH * 1000):.4g} mm"
    else:
        choices = listed(tuple(f"{figure} {symbol}" for symbol in _BARE_CHOICES[typed.kind]))
    return f"{literal(typed.text)} has no unit. Write {choices}."


def wrong_kind(typed: Typed, unit: Unit) -> str:
    """For a known unit of another kind than the one asked."""
    text, figure, kind = literal(typed.text), typed.figure, typed.kind
    if kind == "number":
        return f"{text} has a unit, and a plain number is asked. Write {figure}."
    if unit.kind == "number":
        return f"{text} is a share, and {KIND_WORDS[kind]} is asked, as {EXAMPLES[kind]}."
    what = f"{text} is {KIND_WORDS[unit.kind]}, and {KIND_WORDS[kind]} is asked."
    if (unit.kind, kind) == ("mass", "force"):
        pull = f"{float(typed.number * unit.factor * GRAVITY):.4g} N"
        symbol = {"lb": "lbf", "kg": "kgf"}.get(unit.symbol)
        pull += f" or {figure} {symbol}" if symbol else ""
        return f"{what} If a scale was pulled to that mark, write {pull}."
    if (unit.kind, kind) == ("angle", "temperature"):
        return f"{what} Write {figure} degC or {figure} degF."
    return f"{what} Write it in {listed(unit_symbols(kind))}."


def unknown_unit(typed: Typed, written: str) -> str:
    """For something after the number that is no unit."""
    text, figure, kind = literal(typed.text), typed.figure, typed.kind
    if re.match(r"[0-9.]", written):
        return (
            f"{text} has two numbers in a row. Write one without a space, "
            "or a fraction as 24 1/2 in."
        )
    if re.match(r"[-+*/^(]", written) or re.search(r"[+*()=]|[^a-z] -", written):
        return arithmetic(typed.text, kind)
    if kind == "temperature" and written.lower() in ("c", "f"):
        return f"{text} has a bare {written}. Write {figure} deg{written.upper()}."
    match = _POUND_MOMENT.fullmatch(written)
    if match and kind == "moment":
        return f"{text} has lb, which is a mass. Write {figure} lbf {match[1] or match[2]}."
    near = _nearest_unit(written, kind)
    hint = f"Write {figure} {near}." if near else f"Write it in {listed(unit_symbols(kind))}."
    if kind == "number":
        hint = f"Write {figure} alone."
    return f"{text}: the unit {literal(written, 20)} is not known. {hint}"


def _nearest_unit(written: str, kind: Kind) -> str | None:
    names = {
        name.casefold(): unit.symbol
        for unit in UNITS
        for name in (unit.symbol, *unit.spellings)
        if unit.kind == kind and name
    }
    near = difflib.get_close_matches(written[:20].casefold(), names, 1, 0.7)
    return names[near[0]] if near else None


def two_parts(text: str, first: str, second: str, most: int) -> str:
    """For feet and inches (pounds and ounces) that do not go together."""
    return (
        f"{literal(text)} does not read as {_PART_WORDS[first]} and {_PART_WORDS[second]}. "
        f"Write whole {_PART_WORDS[first]}, then less than {most} {_PART_WORDS[second]} "
        f"with their unit, as 5 {first} 6 1/2 {second}."
    )
