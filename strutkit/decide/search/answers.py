"""`find_mounts`: the best mounts and struts with a proof, or a proof that nothing fits.

Model section 9. The rules are those of `task.RULES` that have a limit, under all conditions in
service, at every angle.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from strutkit.decide.conditions import used_tolerance
from strutkit.decide.search import task as names
from strutkit.decide.search.bar import with_bar
from strutkit.decide.search.branch import Best, Clock, Outcome
from strutkit.decide.search.candidates import Candidate, any_fits, candidates, solved, start_boxes
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.request import Request, check_numbers, make_request
from strutkit.decide.search.task import RANKINGS, RULES, SIGNS
from strutkit.decide.search.travel import measure_travel
from strutkit.decide.search.words import found_text, missed_text, nothing_text
from strutkit.describe.labels import assumption_texts
from strutkit.describe.numbers import travel_text
from strutkit.describe.records import Door, Strut, Zone

Progress = Callable[[float, float | None, float | None], object]

COARSE = 0.05
"""How near the best of its strut and count each further candidate is proved to be, as a share."""

MISS_TOLERANCE = 5e-3
"""How well the best value of a nearest miss is proved, as a share."""

MISS_SECONDS = 20.0
"""Time that the nearest misses may take [s]: what is proved by then is told."""

HALFWAY = 0.5
"""Share of the stop angle that is asked where no strut reaches the stop."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Miss:
    """The best value of one rule with its own limit left out and all others kept.

    best_value None: leaving this limit out does not help. limit: what is asked.
    """

    rule: str
    best_value: float | None
    limit: float

    @property
    def words(self) -> str:
        """What it comes to at best, beside its limit; empty where that does not help."""
        if self.best_value is None:
            return ""
        text = missed_text(self.rule, self.best_value, self.limit)
        return f"{text[:1].upper()}{text[1:]}."


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MountSearch:
    """What a mount search found.

    candidates, best first, one for each strut and count that fits (where proved, the first within
    the tolerance of the best of all, each other within 5 % of the best of its own strut and count,
    before rounding); value: the best before
    rounding (None: nothing fits); bound: no layout beats this (None: nothing fits); proved: no
    layout beats the value by more than the tolerance, or nothing fits, for sure (up to the
    rounding of doubles); nearest_miss: where nothing fits, what each limit alone stands in the
    way of (empty where no strut fits at all, short where it was stopped); assumptions: one text
    each; boxes looked at; seconds taken; rank_by as asked; stopped: by the time limit or progress.
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
    stopped: bool = False

    @property
    def words(self) -> str:
        """What came of it in a sentence or two."""
        if self.value is not None and self.bound is not None:
            fits = len(self.candidates)
            found = found_text(self.rank_by, self.value, self.bound, self.proved, fits)
            opening = "".join(f" {one.opening}" for one in self.candidates[:1] if one.opening)
            return found + opening
        if not self.proved:
            return "Stopped before anything was found that fits; it may still exist."
        misses = [(one.rule, one.best_value, one.limit) for one in self.nearest_miss]
        return nothing_text(misses, stopped=self.stopped)


@with_bar
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
    found = candidates(ask, problem, best, fits, step)
    further = clock.further(MISS_SECONDS)
    misses = _nearest_miss(ask, problem, further, tolerance) if nothing else ()
    bound = max(sign * outcome.bound, -math.inf if rank_by == "reserve" else 0.0)
    return MountSearch(
        candidates=found,
        value=sign * float(best.costs.min()) if len(fits) else None,
        bound=None if nothing else bound,
        proved=outcome.finished,
        nearest_miss=misses,
        assumptions=_assumptions(ask, problem, best, found),
        boxes=outcome.boxes,
        seconds=clock.seconds,
        rank_by=rank_by,
        stopped=clock.stopped or further.stopped,
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
    start = start_boxes(problem)
    outcome = solved(problem, clock, start)
    if least_opening is not None or np.isfinite(outcome.best.costs).any() or not outcome.finished:
        return problem, outcome
    if any_fits(problem, clock, start):
        return problem, outcome
    halfway = ask.problem(tolerance, COARSE, HALFWAY * stop)
    further = solved(halfway, clock)
    return halfway, replace(further, boxes=outcome.boxes + further.boxes)


def _nearest_miss(
    ask: Request, problem: Problem, clock: Clock, tolerance: float
) -> tuple[Miss, ...]:
    """Each rule in turn as the one that is ranked, its own limit left out.

    Only what is proved is told: none where no strut fits anywhere, and none that is not finished.
    """
    misses, start = [], start_boxes(problem)
    if not any_fits(problem, clock, start):
        return ()
    eps = max(tolerance, MISS_TOLERANCE)
    for rule in np.flatnonzero(np.isfinite(problem.limits)):
        limits = problem.limits.copy()
        limits[rule] = np.inf
        scale = float(names.LEAST_SCALES[rule])
        alone = replace(
            problem, limits=limits, ranking=(int(rule),), eps=eps, scale=scale, coarse=None
        )
        outcome = solved(alone, clock, start)
        if not outcome.finished:
            break
        cost = float(outcome.best.costs.min(initial=np.inf))
        value = float(SIGNS[rule]) * cost if np.isfinite(cost) else None
        limit = float(SIGNS[rule] * problem.limits[rule])
        misses.append(Miss(rule=RULES[rule], best_value=value, limit=limit))
    return tuple(misses)


def _assumptions(
    ask: Request, problem: Problem, best: Best, found: tuple[Candidate, ...]
) -> tuple[str, ...]:
    """What was left out or assumed, one text each."""
    texts = list(ask.texts)
    tolerant = any(one.rating_tolerance for one in ask.door.conditions)
    for strut in {one.strut.name: one.strut for one in found}.values():
        texts += assumption_texts(strut.name, strut.gas_law)
        if tolerant and strut.tolerance is None:
            texts.append(
                f"{strut.name}: tolerance ±{used_tolerance(strut):g} N assumed;"
                " its label gives none."
            )
    if found:
        texts += _end_texts(problem, best)
    return tuple(texts)


def _end_texts(problem: Problem, best: Best) -> list[str]:
    """What to know where the best layout's struts end the travel."""
    leader = best.layouts.take(np.array([int(best.costs.argmin())]))
    end = float(measure_travel(problem.judge, leader).end[0])
    stop = problem.judge.task.stop
    if end >= stop:
        return []
    text = f"The best struts end the travel at {travel_text(end)}, before the stop at"
    return [f"{text} {travel_text(stop)}; least_opening says how far it has to open."]
