"""The side view: a door seen square to its hinge line, shut, at an angle and open.

Only what the records state is drawn: the panel's section, mounts, struts, handle, centre of
gravity, zones. The fixed side is known at the hinge line and the frame mounts, and is drawn
there as the hatched sign of a fixed point.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from strutkit.decide.conditions import nominal_condition
from strutkit.decide.summary import Summary, summary
from strutkit.decide.sweep import Sweep, sweep
from strutkit.describe.numbers import LengthUnit, length_text, quantity_text
from strutkit.describe.records import Condition, Door, FittedStrut
from strutkit.errors import TravelError
from strutkit.show import symbols
from strutkit.show.charts import lift_off_words, weight_opens
from strutkit.show.dimensions import Measured, depths, heights
from strutkit.show.letters import Box, bounds, union
from strutkit.show.placing import NEAR, Label, Layout, around
from strutkit.show.plane import SidePlane, distinct, panel_outline, side_plane
from strutkit.show.shapes import (
    Arc,
    Circle,
    Group,
    Picture,
    Place,
    Polygon,
    Polyline,
    Shape,
    Text,
    moved,
)
from strutkit.show.style import MEDIA, PARTS_OF_INCH, PX, Medium

Floats = npt.NDArray[np.float64]

STANDARD_SCALES = (1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50)
"""Scales of drawings on paper (ISO 5455, number from memory), largest first."""

SCREEN_SIZE = (512 * PX, 440 * PX)

DRAWN_TUBE = 0.020
"""Tube diameter drawn where none is stated [m]; it enters no number."""

MOST_DIMENSIONS = 5
"""Points dimensioned on one side; with more of them only those of the strut in use."""

ARC_TICK = math.radians(10.0)
ARC_FIGURE = math.radians(30.0)
ANGLE_ARC = 0.25
"""Radius of the angle's arc as a share of the handle's distance from the hinge line."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _View:
    """What is drawn and how: lengths [m] times `factor` are mm, the hinge line at (0, 0)."""

    door: Door
    plane: SidePlane
    condition: Condition
    angle: float
    end: float
    swept: Sweep | None
    hold: float | None
    key: Summary | None
    drops: bool
    covered: Floats
    factor: float
    medium: Medium
    unit: LengthUnit
    letters: bool
    in_use: int

    def mm(self, flat: npt.ArrayLike) -> list[Place]:
        """Points of the plane [..., 2] [m] as places in the picture."""
        rows = np.asarray(flat, dtype=float).reshape(-1, 2) * self.factor
        return [(float(x), float(y)) for x, y in rows]

    def seen(self, points: npt.ArrayLike, angle: float = 0.0) -> list[Place]:
        """Points of the door [..., 3], turned with the panel to an angle, in the picture."""
        return self.mm(self.plane.turned(self.plane.place(points), angle))

    @property
    def reach(self) -> float:
        """Distance of the handle from the hinge line in the picture."""
        return self.door.hinge_distance(self.door.panel.handle) * self.factor


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
) -> Picture:
    """A door seen square to its hinge line, the panel at an opening angle [rad].

    swept: a sweep of this door; it gives the condition, the end of travel, lift-off and, on
    screen, the force that holds the panel (None: nominal condition, up to the stop angle, no
    forces). angle None:
    at the end of travel. size: width and height [mm] (None with no scale: 512 by 440 px); scale:
    mm for 1 mm of the door (None: the largest that fits, of `scales` where given). letters: F
    and D at the mounts, as a sheet names them. in_use: index in `door.fitted` of the strut that
    keeps its dimensions where there are more than five points.

    Raises `TravelError` for an angle outside the travel.
    """
    view = _view(door, swept, angle, MEDIA[medium], unit, letters, in_use)
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
) -> _View:
    end = door.hinge.stop_angle if swept is None else swept.end_of_travel
    angle = end if angle is None else angle
    if not -1e-9 <= angle <= end + 1e-9:
        raise TravelError(
            f"the side view was asked for {quantity_text(angle, 'angle')}; give an angle from 0° to"
            f" {quantity_text(end, 'angle')}."
        )
    plane = side_plane(door)
    view = _View(
        door=door,
        plane=plane,
        condition=nominal_condition if swept is None else swept.condition,
        angle=angle,
        end=end,
        swept=swept,
        hold=None,
        key=None if swept is None else summary(swept),
        drops=swept is not None and weight_opens(swept),
        covered=_covered(door, plane, end),
        factor=1e3,
        medium=medium,
        unit=unit,
        letters=letters,
        in_use=in_use,
    )
    return _turned(view, angle)


EVERYWHERE: Box = (-math.inf, -math.inf, math.inf, math.inf)
EDGE = 2 * PX
"""Ground kept free at the rim of a picture [mm]."""


def _turned(view: _View, angle: float) -> _View:
    """The same view with the panel at another angle."""
    hold = None
    if view.swept is not None and view.medium.grab:
        here = sweep(view.door, condition=view.condition, angles=[min(max(angle, 0.0), view.end)])
        hold = float(here.hand_force_holding[0])
    return replace(view, angle=angle, hold=hold)


def _drawn_box(view: _View) -> Box:
    """Box of everything drawn, shut and open: it does not depend on the angle shown."""
    drawn = [bounds(_draw(_turned(view, at), EVERYWHERE)) for at in dict.fromkeys((0.0, view.end))]
    return union([_extent(view), *drawn])


def _fitting_scale(view: _View, size: tuple[float, float]) -> float:
    """Largest scale at which the door in all positions, figures and labels fit the size."""
    width, height = size[0] - 2 * EDGE, size[1] - 2 * EDGE
    left, bottom, right, top = _extent(view)
    wide, high = (right - left) / view.factor, (top - bottom) / view.factor
    factor = 0.7 * min(width / wide, height / high)
    for _ in range(2):
        drawn = _drawn_box(replace(view, factor=factor))
        room_x = width - (drawn[2] - drawn[0] - wide * factor)
        room_y = height - (drawn[3] - drawn[1] - high * factor)
        factor = max(min(room_x / wide, room_y / high), 0.1 * factor)
    return 0.99 * factor / 1e3


def _picture(view: _View, size: tuple[float, float] | None, scale: float) -> Picture:
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


def _description(view: _View) -> str:
    words = [
        "Seen square to the hinge line",
        f"the panel at {quantity_text(view.angle, 'angle')}",
        f"open to {quantity_text(view.end, 'angle')}",
    ]
    if view.key is not None:
        words.append(lift_off_words(view.key.lift_off, drops=view.drops))
    if view.hold is not None:
        words.append(f"held with {quantity_text(abs(view.hold), 'force')} at the handle")
    return ", ".join(words) + f"; condition {view.condition.name}."


def _extent(view: _View) -> Box:
    """Box of the door in every position of its travel, without figures and signs."""
    places = view.covered * view.factor
    (left, bottom), (right, top) = places.min(axis=0).tolist(), places.max(axis=0).tolist()
    rim = symbols.MOUNT_RADIUS
    return left - rim, bottom - rim, right + rim, top + rim


def _covered(door: Door, plane: SidePlane, end: float) -> Floats:
    """Points that the door covers from shut to open, close together [q, 2] [m]."""
    outline = panel_outline(door)
    shares = np.linspace(0.0, 1.0, 12)[:, None, None]
    edges = outline[:-1] * (1.0 - shares) + outline[1:] * shares
    points = [door.panel.handle, door.panel.centre_of_gravity]
    points.extend(one.panel_mount for one in door.fitted)
    moving = np.concatenate([edges.reshape(-1, 2), plane.place(points)])
    fixed = [plane.place([one.frame_mount]) for one in door.fitted]
    angles = np.linspace(0.0, end, max(2, math.ceil(end / math.radians(3.0)) + 1))
    swung = [plane.turned(moving, float(angle)) for angle in angles]
    return np.concatenate([np.zeros((1, 2)), *fixed, *swung])


def _draw(view: _View, frame: Box) -> list[Shape]:
    """All shapes, the hinge line at (0, 0); texts within the frame."""
    back = [*_zones(view), *_level(view), *_handle_arc(view), *_ghosts(view)]
    measures = [*_dimensions(view), *_angle_arc(view)]
    front = [
        *_fixed_side(view),
        *_panel(view),
        *_struts(view),
        *_signs(view),
    ]
    layout = Layout(frame)
    layout.block([*back, *measures, *front])
    texts: list[Shape] = []
    for label in _labels(view):
        texts.extend(layout.place(label))
    return [*back, *measures, *front, *texts]


def _outline_shape(points: list[Place], role: str, closed: bool) -> Shape:
    return Polygon(tuple(points), role) if closed else Polyline(tuple(points), role)


def _panel_at(view: _View, angle: float, role: str) -> Shape:
    outline = view.plane.turned(panel_outline(view.door), angle)
    return _outline_shape(view.mm(outline), role, view.door.panel.thickness > 0.0)


def _ghosts(view: _View) -> list[Shape]:
    """The panel shut and open where it does not stand, and the strut axes there."""
    shapes: list[Shape] = []
    for place in (0.0, view.end):
        if abs(view.angle - place) < math.radians(0.5):
            continue
        shapes.append(_panel_at(view, place, "ghost"))
        if place == 0.0:
            shapes.extend(_axes_shut(view))
    return shapes


def _axes_shut(view: _View) -> list[Shape]:
    shapes: list[Shape] = []
    for one in _drawn_struts(view):
        fixed, moving = view.seen(one.frame_mount)[0], view.seen(one.panel_mount)[0]
        shapes.append(Polyline((fixed, moving), "strut_axis"))
        shapes.append(Circle(moving, 3 * PX, "shut_mount"))
    return shapes


def _panel(view: _View) -> list[Shape]:
    return [_panel_at(view, view.angle, "panel")]


def _zones(view: _View) -> list[Shape]:
    if not view.medium.grab:
        return []
    return [
        Polygon(tuple(view.seen(zone.corners, view.angle if zone.part == "panel" else 0.0)), "zone")
        for zone in view.door.zones
    ]


def _handle_arc(view: _View) -> list[Shape]:
    """The handle's way with a tick each 10°, the rest bands as dots and the lift-off bar."""
    start = _handle_direction(view)
    arc = Arc((0.0, 0.0), view.reach, start, view.plane.sense * view.end, "handle_arc")
    ticks = [
        _across(view, count * ARC_TICK, 0.0, 5 * PX, "mark")
        for count in range(1, math.ceil(view.end / ARC_TICK - 1e-6))
    ]
    shapes: list[Shape] = [arc, *ticks]
    if view.key is None:
        return shapes
    for low, high in view.key.rest_bands:
        shapes.extend(_rest_dots(view, low, high))
    if view.key.lift_off is not None and view.key.lift_off > 0.0:
        shapes.append(_across(view, view.key.lift_off, -10 * PX, 10 * PX, "bar"))
    return shapes


def _handle_direction(view: _View) -> float:
    x, y = view.seen(view.door.panel.handle)[0]
    return math.atan2(y, x)


def _on_arc(view: _View, angle: float, out: float = 0.0) -> Place:
    """Place at an opening angle on the handle's way, `out` mm farther from the hinge line."""
    direction = _handle_direction(view) + view.plane.sense * angle
    radius = view.reach + out
    return radius * math.cos(direction), radius * math.sin(direction)


def _across(view: _View, angle: float, start: float, end: float, role: str) -> Polyline:
    return Polyline((_on_arc(view, angle, start), _on_arc(view, angle, end)), role)


def _rest_dots(view: _View, low: float, high: float) -> list[Shape]:
    count = max(1, round((high - low) * view.reach / (5 * PX)))
    angles = [low + (high - low) * (step + 0.5) / count for step in range(count)]
    return [
        Circle(_on_arc(view, angle, -out * PX), 0.8 * PX, "rest")
        for out in (4.0, 8.0)
        for angle in angles
    ]


def _level(view: _View) -> list[Shape]:
    line = _level_line(view)
    return [Polyline(line, "level")] if line else []


def _level_line(view: _View) -> tuple[Place, Place] | None:
    """From the hinge line to the side of the swing, level; None when the structure stands level."""
    down = view.plane.gravity(view.condition)
    fraction = math.hypot(*down)
    upright = np.array(view.plane.gravity(nominal_condition))
    if fraction < 0.2 or np.allclose(down / fraction, upright / max(math.hypot(*upright), 1e-9)):
        return None
    across = np.array([-down[1], down[0]]) / fraction
    x = view.seen(view.door.panel.handle, view.end / 2.0)[0][0]
    side = math.copysign(1.0, x * across[0]) if x else 1.0
    near, far = 24 * PX * side, 0.9 * view.reach * side
    return (
        (float(near * across[0]), float(near * across[1])),
        (float(far * across[0]), float(far * across[1])),
    )


def _drawn_struts(view: _View) -> list[FittedStrut]:
    """Struts that are there, one for each place in the picture (a pair lies behind itself)."""
    there = [one for index, one in enumerate(view.door.fitted) if index != view.condition.missing]
    places = [
        (*view.plane.place(one.frame_mount).tolist(), *view.plane.place(one.panel_mount).tolist())
        for one in there
    ]
    return [there[index] for index in distinct(places)]


def _struts(view: _View) -> list[Shape]:
    return [_strut(view, one) for one in _drawn_struts(view)]


def _strut(view: _View, one: FittedStrut) -> Group:
    """Tube outline to scale and rod, at the true length of this angle."""
    fixed, moving = view.seen(one.frame_mount)[0], view.seen(one.panel_mount, view.angle)[0]
    tube_end, rod_end = (moving, fixed) if one.rod_end == "frame" else (fixed, moving)
    shown = math.dist(tube_end, rod_end)
    along = ((rod_end[0] - tube_end[0]) / shown, (rod_end[1] - tube_end[1]) / shown)
    tube = min(_tube_length(one) / _length(view, one), 0.98) * shown
    half = max((one.strut.tube_diameter or DRAWN_TUBE) * view.factor / 2.0, 1.5 * PX)
    neck = (tube_end[0] + along[0] * tube, tube_end[1] + along[1] * tube)
    square = (-along[1] * half, along[0] * half)
    outline = (
        (tube_end[0] + square[0], tube_end[1] + square[1]),
        (neck[0] + square[0], neck[1] + square[1]),
        (neck[0] - square[0], neck[1] - square[1]),
        (tube_end[0] - square[0], tube_end[1] - square[1]),
    )
    shapes = (Polyline((neck, rod_end), "rod"), Polygon(outline, "strut"))
    return Group(shapes, "strut", one.strut.name)


def _tube_length(one: FittedStrut) -> float:
    """Tube from its mount [m]; not stated: as long as the strut when fully pushed in."""
    return one.strut.tube_length or one.strut.extended_length - one.strut.stroke


def _length(view: _View, one: FittedStrut) -> float:
    """True length at this angle [m], the part along the hinge line included."""
    plane = view.plane
    flat = plane.turned(plane.place(one.panel_mount), view.angle) - plane.place(one.frame_mount)
    along = (np.array(one.panel_mount) - np.array(one.frame_mount)) @ plane.axis
    return math.hypot(float(flat[0]), float(flat[1]), float(along))


def _fixed_side(view: _View) -> list[Shape]:
    """Hatched bars where the fixed side is known: behind the hinge line and the frame mounts."""
    handle = view.seen(view.door.panel.handle)[0]
    shapes = _fixed_sign((0.0, 0.0), (-handle[0], -handle[1]), symbols.HINGE_RADIUS)
    for one in _drawn_struts(view):
        at, other = view.seen(one.frame_mount)[0], view.seen(one.panel_mount, view.angle)[0]
        away = (at[0] - other[0], at[1] - other[1])
        shapes.extend(_fixed_sign(at, away, symbols.MOUNT_RADIUS))
    return shapes


def _fixed_sign(at: Place, away: Place, radius: float) -> list[Shape]:
    """A short bar square to `away` behind a point, hatched on its far side."""
    length = math.hypot(*away)
    u, v = away[0] / length, away[1] / length
    base = (at[0] + u * (radius + 1.5 * PX), at[1] + v * (radius + 1.5 * PX))
    half, depth = 11 * PX, 5 * PX
    shapes: list[Shape] = [
        Polyline(
            ((base[0] - v * half, base[1] + u * half), (base[0] + v * half, base[1] - u * half)),
            "frame",
        )
    ]
    for step in range(5):
        s = half - step * 5 * PX
        start = (base[0] - v * s, base[1] + u * s)
        tip = (start[0] + depth * (u + v), start[1] + depth * (v - u))
        shapes.append(Polyline((start, tip), "frame_hatch"))
    return [Group(tuple(shapes), "frame")]


def _signs(view: _View) -> list[Shape]:
    """Mounts, hinge line, centre of gravity with the weight, handle, force of the hand."""
    shapes: list[Shape] = [symbols.hinge((0.0, 0.0))]
    for one in _drawn_struts(view):
        shapes.append(symbols.mount(view.seen(one.frame_mount)[0], one.strut.name))
        shapes.append(symbols.mount(view.seen(one.panel_mount, view.angle)[0], one.strut.name))
    for place, _ in _weights(view):
        shapes.extend(_weight(view, place))
    shapes.append(symbols.handle(view.seen(view.door.panel.handle, view.angle)[0]))
    if view.door.panel.closing_handle is not None:
        shapes.append(symbols.handle(view.seen(view.door.panel.closing_handle, view.angle)[0]))
    shapes.extend(_hold_arrow(view))
    return shapes


def _weights(view: _View) -> list[tuple[Place, str]]:
    """Places of the weights on the panel, and their masses in words."""
    panel, condition = view.door.panel, view.condition
    mass = panel.mass * condition.mass_factor
    found = [(view.seen(panel.centre_of_gravity, view.angle)[0], quantity_text(mass, "mass"))]
    if condition.added_mass > 0.0 and condition.added_at is not None:
        place = view.seen(condition.added_at, view.angle)[0]
        found.append((place, f"{quantity_text(condition.added_mass, 'mass')} more"))
    return found


WEIGHT_ARROW = 34 * PX
HOLD_ARROW = 38 * PX


def _weight(view: _View, at: Place) -> list[Shape]:
    """The quartered circle with an arrow along true gravity, as long as it lies in the plane."""
    down = view.plane.gravity(view.condition)
    shapes: list[Shape] = []
    length = WEIGHT_ARROW * math.hypot(*down)
    if length > symbols.HEAD_LENGTH + symbols.GRAVITY_RADIUS:
        tip = (at[0] + WEIGHT_ARROW * float(down[0]), at[1] + WEIGHT_ARROW * float(down[1]))
        shapes.append(symbols.arrow(at, tip, "weight", "weight_head", 1.3))
    return [*shapes, symbols.centre_of_gravity(at)]


def _hold_arrow(view: _View) -> list[Shape]:
    arrow = _hold_line(view)
    return [symbols.arrow(*arrow, "hold", "hold_head", 1.3)] if arrow else []


def _hold_line(view: _View) -> tuple[Place, Place] | None:
    """Start and tip of the hand's arrow at the handle; None where no force is needed or known."""
    if view.hold is None or abs(view.hold) < 0.5:
        return None
    direction = _handle_direction(view) + view.plane.sense * view.angle
    way = view.plane.sense * math.copysign(1.0, view.hold)
    along = (-math.sin(direction) * way, math.cos(direction) * way)
    at = view.seen(view.door.panel.handle, view.angle)[0]
    gap = symbols.HANDLE_RADIUS + 2 * PX
    tip = (at[0] - along[0] * gap, at[1] - along[1] * gap)
    start = (at[0] - along[0] * (gap + HOLD_ARROW), at[1] - along[1] * (gap + HOLD_ARROW))
    return start, tip


def _angle_arc(view: _View) -> list[Shape]:
    """The opening angle as an arc from shut to now, between two thin lines."""
    if view.angle < math.radians(4.0):
        return []
    radius, start = ANGLE_ARC * view.reach, _handle_direction(view)
    sweep_angle = view.plane.sense * view.angle
    end = start + sweep_angle
    rays = [
        Polyline(
            ((0.0, 0.0), ((radius + 6 * PX) * math.cos(a), (radius + 6 * PX) * math.sin(a))),
            "dimension",
        )
        for a in (start, end)
    ]
    tip = (radius * math.cos(end), radius * math.sin(end))
    way = math.copysign(1.0, sweep_angle)
    back = end - way * symbols.HEAD_LENGTH / (2.0 * radius)
    along = (-math.sin(back) * way, math.cos(back) * way)
    return [
        *rays,
        Arc((0.0, 0.0), radius, start, sweep_angle, "dimension"),
        symbols.head(tip, along, "arrow_head"),
    ]


def _dimensions(view: _View) -> list[Shape]:
    """Running dimensions of the mounts, shut: heights and depths on the side off the swing."""
    points = _dimension_points(view)
    if not points:
        return []
    swing = bounds(_handle_arc(view))
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


def _beside(view: _View, points: Sequence[Floats], axis: int, away: float) -> float:
    """Where the line of dimensions lies: clear of the door over the stretch that it measures."""
    along = np.array([0.0, *(point[1 - axis] for point in points)]) * view.factor
    places = view.covered * view.factor
    low, high = along.min() - SIDE_ROOM, along.max() + SIDE_ROOM
    beside = places[(low <= places[:, 1 - axis]) & (places[:, 1 - axis] <= high), axis]
    return away * (float((away * beside).max()) + symbols.MOUNT_RADIUS + DIMENSION_GAP)


def _dimension_points(view: _View) -> list[Floats]:
    """Mounts in the plane [m], the panel shut; only those of the strut in use if they are many."""
    fitted = view.door.fitted
    points = [view.plane.place(at) for one in fitted for at in (one.frame_mount, one.panel_mount)]
    kept = distinct([tuple(point.tolist()) for point in points])
    if len(kept) <= MOST_DIMENSIONS:
        return [points[index] for index in kept]
    first = 2 * min(view.in_use, len(fitted) - 1)
    return points[first : first + 2]


def _figure(view: _View, metres: float) -> str:
    parts = PARTS_OF_INCH[view.medium.name]
    return length_text(abs(metres), view.unit, parts=parts, unit=view.unit == "in")


def _labels(view: _View) -> Iterable[Label]:
    """All texts with the places that suit them, the most wanted first."""
    yield from _mount_letters(view)
    yield from _force_labels(view)
    yield from _arc_labels(view)
    if view.door.panel.closing_handle is not None:
        handle = view.seen(view.door.panel.closing_handle, view.angle)[0]
        near = around((6 * PX, 12 * PX, 24 * PX))
        yield replace(_label(view, handle, "to shut", "note", near), optional=True)
    line = _level_line(view)
    if line is not None:
        share = 0.62
        at = tuple(a + share * (b - a) for a, b in zip(*line, strict=True))
        yield _label(view, (at[0], at[1]), "level", "note", around((3 * PX, NEAR)))


def _label(
    view: _View,
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


def _mount_letters(view: _View) -> Iterable[Label]:
    if not view.letters:
        return
    drawn = _drawn_struts(view)
    for number, one in enumerate(drawn, start=1):
        suffix = str(number) if len(drawn) > 1 else ""
        near = symbols.MOUNT_RADIUS + 4 * PX
        fixed, moving = view.seen(one.frame_mount)[0], view.seen(one.panel_mount, view.angle)[0]
        offsets = around((near, 2 * near, 3 * near))
        yield _label(view, fixed, "F" + suffix, "text", offsets, bold=True)
        yield _label(view, moving, "D" + suffix, "text", offsets, bold=True)


def _force_labels(view: _View) -> Iterable[Label]:
    down = view.plane.gravity(view.condition)
    for place, text in _weights(view):
        tip = (place[0] + WEIGHT_ARROW * float(down[0]), place[1] + WEIGHT_ARROW * float(down[1]))
        near = (5 * PX, 10 * PX, 20 * PX, 34 * PX)
        yield _label(view, tip, text, "weight", around(near), bold=True)
    arrow = _hold_line(view)
    if arrow is not None and view.hold is not None:
        (x0, y0), (x1, y1) = arrow
        text = f"hold {quantity_text(abs(view.hold), 'force')}"
        offsets = around((4 * PX, 10 * PX, 20 * PX), math.atan2(y0 - y1, x0 - x1))
        yield _label(view, arrow[0], text, "text", offsets, bold=True)
    if view.angle >= math.radians(4.0):
        yield _angle_label(view)


def _angle_label(view: _View) -> Label:
    """The opening angle beside its arc."""
    start, radius = _handle_direction(view), ANGLE_ARC * view.reach
    turns = [start + view.plane.sense * view.angle * share for share in (0.5, 0.3, 0.7, 0.15, 0.85)]
    first, *others = [(radius * math.cos(a), radius * math.sin(a)) for a in turns]
    text = quantity_text(view.angle, "angle")
    offsets = around((4 * PX, 8 * PX, 18 * PX), turns[0])
    label = _label(view, first, text, "text", offsets, bold=True)
    return replace(label, others=tuple(others))


def _arc_labels(view: _View) -> Iterable[Label]:
    def outward(angle: float) -> float:
        return _handle_direction(view) + view.plane.sense * angle

    key = view.key
    lift_off = key.lift_off if key is not None else None
    if lift_off is not None and lift_off > 0.0:
        at = _on_arc(view, lift_off, 10 * PX)
        offsets = around((3 * PX, 8 * PX, 18 * PX, 30 * PX), outward(lift_off))
        words = lift_off_words(lift_off, drops=view.drops)
        yield _label(view, at, words, "text", offsets, bold=True)
    opened = f"open {quantity_text(view.end, 'angle')}"
    for angle, text in ((view.end, opened), (0.0, "shut")):
        way = math.copysign(math.pi / 2, view.plane.sense) * (1.0 if angle else -1.0)
        offsets = around((6 * PX, 12 * PX, 24 * PX, 40 * PX), outward(angle) + way)
        yield _label(view, _on_arc(view, angle), text, "note", offsets)
    count = math.ceil(view.end / ARC_FIGURE - 1e-6)
    for angle in (step * ARC_FIGURE for step in range(1, count)):
        if view.end - angle < math.radians(4.0):
            continue
        offsets = around((3 * PX, 8 * PX, 16 * PX), outward(angle))
        text = quantity_text(angle, "angle")
        yield _label(view, _on_arc(view, angle, 5 * PX), text, "note", offsets)
