"""Drilling error: every rule has to hold with each mount anywhere within delta of its place.

A row's value grows fastest where both mounts are moved along its slopes, by

    delta (|slope along A| + |slope along B|)

to first order. Layouts are judged where their critical rows send them, so the worst is found but
for third order in delta. Rows that by this come to clearly less than another of their rule, or stay
clearly within their limit, send them nowhere.
"""

import numpy as np
import numpy.typing as npt

from strutkit.decide.search import task as names
from strutkit.decide.search.critical import MILLIMETRE, Rows, critical_rows, row_slopes
from strutkit.decide.search.layouts import Layouts, layouts_between
from strutkit.decide.search.moved import unit
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.rows import FINE
from strutkit.decide.search.travel import least_left

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

NEAR = 0.2
"""Share of a row's margin by which it may come to more than is foreseen."""


def costs_of(problem: Problem, layouts: Layouts, step: float = FINE) -> Floats:
    """Cost of every wanted rule [m, 9], the worst within the drilling error."""
    placed = problem.judge.costs(layouts, wanted=problem.wanted, step=step)
    delta = problem.judge.task.drilling_error
    fits = np.flatnonzero(~np.isposinf(placed[:, problem.wanted[0]]))
    if delta == 0.0 or not len(fits):
        return placed
    some = layouts.take(fits)
    rows = critical_rows(problem, some, np.tile(problem.limits, (len(some), 1)))
    rows, slopes = row_slopes(problem, rows, some)
    layout, row = np.nonzero(_deciding(rows, row_margins(problem, slopes)))
    frame, panel = some.mounts
    slope = slopes[layout, row]
    moved = layouts_between(
        some.choice[layout],
        frame[layout] + delta * unit(slope[:, 0] + 1j * slope[:, 1]),
        panel[layout] + delta * unit(slope[:, 2] + 1j * slope[:, 3]),
    )
    costs = problem.judge.costs(moved, wanted=problem.wanted, step=step)
    np.maximum.at(placed, fits[layout], costs)
    if names.EXTENDED in problem.wanted:
        left = least_left(problem.judge, some)
        placed[fits, names.EXTENDED] = np.maximum(placed[fits, names.EXTENDED], -left)
    return placed


def _deciding(rows: Rows, margins: Floats) -> Flags:
    """Rows that may be the worst of their rule, with their margins of the drilling error [m, r]."""
    foreseen = rows.value + margins
    deciding = rows.ranked | (foreseen + NEAR * margins > 0.0)
    for rule in np.unique(rows.rule):
        for ranked in (False, True):
            own = (rows.rule == rule) & (rows.ranked == ranked)
            worst = np.where(own, foreseen, -np.inf).max(axis=1, keepdims=True)
            deciding &= ~own | (foreseen + NEAR * margins >= worst)
    return np.asarray(deciding)


def row_margins(problem: Problem, slopes: Floats) -> Floats:
    """What the drilling error adds to each row's value, from slopes [m, r, 4] [1/mm] [m, r]."""
    reach = problem.judge.task.drilling_error / MILLIMETRE
    frame = np.hypot(slopes[:, :, 0], slopes[:, :, 1])
    panel = np.hypot(slopes[:, :, 2], slopes[:, :, 3])
    return np.asarray(reach * (frame + panel))
