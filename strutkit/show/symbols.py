"""The signs of the pictures, each as plain shapes of fixed size."""

import math

from strutkit.show.shapes import Arc, Circle, Group, Place, Polygon, Polyline, Shape
from strutkit.show.style import PX

HEAD_LENGTH = 7 * PX
HEAD_WIDTH = 4.2 * PX
HINGE_RADIUS = 5 * PX
HINGE_CROSS = 24 * PX
MOUNT_RADIUS = 3.4 * PX
GRAVITY_RADIUS = 7 * PX
HANDLE_RADIUS = 4 * PX
ORIGIN_RADIUS = 3 * PX
GRAB_RADIUS = 8.5 * PX
SIGN_SIZE = 16 * PX


def hinge(at: Place) -> Group:
    """The hinge line seen along itself: a circle with a cross."""
    return Group((*cross(at, HINGE_CROSS), Circle(at, HINGE_RADIUS, "hinge")), "hinge")


def mount(at: Place, name: str = "") -> Group:
    """A mount: a circle with a cross."""
    shapes = (Circle(at, MOUNT_RADIUS, "mount"), *cross(at, 3.4 * MOUNT_RADIUS))
    return Group(shapes, "mount", name)


def cross(at: Place, size: float) -> tuple[Shape, Shape]:
    """A cross of two thin lines."""
    x, y = at
    half = size / 2.0
    return (
        Polyline(((x - half, y), (x + half, y)), "cross"),
        Polyline(((x, y - half), (x, y + half)), "cross"),
    )


def centre_of_gravity(at: Place) -> Group:
    """The quartered circle."""
    quarters = [
        Polygon((at, *_rim(at, GRAVITY_RADIUS, start, math.pi / 2)), "weight_head")
        for start in (0.0, math.pi)
    ]
    return Group((Circle(at, GRAVITY_RADIUS, "centre_of_gravity"), *quarters), "weight")


def _rim(at: Place, radius: float, start: float, sweep: float) -> tuple[Place, ...]:
    steps = 12
    angles = [start + sweep * step / steps for step in range(steps + 1)]
    return tuple((at[0] + radius * math.cos(a), at[1] + radius * math.sin(a)) for a in angles)


def handle(at: Place) -> Circle:
    """The handle: a dot."""
    return Circle(at, HANDLE_RADIUS, "handle")


def arrow(start: Place, end: Place, role: str, head_role: str, scale: float = 1.0) -> Group:
    """A line with a filled head at its end."""
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    neck = min(HEAD_LENGTH * scale, length)
    base = (end[0] - along[0] * neck * 0.9, end[1] - along[1] * neck * 0.9)
    return Group((Polyline((start, base), role), head(end, along, head_role, scale)), role)


def head(tip: Place, along: Place, role: str, scale: float = 1.0) -> Polygon:
    """A filled arrow head, 7 px long and 4.2 px wide, that points along a unit vector."""
    back, half = HEAD_LENGTH * scale, HEAD_WIDTH * scale / 2.0
    x, y = tip[0] - back * along[0], tip[1] - back * along[1]
    return Polygon(
        (
            tip,
            (x - half * along[1], y + half * along[0]),
            (x + half * along[1], y - half * along[0]),
        ),
        role,
    )


def grab(at: Place) -> Group:
    """What can be taken hold of: a disc with a ring and a dot."""
    return Group(
        (Circle(at, GRAB_RADIUS, "grab"), Circle(at, 2.2 * PX, "grab_dot")),
        "grab",
    )


def refused(at: Place) -> Group:
    """A handle where it cannot be: a hollow disc with a cross."""
    x, y = at
    arm = 4.0 * PX
    strokes = (
        Polyline(((x - arm, y - arm), (x + arm, y + arm)), "refused"),
        Polyline(((x - arm, y + arm), (x + arm, y - arm)), "refused"),
    )
    return Group((Circle(at, GRAB_RADIUS, "refused"), *strokes), "refused")


def dot(at: Place, role: str) -> Circle:
    """A value on a curve: a small dot with a rim of the ground's colour."""
    return Circle(at, 3 * PX, role)


def balance(at: Place) -> Circle:
    """A balance angle on the crossing of two curves: an open circle."""
    return Circle(at, 4.5 * PX, "balance")


def lift_off(at: Place) -> Polygon:
    """Where the panel begins to rise by itself: a filled triangle on its tip."""
    x, y = at
    return Polygon(((x, y), (x - 4.5 * PX, y + 7 * PX), (x + 4.5 * PX, y + 7 * PX)), "lift_off")


def verdict(state: str, at: Place, size: float = SIGN_SIZE) -> Group:
    """The sign of a state, `size` high: fails, passes, not judged, assumed.

    Filled square with cross, ring with tick, dashed ring with dash, open diamond with wave.
    """
    make = {
        "fails": _fails,
        "passes": _passes,
        "not judged": _not_judged,
        "assumed": _assumed,
    }[state]
    return Group(make(at, size / 2.0), state)


def _fails(at: Place, half: float) -> tuple[Shape, ...]:
    x, y = at
    side, arm = 0.85 * half, 0.42 * half
    square = (
        (x - side, y - side),
        (x + side, y - side),
        (x + side, y + side),
        (x - side, y + side),
    )
    return (
        Polygon(square, "fail_sign"),
        Polyline(((x - arm, y - arm), (x + arm, y + arm)), "fail_stroke"),
        Polyline(((x - arm, y + arm), (x + arm, y - arm)), "fail_stroke"),
    )


def _passes(at: Place, half: float) -> tuple[Shape, ...]:
    x, y = at
    tick = (
        (x - 0.40 * half, y),
        (x - 0.08 * half, y - 0.34 * half),
        (x + 0.44 * half, y + 0.32 * half),
    )
    return Circle(at, 0.85 * half, "passes_sign"), Polyline(tick, "passes_sign")


def _not_judged(at: Place, half: float) -> tuple[Shape, ...]:
    x, y = at
    dash = Polyline(((x - 0.4 * half, y), (x + 0.4 * half, y)), "not_judged_stroke")
    return Circle(at, 0.85 * half, "not_judged_sign"), dash


def _assumed(at: Place, half: float) -> tuple[Shape, ...]:
    x, y = at
    reach, wave = 0.95 * half, 0.22 * half
    diamond = ((x - reach, y), (x, y - reach), (x + reach, y), (x, y + reach))
    return (
        Polygon(diamond, "assume_sign"),
        Arc((x - wave, y), wave, math.pi, -math.pi, "assume_sign"),
        Arc((x + wave, y), wave, math.pi, math.pi, "assume_sign"),
    )
