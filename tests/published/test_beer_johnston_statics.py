"""Beer & Johnston, Vector Mechanics for Engineers: Statics (numbering of the 8th to 11th ed.).

Answers as in restated solutions. The books take g = 9.81 m/s², y points up. Panels held by a
stick, brace or cable: chapter 4; virtual work and stability: chapter 10.
"""

import math
from functools import cache, partial

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from strutkit.compute import geometry, roots, statics
from tests.published.cases import Case, check
from tests.published.equilibria import Equilibrium, equilibria
from tests.published.hinged import Held, HingedBody, propped, tied

INCH = 0.0254
POUND_FORCE = 4.4482216152605
ORIGIN = np.zeros(3)
X, Y, Z = np.eye(3)

printed = partial(Case, source="Beer & Johnston, Statics")

# Window hinged at its top edge along z, 1.5 m deep, held open by a 0.6 m stick whose lower end
# sits where the bottom edge of the shut window is; hinges at A and B, B takes thrust.
STICK_ANGLE = 2.0 * math.asin(0.3 / 1.5)
STICK_END = (1.5 * math.sin(STICK_ANGLE), -1.5 * math.cos(STICK_ANGLE), 0.9)
WINDOW = HingedBody(
    first=(0.0, 0.0, 0.9),
    second=(0.0, 0.0, 0.0),
    centre=(0.75 * math.sin(STICK_ANGLE), -0.75 * math.cos(STICK_ANGLE), 0.45),
    weight=10 * 9.81,
    frame=(0.0, -1.5, 0.9),
    panel=STICK_END,
    up="y",
    thrust_at="second",
)

# Roof cover, 26 kg, 0.9 m deep and 0.6 m wide, brace at one corner along 74 deg from x to y.
BRACE = math.radians(74.0)
ROOF_COVER = HingedBody(
    first=(0.0, 0.0, 0.6),
    second=(0.0, 0.0, 0.0),
    centre=(0.45, 0.0, 0.3),
    weight=26 * 9.81,
    frame=(0.9 - 0.5 * math.cos(BRACE), -0.5 * math.sin(BRACE), 0.6),
    panel=(0.9, 0.0, 0.6),
    up="y",
    thrust_at="second",
)

# Scuttle lid, 75 lb, 26 x 32 in, open 50 deg from z to y, propped by a 15 in stick from C.
LID_ANGLE = math.radians(50.0)
PROP_FOOT = 7 * INCH


@cache
def prop_radius() -> float:
    """Distance from hinge A to the prop's top [m], for which the kit's strut is 15 in long."""

    def too_long(rows: np.ndarray, radius: np.ndarray) -> np.ndarray:
        shape = geometry.StrutGeometry(
            radius_frame=np.full(radius.size, PROP_FOOT),
            radius_panel=radius.ravel(),
            phase=np.zeros(radius.size),
            offset=np.zeros(radius.size),
        )
        length, _ = geometry.lengths_and_arms(shape, [LID_ANGLE])
        return length.reshape(radius.shape) - 15 * INCH

    nodes = np.linspace(10 * INCH, 32 * INCH, 12)[None, :]
    return float(roots.find_roots(too_long, nodes, too_long(np.arange(1), nodes))[0][0])


def lid_point(radius: float, across: float) -> np.ndarray:
    """A point of the lid [in], this far from the hinge line [in], with the lid open."""
    return geometry.rotate((across, 0.0, radius), ORIGIN, -X, [LID_ANGLE])[0]


@cache
def lid() -> HingedBody:
    return HingedBody(
        first=(0.0, 0.0, 0.0),
        second=(26 * INCH, 0.0, 0.0),
        centre=lid_point(16, 13) * INCH,
        weight=75 * POUND_FORCE,
        frame=(0.0, 0.0, PROP_FOOT),
        panel=tuple(lid_point(prop_radius(), 0.0)),
        up="y",
    )


# Plate hinged along x, 981 N at (390, 0, 225) mm, cable from (600, 0, 450) to (330, 675, 0);
# the places are inferred from the printed coefficients.
PLATE = HingedBody(
    first=(0.0, 0.0, 0.0),
    second=(0.780, 0.0, 0.0),
    centre=(0.390, 0.0, 0.225),
    weight=981.0,
    frame=(0.330, 0.675, 0.0),
    panel=(0.600, 0.0, 0.450),
    up="y",
)

# Pipe cover, r = 240 mm, 30 kg, hinged along z, cable from (2r, 0, r) to (0, r, r - 160 mm).
PIPE_COVER = HingedBody(
    first=(0.0, 0.0, 0.480),
    second=(0.0, 0.0, 0.0),
    centre=(0.240, 0.0, 0.240),
    weight=30 * 9.81,
    frame=(0.0, 0.240, 0.080),
    panel=(0.480, 0.0, 0.240),
    up="y",
)


@cache
def window() -> Held:
    return propped(WINDOW)


@cache
def roof_cover() -> Held:
    return propped(ROOF_COVER)


@cache
def scuttle() -> Held:
    return propped(lid())


@cache
def plate() -> Held:
    return tied(PLATE)


@cache
def pipe_cover() -> Held:
    return tied(PIPE_COVER)


def stick_about(axis: np.ndarray) -> float:
    """Moment of a unit push of the window's stick about a line through B [m]."""
    shape = geometry.strut_geometry(WINDOW.frame, WINDOW.panel, ORIGIN, axis)
    return float(geometry.lengths_and_arms(shape, [0.0])[1][0, 0])


def window_weight_about(axis: np.ndarray) -> float:
    """Moment of the window's weight about a line through B [N·m]."""
    moment, _ = statics.gravity_moment_terms(10.0, WINDOW.centre, ORIGIN, axis, -9.81 * Y)
    return float(moment)


def stick_opening() -> float:
    """Angle at which the stick, folded flat against the shut window, is at its full 0.6 m [deg]."""
    shape = geometry.strut_geometry(WINDOW.frame, (0.0, -1.5, 0.9), ORIGIN, Z)
    return math.degrees(geometry.angle_at_extension(shape, np.array([0.6]))[0])


def stick_slope() -> float:
    """Rise of the stick over the level [deg]."""
    _, direction = geometry.strut_directions([WINDOW.frame], [WINDOW.panel], ORIGIN, Z, [0.0])
    return math.degrees(math.asin(direction[0, 0] @ Y))


def prop_angle() -> float:
    """Angle between lid and prop at the prop's top [deg], from the kit's lever arm."""
    return math.degrees(math.asin(float(scuttle().sweep.lever_arm[0, -1]) / prop_radius()))


WINDOW_CASES = (
    printed(
        place="problem 4.113",
        what="push of the stick",
        printed="19.62",
        unit="N",
        mark="seen",
        ours=lambda: window().force,
    ),
    printed(
        place="problem 4.113",
        what="hinge A, x",
        printed="-19.22",
        unit="N",
        mark="seen",
        ours=lambda: window().first[0],
    ),
    printed(
        place="problem 4.113",
        what="hinge A, y",
        printed="45.1",
        unit="N",
        mark="seen",
        ours=lambda: window().first[1],
    ),
    printed(
        place="problem 4.113",
        what="opening",
        printed="23.074",
        unit="deg",
        mark="seen",
        ours=stick_opening,
    ),
    printed(
        place="problem 4.113",
        what="rise of the stick",
        printed="11.537",
        unit="deg",
        mark="seen",
        ours=stick_slope,
    ),
    printed(
        place="problem 4.114",
        what="weight about the hinge line",
        printed="28.836",
        unit="N·m",
        mark="seen",
        ours=lambda: -float(window().sweep.gravity_moment[-1]),
        tolerance=0.001,
        reason="the solution goes on with 23.074 deg, rounded (2e-5)",
    ),
    printed(
        place="problem 4.114",
        what="weight about x",
        printed="44.145",
        unit="N·m",
        mark="seen",
        ours=lambda: window_weight_about(X),
    ),
    printed(
        place="problem 4.114",
        what="arm of the stick about the hinge line",
        printed="1.46970",
        unit="m",
        mark="seen",
        ours=lambda: float(window().sweep.lever_arm[0, -1]),
        tolerance=1e-5,
        reason="the solution goes on with cos 11.537 deg = 0.97980, rounded (7e-6)",
    ),
    printed(
        place="problem 4.114",
        what="arm of the stick about y",
        printed="0.88182",
        unit="m",
        mark="seen",
        ours=lambda: stick_about(Y),
    ),
    printed(
        place="problem 4.114",
        what="arm of the stick about x",
        printed="0.180",
        unit="m",
        mark="seen",
        ours=lambda: -stick_about(X),
    ),
)

ROUNDED_ANGLE = {
    "tolerance": 0.01,
    "reason": "the solution carries the brace's 74 deg rounded (7e-5)",
}
ROOF_CASES = (
    printed(
        place="roof cover (worked solution)",
        what="push of the brace",
        printed="132.678",
        unit="N",
        mark="seen",
        ours=lambda: roof_cover().force,
        **ROUNDED_ANGLE,
    ),
    printed(
        place="roof cover (worked solution)",
        what="hinge A, x",
        printed="-36.566",
        unit="N",
        mark="seen",
        ours=lambda: roof_cover().first[0],
        **ROUNDED_ANGLE,
    ),
    printed(
        place="roof cover (worked solution)",
        what="hinge A, y",
        printed="0",
        unit="N",
        mark="seen",
        ours=lambda: roof_cover().first[1],
        tolerance=1e-9,
        reason="an exact zero",
    ),
    printed(
        place="roof cover (worked solution)",
        what="hinge B, y",
        printed="127.53",
        unit="N",
        mark="seen",
        ours=lambda: roof_cover().second[1],
    ),
)

SCUTTLE_CASES = (
    printed(
        place="roof scuttle lid",
        what="hinge to top of the prop",
        printed="18.51",
        unit="in",
        mark="seen",
        ours=lambda: prop_radius() / INCH,
    ),
    printed(
        place="roof scuttle lid",
        what="angle between lid and prop",
        printed="20.95",
        unit="deg",
        mark="seen",
        ours=prop_angle,
    ),
    printed(
        place="roof scuttle lid",
        what="top of the prop, y",
        printed="14.18",
        unit="in",
        mark="seen",
        ours=lambda: lid().panel[1] / INCH,
    ),
    printed(
        place="roof scuttle lid",
        what="top of the prop, z",
        printed="11.9",
        unit="in",
        mark="seen",
        ours=lambda: lid().panel[2] / INCH,
    ),
    printed(
        place="roof scuttle lid",
        what="centre of gravity, y",
        printed="12.26",
        unit="in",
        mark="seen",
        ours=lambda: lid_point(16, 13)[1],
    ),
    printed(
        place="roof scuttle lid",
        what="centre of gravity, z",
        printed="10.28",
        unit="in",
        mark="seen",
        ours=lambda: lid_point(16, 13)[2],
    ),
    printed(
        place="roof scuttle lid",
        what="push of the prop",
        printed="116.6",
        unit="lbf",
        mark="computed",
        ours=lambda: scuttle().force / POUND_FORCE,
    ),
    printed(
        place="roof scuttle lid",
        what="hinge A, y",
        printed="-72.69",
        unit="lbf",
        mark="computed",
        ours=lambda: scuttle().first[1] / POUND_FORCE,
    ),
    printed(
        place="roof scuttle lid",
        what="hinge A, z",
        printed="-38.06",
        unit="lbf",
        mark="computed",
        ours=lambda: scuttle().first[2] / POUND_FORCE,
    ),
    printed(
        place="roof scuttle lid",
        what="hinge B, y",
        printed="37.5",
        unit="lbf",
        mark="computed",
        ours=lambda: scuttle().second[1] / POUND_FORCE,
    ),
)

PLATE_CASES = (
    printed(
        place="problem 4.118 (places inferred)",
        what="pull of the cable",
        printed="621.31",
        unit="N",
        mark="seen",
        ours=lambda: plate().force,
        tolerance=0.015,
        reason="exact value 621.30; the solution rounds on the way (2e-5)",
    ),
    printed(
        place="problem 4.118 (places inferred)",
        what="hinge A, x",
        printed="196.2",
        unit="N",
        mark="seen",
        ours=lambda: plate().first[0],
    ),
    printed(
        place="problem 4.118 (places inferred)",
        what="hinge A, y",
        printed="377.3",
        unit="N",
        mark="seen",
        ours=lambda: plate().first[1],
    ),
    printed(
        place="problem 4.118 (places inferred)",
        what="hinge B, y",
        printed="113.186",
        unit="N",
        mark="seen",
        ours=lambda: plate().second[1],
        tolerance=0.01,
        reason="exact value 113.19; the solution rounds on the way (6e-5)",
    ),
    printed(
        place="problem 4.118 (places inferred)",
        what="hinge A, z",
        printed="188.7",
        unit="N",
        mark="computed",
        ours=lambda: plate().first[2],
    ),
    printed(
        place="problem 4.118 (places inferred)",
        what="hinge B, z",
        printed="138.3",
        unit="N",
        mark="computed",
        ours=lambda: plate().second[2],
    ),
)

ROUNDED_PULL = "the solution goes on with T = 343 N; exact is 343.35, 0.1 % more"
PIPE_CASES = tuple(
    printed(
        place="sample problem, pipe cover",
        what=what,
        printed=number,
        unit="N",
        mark="memory",
        ours=ours,
        tolerance=1.05e-3 * abs(float(number)),
        reason=ROUNDED_PULL,
    )
    for what, number, ours in (
        ("pull of the cable", "343", lambda: pipe_cover().force),
        ("hinge A, x", "49.0", lambda: pipe_cover().first[0]),
        ("hinge A, y", "73.5", lambda: pipe_cover().first[1]),
        ("hinge A, z (thrust)", "98.0", lambda: pipe_cover().first[2]),
        ("hinge B, x", "245", lambda: pipe_cover().second[0]),
        ("hinge B, y", "73.5", lambda: pipe_cover().second[1]),
    )
)


def lever(force: float) -> tuple[Equilibrium, ...]:
    """A 0.25 m lever with a force [N] at its end on a torsion spring of 12.5 N·m/rad."""
    return equilibria(lambda t: force * 0.25 * np.cos(t) - 12.5 * t, 0.0, math.radians(400))


def disk() -> tuple[Equilibrium, ...]:
    """10 kg 300 mm off the axis of a disk that a 4 kN/m spring turns back at 80 mm."""
    return equilibria(
        lambda t: 10 * 9.81 * 0.3 * np.sin(t) - 4000 * 0.08**2 * t, math.radians(-10), math.pi
    )


STABILITY_CASES = (
    printed(
        place="problem 10.39",
        what="lever on a torsion spring, 100 N",
        printed="59.0",
        unit="deg",
        mark="memory",
        ours=lambda: math.degrees(lever(100.0)[0].angle),
    ),
    *(
        printed(
            place="problem 10.40",
            what=f"lever on a torsion spring, 350 N, angle {number + 1}",
            printed=angle,
            unit="deg",
            mark="memory",
            ours=lambda number=number: math.degrees(lever(350.0)[number].angle),
        )
        for number, angle in enumerate(("78.7", "324", "379"))
    ),
    printed(
        place="sample problem, disk with spring",
        what="angle",
        printed="0.902",
        unit="rad",
        mark="memory",
        ours=lambda: disk()[-1].angle,
    ),
    printed(
        place="sample problem, disk with spring",
        what="angle in degrees",
        printed="51.7",
        unit="deg",
        mark="memory",
        ours=lambda: math.degrees(disk()[-1].angle),
    ),
)

CASES = (
    *WINDOW_CASES,
    *ROOF_CASES,
    *SCUTTLE_CASES,
    *PLATE_CASES,
    *PIPE_CASES,
    *STABILITY_CASES,
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)


def test_the_travel_ends_where_the_book_draws_the_cable() -> None:
    for held, body in ((plate(), PLATE), (pipe_cover(), PIPE_COVER)):
        assert held.sweep.ended_by == "strut"
        assert held.sweep.end_of_travel == pytest.approx(body.back, abs=1e-12)


@pytest.mark.parametrize("standing", ["pitched", "rolled"])
@pytest.mark.parametrize("body", [PLATE, PIPE_COVER], ids=["plate", "pipe cover"])
def test_a_tied_body_on_a_tipped_structure_carries_the_same(
    body: HingedBody, standing: str
) -> None:
    level, tipped = tied(body), tied(body, standing=standing)
    assert tipped.force == pytest.approx(level.force, rel=1e-12)
    np.testing.assert_allclose(tipped.first, level.first, atol=1e-9)
    np.testing.assert_allclose(tipped.second, level.second, atol=1e-9)


@pytest.mark.parametrize("standing", ["pitched", "rolled"])
@pytest.mark.parametrize("body", [WINDOW, ROOF_COVER], ids=["window", "roof cover"])
def test_a_propped_body_on_a_tipped_structure_carries_the_same(
    body: HingedBody, standing: str
) -> None:
    level, tipped = propped(body), propped(body, standing=standing)
    np.testing.assert_allclose(tipped.first, level.first, atol=1e-9)
    np.testing.assert_allclose(tipped.second, level.second, atol=1e-9)
    assert np.abs(tipped.sweep.moment[-1]) < 1e-9


def test_lever_with_a_strong_force_rests_at_its_first_and_third_angle_only() -> None:
    """Problem 10.40 asks for three quadrants; which of them are stable follows from V''."""
    assert [one.stable for one in lever(350.0)] == [True, False, True]
    assert [one.stable for one in lever(100.0)] == [True]


def test_disk_falls_away_from_upright_and_rests_at_the_side() -> None:
    upright, aside = disk()
    assert upright.angle == pytest.approx(0.0, abs=1e-12)
    assert (upright.stable, aside.stable) == (False, True)


@st.composite
def propped_bodies(draw: st.DrawFn) -> HingedBody:
    """A body on a level hinge line along y, its prop in the plane of the first hinge point,
    its weight midway between both."""
    between = draw(st.floats(0.2, 2.0))
    slope = draw(st.floats(-0.9, 0.9))
    reach = draw(st.floats(0.3, 1.5))
    at = reach * draw(st.floats(0.2, 1.0))
    foot = draw(st.floats(-0.5, 1.2)) * at, -draw(st.floats(0.6, 1.2)) * at
    along = np.array([math.cos(slope), 0.0, math.sin(slope)])
    body = HingedBody(
        first=(0.0, 0.0, 0.0),
        second=(0.0, between, 0.0),
        centre=tuple(reach / 2 * along + (0.0, between / 2, 0.0)),
        weight=draw(st.floats(20.0, 500.0)),
        frame=(foot[0], 0.0, foot[1] + min(0.0, at * math.sin(slope))),
        panel=tuple(at * along),
        up="z",
        thrust_at=draw(st.sampled_from(["first", "second"])),
    )
    lever = np.linalg.norm(np.cross(body.panel, body.frame)) / body.length
    assume(lever > 0.1 * at)
    assume(body.axis[1] < 0.0)  # lengthening lifts, so the prop pushes
    return body


@settings(max_examples=25)
@given(propped_bodies())
def test_the_far_hinge_carries_half_the_weight_and_nothing_else(body: HingedBody) -> None:
    """What problem 4.113, the roof cover and the scuttle lid have in common: all of the prop's
    force returns through the hinge beside it, however steep, strong or out of place it is."""
    held = propped(body)
    assert abs(held.sweep.hand_force_holding[-1]) < 1e-9 * body.weight
    np.testing.assert_allclose(held.second, [0.0, 0.0, body.weight / 2], atol=1e-9 * held.force)
    push = held.force * np.subtract(body.panel, body.frame) / body.length
    beside = (0.0, 0.0, body.weight / 2) - push
    np.testing.assert_allclose(held.first, beside, atol=1e-9 * max(held.force, body.weight))
