"""Each figure that a finding tells is of the condition, angle and strut that it names, and of
several the worst is told: against `tests/plain_statics.py` on a dense grid, or a closed form."""

import math
import re
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from strutkit.data import door_path
from strutkit.decide.findings import check
from strutkit.decide.judging import Finding, study
from strutkit.decide.loads import hinge_loads
from strutkit.decide.starters import weight_sense
from strutkit.decide.sweep import sweep, sweep_conditions
from strutkit.describe.doorfile import read_door
from strutkit.describe.records import Condition, Door, FittedStrut, Limits
from strutkit.show.sheet_figures import hinge_lines
from tests import plain_statics
from tests.decide.test_findings import by_name, lid, service
from tests.doors import random_door

SEEDS = range(40)

STEP = math.radians(0.05)


def with_span(seed: int, **changes: object) -> Door:
    """A random door with three conditions and reserves asked over half a radian."""
    limits = Limits(reserve_span=0.5)
    return replace(random_door(seed, conditions=3), limits=limits, **changes)


def light_and_heavy(seed: int) -> tuple[Condition, ...]:
    """Conditions from a bare panel with spent struts to a loaded one with new struts."""
    rng = np.random.default_rng(seed)
    return tuple(
        Condition(name=f"c{n}", ageing=rng.uniform(0.3, 1.0), mass_factor=rng.uniform(0.1, 1.5))
        for n in range(4)
    )


def over_span(door: Door) -> np.ndarray:
    end = door.hinge.stop_angle
    return np.linspace(max(0.0, end - 0.5), end, 2001)


def least_gas(door: Door, condition: Condition) -> float:
    """Least M / sum(Ms) over the span, what the struts turn being what is left of M without the
    weight; -inf where they do not lift."""
    net, _ = plain_statics.moments(door, condition, over_span(door))
    weight, _ = plain_statics.moments(replace(door, struts=()), condition, over_span(door))
    lifting = net - weight
    return float((net / lifting).min()) if lifting.min() > 0.0 else -math.inf


def test_gas_in_brackets_is_of_the_condition_that_is_named() -> None:
    told = Counter()
    for seed in SEEDS:
        door = replace(with_span(seed), conditions=light_and_heavy(seed))
        finding = by_name(door).get("reserve_force")
        if finding is None or "of its gas" not in finding.words:
            continue
        least = {one.name: 100.0 * least_gas(door, one) for one in service(door)}
        figure, name = re.search(r"\((\d+) % of its gas(?: in ([^)]+))?\)", finding.words).groups()
        own = min(least[name or finding.condition], 100.0)
        assert float(figure) <= own + 0.01 < float(figure) + 1.02
        assert float(figure) <= min(least.values()) + 0.01
        told["elsewhere" if name else "here"] += 1
    assert min(told["elsewhere"], told["here"]) >= 2, told


def test_a_tired_strut_is_told_at_the_angle_where_least_is_to_spare() -> None:
    told = Counter()
    for seed in SEEDS:
        door = replace(with_span(seed), conditions=())
        if weight_sense(door) == "drops":
            continue
        finding = by_name(door)["strut_tired"]
        radius = plain_statics.distance_from_line(door, door.panel.handle)
        tired = [
            Condition(
                name=one.strut.name, strut_ageing=tuple(0.7 if n == k else 1.0 for n in (0, 1))
            )
            for k, one in enumerate(door.fitted)
        ]
        forces = np.array([plain_statics.moments(door, one, over_span(door))[0] for one in tired])
        which, at = np.unravel_index(forces.argmin(), forces.shape)
        assert finding.value == pytest.approx(forces.min() / radius, rel=1e-4, abs=1e-4)
        assert door.fitted[which].strut.name in finding.words
        assert finding.angle == pytest.approx(over_span(door)[at], abs=math.radians(0.1))
        told["end" if at == 2000 else "before"] += 1
    assert min(told["end"], told["before"]) >= 2, told


def pushes(door: Door, angle: float) -> dict[str, tuple[float, float]]:
    """Stroke left [m] of each strut at an angle, and what pushes it in as far [N]."""
    found = {}
    for index, one in enumerate(door.fitted):
        place = plain_statics.turned(door, one.panel_mount, np.array([angle]))
        length = np.linalg.norm(place - np.array(one.frame_mount), axis=-1)
        force, friction = plain_statics.gas_forces(one, index, Condition(name="new"), length)
        left = one.strut.extended_length - float(length[0])
        found[one.strut.name] = (left, float(force[0] + friction))
    return found


def test_snapping_on_tells_the_farthest_way_and_the_greatest_force_each_of_its_strut() -> None:
    told = Counter()
    for seed in SEEDS:
        door = random_door(seed)
        finding = by_name(door)["snap_on"]
        each = pushes(door, finding.angle)
        said = re.findall(r"(strut \d).*? by (\d+) mm against (\d+) N", finding.words)
        assert said[0][0] == max(each, key=lambda name: each[name][0])
        hardest = max(each, key=lambda name: each[name][1])
        assert said[-1][0] == hardest or each[hardest][1] <= float(said[-1][2])
        for name, way, force in said:
            assert math.ceil(1e3 * each[name][0] - 1e-6) == int(way)
            assert math.ceil(each[name][1] - 1e-6) == int(force)
        told[len(said)] += 1
    assert min(told[1], told[2]) >= 2, told


def test_a_strut_that_needs_no_pushing_in_has_no_force_to_snap_on() -> None:
    """Two struts, the strong one fully extended where the weak one has 6 mm left."""
    first = lid().struts[0]
    end = np.array([lid().hinge.stop_angle])
    reach = float(
        np.linalg.norm(plain_statics.turned(lid(), first.panel_mount, end)[0] - first.frame_mount)
    )
    weak = replace(first.strut, name="weak", extended_length=reach + 0.006)
    strong = replace(first.strut, name="strong", rating=500.0, extended_length=reach + 1e-5)
    door = lid(struts=(replace(first, strut=strong), replace(first, strut=weak)))
    words = by_name(door)["snap_on"].words
    assert "Snapping strut weak on with the panel open takes pushing it in by 6 mm" in words
    assert "strong" not in words


def sized(name: str, rating: float, stroke: float = 0.16, **changes: object) -> FittedStrut:
    """A strut on an 8 mm rod, for which annex C, table C.1 has 200 to 550 N and 200 mm at most."""
    own = lid().struts[0]
    strut = replace(own.strut, name=name, rating=rating, stroke=stroke)
    return replace(own, strut=strut, **changes)


def test_of_the_struts_outside_the_published_range_the_worst_is_told_and_the_others_named() -> None:
    """560 / 550 = 1.02, 200 / 150 = 1.33, 210 / 200 = 1.05 times beyond."""
    near, worst, long = sized("near", 560.0), sized("worst", 150.0), sized("long", 300.0, 0.21)
    fair = sized("fair", 400.0)
    for order in ((near, fair, worst), (worst, near, fair)):
        finding = by_name(lid(struts=order))["strut_size"]
        assert finding.value == 150.0
        assert finding.words.startswith("Strut worst: 150 N")
        assert finding.words.endswith(" Also outside: strut near.")
    both = by_name(lid(struts=(near, long, worst)))["strut_size"].words
    assert both.endswith(" Also outside: strut near and strut long.")
    pair = sized("outer", 560.0, mirrored=True)
    assert by_name(lid(struts=(near, long, worst, pair)))["strut_size"].words.endswith(
        " Also outside: 4 more struts."
    )
    assert "Also" not in by_name(lid(struts=(worst, fair)))["strut_size"].words


def test_every_strut_with_its_rod_up_is_told() -> None:
    """Both with the rod at the panel, which is above the fixed side shut and open."""
    one = replace(lid().struts[0], rod_at="panel")
    other = replace(one, strut=replace(one.strut, name="other"))
    down = replace(lid().struts[0], strut=replace(one.strut, name="down"))
    words = by_name(lid(struts=(one, other, down)))["rod_direction"].words
    assert words.endswith(" Also up when shut: strut other.")
    assert "Also" not in by_name(lid(struts=(one, down)))["rod_direction"].words


def test_a_strut_with_its_rod_up_only_when_open_is_told_beside_one_that_has_it_up_shut() -> None:
    """Shut, the panel end of the second hangs 2 cm below its fixed end; opened by 60° it is 9 cm
    above: 0.12 sin 60° - 0.03 cos 60° = 0.089 m against -0.01 m."""
    shut = replace(lid().struts[0], rod_at="panel")
    opened = replace(
        shut,
        strut=replace(shut.strut, name="other"),
        frame_mount=(0.42, 0.2, -0.01),
        panel_mount=(0.12, 0.2, -0.03),
    )
    words = by_name(lid(struts=(shut, opened)))["rod_direction"].words
    assert words.endswith(" Also up when open: strut other.")


def test_every_strut_that_passes_near_the_hinge_line_is_told() -> None:
    """The distance of the hinge line from a line through both mounts, by the area they span."""
    frame, struts, arms = np.array([0.30, -0.27]), [], []
    for name, out in (("near", 0.005), ("other", 0.008)):
        panel = np.array([out, 0.005])
        arms.append(abs(np.linalg.det([frame, panel - frame])) / math.dist(frame, panel))
        one = replace(lid().struts[0], frame_mount=(0.30, 0.2, -0.27))
        strut = replace(one.strut, name=name)
        struts.append(replace(one, strut=strut, panel_mount=(out, 0.2, 0.005)))
    assert arms[0] < arms[1] < 0.010
    for order in (struts, struts[::-1]):
        words = by_name(lid(struts=tuple(order)))["shut_lever_arm"].words
        assert words.startswith(f"Shut, strut near passes {1e3 * arms[0]:.1f} mm")
        assert words.endswith(" Also under 10 mm: strut other.")


def resting(door: Door, condition: Condition) -> np.ndarray:
    """Angles at which friction alone holds the panel [degrees]."""
    end = door.hinge.stop_angle
    angle = np.linspace(0.0, end, int(end / STEP) + 1)
    net, rubbing = plain_statics.moments(door, condition, angle)
    return np.degrees(angle[np.abs(net) <= rubbing])


def within(bands: list[tuple[int, int]], angle: np.ndarray) -> np.ndarray:
    return np.any([(low - 0.1 <= angle) & (angle <= high + 0.1) for low, high in bands], axis=0)


def told_bands(words: str) -> tuple[list[tuple[int, int]], bool]:
    """Bands in the words [degrees], and whether there are more."""
    found = [(int(low), int(high)) for low, high in re.findall(r"from (\d+)° to (\d+)°", words)]
    return found, " more band" in words


def assert_true_of(bands: list[tuple[int, int]], angle: np.ndarray, *, all_told: bool) -> None:
    """Each band holds the panel at its ends, and no angle lies in none."""
    for low, high in bands:
        inside = angle[within([(low, high)], angle)]
        assert low - 0.1 <= inside.min() < low + 1.0 + 0.1
        assert high - 1.0 - 0.1 < inside.max() <= high + 0.1
    if all_told:
        assert within(bands, angle).all()


def assert_rest_told(door: Door, finding: Finding) -> Counter:
    """The bands of the condition told first, and those of all, against each condition."""
    every = {one.name: resting(door, one) for one in service(door)}
    own = every[finding.condition]
    first, _, second = finding.words.partition("; in one condition or another ")
    bands, more = told_bands(first)
    assert_true_of(bands, own, all_told=not more)
    low = bands[0][0]
    assert low - 0.1 <= math.degrees(finding.angle) < low + 1.0 + 0.1
    width = math.degrees(finding.value)
    assert np.ptp(own[within(bands[:1], own)]) == pytest.approx(width, abs=0.15)
    for angle in every.values():
        pieces = np.split(angle, np.flatnonzero(np.diff(angle) > 2.0 * math.degrees(STEP)) + 1)
        assert max((np.ptp(one) for one in pieces if len(one)), default=0.0) <= width + 0.15
    told = Counter(several=len(bands) > 1, elsewhere=bool(second))
    if second:
        further, more = told_bands(second)
        assert_true_of(further, np.concatenate(list(every.values())), all_told=not more)
    elif not more:
        for angle in every.values():
            assert within(bands, angle).all()
        told["nowhere else"] += 1
    return told


def test_rest_bands_of_all_conditions_are_told() -> None:
    told = Counter()
    for seed in SEEDS:
        door = random_door(seed, conditions=3)
        finding = by_name(door).get("rest_on_friction")
        if finding is not None:
            told += assert_rest_told(door, finding)
    for seed in SEEDS:
        door = random_door(seed)
        finding = by_name(door).get("rest_on_friction")
        if finding is not None:
            told += assert_rest_told(door, finding)
    assert min(told[one] for one in ("several", "elsewhere", "nowhere else")) >= 2, told


def test_hinge_points_whose_worst_is_in_different_conditions_are_told_apart() -> None:
    """Leaned left and as much right, a door that is its own mirror image loads either hinge point
    most in another condition, and as much."""
    door = read_door(door_path("rear-hatch"))
    lean = [Condition(name="left up", roll=0.3), Condition(name="right up", roll=-0.3)]
    door = replace(door, conditions=tuple(lean))
    most = []
    line = np.array(door.hinge.second) - np.array(door.hinge.first)
    line /= np.linalg.norm(line)
    for swept in sweep_conditions(door):
        loads = hinge_loads(swept)
        radial = [
            np.linalg.norm(np.cross(line, one), axis=-1).max()
            for one in (loads.first, loads.second)
        ]
        most.append((swept.condition.name, *radial))
    worst = [max(most, key=lambda one: one[place])[0] for place in (1, 2)]
    assert worst[0] != worst[1]
    told = hinge_lines(study(door))[:2]
    assert [name in line for name, line in zip(worst, told, strict=True)] == [True, True]


def kept(door: Door, condition: Condition) -> tuple[float, float]:
    """Least stroke kept pushed in and extended [m] by the struts that are there; what is extended
    counts only where no strut ends the travel there."""
    end = sweep(door, condition=condition, angles=[0.0]).end_of_travel
    pushed, pulled = [], []
    for index, one in enumerate(door.fitted):
        if condition.missing == index:
            continue
        place = plain_statics.turned(door, one.panel_mount, np.linspace(0.0, end, 4001))
        length = np.linalg.norm(place - np.array(one.frame_mount), axis=-1)
        shortest = one.strut.extended_length - one.strut.stroke
        pushed.append(float(length.min()) - shortest)
        left = one.strut.extended_length - float(length.max())
        if end == door.hinge.stop_angle or left > 1e-6:
            pulled.append(left)
    return min(pushed), min(pulled, default=math.inf)


def test_stroke_kept_is_told_least_first_each_in_its_own_condition() -> None:
    told = Counter()
    for seed in SEEDS:
        door = random_door(seed, ended_by="strut")
        finding = next((one for one in check(door) if one.name == "travel_left"), None)
        lost = [
            Condition(name=f"{one.strut.name} lost", missing=n) for n, one in enumerate(door.fitted)
        ]
        if finding is None:
            continue
        left_out = {one.condition for one in check(door) if "bottoms out" in one.words}
        every = {
            one.name: kept(door, one) for one in service(door) + lost if one.name not in left_out
        }
        said = re.findall(r"(\d+) mm (pushed in|extended)(?: \(in ([^)]+)\))?", finding.words)
        assert [float(one[0]) for one in said] == sorted(float(one[0]) for one in said)
        for figure, where, name in said:
            place = 0 if where == "pushed in" else 1
            least = min(one[place] for one in every.values())
            assert every[name or finding.condition][place] == pytest.approx(least, abs=1e-6)
            assert math.floor(1e3 * least + 1e-3) == int(figure)
        first = 0 if said[0][1] == "pushed in" else 1
        new = every["nominal"][first]
        least = every[finding.condition][first]
        assert finding.condition == "nominal" or new > least + 1e-7
        told["elsewhere" if any(one[2] for one in said) else finding.condition == "nominal"] += 1
    assert told["elsewhere"] >= 2, told
