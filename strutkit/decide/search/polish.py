"""Layouts moved to the best place near them, many at once.

Unknowns of a layout are the moves d of both mounts in the plane [mm], the ranked cost t and what
is missing to hold all limits, v. At the present place the critical rows (`critical`) are taken as
straight, and each layout solves

    least of  t + p v + (rho/2) |d|²      with  value + slope · d <= t   for ranked rows
                                                 value + slope · d <= v   for limited rows
                                                 both mounts inside their zones,  v >= 0

(costs in units of the present one). A step that makes t + p v smaller is taken and rho, which
holds the step back, made smaller; else rho is made greater. The least is found as a least-distance
problem by non-negative least squares: Lawson and Hanson, Solving Least Squares Problems (1974),
chapter 23 (from memory).
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt

from strutkit.decide.search import task as names
from strutkit.decide.search.critical import (
    MILLIMETRE,
    UNITS,
    Rows,
    critical_rows,
    row_slopes,
)
from strutkit.decide.search.drilling import costs_of, row_margins
from strutkit.decide.search.layouts import Layouts, layouts_between
from strutkit.decide.search.nodes import slimmed
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.rows import holds, objective
from strutkit.decide.search.zones import ZoneShape, margin

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]

STEPS, LAST_STEPS = 8, 40
"""Most steps while boxes are searched, and for the layouts that are given out."""

NEARLY = 1.0
"""Layouts beyond a limit by less than so many units of their rows are walked once more."""

MISSING_PRICES = (10.0, 300.0, 10_000.0)
"""Price of what is missing, by round: more than any limit is worth to the ranked cost."""

CLEARLY_UP = (1e-6, 1e-3, 1e-2)
"""How far M - Mf has to be over zero for the lift-off, by round [N at the handle]."""

FIRST_RHO, LEAST_RHO, MOST_RHO = 1e-3, 1e-6, 1e3
HOLD = 1e-3
"""Curvature given to t and v, so that the problem has one answer."""

INSIDE = 1e-9
"""Mounts stay this far inside the outline of their zone [m]."""

KEEP_OFF = 1e-7
"""Limits are kept with this margin, as a share of them, so that rounding turns no verdict."""


def polished(problem: Problem, start: Layouts, steps: int = STEPS) -> tuple[Layouts, Floats]:
    """The best layout near each start that holds all limits, and its cost [m], inf if none holds.

    The starts have to lie in both zones, and need not hold the limits. Layouts that end a little
    beyond a limit are walked again, at a higher price on what is missing and with the limit
    asked tighter by what was missing.
    """
    slim = slimmed(problem, np.unique(start.choice))
    asked = np.tile(tightened(problem.limits), (len(start), 1))
    best, best_cost = start, np.full(len(start), np.inf)
    index, layouts = np.arange(len(start)), start
    for price, clearly_up in zip(MISSING_PRICES, CLEARLY_UP, strict=True):
        standing = Standing(slim, layouts, asked[index], price, clearly_up)
        layouts, missing = _walked(standing, steps)
        costs, own_cost = judged(problem, layouts)
        cost = np.full(len(start), np.inf)
        cost[index] = own_cost
        best, best_cost = _better(best, best_cost, _placed(best, index, layouts), cost)
        near = np.isinf(own_cost) & (missing < NEARLY)
        if not near.any():
            break
        limited = np.isfinite(problem.limits)
        limited[names.LIFT_OFF] = False
        over = np.where(limited, costs - np.where(limited, problem.limits, 0.0), 0.0)[near]
        over = np.where(over < 0.1 * UNITS, np.maximum(over, 0.0), 0.0)
        index, layouts = index[near], layouts.take(near)
        asked[index] -= 2.0 * over
    left = np.flatnonzero(np.isinf(best_cost))
    best_cost[left] = judged(problem, start.take(left))[1]
    return best, best_cost


def _placed(layouts: Layouts, index: Indices, some: Layouts) -> Layouts:
    """Layouts with some of them replaced."""
    parts = []
    for name in ("radius_frame", "radius_panel", "phase", "turn"):
        array = getattr(layouts, name).copy()
        array[index] = getattr(some, name)
        parts.append(array)
    return Layouts(layouts.choice, *parts)


def tightened(limits: Floats) -> Floats:
    """Limits with the margin that polish keeps from them."""
    finite = np.where(np.isfinite(limits), limits, 0.0)
    return np.asarray(limits - KEEP_OFF * np.maximum(np.abs(finite), 1e-3))


def judged(problem: Problem, layouts: Layouts) -> tuple[Floats, Floats]:
    """Costs of layouts [m, 9], and the ranked one, inf where they leave a limit or a zone [m]."""
    costs = costs_of(problem, layouts)
    held = holds(costs, problem.limits) & in_zones(problem, layouts)
    return costs, np.where(held, objective(costs, problem.ranking), np.inf)


def in_zones(problem: Problem, layouts: Layouts) -> Flags:
    """Whether both mounts lie in their zones, the outline counted in [m]."""
    frame, panel = layouts.mounts
    return in_zone(problem.reach.frame, frame) & in_zone(problem.reach.panel, panel)


def in_zone(shape: ZoneShape, places: Complexes) -> Flags:
    """Whether places [m] lie in a zone, its outline counted in."""
    if not shape.convex:
        return np.asarray(margin(shape.corners, places) >= -INSIDE)
    into = shape.inward
    depth = (places[:, None] * into.conj()).real - (shape.corners * into.conj()).real
    return np.asarray((depth >= -INSIDE).all(axis=1))


def _better(
    first: Layouts, first_cost: Floats, second: Layouts, second_cost: Floats
) -> tuple[Layouts, Floats]:
    """Of two lists of layouts the better one in each place."""
    gains = second_cost < first_cost
    merged = Layouts(
        first.choice,
        np.where(gains, second.radius_frame, first.radius_frame),
        np.where(gains, second.radius_panel, first.radius_panel),
        np.where(gains, second.phase, first.phase),
        np.where(gains, second.turn, first.turn),
    )
    return merged, np.minimum(first_cost, second_cost)


class Standing:
    """Where m layouts stand: places of both mounts [m, 4] [mm], their critical rows with slopes
    [m, r, 4] a millimetre, and worth, t + p v; each with its own rho."""

    def __init__(
        self,
        problem: Problem,
        start: Layouts,
        limits: Floats,
        price: float = MISSING_PRICES[0],
        clearly_up: float = CLEARLY_UP[0],
    ) -> None:
        self.problem, self.limits, self.choice = problem, limits, start.choice
        self.price, self.clearly_up = price, clearly_up
        frame, panel = start.mounts
        self.places = (
            np.stack([frame.real, frame.imag, panel.real, panel.imag], axis=1) / MILLIMETRE
        )
        self.rho = np.full(len(start), FIRST_RHO)
        self.resting = np.zeros(len(start), dtype=bool)
        self.rows, self.slope = self.critical(self.places, np.arange(len(start)))
        self.size = self.sizes(self.rows)
        self.worth = self.merit(self.rows, self.size)

    def layouts(self, places: Floats, index: Indices) -> Layouts:
        z = places * MILLIMETRE
        return layouts_between(self.choice[index], z[:, 0] + 1j * z[:, 1], z[:, 2] + 1j * z[:, 3])

    def critical(self, places: Floats, index: Indices) -> tuple[Rows, Floats]:
        """Critical rows at places [n, 4] [mm], the drilling error counted in, and their slopes."""
        layouts = self.layouts(places, index)
        rows = critical_rows(self.problem, layouts, self.limits[index], self.clearly_up)
        rows, slopes = row_slopes(self.problem, rows, layouts)
        if self.problem.judge.task.drilling_error > 0.0:
            rows = replace(rows, value=rows.value + row_margins(self.problem, slopes))
        return rows, slopes

    def sizes(self, rows: Rows) -> Floats:
        """Unit of the ranked cost [m]."""
        cost = np.where(rows.ranked, rows.value, -np.inf).max(axis=1)
        return np.maximum(np.abs(np.where(np.isfinite(cost), cost, 0.0)), self.problem.scale)

    def merit(self, rows: Rows, size: Floats) -> Floats:
        """t + p v at the layouts themselves [m]."""
        cost = np.where(rows.ranked, rows.value, -np.inf).max(axis=1) / size
        return np.asarray(cost + self.price * self.missing(rows))

    def missing(self, rows: Rows) -> Floats:
        """v at the layouts themselves [m]."""
        over = np.where(rows.ranked, 0.0, rows.value / UNITS[rows.rule]).max(axis=1)
        return np.asarray(np.maximum(over, 0.0))

    def foreseen(self, number: int, places: Floats) -> Floats:
        """t + p v of one layout at other places [n, 4] [m], rows taken as straight [n]."""
        moves = places / MILLIMETRE - self.places[number]
        rows = self.rows.take(np.array([number]))
        value = rows.value + moves @ self.slope[number].T
        ranked = rows.ranked[0]
        cost = np.where(ranked, value / self.size[number], -np.inf).max(axis=1)
        over = np.where(ranked, 0.0, value / UNITS[rows.rule]).max(axis=1)
        return np.asarray(cost + self.price * np.maximum(over, 0.0))


def _walked(standing: Standing, steps: int) -> tuple[Layouts, Floats]:
    """Layouts after so many steps toward the best place under their limits, and what is missing
    there [m]."""
    for _ in range(steps):
        index = np.flatnonzero(~standing.resting)
        if not len(index):
            break
        moved = standing.places[index] + _moves(standing, index)
        rows, slopes = standing.critical(moved, index)
        former, merit = standing.worth[index], standing.merit(rows, standing.size[index])
        gain = np.subtract(former, merit, out=np.zeros_like(merit), where=former != merit)
        taken = gain > 1e-10
        step = np.abs(moved - standing.places[index]).max(axis=1)
        standing.rho[index] = np.clip(
            standing.rho[index] * np.where(taken, 0.2, 8.0), LEAST_RHO, MOST_RHO
        )
        standing.resting[index] = np.where(taken, gain < 1e-6, step < 1e-2)
        here = np.flatnonzero(taken)
        _take_steps(standing, index[here], moved[here], rows.take(here), slopes[here])
    layouts = standing.layouts(standing.places, np.arange(len(standing.places)))
    return layouts, standing.missing(standing.rows)


def _take_steps(
    standing: Standing, index: Indices, places: Floats, rows: Rows, slopes: Floats
) -> None:
    if not len(index):
        return
    standing.places[index] = places
    standing.size[index] = standing.sizes(rows)
    standing.worth[index] = standing.merit(rows, standing.size[index])
    standing.slope[index] = slopes
    for name in ("rule", "condition", "fixed", "share", "limit", "value"):
        array = getattr(standing.rows, name).copy()
        array[index] = getattr(rows, name)
        standing.rows = replace(standing.rows, **{name: array})


def _moves(standing: Standing, index: Indices) -> Floats:
    """The move of each layout's mounts [mm] that solves its straight problem [m, 4]."""
    from scipy.optimize import nnls

    rows = standing.rows.take(index)
    unit = np.where(rows.ranked, standing.size[index, None], UNITS[rows.rule])
    value, slope = rows.value / unit, standing.slope[index] / unit[:, :, None]
    frame_sides, frame_room = _half_planes(standing.problem.reach.frame, standing.places[index, :2])
    panel_sides, panel_room = _half_planes(standing.problem.reach.panel, standing.places[index, 2:])
    edges, count = len(frame_sides) + len(panel_sides), value.shape[1]
    moves = np.zeros((len(index), 4))
    for number in range(len(index)):
        # unknowns: four moves, t beyond the present one, v; each row as sides @ unknowns >= bounds
        sides = np.zeros((count + edges + 1, 6))
        ranked = rows.ranked[number]
        sides[:count, :4] = -slope[number]
        sides[:count, 4], sides[:count, 5] = ranked, ~ranked
        sides[count : count + len(frame_sides), :2] = frame_sides
        sides[count + len(frame_sides) : -1, 2:4] = panel_sides
        sides[-1, 5] = 1.0
        present = float(value[number, ranked].max()) if ranked.any() else 0.0
        bounds = np.concatenate(
            [value[number] - present * ranked, -frame_room[number], -panel_room[number], [0.0]]
        )
        curve = np.array([*[standing.rho[index[number]]] * 4, HOLD, HOLD])
        price = np.array([0.0, 0.0, 0.0, 0.0, 1.0, standing.price])
        moves[number] = _least_distance(sides, bounds, curve, price, nnls)[:4]
    return moves


def _least_distance(
    sides: Floats, bounds: Floats, curve: Floats, price: Floats, nnls: Callable[..., Any]
) -> Floats:
    """The x of least x·C·x/2 + price · x with sides @ x >= bounds, C the diagonal `curve`.

    With y = sqrt(C) x + price / sqrt(C) it is the y of least length in a cone, the residual of a
    non-negative least-squares problem.
    """
    root = np.sqrt(curve)
    straight = sides / root
    far = bounds + straight @ (price / root)
    target = np.zeros(len(curve) + 1)
    target[-1] = 1.0
    weights, _ = nnls(np.vstack([straight.T, far]), target)
    residual = np.append(straight.T @ weights, far @ weights) - target
    if residual[-1] > -1e-12:
        return np.zeros(len(curve))
    return np.asarray((residual[:-1] / -residual[-1] - price / root) / root)


def _half_planes(shape: ZoneShape, places: Floats) -> tuple[Floats, Floats]:
    """Directions [v, 2] into the zone across each edge, and the room of places [m, 2] [m, v] [mm].

    Of a zone that is not convex, edges whose line a place lies beyond do not bound it.
    """
    z = (places[:, 0] + 1j * places[:, 1]) * MILLIMETRE
    into = shape.inward
    room = ((z[:, None] - shape.corners) * into.conj()).real - INSIDE
    if not shape.convex:
        room = np.where(room < -10.0 * INSIDE, 1e3, room)
    return np.stack([into.real, into.imag], axis=1), room / MILLIMETRE
