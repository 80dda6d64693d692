"""Zones as the finder edits them: corners in the plane of the view, first zones, what is amiss."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from strutkit.decide.search.zones import door_plane, zone_shape
from strutkit.decide.start.places import mount_places
from strutkit.decide.start.suggesting import kind_of
from strutkit.describe.records import Door, Zone
from strutkit.errors import RecordError, StrutkitError
from strutkit.live.edit import edited
from strutkit.live.scene import ViewFrame, view_frame

Floats = npt.NDArray[np.float64]

PARTS = ("frame", "panel")


def zone_number(door: Door, part: str) -> int | None:
    """Index in `door.zones` of the zone that is searched: the first of that part."""
    return next((at for at, one in enumerate(door.zones) if one.part == part), None)


def searched_zone(door: Door, part: str) -> Zone | None:
    """The zone of that part that is searched; None where the door marks none."""
    number = zone_number(door, part)
    return None if number is None else door.zones[number]


def zone_corners(door: Door, part: str) -> list[list[float]]:
    """Corners of the zone of that part that is searched (outward, upward, along [mm])."""
    zone = searched_zone(door, part)
    return [] if zone is None else view_frame(door).seen(zone.corners).tolist()


def with_zone(door: Door, part: str, corners: Sequence[Sequence[float]]) -> Door:
    """The door with the searched zone of a part at these corners (outward, upward, along [mm]).

    All corners take the place along the hinge line of the first one. Raises `RecordError` for a
    zone that no search can use: it says what to do.
    """
    if part not in PARTS:
        raise RecordError(f"There is no side {part[:40]!r} of a door.")
    if len(corners) < 3:
        raise RecordError(f"A zone needs three corners; this one has {len(corners)}.")
    frame = view_frame(door)
    along = float(corners[0][2])
    zone = Zone(part=part, corners=tuple(frame.point((*one[:2], along)) for one in corners))
    zone_shape(door_plane(door), zone)
    zones, number = list(door.zones), zone_number(door, part)
    if number is None:
        zones.append(zone)
    else:
        zones[number] = zone
    return replace(door, zones=tuple(zones))


def zone_fault(door: Door, part: str) -> str:
    """Why the zone of that part cannot be searched, as a sentence; empty where it can."""
    zone = searched_zone(door, part)
    if zone is None:
        return "No zone is marked here."
    try:
        zone_shape(door_plane(door), zone)
    except StrutkitError as fault:
        return str(fault)
    return ""


def with_first_zones(door: Door) -> tuple[Door, tuple[Zone, ...]]:
    """The door with a zone on either side, and the zones that were put there now.

    Such a zone is the usual place of mounts of this kind of door (common practice), at the place
    along the hinge line of the first strut, where there is one.
    """
    before = door.zones
    for part in PARTS:
        if zone_number(door, part) is None:
            door = _with_first_zone(door, part)
    return door, door.zones[len(before) :]


def _with_first_zone(door: Door, part: str) -> Door:
    frame = view_frame(door)
    bare = replace(door, zones=tuple(one for one in door.zones if one.part != part))
    places = mount_places(bare, kind_of(door), far=True)[PARTS.index(part)]
    corners = _outline(frame, places)
    if door.struts:
        first = door.struts[0]
        mount = first.frame_mount if part == "frame" else first.panel_mount
        corners[:, 2] = frame.seen(mount)[2]
    try:
        return with_zone(door, part, np.round(corners).tolist())
    except StrutkitError:
        return edited(door, {"do": "add zone", "side": part})


def _outline(frame: ViewFrame, places: Floats) -> Floats:
    """Corners of the narrowest rectangle about places, (outward, upward, along) [mm] [4, 3]."""
    from shapely import MultiPoint, get_coordinates

    seen = frame.seen(places)
    shape = MultiPoint(seen[:, :2]).buffer(1e-6).minimum_rotated_rectangle
    flat = get_coordinates(shape)[:4]
    return np.column_stack([flat, np.full(4, float(seen[:, 2].mean()))])
