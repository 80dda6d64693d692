"""BIPM SI Brochure and NIST SP 811 (appendix B): constants and factors, from memory."""

import math
from functools import partial

import pytest

from strutkit import Door, Hinge, Panel, sweep
from strutkit.compute import gas
from strutkit.describe.units import parse_quantity
from tests.published.cases import Case, check

printed = partial(Case, mark="memory")

FACTORS = (
    ("1 in", "length", "0.0254", "m"),
    ("1 ft", "length", "0.3048", "m"),
    ("1 lb", "mass", "0.45359237", "kg"),
    ("1 oz", "mass", "0.02834952", "kg"),
    ("1 lbf", "force", "4.448222", "N"),
    ("1 kgf", "force", "9.80665", "N"),
    ("1 lbf ft", "moment", "1.355818", "N·m"),
    ("1 lbf in", "moment", "0.1129848", "N·m"),
    ("1 mph", "speed", "0.44704", "m/s"),
    ("1 kn", "speed", "0.5144444", "m/s"),
    ("32 degF", "temperature", "273.15", "K"),
    ("212 degF", "temperature", "373.15", "K"),
)


def weight_of_a_kilogram() -> float:
    """Moment of 1 kg at 1 m from a level hinge line [N·m]."""
    door = Door(
        name="kilogram",
        panel=Panel(mass=1.0, centre_of_gravity=(1.0, 0, 0), handle=(1.0, 0, 0)),
        hinge=Hinge(first=(0, 0, 0), second=(0, 1, 0), opens_toward="up", stop_angle=1.0),
    )
    return -float(sweep(door, angles=[0.0]).gravity_moment[0])


CASES = (
    *(
        printed(
            source="NIST SP 811",
            place="appendix B",
            what=text,
            printed=number,
            unit=unit,
            ours=partial(parse_quantity, text, kind),
        )
        for text, kind, number, unit in FACTORS
    ),
    printed(
        source="BIPM, SI Brochure",
        place="3rd CGPM, 1901",
        what="weight of a kilogram",
        printed="9.80665",
        unit="N",
        ours=weight_of_a_kilogram,
    ),
    printed(
        source="BIPM, SI Brochure",
        place="10th CGPM, 1954",
        what="pressure in a strut that pushes with nothing: one atmosphere",
        printed="101325",
        unit="Pa",
        ours=lambda: float(gas.charge_pressure(0.0, 0.008)),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)


def test_a_twentieth_of_a_turn_is_eighteen_degrees() -> None:
    """SI Brochure, table 8: 1 deg = pi/180 rad."""
    assert parse_quantity("18 deg", "angle") == pytest.approx(math.tau / 20, rel=1e-15)
