"""Rules that print a force or speed in two units: the kit's units give the second from the first.

IBC 2009 1008.1.3 and 2021 1010.1.3 (interior and other doors), ADA 404.2.9, 14 CFR 23.415.
"""

from functools import partial

import pytest

from strutkit.describe.units import parse_quantity
from tests.published.cases import Case, check

SPEED = "14 CFR 23.415, ground gust"

RULES = (
    ("IBC", "interior egress door", "5 lbf", "force", "22", "N", "seen"),
    ("IBC", "latch release, full swing", "15 lbf", "force", "67", "N", "seen"),
    ("IBC", "set in motion", "30 lbf", "force", "133", "N", "seen"),
    ("ADA", "404.2.9 interior hinged door", "5 lbf", "force", "22.2", "N", "seen"),
    (SPEED, "tied down", "65 kn", "speed", "33.4", "m/s", "computed"),
    (SPEED, "greatest design speed", "88 ft/s", "speed", "26.8", "m/s", "computed"),
)
"""Force or speed as the rule prints it, and the same in its second unit."""

CASES = (
    *(
        Case(
            source=source,
            place=place,
            what=text,
            printed=printed,
            unit=unit,
            mark=mark,
            ours=partial(parse_quantity, text, kind),
        )
        for source, place, text, kind, printed, unit, mark in RULES
    ),
    Case(
        source="IBC",
        place="rotating hardware",
        what="28 in-lbf",
        printed="3.15",
        unit="N·m",
        mark="seen",
        ours=partial(parse_quantity, "28 in-lbf", "moment"),
        misprint="28 in-lbf are 3.16 N·m; the rule converts roughly",
        recomputed=28 * 0.0254 * 4.4482216152605,
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)
