"""Which way the hinge line runs, and what its two points are called."""

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import cross, side_axes
from strutkit.describe.records import Door


def along_axis(door: Door) -> npt.NDArray[np.float64]:
    """Unit vector along the hinge line, to the right seen from outside, or upward if upright."""
    outward, upward = side_axes(np.array(door.hinge_direction))
    right = cross(upward, outward)
    return np.asarray(-right if _upright(right) and right[2] < 0.0 else right)


def along_words(door: Door) -> tuple[str, str]:
    """Words for + and - along the hinge line."""
    return ("up", "down") if _upright(along_axis(door)) else ("right", "left")


def hinge_point_names(door: Door) -> tuple[str, str]:
    """Where the first and the second hinge point are: left or right seen from outside, or upper
    or lower where the hinge line is nearer to upright than to level.
    """
    axis = along_axis(door)
    names = ("lower", "upper") if _upright(axis) else ("left", "right")
    onward = float((np.array(door.hinge.second) - np.array(door.hinge.first)) @ axis) > 0.0
    return names if onward else (names[1], names[0])


def _upright(axis: npt.NDArray[np.float64]) -> bool:
    return int(np.abs(axis).argmax()) == 2
