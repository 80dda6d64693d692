"""`find_mounts`: the best mounts and struts with a proof, or a proof that nothing fits.

Model section 9. The rules are those of `task.RULES` that have a limit, under all conditions in
service, at every angle.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from strutkit.decide.conditions import used_tolerance
from strutkit.decide.findings import check
from strutkit.decide.judging import Finding
from strutkit.decide.search import task as names
from strutkit.decide.search.branch import Best, Branching, Clock, Outcome
from strutkit.decide.search.polish import LAST_STEPS, polished
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.request import LEAST_SCALE, Request, check_numbers, make_request
from strutkit.decide.search.rows import Layouts, measure_travel, objective
from strutkit.decide.search.task import RANKINGS, RULES, SIGNS
from strutkit.decide.search.whole import rounded
from strutkit.describe.fields import Point
from strutkit.describe.labels import assumption_texts
from strutkit.describe.numbers import quantity_text
from strutkit.describe.records import Door, Strut, Zone

Floats = npt.NDArray[np.float64]
Indices = npt.NDArray[np.intp]
Progress = Callable[[float, float | None, float | None], object]

COARSE = 0.02
"""How near the best of its strut and count each further candidate is proved to be, as a share."""

HALFWAY = 0.5
"""Share of the stop angle that is asked where no strut reaches the stop."""

FITTING_SLACK = 2e-6
"""Slack of lengths where boxes start [m]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """One strut of the stock, or a mirrored pair of it, at its best mounts.

    value: what is ranked by, at these mounts, the worst within the drilling error; placed_value:
    the same with the mounts exactly there; rounding_cost: how much worse rounding made the value;
    door: the door with these struts; conditions that need other struts are left out.
    """

    strut: Strut
    count: int
    frame_mount: Point
    panel_mount: Point
    value: float
    placed_value: float
    rounding_cost: float
    door: Door

    @property
    def failures(self) -> tuple[Finding, ...]:
        """What `check` finds wrong with the door, beyond the rules that were searched."""
        return tuple(one for one in check(self.door) if one.ok is False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Miss:
    """The best value of one rule with its own limit left out and all others kept.

    best_value None: leaving this limit out does not help.
    """

    rule: str
    best_value: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MountSearch:
    """What a mount search found.

    candidates, best first, one for each strut and count that fits; value: the best before
    rounding (None: nothing fits); bound: no layout beats this (None: nothing fits); proved: no
    layout beats the value by more than the tolerance, or nothing fits, for sure (up to the
    rounding of doubles); nearest_miss: where nothing fits, what each limit alone stands in the
    way of; assumptions: one text each; boxes looked at; seconds taken; rank_by as asked.
    """

    candidates: tuple[Candidate, ...]
    value: float | None
    bound: float | None
    proved: bool
    nearest_miss: tuple[Miss, ...]
    assumptions: tuple[str, ...]
    boxes: int
    seconds: float
    rank_by: str


def find_mounts(
    door: Door,
    *,
    stock: Sequence[Strut],
    frame_zone: Zone | None = None,
    panel_zone: Zone | None = None,
    counts: Sequence[int] = (1, 2),
    rank_by: str = "hand_force",
    drilling_error: float = 0.0,
    step: float | None = 0.001,
    tolerance: float = 1e-3,
    time_limit: float | None = None,
    progress: Progress | None = None,
    least_opening: float | None = None,
) -> MountSearch:
    """The best place for struts of a stock between two zones, proved, or that nothing fits.

    The door's own struts are left out, the rest holds: its limits are the rules, under every
    condition in service, at every angle. Zones None: the door's only one of that part. counts:
    1, and 2 for a mirrored pair. rank_by: "hand_force" (largest of opening and closing over all
    conditions), "reserve" (largest first) or "hinge_resultant". drilling_error [m]: every rule
    has to hold, and the value is the worst, with each mount anywhere within this of its place.
    step [m]: mounts on whole steps (None: no rounding). tolerance: share of the value by which
    no layout beats it. time_limit [s]. progress(fraction, bound, best): told as it goes; it stops
    the search by returning False. least_opening [rad]: the panel has to open this far, and its
    struts may end the travel from there on (None: it opens to the stop; or at least halfway,
    where no strut of the stock reaches so far).

    Raises `RecordError` for a zone, stock or request that makes no sense.
    """
    check_numbers(drilling_error, step, tolerance, time_limit, least_opening)
    ask = make_request(door, stock, frame_zone, panel_zone, counts, rank_by, drilling_error)
    clock = Clock(time_limit, _told(progress, rank_by))
    problem, outcome = _searched(ask, clock, tolerance, least_opening)
    best = outcome.best
    fits = np.flatnonzero(np.isfinite(best.costs))
    sign = float(SIGNS[RANKINGS[rank_by][0]])
    nothing = not len(fits) and outcome.finished
    candidates = _candidates(ask, problem, best, fits, step)
    return MountSearch(
        candidates=candidates,
        value=sign * float(best.costs.min()) if len(fits) else None,
        bound=None if nothing else sign * outcome.bound,
        proved=outcome.finished,
        nearest_miss=_nearest_miss(ask, problem, clock, tolerance) if nothing else (),
        assumptions=_assumptions(ask, problem, best, candidates),
        boxes=outcome.boxes,
        seconds=clock.seconds,
        rank_by=rank_by,
    )


def _told(progress: Progress | None, rank_by: str) -> Callable[[float, float, float], object]:
    """A progress that is told values instead of costs, None where there is none yet."""
    sign = float(SIGNS[RANKINGS[rank_by][0]])

    def tell(share: float, bound: float, best: float) -> object:
        if progress is None:
            return True
        values = [sign * one if np.isfinite(one) else None for one in (bound, best)]
        return progress(share, *values)

    return tell


def _searched(
    ask: Request, clock: Clock, tolerance: float, least_opening: float | None
) -> tuple[Problem, Outcome]:
    """The search to the stop; at least halfway where no strut lets the panel open so far."""
    stop = ask.door.hinge.stop_angle
    least = stop if least_opening is None else min(least_opening, stop)
    problem = ask.problem(tolerance, COARSE, least)
    outcome = _branched(problem, clock)
    if least_opening is not None or np.isfinite(outcome.best.costs).any() or not outcome.finished:
        return problem, outcome
    if _any_fits(problem, clock):
        return problem, outcome
    halfway = ask.problem(tolerance, COARSE, HALFWAY * stop)
    further = _branched(halfway, clock)
    return halfway, replace(further, boxes=outcome.boxes + further.boxes)


def _any_fits(problem: Problem, clock: Clock) -> bool:
    """Whether any strut fits anywhere, no limit asked."""
    limits = np.full(len(RULES), np.inf)
    free = replace(
        problem, limits=limits, ranking=(names.COMPRESSED,), eps=1e9, coarse=None, scale=1.0
    )
    return bool(np.isfinite(_branched(free, clock).best.costs).any())


def _branched(problem: Problem, clock: Clock) -> Outcome:
    """Branch and bound over all boxes of a problem."""
    task = problem.judge.task
    start = problem.reach.start(task, problem.judge.choices, FITTING_SLACK)
    if task.least_opening >= task.stop:
        start = start.take(~start.by_strut)
    outcome = Branching(problem, lambda layouts: polished(problem, layouts), clock).run(start)
    fits = np.flatnonzero(np.isfinite(outcome.best.costs))
    if len(fits):
        outcome.best.take(*polished(problem, outcome.best.layouts.take(fits), LAST_STEPS))
    return outcome


def _candidates(
    ask: Request, problem: Problem, best: Best, fits: Indices, step: float | None
) -> tuple[Candidate, ...]:
    """A candidate for each choice that fits, best first."""
    if not len(fits):
        return ()
    layouts, cost = best.layouts.take(fits), best.costs[fits]
    costs = cost
    if step is not None:
        on_steps = rounded(problem, layouts, ask.plane.tape_origin, step)
        layouts, costs = on_steps.layouts, on_steps.costs
    sign = float(SIGNS[problem.ranking[0]])
    placed = objective(problem.judge.costs(layouts, wanted=problem.ranking), problem.ranking)
    places = _places(ask, layouts)
    found = []
    for row in np.argsort(costs, kind="stable"):
        strut = ask.stock[int(problem.judge.choices.strut[fits[row]])]
        count = int(problem.judge.choices.count[fits[row]])
        fitted = ask.fitted_door(strut, count, places[row])
        hung = fitted.struts[0]
        found.append(
            Candidate(
                strut=strut,
                count=count,
                frame_mount=hung.frame_mount,
                panel_mount=hung.panel_mount,
                value=sign * float(costs[row]),
                placed_value=sign * float(placed[row]),
                rounding_cost=float(costs[row] - cost[row]),
                door=fitted,
            )
        )
    return tuple(found)


def _places(ask: Request, layouts: Layouts) -> list[tuple[list[float], list[float]]]:
    """Frame and panel mounts in space [m]; whole steps stay whole."""
    frame, panel = layouts.mounts
    first = np.round(ask.plane.place(frame, ask.reach.frame.along), 12).tolist()
    second = np.round(ask.plane.place(panel, ask.reach.panel.along), 12).tolist()
    return list(zip(first, second, strict=True))


def _nearest_miss(
    ask: Request, problem: Problem, clock: Clock, tolerance: float
) -> tuple[Miss, ...]:
    """Each rule in turn as the one that is ranked, its own limit left out."""
    misses = []
    for rule in np.flatnonzero(np.isfinite(problem.limits)):
        limits = problem.limits.copy()
        limits[rule] = np.inf
        scale = LEAST_SCALE["reserve"] if rule == names.RESERVE else 1.0
        alone = replace(
            problem, limits=limits, ranking=(int(rule),), eps=tolerance, scale=scale, coarse=None
        )
        outcome = _branched(alone, clock)
        cost = float(outcome.best.costs.min(initial=np.inf))
        value = float(SIGNS[rule]) * cost if np.isfinite(cost) else None
        misses.append(Miss(rule=RULES[rule], best_value=value))
    return tuple(misses)


def _assumptions(
    ask: Request, problem: Problem, best: Best, candidates: tuple[Candidate, ...]
) -> tuple[str, ...]:
    """What was left out or assumed, one text each."""
    texts = list(ask.texts)
    tolerant = any(one.rating_tolerance for one in ask.door.conditions)
    for strut in {one.strut.name: one.strut for one in candidates}.values():
        texts += assumption_texts(strut.name, strut.gas_law)
        if tolerant and strut.tolerance is None:
            texts.append(
                f"{strut.name}: tolerance ±{used_tolerance(strut):g} N assumed;"
                " its label gives none."
            )
    if candidates:
        texts += _end_texts(problem, best)
    return tuple(texts)


def _end_texts(problem: Problem, best: Best) -> list[str]:
    """What to know where the best layout's struts end the travel."""
    leader = best.layouts.take(np.array([int(best.costs.argmin())]))
    end = float(measure_travel(problem.judge, leader).end[0])
    stop = problem.judge.task.stop
    if end >= stop:
        return []
    reached = quantity_text(end, "angle", toward="down")
    text = f"The best struts end the travel at {reached}, before the stop at"
    return [f"{text} {quantity_text(stop, 'angle')}; least_opening says how far it has to open."]
