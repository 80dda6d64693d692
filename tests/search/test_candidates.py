"""Candidates of `find_mounts`, each within the rules of its own door; what is refused; stopping."""

from dataclasses import replace

import numpy as np
import pytest

from strutkit.decide.findings import check
from strutkit.decide.search.answers import MountSearch, find_mounts
from strutkit.decide.search.task import RULES
from strutkit.describe.records import (
    Condition,
    FittedStrut,
)
from strutkit.errors import RecordError
from tests.search import plain_search
from tests.search.hatches import STOCK, hatch

FEW = STOCK[6:]


@pytest.fixture(scope="module")
def found() -> MountSearch:
    return find_mounts(hatch(), stock=FEW)


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
    exact = find_mounts(hatch(), stock=(found.candidates[0].strut,), step=None)
    assert exact.value == pytest.approx(found.value, rel=2e-3)
    assert exact.candidates[0].rounding_cost == 0.0
    assert exact.candidates[0].value == exact.value


def test_a_wider_zone_or_an_eased_limit_is_never_worse(found: MountSearch) -> None:
    stock = (found.candidates[0].strut,)
    eased = find_mounts(hatch(reserve_force=5.0), stock=stock, step=None)
    assert eased.value <= found.value * (1.0 + 1e-3)
    frame = replace(
        hatch().zones[0],
        corners=tuple((1.2 * x + 0.01, y, 1.05 * z) for x, y, z in hatch().zones[0].corners),
    )
    wider = find_mounts(
        replace(hatch(), zones=hatch().zones[1:]), stock=stock, frame_zone=frame, step=None
    )
    assert wider.value <= found.value * (1.0 + 1e-3)


def test_a_zone_given_counts_instead_of_the_door_s(found: MountSearch) -> None:
    door = replace(hatch(), zones=())
    given = find_mounts(door, stock=FEW, frame_zone=hatch().zones[0], panel_zone=hatch().zones[1])
    assert given.value == pytest.approx(found.value)


def test_a_pair_with_one_tired_strut_is_judged_with_both() -> None:
    tired = Condition(name="left tired", strut_ageing=(0.7, 1.0))
    door = replace(hatch(), conditions=(*hatch().conditions, tired))
    search = find_mounts(door, stock=STOCK[8:])
    text = "left tired is left out for 1 strut: it has an ageing factor for each of 2."
    assert text in search.assumptions
    assert {one.count for one in search.candidates} == {1, 2}
    for one in search.candidates:
        assert ("left tired" in [c.name for c in one.door.conditions]) is (one.count == 2)
        rules = [finding for finding in check(one.door) if finding.name in RULES]
        assert all(finding.ok is not False for finding in rules)


def test_faults_are_kept_where_the_strut_is_there() -> None:
    lost = (Condition(name="left lost", missing=0), Condition(name="right lost", missing=1))
    door = replace(hatch(), conditions=lost)
    search = find_mounts(door, stock=STOCK[8:])
    assert {one.count for one in search.candidates} == {1, 2}
    for one in search.candidates:
        kept = [c.name for c in one.door.conditions]
        assert kept == ["left lost", "right lost"][: one.count]
    assert (
        "right lost is left out for 1 strut: it is strut 1 that is missing." in search.assumptions
    )


def test_what_labels_leave_out_is_said() -> None:
    bare = tuple(replace(one, force_ratio=None, friction=None) for one in STOCK[8:])
    search = find_mounts(hatch(), stock=bare)
    assert any("force ratio 1.3 assumed" in text for text in search.assumptions)
    assert any("friction" in text and "assumed" in text for text in search.assumptions)


def test_progress_is_told_and_stops_the_search(found: MountSearch) -> None:
    told: list[tuple[float, float | None, float | None]] = []

    def stop_soon(fraction: float, bound: float | None, best: float | None) -> bool:
        told.append((fraction, bound, best))
        return len(told) < 3

    search = find_mounts(hatch(), stock=FEW, progress=stop_soon)
    assert len(told) >= 3
    assert not search.proved
    assert [one[0] for one in told] == sorted(one[0] for one in told)
    assert search.bound <= found.value <= search.value * (1.0 + 1e-9)
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


def test_a_candidate_that_fails_beyond_the_searched_rules_says_why(found: MountSearch) -> None:
    door = hatch()
    radial = replace(door, limits=replace(door.limits, hinge_radial=50.0))
    search = find_mounts(radial, stock=STOCK[8:])
    assert search.candidates
    for one in search.candidates:
        reasons = {finding.name: finding for finding in one.failures}
        assert reasons["hinge_radial"].value > 50.0
        assert "N" in reasons["hinge_radial"].words
