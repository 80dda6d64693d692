"""A true-size drawing cut into sheets of paper: as few as will do, no key point at an edge."""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.show.letters import Box, bounds, text_box
from strutkit.show.shapes import Circle, Place, Polygon, Polyline, Shape, Text, flat

STEP = 8.0
"""Offsets of the cut are tried so far apart [mm], and those that just clear a key point or end."""

CLEAR = 60.0
"""Key points should stand so far from the edges of their window [mm]; more is no better."""

LEAST_CLEAR = 10.0
"""Nearer to an edge than this [mm] a key point costs more than a further sheet."""

SAMPLE = 6.0
"""Lines count as points so far apart [mm] where windows are found empty."""

Tile = tuple[int, int]
"""Column from the left and row from the top, from 0."""

Floats = npt.NDArray[np.float64]


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

    @property
    def cost(self) -> tuple[bool, int, bool, float]:
        """What is to be least: a key point at an edge, sheets, long side, nearness to edges."""
        clear = min(self.clear, CLEAR)
        return self.clear < LEAST_CLEAR, len(self.kept), self.flipped, -clear


def cut(
    shapes: Sequence[Shape],
    key_points: Sequence[Place],
    windows: tuple[tuple[float, float], tuple[float, float]],
) -> Tiling:
    """The best cut of a drawing into windows of upright or flipped paper [mm].

    No key point at an edge, then fewest sheets, then upright, then key points clear of edges.
    """
    points, box = _samples(shapes), bounds(shapes)
    tilings = (
        _tiling(points, key_points, box, windows[0], False),
        _tiling(points, key_points, box, windows[1], True),
    )
    return min(tilings, key=lambda one: one.cost)


def _tiling(
    points: Floats,
    key_points: Sequence[Place],
    box: Box,
    size: tuple[float, float],
    flipped: bool,
) -> Tiling:
    """The best offsets of one grid of windows: all are tried."""
    left, bottom, right, top = box
    columns = math.ceil((right - left) / size[0]) + 1
    rows = math.ceil((top - bottom) / size[1]) + 1
    keys = np.array(key_points)
    from_left, from_top = keys[:, 0] - left, top - keys[:, 1]
    across = _offsets([0.0, right - left], from_left, size[0])
    down = _offsets([0.0, top - bottom], from_top, size[1])
    in_column = _held(points[:, 0] - left, across, size[0], columns)
    in_row = _held(top - points[:, 1], down, size[1], rows)
    held = in_column.reshape(-1, len(points)) @ in_row.reshape(-1, len(points)).T
    filled = held.reshape(len(across), columns, len(down), rows).transpose(0, 2, 3, 1) > 0.5
    sheets = filled.sum(axis=(2, 3))
    clear = np.minimum(
        _clearance(from_left, across, size[0])[:, None],
        _clearance(from_top, down, size[1])[None, :],
    )
    order = np.lexsort(
        (-np.minimum(clear, CLEAR).ravel(), sheets.ravel(), (clear < LEAST_CLEAR).ravel())
    )
    best = np.unravel_index(int(order[0]), clear.shape)
    kept = np.argwhere(filled[best])
    first_row, first_column = kept.min(axis=0).tolist()
    last_row, last_column = kept.max(axis=0).tolist()
    corner = (
        left - float(across[best[0]]) + first_column * size[0],
        top + float(down[best[1]]) - first_row * size[1],
    )
    return Tiling(
        size[0],
        size[1],
        corner,
        last_column - first_column + 1,
        last_row - first_row + 1,
        tuple((int(column) - first_column, int(row) - first_row) for row, column in kept),
        flipped,
        float(clear[best]),
    )


def _offsets(ends: Sequence[float], keys: Floats, width: float) -> Floats:
    """Offsets worth trying: a coarse grid, ends just held, key points just clear of an edge."""
    just = 1e-3
    tight = [way * just - end for end in ends for way in (1.0, -1.0)]
    for key in keys:
        tight += [LEAST_CLEAR + just - key, -LEAST_CLEAR - just - key]
    return np.concatenate([np.arange(0.0, width, STEP), np.mod(tight, width)])


def _held(places: Floats, offsets: Floats, width: float, count: int) -> npt.NDArray[np.float32]:
    """1 where a window holds a place, for each offset [offsets, count, places]."""
    window = np.floor((places[None, :] + offsets[:, None]) / width)
    window = np.clip(window, 0, count - 1)
    return (window[:, None, :] == np.arange(count)[None, :, None]).astype(np.float32)


def _clearance(places: Floats, offsets: Floats, width: float) -> Floats:
    """Least distance of the places from an edge, for each offset [mm]."""
    inside = np.mod(places[None, :] + offsets[:, None], width)
    return np.asarray(np.minimum(inside, width - inside).min(axis=1))


def _samples(shapes: Sequence[Shape]) -> Floats:
    """Points along all lines, round all circles and amid all texts."""
    found: list[Place] = []
    for shape in flat(shapes):
        if isinstance(shape, Text):
            left, bottom, right, top = text_box(shape)
            found += [(left, bottom), (right, top), ((left + right) / 2.0, (bottom + top) / 2.0)]
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
    return np.unique(np.array(found, dtype=float).reshape(-1, 2).round(3), axis=0)
