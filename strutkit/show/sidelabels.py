"""Dimensions and words of the side view, the most wanted word first."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from strutkit.describe.numbers import inch_text, quantity_text, travel_text
from strutkit.describe.records import FittedStrut
from strutkit.show import symbols
from strutkit.show.charts import lift_off_words
from strutkit.show.dimensions import Measured, depths, heights
from strutkit.show.letters import bounds
from strutkit.show.mount_words import INCH_PARTS, ball_names, millimetres
from strutkit.show.placing import NEAR, Label, around
from strutkit.show.plane import distinct
from strutkit.show.shapes import Place, Shape, Text
from strutkit.show.sidescene import (
    ANGLE_ARC,
    WEIGHT_ARROW,
    SideScene,
    drawn_struts,
    handle_arc,
    handle_direction,
    hold_line,
    level_line,
    lost_strut,
    on_arc,
    weights,
)
from strutkit.show.style import PX

Floats = npt.NDArray[np.float64]

MOST_DIMENSIONS = 5
"""Points dimensioned on one side; with more of them only those of the strut in use."""


ARC_FIGURE = math.radians(30.0)

SAME_PLACE = 5e-4
"""Mounts nearer to each other than this [m] are one in the picture."""


def dimensions(view: SideScene) -> list[Shape]:
    """Running dimensions of the mounts, shut: heights and depths on the side off the swing."""
    points = _dimension_points(view)
    if not points:
        return []
    swing = bounds(handle_arc(view))
    line_x = _beside(view, points, 0, away=-1.0 if swing[2] >= -swing[0] else 1.0)
    line_y = _beside(view, points, 1, away=1.0 if -swing[1] >= swing[3] else -1.0)
    measured = [(view.mm(flat)[0], flat) for flat in points]
    across = [Measured(at, _figure(view, flat[0])) for at, flat in measured]
    upward = [Measured(at, _figure(view, flat[1])) for at, flat in measured]
    return [
        *heights(upward, (0.0, 0.0), line_x, view.medium),
        *depths(across, (0.0, 0.0), line_y, view.medium),
    ]


DIMENSION_GAP = 28 * PX
"""From the door to the line of its dimensions."""


SIDE_ROOM = 16 * PX
"""Beside the outermost dimension the door is still kept clear of by so much."""


def _beside(view: SideScene, points: Sequence[Floats], axis: int, away: float) -> float:
    """Where the line of dimensions lies: clear of the door over the stretch that it measures."""
    along = np.array([0.0, *(point[1 - axis] for point in points)]) * view.factor
    places = view.covered * view.factor
    low, high = along.min() - SIDE_ROOM, along.max() + SIDE_ROOM
    beside = places[(low <= places[:, 1 - axis]) & (places[:, 1 - axis] <= high), axis]
    return away * (float((away * beside).max()) + symbols.MOUNT_RADIUS + DIMENSION_GAP)


def _dimension_points(view: SideScene) -> list[Floats]:
    """Mounts in the plane [m], the panel shut; only those of the strut in use if they are many."""
    fitted = view.door.fitted
    points = [view.plane.place(at) for one in fitted for at in (one.frame_mount, one.panel_mount)]
    kept = distinct([tuple(point.tolist()) for point in points])
    if len(kept) <= MOST_DIMENSIONS:
        return [points[index] for index in kept]
    first = 2 * min(view.in_use, len(fitted) - 1)
    return points[first : first + 2]


def _figure(view: SideScene, metres: float) -> str:
    """A place that is drilled: the figure that the box and the table of the sheet give it."""
    return (
        inch_text(abs(metres), parts=INCH_PARTS) if view.unit == "in" else millimetres(abs(metres))
    )


def labels(view: SideScene) -> Iterable[Label]:
    """All texts with the places that suit them, the most wanted first."""
    yield from _mount_letters(view)
    yield from _force_labels(view)
    yield from _arc_labels(view)
    lost = lost_strut(view)
    if lost is not None:
        (x0, y0), (x1, y1) = lost.line
        middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
        words = "one of two lost" if lost.twinned else "lost"
        yield _label(view, middle, words, "text", around((4 * PX, 10 * PX, 20 * PX)), bold=True)
    if view.door.panel.closing_handle is not None:
        handle = view.seen(view.door.panel.closing_handle, view.angle)[0]
        near = around((6 * PX, 12 * PX, 24 * PX))
        yield replace(_label(view, handle, "to shut", "note", near), optional=True)
    line = level_line(view)
    if line is not None:
        share = 0.62
        at = tuple(a + share * (b - a) for a, b in zip(*line, strict=True))
        yield _label(view, (at[0], at[1]), "level", "note", around((3 * PX, NEAR)))


def _label(
    view: SideScene,
    at: Place,
    text: str,
    role: str,
    offsets: tuple[Place, ...],
    *,
    bold: bool = False,
    far: float = math.inf,
) -> Label:
    size = view.medium.label if bold else view.medium.note
    return Label(at, Text((0.0, 0.0), text, role, size, bold=bold), offsets, far)


def _mount_letters(view: SideScene) -> Iterable[Label]:
    if not view.letters:
        return
    for fixed_name, moving_name, one in _lettered(view):
        near = symbols.MOUNT_RADIUS + 4 * PX
        fixed, moving = view.seen(one.frame_mount)[0], view.seen(one.panel_mount, view.angle)[0]
        offsets = around((near, 2 * near, 3 * near))
        yield _label(view, fixed, fixed_name, "text", offsets, bold=True)
        yield _label(view, moving, moving_name, "text", offsets, bold=True)


def _lettered(view: SideScene) -> Iterable[tuple[str, str, FittedStrut]]:
    """Names of the balls of each drawn strut: those behind it have theirs beside its own."""
    places = [_places(view, one) for one in view.door.struts]
    for drawn in drawn_struts(view):
        here = [
            names
            for names, place in zip(ball_names(view.door), places, strict=True)
            if math.dist(place, _places(view, drawn)) < SAME_PLACE
        ]
        yield ", ".join(fixed for fixed, _ in here), ", ".join(moving for _, moving in here), drawn


def _places(view: SideScene, one: FittedStrut) -> tuple[float, ...]:
    return (
        *view.plane.place(one.frame_mount).tolist(),
        *view.plane.place(one.panel_mount).tolist(),
    )


def _force_labels(view: SideScene) -> Iterable[Label]:
    down = view.plane.gravity(view.condition)
    for place, text in weights(view):
        tip = (place[0] + WEIGHT_ARROW * float(down[0]), place[1] + WEIGHT_ARROW * float(down[1]))
        near = (5 * PX, 10 * PX, 20 * PX, 34 * PX)
        yield _label(view, tip, text, "weight", around(near), bold=True)
    arrow = hold_line(view)
    if arrow is not None and view.hold is not None:
        (x0, y0), (x1, y1) = arrow
        text = f"hold {quantity_text(abs(view.hold), 'force')}"
        offsets = around((4 * PX, 10 * PX, 20 * PX), math.atan2(y0 - y1, x0 - x1))
        yield _label(view, arrow[0], text, "text", offsets, bold=True)
    if view.angle >= math.radians(4.0):
        yield _angle_label(view)


def _angle_label(view: SideScene) -> Label:
    """The opening angle beside its arc."""
    start, radius = handle_direction(view), ANGLE_ARC * view.reach
    turns = [start + view.plane.sense * view.angle * share for share in (0.5, 0.3, 0.7, 0.15, 0.85)]
    first, *others = [(radius * math.cos(a), radius * math.sin(a)) for a in turns]
    at_end = view.angle == view.end
    text = travel_text(view.angle) if at_end else quantity_text(view.angle, "angle")
    offsets = around((4 * PX, 8 * PX, 18 * PX), turns[0])
    label = _label(view, first, text, "text", offsets, bold=True)
    return replace(label, others=tuple(others))


def _arc_labels(view: SideScene) -> Iterable[Label]:
    def outward(angle: float) -> float:
        return handle_direction(view) + view.plane.sense * angle

    key = view.key
    lift_off = key.lift_off if key is not None else None
    if lift_off is not None and lift_off > 0.0:
        at = on_arc(view, lift_off, 10 * PX)
        offsets = around((3 * PX, 8 * PX, 18 * PX, 30 * PX), outward(lift_off))
        words = lift_off_words(lift_off, drops=view.drops)
        yield _label(view, at, words, "text", offsets, bold=True)
    opened = f"open {travel_text(view.end)}"
    for angle, text in ((view.end, opened), (0.0, "shut")):
        way = math.copysign(math.pi / 2, view.plane.sense) * (1.0 if angle else -1.0)
        offsets = around((6 * PX, 12 * PX, 24 * PX, 40 * PX), outward(angle) + way)
        yield _label(view, on_arc(view, angle), text, "note", offsets)
    count = math.ceil(view.end / ARC_FIGURE - 1e-6)
    for angle in (step * ARC_FIGURE for step in range(1, count)):
        if view.end - angle < math.radians(4.0):
            continue
        offsets = around((3 * PX, 8 * PX, 16 * PX), outward(angle))
        text = quantity_text(angle, "angle")
        yield _label(view, on_arc(view, angle, 5 * PX), text, "note", offsets)
