"""The trade-off: what is ranked by against a second figure, one search for each level of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from strutkit.decide.search.answers import Progress
from strutkit.decide.search.branch import Clock, stops
from strutkit.decide.search.candidates import Candidate, candidates, solved, start_boxes
from strutkit.decide.search.drilling import costs_of
from strutkit.decide.search.layouts import Layouts, layouts_between
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.ranges import Boxes
from strutkit.decide.search.request import Request, check_numbers, make_request
from strutkit.decide.search.rows import objective
from strutkit.decide.search.task import LEAST_SCALES, RANKINGS, RULES, SIGNS
from strutkit.describe.records import Door, Strut, Zone
from strutkit.errors import RecordError

Floats = npt.NDArray[np.float64]

MOST_POINTS = 30


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TradePoint:
    """One point of the trade-off: a candidate, and its hand_force [N], reserve [1] and
    hinge_resultant [N], the worst over all conditions in service, with the mounts there."""

    values: Mapping[str, float]
    candidate: Candidate


def trade_off(
    door: Door,
    *,
    stock: Sequence[Strut],
    frame_zone: Zone | None = None,
    panel_zone: Zone | None = None,
    counts: Sequence[int] = (1, 2),
    rank_by: str = "hand_force",
    against: str | Sequence[str] = "hinge_resultant",
    points: int = 7,
    drilling_error: float = 0.0,
    step: float | None = 0.001,
    tolerance: float = 0.01,
    time_limit: float | None = None,
    progress: Progress | None = None,
    least_opening: float | None = None,
) -> tuple[TradePoint, ...]:
    """What a better second figure costs in the first: layouts that none beats in both.

    The ends are the best by `rank_by` and the best by `against`; between them so many levels of
    the second figure are asked in turn, and the best by the first is found within each (to
    `tolerance`). Sorted by the first figure, best first; points that another beats in both are
    left out. Against several figures: the front of each, one after another. All else as in
    `find_mounts`; progress(fraction, None, None). Empty where nothing fits.

    Raises `RecordError` for a request that makes no sense.
    """
    check_numbers(drilling_error, step, tolerance, time_limit, least_opening)
    several = (against,) if isinstance(against, str) else tuple(against)
    for one in several:
        if one not in RANKINGS or one == rank_by:
            others = ", ".join(name for name in RANKINGS if name != rank_by)
            raise RecordError(f"against is {one!r}; write one of {others}.")
    if not 2 <= points <= MOST_POINTS:
        raise RecordError(f"points is {points}; write 2 to {MOST_POINTS}.")
    ask = make_request(door, stock, frame_zone, panel_zone, counts, rank_by, drilling_error)
    stop = door.hinge.stop_angle
    problem = ask.problem(tolerance, None, stop if least_opening is None else least_opening)
    clock = Clock(time_limit, None)
    trade = _Trade(ask, problem, start_boxes(problem), step, clock, progress, points)
    return trade.fronts(several)


@dataclass(frozen=True, slots=True)
class _Best:
    """The best of one search: its point, its layout, and its costs by every ranking before
    rounding."""

    point: TradePoint
    layout: Layouts
    costs: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class _Trade:
    """The searches of one trade-off, all from the same boxes."""

    ask: Request
    problem: Problem
    start: Boxes
    step: float | None
    clock: Clock
    progress: Progress | None
    points: int

    def fronts(self, several: Sequence[str]) -> tuple[TradePoint, ...]:
        """The fronts one after another; the best by the first figure is an end of each."""
        best = self.best(self.ask.rank_by, self.problem.limits, ())
        points: tuple[TradePoint, ...] = ()
        for number, against in enumerate(several):
            if best is None or self.clock.stopped:
                break
            points += self.front(best, against, number / len(several), 1.0 / len(several))
        return points

    def front(self, best: _Best, against: str, done: float, part: float) -> tuple[TradePoint, ...]:
        """Points that none of the others beats in both figures; this front is `part` of all, and
        `done` of them all were before it.

        Each level is begun with the best of the stricter one, and with the best of all.
        """
        rank_by, second = self.ask.rank_by, RANKINGS[against]
        least = self.best(against, self.problem.limits, (best,))
        if least is None:
            return ()
        low, high = least.costs[against], best.costs[against]
        low += self.problem.eps * max(abs(low), float(LEAST_SCALES[second[0]]))
        found, former = [best.point], least
        levels = np.linspace(low, high, self.points)[:-1] if low < high else np.zeros(0)
        for number, level in enumerate(levels, start=2):
            limits = self.problem.limits.copy()
            for rule in second:
                limits[rule] = min(limits[rule], level)
            one = self.best(rank_by, limits, (former, best))
            if one is not None:
                found.append(one.point)
                former = one
            self._tell(done + part * number / (len(levels) + 1))
            if self.clock.stopped:
                break
        return _undominated(found, rank_by, against)

    def best(self, rank_by: str, limits: Floats, near: Sequence[_Best]) -> _Best | None:
        """The best within limits, sought first near others."""
        scale = float(LEAST_SCALES[RANKINGS[rank_by][0]])
        problem = replace(self.problem, limits=limits, ranking=RANKINGS[rank_by], scale=scale)
        best = solved(problem, self.clock, self.start, [one.layout for one in near]).best
        row = int(best.costs.argmin())
        if not np.isfinite(best.costs[row]):
            return None
        leader = best.layouts.take(np.array([row]))
        candidate = candidates(self.ask, problem, best, np.array([row]), self.step)[0]
        plane = self.ask.plane
        placed = layouts_between(
            leader.choice, plane.flat([candidate.frame_mount]), plane.flat([candidate.panel_mount])
        )
        values = {
            name: float(SIGNS[RANKINGS[name][0]]) * cost
            for name, cost in _by_ranking(problem, placed).items()
        }
        point = TradePoint(values=MappingProxyType(values), candidate=candidate)
        return _Best(point, leader, _by_ranking(problem, leader))

    def _tell(self, share: float) -> None:
        if stops(self.progress and self.progress(share, None, None)):
            self.clock.stopped = True


def _by_ranking(problem: Problem, layout: Layouts) -> dict[str, float]:
    """Cost of a layout by every ranking, the worst within the drilling error."""
    wanted = tuple(sorted({rule for rules in RANKINGS.values() for rule in rules}))
    free = replace(problem, limits=np.full(len(RULES), np.inf), ranking=wanted)
    costs = costs_of(free, layout)
    return {name: float(objective(costs, rules)[0]) for name, rules in RANKINGS.items()}


def _undominated(found: Sequence[TradePoint], rank_by: str, against: str) -> tuple[TradePoint, ...]:
    """Points in order of the first figure, each better than those before in the second."""
    signs = [float(SIGNS[RANKINGS[name][0]]) for name in (rank_by, against)]

    def costs(point: TradePoint) -> tuple[float, float]:
        return signs[0] * point.values[rank_by], signs[1] * point.values[against]

    kept: list[TradePoint] = []
    for point in sorted(found, key=costs):
        if not kept or costs(point)[1] < costs(kept[-1])[1]:
            kept.append(point)
    return tuple(kept)
