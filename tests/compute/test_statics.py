"""Gravity in a tilted structure, the weight's moment, friction's side, taking conditions."""

import math
from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from strutkit.compute import statics
from strutkit.decide.conditions import all_conditions, door_statics
from strutkit.describe.records import Condition, Door
from tests import plain_statics
from tests.doors import doors, random_door

G = 9.80665


@settings(max_examples=25)
@given(pitch=st.floats(-math.pi / 2, math.pi / 2), roll=st.floats(-math.pi, math.pi))
def test_gravity_is_turned_by_rotation_matrices(pitch: float, roll: float) -> None:
    expected = plain_statics.tilt(Condition(name="tilted", pitch=pitch, roll=roll))
    np.testing.assert_allclose(statics.gravity(pitch, roll), expected, rtol=0.0, atol=1e-14)


@pytest.mark.parametrize(
    ("pitch", "roll", "falls"),
    [
        (0.0, 0.0, (0.0, 0.0, -1.0)),
        (math.pi / 2, 0.0, (-1.0, 0.0, 0.0)),  # +x straight up: things fall to -x
        (0.0, math.pi / 2, (0.0, -1.0, 0.0)),  # +y straight up: things fall to -y
        (math.radians(30.0), 0.0, (-0.5, 0.0, -math.sqrt(0.75))),
        (0.0, math.radians(30.0), (0.0, -0.5, -math.sqrt(0.75))),
    ],
)
def test_things_fall_away_from_the_side_that_tips_up(
    pitch: float, roll: float, falls: tuple[float, ...]
) -> None:
    np.testing.assert_allclose(statics.gravity(pitch, roll), G * np.array(falls), atol=1e-14)


def test_gravity_of_many_conditions() -> None:
    pitch, roll = np.array([0.1, -0.2, 0.3]), np.array([0.0, 0.5, -0.4])
    rows = statics.gravity(pitch, roll)
    assert rows.shape == (3, 3)
    for row in range(3):
        np.testing.assert_array_equal(rows[row], statics.gravity(pitch[row], roll[row]))


@settings(max_examples=12)
@given(door=doors(conditions=2, faults=True, mirrored=True, assumed=True))
def test_moments_are_those_of_forces_at_their_places(door: Door) -> None:
    """M = sum k · (r × F) over weights and struts; Mf = sum f |k · (r × u)| + hinge friction."""
    conditions = all_conditions(door)
    model = door_statics(door, conditions)
    angle = np.linspace(0.0, float(model.end.min()), 9)
    at = statics.moments(model, angle)
    for row, condition in enumerate(conditions):
        net, rubbing = plain_statics.moments(door, condition, angle)
        size = np.abs(at.strut_moment[row]).max() + np.abs(at.gravity_moment[row]).max()
        np.testing.assert_allclose(at.moment[row], net, rtol=0.0, atol=1e-12 * size)
        np.testing.assert_allclose(at.friction_moment[row], rubbing, rtol=1e-12)


def test_friction_takes_its_side() -> None:
    door = random_door(5, conditions=2)
    model = door_statics(door, all_conditions(door))
    angle = np.linspace(0.0, float(model.end[0]), 5)
    at = statics.moments(model, angle)
    got = statics.with_friction(model, np.array([-1.0, 0.0, 1.0]), angle)
    np.testing.assert_array_equal(got[0], at.moment[0] - at.friction_moment[0])
    np.testing.assert_array_equal(got[1], at.moment[1])
    np.testing.assert_array_equal(got[2], at.moment[2] + at.friction_moment[2])
    assert (at.friction_moment > 0.0).all()


def test_each_condition_at_angles_of_its_own() -> None:
    door = random_door(6, conditions=2, faults=True)
    model = door_statics(door, all_conditions(door))
    angle = np.linspace(0.0, 1.0, 7) * np.arange(1, 6)[:, None] / 10.0
    at = statics.moments(model, angle)
    for row in range(5):
        alone = statics.moments(model.take([row]), angle[row])
        np.testing.assert_array_equal(at.moment[row], alone.moment[0])
        np.testing.assert_array_equal(at.friction_moment[row], alone.friction_moment[0])
        np.testing.assert_array_equal(at.length[row], alone.length)


def test_taken_conditions_are_those_asked_for() -> None:
    door = random_door(7, conditions=3, faults=True)
    conditions = all_conditions(door)
    model = door_statics(door, conditions)
    order = [4, 1, 1, 0]
    taken = model.take(order)
    alone = door_statics(door, [conditions[row] for row in order])
    for field in fields(statics.Statics):
        if field.name == "geometry":
            continue
        got, expected = getattr(taken, field.name), getattr(alone, field.name)
        np.testing.assert_array_equal(got, expected, err_msg=field.name)
