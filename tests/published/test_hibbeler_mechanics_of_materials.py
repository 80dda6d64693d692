"""Hibbeler, Mechanics of Materials, chapter 13: buckling of columns."""

import math
from functools import partial

import pytest

from strutkit.compute import columns
from tests.published.cases import Case, check

printed = partial(Case, source="Hibbeler, Mechanics of Materials", mark="seen")

TUBE_AREA = math.pi * (0.075**2 - 0.070**2)
TUBE_SECOND_MOMENT = math.pi / 4 * (0.075**4 - 0.070**4)
WIDE_FLANGE = {"area": 5890e-6, "second_moment": 15.3e-6}


def tube_load() -> float:
    """Steel tube of radii 75 and 70 mm, 7.2 m long, pinned, E 200 GPa [kN]."""
    return float(columns.euler_load(200e9, TUBE_SECOND_MOMENT, 7.2)) / 1e3


def wide_flange_load() -> float:
    """W200 x 46 about its weak axis, 4 m long, pinned, E 200 GPa [kN]."""
    return float(columns.euler_load(200e9, WIDE_FLANGE["second_moment"], 4.0)) / 1e3


def wide_flange_yield() -> float:
    """The same column without length, yield strength 250 MPa [kN]."""
    return float(columns.buckling_load(200e9, 250e6, **WIDE_FLANGE, length=1e-9)) / 1e3


CASES = (
    printed(place="example 13.1", what="critical load", printed="228.2", unit="kN", ours=tube_load),
    printed(
        place="example 13.1",
        what="critical stress",
        printed="100.2",
        unit="MPa",
        ours=lambda: tube_load() / TUBE_AREA / 1e3,
    ),
    printed(
        place="example 13.2",
        what="critical load about the weak axis",
        printed="1887.6",
        unit="kN",
        ours=wide_flange_load,
    ),
    printed(
        place="example 13.2",
        what="critical stress about the weak axis",
        printed="320.5",
        unit="MPa",
        ours=lambda: wide_flange_load() / WIDE_FLANGE["area"] / 1e3,
    ),
    printed(
        place="example 13.2",
        what="load at yield",
        printed="1472.5",
        unit="kN",
        ours=wide_flange_yield,
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)
