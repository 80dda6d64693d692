"""Lengths in sentences in the unit that is shown: 1 in = 25.4 mm (the 1959 agreement, exact)."""

import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from strutkit import StrutkitError, check, read_door, sweep
from strutkit.data import door_names, door_path
from strutkit.describe.fields import shown
from strutkit.describe.numbers import judged, lengths_in, quantity_text, typed_text
from strutkit.describe.units import parse_point, parse_quantity

INCH = Fraction("0.0254")


def metres(text: str) -> Fraction:
    """A text such as "13/32″" or "1 1/2″" by the definition of the inch."""
    assert text.endswith("″")
    return sum((Fraction(part) for part in text[:-1].split()), Fraction(0)) * INCH


@given(value=st.floats(1e-4, 2.0), limit=st.floats(1e-4, 2.0), at_most=st.booleans())
def test_printed_inches_stand_in_their_true_order(
    value: float, limit: float, at_most: bool
) -> None:
    with lengths_in("in"):
        result, allowed = judged(value, limit, "length", at_most=at_most)
    if abs(value - limit) > 1e-6:
        assert (metres(result) < metres(allowed)) == (value < limit)
        assert result != allowed
    sense = 1 if at_most else -1
    assert sense * (metres(result) - Fraction(value)) >= -1e-8 or result == allowed
    assert sense * (Fraction(limit) - metres(allowed)) >= -1e-8 or result == allowed


def test_sentences_are_in_millimetres_elsewhere_and_again_afterwards() -> None:
    assert quantity_text(0.0254, "length") == "25 mm"
    with lengths_in("in"):
        assert quantity_text(0.0254, "length") == "1″"
        assert quantity_text(0.0101, "length", toward="down") == "3/8″"
        assert quantity_text(0.0101, "length", toward="up") == "7/16″"
        assert typed_text(0.009525, "length") == "3/8″"
        assert shown(0.0127, "length") == "0.5 in"
        with lengths_in("mm"):
            assert quantity_text(0.0254, "length") == "25 mm"
    assert shown(0.0127, "length") == "12.7 mm"


@pytest.mark.parametrize("name", door_names())
def test_no_finding_says_millimetres_where_inches_are_shown(name: str) -> None:
    door = read_door(door_path(name))
    with lengths_in("in"):
        words = " ".join(one.words for one in check(door))
    assert "mm" not in words
    assert re.search(r"keeps [\d /]+″ of stroke", words)
    assert "″" not in " ".join(one.words for one in check(door))


def test_a_fault_of_the_travel_is_said_in_the_shown_unit() -> None:
    door = read_door(door_path("rear-hatch"))
    far = replace(door, struts=(replace(door.struts[0], frame_mount=(-0.085, -0.6, -0.9)),))
    with (
        lengths_in("in"),
        pytest.raises(StrutkitError, match=r"is \d+ [\d/]+″ too short when shut"),
    ):
        sweep(far)
    with pytest.raises(StrutkitError, match=r"is \d+ mm too short when shut"):
        sweep(far)


def test_a_bare_number_is_offered_in_the_shown_unit_first() -> None:
    with lengths_in("in"):
        with pytest.raises(StrutkitError, match=r"Write 6 1/2 in or 165\.1 mm\."):
            parse_quantity("6 1/2", "length")
        with pytest.raises(StrutkitError, match=r"Write 24 in or 609\.6 mm\."):
            parse_quantity("24", "length")
        with pytest.raises(StrutkitError, match="Write 1, 2, 3 in or 1, 2, 3 mm"):
            parse_point("1, 2, 3")
    with pytest.raises(StrutkitError, match="Write 24 mm or 24 in"):
        parse_quantity("24", "length")
