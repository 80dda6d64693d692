"""Branch and bound: boxes are bounded, judged at their centres and halved until none is left.

A box is dropped when a rule's least cost over it exceeds its limit, or when the least cost of the
ranked rule is no better than what is asked of its choice (`goals`). So an empty list proves that
no layout beats

    the best of all choices by more than eps, or the best of its own choice by more than `coarse`

and a choice without a layout has none at all. Whole levels are handled as arrays; a level that
grows too long is worked off in parts, depth first. Stopped early, the least cost among the boxes
left is the honest bound.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.decide.search import task as names
from strutkit.decide.search.bounds import Nodes, bounded, make_nodes
from strutkit.decide.search.hinge import hinge_bounded
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.ranges import Boxes, joined
from strutkit.decide.search.reach import halved
from strutkit.decide.search.rows import COARSE, Layouts, holds, objective

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]

NODE_STEPS = tuple(np.radians([12.0, 8.0, 5.0, 3.0, 2.0, 1.0, 0.5]))
"""Distance of the angles asked, level by level; the last one goes on."""

MOST_CENTRES = 600
CENTRES_EACH = 6
LEVEL_PART = 200_000
BOX_PART = 4_000
MOST_BOXES = 5_000_000
SIZES = np.array([10.0, 10.0, 0.2, 0.1, 10.0, 10.0, 0.005, 0.005, 50.0])
"""Least size of each limit when an excess is taken as a share of it."""

LEAST_SIDE = 1e-6
"""Boxes with no side over this [m] are not halved: they are left as undecided."""

Polish = Callable[[Layouts], tuple[Layouts, Floats]]
Progress = Callable[[float, float, float], object]


@dataclass(slots=True)
class Best:
    """The best layout of each choice so far, its cost [p], inf where none is known."""

    layouts: Layouts
    costs: Floats

    @staticmethod
    def none(count: int) -> "Best":
        """Nothing known yet."""
        empty = np.full(count, np.nan)
        rows = np.arange(count)
        layouts = Layouts(rows, empty, empty.copy(), empty.copy(), empty.copy())
        return Best(layouts, np.full(count, np.inf))

    def take(self, layouts: Layouts, costs: Floats) -> None:
        """Keep each layout that is the best of its choice; every choice at most once."""
        better = costs < self.costs[layouts.choice]
        rows = layouts.choice[better]
        self.costs[rows] = costs[better]
        for name in ("radius_frame", "radius_panel", "phase", "turn"):
            getattr(self.layouts, name)[rows] = getattr(layouts, name)[better]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of it: the best of each choice, the cost that no layout is under, whether the
    list of boxes was emptied, and how many boxes were looked at."""

    best: Best
    bound: float
    finished: bool
    boxes: int


class Clock:
    """When to stop, and whom to tell how far it is."""

    def __init__(self, time_limit: float | None, progress: Progress | None) -> None:
        self.start = time.perf_counter()
        self.time_limit, self.progress = time_limit, progress
        self.stopped = False
        self.told = 0.0

    def running(self, share: float, bound: float, best: float) -> bool:
        """Tell the share done, bound and best; whether to go on."""
        self.told = max(self.told, share)
        if self.progress is not None and self.progress(self.told, bound, best) is False:
            self.stopped = True
        if self.time_limit is not None and self.seconds > self.time_limit:
            self.stopped = True
        return not self.stopped

    @property
    def seconds(self) -> float:
        """Time since the start [s]."""
        return time.perf_counter() - self.start


class Branching:
    """One run of branch and bound."""

    def __init__(self, problem: Problem, polish: Polish, clock: Clock) -> None:
        self.problem, self.polish, self.clock = problem, polish, clock
        self.best = Best.none(len(problem.judge.choices))
        self.boxes = 0
        self.dropped = np.inf

    def run(self, start: Boxes) -> Outcome:
        """Work off the boxes; `start` has to cover all layouts."""
        stack: list[tuple[int, Boxes]] = [(0, start)]
        left: list[Boxes] = []
        while stack:
            level, boxes = stack.pop()
            if len(boxes) > LEVEL_PART:
                stack.append((level, boxes.take(slice(LEVEL_PART, None))))
                boxes = boxes.take(slice(0, LEVEL_PART))
            if not self._go_on(level, [*left, boxes, *(one for _, one in stack)]):
                left += [boxes, *(one for _, one in stack)]
                break
            kept = self._level(level, boxes)
            small = _smallest(kept)
            if small.any():
                left.append(kept.take(small))
                kept = kept.take(~small)
            if len(kept):
                stack.append((level + 1, halved(kept)))
        return self._outcome([one for one in left if len(one)])

    def _go_on(self, level: int, boxes: list[Boxes]) -> bool:
        best = float(self.best.costs.min(initial=np.inf))
        open_cost = min((float(one.cost.min()) for one in boxes if len(one)), default=np.inf)
        share = min(0.99, level / 14.0)
        bound = min(best, self.dropped, open_cost)
        return self.clock.running(share, bound, best) and self.boxes < MOST_BOXES

    def _outcome(self, left: list[Boxes]) -> Outcome:
        self._drop_beaten(left)
        remaining = [one.take(one.cost < self.goals()[one.choice]) for one in left]
        open_cost = min((float(one.cost.min()) for one in remaining if len(one)), default=np.inf)
        best = float(self.best.costs.min(initial=np.inf))
        finished = not any(len(one) for one in remaining)
        return Outcome(self.best, min(best, self.dropped, open_cost), finished, self.boxes)

    def _drop_beaten(self, left: list[Boxes]) -> None:
        for one in left:
            beaten = one.cost >= self.goals()[one.choice]
            self.dropped = min(self.dropped, float(one.cost[beaten].min(initial=np.inf)))

    def goals(self) -> Floats:
        """The cost under which a layout of each choice still matters [p]."""
        problem, costs = self.problem, self.best.costs
        best = problem.better(costs.min(initial=np.inf), problem.eps)
        if problem.coarse is None:
            return np.full(len(costs), float(best))
        return np.maximum(problem.better(costs, problem.coarse), best)

    def _level(self, level: int, boxes: Boxes) -> Boxes:
        """Bound all boxes, judge centres; what is left."""
        problem = self.problem
        step = NODE_STEPS[min(level, len(NODE_STEPS) - 1)]
        alive = np.unique(boxes.choice)
        asked = self._asked_angles()
        nodes = make_nodes(problem.judge.task, problem.judge.choices, alive, step, asked)
        kept = []
        for first in range(0, len(boxes), BOX_PART):
            part = problem.reach.cut(boxes.take(slice(first, first + BOX_PART)))
            self.boxes += len(part)
            kept.append(self._surviving(part, nodes))
        boxes = joined(kept)
        self._judge_centres(boxes)
        return boxes.take(boxes.cost < self.goals()[boxes.choice])

    def _asked_angles(self) -> Floats:
        """Angles at which a limit begins to be asked: they have to be nodes."""
        task, lift_off = self.problem.judge.task, self.problem.limits[names.LIFT_OFF]
        span = max(0.0, task.stop - task.reserve_span)
        return np.array([span, *([lift_off] if lift_off < task.stop else [])])

    def _surviving(self, boxes: Boxes, nodes: Nodes) -> Boxes:
        """The boxes that may hold something better than the goals of their choices."""
        problem, goals = self.problem, self.goals()
        allowed = np.tile(problem.limits, (len(boxes), 1))
        for rule in problem.ranking:
            allowed[:, rule] = np.minimum(allowed[:, rule], goals[boxes.choice])
            if rule == names.LIFT_OFF:
                allowed[:, rule] = np.minimum(allowed[:, rule], problem.judge.task.stop)
        kept = bounded(
            problem.judge.task, problem.judge.choices, boxes, nodes, allowed, problem.ranking
        )
        if names.HINGE in problem.wanted:
            kept = problem.reach.cut_turns(kept)
            ranked = names.HINGE in problem.ranking
            most = np.minimum(problem.limits[names.HINGE], goals[kept.choice] if ranked else np.inf)
            most = np.broadcast_to(most, (len(kept),))
            kept = hinge_bounded(
                problem.judge.task, problem.judge.choices, kept, nodes.angle, most, ranked
            )
        if len(kept) < len(boxes):
            self.dropped = min(self.dropped, float(goals.min()))
        return kept.take(kept.cost < goals[kept.choice])

    def _judge_centres(self, boxes: Boxes) -> None:
        """Judge the most promising centres, and polish the best one of each choice."""
        problem = self.problem
        boxes = boxes.take(_promising(boxes))
        if not len(boxes):
            return
        layouts, _ = problem.reach.centres(boxes)
        costs = problem.judge.costs(layouts, wanted=problem.wanted, step=COARSE)
        cost, excess = objective(costs, problem.ranking), excesses(costs, problem.limits)
        order = np.lexsort((np.where(excess > 0.0, excess, cost), excess > 0.0, layouts.choice))
        lead = order[np.unique(layouts.choice[order], return_index=True)[1]]
        if len(lead):
            self.best.take(*self.polish(layouts.take(lead)))


def excesses(costs: Floats, limits: Floats) -> Floats:
    """How far a layout is beyond its limits, as the worst share of them [m]; 0 where it holds."""
    held, asked = holds(costs, limits), np.isfinite(limits)
    limits = np.where(asked, limits, 0.0)
    over = np.where(asked, costs - limits, -np.inf) / np.maximum(np.abs(limits), SIZES)
    return np.where(held, 0.0, np.maximum(over.max(axis=1), 1e-12))


def _promising(boxes: Boxes) -> Indices:
    """Rows of the boxes of least cost, a few of each choice, the best in all."""
    order = np.lexsort((boxes.cost, boxes.choice))
    choice = boxes.choice[order]
    first = np.searchsorted(choice, choice)
    few = order[np.arange(len(order)) - first < CENTRES_EACH]
    return few[np.argsort(boxes.cost[few], kind="stable")[:MOST_CENTRES]]


def _smallest(boxes: Boxes) -> Flags:
    return np.asarray(
        (np.ptp(boxes.frame, axis=1) < LEAST_SIDE)
        & (np.ptp(boxes.panel, axis=1) < LEAST_SIDE)
        & (boxes.panel[:, 1] * np.ptp(boxes.phase, axis=1) < LEAST_SIDE)
    )
