"""How far a rating window was looked at: to where a tube holds no more, from the least charge."""

import math
from dataclasses import replace

import numpy as np
import pytest

from strutkit.data import door_path
from strutkit.decide.judging import study
from strutkit.decide.window import rating_window
from strutkit.describe.doorfile import read_door
from strutkit.describe.records import Condition, Door, Limits
from strutkit.errors import RecordError
from tests.decide.turning import assert_check_turns_at_the_edges, broken, rated


def test_a_window_without_an_upper_edge_says_how_far_was_looked() -> None:
    """The ratings end where a tube would hold 50 MPa: F = p A - atmosphere, by hand."""
    rod = 0.008
    door = replace(read_door(door_path("rear-hatch")), limits=Limits(reserve_force=5.0))
    strut = replace(door.struts[0].strut, rod_diameter=rod, friction=15.0, force_ratio=1.3)
    door = replace(door, struts=(replace(door.struts[0], strut=strut),))
    window = rating_window(door)
    assert window.high[0] == np.inf
    area = math.pi * rod**2 / 4.0
    assert window.looked_to[0] == pytest.approx((50e6 - 101_325.0) * area - 15.0, rel=1e-3)
    with pytest.raises(ValueError, match="read-only"):
        window.looked_to[0] = 0.0


def drained(change: float, **label: object) -> Door:
    """A hatch with a condition that takes this off every rating [N], held to two limits that a
    weak strut does not break."""
    door = read_door(door_path("rear-hatch"))
    strut = replace(door.struts[0].strut, **label)
    weak = Condition(name="weak charge", rating_change=-change)
    return replace(
        door,
        struts=(replace(door.struts[0], strut=strut),),
        conditions=(*door.conditions, weak),
        limits=Limits(hand_closing=95.0, hinge_radial=800.0),
    )


@pytest.mark.parametrize(
    ("label", "least"),
    [({"friction": 12.0}, 288.0), ({"friction": None, "tolerance": None}, 280.0)],
    ids=["stated", "assumed"],
)
def test_a_rating_that_a_condition_leaves_no_charge_lies_outside(
    label: dict[str, object], least: float
) -> None:
    """300 N off F1 + f leave nothing at 300 N - f: half the 40 N of table B.1 where f is assumed.
    Lower, the check refuses the door."""
    door = drained(300.0, **label)
    window = rating_window(door)
    np.testing.assert_allclose(window.looked_from, least, rtol=1e-6)
    np.testing.assert_allclose(window.low, window.looked_from)
    for name, one in window.rules.items():
        np.testing.assert_array_equal(one.low, window.looked_from)
        assert one.decided_by[0] == "weak charge", name
    assert broken(rated(door, window.low * 1.0001)) == set()
    with pytest.raises(RecordError, match=r"'weak charge'.*leaves no charge"):
        study(rated(door, window.low * 0.9999))


def test_a_rule_with_a_low_edge_keeps_it_above_the_least_charge() -> None:
    """20 N to spare asks for more than a charge; the tightest of the conditions names it."""
    door = drained(120.0)
    door = replace(door, limits=Limits(reserve_force=20.0))
    window = rating_window(door)
    (edge,) = window.rules.values()
    assert (edge.low > window.looked_from + 50.0).all()
    assert_check_turns_at_the_edges(door, window)


def test_without_such_a_condition_any_rating_is_looked_at() -> None:
    door = replace(drained(300.0), conditions=())
    np.testing.assert_array_equal(rating_window(door).looked_from, 0.0)
    np.testing.assert_array_equal(rating_window(door).low, 0.0)
