"""Finding on mounts that lie outside the zones marked for them. Model section 9.

Zones count as the search takes them: mounts of a part may lie in any zone of that part, and either
one of a mirrored pair in its zone is enough. Of several struts that are no pair, each is held to
the zones on its own side of the panel's middle; where none is marked there, nothing is asked.
"""

import math

from strutkit.decide.conditions import strut_label
from strutkit.decide.judging import ASKED, Finding, Study, capital
from strutkit.decide.search.zones import Plane, door_plane, margin
from strutkit.describe.fields import Point
from strutkit.describe.numbers import quantity_text
from strutkit.describe.records import ZONE_FLATNESS, Door, FittedStrut, Zone

SIDES = {"frame": "fixed side", "panel": "door side"}

LEAST_OUTSIDE = 1e-4
"""A mount nearer to its zone than this [m] lies in it: no tape tells."""


def findings(study: Study) -> list[Finding]:
    """One finding on all mounts outside their zones; none where every mount lies in its own."""
    outside = _outside(study.door)
    if not outside:
        return []
    words = "; ".join(words for _, words in outside)
    return [
        Finding(
            name="outside_zone",
            value=max(distance for distance, _ in outside),
            limit=0.0,
            unit="m",
            ok=False,
            words=f"{capital(words)}.",
            source=ASKED,
        )
    ]


def _outside(door: Door) -> list[tuple[float, str]]:
    """Distance from the nearest zone [m], and words, of each mount outside its zones."""
    if not door.zones:
        return []
    plane, found = door_plane(door), []
    for one in door.struts:
        for part, mount in (("frame", one.frame_mount), ("panel", one.panel_mount)):
            zones = _zones_for(door, plane, one, part, mount)
            apart = min((_apart(door, plane, one, mount, zone) for zone in zones), default=0.0)
            if apart >= LEAST_OUTSIDE:
                shown = quantity_text(apart, "length", toward="up")
                nearest = "the nearest zone" if len(zones) > 1 else "the zone"
                words = (
                    f"{strut_label(one)}, {SIDES[part]}: {shown} outside {nearest} marked for it"
                )
                found.append((apart, words))
    return found


def _zones_for(
    door: Door, plane: Plane, fitted: FittedStrut, part: str, mount: Point
) -> list[Zone]:
    zones = [one for one in door.zones if one.part == part]
    if fitted.mirrored or len(door.struts) == 1:
        return zones
    side = _from_middle(door, plane, mount)
    places = [(one, _place_along(door, plane, one)) for one in zones]
    return [one for one, place in places if side * place > 0.0 or abs(place) <= ZONE_FLATNESS]


def _apart(door: Door, plane: Plane, fitted: FittedStrut, mount: Point, zone: Zone) -> float:
    """Distance of a mount, of a pair the nearer one, from a zone [m]; 0 inside.

    A zone lies in its plane as its corners do, within 2 mm.
    """
    across = -float(margin(plane.flat(zone.corners), plane.flat(mount)))
    here, there = _from_middle(door, plane, mount), _place_along(door, plane, zone)
    along = abs(abs(here) - abs(there)) if fitted.mirrored else abs(here - there)
    return math.hypot(max(0.0, across), along if along > ZONE_FLATNESS else 0.0)


def _from_middle(door: Door, plane: Plane, point: Point) -> float:
    """Place along the hinge line from the panel's middle [m]."""
    return float(plane.along(point) - plane.along(door.middle))


def _place_along(door: Door, plane: Plane, zone: Zone) -> float:
    places = [_from_middle(door, plane, corner) for corner in zone.corners]
    return (max(places) + min(places)) / 2.0
