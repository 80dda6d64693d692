"""What bracket and fastener feel at each mount: the force along the strut and which way it acts.

A strut pushes its two mounts apart with the gas force, and with its friction more while it is
pushed in (model section 2). Where it is itself the open stop its pull stays inside it: the mounts
feel the gas force less that pull (model 11.16). Directions are those of the side view for the
fixed side, and those of the panel as it stands shut for the door side, which turn with the panel.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from strutkit.compute import geometry, statics
from strutkit.decide.conditions import hinge_axis
from strutkit.decide.judging import Study
from strutkit.decide.sweep import travel_angles
from strutkit.describe.fields import Point
from strutkit.describe.hinge_points import along_axis, direction_words
from strutkit.describe.numbers import quantity_text, travel_text, unbroken
from strutkit.describe.records import Door, FittedStrut
from strutkit.show.holes import hole_of
from strutkit.show.mount_words import NO_BREAK, ball_names, millimetres
from strutkit.show.plane import side_plane
from strutkit.show.sheet_figures import place_text

LEAST = 0.5
"""A part of a force under this [N] is not said."""

APART = (
    "A strut pushes its mounts apart along the line between the ball centres; friction, as while"
    " it is pushed in, is counted in. Moved slowly: more if swung or slammed."
)
WAYS = (
    "Ways of the fixed side are those of the structure; ways of the door side are those of the"
    " panel as it stands shut, and turn with it."
)
HELD = "Held by a strut: the stop inside it pulls back, and what is left of its push stands here."


@dataclass(frozen=True, slots=True)
class StrutForce:
    """The greatest force of one strut on its mounts [N], positive apart: where and when.

    when: "shut", "open", "most", "held" (open, all struts that are the stop share it) or "alone"
    (open, one holds by itself); index: which of `door.fitted`; place: the angle in words.
    """

    when: str
    force: float
    angle: float
    condition: str
    index: int
    place: str


def strut_forces(looked: Study, place: int) -> list[StrutForce]:
    """Forces of the strut in a place of `door.struts` in service, its twin counted in."""
    door = looked.door
    first = sum(2 if one.mirrored else 1 for one in door.struts[:place])
    indices = [first, first + 1] if door.struts[place].mirrored else [first]
    found: dict[str, StrutForce] = {}
    for row in looked.service:
        end = float(looked.model.end[row])
        angles = travel_angles(end)
        model, name = looked.model.take([row]), looked.conditions[row].name
        gas = statics.moments(model, angles).strut_force[0]
        for index in indices:
            force = gas[index] + door.fitted[index].strut.gas_law.friction
            at = int(force.argmax())
            for when, column in (("most", at), ("shut", 0), ("open", -1)):
                one = StrutForce(
                    when,
                    float(force[column]),
                    float(angles[column]),
                    name,
                    index,
                    place_text(looked, float(angles[column])),
                )
                if when not in found or one.force > found[when].force + 1e-6:
                    found[when] = one
            for when, case in (("held", "extended strut"), ("alone", "extended strut, one alone")):
                if case in looked.cases[row] and _extended(model, end, index):
                    rest = float(gas[index, -1]) - looked.cases[row][case].force
                    one = StrutForce(when, rest, end, name, index, travel_text(end))
                    if when not in found or one.force < found[when].force - 1e-6:
                        found[when] = one
    order = ("most", "shut", "open", "held", "alone")
    return [found[when] for when in order if when in found and not _twice(found, when)]


def _extended(model: statics.Statics, end: float, index: int) -> bool:
    at = statics.moments(model, np.array([end]))
    slack = float(model.extended_length[index] - at.length[index, 0])
    return bool(slack <= geometry.LENGTH_SLACK)


def _twice(found: dict[str, StrutForce], when: str) -> bool:
    """Whether the greatest force stands in the list under its pose already."""
    return when != "most" and found["most"].angle == found[when].angle and when in ("shut", "open")


def pushed_line(looked: Study) -> list[str]:
    """Page 1: the greatest force on the mounts of each strut, and which way it pushes them."""
    door = looked.door
    lines, said = [], ""
    for place, (fixed, moving) in enumerate(ball_names(door)):
        most = strut_forces(looked, place)[0]
        where = _pose(most) if most.condition == said else f"{most.condition}, {_pose(most)}"
        said = most.condition
        ways = _ways(door, most, "frame")
        pushed = f"pushed apart by {_newtons(most.force)} at most, {where}"
        lines.append(f"{fixed} and {moving} are {pushed}: {fixed} {ways}.")
    return [unbroken(line.replace(" (common practice)", "")) for line in lines]


def mount_forces(looked: Study) -> dict[str, Any]:
    """Force on each mount when it is greatest, shut and open, and which way it acts."""
    door = looked.door
    rows: list[list[str]] = []
    notes: list[str] = []
    for place, names in enumerate(ball_names(door)):
        forces = strut_forces(looked, place)
        for name, part in zip(names, ("frame", "panel"), strict=True):
            for number, one in enumerate(forces):
                rows.append(
                    [
                        name if number == 0 else "",
                        _pose_words(one, forces),
                        f"{_newtons(abs(one.force))}{' pull' if one.force < 0.0 else ''}",
                        _ways(door, one, part),
                        one.condition,
                    ]
                )
            notes += _bending(door, part, name, forces[0])
    pull = [HELD] if any("held" in row[1] for row in rows) else []
    return {
        "title": "Force on each mount, on bracket and fastener",
        "head": ["mount", "when", "force", "which way it is pushed", "condition"],
        "columns": [0, 0, 0, 1, 1],
        "align": ["left", "left", "right", "left", "left"],
        "rows": rows,
        "notes": [unbroken(one) for one in (APART, WAYS, *pull, *notes)],
    }


def _newtons(force: float) -> str:
    return quantity_text(force, "force", toward="up")


def _pose(one: StrutForce) -> str:
    return "shut" if one.angle == 0.0 else f"at{NO_BREAK}{one.place}"


def _pose_words(one: StrutForce, forces: Sequence[StrutForce]) -> str:
    ends = {"shut": "shut", "open": f"open, {one.place}"}
    if one.when == "most":
        return f"most, {_pose(one)}"
    held = f"open, {one.place}, held by "
    return ends.get(one.when) or held + ("it alone" if one.when == "alone" else "the struts")


def push(door: Door, one: StrutForce, part: str) -> npt.NDArray[np.float64]:
    """Force on the mount [3] [N]: in the structure frame; on "panel" turned back to shut."""
    origin, axis = hinge_axis(door)
    fitted = door.fitted[one.index]
    frame = np.array([fitted.frame_mount])
    panel = np.array([fitted.panel_mount])
    angle = np.array([one.angle])
    _, direction = geometry.strut_directions(frame, panel, origin, axis, angle)
    unit = direction[0, 0]
    if part == "frame":
        return -one.force * unit
    turned = geometry.rotate(origin + unit, origin, axis, -angle)[0] - origin
    return np.asarray(one.force * turned)


def _ways(door: Door, one: StrutForce, part: str) -> str:
    """The force on a mount in the builder's words: "498 N down, 120 N inward"."""
    plane, force = side_plane(door), push(door, one, part)
    outward, upward, along = direction_words(door)
    parts = [
        (float(force @ plane.outward), outward),
        (float(force @ plane.upward), upward),
        (float(force @ along_axis(door)), along),
    ]
    if _of_a_pair(door, one.index):
        mount = np.array(_mount(door.fitted[one.index], part))
        side = np.copysign(1.0, float((mount - plane.origin) @ along_axis(door)))
        parts[2] = (parts[2][0] * float(side), ("from the middle", "to the middle"))
    said = [
        f"{quantity_text(abs(value), 'force')} {ways[value < 0.0]}"
        for value, ways in sorted(parts, key=lambda pair: -abs(pair[0]))
        if abs(value) >= LEAST
    ]
    return ", ".join(said)


def _of_a_pair(door: Door, index: int) -> bool:
    pairs = [one.mirrored for one in door.struts for _ in range(2 if one.mirrored else 1)]
    return pairs[index]


def _bending(door: Door, part: str, name: str, most: StrutForce) -> list[str]:
    """How much the greatest force bends a stud or bracket at its hole, which it stands off."""
    fitted = door.fitted[most.index]
    hole = hole_of(fitted, part)
    if hole is None:
        return []
    arm = np.array(_mount(fitted, part)) - np.array(hole.place)
    moment = float(np.linalg.norm(np.cross(arm, push(door, most, part))))
    bent = quantity_text(moment, "moment", step=0.1, toward="up")
    off = millimetres(float(np.linalg.norm(arm)))
    words = f"{name}: its ball stands {off} mm off the hole, which bends stud or bracket there"
    return [f"{words} by up to {bent}."]


def _mount(fitted: FittedStrut, part: str) -> Point:
    return fitted.frame_mount if part == "frame" else fitted.panel_mount
