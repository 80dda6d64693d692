"""The hinge load over a box: what the hinge line has to carry at least, and where A may lie.

Held by the hand, with everything in the plane square to the hinge line (`rows`),

    R = v + P e^(i (phi + beta))      v = W - (M / r) i e^(i (eta + theta))
    P = F g |B - A| / L               beta = arg(r_B e^(i psi) - r_A)

phi the angle of the frame mount, the one number that lengths and moments do not depend on. Over a
box around its centre, with M, P off by at most dM, dP and beta by at most d,

    |R| >= sqrt(v² + P² + 2 v P cos(min(pi, |phi + beta - arg v| + d + dphi))) - dM / r - dP

since |R| does not change if v is turned back instead of P turned on. A move of the line from A to
B by at most m turns it by at most arcsin(m / |B - A|). The range of phi is cut in pieces; the hull
of those that may hold the limit is what is left of it.

With a drilling error, the same is asked once more of each piece after the move of both mounts that
is worst at its centre, at the few angles where it carries most: a layout moved so has to hold the
limit as well (`moved`).
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from strutkit.decide.search.bounds import ROUNDING
from strutkit.decide.search.ends import last_shared_angle
from strutkit.decide.search.moved import moved_boxes, unit
from strutkit.decide.search.ranges import Boxes, ranges
from strutkit.decide.search.task import Choices, Task

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]
Indices = npt.NDArray[np.intp]

PIECES = 5
PART = 300_000

MOVED_ANGLES = 3
"""At so many angles a piece is asked after the worst move."""

DIFFERENCE = 1e-6
"""Step of the differences [m]."""


def hinge_bounded(
    task: Task,
    choices: Choices,
    boxes: Boxes,
    angle: Floats,
    allowed: Floats,
    ranked: bool,
) -> Boxes:
    """The boxes whose hinge load may be at most allowed [n], their turns cut to where it may.

    angle [k]: where it is asked [rad]. ranked: whether the load is what boxes are ranked by.
    """
    part = max(1, PART // (PIECES * len(angle) * len(task.names)))
    for first in range(0, len(boxes), part):
        some = slice(first, first + part)
        edges = _edges(boxes.turn[some])
        load = _least_loads(task, choices, boxes.take(some), edges, angle, allowed[some])
        held = load <= allowed[some] + ROUNDING
        low = np.where(held, edges[:-1], np.inf).min(axis=0)
        high = np.where(held, edges[1:], -np.inf).max(axis=0)
        boxes.turn[some] = np.stack([low, high], axis=1)
        if ranked:
            boxes.cost[some] = np.maximum(boxes.cost[some], load.min(axis=0) - ROUNDING)
    return boxes.take(boxes.turn[:, 0] <= boxes.turn[:, 1])


def _edges(turn: Floats) -> Floats:
    """Edges of the pieces of each range [pieces + 1, n]."""
    share = np.linspace(0.0, 1.0, PIECES + 1)[:, None]
    return np.asarray(turn[:, 0] + share * (turn[:, 1] - turn[:, 0]))


def _least_loads(
    task: Task, choices: Choices, boxes: Boxes, edges: Floats, angle: Floats, allowed: Floats
) -> Floats:
    """Least of the greatest |R| over all angles and conditions, by piece [pieces, n].

    Pieces that may hold what is allowed [n] are asked after a move within the drilling error too.
    """
    every = _loads(task, choices, boxes, edges, angle[:, None])
    load = every.max(axis=(1, 2))
    if task.drilling_error > 0.0 and task.least_opening >= task.stop:
        piece, row = np.nonzero(load <= allowed + ROUNDING)
        some = boxes.take(row)
        some = replace(some, turn=np.stack([edges[piece, row], edges[piece + 1, row]], axis=1))
        moved = _moved_loads(task, choices, some, angle, every[piece, :, :, row])
        load[piece, row] = np.maximum(load[piece, row], moved)
    return np.asarray(load)


def _moved_loads(
    task: Task, choices: Choices, boxes: Boxes, angle: Floats, every: Floats
) -> Floats:
    """Least of the greatest |R| over each box, after the worst move at those angles [k] where it
    carries most without one (every [n, c, k]) [n]."""
    at_angle, load = every.max(axis=1), np.full(len(boxes), -np.inf)
    most = np.argsort(-at_angle, axis=1)[:, :MOVED_ANGLES]
    for node in most.T:
        condition = every[np.arange(len(boxes)), :, node].argmax(axis=1)
        frame, panel = _worst_directions(task, choices, boxes, angle[node], condition)
        moved = moved_boxes(boxes, task.drilling_error, frame, panel)
        least = _loads(task, choices, moved, moved.turn.T, angle[node][None])
        load = np.maximum(load, least.max(axis=(0, 1, 2)))
    return load


def _worst_directions(
    task: Task, choices: Choices, boxes: Boxes, angle: Floats, condition: Indices
) -> tuple[Complexes, Complexes]:
    """Directions of A and of B, from their own radii, along which |R| at each box's centre grows
    fastest, at one angle and in one condition each [n]."""
    row, turned = boxes.choice, np.exp(1j * angle)
    extended, column = choices.extended[row], choices.inverse_column[row]
    gas = choices.gas[row, condition]
    weight = task.gravity_cosine[condition] * turned.real
    weight += task.gravity_sine[condition] * turned.imag
    tangent = 1j * np.exp(1j * task.handle) * turned / task.radius_opening

    def load(frame: Complexes, panel: Complexes) -> Floats:
        line = panel * turned - frame
        length = np.maximum(np.hypot(np.abs(line), task.offset), 1e-9)
        shortest = extended - choices.stroke[row]
        pressed = 1.0 - (extended - np.clip(length, shortest, extended)) * column
        push = gas / pressed / length
        moment = push * (frame.conj() * panel * turned).imag + weight
        return np.asarray(np.abs(task.weight[condition] - moment * tangent + push * line))

    bearing = boxes.turn.mean(axis=1)
    frame = np.exp(1j * bearing)
    panel = frame * np.exp(1j * boxes.phase.mean(axis=1))
    a, b = boxes.frame.mean(axis=1) * frame, boxes.panel.mean(axis=1) * panel
    here, step = load(a, b), DIFFERENCE
    by_frame = load(a + step * frame, b) - here + 1j * (load(a + step * 1j * frame, b) - here)
    by_panel = load(a, b + step * panel) - here + 1j * (load(a, b + step * 1j * panel) - here)
    return unit(by_frame), unit(by_panel)


def _loads(task: Task, choices: Choices, boxes: Boxes, edges: Floats, angle: Floats) -> Floats:
    """Least |R| over each piece between edges [pieces + 1, n] at angles [k, n or 1], -inf where it
    is not asked [pieces, c, k, n]."""
    gas = choices.gas[boxes.choice].T[:, None, :]
    applies = choices.applies[boxes.choice].T
    pressed, spread, arm, arm_spread, bearing, swing = _thrusts(task, choices, boxes, angle)
    moment = gas * arm + task.gravity_moment(angle)
    tangent = 1j * np.exp(1j * (task.handle + angle))
    rest = task.weight[:, None, None] - moment / task.radius_opening * tangent
    push, size = gas * pressed, np.abs(rest)
    loss = gas * (arm_spread / task.radius_opening + spread)
    squares, twice = size**2 + push**2, 2.0 * size * push
    beside = bearing - np.angle(rest)
    asked = applies[:, None, :] & (angle <= last_shared_angle(task, choices, boxes))
    loads = np.empty((len(edges) - 1, *size.shape))
    for number, (low, high) in enumerate(pairwise(edges)):
        apart = np.abs(np.remainder(beside + (low + high) / 2.0 + np.pi, 2.0 * np.pi) - np.pi)
        apart = np.minimum(np.pi, apart + swing + (high - low) / 2.0)
        least = np.sqrt(np.maximum(0.0, squares + twice * np.cos(apart))) - loss
        loads[number] = np.where(asked, least, -np.inf)
    return loads


def _thrusts(
    task: Task, choices: Choices, boxes: Boxes, angle: Floats
) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
    """At each angle [k, n or 1]: push per newton P/F and its spread, phi = J g and its spread, the
    bearing beta and its swing."""
    row = boxes.choice
    extended, column = choices.extended[row], choices.inverse_column[row]
    shortest_possible = extended - choices.stroke[row]
    found = ranges(boxes, task.offset, angle)
    a, b = boxes.frame.mean(axis=1), boxes.panel.mean(axis=1)
    line = b * np.exp(1j * (boxes.phase.mean(axis=1) + angle)) - a
    flat = np.maximum(np.abs(line), 1e-9)
    length = np.hypot(flat, task.offset)
    shortest = np.clip(found.shortest, shortest_possible, extended)
    longest = np.clip(found.longest, shortest_possible, extended)
    strength = [
        1.0 / (1.0 - (extended - one) * column)
        for one in (np.clip(length, shortest_possible, extended), longest, shortest)
    ]
    ratio = [
        np.sqrt(np.maximum(0.0, 1.0 - (task.offset / one) ** 2)) if task.offset else 1.0
        for one in (length, shortest, longest)
    ]
    push = strength[0] * ratio[0]
    spread = np.maximum(strength[2] * ratio[2] - push, push - strength[1] * ratio[1])
    arm = strength[0] * a * b * np.sin(boxes.phase.mean(axis=1) + angle) / length
    high = found.arm_high * np.where(found.arm_high > 0.0, strength[2], strength[1])
    low = found.arm_low * np.where(found.arm_low > 0.0, strength[1], strength[2])
    arm_spread = np.maximum(high - arm, arm - low)
    move = np.ptp(boxes.frame, axis=1) + np.ptp(boxes.panel, axis=1)
    move = (move + boxes.panel[:, 1] * np.ptp(boxes.phase, axis=1)) / 2.0
    share = move / flat
    swing = np.where(share < 1.0, np.arcsin(np.minimum(share, 1.0)), np.pi)
    return push, spread, arm, arm_spread, np.angle(line), swing
