"""Random search problems: a door in general position, two zones, a small stock, limits.

Zones are convex or notched polygons of a hand's size; struts are made to fit somewhere between
them; limits are set around what one layout of the zones does, eased or tightened.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from shapely import Polygon

from strutkit.describe.records import Condition, Door, Hinge, Limits, Panel, Strut, Zone
from tests.search import plain_search


@dataclass(frozen=True)
class SearchProblem:
    """A door with one zone of each part, and a stock."""

    door: Door
    stock: tuple[Strut, ...]


def random_problem(
    seed: int, *, tight: float | None = None, struts: int = 3, conditions: int | None = None
) -> SearchProblem:
    """A problem whose limits are those of one of its layouts times `tight`, or eased at random.

    tight under 1 asks more than that layout does, so that often nothing fits.
    """
    rng = np.random.default_rng(seed)
    while True:
        made = _attempt(rng, tight, struts, conditions)
        if made is not None:
            return made


def _attempt(
    rng: np.random.Generator, tight: float | None, struts: int, conditions: int | None
) -> SearchProblem | None:
    door = _door(rng, rng.integers(0, 4) if conditions is None else conditions)
    around = plain_search.axes(door)
    stock, layouts = [], []
    for number in range(struts):
        one = _fitting_strut(rng, door, f"strut {number}")
        if one is None:
            return None
        stock.append(one[0])
        layouts.append(one[1:])
    pick = int(rng.integers(0, struts))
    count, frame, panel = layouts[pick]
    values = plain_search.judge(
        door,
        stock[pick],
        count,
        around.space(frame, plain_search.along(door, "frame"))[None],
        around.space(panel, plain_search.along(door, "panel"))[None],
    )
    limits = _limits(rng, values, tight)
    return None if limits is None else SearchProblem(replace(door, limits=limits), tuple(stock))


def _door(rng: np.random.Generator, conditions: int) -> Door:
    first = rng.uniform(-0.5, 0.5, 3)
    axis, outward = _frame(rng)
    quarter = np.cross(axis, outward)
    reach = rng.uniform(0.5, 1.1)
    centre = reach * rng.uniform(0.35, 0.65)
    lean = rng.uniform(-0.2, 0.2)
    panel = Panel(
        mass=rng.uniform(4.0, 25.0),
        centre_of_gravity=tuple(
            first + centre * (math.cos(lean) * outward + math.sin(lean) * quarter) + 0.3 * axis
        ),
        handle=tuple(first + reach * outward + 0.3 * axis),
        closing_handle=tuple(first + 0.9 * reach * outward) if rng.random() < 0.3 else None,
        middle=tuple(first + 0.4 * axis),
    )
    hinge = Hinge(
        first=tuple(first),
        second=tuple(first + rng.choice([-1.0, 1.0]) * 0.8 * axis),
        opens_toward=tuple(quarter),
        stop_angle=rng.uniform(0.7, 1.9),
        friction_moment=rng.choice([0.0, rng.uniform(0.2, 1.5)]),
    )
    bearing = -rng.uniform(0.1, 1.3)
    apart = rng.choice([0.0, rng.uniform(-0.08, 0.08)])
    middle = rng.uniform(0.2, 0.55), rng.uniform(0.10, 0.40)
    spots = (
        middle[0] * np.exp(1j * bearing),
        middle[1] * np.exp(1j * rng.uniform(-0.25, 0.1)),
    )
    zones = []
    for part, spot, place in zip(("frame", "panel"), spots, (0.05, 0.05 + apart), strict=True):
        corners = _outline(rng, spot, rng.uniform(0.02, 0.07))
        points = [
            tuple(first + z.real * outward + z.imag * quarter + place * axis) for z in corners
        ]
        zones.append(Zone(part=part, corners=tuple(points)))
    several = tuple(_condition(rng, number) for number in range(conditions))
    return Door(name="a door", panel=panel, hinge=hinge, zones=tuple(zones), conditions=several)


def _frame(rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Hinge direction and the direction from it to the handle: level, or anyhow."""
    if rng.random() < 0.6:
        axis = np.array([0.0, rng.choice([-1.0, 1.0]), 0.0])
        bearing = rng.uniform(0.0, 2.0 * math.pi)
        return axis, np.array([math.cos(bearing), 0.0, math.sin(bearing)])
    axis, spare = rng.normal(size=3), rng.normal(size=3)
    axis /= np.linalg.norm(axis)
    across = spare - (spare @ axis) * axis
    return axis, across / np.linalg.norm(across)


def _outline(rng: np.random.Generator, spot: complex, size: float) -> np.ndarray:
    """Corners round a spot: a convex polygon, or one with a notch."""
    count = int(rng.integers(3, 7))
    turns = np.sort(
        rng.uniform(0.0, 2.0 * math.pi, count) / count + np.arange(count) * 2 * math.pi / count
    )
    corners = spot + size * np.exp(1j * turns)
    if rng.random() < 0.3:
        notch = spot + 0.35 * size * np.exp(0.5j * (turns[0] + turns[1]))
        notched = np.insert(corners, 1, notch)
        if Polygon(np.stack([notched.real, notched.imag], axis=1)).is_valid:
            return notched
    return corners


def _condition(rng: np.random.Generator, number: int) -> Condition:
    pair = rng.random() < 0.2
    return Condition(
        name=f"condition {number}",
        temperature=rng.uniform(253.15, 333.15),
        ageing=rng.uniform(0.8, 1.0),
        rating_tolerance=rng.uniform(-1.0, 1.0),
        mass_factor=rng.uniform(0.95, 1.1),
        pitch=rng.uniform(-0.1, 0.1),
        roll=rng.uniform(-0.1, 0.1),
        strut_ageing=(0.8, 1.0) if pair else None,
    )


def _inside(rng: np.random.Generator, door: Door, part: str) -> np.ndarray:
    shape = plain_search.polygon(door, part)
    low_x, low_y, high_x, high_y = shape.bounds
    while True:
        place = np.array([rng.uniform(low_x, high_x), rng.uniform(low_y, high_y)])
        if plain_search.contains_xy(shape, *place):
            return place


def _fitting_strut(
    rng: np.random.Generator, door: Door, name: str
) -> tuple[Strut, int, np.ndarray, np.ndarray] | None:
    """A strut that fits one layout of the zones, how many, and both mounts in the plane."""
    around = plain_search.axes(door)
    frame, panel = _inside(rng, door, "frame"), _inside(rng, door, "panel")
    count = int(rng.integers(1, 3))
    probe = Strut(name=name, rating=100.0, extended_length=5.0, stroke=4.9, force_ratio=1.0)
    places = (
        around.space(frame, plain_search.along(door, "frame"))[None],
        around.space(panel, plain_search.along(door, "panel"))[None],
    )
    found = plain_search.judge(replace(door, conditions=()), probe, count, *places)
    shortest = 0.1 + float(found["travel_compressed"][0])
    longest = 5.0 - float(found["travel_extended"][0])
    left = rng.uniform(0.001, 0.02)
    stroke = longest - shortest + left + rng.uniform(0.001, 0.03)
    if stroke < 0.03 or longest + left - stroke < 0.4 * stroke:
        return None
    weight = (
        door.panel.mass * 9.81 * np.linalg.norm(around.flat(np.array(door.panel.centre_of_gravity)))
    )
    arm = max(0.04, 0.5 * min(np.linalg.norm(frame), np.linalg.norm(panel)))
    strut = Strut(
        name=name,
        rating=float(np.clip(rng.uniform(0.6, 1.8) * weight / arm / count, 40.0, 2500.0)),
        extended_length=longest + left,
        stroke=stroke,
        force_ratio=rng.uniform(1.1, 1.5),
        friction=rng.uniform(2.0, 15.0),
        rod_diameter=rng.choice([0.008, 0.010]),
        tolerance=rng.choice([None, 15.0]),
    )
    return strut, count, frame, panel


def _limits(
    rng: np.random.Generator, values: dict[str, np.ndarray], tight: float | None
) -> Limits | None:
    """Limits round the values of one layout."""
    if not values["fits"][0]:
        return None
    asked: dict[str, float] = {}
    for rule in plain_search.RULES:
        value = float(values[rule][0])
        if rng.random() < 0.5 or not math.isfinite(value):
            continue
        ease = rng.uniform(1.0, 1.4) if tight is None else tight
        if rule in plain_search.AT_LEAST:
            if value > 0.0:
                asked[rule] = value / ease
        elif value > 1e-3:
            asked[rule] = value * ease
    if "lift_off" in asked:
        asked["lift_off"] = min(asked["lift_off"], 6.0)
    asked["reserve_span"] = rng.choice([0.0, 0.15])
    return Limits(**asked)
