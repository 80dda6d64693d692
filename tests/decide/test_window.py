"""The rating window: its edges found again by changing the ratings and sweeping the door.

All else on the labels stays as it is written; what they leave out follows from the new rating.
Where the margin of a rule passes zero is found by brentq.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache, lru_cache

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from strutkit.decide.conditions import used_tolerance
from strutkit.decide.loads import hinge_loads, radial_forces
from strutkit.decide.sweep import Sweep, sweep
from strutkit.decide.window import rating_window, window_of
from strutkit.describe.records import Condition, Door, FittedStrut, Hinge, Limits, Panel, Strut
from tests import plain_statics
from tests.decide.turning import assert_check_turns_at_the_edges, rated
from tests.doors import random_door

RULES = (
    "hand_opening",
    "hand_closing",
    "lift_off",
    "reserve",
    "reserve_force",
    "latch",
    "hinge_resultant",
    "hinge_radial",
)
HIGHEST = 12.0
ANGLES = 601

Margins = dict[str, dict[str, float]]
"""Rule -> condition -> what is left before the rule breaks."""


def scaled(door: Door, q: float) -> Door:
    """The door with the ratings that q times the present charge F1 + f comes to."""

    def recharged(one: FittedStrut) -> FittedStrut:
        f = plain_statics.label(one.strut)[2]
        rating = q * (one.strut.rating + f) - f
        return replace(one, strut=replace(one.strut, rating=rating))

    return replace(door, struts=tuple(recharged(one) for one in door.struts))


def highest_charge(door: Door) -> float:
    """The greatest q whose gas is under 50 MPa in every tube, beyond all that is made."""
    most = HIGHEST
    for one in door.fitted:
        f = plain_statics.label(one.strut)[2]
        if one.strut.rod_diameter is not None:
            section = math.pi / 4.0 * one.strut.rod_diameter**2
            most = min(most, 49.5e6 * section / (one.strut.rating + f))
    return most


def lowest_charge(door: Door) -> float:
    """The least q that leaves every label a rating and every condition a charge."""
    least = 0.0
    for one in door.fitted:
        f = plain_statics.label(one.strut)[2]
        least = max(least, f / (one.strut.rating + f))
        for condition in door.conditions:
            tolerance = used_tolerance(one.strut)
            change = condition.rating_change + condition.rating_tolerance * tolerance
            least = max(least, -change / (one.strut.rating + f))
    return least * 1.001 + 1e-3


def in_service(door: Door) -> list[Condition]:
    own = [one for one in door.conditions if one.missing is None]
    return [Condition(name="nominal"), *own]


def margins(door: Door, rules: Sequence[str] = RULES) -> Margins:
    """How much is left of each of these rules that is asked, in each condition in service."""
    limits = door.limits
    radius = plain_statics.distance_from_line(door, door.panel.handle)
    got: Margins = {rule: {} for rule in rules if getattr(limits, rule) is not None}
    for condition in in_service(door):
        end = sweep(door, condition=condition, angles=[0.0]).end_of_travel
        whole = np.linspace(0.0, end, ANGLES)
        late = np.linspace(min(limits.lift_off or 0.0, end), end, ANGLES)
        last = np.linspace(max(0.0, end - limits.reserve_span), end, ANGLES)
        angles = {"lift_off": late, "reserve": last, "reserve_force": last}
        swept: dict[int, Sweep] = {}
        for rule, each in got.items():
            asked = angles.get(rule, whole)
            if id(asked) not in swept:
                swept[id(asked)] = sweep(door, condition=condition, angles=asked)
            left = left_of(rule, getattr(limits, rule), swept[id(asked)], radius)
            each[condition.name] = float(left)
    return got


def left_of(rule: str, limit: float, over: Sweep, radius: float) -> float:
    """How much is left of one rule, from a sweep over the angles where it is asked."""
    answers: dict[str, Callable[[], float]] = {
        "hand_opening": lambda: limit - over.hand_force_opening.max(),
        "hand_closing": lambda: limit - over.hand_force_closing.max(),
        "lift_off": (over.moment - over.friction_moment).min,
        "reserve": (over.moment - limit * np.abs(over.gravity_moment)).min,
        "reserve_force": lambda: over.moment.min() / radius - limit,
        "latch": lambda: limit - over.moment[0] / radius,
        "hinge_resultant": lambda: limit - hinge_forces(over)[2],
        "hinge_radial": lambda: limit - max(hinge_forces(over)[:2]),
    }
    return answers[rule]()


@lru_cache(maxsize=8)
def hinge_forces(one: Sweep) -> list[float]:
    """Greatest radial force at either point, cases at rest counted, and of both held by hand."""
    loads = hinge_loads(one)
    held = [float(part.max()) for part in radial_forces(one.door, loads.first, loads.second)]
    for case in loads.cases.values():
        rest = radial_forces(one.door, case.first, case.second)
        held[:2] = [max(a, float(b)) for a, b in zip(held[:2], rest[:2], strict=True)]
    return held


def factor(door: Door, rating: np.ndarray) -> float:
    """The q of ratings per strut, the same for all of them that are not cut at 0 N."""
    friction = np.array([plain_statics.label(one.strut)[2] for one in door.fitted])
    charge = np.array([one.strut.rating for one in door.fitted]) + friction
    q = ((rating + friction) / charge)[rating > 0.0]
    if not len(q):
        return 0.0
    np.testing.assert_allclose(q, q[0], rtol=1e-9)
    return float(q[0])


@cache
def with_limits(seed: int, **wanted: object) -> Door:
    """A random door and limits that it just holds as it is, where it can."""
    door = random_door(seed, conditions=2, faults=True, **wanted)
    rng = np.random.default_rng(seed)
    span = float(rng.choice([0.0, 0.3]))
    free = Limits(
        hand_opening=0.0,
        hand_closing=0.0,
        reserve=0.0,
        reserve_force=0.0,
        latch=0.0,
        hinge_resultant=0.0,
        hinge_radial=0.0,
        reserve_span=span,
    )
    asked = replace(door, limits=free)
    worst = {rule: min(each.values()) for rule, each in margins(asked).items()}
    more = rng.uniform(1.02, 1.4)
    return replace(
        door,
        limits=replace(
            free,
            hand_opening=max(1.0, -worst["hand_opening"] * more),
            hand_closing=max(1.0, -worst["hand_closing"] * more),
            reserve=float(rng.uniform(0.0, 0.3)),
            reserve_force=max(5.0, worst["reserve_force"] * 0.9),
            latch=max(5.0, -worst["latch"] * more),
            hinge_resultant=-worst["hinge_resultant"] * more,
            hinge_radial=-worst["hinge_radial"] * more,
            lift_off=float(rng.uniform(0.2, 1.0)) * door.hinge.stop_angle,
        ),
    )


SEEDS = range(100, 103)


@pytest.mark.parametrize("seed", SEEDS)
def test_edges_are_where_the_margins_pass_zero(seed: int) -> None:
    door = with_limits(seed, ended_by="strut" if seed % 3 == 0 else "stop")
    window = rating_window(door)
    assert set(window.rules) == set(RULES)
    low, high = lowest_charge(door), highest_charge(door)
    grid = np.geomspace(low, high, 16)
    sampled = [margins(scaled(door, q)) for q in grid]

    def margin(rule: str, q: float) -> float:
        return min(margins(scaled(door, q), [rule])[rule].values())

    for rule, interval in window.rules.items():
        values = np.array([min(each[rule].values()) for each in sampled])
        turns = np.flatnonzero(values[:-1] * values[1:] < 0.0)
        edges = [
            brentq(lambda q, r=rule: margin(r, q), grid[i], grid[i + 1], rtol=1e-8) for i in turns
        ]
        if interval.empty:
            assert (values < 0.0).all()
            continue
        ours = [factor(door, interval.low), factor(door, interval.high)]
        inside = [q for q in ours if low < q < high]
        if len(edges) < len(inside):
            middle = (ours[0] + min(ours[1], high)) / 2.0
            assert margin(rule, middle) > 0.0
            edges = [
                brentq(lambda q, r=rule: margin(r, q), a, b, rtol=1e-8)
                for a, b in ((low, middle), (middle, high))
                if margin(rule, a) * margin(rule, b) < 0.0
            ]
        np.testing.assert_allclose(inside, sorted(edges), rtol=2e-5)
        held = (grid >= ours[0]) & (grid <= ours[1])
        near = np.abs(grid[:, None] - np.array(ours)).min(axis=1) < 1e-4 * grid
        np.testing.assert_array_equal((values >= 0.0)[~near], held[~near], err_msg=rule)


@pytest.mark.parametrize("seed", SEEDS)
def test_edges_name_the_condition_that_makes_them(seed: int) -> None:
    door = with_limits(seed)
    window = rating_window(door)
    least = lowest_charge(door)
    for rule, interval in window.rules.items():
        if interval.empty:
            continue
        for name, edge in zip(interval.decided_by, (interval.low, interval.high), strict=True):
            if name is None:
                assert edge.max() == 0.0 or edge.min() == np.inf
                continue
            q = factor(door, edge)
            if not least < q < highest_charge(door):
                continue
            left = margins(scaled(door, q), [rule])[rule]
            tightest = min(left, key=lambda each: left[each])
            size = max(abs(one) for one in left.values())
            assert name == tightest or left[name] - left[tightest] < 1e-4 * size
            assert abs(left[name]) <= 1e-4 * size + 1e-4 * abs(getattr(door.limits, rule))


@pytest.mark.parametrize("seed", SEEDS)
def test_together_they_are_the_intersection(seed: int) -> None:
    door = with_limits(seed)
    window = rating_window(door)
    rules = window.rules.values()
    np.testing.assert_allclose(window.low, np.max([one.low for one in rules], axis=0), rtol=1e-12)
    if not window.empty:
        highs = np.min([one.high for one in rules], axis=0)
        np.testing.assert_allclose(window.high, highs, rtol=1e-12)
        assert (window.low <= window.high).all()
    else:
        assert any(one.empty for one in rules) or (window.low > window.high).any()


def open_label(seed: int, **wanted: object) -> Door:
    """A random door whose labels leave out tolerance and friction, with limits it just holds."""
    door = with_limits(seed, **wanted)
    bare = [replace(one.strut, tolerance=None, friction=None) for one in door.struts]
    struts = tuple(replace(one, strut=strut) for one, strut in zip(door.struts, bare, strict=True))
    return replace(door, struts=struts)


@pytest.mark.parametrize("stated", [True, False], ids=["stated", "assumed"])
def test_check_turns_at_every_edge(stated: bool) -> None:
    """Tolerance and friction stated, or left to what is assumed for each rating."""
    seen = 0
    for seed in range(170, 173):
        wanted = {
            "struts": 1,
            "mirrored": seed % 2 == 0,
            "ended_by": "strut" if seed % 3 == 0 else "stop",
        }
        door = with_limits(seed, **wanted) if stated else open_label(seed, **wanted)
        seen += assert_check_turns_at_the_edges(door, rating_window(door))
    assert seen > 10


def test_the_window_is_the_same_from_every_rating() -> None:
    """What the labels leave out does not leave the window with the present rating's."""
    same = 0
    for seed in range(180, 186):
        door = open_label(seed, struts=1)
        here = rating_window(door)
        there = rating_window(rated(door, np.array([1.3 * door.struts[0].strut.rating])))
        for rule, one in here.rules.items():
            other = there.rules[rule]
            if one.empty or other.empty or one.low > other.high or other.low > one.high:
                continue  # two ranges: each window shows the one nearest to its own rating
            np.testing.assert_allclose(other.low, one.low, rtol=1e-7)
            np.testing.assert_allclose(other.high, one.high, rtol=1e-7)
            same += 1
    assert same > 35


@pytest.mark.parametrize("seed", [202, 203])
def test_one_strut_alone_while_the_others_stay(seed: int) -> None:
    """Two unlike struts: the edges of either are where the check turns with the other as it is."""
    door = with_limits(seed) if seed % 2 else open_label(seed)
    ratings = [one.strut.rating for one in door.fitted]
    seen = 0
    for index in (0, 1):
        window = window_of(door, [index])
        for one in window.rules.values():
            assert one.low[1 - index] == one.high[1 - index] == ratings[1 - index]
        seen += assert_check_turns_at_the_edges(door, window)
    assert seen > 4


def lid(limits: Limits, *, panel_mount: tuple[float, float, float] = (0.30, 0.0, 0.0)) -> Door:
    """A level lid with one strut of constant force and no friction, for windows by hand.

    Its frame mount stands 0.4 m straight under the hinge line: 3-4-5 when shut, so the strut is
    0.5 m long and its lever arm 0.3 · 0.4 / 0.5 = 0.24 m. The weight's moment is 10 g · 0.3 N·m.
    """
    strut = Strut(
        name="left",
        rating=200.0,
        extended_length=0.72,
        stroke=0.30,
        force_ratio=1.0,
        friction=0.0,
    )
    return Door(
        name="lid",
        panel=Panel(mass=10.0, centre_of_gravity=(0.3, 0.0, 0.0), handle=(0.6, 0.0, 0.0)),
        hinge=Hinge(
            first=(0.0, -0.4, 0.0), second=(0.0, 0.4, 0.0), opens_toward="up", stop_angle=1.4
        ),
        struts=(FittedStrut(strut=strut, frame_mount=(0.0, 0.0, -0.4), panel_mount=panel_mount),),
        limits=limits,
    )


WEIGHT = 10.0 * 9.80665 * 0.3


def test_latch_by_hand() -> None:
    """(q · 200 · 0.24 - Mg) / 0.6 <= 30 N."""
    edge = rating_window(lid(Limits(latch=30.0))).rules["latch"]
    assert edge.high == pytest.approx((30.0 * 0.6 + WEIGHT) / 0.24, rel=1e-12)
    assert edge.low == 0.0
    assert edge.decided_by == (None, "nominal")
    assert not edge.empty


def test_the_open_stop_counts_for_either_hinge_point() -> None:
    """A stop near the hinge line takes a great force: where it limits the rating, the check turns
    there; held by the hand at the handle alone more would do."""
    free = lid(Limits(hinge_radial=600.0))
    stopped = replace(free, hinge=replace(free.hinge, stop=(0.04, 0.0, 0.0)))
    by_hand, by_stop = (rating_window(one).rules["hinge_radial"] for one in (free, stopped))
    assert by_stop.high < 0.95 * by_hand.high
    assert assert_check_turns_at_the_edges(stopped, rating_window(stopped)) == 1


def test_hand_opening_by_hand() -> None:
    """-M / 0.6 <= 20 N with M = cos t (0.12 F / L - Mg), L² = 0.25 + 0.24 sin t: the F that each
    angle asks for, and the greatest of them."""

    def asked(t: float) -> float:
        length = math.sqrt(0.25 + 0.24 * math.sin(t))
        return (WEIGHT - 20.0 * 0.6 / math.cos(t)) * length / 0.12

    worst = minimize_scalar(lambda t: -asked(t), bounds=(0.0, 1.4), method="bounded")
    edge = rating_window(lid(Limits(hand_opening=20.0))).rules["hand_opening"]
    assert edge.low == pytest.approx(-worst.fun, rel=1e-9)
    assert edge.low > asked(0.0)
    assert edge.high == np.inf
    assert edge.decided_by == ("nominal", None)


def test_a_rating_change_stays_in_newtons() -> None:
    """With 15 N off every rating the latch lets 15 N more on the label, not a share."""
    door = replace(
        lid(Limits(latch=30.0)), conditions=(Condition(name="strong", rating_change=15.0),)
    )
    edge = rating_window(door).rules["latch"]
    assert edge.high == pytest.approx((30.0 * 0.6 + WEIGHT) / 0.24 - 15.0, rel=1e-12)
    assert edge.decided_by == (None, "strong")


def test_rules_that_no_rating_holds_together() -> None:
    """200 N in hand when open asks for more than the latch allows: each alone has a window."""
    window = rating_window(lid(Limits(latch=1.0, reserve_force=200.0)))
    assert not window.rules["latch"].empty
    assert not window.rules["reserve_force"].empty
    assert window.empty
    assert (window.low > window.high).all()


def test_struts_against_opening_make_upper_edges() -> None:
    """A drop flap opens by its weight: its strut only takes from the reserve, of which the weight
    alone gives a share of 1. More than that no rating gives."""
    flap = lid(Limits(reserve=0.1))
    flap = replace(flap, hinge=replace(flap.hinge, opens_toward="down", stop_angle=0.2))
    window = rating_window(flap)
    edge = window.rules["reserve"]
    assert edge.low == 0.0
    arm = -sweep(flap).lever_arm[0, -1]
    assert edge.high == pytest.approx(0.9 * WEIGHT * math.cos(0.2) / arm, rel=1e-12)
    assert edge.decided_by == (None, "nominal")
    hopeless = rating_window(replace(flap, limits=Limits(reserve=1.1)))
    assert hopeless.rules["reserve"].empty
    assert hopeless.empty


def test_no_limits_no_edges() -> None:
    window = rating_window(random_door(3))
    assert dict(window.rules) == {}
    assert not window.empty
    np.testing.assert_array_equal(window.low, 0.0)
    np.testing.assert_array_equal(window.high, np.inf)


@pytest.mark.parametrize("seed", [120, 121, 122])
def test_faults_and_order_make_no_difference(seed: int) -> None:
    door = with_limits(seed)
    own = tuple(one for one in door.conditions if one.missing is None)
    faults = tuple(one for one in door.conditions if one.missing is not None)
    assert faults
    ours = rating_window(door)
    for conditions in (own, (*faults, *own[::-1])):
        theirs = rating_window(replace(door, conditions=conditions))
        np.testing.assert_allclose(theirs.low, ours.low, rtol=1e-9)
        np.testing.assert_allclose(theirs.high, ours.high, rtol=1e-9)
        for rule, interval in ours.rules.items():
            assert theirs.rules[rule].decided_by == interval.decided_by
            assert theirs.rules[rule].empty == interval.empty


def test_inside_the_window_the_door_holds_its_limits() -> None:
    """One adopted from the middle, one just outside either edge."""
    found = 0
    for seed in range(130, 160):
        door = with_limits(seed, struts=1)
        window = rating_window(door)
        if window.empty or not np.isfinite(window.high).all() or not window.low.all():
            continue
        found += 1
        low, high = factor(door, window.low), factor(door, window.high)
        for q, holds in ((low * 0.999, False), ((low + high) / 2, True), (high * 1.001, False)):
            left = min(min(each.values()) for each in margins(scaled(door, q)).values())
            assert (left >= 0.0) == holds
        if found == 4:
            return
    raise AssertionError("too few doors have a window that is closed on both sides")


def test_nothing_can_be_written() -> None:
    window = rating_window(with_limits(123))
    arrays = [window.low, window.high]
    for one in window.rules.values():
        arrays += [one.low, one.high]
    for array in arrays:
        with pytest.raises(ValueError, match="read-only"):
            array[...] = 1.0
