"""The mount map beside `check`: at any place the same rules hold, and the same hand force."""

from dataclasses import fields, replace

import numpy as np
import pytest
import shapely

from strutkit import Condition, Door, Limits, Zone, check, read_door, sweep
from strutkit.data import door_path
from strutkit.describe.numbers import lengths_in
from strutkit.errors import StrutkitError
from strutkit.live.mapping import (
    Mount,
    asked,
    excesses,
    forbidden_words,
    map_key,
    map_of,
    zone_of,
)
from strutkit.live.scene import edited
from tests.doors import bottoming_once_lost

ALL_LIMITS = [one.name for one in fields(Limits) if one.name != "reserve_span"]
TIGHT = Limits(**dict.fromkeys(ALL_LIMITS, 0.4), reserve_span=0.1)
SCATTER = np.random.default_rng(20).uniform(-1.0, 1.0, (10, 2))


def all_limits(door: Door) -> Door:
    limits = replace(door.limits, reserve=0.2, latch=15.0, hinge_resultant=1400.0, lift_off=0.2)
    return replace(door, limits=limits)


def two_struts(door: Door) -> Door:
    """A pair as two struts of their own, unlike each other, with ageing for each."""
    left = replace(door.struts[0], mirrored=False)
    right = replace(
        left,
        strut=replace(left.strut, name="right", rating=450.0),
        frame_mount=(-0.088, 0.61, -0.70),
        panel_mount=(-0.024, 0.61, -0.108),
    )
    tired = Condition(name="one tired", strut_ageing=(0.7, 1.0))
    return replace(door, struts=(left, right), conditions=(*door.conditions[:2], tired))


def unlike() -> Door:
    """A pair of two lengths: 480 and 460 mm, strokes 200 and 190 mm."""
    door = read_door(door_path("rear-hatch"))
    left = replace(door.struts[0], mirrored=False)
    short = replace(left.strut, name="right", extended_length=0.46, stroke=0.19, order_code="")
    x, y, z = left.frame_mount
    u, v, w = left.panel_mount
    right = replace(left, strut=short, frame_mount=(x, -y, z), panel_mount=(u, -v, w))
    conditions = tuple(one for one in door.conditions if one.missing is None)
    return replace(door, struts=(left, right), conditions=conditions)


def assert_as_checked(
    mount: Mount, reach: float, scatter: np.ndarray = SCATTER, least: int = 6
) -> set[str]:
    """The rules that some place breaks."""
    places = mount.here[:2] + reach * scatter
    over, force = excesses(mount, places)
    now, seen = sweep(mount.door).end_of_travel, set()
    for place, rules, hand in zip(places, over.T, force, strict=True):
        edit = {"place": mount.place, mount.part: [*place.tolist(), float(mount.here[2])]}
        findings = {one.name: one for one in check(edited(mount.door, edit))}
        if "travel_left" in findings and "hand_closing" not in findings:
            assert rules[0] > 0.0
            continue
        assert rules[0] <= 0.0
        moved = sweep(edited(mount.door, edit)).end_of_travel
        assert (rules[1] <= 0.0) == (moved >= now - 1e-5)
        for rule, excess in zip(asked(mount)[2:], rules[2:], strict=True):
            ok = rule not in findings or findings[rule].ok is not False
            assert (excess <= 0.0) == ok, rule
            seen.add((rule, ok))
        worst = max(findings[name].value or 0.0 for name in ("hand_opening", "hand_closing"))
        assert hand == pytest.approx(worst, abs=0.01)
    assert len(seen) > least
    return {rule for rule, ok in seen if not ok}


@pytest.mark.parametrize("part", ["panel", "frame"])
def test_rules_hold_where_check_says_so(rear_hatch: Door, part: str) -> None:
    assert_as_checked(Mount(all_limits(rear_hatch), 0, part), reach=20.0)


@pytest.mark.parametrize("place", [0, 1])
def test_other_struts_and_their_ageing_count(rear_hatch: Door, place: int) -> None:
    assert_as_checked(Mount(two_struts(all_limits(rear_hatch)), place, "panel"), reach=15.0)


@pytest.mark.parametrize(("part", "place"), [("panel", 0), ("frame", 1)])
def test_a_strut_that_ends_the_travel_counts_as_lost_beside_the_other(
    part: str, place: int
) -> None:
    """The right strut, 20 mm shorter, may end the travel; with it lost the left one comes out
    farther, and that stroke has to be kept as well."""
    door, apart = unlike(), 2.0 * np.array([(0.0, 0.0), (1.0, 1.0), (-1.0, 1.0)])
    scatter = np.vstack([apart, SCATTER, 0.3 * SCATTER])
    broken = assert_as_checked(Mount(door, place, part), reach=12.0, scatter=scatter)
    assert "travel_extended" in broken


@pytest.mark.parametrize(("place", "part"), [(0, "panel"), (1, "frame")])
def test_a_place_where_a_strut_bottoms_out_with_another_lost(place: int, part: str) -> None:
    """That breaks a rule of its own, named by the lost strut; all others are judged as they are.
    With the stop at 68° a few millimetres decide it."""
    door = bottoming_once_lost()
    door = replace(door, hinge=replace(door.hinge, stop_angle=np.radians(68.0)))
    mount = Mount(door, place, part)
    assert asked(mount)[-2:] == ["fault_0", "fault_1"]
    assert forbidden_words("fault_1", mount) == "a strut too long with strut end lost"
    here, force = excesses(mount, mount.here[None, :2])
    broken = [rule for rule, over in zip(asked(mount), here[:, 0], strict=True) if over > 0.0]
    assert broken == ["fault_1"]
    assert np.isfinite(force).all()
    scatter = np.vstack([SCATTER[:6], 6.0 * SCATTER[6:12]])
    assert "fault_1" in assert_as_checked(mount, reach=6.0, scatter=scatter, least=4 - place)


def test_a_place_that_does_not_fit_breaks_every_rule(rear_hatch: Door) -> None:
    over, force = excesses(Mount(rear_hatch, 0, "frame"), [[-88.0, -1200.0], [-88.0, -716.0]])
    assert (over[:, 0] > 0.0).all()
    assert np.isnan(force[0])
    assert np.isfinite(force[1])


def test_the_map_covers_the_zone_and_its_detail_what_holds(rear_hatch: Door) -> None:
    limits = replace(rear_hatch.limits, hand_closing=110.0)
    mount = Mount(replace(rear_hatch, limits=limits), 0, "frame")
    zone = zone_of(mount)
    assert zone.bounds == pytest.approx((-140.0, -860.0, -50.0, -560.0))
    for fine in (False, True):
        figures, arrays = map_of(mount, fine=fine)
        count = figures["columns"] * figures["rows"]
        assert arrays["over"].shape == (len(figures["rules"]), count)
        assert arrays["value"].shape == (count,)
        column, row = np.meshgrid(np.arange(figures["columns"]), np.arange(figures["rows"]))
        nodes = np.array(figures["origin"]) + figures["step"] * np.stack(
            [column.ravel(), row.ravel()], axis=1
        )
        outside = ~shapely.intersects_xy(zone, nodes)
        np.testing.assert_array_equal(np.isnan(arrays["over"][0]), outside)
        expected, _ = excesses(mount, nodes[~outside])
        np.testing.assert_allclose(arrays["over"][:, ~outside], expected)
    assert figures["step"] < 5.0


def test_without_a_zone_a_square_about_the_mount(rear_hatch: Door) -> None:
    bare = Mount(replace(rear_hatch, zones=()), 0, "panel")
    left, below, right, above = zone_of(bare).bounds
    assert (right - left, above - below) == (120.0, 120.0)
    assert ((left + right) / 2, (below + above) / 2) == pytest.approx(tuple(bare.here[:2]))


def test_the_zone_that_holds_the_mount_is_taken(rear_hatch: Door) -> None:
    far = Zone(part="panel", corners=((0.0, -0.61, -0.5), (0.1, -0.61, -0.5), (0.1, -0.61, -0.6)))
    door = replace(rear_hatch, zones=(far, *rear_hatch.zones))
    assert zone_of(Mount(door, 0, "panel")).bounds[3] == pytest.approx(-60.0)


def test_a_map_outlives_a_move_of_its_own_mount_and_nothing_else(rear_hatch: Door) -> None:
    key = map_key(Mount(rear_hatch, 0, "panel"))
    own = edited(rear_hatch, {"place": 0, "panel": [-30.0, -120.0, -610.0]})
    assert map_key(Mount(own, 0, "panel")) == key
    assert map_key(Mount(own, 0, "frame")) != map_key(Mount(rear_hatch, 0, "frame"))
    changed = (
        edited(rear_hatch, {"place": 0, "panel": [-24.0, -108.0, -600.0]}),
        edited(rear_hatch, {"place": 0, "frame": [-80.0, -700.0, -610.0]}),
        edited(rear_hatch, {"place": 0, "rating": 410.0}),
        replace(rear_hatch, conditions=()),
        replace(rear_hatch, limits=Limits()),
    )
    assert all(map_key(Mount(door, 0, "panel")) != key for door in changed)


def test_limits_that_the_map_leaves_out_are_named(rear_hatch: Door) -> None:
    """Every limit asked is a rule of the map or stands in its words."""
    assert map_of(Mount(rear_hatch, 0, "panel"), fine=False)[0]["unlooked"] == []
    whole = replace(two_struts(rear_hatch), limits=Limits(**dict.fromkeys(ALL_LIMITS, 1.0)))
    figures = map_of(Mount(whole, 0, "panel"), fine=False)[0]
    rules = set(asked(Mount(whole, 0, "panel")))
    assert set(ALL_LIMITS) - rules == {"hinge_radial"}
    assert rules - set(ALL_LIMITS) == {"fits", "travel_end", "fault_0", "fault_1"}
    assert figures["unlooked"] == [{"finding": "hinge_radial", "words": "either hinge point"}]


@pytest.mark.parametrize(
    "corners",
    [
        ((-60.0, -150.0), (-10.0, -80.0), (-10.0, -150.0), (-60.0, -80.0)),
        ((-60.0, -150.0), (-35.0, -105.0), (-10.0, -60.0)),
    ],
    ids=["crosses itself", "no area"],
)
def test_a_zone_that_cannot_be_followed_is_named(corners: tuple[tuple[float, float], ...]) -> None:
    """`check` holds the mount to such a zone: the map that does not has to say so."""
    door = read_door(door_path("rear-hatch"))
    along = door.struts[0].panel_mount[1]
    zone = Zone(part="panel", corners=tuple((x / 1e3, along, z / 1e3) for x, z in corners))
    odd = replace(door, zones=(zone, *(one for one in door.zones if one.part == "frame")))
    odd = edited(odd, {"place": 0, "panel": [-35.0, -97.0, along * 1e3]})
    assert "outside_zone" in {one.name for one in check(odd) if one.ok is False}
    left_out = {"finding": "outside_zone", "words": "a zone that crosses itself or has no area"}
    assert left_out in map_of(Mount(odd, 0, "panel"), fine=False)[0]["unlooked"]
    assert left_out not in map_of(Mount(odd, 0, "frame"), fine=False)[0]["unlooked"]
    assert left_out not in map_of(Mount(door, 0, "panel"), fine=False)[0]["unlooked"]


def test_words_name_the_forbidden_side(rear_hatch: Door) -> None:
    limits = Limits(hand_closing=80.0, lift_off=np.radians(30), reserve=0.1, travel_extended=0.005)
    mount = Mount(replace(rear_hatch, limits=limits), 0, "panel")
    assert [forbidden_words(rule, mount) for rule in asked(mount)] == [
        "the strut does not fit",
        "opens less far than 98°",
        "to shut over 80 N",
        "lifts off after 30°",
        "under 10 % to spare",
        "under 5 mm travel open",
    ]


@pytest.mark.parametrize(
    ("frame", "panel"),
    [((-79.375, -475.875), (-35.0, -105.0)), ((-140.0, -560.0), (-20.0, -120.0))],
    ids=["to the stop", "ended by the strut"],
)
def test_what_holds_opens_as_far_as_the_door_does_now(
    frame: tuple[float, float], panel: tuple[float, float]
) -> None:
    """Where a strut is fully out it is the stop, and the stroke to be kept extended is not asked
    (model 11.19): without a rule of its own such a place holds all limits and opens less."""
    door = read_door(door_path("rear-hatch"))
    along = float(Mount(door, 0, "panel").here[2])
    door = edited(door, {"place": 0, "frame": [*frame, along], "panel": [*panel, along]})
    mount, now, ended_sooner = Mount(door, 0, "panel"), sweep(door).end_of_travel, 0
    judged = np.array([one in ("fits", "travel_end") for one in asked(mount)])
    places = mount.here[:2] + 60.0 * np.random.default_rng(7).uniform(-1.0, 1.0, (25, 2))
    over, _ = excesses(mount, places)
    for place, rules in zip(places, over.T, strict=True):
        moved = edited(door, {"place": 0, "panel": [*place.tolist(), along]})
        findings = [one for one in check(moved) if one.name in (*asked(mount), "travel_left")]
        passes = all(one.ok is not False for one in findings)
        try:
            opens = sweep(moved).end_of_travel >= now
        except StrutkitError:
            opens = False
        assert (rules <= 0.0).all() == (passes and opens)
        ended_sooner += bool((rules[~judged] <= 0.0).all() and passes and not opens)
    assert ended_sooner > 0


def test_a_strut_that_does_not_fit_now_is_asked_for_the_whole_travel(rear_hatch: Door) -> None:
    misfit = edited(rear_hatch, {"place": 0, "frame": [-88.0, -1200.0, -610.0]})
    words = map_of(Mount(misfit, 0, "frame"), fine=False)[0]["rules"]
    assert words[1] == "opens less far than 98°"


def test_a_move_that_ends_the_travel_elsewhere_wants_a_map_of_its_own(rear_hatch: Door) -> None:
    door = read_door(door_path("rear-hatch"))
    short = edited(door, {"place": 0, "panel": [-20.0, -109.0, -600.0]})
    assert sweep(short).ended_by == "strut"
    assert map_key(Mount(short, 0, "panel")) != map_key(Mount(door, 0, "panel"))


@pytest.mark.parametrize("name", ["rear-hatch", "cabin-door"])
def test_a_limit_at_the_very_value_holds_as_in_the_findings(name: str) -> None:
    door = read_door(door_path(name))
    values = {one.name: one.value for one in check(replace(door, limits=TIGHT))}
    tried = 0
    for rule in asked(Mount(replace(door, limits=TIGHT), 0, "panel"))[2:]:
        value = values.get(rule)
        if value is None or value <= 0.0:
            continue
        limits = Limits(**{rule: value}, reserve_span=TIGHT.reserve_span)
        exact = replace(door, limits=limits)
        assert {one.name: one.ok for one in check(exact)}[rule]
        over = excesses(Mount(exact, 0, "panel"), Mount(exact, 0, "panel").here[None, :2])[0]
        assert over[2, 0] <= 0.0, rule
        tried += 1
    assert tried >= 4


def test_the_place_where_the_mount_is_stands_beside_the_nodes(rear_hatch: Door) -> None:
    """In a corner of its zone no node need lie as near: what it is worth and whether it holds."""
    corner = edited(rear_hatch, {"place": 0, "panel": [-8.0, -100.0, -610.0]})
    for door in (rear_hatch, corner):
        here = map_of(Mount(door, 0, "panel"), fine=True)[0]["here"]
        found = check(door)
        force = max(one.value for one in found if one.name in ("hand_opening", "hand_closing"))
        assert here["value"] == pytest.approx(force, abs=0.01)
        assert here["holds"] == all(
            one.ok is not False for one in found if one.name in asked(Mount(door, 0, "panel"))
        )
    outside = edited(rear_hatch, {"place": 0, "panel": [-24.0, -55.0, -610.0]})
    assert not map_of(Mount(outside, 0, "panel"), fine=False)[0]["here"]["holds"]


def test_a_limit_in_inches_is_that_of_the_findings() -> None:
    door = read_door(door_path("rear-hatch"))
    short = edited(door, {"place": 0, "panel": [-27.0, -107.0, -600.0]})
    with lengths_in("in"):
        words = forbidden_words("travel_extended", Mount(short, 0, "panel"))
        finding = next(one for one in check(short) if one.name == "travel_extended")
        assert finding.ok is False
        ended = edited(door, {"place": 0, "panel": [-25.0, -109.0, -600.0]})
        exempt = next(one for one in check(ended) if one.name == "travel_end")
    assert "21/64″" in words
    assert "21/64″" in finding.words
    assert "21/64″" in exempt.words
