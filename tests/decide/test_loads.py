"""What the hinge carries: against MuJoCo, against a balance of all six equations, and by a lesson
of the textbooks.

Every case at rest is solved a second time as six equations for six unknowns, assembled from
forces at places (`tests/plain_statics.py`), with the matrix left to numpy.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from strutkit.decide.conditions import all_conditions, door_statics
from strutkit.decide.loads import cases_at_rest, held_by_hand, hinge_loads, radial_forces
from strutkit.decide.sweep import Sweep, sweep, sweep_conditions
from strutkit.describe.records import Condition, Door, FittedStrut, Hinge, Panel, Point, Strut
from tests import plain_statics
from tests.doors import doors, random_door
from tests.mujoco_rig import Rig

several = settings(max_examples=10)
ALONE = "extended strut, one alone"

SPLIT = {
    "two-struts": random_door(61, struts=2, conditions=1),
    "one-strut": random_door(62, struts=1, conditions=1),
    "a-mirrored-pair": random_door(63, struts=1, mirrored=True, conditions=1),
    "three-struts": random_door(64, struts=3, conditions=1),
    "a-strut-ends-the-travel": random_door(65, ended_by="strut", conditions=1),
    "one-strut-missing": random_door(66, faults=True),
    "no-struts": random_door(67, struts=0, conditions=1),
    "thrust-at-the-first": random_door(68, conditions=1),
}


def test_both_ends_take_the_thrust_among_these() -> None:
    assert {door.hinge.thrust_at for door in SPLIT.values()} == {"first", "second"}


@pytest.mark.parametrize("door", SPLIT.values(), ids=SPLIT.keys())
def test_split_between_the_hinge_points_is_that_of_mujoco(door: Door) -> None:
    """A free panel on two point constraints, to 1e-9 of the largest force."""
    condition = door.conditions[0]
    angle = np.linspace(0.0, sweep(door, condition=condition).end_of_travel, 13)
    ours = hinge_loads(sweep(door, condition=condition, angles=angle))
    first, second = Rig(door, condition).hinge_forces(angle)
    size = np.abs([first, second]).max()
    np.testing.assert_allclose(ours.first, first, rtol=0.0, atol=1e-9 * size)
    np.testing.assert_allclose(ours.second, second, rtol=0.0, atol=1e-9 * size)
    line = np.array(door.hinge.second) - np.array(door.hinge.first)
    thrust = (first + second) @ line / np.linalg.norm(line)
    np.testing.assert_allclose(ours.thrust, thrust, rtol=0.0, atol=1e-9 * size)


def solved(
    door: Door, condition: Condition, angle: float, holding: list[tuple[np.ndarray, np.ndarray]]
) -> tuple[np.ndarray, np.ndarray, float]:
    """Forces at both hinge points [3] and the one holding force, from the balance of the panel.

    `holding`: unit forces and their places; all of them have the same size. Unknowns: three
    components at each hinge point and that size; the seventh equation says that one of the
    hinge points takes no force along the line.
    """
    first, second = np.array(door.hinge.first), np.array(door.hinge.second)
    line = second - first
    matrix, known = np.zeros((7, 7)), np.zeros(7)
    for column, place in ((0, first), (3, second)):
        for axis in range(3):
            unit = np.eye(3)[axis]
            matrix[:3, column + axis] = unit
            matrix[3:6, column + axis] = np.cross(place, unit)
    for force, place in holding:
        matrix[:3, 6] += force
        matrix[3:6, 6] += np.cross(place, force)
    free = 3 if door.hinge.thrust_at == "first" else 0
    matrix[6, free : free + 3] = line
    for force, place in plain_statics.forces(door, condition, np.array([angle])):
        known[:3] -= force[0]
        known[3:6] -= np.cross(place[0], force[0])
    answer = np.linalg.solve(matrix, known)
    return answer[:3], answer[3:6], float(answer[6])


def along_the_arc(
    door: Door, place: Point, angle: float, *, opening: bool
) -> tuple[np.ndarray, np.ndarray]:
    """Unit force along the arc at a point of the panel, and where that point is."""
    here = plain_statics.turned(door, place, np.array([angle]))[0]
    movement = np.cross(plain_statics.opening_axis(door), here - np.array(door.hinge.first))
    unit = movement / np.linalg.norm(movement)
    return (unit if opening else -unit), here


def back_along(door: Door, strut: int, angle: float) -> tuple[np.ndarray, np.ndarray]:
    """Unit pull of a strut on the panel, and where."""
    fitted = door.fitted[strut]
    here = plain_statics.turned(door, fitted.panel_mount, np.array([angle]))[0]
    line = np.array(fitted.frame_mount) - here
    return line / np.linalg.norm(line), here


def assert_case(got: object, expected: tuple[np.ndarray, np.ndarray, float]) -> None:
    first, second, force = expected
    size = np.abs([first, second]).max()
    np.testing.assert_allclose(got.first, first, rtol=0.0, atol=1e-10 * size)
    np.testing.assert_allclose(got.second, second, rtol=0.0, atol=1e-10 * size)
    assert got.force == pytest.approx(force, abs=1e-10 * size)


@several
@given(door=doors(conditions=1, mirrored=True))
def test_held_by_the_hand(door: Door) -> None:
    one = sweep(door, condition=door.conditions[0])
    got = hinge_loads(one)
    for column in (0, len(one.angle) // 2, len(one.angle) - 1):
        angle = float(one.angle[column])
        hand = along_the_arc(door, door.panel.handle, angle, opening=True)
        first, second, force = solved(door, one.condition, angle, [hand])
        size = np.abs([first, second]).max()
        np.testing.assert_allclose(got.first[column], first, rtol=0.0, atol=1e-10 * size)
        np.testing.assert_allclose(got.second[column], second, rtol=0.0, atol=1e-10 * size)
        assert one.hand_force_holding[column] == pytest.approx(force, abs=1e-10 * size)


@several
@given(door=doors(conditions=1, struts=3))
def test_forces_and_moments_balance(door: Door) -> None:
    """All six equations about a point far from the hinge, to 1e-12 of the largest force."""
    one = sweep(door, condition=door.conditions[0])
    got = hinge_loads(one)
    centre = np.array(door.hinge.first) + 0.5
    places = [np.array(door.hinge.first), np.array(door.hinge.second)]
    force, moment = got.first + got.second, np.zeros_like(got.first)
    for place, part in zip(places, (got.first, got.second), strict=True):
        moment = moment + np.cross(place - centre, part)
    for part, place in plain_statics.forces(door, one.condition, one.angle):
        force, moment = force + part, moment + np.cross(place - centre, part)
    handle = plain_statics.turned(door, door.panel.handle, one.angle)
    arc = np.cross(plain_statics.opening_axis(door), handle - places[0])
    hand = one.hand_force_holding[:, None] * arc / np.linalg.norm(arc, axis=-1, keepdims=True)
    force, moment = force + hand, moment + np.cross(handle - centre, hand)
    size = max(np.abs(got.first).max(), np.abs(got.second).max())
    np.testing.assert_allclose(force, 0.0, atol=1e-12 * size)
    np.testing.assert_allclose(moment, 0.0, atol=3e-12 * size)


@several
@given(door=doors(conditions=2, faults=True))
def test_shut_and_latched(door: Door) -> None:
    for one in sweep_conditions(door):
        latch = along_the_arc(door, door.panel.handle, 0.0, opening=False)
        expected = solved(door, one.condition, 0.0, [latch])
        assert_case(hinge_loads(one).cases["shut and latched"], expected)
        assert expected[2] == pytest.approx(-one.hand_force_holding[0], abs=1e-9 * abs(expected[2]))


@several
@given(door=doors(conditions=3))
def test_open_stop(door: Door) -> None:
    """One contact along the arc at the stop point; only where the panel presses on it."""
    for one in sweep_conditions(door):
        cases = hinge_loads(one).cases
        if one.moment[-1] <= 0.0:
            assert set(cases) == {"shut and latched"}
            continue
        assert set(cases) == {"shut and latched", "open stop"}
        stop = along_the_arc(door, door.hinge.stop, one.end_of_travel, opening=False)
        assert_case(cases["open stop"], solved(door, one.condition, one.end_of_travel, [stop]))


def test_the_stop_is_at_the_handle_where_none_is_named() -> None:
    door = random_door(70)
    door = replace(door, panel=replace(door.panel, mass=0.5), hinge=replace(door.hinge, stop=None))
    one = sweep(door)
    assert one.moment[-1] > 0.0
    at_handle = replace(door, hinge=replace(door.hinge, stop=door.panel.handle))
    ours, theirs = (hinge_loads(sweep(each)).cases["open stop"] for each in (door, at_handle))
    np.testing.assert_array_equal(ours.first, theirs.first)
    assert ours.force == theirs.force == pytest.approx(-one.hand_force_holding[-1], rel=1e-12)


@several
@given(door=doors(conditions=3, ended_by="strut", faults=True))
def test_extended_strut(door: Door) -> None:
    """The strut that ends the travel pulls the panel back along its own line."""
    for one in sweep_conditions(door):
        cases = hinge_loads(one).cases
        if one.ended_by == "stop" or one.moment[-1] <= 0.0:
            assert "extended strut" not in cases
            continue
        assert set(cases) == {"shut and latched", "extended strut"}
        pull = back_along(door, 1, one.end_of_travel)
        expected = solved(door, one.condition, one.end_of_travel, [pull])
        assert_case(cases["extended strut"], expected)
        arm = one.lever_arm[1, -1]
        assert expected[2] == pytest.approx(one.moment[-1] / arm, rel=1e-8)


def light(seed: int) -> Sweep:
    """A mirrored pair that ends the travel, on a panel so light that it pulls."""
    door = random_door(seed, struts=1, mirrored=True, ended_by="strut", conditions=1)
    door = replace(door, panel=replace(door.panel, mass=0.5))
    return sweep(door, condition=replace(door.conditions[0], strut_ageing=(1.0, 0.4)))


@pytest.mark.parametrize("seed", range(71, 77))
def test_pair_at_full_extension_shares_the_pull(seed: int) -> None:
    one = light(seed)
    door, end = one.door, one.end_of_travel
    assert (one.ended_by, len(door.fitted)) == ("strut", 2)
    assert one.moment[-1] > 0.0
    cases = hinge_loads(one).cases
    assert set(cases) == {"shut and latched", "extended strut", ALONE}
    both = [back_along(door, strut, end) for strut in (0, 1)]
    assert_case(cases["extended strut"], solved(door, one.condition, end, both))
    singles = [solved(door, one.condition, end, [pull]) for pull in both]
    line = np.array(door.hinge.second) - np.array(door.hinge.first)

    def worst(answer: tuple[np.ndarray, np.ndarray, float]) -> float:
        pair = np.array(answer[:2])
        radial = pair - np.outer(pair @ line, line) / (line @ line)
        return float(np.linalg.norm(radial, axis=-1).max())

    assert_case(cases[ALONE], max(singles, key=worst))
    assert cases[ALONE].force == pytest.approx(2.0 * cases["extended strut"].force, rel=1e-9)


def lesson(seed: int, *, thrust_at: str) -> Door:
    """A prop and a handle in the plane of the first hinge point, the weight midway."""
    rng = np.random.default_rng(seed)
    turn = rng.uniform(0.0, 2.0 * math.pi)
    line = np.array([math.cos(turn), math.sin(turn), 0.0])
    outward, upward = np.array([math.sin(turn), -math.cos(turn), 0.0]), np.array([0.0, 0.0, 1.0])
    first = rng.uniform(-1.0, 1.0, 3)
    width = rng.uniform(0.4, 1.5)

    def place(out: float, up: float, along: float = 0.0) -> Point:
        return tuple(first + out * outward + up * upward + along * line)

    strut = Strut(name="prop", rating=rng.uniform(50, 400), extended_length=1.0, stroke=0.70)
    return Door(
        name="lesson",
        panel=Panel(
            mass=rng.uniform(5.0, 40.0),
            centre_of_gravity=place(0.4, 0.02, width / 2.0),
            handle=place(0.8, 0.0),
        ),
        hinge=Hinge(
            first=tuple(first),
            second=tuple(first + width * line),
            opens_toward="up",
            stop_angle=1.2,
            thrust_at=thrust_at,
        ),
        struts=(
            FittedStrut(strut=strut, frame_mount=place(0.05, -0.4), panel_mount=place(0.35, 0.0)),
        ),
    )


@pytest.mark.parametrize("thrust_at", ["first", "second"])
@given(seed=st.integers(0, 10_000))
@settings(max_examples=8)
def test_far_hinge_carries_half_the_weight_and_nothing_else(thrust_at: str, seed: int) -> None:
    """Prop in the plane of one hinge point, weight midway between both, line level: all of the
    prop comes back through the near point. Lesson of three printed examples of Beer and
    Johnston, Vector Mechanics for Engineers (a top-hung window, a roof cover, a roof scuttle)."""
    door = lesson(seed, thrust_at=thrust_at)
    loads = hinge_loads(sweep(door))
    half = np.array([0.0, 0.0, door.panel.mass * plain_statics.FREE_FALL / 2.0])
    expected = np.broadcast_to(half, loads.second.shape)
    size = np.abs(loads.first).max()
    np.testing.assert_allclose(loads.second, expected, rtol=0.0, atol=1e-12 * size)
    np.testing.assert_allclose(loads.thrust, 0.0, atol=1e-12 * size)


@several
@given(door=doors(conditions=3, faults=True, ended_by="strut"))
def test_many_conditions_are_each_one_alone(door: Door) -> None:
    conditions = all_conditions(door)
    model = door_statics(door, conditions)
    angle = np.linspace(0.0, float(model.end.min()), 5)
    first, second = held_by_hand(door, conditions, model, angle)
    several_cases = cases_at_rest(door, conditions, model)
    for row, condition in enumerate(conditions):
        alone = hinge_loads(sweep(door, condition=condition, angles=angle))
        size = np.abs(alone.first).max()
        np.testing.assert_allclose(first[row], alone.first, rtol=0.0, atol=1e-12 * size)
        np.testing.assert_allclose(second[row], alone.second, rtol=0.0, atol=1e-12 * size)
        assert set(several_cases[row]) == set(alone.cases)
        for name, case in alone.cases.items():
            np.testing.assert_allclose(several_cases[row][name].first, case.first, atol=1e-9 * size)
            assert several_cases[row][name].force == pytest.approx(case.force, rel=1e-9)


def test_radial_forces_by_pythagoras() -> None:
    door = random_door(80)
    loads = hinge_loads(sweep(door))
    first, second, whole = radial_forces(door, loads.first, loads.second)
    line = plain_statics.opening_axis(door)
    for got, force in (
        (first, loads.first),
        (second, loads.second),
        (whole, loads.first + loads.second),
    ):
        np.testing.assert_allclose(
            got**2 + (force @ line) ** 2, np.sum(force**2, axis=-1), rtol=1e-12
        )
    assert (whole <= first + second + 1e-9).all()


def test_nothing_can_be_written() -> None:
    loads = hinge_loads(light(71))
    for array in (loads.angle, loads.first, loads.second, loads.thrust):
        with pytest.raises(ValueError, match="read-only"):
            array[...] = 0.0
    for case in loads.cases.values():
        for array in (case.first, case.second):
            with pytest.raises(ValueError, match="read-only"):
                array[...] = 0.0
    with pytest.raises(TypeError, match="does not support item assignment"):
        loads.cases["open stop"] = None
