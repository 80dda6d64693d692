"""Giancoli, Physics, chapter 9, problem 25: a door on two hinges (g = 9.8 m/s²).

The data were read, the answers not; they are recomputed by hand: W b / (2 d) and W / 2.
"""

import math
from functools import cache, partial

import pytest

from strutkit import Door, Hinge, HingeLoads, Panel, hinge_loads, sweep
from tests.published.cases import Case, check
from tests.published.hinged import STANDARD_GRAVITY

printed = partial(
    Case, source="Giancoli, Physics", place="chapter 9, problem 25", unit="N", mark="computed"
)


@cache
def door_loads() -> HingeLoads:
    """2.30 x 1.30 m, 13.0 kg, hinges 0.40 m from top and bottom, the upper one first."""
    door = Door(
        name="house door",
        panel=Panel(
            mass=13.0 * 9.8 / STANDARD_GRAVITY,
            centre_of_gravity=(0.65, 0.0, 1.15),
            handle=(1.20, 0.0, 1.05),
        ),
        hinge=Hinge(
            first=(0.0, 0.0, 1.90),
            second=(0.0, 0.0, 0.40),
            opens_toward="left",
            stop_angle=math.radians(100.0),
            thrust_at="second",
        ),
    )
    return hinge_loads(sweep(door))


CASES = (
    printed(
        what="upper hinge, pull towards the post",
        printed="55.2",
        ours=lambda: -door_loads().first[0, 0],
    ),
    printed(
        what="lower hinge, push away from the post",
        printed="55.2",
        ours=lambda: door_loads().second[0, 0],
    ),
    printed(
        what="half the weight (the problem takes half and half)",
        printed="63.7",
        ours=lambda: -door_loads().thrust[0] / 2.0,
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)


def test_an_open_door_pulls_the_same_in_its_new_direction() -> None:
    """Turned by any angle, the radial forces turn with the door and keep their size."""
    loads = door_loads()
    angle = loads.angle
    size = (loads.first[:, 0] ** 2 + loads.first[:, 1] ** 2) ** 0.5
    assert size == pytest.approx(size[0], rel=1e-12)
    bearing = [math.atan2(-y, -x) for x, y in loads.first[:, :2]]
    assert bearing == pytest.approx(-angle, abs=1e-12)
