"""The plane of the side view: square to the hinge line, the hinge line at (0, 0).

Also where a point lies as a builder measures it: inward, down, and from the middle.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import cross, side_axes
from strutkit.compute.statics import STANDARD_GRAVITY, gravity
from strutkit.describe.fields import Point
from strutkit.describe.hinge_points import along_axis
from strutkit.describe.records import Condition, Door

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class SidePlane:
    """Outward and upward [3] span the plane; axis [3] is the direction that opens.

    origin [3]: the point of the hinge line at the panel's middle [m]. sense: 1 where opening
    turns anticlockwise in the picture, else -1.
    """

    origin: Floats
    axis: Floats
    outward: Floats
    upward: Floats
    sense: float

    def place(self, points: npt.ArrayLike) -> Floats:
        """Points [..., 3] in the plane [..., 2]: outward and upward of the hinge line [m]."""
        arm = np.asarray(points, dtype=float) - self.origin
        flat = arm @ self.outward, arm @ self.upward
        return np.array(flat) if arm.ndim == 1 else np.stack(flat, axis=-1)

    def turned(self, points: npt.ArrayLike, angle: float) -> Floats:
        """Points of the plane [..., 2] turned about the hinge line to an opening angle [rad]."""
        flat = np.asarray(points, dtype=float)
        cosine, sine = math.cos(angle), self.sense * math.sin(angle)
        return np.stack(
            [
                flat[..., 0] * cosine - flat[..., 1] * sine,
                flat[..., 0] * sine + flat[..., 1] * cosine,
            ],
            axis=-1,
        )

    def gravity(self, condition: Condition) -> Floats:
        """Direction of gravity in the plane [2]; shorter than 1 where it leaves the plane."""
        free_fall = gravity(condition.pitch, condition.roll) / STANDARD_GRAVITY
        return np.array([free_fall @ self.outward, free_fall @ self.upward])


def side_plane(door: Door) -> SidePlane:
    """The plane of a door's side view."""
    axis = np.array(door.hinge_direction)
    outward, upward = side_axes(axis)
    sense = math.copysign(1.0, float(cross(outward, upward) @ axis))
    return SidePlane(np.array(door.middle), axis, outward, upward, sense)


@dataclass(frozen=True, slots=True)
class HingePlace:
    """A point as it is measured from the hinge line [m], the panel shut.

    outward, upward: square to the hinge line; along: from the panel's middle, positive to the
    right seen from outside (upward where the hinge line stands upright).
    """

    outward: float
    upward: float
    along: float


def hinge_place(door: Door, point: Point) -> HingePlace:
    """Where a point lies from the hinge line and from the panel's middle."""
    plane = side_plane(door)
    outward, upward = plane.place(point).tolist()
    along = float((np.array(point) - plane.origin) @ along_axis(door))
    return HingePlace(outward, upward, along)


@dataclass(frozen=True, slots=True, eq=False)
class FreeEdge:
    """The edge of the panel farthest from the hinge line, shut: place [2] [m] in the plane, and
    direction [2] from the hinge line to it."""

    plane: SidePlane
    place: Floats
    direction: Floats

    def beyond(self, point: Point) -> float:
        """How far a point lies beyond the edge, as seen from the hinge line [m]."""
        return float((self.plane.place(point) - self.place) @ self.direction)


def free_edge(door: Door) -> FreeEdge:
    """The free edge of a door: the far end of its section, or the handle where it has none."""
    section = panel_section(door)
    far = section[int(np.linalg.norm(section, axis=1).argmax())]
    return FreeEdge(side_plane(door), far, far / max(float(np.linalg.norm(far)), 1e-9))


def panel_section(door: Door) -> Floats:
    """The panel's section in the side view, shut [p, 2] [m]: as given, else hinge to handle."""
    plane = side_plane(door)
    if door.panel.section is not None:
        return plane.place(door.panel.section)
    return np.stack([np.zeros(2), plane.place(door.panel.handle)])


def panel_outline(door: Door) -> Floats:
    """Outline of the panel, shut [p, 2] [m]: its section is the outer face.

    The thickness lies to the inside, on the side that the panel turns away from. Without a
    thickness it is the section itself, an open line.
    """
    section, thickness = panel_section(door), door.panel.thickness
    if thickness <= 0.0:
        return section
    inner = _offset(section, -side_plane(door).sense * thickness)
    return np.concatenate([section, inner[::-1]])


SHARPEST_MITRE = 0.3
"""Least cosine between a corner's bisector and its faces; sharper corners are cut short."""


def _offset(line: Floats, distance: float) -> Floats:
    """An open line [p, 2] moved to its left, corners mitred."""
    step = np.diff(line, axis=0)
    length = np.linalg.norm(step, axis=1)
    line = line[np.concatenate([[True], length > 0.0])]
    step = step[length > 0.0] / length[length > 0.0, None]
    normal = np.stack([-step[:, 1], step[:, 0]], axis=1)
    before = np.concatenate([normal[:1], normal])
    bisector = before + np.concatenate([normal, normal[-1:]])
    bisector /= np.maximum(np.linalg.norm(bisector, axis=1), 1e-9)[:, None]
    cosine = np.maximum(np.sum(bisector * before, axis=1), SHARPEST_MITRE)
    return np.asarray(line + distance * bisector / cosine[:, None])


def distinct(points: Sequence[tuple[float, ...]], apart: float = 5e-4) -> list[int]:
    """Indices of the points that are not within `apart` [m] of an earlier one."""
    kept: list[int] = []
    for index, point in enumerate(points):
        if all(math.dist(point, points[earlier]) > apart for earlier in kept):
            kept.append(index)
    return kept
