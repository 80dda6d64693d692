"""The mount map: every point as the findings judge the door with the mount there."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from strutkit.decide import limit_rules
from strutkit.decide.findings import check
from strutkit.decide.judging import study
from strutkit.decide.map import mount_map
from strutkit.decide.search.zones import door_plane
from strutkit.decide.sweep import sweep
from strutkit.describe.records import Condition, Door, Limits, Zone
from strutkit.errors import RecordError, StrutkitError
from tests.doors import random_door, seeds
from tests.search.hatches import STOCK, hatch

few = settings(max_examples=10)
LIMITS = Limits(
    hand_opening=80.0,
    hand_closing=150.0,
    lift_off=0.3,
    reserve=0.1,
    reserve_force=5.0,
    latch=30.0,
    travel_compressed=0.003,
    travel_extended=0.003,
    hinge_resultant=600.0,
    reserve_span=0.2,
)


def zone_round(door: Door, strut: int, mount: str, size: float = 0.03) -> Zone:
    """A five-cornered zone round one mount."""
    plane, fitted = door_plane(door), door.struts[strut]
    place = fitted.panel_mount if mount == "panel" else fitted.frame_mount
    spot, along = complex(plane.flat(place)), float(plane.along(place))
    size = min(size, 0.5 * abs(spot))
    corners = plane.place(spot + size * np.exp(2j * np.pi * np.arange(5) / 5.0), along)
    return Zone(part=mount, corners=tuple(tuple(one) for one in corners))


@few
@given(seeds())
def test_every_point_is_as_the_findings_judge_it(seed: int) -> None:
    """One strut or several, mirrored or not, other struts beside it, ended by stop or strut."""
    rng = np.random.default_rng(seed)
    door = random_door(
        seed,
        struts=1 + seed % 2,
        conditions=2,
        mirrored=seed % 3 == 0,
        ended_by="strut" if seed % 5 == 0 else "stop",
        faults=seed % 4 == 0,
    )
    door = replace(door, limits=LIMITS)
    mount, strut = ("panel", "frame")[seed % 2], int(rng.integers(0, len(door.struts)))
    rank_by = ("hand_force", "reserve", "hinge_resultant")[seed % 3]
    found = mount_map(
        door,
        strut=strut,
        mount=mount,
        zone=zone_round(door, strut, mount),
        rank_by=rank_by,
        step=0.004,
    )
    now = sweep(door).end_of_travel
    for row in rng.integers(0, len(found.points), 5):
        moved = replace(door.struts[strut], **{f"{mount}_mount": tuple(found.points[row])})
        struts = tuple(moved if number == strut else one for number, one in enumerate(door.struts))
        try:
            studied = study(replace(door, struts=struts))
            opens = sweep(studied.door).end_of_travel
        except StrutkitError:
            assert np.isnan(found.value[row])
            assert not found.all_hold[row]
            continue
        measured = {one.name: one for one in limit_rules.measure(studied)}
        failed = {one.name for one in check(studied.door) if one.ok is False}
        assert bool(found.holds["travel_end"][row]) == (opens >= now - 1e-5)
        for rule, holds in found.holds.items():
            if rule == "travel_end":
                continue
            if rule.startswith("fault_"):
                assert bool(holds[row]) == (rule not in failed), rule
                continue
            # a rule that is not measured is about the extended end of a strut that is the stop
            assert bool(holds[row]) == bool(rule not in measured or measured[rule].ok), rule
        value = {
            "hand_force": max(measured["hand_opening"].value, measured["hand_closing"].value),
            "reserve": measured["reserve"].value,
            "hinge_resultant": measured["hinge_resultant"].value,
        }[rank_by]
        if abs(value) < 1e3:
            assert found.value[row] == pytest.approx(value, rel=1e-6, abs=1e-6)


def fitted_hatch(**limits: float) -> Door:
    """The hatch with a pair of struts in the middle of its zones."""
    from strutkit.describe.records import FittedStrut

    pair = FittedStrut(
        strut=STOCK[4],
        frame_mount=(-0.1, -0.45, -0.45),
        panel_mount=(0.03, -0.45, -0.12),
        mirrored=True,
    )
    return replace(hatch(**limits), struts=(pair,))


def test_points_lie_on_whole_steps_inside_the_zone() -> None:
    found = mount_map(fitted_hatch(), step=0.01)
    corners = np.array(hatch().zones[1].corners)
    steps = found.points[:, [0, 2]] / 0.01
    np.testing.assert_allclose(steps, np.round(steps), atol=1e-6)
    assert (found.points >= corners.min(axis=0) - 1e-9).all()
    assert (found.points <= corners.max(axis=0) + 1e-9).all()
    assert len(found.points) == 7 * 33
    assert set(found.holds) == {
        "hand_closing",
        "lift_off",
        "reserve_force",
        "travel_compressed",
        "travel_extended",
        "travel_end",
    }
    together = np.logical_and.reduce(list(found.holds.values()))
    assert (found.all_hold == (together & np.isfinite(found.value))).all()
    with pytest.raises(ValueError, match="read-only"):
        found.value[0] = 0.0


def test_without_limits_all_that_fits_and_opens_as_far_holds() -> None:
    door = replace(fitted_hatch(), limits=Limits())
    now, found = sweep(door).end_of_travel, mount_map(door, step=0.02)
    assert set(found.holds) == {"travel_end"}
    for point, value, holds in zip(found.points, found.value, found.all_hold, strict=True):
        moved = replace(door, struts=(replace(door.struts[0], panel_mount=tuple(point)),))
        assert holds == (np.isfinite(value) and sweep(moved).end_of_travel >= now)
    assert 0 < found.all_hold.sum() < np.isfinite(found.value).sum()


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"strut": 3}, "strut is 3; the door has 1 struts, counted from 0"),
        ({"strut": -1}, "strut is -1; the door has 1 struts"),
        ({"mount": "door"}, "mount is 'door'; write one of frame, panel"),
        ({"rank_by": "price"}, "rank_by is 'price'; write one of hand_force"),
        ({"step": 0.0}, "step is 0 mm; write over 0 mm, to 100 mm"),
        ({"step": 1e-5}, "which makes over 200000 points; take a wider one"),
        ({"zone": hatch().zones[0]}, "panel zone: the one given lies on the frame"),
    ],
)
def test_requests_that_make_no_sense_are_refused(asked: dict[str, object], words: str) -> None:
    with pytest.raises(RecordError, match=words):
        mount_map(fitted_hatch(), **asked)


def test_a_step_wider_than_the_zone_is_refused() -> None:
    small = Zone(
        part="panel",
        corners=tuple((0.031 + x, -0.45, -0.123 + z) for x, z in ((0, 0), (0.002, 0), (0, 0.002))),
    )
    with pytest.raises(RecordError, match="no whole step lies in the zone"):
        mount_map(fitted_hatch(), zone=small, step=0.01)


def test_a_condition_that_does_not_suit_the_door_is_refused() -> None:
    tired = Condition(name="three struts", strut_ageing=(1.0, 1.0, 0.7))
    with pytest.raises(RecordError, match="strut_ageing has 3 factors; give one for each of the 2"):
        mount_map(replace(fitted_hatch(), conditions=(tired,)))


def test_tired_struts_count_by_their_place() -> None:
    """Moved strut and others keep their own factors."""
    from strutkit.describe.records import FittedStrut

    other = FittedStrut(
        strut=replace(STOCK[3], name="helper"),
        frame_mount=(-0.1, 0.1, -0.45),
        panel_mount=(0.03, 0.1, -0.12),
    )
    tired = Condition(name="helper tired", strut_ageing=(1.0, 1.0, 0.5))
    door = replace(fitted_hatch(), conditions=(tired,))
    door = replace(door, struts=(*door.struts, other))
    found = mount_map(door, strut=1, zone=zone_round(door, 1, "panel"), step=0.01)
    row = int(np.flatnonzero(np.isfinite(found.value))[0])
    moved = replace(other, panel_mount=tuple(found.points[row]))
    measured = {
        one.name: one
        for one in limit_rules.measure(study(replace(door, struts=(door.struts[0], moved))))
    }
    worst = max(measured["hand_opening"].value, measured["hand_closing"].value)
    assert found.value[row] == pytest.approx(worst, rel=1e-6)
