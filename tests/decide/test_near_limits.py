"""A limit that is broken by next to nothing: the words show that it is broken.

The texts are read back with the decimal module, and set against the floats in exact fractions.
"""

import math
import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from strutkit import check, read_door
from strutkit.data import door_names, door_path
from strutkit.describe.numbers import KINDS, judged


def number(text: str) -> Decimal:
    return Decimal(re.sub("[^0-9.-]", "", text.replace("−", "-").split(" ")[0]))


@given(
    kind=st.sampled_from(["force", "angle", "share", "length"]),
    limit=st.floats(1e-4, 1e4),
    share=st.floats(1e-15, 1e-3),
    at_most=st.booleans(),
)
def test_a_broken_limit_never_prints_as_its_value(
    kind: str, limit: float, share: float, at_most: bool
) -> None:
    value = limit * (1.0 + share if at_most else 1.0 - share)
    assume(value != limit)
    shown, asked = (
        number(text) for text in judged(value, limit, kind, at_most=at_most, broken=True)
    )
    assert (shown > asked) if at_most else (shown < asked)
    unit = Fraction(KINDS[kind].factor)
    step = Fraction(KINDS[kind].step)
    assert abs(Fraction(shown) - Fraction(value) * unit) <= step * (1 + Fraction("1e-8"))
    assert abs(Fraction(asked) - Fraction(limit) * unit) <= step * (1 + Fraction("1e-8"))


@pytest.mark.parametrize("name", door_names())
@pytest.mark.parametrize("rule", ["lift_off", "hand_opening", "hand_closing", "hinge_radial"])
def test_words_of_a_limit_just_missed_tell_value_from_limit(name: str, rule: str) -> None:
    off = 3e-8 if rule.startswith("hand") else 1e-6
    door = read_door(door_path(name))
    value = next((one.value for one in check(door) if one.name == rule), None)
    if not value:
        assert rule in ("lift_off", "hand_opening")
        return
    limit = value - (off * value if off < 1e-6 else min(off, 0.5 * value))
    asked = replace(door, limits=replace(door.limits, **{rule: limit}))
    found = next(one for one in check(asked) if one.name == rule)
    assert found.ok is False
    unit = "°" if rule == "lift_off" else " N"
    numbers = re.findall(rf"([\d.]+)(?={unit})", found.words)
    assert float(numbers[-2]) > float(numbers[-1]), found.words
    assert math.isclose(found.value or 0.0, value, rel_tol=1e-12)
