"""Mounts on whole millimetres (or another step), at the least cost in the ranked rule.

Turning both mounts together about the hinge line changes no length and no moment, so round numbers
come nearly free: the pair is walked along the angles that both zones allow, all four coordinates
are taken to the steps beside them, and what that does is foreseen from the slopes of the critical
rows. The most promising are judged exactly.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.decide.search.polish import Standing, in_zones
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.rows import Layouts, holds, layouts_between, objective

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]
Indices = npt.NDArray[np.intp]

TURNS = 90
JUDGED = (12, 120)
"""How many of the foreseen best are judged, first and where none of those holds."""

FINER = (1.0, 0.5, 0.2, 0.1)
"""Shares of the step that are tried in turn where no whole step holds."""


@dataclass(frozen=True, slots=True)
class Rounded:
    """Layouts on whole steps with their costs [m]; step used [m] [m], 0 where none holds."""

    layouts: Layouts
    costs: Floats
    step: Floats


def rounded(problem: Problem, layouts: Layouts, tape_origin: complex, step: float) -> Rounded:
    """Each layout on whole steps of the tape, with the least cost found; else as it is."""
    standing = Standing(problem, layouts, np.tile(problem.limits, (len(layouts), 1)))
    found = [
        _on_steps(problem, standing, number, tape_origin, step) for number in range(len(layouts))
    ]
    choice = layouts.choice
    frame, panel = (np.array([one[part] for one in found]) for part in (0, 1))
    return Rounded(
        layouts_between(choice, frame, panel),
        np.array([one[2] for one in found]),
        np.array([one[3] for one in found]),
    )


def _on_steps(
    problem: Problem, standing: Standing, number: int, tape_origin: complex, step: float
) -> tuple[complex, complex, float, float]:
    """Frame mount, panel mount, cost and step of one layout."""
    own = standing.layouts(standing.places[[number]], np.array([number]))
    for share in FINER:
        frame, panel = _rounded_places(problem, own, tape_origin, share * step)
        if not len(frame):
            continue
        order = np.argsort(_foreseen(standing, number, frame, panel), kind="stable")
        for first, last in ((0, JUDGED[0]), JUDGED):
            pick = order[first:last]
            if not len(pick):
                break
            some = layouts_between(own.choice[0], frame[pick], panel[pick])
            costs = problem.judge.costs(some, wanted=problem.wanted)
            cost = np.where(holds(costs, problem.limits), objective(costs, problem.ranking), np.inf)
            best = int(cost.argmin())
            if np.isfinite(cost[best]):
                return frame[pick[best]], panel[pick[best]], float(cost[best]), share * step
    frame, panel = own.mounts
    costs = problem.judge.costs(own, wanted=problem.wanted)
    return frame[0], panel[0], float(objective(costs, problem.ranking)[0]), 0.0


def _rounded_places(
    problem: Problem, layout: Layouts, tape_origin: complex, step: float
) -> tuple[Complexes, Complexes]:
    """Pairs of mounts on whole steps, both in their zones [n]."""
    turns = _turns(problem, layout)
    frame = layout.radius_frame[0] * np.exp(1j * turns) + tape_origin
    panel = layout.radius_panel[0] * np.exp(1j * (turns + layout.phase[0])) + tape_origin
    beside = np.array([0.0, 1.0])
    ways = np.stack(np.meshgrid(beside, beside, beside, beside), axis=-1).reshape(-1, 4)
    base = np.stack([frame.real, frame.imag, panel.real, panel.imag], axis=1)
    steps = np.unique((np.floor(base / step)[:, None] + ways).reshape(-1, 4), axis=0)
    places = np.round(steps * step, 12)
    frame = places[:, 0] + 1j * places[:, 1] - tape_origin
    panel = places[:, 2] + 1j * places[:, 3] - tape_origin
    held = in_zones(problem, layouts_between(layout.choice[0], frame, panel))
    return frame[held], panel[held]


def _turns(problem: Problem, layout: Layouts) -> Floats:
    """Angles of the frame mount to try, spread over all that both zones allow, and its own."""
    allowed = problem.reach.turns(layout)[0]
    allowed = allowed[allowed[:, 0] <= allowed[:, 1]]
    width = allowed[:, 1] - allowed[:, 0]
    counts = np.maximum(2, np.ceil(TURNS * width / max(width.sum(), 1e-12)).astype(int))
    spread = [
        np.linspace(float(low), float(high), int(count))
        for (low, high), count in zip(allowed, counts, strict=True)
    ]
    return np.concatenate([layout.turn, *spread])


def _foreseen(standing: Standing, number: int, frame: Complexes, panel: Complexes) -> Floats:
    """What t + 10 v would become, from the slopes of the critical rows [n].

    Only radii and phase count, so each pair is turned back to where the slopes were taken.
    """
    own = standing.layouts(standing.places[[number]], np.array([number]))
    turned = np.exp(1j * (own.turn[0] - np.angle(frame)))
    frame, panel = frame * turned, panel * turned
    moves = np.stack([frame.real, frame.imag, panel.real, panel.imag], axis=1)
    return standing.foreseen(number, moves)
