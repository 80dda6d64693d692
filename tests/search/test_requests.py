"""What a mount search makes of odd requests, and what it says of travel that ends short."""

import itertools
import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from strutkit import (
    Condition,
    Door,
    Hinge,
    Limits,
    Panel,
    Strut,
    Zone,
    find_mounts,
    sweep,
)
from strutkit.errors import RecordError


def door() -> Door:
    """A level hatch that opens to 80°, in frost with old struts."""
    return Door(
        name="hatch",
        panel=Panel(mass=11.6, centre_of_gravity=(0.33, 0, -0.012), handle=(0.655, 0, -0.025)),
        hinge=Hinge(
            first=(0, -0.38, 0),
            second=(0, 0.38, 0),
            opens_toward="up",
            stop_angle=math.radians(80.0),
        ),
        conditions=(Condition(name="cold", temperature=253.15, ageing=0.8),),
        limits=Limits(hand_closing=90.0, lift_off=math.radians(25.0), reserve_force=20.0),
        zones=(
            zone("frame", (0.02, 0.3, -0.4, -0.05)),
            zone("panel", (0.1, 0.4, -0.08, -0.03)),
        ),
    )


def zone(part: str, sides: tuple[float, float, float, float]) -> Zone:
    left, right, low, high = sides
    corners = ((left, low), (right, low), (right, high), (left, high))
    return Zone(part=part, corners=tuple((x, -0.4, z) for x, z in corners))


def stock(*sizes: tuple[float, float]) -> tuple[Strut, ...]:
    return tuple(
        Strut(
            name=f"{rating}-{length}",
            rating=rating,
            extended_length=length,
            stroke=stroke,
            force_ratio=1.3,
            friction=15.0,
            rod_diameter=0.008,
        )
        for rating in (220.0, 300.0, 400.0)
        for length, stroke in sizes
    )


LONG = stock((0.412, 0.16), (0.5, 0.2))
SHORT = stock((0.2, 0.05))


def test_struts_that_end_the_travel_short_of_the_stop_are_said_with_the_result() -> None:
    found = find_mounts(door(), stock=SHORT[:2])
    best = found.candidates[0]
    end = sweep(best.door).end_of_travel
    assert end < math.radians(79.0)
    assert best.end_of_travel == end
    assert f"Opens only to {round(math.degrees(end), 1):g}° of 80°" in found.words


def test_nothing_is_said_of_the_travel_where_the_stop_is_reached() -> None:
    found = find_mounts(door(), stock=LONG[:1])
    assert found.candidates[0].end_of_travel == pytest.approx(math.radians(80.0))
    assert "Opens only" not in found.words


@pytest.mark.parametrize("answer", [False, np.False_])
def test_progress_stops_by_any_false(answer: object) -> None:
    found = find_mounts(door(), stock=LONG, progress=lambda *_: answer)
    assert found.stopped
    assert not found.proved


def test_progress_that_says_something_else_goes_on() -> None:
    """Nothing, yes, a number: none of them is the word False."""
    answers = itertools.cycle([None, True, 0, np.True_])
    told: list[object] = []

    def say(*_: object) -> object:
        told.append(next(answers))
        return told[-1]

    assert find_mounts(door(), stock=LONG[:1], progress=say).proved
    assert len(told) >= 4


def test_no_layout_takes_less_than_no_force() -> None:
    """A bound that nothing was found out about yet is still not under 0 N."""
    assert find_mounts(door(), stock=LONG, progress=lambda *_: False).bound == 0.0


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"time_limit": "1"}, "time_limit is '1'; write a number"),
        ({"tolerance": None}, "tolerance|must be"),
        ({"drilling_error": True}, "drilling_error is True; write a number"),
        ({"step": "1 mm"}, "step is '1 mm'; write a number"),
    ],
)
def test_numbers_that_are_none_are_refused(changes: dict[str, object], words: str) -> None:
    ask: Callable[..., object] = find_mounts
    with pytest.raises(RecordError, match=words):
        ask(door(), stock=LONG, **changes)


def test_misses_end_in_time_though_nobody_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing fits; the misses get so long, here a microsecond, and no longer."""
    monkeypatch.setattr("strutkit.decide.search.answers.MISS_SECONDS", 1e-6)
    found = find_mounts(
        replace(door(), limits=Limits(hand_closing=20.0, reserve_force=60.0)), stock=LONG[:2]
    )
    assert found.proved
    assert not found.candidates
    assert found.stopped
    assert found.nearest_miss == ()
