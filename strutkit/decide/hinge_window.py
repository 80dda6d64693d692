"""For which charges either hinge point, or both together, carry no more than a limit.

With the charge times p the radial force of a point is v0 + p v1, so

    |v1|² p² + 2 (v0 · v1) p + |v0|² - limit² <= 0

has at most one interval of p at every angle, held by the hand and in each case at rest
(model sections 3 and 4, 11.15 and 11.16).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.compute import statics
from strutkit.decide.conditions import hinge_axis
from strutkit.decide.loads import Reactions, holders_at_end, unit_reactions
from strutkit.decide.sweep import travel_angles
from strutkit.describe.records import Condition, Door

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class HingeWindow:
    """Reactions of one door with one travel, ready for any charge.

    Held by the hand at every node, shut and latched among them (the latch holds at the handle),
    and at the end of travel by each of the holders there.
    """

    nodes: Floats
    held: Reactions
    at_end: tuple[Reactions, ...]

    def edges(
        self, model: statics.Statics, share: Floats, limit: float, *, together: bool
    ) -> tuple[Floats, Floats]:
        """Lowest and highest factor on the charge [r] for rows of `model`, its conditions again
        and again.

        share [r, s] of each gas force scales. together: the force of both points, held by the
        hand; else the greater of the two, with the cases at rest.
        """
        at = statics.moments(model, self.nodes)
        kept, scaled = (
            at.strut_force * (1.0 - share[:, :, None]),
            at.strut_force * share[:, :, None],
        )
        low, high = _interval(*self.held.forces(kept, scaled, together=together), limit)
        tightest = _peak(low), -_peak(-high)
        if not together:
            turning = at.lever_arm[:, -1]
            weight = at.gravity_moment[:, -1]
            fixed = weight + (kept[:, :, -1] * turning).sum(axis=1)
            growing = (scaled[:, :, -1] * turning).sum(axis=1)
            by_hand = low[:, -1], high[:, -1]
            for one in self.at_end:
                forces = one.forces(kept[:, :, -1:], scaled[:, :, -1:], together=False)
                case_low, case_high = (edge[:, 0] for edge in _interval(*forces, limit))
                case = _where_it_is(case_low, case_high, by_hand, fixed, growing)
                tightest = np.maximum(tightest[0], case[0]), np.minimum(tightest[1], case[1])
        return tightest[0].max(axis=1), tightest[1].min(axis=1)


def hinge_window(
    door: Door, conditions: Sequence[Condition], model: statics.Statics
) -> HingeWindow:
    """For conditions that share one travel, that of `model`."""
    end = float(model.end[0])
    nodes = travel_angles(end)
    held = unit_reactions(door, conditions, nodes)
    ends = holders_at_end(door, model)
    at_end = tuple(unit_reactions(door, conditions, nodes[-1:], holder) for holder in ends)
    axis = hinge_axis(door)[1]
    across = np.linalg.svd(axis[None, :])[2][1:]
    return HingeWindow(nodes, held.seen(across), tuple(one.seen(across) for one in at_end))


def _interval(v0: Floats, v1: Floats, limit: float) -> tuple[Floats, Floats]:
    """Roots of |v0 + p v1|² = limit² [...]; low above high where no p does."""
    a = np.sum(v1 * v1, axis=-1)
    b = np.sum(v0 * v1, axis=-1)
    c = np.sum(v0 * v0, axis=-1) - limit**2
    inside = b * b - a * c
    reachable = np.where(a > 0.0, inside >= 0.0, c <= 0.0)
    width = np.sqrt(np.maximum(inside, 0.0))
    low = np.divide(-b - width, a, out=np.full_like(a, -np.inf), where=a > 0.0)
    high = np.divide(-b + width, a, out=np.full_like(a, np.inf), where=a > 0.0)
    return np.where(reachable, low, np.inf), np.where(reachable, high, -np.inf)


def _peak(values: Floats) -> Floats:
    """Greatest value [r, p] over evenly spaced nodes [r, n, p], between them by the parabola
    through the best three."""
    best = values.argmax(axis=1)[:, None, :]
    top = np.take_along_axis(values, best, axis=1)[:, 0]
    last = values.shape[1] - 1
    before, after = (
        np.take_along_axis(values, np.clip(best + move, 0, last), axis=1)[:, 0] for move in (-1, 1)
    )
    inner = (best[:, 0] > 0) & (best[:, 0] < last) & np.isfinite(before + top + after)
    before, here, after = (np.where(inner, one, 0.0) for one in (before, top, after))
    bend = before - 2.0 * here + after
    bends = bend < 0.0
    more = np.where(bends, (before - after) ** 2 / (8.0 * np.where(bends, -bend, 1.0)), 0.0)
    return np.asarray(top + more)


def _where_it_is(
    low: Floats, high: Floats, by_hand: tuple[Floats, Floats], fixed: Floats, growing: Floats
) -> tuple[Floats, Floats]:
    """Factors that a case at rest leaves, if it is there only where the net moment is positive.

    Edges [r, p] of the case and of the same place held by the hand; net moment
    fixed + p · growing [r]. Where it passes zero the case and the hand are one, so together they
    leave one interval: the side without the case is free, unless the hand allows only the other.
    """
    turn = np.divide(-fixed, growing, out=np.zeros_like(fixed), where=growing != 0.0)[:, None]
    above, below = (growing > 0.0)[:, None], (growing < 0.0)[:, None]
    always = (growing == 0.0)[:, None] & (fixed > 0.0)[:, None]
    reachable = low <= high
    low_above = np.where((low > turn) & (by_hand[0] > turn), low, -np.inf)
    high_above = np.where(reachable & (high >= turn), high, turn)
    low_below = np.where(reachable & (low <= turn), low, turn)
    high_below = np.where((high < turn) & (by_hand[1] < turn), high, np.inf)
    return (
        np.select([above, below, always], [low_above, low_below, low], -np.inf),
        np.select([above, below, always], [high_above, high_below, high], np.inf),
    )
