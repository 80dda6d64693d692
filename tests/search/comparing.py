"""A mount search held against a grid and against general optimisers, on the same problem."""

import math
from dataclasses import dataclass

import numpy as np

from strutkit.decide.search.answers import MountSearch, find_mounts
from strutkit.decide.search.candidates import Candidate
from tests.search import plain_search
from tests.search.problems import SearchProblem

OWN_SHARE = 0.05
"""How far a candidate that is not the best may lie from the best of its strut and count, as a
share of its own value: what `find_mounts` states."""


@dataclass(frozen=True)
class Comparison:
    """What was found, and every complaint about it."""

    search: MountSearch
    complaints: tuple[str, ...]
    grid_best: float
    evolution_best: float


def compared(
    problem: SearchProblem,
    rank_by: str,
    *,
    spacing: float,
    evolutions: int = 1,
    seed: int = 0,
    time_limit: float | None = None,
) -> Comparison:
    """Search a problem, and hold the answer against a grid of `spacing` [m] over all choices and
    against differential evolution with SLSQP on so many of them."""
    search = find_mounts(problem.door, stock=problem.stock, rank_by=rank_by, time_limit=time_limit)
    sign = -1.0 if rank_by == "reserve" else 1.0
    costs = {
        (one.strut.name, one.count): sign * one.value - one.rounding_cost
        for one in search.candidates
    }
    complaints = [] if search.proved else ["not proved"]
    grid_best, held_by_grid = math.inf, []
    for strut in problem.stock:
        for count in (1, 2):
            best, held = plain_search.grid_search(problem.door, strut, count, spacing, rank_by)
            grid_best = min(grid_best, best)
            if not held:
                continue
            held_by_grid.append((strut, count))
            mine = costs.get((strut.name, count), math.inf)
            if math.isinf(mine) or mine - OWN_SHARE * max(abs(mine), 0.01) > best:
                complaints.append(f"{strut.name} x {count}: {mine:.6g}, the grid has {best:.6g}")
    leader = min(costs.values(), default=math.inf)
    evolution_best = math.inf
    for strut, count in _to_evolve(problem, search, evolutions, seed):
        flat = plain_search.Flat(problem.door, strut, count, rank_by)
        evolution_best = min(evolution_best, flat.best_by_evolution(seed))
    rival = min(grid_best, evolution_best)
    if leader > rival + 1e-3 * max(abs(rival), 0.01):
        complaints.append(f"best {leader:.6g}, but {rival:.6g} was found")
    complaints += [text for one in search.candidates for text in _broken(problem, one)]
    return Comparison(search, tuple(complaints), grid_best, evolution_best)


def _to_evolve(
    problem: SearchProblem, search: MountSearch, evolutions: int, seed: int
) -> list[tuple]:
    """The best candidate's strut and count, then others at random."""
    every = [(strut, count) for strut in problem.stock for count in (1, 2)]
    order = np.random.default_rng(seed).permutation(len(every))
    first = [(one.strut, one.count) for one in search.candidates[:1]]
    return [*first, *(every[place] for place in order if every[place] not in first)][:evolutions]


def _broken(problem: SearchProblem, candidate: Candidate) -> list[str]:
    """Rules that a candidate breaks on a dense grid of angles by the second route."""
    values = plain_search.judge(
        problem.door,
        candidate.strut,
        candidate.count,
        np.array([candidate.frame_mount]),
        np.array([candidate.panel_mount]),
    )
    if plain_search.holds(problem.door, values, slack=1e-6)[0]:
        return []
    shown = {rule: float(value[0]) for rule, value in values.items()}
    return [f"{candidate.strut.name} x {candidate.count} breaks a rule: {shown}"]
