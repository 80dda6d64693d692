"""The static core against MuJoCo, on doors in general position: to 1e-9 of the largest value.

MuJoCo (mujoco-core on PyPI, a test library) measures the lengths and moment arms of spatial
tendons, gravity by recursive Newton-Euler, and the forces of point constraints; `mujoco_rig.py`
says how. The gas force is solved from the definition of the label beside it, not by the kit.
"""

import numpy as np
import pytest

from strutkit.decide.sweep import sweep
from strutkit.describe.records import Door
from tests.doors import random_door
from tests.mujoco_rig import Rig

DOORS = {
    "two-struts": random_door(11, struts=2, conditions=1),
    "one-strut": random_door(12, struts=1, conditions=1),
    "three-struts": random_door(13, struts=3, conditions=1),
    "a-mirrored-pair": random_door(14, struts=1, mirrored=True, conditions=1),
    "a-pair-and-one-more": random_door(15, struts=2, mirrored=True, conditions=1),
    "a-strut-ends-the-travel": random_door(16, ended_by="strut", conditions=1),
    "labels-that-leave-much-out": random_door(17, assumed=True, conditions=1),
    "one-strut-missing": random_door(18, struts=2, faults=True),
    "no-friction": random_door(19, friction=False, conditions=1),
    "no-struts": random_door(20, struts=0, conditions=1),
}
QUANTITIES = {
    "length": "strut_length",
    "lever_arm": "lever_arm",
    "strut_force": "strut_force",
    "strut_moment": "strut_moment",
    "gravity_moment": "gravity_moment",
    "moment": "moment",
    "friction_moment": "friction_moment",
    "opening": "hand_force_opening",
    "closing": "hand_force_closing",
    "holding": "hand_force_holding",
}
ANGLES = 25


@pytest.mark.parametrize("door", DOORS.values(), ids=DOORS.keys())
def test_lengths_moments_and_hand_forces(door: Door) -> None:
    condition = door.conditions[0]
    angle = np.linspace(0.0, sweep(door, condition=condition).end_of_travel, ANGLES)
    ours = sweep(door, condition=condition, angles=angle)
    theirs = Rig(door, condition).measure(angle)
    for measured, name in QUANTITIES.items():
        expected, got = getattr(theirs, measured), getattr(ours, name)
        assert got.shape == expected.shape, name
        size = np.abs(expected).max(initial=0.0)
        np.testing.assert_allclose(got, expected, rtol=0.0, atol=1e-9 * size, err_msg=name)
