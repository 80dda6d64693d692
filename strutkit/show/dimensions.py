"""Running dimensions: the builder's tape from the hinge line.

One line with a small circle at 0, an arrow at each point and its figure. Figures are moved
apart, never dropped; a moved one gets an extension line with a kink.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from strutkit.show.placing import spread
from strutkit.show.shapes import Circle, Place, Polyline, Shape, Text
from strutkit.show.style import PX, Medium
from strutkit.show.symbols import HEAD_LENGTH, ORIGIN_RADIUS, head

STOP_SHORT = 14 * PX
"""Extension lines end so far before their point [mm]."""
OVERSHOOT = 4 * PX
FIGURE_GAP = 1.25
"""Least distance of figures in text heights."""
LEAST_KINK = 8 * PX
"""Room outside the line for the kink of moved figures; more where one moves farther."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A point to be dimensioned: its place in the picture [mm] and its figure."""

    at: Place
    figure: str


def heights(
    points: Sequence[Measured], origin: Place, line_x: float, medium: Medium
) -> list[Shape]:
    """Heights from the hinge line on an upright line at line_x, figures level beside it.

    Figures stand on the outer side of the line (left of it where it lies left of the origin).
    """
    outer = -1.0 if line_x < origin[0] else 1.0
    run = _Run(points, origin, line_x, outer, upright=True)
    return _shapes(run, medium)


def depths(points: Sequence[Measured], origin: Place, line_y: float, medium: Medium) -> list[Shape]:
    """Depths from the hinge line on a level line at line_y, figures read from the right."""
    outer = 1.0 if line_y > origin[1] else -1.0
    run = _Run(points, origin, line_y, outer, upright=False)
    return _shapes(run, medium)


@dataclass(frozen=True, slots=True)
class _Run:
    """A run of dimensions. along: coordinate that is measured; across: square to it."""

    points: Sequence[Measured]
    origin: Place
    line: float
    outer: float
    upright: bool

    def along(self, place: Place) -> float:
        return place[1] if self.upright else place[0]

    def across(self, place: Place) -> float:
        return place[0] if self.upright else place[1]

    def place(self, along: float, across: float) -> Place:
        return (across, along) if self.upright else (along, across)


def _shapes(run: _Run, medium: Medium) -> list[Shape]:
    zero = run.along(run.origin)
    points = sorted(_merged(run), key=lambda one: run.along(one.at))
    levels = sorted({zero, *(run.along(one.at) for one in points)})
    shapes: list[Shape] = [
        Polyline((run.place(levels[0], run.line), run.place(levels[-1], run.line)), "dimension"),
        _extension(run, run.origin, reach=run.across(run.origin)),
    ]
    for one in points:
        shapes.append(_extension(run, one.at, reach=_short_of(run, one.at)))
        level = run.along(one.at)
        away = math.copysign(1.0, level - zero)
        if abs(level - zero) >= HEAD_LENGTH:
            shapes.append(head(run.place(level, run.line), run.place(away, 0.0), "arrow_head"))
        else:
            shapes.append(Circle(run.place(level, run.line), 1.5 * PX, "arrow_head"))
    shapes.append(Circle(run.place(zero, run.line), ORIGIN_RADIUS, "dimension_end"))
    shapes.extend(_figures(run, points, medium))
    return shapes


def _merged(run: _Run) -> list[Measured]:
    """One entry for each figure at one place; the point farthest from the line keeps its line."""
    zero = run.along(run.origin)
    kept: dict[tuple[str, float], Measured] = {}
    off_zero = (one for one in run.points if abs(run.along(one.at) - zero) > 0.05)
    for one in off_zero:
        key = (one.figure, round(run.along(one.at), 2))
        far = abs(run.across(one.at) - run.line)
        if key not in kept or far > abs(run.across(kept[key].at) - run.line):
            kept[key] = one
    return list(kept.values())


def _short_of(run: _Run, at: Place) -> float:
    across = run.across(at)
    if abs(across - run.line) <= STOP_SHORT:
        return across
    return across + run.outer * STOP_SHORT


def _extension(run: _Run, at: Place, reach: float) -> Shape:
    level = run.along(at)
    start = run.line + run.outer * OVERSHOOT
    return Polyline((run.place(level, start), run.place(level, reach)), "dimension")


def _figures(run: _Run, points: Sequence[Measured], medium: Medium) -> list[Shape]:
    """Figures outside the line, moved apart; 0 at the origin."""
    zero = run.along(run.origin)
    entries = sorted([(zero, "0"), *((run.along(one.at), one.figure) for one in points)])
    gap = FIGURE_GAP * medium.figure
    places = spread([level for level, _ in entries], gap)
    move = max(abs(new - old) for new, (old, _) in zip(places, entries, strict=True))
    moved = move > 0.02
    kink = max(LEAST_KINK, move) if moved else 0.0
    stand = run.line + run.outer * (OVERSHOOT + kink + 2 * PX)
    shapes: list[Shape] = []
    for place, (level, text) in zip(places, entries, strict=True):
        if moved:
            shapes.append(_kinked(run, level, place, stand - run.outer * 2 * PX))
        shapes.append(_figure(run, place, stand, text, medium))
    return shapes


def _kinked(run: _Run, level: float, place: float, end: float) -> Shape:
    """From the extension line's end to the moved figure: one 45° piece, then straight."""
    start = run.line + run.outer * OVERSHOOT
    bend = start + run.outer * abs(place - level)
    points = [run.place(level, start), run.place(place, bend)]
    if abs(end - bend) > 1e-6:
        points.append(run.place(place, end))
    return Polyline(tuple(points), "dimension")


def _figure(run: _Run, place: float, stand: float, text: str, medium: Medium) -> Text:
    size = medium.figure
    role = "text"
    if run.upright:
        anchor = "end" if run.outer < 0.0 else "start"
        return Text((stand, place - 0.36 * size), text, role, size, anchor=anchor)
    anchor = "start" if run.outer > 0.0 else "end"
    return Text((place + 0.36 * size, stand), text, role, size, anchor=anchor, angle=math.pi / 2)
