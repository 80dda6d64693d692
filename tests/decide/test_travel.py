"""Where the travel ends, and which struts and angles are refused."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from strutkit.decide.sweep import sweep, sweep_conditions
from strutkit.describe.records import Condition, Door, FittedStrut, Hinge, Panel, Strut
from strutkit.errors import RecordError, TravelError
from tests import plain_statics
from tests.doors import doors, random_door

MICRON = 1e-6
STOP = math.radians(80.0)
several = settings(max_examples=40)


def lengths(door: Door, strut: int, angle: np.ndarray) -> np.ndarray:
    fitted = door.fitted[strut]
    place = plain_statics.turned(door, fitted.panel_mount, np.atleast_1d(angle))
    return np.linalg.norm(place - np.array(fitted.frame_mount), axis=-1)


def lid(
    extended_length: float,
    stroke: float = 0.30,
    *,
    stop: float = STOP,
    frame: tuple[float, float, float] = (0.10, 0.0, -0.30),
    panel: tuple[float, float, float] = (0.25, 0.0, -0.02),
) -> Door:
    """A level lid with one strut, for distances worked out by hand from its mounts."""
    strut = Strut(name="left", rating=300.0, extended_length=extended_length, stroke=stroke)
    return Door(
        name="lid",
        panel=Panel(mass=10.0, centre_of_gravity=(0.3, 0.0, 0.0), handle=(0.6, 0.0, 0.0)),
        hinge=Hinge(
            first=(0.0, -0.4, 0.0), second=(0.0, 0.4, 0.0), opens_toward="up", stop_angle=stop
        ),
        struts=(FittedStrut(strut=strut, frame_mount=frame, panel_mount=panel),),
    )


def lid_length(angle: float) -> float:
    """Law of cosines for `lid`: radii of the mounts and the angle between them, by hand."""
    frame, panel = math.hypot(0.10, 0.30), math.hypot(0.25, 0.02)
    between = math.atan2(-0.02, 0.25) - math.atan2(-0.30, 0.10) + angle
    return math.sqrt(frame**2 + panel**2 - 2.0 * frame * panel * math.cos(between))


@several
@given(door=doors(ended_by="strut", struts=2))
def test_strut_ends_the_travel_where_it_is_fully_extended(door: Door) -> None:
    """The first angle at which L = Lext while it grows, by brentq on turned points."""
    extended = door.fitted[1].strut.extended_length
    angle = np.linspace(0.0, door.hinge.stop_angle, 4001)
    over = lengths(door, 1, angle) - extended
    first = int(np.flatnonzero((over[:-1] < 0.0) & (over[1:] >= 0.0))[0])

    def gap(theta: float) -> float:
        return float(lengths(door, 1, theta)[0]) - extended

    if gap(angle[first]) < 0.0 < gap(angle[first + 1]):
        expected = brentq(gap, angle[first], angle[first + 1], xtol=1e-14)
    else:
        expected = angle[first + 1]
    got = sweep(door)
    assert got.ended_by == "strut"
    steep = abs(float(got.lever_arm[1, -1]))
    assert got.end_of_travel == pytest.approx(expected, abs=1e-12 + 1e-15 / steep)
    assert got.strut_length[1, -1] == pytest.approx(extended, abs=1e-12)
    assert got.strut_length[1].max() <= extended + 1e-12


@several
@given(door=doors(struts=3))
def test_stop_ends_the_travel_where_no_strut_does(door: Door) -> None:
    got = sweep(door)
    assert (got.ended_by, got.end_of_travel) == ("stop", door.hinge.stop_angle)
    for index, fitted in enumerate(door.fitted):
        assert got.strut_length[index].max() < fitted.strut.extended_length
        assert got.strut_length[index].min() > fitted.strut.extended_length - fitted.strut.stroke


def test_shorter_of_two_struts_ends_the_travel() -> None:
    door = lid(lid_length(1.2))
    second = replace(
        door.struts[0],
        strut=replace(door.struts[0].strut, name="right", extended_length=lid_length(0.9)),
    )
    both = replace(door, struts=(*door.struts, second))
    assert sweep(both).end_of_travel == pytest.approx(0.9, abs=1e-12)
    without = Condition(name="without", missing=1)
    assert sweep(both, condition=without).end_of_travel == pytest.approx(1.2, abs=1e-12)


def test_end_of_travel_differs_by_condition() -> None:
    door = replace(lid(lid_length(0.7)), conditions=(Condition(name="without", missing=0),))
    nominal, without = sweep_conditions(door)
    assert nominal.end_of_travel == pytest.approx(0.7, abs=1e-12)
    assert (without.end_of_travel, without.ended_by) == (STOP, "stop")


@pytest.mark.parametrize(
    ("before", "ended_by"), [(0.5e-6, "stop"), (0.99e-6, "stop"), (2e-5, "strut"), (1e-3, "strut")]
)
def test_full_extension_just_before_the_stop_leaves_it_to_the_stop(
    before: float, ended_by: str
) -> None:
    """Within 1e-6 rad, or over by less than 1 µm, it is the stop."""
    got = sweep(lid(lid_length(STOP - before)))
    assert got.ended_by == ended_by
    expected = STOP if ended_by == "stop" else STOP - before
    assert got.end_of_travel == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(("over", "ended_by"), [(0.9e-6, "stop"), (1.1e-6, "strut")])
def test_over_by_less_than_a_micron_is_the_stop(over: float, ended_by: str) -> None:
    assert sweep(lid(lid_length(STOP) - over)).ended_by == ended_by


def turning(extended_by: float, *, stop: float) -> Door:
    """A lid whose strut is longest at a dead centre at 1.2 rad and shortens from there."""
    panel = (0.2 * math.cos(0.1), 0.0, 0.2 * math.sin(0.1))
    bearing = 0.1 + 1.2 + math.pi
    frame = (0.15 * math.cos(bearing), 0.0, 0.15 * math.sin(bearing))
    return lid(0.35 + extended_by, 0.2, stop=stop, frame=frame, panel=panel)


@pytest.mark.parametrize(
    ("extended_by", "ended_by"),
    [(5e-3, "stop"), (-0.9e-6, "stop"), (-1.2e-6, "strut"), (-1e-3, "strut")],
)
def test_longest_length_part_way(extended_by: float, ended_by: str) -> None:
    """Over by a micron counts on the whole way to the stop, not at the stop only."""
    door = turning(extended_by, stop=2.0)
    got = sweep(door)
    assert got.ended_by == ended_by
    if ended_by == "strut":
        assert got.end_of_travel < 1.2
        assert got.strut_length[0, -1] == pytest.approx(0.35 + extended_by, abs=1e-12)


@pytest.mark.parametrize("too_long", [1.1e-6, 1e-4, 0.02])
def test_bottoming_at_a_dead_centre_part_way_is_refused(too_long: float) -> None:
    """Ends that fit are not enough: the shortest length falls at 40°, between angles of a grid."""
    dead = math.radians(40.1234)
    panel = (0.25, 0.0, 0.0)
    frame = (0.45 * math.cos(dead), 0.0, 0.45 * math.sin(dead))
    shortest = 0.20
    ends = [
        math.sqrt(0.25**2 + 0.45**2 - 2 * 0.25 * 0.45 * math.cos(dead - theta))
        for theta in (0.0, STOP)
    ]
    extended = max(ends) + 0.01
    fits = lid(extended, extended - shortest + 0.9e-6, frame=frame, panel=panel)
    assert sweep(fits).strut_length.min() >= shortest
    bad = lid(extended, extended - shortest - too_long, frame=frame, panel=panel)
    with pytest.raises(TravelError, match=r"Strut 'left' is .*mm too long at 40\.1°"):
        sweep(bad)
    with pytest.raises(TravelError, match=r"too long at 40\.1°"):
        sweep_conditions(bad)


def test_bottoming_beyond_the_end_of_travel_does_not_matter() -> None:
    """The strut is fully extended first; past that angle it is not asked."""
    door = lid(lid_length(0.9), 0.20)
    assert sweep(door).ended_by == "strut"
    turned = replace(door, hinge=replace(door.hinge, stop_angle=math.tau))
    assert lengths(turned, 0, np.linspace(0.0, math.tau, 721)).min() < lid_length(0.9) - 0.20
    assert sweep(turned).end_of_travel == pytest.approx(0.9, abs=1e-12)


@pytest.mark.parametrize("short_by", [0.9e-6, 1.1e-6, 0.012])
def test_too_short_when_shut(short_by: float) -> None:
    """One micron is left to rounding; what shortens from shut on may hang fully extended."""
    shut = lid_length(0.0)
    growing = lid(shut - short_by)
    words = "is fully extended when shut" if short_by < MICRON else "mm too short when shut"
    with pytest.raises(TravelError, match=words):
        sweep(growing)


def test_fully_extended_when_shut_and_shortening_is_allowed() -> None:
    """A drop flap's stay: longest when shut, pushed in as it falls."""
    panel = (0.25, 0.0, 0.0)
    frame = (0.30 * math.cos(1.6), 0.0, 0.30 * math.sin(1.6))
    shut = math.sqrt(0.25**2 + 0.30**2 - 2 * 0.25 * 0.30 * math.cos(1.6))
    door = lid(shut, 0.35, frame=frame, panel=panel)
    got = sweep(door)
    assert got.ended_by == "stop"
    assert got.lever_arm[0, 0] < 0.0
    assert got.strut_length[0, 0] == pytest.approx(shut, abs=1e-12)


def test_exactly_extended_when_shut_and_lengthening_is_refused() -> None:
    with pytest.raises(TravelError, match="fully extended when shut, so the panel cannot open"):
        sweep(lid(sweep(lid(0.5, 0.3)).strut_length[0, 0], 0.15))


def test_too_long_when_shut_names_strut_and_shortfall() -> None:
    shut = lid_length(0.0)
    words = re.escape(
        f"Strut 'left' is 5 mm too long when shut: its mounts are {shut * 1e3:.0f} mm apart and it"
        f" is {(shut + 0.005) * 1e3:.0f} mm long when fully pushed in."
    )
    with pytest.raises(TravelError, match=words):
        sweep(lid(shut + 0.205, 0.200))


def test_too_short_when_shut_names_strut_and_shortfall() -> None:
    shut = lid_length(0.0)
    words = re.escape(
        f"Strut 'left' is 12 mm too short when shut: its mounts are {shut * 1e3:.0f} mm apart and"
        f" it reaches {(shut - 0.012) * 1e3:.0f} mm. Bring the mounts nearer"
    )
    with pytest.raises(TravelError, match=words):
        sweep(lid(shut - 0.012, 0.150))


def test_shortfalls_under_a_millimetre_are_not_rounded_away() -> None:
    with pytest.raises(TravelError, match=r"is 0\.04 mm too short when shut"):
        sweep(lid(lid_length(0.0) - 4e-5))


@pytest.mark.parametrize("angle", [-0.1, -2e-9, 1.0])
def test_angle_outside_the_travel(angle: float) -> None:
    door = lid(lid_length(0.9))
    asked = angle if angle < 0.0 else 0.9 + 1e-6
    with pytest.raises(
        TravelError, match=r"lies outside the travel; give angles from 0 to 51\.5662°"
    ):
        sweep(door, angles=[0.1, asked])


def test_angle_just_outside_is_taken() -> None:
    door = lid(lid_length(0.9))
    got = sweep(door, angles=[-0.9e-9, 0.9 + 0.9e-9])
    assert got.moment.shape == (2,)


@pytest.mark.parametrize(
    "angles", [[], [0.1, math.nan], [math.inf], [[0.1, 0.2]], "abc", [0.1, "x"], [None]]
)
def test_angles_that_are_none(angles: object) -> None:
    with pytest.raises(TravelError, match="angles must be a list of finite numbers in radians"):
        sweep(random_door(9), angles=angles)


def test_condition_that_is_none() -> None:
    with pytest.raises(RecordError, match="there is no condition 'frost'; there are nominal, "):
        sweep(random_door(9, conditions=1), condition="frost")
    with pytest.raises(RecordError, match="condition is 3; give a Condition or the name of one"):
        sweep(random_door(9), condition=3)


def test_fault_of_a_strut_that_is_not_there() -> None:
    door = random_door(9)
    bad = Condition(name="third gone", missing=2)
    words = "condition 'third gone': missing is 2, but the door has 2 struts, counted from 0"
    with pytest.raises(RecordError, match=words):
        sweep(door, condition=bad)
    with pytest.raises(RecordError, match=words):
        sweep_conditions(replace(door, conditions=(bad,)))
    assert replace(door, conditions=(bad,)).conditions == (bad,)


def test_ageing_for_another_number_of_struts() -> None:
    bad = Condition(name="old", strut_ageing=(0.9,))
    with pytest.raises(RecordError, match="strut_ageing has 1 factors; give one for each of the 2"):
        sweep(random_door(9), condition=bad)


@pytest.mark.parametrize("left", [0.0, -1.0])
def test_change_that_leaves_no_charge(left: float) -> None:
    door = lid(lid_length(0.9))
    strut = replace(door.struts[0].strut, friction=20.0)
    door = replace(door, struts=(replace(door.struts[0], strut=strut),))
    assert sweep(door, condition=Condition(name="weak", rating_change=-319.0)).strut_force.min() > 0
    bad = Condition(name="empty", rating_change=left - 320.0)
    words = f"condition 'empty': it takes {320 - left:g} N off strut 'left', which leaves no charge"
    with pytest.raises(RecordError, match=words):
        sweep(door, condition=bad)


@several
@given(door=doors(assumed=True, struts=3, mirrored=True), share=st.sampled_from([0.0, 0.5]))
def test_assumptions_are_told(door: Door, share: float) -> None:
    """One text for each value that a label leaves out, with the strut's name."""
    bare = tuple(replace(one, strut=replace(one.strut, tolerance=None)) for one in door.struts)
    door = replace(door, struts=bare)
    texts = sweep(door, condition=Condition(name="c", rating_tolerance=share)).assumptions
    expected = []
    for one in door.struts:
        strut = one.strut
        left_out = {
            "force ratio": strut.force_ratio,
            "friction": strut.friction,
            "charge pressure": strut.rod_diameter,
            "tolerance": None if share else 0.0,
        }
        expected += [(strut.name, word) for word, value in left_out.items() if value is None]
    assert len(texts) == len(expected)
    for name, word in expected:
        assert sum(text.startswith(f"{name}: ") and word in text for text in texts) == 1


def test_full_labels_assume_nothing() -> None:
    condition = Condition(name="c", rating_tolerance=0.5)
    assert sweep(random_door(9), condition=condition).assumptions == ()
