"""Mounts outside the zones marked for them: distances by a second route (shapely), examples,
pairs, several struts, several zones."""

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from strutkit import check, find_mounts, read_door, read_stock, verdict
from strutkit.data import door_names, door_path, stock_path
from strutkit.decide.judging import Finding
from strutkit.describe.numbers import lengths_in
from strutkit.describe.records import Door, Point, Zone

HATCH = read_door(door_path("rear-hatch"))


def outside(door: Door) -> Finding | None:
    return next((one for one in check(door) if one.name == "outside_zone"), None)


def moved(door: Door, by: Point, part: str = "panel_mount", place: int = 0) -> Door:
    """The door with one mount moved by so much [m]."""
    struts = list(door.struts)
    former = getattr(struts[place], part)
    new = tuple(one + step for one, step in zip(former, by, strict=True))
    struts[place] = replace(struts[place], **{part: new})
    return replace(door, struts=tuple(struts))


def two_struts() -> Door:
    """The rear hatch, its pair written as two struts."""
    one = HATCH.struts[0]
    fitted = [replace(each, mirrored=False) for each in HATCH.fitted]
    right = replace(fitted[1], strut=replace(one.strut, name="right"))
    return replace(HATCH, struts=(fitted[0], right))


@pytest.mark.parametrize("name", door_names())
def test_mounts_of_the_example_doors_lie_in_their_zones(name: str) -> None:
    door = read_door(door_path(name))
    assert {zone.part for zone in door.zones} == {"frame", "panel"}
    assert outside(door) is None


def test_the_finding_fails_and_says_which_mount_and_how_far() -> None:
    """The zone ends 50 mm inward of the hinge line and lies 600 mm left of the middle."""
    inward = -0.075 - HATCH.struts[0].panel_mount[0]
    found = outside(moved(HATCH, (inward, 0.0, 0.0)))
    assert found is not None
    assert found.state == "fails"
    assert found.value == pytest.approx(0.025, abs=1e-9)
    assert found.words == "The left strut, door side: 25 mm outside the zone marked for it."
    found = outside(moved(HATCH, (0.0, 0.04, 0.0)))
    assert found is not None
    assert "door side: 40 mm outside" in found.words
    both = outside(moved(moved(HATCH, (0.0, 0.04, 0.0)), (0.15, 0.0, 0.0), "frame_mount"))
    assert both is not None
    assert "fixed side: " in both.words
    assert "; the left strut, door side: 40 mm" in both.words


def test_it_speaks_inches_where_the_sentences_do() -> None:
    with lengths_in("in"):
        found = outside(moved(HATCH, (0.0, 0.0381, 0.0)))
    assert found is not None
    assert "1 1/2″ outside" in found.words


def test_it_counts_as_a_failure_and_stands_behind_those_of_the_limits() -> None:
    door = moved(HATCH, (0.0, 0.04, 0.0))
    assert verdict(check(door)).startswith("1 fails")
    door = replace(door, limits=replace(door.limits, hand_closing=1.0))
    failed = [one.name for one in check(door) if one.ok is False]
    assert failed == ["hand_closing", "outside_zone"]


def test_without_a_zone_for_that_part_nothing_is_said() -> None:
    away = moved(moved(HATCH, (0.0, 0.04, 0.0)), (0.0, 0.05, 0.0), "frame_mount")
    assert outside(replace(away, zones=())) is None
    only = tuple(one for one in away.zones if one.part == "frame")
    found = outside(replace(away, zones=only))
    assert found is not None
    assert "door side" not in found.words
    assert "fixed side: 50 mm" in found.words


def test_either_of_a_mirrored_pair_in_the_zone_is_enough() -> None:
    """Two mounts the other way round are the same pair."""
    one = HATCH.fitted[1]
    turned = replace(one, strut=HATCH.struts[0].strut, mirrored=True)
    assert outside(replace(HATCH, struts=(turned,))) is None
    found = outside(moved(replace(HATCH, struts=(turned,)), (0.0, 0.04, 0.0)))
    assert found is not None
    assert found.value == pytest.approx(0.04, abs=1e-9)


def test_a_lone_strut_on_the_other_side_is_outside_by_the_way_across() -> None:
    lone = replace(HATCH.fitted[1], strut=HATCH.struts[0].strut, mirrored=False)
    found = outside(replace(HATCH, struts=(lone,)))
    assert found is not None
    assert found.value == pytest.approx(1.2, abs=1e-6)


def test_of_several_struts_each_is_held_to_the_zones_of_its_own_side() -> None:
    """The zones are marked on the left alone: nothing is asked of a right strut."""
    door = two_struts()
    assert outside(door) is None
    assert outside(moved(door, (0.0, 0.04, 0.0), place=1)) is None
    found = outside(moved(door, (0.0, 0.04, 0.0), place=0))
    assert found is not None
    assert "right" not in found.words
    middle = Zone(part="panel", corners=tuple((x, 0.0, z) for x, _, z in HATCH.zones[1].corners))
    found = outside(replace(door, zones=(middle,)))
    assert found is not None
    assert found.words.count("600 mm outside the zone") == 2


def test_any_zone_of_the_part_will_do_and_the_nearest_counts() -> None:
    panel = HATCH.zones[1]
    up = Zone(part="panel", corners=tuple((x, y, z + 0.3) for x, y, z in panel.corners))
    assert outside(replace(HATCH, zones=(*HATCH.zones, up))) is None
    assert outside(replace(HATCH, zones=(up, *HATCH.zones))) is None
    lifted = -0.06 - HATCH.struts[0].panel_mount[2]
    found = outside(moved(replace(HATCH, zones=(*HATCH.zones, up)), (0.0, 0.0, lifted)))
    assert found is not None
    assert "20 mm outside the nearest zone" in found.words


def test_corners_out_of_the_plane_give_a_mount_as_much_room() -> None:
    assert outside(moved(HATCH, (0.0, 0.0019, 0.0))) is None
    found = outside(moved(HATCH, (0.0, 0.0031, 0.0)))
    assert found is not None
    assert "4 mm outside" in found.words


def test_a_zone_of_no_width_is_a_line() -> None:
    x, y, z = HATCH.struts[0].panel_mount
    line = Zone(part="panel", corners=((x + 0.01, y, z - 0.1), (x + 0.01, y, z + 0.1)) * 2)
    found = outside(replace(HATCH, zones=(line,)))
    assert found is not None
    assert found.value == pytest.approx(0.01, abs=1e-9)
    spot = Zone(part="panel", corners=((x, y, z + 0.02),) * 3)
    found = outside(replace(HATCH, zones=(spot,)))
    assert found is not None
    assert found.value == pytest.approx(0.02, abs=1e-9)


def test_what_the_search_finds_lies_in_the_zones() -> None:
    present = HATCH.struts[0].strut
    stock = [one for one in read_stock(stock_path()) if one.stroke == present.stroke][::3]
    found = find_mounts(HATCH, stock=stock, counts=(2,), tolerance=0.05)
    assert found.candidates
    assert [outside(one.door) for one in found.candidates] == [None] * len(found.candidates)


spots = st.tuples(st.floats(-0.2, 0.2), st.floats(-0.2, 0.2))


@settings(max_examples=20)
@given(
    corners=st.lists(spots, min_size=3, max_size=7),
    off=st.sampled_from([0.0, 0.05, -0.3]),
    mirrored=st.booleans(),
)
def test_distances_are_those_of_shapely(
    corners: list[tuple[float, float]], off: float, mirrored: bool
) -> None:
    """Of the star through corners in the order of their bearing, the hinge line along y."""
    ring = shapely.Polygon(sorted(corners, key=lambda one: math.atan2(one[1], one[0])))
    if not ring.is_valid or ring.area < 1e-4:
        return
    strut = replace(HATCH.struts[0], mirrored=mirrored)
    x, y, z = strut.panel_mount
    zone = Zone(
        part="panel", corners=tuple((x + a, y + off, z + b) for a, b in ring.exterior.coords)
    )
    found = outside(replace(HATCH, struts=(strut,), zones=(zone,), conditions=()))
    flat = ring.distance(shapely.Point(0.0, 0.0))
    expected = math.hypot(flat, off)
    if expected < 2e-4:
        assert found is None or (found.value or 0.0) < 2e-4
    else:
        assert found is not None
        assert found.value == pytest.approx(expected, abs=1e-9)
