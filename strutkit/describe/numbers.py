"""Numbers as screen and paper show them: step, side of rounding, unit and signs.

Lengths 1 mm, or 1/16 in for results on screen and 1/64 in for mounts and on paper; force 1 N,
moment 1 N·m, mass 0.1 kg, angle 1°, shares in whole percent, temperature 1 °C. A result is
rounded toward the bad side and its limit toward the strict side, so that a printed figure never
hides a broken limit. On a small door (`finely`) forces, moments and masses under 1 have two
digits.
"""

import math
import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

Toward = Literal["nearest", "up", "down"]
"""Side of rounding: nearest (halves away from zero), up (toward +infinity), down."""

LengthUnit = Literal["mm", "in"]

_SENTENCES: ContextVar[LengthUnit] = ContextVar("unit of lengths in sentences", default="mm")


@contextmanager
def lengths_in(unit: LengthUnit) -> Iterator[None]:
    """Inside, sentences (findings, faults) give lengths in this unit; elsewhere in mm."""
    token = _SENTENCES.set(unit)
    try:
        yield
    finally:
        _SENTENCES.reset(token)


def sentence_unit() -> LengthUnit:
    """The unit in which a sentence gives lengths here: "mm" but inside `lengths_in("in")`."""
    return _SENTENCES.get()


_FINELY: ContextVar[bool] = ContextVar("two digits of values under 1", default=False)


@contextmanager
def finely(fine: bool) -> Iterator[None]:
    """Inside, with fine, a force, moment or mass under 1 has two digits, down to FINEST_STEP."""
    token = _FINELY.set(fine)
    try:
        yield
    finally:
        _FINELY.reset(token)


MINUS = "−"
NEVER = "never"
SCREEN_PARTS = 16
PAPER_PARTS = 64
"""Smallest fraction of an inch: of a result on screen; of a mount on screen and on paper."""
FINEST_PARTS = 1 << 20
"""Fractions of an inch that part a result from its limit are coarser than 1/this."""

INCH = Fraction("0.0254")
"""1 in [m] (international yard and pound agreement, 1959; exact)."""

NOISE = 1e-9
"""A share of a step that is taken for floating-point noise, not for a value over the step."""

FINEST_STEP = 1e-4
"""The finest step of a force [N], moment [N·m] or mass [kg] of a small door."""

MOST_DIGITS = 6
"""At most so many further digits part a value from its limit."""

TYPED_DIGITS, PARTING_DIGITS = 3, 20
"""Digits behind the point of a limit and a value that breaks it by less than NOISE: from, to."""


@dataclass(frozen=True, slots=True)
class Kind:
    """How one kind of quantity is shown: number = (SI value - offset) · factor.

    Numbers under `finer` are shown to a tenth of the step. scales: it shrinks with the door.
    """

    factor: float
    unit: str
    step: float
    offset: float = 0.0
    finer: float = 0.0
    scales: bool = False


KINDS: dict[str, Kind] = {
    "length": Kind(1e3, " mm", 1.0),
    "force": Kind(1.0, " N", 1.0, scales=True),
    "moment": Kind(1.0, " N·m", 1.0, scales=True),
    "mass": Kind(1.0, " kg", 0.1, finer=1.0, scales=True),
    "angle": Kind(180.0 / math.pi, "°", 1.0),
    "share": Kind(100.0, " %", 1.0),
    "temperature": Kind(1.0, " °C", 1.0, 273.15),
    "speed": Kind(1.0, " m/s", 0.1),
    "number": Kind(1.0, "", 0.01),
}
"""Kind of quantity -> how it is shown."""


def figure(value: float, step: float = 1.0, toward: Toward = "nearest") -> str:
    """A bare number to a step, with a true minus and no minus zero.

    >>> figure(80.4), figure(80.4, toward="up"), figure(-3.25, 0.5), figure(-0.2)
    ('80', '81', '−3.5', '0')
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is no finite number; show a word for it.")
    unit = Decimal(repr(step)).normalize()
    places = max(0, -int(unit.as_tuple().exponent))
    return f"{_count(value / step, toward) * unit:.{places}f}".replace("-", MINUS)


def _count(steps: float, toward: Toward) -> int:
    noise = NOISE * max(1.0, abs(steps))
    if toward == "up":
        return math.ceil(steps - noise)
    if toward == "down":
        return math.floor(steps + noise)
    return int(math.copysign(math.floor(abs(steps) + 0.5 + noise), steps))


def quantity_text(
    value: float | None,
    kind: str,
    *,
    toward: Toward = "nearest",
    step: float | None = None,
    unit: bool = True,
) -> str:
    """A value in SI with its unit; step in the shown unit (None: that of the kind).

    None, an angle that is not reached, reads "never". Inside `lengths_in("in")` a length is in
    inches: to 1/16, or to 1/64 where the step is under 1 mm.

    >>> quantity_text(0.412, "length"), quantity_text(1.0472, "angle", toward="up")
    ('412 mm', '61°')
    >>> quantity_text(253.15, "temperature"), quantity_text(None, "angle")
    ('−20 °C', 'never')
    """
    if value is None:
        return NEVER
    if kind == "length" and sentence_unit() == "in":
        parts = SCREEN_PARTS if step is None or step >= 1.0 else PAPER_PARTS
        return inch_text(value, parts=parts, unit=unit, toward=toward)
    rule = KINDS[kind]
    number = (value - rule.offset) * rule.factor
    usual = rule.step / 10.0 if abs(number) < rule.finer else rule.step
    fine = _fine_step(number, rule)
    if step is None and fine is not None:
        text = _without_zeros(figure(number, fine, toward))
    else:
        text = figure(number, step or usual, toward)
    return text + (rule.unit if unit else "")


def _fine_step(number: float, rule: Kind) -> float | None:
    """The step of two digits where a small door wants them, else None."""
    if not (_FINELY.get() and rule.scales and NOISE < abs(number) < 1.0):
        return None
    return max(float(f"1e{math.floor(math.log10(abs(number))) - 1}"), FINEST_STEP)


def travel_text(angle: float) -> str:
    """An opening angle at which the travel ends, as every page and screen gives it: to 0.1°.

    >>> travel_text(math.radians(66.5)), travel_text(math.radians(92.0))
    ('66.5°', '92°')
    """
    return typed_text(angle, "angle", step=0.1)


def travel_pair(end: float, stop: float) -> tuple[str, str]:
    """Where the travel ends and the stop that it does not reach, finer than `travel_text` only
    where the two would read alike.

    >>> travel_pair(math.radians(28.6), math.radians(92.0))
    ('28.6°', '92°')
    >>> travel_pair(math.radians(91.98), math.radians(92.0))
    ('91.98°', '92°')
    """
    for digits in range(1, MOST_DIGITS + 1):
        texts = tuple(typed_text(one, "angle", step=float(f"1e-{digits}")) for one in (end, stop))
        if texts[0] != texts[1]:
            break
    return texts[0], texts[1]


def judged(
    value: float, limit: float, kind: str, *, at_most: bool = True, broken: bool = False
) -> tuple[str, str]:
    """A result and its limit as texts whose printed order is their true order.

    at_most: the limit is the greatest value allowed, else the least. The result is rounded
    toward the bad side and the limit toward the strict side; both get further digits while they
    print alike or in the wrong order. The limit drops zeros behind its point. broken: the value
    fails, so the two never print alike, however near.

    >>> judged(80.4, 80.0, "force"), judged(79.6, 80.0, "force")
    (('81 N', '80 N'), ('79.6 N', '80 N'))
    """
    rule = KINDS[kind]
    if broken and value != limit and math.isclose(value, limit, rel_tol=NOISE, abs_tol=NOISE):
        return _parted(value, limit, rule)
    if kind == "length" and sentence_unit() == "in":
        return _judged_inches(value, limit, at_most=at_most)
    if math.isclose(value, limit, rel_tol=NOISE, abs_tol=NOISE * rule.step):
        return typed_text(limit, kind), typed_text(limit, kind)
    bad, strict = ("up", "down") if at_most else ("down", "up")
    texts = ("", "")
    for digits in range(MOST_DIGITS + 1):
        texts = (
            _shown(value, kind, _further(value, rule, digits), bad),
            _without_zeros(_shown(limit, kind, _further(limit, rule, digits), strict)),
        )
        result, allowed = (float(text.replace(MINUS, "-")) for text in texts)
        if result != allowed and (result < allowed) == (value < limit):
            break
    return texts[0] + rule.unit, texts[1] + rule.unit


def limit_text(limit: float, kind: str, *, at_most: bool) -> str:
    """A limit as `judged` writes it beside a result that is far from it: rounded to the strict
    side, in inches to 1/64.

    >>> limit_text(0.008, "length", at_most=False), limit_text(80.0, "force", at_most=True)
    ('8 mm', '80 N')
    """
    toward: Toward = "down" if at_most else "up"
    if kind == "length" and sentence_unit() == "in":
        return inch_text(limit, parts=PAPER_PARTS, toward=toward)
    return _without_zeros(_shown(limit, kind, _further(limit, KINDS[kind], 0), toward)) + (
        KINDS[kind].unit
    )


def _parted(value: float, limit: float, rule: Kind) -> tuple[str, str]:
    """Two numbers that all but agree, with as many digits as tell one from the other."""
    number, asked = (Fraction(one) * Fraction(rule.factor) for one in (value, limit))
    texts = ("", "")
    for digits in range(TYPED_DIGITS, PARTING_DIGITS + 1):
        scale = 10**digits
        away = math.ceil if number > asked else math.floor
        counts = away(number * scale), round(asked * scale)
        texts = tuple(f"{Decimal(one).scaleb(-digits):f}" for one in counts)  # type: ignore[assignment]
        error = abs(Fraction(counts[1], scale) - asked)
        if counts[0] != counts[1] and error < abs(number - asked):
            break
    shown, wanted = (_without_zeros(one).replace("-", MINUS) for one in texts)
    return shown + rule.unit, wanted + rule.unit


def _further(value: float, rule: Kind, digits: int) -> float:
    """The step of a value that gets so many further digits."""
    return float(f"{_fine_step(value, rule) or rule.step}e-{digits}")


def _judged_inches(value: float, limit: float, *, at_most: bool) -> tuple[str, str]:
    """As `judged`, in inches: the result to 1/16, the limit to 1/64, finer where they must be."""
    if math.isclose(value, limit, rel_tol=NOISE, abs_tol=NOISE):
        return typed_text(limit, "length"), typed_text(limit, "length")
    bad, strict = ("up", "down") if at_most else ("down", "up")
    parts, result, allowed = SCREEN_PARTS, 0, 0
    while parts < FINEST_PARTS:
        result = _inch_count(value, parts, bad)
        allowed = _inch_count(limit, max(parts, PAPER_PARTS), strict)
        shown, asked = Fraction(result, parts), Fraction(allowed, max(parts, PAPER_PARTS))
        if shown != asked and (shown < asked) == (value < limit):
            break
        parts *= 2
    return (
        inch_text(value, parts=parts, toward=bad),  # type: ignore[arg-type]
        inch_text(limit, parts=max(parts, PAPER_PARTS), toward=strict),  # type: ignore[arg-type]
    )


def _shown(value: float, kind: str, step: float, toward: str) -> str:
    return quantity_text(value, kind, step=step, toward=toward, unit=False)  # type: ignore[arg-type]


def _without_zeros(number: str) -> str:
    return number.rstrip("0").rstrip(".") if "." in number else number


def typed_text(value: float, kind: str, *, unit: bool = True, step: float = 1e-3) -> str:
    """A value as it was typed: all its digits, to a thousandth of the shown unit or to `step`.

    >>> typed_text(0.0885, "length"), typed_text(0.61, "length")
    ('88.5 mm', '610 mm')
    """
    if kind == "length" and sentence_unit() == "in":
        return inch_text(value, parts=PAPER_PARTS, unit=unit)
    text = _without_zeros(quantity_text(value, kind, step=step, unit=False))
    return text + (KINDS[kind].unit if unit else "")


def inch_text(
    metres: float,
    *,
    parts: int = SCREEN_PARTS,
    unit: bool = True,
    error_over: float = math.inf,
    toward: Toward = "nearest",
) -> str:
    """A length in inches to 1/parts as a reduced fraction.

    Where the fraction is off by more than error_over [m], the difference follows in brackets to
    0.1 mm: the length is the inches plus what stands in the brackets.

    >>> inch_text(0.7162, parts=64), inch_text(0.7162, parts=64, error_over=5e-5)
    ('28 13/64″', '28 13/64″ (−0.2 mm)')
    """
    signed = _inch_count(metres, parts, toward)
    text = _mixed(abs(signed), parts)
    if signed < 0:
        text = MINUS + text
    if unit:
        text += "″"
    error = float(Fraction(metres) - Fraction(signed, parts) * INCH)
    if abs(error) > error_over:
        text += f" ({_signed(error * 1e3)} mm)"
    return text


def _inch_count(metres: float, parts: int, toward: str) -> int:
    exact = Fraction(metres) / INCH * parts
    noise = Fraction(NOISE) * max(Fraction(1), abs(exact))
    if toward == "up":
        return math.ceil(exact - noise)
    if toward == "down":
        return math.floor(exact + noise)
    count = math.floor(abs(exact) + Fraction(1, 2))
    return -count if exact < 0 else count


def _mixed(count: int, parts: int) -> str:
    whole, rest = divmod(Fraction(count, parts), 1)
    if rest == 0:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def _signed(millimetres: float) -> str:
    text = figure(millimetres, 0.1)
    return text if text.startswith(MINUS) or text == "0.0" else "+" + text


def length_text(
    metres: float,
    length_unit: LengthUnit = "mm",
    *,
    step: float = 1.0,
    parts: int = SCREEN_PARTS,
    unit: bool = True,
) -> str:
    """A length in the unit the user chose: step in mm, or 1/parts of an inch.

    >>> length_text(0.108), length_text(0.108, "in"), length_text(0.0245, step=0.5)
    ('108 mm', '4 1/4″', '24.5 mm')
    """
    if length_unit == "in":
        return inch_text(metres, parts=parts, unit=unit)
    with lengths_in("mm"):
        return quantity_text(metres, "length", step=step, unit=unit)


def length_pair(
    metres: float,
    length_unit: LengthUnit = "mm",
    *,
    step: float = 1.0,
    parts: int = PAPER_PARTS,
    error_over: float = math.inf,
) -> tuple[str, str]:
    """A length in the chosen unit and in the other one, which stands in brackets or below.

    >>> length_pair(0.716)
    ('716 mm', '28 3/16″')
    """
    millimetres = length_text(metres, step=step)
    inches = inch_text(metres, parts=parts, error_over=error_over)
    return (inches, millimetres) if length_unit == "in" else (millimetres, inches)


def range_text(low: float, high: float, kind: str) -> str:
    """An allowed range, both ends rounded inward: "433 to 470 N".

    A low end of 0 or less is no edge ("up to 470 N"), nor is an infinite high end ("from
    433 N"). The ends get further digits where rounding would turn the range round.

    >>> range_text(432.2, 470.9, "force"), range_text(0.0, 470.9, "force")
    ('433 to 470 N', 'up to 470 N')
    """
    rule = KINDS[kind]
    if math.isinf(high):
        least = _shown(low, kind, _further(low, rule, 0), "up")
        return f"from {least}{rule.unit}" if low > 0.0 else "any"
    if low <= 0.0:
        return f"up to {_shown(high, kind, _further(high, rule, 0), 'down')}{rule.unit}"
    for digits in range(MOST_DIGITS + 1):
        ends = (
            _shown(low, kind, _further(low, rule, digits), "up"),
            _shown(high, kind, _further(high, rule, digits), "down"),
        )
        if float(ends[0].replace(MINUS, "-")) <= float(ends[1].replace(MINUS, "-")):
            break
    return f"{ends[0]} to {ends[1]}{rule.unit}"


_BEFORE_UNIT = re.compile(r"(?<=[0-9]) (?=(?:mm|N|N·m|kg|%|°C|m/s|in)(?![A-Za-z0-9]))")


def unbroken(text: str) -> str:
    """The same text with a no-break space between each number and its unit, for running text.

    >>> unbroken("at -15 °C it takes 80 N").count("\\N{NO-BREAK SPACE}")
    2
    """
    return _BEFORE_UNIT.sub("\N{NO-BREAK SPACE}", text)
