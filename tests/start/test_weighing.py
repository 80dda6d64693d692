"""Weight by luggage scale, lumps, and a strut without a label, against balances by hand."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from strutkit import Door, starter_door
from strutkit.decide.start.kinds import KINDS, find_kind
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
    if len(pulls) == 1:
        assert found is None
        return
    assert found is not None
    assert found.along == pytest.approx(mass * along, rel=1e-9)
    assert found.inward == pytest.approx(mass * inward, rel=1e-6, abs=1e-9)


def test_error_of_the_depth_is_that_of_scales_that_read_within_two_per_cent() -> None:
    """Two thousand pairs of readings drawn at random about the true ones, by solving each pair."""
    angles = (0.0, math.radians(30.0))
    true = [pull_that_balances(12.0, (0.33, 0.03), 0.6, tilt, 1.0) for tilt in angles]
    found = mass_moments([Pull(force=f, angle=a) for f, a in zip(true, angles, strict=True)], 0.6)
    assert found is not None
    random = np.random.default_rng(5)
    read = np.array(true) * (1.0 + 0.02 * random.standard_normal((2000, 2)))
    rows = np.array([[math.cos(a), math.sin(a)] for a in angles])
    spread = np.linalg.solve(rows, (read * 0.6 / G).T)[1].std()
    assert found.inward_error == pytest.approx(spread, rel=0.05)


def door_pulled(kind: str, errors: tuple[float, float], tilt: float) -> Door:
    """A door of 12 kg, centre of gravity 330 mm out and 30 mm in, from two pulls with errors."""
    up = find_kind(kind).outer_face_up
    level, raised = (
        pull_that_balances(12.0, (0.33, 0.03), 0.6, angle, up) * (1.0 + error)
        for angle, error in zip((0.0, tilt), errors, strict=True)
    )
    return starter_door(
        kind,
        length=0.66,
        knuckle_diameter=0.02,
        thickness=0.04,
        handle=0.6,
        pull=level,
        further_pulls=(Pull(force=raised, angle=tilt),),
        mass=12.0,
    )


def depth_of(door: Door) -> float:
    """Distance of the centre of gravity inward from the hinge line, upright or level panels."""
    x, _, z = door.panel.centre_of_gravity
    return -x if abs(z) > abs(x) else -z


@pytest.mark.parametrize("kind", ["lid", "drop_flap"])
def test_pulls_too_near_in_angle_do_not_tell_the_depth(kind: str) -> None:
    """At 12° apart 2 % of the scale are 45 mm of depth (sqrt(2) · 0.02 · 330 / sin 12°)."""
    door = door_pulled(kind, (-0.02, 0.02), math.radians(12.0))
    assert depth_of(door) == pytest.approx(0.030, abs=1e-4)
    told = [one for one in door.assumed if one.startswith("depth of the centre of gravity")]
    assert len(told) == 1
    assert "half-way through the thickness" in told[0]
    assert "±4" in told[0]


def test_pulls_far_apart_tell_the_depth_and_its_error() -> None:
    """By hand: 0.02 · hypot(330 cos 45° + 30 sin 45°, 330 cos 45°) mm / sin 45° = 9.7 mm."""
    door = door_pulled("lid", (0.0, 0.0), math.radians(45.0))
    assert depth_of(door) == pytest.approx(0.030, abs=1e-4)
    assert any("by two pulls" in one and "±10 mm" in one for one in door.assumed)


def test_pulls_that_put_the_weight_outside_the_door_are_refused() -> None:
    with pytest.raises(RecordError, match="and the door lies from 10 mm to 50 mm inside it"):
        door_pulled("lid", (-0.08, 0.08), math.radians(60.0))


@pytest.mark.parametrize("kind", ["lid", "rear_hatch", "drop_flap"])
def test_one_pull_away_from_level_is_weighed_with_the_depth_that_is_taken(kind: str) -> None:
    """Depth half-way through the thickness is the true one here, so all else must come out."""
    tilt = 1.0
    force = pull_that_balances(12.0, (0.33, 0.03), 0.6, tilt, find_kind(kind).outer_face_up)
    sizes = {"length": 0.66, "knuckle_diameter": 0.02, "thickness": 0.04, "handle": 0.6}
    pulls = (Pull(force=force, angle=tilt),)
    door = starter_door(kind, **sizes, further_pulls=pulls, mass=12.0)
    distance = math.dist(door.panel.centre_of_gravity, door.hinge.first)
    width = 0.45
    assert distance == pytest.approx(math.hypot(0.33, 0.03, width), abs=1e-4)
    weighed = starter_door(kind, **sizes, further_pulls=pulls, centre_of_gravity=0.33)
    assert weighed.panel.mass == pytest.approx(12.0, abs=2e-3)


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
