"""Baker & Haynes, Engineering Statics: Open and Interactive (CC BY-NC-SA)."""

import math
from functools import partial

import numpy as np
import pytest

from strutkit import Condition, Door, Hinge, Panel, sweep
from strutkit.compute import statics
from tests.published.cases import Case, check
from tests.published.hinged import STANDARD_GRAVITY

printed = partial(Case, source="Baker & Haynes, Engineering Statics", mark="seen")

FOOT = 0.3048
POUND_FORCE = 4.4482216152605

# 5 x 4 cm rectangle, right triangle of 6 x 4 cm beside it, hole of 1.5 cm radius at (3, 2) cm.
AREAS = np.array([5 * 4, 6 * 4 / 2, -math.pi * 1.5**2])
CENTROIDS = np.array([[2.5, 2.0, 0.0], [5.0 + 6 / 3, 4 / 3, 0.0], [3.0, 2.0, 0.0]])


def moment_about_a_slanting_line() -> float:
    """25 lbf along x at (0, -2, 0) ft about the line (-1, 0, 1) through the origin [lbf·ft].

    A panel on that hinge line, on a structure pitched until its weight pulls along x.
    """
    door = Door(
        name="panel on a slanting hinge line",
        panel=Panel(
            mass=25 * POUND_FORCE / STANDARD_GRAVITY,
            centre_of_gravity=(0.0, -2 * FOOT, 0.0),
            handle=(0.0, -2 * FOOT, 0.0),
        ),
        hinge=Hinge(
            first=(0.0, 0.0, 0.0),
            second=(-FOOT, 0.0, FOOT),
            opens_toward=(1.0, 0.0, 1.0),
            stop_angle=1.0,
        ),
    )
    fallen = Condition(name="pitched down", pitch=-math.pi / 2)
    swept = sweep(door, condition=fallen, angles=[0.0])
    return float(swept.gravity_moment[0]) / (FOOT * POUND_FORCE)


def centroid(axis: tuple[float, float, float], pull: tuple[float, float, float]) -> float:
    """Moment of the areas about an axis through the origin over their sum [cm]."""
    moments, _ = statics.gravity_moment_terms(
        AREAS, CENTROIDS, np.zeros(3), np.array(axis), np.array(pull)
    )
    return float(moments.sum() / AREAS.sum())


CASES = (
    printed(
        place="chapter 4, moment about a hinge line",
        what="moment",
        printed="35.355",
        unit="lbf·ft",
        ours=moment_about_a_slanting_line,
    ),
    printed(
        place="chapter 7, rectangle, triangle and hole",
        what="x of the centroid",
        printed="4.52",
        unit="cm",
        ours=lambda: centroid((0, 0, 1), (0, 1, 0)),
    ),
    printed(
        place="chapter 7, rectangle, triangle and hole",
        what="y of the centroid",
        printed="1.692",
        unit="cm",
        ours=lambda: centroid((0, 0, 1), (-1, 0, 0)),
        misprint="its own 41.86 / 24.93 is 1.679",
        recomputed=(5 * 4 * 2 + 12 * 4 / 3 - math.pi * 1.5**2 * 2) / (32 - math.pi * 1.5**2),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)


def test_a_force_through_the_line_has_no_moment() -> None:
    """The same chapter's second force meets the line."""
    line = np.array([-1.0, 0.0, 1.0]) / math.sqrt(2)
    moment, across = statics.gravity_moment_terms(
        25.0, 2 * line, np.zeros(3), line, np.array([1.0, 0.0, 0.0])
    )
    assert moment == pytest.approx(0.0, abs=1e-15)
    assert across == pytest.approx(0.0, abs=1e-15)
