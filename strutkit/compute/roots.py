"""Roots and peaks of curves over the travel, many curves at once.

Curves are given as a function of rows and angles: `curve(rows, angle[rows, m]) -> [rows, m]`.
"""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Indices = npt.NDArray[np.intp]
Curve = Callable[[Indices, Floats], Floats]

STEPS = 60
PEAK_ROUNDS = 3
PEAK_POINTS = 65
APART = 1e-6
"""Nodes nearer to each other than this are one, as two dead centres may be [rad]."""


def find_roots(curve: Curve, nodes: Floats, values: Floats) -> list[Floats]:
    """Sign changes of each curve strictly inside its nodes, sorted, one array a row.

    nodes [r, n] ascending, values [r, n] the curve at the nodes. A curve that dips through zero
    and back between two nodes is found where a parabola through three nodes shows it; a touching
    root is none.
    """
    nodes, values = _with_dips(curve, nodes, values)
    row, left = np.nonzero(np.sign(values[:, :-1]) * np.sign(values[:, 1:]) < 0)
    low, high = ((nodes[row, place], values[row, place]) for place in (left, left + 1))
    crossing = _bracketed(curve, row, low, high)
    zero_row, zero = np.nonzero(values[:, 1:-1] == 0.0)
    through = values[zero_row, zero] * values[zero_row, zero + 2] < 0
    row = np.concatenate([row, zero_row[through]])
    crossing = np.concatenate([crossing, nodes[zero_row, zero + 1][through]])
    return [np.sort(crossing[row == one]) for one in range(len(nodes))]


def _bracketed(
    curve: Curve, row: Indices, low: tuple[Floats, Floats], high: tuple[Floats, Floats]
) -> Floats:
    """Root in each bracket by the secant that keeps its bracket (Illinois), to rounding.

    low, high: angles of the two ends and the curve there.
    """
    if not len(row):
        return np.zeros(0)
    (other, at_other), (root, at_root) = low, high
    for _ in range(STEPS):
        following = root - at_root * (root - other) / (at_root - at_other)
        value = curve(row, following[:, None])[:, 0]
        crossed = value * at_root < 0.0
        other = np.where(crossed, root, other)
        at_other = np.where(crossed, at_root, 0.5 * at_other)
        step = np.abs(following - root)
        root, at_root = following, value
        if np.all((step <= 1e-15) | (value == 0.0)):
            break
    return root


def _with_dips(curve: Curve, nodes: Floats, values: Floats) -> tuple[Floats, Floats]:
    """Nodes moved to the bottom of a dip where a parabola says that it may cross zero."""
    before, here, after = values[:, :-2], values[:, 1:-1], values[:, 2:]
    size = np.abs(here)
    same = (np.sign(before) == np.sign(here)) & (np.sign(here) == np.sign(after))
    lowest = same & (size <= np.abs(before)) & (size <= np.abs(after))
    bend = np.maximum(np.abs(before), np.abs(after)) - size
    row, column = np.nonzero(lowest & (size <= bend))
    if not len(row):
        return nodes, values
    sign = -np.sign(here[row, column])
    angle, value = refine_peaks(
        lambda rows, angles: sign[rows][:, None] * curve(row[rows], angles),
        nodes[row, column],
        nodes[row, column + 2],
    )
    nodes, values = nodes.copy(), values.copy()
    crosses = value > 0.0
    nodes[row[crosses], column[crosses] + 1] = angle[crosses]
    values[row[crosses], column[crosses] + 1] = (sign * value)[crosses]
    return nodes, values


def refine_peaks(curve: Curve, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Greatest value of each curve between low and high [r], by closing in on the best point.

    Gives angle and value [r]; ties go to the smallest angle. Each round keeps the two intervals
    beside the best of 65 points, so the angle is found to (high - low) / 32 768 and a smooth
    peak to the square of that.
    """
    rows = np.arange(len(low))
    share = np.linspace(0.0, 1.0, PEAK_POINTS)
    for _ in range(PEAK_ROUNDS):
        angle = low[:, None] + (high - low)[:, None] * share
        value = curve(rows, angle)
        best = value.argmax(axis=1)
        low = angle[rows, np.maximum(best - 1, 0)]
        high = angle[rows, np.minimum(best + 1, PEAK_POINTS - 1)]
    return angle[rows, best], value[rows, best]


def beside(nodes: Floats, angle: Floats) -> tuple[Floats, Floats]:
    """The next node below each angle and the next above it [r]; the outermost where there is none.

    nodes [n] or [r, n], ascending, angle [r]. A node within `APART` of the angle is no next one:
    a peak beyond it would be missed.
    """
    here = angle[:, None]
    low = np.where(nodes < here - APART, nodes, nodes[..., :1]).max(axis=1)
    high = np.where(nodes > here + APART, nodes, nodes[..., -1:]).min(axis=1)
    return low, high


def find_peaks(curve: Curve, nodes: Floats, values: Floats) -> tuple[Floats, Floats]:
    """Angle and value of the greatest value of each curve over its nodes' range [r].

    nodes, values [r, n]. Refined beyond the nodes on both sides of the best one; a value that
    the nodes reach exactly is kept at its smallest angle.
    """
    rows = np.arange(len(nodes))
    best = values.argmax(axis=1)
    angle, value = refine_peaks(curve, *beside(nodes, nodes[rows, best]))
    at_node = values[rows, best]
    better = value > at_node
    return np.where(better, angle, nodes[rows, best]), np.where(better, value, at_node)
