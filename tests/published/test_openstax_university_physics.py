"""OpenStax, University Physics volume 1 (CC BY), by module id. It takes g = 9.8 m/s², z up here."""

import math
from functools import cache, partial

import numpy as np
import pytest

from strutkit import Door, Hinge, HingeLoads, Panel, hinge_loads, sweep
from strutkit.compute import statics
from strutkit.compute.reactions import two_point_reactions
from tests.published.cases import Case, check
from tests.published.hinged import STANDARD_GRAVITY, Held, HingedBody, tied

printed = partial(Case, source="OpenStax, University Physics 1", mark="seen")

# Trapdoor 1.0 m long and 1.5 m wide, 300 N, held 30 deg over the floor by a rope from its middle
# that meets the floor at 20 deg on the hinge's far side (the figure's side, inferred: it alone
# gives all three printed values). It has fallen 60 deg from upright.
LIFTED, ROPE = math.radians(30.0), math.radians(20.0)
MIDDLE = (0.5 * math.cos(LIFTED), 0.0, 0.5 * math.sin(LIFTED))
TRAPDOOR = HingedBody(
    first=(0.0, -0.75, 0.0),
    second=(0.0, 0.75, 0.0),
    centre=MIDDLE,
    weight=300.0,
    frame=(MIDDLE[0] - MIDDLE[2] / math.tan(ROPE), 0.0, 0.0),
    panel=MIDDLE,
    up="z",
    back=math.radians(60.0),
)

# Level strut, 4 m, 600 N, hinged at a wall; 400 N at its tip, cable from there to 3 m up the wall.
STRUT = HingedBody(
    first=(0.0, -0.1, 0.0),
    second=(0.0, 0.1, 0.0),
    centre=(2.0, 0.0, 0.0),
    weight=600.0,
    frame=(0.0, 0.0, 3.0),
    panel=(4.0, 0.0, 0.0),
    up="z",
    more=400.0,
    more_at=(4.0, 0.0, 0.0),
)


@cache
def trapdoor() -> Held:
    return tied(TRAPDOOR)


@cache
def strut() -> Held:
    return tied(STRUT)


@cache
def swinging_door() -> HingeLoads:
    """Door 1.00 m wide, 400 N, on two hinges 2.00 m apart, the upper one first."""
    door = Door(
        name="swinging door",
        panel=Panel(
            mass=400.0 / STANDARD_GRAVITY,
            centre_of_gravity=(0.5, 0.0, 1.0),
            handle=(1.0, 0.0, 1.0),
        ),
        hinge=Hinge(
            first=(0.0, 0.0, 2.0),
            second=(0.0, 0.0, 0.0),
            opens_toward="right",
            stop_angle=math.radians(90.0),
        ),
    )
    return hinge_loads(sweep(door))


def size(force: np.ndarray) -> float:
    return float(np.linalg.norm(force))


def rise(force: np.ndarray) -> float:
    """Angle of a force over the level [deg]."""
    return math.degrees(math.atan2(force[2], force[0]))


def supports(length: float, weights: list[tuple[float, float]]) -> tuple[float, float]:
    """Forces of two supports `length` apart on a beam with weights at distances from the first."""
    force = np.array([0.0, 0.0, -sum(weight for weight, _ in weights)])
    moment = np.array([0.0, sum(weight * place for weight, place in weights), 0.0])
    first, second, _ = two_point_reactions(
        np.zeros(3), np.array([length, 0.0, 0.0]), force, moment, thrust_at_first=True
    )
    return float(first[2]), float(second[2])


def scaffold() -> tuple[float, float]:
    """6.0 m, 40.0 kg; painter 80.0 kg 1.0 m from the left; 16.0 kg 1.5 m from the right."""
    return supports(6.0, [(40 * 9.8, 3.0), (80 * 9.8, 1.0), (16.0 * 9.8, 4.5)])


def about_the_fulcrum(grams: list[float], places: list[float]) -> np.ndarray:
    """Moment of each mass [g] at a place from the fulcrum [cm], in g·cm at unit gravity."""
    points = np.stack([places, np.zeros(len(places)), np.zeros(len(places))], axis=-1)
    free_fall = np.array([0.0, 0.0, -1.0])
    axis = np.array([0.0, 1.0, 0.0])
    moment, _ = statics.gravity_moment_terms(grams, points, np.zeros(3), axis, free_fall)
    return moment


def balancing_mass() -> float:
    """Mass 30 cm right of the fulcrum that balances 50, 75 and 150 g left of it [g]."""
    left = about_the_fulcrum([50.0, 75.0, 150.0], [-70.0, -40.0, -20.0]).sum()
    return float(-left / about_the_fulcrum([1.0], [30.0])[0])


TRAPDOOR_NOTE = "m58341, problem: trapdoor (side of the rope inferred)"
CASES = (
    printed(
        place=TRAPDOOR_NOTE,
        what="pull of the rope",
        printed="1500",
        unit="N",
        ours=lambda: trapdoor().force,
        tolerance=5.0,
        reason="three digits",
    ),
    printed(
        place=TRAPDOOR_NOTE,
        what="force of the hinge",
        printed="1620",
        unit="N",
        ours=lambda: size(trapdoor().hinge),
        tolerance=5.0,
        reason="three digits",
    ),
    printed(
        place=TRAPDOOR_NOTE,
        what="rise of the hinge force",
        printed="30",
        unit="deg",
        ours=lambda: rise(trapdoor().hinge),
    ),
    printed(
        place="m58341, example: swinging door",
        what="upper hinge, pull towards the wall",
        printed="100.0",
        unit="N",
        ours=lambda: -swinging_door().first[0, 0],
    ),
    printed(
        place="m58341, example: swinging door",
        what="lower hinge, push away from the wall",
        printed="100.0",
        unit="N",
        ours=lambda: swinging_door().second[0, 0],
    ),
    printed(
        place="m58341, example: swinging door",
        what="weight carried by each hinge (the example takes half and half)",
        printed="200.0",
        unit="N",
        ours=lambda: (swinging_door().first[0, 2] + swinging_door().second[0, 2]) / 2.0,
    ),
    printed(
        place="m58341, problem: strut and cable",
        what="pull of the cable",
        printed="1167",
        unit="N",
        ours=lambda: strut().force,
    ),
    printed(
        place="m58341, problem: strut and cable",
        what="force of the hinge",
        printed="980",
        unit="N",
        ours=lambda: size(strut().hinge),
    ),
    printed(
        place="m58341, problem: strut and cable",
        what="rise of the hinge force",
        printed="18",
        unit="deg",
        ours=lambda: rise(strut().hinge),
    ),
    printed(
        place="m58341, example: torque balance (places of the masses from memory)",
        what="mass that balances",
        printed="317",
        unit="g",
        ours=balancing_mass,
    ),
    printed(
        place="m58341, problem: scaffold with painter and equipment",
        what="left cable",
        printed="888.5",
        unit="N",
        ours=lambda: scaffold()[0],
    ),
    printed(
        place="m58341, problem: scaffold with painter and equipment",
        what="right cable",
        printed="444.3",
        unit="N",
        ours=lambda: scaffold()[1],
    ),
    printed(
        place="m58340, example: car on two axles",
        what="share on the front wheels, 2.5 m from the rear ones, weight at 1.3 m",
        printed="52",
        unit="%",
        ours=lambda: supports(2.5, [(100.0, 1.3)])[1],
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)


def test_the_rope_stops_the_trapdoor_where_the_book_draws_it() -> None:
    swept = trapdoor().sweep
    assert swept.ended_by == "strut"
    assert swept.end_of_travel == pytest.approx(math.radians(60.0), abs=1e-12)


@pytest.mark.parametrize("standing", ["pitched", "rolled"])
def test_weights_hung_on_a_tipped_structure_pull_the_same(standing: str) -> None:
    """The level strut with its second weight: added mass leans with the structure too."""
    tipped = tied(STRUT, standing=standing)
    assert tipped.force == pytest.approx(strut().force, rel=1e-12)
    np.testing.assert_allclose(tipped.hinge, strut().hinge, atol=1e-9)


def test_thrust_of_the_swinging_door_is_all_at_one_hinge() -> None:
    """The example calls the split indeterminate; the kit puts the whole weight on one point."""
    loads = swinging_door()
    assert loads.first[0, 2] == pytest.approx(400.0, rel=1e-12)
    assert loads.second[0, 2] == pytest.approx(0.0, abs=1e-9)
