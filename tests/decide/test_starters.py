"""Starter sets: the values of common practice, marked so, and what a drop flap is not asked."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from strutkit.decide.starters import starter_conditions, starter_limits, weight_opens
from strutkit.decide.sweep import sweep_conditions
from strutkit.describe.records import Door
from tests import plain_statics
from tests.decide.test_findings import flap, lid
from tests.doors import doors


def test_conditions_are_those_of_common_practice_and_say_so() -> None:
    """Common practice, no published source: frost -20 °C at 0.80, heat 60 °C, both tolerances,
    5° of slope each way, each strut at 0.70 alone, each strut missing."""
    door = lid(struts=(replace(lid().struts[0], mirrored=True),))
    found = starter_conditions(door)
    assert all("(common practice)" in one.name for one in found)
    assert any(one.temperature == pytest.approx(253.15) and one.ageing == 0.80 for one in found)
    assert any(
        one.temperature == pytest.approx(333.15) and one.rating_tolerance == 1.0 for one in found
    )
    assert any(one.temperature == 293.15 and one.rating_tolerance == -1.0 for one in found)
    tilts = {(round(math.degrees(one.pitch), 9), round(math.degrees(one.roll), 9)) for one in found}
    assert {(5.0, 0.0), (-5.0, 0.0), (0.0, 5.0), (0.0, -5.0)} <= tilts
    assert [one.strut_ageing for one in found if one.strut_ageing] == [(0.7, 1.0), (1.0, 0.7)]
    assert [one.missing for one in found if one.missing is not None] == [0, 1]


def test_slopes_are_named_by_the_vehicle_where_the_door_says_which_way_it_faces() -> None:
    names = {one.name: one for one in starter_conditions(lid(faces="rear"))}
    assert names["nose up 5° (common practice)"].pitch == pytest.approx(math.radians(-5.0))
    assert names["leaning left 5° (common practice)"].roll == pytest.approx(math.radians(5.0))


@settings(max_examples=10)
@given(door=doors(struts=1, mirrored=True))
def test_every_door_can_be_swept_in_them(door: Door) -> None:
    limits = starter_limits(door)
    asked = replace(door, conditions=starter_conditions(door), limits=limits)
    assert len(sweep_conditions(asked)) == len(asked.conditions) + 1


def test_limits_are_those_of_common_practice() -> None:
    limits = starter_limits(lid())
    assert (limits.hand_opening, limits.hand_closing, limits.latch) == (60.0, 120.0, 40.0)
    assert limits.lift_off == pytest.approx(math.radians(30.0))
    assert (limits.reserve_force, limits.reserve_span) == (20.0, pytest.approx(math.radians(10.0)))
    assert (limits.travel_compressed, limits.travel_extended) == (0.010, 0.005)


def test_a_flap_is_not_asked_to_lift_off_or_to_stay_up() -> None:
    limits = starter_limits(flap())
    assert limits.lift_off is None
    assert limits.reserve_force is None
    assert limits.hand_closing == 120.0


@settings(max_examples=15)
@given(door=doors(struts=0))
def test_weight_opens_where_the_centre_of_gravity_ends_lower_by_more_than_it_rises(
    door: Door,
) -> None:
    angle = np.linspace(0.0, door.hinge.stop_angle, 2001)
    height = plain_statics.turned(door, door.panel.centre_of_gravity, angle)[:, 2]
    rise, fall = height.max() - height[0], height[0] - height[-1]
    assert weight_opens(door) == (fall > rise)
