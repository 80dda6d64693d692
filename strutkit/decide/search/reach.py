"""What both zones allow: boxes to start from, boxes cut to what is reachable, layouts in them."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from strutkit.decide.search.layouts import Layouts
from strutkit.decide.search.ranges import Boxes, joined, ranges
from strutkit.decide.search.task import Choices, Task
from strutkit.decide.search.zones import (
    ZoneShape,
    alpha_intervals,
    arcs,
    frame_angles,
)

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]

START_FRAME, START_PANEL, START_PHASE = 0.080, 0.040, np.radians(8.0)
"""Sides of the boxes to start from: r_A, r_B [m], alpha [rad]."""

START_ANGLES = np.radians(12.0)
MOST_SLABS = 60
WEIGHTS = (0.5, 1.0, 0.5)
"""Weights of the sides of a box when it is halved: r_A, r_B, and r_B alpha."""

HALVED = 0.45
"""Every side at least this share of the widest is halved."""


@dataclass(frozen=True, slots=True)
class Reach:
    """The frame zone and the panel zone."""

    frame: ZoneShape
    panel: ZoneShape

    def start(self, task: Task, choices: Choices, slack: float) -> Boxes:
        """Boxes that cover all layouts of all choices whose struts may fit.

        slack [m]: how much shorter or longer than they are the struts count here.
        """
        plain = self._plain_boxes()
        angle = np.linspace(0.0, task.stop, int(np.ceil(task.stop / START_ANGLES)) + 1)
        found = ranges(plain, task.offset, angle)
        shut_least, kept_most = found.shortest[0], found.longest.min(axis=0)
        longest_least = found.shortest.max(axis=0)
        longest_most = np.where(
            _passes_pi(plain, task.stop),
            np.hypot(plain.frame[:, 1] + plain.panel[:, 1], task.offset),
            found.longest.max(axis=0),
        )
        parts = []
        for extended, stroke in sorted(set(zip(choices.extended, choices.stroke, strict=True))):
            members = np.flatnonzero((choices.extended == extended) & (choices.stroke == stroke))
            fits = shut_least <= extended + slack
            stopped = fits & (kept_most >= extended - stroke - slack)
            stopped &= longest_least <= extended + slack
            by_strut = fits & (found.longest[0] >= extended - stroke - slack)
            by_strut &= longest_most >= extended - slack
            for rows, ends in ((stopped, False), (by_strut, True)):
                if rows.any():
                    parts += [_given(plain.take(rows), member, ends) for member in members.tolist()]
        return joined(parts) if parts else plain.take(slice(0, 0))

    def _plain_boxes(self) -> Boxes:
        frame = _slabs(self.frame, START_FRAME)
        panel = _slabs(self.panel, START_PANEL)
        a, b = (grid.ravel() for grid in np.meshgrid(range(len(frame)), range(len(panel))))
        frame_arcs, panel_arcs = arcs(self.frame, *frame.T)[a], arcs(self.panel, *panel.T)[b]
        intervals = alpha_intervals(frame_arcs, panel_arcs)
        row, column = np.nonzero(np.isfinite(intervals[..., 0]))
        low, high = intervals[row, column].T
        pieces = np.maximum(1, np.ceil((high - low) / START_PHASE - 1e-9).astype(int))
        owner = np.repeat(np.arange(len(row)), pieces)
        number = np.arange(len(owner)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
        width = ((high - low) / pieces)[owner]
        phase = low[owner] + number * width
        return self.cut(
            Boxes(
                choice=np.zeros(len(owner), dtype=np.intp),
                frame=frame[a[row[owner]]],
                panel=panel[b[row[owner]]],
                phase=np.stack([phase, phase + width], axis=1),
                by_strut=np.zeros(len(owner), dtype=bool),
                turn=np.tile([-np.inf, np.inf], (len(owner), 1)),
                cost=np.full(len(owner), -np.inf),
            )
        )

    def cut(self, boxes: Boxes) -> Boxes:
        """Boxes with alpha cut to what is reachable, without those that are out of reach."""
        frame_arcs, panel_arcs = self._box_arcs(boxes)
        intervals = alpha_intervals(frame_arcs, panel_arcs)
        low = np.maximum(intervals[..., 0], boxes.phase[:, :1])
        high = np.minimum(intervals[..., 1], boxes.phase[:, 1:])
        there = low <= high
        phase = np.stack(
            [
                np.where(there, low, np.inf).min(axis=1),
                np.where(there, high, -np.inf).max(axis=1),
            ],
            axis=1,
        )
        return replace(boxes, phase=phase).take(np.asarray(there.any(axis=1)))

    def cut_turns(self, boxes: Boxes) -> Boxes:
        """Boxes with the range of the frame mount's angle cut to what both zones allow."""
        frame_arcs, panel_arcs = self._box_arcs(boxes)
        frame_low, frame_high = frame_arcs[..., 0].min(axis=1), frame_arcs[..., 1].max(axis=1)
        panel_low = panel_arcs[..., 0].min(axis=1) - boxes.phase[:, 1]
        panel_high = panel_arcs[..., 1].max(axis=1) - boxes.phase[:, 0]
        low = np.maximum.reduce([frame_low, panel_low, boxes.turn[:, 0]])
        high = np.minimum.reduce([frame_high, panel_high, boxes.turn[:, 1]])
        return replace(boxes, turn=np.stack([low, high], axis=1)).take(low <= high)

    def _box_arcs(self, boxes: Boxes) -> tuple[Floats, Floats]:
        return _slab_arcs(self.frame, boxes.frame), _slab_arcs(self.panel, boxes.panel)

    def centres(self, boxes: Boxes) -> tuple[Layouts, Indices]:
        """The layout nearest to each box's centre that is in reach, and the boxes' rows."""
        a, b = boxes.frame.mean(axis=1), boxes.panel.mean(axis=1)
        frame_arcs, panel_arcs = _radius_arcs(self.frame, a), _radius_arcs(self.panel, b)
        intervals = alpha_intervals(frame_arcs, panel_arcs)
        wanted = boxes.phase.mean(axis=1)
        low = np.maximum(intervals[..., 0], boxes.phase[:, :1])
        high = np.minimum(intervals[..., 1], boxes.phase[:, 1:])
        there = low <= high
        nearest = np.clip(wanted[:, None], low, np.maximum(low, high))
        distance = np.where(there, np.abs(nearest - wanted[:, None]), np.inf)
        pick = distance.argmin(axis=1)
        rows = np.flatnonzero(np.isfinite(distance.min(axis=1)))
        phase = nearest[rows, pick[rows]]
        turns = frame_angles(frame_arcs[rows], panel_arcs[rows], phase)
        turn = _inside_nearest(turns, boxes.turn[rows])
        held = np.isfinite(turn)
        return (
            Layouts(boxes.choice[rows], a[rows], b[rows], phase, turn).take(held),
            rows[held],
        )

    def turns(self, layouts: Layouts) -> Floats:
        """Angles of the frame mount that keep each layout in both zones [m, j, 2].

        A zone's own angles may reach past +-180 degrees, so the phase counts in any turn.
        """
        frame_arcs = arcs(self.frame, layouts.radius_frame, layouts.radius_frame)
        panel_arcs = arcs(self.panel, layouts.radius_panel, layouts.radius_panel)
        several = [
            frame_angles(frame_arcs, panel_arcs, layouts.phase + turn)
            for turn in (0.0, 2.0 * np.pi, -2.0 * np.pi)
        ]
        return np.concatenate(several, axis=1)


def _inside_nearest(intervals: Floats, wanted: Floats) -> Floats:
    """The angle nearest to the middle of `wanted` [n, 2] in intervals [n, j, 2]; nan without any.

    Without bounds on what is wanted it is the middle of the widest interval.
    """
    low, high = intervals[..., 0], intervals[..., 1]
    there = np.asarray(low <= high)
    width = np.where(there, high - np.where(there, low, 0.0), -np.inf)
    rows, widest = np.arange(len(wanted)), width.argmax(axis=1)
    with np.errstate(invalid="ignore"):
        free = (low[rows, widest] + high[rows, widest]) / 2.0
    bounded = np.asarray(np.isfinite(wanted).all(axis=1))
    middle = np.where(bounded, np.where(bounded[:, None], wanted, 0.0).mean(axis=1), free)
    nearest = np.where(there, np.clip(middle[:, None], low, np.maximum(low, high)), np.inf)
    pick = np.where(there, np.abs(nearest - middle[:, None]), np.inf).argmin(axis=1)
    return np.where(there.any(axis=1), nearest[rows, pick], np.nan)


def _slabs(shape: ZoneShape, width: float) -> Floats:
    """Slabs of radius that cover a zone [m, 2]."""
    low, high = shape.radii
    count = int(np.clip(np.ceil((high - low) / width), 1, MOST_SLABS))
    edges = np.linspace(low, high, count + 1)
    return np.stack([edges[:-1], edges[1:]], axis=1)


def _slab_arcs(shape: ZoneShape, slabs: Floats) -> Floats:
    """Arcs of each slab [n, 2], equal ones computed once [n, k, 2]."""
    unique, back = np.unique(slabs[:, 0] + 1j * slabs[:, 1], return_inverse=True)
    return arcs(shape, unique.real.copy(), unique.imag.copy())[back]


def _radius_arcs(shape: ZoneShape, radius: Floats) -> Floats:
    unique, back = np.unique(radius, return_inverse=True)
    return arcs(shape, unique, unique)[back]


def _given(boxes: Boxes, choice: int, by_strut: bool) -> Boxes:
    count = len(boxes)
    return replace(
        boxes,
        choice=np.full(count, choice, dtype=np.intp),
        by_strut=np.full(count, by_strut, dtype=bool),
    )


def _passes_pi(boxes: Boxes, stop: float) -> Flags:
    """Whether psi = pi may lie in the travel of a layout of the box."""
    turns = np.ceil((boxes.phase[:, 0] - np.pi) / (2.0 * np.pi))
    return np.asarray(np.pi + 2.0 * np.pi * turns <= boxes.phase[:, 1] + stop)


def halved(boxes: Boxes) -> Boxes:
    """Each box cut in two, four or eight: every side at least 0.45 of the widest is halved."""
    wide = np.stack(
        [
            WEIGHTS[0] * np.ptp(boxes.frame, axis=1),
            WEIGHTS[1] * np.ptp(boxes.panel, axis=1),
            WEIGHTS[2] * boxes.panel[:, 1] * np.ptp(boxes.phase, axis=1),
        ]
    )
    cut = wide >= HALVED * wide.max(axis=0)
    for side, name in enumerate(("frame", "panel", "phase")):
        rows = cut[side]
        sides = getattr(boxes, name)
        middle = sides.mean(axis=1)
        lower = np.stack([sides[:, 0], np.where(rows, middle, sides[:, 1])], axis=1)
        upper = np.stack([middle, sides[:, 1]], axis=1)[rows]
        boxes = joined(
            [replace(boxes, **{name: lower}), replace(boxes.take(rows), **{name: upper})]
        )
        cut = np.concatenate([cut, cut[:, rows]], axis=1)
    return boxes
