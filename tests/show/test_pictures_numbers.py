"""Numbers on screen and paper.

Outside checks: rounding against the decimal module's ROUND_HALF_UP, ROUND_CEILING and
ROUND_FLOOR (rule B of ISO 80000-1:2009, annex B, from memory: halves go up in magnitude);
inch of 25.4 mm exactly (international yard and pound agreement, 1959).
"""

import math
import re
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from strutkit.show import numbers

MODES = {"nearest": ROUND_HALF_UP, "up": ROUND_CEILING, "down": ROUND_FLOOR}


def as_decimal(text: str) -> Decimal:
    return Decimal(text.replace("−", "-"))


@given(
    thousandths=st.integers(-(10**8), 10**8),
    step=st.sampled_from(["1", "0.5", "0.1", "0.01", "5"]),
    toward=st.sampled_from(sorted(MODES)),
)
def test_figure_rounds_as_the_decimal_module(thousandths, step, toward):
    exact = Decimal(thousandths) / 1000
    expected = (exact / Decimal(step)).quantize(Decimal(1), MODES[toward]) * Decimal(step)
    text = numbers.figure(thousandths / 1000, float(step), toward)
    assert as_decimal(text) == expected
    assert "-" not in text
    assert not re.fullmatch("−0(\\.0*)?", text)


@pytest.mark.parametrize(
    ("value", "kind", "text"),
    [
        (0.7164, "length", "716 mm"),
        (89.4, "force", "89 N"),
        (-12.6, "moment", "−13 N·m"),
        (15.84, "mass", "15.8 kg"),
        (math.radians(41.6), "angle", "42°"),
        (0.114, "share", "11 %"),
        (258.15, "temperature", "−15 °C"),
        (None, "angle", "never"),
    ],
)
def test_each_kind_has_its_step_unit_and_space(value, kind, text):
    assert numbers.quantity_text(value, kind) == text


def test_noise_is_not_rounded_up():
    assert numbers.quantity_text(80.0 + 1e-12, "force", toward="up") == "80 N"
    assert numbers.quantity_text(math.radians(30), "angle", toward="up") == "30°"
    assert numbers.quantity_text(80.0 + 1e-6, "force", toward="up") == "81 N"


def test_a_number_that_is_not_finite_is_refused():
    with pytest.raises(ValueError, match="no finite number"):
        numbers.figure(math.inf)


def test_a_judged_pair_shows_a_broken_limit():
    assert numbers.judged(80.4, 80.0, "force") == ("81 N", "80 N")
    assert numbers.judged(19.7, 20.0, "force", at_most=False) == ("19 N", "20 N")


def test_a_judged_pair_that_prints_alike_gets_one_more_digit():
    assert numbers.judged(79.6, 80.0, "force") == ("79.6 N", "80 N")
    assert numbers.judged(80.2, 80.5, "force") == ("80.2 N", "80.5 N")
    assert numbers.judged(80.5, 80.5, "force") == ("80.5 N", "80.5 N")


@given(
    value=st.integers(-(10**6), 10**6),
    limit=st.integers(-(10**6), 10**6),
    kind=st.sampled_from(["force", "angle", "length", "share"]),
    at_most=st.booleans(),
)
def test_a_judged_pair_prints_in_its_true_order(value, limit, kind, at_most):
    texts = numbers.judged(value / 997, limit / 997, kind, at_most=at_most)
    printed = [as_decimal(re.match("[−0-9.]+", text)[0]) for text in texts]
    assert (printed[0] > printed[1]) == (value > limit)
    assert (printed[0] < printed[1]) == (value < limit)


@given(
    sixty_fourths=st.integers(-(10**5), 10**5),
    parts=st.sampled_from([16, 64]),
    offset=st.integers(-12, 12),
)
def test_inch_text_reads_back_within_half_a_part(sixty_fourths, parts, offset):
    metres = sixty_fourths * 0.0254 / 64 + offset / 100_000
    text = numbers.inch_text(metres, parts=parts, error_over=5e-5)
    match = re.fullmatch(r"(−?)(?:(\d+) )?(\d+)(?:/(\d+))?″(?: \(([+−][0-9.]+) mm\))?", text)
    whole, over, under = match[2] or 0, int(match[3]), int(match[4] or 1)
    inches = int(whole) + Fraction(over, under)
    assert math.gcd(over, under) == 1 or under == 1
    assert parts % under == 0
    shown = float(inches) * 0.0254 * (-1 if match[1] else 1)
    assert abs(shown - metres) <= 0.0127 / parts + 1e-12
    bracket = float((match[5] or "0").replace("−", "-")) / 1000
    assert abs(shown + bracket - metres) <= 5e-5 + 1e-12


def test_inch_text_without_room_for_the_error():
    assert numbers.inch_text(0.0) == "0″"
    assert numbers.inch_text(0.716, parts=64) == "28 3/16″"
    assert numbers.inch_text(-0.08255, unit=False) == "−3 1/4"


def test_length_pair_puts_the_chosen_unit_first():
    assert numbers.length_pair(0.108) == ("108 mm", "4 1/4″")
    assert numbers.length_pair(0.108, "in", error_over=5e-5) == ("4 1/4″", "108 mm")


def test_length_text_in_both_units():
    assert numbers.length_text(0.0245, step=0.5) == "24.5 mm"
    assert numbers.length_text(0.108, "in", unit=False) == "4 1/4"


def test_typed_values_keep_their_digits():
    assert numbers.typed_text(0.0885, "length") == "88.5 mm"
    assert numbers.typed_text(0.1 + 0.2, "length", unit=False) == "300"


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [
        (432.2, 470.9, "433 to 470 N"),
        (433.2, 433.7, "433.2 to 433.7 N"),
        (0.0, 470.9, "up to 470 N"),
        (432.2, math.inf, "from 433 N"),
        (0.0, math.inf, "any"),
    ],
)
def test_range_is_rounded_inward(low, high, text):
    assert numbers.range_text(low, high, "force") == text


def test_unbroken_holds_number_and_unit_together():
    text = numbers.unbroken("at −15 °C it takes 80 N, 3 Newmarket 5 mm")
    assert text == "at −15\u00a0°C it takes 80\u00a0N, 3 Newmarket 5\u00a0mm"
