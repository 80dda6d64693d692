"""Key figures of a sweep: every root by dense sampling and brentq, every peak by closing in.

The curves come from `tests/plain_statics.py`, so roots and peaks are found on numbers of another
route, on a grid of its own.
"""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from scipy.optimize import brentq, minimize_scalar

from strutkit.decide.conditions import all_conditions, door_statics
from strutkit.decide.summary import (
    Summary,
    balance_angles,
    rest_bands,
    summaries,
    summary,
)
from strutkit.decide.sweep import Sweep, sweep, sweep_conditions
from strutkit.describe.records import Condition, Door, FittedStrut, Hinge, Limits, Panel, Strut
from tests import plain_statics
from tests.doors import doors, random_door

GRID = 1501
several = settings(max_examples=6)


class Curves:
    """M and Mf of one condition on a dense grid, and at any angle."""

    def __init__(self, one: Sweep) -> None:
        self.door, self.condition, self.end = one.door, one.condition, one.end_of_travel
        self.angle = np.linspace(0.0, self.end, GRID)
        self.net, self.rubbing = plain_statics.moments(self.door, self.condition, self.angle)

    def at(self, angle: float, side: int) -> float:
        """M + side · Mf at one angle."""
        net, rubbing = plain_statics.moments(self.door, self.condition, np.array([angle]))
        return float(net[0] + side * rubbing[0])

    def roots(self, side: int) -> list[float]:
        value = self.net + side * self.rubbing
        turns = np.flatnonzero(value[:-1] * value[1:] < 0.0)
        return [
            brentq(self.at, self.angle[turn], self.angle[turn + 1], args=(side,), xtol=1e-14)
            for turn in turns
        ]

    def greatest(self, sign: int, side: int) -> float:
        """Greatest value of sign · (M + side · Mf) over the closed travel."""
        value = sign * (self.net + side * self.rubbing)
        best = int(value.argmax())
        low, high = self.angle[max(best - 1, 0)], self.angle[min(best + 1, GRID - 1)]
        for _ in range(3):
            near = np.linspace(low, high, 31)
            net, rubbing = plain_statics.moments(self.door, self.condition, near)
            value = sign * (net + side * rubbing)
            best = int(value.argmax())
            low, high = near[max(best - 1, 0)], near[min(best + 1, 30)]
        return float(value[best])

    @property
    def size(self) -> float:
        return float(np.abs(self.net).max() + self.rubbing.max())


@several
@given(door=doors(conditions=2, faults=True, ended_by="strut"))
def test_balance_angles(door: Door) -> None:
    """Every root of M by brentq; stable where M falls through zero (dense samples)."""
    for one in sweep_conditions(door):
        curves = Curves(one)
        got = balance_angles(one)
        np.testing.assert_allclose([each.angle for each in got], curves.roots(0), atol=1e-10)
        for each in got:
            before, after = (curves.at(each.angle + step, 0) for step in (-1e-6, 1e-6))
            assert before * after < 0.0
            assert each.stable == (before > after)


@several
@given(door=doors(conditions=2, faults=True))
def test_balance_angles_do_not_depend_on_the_angles_of_the_sweep(door: Door) -> None:
    for one in sweep_conditions(door):
        coarse = sweep(door, condition=one.condition, angles=[0.0, one.end_of_travel / 3.0])
        assert balance_angles(coarse) == balance_angles(one)
        assert summary(coarse) == summary(one)


def two_roots_close_together(seed: int, apart: float) -> tuple[Sweep, float] | None:
    """A condition whose net moment dips through zero and back within `apart` [rad].

    M = S + m Mg is zero where m = -S/Mg; just beyond an extreme of that ratio inside the travel
    there are two such angles side by side.
    """
    door = random_door(seed, struts=2, friction=False)
    angle = np.linspace(0.0, door.hinge.stop_angle, GRID)
    plain = Condition(name="plain")
    net, _ = plain_statics.moments(door, plain, angle)
    weight, _ = plain_statics.moments(replace(door, struts=()), plain, angle)
    ratio = 1.0 - net / weight  # mass factor that balances the panel at each angle
    inner = slice(GRID // 10, -GRID // 10)
    usable = (ratio[1:-1] > 0.1) & (ratio[1:-1] < 50.0) & (np.abs(weight[1:-1]) > 0.5)
    turns = np.flatnonzero(usable & (np.diff(ratio[:-1]) * np.diff(ratio[1:]) < 0.0)) + 1
    turns = turns[(turns > inner.start) & (turns < GRID + inner.stop)]
    if not len(turns):
        return None
    turn = int(turns[0])

    def factor(theta: float) -> float:
        one = np.array([theta])
        lifted, _ = plain_statics.moments(door, plain, one)
        pull, _ = plain_statics.moments(replace(door, struts=()), plain, one)
        return float(1.0 - lifted[0] / pull[0])

    step = angle[1]
    sign = 1.0 if ratio[turn] > ratio[turn - 1] else -1.0
    best = minimize_scalar(
        lambda theta: -sign * factor(theta),
        bounds=(angle[turn] - step, angle[turn] + step),
        method="bounded",
        options={"xatol": 1e-12},
    )
    bend = abs(factor(best.x + 0.01) + factor(best.x - 0.01) - 2.0 * factor(best.x)) / 1e-4
    mass_factor = factor(best.x) - sign * bend * (apart / 2.0) ** 2 / 2.0
    return sweep(door, condition=Condition(name="dip", mass_factor=mass_factor)), best.x


@pytest.mark.parametrize("apart", [math.radians(0.3), math.radians(0.05)])
def test_two_balance_angles_between_two_angles_of_the_grid(apart: float) -> None:
    """Both are found, and one of them is stable, the other not."""
    found = [two_roots_close_together(seed, apart) for seed in range(45)]
    pairs = [pair for pair in found if pair is not None]
    assert len(pairs) >= 4
    for one, middle in pairs:
        near = [each for each in balance_angles(one) if abs(each.angle - middle) < 2.0 * apart]
        assert len(near) == 2
        assert near[1].angle - near[0].angle == pytest.approx(apart, rel=0.2)
        curves = Curves(one)
        for each in near:
            before, after = (curves.at(each.angle + step, 0) for step in (-apart / 20, apart / 20))
            assert before * after < 0.0
            assert each.stable == (before > after)


@several
@given(door=doors(conditions=2, faults=True, ended_by="strut"))
def test_lift_off(door: Door) -> None:
    """The last root of M - Mf where it is positive from there on; 0 or None without one."""
    for one in sweep_conditions(door):
        curves = Curves(one)
        resisting = curves.net - curves.rubbing
        got = summary(one).lift_off
        if resisting[-1] <= 0.0:
            assert got is None
            continue
        below = np.flatnonzero(resisting <= 0.0)
        if not len(below):
            assert got == 0.0
            continue
        last = below[-1]
        expected = brentq(
            curves.at, curves.angle[last], curves.angle[last + 1], args=(-1,), xtol=1e-14
        )
        assert got == pytest.approx(expected, abs=1e-10)


@pytest.mark.parametrize("seed", [3, 213, 415, 503])
def test_lift_off_is_the_last_of_several_roots(seed: int) -> None:
    """It rises a little from shut, has to be lifted through a sag, and rises again."""
    one = sweep(random_door(seed))
    curves = Curves(one)
    resisting = curves.net - curves.rubbing
    assert resisting[0] > 0.0
    assert resisting[-1] > 0.0
    first, last = curves.roots(-1)
    assert summary(one).lift_off == pytest.approx(last, abs=1e-10)
    assert last > first + 0.01


@several
@given(door=doors(conditions=2, faults=True, ended_by="strut"))
def test_rest_bands(door: Door) -> None:
    """Maximal intervals with M - Mf <= 0 <= M + Mf, edges by brentq on both curves."""
    for one in sweep_conditions(door):
        curves = Curves(one)
        held = np.abs(curves.net) <= curves.rubbing
        got = rest_bands(one)
        inside = np.zeros(GRID, dtype=bool)
        for low, high in got:
            inside |= (curves.angle >= low - 1e-9) & (curves.angle <= high + 1e-9)
        np.testing.assert_array_equal(inside, held)
        edges = np.sort([*curves.roots(-1), *curves.roots(1)])
        for low, high in got:
            assert 0.0 <= low < high <= one.end_of_travel
            for edge in (low, high):
                if 0.0 < edge < one.end_of_travel:
                    assert np.abs(edges - edge).min() <= 1e-10
        for (_, high), (low, _) in pairwise(got):
            assert high < low


@several
@given(door=doors(conditions=2, faults=True, ended_by="strut"))
def test_peaks(door: Door) -> None:
    """Greatest hand forces over the closed travel, found on ever finer grids; never below 0."""
    for one in sweep_conditions(door):
        curves = Curves(one)
        got = summary(one)
        pull = plain_statics.distance_from_line(door, door.panel.handle)
        push = plain_statics.distance_from_line(door, door.closing_handle)
        opening, closing = curves.greatest(-1, -1), curves.greatest(1, 1)
        slack = 1e-9 * curves.size
        assert got.peak_opening == pytest.approx(max(0.0, opening / pull), abs=slack / pull)
        assert got.peak_closing == pytest.approx(max(0.0, closing / push), abs=slack / push)
        for peak, angle, sign, radius in (
            (got.peak_opening, got.peak_opening_angle, -1, pull),
            (got.peak_closing, got.peak_closing_angle, 1, push),
        ):
            assert 0.0 <= angle <= one.end_of_travel
            if peak > 0.0:
                here = sign * curves.at(angle, sign) / radius
                assert here == pytest.approx(peak, abs=slack / radius)
            else:
                assert angle == 0.0


@several
@given(door=doors(conditions=2, faults=True, ended_by="strut"))
def test_reserves_and_latch(door: Door) -> None:
    """At the end of each one's own travel, and shut; shares of the weight's moment there."""
    radius = plain_statics.distance_from_line(door, door.panel.handle)
    for one in sweep_conditions(door):
        got = summary(one)
        ends = np.array([0.0, one.end_of_travel])
        net, rubbing = plain_statics.moments(door, one.condition, ends)
        weight, _ = plain_statics.moments(
            replace(door, struts=()), replace(one.condition, strut_ageing=None, missing=None), ends
        )
        size = np.abs(net).max()
        assert got.reserve == pytest.approx(net[1] / abs(weight[1]), rel=1e-8)
        with_friction = (net[1] + rubbing[1]) / abs(weight[1])
        assert got.reserve_with_friction == pytest.approx(with_friction, rel=1e-8)
        assert got.reserve_force == pytest.approx(net[1] / radius, abs=1e-9 * size / radius)
        lifting = net[1] - weight[1]
        if lifting > 0.0:
            assert got.gas_to_spare == pytest.approx(net[1] / lifting, rel=1e-7, abs=1e-9)
        else:
            assert got.gas_to_spare is None
        assert got.latch_load == pytest.approx(max(0.0, net[0] / radius), abs=1e-9 * size / radius)
        assert got.seat_load == pytest.approx(max(0.0, -net[0] / radius), abs=1e-9 * size / radius)


@several
@given(door=doors(conditions=1))
def test_gas_to_spare_is_the_gas_it_may_lose(door: Door) -> None:
    """With that share of every strut's gas gone, the panel just balances at the end."""
    for one in sweep_conditions(door):
        spare = summary(one).gas_to_spare
        if spare is None or not 0.0 < spare < 0.95:
            continue
        tired = replace(one.condition, ageing=one.condition.ageing * (1.0 - spare))
        assert sweep(door, condition=tired).moment[-1] == pytest.approx(
            0.0, abs=1e-9 * np.abs(one.strut_moment).max()
        )


@several
@given(door=doors(conditions=2, ended_by="strut"))
def test_reserves_over_a_span(door: Door) -> None:
    """The least over the last part of the travel, by dense sampling."""
    span = 0.4
    door = replace(door, limits=Limits(reserve_span=span))
    radius = plain_statics.distance_from_line(door, door.panel.handle)
    for one in sweep_conditions(door):
        got = summary(one)
        angle = np.linspace(max(0.0, one.end_of_travel - span), one.end_of_travel, 4001)
        swept = sweep(door, condition=one.condition, angles=angle)
        least = float(swept.moment.min())
        size = np.abs(swept.moment).max()
        assert got.reserve_force == pytest.approx(least / radius, abs=1e-7 * size / radius)
        share = float((swept.moment / np.abs(swept.gravity_moment)).min())
        weight = np.abs(swept.gravity_moment)
        if weight.min() > 0.05 * weight.max():
            assert got.reserve == pytest.approx(share, rel=1e-6)
        elif share > -1e3:
            assert got.reserve <= share + 1e-6 * abs(share)
        else:  # the weight's moment passes zero where the net moment is negative: no least share
            assert got.reserve < -1e3


def weightless() -> Door:
    """Centre of gravity over the hinge line when open: the weight has no moment at the stop."""
    strut = Strut(name="left", rating=100.0, extended_length=0.50, stroke=0.30)
    return Door(
        name="lid",
        panel=Panel(mass=10.0, centre_of_gravity=(0.3, 0.0, 0.0), handle=(0.6, 0.0, 0.0)),
        hinge=Hinge(
            first=(0.0, -0.4, 0.0),
            second=(0.0, 0.4, 0.0),
            opens_toward="up",
            stop_angle=math.pi / 2,
        ),
        struts=(
            FittedStrut(strut=strut, frame_mount=(0.1, 0.0, -0.3), panel_mount=(0.1, 0.0, -0.02)),
        ),
    )


def test_share_near_upright_says_nothing_but_does_not_fail() -> None:
    """|Mg| is a rounding there: the share is huge and has the sign of the moment."""
    got = summary(sweep(weightless()))
    assert abs(got.reserve) > 1e10
    assert math.copysign(1.0, got.reserve) == math.copysign(1.0, got.reserve_force)


def test_without_struts_the_panel_falls_and_stays_down() -> None:
    door = replace(weightless(), struts=())
    door = replace(door, hinge=replace(door.hinge, stop_angle=1.0))
    got = summary(sweep(door))
    moment = 10.0 * 9.80665 * 0.3
    assert got.lift_off is None
    assert got.gas_to_spare is None
    assert got.balance == ()
    assert got.rest_bands == ()
    assert got.reserve == got.reserve_with_friction == pytest.approx(-1.0, rel=1e-12)
    assert got.peak_opening == pytest.approx(moment / 0.6, rel=1e-12)
    assert got.peak_opening_angle == 0.0
    assert (got.peak_closing, got.peak_closing_angle) == (0.0, 0.0)
    assert got.seat_load == pytest.approx(moment / 0.6, rel=1e-12)
    assert got.latch_load == 0.0


def test_friction_alone_holds_the_whole_travel() -> None:
    door = replace(weightless(), struts=())
    door = replace(door, hinge=replace(door.hinge, stop_angle=1.0, friction_moment=40.0))
    got = summary(sweep(door))
    assert got.rest_bands == ((0.0, 1.0),)
    assert got.lift_off is None
    assert got.peak_closing == pytest.approx((40.0 - 29.41995 * math.cos(1.0)) / 0.6, rel=1e-9)
    assert got.peak_closing_angle == 1.0


def test_rises_from_shut() -> None:
    door = weightless()
    door = replace(door, panel=replace(door.panel, mass=0.1))
    got = summary(sweep(door, condition=Condition(name="cold", temperature=263.15)))
    assert got.lift_off == 0.0
    assert got.latch_load > 0.0
    assert (got.peak_opening, got.peak_opening_angle) == (0.0, 0.0)
    assert got.seat_load == 0.0


def test_equal_peaks_go_to_the_smallest_angle() -> None:
    """Weight alone, centre 0.5 rad under the level line when shut: its moment at shut and at 1 rad
    is the same, the greatest in between at 0.5; seen from the closing side only friction acts."""
    place = (0.3 * math.cos(0.5), 0.0, -0.3 * math.sin(0.5))
    door = replace(weightless(), struts=())
    door = replace(
        door,
        panel=replace(door.panel, centre_of_gravity=place),
        hinge=replace(door.hinge, stop_angle=1.0, friction_moment=60.0),
    )
    got = summary(sweep(door))
    assert got.peak_opening_angle == pytest.approx(0.5, abs=1e-4)
    assert got.peak_opening == pytest.approx((10.0 * 9.80665 * 0.3 + 60.0) / 0.6, rel=1e-10)
    least = 10.0 * 9.80665 * 0.3 * math.cos(0.5)
    assert got.peak_closing == pytest.approx((60.0 - least) / 0.6, rel=1e-10)


@several
@given(door=doors(conditions=3, faults=True, ended_by="strut"))
def test_all_conditions_at_once_are_each_one_alone(door: Door) -> None:
    together = summaries(door, door_statics(door, all_conditions(door)))
    for one, got in zip(sweep_conditions(door), together, strict=True):
        assert_same(got, summary(one))


def assert_same(got: Summary, expected: Summary) -> None:
    for name in Summary.__slots__:
        ours, theirs = getattr(got, name), getattr(expected, name)
        if name == "balance":
            assert [one.stable for one in ours] == [one.stable for one in theirs]
            ours, theirs = ([one.angle for one in each] for each in (ours, theirs))
        if name == "rest_bands":
            assert len(ours) == len(theirs)
            ours, theirs = np.ravel(ours), np.ravel(theirs)
        if name.endswith("_angle"):
            assert ours == pytest.approx(theirs, abs=1e-3)
        elif ours is None or theirs is None:
            assert ours is theirs, name
        else:
            assert ours == pytest.approx(theirs, rel=1e-8, abs=1e-9), name
