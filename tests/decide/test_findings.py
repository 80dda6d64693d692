"""Findings: what they judge, against values measured on a dense grid by a second route
(`tests/plain_statics.py`), and what they say."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from strutkit.decide.findings import check, verdict
from strutkit.decide.judging import Finding
from strutkit.decide.loads import hinge_loads
from strutkit.decide.sweep import sweep
from strutkit.describe.records import (
    Condition,
    Door,
    FittedStrut,
    Hinge,
    Limits,
    Panel,
    Strut,
)
from tests import plain_statics
from tests.doors import doors

few = settings(max_examples=4)


def lid(**changes: object) -> Door:
    """A level lid of our own, 0.7 m deep, with one strut of known label in its middle plane."""
    strut = Strut(
        name="only",
        rating=400.0,
        extended_length=0.42,
        stroke=0.16,
        force_ratio=1.3,
        friction=12.0,
        rod_diameter=0.008,
    )
    door = Door(
        name="lid",
        panel=Panel(mass=7.0, centre_of_gravity=(0.35, 0.0, 0.0), handle=(0.7, 0.0, 0.0)),
        hinge=Hinge(
            first=(0.0, -0.3, 0.0),
            second=(0.0, 0.3, 0.0),
            opens_toward="up",
            stop_angle=math.radians(60.0),
        ),
        struts=(
            FittedStrut(
                strut=strut, frame_mount=(0.40, 0.2, -0.10), panel_mount=(0.12, 0.2, -0.01)
            ),
        ),
    )
    return replace(door, **changes)


def flap(**changes: object) -> Door:
    """A flap hinged at its foot that its weight opens by 90°, held back by one strut."""
    strut = Strut(
        name="only",
        rating=150.0,
        extended_length=0.60,
        stroke=0.3,
        force_ratio=1.3,
        friction=10.0,
    )
    door = Door(
        name="flap",
        panel=Panel(mass=9.0, centre_of_gravity=(0.02, 0.0, 0.30), handle=(0.02, 0.0, 0.60)),
        hinge=Hinge(
            first=(0.0, -0.3, 0.0),
            second=(0.0, 0.3, 0.0),
            opens_toward="out",
            stop_angle=math.radians(90.0),
        ),
        struts=(
            FittedStrut(strut=strut, frame_mount=(-0.35, 0.2, -0.05), panel_mount=(0.0, 0.2, 0.2)),
        ),
    )
    return replace(door, **changes)


def by_name(door: Door) -> dict[str, Finding]:
    return {finding.name: finding for finding in check(door)}


def service(door: Door) -> list[Condition]:
    named = [Condition(name="nominal"), *door.conditions]
    return [one for one in named if one.missing is None]


def label(**changes: object) -> Strut:
    return replace(lid().struts[0].strut, **changes)


def dense(door: Door) -> np.ndarray:
    return np.linspace(0.0, door.hinge.stop_angle, 4001)


@few
@given(door=doors(conditions=2))
def test_peaks_are_those_of_a_dense_grid(door: Door) -> None:
    radius = plain_statics.distance_from_line(door, door.panel.handle)
    closing_handle = door.panel.closing_handle or door.panel.handle
    closing_radius = plain_statics.distance_from_line(door, closing_handle)
    opening, closing = [], []
    for condition in service(door):
        net, rubbing = plain_statics.moments(door, condition, dense(door))
        opening.append(max(0.0, (-(net - rubbing)).max()) / radius)
        closing.append(max(0.0, (net + rubbing).max()) / closing_radius)
    found = by_name(door)
    for name, values in (("hand_opening", opening), ("hand_closing", closing)):
        assert found[name].value == pytest.approx(max(values), rel=1e-5, abs=1e-6)
        decides = service(door)[int(np.argmax(values))].name
        if max(values) - sorted(values)[-2] > 1e-3:
            assert found[name].condition == decides


@few
@given(door=doors(conditions=2))
def test_a_limit_fails_just_below_the_value_and_passes_just_above(door: Door) -> None:
    free = by_name(door)
    for name in ("hand_opening", "hand_closing", "hinge_radial", "hinge_resultant", "latch"):
        value = free[name].value if name in free else free["latch_load"].value
        if value is None or value <= 1.0:
            continue
        for factor, ok in ((0.999, False), (1.001, True)):
            asked = replace(door, limits=Limits(**{name: factor * value}))
            assert by_name(asked)[name].ok is ok, (name, factor)


@few
@given(door=doors(conditions=1))
def test_reserve_is_asked_over_the_span_and_in_the_worst_condition(door: Door) -> None:
    span = 0.3 * door.hinge.stop_angle
    low = door.hinge.stop_angle - span
    angles = np.linspace(low, door.hinge.stop_angle, 3001)
    radius = plain_statics.distance_from_line(door, door.panel.handle)
    least = min(
        plain_statics.moments(door, condition, angles)[0].min() / radius
        for condition in service(door)
    )
    asked = replace(door, limits=Limits(reserve_force=1.0, reserve_span=span))
    finding = by_name(asked)["reserve_force"]
    assert finding.value == pytest.approx(least, rel=1e-5, abs=1e-6)
    assert finding.ok == (least >= 1.0)


def test_reserve_share_judges_the_moment_without_dividing() -> None:
    """At the end of travel, M against share · |Mg|."""
    door = lid()
    net, _ = plain_statics.moments(door, Condition(name="nominal"), [door.hinge.stop_angle])
    weight = 7.0 * 9.80665 * 0.35 * math.cos(door.hinge.stop_angle)
    share = float(net[0]) / weight
    for limit, ok in ((share - 1e-3, True), (share + 1e-3, False)):
        finding = by_name(lid(limits=Limits(reserve=limit)))["reserve"]
        assert finding.value == pytest.approx(share, rel=1e-9)
        assert finding.ok is ok


def pressed_shut(centre_at: float, **changes: object) -> Door:
    """The lid with its strut above it, pressing it shut; its centre stands upright over the hinge
    line once it is open by this [rad]."""
    door = lid(**changes)
    strut = replace(door.struts[0].strut, extended_length=0.70)
    above = replace(door.struts[0], strut=strut, frame_mount=(0.40, 0.2, 0.60))
    lies = math.pi / 2.0 - centre_at
    centre = (0.35 * math.cos(lies), 0.0, 0.35 * math.sin(lies))
    return replace(door, panel=replace(door.panel, centre_of_gravity=centre), struts=(above,))


@pytest.mark.parametrize(("upright", "figure"), [(80.0, True), (50.0, False), (60.0, False)])
def test_a_reserve_below_zero_is_what_lacks(upright: float, figure: bool) -> None:
    """M/|Mg| at its least over the last 20°, on a dense grid: a few times the weight's moment where
    the centre stands upright beyond the stop; without bound where it does on the way or at the
    stop, and then no figure is given."""
    span = math.radians(20.0)
    door = pressed_shut(math.radians(upright), limits=Limits(reserve=0.26, reserve_span=span))
    angles = np.linspace(math.radians(40.0), math.radians(60.0), 4001)
    net, _ = plain_statics.moments(door, Condition(name="nominal"), angles)
    weight = 7.0 * 9.80665 * 0.35 * np.abs(np.cos(math.radians(90.0 - upright) + angles))
    lacks = float((-net / weight).max())
    shown = f"{math.ceil(100.0 * lacks)} %" if figure else "over 1000 %"
    assert (0.5 < lacks < 10.0) if figure else lacks > 100.0
    finding = by_name(door)["reserve"]
    assert finding.ok is False
    assert finding.words == (
        f"Open, it lacks {shown} of the weight's moment to stay up; the limit is 26 % to spare."
    )


def test_a_reserve_where_the_weight_has_no_moment_is_no_figure() -> None:
    """Upright at the stop the weight has no moment: any lift is more than any share of it."""
    lies = math.radians(30.0)
    centre = (0.35 * math.cos(lies), 0.0, 0.35 * math.sin(lies))
    door = lid(limits=Limits(reserve=0.3))
    finding = by_name(replace(door, panel=replace(door.panel, centre_of_gravity=centre)))["reserve"]
    assert finding.ok
    assert finding.words == (
        "Open, it keeps over 1000 % of the weight's moment to spare; the limit is 30 %."
    )


def test_lift_off_names_new_and_worst_and_what_was_asked() -> None:
    frost = Condition(name="frost, old struts", temperature=253.15, ageing=0.80)
    door = lid(conditions=(frost,), limits=Limits(lift_off=math.radians(5.0)))
    angles = dense(door)
    latest = []
    for condition in service(door):
        net, rubbing = plain_statics.moments(door, condition, angles)
        rises = net - rubbing > 0.0
        assert rises[-1]
        latest.append(angles[np.flatnonzero(~rises)[-1] + 1] if not rises.all() else 0.0)
    finding = by_name(door)["lift_off"]
    assert finding.ok is False
    assert finding.condition == "frost, old struts"
    assert finding.value == pytest.approx(latest[1], abs=angles[1])
    new, old = (math.ceil(math.degrees(one) - 1e-9) for one in latest)
    assert f"Rises by itself from {new}°" in finding.words
    assert f"In frost, old struts only from {old}°, and you asked for 5°." in finding.words


def test_hinge_peaks_are_those_of_the_hinge_loads() -> None:
    """Square to the line, at each point and of both, held by the hand at angles of a dense grid,
    and of the cases at rest at either point."""
    door = lid(conditions=(Condition(name="heat", temperature=323.15),))
    line = np.array(door.hinge.second) - np.array(door.hinge.first)
    line /= np.linalg.norm(line)
    points, both = [], []
    for condition in service(door):
        loads = hinge_loads(sweep(door, condition=condition, angles=dense(door)))
        points += [loads.first, loads.second]
        points += [
            np.array([part]) for one in loads.cases.values() for part in (one.first, one.second)
        ]
        both.append(loads.first + loads.second)
    for name, forces in (("hinge_radial", points), ("hinge_resultant", both)):
        most = max(float(np.linalg.norm(np.cross(line, one), axis=1).max()) for one in forces)
        assert by_name(door)[name].value == pytest.approx(most, rel=1e-5), name


def test_lift_off_that_never_comes_has_no_value_and_fails() -> None:
    weak = Condition(name="spent", ageing=0.1)
    finding = by_name(lid(conditions=(weak,), limits=Limits(lift_off=0.5)))["lift_off"]
    assert (finding.ok, finding.value, finding.condition) == (False, None, "spent")
    assert "it never does" in finding.words


def test_faults_are_left_out_of_the_limits_in_service() -> None:
    """A lost strut changes no limit's value but tells its own story (model 11.17)."""
    lost = Condition(name="lost", missing=0)
    limits = Limits(hand_closing=50.0, hand_opening=40.0, lift_off=0.4, reserve_force=5.0)
    plain, with_fault = by_name(lid(limits=limits)), by_name(lid(limits=limits, conditions=(lost,)))
    for name in ("hand_opening", "hand_closing", "lift_off", "reserve_force", "hinge_radial"):
        assert with_fault[name] == plain[name]
    assert with_fault["fault_0"].condition == "lost"


def test_one_strut_lost_is_always_looked_at() -> None:
    """Without its only strut the lid falls from fully open, and holding it shut-wards takes its
    whole weight: m g · 0.35 / 0.7 at the handle when level."""
    finding = by_name(lid())["fault_0"]
    assert finding.ok is None
    assert finding.value == pytest.approx(7.0 * 9.80665 / 2.0, rel=1e-12)
    assert finding.angle == 0.0
    assert "falls shut from fully open" in finding.words
    assert "holding it takes 35 N" in finding.words


def test_a_lid_that_one_strut_half_holds_says_from_where_it_falls() -> None:
    """With one of a pair lost it still stays up wide open: M + Mf < 0 only below some angle."""
    door = lid(struts=(replace(lid().struts[0], mirrored=True),))
    heavy = replace(door, panel=replace(door.panel, mass=9.0))
    net, rubbing = plain_statics.moments(heavy, Condition(name="x", missing=1), dense(heavy))
    falling = dense(heavy)[net + rubbing < 0.0]
    assert 0.0 < falling.max() < heavy.hinge.stop_angle - 0.1
    below = math.ceil(math.degrees(falling.max()))
    words = by_name(heavy)["fault_1"].words
    assert f"it stays open above {below}° and falls shut below" in words


def test_fault_tells_what_the_hinge_feels() -> None:
    """One strut of a pair gone: the greatest radial force is that of six equations solved anew."""
    door = lid(struts=(replace(lid().struts[0], mirrored=True),))
    words = by_name(door)["fault_1"].words
    lost = Condition(name="x", missing=1)
    worst = max(_radial_by_lstsq(door, lost, angle) for angle in np.linspace(0, math.pi / 3, 241))
    assert f"A hinge point then carries {math.ceil(worst)} N." in words


def _radial_by_lstsq(door: Door, condition: Condition, angle: float) -> float:
    """Hinge forces and hand force from the six balances, by least squares on all unknowns."""
    first, second = np.array(door.hinge.first), np.array(door.hinge.second)
    axis = (second - first) / np.linalg.norm(second - first)
    total, moment = np.zeros(3), np.zeros(3)
    for force, place in plain_statics.forces(door, condition, np.array([angle])):
        total += force[0]
        moment += np.cross(place[0] - first, force[0])
    arm = plain_statics.turned(door, door.panel.handle, np.array([angle]))[0] - first
    hand = np.cross(plain_statics.opening_axis(door), arm)
    hand /= np.linalg.norm(hand)
    across = np.linalg.svd(axis[None])[2][1:]
    columns = [(axis, 0 * axis)]
    columns += [(one, 0 * axis) for one in across]
    columns += [(one, np.cross(second - first, one)) for one in across]
    columns.append((hand, np.cross(arm, hand)))
    matrix = np.array([np.concatenate(column) for column in columns]).T
    found = np.linalg.solve(matrix, -np.concatenate([total, moment]))
    return float(max(np.hypot(*found[1:3]), np.hypot(*found[3:5])))


def test_hinge_point_finding_counts_the_open_stop() -> None:
    """A stop near the hinge line pries: its case decides, and the words name it."""
    door = lid(hinge=replace(lid().hinge, stop=(0.03, 0.0, 0.0)))
    finding = by_name(door)["hinge_radial"]
    assert "open stop" in finding.words
    net, _ = plain_statics.moments(door, Condition(name="nominal"), [door.hinge.stop_angle])
    assert finding.value is not None
    assert finding.value > float(net[0]) / 0.03 / 2.0 * 0.7


def test_travel_kept_is_the_least_over_all_angles() -> None:
    """Model 11.19. Lengths by distance of turned points."""
    door = lid()
    place = plain_statics.turned(door, door.struts[0].panel_mount, dense(door))
    length = np.linalg.norm(place - np.array(door.struts[0].frame_mount), axis=-1)
    kept_in, kept_out = length.min() - 0.26, 0.42 - length.max()
    found = by_name(lid(limits=Limits(travel_compressed=kept_in + 1e-4, travel_extended=0.0)))
    assert found["travel_compressed"].ok is False
    assert found["travel_compressed"].value == pytest.approx(kept_in, abs=1e-9)
    assert found["travel_extended"].ok is True
    assert found["travel_extended"].value == pytest.approx(kept_out, abs=1e-9)
    unasked = by_name(door)["travel_left"]
    assert unasked.value == pytest.approx(min(kept_in, kept_out), abs=1e-9)
    assert unasked.ok is None


def test_a_strut_that_is_the_stop_is_exempt_and_its_pull_is_told() -> None:
    """Pull at full extension T = M / arm (virtual work), tested to 4 times the nominal force
    (JB/T 8064.1-1996, clause 6.3.8)."""
    door = lid(
        hinge=replace(lid().hinge, stop_angle=math.radians(110.0)),
        limits=Limits(travel_extended=0.005),
    )
    found = by_name(door)
    assert "travel_extended" not in found
    angles = np.linspace(0.0, math.radians(110.0), 200001)
    place = plain_statics.turned(door, door.struts[0].panel_mount, angles)
    length = np.linalg.norm(place - np.array(door.struts[0].frame_mount), axis=-1)
    end = angles[np.argmax(length >= 0.42)]
    arm = np.gradient(length, angles)[np.argmax(length >= 0.42)]
    net, _ = plain_statics.moments(door, Condition(name="nominal"), [end])
    finding = found["strut_as_stop"]
    assert finding.value == pytest.approx(float(net[0]) / arm, rel=1e-3)
    assert finding.limit == 1600.0
    assert finding.ok is True


def test_nothing_asked_is_not_judged_and_never_passes() -> None:
    """Without limits only published bounds (pressure, rod) may pass."""
    for finding in check(lid()):
        if finding.limit is None:
            assert finding.ok is None, finding
    assert by_name(lid())["not_checked"].ok is None


def test_failures_first_then_faults_then_the_rest() -> None:
    limits = Limits(hand_closing=5.0, hand_opening=2.0, latch=1.0, lift_off=1.0)
    states = [finding.state for finding in check(lid(limits=limits))]
    order = ["fails", "not judged", "assumed", "passes"]
    assert states == sorted(states, key=order.index)
    found = check(lid(limits=limits))
    failed = [finding for finding in found if finding.ok is False]
    excess = [finding.value / finding.limit for finding in failed]
    assert excess == sorted(excess, reverse=True)
    assert len(failed) >= 2
    assert found[len(failed)].name == "fault_0"


def test_one_finding_for_each_name() -> None:
    names = [finding.name for finding in check(lid(limits=Limits(hand_closing=5.0)))]
    assert len(names) == len(set(names))


@few
@given(door=doors(conditions=3, faults=True))
def test_conditions_in_any_order_give_the_same_findings(door: Door) -> None:
    turned = replace(door, conditions=door.conditions[::-1])
    assert {f.name: f for f in check(door)} == {f.name: f for f in check(turned)}


def test_a_door_that_cannot_be_swept_is_one_failed_finding() -> None:
    short = replace(lid().struts[0].strut, extended_length=0.28, stroke=0.1)
    found = check(lid(struts=(replace(lid().struts[0], strut=short),)))
    assert len(found) == 1
    assert found[0].ok is False
    assert "too short when shut" in found[0].words


def test_a_flap_reads_differently() -> None:
    """No lift-off and no reserve for a panel that its weight opens; shutting is lifting."""
    found = by_name(flap(limits=Limits(hand_closing=20.0)))
    assert not {"lift_off", "lift_off_angle", "reserve_force"} & set(found)
    assert found["hand_closing"].words.startswith("To lift it shut takes")
    assert "drops open" in found["fault_0"].words


def test_a_limit_equal_to_the_starter_value_is_marked_common_practice() -> None:
    found = by_name(lid(limits=Limits(hand_closing=120.0, hand_opening=59.0)))
    assert "common practice" in found["hand_closing"].source
    assert found["hand_opening"].source == "asked in the door file"


def test_verdict_counts_in_words() -> None:
    def finding(name: str, ok: bool | None) -> Finding:
        return Finding(name=name, ok=ok, words="")

    several = [finding("a", False), finding("b", True), finding("c", True), finding("d", None)]
    assert verdict(several) == "1 fails, 2 pass, 1 not judged"
    assert verdict([finding("assumed_friction", None)]) == "1 assumed"


def test_a_door_without_struts_is_still_looked_at() -> None:
    found = by_name(lid(struts=()))
    assert found["hand_opening"].value == pytest.approx(7.0 * 9.80665 / 2.0)
    assert found["hand_closing"].words.startswith("It shuts without a push")
