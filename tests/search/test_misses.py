"""`find_mounts` where nothing fits: what each limit alone stands in the way of."""

import math
from dataclasses import replace

import numpy as np
import pytest

from strutkit.decide.search.answers import Miss, _searched, find_mounts
from strutkit.decide.search.branch import Clock
from strutkit.decide.search.request import make_request
from strutkit.describe.records import (
    Door,
    Limits,
    Strut,
    Zone,
)
from tests.search.hatches import SHORT, STOCK, bin_lid, hatch, oblong


def test_the_nearest_miss_is_what_its_own_search_gives() -> None:
    """The best closing force with no limit on it, once as a miss and once as what is ranked."""
    missed = find_mounts(hatch(hand_closing=60.0), stock=STOCK[3:])
    assert missed.candidates == ()
    assert missed.proved
    closing = next(one for one in missed.nearest_miss if one.rule == "hand_closing")
    free = find_mounts(hatch(hand_closing=1e6), stock=STOCK[3:], step=None)
    assert closing.best_value == pytest.approx(free.value, rel=2e-3)
    assert f"to shut it takes {math.ceil(closing.best_value)} N at best" in missed.words
    assert missed.words.endswith(".")


def nothing_fits(door: Door, stock: tuple[Strut, ...], counts: tuple[int, ...] = (1, 2)) -> bool:
    """The proof of `find_mounts` alone, without the nearest misses that it looks for next."""
    ask = make_request(door, stock, None, None, counts, "hand_force", 0.0)
    _, outcome = _searched(ask, Clock(None, None), 1e-3, None)
    assert outcome.finished
    return not np.isfinite(outcome.best.costs).any()


@pytest.mark.parametrize(
    ("rule", "limit", "eased"),
    [
        ("latch", 0.5, 1.03),
        ("hinge_resultant", 300.0, 1.02),
        ("travel_extended", 0.2, 0.98),
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
    assert find_mounts(enough, stock=stock, counts=counts, step=None, tolerance=0.05).candidates
    short = replace(door, limits=replace(door.limits, **{rule: best / eased}))
    assert nothing_fits(short, stock, counts)


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


def test_the_lift_off_can_be_the_nearest_miss() -> None:
    """Shut by its strut, with a stiff hinge: it can rise by itself only some degrees later."""
    unasked = {"hand_opening": None, "hand_closing": None, "reserve_force": None}
    door = bin_lid(lift_off=math.radians(1.0), **unasked)
    stiff = replace(
        door,
        hinge=replace(door.hinge, friction_moment=2.0),
        zones=(
            oblong("frame", 0.2, 0.30, 0.32, -0.05, -0.03),
            oblong("panel", 0.2, 0.16, 0.18, 0.0, 0.02),
        ),
    )
    assert_nearest_miss(stiff, (SHORT,), (1,), "lift_off", 1.05)


def test_a_miss_that_does_not_help_has_no_words() -> None:
    assert Miss(rule="latch", best_value=None, limit=5.0).words == ""
    assert Miss(rule="latch", best_value=7.2, limit=5.0).words == (
        "Shut, it pushes on the latch with 8 N at best; the limit is 5 N."
    )


def test_stopped_after_the_proof_no_miss_is_made_up() -> None:
    """Stopped while the nearest misses are looked for: only what is proved is told."""
    few = STOCK[4:6]
    whole = find_mounts(hatch(hand_closing=60.0), stock=few)
    known = {one.rule: one.best_value for one in whole.nearest_miss}
    assert not whole.stopped
    for calls in range(1, 8, 2):
        answers = iter([True] * calls)
        search = find_mounts(
            hatch(hand_closing=60.0),
            stock=few,
            progress=lambda *_, more=answers: next(more, False),
        )
        assert search.candidates == ()
        assert search.stopped
        for one in search.nearest_miss:
            assert one.best_value == pytest.approx(known[one.rule])
        if not search.nearest_miss:
            assert "topped before" in search.words
