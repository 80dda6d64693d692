"""Hand forces as people apply them: straight down, or straight out, not along the arc.

Model section 3: moment divided by k · ((h - O) × d); none where that lever is under a fifth of
the handle's distance from the hinge line.
"""

from typing import Literal

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import cross, rotate
from strutkit.compute.statics import gravity
from strutkit.decide.conditions import hinge_axis
from strutkit.decide.sweep import Sweep
from strutkit.describe.fields import Point
from strutkit.describe.records import Door

Floats = npt.NDArray[np.float64]

LEAST_LEVER_SHARE = 0.2


def straight_force(
    sweep: Sweep, *, task: Literal["opening", "closing"], toward: Literal["down", "up", "out", "in"]
) -> Floats:
    """Force [n] [N] that moves the panel when the hand pulls straight along a direction.

    task: opening (at the handle) or closing (at the closing handle); toward: down or up along
    gravity as the structure stands, out or in along x. Positive where that pull is needed, 0
    where the panel goes by itself; nan where the pull has no fair lever or turns it the other way.
    """
    door = sweep.door
    opens = 1.0 if task == "opening" else -1.0
    place = door.panel.handle if task == "opening" else door.closing_handle
    lever = opens * _lever(door, place, sweep.angle, _direction(sweep, toward))
    needed = sweep.friction_moment - opens * sweep.moment
    fair = lever >= LEAST_LEVER_SHARE * door.hinge_distance(place)
    return np.divide(np.maximum(needed, 0.0), lever, out=np.full_like(lever, np.nan), where=fair)


def _lever(door: Door, place: Point, angle: Floats, direction: Floats) -> Floats:
    """k · ((h - O) × d) [n] [m], positive where a pull along d opens."""
    origin, axis = hinge_axis(door)
    arm = rotate(np.array(place), origin, axis, angle) - origin
    return np.asarray(cross(arm, direction) @ axis)


def _direction(sweep: Sweep, toward: str) -> Floats:
    if toward in ("out", "in"):
        return np.array([1.0 if toward == "out" else -1.0, 0.0, 0.0])
    falling = gravity(sweep.condition.pitch, sweep.condition.roll)
    down = np.asarray(falling / np.linalg.norm(falling))
    return down if toward == "down" else -down
