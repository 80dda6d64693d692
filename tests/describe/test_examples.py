"""The example doors: the four kinds that they stand for, and good designs by every measure."""

import dataclasses
import math
import re
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import Point, Polygon

import strutkit
from strutkit.data import door_names, door_path, stock_path
from strutkit.describe.doorfile import read_door
from strutkit.describe.records import Door, Zone
from strutkit.describe.stock import read_stock
from strutkit.errors import RecordError

DOORS = {name: read_door(door_path(name)) for name in door_names()}
each_door = pytest.mark.parametrize("name", DOORS)


def axis(door: Door) -> np.ndarray:
    return np.array(door.hinge_direction)


def test_the_four_kinds() -> None:
    assert set(DOORS) == {"cabin-door", "counter-flap", "rear-hatch", "roof-hatch"}


def test_a_name_that_is_not_there() -> None:
    with pytest.raises(RecordError, match=r"no example door '\.\./stock'\. There are cabin-door, "):
        door_path("../stock")


def test_the_lid_lies_level_and_the_hatch_hangs_upright() -> None:
    lid, hatch = DOORS["roof-hatch"], DOORS["rear-hatch"]
    for door in (lid, hatch):
        assert door.hinge.first[2] == door.hinge.second[2]
    assert abs(lid.panel.handle[2]) < 0.1 * lid.panel.handle[0]
    assert abs(hatch.panel.handle[0]) < 0.1 * -hatch.panel.handle[2]


def test_the_cabin_doors_hinge_line_is_neither_level_nor_square() -> None:
    along = axis(DOORS["cabin-door"])
    assert abs(along[2]) > 0.05
    assert abs(along[0]) > 0.02
    (fitted,) = DOORS["cabin-door"].fitted
    lean = (np.array(fitted.panel_mount) - fitted.frame_mount) @ along
    assert abs(lean) > 0.005


def test_the_flap_drops_by_its_weight() -> None:
    door = DOORS["counter-flap"]
    assert door.panel.centre_of_gravity[2] > door.hinge.first[2]
    gravity = strutkit.sweep(dataclasses.replace(door, struts=())).gravity_moment
    assert np.all(gravity[1:] > 0.0)


@each_door
def test_every_finding_that_is_judged_passes(name: str) -> None:
    findings = strutkit.check(DOORS[name])
    assert [each.words for each in findings if each.ok is False] == []
    asked = [field.name for field in dataclasses.fields(DOORS[name].limits)]
    passed = {each.name for each in findings if each.ok}
    wanted = {each for each in asked if getattr(DOORS[name].limits, each) is not None}
    assert wanted - {"reserve_span"} <= passed
    assert len(wanted) >= 7


@each_door
def test_it_keeps_the_starter_limits_too(name: str) -> None:
    """Common practice, no published source: frost with old struts, heat, slopes, tired struts."""
    door = DOORS[name]
    whole = dataclasses.replace(
        door,
        conditions=strutkit.starter_conditions(door),
        limits=strutkit.starter_limits(door),
    )
    assert [each.words for each in strutkit.check(whole) if each.ok is False] == []


@each_door
def test_nothing_is_assumed_and_a_stop_ends_the_travel(name: str) -> None:
    for sweep in strutkit.sweep_conditions(DOORS[name]):
        assert sweep.assumptions == ()
        assert sweep.ended_by == "stop"


@each_door
def test_a_lost_strut_is_among_the_conditions(name: str) -> None:
    assert any(each.missing is not None for each in DOORS[name].conditions)


@each_door
def test_its_strut_is_the_row_of_the_stock_list_that_it_names(name: str) -> None:
    rows = {row.name: row for row in read_stock(stock_path())}
    for fitted in DOORS[name].struts:
        row = rows[fitted.strut.order_code]
        for field in dataclasses.fields(row):
            if field.name not in ("name", "order_code", "tolerance"):
                assert getattr(fitted.strut, field.name) == getattr(row, field.name), field.name


@each_door
@pytest.mark.parametrize("part", ["frame", "panel"])
def test_one_zone_of_each_part_square_to_the_hinge_line_holds_the_mount(
    name: str, part: str
) -> None:
    door = DOORS[name]
    (zone,) = [each for each in door.zones if each.part == part]
    along = axis(door)
    across = np.cross(along, [0.0, 0.0, 1.0])
    across /= np.linalg.norm(across)
    up = np.cross(across, along)
    (fitted,) = door.struts
    mount = np.array(fitted.frame_mount if part == "frame" else fitted.panel_mount)
    corners = np.array(zone.corners)
    places = (corners - mount) @ along
    assert np.ptp(places) < 2e-3
    assert np.all(np.abs(places) < 5e-3)
    outline = Polygon(np.column_stack([corners @ across, corners @ up]))
    assert outline.is_valid
    assert outline.contains(Point(mount @ across, mount @ up))
    hinge = np.array(door.hinge.first)
    assert not outline.contains(Point(hinge @ across, hinge @ up))
    assert isinstance(zone, Zone)


@each_door
def test_its_panel_has_a_shape(name: str) -> None:
    """Section from near the hinge line to the free edge, centre of gravity well within it."""
    panel = DOORS[name].panel
    assert panel.section is not None
    assert panel.width is not None
    reach = [DOORS[name].hinge_distance(point) for point in panel.section]
    assert reach == sorted(reach)
    assert 0.9 < DOORS[name].hinge_distance(panel.handle) / reach[-1] < 1.05
    assert 0.3 < DOORS[name].hinge_distance(panel.centre_of_gravity) / reach[-1] < 0.7
    assert 0.0 < panel.thickness < 0.06


@each_door
def test_no_strut_passes_through_the_hinge_line(name: str) -> None:
    """Shut and open the axis of each strut passes 8 mm or more beside the hinge line."""
    door = DOORS[name]
    for angle in (0.0, door.hinge.stop_angle):
        arms = strutkit.sweep(door, angles=np.array([angle])).lever_arm
        assert np.all(np.abs(arms) >= 0.008)


@each_door
def test_the_file_is_easy_to_read(name: str) -> None:
    path: Path = door_path(name)
    text = path.read_text(encoding="utf-8")
    assert text.startswith("# ")
    assert "An invented " in text
    assert all(len(line) <= 100 for line in text.split("\n"))
    assert text.count("  # ") >= 4
    assert not re.search(r"[^\x20-\x7e\n]", text)
    assert math.isfinite(DOORS[name].panel.mass)
