"""Starts leave room for the tube: checked point by point along the strut, in the space itself."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from strutkit import Door, check, read_stock, starter_door, suggest_start
from strutkit.data import stock_path
from strutkit.decide.start import suggesting
from strutkit.decide.start.answers import Answer, outcome
from strutkit.decide.start.fitting import fitting_words, pushed_in
from strutkit.decide.start.kinds import KINDS
from strutkit.decide.start.suggesting import Suggestion

STOCK = read_stock(stock_path())


def door_of(kind: str, **changes: float) -> Door:
    sizes = {"length": 0.6, "thickness": 0.04, "knuckle_diameter": 0.016, "width": 0.9, "mass": 9.0}
    return starter_door(kind, **(sizes | changes))


@cache
def started(kind: str) -> Suggestion:
    """The start of a door of a kind, worked out once."""
    return suggest_start(door_of(kind), stock=STOCK, kind=kind)


def turned(point: np.ndarray, door: Door, angle: float) -> np.ndarray:
    """Turned about the hinge line by scipy: a route beside our own rotation."""
    from scipy.spatial.transform import Rotation

    first = np.array(door.hinge.first)
    axis = np.array(door.hinge_direction)
    return first + Rotation.from_rotvec(angle * axis).apply(point - first)


@pytest.mark.parametrize("kind", KINDS)
def test_the_tube_clears_the_hinge_barrel_and_the_door(kind: str) -> None:
    """5 mm between tube and barrel, tube and face, at 200 points of the strut in 60 positions."""
    door = started(kind).door
    fitted = door.struts[0]
    tube = (fitted.strut.tube_diameter or 0.022) / 2.0
    start, end = (np.array(one) for one in door.panel.section or ())
    axis = np.array(door.hinge_direction)
    along = (end - start) / np.linalg.norm(end - start)
    inward = np.cross(along, axis)
    sign, face = (-1.0, 0.0) if kind == "drop_flap" else (1.0, 0.04)
    shares = np.linspace(0.0, 1.0, 200)[:, None]
    for angle in np.linspace(0.0, door.hinge.stop_angle, 60):
        fixed = turned(np.array(fitted.frame_mount), door, -angle)
        points = fixed + shares * (np.array(fitted.panel_mount) - fixed)
        arms = points - np.array(door.hinge.first)
        away = np.linalg.norm(arms - np.outer(arms @ axis, axis), axis=1)
        assert away.min() >= 0.008 + tube + 0.0045
        place = (points - start) @ along
        over = sign * ((points - start) @ inward - face)
        on_door = (place >= 0.0) & (place <= np.linalg.norm(end - start))
        assert over[on_door].min() >= tube + 0.0045


def test_two_struts_do_not_share_a_place() -> None:
    """A lid 20 mm wide has no room for two tubes of 15 mm."""
    found = suggest_start(starter_door("lid", length=0.6, width=0.02), stock=STOCK, kind="lid")
    assert len(found.door.fitted) == 1
    assert "too narrow for two struts" in found.words


def test_no_ball_of_a_tiny_door_is_in_its_hinge_line() -> None:
    """The usual place begins at 6 % of 30 mm."""
    door = starter_door("canted_side_door", length=0.03, knuckle_diameter=0.0)
    found = suggest_start(door, stock=STOCK, kind="canted_side_door")
    assert all(-one.panel_mount[2] >= 0.0018 for one in found.door.struts)


def test_a_strut_that_nobody_can_push_in_is_no_good_start(monkeypatch: pytest.MonkeyPatch) -> None:
    """A strut 100 mm longer is pushed in to be fitted; over the limit that is no good start."""
    found = started("lid")
    fitted = found.door.struts[0]
    longer = replace(
        fitted.strut,
        extended_length=fitted.strut.extended_length + 0.1,
        stroke=fitted.strut.stroke + 0.1,
    )
    assert not pushed_in(found.door)
    assert pushed_in(replace(found.door, struts=(replace(fitted, strut=longer),)))
    monkeypatch.setattr(suggesting, "pushed_in", lambda door: True)
    monkeypatch.setattr(suggesting, "BY_HAND", fitted.strut.rating - 1.0)
    forced = suggest_start(door_of("lid"), stock=[fitted.strut], kind="lid")
    assert not forced.holds
    assert "cannot be fitted by hand" in forced.words


def test_the_place_inside_the_ends_of_the_door_is_told() -> None:
    found = suggest_start(door_of("side_door", width=1.2), stock=STOCK, kind="side_door")
    assert abs(found.door.struts[0].frame_mount[1]) == pytest.approx(0.57)
    assert "30 mm inside the door’s left and right ends" in found.fitting[4]
    inches = fitting_words(found.door, KINDS["side_door"], "in")
    assert "1 3/16″ inside" in inches[4]
    fitted = found.door.struts[0]
    place = (fitted.panel_mount[0], fitted.panel_mount[1], -0.155)
    moved = replace(found.door, struts=(replace(fitted, panel_mount=place),))
    assert "On the door: 6 7/64″ from" in fitting_words(moved, KINDS["side_door"], "in")[1]


@pytest.mark.parametrize("kind", ["lid", "drop_flap"])
def test_drilling_error_is_told_as_the_check_has_it(kind: str) -> None:
    """Each mount of the start moved by 2 mm by hand, level and upright."""
    found = started(kind)
    assert found.holds
    fitted = found.door.struts[0]
    failing = 0
    for name in ("frame_mount", "panel_mount"):
        for axis in (0, 2):
            for off in (0.002, -0.002):
                place = list(getattr(fitted, name))
                place[axis] += off
                moved = replace(found.door, struts=(replace(fitted, **{name: tuple(place)}),))
                failing += any(one.ok is False for one in check(moved))
    said = "a rule may fail" if failing else "every rule still holds"
    assert f"With 2 mm of drilling error at either end {said}" in found.words


def test_a_silly_pull_is_questioned_and_a_silly_number_gets_its_bounds() -> None:
    """2000 kg at 0.95 m on a hatch of 0.9 m."""
    unknown = {
        name: Answer(unknown=True)
        for name in ("thickness", "knuckle_diameter", "width", "handle", "mass")
    }
    given = unknown | {"length": Answer(text="950 mm"), "pull": Answer(text="2000 kg")}
    assert "hardly so" in outcome("rear_hatch", given).boxes["pull"].words
    for text in ("1e9", "-4"):
        words = outcome("rear_hatch", {"length": Answer(text=text)}).boxes["length"].words
        assert words == f"{text} is out of reach. Write over 0 and at most 10 m."
