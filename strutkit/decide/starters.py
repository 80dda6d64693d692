"""Starter sets of conditions and limits for a door that names none (model section 12).

Common practice, no published source, unless a value says otherwise; every name and every
finding that rests on them says so.
"""

import math

import numpy as np

from strutkit.compute.geometry import end_of_travel, rotate, strut_geometry
from strutkit.decide.conditions import hinge_axis, mounts
from strutkit.describe.attitude import attitude
from strutkit.describe.records import Condition, Door, Limits
from strutkit.describe.units import parse_quantity

PRACTICE = "common practice"
"""Mark that starter conditions bear in their name."""

LEAST_RISE = 1e-3
"""A centre of gravity that moves up or down by less than this [m] is not lifted."""

SLOPE = math.radians(5.0)


def starter_conditions(door: Door) -> tuple[Condition, ...]:
    """Frost with old struts, heat with strong ones, weak ones, slopes, tired and lost struts.

    -20 °C with ageing 0.80 (private doors lose gas by the calendar; the published 0.87 of
    JB/T 8064.1-1996, clause 6.3.7, is a cycle test); 60 °C, new, upper tolerance; 20 °C, lower
    tolerance; standing 5° both ways in pitch and in roll; each strut at 0.70 alone; each strut
    missing. Every name ends with "(common practice)".
    """
    shared = (
        _marked("frost, old struts", temperature=253.15, ageing=0.80),
        _marked("heat, strong struts", temperature=333.15, rating_tolerance=1.0),
        _marked("weak struts", rating_tolerance=-1.0),
        *_slopes(door),
    )
    names = [_short(name, index) for index, name in enumerate(_said(door))]
    tired = tuple(
        _marked(f"{name} tired", strut_ageing=_one_at(0.70, index, len(names)))
        for index, name in enumerate(names)
    )
    lost = tuple(_marked(f"{name} lost", missing=index) for index, name in enumerate(names))
    return shared + tired + lost


def starter_limits(door: Door) -> Limits:
    """Limits to start from: what common practice asks of a door that one person works.

    Closing 120 N and opening 60 N in all conditions, lift-off by 30°, 20 N to spare at the
    handle over the last 10°, latch 40 N, stroke kept 10 mm pushed in and 5 mm extended (5 mm:
    gas spring design standard, clause 7.3.2). A panel whose weight opens it is asked for neither
    lift-off nor reserve.
    """
    shared = Limits(
        hand_opening=60.0,
        hand_closing=120.0,
        latch=40.0,
        travel_compressed=0.010,
        travel_extended=0.005,
    )
    if weight_opens(door):
        return shared
    return Limits(
        hand_opening=shared.hand_opening,
        hand_closing=shared.hand_closing,
        latch=shared.latch,
        travel_compressed=shared.travel_compressed,
        travel_extended=shared.travel_extended,
        lift_off=parse_quantity("30 deg", "angle"),
        reserve_force=20.0,
        reserve_span=parse_quantity("10 deg", "angle"),
    )


def weight_opens(door: Door) -> bool:
    """Whether the weight opens the panel (a drop flap, held back by its struts)."""
    return weight_sense(door) == "drops"


def weight_sense(door: Door) -> str:
    """What opening does to the weight, structure level: "lifts", "drops", or "swings".

    Over the real travel the centre of gravity either ends lower by more than it ever rises above
    shut (it drops), or it has to be lifted (a lid that goes past upright too). Where it moves by
    less than 1 mm up or down it swings (a plumb hinge line).
    """
    rise, fall = _rise_and_fall(door)
    if max(rise, fall) < LEAST_RISE:
        return "swings"
    return "drops" if fall > rise else "lifts"


def _rise_and_fall(door: Door) -> tuple[float, float]:
    """Greatest height of the centre of gravity above shut, and how far below it ends [m]."""
    origin, axis = hinge_axis(door)
    frame, panel = mounts(door)
    shape = strut_geometry(frame, panel, origin, axis)
    extended = np.array([one.strut.extended_length for one in door.fitted])
    everyone = np.ones(len(door.fitted), dtype=bool)
    end, _ = end_of_travel(shape, extended, everyone, door.hinge.stop_angle)
    angle = np.linspace(0.0, end, 181)
    height = rotate(np.array(door.panel.centre_of_gravity), origin, axis, angle)[:, 2]
    return float(height.max() - height[0]), float(height[0] - height[-1])


def _slopes(door: Door) -> tuple[Condition, ...]:
    """5° each way, in the vehicle's own words where the door says which way it faces."""
    if door.faces is not None:
        phrases = ("nose up", "nose down", "leaning left", "leaning right")
        tilts = [attitude(f"{phrase} 5 deg", door.faces) for phrase in phrases]
    else:
        phrases = ("outside up", "outside down", "right side up", "left side up")
        tilts = [(SLOPE, 0.0), (-SLOPE, 0.0), (0.0, SLOPE), (0.0, -SLOPE)]
    return tuple(
        _marked(f"{phrase} 5°", pitch=pitch, roll=roll)
        for phrase, (pitch, roll) in zip(phrases, tilts, strict=True)
    )


def _marked(name: str, **values: object) -> Condition:
    return Condition(name=f"{name} ({PRACTICE})", **values)  # type: ignore[arg-type]


def _said(door: Door) -> list[str]:
    """The struts' names as people say them: the mirror image of the left one is the right one."""
    names = [one.strut.name for one in door.fitted]
    others = {"left (mirrored)": "right", "right (mirrored)": "left"}
    said = [others.get(name, name) for name in names]
    return said if len(set(said)) == len(said) else names


def _short(name: str, index: int) -> str:
    """A strut's name in a condition's; a long one is cut and numbered, so that none are alike."""
    return name if len(name) <= 200 else f"{name[:190]}… {index + 1}"


def _one_at(factor: float, index: int, count: int) -> tuple[float, ...]:
    return tuple(factor if place == index else 1.0 for place in range(count))
