"""The door as the view draws it, and edits from the page: places there and back."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from strutkit import Condition, Door, FittedStrut, Hinge, Panel, Strut, StrutkitError, sweep
from strutkit.compute.geometry import rotate
from strutkit.decide.conditions import hinge_axis
from strutkit.live.scene import edited, scene, view_frame

coordinate = st.floats(-1000.0, 1000.0)


def skew_door() -> Door:
    """A hinge line that is neither level nor along an axis."""
    strut = Strut(name="left", rating=300.0, extended_length=0.5, stroke=0.2)
    return Door(
        name="skew",
        panel=Panel(mass=10.0, centre_of_gravity=(0.3, 0.1, 0.1), handle=(0.6, 0.2, 0.15)),
        hinge=Hinge(
            first=(0.0, -0.4, 0.0), second=(0.1, 0.4, 0.15), opens_toward="up", stop_angle=1.2
        ),
        struts=(
            FittedStrut(
                strut=strut,
                frame_mount=(0.1, -0.3, -0.3),
                panel_mount=(0.25, -0.3, -0.02),
                mirrored=True,
            ),
        ),
    )


@given(place=st.tuples(coordinate, coordinate, coordinate))
def test_a_place_goes_to_the_door_and_comes_back(place: tuple[float, float, float]) -> None:
    frame = view_frame(skew_door())
    np.testing.assert_allclose(frame.seen(frame.point(place)), place, atol=3e-6)


def test_rigid_turning_in_the_plane_is_turning_about_the_hinge_line() -> None:
    """What the page does to a point of the panel, beside Rodrigues' formula in three dimensions."""
    door = skew_door()
    seen = scene(door)
    frame, (origin, axis) = view_frame(door), hinge_axis(door)
    angle = 0.7
    outward, upward, along = seen["struts"][0]["panel"]
    cosine, sine = np.cos(angle), seen["turn"] * np.sin(angle)
    turned = (outward * cosine - upward * sine, outward * sine + upward * cosine, along)
    point = np.array(door.struts[0].panel_mount)
    expected = frame.seen(rotate(point, origin, axis, [angle])[0])
    np.testing.assert_allclose(turned, expected, atol=1e-5)


def test_whole_millimetres_leave_no_dust_in_the_door(rear_hatch: Door) -> None:
    door = edited(rear_hatch, {"place": 0, "panel": [-25.0, -108.0, -610.0]})
    assert door.struts[0].panel_mount == (-0.025, -0.61, -0.108)
    assert door.struts[0].frame_mount == rear_hatch.struts[0].frame_mount


def test_a_mirrored_pair_moves_together(rear_hatch: Door) -> None:
    door = edited(rear_hatch, {"place": 0, "frame": [-80.0, -700.0, -600.0]})
    left, right = scene(door)["struts"]
    assert left["place"] == right["place"] == 0
    assert left["frame"] == [-80.0, -700.0, -600.0]
    assert right["frame"] == [-80.0, -700.0, 600.0]


def test_a_rating_goes_to_every_place_with_the_same_strut(rear_hatch: Door) -> None:
    left = replace(rear_hatch.struts[0], mirrored=False)
    right = replace(
        left,
        strut=replace(left.strut, name="right"),
        frame_mount=(-0.088, 0.61, -0.716),
        panel_mount=(-0.024, 0.61, -0.108),
    )
    other = replace(
        right,
        strut=replace(left.strut, name="third", rating=100.0),
        frame_mount=(-0.088, 0.5, -0.716),
        panel_mount=(-0.024, 0.5, -0.108),
    )
    door = replace(rear_hatch, struts=(left, right, other))
    changed = edited(door, {"place": 0, "rating": 450.0})
    assert [one.strut.rating for one in changed.struts] == [450.0, 450.0, 100.0]
    assert [one.strut.name for one in changed.struts] == ["left", "right", "third"]


def test_a_row_of_the_stock_list_keeps_the_name_of_the_place(rear_hatch: Door) -> None:
    row = Strut(name="10-22-150-450", rating=450.0, extended_length=0.742, stroke=0.15)
    door = edited(rear_hatch, {"place": 0, "stock": 0}, [row])
    strut = door.struts[0].strut
    assert (strut.name, strut.order_code, strut.rating) == ("left", "10-22-150-450", 450.0)
    coded = replace(row, order_code="AB 12")
    assert edited(door, {"place": 0, "stock": 0}, [coded]).struts[0].strut.order_code == "AB 12"


@pytest.mark.parametrize("place", [1, -1, "0", None])
def test_an_edit_of_no_strut_is_refused(rear_hatch: Door, place: object) -> None:
    with pytest.raises(StrutkitError, match="The door has 1 struts; there is no number"):
        edited(rear_hatch, {"place": place})


def test_what_a_condition_hangs_on_the_panel_is_placed_in_the_view(rear_hatch: Door) -> None:
    """A board of 1.5 kg at 0.2 m outward and 0.5 m under the level hinge line."""
    at = (-0.2, 0.0, -0.5)
    board = Condition(name="board", added_mass=1.5, added_at=at)
    seen = scene(replace(rear_hatch, conditions=(board,)))["conditions"][:2]
    assert [one["added_mass"] for one in seen] == [0.0, 1.5]
    assert seen[0]["added_at"] is None
    outward, upward, along = seen[1]["added_at"]
    assert (abs(outward), upward, along) == (200.0, -500.0, 0.0)


def test_a_place_too_far_away_is_refused_in_the_words_of_the_screen(rear_hatch: Door) -> None:
    with pytest.raises(StrutkitError, match=r"^Strut 'left', door side: over 1 km away"):
        edited(rear_hatch, {"place": 0, "panel": [1e9, 0.0, 0.0]})


TOWARD = {
    "outward": (1.0, 0.0, 0.0),
    "inward": (-1.0, 0.0, 0.0),
    "right": (0.0, 1.0, 0.0),
    "left": (0.0, -1.0, 0.0),
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
}
"""Words of the structure frame (model, section 1): x outside, y right seen from there, z up."""

run = st.integers(-9, 9)


def hinged_along(line: tuple[float, ...]) -> Door:
    """A panel on a hinge line that runs anywhere."""
    first, line = np.array([0.1, 0.2, 0.3]), np.array(line, dtype=float)
    square = np.cross(line, np.eye(3)[np.abs(line).argmin()])
    square /= np.linalg.norm(square)
    handle = first + 0.4 * square
    return replace(
        skew_door(),
        struts=(),
        panel=Panel(mass=9.0, centre_of_gravity=tuple(first + 0.2 * square), handle=tuple(handle)),
        hinge=Hinge(
            first=tuple(first),
            second=tuple(first + 0.5 * line / np.linalg.norm(line)),
            opens_toward=tuple(np.cross(line, square)),
            stop_angle=1.2,
        ),
    )


@settings(max_examples=30)
@given(line=st.tuples(run, run, run).filter(any))
@example(line=(1, 0, 0))
@example(line=(0, -1, 0))
@example(line=(1, 1, 1))
def test_words_of_the_three_boxes_are_three_and_true(line: tuple[int, int, int]) -> None:
    """A number grown by 100 mm moves a mount the way its word says, of whatever hinge line; no two
    boxes have words of one direction, and a hinge point lies where its name says."""
    door = hinged_along(line)
    seen, frame = scene(door), view_frame(door)
    places = np.array([frame.point(place) for place in np.vstack([np.zeros(3), 100.0 * np.eye(3)])])
    used = set()
    for moved, (plus, minus) in zip(places[1:] - places[0], seen["words"], strict=True):
        assert moved @ TOWARD[plus] > 0.019
        assert TOWARD[minus] == tuple(-one for one in TOWARD[plus])
        used |= {plus, minus}
    assert used == set(TOWARD)
    ways = {"outer": "outward", "inner": "inward", "upper": "up", "lower": "down"}
    first, second = (TOWARD[ways.get(name, name)] for name in seen["hinge_names"])
    assert np.dot(door.hinge.second, second) > np.dot(door.hinge.first, second)
    assert np.dot(door.hinge.first, first) > np.dot(door.hinge.second, first)


def test_words_of_a_door_that_opens_sideways() -> None:
    """A hinge line along x: along it is outward or inward, square to it right or left."""
    right_left, up_down, out_in = scene(hinged_along((1.0, 0.0, 0.0)))["words"]
    assert right_left == ("right", "left")
    assert up_down == ("up", "down")
    assert set(out_in) == {"outward", "inward"}


def test_words_name_the_directions_of_the_plane() -> None:
    upright = replace(
        skew_door(),
        struts=(),
        hinge=Hinge(
            first=(0.0, 0.0, 0.0), second=(0.0, 0.0, 1.0), opens_toward="right", stop_angle=1.5
        ),
    )
    words = scene(upright)["words"]
    assert sorted(words[0]) == ["inward", "outward"]
    assert sorted(words[1]) == ["left", "right"]
    assert list(words[2]) == ["up", "down"]
    assert sweep(upright).end_of_travel == 1.5
