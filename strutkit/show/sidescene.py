"""What the side view draws of a door: panel, ghosts, struts, signs, the handle's way.

Only what the records state is drawn: the panel's section, mounts, struts, handle, centre of
gravity, zones. The fixed side is known at the hinge line and the frame mounts, and is drawn
there as the hatched sign of a fixed point. The hinge line lies at (0, 0).
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from strutkit.decide.conditions import nominal_condition
from strutkit.decide.summary import Summary
from strutkit.decide.sweep import Sweep
from strutkit.describe.numbers import LengthUnit, quantity_text
from strutkit.describe.records import Condition, Door, FittedStrut
from strutkit.show import symbols
from strutkit.show.letters import Box
from strutkit.show.plane import SidePlane, distinct, panel_outline
from strutkit.show.shapes import Arc, Circle, Group, Place, Polygon, Polyline, Shape
from strutkit.show.style import PX, Medium

Floats = npt.NDArray[np.float64]

DRAWN_TUBE = 0.020
"""Tube diameter drawn where none is stated [m]; it enters no number."""


ARC_TICK = math.radians(10.0)


ANGLE_ARC = 0.25
"""Radius of the angle's arc as a share of the handle's distance from the hinge line."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SideScene:
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
    measured: bool

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


def extent(view: SideScene) -> Box:
    """Box of the door in every position of its travel, without figures and signs."""
    places = view.covered * view.factor
    (left, bottom), (right, top) = places.min(axis=0).tolist(), places.max(axis=0).tolist()
    rim = symbols.MOUNT_RADIUS
    return left - rim, bottom - rim, right + rim, top + rim


def covered(door: Door, plane: SidePlane, end: float) -> Floats:
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


def _outline_shape(points: list[Place], role: str, closed: bool) -> Shape:
    return Polygon(tuple(points), role) if closed else Polyline(tuple(points), role)


def _panel_at(view: SideScene, angle: float, role: str) -> Shape:
    outline = view.plane.turned(panel_outline(view.door), angle)
    return _outline_shape(view.mm(outline), role, view.door.panel.thickness > 0.0)


def ghosts(view: SideScene) -> list[Shape]:
    """The panel shut and open where it does not stand, and the strut axes there."""
    shapes: list[Shape] = []
    for place in (0.0, view.end):
        if abs(view.angle - place) < math.radians(0.5):
            continue
        shapes.append(_panel_at(view, place, "ghost"))
        if place == 0.0:
            shapes.extend(_axes_shut(view))
    return shapes


def _axes_shut(view: SideScene) -> list[Shape]:
    shapes: list[Shape] = []
    for one in drawn_struts(view):
        fixed, moving = view.seen(one.frame_mount)[0], view.seen(one.panel_mount)[0]
        shapes.append(Polyline((fixed, moving), "strut_axis"))
        shapes.append(Circle(moving, 3 * PX, "shut_mount"))
    return shapes


def panel(view: SideScene) -> list[Shape]:
    return [_panel_at(view, view.angle, "panel")]


def zones(view: SideScene) -> list[Shape]:
    if not view.medium.grab:
        return []
    return [
        Polygon(tuple(view.seen(zone.corners, view.angle if zone.part == "panel" else 0.0)), "zone")
        for zone in view.door.zones
    ]


def handle_arc(view: SideScene) -> list[Shape]:
    """The handle's way with a tick each 10°, the rest bands as dots and the lift-off bar."""
    start = handle_direction(view)
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


@lru_cache(maxsize=8)
def handle_direction(view: SideScene) -> float:
    """Angle of the handle about the hinge line, the panel shut [rad]."""
    x, y = view.seen(view.door.panel.handle)[0]
    return math.atan2(y, x)


def on_arc(view: SideScene, angle: float, out: float = 0.0) -> Place:
    """Place at an opening angle on the handle's way, `out` mm farther from the hinge line."""
    direction = handle_direction(view) + view.plane.sense * angle
    radius = view.reach + out
    return radius * math.cos(direction), radius * math.sin(direction)


def _across(view: SideScene, angle: float, start: float, end: float, role: str) -> Polyline:
    return Polyline((on_arc(view, angle, start), on_arc(view, angle, end)), role)


def _rest_dots(view: SideScene, low: float, high: float) -> list[Shape]:
    count = max(1, round((high - low) * view.reach / (5 * PX)))
    angles = [low + (high - low) * (step + 0.5) / count for step in range(count)]
    return [
        Circle(on_arc(view, angle, -out * PX), 0.8 * PX, "rest")
        for out in (4.0, 8.0)
        for angle in angles
    ]


def level(view: SideScene) -> list[Shape]:
    line = level_line(view)
    return [Polyline(line, "level")] if line else []


def level_line(view: SideScene) -> tuple[Place, Place] | None:
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


def drawn_struts(view: SideScene) -> list[FittedStrut]:
    """Struts that are there, one for each place in the picture (a pair lies behind itself)."""
    there = [one for index, one in enumerate(view.door.fitted) if index != view.condition.missing]
    places = [
        (*view.plane.place(one.frame_mount).tolist(), *view.plane.place(one.panel_mount).tolist())
        for one in there
    ]
    return [there[index] for index in distinct(places)]


def struts(view: SideScene) -> list[Shape]:
    lost = lost_strut(view)
    ghost = [] if lost is None or lost.twinned else [Polyline(lost.line, "lost_strut")]
    return [*ghost, *(_strut(view, one) for one in drawn_struts(view))]


@dataclass(frozen=True, slots=True)
class LostStrut:
    """Where the strut that is lost hung; twinned: one that is there hangs in the same place."""

    line: tuple[Place, Place]
    twinned: bool


def lost_strut(view: SideScene) -> LostStrut | None:
    """The strut that the condition takes away."""
    missing = view.condition.missing
    if missing is None:
        return None
    line = _ends(view, view.door.fitted[missing])
    there = [_ends(view, one) for one in drawn_struts(view)]
    return LostStrut(line, any(np.allclose(line, one, rtol=0.0, atol=0.5 * PX) for one in there))


def _ends(view: SideScene, one: FittedStrut) -> tuple[Place, Place]:
    return view.seen(one.frame_mount)[0], view.seen(one.panel_mount, view.angle)[0]


def _strut(view: SideScene, one: FittedStrut) -> Group:
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


def _length(view: SideScene, one: FittedStrut) -> float:
    """True length at this angle [m], the part along the hinge line included."""
    plane = view.plane
    flat = plane.turned(plane.place(one.panel_mount), view.angle) - plane.place(one.frame_mount)
    along = (np.array(one.panel_mount) - np.array(one.frame_mount)) @ plane.axis
    return math.hypot(float(flat[0]), float(flat[1]), float(along))


def fixed_side(view: SideScene) -> list[Shape]:
    """Hatched bars where the fixed side is known: behind the hinge line and the frame mounts."""
    handle = view.seen(view.door.panel.handle)[0]
    shapes = _fixed_sign((0.0, 0.0), (-handle[0], -handle[1]), symbols.HINGE_RADIUS)
    for one in drawn_struts(view):
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


def signs(view: SideScene) -> list[Shape]:
    """Mounts, hinge line, centre of gravity with the weight, handle, force of the hand."""
    shapes: list[Shape] = [symbols.hinge((0.0, 0.0))]
    for one in drawn_struts(view):
        shapes.append(symbols.mount(view.seen(one.frame_mount)[0], one.strut.name))
        shapes.append(symbols.mount(view.seen(one.panel_mount, view.angle)[0], one.strut.name))
    for place, _ in weights(view):
        shapes.extend(_weight(view, place))
    shapes.append(symbols.handle(view.seen(view.door.panel.handle, view.angle)[0]))
    if view.door.panel.closing_handle is not None:
        shapes.append(symbols.handle(view.seen(view.door.panel.closing_handle, view.angle)[0]))
    shapes.extend(_hold_arrow(view))
    return shapes


def weights(view: SideScene) -> list[tuple[Place, str]]:
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


def _weight(view: SideScene, at: Place) -> list[Shape]:
    """The quartered circle with an arrow along true gravity, as long as it lies in the plane."""
    down = view.plane.gravity(view.condition)
    shapes: list[Shape] = []
    length = WEIGHT_ARROW * math.hypot(*down)
    if length > symbols.HEAD_LENGTH + symbols.GRAVITY_RADIUS:
        tip = (at[0] + WEIGHT_ARROW * float(down[0]), at[1] + WEIGHT_ARROW * float(down[1]))
        shapes.append(symbols.arrow(at, tip, "weight", "weight_head", 1.3))
    return [*shapes, symbols.centre_of_gravity(at)]


def _hold_arrow(view: SideScene) -> list[Shape]:
    arrow = hold_line(view)
    return [symbols.arrow(*arrow, "hold", "hold_head", 1.3)] if arrow else []


def hold_line(view: SideScene) -> tuple[Place, Place] | None:
    """Start and tip of the hand's arrow at the handle; None where no force is needed or known."""
    if view.hold is None or abs(view.hold) < 0.5:
        return None
    direction = handle_direction(view) + view.plane.sense * view.angle
    way = view.plane.sense * math.copysign(1.0, view.hold)
    along = (-math.sin(direction) * way, math.cos(direction) * way)
    at = view.seen(view.door.panel.handle, view.angle)[0]
    gap = symbols.HANDLE_RADIUS + 2 * PX
    tip = (at[0] - along[0] * gap, at[1] - along[1] * gap)
    start = (at[0] - along[0] * (gap + HOLD_ARROW), at[1] - along[1] * (gap + HOLD_ARROW))
    return start, tip


def angle_arc(view: SideScene) -> list[Shape]:
    """The opening angle as an arc from shut to now, between two thin lines."""
    if view.angle < math.radians(4.0):
        return []
    radius, start = ANGLE_ARC * view.reach, handle_direction(view)
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
