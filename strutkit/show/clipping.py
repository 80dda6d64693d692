"""What of a drawing lies in a box: a tile of paper, the near of a ball."""

from collections.abc import Sequence

from strutkit.show.letters import Box, bounds
from strutkit.show.shapes import Group, Place, Polyline, Shape, Text, moved


def clipped(shape: Shape, box: Box) -> list[Shape]:
    """What of a line, circle or text lies in a box: lines are cut, the rest is in or out."""
    if isinstance(shape, Group):
        return [part for one in shape.shapes for part in clipped(one, box)]
    if not isinstance(shape, Polyline):
        middle = bounds([shape])
        x, y = (middle[0] + middle[2]) / 2.0, (middle[1] + middle[3]) / 2.0
        inside = box[0] <= x <= box[2] and box[1] <= y <= box[3]
        return [shape] if inside else []
    return [Polyline(piece, shape.role) for piece in _pieces(shape.points, box) if len(piece) > 1]


def _pieces(points: Sequence[Place], box: Box) -> list[tuple[Place, ...]]:
    from shapely import LineString
    from shapely import box as rectangle

    inside = LineString(points).intersection(rectangle(*box))
    parts = getattr(inside, "geoms", [inside])
    return [
        tuple((float(x), float(y)) for x, y in part.coords)
        for part in parts
        if isinstance(part, LineString) and not part.is_empty
    ]


def kept_in(shape: Shape, box: Box) -> Shape:
    """A text that an edge would cut is moved in."""
    if not isinstance(shape, Text):
        return shape
    left, bottom, right, top = bounds([shape])
    across = max(0.0, box[0] - left) - max(0.0, right - box[2])
    up = max(0.0, box[1] - bottom) - max(0.0, top - box[3])
    return moved(shape, across, up)
