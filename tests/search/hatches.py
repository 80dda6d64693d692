"""Doors and struts of our own that several tests of the search share."""

import math

from strutkit.describe.records import Condition, Door, Hinge, Limits, Panel, Strut, Zone


def oblong(part: str, y: float, low_x: float, high_x: float, low_z: float, high_z: float) -> Zone:
    """A zone square to y."""
    corners = ((low_x, low_z), (high_x, low_z), (high_x, high_z), (low_x, high_z))
    return Zone(part=part, corners=tuple((x, y, z) for x, z in corners))


def hatch(**limits: float | None) -> Door:
    """A rear hatch of our own that hangs from its upper edge and opens to near level."""
    asked = {"hand_closing": 110.0, "lift_off": math.radians(35.0), "reserve_force": 10.0}
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
        conditions=(
            Condition(name="frost, old", temperature=253.15, ageing=0.85),
            Condition(name="heat", temperature=333.15, rating_tolerance=1.0),
        ),
        limits=Limits(**{**asked, "travel_compressed": 0.01, "travel_extended": 0.005, **limits}),
        zones=(
            oblong("frame", -0.45, -0.2, -0.02, -0.7, -0.05),
            oblong("panel", -0.45, 0.0, 0.06, -0.4, -0.08),
        ),
    )


STOCK = tuple(
    Strut(
        name=f"{rating:.0f} N, {length * 1e3:.0f} mm",
        rating=rating,
        extended_length=length,
        stroke=stroke,
        force_ratio=1.3,
        friction=8.0 + 0.05 * rating,
        rod_diameter=0.008 if rating < 450.0 else 0.010,
        tolerance=15.0,
    )
    for length, stroke in ((0.445, 0.18), (0.525, 0.22), (0.605, 0.25))
    for rating in (250.0, 400.0, 600.0)
)


def bin_lid(**limits: float | None) -> Door:
    """A level lid of our own with zones on either side of the hinge line's height."""
    asked = {"latch": 0.0, "reserve_force": 2.0, "hand_opening": 80.0, "hand_closing": 80.0}
    return Door(
        name="bin lid",
        panel=Panel(mass=3.0, centre_of_gravity=(0.3, 0.0, 0.0), handle=(0.6, 0.0, 0.0)),
        hinge=Hinge(
            first=(0.0, -0.3, 0.0),
            second=(0.0, 0.3, 0.0),
            opens_toward="up",
            stop_angle=math.radians(80.0),
        ),
        limits=Limits(**{**asked, **limits}),
        zones=(
            oblong("frame", 0.2, 0.30, 0.42, -0.05, 0.0),
            oblong("panel", 0.2, 0.10, 0.18, 0.0, 0.05),
        ),
    )


SHORT = Strut(
    name="short", rating=200.0, extended_length=0.40, stroke=0.25, force_ratio=1.3, friction=6.0
)
