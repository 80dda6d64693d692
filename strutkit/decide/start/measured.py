"""From a door back to what a tape would say of it: the boxes of the form, filled."""

import math

import numpy as np

from strutkit.decide.start.answers import Answer
from strutkit.decide.start.kinds import KINDS, Kind
from strutkit.decide.start.questions import questions
from strutkit.decide.start.suggesting import kind_of
from strutkit.describe.numbers import LengthUnit
from strutkit.describe.records import Door
from strutkit.describe.units import format_quantity

SUBJECTS = {
    "panel thickness": "thickness",
    "knuckle diameter": "knuckle_diameter",
    "panel width": "width",
    "handle": "handle",
    "panel mass": "mass",
    "centre of gravity": "centre_of_gravity",
    "hinge stop angle": "stop_angle",
    "lean of the panel": "lean",
    "slope of the hinge line": "rise",
}
"""What a door lists as assumed -> the box that then says "don't know"."""

UPRIGHT = 1e-4
"""A lean or a rise under this [m] is none."""


def door_answers(
    door: Door, *, kind: str | None = None, unit: LengthUnit = "mm"
) -> tuple[str, dict[str, Answer]]:
    """The kind of a door and the answers that describe its straight panel, to 0.01 mm.

    kind: taken where the panel can be of that kind. A panel that is not straight, a handle away
    from its outer face and the like are not in the form's words; the door itself keeps them.
    """
    sizes = _sizes(door)
    shape = _shape(door, kind, sizes)
    unknown = {SUBJECTS.get(text.partition(":")[0]) for text in door.assumed}
    answers = {}
    for question in questions(shape):
        value = sizes.get(question.name)
        if value is None or question.name in unknown:
            answers[question.name] = Answer(unknown=True)
        else:
            answers[question.name] = Answer(text=_text(question.kind, value, unit))
    return shape.name, answers


def _sizes(door: Door) -> dict[str, float | None]:
    middle, axis = np.array(door.middle), np.array(door.hinge_direction)
    section = door.panel.section or (door.middle, door.panel.handle)
    start, end = np.array(section[0]), np.array(section[-1])
    along = end - start
    along -= axis * (along @ axis)
    edge = float(np.linalg.norm(along))
    along /= edge
    radius = max(0.0, float((middle - start) @ np.cross(axis, along)))
    width = door.panel.width or math.dist(door.hinge.first, door.hinge.second)
    right = axis if axis[1] >= 0.0 else -axis
    return {
        "length": float((end - middle) @ along) + radius,
        "thickness": door.panel.thickness,
        "knuckle_diameter": 2.0 * radius,
        "width": width,
        "handle": float((np.array(door.panel.handle) - middle) @ along),
        "pull": None,
        "mass": door.panel.mass,
        "centre_of_gravity": float((np.array(door.panel.centre_of_gravity) - middle) @ along),
        "stop_angle": door.hinge.stop_angle,
        "hinge_height": door.hinge_height,
        "lean": float(along[0] * edge),
        "rise": float(right[2] * width),
    }


def _shape(door: Door, wanted: str | None, sizes: dict[str, float | None]) -> Kind:
    lies = kind_of(door)
    if lies.name != "side_door":
        return lies
    leans = abs(sizes["lean"] or 0.0) > UPRIGHT
    slopes = abs(sizes["rise"] or 0.0) > UPRIGHT
    hanging = [one for one in KINDS.values() if one.opens_toward == "out" and one.along[2] < 0.0]
    able = [one for one in hanging if one.leans >= leans and one.slopes >= slopes]
    return next((one for one in able if one.name == wanted), able[0])


def _text(kind: str, value: float, unit: LengthUnit) -> str:
    if kind == "mass":
        return format_quantity(round(value, 3), "kg")
    if kind == "open":
        return f"{math.degrees(value):.6g} deg"
    if unit == "in":
        return f"{round(value / 0.0254, 4) + 0.0:g} in"
    return f"{round(value * 1e3, 2) + 0.0:g} mm"
