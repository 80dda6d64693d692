"""Doors to draw: the ones that ship, and some of our own that are hard to draw."""

import math
from dataclasses import replace

from strutkit.data import door_names, door_path
from strutkit.describe.doorfile import read_door
from strutkit.describe.records import (
    Condition,
    Door,
    FittedStrut,
    Hinge,
    Limits,
    Panel,
    Strut,
    Zone,
)

HOSTILE = '"><script>alert(1)</script> & $\\frac{1}{2}$ %%d #import \u202eabc 🚪 ' + "W" * 150

FROST = Condition(name="frost, old struts", temperature=253.15, ageing=0.8)
SUMMER = Condition(name="July, strong struts", temperature=323.15, rating_tolerance=1.0)
NOSE_DOWN = Condition(name="nose down", pitch=math.radians(-3.0))


def shipped_doors() -> dict[str, Door]:
    """The example doors by name."""
    return {name: read_door(door_path(name)) for name in door_names()}


def rear_hatch(name: str = "Rear hatch") -> Door:
    """A vertical hatch with a bent, thick section and a zone on each part."""
    return Door(
        name=name,
        panel=Panel(
            mass=15.8,
            centre_of_gravity=(0.03, 0.0, -0.45),
            handle=(0.03, 0.0, -0.9),
            width=1.2,
            thickness=0.03,
            section=((0, 0, 0.01), (0.03, 0, 0.01), (0.06, 0, -0.05), (0.06, 0, -0.95)),
        ),
        hinge=Hinge(
            first=(0, -0.52, 0),
            second=(0, 0.52, 0),
            opens_toward="out",
            stop_angle=math.radians(98.0),
        ),
        struts=(
            FittedStrut(
                strut=Strut(
                    name="left",
                    rating=500.0,
                    extended_length=0.742,
                    stroke=0.150,
                    force_ratio=1.3,
                    friction=26.0,
                    tube_diameter=0.022,
                ),
                frame_mount=(-0.088, -0.61, -0.716),
                panel_mount=(-0.024, -0.61, -0.108),
                mirrored=True,
            ),
        ),
        zones=(
            Zone(
                part="frame",
                corners=((-0.12, 0, -0.6), (-0.06, 0, -0.6), (-0.06, 0, -0.8), (-0.12, 0, -0.8)),
            ),
            Zone(part="panel", corners=((0, 0, -0.1), (0.05, 0, -0.1), (0.05, 0, -0.2))),
        ),
        conditions=(FROST, SUMMER, NOSE_DOWN),
        limits=Limits(lift_off=0.52, hand_closing=80.0, hand_opening=40.0, reserve_force=5.0),
    )


def drop_flap() -> Door:
    """A flap hinged at its foot that drops outward."""
    strut = Strut(name="left", rating=120.0, extended_length=0.415, stroke=0.150)
    return Door(
        name="Serving flap",
        panel=Panel(
            mass=9.0, centre_of_gravity=(0.01, 0, 0.25), handle=(0.02, 0, 0.5), thickness=0.02
        ),
        hinge=Hinge(
            first=(0, -0.4, 0), second=(0, 0.4, 0), opens_toward="out", stop_angle=math.pi / 2
        ),
        struts=(
            FittedStrut(
                strut=strut,
                frame_mount=(-0.05, -0.5, 0.38),
                panel_mount=(-0.02, -0.5, 0.1),
                mirrored=True,
            ),
        ),
        conditions=(FROST,),
        limits=Limits(hand_closing=90.0),
    )


def upright_door() -> Door:
    """A side door on an upright hinge line, with two struts that differ."""
    return Door(
        name="Side door",
        panel=Panel(mass=18.0, centre_of_gravity=(0.05, 0.45, 0.1), handle=(0.05, 0.85, 0.1)),
        hinge=Hinge(
            first=(0, 0, -0.4), second=(0, 0, 0.5), opens_toward="out", stop_angle=math.radians(70)
        ),
        struts=(
            FittedStrut(
                strut=Strut(name="upper", rating=60.0, extended_length=0.45, stroke=0.15),
                frame_mount=(-0.1, 0.05, 0.3),
                panel_mount=(0.0, 0.36, 0.3),
            ),
            FittedStrut(
                strut=Strut(name="lower", rating=40.0, extended_length=0.40, stroke=0.13),
                frame_mount=(-0.12, 0.04, -0.2),
                panel_mount=(0.0, 0.28, -0.1),
            ),
        ),
        conditions=(Condition(name="leaning", roll=math.radians(5.0)),),
    )


def unlike_hatch(
    place: str = "post", order_code: str = "10-22-200", *, holes: bool = False
) -> Door:
    """The rear hatch with a weaker strut on the right than on the left."""
    door = read_door(door_path("rear-hatch"))
    one = door.struts[0]
    struts = []
    for side, rating in ((-1.0, 400.0), (1.0, 350.0)):
        frame, panel = one.frame_mount, one.panel_mount
        label = replace(
            one.strut, name=f"{place} {rating:.0f}", rating=rating, order_code=order_code
        )
        struts.append(
            FittedStrut(
                strut=label,
                frame_mount=(frame[0], side * 0.6, frame[2]),
                panel_mount=(panel[0], side * 0.6, panel[2]),
                frame_hole=(0.0, side * 0.018, 0.0) if holes else None,
                panel_hole=(-0.003, side * 0.015, 0.022) if holes else None,
                frame_thread="M8" if holes else None,
                panel_thread="M6" if holes else None,
            )
        )
    name = "Workshop van, two holes a strut" if holes else "Two unlike struts"
    return replace(door, name=name, struts=tuple(struts))


def roof_lid(*, struts: bool = True) -> Door:
    """A lid without thickness; without struts it is the empty state of every picture."""
    one = Strut(name="left", rating=220.0, extended_length=0.412, stroke=0.186, force_ratio=1.28)
    fitted = FittedStrut(
        strut=one, frame_mount=(0.09, -0.4, -0.26), panel_mount=(0.21, -0.4, -0.03), mirrored=True
    )
    return Door(
        name="Roof lid",
        panel=Panel(mass=11.6, centre_of_gravity=(0.33, 0, -0.012), handle=(0.655, 0, -0.025)),
        hinge=Hinge(
            first=(0, -0.38, 0), second=(0, 0.38, 0), opens_toward="up", stop_angle=math.radians(80)
        ),
        struts=(fitted,) if struts else (),
        conditions=(FROST, SUMMER, Condition(name="one gone", missing=0)) if struts else (FROST,),
        limits=Limits(hand_closing=90.0, hand_opening=60.0, latch=40.0, reserve_force=20.0),
    )


def all_doors() -> dict[str, Door]:
    """Every door of this module and every one that ships."""
    return {
        "rear_hatch": rear_hatch(),
        "hostile": rear_hatch(HOSTILE),
        "drop_flap": drop_flap(),
        "upright_door": upright_door(),
        "roof_lid": roof_lid(),
        "bare": roof_lid(struts=False),
        **shipped_doors(),
    }
