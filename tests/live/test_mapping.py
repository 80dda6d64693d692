"""The mount map beside `check`: at any place the same rules hold, and the same hand force."""

from dataclasses import fields, replace

import numpy as np
import pytest
import shapely

from strutkit import Condition, Door, Limits, Zone, check
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

ALL_LIMITS = [one.name for one in fields(Limits) if one.name != "reserve_span"]
SCATTER = np.random.default_rng(20).uniform(-1.0, 1.0, (14, 2))


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


def assert_as_checked(mount: Mount, reach: float) -> None:
    places = mount.here[:2] + reach * SCATTER
    over, force = excesses(mount, places)
    seen = set()
    for place, rules, hand in zip(places, over.T, force, strict=True):
        edit = {"place": mount.place, mount.part: [*place.tolist(), float(mount.here[2])]}
        findings = {one.name: one for one in check(edited(mount.door, edit))}
        if "travel_left" in findings and "hand_closing" not in findings:
            assert rules[0] > 0.0
            continue
        assert rules[0] <= 0.0
        for rule, excess in zip(asked(mount.door.limits)[1:], rules[1:], strict=True):
            strut = mount.door.struts[mount.place].strut.name
            other = rule.startswith("travel") and f"Strut {strut} keeps" not in (
                findings[rule].words if rule in findings else ""
            )
            if rule in findings and not other:
                seen.add((rule, bool(excess <= 0.0)))
                assert (excess <= 0.0) == findings[rule].ok, rule
        worst = max(findings[name].value or 0.0 for name in ("hand_opening", "hand_closing"))
        assert hand == pytest.approx(worst, abs=0.01)
    assert len(seen) > 6


@pytest.mark.parametrize("part", ["panel", "frame"])
def test_rules_hold_where_check_says_so(rear_hatch: Door, part: str) -> None:
    assert_as_checked(Mount(all_limits(rear_hatch), 0, part), reach=20.0)


@pytest.mark.parametrize("place", [0, 1])
def test_other_struts_and_their_ageing_count(rear_hatch: Door, place: int) -> None:
    assert_as_checked(Mount(two_struts(all_limits(rear_hatch)), place, "panel"), reach=15.0)


def test_a_place_that_does_not_fit_breaks_every_rule(rear_hatch: Door) -> None:
    over, force = excesses(Mount(rear_hatch, 0, "frame"), [[-88.0, -1200.0], [-88.0, -716.0]])
    assert (over[:, 0] > 0.0).all()
    assert np.isnan(force[0])
    assert np.isfinite(force[1])


def test_the_map_covers_the_zone_and_its_detail_what_holds(rear_hatch: Door) -> None:
    mount = Mount(rear_hatch, 0, "frame")
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
    assert set(ALL_LIMITS) - set(asked(whole.limits)) == {"hinge_radial"}
    assert figures["unlooked"] == [
        {"finding": "hinge_radial", "words": "either hinge point"},
        {"finding": "", "words": "stroke kept by the other struts"},
    ]


def test_words_name_the_forbidden_side() -> None:
    limits = Limits(hand_closing=80.0, lift_off=np.radians(30), reserve=0.1, travel_extended=0.005)
    assert [forbidden_words(rule, limits) for rule in asked(limits)] == [
        "the strut does not fit",
        "to shut over 80 N",
        "lifts off after 30°",
        "under 10 % to spare",
        "under 5 mm travel open",
    ]
