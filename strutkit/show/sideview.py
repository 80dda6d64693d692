"""The side view: a door seen square to its hinge line, shut, at an angle and open."""

import math
from collections.abc import Sequence
from dataclasses import replace

from strutkit.decide.conditions import nominal_condition
from strutkit.decide.starters import weight_opens
from strutkit.decide.summary import summary
from strutkit.decide.sweep import Sweep, sweep
from strutkit.describe.numbers import LengthUnit, quantity_text, travel_text
from strutkit.describe.records import Door
from strutkit.describe.size import shown_finely
from strutkit.errors import TravelError
from strutkit.show.charts import lift_off_words
from strutkit.show.letters import Box, bounds, union
from strutkit.show.placing import Layout
from strutkit.show.plane import side_plane
from strutkit.show.shapes import Picture, Shape, moved
from strutkit.show.sidelabels import dimensions, labels
from strutkit.show.sidescene import (
    SideScene,
    angle_arc,
    covered,
    extent,
    fixed_side,
    ghosts,
    handle_arc,
    level,
    panel,
    signs,
    struts,
    zones,
)
from strutkit.show.style import MEDIA, PX, Medium

STANDARD_SCALES = (1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50)
"""Scales of drawings on paper (ISO 5455, number from memory), largest first."""


SCREEN_SIZE = (512 * PX, 440 * PX)


@shown_finely
def side_view(
    door: Door,
    swept: Sweep | None = None,
    angle: float | None = None,
    *,
    size: tuple[float, float] | None = None,
    scale: float | None = None,
    scales: Sequence[float] | None = None,
    medium: str = "screen",
    unit: LengthUnit = "mm",
    letters: bool = False,
    in_use: int = 0,
    measured: bool = True,
) -> Picture:
    """A door seen square to its hinge line, the panel at an opening angle [rad].

    swept: a sweep of this door; it gives the condition, the end of travel, lift-off and, on
    screen, the force that holds the panel (None: nominal condition, up to the stop angle, no
    forces). angle None:
    at the end of travel. size: width and height [mm] (None with no scale: 512 by 440 px); scale:
    mm for 1 mm of the door (None: the largest that fits, of `scales` where given). letters: F
    and D at the mounts, as a sheet names them. in_use: index in `door.fitted` of the strut that
    keeps its dimensions where there are more than five points. measured: with dimensions of the
    mounts.

    Raises `TravelError` for an angle outside the travel.
    """
    view = _view(door, swept, angle, MEDIA[medium], unit, letters, in_use, measured)
    if scale is None and size is None:
        size = SCREEN_SIZE
    if scale is None and size is not None:
        scale = _fitting_scale(view, size)
        if scales is not None:
            scale = max((one for one in scales if one <= scale), default=min(scales))
    view = replace(view, factor=(scale or 1.0) * 1e3)
    return _picture(view, size, scale or 1.0)


def _view(
    door: Door,
    swept: Sweep | None,
    angle: float | None,
    medium: Medium,
    unit: LengthUnit,
    letters: bool,
    in_use: int,
    measured: bool,
) -> SideScene:
    end = door.hinge.stop_angle if swept is None else swept.end_of_travel
    angle = end if angle is None else angle
    if not -1e-9 <= angle <= end + 1e-9:
        raise TravelError(
            f"the side view was asked for {quantity_text(angle, 'angle')}; give an angle from 0° to"
            f" {quantity_text(end, 'angle')}."
        )
    plane = side_plane(door)
    view = SideScene(
        door=door,
        plane=plane,
        condition=nominal_condition if swept is None else swept.condition,
        angle=angle,
        end=end,
        swept=swept,
        hold=None,
        key=None if swept is None else summary(swept),
        drops=swept is not None and weight_opens(swept.door),
        covered=covered(door, plane, end),
        factor=1e3,
        medium=medium,
        unit=unit,
        letters=letters,
        in_use=in_use,
        measured=measured,
    )
    return _turned(view, angle)


EVERYWHERE: Box = (-math.inf, -math.inf, math.inf, math.inf)


EDGE = 2 * PX
"""Ground kept free at the rim of a picture [mm]."""


def _turned(view: SideScene, angle: float) -> SideScene:
    """The same view with the panel at another angle."""
    hold = None
    if view.swept is not None and view.medium.grab:
        here = sweep(view.door, condition=view.condition, angles=[min(max(angle, 0.0), view.end)])
        hold = float(here.hand_force_holding[0])
    return replace(view, angle=angle, hold=hold)


def _drawn_box(view: SideScene) -> Box:
    """Box of everything drawn, shut and open: it does not depend on the angle shown."""
    drawn = [bounds(_draw(_turned(view, at), EVERYWHERE)) for at in dict.fromkeys((0.0, view.end))]
    return union([extent(view), *drawn])


def _fitting_scale(view: SideScene, size: tuple[float, float]) -> float:
    """Largest scale at which the door in all positions, figures and labels fit the size."""
    width, height = size[0] - 2 * EDGE, size[1] - 2 * EDGE
    left, bottom, right, top = extent(view)
    wide, high = (right - left) / view.factor, (top - bottom) / view.factor
    factor = 0.7 * min(width / wide, height / high)
    for _ in range(2):
        drawn = _drawn_box(replace(view, factor=factor))
        room_x = width - (drawn[2] - drawn[0] - wide * factor)
        room_y = height - (drawn[3] - drawn[1] - high * factor)
        factor = max(min(room_x / wide, room_y / high), 0.1 * factor)
    return 0.99 * factor / 1e3


def _picture(view: SideScene, size: tuple[float, float] | None, scale: float) -> Picture:
    drawn = _drawn_box(view)
    wide, high = drawn[2] - drawn[0] + 2 * EDGE, drawn[3] - drawn[1] + 2 * EDGE
    width, height = size or (wide, high)
    right = (width - wide) / 2.0 + EDGE - drawn[0]
    up = (height - high) / 2.0 + EDGE - drawn[1]
    frame = (EDGE - right, EDGE - up, width - EDGE - right, height - EDGE - up)
    shapes = tuple(moved(one, right, up) for one in _draw(view, frame))
    return Picture(
        width=width,
        height=height,
        shapes=shapes,
        title=f"Side view of {view.door.name}",
        description=_description(view),
        medium=view.medium.name,
        scale=scale,
        origin=(right, up),
    )


def _description(view: SideScene) -> str:
    words = [
        "Seen square to the hinge line",
        f"the panel at {quantity_text(view.angle, 'angle')}",
        f"open to {travel_text(view.end)}",
    ]
    if view.key is not None:
        words.append(lift_off_words(view.key.lift_off, drops=view.drops))
    if view.hold is not None:
        words.append(f"held with {quantity_text(abs(view.hold), 'force')} at the handle")
    return ", ".join(words) + f"; condition {view.condition.name}."


def _draw(view: SideScene, frame: Box) -> list[Shape]:
    """All shapes, the hinge line at (0, 0); texts within the frame."""
    back = [*zones(view), *level(view), *handle_arc(view), *ghosts(view)]
    measures = [*(dimensions(view) if view.measured else []), *angle_arc(view)]
    front = [
        *fixed_side(view),
        *panel(view),
        *struts(view),
        *signs(view),
    ]
    layout = Layout(frame)
    layout.block([*back, *measures, *front])
    texts: list[Shape] = []
    for label in labels(view):
        texts.extend(layout.place(label))
    return [*back, *measures, *front, *texts]
