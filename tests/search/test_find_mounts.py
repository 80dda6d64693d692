"""`find_mounts` on random problems: never beaten by a grid or by general optimisers, every
candidate within the rules, nothing fits only where nothing does."""

import math
from dataclasses import replace

import numpy as np
import pytest

from strutkit.decide.findings import check
from strutkit.decide.search.answers import Miss, MountSearch, find_mounts
from strutkit.decide.search.task import RULES
from strutkit.decide.sweep import sweep
from strutkit.describe.records import (
    Condition,
    Door,
    FittedStrut,
    Hinge,
    Limits,
    Panel,
    Strut,
    Zone,
)
from strutkit.errors import RecordError
from tests.benchmarks.search_stress import awkward, stressed
from tests.search import plain_search
from tests.search.comparing import compared
from tests.search.problems import random_problem

RANKINGS = ("hand_force", "reserve", "hinge_resultant")


@pytest.mark.parametrize("seed", range(12))
def test_nobody_beats_the_search_on_random_problems(seed: int) -> None:
    problem = random_problem(seed + 1000)
    found = compared(problem, RANKINGS[seed % 3], spacing=0.035, seed=seed)
    assert found.complaints == ()
    assert found.search.proved


@pytest.mark.parametrize("seed", range(6))
def test_impossible_limits_are_proved_so_and_the_grid_agrees(seed: int) -> None:
    problem = random_problem(seed, tight=0.8)
    found = compared(problem, "hand_force", spacing=0.03, evolutions=0)
    assert found.complaints == ()
    search = found.search
    if search.candidates:
        return
    assert (search.value, search.bound) == (None, None)
    assert found.grid_best == math.inf
    asked = [rule for rule in RULES if getattr(problem.door.limits, rule) is not None]
    assert [one.rule for one in search.nearest_miss] == asked
    assert search.words.startswith("Nothing fits")


def hatch(**limits: float) -> Door:
    """A rear hatch of our own that hangs from its upper edge and opens to near level."""

    def zone(part: str, low_x: float, high_x: float, low_z: float, high_z: float) -> Zone:
        corners = ((low_x, low_z), (high_x, low_z), (high_x, high_z), (low_x, high_z))
        return Zone(part=part, corners=tuple((x, -0.45, z) for x, z in corners))

    asked = {"hand_closing": 110.0, "lift_off": math.radians(35.0), "reserve_force": 10.0}
    return Door(
        name="rear hatch",
        panel=Panel(
            mass=14.0, centre_of_gravity=(0.03, 0.0, -0.45), handle=(0.05, 0.0, -0.95), width=1.0
        ),
        hinge=Hinge(
            first=(0.0, -0.4, 0.0),
            second=(0.0, 0.4, 0.0),
            opens_toward="out",
            stop_angle=math.radians(85.0),
        ),
        conditions=(
            Condition(name="frost, old", temperature=253.15, ageing=0.85),
            Condition(name="heat", temperature=333.15, rating_tolerance=1.0),
        ),
        limits=Limits(**{**asked, "travel_compressed": 0.01, "travel_extended": 0.005, **limits}),
        zones=(zone("frame", -0.2, -0.02, -0.7, -0.05), zone("panel", 0.0, 0.06, -0.4, -0.08)),
    )


STOCK = tuple(
    Strut(
        name=f"{rating:.0f} N, {length * 1e3:.0f} mm",
        rating=rating,
        extended_length=length,
        stroke=stroke,
        force_ratio=1.3,
        friction=8.0 + 0.05 * rating,
        rod_diameter=0.008 if rating < 450.0 else 0.010,
        tolerance=15.0,
    )
    for length, stroke in ((0.445, 0.18), (0.525, 0.22), (0.605, 0.25))
    for rating in (250.0, 400.0, 600.0)
)


@pytest.fixture(scope="module")
def found() -> MountSearch:
    return find_mounts(hatch(), stock=STOCK)


def test_every_candidate_passes_the_check_of_its_own_door(found: MountSearch) -> None:
    assert found.proved
    assert len(found.candidates) >= 4
    for one in found.candidates:
        findings = {finding.name: finding for finding in check(one.door)}
        for rule in RULES:
            if getattr(one.door.limits, rule) is not None:
                assert findings[rule].ok, rule
        force = max(findings["hand_opening"].value, findings["hand_closing"].value)
        assert one.value == pytest.approx(force, rel=1e-6)
        assert one.placed_value == pytest.approx(one.value, rel=1e-9)
        assert {finding.name for finding in one.failures} <= set(findings) - set(RULES)


def test_candidates_are_one_for_each_strut_and_count_best_first(found: MountSearch) -> None:
    pairs = [(one.strut.name, one.count) for one in found.candidates]
    assert len(set(pairs)) == len(pairs)
    values = [one.value for one in found.candidates]
    assert values == sorted(values)
    assert found.value is not None
    assert found.bound is not None
    assert found.bound <= found.value <= values[0]
    assert found.value - found.bound <= 1e-3 * found.value + 1e-9
    assert found.words.startswith("The largest hand force is")


def test_mounts_lie_on_whole_millimetres_in_their_zones(found: MountSearch) -> None:
    for one in found.candidates:
        for place, part in ((one.frame_mount, "frame"), (one.panel_mount, "panel")):
            assert all(abs(value * 1e3 - round(value * 1e3)) < 1e-6 for value in place)
            corners = np.array(plain_search.zone_of(one.door, part).corners)
            assert (np.array(place) >= corners.min(axis=0) - 1e-9).all()
            assert (np.array(place) <= corners.max(axis=0) + 1e-9).all()
        assert one.rounding_cost > -1e-3


def test_the_candidate_s_door_keeps_the_place_and_says_the_row(found: MountSearch) -> None:
    leader = found.candidates[0]
    hung = leader.door.struts[0]
    assert hung.strut.order_code == leader.strut.name
    assert hung.mirrored is (leader.count == 2)
    assert len(leader.door.fitted) == leader.count
    own = FittedStrut(
        strut=STOCK[0], frame_mount=(-0.1, -0.45, -0.4), panel_mount=(0.02, -0.45, -0.2)
    )
    holes = {
        "frame_hole": (0.0, 0.02, 0.01),
        "panel_hole": (0.01, -0.02, 0.0),
        "frame_thread": "M8",
        "panel_thread": "M6",
    }
    own = replace(own, strut=replace(STOCK[0], name="left"), **holes)
    door = replace(hatch(), struts=(own,))
    again = find_mounts(door, stock=STOCK[-1:], counts=(2,), step=None)
    adopted = again.candidates[0].door.struts[0]
    assert adopted.strut.name == "left"
    assert {name: getattr(adopted, name) for name in holes} == holes


def test_rounding_can_be_left_out(found: MountSearch) -> None:
    exact = find_mounts(hatch(), stock=STOCK, step=None)
    assert exact.value == pytest.approx(found.value, rel=2e-3)
    assert exact.candidates[0].rounding_cost == 0.0
    assert exact.candidates[0].value == exact.value


def test_a_wider_zone_or_an_eased_limit_is_never_worse(found: MountSearch) -> None:
    eased = find_mounts(hatch(reserve_force=5.0), stock=STOCK, step=None)
    assert eased.value <= found.value * (1.0 + 1e-3)
    frame = replace(
        hatch().zones[0],
        corners=tuple((1.2 * x + 0.01, y, 1.05 * z) for x, y, z in hatch().zones[0].corners),
    )
    wider = find_mounts(
        replace(hatch(), zones=hatch().zones[1:]), stock=STOCK, frame_zone=frame, step=None
    )
    assert wider.value <= found.value * (1.0 + 1e-3)


def test_a_zone_given_counts_instead_of_the_door_s(found: MountSearch) -> None:
    door = replace(hatch(), zones=())
    given = find_mounts(door, stock=STOCK, frame_zone=hatch().zones[0], panel_zone=hatch().zones[1])
    assert given.value == pytest.approx(found.value)


def test_the_nearest_miss_is_what_its_own_search_gives() -> None:
    """The best closing force with no limit on it, once as a miss and once as what is ranked."""
    missed = find_mounts(hatch(hand_closing=60.0), stock=STOCK)
    assert missed.candidates == ()
    assert missed.proved
    closing = next(one for one in missed.nearest_miss if one.rule == "hand_closing")
    free = find_mounts(hatch(hand_closing=1e6), stock=STOCK, step=None)
    assert closing.best_value == pytest.approx(free.value, rel=2e-3)
    assert f"to shut it takes {math.ceil(closing.best_value)} N at best" in missed.words
    assert missed.words.endswith(".")
    reserve = next(one for one in missed.nearest_miss if one.rule == "reserve_force")
    if reserve.best_value is not None:
        eased = hatch(hand_closing=60.0, reserve_force=reserve.best_value * 0.98)
        assert find_mounts(eased, stock=STOCK).candidates
        worse = hatch(hand_closing=60.0, reserve_force=reserve.best_value * 1.02 + 0.1)
        assert not find_mounts(worse, stock=STOCK).candidates


@pytest.mark.parametrize(
    ("rule", "limit", "eased"),
    [
        ("latch", 0.5, 1.03),
        ("hinge_resultant", 300.0, 1.02),
        ("travel_compressed", 0.24, 0.98),
        ("travel_extended", 0.2, 0.98),
        ("reserve", 3.0, 0.98),
    ],
)
def test_every_rule_can_be_the_nearest_miss(rule: str, limit: float, eased: float) -> None:
    """With the limit eased to what the miss says, something fits; a little short of it, nothing."""
    assert_nearest_miss(hatch(**{rule: limit}), STOCK[5:6], (1, 2), rule, eased)


def assert_nearest_miss(
    door: Door, stock: tuple[Strut, ...], counts: tuple[int, ...], rule: str, eased: float
) -> None:
    missed = find_mounts(door, stock=stock, counts=counts)
    assert missed.candidates == ()
    best = next(one.best_value for one in missed.nearest_miss if one.rule == rule)
    assert best is not None
    enough = replace(door, limits=replace(door.limits, **{rule: best * eased}))
    assert find_mounts(enough, stock=stock, counts=counts, step=None).candidates
    short = replace(door, limits=replace(door.limits, **{rule: best / eased}))
    assert not find_mounts(short, stock=stock, counts=counts, step=None).candidates


def test_zones_out_of_reach_are_proved_so() -> None:
    short = (replace(STOCK[0], extended_length=0.12, stroke=0.04, rating=100.0),)
    far = Zone(
        part="frame",
        corners=tuple((x - 1.5, y, z) for x, y, z in hatch().zones[0].corners),
    )
    search = find_mounts(hatch(), stock=short, frame_zone=far)
    assert search.proved
    assert search.candidates == ()
    assert search.nearest_miss == ()
    assert search.words == "Nothing fits: no strut of the stock reaches between these zones."


def test_with_no_limits_at_all_zones_out_of_reach_are_said() -> None:
    short = (replace(STOCK[0], extended_length=0.12, stroke=0.04, rating=100.0),)
    far = Zone(
        part="frame",
        corners=tuple((x - 1.5, y, z) for x, y, z in hatch().zones[0].corners),
    )
    search = find_mounts(replace(hatch(), limits=Limits()), stock=short, frame_zone=far)
    assert search.proved
    assert search.nearest_miss == ()
    assert "no strut of the stock reaches" in search.words


def test_contradicting_limits_are_proved_to_leave_nothing() -> None:
    search = find_mounts(hatch(latch=0.0, lift_off=0.0, reserve=5.0), stock=STOCK[:3])
    assert search.proved
    assert search.candidates == ()


def test_struts_may_end_the_travel_where_that_is_asked() -> None:
    """Without a stop in reach: the best candidate's own strut is its stop, and the rules hold."""
    door = replace(hatch(), hinge=replace(hatch().hinge, stop_angle=math.radians(150.0)))
    search = find_mounts(door, stock=STOCK, least_opening=math.radians(70.0))
    assert search.proved
    for one in search.candidates[:4]:
        swept = sweep(one.door)
        assert swept.ended_by == "strut"
        assert math.radians(70.0) - 1e-6 <= swept.end_of_travel < math.radians(150.0)
        rules = [finding for finding in check(one.door) if finding.name in RULES]
        assert all(finding.ok is not False for finding in rules)
    assert any("end the travel at" in text for text in search.assumptions)
    nearly = find_mounts(hatch(), stock=STOCK, least_opening=math.radians(80.0), step=None)
    to_stop = find_mounts(hatch(), stock=STOCK, step=None)
    assert nearly.value <= to_stop.value * (1.0 + 1e-3)


def test_struts_that_end_the_travel_are_taken_where_none_reaches_the_stop() -> None:
    """Struts of short stroke, a stop far away: the panel opens at least halfway, on its struts."""
    door = replace(
        hatch(), hinge=replace(hatch().hinge, stop_angle=math.radians(178.0)), limits=Limits()
    )
    short = tuple(replace(one, stroke=0.11) for one in STOCK[:2])

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


def bin_lid(**limits: float) -> Door:
    """A level lid of our own with zones on either side of the hinge line's height."""

    def zone(part: str, low_x: float, high_x: float, low_z: float, high_z: float) -> Zone:
        corners = ((low_x, low_z), (high_x, low_z), (high_x, high_z), (low_x, high_z))
        return Zone(part=part, corners=tuple((x, 0.2, z) for x, z in corners))

    asked = {"latch": 0.0, "reserve_force": 2.0, "hand_opening": 80.0, "hand_closing": 80.0}
    return Door(
        name="bin lid",
        panel=Panel(mass=3.0, centre_of_gravity=(0.3, 0.0, 0.0), handle=(0.6, 0.0, 0.0)),
        hinge=Hinge(
            first=(0.0, -0.3, 0.0),
            second=(0.0, 0.3, 0.0),
            opens_toward="up",
            stop_angle=math.radians(80.0),
        ),
        limits=Limits(**{**asked, **limits}),
        zones=(zone("frame", 0.30, 0.42, -0.05, 0.0), zone("panel", 0.10, 0.18, 0.0, 0.05)),
    )


SHORT = Strut(
    name="short", rating=200.0, extended_length=0.40, stroke=0.25, force_ratio=1.3, friction=6.0
)


def test_a_strut_over_centre_holds_the_panel_shut() -> None:
    """It passes the hinge line: at shut it presses on the seat, later it lifts."""
    search = find_mounts(bin_lid(), stock=(SHORT,), counts=(1,))
    assert search.proved
    swept = sweep(search.candidates[0].door)
    assert swept.moment[0] <= 0.0
    assert swept.lever_arm[0, 0] < 0.5 * swept.lever_arm[0, -1]


def test_the_lift_off_can_be_the_nearest_miss() -> None:
    """Shut by its strut, with a stiff hinge: it can rise by itself only some degrees later."""
    door = bin_lid(lift_off=math.radians(1.0))
    stiff = replace(door, hinge=replace(door.hinge, friction_moment=2.0))
    assert_nearest_miss(stiff, (SHORT,), (1,), "lift_off", 1.03)


def test_struts_that_work_against_opening_hold_a_flap_back() -> None:
    """A drop flap hinged at its foot: its weight opens it, the struts push it shut."""
    door = Door(
        name="drop flap",
        panel=Panel(mass=9.0, centre_of_gravity=(0.02, 0.0, 0.30), handle=(0.02, 0.0, 0.60)),
        hinge=Hinge(
            first=(0.0, -0.3, 0.0),
            second=(0.0, 0.3, 0.0),
            opens_toward="out",
            stop_angle=math.radians(90.0),
        ),
        limits=Limits(hand_closing=60.0, hand_opening=60.0),
        conditions=(Condition(name="frost", temperature=253.15),),
        zones=(
            Zone(
                part="frame",
                corners=((-0.4, 0.2, 0.1), (-0.25, 0.2, 0.1), (-0.25, 0.2, 0.3), (-0.4, 0.2, 0.3)),
            ),
            Zone(
                part="panel",
                corners=((0.0, 0.2, 0.15), (0.03, 0.2, 0.15), (0.03, 0.2, 0.3), (0.0, 0.2, 0.3)),
            ),
        ),
    )
    stock = tuple(
        Strut(
            name=f"{rating:.0f}",
            rating=rating,
            extended_length=0.62,
            stroke=0.30,
            force_ratio=1.3,
            friction=8.0,
        )
        for rating in (60.0, 120.0, 240.0)
    )
    search = find_mounts(door, stock=stock)
    assert search.proved
    assert search.candidates[0].value <= 60.0
    assert fitting(search) == fitting_on_grid(door, stock, 0.02)


def fitting(search: MountSearch) -> set[tuple[str, int]]:
    """Strut and count of every candidate."""
    return {(one.strut.name, one.count) for one in search.candidates}


def fitting_on_grid(door: Door, stock: tuple[Strut, ...], spacing: float) -> set[tuple[str, int]]:
    """Strut and count of which any layout of an exhaustive grid holds all rules."""
    every = [(strut, count) for strut in stock for count in (1, 2)]
    return {
        (strut.name, count)
        for strut, count in every
        if plain_search.grid_search(door, strut, count, spacing, "hand_force")[1]
    }


def test_as_many_choices_fit_as_an_exhaustive_grid_finds() -> None:
    """Short struts, of which none fits only between the grid's places."""
    short = STOCK[:3]
    search, feasible = find_mounts(hatch(), stock=short), fitting_on_grid(hatch(), short, 0.02)
    assert 0 < len(feasible) < 2 * len(short)
    assert fitting(search) == feasible
    assert len(search.candidates) == len(feasible)


def test_a_pair_with_one_tired_strut_is_judged_with_both() -> None:
    tired = Condition(name="left tired", strut_ageing=(0.7, 1.0))
    door = replace(hatch(), conditions=(*hatch().conditions, tired))
    search = find_mounts(door, stock=STOCK[6:9])
    text = "left tired is left out for 1 strut: it has an ageing factor for each of 2."
    assert text in search.assumptions
    for one in search.candidates:
        assert ("left tired" in [c.name for c in one.door.conditions]) is (one.count == 2)
        rules = [finding for finding in check(one.door) if finding.name in RULES]
        assert all(finding.ok is not False for finding in rules)


def test_faults_are_kept_where_the_strut_is_there() -> None:
    lost = (Condition(name="left lost", missing=0), Condition(name="right lost", missing=1))
    door = replace(hatch(), conditions=lost)
    search = find_mounts(door, stock=STOCK[6:9])
    for one in search.candidates:
        kept = [c.name for c in one.door.conditions]
        assert kept == ["left lost", "right lost"][: one.count]
    assert (
        "right lost is left out for 1 strut: it is strut 1 that is missing." in search.assumptions
    )


def test_what_labels_leave_out_is_said() -> None:
    bare = tuple(replace(one, force_ratio=None, friction=None) for one in STOCK[6:9])
    search = find_mounts(hatch(), stock=bare)
    assert any("force ratio 1.3 assumed" in text for text in search.assumptions)
    assert any("friction" in text and "assumed" in text for text in search.assumptions)


def test_drilling_error_counts_every_place_within_it() -> None:
    """Random places within 2 mm of both mounts: none breaks a rule or is worse than the value."""
    search = find_mounts(hatch(), stock=STOCK, drilling_error=0.002)
    assert search.proved
    placed = find_mounts(hatch(), stock=STOCK)
    assert search.value > placed.value
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


def test_progress_is_told_and_stops_the_search() -> None:
    told: list[tuple[float, float | None, float | None]] = []

    def stop_soon(fraction: float, bound: float | None, best: float | None) -> bool:
        told.append((fraction, bound, best))
        return len(told) < 3

    search = find_mounts(hatch(), stock=STOCK, progress=stop_soon)
    assert len(told) >= 3
    assert not search.proved
    assert [one[0] for one in told] == sorted(one[0] for one in told)
    whole = find_mounts(hatch(), stock=STOCK)
    assert search.bound <= whole.value <= search.value * (1.0 + 1e-9)
    assert "Stopped early, but sure: no layout takes under" in search.words


def test_a_time_limit_gives_the_honest_bound() -> None:
    search = find_mounts(hatch(), stock=STOCK, time_limit=1e-9)
    assert not search.proved
    assert search.candidates == ()
    assert search.value is None
    assert search.nearest_miss == ()
    assert search.words == "Stopped before anything was found that fits; it may still exist."


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"stock": ()}, "stock is empty; give at least one strut"),
        ({"stock": ("strut",)}, "stock: row 1 is 'strut'; give Strut records"),
        ({"stock": STOCK[:1] * 5001}, "stock has 5001 struts; give at most 5000"),
        ({"counts": ()}, r"counts is \(\); write \(1,\), \(2,\) or \(1, 2\)"),
        ({"counts": (3,)}, r"counts is \(3,\); write"),
        (
            {"rank_by": "price"},
            "rank_by is 'price'; write one of hand_force, reserve, hinge_result",
        ),
        ({"drilling_error": -0.001}, "drilling_error is -1 mm; write 0 mm to 20 mm"),
        ({"drilling_error": 0.03}, "drilling_error is 30 mm; write 0 mm to 20 mm"),
        ({"step": 0.0}, "step is 0 mm; write over 0 mm, to 50 mm, or None"),
        ({"tolerance": 0.0}, "tolerance is 0; write a share from 0.00001 to 0.5"),
        ({"time_limit": 0.0}, "time_limit is 0 s; write over 0 s, or None"),
        ({"least_opening": -0.1}, "least_opening is -5.72958°; write an angle from 0°, or None"),
        ({"frame_zone": hatch().zones[1]}, "frame zone: the one given lies on the panel; give one"),
        ({"panel_zone": "here"}, "panel zone is 'here'; give a Zone"),
    ],
)
def test_requests_that_make_no_sense_are_refused(asked: dict[str, object], words: str) -> None:
    with pytest.raises(RecordError, match=words):
        find_mounts(hatch(), **{"stock": STOCK, **asked})


def test_a_door_with_no_zone_or_two_says_which_to_give() -> None:
    with pytest.raises(RecordError, match="it has 0 frame zones; give the one to search, or mark"):
        find_mounts(replace(hatch(), zones=()), stock=STOCK)
    double = replace(hatch(), zones=(*hatch().zones, hatch().zones[1]))
    with pytest.raises(RecordError, match="it has 2 panel zones"):
        find_mounts(double, stock=STOCK)


def test_pairs_that_would_meet_in_the_middle_are_left_out() -> None:
    zones = tuple(
        replace(one, corners=tuple((x, 0.0, z) for x, _, z in one.corners)) for one in hatch().zones
    )
    door = replace(hatch(), zones=zones)
    search = find_mounts(door, stock=STOCK[:1])
    assert "Pairs are left out" in search.assumptions[0]
    assert all(one.count == 1 for one in search.candidates)
    with pytest.raises(RecordError, match="Ask for one strut, or move the zones to one side"):
        find_mounts(door, stock=STOCK[:1], counts=(2,))


def test_a_miss_that_does_not_help_has_no_words() -> None:
    assert Miss(rule="latch", best_value=None, limit=5.0).words == ""
    assert Miss(rule="latch", best_value=7.2, limit=5.0).words == (
        "Shut, it pushes on the latch with 8 N at best; the limit is 5 N."
    )


def test_stopped_after_the_proof_no_miss_is_made_up() -> None:
    """Stopped while the nearest misses are looked for: only what is proved is told."""
    whole = find_mounts(hatch(hand_closing=60.0), stock=STOCK)
    known = {one.rule: one.best_value for one in whole.nearest_miss}
    assert not whole.stopped
    for calls in range(1, 8):
        answers = iter([True] * calls)
        search = find_mounts(
            hatch(hand_closing=60.0),
            stock=STOCK,
            progress=lambda *_, more=answers: next(more, False),
        )
        assert search.candidates == ()
        assert search.stopped
        for one in search.nearest_miss:
            assert one.best_value == pytest.approx(known[one.rule])
        if not search.nearest_miss:
            assert "topped before" in search.words


def test_struts_may_end_the_travel_of_some_choices_only() -> None:
    """A layout that ends early beside ones that do not: rows of both are polished together."""
    made = awkward(6)
    search = find_mounts(
        made.door,
        stock=made.stock,
        rank_by=made.rank_by,
        least_opening=made.least_opening,
        step=None,
        time_limit=2.0,
    )
    assert search.value is not None


@pytest.mark.parametrize("seed", range(400, 406))
def test_a_layout_that_is_known_to_hold_is_never_proved_away(seed: int) -> None:
    _, wrong = stressed(awkward(seed), seed, 30.0)
    assert wrong == []


def test_a_candidate_that_fails_beyond_the_searched_rules_says_why(found: MountSearch) -> None:
    door = hatch()
    radial = replace(door, limits=replace(door.limits, hinge_radial=50.0))
    search = find_mounts(radial, stock=STOCK[6:9])
    assert search.candidates
    for one in search.candidates:
        reasons = {finding.name: finding for finding in one.failures}
        assert reasons["hinge_radial"].value > 50.0
        assert "N" in reasons["hinge_radial"].words
