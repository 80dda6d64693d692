"""The sweep: what must hold for any door, whatever its numbers are.

Random doors in general position (`tests/doors.py`): energy, virtual work, the frame turned and
mirrored, everything doubled, hinge points moved along their line, a strut split in two, a strut
missing, conditions in any order.
"""

import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from strutkit.decide.loads import hinge_loads
from strutkit.decide.sweep import Sweep, sweep, sweep_conditions
from strutkit.describe.records import Condition, Door, FittedStrut
from tests import plain_statics
from tests.doors import doors, moved, random_door, seeds

CURVES = (
    "strut_length",
    "lever_arm",
    "strut_force",
    "strut_moment",
    "gravity_moment",
    "friction_moment",
    "moment",
    "hand_force_opening",
    "hand_force_closing",
    "hand_force_holding",
)
PER_STRUT = CURVES[:4]
FORCES = CURVES[2:]
GAUSS_NODES, GAUSS_WEIGHTS = np.polynomial.legendre.leggauss(200)

several = settings(max_examples=12)
"""A random door takes some 10 ms to draw."""


def assert_close(got: np.ndarray, expected: np.ndarray, share: float = 1e-11) -> None:
    """Within a share of the largest value."""
    size = np.abs(expected).max(initial=0.0)
    np.testing.assert_allclose(got, expected, rtol=0.0, atol=share * size)


def assert_same_sweep(got: Sweep, expected: Sweep, share: float = 1e-11) -> None:
    assert got.end_of_travel == pytest.approx(expected.end_of_travel, abs=1e-10)
    assert got.ended_by == expected.ended_by
    for name in CURVES:
        assert_close(getattr(got, name), getattr(expected, name), share)


def at(door: Door, condition: Condition, angle: np.ndarray) -> Sweep:
    return sweep(door, condition=condition, angles=angle)


def inside(door: Door, condition: Condition, pieces: int = 12) -> np.ndarray:
    """Angles from shut to just before the end of travel."""
    return np.linspace(0.0, 0.999 * sweep(door, condition=condition).end_of_travel, pieces)


@several
@given(door=doors(conditions=1, faults=True, mirrored=True, assumed=True))
def test_moments_and_hand_forces_by_a_second_route(door: Door) -> None:
    for one in sweep_conditions(door):
        net, rubbing = plain_statics.moments(door, one.condition, one.angle)
        pull = plain_statics.distance_from_line(door, door.panel.handle)
        push = plain_statics.distance_from_line(door, door.closing_handle)
        assert_close(one.moment, net)
        assert_close(one.friction_moment, rubbing)
        assert_close(one.hand_force_opening, (rubbing - net) / pull)
        assert_close(one.hand_force_closing, (net + rubbing) / push)
        assert_close(one.hand_force_holding, -net / pull)


@several
@given(door=doors(conditions=1, struts=3))
def test_energy(door: Door) -> None:
    """The work of the net moment is that of the gas, Fext G ln((1 - x1/G)/(1 - x2/G)) for each
    strut pushed from x1 to x2 less, and of the weight, m g · (c2 - c1)."""
    condition = door.conditions[0]
    end = sweep(door, condition=condition).end_of_travel
    angle = (GAUSS_NODES + 1.0) / 2.0 * end
    work = float(at(door, condition, angle).moment @ GAUSS_WEIGHTS) * end / 2.0
    both = np.array([0.0, end])
    energy = []
    for mass, place in plain_statics.weights(door, condition):
        low, high = plain_statics.turned(door, place, both)
        energy.append(mass * plain_statics.tilt(condition) @ (high - low))
    ends = at(door, condition, both)
    for index, fitted in enumerate(door.fitted):
        _, inverse, _, _ = plain_statics.label(fitted.strut)
        full = np.array(fitted.strut.extended_length)
        force, _ = plain_statics.gas_forces(fitted, index, condition, full)
        free = 1.0 - (fitted.strut.extended_length - ends.strut_length[index]) * inverse
        energy.append(float(force) / inverse * math.log(free[1] / free[0]))
    assert work == pytest.approx(sum(energy), abs=1e-9 * sum(abs(one) for one in energy))


@several
@given(door=doors(conditions=1))
def test_virtual_work(door: Door) -> None:
    """M dtheta is the sum of force · displacement; central differences of the places that forces
    act at, a second route to every arm at once."""
    condition, small = door.conditions[0], 1e-5
    angle = inside(door, condition)[1:]
    done = np.zeros(len(angle))
    size = 0.0
    for (force, _), (_, before), (_, after) in zip(
        plain_statics.forces(door, condition, angle),
        plain_statics.forces(door, condition, angle - small),
        plain_statics.forces(door, condition, angle + small),
        strict=True,
    ):
        part = np.sum(force * (after - before), axis=-1) / (2.0 * small)
        done += part
        size += np.abs(part).max()
    got = at(door, condition, angle).moment
    np.testing.assert_allclose(got, done, rtol=0.0, atol=1e-8 * size)


@several
@given(
    door=doors(conditions=1, ended_by="strut", mirrored=True), seed=seeds(), mirror=st.booleans()
)
def test_frame_turned_and_mirrored(door: Door, seed: int, mirror: bool) -> None:
    """Nothing depends on how the structure lies, if gravity lies with it; forces turn along."""
    rng = np.random.default_rng(seed)
    matrix = Rotation.random(rng=rng).as_matrix()
    if mirror:
        matrix = matrix @ np.diag([1.0, -1.0, 1.0])
    other = moved(door, matrix, rng.uniform(-2.0, 2.0, 3))
    here, there = door.conditions[0], other.conditions[0]
    angle = inside(door, here)
    assert_same_sweep(at(other, there, angle), at(door, here, angle), 1e-10)
    ours, theirs = hinge_loads(at(door, here, angle)), hinge_loads(at(other, there, angle))
    assert_close(theirs.first, ours.first @ matrix.T, 1e-9)
    assert_close(theirs.second, ours.second @ matrix.T, 1e-9)
    assert_close(theirs.thrust, ours.thrust, 1e-9)


@several
@given(door=doors(conditions=1))
def test_mass_and_force_doubled(door: Door) -> None:
    """Twice the weight on twice the struts: every force and moment twice, every angle the same."""

    def heavier(one: FittedStrut) -> FittedStrut:
        strut = one.strut
        return replace(
            one,
            strut=replace(
                strut,
                rating=2.0 * strut.rating,
                friction=2.0 * strut.friction,
                tolerance=2.0 * strut.tolerance,
                rod_diameter=math.sqrt(2.0) * strut.rod_diameter,
            ),
        )

    condition = door.conditions[0]
    double = replace(
        door,
        panel=replace(door.panel, mass=2.0 * door.panel.mass),
        hinge=replace(door.hinge, friction_moment=2.0 * door.hinge.friction_moment),
        struts=tuple(heavier(one) for one in door.struts),
    )
    loaded = replace(
        condition,
        added_mass=2.0 * condition.added_mass,
        rating_change=2.0 * condition.rating_change,
    )
    angle = inside(door, condition)
    single, twice = at(door, condition, angle), at(double, loaded, angle)
    assert twice.end_of_travel == single.end_of_travel
    for name in ("strut_length", "lever_arm"):
        np.testing.assert_array_equal(getattr(twice, name), getattr(single, name))
    for name in FORCES:
        assert_close(getattr(twice, name), 2.0 * getattr(single, name), 1e-12)
    assert_close(hinge_loads(twice).first, 2.0 * hinge_loads(single).first)
    assert_close(hinge_loads(twice).second, 2.0 * hinge_loads(single).second)


@several
@given(
    door=doors(conditions=1),
    shifts=st.tuples(st.floats(-0.5, 0.2), st.floats(-0.05, 0.5)),
    swap=st.booleans(),
)
def test_hinge_points_moved_along_their_line(
    door: Door, shifts: tuple[float, float], swap: bool
) -> None:
    """The sweep knows the line only. The hinge points carry the same together, and their couple
    grows as they come nearer; swapping them swaps their forces."""
    first, second = np.array(door.hinge.first), np.array(door.hinge.second)
    line = (second - first) / np.linalg.norm(second - first)
    hinge = replace(
        door.hinge,
        first=tuple(first + shifts[0] * line),
        second=tuple(second + shifts[1] * line),
    )
    if swap:
        other_end = "first" if hinge.thrust_at == "second" else "second"
        hinge = replace(hinge, first=hinge.second, second=hinge.first, thrust_at=other_end)
    other = replace(door, hinge=hinge)
    condition = door.conditions[0]
    angle = inside(door, condition)
    assert_same_sweep(at(other, condition, angle), at(door, condition, angle), 1e-10)
    ours = hinge_loads(at(door, condition, angle))
    theirs = hinge_loads(at(other, condition, angle))
    assert_close(theirs.first + theirs.second, ours.first + ours.second, 1e-9)
    assert_close(theirs.thrust, -ours.thrust if swap else ours.thrust, 1e-9)
    there = np.array(hinge.first), np.array(hinge.second)
    ours_about = np.cross(first, ours.first) + np.cross(second, ours.second)
    theirs_about = np.cross(there[0], theirs.first) + np.cross(there[1], theirs.second)
    assert_close(theirs_about, ours_about, 1e-9)


def test_hinge_points_swapped_swap_their_forces() -> None:
    door = random_door(31, conditions=1)
    hinge = door.hinge
    other_end = "first" if hinge.thrust_at == "second" else "second"
    swapped = replace(hinge, first=hinge.second, second=hinge.first, thrust_at=other_end)
    condition = door.conditions[0]
    ours = hinge_loads(sweep(door, condition=condition))
    theirs = hinge_loads(sweep(replace(door, hinge=swapped), condition=condition))
    assert_close(theirs.first, ours.second)
    assert_close(theirs.second, ours.first)
    assert_close(theirs.thrust, -ours.thrust)


@several
@given(door=doors(struts=1, conditions=1), share=st.floats(0.2, 0.8))
def test_strut_split_in_two(door: Door, share: float) -> None:
    """Two struts that share a place, charge, friction and rod area do what the one did."""
    whole = door.struts[0]

    def part(name: str, size: float) -> FittedStrut:
        strut = whole.strut
        return replace(
            whole,
            strut=replace(
                strut,
                name=name,
                rating=size * strut.rating,
                friction=size * strut.friction,
                tolerance=size * strut.tolerance,
                rod_diameter=math.sqrt(size) * strut.rod_diameter,
            ),
        )

    split = replace(door, struts=(part("a", share), part("b", 1.0 - share)))
    one = replace(door.conditions[0], rating_change=0.0)
    two = replace(one, strut_ageing=one.strut_ageing * 2)
    angle = inside(door, one)
    single, double = at(door, one, angle), at(split, two, angle)
    for name in ("strut_force", "strut_moment"):
        assert_close(getattr(double, name).sum(axis=0), getattr(single, name)[0])
    for name in CURVES[4:]:
        assert_close(getattr(double, name), getattr(single, name))
    assert_close(hinge_loads(double).first, hinge_loads(single).first)
    assert_close(hinge_loads(double).second, hinge_loads(single).second)


@several
@given(door=doors(struts=3, conditions=1), missing=st.integers(0, 2))
def test_missing_strut_changes_nothing_but_what_it_should(door: Door, missing: int) -> None:
    whole = door.conditions[0]
    gone = replace(whole, missing=missing)
    angle = inside(door, whole)
    with_it, without = at(door, whole, angle), at(door, gone, angle)
    for name in ("strut_length", "lever_arm", "gravity_moment"):
        np.testing.assert_array_equal(getattr(without, name), getattr(with_it, name))
    rest = [index for index in range(3) if index != missing]
    for name in ("strut_force", "strut_moment"):
        got = getattr(without, name)
        np.testing.assert_array_equal(got[missing], 0.0)
        np.testing.assert_array_equal(got[rest], getattr(with_it, name)[rest])
    assert_close(without.moment, with_it.moment - with_it.strut_moment[missing])
    rubbing = door.fitted[missing].strut.friction * np.abs(with_it.lever_arm[missing])
    assert_close(without.friction_moment, with_it.friction_moment - rubbing)


@several
@given(door=doors(ended_by="strut"))
def test_missing_strut_limits_nothing(door: Door) -> None:
    """The one that ends the travel gone, the panel opens to its stop."""
    with_it = sweep(door)
    without = sweep(door, condition=Condition(name="without", missing=1))
    assert (with_it.ended_by, without.ended_by) == ("strut", "stop")
    assert without.end_of_travel == door.hinge.stop_angle > with_it.end_of_travel
    assert without.strut_length[1].max() > door.fitted[1].strut.extended_length


def test_missing_strut_may_be_too_long_or_too_short() -> None:
    """A strut that does not fit is refused where it is, and limits nothing where it is not."""
    door = random_door(40, struts=2)
    wrong = replace(door.struts[0].strut, extended_length=door.struts[0].strut.extended_length / 2)
    wrong = replace(wrong, stroke=0.9 * wrong.extended_length)
    spoilt = replace(door, struts=(replace(door.struts[0], strut=wrong), door.struts[1]))
    gone = Condition(name="without", missing=0)
    with pytest.raises(ValueError, match="too short when shut"):
        sweep(spoilt)
    assert_same_sweep(sweep(spoilt, condition=gone), sweep(door, condition=gone))


@several
@given(door=doors(conditions=3, faults=True, ended_by="strut"), seed=seeds())
def test_conditions_in_any_order(door: Door, seed: int) -> None:
    order = np.random.default_rng(seed).permutation(len(door.conditions))
    other = replace(door, conditions=tuple(door.conditions[one] for one in order))
    theirs = {one.condition.name: one for one in sweep_conditions(other)}
    for ours in sweep_conditions(door):
        match = theirs[ours.condition.name]
        assert match.end_of_travel == ours.end_of_travel
        assert match.ended_by == ours.ended_by
        for name in ("angle", *CURVES):
            np.testing.assert_array_equal(getattr(match, name), getattr(ours, name))


@several
@given(door=doors(conditions=2, faults=True, ended_by="strut", assumed=True))
def test_all_conditions_at_once_are_each_one_alone(door: Door) -> None:
    swept = sweep_conditions(door)
    names = ["nominal", *(one.name for one in door.conditions)]
    assert [one.condition.name for one in swept] == names
    for one in swept:
        alone = sweep(door, condition=one.condition.name)
        assert alone.condition == one.condition
        assert alone.assumptions == one.assumptions
        for name in ("angle", *CURVES):
            assert_close(getattr(alone, name), getattr(one, name), 1e-14)


def test_condition_by_name_by_record_and_none() -> None:
    door = random_door(8, conditions=2)
    by_name = sweep(door, condition="condition 1")
    by_record = sweep(door, condition=door.conditions[1])
    assert_same_sweep(by_name, by_record, 0.0)
    assert_same_sweep(sweep(door), sweep(door, condition="nominal"), 0.0)
    plain = sweep(door).condition
    assert plain == Condition(name="nominal")


@several
@given(door=doors(ended_by="strut", faults=True))
def test_default_angles(door: Door) -> None:
    """From shut to the end of travel, both in, at most half a degree apart."""
    for one in sweep_conditions(door):
        assert one.angle[0] == 0.0
        assert one.angle[-1] == one.end_of_travel
        steps = np.diff(one.angle)
        assert (steps > 0.0).all()
        assert steps.max() <= math.radians(0.5) * (1.0 + 1e-9)


@pytest.mark.parametrize("stop", [0.001, 0.5, 37.25, 90.0, 180.0, 360.0])
def test_default_angles_of_round_travels(stop: float) -> None:
    door = random_door(3, struts=0)
    door = replace(door, hinge=replace(door.hinge, stop_angle=math.radians(stop)))
    angle = sweep(door).angle
    assert len(angle) == max(2, math.ceil(stop / 0.5) + 1)
    assert (angle[0], angle[-1]) == (0.0, math.radians(stop))


def test_asked_angles_are_kept_as_they_are() -> None:
    door = random_door(9)
    asked = [0.3, 0.1, 0.1, 0.0]
    got = sweep(door, angles=asked)
    np.testing.assert_array_equal(got.angle, asked)
    whole = sweep(door, angles=[0.0, 0.1, 0.3])
    np.testing.assert_array_equal(got.moment, whole.moment[[2, 1, 1, 0]])
    assert got.end_of_travel == sweep(door).end_of_travel
    assert sweep(door, angles=0.2).moment.shape == (1,)


@pytest.mark.parametrize("number", range(4))
def test_arrays_cannot_be_written(number: int) -> None:
    door = random_door(50 + number, struts=number, conditions=1)
    for one in (sweep(door), *sweep_conditions(door), sweep(door, angles=np.array([0.0, 0.1]))):
        for field in fields(one):
            array = getattr(one, field.name)
            if isinstance(array, np.ndarray):
                assert array.dtype == np.float64
                with pytest.raises(ValueError, match="read-only"):
                    array[...] = 0.0


def test_the_angles_asked_for_stay_writeable() -> None:
    asked = np.array([0.0, 0.2])
    got = sweep(random_door(9), angles=asked)
    asked[:] = 9.0
    np.testing.assert_array_equal(got.angle, [0.0, 0.2])


@several
@given(door=doors(struts=0, conditions=2))
def test_door_without_struts(door: Door) -> None:
    for one in sweep_conditions(door):
        assert one.strut_length.shape == (0, len(one.angle))
        assert (one.ended_by, one.end_of_travel) == ("stop", door.hinge.stop_angle)
        np.testing.assert_array_equal(one.moment, one.gravity_moment)
        np.testing.assert_array_equal(one.friction_moment, door.hinge.friction_moment)
        assert one.assumptions == ()


@several
@given(door=doors(mirrored=True, struts=1, conditions=1))
def test_mirrored_pair_on_a_level_structure_shares_alike(door: Door) -> None:
    """Length, arm, force and moment of a twin are those of its original at every angle."""
    one = sweep(door, condition=Condition(name="plain"))
    for name in PER_STRUT:
        original, twin = getattr(one, name)
        assert_close(twin, original)
    assert door.fitted[1].strut.name == "strut 0 (mirrored)"
