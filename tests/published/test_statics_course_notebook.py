"""A college statics course's notebook, problem 5.115: wing panel on two bearings and a strut.

Aircraft of 800 kg, g = 9.81 m/s², z up. Lift on the panel P = M g / 2 and drag along the hinge
line Q = 0.1 P at (-0.1, 2.9, 0) m; panel of 170 kg at B (0, 2.2, 0); strut from B to
(0, 0, -1.3); bearings A (0.3, 0, 0), which takes thrust, and F (-0.1, 0, 0).
"""

from functools import cache, partial

import numpy as np
import pytest

from strutkit.compute import geometry
from strutkit.compute.reactions import two_point_reactions
from tests.published.cases import Case, check

printed = partial(Case, source="Statics course notebook", place="problem 5.115", mark="seen")

A, F = np.array([0.3, 0.0, 0.0]), np.array([-0.1, 0.0, 0.0])
B = np.array([0.0, 2.2, 0.0])
STRUT_FOOT = np.array([0.0, 0.0, -1.3])
LIFT_AT = np.array([-0.1, 2.9, 0.0])
LIFT = 800 * 9.81 / 2
LOADS = (
    (LIFT_AT, np.array([-0.1 * LIFT, 0.0, LIFT])),
    (B, np.array([0.0, 0.0, -170 * 9.81])),
)
HINGE_LINE = np.array([1.0, 0.0, 0.0])


@cache
def wing_panel() -> tuple[float, np.ndarray, np.ndarray]:
    """Pull of the strut [N], forces of bearings A and F on the panel [3] [N]."""
    shape = geometry.strut_geometry(STRUT_FOOT, B, A, HINGE_LINE)
    _, arm = geometry.lengths_and_arms(shape, [0.0])
    _, away = geometry.strut_directions([STRUT_FOOT], [B], A, HINGE_LINE, [0.0])
    turning = sum(np.cross(place - A, force) for place, force in LOADS)
    pull = float(turning @ HINGE_LINE / arm[0, 0])
    strut = -pull * away[0, 0]
    force = sum(force for _, force in LOADS) + strut
    moment = turning + np.cross(B - A, strut)
    at_a, at_f, _ = two_point_reactions(A, F, force, moment, thrust_at_first=True)
    return pull, at_a, at_f


CASES = (
    printed(what="pull of the strut", printed="6889.41", unit="N", ours=lambda: wing_panel()[0]),
    printed(what="bearing F, y", printed="7293.36", unit="N", ours=lambda: wing_panel()[2][1]),
    printed(what="bearing F, z", printed="-44.59", unit="N", ours=lambda: wing_panel()[2][2]),
    printed(what="bearing A, x", printed="392.4", unit="N", ours=lambda: wing_panel()[1][0]),
    printed(what="bearing A, y", printed="-1362.08", unit="N", ours=lambda: wing_panel()[1][1]),
    printed(what="bearing A, z", printed="1293.14", unit="N", ours=lambda: wing_panel()[1][2]),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)
