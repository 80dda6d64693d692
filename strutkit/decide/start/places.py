"""Where first mounts are tried: a grid over marked zones, or over the usual places of a kind.

A good place is one that can be bolted to. On the door side: within the panel's outline, `BESIDE`
inside its end, the ball no further than a bracket's `REACH` from the face. On the fixed side: on
the post, flange or wall beside the opening (under a drop flap: below it), the ball no further than
the kind's usual depth. Common practice, no published source.
"""

import math

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import rotate, side_axes
from strutkit.decide.conditions import hinge_axis
from strutkit.decide.start.kinds import Kind
from strutkit.describe.records import Door, Zone

Floats = npt.NDArray[np.float64]

GRID = 0.005
"""Mounts lie on whole steps of this [m]."""
COARSE = 14
"""Grid points along a usual place or a zone in the first look."""
BESIDE = 0.030
"""A strut hangs this far inside the ends of the panel [m]."""
LEAST_REACH, REACH = 0.010, 0.030
"""A ball on a common stud or bracket stands so far from the face it is bolted to [m]."""
FAR_REACH = 0.040
"""The furthest from the door's face that is tried where `REACH` does not do [m]."""


def mount_places(door: Door, kind: Kind, *, far: bool = False) -> tuple[Floats, Floats]:
    """Grid of frame mounts and of panel mounts [.., 3]; far: with higher brackets."""
    zones = {zone.part: zone for zone in door.zones}
    inside = _Usual(door, kind, far)
    frames = _zone_grid(door, zones["frame"]) if "frame" in zones else inside.frame_grid()
    panels = _zone_grid(door, zones["panel"]) if "panel" in zones else inside.panel_grid()
    return off_line(door, frames), off_line(door, panels)


def off_line(door: Door, places: Floats) -> Floats:
    """Places that are no nearer than 5 mm to the hinge line."""
    origin, axis = hinge_axis(door)
    arms = places - origin
    away = np.linalg.norm(arms - np.outer(arms @ axis, axis), axis=1) > 0.005
    return np.asarray(places[away])


class _Usual:
    """Usual places of a kind for the panel of a door."""

    def __init__(self, door: Door, kind: Kind, far: bool) -> None:
        self.kind, self.far = kind, far
        self.section = Section(door, kind)
        half = (door.panel.width or 2.0 * BESIDE) / 2.0
        beside = max(half - BESIDE, 0.3 * half)
        self.right = -max(1.0, round(beside / GRID)) * GRID
        self.lowest = kind.frame_along[0] * self.section.length
        if kind.outside and door.hinge_height is not None:
            self.lowest = max(self.lowest, -max(door.hinge_height - 0.1, 0.1))

    def points(self, along: Floats, off: Floats) -> Floats:
        pairs = np.stack(np.meshgrid(along, off, indexing="ij"), axis=-1).reshape(-1, 2)
        low, high = pairs.min(axis=0) - 1e-9, pairs.max(axis=0) + 1e-9
        whole = np.unique(np.round(pairs / GRID) * GRID, axis=0)
        held = whole[((whole >= low) & (whole <= high)).all(axis=1)]
        pairs = held if len(held) else pairs
        return np.asarray(np.round(self.section.points(pairs, self.right), 3) + 0.0)

    def panel_grid(self) -> Floats:
        low, high = self.kind.panel_along
        along = np.linspace(low, high, COARSE) * self.section.length
        return self.points(along, np.linspace(LEAST_REACH, FAR_REACH if self.far else REACH, 3))

    def frame_grid(self) -> Floats:
        low, high = self.kind.frame_depth
        deep = self.kind.frame_deep * self.section.length
        furthest = max(self.kind.frame_far if self.far else high, deep)
        along = np.linspace(self.lowest, self.kind.frame_along[1] * self.section.length, COARSE)
        return self.points(along, np.linspace(low, furthest, 10 if deep else 5))


class Section:
    """A straight panel seen along its hinge line, for places given as a tape finds them."""

    def __init__(self, door: Door, kind: Kind) -> None:
        section = door.panel.section or (door.hinge.first, door.panel.handle)
        start, end = (np.array(section[0]), np.array(section[-1]))
        origin, axis = hinge_axis(door)
        along = end - start
        along -= axis * (along @ axis)
        self.length = float(np.linalg.norm(along))
        self.along = along / self.length
        self.outward = np.cross(axis, self.along)
        self.right = axis if axis[1] >= 0.0 else -axis
        self.middle = np.array(door.middle)
        outer = float((self.middle - start) @ self.outward)
        self.outer = outer
        opened = rotate(end, origin, axis, [0.01])[0]
        self.turn = math.copysign(1.0, float((opened - end) @ self.outward))
        self.sense = -1.0 if kind.outside else 1.0
        self.face = outer if kind.outside else outer + door.panel.thickness

    def points(self, pairs: Floats, right: float) -> Floats:
        """Places at (along, off) [.., 2]: along the panel from the hinge line, off the face that
        struts of the kind are bolted to; right of the panel's middle."""
        inward = self.face + self.sense * pairs[:, 1:]
        middle = self.middle + right * self.right
        return np.asarray(middle + pairs[:, :1] * self.along - inward * self.outward)

    def flat(self, places: Floats) -> Floats:
        """(along, outward) of places [.., 3] from the hinge line."""
        arms = np.asarray(places) - self.middle
        return np.stack([arms @ self.along, arms @ self.outward], axis=-1)

    def read(self, places: Floats) -> Floats:
        """(along, off) of places [.., 3]."""
        arms = np.asarray(places) - self.middle
        off = self.sense * (-(arms @ self.outward) - self.face)
        return np.stack([arms @ self.along, off], axis=-1)


def _zone_grid(door: Door, zone: Zone) -> Floats:
    """Points in a zone on a grid of its own plane."""
    origin, axis = hinge_axis(door)
    outward, upward = side_axes(axis)
    corners = np.array(zone.corners) - origin
    flat = np.stack([corners @ outward, corners @ upward], axis=1)
    along = float(np.mean(corners @ axis))
    low, high = flat.min(axis=0), flat.max(axis=0)
    counts = [
        max(2, min(COARSE, 1 + math.ceil((b - a) / GRID))) for a, b in zip(low, high, strict=True)
    ]
    grid = np.meshgrid(*(np.linspace(a, b, n) for a, b, n in zip(low, high, counts, strict=True)))
    pairs = np.stack(grid, axis=-1).reshape(-1, 2)
    held = pairs[_inside(pairs, flat)]
    if not len(held):
        held = flat.mean(axis=0)[None, :]
    places = origin + held[:, :1] * outward + held[:, 1:] * upward + along * axis
    return np.asarray(np.round(places, 5) + 0.0)


def _inside(pairs: Floats, outline: Floats) -> npt.NDArray[np.bool_]:
    """Which points lie in a closed outline or within 1 µm of its edge."""
    from shapely import contains_xy
    from shapely.geometry import Polygon

    return np.asarray(contains_xy(Polygon(outline).buffer(1e-6), pairs[:, 0], pairs[:, 1]))


def allowed(
    door: Door, kind: Kind, part: str, spots: Floats, *, far: bool = False
) -> npt.NDArray[np.bool_]:
    """Which spots lie in the zone of that part, or in the usual place."""
    origin, axis = hinge_axis(door)
    zone = next((one for one in door.zones if one.part == part), None)
    outward, upward = side_axes(axis)
    if zone is None:
        usual = _Usual(door, kind, far)
        grid = usual.frame_grid() if part == "frame" else usual.panel_grid()
        held, asked = usual.section.read(grid), usual.section.read(spots)
        low, high = held.min(axis=0) - 1e-6, held.max(axis=0) + 1e-6
        return np.asarray(((asked >= low) & (asked <= high)).all(axis=1))
    flat = np.stack([outward, upward], axis=1)
    return _inside((spots - origin) @ flat, (np.array(zone.corners) - origin) @ flat)
