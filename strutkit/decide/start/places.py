"""Where first mounts are tried: a grid over marked zones, or over the usual places of a kind."""

import math

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import side_axes
from strutkit.decide.conditions import hinge_axis
from strutkit.decide.start.kinds import Kind
from strutkit.describe.records import Door, Zone

Floats = npt.NDArray[np.float64]

GRID = 0.005
"""Mounts lie on whole steps of this [m]."""
COARSE = 14
"""Grid points along a usual place or a zone in the first look."""
BESIDE = 0.030
"""A strut hangs this far inside the ends of the panel, or outside them [m]."""


def mount_places(door: Door, kind: Kind, count: int) -> tuple[Floats, Floats]:
    """Grid of frame mounts and of panel mounts [.., 3]."""
    zones = {zone.part: zone for zone in door.zones}
    inside = _Usual(door, kind)
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

    def __init__(self, door: Door, kind: Kind) -> None:
        section = door.panel.section or (door.hinge.first, door.panel.handle)
        start, end = (np.array(section[0]), np.array(section[-1]))
        self.kind, self.thickness = kind, door.panel.thickness
        _, axis = hinge_axis(door)
        self.along = end - start
        self.along -= axis * (self.along @ axis)
        self.length = float(np.linalg.norm(self.along))
        self.along /= self.length
        self.outward = np.cross(axis, self.along)
        self.middle = np.array(door.middle)
        self.radius = float((self.middle - start) @ self.outward)
        half = (door.panel.width or 2.0 * BESIDE) / 2.0
        beside = half + BESIDE if kind.frame_outside else max(half - BESIDE, 0.3 * half)
        beside = max(1.0, round(beside / GRID)) * GRID
        right = axis if axis[1] >= 0.0 else -axis
        self.at = self.middle - right * beside

    def points(self, along: Floats, inward: Floats) -> Floats:
        pairs = np.stack(np.meshgrid(along, inward, indexing="ij"), axis=-1).reshape(-1, 2)
        pairs = np.unique(np.round(pairs / GRID) * GRID, axis=0)
        places = self.at + pairs[:, :1] * self.along - pairs[:, 1:] * self.outward
        return np.asarray(np.round(places, 3) + 0.0)

    def panel_grid(self) -> Floats:
        low, high = self.kind.panel_depth
        inner = self.radius + self.thickness
        depth = inner + np.array([max(low, -self.thickness), high])
        return self.points(self._shares(self.kind.panel_along), depth)

    def frame_grid(self) -> Floats:
        low, high = self.kind.frame_depth
        deep = self.kind.frame_deep * self.length
        depth = np.linspace(low, max(high, deep), 10 if deep else 5)
        inward = (
            self.radius - depth
            if self.kind.frame_outside
            else (self.radius + self.thickness + depth)
        )
        return self.points(self._shares(self.kind.frame_along), inward)

    def _shares(self, shares: tuple[float, float]) -> Floats:
        return np.linspace(*shares, COARSE) * self.length


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


def allowed(door: Door, kind: Kind, part: str, spots: Floats) -> npt.NDArray[np.bool_]:
    """Which spots lie in the zone of that part, or in the usual place."""
    origin, axis = hinge_axis(door)
    zone = next((one for one in door.zones if one.part == part), None)
    outward, upward = side_axes(axis)
    if zone is None:
        usual = _Usual(door, kind)
        grid = usual.frame_grid() if part == "frame" else usual.panel_grid()
        frame = np.stack([usual.along, usual.outward], axis=1)
        held, asked = grid @ frame, spots @ frame
        low, high = held.min(axis=0) - 1e-6, held.max(axis=0) + 1e-6
        return np.asarray(((asked >= low) & (asked <= high)).all(axis=1))
    flat = np.stack([outward, upward], axis=1)
    return _inside((spots - origin) @ flat, (np.array(zone.corners) - origin) @ flat)
