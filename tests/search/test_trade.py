"""The trade-off of two figures, and what came of a search in words."""

import math

import numpy as np
import pytest

from strutkit.decide import limit_rules
from strutkit.decide.judging import study
from strutkit.decide.search.trade import TradePoint, trade_off
from strutkit.decide.search.words import found_text, nothing_text
from strutkit.errors import RecordError
from tests.search import plain_search
from tests.search.hatches import STOCK, hatch

FEW = STOCK[7:9]


@pytest.fixture(scope="module")
def front() -> tuple[TradePoint, ...]:
    return trade_off(hatch(), stock=FEW, against="hinge_resultant", points=3)


def test_the_front_has_no_point_that_another_beats(front: tuple[TradePoint, ...]) -> None:
    assert len(front) >= 3
    forces = [one.values["hand_force"] for one in front]
    loads = [one.values["hinge_resultant"] for one in front]
    assert forces == sorted(forces)
    assert loads == sorted(loads, reverse=True)


def test_points_carry_the_figures_of_their_doors(front: tuple[TradePoint, ...]) -> None:
    for one in front:
        measured = {found.name: found for found in limit_rules.measure(study(one.candidate.door))}
        force = max(measured["hand_opening"].value, measured["hand_closing"].value)
        assert one.values["hand_force"] == pytest.approx(force, rel=1e-6)
        assert one.values["reserve"] == pytest.approx(measured["reserve"].value, rel=1e-6)
        load = measured["hinge_resultant"].value
        assert one.values["hinge_resultant"] == pytest.approx(load, rel=1e-6)
        assert all(found.ok is not False for found in measured.values())


def test_no_layout_of_a_grid_lies_inside_the_front(front: tuple[TradePoint, ...]) -> None:
    """Every layout that holds the rules is worse in one figure than some point of the front."""
    door = hatch()
    for strut in FEW:
        around = plain_search.axes(door)
        frame = around.space(
            plain_search.grid(door, "frame", 0.06), plain_search.along(door, "frame")
        )
        panel = around.space(
            plain_search.grid(door, "panel", 0.03), plain_search.along(door, "panel")
        )
        first, second = np.repeat(frame, len(panel), axis=0), np.tile(panel, (len(frame), 1))
        for count in (1, 2):
            values = plain_search.judge(door, strut, count, first, second)
            good = plain_search.holds(door, values)
            force = plain_search.ranked(values, "hand_force")[good]
            load = values["hinge_resultant"][good]
            for point, following in zip(front, (*front[1:], None), strict=True):
                lighter = load < point.values["hinge_resultant"] * 0.985
                if following is not None:
                    lighter &= load > following.values["hinge_resultant"] * 1.015
                assert (force[lighter] > point.values["hand_force"] * 0.985).all()


def test_progress_ends_the_trade_off_early() -> None:
    told: list[float] = []

    def stop_at_once(share: float, bound: float | None, best: float | None) -> bool:
        assert (bound, best) == (None, None)
        told.append(share)
        return False

    points = trade_off(hatch(), stock=STOCK[8:9], points=5, progress=stop_at_once)
    assert len(told) == 1
    assert 1 <= len(points) <= 2


def test_nothing_fits_gives_an_empty_front() -> None:
    assert trade_off(hatch(hand_closing=20.0), stock=STOCK[:2], against="reserve") == ()


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (
            {"against": "hand_force"},
            "against is 'hand_force'; write one of reserve, hinge_resultant",
        ),
        ({"against": "price"}, "against is 'price'; write one of reserve, hinge_resultant"),
        ({"points": 1}, "points is 1; write 2 to 30"),
        ({"tolerance": 2.0}, "tolerance is 2; write a share"),
    ],
)
def test_requests_that_make_no_sense_are_refused(asked: dict[str, object], words: str) -> None:
    with pytest.raises(RecordError, match=words):
        trade_off(hatch(), stock=STOCK[:1], **asked)


def test_words_for_nothing_put_the_nearest_miss_first() -> None:
    misses = (
        ("hinge_resultant", 820.0, 500.0),
        ("hand_closing", 96.3, 90.0),
        ("lift_off", None, math.radians(30.0)),
    )
    assert nothing_text(misses) == (
        "Nothing fits: to shut it takes 97 N at best; the limit is 90 N."
        " Or allow a hinge load of 820 N."
    )
    assert nothing_text((("latch", None, 5.0),)) == (
        "Nothing fits, and no single limit is in the way alone: ease two or more of them."
    )
    assert nothing_text(()) == ("Nothing fits: no strut of the stock reaches between these zones.")


def test_words_for_what_was_found_say_how_sure_it_is() -> None:
    assert found_text("hand_force", 71.52, 71.45, True, 1) == (
        "The largest hand force is 71.6 N; one choice fits. Proved: no layout takes under 71.4 N."
    )
    assert found_text("reserve", 0.354, 0.36, False, 3) == (
        "The least reserve is 35.4 %; 3 choices of strut and count fit."
        " Stopped early, but sure: no layout keeps over 36.0 %."
    )
