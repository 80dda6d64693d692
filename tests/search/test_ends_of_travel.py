"""`find_mounts` with struts that end the travel, that pass the hinge line, and with mounts drilled
beside their places."""

import math
from dataclasses import replace

import numpy as np
import pytest

from strutkit.decide.findings import check
from strutkit.decide.search.answers import MountSearch, find_mounts
from strutkit.decide.search.task import RULES
from strutkit.decide.sweep import sweep
from strutkit.describe.records import (
    Limits,
    Zone,
)
from tests.benchmarks import search_stress
from tests.benchmarks.search_stress import awkward
from tests.search import plain_search
from tests.search.hatches import SHORT, STOCK, bin_lid, hatch
from tests.search.problems import random_problem

LONG = STOCK[6:]


@pytest.fixture(scope="module")
def to_stop() -> MountSearch:
    return find_mounts(hatch(), stock=LONG, step=None)


def test_struts_may_end_the_travel_where_that_is_asked(to_stop: MountSearch) -> None:
    """Without a stop in reach: the best candidate's own strut is its stop, and the rules hold."""
    door = replace(hatch(), hinge=replace(hatch().hinge, stop_angle=math.radians(150.0)))
    search = find_mounts(door, stock=LONG[:1], least_opening=math.radians(70.0))
    assert search.proved
    for one in search.candidates:
        swept = sweep(one.door)
        assert swept.ended_by == "strut"
        assert math.radians(70.0) - 1e-6 <= swept.end_of_travel < math.radians(150.0)
        rules = [finding for finding in check(one.door) if finding.name in RULES]
        assert all(finding.ok is not False for finding in rules)
    assert any("end the travel at" in text for text in search.assumptions)
    stock = (to_stop.candidates[0].strut,)
    nearly = find_mounts(hatch(), stock=stock, least_opening=math.radians(80.0), step=None)
    assert nearly.value <= to_stop.value * (1.0 + 1e-3)


def test_struts_that_end_the_travel_are_taken_where_none_reaches_the_stop() -> None:
    """Struts of short stroke, a stop far away: the panel opens at least halfway, on its struts."""
    door = replace(
        hatch(), hinge=replace(hatch().hinge, stop_angle=math.radians(178.0)), limits=Limits()
    )
    short = tuple(replace(one, stroke=0.11) for one in STOCK[:1])

    def zone(part: str, low: float, high: float) -> Zone:
        corners = ((-0.05, low), (0.05, low), (0.05, high), (-0.05, high))
        return Zone(part=part, corners=tuple((x, -0.45, z) for x, z in corners))

    search = find_mounts(
        door,
        stock=short,
        frame_zone=zone("frame", -0.6, -0.3),
        panel_zone=zone("panel", -0.15, -0.06),
    )
    assert search.candidates
    for one in search.candidates:
        swept = sweep(one.door)
        assert swept.ended_by == "strut"
        assert swept.end_of_travel >= math.radians(89.0) - 1e-6


def test_a_strut_over_centre_holds_the_panel_shut() -> None:
    """It passes the hinge line: at shut it presses on the seat, later it lifts."""
    search = find_mounts(bin_lid(), stock=(SHORT,), counts=(1,))
    assert search.proved
    swept = sweep(search.candidates[0].door)
    assert swept.moment[0] <= 0.0
    assert swept.lever_arm[0, 0] < 0.5 * swept.lever_arm[0, -1]


def test_struts_may_end_the_travel_of_some_choices_only() -> None:
    """A layout that ends early beside ones that do not: rows of both are polished together."""
    made = awkward(6)
    search = find_mounts(
        made.door,
        stock=made.stock,
        rank_by=made.rank_by,
        least_opening=made.least_opening,
        step=None,
        progress=lambda _share, _bound, best: best is None,
    )
    assert search.value is not None


def test_drilling_error_counts_every_place_within_it(to_stop: MountSearch) -> None:
    """Random places within 2 mm of both mounts: none breaks a rule or is worse than the value."""
    search = find_mounts(hatch(), stock=LONG, drilling_error=0.002)
    assert search.proved
    assert search.value > to_stop.value
    rng = np.random.default_rng(1)
    for one in search.candidates[:3]:
        assert one.placed_value < one.value

        def moved(mount: tuple[float, float, float]) -> np.ndarray:
            turn, size = rng.uniform(0.0, 2.0 * math.pi, 1500), rng.uniform(0.0, 1.0, 1500)
            reach = 0.002 * np.where(rng.random(1500) < 0.7, 1.0, np.sqrt(size))
            step = np.stack([np.cos(turn), np.zeros(1500), np.sin(turn)], axis=1)
            return np.array(mount) + reach[:, None] * step

        values = plain_search.judge(
            one.door, one.strut, one.count, moved(one.frame_mount), moved(one.panel_mount)
        )
        assert plain_search.holds(one.door, values, slack=1e-5).all()
        worst = float(plain_search.ranked(values, "hand_force").max())
        assert worst <= one.value * (1.0 + 1e-5)
        assert worst >= one.value * 0.99


def test_a_strut_that_ends_the_travel_does_so_however_the_mounts_are_drilled() -> None:
    """Stroke is asked extended, and the strut may be the stop: just short of the frame's stop some
    drilled places would open to it with next to no stroke kept."""
    made = random_problem(2043, tight=1.3, struts=1)
    least = 0.6 * made.door.hinge.stop_angle
    search = find_mounts(
        made.door, stock=made.stock, drilling_error=0.001, least_opening=least, step=None
    )
    assert search.proved
    ended = {sweep(one.door).ended_by for one in search.candidates}
    assert ended == {"strut", "stop"}
    around = plain_search.axes(made.door)
    turns = np.append(np.exp(1j * np.linspace(0.0, 2.0 * math.pi, 24, endpoint=False)), 0.0)
    moves = np.meshgrid(0.001 * turns, 0.001 * turns)
    for one in search.candidates:
        frame, panel = (
            complex(*around.flat(np.array(mount))) + move.ravel()
            for mount, move in zip((one.frame_mount, one.panel_mount), moves, strict=True)
        )
        values = search_stress.judge(made.door, one.strut, one.count, frame, panel, least)
        assert values["fits"].all()
        assert plain_search.holds(made.door, values, slack=1e-5).all()
