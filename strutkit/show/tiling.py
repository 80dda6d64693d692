"""A true-size drawing cut into sheets of paper: as few as will do, no key point at an edge."""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from strutkit.show.letters import Box, text_box
from strutkit.show.shapes import Circle, Place, Polygon, Polyline, Shape, Text, flat

STEP = 1.0
"""Offsets of the cut are tried so far apart [mm]."""

CLEAR = 15.0
"""Key points should stand so far from the edges of their window [mm]; more is no better."""

SAMPLE = 2.0
"""Lines count as points so far apart [mm] where windows are found empty."""

Tile = tuple[int, int]
"""Column from the left and row from the top, from 0."""


@dataclass(frozen=True, slots=True)
class Tiling:
    """Equal windows over a drawing, edge to edge.

    width, height of a window [mm]; corner: upper left corner of the first [mm], y upward;
    columns, rows; kept: tiles with something in them, row by row; flipped: paper on its long
    side; clear: least distance of a key point from an edge [mm].
    """

    width: float
    height: float
    corner: Place
    columns: int
    rows: int
    kept: tuple[Tile, ...]
    flipped: bool
    clear: float

    def window(self, tile: Tile) -> Box:
        """Left, bottom, right, top of a tile [mm]."""
        left = self.corner[0] + tile[0] * self.width
        top = self.corner[1] - tile[1] * self.height
        return left, top - self.height, left + self.width, top


def cut(
    shapes: Sequence[Shape],
    key_points: Sequence[Place],
    box: Box,
    windows: tuple[tuple[float, float], tuple[float, float]],
) -> Tiling:
    """The best cut of a drawing that fills `box` into windows of upright or flipped paper [mm].

    Key points clear of the edges first, then fewest sheets, then upright.
    """
    points = _samples(shapes)
    tilings = [
        _tiling(points, key_points, box, size, (more_columns, more_rows), bool(flipped))
        for flipped, size in enumerate(windows)
        for more_columns in (0, 1)
        for more_rows in (0, 1)
    ]
    return min(tilings, key=lambda one: (-min(one.clear, CLEAR), len(one.kept), one.flipped))


def _tiling(
    points: np.ndarray,
    key_points: Sequence[Place],
    box: Box,
    size: tuple[float, float],
    more: tuple[int, int],
    flipped: bool,
) -> Tiling:
    left, bottom, right, top = box
    columns = math.ceil((right - left) / size[0]) + more[0]
    rows = math.ceil((top - bottom) / size[1]) + more[1]
    across, clear_x = _offset(
        [x - left for x, _ in key_points], size[0], columns * size[0] - (right - left)
    )
    down, clear_y = _offset(
        [top - y for _, y in key_points], size[1], rows * size[1] - (top - bottom)
    )
    tiling = Tiling(
        size[0],
        size[1],
        (left - across, top + down),
        columns,
        rows,
        (),
        flipped,
        min(clear_x, clear_y),
    )
    tiles = [(column, row) for row in range(rows) for column in range(columns)]
    return replace(tiling, kept=tuple(one for one in tiles if _holds(tiling.window(one), points)))


def _offset(places: Sequence[float], width: float, slack: float) -> tuple[float, float]:
    """How far to shift the first edge back (0 ... slack), and the clearance that this gives."""
    offsets = np.arange(0.0, slack + 1e-9, STEP)
    inside = np.mod(np.asarray(places)[None, :] + offsets[:, None], width)
    clear = np.minimum(inside, width - inside).min(axis=1)
    enough = np.minimum(clear, CLEAR)
    best = int(np.argmax(enough))
    return float(offsets[best]), float(clear[best])


def _holds(window: Box, points: np.ndarray) -> bool:
    left, bottom, right, top = window
    x, y = points[:, 0], points[:, 1]
    return bool(((x > left) & (x < right) & (y > bottom) & (y < top)).any())


def _samples(shapes: Sequence[Shape]) -> np.ndarray:
    """Points along all lines, round all circles and amid all texts."""
    found: list[Place] = []
    for shape in flat(shapes):
        if isinstance(shape, Text):
            left, bottom, right, top = text_box(shape)
            found.append(((left + right) / 2.0, (bottom + top) / 2.0))
        elif isinstance(shape, Circle):
            x, y = shape.centre
            found += [(x - shape.radius, y), (x + shape.radius, y), (x, y)]
        elif isinstance(shape, (Polyline, Polygon)):
            closed = isinstance(shape, Polygon)
            corners = (*shape.points, shape.points[0]) if closed else shape.points
            for start, end in itertools.pairwise(corners):
                count = max(1, math.ceil(math.dist(start, end) / SAMPLE))
                found += [
                    (
                        start[0] + (end[0] - start[0]) * step / count,
                        start[1] + (end[1] - start[1]) * step / count,
                    )
                    for step in range(count + 1)
                ]
    return np.array(found).reshape(-1, 2)
