"""Which way the hinge line runs, and what its points and the directions about it are called."""

import itertools

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import cross, side_axes
from strutkit.describe.records import Door

Ways = tuple[str, str]


def along_axis(door: Door) -> npt.NDArray[np.float64]:
    """Unit vector along the hinge line, to the right seen from outside, or upward if upright."""
    outward, upward = side_axes(np.array(door.hinge_direction))
    right = cross(upward, outward)
    return np.asarray(-right if _upright(right) and right[2] < 0.0 else right)


WAYS = (("outward", "inward"), ("right", "left"), ("up", "down"))
"""Words for + and - of the structure frame's x, y and z."""

POINTS = {
    "outward": "outer",
    "inward": "inner",
    "right": "right",
    "left": "left",
    "up": "upper",
    "down": "lower",
}
"""Way along the hinge line -> name of the hinge point at that end."""


def direction_words(door: Door) -> tuple[Ways, Ways, Ways]:
    """Words for + and - of the side view's outward and upward, and along the hinge line.

    Each axis has the words of the axis of the structure frame that it lies near, and no two the
    same: of the six ways to pair them that with the greatest product of cosines. It is over 0.19
    (the squares of the cosines are doubly stochastic, so the six squared products come to 2/9 or
    more), so each word's direction is true in sign.
    """
    axes = (*side_axes(np.array(door.hinge_direction)), along_axis(door))
    pairings = itertools.permutations(range(3))
    best = max(
        pairings, key=lambda near: np.prod([abs(a[i]) for a, i in zip(axes, near, strict=True)])
    )
    outward, upward, along = (
        WAYS[i] if axis[i] > 0.0 else WAYS[i][::-1] for axis, i in zip(axes, best, strict=True)
    )
    return outward, upward, along


def hinge_point_names(door: Door) -> tuple[str, str]:
    """Where the first and the second hinge point are along the hinge line: left or right seen from
    outside, upper or lower, outer or inner."""
    ahead, behind = (POINTS[way] for way in direction_words(door)[2])
    line = np.array(door.hinge.second) - np.array(door.hinge.first)
    onward = float(line @ along_axis(door)) > 0.0
    return (behind, ahead) if onward else (ahead, behind)


def _upright(axis: npt.NDArray[np.float64]) -> bool:
    return int(np.abs(axis).argmax()) == 2
