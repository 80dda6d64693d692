"""Branch and bound: boxes are bounded, judged at their centres and halved until none is left.

A box is dropped when it can hold no layout within the limits, or none that is better than what is
asked of its choice (`goals`). So an empty list proves that no layout beats

    the best of all choices by more than eps, or the best of its own choice by more than `coarse`

and a choice without a layout has none at all, unless it holds its limits only by less than a
margin, within a space of hundredths of a millimetre (`SLIVER`). Whole levels are handled as
arrays; a level that grows too long is worked off in parts, depth first. Stopped early, the least
cost among the boxes left is the honest bound.
"""

import math
import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.decide.search import task as names
from strutkit.decide.search.bounds import bounded
from strutkit.decide.search.critical import critical_angles
from strutkit.decide.search.drilling import costs_of
from strutkit.decide.search.hinge import hinge_bounded
from strutkit.decide.search.layouts import Layouts
from strutkit.decide.search.nodes import Nodes, make_nodes
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.ranges import Boxes, joined
from strutkit.decide.search.reach import halved
from strutkit.decide.search.rows import COARSE, holds, objective

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]

NODE_STEPS = tuple(np.radians([12.0, 8.0, 5.0, 3.0]))
"""Distance of the angles asked everywhere, level by level; the last one goes on."""

FINE_STEP, FINE_EVERY = np.radians(1.0), 5
"""Distance of the angles asked on every fifth level."""

SAMPLES, SAMPLE_ANGLES = 8, 6
"""So many layouts of a level say at which angles, so many each, they come nearest to failing."""

EARLY, TRIES = 1, 3
"""On this many levels all choices are polished; after that so many of the best at least."""

FAR = 1e9
"""More than any cost: centres that hold no layout are ranked after those that do."""

AGAIN = 0.5
"""A choice without a layout is polished again from a centre whose excess is at most this share of
the least that was tried in vain."""

CROWD, CROWD_STARTS = 150, 4
"""A choice with more boxes than this times the level is polished again, from so many centres: a
better layout would clear them."""

MOST_CENTRES = 1000
CENTRES_EACH = 5
LEVEL_PART = 40_000
BOX_PART = 4_000
MOST_BOXES = 5_000_000
SIZES = np.array([10.0, 10.0, 0.2, 0.1, 10.0, 10.0, 0.005, 0.005, 50.0])
"""Least size of each limit when an excess is taken as a share of it."""

SLIVER, MARGIN, MARGIN_LENGTH = 2e-5, 1e-4, 1e-5
"""Boxes with no side over `SLIVER` [m] have to hold limits with this margin, as a share and in
stroke [m], once some layout is known: what holds them by less, and nowhere more, is no place to
drill."""

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
        """Keep each layout that is the best of its choice."""
        order = np.argsort(-costs, kind="stable")  # of one choice the best comes last and stays
        layouts, costs = layouts.take(order), costs[order]
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


def stops(answer: object) -> bool:
    """Whether a progress asks to stop: by False, numpy's too; None and all else go on."""
    return isinstance(answer, bool | np.bool_) and not answer


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
        if stops(self.progress and self.progress(self.told, bound, best)):
            self.stopped = True
        return self.in_time()

    def in_time(self) -> bool:
        """Whether neither the time is over nor somebody has stopped it."""
        if self.time_limit is not None and self.seconds > self.time_limit:
            self.stopped = True
        return not self.stopped

    def further(self, seconds: float) -> "Clock":
        """A clock from now that stops as this one would, and after so many seconds at the most."""
        left = math.inf if self.time_limit is None else self.time_limit - self.seconds
        clock = Clock(max(0.0, min(seconds, left)), self.progress)
        clock.told, clock.stopped = self.told, self.stopped
        return clock

    @property
    def seconds(self) -> float:
        """Time since the start [s]."""
        return time.perf_counter() - self.start


class Branching:
    """One run of branch and bound."""

    def __init__(self, problem: Problem, polish: Polish, clock: Clock) -> None:
        self.problem, self.polish, self.clock = problem, polish, clock
        self.best = Best.none(len(problem.judge.choices))
        self.tried = np.full(len(problem.judge.choices), np.inf)
        self.boxes = 0

    def run(self, start: Boxes) -> Outcome:
        """Work off the boxes; `start` has to cover all layouts."""
        stack: list[tuple[int, Boxes]] = [(0, start)]
        left: list[Boxes] = []
        while stack:
            level, boxes = stack.pop()
            if not len(boxes):
                continue
            if len(boxes) > LEVEL_PART:
                stack.append((level, boxes.take(slice(LEVEL_PART, None))))
                boxes = boxes.take(slice(0, LEVEL_PART))
            if not self._go_on(level, [*left, boxes, *(one for _, one in stack)]):
                left += [boxes, *(one for _, one in stack)]
                break
            kept = self._level(level, boxes)
            small = _sides(kept) < LEAST_SIDE
            if small.any():
                left.append(kept.take(small))
                kept = kept.take(~small)
            if len(kept):
                stack.append((level + 1, halved(kept)))
        return self._outcome([one for one in left if len(one)])

    def _go_on(self, level: int, boxes: list[Boxes]) -> bool:
        best = float(self.best.costs.min(initial=np.inf))
        share = min(0.99, level / 14.0)
        return self.clock.running(share, self._bound(boxes), best) and self.boxes < MOST_BOXES

    def _bound(self, left: list[Boxes]) -> float:
        """The cost that no layout is under: boxes are dropped only for goals that were no less."""
        open_cost = min((float(one.cost.min()) for one in left if len(one)), default=np.inf)
        return min(open_cost, float(self.goals().min(initial=np.inf)))

    def _outcome(self, left: list[Boxes]) -> Outcome:
        remaining = [one.take(one.cost < self.goals()[one.choice]) for one in left]
        finished = not any(len(one) for one in remaining)
        return Outcome(self.best, self._bound(remaining), finished, self.boxes)

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
        nodes = self._nodes(level, boxes)
        kept = []
        for first in range(0, len(boxes), BOX_PART):
            part = boxes.take(slice(first, first + BOX_PART))
            if self.clock.in_time():
                part = problem.reach.cut(part) if level else part
                self.boxes += len(part)
                part = self._surviving(level, part, nodes)
            kept.append(part)
        boxes = joined(kept)
        if self.clock.in_time():
            self._judge_centres(level, boxes)
        return boxes.take(boxes.cost < self.goals()[boxes.choice])

    def _nodes(self, level: int, boxes: Boxes) -> Nodes:
        """Angles all over the travel, where limits begin, and where some layouts are critical."""
        problem = self.problem
        task, lift_off = problem.judge.task, problem.limits[names.LIFT_OFF]
        step = NODE_STEPS[min(level, len(NODE_STEPS) - 1)]
        if level and level % FINE_EVERY == 0:
            step = FINE_STEP
        asked = [max(0.0, task.stop - task.reserve_span), min(lift_off, task.stop)]
        if names.LIFT_OFF in problem.ranking:
            goals = np.unique(self.goals()[boxes.choice])
            asked += [float(one) for one in goals[(goals >= 0.0) & (goals < task.stop)][:SAMPLES]]
        if level > 1:
            rows = np.unique(np.linspace(0, len(boxes) - 1, SAMPLES).astype(int))
            layouts, _ = problem.reach.centres(problem.reach.cut(boxes.take(rows)))
            asked += critical_angles(problem, layouts, SAMPLE_ANGLES)
        return make_nodes(
            task, problem.judge.choices, np.unique(boxes.choice), step, np.array(asked)
        )

    def _surviving(self, level: int, boxes: Boxes, nodes: Nodes) -> Boxes:
        """The boxes that may hold something better than the goals of their choices."""
        problem, goals = self.problem, self.goals()
        allowed = np.tile(problem.limits, (len(boxes), 1))
        if np.isfinite(self.best.costs).any():
            allowed[_sides(boxes) < SLIVER] = with_margin(problem.limits)
        for rule in problem.ranking:
            allowed[:, rule] = np.minimum(allowed[:, rule], goals[boxes.choice])
            if rule == names.LIFT_OFF:
                allowed[:, rule] = np.minimum(allowed[:, rule], problem.judge.task.stop)
        judge, ranking = problem.judge, problem.ranking
        kept = bounded(
            judge.task, judge.choices, boxes, nodes, allowed, ranking, ends_first=level == 0
        )
        if names.HINGE in problem.wanted:
            kept = problem.reach.cut_turns(kept)
            ranked = names.HINGE in problem.ranking
            most = np.minimum(problem.limits[names.HINGE], goals[kept.choice] if ranked else np.inf)
            most = np.broadcast_to(most, (len(kept),))
            kept = hinge_bounded(
                problem.judge.task, problem.judge.choices, kept, nodes.angle, most, ranked
            )
        return kept.take(kept.cost < goals[kept.choice])

    def _judge_centres(self, level: int, boxes: Boxes) -> None:
        """Judge the most promising centres, and polish the best one of each choice."""
        problem = self.problem
        held = np.bincount(boxes.choice, minlength=len(self.best.costs))
        crowded = held > CROWD * (1 + level)
        boxes = boxes.take(_promising(boxes))
        if not len(boxes):
            return
        layouts, _ = problem.reach.centres(boxes)
        costs = problem.judge.costs(layouts, wanted=problem.wanted, step=COARSE)
        cost, excess = objective(costs, problem.ranking), excesses(costs, problem.limits)
        order = np.lexsort((np.where(excess > 0.0, excess, cost), excess > 0.0, layouts.choice))
        choice = layouts.choice[order]
        place = np.arange(len(order)) - np.searchsorted(choice, choice)
        lead = order[place == 0]
        held = lead[excess[lead] <= 0.0]
        if problem.judge.task.drilling_error > 0.0 and len(held):
            worst = costs_of(problem, layouts.take(held), COARSE)
            cost[held] = objective(worst, problem.ranking)
            excess[held] = excesses(worst, problem.limits)
        worth = self._worth_polishing(level, layouts.take(lead), cost[lead], excess[lead])
        if level % 2 == 0 and np.isfinite(self.best.costs).any():
            crowded[self.best.costs.argmin()] = True  # what is best of all decides how many stay
        more = order[(place < CROWD_STARTS) & crowded[choice]]
        starts = np.union1d(lead[worth], more)
        if len(starts):
            self.best.take(*self.polish(layouts.take(starts)))

    def _worth_polishing(self, level: int, lead: Layouts, cost: Floats, excess: Floats) -> Flags:
        """Which leading centres of the choices to polish: those better than the best of their
        choice, a few of the best of all, a few of the nearest to any first layout; and where
        every choice is looked at for itself, those clearly nearer to a first layout than before,
        and at first all."""
        known = self.best.costs[lead.choice]
        place = _rank(np.where(excess > 0.0, excess + FAR, cost))
        best = (place < np.where(excess > 0.0, 1, TRIES)) & (level % 2 == 0)
        if self.problem.coarse is None:
            if np.isfinite(self.best.costs).any():
                return np.asarray(best)
            return np.asarray(best | ((_rank(excess) < TRIES) & (level % 2 == 0)))
        better = (excess <= 0.0) & (cost < known)
        nearer = np.isinf(known) & (excess <= AGAIN * self.tried[lead.choice])
        worth = np.asarray(better | best | nearer | (level < EARLY))
        tried = lead.choice[worth]
        self.tried[tried] = np.minimum(self.tried[tried], excess[worth])
        return worth


def _rank(values: Floats) -> Indices:
    """Place of each value in ascending order."""
    return np.argsort(np.argsort(values, kind="stable"), kind="stable")


def with_margin(limits: Floats) -> Floats:
    """Limits asked with a margin: a share of them, and of the stroke at both ends."""
    finite = np.where(np.isfinite(limits), limits, 0.0)
    asked = limits - MARGIN * np.maximum(np.abs(finite), SIZES)
    for rule in (names.COMPRESSED, names.EXTENDED):
        asked[rule] = min(limits[rule], 0.0) - MARGIN_LENGTH
    return np.asarray(asked)


def excesses(costs: Floats, limits: Floats) -> Floats:
    """How far a layout is beyond its limits, as the worst share of them [m]; 0 where it holds."""
    held, asked = holds(costs, limits), np.isfinite(limits)
    limits = np.where(asked, limits, 0.0)
    over = np.where(asked, costs - limits, -np.inf) / np.maximum(np.abs(limits), SIZES)
    return np.where(held, 0.0, np.maximum(over.max(axis=1), 1e-12))


def _promising(boxes: Boxes) -> Indices:
    """Rows of the boxes of least cost, a few of each choice, and a few from all over it."""
    order = np.lexsort((boxes.cost, boxes.choice))
    choice = boxes.choice[order]
    first, last = np.searchsorted(choice, choice), np.searchsorted(choice, choice, side="right")
    place, count = np.arange(len(order)) - first, last - first
    spread = np.maximum(1, count // CENTRES_EACH)
    few = order[(place < CENTRES_EACH) | ((place % spread == 0) & (place // spread < CENTRES_EACH))]
    return np.asarray(few[np.argsort(boxes.cost[few], kind="stable")[:MOST_CENTRES]])


def _sides(boxes: Boxes) -> Floats:
    """Widest side of each box [n] [m]."""
    swing = boxes.panel[:, 1] * np.ptp(boxes.phase, axis=1)
    return np.asarray(
        np.maximum.reduce([np.ptp(boxes.frame, axis=1), np.ptp(boxes.panel, axis=1), swing])
    )
