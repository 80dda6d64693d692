"""Mounts on whole millimetres (or another step), at the least cost in the ranked rule.

Turning both mounts together about the hinge line changes no length and no moment, so round numbers
come nearly free: the pair is walked along the angles that both zones allow, all four coordinates
are taken to the steps beside them, and what that does is foreseen from the slopes of the critical
rows. The most promising are judged exactly.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.decide.search.drilling import costs_of
from strutkit.decide.search.layouts import Layouts, layouts_between
from strutkit.decide.search.polish import Standing, in_zones, tightened
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.rows import holds, objective

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]
Indices = npt.NDArray[np.intp]

TURNS = 60
BESIDE = np.array([0.0, 1.0])
NEIGHBOURS = np.array([-2.0, -1.0, 0.0, 1.0, 2.0])
"""Steps tried beside a coordinate: on either side of it, and then round the best."""

JUDGED, MORE_JUDGED = 4, 150
"""How many of the foreseen best are judged, and where none of those holds."""

FINER = (0.5, 0.2, 0.1)
"""Shares of the step that are tried in turn where no whole step holds."""


@dataclass(frozen=True, slots=True)
class Rounded:
    """Layouts with their costs [m], and the step that their mounts lie on [m], 0 where none of
    those tried holds the rules and they are left as they are."""

    layouts: Layouts
    costs: Floats
    step: Floats


def rounded(problem: Problem, layouts: Layouts, tape_origin: complex, step: float) -> Rounded:
    """Each layout on whole steps of the tape, with the least cost found."""
    standing = Standing(problem, layouts, np.tile(problem.limits, (len(layouts), 1)))
    grid = _Grid(problem, standing, layouts, tape_origin)
    every = np.arange(len(layouts))
    best = grid.best(every, [grid.near_turns(one, step) for one in every.tolist()], JUDGED)
    found = np.flatnonzero(np.isfinite(best.costs))
    better = grid.best(found, [grid.round_about(best, one, step) for one in found.tolist()], JUDGED)
    best = best.with_better(found, better)
    steps = np.where(np.isfinite(best.costs), step, 0.0)
    for share, most in ((1.0, MORE_JUDGED), *((one, MORE_JUDGED) for one in FINER)):
        left = np.flatnonzero(np.isinf(best.costs))
        if not len(left):
            break
        tries = [grid.near_turns(one, share * step) for one in left.tolist()]
        best = best.with_better(left, grid.best(left, tries, most))
        steps[left] = np.where(np.isfinite(best.costs[left]), share * step, 0.0)
    left = np.flatnonzero(np.isinf(best.costs))
    costs = costs_of(problem, layouts.take(left))
    frame, panel = layouts.mounts
    as_they_are = _Mounts(frame[left], panel[left], objective(costs, problem.ranking))
    best = best.with_better(left, as_they_are)
    return Rounded(layouts_between(layouts.choice, best.frame, best.panel), best.costs, steps)


@dataclass(frozen=True, slots=True)
class _Mounts:
    """Frame and panel mounts in the plane, and their costs, inf where rules fail [m]."""

    frame: Complexes
    panel: Complexes
    costs: Floats

    def with_better(self, rows: Indices, others: "_Mounts") -> "_Mounts":
        """These, with the better of both at some rows."""
        frame, panel, costs = self.frame.copy(), self.panel.copy(), self.costs.copy()
        gains = others.costs < costs[rows]
        for mine, theirs in ((frame, others.frame), (panel, others.panel), (costs, others.costs)):
            mine[rows[gains]] = theirs[gains]
        return _Mounts(frame, panel, costs)


Tries = tuple[Complexes, Complexes]


class _Grid:
    """Mounts on whole steps, tried for layouts whose critical rows and slopes are known."""

    def __init__(
        self, problem: Problem, standing: Standing, layouts: Layouts, tape_origin: complex
    ) -> None:
        self.problem, self.standing, self.layouts = problem, standing, layouts
        self.tape_origin, self.allowed = tape_origin, problem.reach.turns(layouts)

    def near_turns(self, number: int, step: float) -> Tries:
        """Pairs on steps beside the layout, turned to all that both zones allow."""
        turns = self._turns(number)
        frame = self.layouts.radius_frame[number] * np.exp(1j * turns)
        panel = self.layouts.radius_panel[number] * np.exp(
            1j * (turns + self.layouts.phase[number])
        )
        return self._on_steps(frame, panel, step, BESIDE, np.floor)

    def round_about(self, best: _Mounts, number: int, step: float) -> Tries:
        """Pairs up to two steps from one that holds, in every coordinate."""
        frame, panel = best.frame[[number]], best.panel[[number]]
        return self._on_steps(frame, panel, step, NEIGHBOURS, np.round)

    def _on_steps(
        self,
        frame: Complexes,
        panel: Complexes,
        step: float,
        beside: Floats,
        base: Callable[[Floats], Floats],
    ) -> Tries:
        frame, panel = frame + self.tape_origin, panel + self.tape_origin
        ways = np.stack(np.meshgrid(*[beside] * 4), axis=-1).reshape(-1, 4)
        place = np.stack([frame.real, frame.imag, panel.real, panel.imag], axis=1)
        place = np.round((base(place / step)[:, None] + ways).reshape(-1, 4) * step, 12)
        frame = place[:, 0] + 1j * place[:, 1] - self.tape_origin
        panel = place[:, 2] + 1j * place[:, 3] - self.tape_origin
        held = in_zones(self.problem, layouts_between(0, frame, panel))
        return frame[held], panel[held]

    def _turns(self, number: int) -> Floats:
        """Angles of the frame mount to try, and its own."""
        allowed = self.allowed[number]
        low, high = allowed[allowed[:, 0] <= allowed[:, 1]].T
        count = max(2, TURNS // max(1, len(low)))
        spread = low + np.linspace(0.0, 1.0, count)[:, None] * (high - low)
        return np.append(spread.ravel(), self.layouts.turn[number])

    def best(self, numbers: Indices, tries: list[Tries], most: int) -> _Mounts:
        """The best that holds the rules of each layout's tries, the `most` foreseen best judged."""
        picked = [
            self._foreseen_best(number, *some, most)
            for number, some in zip(numbers, tries, strict=True)
        ]
        none = np.zeros(0, dtype=complex)
        frame = np.concatenate([none, *(one[0] for one in picked)])
        panel = np.concatenate([none, *(one[1] for one in picked)])
        owner = np.repeat(np.arange(len(numbers)), [len(one[0]) for one in picked])
        some = layouts_between(self.layouts.choice[numbers[owner]], frame, panel)
        costs = costs_of(self.problem, some)
        limits = self.problem.limits
        held = holds(costs, np.where(limits == 0.0, 0.0, tightened(limits)))
        cost = np.where(held, objective(costs, self.problem.ranking), np.inf)
        order = np.lexsort((cost, owner))
        first = order[np.unique(owner[order], return_index=True)[1]]
        best = _Mounts(
            np.zeros(len(numbers), dtype=complex),
            np.zeros(len(numbers), dtype=complex),
            np.full(len(numbers), np.inf),
        )
        return best.with_better(owner[first], _Mounts(frame[first], panel[first], cost[first]))

    def _foreseen_best(self, number: int, frame: Complexes, panel: Complexes, most: int) -> Tries:
        """The pairs of least t + p v by the slopes of the critical rows.

        Only radii and phase count, so each pair is turned back to where the slopes were taken.
        """
        turned = np.exp(1j * (self.layouts.turn[number] - np.angle(frame)))
        back, forth = frame * turned, panel * turned
        places = np.stack([back.real, back.imag, forth.real, forth.imag], axis=1)
        order = np.argsort(self.standing.foreseen(number, places), kind="stable")[:most]
        return frame[order], panel[order]
