"""FAA-H-8083-1B, Aircraft Weight and Balance Handbook, and FAA AC 43.13-1B, chapter 10.

Weighing on two wheels, the other way round: the centre of gravity is printed, the scales follow
from the kit's reactions. Loading: moments of weights about the datum.
"""

from functools import partial

import numpy as np
import pytest

from strutkit.compute import statics
from strutkit.compute.reactions import two_point_reactions
from tests.published.cases import Case, check

handbook = partial(Case, source="FAA-H-8083-1B")
circular = partial(Case, source="FAA AC 43.13-1B")

FORWARD = ((1169, 10.6), (17, -49), (170, 16), (83, 22))
REARWARD = ((1169, 10.6), (17, -49), (170, 16), (340, 48), (240, 22), (100, 75.5))
"""Weights [lb] and arms [in]: empty aeroplane, oil, pilot, fuel, and so on."""


def on_the_third_wheel(weight: float, base: float, centre: float) -> float:
    """Scale under the nose or tail wheel [lb], `base` from the main wheels, the weight at
    `centre` on the same side [in]."""
    _, third, _ = two_point_reactions(
        np.zeros(3),
        np.array([base, 0.0, 0.0]),
        np.array([0.0, 0.0, -weight]),
        np.array([0.0, centre * weight, 0.0]),
        thrust_at_first=True,
    )
    return float(third[2])


def moment(loading: tuple[tuple[float, float], ...]) -> float:
    """Moment of all weights about the datum [lb·in], nose up negative as printed."""
    weight, arm = np.array(loading, dtype=float).T
    places = np.stack([arm, np.zeros_like(arm), np.zeros_like(arm)], axis=-1)
    moments, _ = statics.gravity_moment_terms(
        weight, places, np.zeros(3), np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, -1.0])
    )
    return float(moments.sum())


def centre(loading: tuple[tuple[float, float], ...]) -> float:
    return moment(loading) / sum(weight for weight, _ in loading)


CASES = (
    handbook(
        place="nose-wheel aeroplane, 2006 lb at 13.2 in before the main wheels, base 78 in",
        what="nose-wheel scale",
        printed="340",
        unit="lb",
        mark="seen",
        ours=lambda: on_the_third_wheel(2006, -78, -13.2),
        tolerance=1.3,
        reason="0.05 in of the printed 13.2 in is 1.3 lb on the scale",
    ),
    handbook(
        place="chapter 3, tail-wheel aeroplane, 1218 lb at 12.2 in behind the main wheels",
        what="tail-wheel scale",
        printed="67",
        unit="lb",
        mark="memory",
        ours=lambda: on_the_third_wheel(1218, 222, 19.7 - 7.5),
    ),
    circular(
        place="figure 10-10, forward extreme",
        what="moment",
        printed="16104",
        unit="lb·in",
        mark="seen",
        ours=lambda: moment(FORWARD),
    ),
    circular(
        place="figure 10-10, forward extreme",
        what="centre of gravity",
        printed="11.2",
        unit="in",
        mark="seen",
        ours=lambda: centre(FORWARD),
    ),
    circular(
        place="figure 10-11, rearward extreme",
        what="moment",
        printed="43428",
        unit="lb·in",
        mark="seen",
        ours=lambda: moment(REARWARD),
    ),
    circular(
        place="figure 10-11, rearward extreme",
        what="centre of gravity",
        printed="21.33",
        unit="in",
        mark="computed",
        ours=lambda: centre(REARWARD),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)
