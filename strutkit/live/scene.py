"""A door as the live view draws it: points in millimetres beside, above and along the hinge line.

The page turns the panel rigidly about the hinge line and draws; every number comes from here.
A point of the view is (outward, upward, along) [mm] with the panel shut: outward and upward
from the hinge line in the plane square to it, along from the panel's middle.
"""

import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from strutkit.decide.conditions import all_conditions, is_fault
from strutkit.decide.judging import shown_conditions
from strutkit.decide.rated import alike
from strutkit.describe.fields import Point
from strutkit.describe.hinge_points import along_axis, direction_words, hinge_point_names
from strutkit.describe.records import Condition, Door, FittedStrut, Strut
from strutkit.describe.size import is_small
from strutkit.errors import RecordError
from strutkit.show.plane import SidePlane, panel_outline, side_plane

Floats = npt.NDArray[np.float64]

NANOMETRES = 9
"""Decimals of a metre that a place from the view keeps: no dust behind a whole millimetre."""

SIDES = {"frame": "fixed side", "panel": "door side"}
"""What the screen calls the two parts that carry mounts."""

MOST = sys.float_info.max
"""A number from the page beyond this is none."""

FARTHEST = 1e6
"""A place from the view lies no farther from the hinge line than this, along an axis [mm]."""

DRAWN_TUBE = 0.020
"""Tube diameter drawn where none is stated [m]; it enters no number."""

DRAWN_ROD_SHOWN = 0.012
"""Length of rod left out of the tube when fully pushed in, drawn where no tube length is stated
[m]; it enters no number."""


@dataclass(frozen=True, slots=True, eq=False)
class ViewFrame:
    """Axes of the view, rows outward, upward, along [3, 3]; origin, on the hinge line [m] [3]."""

    origin: Floats
    axes: Floats

    def seen(self, points: npt.ArrayLike) -> Floats:
        """Points [..., 3] of the structure frame [m] as (outward, upward, along) [mm]."""
        arm = np.asarray(points, dtype=float) - self.origin
        return np.asarray(np.round(arm @ self.axes.T * 1e3, 6) + 0.0)

    def point(self, place: Sequence[float]) -> Point:
        """(outward, upward, along) [mm] as a point of the structure frame [m], to a nanometre."""
        point = np.asarray(place, dtype=float) / 1e3 @ self.axes + self.origin
        x, y, z = (round(float(each), NANOMETRES) + 0.0 for each in point)
        return (x, y, z)


def view_frame(door: Door) -> ViewFrame:
    """The view's axes for this door."""
    plane = side_plane(door)
    return ViewFrame(plane.origin, np.stack([plane.outward, plane.upward, along_axis(door)]))


def scene(door: Door) -> dict[str, Any]:
    """All that the page draws of a door, in plain lists."""
    frame = view_frame(door)
    plane = side_plane(door)

    def seen(point: Point | None) -> list[float] | None:
        return None if point is None else frame.seen(point).tolist()

    return {
        "name": door.name,
        "turn": plane.sense,
        "words": direction_words(door),
        "stop_angle": door.hinge.stop_angle,
        "outline": (panel_outline(door) * 1e3).tolist(),
        "handle": seen(door.panel.handle),
        "closing_handle": seen(door.panel.closing_handle),
        "centre": seen(door.panel.centre_of_gravity),
        "mass": door.panel.mass,
        "small": is_small(door),
        "width": None if door.panel.width is None else door.panel.width * 1e3,
        "hinge_names": list(hinge_point_names(door)),
        "hinge_points": [seen(door.hinge.first), seen(door.hinge.second)],
        "struts": [_strut(frame, place, one) for place, one in _with_places(door)],
        "zones": [
            {"part": zone.part, "corners": frame.seen(zone.corners).tolist()} for zone in door.zones
        ],
        "conditions": [
            _condition(plane, one, seen(one.added_at)) for one in shown_conditions(door)
        ],
        "in_service": sum(not is_fault(one) for one in all_conditions(door)),
        "limits": {
            "hand_opening": door.limits.hand_opening,
            "hand_closing": door.limits.hand_closing,
            "lift_off": door.limits.lift_off,
            "travel_compressed": door.limits.travel_compressed,
            "travel_extended": door.limits.travel_extended,
            "hinge_radial": door.limits.hinge_radial,
        },
    }


def _with_places(door: Door) -> list[tuple[int, FittedStrut]]:
    """Every fitted strut with the index of its place in `door.struts` (a twin shares it)."""
    places = []
    for place, one in enumerate(door.struts):
        places += [place, place] if one.mirrored else [place]
    return list(zip(places, door.fitted, strict=True))


def _strut(frame: ViewFrame, place: int, one: FittedStrut) -> dict[str, Any]:
    strut = one.strut
    drawn = strut.extended_length - strut.stroke - DRAWN_ROD_SHOWN
    tube = max(strut.stroke * 0.5, drawn) if strut.tube_length is None else strut.tube_length
    return {
        "name": strut.name,
        "place": place,
        "frame": frame.seen(one.frame_mount).tolist(),
        "panel": frame.seen(one.panel_mount).tolist(),
        "extended": strut.extended_length * 1e3,
        "stroke": strut.stroke * 1e3,
        "tube_length": tube * 1e3,
        "tube_diameter": (strut.tube_diameter or DRAWN_TUBE) * 1e3,
        "rod_end": one.rod_end,
        "rating": strut.rating,
        "mirrored": one.mirrored,
        "order_code": strut.order_code,
    }


def _condition(
    plane: SidePlane, condition: Condition, added_at: list[float] | None
) -> dict[str, Any]:
    return {
        "name": condition.name,
        "missing": condition.missing,
        "down": plane.gravity(condition).tolist(),
        "tilted": bool(condition.pitch or condition.roll),
        "mass_factor": condition.mass_factor,
        "added_mass": condition.added_mass,
        "added_at": added_at,
    }


def edited(door: Door, edit: Any, stock: Sequence[Strut] = ()) -> Door:
    """The door with one change from the page.

    edit: "place", index in `door.struts`, and any of "frame", "panel" (outward, upward, along
    [mm]), "rating" [N], "rating_by" (a step from the rating that it has [N]), "stock" (index in
    the stock list). With "axes" a mount takes these coordinates alone (0 outward, 1 upward, 2
    along) and keeps the others. A rating or a strut of the stock list goes to every place that
    holds the same strut. With "strut", the name of the strut that was there when the change began.
    Raises `StrutkitError` where the door refuses.
    """
    if not isinstance(edit, dict):
        raise RecordError("The page sent no edit; nothing was changed.")
    place = strut_place(door, edit)
    struts = list(door.struts)
    frame = view_frame(door)
    moved: dict[str, Any] = {}
    for part, side in SIDES.items():
        if part in edit:
            given = mount_place(struts[place].strut.name, side, edit[part])
            now = frame.seen(getattr(struts[place], f"{part}_mount")).tolist()
            moved[f"{part}_mount"] = frame.point(_moved_along(edit.get("axes"), now, given))
    struts[place] = replace(struts[place], **moved)
    if any(name in edit for name in ("rating", "rating_by", "stock")):
        for index in alike(door, place):
            one = struts[index]
            struts[index] = replace(one, strut=_exchanged(one.strut, edit, stock))
    return replace(door, struts=tuple(struts))


def _moved_along(axes: Any, now: list[float], given: list[float]) -> list[float]:
    """The place given along these axes, all where none are named, and as it is now along others."""
    if not isinstance(axes, list) or not axes:
        return given
    return [given[axis] if axis in axes else now[axis] for axis in range(3)]


def strut_place(door: Door, edit: dict[str, Any]) -> int:
    """Index in `door.struts` of the strut that an edit is of. Raises `RecordError` where it is no
    longer the one that the edit names."""
    place = edit.get("place", 0)
    if type(place) is not int or not 0 <= place < len(door.struts):
        raise RecordError(f"The door has {len(door.struts)} struts; there is no number {place!r}.")
    name = door.struts[place].strut.name
    if edit.get("strut") not in (None, name):
        raise RecordError(
            f"The strut that was moved is no longer in its place: {name!r} is. Nothing was changed."
        )
    return place


def mount_place(name: str, side: str, given: Any) -> list[float]:
    """Numbers of a mount's place [mm]; too far away, it is refused in the words of the screen."""
    place = _numbers(given, 3)
    if max(map(abs, place)) > FARTHEST:
        raise RecordError(f"Strut {name!r}, {side}: over 1 km away. Check the number.")
    return place


def _exchanged(former: Strut, edit: dict[str, Any], stock: Sequence[Strut]) -> Strut:
    if "rating" in edit:
        return replace(former, rating=_numbers([edit["rating"]], 1)[0], order_code="")
    if "rating_by" in edit:
        rating = round(former.rating + _numbers([edit["rating_by"]], 1)[0])
        return replace(former, rating=float(max(1, rating)), order_code="")
    at = edit["stock"]
    if type(at) is not int or not 0 <= at < len(stock):
        raise RecordError(f"The stock list has {len(stock)} struts; there is no row {at!r:.40}.")
    row = stock[at]
    return replace(row, name=former.name, order_code=row.order_code or row.name)


def _numbers(given: Any, count: int) -> list[float]:
    """So many finite numbers from the page. Raises `RecordError`."""
    several = given if isinstance(given, list) else []
    plain = [float(one) for one in several if type(one) in (int, float) and abs(one) <= MOST]
    if len(several) != count or len(plain) != count:
        raise RecordError(f"{count} finite numbers are asked of the page; nothing was changed.")
    return plain
