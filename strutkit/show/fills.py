"""Fills and edges made of plain shapes: tints, friction dots, ticks of a limit."""

import math

import numpy as np
import numpy.typing as npt

from strutkit.show.shapes import Circle, Place, Polygon, Polyline
from strutkit.show.style import PX

Floats = npt.NDArray[np.float64]

DOT_SPACING = 5 * PX
DOT_RADIUS = 0.8 * PX
TICK_LENGTH = 6 * PX
TICK_SPACING = 7 * PX


def dots(x: Floats, low: Floats, high: Floats, role: str) -> list[Circle]:
    """Dots each 5 px between two curves over the same rising x [mm], every second row offset."""
    found: list[Circle] = []
    rise = DOT_SPACING / 2.0
    rows = range(math.ceil(float(np.min(low)) / rise), math.floor(float(np.max(high)) / rise) + 1)
    for row in rows:
        shift = rise if row % 2 else 0.0
        first = math.ceil((x[0] + DOT_RADIUS - shift) / DOT_SPACING)
        last = math.floor((x[-1] - DOT_RADIUS - shift) / DOT_SPACING)
        across = np.arange(first, last + 1) * DOT_SPACING + shift
        level = row * rise
        held = (np.interp(across, x, low) + DOT_RADIUS <= level) & (
            level <= np.interp(across, x, high) - DOT_RADIUS
        )
        found.extend(Circle((float(place), level), DOT_RADIUS, role) for place in across[held])
    return found


def limit_line(
    start: Place, end: Place, forbidden_left: bool, spacing: float = TICK_SPACING
) -> list[Polyline]:
    """A limit: an ink line with 45° ticks on its forbidden side, left or right of start to end."""
    (x0, y0), (x1, y1) = start, end
    length = math.hypot(x1 - x0, y1 - y0)
    along = ((x1 - x0) / length, (y1 - y0) / length)
    square = (-along[1], along[0]) if forbidden_left else (along[1], -along[0])
    reach = TICK_LENGTH / math.sqrt(2.0)
    lines = [Polyline((start, end), "limit")]
    count = int((length - reach) // spacing)
    for step in range(count + 1):
        at = (x0 + along[0] * step * spacing, y0 + along[1] * step * spacing)
        tip = tuple(a + reach * (u + v) for a, u, v in zip(at, along, square, strict=True))
        lines.append(Polyline((at, (tip[0], tip[1])), "limit_tick"))
    return lines


def between(x: Floats, low: Floats, high: Floats, role: str) -> Polygon:
    """The area between two curves over the same x."""
    there = [(float(a), float(b)) for a, b in zip(x, high, strict=True)]
    back = [(float(a), float(b)) for a, b in zip(x[::-1], low[::-1], strict=True)]
    return Polygon(tuple(there + back), role)
