"""Pictures as plain data: shapes in mm with a role, y upward, and the box they lie in.

A shape says what it is (`panel`, `strut`, `dimension` ...); how that looks on a light page, a
dark page or in print stands in `style`. SVG, matplotlib and DXF writers draw the same data.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

Place = tuple[float, float]
"""(x, y) [mm], y upward, from the lower left corner of the picture."""


@dataclass(frozen=True, slots=True)
class Polyline:
    """An open line through points; never filled."""

    points: tuple[Place, ...]
    role: str


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed outline, filled as its role says."""

    points: tuple[Place, ...]
    role: str


@dataclass(frozen=True, slots=True)
class Circle:
    """A full circle, filled as its role says."""

    centre: Place
    radius: float
    role: str


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle from the angle `start` by `sweep` [rad], positive anticlockwise."""

    centre: Place
    radius: float
    start: float
    sweep: float
    role: str


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text. `at` is on its base line, at the start, middle or end as anchored.

    size: font size [mm]; angle: turned anticlockwise [rad]; halo: a rim of the ground's colour.
    """

    at: Place
    text: str
    role: str
    size: float
    anchor: str = "start"
    bold: bool = False
    angle: float = 0.0
    halo: bool = True


@dataclass(frozen=True, slots=True)
class Group:
    """Shapes that belong together, with the name of what they show (a strut's name)."""

    shapes: "tuple[Shape, ...]"
    role: str
    name: str = ""


Shape = Polyline | Polygon | Circle | Arc | Text | Group


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Shapes in a box of width by height [mm], lower left corner at (0, 0).

    medium: "screen" or "paper", for line widths and dashes. title, description: what a reader
    who cannot see it is told. scale: mm in the picture for 1 mm of the door, and origin, where
    the hinge line lies in the picture; None for charts.
    """

    width: float
    height: float
    shapes: tuple[Shape, ...]
    title: str
    description: str
    medium: str = "screen"
    scale: float | None = None
    origin: Place | None = None


def flat(shapes: Iterable[Shape]) -> Iterator[Polyline | Polygon | Circle | Arc | Text]:
    """All shapes in drawing order, groups opened up."""
    for shape in shapes:
        if isinstance(shape, Group):
            yield from flat(shape.shapes)
        else:
            yield shape


def moved(shape: Shape, right: float, up: float) -> Shape:
    """The same shape moved by (right, up) [mm]."""
    match shape:
        case Group():
            return replace(shape, shapes=tuple(moved(one, right, up) for one in shape.shapes))
        case Text():
            return replace(shape, at=(shape.at[0] + right, shape.at[1] + up))
        case Circle() | Arc():
            return replace(shape, centre=(shape.centre[0] + right, shape.centre[1] + up))
        case _:
            return replace(shape, points=tuple((x + right, y + up) for x, y in shape.points))
