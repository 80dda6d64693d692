"""What the rating window says of all that `check` judges and no bar shows."""

import re
from dataclasses import replace

import numpy as np
import pytest

from strutkit import Door, Limits, check, read_door, starter_limits, sweep
from strutkit.data import door_path
from strutkit.show.ratingbars import rating_bars, rating_picture
from strutkit.show.shapes import Text, flat
from strutkit.show.style import PX
from tests.doors import random_door

BESIDE = {
    "gas_to_spare": "gas to spare",
    "rod_buckling": "rod buckling",
    "charge_pressure": "charge pressure",
    "strut_as_stop": "pull on the strut as open stop",
}
"""The findings that have no limit in a door file and change with the rating."""


def labelled(door: Door, **label: object) -> Door:
    """The door with other values on the label of its first strut."""
    first, *rest = door.struts
    own = replace(first.strut, **label)
    return replace(door, struts=(replace(first, strut=own), *rest))


def judged(door: Door) -> dict[str, bool] | None:
    """What `check` judges; None where it refuses the door."""
    found = {one.name: one.ok for one in check(door) if one.ok is not None}
    return None if "travel_left" in found else found


def test_all_that_a_rating_changes_is_a_bar_or_named() -> None:
    """Random doors, judged by `check` at ratings all along the axis: whatever is judged otherwise
    at two of them is a rule with a bar, or the words at the present rating have it."""
    turned = set()
    for seed in range(48):
        ended_by = "strut" if seed % 3 else "stop"
        door = random_door(seed, struts=1 + seed % 2, conditions=1, ended_by=ended_by)
        door = replace(door, limits=starter_limits(door))
        if judged(door) is None:
            continue
        bars = rating_bars(door)
        low, high = bars.span
        tried = [labelled(door, rating=one) for one in np.linspace(max(low, 20.0), high, 7)]
        states = [state for one in tried if (state := judged(one)) is not None]
        for name in set().union(*states):
            if len({state.get(name) for state in states}) == 1:
                continue
            if getattr(door.limits, name, None) is not None:
                continue
            assert BESIDE[name] in bars.beside.unlooked + bars.beside.beside, (seed, name)
            turned.add(name)
    assert turned == set(BESIDE)


def test_a_door_where_a_finding_without_a_bar_breaks_first() -> None:
    """Gas that pushes a rod of 6 mm with rating and friction holds 13 MPa, the greatest published,
    about 345 N (pressure is force over section, above the air's); every bar holds on. The window
    says that this is not looked at, and past that rating that it fails."""
    friction = 20.0
    full = (13e6 - 101_325.0) * np.pi * 0.006**2 / 4.0 - friction
    door = read_door(door_path("rear-hatch"))
    door = replace(door, limits=Limits(hand_closing=120.0))
    door = labelled(door, rod_diameter=0.006, friction=friction)
    for rating, fails in ((full - 15.0, False), (full + 15.0, True)):
        tried = labelled(door, rating=rating)
        bars = rating_bars(tried)
        assert all(bar.holds for bar in bars.bars)
        assert bars.together.words.startswith("All these rules: ")
        assert ("charge pressure" in bars.beside.unlooked) is not fails
        assert ("charge pressure" in bars.beside.beside) is fails


def test_what_may_be_judged_with_another_rating_is_named() -> None:
    """A charge too small to be judged is named for what a stronger strut makes of it, and a strut
    that ends the travel but does not pull for what a stronger one would."""
    door = read_door(door_path("rear-hatch"))
    weak = labelled(door, rating=60.0, rod_diameter=0.010)
    assert "charge_pressure" not in (judged(weak) or {})
    assert "charge pressure" in rating_bars(weak).beside.unlooked
    own = door.struts[0].strut
    short = labelled(door, extended_length=own.extended_length - 0.02, rating=60.0)
    assert {"travel_end", "strut_as_stop"} & {one.name for one in check(short)} == {"travel_end"}
    assert BESIDE["strut_as_stop"] in rating_bars(short).beside.unlooked
    assert BESIDE["strut_as_stop"] not in rating_bars(door).beside.unlooked


def test_gas_to_spare_is_named_where_a_rating_makes_a_strut_lift() -> None:
    """Random doors with two struts, some of which push shut: where `check` judges the gas to spare
    at any of three ratings it is named at all of them, and where no strut lifts at none."""
    found = []
    for seed in range(12):
        door = random_door(seed)
        tried = [labelled(door, rating=rating) for rating in (60.0, 300.0, 1500.0)]
        gas = ["gas_to_spare" in (judged(one) or {}) for one in tried]
        named = [
            "gas to spare" in one.unlooked + one.beside
            for one in (rating_bars(each).beside for each in tried)
        ]
        assert not any(gas) or all(named)
        pushing = sweep(door).strut_moment[:, -1] <= 0.0
        assert not (pushing.all() and any(named))
        found.append((any(gas), all(gas), bool(pushing.all())))
    assert {(True, True, False), (True, False, False), (False, False, True)} <= set(found)


@pytest.mark.parametrize("width", [360 * PX, 440 * PX])
def test_the_picture_says_what_no_bar_shows(width: float) -> None:
    """All its words are drawn, line by line; what fails stands in the colour of failures."""
    door = read_door(door_path("rear-hatch"))
    thin = labelled(door, rod_diameter=0.004)
    bars = rating_bars(replace(thin, limits=replace(door.limits, travel_extended=0.3)))
    picture = rating_picture(bars, width=width)
    drawn = [one for one in flat(picture.shapes) if isinstance(one, Text)]
    fails = " ".join(one.text for one in drawn if one.role == "fail")
    said = " ".join(one.text for one in drawn)
    assert re.search(r"Fails now beside these rules: (charge pressure|rod buckling), ", fails)
    assert "Fails at every rating: stroke kept extended." in fails
    assert "Not looked at here: stroke kept pushed in, gas to spare." in said
    for words in (fails[fails.index("Fails now") :], "Not looked at here:"):
        assert words in picture.description


def test_without_limits_no_rating_is_called_good() -> None:
    door = replace(read_door(door_path("rear-hatch")), limits=Limits())
    bars = rating_bars(door)
    assert bars.words.startswith("No limit here bounds the rating")
    assert "gas to spare" in bars.beside.unlooked
