"""Drilling error: every rule has to hold with each mount anywhere within delta of its place.

A row's value grows fastest where both mounts are moved along its slopes, by

    delta (|slope along A| + |slope along B|)

to first order. Layouts are judged where their critical rows send them, so the worst is found but
for third order in delta.
"""

import numpy as np
import numpy.typing as npt

from strutkit.decide.search.critical import MILLIMETRE, critical_rows, row_slopes
from strutkit.decide.search.layouts import Layouts, layouts_between
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.rows import FINE

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]


def costs_of(problem: Problem, layouts: Layouts, step: float = FINE) -> Floats:
    """Cost of every wanted rule [m, 9], the worst within the drilling error."""
    placed = problem.judge.costs(layouts, wanted=problem.wanted, step=step)
    delta = problem.judge.task.drilling_error
    fits = np.flatnonzero(~np.isposinf(placed[:, problem.wanted[0]]))
    if delta == 0.0 or not len(fits):
        return placed
    some = layouts.take(fits)
    rows = critical_rows(problem, some, np.tile(problem.limits, (len(some), 1)))
    _, slopes = row_slopes(problem, rows, some)
    frame, panel = some.mounts
    moved = layouts_between(
        some.choice[:, None],
        frame[:, None] + delta * _unit(slopes[:, :, 0] + 1j * slopes[:, :, 1]),
        panel[:, None] + delta * _unit(slopes[:, :, 2] + 1j * slopes[:, :, 3]),
    )
    costs = problem.judge.costs(moved, wanted=problem.wanted, step=step)
    worst = costs.reshape(len(some), -1, costs.shape[1]).max(axis=1)
    placed[fits] = np.maximum(placed[fits], worst)
    return placed


def _unit(direction: Complexes) -> Complexes:
    size = np.abs(direction)
    return np.divide(direction, size, out=np.ones_like(direction), where=size > 0.0)


def row_margins(problem: Problem, slopes: Floats) -> Floats:
    """What the drilling error adds to each row's value, from slopes [m, r, 4] [1/mm] [m, r]."""
    reach = problem.judge.task.drilling_error / MILLIMETRE
    frame = np.hypot(slopes[:, :, 0], slopes[:, :, 1])
    panel = np.hypot(slopes[:, :, 2], slopes[:, :, 3])
    return np.asarray(reach * (frame + panel))
