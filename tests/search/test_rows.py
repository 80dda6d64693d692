"""Exact judging of layouts: against the findings of the door they make, and by turned points."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from strutkit.decide import limit_rules
from strutkit.decide.judging import study
from strutkit.decide.search import task as names
from strutkit.decide.search.layouts import layouts_between
from strutkit.decide.search.rows import Judge, holds
from strutkit.decide.search.task import (
    RULES,
    SIGNS,
    limit_costs,
    make_choices,
    make_task,
    service_conditions,
)
from strutkit.decide.search.travel import measure_travel
from strutkit.decide.search.zones import door_plane
from strutkit.describe.records import Condition, Door, Limits, Strut
from tests.doors import random_door, seeds
from tests.search import plain_search
from tests.search.problems import random_problem

few = settings(max_examples=12)
LIMITS = Limits(
    hand_opening=1.0,
    hand_closing=1.0,
    lift_off=0.3,
    reserve=0.1,
    reserve_force=5.0,
    latch=3.0,
    travel_compressed=0.01,
    travel_extended=0.003,
    hinge_resultant=100.0,
)


def judge_of(door: Door) -> tuple[Judge, tuple[complex, complex]]:
    """The judge of a door's first strut, and its mounts in the plane."""
    plane, fitted = door_plane(door), door.struts[0]
    offset = float(plane.along(fitted.panel_mount) - plane.along(fitted.frame_mount))
    task = make_task(replace(door, struts=()), plane, offset)
    choices, left_out = make_choices([fitted.strut], [len(door.fitted)], service_conditions(door))
    assert left_out == ()
    return Judge(task, choices), (
        complex(plane.flat(fitted.frame_mount)),
        complex(plane.flat(fitted.panel_mount)),
    )


@few
@given(seeds())
def test_costs_are_the_values_that_findings_judge(seed: int) -> None:
    """One strut or a pair, ended by the stop or by the strut, labels with gaps, tilted, loaded."""
    door = random_door(
        seed,
        struts=1,
        conditions=3,
        mirrored=bool(seed % 2),
        ended_by="strut" if seed % 3 == 0 else "stop",
        assumed=seed % 5 == 0,
    )
    limits = replace(LIMITS, reserve_span=0.2 if seed % 4 else 0.0)
    door = replace(door, limits=limits)
    judge, mounts = judge_of(door)
    costs = judge.costs(layouts_between(0, *mounts))[0]
    found = {one.name: one for one in limit_rules.measure(study(door))}
    for rule, cost, sign in zip(RULES, costs, SIGNS, strict=True):
        if rule not in found:
            assert rule == "travel_extended"  # the struts are the stop
            assert cost == -math.inf
            continue
        value = found[rule].value
        if rule == "reserve" and abs(value) > 1e4:
            continue  # the weight's moment passes zero: a share says nothing there
        value = math.inf if value is None else value
        assert sign * cost == pytest.approx(value, rel=2e-6, abs=2e-6)
        limit = limit_costs(limits)[RULES.index(rule)]
        if abs(cost - limit) > 1e-5 * max(1.0, abs(limit)):
            assert found[rule].ok is bool(cost <= limit)


@few
@given(seeds())
def test_costs_agree_with_turned_points(seed: int) -> None:
    problem = random_problem(seed % 100_000, conditions=2)
    door, strut = problem.door, problem.stock[0]
    around, plane = plain_search.axes(door), door_plane(door)
    rng = np.random.default_rng(seed)
    pairs = [
        plain_search.grid(door, part, 0.03)[rng.integers(0, 3, 12)] for part in ("frame", "panel")
    ]
    places = [
        around.space(flat, plain_search.along(door, part))
        for flat, part in zip(pairs, ("frame", "panel"), strict=True)
    ]
    for count in (1, 2):
        values = plain_search.judge(door, strut, count, *places)
        offset = float(plane.along(places[1][0]) - plane.along(places[0][0]))
        stop = door.hinge.stop_angle
        task = make_task(replace(door, struts=()), plane, offset, least_opening=stop)
        choices, _ = make_choices([strut], [count], service_conditions(door))
        layouts = layouts_between(0, *(plane.flat(one) for one in places))
        judge = Judge(task, choices)
        fits = measure_travel(judge, layouts).fits
        clear = np.abs(np.minimum(*(values[f"travel_{end}"] for end in ("compressed", "extended"))))
        assert (fits == values["fits"])[clear > 2e-6].all()
        costs = judge.costs(layouts)
        for number, rule in enumerate(RULES):
            expected = SIGNS[number] * values[rule]
            both = fits & values["fits"] & (np.abs(expected) < 1e4)
            if rule == "lift_off":
                assert (np.isinf(costs[both, number]) == np.isinf(expected[both])).all()
                both &= np.isfinite(expected) & np.isfinite(costs[:, number])
            np.testing.assert_allclose(costs[both, number], expected[both], rtol=3e-4, atol=3e-4)


def test_a_condition_with_ageing_for_two_struts_is_asked_of_pairs_only() -> None:
    problem = random_problem(5, conditions=0)
    tired = Condition(name="one tired", strut_ageing=(0.1, 1.0))
    conditions = (Condition(name="nominal"), tired)
    choices, _ = make_choices(problem.stock[:1], (1, 2), conditions)
    assert choices.applies.tolist() == [[True, False], [True, True]]
    assert choices.gas[1, 1] == pytest.approx(0.55 * choices.gas[1, 0])


def test_a_strut_that_a_condition_leaves_without_charge_is_left_out_and_said() -> None:
    weak = Strut(name="weak", rating=50.0, extended_length=0.4, stroke=0.15, friction=5.0)
    strong = replace(weak, name="strong", rating=400.0)
    less = Condition(name="leaking", rating_change=-80.0)
    choices, texts = make_choices((weak, strong), (1, 2), (less,))
    assert choices.strut.tolist() == [1, 1]
    assert len(texts) == 1
    assert texts[0].startswith("weak is left out")


def test_a_dip_between_nodes_delays_the_lift_off() -> None:
    """M - Mf touches zero late in the travel: lift-off is there, not at the first root."""
    door = random_door(3, struts=1, conditions=0)
    judge, mounts = judge_of(door)
    layout = layouts_between(0, *mounts)
    end = float(measure_travel(judge, layout).end[0])
    angle = np.linspace(0.0, end, 20_001)
    from strutkit.decide.search.rows import Kept

    kept = Kept(judge, layout, np.array([end]), 3)
    free, rubbing = kept.moments(angle[None, None, :])
    raised = (free - rubbing)[0, 0]
    lowest = int(raised[5000:-5000].argmin()) + 5000
    if not 5000 < lowest < 14_999:
        lowest = 10_000
    shifted = replace(judge.task, hinge_friction=judge.task.hinge_friction + float(raised[lowest]))
    costs = Judge(shifted, judge.choices).costs(layout, wanted=(names.LIFT_OFF,))
    expected = _last_root(angle, raised - raised[lowest])
    assert costs[0, names.LIFT_OFF] == pytest.approx(expected, abs=2e-3)


def _last_root(angle: np.ndarray, raised: np.ndarray) -> float:
    down = np.flatnonzero(raised <= 1e-9)
    if not len(down):
        return 0.0
    return math.inf if down[-1] == len(angle) - 1 else float(angle[down[-1]])


def test_what_does_not_fit_holds_nothing() -> None:
    problem = random_problem(2)
    plane = door_plane(problem.door)
    task = make_task(replace(problem.door, struts=()), plane, 0.0)
    choices, _ = make_choices(problem.stock[:1], (1,), service_conditions(problem.door))
    far = layouts_between(0, np.array([3.0 + 0j]), np.array([-3.0 + 0j]))
    costs = Judge(task, choices).costs(far)
    assert np.isposinf(costs).all()
    assert not holds(costs, np.full(9, np.inf))[0]
