"""Bounds over boxes: no layout that is allowed is ever dropped, and what is hopeless is."""

from dataclasses import replace

import numpy as np
import pytest

from strutkit.compute import geometry
from strutkit.decide.search import task as names
from strutkit.decide.search.bounds import bounded
from strutkit.decide.search.drilling import costs_of
from strutkit.decide.search.hinge import hinge_bounded
from strutkit.decide.search.layouts import Layouts, layouts_between
from strutkit.decide.search.nodes import make_nodes
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.ranges import Boxes
from strutkit.decide.search.request import make_request
from strutkit.decide.search.rows import objective
from strutkit.decide.search.travel import measure_travel
from tests.search.problems import random_problem

SIDES = 10.0 ** np.linspace(-3.5, -1.3, 3)
SEEDS = (1, 3)
"""Of problems; the last digit in base five is the number of their conditions."""


def problem_of(seed: int, *, least_opening: float | None = None, drilling: float = 0.0) -> Problem:
    made = random_problem(seed, conditions=seed % 5)
    ask = make_request(made.door, made.stock, None, None, (1, 2), "hand_force", drilling)
    stop = made.door.hinge.stop_angle
    return ask.problem(1e-3, None, stop if least_opening is None else least_opening)


def random_layouts(problem: Problem, seed: int, count: int = 4000) -> Layouts:
    """Layouts in both zones that fit, of any choice."""
    rng = np.random.default_rng(seed)
    plain = problem.reach._plain_boxes()
    rows = rng.integers(0, len(plain), count)
    boxes = plain.take(rows)
    choice = rng.integers(0, len(problem.judge.choices), count)
    layouts, _ = problem.reach.centres(replace(boxes, choice=choice))
    return layouts.take(measure_travel(problem.judge, layouts).fits)


def worst_costs(problem: Problem, layouts: Layouts) -> np.ndarray:
    """Cost of every rule but the hinge load, each the worst within the drilling error."""
    costs = np.full((len(layouts), 9), -np.inf)
    for rule in range(names.HINGE):
        alone = replace(problem, limits=np.full(9, np.inf), ranking=(rule,))
        costs[:, rule] = costs_of(alone, layouts)[:, rule]
    return costs


def boxes_round(problem: Problem, layouts: Layouts, side: float, seed: int) -> Boxes:
    """Boxes of about a side, each somewhere round a layout."""
    rng = np.random.default_rng(seed)
    count = len(layouts)

    def round_about(value: np.ndarray, width: np.ndarray | float) -> np.ndarray:
        below = rng.uniform(0.0, 1.0, count) * width
        return np.stack([value - below, value - below + width], axis=1)

    end = measure_travel(problem.judge, layouts).end
    return Boxes(
        choice=layouts.choice,
        frame=np.maximum(round_about(layouts.radius_frame, side), 1e-3),
        panel=np.maximum(round_about(layouts.radius_panel, side), 1e-3),
        phase=round_about(layouts.phase, side / layouts.radius_panel),
        by_strut=end < problem.judge.task.stop,
        turn=round_about(layouts.turn, side / layouts.radius_frame),
        cost=np.full(count, -np.inf),
    )


@pytest.mark.parametrize("kind", ["stop", "strut", "drilling", "drilling, strut"])
@pytest.mark.parametrize("seed", SEEDS)
def test_no_allowed_layout_is_dropped(seed: int, kind: str) -> None:
    """Allow exactly what a layout costs: its box stays, and its least cost is no more than that."""
    problem = problem_of(
        seed,
        least_opening=0.0 if kind == "strut" else 0.5 if kind.endswith("strut") else None,
        drilling=0.002 if kind.startswith("drilling") else 0.0,
    )
    layouts = random_layouts(problem, seed, 300 if kind.startswith("drilling") else 1000)
    costs = worst_costs(problem, layouts)
    known = ~np.isposinf(costs[:, names.OPENING])
    layouts, costs = layouts.take(known), costs[known]
    assert len(layouts) > (5 if kind.startswith("drilling") else 20)
    task, choices = problem.judge.task, problem.judge.choices
    for number, side in enumerate(SIDES):
        boxes = boxes_round(problem, layouts, float(side), number)
        boxes = replace(boxes, cost=np.arange(len(boxes)) - 1e9)  # marks each box
        finite = np.where(np.isfinite(costs), costs, 0.0)
        allowed = np.where(np.isfinite(costs), finite + 1e-7 * np.abs(finite) + 1e-9, np.inf)
        nodes = make_nodes(task, choices, np.unique(boxes.choice), 0.1, np.zeros(0))
        kept = bounded(task, choices, boxes, nodes, allowed, ())
        assert sorted(kept.cost) == sorted(boxes.cost)
        for rule in (names.OPENING, names.CLOSING, names.RESERVE, names.LATCH):
            free = np.full(allowed.shape, np.inf)
            own = replace(boxes, cost=np.full(len(boxes), -np.inf))
            ranked = bounded(task, choices, own, nodes, free, (rule,))
            if not kind.endswith("strut"):
                assert (ranked.cost <= costs[:, rule] + 1e-6 * np.abs(costs[:, rule])).all()


def test_the_drilling_error_counts_where_struts_may_end_the_travel() -> None:
    """Round the same layouts small boxes cost more with a drilling error, in most by over 0.3 %."""
    problem = problem_of(1, least_opening=0.5, drilling=0.002)
    layouts = random_layouts(problem, 1, 1000)
    task, choices = problem.judge.task, problem.judge.choices
    boxes = boxes_round(problem, layouts, 1e-4, 1)
    assert 20 < boxes.by_strut.sum() < len(boxes) - 20
    nodes = make_nodes(task, choices, np.unique(boxes.choice), 0.1, np.zeros(0))
    free = np.full((len(boxes), 9), np.inf)
    for by_strut in (False, True):
        own = boxes.take(boxes.by_strut == by_strut)
        worst, placed = (
            bounded(one, choices, own, nodes, free[: len(own)], (names.CLOSING,))
            for one in (task, replace(task, drilling_error=0.0))
        )
        placed = placed.take(np.isin(placed.turn[:, 0], worst.turn[:, 0]))
        assert 20 < len(worst) == len(placed)
        assert (worst.cost >= placed.cost - 1e-9).all()
        assert np.median((worst.cost - placed.cost) / np.abs(placed.cost)) > 0.003


def beyond_at_stop(problem: Problem, layouts: Layouts) -> np.ndarray:
    """How much longer than the struts are the mounts lie apart at most on the way to the stop."""
    offset = np.full(len(layouts), problem.judge.task.offset)
    parts = layouts.radius_frame, layouts.radius_panel, layouts.phase, offset
    longest, _ = geometry.longest(geometry.StrutGeometry(*parts), problem.judge.task.stop)
    return np.asarray(longest - problem.judge.choices.extended[layouts.choice])


def test_stroke_kept_extended_is_the_least_of_all_drilled_places() -> None:
    """Layouts that just end the travel, or just do not, each drilled at 25 by 25 places."""
    delta = 0.002
    problem = problem_of(1, least_opening=0.5, drilling=delta)
    problem = replace(problem, limits=np.full(9, np.inf), ranking=(names.EXTENDED,))
    layouts = random_layouts(problem, 1, 10_000)
    layouts = layouts.take(np.abs(beyond_at_stop(problem, layouts)) < 3.0 * delta)
    counted = -costs_of(problem, layouts)[:, names.EXTENDED]
    turns = np.append(np.exp(1j * np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)), 0.0)
    seen = {"stop": 0, "either": 0, "strut": 0}
    for number in np.flatnonzero(np.isfinite(counted) | np.isposinf(counted)):
        frame, panel = (place[number] for place in layouts.mounts)
        moves = np.meshgrid(delta * turns, delta * turns)
        moved = layouts_between(
            np.full(moves[0].size, layouts.choice[number]),
            frame + moves[0].ravel(),
            panel + moves[1].ravel(),
        )
        travel = measure_travel(problem.judge, moved)
        least = travel.extended[travel.fits].min(initial=np.inf)
        kind = "strut" if np.isposinf(least) else "stop"
        if kind == "stop" and np.isposinf(travel.extended).any():
            kind = "either"
            assert counted[number] == 0.0
        elif kind == "strut":
            surely = beyond_at_stop(problem, moved).min() > 5e-5
            assert counted[number] == np.inf if surely else counted[number] in (0.0, np.inf)
        else:
            assert counted[number] == pytest.approx(least, abs=5e-5)
        seen[kind] += 1
    assert min(seen.values()) > 5


@pytest.mark.parametrize("drilling", [0.0, 0.002])
@pytest.mark.parametrize("seed", SEEDS)
def test_hinge_loads_are_bounded_from_below_and_turns_are_kept(seed: int, drilling: float) -> None:
    problem = problem_of(seed, drilling=drilling)
    layouts = random_layouts(problem, seed, 400 if drilling else 2000)
    every = replace(problem, limits=np.full(9, np.inf), ranking=(names.HINGE,))
    load = objective(costs_of(every, layouts), (names.HINGE,))
    layouts, load = layouts.take(np.isfinite(load)), load[np.isfinite(load)]
    assert len(load) > (5 if drilling else 20)
    angle = np.linspace(0.0, problem.judge.task.stop, 9)
    for number, side in enumerate(SIDES):
        boxes = boxes_round(problem, layouts, float(side), number)
        turns = boxes.turn.copy()
        kept = hinge_bounded(
            problem.judge.task, problem.judge.choices, boxes, angle, load * (1.0 + 1e-9), True
        )
        assert len(kept) == len(layouts)
        assert (kept.cost <= load).all()
        assert (kept.turn[:, 0] <= layouts.turn + 1e-12).all()
        assert (kept.turn[:, 1] >= layouts.turn - 1e-12).all()
        assert (kept.turn >= turns[:, :1] - 1e-12).all()
        if side < 1e-3:
            assert np.median(kept.cost / load) > 0.98
    boxes = boxes_round(problem, layouts, 1e-5, 0)
    angle = np.linspace(0.0, problem.judge.task.stop, 60)
    free = np.full(len(boxes), np.inf)
    tight = hinge_bounded(problem.judge.task, problem.judge.choices, boxes, angle, free, True)
    assert np.median(tight.cost / load) > 0.999


@pytest.mark.parametrize("seed", SEEDS)
def test_small_boxes_round_what_breaks_a_rule_are_dropped(seed: int) -> None:
    """Allow a little less than a layout costs: its small box goes."""
    problem = problem_of(seed)
    every = replace(problem, limits=np.full(9, 1e9), ranking=(names.OPENING, names.CLOSING))
    layouts = random_layouts(problem, seed)
    costs = objective(costs_of(every, layouts), every.ranking)
    layouts, costs = layouts.take(costs > 5.0), costs[costs > 5.0]
    task, choices = problem.judge.task, problem.judge.choices
    nodes = make_nodes(task, choices, np.unique(layouts.choice), 0.0175, np.zeros(0))
    allowed = np.full((len(layouts), 9), np.inf)
    allowed[:, names.OPENING] = allowed[:, names.CLOSING] = 0.98 * costs
    boxes = boxes_round(problem, layouts, 1e-4, seed)
    kept = bounded(task, choices, boxes, nodes, allowed, every.ranking)
    assert len(kept) < 0.02 * len(boxes)


def test_implied_conditions_change_nothing() -> None:
    """Bounds with only the conditions that may decide equal bounds with all of them."""
    problem = problem_of(9)
    task, choices = problem.judge.task, problem.judge.choices
    layouts = random_layouts(problem, 1)
    boxes = boxes_round(problem, layouts, 0.02, 1)
    nodes = make_nodes(task, choices, np.unique(boxes.choice), 0.1, np.zeros(0))
    everything = replace(nodes, low=np.ones_like(nodes.low), high=np.ones_like(nodes.high))
    assert nodes.low.sum() < nodes.low.size
    allowed = np.full((len(boxes), 9), np.inf)
    allowed[:, names.OPENING] = allowed[:, names.CLOSING] = 60.0
    ranking = (names.OPENING, names.CLOSING)
    few, many = (
        bounded(task, choices, boxes, one, allowed, ranking) for one in (nodes, everything)
    )
    assert len(few) == len(many) < len(boxes)
    np.testing.assert_allclose(few.cost, many.cost, rtol=1e-12)
