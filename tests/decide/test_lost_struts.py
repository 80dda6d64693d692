"""A strut lost in several conditions: what its finding says holds in each of them.

Moments, senses of motion and hinge forces come by a second route: `tests/plain_statics.py` on a
dense grid, hinge forces from the balance of the panel solved anew (`tests/decide/test_loads.py`).
"""

import math
import re
from collections import Counter
from dataclasses import dataclass, replace

import numpy as np
import pytest

from strutkit.data import door_path
from strutkit.decide.findings import check
from strutkit.decide.judging import Finding
from strutkit.decide.starters import weight_sense
from strutkit.describe.doorfile import read_door
from strutkit.describe.records import Condition, Door
from strutkit.show.sheet import lost_strut
from tests import plain_statics
from tests.decide.test_findings import by_name, lid
from tests.decide.test_loads import along_the_arc, solved
from tests.doors import random_condition, random_door

SEEDS = (*range(16), 38, 82, 154, 155, 251)
"""The last five fall on, in another condition, from where they stay, or have a plumb swing."""

STEP = 0.1
"""Angles of the second route lie this far apart [degrees]; a fall begins and ends between two."""

LEVEL = Condition(name="c0", missing=0)
FROST = Condition(name="c1", missing=0, temperature=253.15, ageing=0.8)
STRONG = Condition(name="c2", missing=0, temperature=333.15, rating_tolerance=1.0)


@dataclass(frozen=True)
class Seen:
    """One condition by the second route: angles at which it falls [degrees], greatest force that
    holds it there [N], greatest radial force of a hinge point [N]."""

    falling: np.ndarray
    hold: float
    hinge: float


def several_lost(seed: int) -> Door:
    """A random door that ends at its stop, with three conditions that lose the same strut."""
    rng = np.random.default_rng(seed)
    door = random_door(seed)
    lost = (replace(random_condition(rng, door, f"c{one}"), missing=0) for one in range(3))
    return replace(door, conditions=tuple(lost))


def end_of(door: Door) -> float:
    """End of travel of a door whose struts are longer than the travel needs [degrees]."""
    return math.degrees(door.hinge.stop_angle)


def look(door: Door, condition: Condition) -> Seen:
    drops = weight_sense(door) == "drops"
    angle = np.radians(np.linspace(0.0, end_of(door), int(end_of(door) / STEP) + 1))
    net, rubbing = plain_statics.moments(door, condition, angle)
    falls = net - rubbing > 0.0 if drops else net + rubbing < 0.0
    pushed = np.abs(net) / plain_statics.distance_from_line(door, door.panel.handle)
    return Seen(
        falling=np.degrees(angle[falls]),
        hold=float(pushed[falls].max(initial=0.0)),
        hinge=hinge_by_balance(door, condition, presses=bool(net[-1] > 0.0)),
    )


def hinge_by_balance(door: Door, condition: Condition, *, presses: bool) -> float:
    """Held at the handle at 31 angles, and on the stop where the panel presses on it."""
    stop = door.hinge.stop_angle
    held = [(one, door.panel.handle) for one in np.linspace(0.0, stop, 31)]
    on_stop = [(stop, door.hinge.stop or door.panel.handle)] if presses else []
    line = np.array(door.hinge.second) - np.array(door.hinge.first)
    line /= np.linalg.norm(line)
    found = []
    for angle, place in held + on_stop:
        contact = along_the_arc(door, place, angle, opening=True)
        both = solved(door, condition, angle, [contact])[:2]
        found += [float(np.linalg.norm(np.cross(line, one))) for one in both]
    return max(found)


def said_span(words: str, end: float, *, drops: bool) -> tuple[float, float] | None:
    """From the first angle at which it falls to the last one that it falls to, as the words say
    [degrees]; None where it stays."""
    if "lost it stays up" in words or "lost it stays where it is" in words:
        return None
    fall, _, further = words.partition(";")[0].partition(", but ")
    first = re.search(r"(?:open above|drops open once past) (\d+)°", fall)
    begins = float(first.group(1)) if first else (0.0 if drops else end)
    last = re.search(r" to (\d+)°", further or fall)
    ends = float(last.group(1)) if last else (end if drops else 0.0)
    return begins, ends


def said_force(pattern: str, words: str) -> tuple[float, str | None]:
    """A force in the words [N] and the condition in brackets behind it."""
    number, name = re.search(
        rf"{pattern} (\d+) N(?: \((?:both figures )?in (c\d)\))?", words
    ).groups()
    return float(number), name


def assert_true_in_every_condition(door: Door, finding: Finding) -> Counter:
    """What is said against all conditions with that strut lost; counts what was said."""
    drops, words = weight_sense(door) == "drops", finding.words
    seen = {one.name: look(door, one) for one in door.conditions}
    told = seen[finding.condition]
    span = said_span(words, end_of(door), drops=drops)
    falling = np.concatenate([one.falling for one in seen.values()])
    load, within = said_force("carries", words)
    assert_greatest(load, seen[within or finding.condition].hinge, [o.hinge for o in seen.values()])
    said = Counter(drops=drops, elsewhere=within is not None, further=", but " in words)
    if span is None:
        assert not len(falling)
        return said + Counter(stays=1)
    low, high = span if drops else span[::-1]
    assert low - 1e-6 <= falling.min() < low + 1.0 + STEP
    assert high - 1.0 - STEP < falling.max() <= high + 1e-6
    first = np.min if drops else np.max
    assert first(told.falling) == pytest.approx(first(falling), abs=STEP)
    hold, within = said_force("takes", words)
    if "(both figures in" in words:
        within = said_force("carries", words)[1]
    assert_greatest(hold, seen[within or finding.condition].hold, [o.hold for o in seen.values()])
    assert finding.value == pytest.approx(max(one.hold for one in seen.values()), rel=1e-3)
    return said + Counter(falls=1, harder=within is not None)


def assert_greatest(said: float, named: float, every: list[float]) -> None:
    """Said rounded up, of the condition that is named, and no condition needs more."""
    assert max(every) <= said
    assert said - 1.0 - 1e-3 * said < named


def test_what_is_said_holds_in_every_condition_that_loses_the_strut() -> None:
    said = Counter()
    for seed in SEEDS:
        door = several_lost(seed)
        said += assert_true_in_every_condition(door, by_name(door)["fault_0"])
    told = ("falls", "stays", "drops", "elsewhere", "harder", "further")
    assert min(said[one] for one in told) >= 2, said


def hatch(rating: float, *lost: Condition) -> Door:
    """The shipped hatch with a mirrored pair of struts of this rating."""
    door = read_door(door_path("rear-hatch"))
    strut = replace(door.struts[0].strut, rating=rating)
    return replace(door, struts=(replace(door.struts[0], strut=strut),), conditions=lost)


def test_a_door_that_falls_from_fully_open_in_one_condition_is_not_said_to_stay_open() -> None:
    """In frost it falls all the way, though level it takes more to hold on the rest of its way."""
    door = hatch(400.0, LEVEL, FROST)
    level, frost = look(door, LEVEL), look(door, FROST)
    assert frost.falling.max() == pytest.approx(end_of(door))
    assert (level.falling.max() < 30.0, level.hold > frost.hold) == (True, True)
    finding = by_name(door)["fault_0"]
    assert_true_in_every_condition(door, finding)
    assert finding.condition == "c1"
    assert "it falls shut from fully open; holding it takes 13 N. A hinge" in finding.words
    assert finding.words.endswith("N (both figures in c0).")


def test_each_figure_of_other_conditions_names_its_own() -> None:
    door = hatch(400.0, LEVEL, FROST, STRONG)
    finding = by_name(door)["fault_0"]
    assert_true_in_every_condition(door, finding)
    assert said_force("carries", finding.words)[1] == "c2"


def test_a_figure_that_reads_alike_in_both_conditions_names_none() -> None:
    """Two conditions that differ by a thousandth of the weight."""
    door = hatch(400.0, LEVEL, replace(LEVEL, name="c1", mass_factor=1.0001))
    words = by_name(door)["fault_0"].words
    assert "(in" not in words
    assert "(both figures in" not in words


def test_a_door_that_stays_on_its_way_says_from_where_it_falls_on() -> None:
    """M + Mf < 0 in two pieces of the travel, between which it rests."""
    door = hatch(500.0, FROST)
    falling = look(door, FROST).falling
    gap = int(np.diff(falling).argmax())
    rest, falls_on = math.floor(falling[gap + 1]), math.ceil(falling[gap])
    assert falls_on < rest - 10
    finding = by_name(door)["fault_0"]
    said = f"it sinks from fully open to {rest}° and stays there, but falls shut below {falls_on}°;"
    assert said in finding.words
    assert_true_in_every_condition(door, finding)


def test_the_strut_whose_loss_lets_the_door_fall_farthest_is_told_first() -> None:
    """The first of two unlike struts does little, the second one carries the lid."""
    only = replace(lid().struts[0], strut=replace(lid().struts[0].strut, name="strong"))
    weak = replace(
        only,
        strut=replace(only.strut, name="weak", rating=60.0),
        frame_mount=(0.40, -0.2, -0.10),
        panel_mount=(0.12, -0.2, -0.01),
    )
    for struts in ((weak, only), (only, weak)):
        door = lid(struts=struts)
        falls = [len(look(door, Condition(name="x", missing=index)).falling) for index in range(2)]
        worst = int(np.argmax(falls))
        assert falls[worst] > falls[1 - worst]
        found = check(door)
        lost = [one.name for one in found if one.name.startswith("fault_")]
        assert lost == [f"fault_{worst}", f"fault_{1 - worst}"]
        (on_paper,) = lost_strut(found)
        assert on_paper.startswith("With strut strong lost ")
