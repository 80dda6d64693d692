"""Hibbeler, Engineering Mechanics: Statics. Inputs and answers as in its companion code, or the
14th edition's chapter 11 review. It takes g = 9.81 m/s², z up here."""

import math
from dataclasses import replace
from functools import cache, partial

import numpy as np
import pytest

from strutkit import (
    Condition,
    Door,
    FittedStrut,
    Hinge,
    Panel,
    Strut,
    Sweep,
    balance_angles,
    sweep,
)
from strutkit.compute import geometry, roots
from tests.published.cases import Case, check
from tests.published.equilibria import Equilibrium, equilibria
from tests.published.hinged import STANDARD_GRAVITY, Held, HingedBody, propped, tied

printed = partial(Case, source="Hibbeler, Statics")
RIGHT_ANGLE = math.pi / 2

# Bent rod, bearing A and ball joint D, 100 kg at E, cable from B; the quotient 490.5 / 0.857 is
# read, the places are from memory and give the same quotient (0.857 = 6/7).
BENT_ROD = HingedBody(
    first=(0.0, 0.0, 0.0),
    second=(-1.0, -1.0, 0.0),
    centre=(0.0, -0.5, 0.0),
    weight=981.0,
    frame=(0.2, -1.3, 0.6),
    panel=(0.0, -1.0, 0.0),
    up="z",
)


@cache
def bent_rod() -> Held:
    return tied(BENT_ROD)


def linkage() -> Sweep:
    """Two equal bars: 98.1 cos t = 50 sin t, as a panel whose weight leans by atan(50/98.1).

    A panel on a structure pitched by that much feels the same two forces at its middle.
    """
    door = Door(
        name="bar",
        panel=Panel(
            mass=math.hypot(98.1, 50.0) / STANDARD_GRAVITY,
            centre_of_gravity=(1.0, 0.0, 0.0),
            handle=(1.0, 0.0, 0.0),
        ),
        hinge=Hinge(
            first=(0.0, 0.0, 0.0),
            second=(0.0, 1.0, 0.0),
            opens_toward="up",
            stop_angle=RIGHT_ANGLE,
        ),
    )
    return sweep(door, condition=Condition(name="leaning", pitch=math.atan(50.0 / 98.1)))


def spring_and_force() -> tuple[Equilibrium, ...]:
    return equilibria(lambda t: 2.4 * np.sin(2 * t) - 1.6 * np.cos(t) - 1.0, 0.0, RIGHT_ANGLE)


@cache
def slider_distance() -> float:
    """Distance of the slider from the crank's pin at 45 deg [m], links 0.6 and 0.7 m."""

    def too_long(rows: np.ndarray, distance: np.ndarray) -> np.ndarray:
        shape = geometry.StrutGeometry(
            radius_frame=distance.ravel(),
            radius_panel=np.full(distance.size, 0.6),
            phase=np.full(distance.size, math.radians(45.0)),
            offset=np.zeros(distance.size),
        )
        return geometry.lengths_and_arms(shape, [0.0])[0].reshape(distance.shape) - 0.7

    nodes = np.linspace(0.6, 1.3, 15)[None, :]
    return float(roots.find_roots(too_long, nodes, too_long(np.arange(1), nodes))[0][0])


@cache
def slider_crank() -> Held:
    """The crank hinged at its pin, 200 N at the joint, the connecting rod as a prop."""
    joint = (0.6 * math.cos(math.radians(45.0)), 0.0, 0.6 * math.sin(math.radians(45.0)))
    return propped(
        HingedBody(
            first=(0.0, -0.1, 0.0),
            second=(0.0, 0.1, 0.0),
            centre=joint,
            weight=200.0,
            frame=(slider_distance(), 0.0, 0.0),
            panel=joint,
            up="z",
        )
    )


def link_moment(t: np.ndarray) -> np.ndarray:
    """-dV/dt of V = k L² (1 - cos t)²/2 - W L (2 - cos t)/2 with 10 kg, 0.6 m, 200 N/m."""
    weight = 10 * 9.81 * 0.6 / 2 * np.sin(t)
    return weight - 200 * 0.6**2 * (1 - np.cos(t)) * np.sin(t)


COSINE = 1 - 29.43 / 72.0
"""Of the link's equilibrium, where k L² (1 - cos t) = W L / 2."""


def link() -> tuple[Equilibrium, ...]:
    return equilibria(link_moment, math.radians(-10), RIGHT_ANGLE)


def stiffness_of_link(number: int) -> float:
    """V'' at an equilibrium [N·m/rad], by a difference of the moment."""
    angle, step = link()[number].angle, 1e-5
    return float(link_moment(np.array(angle - step)) - link_moment(np.array(angle + step))) / (
        2 * step
    )


def rod_and_block(force: float) -> Door:
    """Rod of 10 kg and 1.5 m, hinged; a line from its end runs to a pulley 1.2 m above."""
    line = Strut(
        name="line",
        rating=force,
        extended_length=2.0,
        stroke=1.9,
        force_ratio=1.0,
        friction=0.0,
    )
    return Door(
        name="rod",
        panel=Panel(
            mass=98.1 / STANDARD_GRAVITY, centre_of_gravity=(0.75, 0, 0), handle=(1.5, 0, 0)
        ),
        hinge=Hinge(
            first=(0, 0, 0), second=(0, 1, 0), opens_toward="up", stop_angle=math.radians(60)
        ),
        struts=(FittedStrut(strut=line, frame_mount=(0, 0, 1.2), panel_mount=(1.5, 0, 0)),),
    )


UPSIDE_DOWN = Condition(name="upside down", roll=math.pi)
"""A line pulls and a strut pushes. With gravity turned over as well every moment has the other
sign: the same equilibria, what was unstable stable."""


def block_mass() -> float:
    """Mass whose weight in the line holds the rod at 20 deg [kg]."""
    swept = sweep(rod_and_block(1.0), condition=UPSIDE_DOWN, angles=[math.radians(20.0)])
    return -float(swept.gravity_moment[0] / swept.lever_arm[0, 0]) / 9.81


@cache
def balanced_rod() -> Sweep:
    return sweep(rod_and_block(block_mass() * 9.81), condition=UPSIDE_DOWN)


def stiffness_of_rod() -> float:
    """V'' of rod and block at 20 deg [N·m/rad]; turned over, so the slope of our moment."""
    step = 1e-5
    angles = math.radians(20.0) + np.array([-step, step])
    moment = sweep(balanced_rod().door, condition=UPSIDE_DOWN, angles=angles).moment
    return float(moment[1] - moment[0]) / (2 * step)


def two_links() -> tuple[Equilibrium, ...]:
    """V = -2.5 W cos t + 3.125 k (1 - sin t)², W/k = 1.25 ft (the ratio is inferred)."""
    return equilibria(
        lambda t: 6.25 * (1 - np.sin(t)) * np.cos(t) - 2.5 * 1.25 * np.sin(t),
        0.0,
        math.radians(85.0),
    )


CASES = (
    printed(
        place="example 5.17, bent rod (places from memory)",
        what="pull of the cable",
        printed="572",
        unit="N",
        mark="seen",
        ours=lambda: bent_rod().force,
    ),
    printed(
        place="example 11.1, two equal bars",
        what="equilibrium",
        printed="63.0",
        unit="deg",
        mark="seen",
        ours=lambda: math.degrees(balance_angles(linkage())[0].angle),
    ),
    printed(
        place="example 11.2",
        what="equilibrium",
        printed="36.3",
        unit="deg",
        mark="seen",
        ours=lambda: math.degrees(spring_and_force()[0].angle),
    ),
    printed(
        place="example 11.3, slider-crank (load inferred)",
        what="distance of the slider",
        printed="0.981",
        unit="m",
        mark="seen",
        ours=slider_distance,
    ),
    printed(
        place="example 11.3, slider-crank (load inferred)",
        what="force on the slider",
        printed="114",
        unit="N",
        mark="seen",
        ours=lambda: float(slider_crank().hinge[0]),
    ),
    printed(
        place="example 11.5, link with spring",
        what="equilibrium",
        printed="53.8",
        unit="deg",
        mark="seen",
        ours=lambda: math.degrees(link()[1].angle),
    ),
    printed(
        place="example 11.5, link with spring",
        what="V'' at 0",
        printed="-29.4",
        unit="N·m/rad",
        mark="memory",
        ours=lambda: stiffness_of_link(0),
    ),
    printed(
        place="example 11.5, link with spring",
        what="V'' at 53.8 deg",
        printed="46.9",
        unit="N·m/rad",
        mark="memory",
        ours=lambda: stiffness_of_link(1),
        tolerance=0.05,
        reason="of the recomputed value",
        misprint="taken at 53.8 instead of 53.754 deg",
        recomputed=72.0 * (1 + COSINE - 2 * COSINE**2) - 29.43 * COSINE,
    ),
    printed(
        place="example 11.6, rod and block",
        what="mass of the block",
        printed="6.53",
        unit="kg",
        mark="seen",
        ours=block_mass,
    ),
    printed(
        place="example 11.6, rod and block",
        what="V'' at 20 deg",
        printed="-47.6",
        unit="N·m/rad",
        mark="memory",
        ours=stiffness_of_rod,
    ),
    printed(
        place="14th ed., chapter 11 review, two links (W/k inferred)",
        what="equilibrium",
        printed="37.77",
        unit="deg",
        mark="seen",
        ours=lambda: math.degrees(two_links()[0].angle),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)


def test_link_falls_from_upright_and_rests_at_53_8() -> None:
    assert [one.stable for one in link()] == [False, True]


def test_two_links_rest() -> None:
    assert [one.stable for one in two_links()] == [True]


def test_rod_and_block_has_one_equilibrium_at_20_and_it_is_unstable() -> None:
    """Turned over it is the kit's stable one."""
    (found,) = balance_angles(balanced_rod())
    assert math.degrees(found.angle) == pytest.approx(20.0, abs=1e-9)
    assert found.stable
    pulled = replace(balanced_rod().condition, name="upright", roll=0.0)
    assert balance_angles(sweep(balanced_rod().door, condition=pulled)) == ()


def test_the_slider_takes_what_the_crank_pin_takes() -> None:
    """Level forces on crank and rod balance: virtual work 200 dy = C (-dx) gives the same."""
    step, angle = 1e-6, math.radians(45.0)

    def slider(t: float) -> float:
        return 0.6 * math.cos(t) + math.sqrt(0.7**2 - (0.6 * math.sin(t)) ** 2)

    height = 0.6 * (math.sin(angle + step) - math.sin(angle - step))
    force = 200.0 * height / (slider(angle - step) - slider(angle + step))
    assert slider_crank().hinge[0] == pytest.approx(force, rel=1e-8)
