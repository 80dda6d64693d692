"""Weight by luggage scale, lumps, and a strut without a label, against balances by hand."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from strutkit import starter_door
from strutkit.decide.start.kinds import KINDS
from strutkit.decide.start.unlabelled import CAUTIONS, read_strut
from strutkit.decide.start.weighing import Lump, Pull, Weighing, mass_moments, with_lumps
from strutkit.errors import RecordError

G = 9.80665
"""Standard acceleration of free fall [m/s²]: 3rd CGPM, 1901 (from memory)."""


def pull_that_balances(
    mass: float, place: tuple[float, float], handle: float, angle: float, face_up: float
) -> float:
    """Moment of the weight by coordinates of the tilted section: a second route.

    Axes of the panel: along (cos a, sin a); inward is a quarter turn clockwise from it where the
    outer face looks up, anticlockwise where it looks down.
    """
    along = np.array([math.cos(angle), math.sin(angle)])
    inward = np.array([along[1], -along[0]]) * face_up
    centre = place[0] * along + place[1] * inward
    return float(mass * G * centre[0] / handle)


@given(
    mass=st.floats(1.0, 60.0),
    along=st.floats(0.1, 1.0),
    inward=st.floats(0.0, 0.2),
    handle=st.floats(0.3, 1.5),
    angle=st.floats(0.3, 1.0),
    up=st.booleans(),
    face_up=st.sampled_from((1.0, -1.0)),
)
def test_two_pulls_give_both_mass_moments(
    mass: float, along: float, inward: float, handle: float, angle: float, up: bool, face_up: float
) -> None:
    tilts = (0.0, angle if up else -angle)
    pulls = [
        Pull(force=force, angle=tilt)
        for tilt in tilts
        if (force := pull_that_balances(mass, (along, inward), handle, tilt, face_up)) > 0.0
    ]
    found = mass_moments(pulls, handle, outer_face_up=face_up)
    assert found[0] == pytest.approx(mass * along, rel=1e-9)
    if len(pulls) == 2:
        assert found[1] == pytest.approx(mass * inward, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_a_door_weighed_level_is_balanced_by_that_pull(kind: str) -> None:
    """Held level in the sweep's own frame, the weight has the moment of the pull."""
    door = starter_door(kind, length=0.8, pull=60.0, mass=8.0, thickness=0.04, width=1.0)
    centre, line = np.array(door.panel.centre_of_gravity), np.array(door.hinge.first)
    axis = np.array(door.hinge_direction)
    arm = centre - line
    arm -= axis * (arm @ axis)
    along = np.array(door.panel.handle) - np.array(door.panel.section[0])  # type: ignore[index]
    along /= np.linalg.norm(along)
    handle = (np.array(door.panel.handle) - line) @ along
    assert door.panel.mass * G * (arm @ along) == pytest.approx(60.0 * handle, rel=1e-4)


def test_lumps_add_as_masses_do() -> None:
    bare = Weighing(mass=8.0, along=0.40, inward=0.02)
    full = with_lumps(bare, [Lump(mass=2.0, along=0.65, inward=0.07)])
    assert full.mass == 10.0
    assert full.along == pytest.approx(0.45)
    assert full.inward == pytest.approx(0.03)


def test_strut_read_on_a_scale() -> None:
    """Worked by hand: loops of 40 N, half of it is friction; 520 / 400 is the force ratio."""
    read = read_strut(F1=400.0, F2=520.0, F3=440.0, F4=560.0)
    assert (read.rating, read.friction, read.force_ratio) == (400.0, 20.0, 1.3)
    assert read.loops == (40.0, 40.0)


def test_reading_a_strut_says_how_to_stand_it_and_how_hard_to_press() -> None:
    text = " ".join(CAUTIONS)
    for words in ("upright on the scale", "at most 400 N", "arbor press", "Never open"):
        assert words in text


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ((400, 520, 390, 560), "F3 is 390 N and F1 is 400 N; going in takes more"),
        ((400, 520, 440, 500), "F4 is 500 N and F2 is 520 N; going in takes more"),
        ((400, 380, 440, 420), "F2 is 380 N and F1 is 400 N; a strut pushes harder"),
        ((0, 380, 440, 420), "F1 is 0 N; it must be over 0 N"),
        ((400, 520, 440, 5600), "F4 is 5600 N; it must be over 0 N and at most 2000 N"),
    ],
)
def test_readings_that_no_strut_gives(readings: tuple[float, ...], words: str) -> None:
    with pytest.raises(RecordError, match=words):
        read_strut(**dict(zip(("F1", "F2", "F3", "F4"), readings, strict=True)))


@pytest.mark.parametrize(
    ("pulls", "handle", "words"),
    [
        ([Pull(force=0.0)], 0.5, "the pull is 0 N; it must be over 0 N"),
        ([Pull(force=5.0, angle=1.5)], 0.5, "hold the panel within 80°"),
        ([Pull(force=5.0)], 0.0, "handle is 0 mm; it must be over 0 mm"),
    ],
)
def test_pulls_that_tell_nothing(pulls: list[Pull], handle: float, words: str) -> None:
    with pytest.raises(RecordError, match=words):
        mass_moments(pulls, handle)
