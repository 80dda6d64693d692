"""A first door of a kind of opening from a few sizes; what nobody knows is taken and listed."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from strutkit.decide.start.kinds import Axes, Kind, find_kind, panel_axes
from strutkit.decide.start.weighing import (
    Lump,
    MassMoments,
    Pull,
    Weighing,
    agree,
    centre_along,
    mass_moments,
    mass_of,
    with_lumps,
)
from strutkit.decide.starters import starter_conditions, starter_limits
from strutkit.describe.fields import shown
from strutkit.describe.numbers import length_text, sentence_unit
from strutkit.describe.records import Door, Hinge, Panel
from strutkit.errors import RecordError

THICKNESS = 0.030
KNUCKLE_DIAMETER = 0.012
WIDTH = 0.9
AREA_MASS = 12.0
"""Taken where nobody knows: thickness, knuckle diameter, width [m], mass of a square metre of
panel with its lining [kg/m²]. Common practice, no published source."""

LONGEST = 10.0
GREATEST_MASS = 2000.0
SMALLEST_LEVER = 0.010
"""Bounds of what is taken for a door: hinge line to free edge [m], mass [kg], hinge line to handle
or centre of gravity [m]."""


LEAST_DEPTH_ERROR = 0.010
"""A depth of the centre of gravity known to this [m] is taken also in a thinner panel."""

DEPTH = "depth of the centre of gravity: half-way through the thickness"


@dataclass(frozen=True, slots=True)
class Sizes:
    """A panel's section: pin to free edge, knuckle radius, thickness, width, handle [m]."""

    length: float
    radius: float
    thickness: float
    width: float
    handle: float

    @property
    def inner_face(self) -> float:
        """Place of the inner face, inward from the hinge line [m]."""
        return self.radius + self.thickness


def starter_door(
    kind: str,
    *,
    length: float,
    thickness: float | None = None,
    knuckle_diameter: float | None = None,
    width: float | None = None,
    handle: float | None = None,
    pull: float | None = None,
    further_pulls: Sequence[Pull] = (),
    mass: float | None = None,
    centre_of_gravity: float | None = None,
    lumps: Sequence[Lump] = (),
    stop_angle: float | None = None,
    hinge_height: float | None = None,
    lean: float | None = None,
    rise: float | None = None,
    name: str | None = None,
) -> Door:
    """A first door of a kind of opening, with starter conditions and limits and no struts.

    kind: side_door, lid, rear_hatch, drop_flap or canted_side_door. Lengths as a tape finds them
    with the door shut [m]: length, outer edge of the knuckle to the free edge, along the door;
    thickness; knuckle_diameter (the pin is taken half of it outside the outer face); width along
    the hinge line; handle and centre_of_gravity, hinge line to each, along the door; lean, how
    far the free edge stands out from the hinge line (minus: in); rise, how much higher the right
    end of the hinge line is, over the width; hinge_height above where one stands. pull [N] at
    right angles to the door at the handle, door held level; further_pulls at other angles; mass
    [kg] without lumps; stop_angle [rad].

    None is "not known": a default is taken and listed in `Door.assumed`. Pull, mass and centre of
    gravity: any two give the third; with one of them the centre of gravity is taken half-way.
    Source of every default: common practice, no published source. Raises `RecordError`.

    >>> door = starter_door("lid", length=0.656, pull=60.0)
    >>> round(door.panel.mass, 2), len(door.struts)
    (12.24, 0)
    """
    shape = find_kind(kind)
    assumed: list[str] = []
    sizes = _sizes(length, thickness, knuckle_diameter, width, handle, assumed)
    axes = _axes(shape, sizes, lean, rise, assumed)
    pulls = ([] if pull is None else [Pull(force=pull)]) + list(further_pulls)
    weighed = _weighed(shape, sizes, pulls, mass, centre_of_gravity)
    assumed += weighed.assumed
    weighed = with_lumps(weighed, lumps)
    angle = _taken(stop_angle, shape.stop_angle, "angle", "hinge stop angle", assumed)
    assumed.append("hinge points: at the two ends of the panel")
    assumed.append("open stop: one that you fit, at the free edge")
    panel = Panel(
        mass=round(weighed.mass, 3),
        centre_of_gravity=axes.point(weighed.along, weighed.inward),
        handle=axes.point(sizes.handle, sizes.radius),
        width=sizes.width,
        thickness=sizes.thickness,
        section=(axes.point(0.0, sizes.radius), axes.point(sizes.length, sizes.radius)),
    )
    hinge = Hinge(
        first=axes.point(0.0, 0.0, -sizes.width / 2.0),
        second=axes.point(0.0, 0.0, sizes.width / 2.0),
        opens_toward=shape.opens_toward,
        stop_angle=angle,
        stop=axes.point(sizes.length, sizes.radius),
    )
    bare = Door(
        name=name or shape.title,
        panel=panel,
        hinge=hinge,
        hinge_height=hinge_height,
        assumed=tuple(assumed),
    )
    return replace(bare, conditions=starter_conditions(bare), limits=starter_limits(bare))


def _sizes(
    length: float,
    thickness: float | None,
    knuckle_diameter: float | None,
    width: float | None,
    handle: float | None,
    assumed: list[str],
) -> Sizes:
    thickness = _taken(thickness, THICKNESS, "length", "panel thickness", assumed)
    diameter = _taken(knuckle_diameter, KNUCKLE_DIAMETER, "length", "knuckle diameter", assumed)
    width = _taken(width, WIDTH, "length", "panel width", assumed)
    _within("length", length, 0.0, LONGEST)
    _within("thickness", thickness, 0.0, 0.5, low_counts=True)
    _within("knuckle diameter", diameter, 0.0, 0.5, low_counts=True)
    _within("width", width, 0.0, LONGEST)
    edge = length - diameter / 2.0
    if edge < 2.0 * SMALLEST_LEVER:
        raise RecordError(
            f"length is {shown(length, 'length')} with a knuckle of {shown(diameter, 'length')};"
            f" the door must reach at least {shown(2.0 * SMALLEST_LEVER, 'length')} from its pin."
        )
    if handle is None:
        assumed.append("handle: at the free edge")
        handle = edge
    _within("handle", handle, SMALLEST_LEVER, 1.5 * edge, low_counts=True)
    return Sizes(edge, diameter / 2.0, thickness, width, handle)


def _taken(
    value: float | None, default: float, kind: str, subject: str, assumed: list[str]
) -> float:
    if value is not None:
        return value
    words = shown(default, kind)
    if kind == "length" and sentence_unit() == "in":
        words = f"{length_text(default, 'in')} ({default * 1e3:g} mm)"
    assumed.append(f"{subject}: {words}, common practice")
    return default


def _within(
    name: str, value: float, low: float, high: float, *, kind: str = "length",
    low_counts: bool = False,
) -> None:  # fmt: skip
    too_low = value < low if low_counts else value <= low
    if math.isfinite(value) and not too_low and value <= high:
        return
    bound = "from" if low_counts else "over"
    raise RecordError(
        f"{name} is {shown(value, kind)}; write {bound} {shown(low, kind)} and at most"
        f" {shown(high, kind)}."
    )


def _axes(
    kind: Kind, sizes: Sizes, lean: float | None, rise: float | None, assumed: list[str]
) -> Axes:
    if kind.leans and lean is None:
        assumed.append("lean of the panel: upright")
    if kind.slopes and rise is None:
        assumed.append("slope of the hinge line: level")
    lean, rise = lean or 0.0, rise or 0.0
    _within("lean", abs(lean), 0.0, 0.7 * sizes.length, low_counts=True)
    _within("rise", abs(rise), 0.0, 0.5 * sizes.width, low_counts=True)
    return panel_axes(kind, math.asin(lean / sizes.length), math.asin(rise / sizes.width))


def _weighed(
    kind: Kind,
    sizes: Sizes,
    pulls: Sequence[Pull],
    mass: float | None,
    centre: float | None,
) -> Weighing:
    """Mass and centre of gravity from what is known of pull, mass and centre of gravity."""
    assumed: list[str] = []
    depth = sizes.radius + sizes.thickness / 2.0
    _refuse_odd(sizes, mass, centre)
    up = kind.outer_face_up
    found = mass_moments(pulls, sizes.handle, outer_face_up=up) if pulls else None
    unknown = mass is None and not pulls
    if found is not None and found.along > 0.0:
        likely = mass or found.along / (centre or sizes.length / 2.0)
        depth = _depth(found, likely, depth, sizes, assumed)
    else:
        assumed.append(DEPTH)
    if pulls and mass is not None and centre is None:
        centre = centre_along(pulls, sizes.handle, mass, depth, outer_face_up=up)
        _refuse_far(centre, sizes, mass)
    if centre is None:
        centre = sizes.length / 2.0
        assumed.append("centre of gravity: half-way out, common practice")
    if pulls:
        pulled = mass_of(pulls, sizes.handle, centre, depth, outer_face_up=up)
        _within("pull", pulled * centre, 0.0, GREATEST_MASS * LONGEST, kind="number")
        if mass is not None:
            agree(pulled, mass)
        mass = pulled
    if unknown:
        mass = float(f"{AREA_MASS * sizes.length * sizes.width:.3g}")
        assumed.append(
            f"panel mass: {shown(mass, 'mass')}, {AREA_MASS:g} kg for a square metre,"
            " common practice"
        )
    return Weighing(mass=mass or 0.0, along=centre, inward=depth, assumed=tuple(assumed))


def _refuse_odd(sizes: Sizes, mass: float | None, centre: float | None) -> None:
    if mass is not None:
        _within("mass", mass, 0.0, GREATEST_MASS, kind="mass")
    if centre is not None:
        _within("centre of gravity", centre, SMALLEST_LEVER, 1.5 * sizes.length, low_counts=True)


def _depth(
    found: MassMoments, mass: float, middle: float, sizes: Sizes, assumed: list[str]
) -> float:
    """Depth of the centre of gravity by the pulls; the middle where they tell no more than that."""
    depth, error = found.inward / mass, found.inward_error / mass
    told = f"the pulls tell it to ±{shown(_rounded_up(error), 'length')} if they read within 2 %"
    if error > max(sizes.thickness / 2.0, LEAST_DEPTH_ERROR):
        assumed.append(f"{DEPTH}; {told}")
        return middle
    if not sizes.radius - error <= depth <= sizes.inner_face + error:
        raise RecordError(
            f"The two pulls put the centre of gravity {shown(round(depth, 4), 'length')} inside"
            f" the hinge line, and the door lies from {shown(sizes.radius, 'length')} to"
            f" {shown(sizes.inner_face, 'length')} inside it: measure both pulls again, or leave"
            " the second one out."
        )
    assumed.append(f"depth of the centre of gravity: by two pulls; {told}")
    return depth


def _rounded_up(error: float) -> float:
    return math.ceil(error * 1e3) * 1e-3


def _refuse_far(centre: float, sizes: Sizes, mass: float) -> None:
    if SMALLEST_LEVER <= centre <= 1.5 * sizes.length:
        return
    raise RecordError(
        f"Pull and weight together put the centre of gravity {shown(centre, 'length')} from the"
        f" hinge line, and the door ends at {shown(sizes.length, 'length')}: check the pull and"
        f" the weight, {shown(mass, 'mass')}."
    )
