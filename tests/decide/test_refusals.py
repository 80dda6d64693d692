"""Doors and labels that are refused at birth, each with a text that says what to do."""

import math
from dataclasses import replace

import numpy as np
import pytest

from strutkit.describe.records import Condition, Door, FittedStrut, Hinge, Panel, Strut, Zone
from strutkit.errors import RecordError
from tests.doors import random_door

STRUT = Strut(name="left", rating=300.0, extended_length=0.50, stroke=0.20)
FITTED = FittedStrut(strut=STRUT, frame_mount=(0.1, -0.4, -0.3), panel_mount=(0.25, -0.4, -0.02))
PANEL = Panel(mass=10.0, centre_of_gravity=(0.3, 0.0, 0.0), handle=(0.6, 0.0, 0.0))
HINGE = Hinge(
    first=(0.0, -0.4, 0.0), second=(0.0, 0.4, 0.0), opens_toward="up", stop_angle=math.radians(80)
)
DOOR = Door(name="lid", panel=PANEL, hinge=HINGE, struts=(FITTED,))


def refused(words: str):
    return pytest.raises(RecordError, match=words)


@pytest.mark.parametrize("part", ["frame_mount", "panel_mount"])
@pytest.mark.parametrize("distance", [0.0, 0.9e-4])
def test_mount_on_the_hinge_line(part: str, distance: float) -> None:
    with refused(rf"strut 'left': {part} is {distance * 1e3:g} mm from the hinge line; it must be"):
        replace(DOOR, struts=(replace(FITTED, **{part: (distance, 0.3, 0.0)}),))
    near = replace(FITTED, **{part: (1.1e-4, 0.3, 0.0)})
    assert len(replace(DOOR, struts=(near,)).fitted) == 1


@pytest.mark.parametrize("apart", [0.0, 0.9e-4])
def test_mounts_in_one_place(apart: float) -> None:
    x, y, z = FITTED.frame_mount
    with refused("strut 'left': frame_mount and panel_mount are the same point"):
        replace(FITTED, panel_mount=(x + apart, y, z))
    assert replace(FITTED, panel_mount=(x + 1.1e-4, y, z)).strut is STRUT


@pytest.mark.parametrize("distance", [0.0, 0.9e-4])
def test_handle_and_stop_on_the_hinge_line(distance: float) -> None:
    place = (distance, 0.1, 0.0)
    with refused(r"panel: handle is .* from the hinge line; it must be at least 0\.1 mm away"):
        replace(DOOR, panel=replace(PANEL, handle=place))
    with refused(r"panel: closing_handle is .* from the hinge line"):
        replace(DOOR, panel=replace(PANEL, closing_handle=place))
    with refused(r"hinge: stop is .* from the hinge line"):
        replace(DOOR, hinge=replace(HINGE, stop=place))


def test_hinge_points_together() -> None:
    with refused("first and second are 0.9 mm apart; take two points .* at least 1 mm apart"):
        replace(HINGE, second=(0.0, -0.3991, 0.0))
    assert replace(HINGE, second=(0.0, -0.3989, 0.0)).stop_angle == HINGE.stop_angle


@pytest.mark.parametrize("stroke", [0.5, 0.51])
def test_stroke_as_long_as_the_strut(stroke: float) -> None:
    with refused(
        f"stroke is {stroke * 1e3:g} mm; it must be less than the extended length, 500 mm"
    ):
        replace(STRUT, stroke=stroke)


@pytest.mark.parametrize(
    ("degrees", "words"),
    [
        (0.0, r"stop_angle is 0°; it must be over 0°"),
        (-5.0, r"stop_angle is -5°; it must be over 0°"),
        (360.1, r"stop_angle is 360\.1°; it must be at most 360°"),
    ],
)
def test_stop_angle(degrees: float, words: str) -> None:
    with refused(f"hinge: {words}"):
        replace(HINGE, stop_angle=math.radians(degrees))
    assert replace(HINGE, stop_angle=math.radians(360.0)).stop_angle == math.tau


@pytest.mark.parametrize("opens_toward", ["right", "left", "out", "in", (1.0, 5.0, 0.009)])
def test_direction_square_to_the_first_movement(opens_toward: object) -> None:
    with refused("opens_toward is .* but the handle starts square to it; give the direction"):
        replace(DOOR, hinge=replace(HINGE, opens_toward=opens_toward))


@pytest.mark.parametrize(("cosine", "fits"), [(0.0101, True), (0.0099, False)])
def test_direction_needs_a_cosine_of_a_hundredth(cosine: float, fits: bool) -> None:
    slanted = replace(HINGE, opens_toward=(math.sqrt(1.0 - cosine**2), 0.0, cosine))
    if fits:
        assert replace(DOOR, hinge=slanted).hinge_direction == (0.0, -1.0, 0.0)
        return
    with refused("starts square to it"):
        replace(DOOR, hinge=slanted)


@pytest.mark.parametrize(
    ("opens_toward", "axis"), [("up", (0.0, -1.0, 0.0)), ("down", (0.0, 1.0, 0.0))]
)
def test_axis_turns_with_the_direction(opens_toward: str, axis: tuple[float, ...]) -> None:
    """Right-handed: from +x toward +z turns about -y. Nothing else changes with it."""
    for hinge in (HINGE, replace(HINGE, first=HINGE.second, second=HINGE.first)):
        door = replace(DOOR, hinge=replace(hinge, opens_toward=opens_toward))
        np.testing.assert_array_equal(door.hinge_direction, axis)
        assert (door.hinge.first, door.hinge.second) == (hinge.first, hinge.second)
        assert door.hinge.thrust_at == "first"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"stroke": 0.019}, r"stroke is 19 mm; it must be over 20 mm, twice the measuring"),
        ({"stroke": 0.010, "measuring_distance": 0.005}, r"stroke is 10 mm; it must be over 10 mm"),
        ({"force_ratio": 0.99}, r"force_ratio is 0\.99; it must be at least 1\."),
        ({"force_ratio": 25.0}, r"force_ratio is 25 with a stroke of 200 mm; that leaves no gas"),
        ({"rating": 0.0}, r"rating is 0 N; it must be over 0 N"),
        ({"friction": -1.0}, r"friction is -1 N; it must be at least 0 N"),
        ({"rod_diameter": 0.0}, r"rod_diameter is 0 mm; it must be over 0 mm"),
        ({"rating": math.nan}, r"rating is nan; write a finite number"),
    ],
)
def test_label(change: dict[str, float], words: str) -> None:
    change = {"measuring_distance": 0.010} | change
    with refused(f"strut 'left': {words}"):
        replace(STRUT, **change)


def test_label_that_leaves_just_a_gas_column() -> None:
    """a (S - C) > b C is what G > S comes to: with C/S = 1/20 and no friction, r under 19."""
    label = replace(STRUT, friction=0.0, measuring_distance=0.010, force_ratio=18.9)
    assert label.gas_law.inverse_column < 1.0 / STRUT.stroke
    with refused("no gas column longer than the stroke"):
        replace(label, force_ratio=19.1)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"temperature": 233.0}, r"temperature is -40\.15 °C; it must be at least -40 °C"),
        ({"temperature": 353.2}, r"temperature is 80\.05 °C; it must be at most 80 °C"),
        ({"ageing": 0.0}, r"ageing is 0; it must be over 0"),
        ({"ageing": 2.1}, r"ageing is 2\.1; it must be at most 2"),
        ({"strut_ageing": (0.9, 0.0)}, r"strut_ageing is 0; it must be over 0"),
        ({"rating_tolerance": 1.01}, r"rating_tolerance is 1\.01; it must be at most 1"),
        ({"rating_tolerance": -1.01}, r"rating_tolerance is -1\.01; it must be at least -1"),
        ({"mass_factor": 0.0}, r"mass_factor is 0; it must be over 0"),
        ({"added_mass": 1.0}, r"added_mass is 1 kg but added_at is not given; say where it hangs"),
        ({"missing": -1}, r"missing is -1; write a whole number from 0"),
        ({"missing": True}, r"missing is True; write a whole number from 0"),
        ({"pitch": 1.6}, r"pitch is 91\.6732°; it must be at most 90°"),
    ],
)
def test_condition(change: dict[str, object], words: str) -> None:
    with refused(f"condition 'frost': {words}"):
        Condition(name="frost", **change)


def test_names_stand_once() -> None:
    again = replace(FITTED, panel_mount=(0.26, 0.1, 0.0))
    with refused("strut 'left' stands 2 times; name each once"):
        replace(DOOR, struts=(FITTED, again))
    frost = Condition(name="frost")
    with refused("condition 'frost' stands 2 times; name each once"):
        replace(DOOR, conditions=(frost, frost))
    with refused("condition 'nominal' is the one that always counts; give yours another name"):
        replace(DOOR, conditions=(Condition(name="nominal"),))


def test_twin_in_the_same_place() -> None:
    def pair(from_middle: float) -> Door:
        mounts = {
            "frame_mount": (0.1, from_middle, -0.3),
            "panel_mount": (0.25, from_middle, -0.02),
        }
        return replace(DOOR, struts=(replace(FITTED, mirrored=True, **mounts),))

    with refused("strut 'left': its mirrored twin would hang in the same place"):
        pair(0.49e-3)
    assert len(pair(0.51e-3).fitted) == 2


def test_twin_hangs_at_the_mirror_image() -> None:
    """Reflection in the plane square to the hinge line through the panel's middle, by a
    Householder matrix."""
    for seed in range(5):
        door = random_door(seed, struts=1, mirrored=True)
        line = np.array(door.hinge.second) - np.array(door.hinge.first)
        mirror = np.eye(3) - 2.0 * np.outer(line, line) / (line @ line)
        middle = np.array(door.panel.middle)
        original, twin = door.fitted
        for mount in ("frame_mount", "panel_mount"):
            image = mirror @ (np.array(getattr(original, mount)) - middle) + middle
            np.testing.assert_allclose(getattr(twin, mount), image, rtol=0.0, atol=1e-14)
        assert twin.strut == replace(original.strut, name="strut 0 (mirrored)")
        assert twin.rod_end == original.rod_end


def test_middle_is_midway_where_it_is_not_given() -> None:
    assert DOOR.middle == (0.0, 0.0, 0.0)
    asked = replace(DOOR, panel=replace(PANEL, middle=(0.7, 0.15, 0.3)))
    assert asked.middle == pytest.approx((0.0, 0.15, 0.0), abs=1e-15)


@pytest.mark.parametrize(("out", "fits"), [(0.0039, True), (0.0041, False)])
def test_zone_out_of_its_plane(out: float, fits: bool) -> None:
    """2 mm to either side of the plane that suits its corners best."""
    zone = Zone(part="panel", corners=((0.1, 0.0, 0.0), (0.3, out, 0.0), (0.2, 0.0, 0.1)))
    if fits:
        assert replace(DOOR, zones=(zone,)).zones == (zone,)
        return
    with refused("zone 1: its corners lie up to 2.05 mm out of a plane square to the hinge line"):
        replace(DOOR, zones=(zone,))


def test_rod_hangs_at_the_lower_mount() -> None:
    assert FITTED.rod_end == "frame"
    assert replace(FITTED, frame_mount=(0.1, -0.4, 0.3)).rod_end == "panel"
    assert replace(FITTED, rod_at="panel").rod_end == "panel"
