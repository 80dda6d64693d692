"""Random doors in general position: skew hinge line, tilted structure, struts out of plane.

Their struts always fit: lengths over the travel are measured on a dense grid of turned points,
by a route of its own (`tests/plain_statics.py`), and extended length and stroke follow from that.
"""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from hypothesis import strategies as st

from strutkit.data import door_path
from strutkit.describe.doorfile import read_door
from strutkit.describe.records import (
    Condition,
    Door,
    FittedStrut,
    Hinge,
    Limits,
    Panel,
    Point,
    Strut,
)
from tests.plain_statics import tilt, turned

GRID = 721
"""Angles at which the length of a strut is measured to make it fit."""


def doors(**wanted: object) -> st.SearchStrategy[Door]:
    """A hypothesis strategy of `random_door`, with the same keywords."""
    return seeds().map(lambda seed: random_door(seed, **wanted))


def seeds() -> st.SearchStrategy[int]:
    """Seeds for `random_door` and for further numbers of a test."""
    return st.integers(0, 2**32 - 1)


def random_door(
    seed: int,
    *,
    struts: int = 2,
    conditions: int = 0,
    faults: bool = False,
    ended_by: str = "stop",
    mirrored: bool = False,
    friction: bool = True,
    assumed: bool = False,
) -> Door:
    """A door whose struts fit it from shut to its end of travel, in every condition.

    struts are those of `door.struts`; `mirrored` gives the first one a twin. `faults` adds one
    condition for each fitted strut missing. ended_by "strut": the last strut reaches its
    extended length on the way to the stop. `assumed`: labels leave friction, force ratio and
    rod diameter out at random.
    """
    rng = np.random.default_rng(seed)
    door = _bare_door(rng, friction=friction)
    while len(door.struts) < struts:
        last = len(door.struts) == struts - 1
        more = _fitting_strut(
            rng,
            door,
            name=f"strut {len(door.struts)}",
            ends=last and ended_by == "strut",
            mirrored=mirrored and not door.struts,
            friction=friction,
            assumed=assumed,
        )
        if more is not None:
            door = replace(door, struts=(*door.struts, more))
    several = [random_condition(rng, door, f"condition {number}") for number in range(conditions)]
    if faults:
        several += [
            replace(random_condition(rng, door, f"without strut {index}"), missing=index)
            for index in range(len(door.fitted))
        ]
    return replace(door, conditions=tuple(several))


def random_condition(rng: np.random.Generator, door: Door, name: str) -> Condition:
    """A condition with everything in it: cold or hot, aged, charged otherwise, tilted, loaded."""
    least = min((one.strut.rating for one in door.struts), default=100.0)
    return Condition(
        name=name,
        temperature=rng.uniform(233.15, 353.15),
        ageing=rng.uniform(0.6, 1.1),
        strut_ageing=tuple(rng.uniform(0.7, 1.0, len(door.fitted))),
        rating_change=rng.uniform(-0.2, 0.2) * least,
        rating_tolerance=rng.uniform(-1.0, 1.0),
        mass_factor=rng.uniform(0.8, 1.3),
        added_mass=rng.uniform(0.1, 2.0),
        added_at=tuple(np.array(door.panel.centre_of_gravity) + rng.uniform(-0.3, 0.3, 3)),
        pitch=rng.uniform(-0.5, 0.5),
        roll=rng.uniform(-0.5, 0.5),
    )


def _unit(rng: np.random.Generator) -> np.ndarray:
    vector = rng.normal(size=3)
    return vector / np.linalg.norm(vector)


def _place(
    rng: np.random.Generator, door_axes: tuple[np.ndarray, ...], radius: float, bearing: float
) -> np.ndarray:
    """A point at a distance and bearing from the hinge line, anywhere along it."""
    origin, axis, outward = door_axes
    upward = np.cross(axis, outward)
    across = radius * (math.cos(bearing) * outward + math.sin(bearing) * upward)
    return origin + across + rng.uniform(-0.4, 0.4) * axis


def _axes(door: Door) -> tuple[np.ndarray, ...]:
    """Origin, axis that opens, and direction from the hinge line to the handle."""
    origin, axis = np.array(door.hinge.first), np.array(door.hinge_direction)
    arm = np.array(door.panel.handle) - origin
    across = arm - (arm @ axis) * axis
    return origin, axis, across / np.linalg.norm(across)


def _bare_door(rng: np.random.Generator, *, friction: bool) -> Door:
    first, line, spare = rng.uniform(-1.0, 1.0, 3), _unit(rng), _unit(rng)
    axis = line * rng.choice([-1.0, 1.0])
    outward = np.cross(line, spare) / np.linalg.norm(np.cross(line, spare))
    axes = (first, axis, outward)
    handle = _place(rng, axes, rng.uniform(0.4, 1.2), 0.0)
    movement = np.cross(axis, outward)
    panel = Panel(
        mass=rng.uniform(4.0, 40.0),
        centre_of_gravity=tuple(_place(rng, axes, rng.uniform(0.1, 0.6), rng.uniform(-0.4, 0.4))),
        handle=tuple(handle),
        closing_handle=tuple(_place(rng, axes, rng.uniform(0.3, 1.0), rng.uniform(-0.3, 0.3))),
        middle=tuple(first + rng.uniform(0.2, 0.6) * line + 0.1 * outward),
    )
    hinge = Hinge(
        first=tuple(first),
        second=tuple(first + rng.uniform(0.3, 1.2) * line),
        opens_toward=tuple(movement + 0.6 * _unit(rng)),
        stop_angle=rng.uniform(0.6, 2.6),
        stop=tuple(_place(rng, axes, rng.uniform(0.2, 1.0), rng.uniform(-0.3, 0.3))),
        thrust_at=str(rng.choice(["first", "second"])),
        friction_moment=rng.uniform(0.1, 3.0) if friction else 0.0,
    )
    return Door(name="random door", panel=panel, hinge=hinge)


def _fitting_strut(
    rng: np.random.Generator,
    door: Door,
    *,
    name: str,
    ends: bool,
    mirrored: bool,
    friction: bool,
    assumed: bool,
) -> FittedStrut | None:
    """A strut that fits the whole travel, or None where these mounts leave no room for one."""
    axes = _axes(door)
    frame = _place(rng, axes, rng.uniform(0.08, 0.5), rng.uniform(-math.pi, math.pi))
    panel = _place(rng, axes, rng.uniform(0.08, 0.5), rng.uniform(-0.5, 0.5))
    length = _lengths(door, frame, panel)
    if ends:
        highest = np.maximum.accumulate(length)
        reached = np.flatnonzero((length >= highest) & (np.arange(GRID) > 0.3 * GRID))
        reached = reached[reached < 0.9 * GRID]
        if not len(reached) or highest[-1] < length[reached[0]] + 0.005:
            return None
        last = int(rng.choice(reached))
        extended = float(length[last])
        if length[0] > extended - 0.005 or length.max() < extended + 0.005:
            return None
        shortest = float(length[: last + 1].min())
    else:
        extended = float(length.max()) + rng.uniform(0.002, 0.03)
        shortest = float(length.min())
    stroke = extended - shortest + rng.uniform(0.002, 0.03)
    if stroke < 0.03 or stroke > 0.85 * extended:
        return None
    left_out = rng.random(3) < 0.5 if assumed else np.zeros(3, dtype=bool)
    strut = Strut(
        name=name,
        rating=rng.uniform(60.0, 900.0),
        extended_length=extended,
        stroke=stroke,
        force_ratio=None if left_out[0] else rng.uniform(1.05, 1.6),
        friction=None if left_out[1] else (rng.uniform(2.0, 40.0) if friction else 0.0),
        rod_diameter=None if left_out[2] else rng.uniform(0.008, 0.012),
        tolerance=rng.uniform(3.0, 12.0),
    )
    return FittedStrut(
        strut=strut, frame_mount=tuple(frame), panel_mount=tuple(panel), mirrored=mirrored
    )


def _lengths(door: Door, frame: np.ndarray, panel: np.ndarray) -> np.ndarray:
    angle = np.linspace(0.0, door.hinge.stop_angle, GRID)
    return np.linalg.norm(turned(door, panel, angle) - frame, axis=-1)


def moved(door: Door, matrix: np.ndarray, shift: np.ndarray) -> Door:
    """The same door in a frame turned or mirrored by an orthogonal matrix and shifted.

    Gravity goes along: every direction of it is a pitch and a roll. The nominal condition stands
    level in both frames, so only the door's own conditions are comparable.
    """

    def place(point: Point | None) -> Point | None:
        return None if point is None else tuple(matrix @ np.array(point) + shift)

    panel, hinge = door.panel, door.hinge
    return replace(
        door,
        panel=replace(
            panel,
            centre_of_gravity=place(panel.centre_of_gravity),
            handle=place(panel.handle),
            closing_handle=place(panel.closing_handle),
            middle=place(panel.middle),
        ),
        hinge=replace(
            hinge,
            first=place(hinge.first),
            second=place(hinge.second),
            opens_toward=tuple(matrix @ np.array(hinge.opens_toward)),
            stop=place(hinge.stop),
        ),
        struts=tuple(
            replace(one, frame_mount=place(one.frame_mount), panel_mount=place(one.panel_mount))
            for one in door.struts
        ),
        conditions=tuple(_moved_condition(one, matrix, place) for one in door.conditions),
    )


def _moved_condition(
    condition: Condition, matrix: np.ndarray, place: Callable[[Point | None], Point | None]
) -> Condition:
    x, y, z = matrix @ -tilt(condition)
    return replace(
        condition,
        added_at=place(condition.added_at),
        pitch=math.atan2(x, math.hypot(y, z)),
        roll=math.atan2(y, z),
    )


def short_of_the_stop() -> Door:
    """A hatch whose struts are fully out at 28.6° of 92°, and that holds all its limits."""
    door = read_door(door_path("rear-hatch"))
    strut = replace(door.struts[0].strut, rating=450.0)
    moved = replace(
        door.struts[0],
        strut=strut,
        frame_mount=(-0.14, -0.6, -0.56),
        panel_mount=(-0.02, -0.6, -0.12),
    )
    return replace(door, struts=(moved,))


def bottoming_once_lost() -> Door:
    """A lid with two unlike struts, 0.3 and 0.2 m from the hinge line at their mounts.

    "end" is fully out at 60° of 120°. "other" is longest at 30° and as long at 60° as shut; without
    "end" it goes on over its dead centre, to 361 mm between its mounts at 120°, and is 475 mm long
    pushed in.
    """

    def hung(
        name: str, bearing: float, across: float, extended: float, stroke: float
    ) -> FittedStrut:
        strut = Strut(
            name=name,
            rating=300.0,
            extended_length=extended,
            stroke=stroke,
            force_ratio=1.3,
            friction=15.0,
            rod_diameter=0.008,
            tolerance=20.0,
        )
        turn = math.radians(bearing)
        frame = (0.3 * math.cos(turn), across, -0.3 * math.sin(turn))
        return FittedStrut(strut=strut, frame_mount=frame, panel_mount=(0.2, across, 0.0))

    return Door(
        name="lid",
        panel=Panel(mass=12.0, centre_of_gravity=(0.4, 0.0, 0.0), handle=(0.8, 0.0, 0.0)),
        hinge=Hinge(
            first=(0.0, -0.3, 0.0),
            second=(0.0, 0.3, 0.0),
            opens_toward="up",
            stop_angle=math.radians(120.0),
        ),
        struts=(
            hung("other", 150.0, -0.2, 0.505, 0.030),
            hung("end", 60.0, 0.2, math.sqrt(0.19), 0.185),
        ),
        limits=Limits(hand_closing=500.0, travel_compressed=0.001),
    )
