"""Where the struts of a box end the travel: the angle at which they reach their extended length.

There L = Lext while lengthening, so psi lies in 0...pi, with

    cos(psi) = (r_A² + r_B² + w² - Lext²) / (2 r_A r_B)        E = psi - alpha

The struts fit shut only where |alpha| <= psi, so E is in 0...2 pi.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

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
    square = extended**2 - task.offset**2
    least, most = _cosine_range(boxes, square)
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


def _cosine_range(boxes: Boxes, square: Floats) -> tuple[Floats, Floats]:
    """Range of (a² + b² - q) / (2 a b) over each box [n]: most at a corner, least on an edge."""
    (a0, a1), (b0, b1) = boxes.frame.T, boxes.panel.T

    def cosine(a: Floats, b: Floats) -> Floats:
        return np.asarray((a * a + b * b - square) / (2.0 * a * b))

    corners = [cosine(a, b) for a in (a0, a1) for b in (b0, b1)]
    edges = [cosine(np.clip(np.sqrt(np.maximum(b * b - square, 0.0)), a0, a1), b) for b in (b0, b1)]
    edges += [
        cosine(a, np.clip(np.sqrt(np.maximum(a * a - square, 0.0)), b0, b1)) for a in (a0, a1)
    ]
    return np.min(corners + edges, axis=0), np.max(corners, axis=0)


def weight_range(task: Task, end: End) -> tuple[Floats, Floats]:
    """Least and greatest weight moment between both ends [c, n]: a sine leaves its chord by at
    most amplitude · width² / 8."""
    at_low, at_high = task.gravity_moment(end.low), task.gravity_moment(end.high)
    amplitude = np.hypot(task.gravity_cosine, task.gravity_sine)[:, None]
    sag = amplitude * (end.high - end.low) ** 2 / 8.0
    return np.minimum(at_low, at_high) - sag, np.maximum(at_low, at_high) + sag
