"""The view along the hinge line: where hinge points and mounts lie from the panel's middle.

Lengths along the hinge line are to scale and dimensioned from the middle; heights are shortened
to fit, since the side view has them.
"""

import math
from dataclasses import dataclass

import numpy as np

from strutkit.describe.hinge_points import along_axis, hinge_point_names
from strutkit.describe.numbers import LengthUnit, inch_text
from strutkit.describe.records import Door, FittedStrut
from strutkit.show import symbols
from strutkit.show.dimensions import Measured, depths
from strutkit.show.letters import bounds
from strutkit.show.mount_words import INCH_PARTS, ball_names, millimetres
from strutkit.show.placing import Label, Layout, around
from strutkit.show.plane import hinge_place
from strutkit.show.shapes import (
    Group,
    Picture,
    Place,
    Polygon,
    Polyline,
    Shape,
    Text,
    moved,
)
from strutkit.show.sideview import STANDARD_SCALES
from strutkit.show.style import MEDIA

HEIGHT = 14.0
"""Room for the heights of the mounts on paper [mm]."""

BAR = 2.6
"""Half the height of the panel's bar on paper [mm]."""

EDGE = 1.0


@dataclass(frozen=True, slots=True)
class _View:
    door: Door
    scale: float
    rise: float
    from_above: bool
    unit: LengthUnit

    def place(self, point: tuple[float, float, float]) -> Place:
        """A point of the door in the picture, the hinge line's middle at (0, 0) [mm]."""
        at = hinge_place(self.door, point)
        height = -at.outward if self.from_above else at.upward
        return at.along * 1e3 * self.scale, height * self.rise


def along_view(door: Door, *, size: tuple[float, float], unit: LengthUnit = "mm") -> Picture:
    """A door seen along its width, within `size` [mm], at the largest standard scale that fits."""
    half = _half_width(door)
    fitting = 0.5 * (size[0] - 16.0) / (half * 1e3)
    scale = max((one for one in STANDARD_SCALES if one <= fitting), default=fitting)
    from_above = _from_above(door)
    view = _View(door, scale, _rise(door, from_above), from_above, unit)
    shapes = _shapes(view)
    left, bottom, right, top = bounds(shapes)
    width = size[0]
    across, up = width / 2.0, EDGE - bottom
    shift = max(0.0, EDGE - (left + across)) - max(0.0, right + across + EDGE - width)
    return Picture(
        width=width,
        height=top - bottom + 2.0 * EDGE,
        shapes=tuple(moved(one, across + shift, up) for one in shapes),
        title=f"View along the hinge line of {door.name}",
        description=_description(door),
        medium="paper",
        scale=scale,
        origin=(across + shift, up),
    )


def _points(door: Door) -> list[tuple[float, float, float]]:
    mounts = [point for one in door.fitted for point in (one.frame_mount, one.panel_mount)]
    return [door.hinge.first, door.hinge.second, *mounts]


def _half_width(door: Door) -> float:
    farthest = max(abs(hinge_place(door, point).along) for point in _points(door))
    return max(farthest, (door.panel.width or 0.0) / 2.0)


def _spread(values: list[float]) -> float:
    return max(values) - min(values)


def _from_above(door: Door) -> bool:
    """Whether the struts lie flatter than they stand, so that they show better from above."""
    places = [
        [hinge_place(door, one.frame_mount), hinge_place(door, one.panel_mount)]
        for one in door.fitted
    ]
    flat = max((abs(f.outward - d.outward) for f, d in places), default=0.0)
    steep = max((abs(f.upward - d.upward) for f, d in places), default=0.0)
    return flat > 2.0 * steep


def _rise(door: Door, from_above: bool) -> float:
    """mm of paper for 1 m of height."""
    places = [hinge_place(door, point) for point in _points(door)]
    heights = [-one.outward if from_above else one.upward for one in places]
    return HEIGHT / max(_spread([0.0, *heights]), 1e-3)


def _shapes(view: _View) -> list[Shape]:
    door = view.door
    back = [*_panel(view)]
    struts: list[Shape] = [_strut(view, one) for one in door.fitted]
    marks: list[Shape] = [
        symbols.hinge(view.place(door.hinge.first)),
        symbols.hinge(view.place(door.hinge.second)),
    ]
    for one in door.fitted:
        marks += [
            symbols.mount(view.place(one.frame_mount)),
            symbols.mount(view.place(one.panel_mount)),
        ]
    lowest = bounds([*back, *struts, *marks])[1]
    measures = depths(_measured(view), (0.0, 0.0), lowest - 5.0, MEDIA["paper"])
    middle = Polyline(((0.0, bounds([*back, *marks])[3] + 3.0), (0.0, lowest - 7.0)), "centre_line")
    drawn: list[Shape] = [middle, *back, *struts, *marks, *measures]
    layout = Layout((-math.inf, -math.inf, math.inf, math.inf))
    layout.block(drawn)
    texts: list[Shape] = []
    for label in _labels(view):
        texts.extend(layout.place(label))
    return [*drawn, *texts]


def _panel(view: _View) -> list[Shape]:
    """The panel's edge at the hinge line: as wide as stated, else as far as the hinge points."""
    door = view.door
    ends = [hinge_place(door, point).along for point in (door.hinge.first, door.hinge.second)]
    if door.panel.width is not None:
        ends = [-door.panel.width / 2.0, door.panel.width / 2.0]
    left, right = (end * 1e3 * view.scale for end in sorted(ends))
    corners = ((left, -BAR / 2), (right, -BAR / 2), (right, BAR / 2), (left, BAR / 2))
    return [Polygon(corners, "panel")]


def _strut(view: _View, one: FittedStrut) -> Shape:
    fixed, moving = view.place(one.frame_mount), view.place(one.panel_mount)
    tube, rod = (moving, fixed) if one.rod_end == "frame" else (fixed, moving)
    length = math.dist(tube, rod)
    if length < 3.0:
        return Group((), "strut", one.strut.name)
    along = np.array([(rod[0] - tube[0]) / length, (rod[1] - tube[1]) / length])
    square = np.array([-along[1], along[0]]) * 1.2
    neck = np.array(tube) + along * 0.6 * length
    corners = [np.array(tube) + square, neck + square, neck - square, np.array(tube) - square]
    outline = tuple((float(x), float(y)) for x, y in corners)
    return Group(
        (Polyline(((float(neck[0]), float(neck[1])), rod), "rod"), Polygon(outline, "strut")),
        "strut",
        one.strut.name,
    )


def _measured(view: _View) -> list[Measured]:
    return [Measured(view.place(point), _figure(view, point)) for point in _points(view.door)]


def _figure(view: _View, point: tuple[float, float, float]) -> str:
    along = abs(hinge_place(view.door, point).along)
    if view.unit == "in":
        return inch_text(along, parts=INCH_PARTS)
    return millimetres(along)


def _labels(view: _View) -> list[Label]:
    door, size = view.door, MEDIA["paper"].label
    names = hinge_point_names(door)
    labels = []
    for point, word in ((door.hinge.first, names[0]), (door.hinge.second, names[1])):
        text = Text((0.0, 0.0), word, "note", MEDIA["paper"].note)
        labels.append(Label(view.place(point), text, around(first=math.pi / 2)))
    for one, (fixed, moving) in zip(door.fitted, _names_of_all(door), strict=True):
        for point, name in ((one.frame_mount, fixed), (one.panel_mount, moving)):
            ball = Text((0.0, 0.0), name, "text", size, bold=True)
            outer = 0.0 if hinge_place(door, point).along >= 0.0 else math.pi
            labels.append(Label(view.place(point), ball, around(first=outer)))
    text = Text((0.0, 0.0), "middle", "note", MEDIA["paper"].note)
    top = BAR + 5.0
    labels.append(Label((0.0, top), text, ((2.0, 0.0), (-2.0, 0.0), (2.0, 3.0))))
    return labels


def _names_of_all(door: Door) -> list[tuple[str, str]]:
    """Ball names of each fitted strut: a twin has its original's."""
    names = zip(door.struts, ball_names(door), strict=True)
    return [name for one, name in names for _ in range(2 if one.mirrored else 1)]


def _description(door: Door) -> str:
    view = "From above" if _from_above(door) else "From outside"
    axis = along_axis(door)
    turned = ", up is to the right" if abs(axis[2]) > math.cos(0.1) else ""
    return f"{view}, along the hinge line, heights short{turned}"
