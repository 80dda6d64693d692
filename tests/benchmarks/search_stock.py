"""The problem that the mount search is measured on: a rear hatch, a stock derived from labels."""

import math

from strutkit.describe.records import Condition, Door, Hinge, Limits, Panel, Strut, Zone

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
    """A hatch of 14 kg; zones of 180 x 700 mm and 60 x 370 mm; nominal and so many conditions."""

    def zone(part: str, low_x: float, high_x: float, low_z: float, high_z: float) -> Zone:
        corners = ((low_x, low_z), (high_x, low_z), (high_x, high_z), (low_x, high_z))
        return Zone(part=part, corners=tuple((x, -0.45, z) for x, z in corners))

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
    asked = {
        "hand_closing": 110.0,
        "lift_off": math.radians(35.0),
        "reserve_force": 10.0,
        "travel_compressed": 0.010,
        "travel_extended": 0.005,
    }
    return Door(
        name="rear hatch",
        panel=Panel(
            mass=14.0, centre_of_gravity=(0.03, 0.0, -0.45), handle=(0.05, 0.0, -0.95), width=1.0
        ),
        hinge=Hinge(
            first=(0.0, -0.4, 0.0),
            second=(0.0, 0.4, 0.0),
            opens_toward="out",
            stop_angle=math.radians(85.0),
        ),
        conditions=(*every, *more)[:conditions],
        limits=Limits(**{**asked, **limits}),
        zones=(zone("frame", -0.20, -0.02, -0.75, -0.05), zone("panel", 0.0, 0.06, -0.45, -0.08)),
    )
