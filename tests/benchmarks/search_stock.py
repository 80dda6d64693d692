"""The problem that the mount search is measured on: a rear hatch, a stock derived from labels."""

import math
from dataclasses import replace

from strutkit.describe.records import Condition, Door, Strut
from tests.search import hatches

SIZES = (
    (0.365, 0.140),
    (0.405, 0.160),
    (0.445, 0.180),
    (0.485, 0.200),
    (0.525, 0.220),
    (0.565, 0.240),
    (0.605, 0.250),
    (0.645, 0.260),
    (0.685, 0.280),
    (0.745, 0.300),
)
"""Extended length and stroke [m] of the first ten rows of ratings; further rows are a little
longer or shorter."""

RATINGS = (100.0, 150.0, 200.0, 250.0, 300.0, 350.0, 400.0, 500.0, 600.0, 700.0)


def stock(count: int) -> tuple[Strut, ...]:
    """So many struts, ten ratings to a size; friction, force ratio and tolerance differ."""
    struts = []
    for number in range(count):
        row, column = divmod(number, len(RATINGS))
        length, stroke = SIZES[row % len(SIZES)]
        longer = (0.0, 0.017, -0.011)[row // len(SIZES) % 3]
        rating = RATINGS[column]
        struts.append(
            Strut(
                name=f"row {number}",
                rating=rating,
                extended_length=length + longer,
                stroke=stroke + longer / 4.0,
                force_ratio=1.25 + 0.01 * (number % 7),
                friction=8.0 + 0.05 * rating,
                rod_diameter=0.008 if rating < 450.0 else 0.010,
                tolerance=max(10.0, 0.05 * rating),
            )
        )
    return tuple(struts)


def hatch(conditions: int = 7, **limits: float) -> Door:
    """The hatch with zones of 180 x 700 mm and 60 x 370 mm, nominal and so many conditions."""
    slope = math.radians(5.0)
    every = (
        Condition(name="frost, old struts", temperature=253.15, ageing=0.85),
        Condition(name="heat, strong struts", temperature=333.15, rating_tolerance=1.0),
        Condition(name="weak struts", rating_tolerance=-1.0),
        Condition(name="nose up", pitch=slope),
        Condition(name="nose down", pitch=-slope),
        Condition(name="right side up", roll=slope),
        Condition(name="wet snow", added_mass=1.5, added_at=(0.05, 0.0, -0.6)),
    )
    more = tuple(
        Condition(
            name=f"day {number}",
            temperature=260.0 + 2.0 * number,
            ageing=1.0 - 0.005 * number,
            pitch=slope * (-1.0) ** number / 2.0,
        )
        for number in range(max(0, conditions - len(every)))
    )
    return replace(
        hatches.hatch(**limits),
        conditions=(*every, *more)[:conditions],
        zones=(
            hatches.oblong("frame", -0.45, -0.20, -0.02, -0.75, -0.05),
            hatches.oblong("panel", -0.45, 0.0, 0.06, -0.45, -0.08),
        ),
    )
