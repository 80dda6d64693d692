"""Where the struts of a box end the travel: the angle at which they reach their extended length.

There L = Lext while lengthening, so psi lies in 0...pi, with

    cos(psi) = (r_A² + r_B² + w² - Lext²) / (2 r_A r_B)        E = psi - alpha

The struts fit shut only where |alpha| <= psi, so E is in 0...2 pi.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import LENGTH_SLACK
from strutkit.decide.search.ranges import Boxes
from strutkit.decide.search.task import Choices, Task

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class End:
    """Where the struts of a box reach their extended length: angles low, high [rad], and the
    range of psi there [n]; reached: whether any layout of the box does."""

    low: Floats
    high: Floats
    psi_low: Floats
    psi_high: Floats
    reached: Flags


def end_of_travel(task: Task, extended: Floats, boxes: Boxes) -> End:
    """Range of the end of travel over each box, whose struts are so long [n] [m]."""
    square, longer = (one**2 - task.offset**2 for one in (extended, extended + 2.0 * LENGTH_SLACK))
    least, most = _cosine_range(boxes, square, longer)
    psi_low = np.arccos(np.clip(most, -1.0, 1.0))
    psi_high = np.arccos(np.clip(least, -1.0, 1.0))
    turns = 2.0 * np.pi * np.round(boxes.phase.mean(axis=1) / (2.0 * np.pi))
    alpha_low, alpha_high = boxes.phase[:, 0] - turns, boxes.phase[:, 1] - turns
    low, high = psi_low - alpha_high, np.minimum(psi_high - alpha_low, task.stop)
    reached = (least <= 1.0) & (most >= -1.0) & (low < task.stop)
    reached &= (alpha_low <= psi_high) & (alpha_high >= -psi_high)
    wraps = np.maximum(np.abs(alpha_low), np.abs(alpha_high)) > np.pi
    low, high = np.where(wraps, 0.0, low), np.where(wraps, task.stop, high)
    long_enough = high >= task.least_opening - ROUNDING
    return End(np.maximum(low, 0.0), high, psi_low, psi_high, (reached | wraps) & long_enough)


def last_shared_angle(task: Task, choices: Choices, boxes: Boxes) -> Floats:
    """Greatest angle that every layout of a box is sure to reach [n] [rad]."""
    end = end_of_travel(task, choices.extended[boxes.choice], boxes)
    return np.where(boxes.by_strut, end.low, task.stop)


def sure_after_moves(task: Task, extended: Floats, boxes: Boxes) -> Floats:
    """Greatest angle that every layout of a box reaches however its mounts are moved within the
    drilling error, or it is not allowed [n] [rad].

    Moves lengthen a strut by at most 2 delta; all have to reach the least opening.
    """
    end = end_of_travel(task, extended - 2.0 * task.drilling_error, boxes)
    return np.maximum(end.low, task.least_opening) + ROUNDING


def surely_ended_length(task: Task, extended: Floats) -> Floats:
    """Length that a strut so long [m] would reach at the stop, if it ends the travel however its
    mounts are moved within the drilling error [m].

    At one angle, moves change the length in the plane by at most 2 delta.
    """
    flat = np.sqrt(np.maximum(0.0, extended**2 - task.offset**2))
    return np.hypot(flat + 2.0 * task.drilling_error, task.offset)


def _cosine_range(boxes: Boxes, square: Floats, longer: Floats) -> tuple[Floats, Floats]:
    """Least of (a² + b² - q) / (2 a b) over each box with q = longer, and most with q = square [n].

    It is most at a corner and least on an edge, where a² = b² - q.
    """
    (a0, a1), (b0, b1) = boxes.frame.T, boxes.panel.T

    def cosine(a: Floats, b: Floats, q: Floats) -> Floats:
        return np.asarray((a * a + b * b - q) / (2.0 * a * b))

    most = np.max([cosine(a, b, square) for a in (a0, a1) for b in (b0, b1)], axis=0)
    edges = []
    for fixed, (low, high) in ((b0, (a0, a1)), (b1, (a0, a1)), (a0, (b0, b1)), (a1, (b0, b1))):
        lowest = np.clip(np.sqrt(np.maximum(fixed * fixed - longer, 0.0)), low, high)
        edges.append(cosine(lowest, fixed, longer))
    return np.min(edges, axis=0), most


def weight_range(task: Task, end: End) -> tuple[Floats, Floats]:
    """Least and greatest weight moment between both ends [c, n]: a sine leaves its chord by at
    most amplitude · width² / 8."""
    at_low, at_high = task.gravity_moment(end.low), task.gravity_moment(end.high)
    amplitude = np.hypot(task.gravity_cosine, task.gravity_sine)[:, None]
    sag = amplitude * (end.high - end.low) ** 2 / 8.0
    return np.minimum(at_low, at_high) - sag, np.maximum(at_low, at_high) + sag
