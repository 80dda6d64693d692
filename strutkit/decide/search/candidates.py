"""From a problem to candidates: boxes worked off, the best polished, rounded, hung in the door."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from strutkit.decide.findings import check
from strutkit.decide.judging import Finding
from strutkit.decide.search.branch import Best, Branching, Clock, Outcome
from strutkit.decide.search.layouts import Layouts
from strutkit.decide.search.polish import LAST_STEPS, judged, polished
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.ranges import Boxes
from strutkit.decide.search.request import Request
from strutkit.decide.search.rows import objective
from strutkit.decide.search.task import COMPRESSED, RULES, SIGNS
from strutkit.decide.search.travel import measure_travel
from strutkit.decide.search.whole import rounded
from strutkit.decide.search.words import opening_text
from strutkit.decide.sweep import sweep
from strutkit.describe.fields import Point
from strutkit.describe.records import Door, Strut

Indices = npt.NDArray[np.intp]

SAMPLE = 3000
FULLY_POLISHED = 5
"""So many of the best are polished to the end; the others stay as the boxes left them, proved
within the problem's `coarse` of the best of their choice."""

FITTING_SLACK = 2e-6
"""Slack of lengths where boxes start [m]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """One strut of the stock, or a mirrored pair of it, at its best mounts.

    value: what is ranked by, at these mounts, the worst within the drilling error; placed_value:
    the same with the mounts exactly there; rounding_cost: how much worse rounding made the value;
    step [m] that the mounts lie on: the one asked, a finer one where none on that holds the
    rules, or None; door: the door with these struts; conditions that need other struts are left
    out.
    """

    strut: Strut
    count: int
    frame_mount: Point
    panel_mount: Point
    value: float
    placed_value: float
    rounding_cost: float
    step: float | None
    door: Door

    @property
    def end_of_travel(self) -> float:
        """How far the panel opens [rad]: to its stop, or less where the struts end the travel."""
        return sweep(self.door).end_of_travel

    @property
    def opening(self) -> str:
        """That it opens short of its stop, in words; empty where it does not."""
        return opening_text(self.end_of_travel, self.door.hinge.stop_angle)

    @property
    def failures(self) -> tuple[Finding, ...]:
        """What `check` finds wrong with the door, beyond the rules that were searched."""
        return tuple(one for one in check(self.door) if one.ok is False)


def solved(
    problem: Problem, clock: Clock, start: Boxes | None = None, near: Sequence[Layouts] = ()
) -> Outcome:
    """Branch and bound over all boxes of a problem, the best polished to the end if time is left.

    start: those of `start_boxes`, where they are at hand; near: layouts to look near first.
    """
    boxes = start_boxes(problem) if start is None else start
    run = Branching(problem, lambda layouts: polished(problem, layouts), clock)
    for layouts in near:
        run.best.take(*run.polish(layouts))
    outcome = run.run(boxes)
    costs = outcome.best.costs
    order = np.argsort(costs, kind="stable")[: int(np.isfinite(costs).sum())]
    last = order[: FULLY_POLISHED if problem.coarse is not None else 1]
    if len(last) and clock.in_time():
        outcome.best.take(*polished(problem, outcome.best.layouts.take(last), LAST_STEPS))
    return outcome


def start_boxes(problem: Problem) -> Boxes:
    """Boxes that cover all layouts of a problem."""
    task = problem.judge.task
    start = problem.reach.start(task, problem.judge.choices, FITTING_SLACK)
    return start.take(~start.by_strut) if task.least_opening >= task.stop else start


def any_fits(problem: Problem, clock: Clock, start: Boxes) -> bool:
    """Whether any strut fits anywhere, no limit asked: some boxes' centres, else all of them."""
    if not len(start):
        return False
    some = start.take(np.unique(np.linspace(0, len(start) - 1, SAMPLE).astype(int)))
    if measure_travel(problem.judge, problem.reach.centres(some)[0]).fits.any():
        return True
    free = replace(
        problem,
        limits=np.full(len(RULES), np.inf),
        ranking=(COMPRESSED,),
        eps=1e9,
        coarse=None,
        scale=1.0,
    )
    run = Branching(free, lambda layouts: (layouts, judged(free, layouts)[1]), clock).run(start)
    return bool(np.isfinite(run.best.costs).any())


def candidates(
    ask: Request, problem: Problem, best: Best, fits: Indices, step: float | None
) -> tuple[Candidate, ...]:
    """A candidate for each choice that fits, best first."""
    if not len(fits):
        return ()
    layouts, cost = best.layouts.take(fits), best.costs[fits]
    costs, steps = cost, np.zeros(len(fits))
    if step is not None:
        on_steps = rounded(problem, layouts, ask.plane.tape_origin, step)
        layouts, costs, steps = on_steps.layouts, on_steps.costs, on_steps.step
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
                step=float(steps[row]) or None,
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
