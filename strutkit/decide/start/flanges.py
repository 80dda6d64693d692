"""Flanges where mounts may go, as a tape finds them: along the panel, and off the face.

Each side has four boxes: nearest and furthest along the panel from the hinge line (below it, for
the fixed side of a drop flap), and least and most off the face that struts are bolted to (on the
fixed side of other kinds: behind the panel's inner face). One more says how far the strut's plane
lies in from the panel's end.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from strutkit.decide.start.kinds import Kind
from strutkit.decide.start.places import BESIDE, Section
from strutkit.describe.bare import with_unit
from strutkit.describe.fields import shown
from strutkit.describe.numbers import LengthUnit
from strutkit.describe.records import Door, Zone
from strutkit.describe.units import parse_quantity
from strutkit.errors import RecordError, StrutkitError

SIDES: tuple[Literal["panel", "frame"], ...] = ("panel", "frame")
ENDS = ("near", "far", "low", "high")
BESIDE_BOX = "flange_beside"
FLANGE_BOXES = (*(f"{side}_{end}" for side in SIDES for end in ENDS), BESIDE_BOX)
"""Boxes of the flanges: they may stay empty, all four of a side together."""

FURTHEST = 10.0
"""Most that is taken for a place of a flange [m]."""


@dataclass(frozen=True, slots=True)
class Flanges:
    """Typed places by box [m], and what is amiss by box."""

    values: Mapping[str, float]
    faults: Mapping[str, str]


def read_flanges(text: Callable[[str], str], unit: LengthUnit = "mm") -> Flanges:
    """The flange boxes, each read from what `text` gives for it, bare numbers in the unit shown."""
    values, faults = {}, {}
    for name in FLANGE_BOXES:
        typed = text(name).strip()
        if not typed:
            continue
        try:
            value = parse_quantity(with_unit(typed, "length", unit), "length")
            if not 0.0 <= value <= FURTHEST:
                raise RecordError(f"{typed[:40]} is not taken. Write from 0 and at most 10 m.")
            values[name] = value
        except StrutkitError as fault:
            faults[name] = str(fault)
    for side in SIDES:
        faults |= _side_faults(side, values, faults)
    return Flanges(values, faults)


def _side_faults(
    side: str, values: Mapping[str, float], faults: Mapping[str, str]
) -> dict[str, str]:
    names = [f"{side}_{end}" for end in ENDS]
    given = [name for name in names if name in values]
    if not given:
        return {}
    missing = [name for name in names if name not in values and name not in faults]
    if missing:
        return dict.fromkeys(missing, "Write this one too: a flange has all four.")
    found = {}
    for low, high in ((names[0], names[1]), (names[2], names[3])):
        if low in values and high in values and values[high] < values[low] + 0.001:
            found[high] = (
                f"Write more than {shown(values[low], 'length')}, where the flange begins."
            )
    return found


def flange_zones(door: Door, kind: Kind, flanges: Flanges) -> tuple[Zone, ...]:
    """The zones of the sides whose four boxes are right. Raises `RecordError` where a flange of
    the door lies beyond its free edge."""
    section = Section(door, kind)
    half = (door.panel.width or 2.0 * BESIDE) / 2.0
    right = -max(half - flanges.values.get(BESIDE_BOX, BESIDE), 0.0)
    zones = []
    for side in SIDES:
        names = [f"{side}_{end}" for end in ENDS]
        if any(name in flanges.faults or name not in flanges.values for name in names):
            continue
        near, far, low, high = (flanges.values[name] for name in names)
        if side == "panel" and far > section.length:
            raise RecordError(
                f"panel_far: The door ends at {shown(section.length, 'length')}; write at most"
                " that."
            )
        sense = -1.0 if side == "frame" and kind.outside else 1.0
        corners = [(near, low), (far, low), (far, high), (near, high)]
        pairs = np.array(corners) * (sense, 1.0)
        places = np.round(section.points(pairs, right), 5) + 0.0
        zones.append(Zone(part=side, corners=tuple(_point(one) for one in places.tolist())))
    return tuple(zones)


def _point(place: list[float]) -> tuple[float, float, float]:
    x, y, z = place
    return (x, y, z)
