"""Where texts go: figures moved apart on a line, labels clear of each other and of the drawing."""

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from strutkit.show.letters import Box, overlap, text_box
from strutkit.show.shapes import Arc, Circle, Group, Place, Polyline, Shape, Text, flat
from strutkit.show.style import PX

Floats = npt.NDArray[np.float64]

NOWHERE: Floats = np.empty((0, 2))
NOWHERE.flags.writeable = False


def spread(wanted: Sequence[float], gap: float) -> list[float]:
    """Places at least `gap` apart in the same order, with the least sum of squared moves.

    Pool adjacent violators (isotonic regression) on wanted[i] - i · gap, for rising `wanted`.

    >>> spread([0.0, 1.0, 10.0], 3.0)
    [-1.0, 2.0, 10.0]
    """
    pools: list[tuple[float, int]] = []
    for index, place in enumerate(wanted):
        mean, count = place - index * gap, 1
        while pools and pools[-1][0] > mean:
            earlier, size = pools.pop()
            mean = (mean * count + earlier * size) / (count + size)
            count += size
        pools.append((mean, count))
    level = [mean for mean, count in pools for _ in range(count)]
    return [mean + index * gap for index, mean in enumerate(level)]


@dataclass(frozen=True, slots=True)
class Label:
    """A text that may stand at any of several offsets from its point, the best first.

    offsets: (right, up) [mm] from `at` to the text's nearest side or corner. others: further
    points that it may stand at. avoid: ground [n, 2] that only this label keeps clear of. far: from
    here on [mm] a leader is drawn. optional: left out where it would cover another text.
    """

    at: Place
    text: Text
    offsets: tuple[Place, ...]
    far: float = math.inf
    others: tuple[Place, ...] = ()
    avoid: Floats = field(default_factory=lambda: NOWHERE, compare=False)
    optional: bool = False


NEAR = 7 * PX


def around(
    distances: Sequence[float] = (NEAR, 2 * NEAR, 3.5 * NEAR), first: float = 0.0
) -> tuple[Place, ...]:
    """Offsets in eight directions at rising distances, starting at the angle `first` [rad]."""
    turns = (0, 1, -1, 2, -2, 3, -3, 4)
    return tuple(
        (d * math.cos(first + turn * math.pi / 4), d * math.sin(first + turn * math.pi / 4))
        for d in distances
        for turn in turns
    )


BESIDE = 8 * PX
"""Two texts nearer than this on one line would read as one."""

CROSSED_BY_LEADER = 100.0
"""Cost of a place whose leader would run through another text."""

COVERED = 1000.0
"""Cost of a place where a text would cover another."""


@dataclass(slots=True)
class Layout:
    """Places labels one after the other; each finds the ground that the earlier ones left.

    frame: box that no text may leave. boxes: ground taken; strokes: points [n, 2] of drawn lines,
    which a text may cross only where nothing else is free. crossing: what 0.4 mm of a crossed line
    costs; one place farther down the list costs 0.4.
    """

    frame: Box
    crossing: float = 1.0
    boxes: list[Box] = field(default_factory=list)
    strokes: Floats = field(default_factory=lambda: NOWHERE)

    def block(self, shapes: Iterable[Shape]) -> None:
        """Take the ground of shapes: texts as boxes, lines as points to be kept clear of."""
        lines: list[Shape] = []
        for shape in flat(shapes):
            if isinstance(shape, Text):
                self.boxes.append(text_box(shape))
            else:
                lines.append(shape)
        self.strokes = np.concatenate([self.strokes, _samples(lines)])

    def place(self, label: Label) -> list[Shape]:
        """The text at its best offset, with a leader where it had to go far."""
        points = np.concatenate([self.strokes, label.avoid])
        tried = [(at, offset) for offset in label.offsets for at in (label.at, *label.others)]
        if not tried:
            raise ValueError(f"the label {label.text.text!r} has no offsets.")
        best = (math.inf, label.text, tried[0])
        for order, (at, offset) in enumerate(tried):
            text = _offset_text(label.text, at, offset)
            cost = self._cost(text, points) + 0.4 * order
            if math.hypot(*offset) >= label.far:
                cost += CROSSED_BY_LEADER * self._crossed(_leader(at, text))
            if cost < best[0]:
                best = (cost, text, (at, offset))
            if cost <= 0.4 * order:
                break
        cost, text, (at, offset) = best
        if label.optional and cost >= COVERED:
            return []
        self.boxes.append(text_box(text))
        leader = _leader(at, text) if math.hypot(*offset) >= label.far else []
        self.block(leader)
        return [*leader, text]

    def _crossed(self, leader: Sequence[Shape]) -> int:
        """How many texts a leader runs through."""
        places = _samples(leader).tolist()
        return sum(
            any(left < x < right and bottom < y < top for x, y in places)
            for left, bottom, right, top in self.boxes
        )

    def _cost(self, text: Text, points: Floats) -> float:
        box = text_box(text)
        padded = (box[0] - PX, box[1] - PX, box[2] + PX, box[3] + PX)
        apart = (box[0] - BESIDE, padded[1], box[2] + BESIDE, padded[3])
        cost = COVERED * sum(overlap(padded, taken) for taken in self.boxes)
        cost += 20.0 * sum(overlap(apart, taken) for taken in self.boxes)
        left, bottom, right, top = self.frame
        outside = max(0.0, left - box[0], bottom - box[1], box[2] - right, box[3] - top)
        cost += 2000.0 * (outside > 0.0) + 100.0 * outside
        if len(points):
            x, y = points[:, 0], points[:, 1]
            cost += self.crossing * float(
                np.count_nonzero(
                    (x > padded[0]) & (x < padded[2]) & (y > padded[1]) & (y < padded[3])
                )
            )
        return cost


def _offset_text(text: Text, at: Place, offset: Place) -> Text:
    """The text with its nearest side, or corner from 45° on, at the offset from the point."""
    box = text_box(replace(text, at=(0.0, 0.0), anchor="middle"))
    half_width, half_height = (box[2] - box[0]) / 2.0, (box[3] - box[1]) / 2.0
    length = math.hypot(*offset) or 1.0
    right = max(-1.0, min(1.0, math.sqrt(2.0) * offset[0] / length))
    up = max(-1.0, min(1.0, math.sqrt(2.0) * offset[1] / length))
    x = at[0] + offset[0] + half_width * right
    y = at[1] + offset[1] + half_height * up
    x -= (box[0] + box[2]) / 2.0
    return replace(text, at=(x, y - (box[1] + box[3]) / 2.0), anchor="middle")


def _leader(at: Place, text: Text) -> list[Shape]:
    """One straight piece from the text to the point, ending in a dot."""
    box = text_box(text)
    x = min(max(at[0], box[0]), box[2])
    y = box[1] if at[1] < box[1] else box[3] if at[1] > box[3] else text.at[1]
    return [Polyline(((x, y), at), "leader"), Circle(at, 1.2 * PX, "leader_end")]


SAMPLE = 1.5 * PX


def _samples(shapes: Iterable[Shape]) -> Floats:
    """Points [n, 2] along the outlines of shapes, about 1.5 px apart."""
    arcs: list[Place] = []
    pieces: list[tuple[Place, Place]] = []
    for shape in shapes:
        match shape:
            case Circle():
                arcs.extend(_arc_samples(shape.centre, shape.radius, 0.0, math.tau))
            case Arc():
                arcs.extend(_arc_samples(shape.centre, shape.radius, shape.start, shape.sweep))
            case Text() | Group():
                pass
            case Polyline():
                pieces.extend(itertools.pairwise(shape.points))
            case _:
                pieces.extend(itertools.pairwise((*shape.points, shape.points[0])))
    return np.concatenate([np.reshape(arcs, (-1, 2)), _line_samples(pieces)])


def _arc_samples(centre: Place, radius: float, start: float, sweep: float) -> list[Place]:
    count = max(2, math.ceil(abs(sweep) * radius / SAMPLE))
    angles = [start + sweep * step / count for step in range(count + 1)]
    return [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]


def _line_samples(pieces: Sequence[tuple[Place, Place]]) -> Floats:
    """Points along straight pieces, both ends of each among them."""
    ends = np.reshape(pieces, (-1, 2, 2)).astype(float)
    along = ends[:, 1] - ends[:, 0]
    counts = np.maximum(1, np.ceil(np.hypot(along[:, 0], along[:, 1]) / SAMPLE)).astype(int)
    piece = np.repeat(np.arange(len(ends)), counts + 1)
    step = np.arange(len(piece)) - (np.cumsum(counts + 1) - counts - 1)[piece]
    return np.asarray(ends[piece, 0] + along[piece] * step[:, None] / counts[piece, None])
