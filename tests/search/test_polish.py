"""Polishing and rounding: layouts near the best place, and on whole millimetres."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize, nnls

from strutkit.decide.search.branch import Clock
from strutkit.decide.search.candidates import solved
from strutkit.decide.search.layouts import Layouts, layouts_between
from strutkit.decide.search.polish import _least_distance, in_zones, polished
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.request import Request, make_request
from strutkit.decide.search.rows import holds, objective
from strutkit.decide.search.whole import rounded
from tests.search import plain_search
from tests.search.problems import random_problem

SEED = 3


def request_of(seed: int) -> tuple[Request, Problem]:
    made = random_problem(seed)
    ask = make_request(made.door, made.stock, None, None, (1, 2), "hand_force", 0.0)
    return ask, ask.problem(1e-3, None, made.door.hinge.stop_angle)


def test_polished_layouts_hold_the_rules_and_no_optimiser_beats_the_best_by_much() -> None:
    """The best of several starts of one choice against differential evolution with SLSQP."""
    ask, problem = request_of(SEED)
    boxes = problem.reach._plain_boxes()
    rows = np.linspace(0, len(boxes) - 1, 20).astype(int)
    best, best_choice = np.inf, -1
    for choice in range(len(problem.judge.choices)):
        some = replace(boxes.take(rows), choice=np.full(len(rows), choice))
        starts, _ = problem.reach.centres(some)
        layouts, costs = polished(problem, starts, 40)
        exact = problem.judge.costs(layouts, wanted=problem.wanted)
        good = np.isfinite(costs)
        assert holds(exact, problem.limits)[good].all()
        assert in_zones(problem, layouts)[good].all()
        np.testing.assert_allclose(objective(exact, problem.ranking)[good], costs[good])
        if costs.min() < best:
            best, best_choice = float(costs.min()), choice
    strut = ask.stock[int(problem.judge.choices.strut[best_choice])]
    count = int(problem.judge.choices.count[best_choice])
    flat = plain_search.Flat(ask.door, strut, count, "hand_force")
    assert best <= flat.best_by_evolution(SEED) * (1.0 + 1e-3)


@settings(max_examples=30)
@given(st.integers(0, 10**6))
def test_least_distance_solves_small_quadratic_problems(seed: int) -> None:
    """The same least as scipy's sequential programming finds, from a place within all sides."""
    rng = np.random.default_rng(seed)
    sides = rng.normal(size=(14, 4))
    inner = rng.normal(size=4)
    bounds = sides @ inner - rng.uniform(0.0, 1.0, 14)
    curve, price = rng.uniform(0.01, 2.0, 4), rng.normal(size=4)

    def least(x: np.ndarray) -> float:
        return float(0.5 * x @ (curve * x) + price @ x)

    answer = minimize(
        least,
        inner,
        constraints={"type": "ineq", "fun": lambda x: sides @ x - bounds},
        method="SLSQP",
        options={"maxiter": 300, "ftol": 1e-12},
    )
    mine = _least_distance(sides, bounds, curve, price, nnls)
    assert (sides @ mine >= bounds - 1e-7).all()
    assert least(mine) == pytest.approx(answer.fun, abs=1e-6)


def best_of(seed: int) -> tuple[Request, Problem, Layouts]:
    """The best layout of a problem, before rounding."""
    ask, problem = request_of(seed)
    best = solved(problem, Clock(None, None)).best
    return ask, problem, best.layouts.take(np.array([int(best.costs.argmin())]))


def test_rounding_finds_what_a_search_of_every_millimetre_finds() -> None:
    """All pairs of whole millimetres near the best place, against the rounded layout."""
    ask, problem, leader = best_of(SEED)
    origin = ask.plane.tape_origin
    found = rounded(problem, leader, origin, 0.001)
    assert found.step[0] == 0.001
    frame, panel = found.layouts.mounts
    for place in (frame[0] + origin, panel[0] + origin):
        assert place.real * 1e3 == pytest.approx(round(place.real * 1e3), abs=1e-6)
        assert place.imag * 1e3 == pytest.approx(round(place.imag * 1e3), abs=1e-6)
    assert in_zones(problem, found.layouts)[0]
    exact = problem.judge.costs(found.layouts, wanted=problem.wanted)
    assert holds(exact, problem.limits)[0]
    assert found.costs[0] == pytest.approx(float(objective(exact, problem.ranking)[0]))
    assert found.costs[0] <= _best_of_all_millimetres(problem, leader, origin) * 1.002


def _best_of_all_millimetres(problem: Problem, leader: Layouts, origin: complex) -> float:
    """Best cost over whole millimetres within 4 mm of the layout turned along its zones."""
    best = np.inf
    around = np.arange(-4, 5)
    ways = np.array(list(itertools.product(around, around)))
    allowed = problem.reach.turns(leader)[0]
    low, high = allowed[np.isfinite(allowed[:, 0])].ravel()[:2]
    for turn in np.linspace(low, high, 7):
        frame = leader.radius_frame[0] * np.exp(1j * turn) + origin
        panel = leader.radius_panel[0] * np.exp(1j * (turn + leader.phase[0])) + origin
        pairs = []
        for place in (frame, panel):
            base = np.round([place.real * 1e3, place.imag * 1e3])
            steps = (base + ways) * 1e-3
            pairs.append(steps[:, 0] + 1j * steps[:, 1] - origin)
        first, second = (grid.ravel() for grid in np.meshgrid(*pairs, indexing="ij"))
        layouts = layouts_between(int(leader.choice[0]), first, second)
        layouts = layouts.take(in_zones(problem, layouts))
        costs = problem.judge.costs(layouts, wanted=problem.wanted, step=0.05)
        held = holds(costs, problem.limits)
        best = min(best, float(objective(costs, problem.ranking)[held].min(initial=np.inf)))
    return best


def test_a_step_too_wide_for_the_zone_gives_a_finer_one() -> None:
    ask, problem, leader = best_of(SEED)
    found = rounded(problem, leader, ask.plane.tape_origin, 0.05)
    assert found.step[0] < 0.05
    assert np.isfinite(found.costs[0])
