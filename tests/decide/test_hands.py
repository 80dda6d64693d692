"""Straight pulls and strut lengths by angle, by turned points and cross products."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from strutkit.decide.hands import straight_force
from strutkit.decide.lengths import strut_lengths
from strutkit.decide.sweep import sweep
from strutkit.describe.records import Condition, Door
from tests import plain_statics
from tests.doors import doors

few = settings(max_examples=8)
WAYS = {"out": [1.0, 0.0, 0.0], "in": [-1.0, 0.0, 0.0]}


@few
@given(door=doors(conditions=1))
@pytest.mark.parametrize("toward", ["down", "up", "out", "in"])
@pytest.mark.parametrize("task", ["opening", "closing"])
def test_the_pull_just_beats_weight_struts_and_friction(door: Door, task: str, toward: str) -> None:
    """Moment of the pull alone = what M and Mf leave over; no answer under a fifth of the arm."""
    condition = door.conditions[0]
    swept = sweep(door, condition=condition)
    force = straight_force(swept, task=task, toward=toward)
    down = plain_statics.tilt(condition) / plain_statics.FREE_FALL
    way = {"down": down, "up": -down, **WAYS}[toward]
    place = door.panel.handle if task == "opening" else door.closing_handle
    arm = plain_statics.turned(door, place, swept.angle) - np.array(door.hinge.first)
    turning = np.cross(arm, way) @ plain_statics.opening_axis(door)
    if task == "closing":
        turning = -turning
    net, rubbing = plain_statics.moments(door, condition, swept.angle)
    needed = np.maximum(0.0, rubbing + (net if task == "closing" else -net))
    fair = turning >= 0.2 * plain_statics.distance_from_line(door, place)
    border = np.isclose(turning, 0.2 * plain_statics.distance_from_line(door, place))
    assert np.array_equal(np.isnan(force)[~border], ~fair[~border])
    sure = fair & ~border
    np.testing.assert_allclose((force * turning)[sure], needed[sure], rtol=1e-8, atol=1e-7)


@few
@given(door=doors(conditions=0))
def test_lengths_every_ten_degrees_and_at_both_ends(door: Door) -> None:
    found = strut_lengths(door)
    end = sweep(door).end_of_travel
    assert found.angle[0] == 0.0
    assert found.angle[-1] == end
    assert np.diff(found.angle).max() <= math.radians(10.0) + 1e-12
    np.testing.assert_allclose(
        found.angle[:-1], np.radians(10.0 * np.arange(len(found.angle) - 1)), atol=1e-12
    )
    for row, fitted in enumerate(door.fitted):
        place = plain_statics.turned(door, fitted.panel_mount, found.angle)
        length = np.linalg.norm(place - np.array(fitted.frame_mount), axis=-1)
        np.testing.assert_allclose(found.length[row], length, rtol=1e-12)
        np.testing.assert_allclose(
            found.kept_compressed[row],
            length - (fitted.strut.extended_length - fitted.strut.stroke),
            atol=1e-12,
        )
        np.testing.assert_allclose(
            found.kept_extended[row], fitted.strut.extended_length - length, atol=1e-12
        )


@few
@given(door=doors(conditions=0))
def test_a_level_structure_pulls_straight_down_along_z(door: Door) -> None:
    level = sweep(door)
    tipped = sweep(door, condition=Condition(name="tipped", pitch=0.2))
    arm = plain_statics.turned(door, door.panel.handle, level.angle) - np.array(door.hinge.first)
    lever = np.cross(arm, [0.0, 0.0, -1.0]) @ plain_statics.opening_axis(door)
    force = straight_force(replace_moment(level), task="opening", toward="down")
    sure = ~np.isnan(force)
    np.testing.assert_allclose((force * lever)[sure], 1.0, rtol=1e-9)
    other = straight_force(replace_moment(tipped), task="opening", toward="down")
    assert not np.array_equal(force, other)


def replace_moment(swept):
    """The same sweep with a net moment of -1 N·m and no friction."""
    return replace(
        swept,
        moment=np.full_like(swept.moment, -1.0),
        friction_moment=np.zeros_like(swept.moment),
    )
