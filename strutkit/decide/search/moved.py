"""Ranges over boxes whose mounts are moved by the drilling error.

Boxes are bounded after the move that is worst at their centre: a layout moved so has to hold the
rules as well, so to ask that alone is a valid relaxation. In radii and phase a move of A by delta
in the direction beta from its own radius gives

    r_A' = |r_A + delta e^(i beta)|        alpha' = alpha - arg(r_A + delta e^(i beta))

and a move of B the same with + in the phase; both grow or fall steadily with the radius where it
is over 2 delta. A mount nearer to the hinge line is taken where it is, which is valid too.
"""

from dataclasses import fields, replace

import numpy as np
import numpy.typing as npt

from strutkit.decide.search.ranges import Boxes, Ranges, psi_ranges

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]


def moved_ranges(
    boxes: Boxes, offset: float, angle: Floats, delta: float, extended: Floats, column: Floats
) -> tuple[Ranges, Ranges]:
    """Ranges over each box after the moves that lower phi = J g most, and raise it most.

    angle [k]; extended length and 1/G of each box's strut [n]; each range [k, n].
    """
    frame_turn, panel_turn = _worst_directions(boxes, offset, angle, extended, column)
    frame = np.where(boxes.frame[:, 0] > 2.0 * delta, delta * frame_turn, 0.0)
    panel = np.where(boxes.panel[:, 0] > 2.0 * delta, delta * panel_turn, 0.0)
    return (
        _after_move(boxes, offset, angle, -frame, -panel),
        _after_move(boxes, offset, angle, frame, panel),
    )


def _worst_directions(
    boxes: Boxes, offset: float, angle: Floats, extended: Floats, column: Floats
) -> tuple[Complexes, Complexes]:
    """Directions of A and of B, from their own radii, along which phi grows fastest [k, n].

    With g' = dg/dL = -g²/G: dphi = g dJ + J g' dL, at the box's centre.
    """
    a, b = boxes.frame.mean(axis=1), boxes.panel.mean(axis=1)
    psi = boxes.phase.mean(axis=1) + angle[:, None]
    cosine, product = np.cos(psi), a * b
    length = np.sqrt((a - b) ** 2 + 2.0 * product * (1.0 - cosine) + offset**2)
    length = np.maximum(length, 1e-9)
    arm = product * np.sin(psi) / length
    g = 1.0 / np.maximum(0.05, 1.0 - (extended - length) * column)
    along = (a - b * cosine) / length, (b - a * cosine) / length, arm
    arms = (
        b * np.sin(psi) / length - arm * along[0] / length,
        a * np.sin(psi) / length - arm * along[1] / length,
        (product * cosine - arm**2) / length,
    )
    by_frame, by_panel, by_phase = (
        g * one - arm * g**2 * column * other for one, other in zip(arms, along, strict=True)
    )
    return unit(by_frame - 1j * by_phase / a), unit(by_panel + 1j * by_phase / b)


def _after_move(
    boxes: Boxes, offset: float, angle: Floats, frame_move: Complexes, panel_move: Complexes
) -> Ranges:
    """Ranges over the boxes with A and B moved [k, n], measured from their own radii."""
    shape = frame_move.shape
    frame = boxes.frame.T[:, None, :] + frame_move
    panel = boxes.panel.T[:, None, :] + panel_move
    back, forth = np.angle(frame), np.angle(panel)
    shift = np.stack([forth.min(axis=0) - back.max(axis=0), forth.max(axis=0) - back.min(axis=0)])
    phase = boxes.phase.T[:, None, :] + shift + angle[:, None]
    count = shape[0] * shape[1]

    def pairs(size: Floats) -> Floats:
        least, most = np.minimum(*size), np.maximum(*size)
        return np.stack([least.ravel(), most.ravel()], axis=1)

    moved = Boxes(
        choice=np.zeros(count, dtype=np.intp),
        frame=pairs(np.abs(frame)),
        panel=pairs(np.abs(panel)),
        phase=phase.reshape(2, count).T,
        by_strut=np.zeros(count, dtype=bool),
        turn=np.zeros((count, 2)),
        cost=np.zeros(count),
    )
    low, high = np.exp(1j * moved.phase.T)
    found = psi_ranges(moved, offset, low[None], high[None])
    return Ranges(*(getattr(found, field.name).reshape(shape) for field in fields(Ranges)))


def moved_boxes(boxes: Boxes, delta: float, frame: Complexes, panel: Complexes) -> Boxes:
    """The boxes with A and B moved by delta in a direction each, from their own radii [n]."""
    moves = [
        delta * np.where(radii[:, 0] > 2.0 * delta, direction, 0.0)
        for radii, direction in ((boxes.frame, frame), (boxes.panel, panel))
    ]
    a, b = (radii.T + move for radii, move in zip((boxes.frame, boxes.panel), moves, strict=True))
    turned, swung = np.sort(np.angle(a), axis=0), np.sort(np.angle(b), axis=0)
    return replace(
        boxes,
        frame=np.sort(np.abs(a), axis=0).T,
        panel=np.sort(np.abs(b), axis=0).T,
        phase=boxes.phase + (swung - turned[::-1]).T,
        turn=boxes.turn + turned.T,
    )


def unit(direction: Complexes) -> Complexes:
    """The direction at length 1; 1 where there is none."""
    size = np.abs(direction)
    return np.divide(direction, size, out=np.ones_like(direction), where=size > 0.0)
