"""A hinged body of a textbook as a door: one bar, cable or stick of unknown force holds it.

Points are those of the book, in its axes and at its position; the door is the same body turned
back to shut, in the kit's axes. Turning is scipy's `Rotation`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from scipy.spatial.transform import Rotation

from strutkit import (
    Condition,
    Door,
    FittedStrut,
    Hinge,
    Limits,
    Panel,
    Strut,
    Sweep,
    hinge_loads,
    rating_window,
    sweep,
)

STANDARD_GRAVITY = 9.80665

CYCLE = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
"""Axes renamed in a circle: what was z is x, x is y, y is z."""

AXES = {"z": np.eye(3), "y": CYCLE}
"""From the book's axes to the kit's, z up, by the book's axis that points up."""

TIPPED = {
    "level": (np.eye(3), 0.0, 0.0),
    "pitched": (CYCLE, math.pi / 2, 0.0),
    "rolled": (CYCLE.T, 0.0, math.pi / 2),
}
"""Further change of axes, pitch and roll [rad], by which what was up is up again: the same body
on a structure that stands on its inner end or on its left side."""

Vector = Sequence[float]


@dataclass(frozen=True, kw_only=True)
class HingedBody:
    """A body on two hinge points, its weight, and a two-force member from `frame` to `panel`.

    Lengths [m], weight [N]. `up` is the book's axis that points up ("y" or "z"), `thrust_at` the
    hinge point that takes force along the line, `back` the angle from shut to the book's
    position [rad], `more` a second weight [N] at `more_at`.
    """

    first: Vector
    second: Vector
    centre: Vector
    weight: float
    frame: Vector
    panel: Vector
    up: str
    thrust_at: str = "first"
    back: float = math.radians(10.0)
    more: float = 0.0
    more_at: Vector | None = None

    @cached_property
    def axis(self) -> np.ndarray:
        """Unit vector along the hinge line about which the member lengthens, in the book's axes."""
        line = np.subtract(self.second, self.first) / math.dist(self.first, self.second)
        arm = np.subtract(self.panel, self.first)
        turning = line @ np.cross(arm, np.subtract(self.panel, self.frame))
        return line * np.sign(turning)

    @property
    def length(self) -> float:
        """Distance of the member's ends at the book's position [m]."""
        return math.dist(self.frame, self.panel)

    def condition(self, axes: np.ndarray, pitch: float, roll: float) -> Condition:
        """The second weight as added mass in these axes, and how the structure stands [rad]."""
        level = Condition(name="as in the book", pitch=pitch, roll=roll)
        if self.more_at is None:
            return level
        place = tuple(axes @ self.shut(self.more_at))
        return replace(level, added_mass=self.more / STANDARD_GRAVITY, added_at=place)

    def shut(self, place: Vector) -> np.ndarray:
        """A point of the body turned back to shut, in the book's axes."""
        turned = Rotation.from_rotvec(-self.back * self.axis)
        return np.array(self.first) + turned.apply(np.subtract(place, self.first))

    def door(self, strut: Strut, *, stop: float, axes: np.ndarray) -> Door:
        """The body as a door with this strut as its member; `axes` [3, 3]: the book's to its."""
        handle = axes @ self.shut(self.panel)
        origin = axes @ np.array(self.first)
        return Door(
            name="hinged body",
            panel=Panel(
                mass=self.weight / STANDARD_GRAVITY,
                centre_of_gravity=tuple(axes @ self.shut(self.centre)),
                handle=tuple(handle),
            ),
            hinge=Hinge(
                first=tuple(origin),
                second=tuple(axes @ np.array(self.second)),
                opens_toward=tuple(np.cross(axes @ self.axis, handle - origin)),
                stop_angle=stop,
                thrust_at=self.thrust_at,
            ),
            struts=(
                FittedStrut(
                    strut=strut, frame_mount=tuple(axes @ self.frame), panel_mount=tuple(handle)
                ),
            ),
        )


@dataclass(frozen=True, kw_only=True)
class Held:
    """What the kit says of a hinged body at the book's position, in the book's axes.

    force: push of the prop or pull of the cable [N]; first, second: forces of the hinge on the
    body [3] [N]; sweep: the whole travel.
    """

    force: float
    first: np.ndarray
    second: np.ndarray
    sweep: Sweep

    @property
    def hinge(self) -> np.ndarray:
        """Both hinge forces together [3] [N]."""
        return self.first + self.second


def propped(body: HingedBody, *, standing: str = "level") -> Held:
    """The member pushes: a constant-force strut of just the rating that holds the body.

    That rating is the lower edge of the rating window when no reserve is asked for. With it the
    hand that holds the panel has nothing to do, so the hinge forces are those of the book.
    standing: key of `TIPPED`; the result is the same.
    """
    strut = Strut(
        name="prop",
        rating=1.0,
        extended_length=1.25 * body.length,
        stroke=0.8 * body.length,
        force_ratio=1.0,
        friction=0.0,
    )
    level = body.door(strut, stop=body.back, axes=AXES[body.up])
    force = float(rating_window(replace(level, limits=Limits(reserve=0.0))).low[0])
    turn, pitch, roll = TIPPED[standing]
    axes = turn @ AXES[body.up]
    door = body.door(replace(strut, rating=force), stop=body.back, axes=axes)
    swept = sweep(door, condition=body.condition(axes, pitch, roll))
    loads = hinge_loads(swept)
    first, second = axes.T @ loads.first[-1], axes.T @ loads.second[-1]
    return Held(force=force, first=first, second=second, sweep=swept)


def tied(body: HingedBody, *, standing: str = "level") -> Held:
    """The member pulls: a strut that is fully extended at the book's position is a rope.

    Its gas force is next to nothing; what counts is the pull at the end of travel. standing: key
    of `TIPPED`; the result is the same.
    """
    strut = Strut(
        name="rope",
        rating=1e-3,
        extended_length=body.length,
        stroke=0.5 * body.length,
        force_ratio=1.0,
        friction=0.0,
    )
    turn, pitch, roll = TIPPED[standing]
    axes = turn @ AXES[body.up]
    door = body.door(strut, stop=body.back + math.radians(5.0), axes=axes)
    swept = sweep(door, condition=body.condition(axes, pitch, roll))
    case = hinge_loads(swept).cases["extended strut"]
    force = case.force - float(swept.strut_force[0, -1])
    return Held(force=force, first=axes.T @ case.first, second=axes.T @ case.second, sweep=swept)
