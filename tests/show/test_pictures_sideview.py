"""The side view against the geometry it shows, and its texts against each other.

Second route: points turned by Rodrigues' formula in space (`compute.geometry.rotate`) and then
looked at square to the hinge line; lengths of struts from the sweep.
"""

import math
from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from strutkit.compute.geometry import rotate, side_axes
from strutkit.decide.conditions import hinge_axis
from strutkit.decide.sweep import sweep
from strutkit.describe.hinge_points import direction_words
from strutkit.describe.records import Condition, Door
from strutkit.errors import TravelError
from strutkit.show.letters import overlap, text_box
from strutkit.show.mount_words import place_words
from strutkit.show.plane import hinge_place, panel_outline, side_plane
from strutkit.show.shapes import Circle, Group, Picture, Polygon, Polyline, Text, flat
from strutkit.show.sideview import STANDARD_SCALES, side_view
from strutkit.show.style import PX
from tests.doors import random_door, seeds
from tests.show.picture_doors import all_doors, drop_flap, rear_hatch, roof_lid, upright_door

DOORS = all_doors()
SHARES = {"screen": (0.1, 0.45, 0.8), "paper": (0.0, 1.0)}


def texts(picture: Picture) -> list[Text]:
    return [one for one in flat(picture.shapes) if isinstance(one, Text)]


def groups(picture: Picture, role: str) -> list[Group]:
    return [one for one in picture.shapes if isinstance(one, Group) and one.role == role]


def shapes(picture: Picture, role: str) -> list:
    return [one for one in flat(picture.shapes) if one.role == role]


def seen(door: Door, point: tuple[float, float, float], angle: float) -> np.ndarray:
    """A point of the panel at an angle, in the plane square to the hinge line [m]."""
    origin, axis = hinge_axis(door)
    place = rotate(np.array(point), origin, axis, np.array([angle]))[0]
    return np.array([(place - origin) @ one for one in side_axes(axis)])


def in_picture(picture: Picture, place: np.ndarray) -> np.ndarray:
    return np.array(picture.origin) + place * 1e3 * picture.scale


def draw(door: Door, angle: float, medium: str = "screen", **more: object) -> Picture:
    return side_view(door, sweep(door), angle, medium=medium, **more)


@pytest.mark.parametrize("medium", SHARES)
@pytest.mark.parametrize("name", sorted(set(DOORS) - {"rear_hatch"}))
def test_no_text_covers_another_or_leaves_the_picture(name: str, medium: str) -> None:
    door = DOORS[name]
    end = sweep(door).end_of_travel
    for share in SHARES[medium]:
        picture = draw(door, share * end, medium, letters=medium == "paper")
        boxes = [(one.text, text_box(one)) for one in texts(picture)]
        covered = [(a[0], b[0]) for a, b in combinations(boxes, 2) if overlap(a[1], b[1])]
        assert covered == []
        for text, (left, bottom, right, top) in boxes:
            assert left >= 0.0, text
            assert bottom >= 0.0, text
            assert right <= picture.width, text
            assert top <= picture.height, text


@settings(max_examples=8)
@given(seed=seeds(), share=st.floats(0.0, 1.0))
def test_struts_and_signs_stand_where_the_geometry_puts_them(seed: int, share: float) -> None:
    """What shows of a rod over what shows of its strut is the stroke that is out of the tube."""
    door = random_door(seed, struts=2)
    swept = sweep(door)
    angle = share * swept.end_of_travel
    picture = side_view(door, swept, angle)
    mounts = [group.shapes[0].centre for group in groups(picture, "mount")]
    for one in door.fitted:
        expected = [seen(door, one.frame_mount, 0.0), seen(door, one.panel_mount, angle)]
        for place in expected:
            drawn = in_picture(picture, place)
            assert min(math.dist(drawn, mount) for mount in mounts) < 1e-6
    handle = in_picture(picture, seen(door, door.panel.handle, angle))
    dots = [one.centre for one in shapes(picture, "handle")]
    assert min(math.dist(handle, dot) for dot in dots) < 1e-6
    assert shapes(picture, "hinge")[0].centre == pytest.approx(picture.origin)
    lengths = sweep(door, angles=[angle]).strut_length[:, 0]
    drawn = groups(picture, "strut")
    assert len(drawn) == len(door.fitted) == 2
    for one, length, group in zip(door.fitted, lengths, drawn, strict=True):
        tube = one.strut.tube_length or one.strut.extended_length - one.strut.stroke
        ends = [seen(door, one.frame_mount, 0.0), seen(door, one.panel_mount, angle)]
        whole = math.dist(*ends) * 1e3 * picture.scale
        rod = next(shape for shape in group.shapes if shape.role == "rod")
        rod_end = in_picture(picture, ends[0 if one.rod_end == "frame" else 1])
        assert math.dist(rod.points[-1], rod_end) < 1e-6
        share_out = math.dist(*rod.points) / whole
        assert share_out == pytest.approx(max(1.0 - tube / length, 0.02), abs=1e-9)


def test_the_panel_is_turned_with_its_thickness_inward() -> None:
    door = rear_hatch()
    angle = math.radians(40.0)
    picture = draw(door, angle)
    panel = next(one for one in shapes(picture, "panel") if isinstance(one, Polygon))
    section = [seen(door, point, angle) for point in door.panel.section]
    drawn = np.array(panel.points[: len(section)])
    np.testing.assert_allclose(drawn, [in_picture(picture, one) for one in section], atol=1e-9)
    outline = panel_outline(door)
    straight = outline[3], outline[4]
    assert math.dist(*straight) == pytest.approx(door.panel.thickness)
    assert straight[1][0] < straight[0][0]


def test_ghosts_stand_shut_and_open() -> None:
    door = roof_lid()
    end = sweep(door).end_of_travel
    assert len(shapes(draw(door, 0.5 * end), "ghost")) == 2
    assert len(shapes(draw(door, 0.0), "ghost")) == 1
    shut = draw(door, end)
    (ghost,) = shapes(shut, "ghost")
    expected = in_picture(shut, seen(door, door.panel.handle, 0.0))
    np.testing.assert_allclose(ghost.points[-1], expected, atol=1e-9)


def test_weight_points_along_true_gravity() -> None:
    door = rear_hatch()
    picture = side_view(door, sweep(door, condition="nose down"), 0.3)
    (arrow,) = [one for one in groups(picture, "weight") if isinstance(one.shapes[0], Polyline)]
    (x0, y0), (x1, y1) = arrow.shapes[0].points
    pitch = door.condition("nose down").pitch
    assert math.atan2(x1 - x0, -(y1 - y0)) == pytest.approx(-pitch, abs=1e-9)
    assert [one.text for one in texts(picture) if one.text == "level"]
    assert not [one for one in texts(draw(door, 0.3)) if one.text == "level"]


def test_hold_pushes_the_way_it_must() -> None:
    """Force toward open (positive) turns the same way as a growing angle."""
    door = roof_lid(struts=False)
    swept = sweep(door)
    assert swept.hand_force_holding[0] > 0.0
    picture = side_view(door, swept, 0.4)
    (arrow,) = groups(picture, "hold")
    (start, tip) = arrow.shapes[0].points
    now, later = (in_picture(picture, seen(door, door.panel.handle, a)) for a in (0.4, 0.41))
    assert np.dot(np.subtract(tip, start), later - now) > 0.0
    force = float(sweep(door, angles=[0.4]).hand_force_holding[0])
    assert f"hold {force:.0f} N" in [one.text for one in texts(picture)]


def test_paper_has_no_handles_no_zones_and_no_hand() -> None:
    picture = draw(rear_hatch(), 0.5, "paper")
    assert not shapes(picture, "zone")
    assert not groups(picture, "hold")
    screen = draw(rear_hatch(), 0.5)
    assert len(shapes(screen, "zone")) == 2
    assert groups(screen, "hold")


def test_a_zone_turns_with_its_part() -> None:
    door = rear_hatch()
    picture = draw(door, 0.7)
    frame_zone, panel_zone = shapes(picture, "zone")
    fixed = [in_picture(picture, seen(door, corner, 0.0)) for corner in door.zones[0].corners]
    moving = [in_picture(picture, seen(door, corner, 0.7)) for corner in door.zones[1].corners]
    np.testing.assert_allclose(frame_zone.points, fixed, atol=1e-9)
    np.testing.assert_allclose(panel_zone.points, moving, atol=1e-9)


@pytest.mark.parametrize("name", sorted(DOORS))
def test_running_dimensions_are_the_builders_tape(name: str) -> None:
    """Every mount's distances from the hinge line stand as figures, to a tenth of a millimetre."""
    door = DOORS[name]
    picture = draw(door, 0.2)
    figures = [float(one.text) for one in texts(picture) if one.text.replace(".", "").isdecimal()]
    first = door.fitted[:1] if name == "upright_door" else door.fitted
    for one in first:
        for mount in (one.frame_mount, one.panel_mount):
            for part in seen(door, mount, 0.0):
                assert min(abs(abs(part) * 1e3 - figure) for figure in figures) <= 0.0500001


def test_a_length_that_is_drilled_has_one_figure_everywhere() -> None:
    """35.4 mm is 1 25/64 in to the nearest sixty-fourth (35.32), not 35 or 1 3/8."""
    door = rear_hatch()
    mount = (-0.0354, *door.struts[0].panel_mount[1:])
    door = replace(door, struts=(replace(door.struts[0], panel_mount=mount),))
    for unit, expected in (("mm", "35.4"), ("in", "1 25/64″")):
        assert expected in {one.text for one in texts(draw(door, 0.2, unit=unit))}


def test_more_than_five_points_leave_those_of_the_strut_in_use() -> None:
    door = upright_door()
    moved = tuple(
        replace(
            one,
            strut=replace(one.strut, name=f"strut {index}"),
            frame_mount=tuple(np.add(one.frame_mount, (0.003 * index, 0.0, 0.0))),
            panel_mount=tuple(np.add(one.panel_mount, (0.003 * index, 0.0, 0.0))),
        )
        for index, one in enumerate((*door.struts, *door.struts))
    )
    many = Door(name="many", panel=door.panel, hinge=door.hinge, struts=moved)
    picture = side_view(many, None, 0.1, in_use=3)
    figures = {one.text for one in texts(picture)}
    in_use, other = many.fitted[3], many.fitted[0]
    assert f"{abs(seen(many, in_use.frame_mount, 0.0)[0]) * 1e3:.0f}" in figures
    assert f"{abs(seen(many, other.frame_mount, 0.0)[0]) * 1e3:.0f}" not in figures


def test_figures_in_inches_are_fractions() -> None:
    figures = {one.text for one in texts(draw(rear_hatch(), 0.2, unit="in"))}
    assert "28 3/16″" in figures
    assert "4 1/4″" in figures


def test_scale_and_origin_stay_while_the_panel_turns() -> None:
    door = rear_hatch()
    pictures = [draw(door, angle) for angle in (0.0, 0.3, 0.9, 1.5)]
    for one, other in pairwise(pictures):
        assert one.scale == other.scale
        assert one.origin == other.origin


def test_paper_takes_the_largest_standard_scale_that_fits() -> None:
    door = rear_hatch()
    picture = draw(door, 0.4, "paper", size=(140.0, 130.0), scales=STANDARD_SCALES)
    assert picture.scale == pytest.approx(0.1)
    free = draw(door, 0.4, "paper", size=(140.0, 130.0))
    assert 0.1 <= free.scale < 0.2
    shut = in_picture(picture, seen(door, door.panel.handle, 0.0))
    assert math.dist(shut, picture.origin) == pytest.approx(
        door.hinge_distance(door.panel.handle) * 100.0
    )


def test_a_given_scale_makes_its_own_size() -> None:
    picture = draw(rear_hatch(), 0.4, "paper", scale=0.2)
    assert picture.scale == 0.2
    assert picture.height > 0.2 * 950.0


def test_lift_off_and_rest_stand_on_the_handles_way() -> None:
    door = rear_hatch()
    swept = sweep(door, condition="frost, old struts")
    picture = side_view(door, swept, 0.8)
    (bar,) = shapes(picture, "bar")
    middle = np.mean(bar.points, axis=0)
    words = next(one.text for one in texts(picture) if one.text.startswith("lifts off"))
    angle = math.radians(float(words.removeprefix("lifts off ").removesuffix("°")))
    on_arc = in_picture(picture, seen(door, door.panel.handle, angle))
    assert math.dist(middle, on_arc) < math.radians(1.0) * 900.0 * picture.scale
    assert len(shapes(picture, "rest")) > 2


def test_a_flap_drops() -> None:
    words = [one.text for one in texts(draw(drop_flap(), 0.5))]
    assert any(one.startswith("drops") for one in words)
    assert not any("lifts" in one for one in words)


def test_a_missing_strut_is_not_drawn() -> None:
    door = upright_door()
    gone = replace(door, conditions=(Condition(name="gone", missing=0),))
    picture = side_view(gone, sweep(gone, condition="gone"), 0.2)
    assert [one.name for one in groups(picture, "strut")] == ["lower"]


def test_a_lost_strut_is_a_dashed_line_between_its_mounts() -> None:
    """Of a pair one still hangs there: that one is lost is said in words alone."""
    pair = rear_hatch().struts[0]
    other = replace(
        pair,
        strut=replace(pair.strut, name="other"),
        frame_mount=tuple(one + 0.05 for one in pair.frame_mount),
        mirrored=False,
    )
    door = replace(rear_hatch(), struts=(replace(pair, mirrored=False), other), conditions=())
    swept = sweep(door, condition=Condition(name="one gone", missing=1))
    picture = side_view(door, swept, 0.8)
    (line,) = shapes(picture, "lost_strut")
    frame, panel = seen(door, other.frame_mount, 0.0), seen(door, other.panel_mount, 0.8)
    np.testing.assert_allclose(line.points, [in_picture(picture, one) for one in (frame, panel)])
    assert "lost" in [one.text for one in texts(picture)]
    swept = sweep(rear_hatch(), condition=Condition(name="one gone", missing=1))
    picture = side_view(rear_hatch(), swept, 0.8)
    assert shapes(picture, "lost_strut") == []
    assert "one of two lost" in [one.text for one in texts(picture)]


def test_a_pair_is_drawn_once() -> None:
    assert len(groups(draw(rear_hatch(), 0.2), "strut")) == 1
    assert len(groups(draw(upright_door(), 0.2), "strut")) == 2


def test_letters_name_the_balls() -> None:
    names = [one.text for one in texts(draw(rear_hatch(), 0.4, "paper", letters=True))]
    assert {"F", "D"} <= set(names)
    several = [one.text for one in texts(draw(upright_door(), 0.4, "paper", letters=True))]
    assert {"F1", "D1", "F2", "D2"} <= set(several)


def test_without_a_sweep_the_door_alone_is_drawn() -> None:
    picture = side_view(roof_lid(struts=False))
    assert not groups(picture, "hold")
    assert "open 80°" in [one.text for one in texts(picture)]


@pytest.mark.parametrize("angle", [-0.1, 3.0])
def test_an_angle_outside_the_travel_is_refused(angle: float) -> None:
    with pytest.raises(TravelError, match="give an angle from 0° to 98°"):
        side_view(rear_hatch(), None, angle)


def test_hinge_place_in_words() -> None:
    door = rear_hatch()
    assert place_words(door, door.fitted[0].panel_mount) == (
        "24 inward, 108 down, 610 left of the middle"
    )
    inches = place_words(door, door.fitted[0].panel_mount, "in")
    assert inches == "15/16″ inward, 4 1/4″ down, 24″ left of the middle"
    assert place_words(door, (0.0197, 0.4151, -0.1257)) == (
        "19.7 outward, 125.7 down, 415.1 right of the middle"
    )
    assert place_words(door, (0.0, 0.0, 0.0)) == "0 outward, 0 up, at the middle"
    twin = door.fitted[1].panel_mount
    for point in (door.fitted[0].panel_mount, twin):
        both = place_words(door, point, pair=True)
        assert both == "24 inward, 108 down, 610 each side of the middle"
    assert place_words(door, twin).endswith("610 right of the middle")
    upright = upright_door()
    middle = upright.middle
    for by, words in ((0.1, "above"), (-0.1, "below")):
        point = (middle[0] + 0.05, middle[1], middle[2] + by)
        assert place_words(upright, point).endswith(f"100 {words} the middle")
    place = hinge_place(door, (0.1, 0.2, 0.3))
    assert (place.outward, place.upward, place.along) == pytest.approx((0.1, 0.3, 0.2))


def test_upright_doors_are_seen_from_above() -> None:
    plane = side_plane(upright_door())
    assert direction_words(upright_door())[:2] == (("outward", "inward"), ("right", "left"))
    assert np.cross(plane.outward, plane.upward)[2] == pytest.approx(1.0)


@settings(max_examples=20)
@given(seed=seeds())
def test_places_keep_distances(seed: int) -> None:
    door = random_door(seed, struts=1)
    rng = np.random.default_rng(seed)
    one, other = rng.uniform(-1.0, 1.0, (2, 3))
    a, b = hinge_place(door, tuple(one)), hinge_place(door, tuple(other))
    between = (a.outward - b.outward, a.upward - b.upward, a.along - b.along)
    assert math.hypot(*between) == pytest.approx(math.dist(one, other))


def test_small_rings_mark_the_shut_mounts() -> None:
    door = rear_hatch()
    picture = draw(door, 0.6)
    (ring,) = [one for one in shapes(picture, "shut_mount") if isinstance(one, Circle)]
    expected = in_picture(picture, seen(door, door.fitted[0].panel_mount, 0.0))
    assert math.dist(ring.centre, expected) < 1e-6
    assert ring.radius == pytest.approx(3 * PX)
