"""Layouts judged exactly: the cost of every rule, over all angles and conditions in service.

Model sections 3, 4 and 11. A layout is a choice of strut and count with radii r_A, r_B and phase
alpha (`zones`); for the hinge load also the angle phi of A. With psi = alpha + theta

    L² = (r_A - r_B)² + 4 r_A r_B sin²(psi/2) + w²        J = dL/dtheta = r_A r_B sin(psi) / L
    M = F J / (1 - (Lext - L)/G) + Mg        Mf = f |J| + Mh

F and f those of all struts of the choice. A cost is a rule's value with the sign that makes less
better (`task.SIGNS`); a limit is the greatest cost allowed:

    hand_opening   max (Mf - M) / r        hand_closing   max (Mf + M) / r_closing
    lift_off       last root of M - Mf     latch          M(0) / r
    reserve        min M / |Mg|            reserve_force  min M / r     (over the reserve span)
    travel         stroke kept at each end          hinge_resultant   max |R|

Peaks are closed in on between the nodes. A layout whose strut does not fit has all costs infinite.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.compute import geometry
from strutkit.compute.statics import Statics
from strutkit.decide.search import task as names
from strutkit.decide.search.layouts import Layouts, Others, lengths_and_arms
from strutkit.decide.search.task import Choices, Task
from strutkit.decide.search.travel import measure_travel
from strutkit.decide.summary import SPAN_NODES

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]
Curve = Callable[[Floats], Floats]

FINE = np.radians(1.0)
COARSE = np.radians(2.0)
ALL = tuple(range(len(names.RULES)))
ROUNDS, NINE = 2, np.linspace(0.0, 1.0, 9)
"""Rounds of nine angles by which a peak is closed in on."""

PART = 400_000
"""Numbers in one array at a time."""


@dataclass(frozen=True, slots=True)
class Judge:
    """The task, the choices and the other struts (None: none), ready to judge layouts."""

    task: Task
    choices: Choices
    others: Others | None = None

    def costs(
        self,
        layouts: Layouts,
        *,
        wanted: tuple[int, ...] = ALL,
        step: float = FINE,
    ) -> Floats:
        """Cost of every wanted rule [m, 9], -inf where not wanted, inf where nothing fits.

        Angles at most `step` apart [rad].
        """
        count = max(2, int(np.ceil(self.task.stop / step - 1e-9)) + 1)
        part = max(1, PART // (count * len(self.task.names)))
        pieces = [
            self._costs(layouts.take(slice(start, start + part)), wanted, count)
            for start in range(0, len(layouts), part)
        ]
        return np.concatenate(pieces) if pieces else np.zeros((0, len(ALL)))

    def _costs(self, layouts: Layouts, wanted: tuple[int, ...], count: int) -> Floats:
        costs = np.full((len(layouts), len(ALL)), -np.inf)
        travel = measure_travel(self, layouts)
        costs[~travel.fits] = np.inf
        if not travel.fits.any():
            return costs
        kept = Kept(self, layouts.take(travel.fits), travel.end[travel.fits], count)
        found = np.full((len(kept.end), len(ALL)), -np.inf)
        for rule in wanted:
            if rule == names.COMPRESSED:
                found[:, rule] = -travel.compressed[travel.fits]
            elif rule == names.EXTENDED:
                found[:, rule] = -travel.extended[travel.fits]
            else:
                found[:, rule] = _MEASURES[rule](kept)
        costs[travel.fits] = found
        return costs


class Kept:
    """Layouts that fit, with their moments at the nodes; what each rule is measured on."""

    def __init__(self, judge: Judge, layouts: Layouts, end: Floats, count: int) -> None:
        self.judge, self.layouts, self.end = judge, layouts, end
        choice = layouts.choice
        self.gas = judge.choices.gas[choice][:, :, None]
        self.friction = judge.choices.friction[choice][:, None, None]
        self.extended = judge.choices.extended[choice][:, None, None]
        self.stroke = judge.choices.stroke[choice][:, None, None] + geometry.LENGTH_SLACK
        self.inverse_column = judge.choices.inverse_column[choice][:, None, None]
        self.applies = judge.choices.applies[choice]
        self.angle = end[:, None] * np.linspace(0.0, 1.0, count)
        self.free, self.rubbing = self.moments(self.angle[:, None, :])

    def moments(self, angle: Floats) -> tuple[Floats, Floats]:
        """M [m, c, k] and Mf [m, 1 or c, k] at angles [m, 1 or c, k]."""
        task = self.judge.task
        length, arm = lengths_and_arms(self.layouts, task.offset, angle)
        pressed = 1.0 - np.minimum(self.extended - length, self.stroke) * self.inverse_column
        weight = task.gravity_cosine[:, None] * np.cos(angle) + task.gravity_sine[:, None] * np.sin(
            angle
        )
        free = self.gas * (arm / pressed) + weight
        rubbing = self.friction * np.abs(arm) + task.hinge_friction
        if self.judge.others is None:
            return free, rubbing
        more, more_rubbing = _other_moments(self.judge.others.statics, angle)
        return free + more, rubbing + more_rubbing

    def greatest(self, values: Floats, curve: Curve, angle: Floats | None = None) -> Floats:
        """Greatest value over nodes [m, k] and conditions, refined between the nodes [m].

        values [m, c, k] at the nodes; curve: the same at angles [m, c, any]. Beside the best node
        nine angles are looked at, then nine round the best of those, then the parabola's vertex.
        """
        nodes = self.angle if angle is None else angle
        best = values.argmax(axis=2)
        at_best = np.take_along_axis(values, best[:, :, None], axis=2)[:, :, 0]
        at_best = np.where(self.applies, at_best, -np.inf)
        last = nodes.shape[1] - 1
        if last < 2:
            return np.asarray(at_best.max(axis=1))
        rows = np.arange(len(nodes))[:, None]
        low, high = (nodes[rows, np.clip(best + move, 0, last)] for move in (-1, 1))
        fine = float((nodes[:, 1] - nodes[:, 0]).max(initial=0.0)) <= FINE * 1.01
        for _ in range(ROUNDS if fine else 0):
            places = low[:, :, None] + (high - low)[:, :, None] * NINE
            top = curve(places).argmax(axis=2)[:, :, None]
            low, high = (
                np.take_along_axis(places, np.clip(top + move, 0, 8), axis=2)[:, :, 0]
                for move in (-1, 1)
            )
        around = curve(low[:, :, None] + (high - low)[:, :, None] * np.array([0.0, 0.5, 1.0]))
        vertex = (low + high) / 2.0 + _shift(around) * (high - low) / 2.0
        refined = np.maximum(around.max(axis=2), curve(vertex[:, :, None])[:, :, 0])
        refined = np.where(self.applies, refined, -np.inf)
        return np.asarray(np.maximum(at_best, refined).max(axis=1))


def _shift(around: Floats) -> Floats:
    """Vertex of the parabola through values at -1, 0 and 1 [m, c, 3], within -1...1 [m, c]."""
    before, here, after = np.moveaxis(np.nan_to_num(around), 2, 0)
    bend = before - 2.0 * here + after
    bends = bend < 0.0
    shift = 0.5 * (before - after) / np.where(bends, bend, 1.0)
    return np.clip(np.where(bends, shift, 0.0), -1.0, 1.0)


def _other_moments(others: Statics, angle: Floats) -> tuple[Floats, Floats]:
    """Gas moment [m, c, k] and friction moment of the other struts at angles [m, 1 or c, k]."""
    length, arm = geometry.lengths_and_arms(others.geometry, angle)
    pressed = 1.0 - (others.extended_length[:, None] - length) * others.inverse_column[:, None]
    gas = np.sum(others.force_extended[None, :, :, None] * (arm / pressed), axis=2)
    return np.asarray(gas), np.asarray(np.sum(others.friction[:, None] * np.abs(arm), axis=2))


def _hand_opening(kept: Kept) -> Floats:
    def curve(angle: Floats) -> Floats:
        free, rubbing = kept.moments(angle)
        return np.asarray(rubbing - free)

    peak = kept.greatest(kept.rubbing - kept.free, curve)
    return np.maximum(0.0, peak / kept.judge.task.radius_opening)


def _hand_closing(kept: Kept) -> Floats:
    def curve(angle: Floats) -> Floats:
        free, rubbing = kept.moments(angle)
        return np.asarray(rubbing + free)

    peak = kept.greatest(kept.rubbing + kept.free, curve)
    return np.maximum(0.0, peak / kept.judge.task.radius_closing)


def _latch(kept: Kept) -> Floats:
    shut = np.where(kept.applies, kept.free[:, :, 0], -np.inf).max(axis=1)
    return np.asarray(np.maximum(0.0, shut / kept.judge.task.radius_opening))


def _span(kept: Kept) -> Floats:
    """Angles of the reserve span [m, k]."""
    span = kept.judge.task.reserve_span
    low = np.maximum(0.0, kept.end - span)
    share = np.linspace(0.0, 1.0, SPAN_NODES) if span > 0.0 else np.ones(1)
    return np.asarray(low[:, None] + (kept.end - low)[:, None] * share)


def _reserve(kept: Kept) -> Floats:
    task = kept.judge.task

    def curve(angle: Floats) -> Floats:
        weight = np.abs(
            task.gravity_cosine[:, None] * np.cos(angle)
            + task.gravity_sine[:, None] * np.sin(angle)
        )
        free = kept.moments(angle)[0]
        endless = np.where(free == 0.0, 0.0, np.copysign(np.inf, free))
        weight = np.broadcast_to(weight, free.shape)
        return -np.divide(free, weight, out=endless, where=weight > 0.0)

    nodes = _span(kept)
    return kept.greatest(curve(nodes[:, None, :]), curve, nodes)


def _reserve_force(kept: Kept) -> Floats:
    def curve(angle: Floats) -> Floats:
        return -kept.moments(angle)[0]

    nodes = _span(kept)
    least = kept.greatest(curve(nodes[:, None, :]), curve, nodes)
    return np.asarray(least / kept.judge.task.radius_opening)


def _lift_off(kept: Kept) -> Floats:
    """The latest condition's lift-off angle (model 11.12)."""
    return np.asarray(np.where(kept.applies, lift_off_angles(kept), 0.0).max(axis=1))


def lift_off_angles(kept: Kept) -> Floats:
    """Last root of M - Mf, positive from there to the end, in each condition [m, c] [rad]."""
    raised = kept.free - kept.rubbing
    angle = np.broadcast_to(kept.angle[:, None, :], raised.shape)
    count = raised.shape[2]
    down = raised <= 0.0
    last = np.where(down.any(axis=2), count - 1 - np.argmax(down[:, :, ::-1], axis=2), -1)
    root = _root_after(kept, raised, angle, last)
    root = np.where(last == count - 1, np.inf, np.where(last < 0, 0.0, root))
    return np.maximum(root, _touching(kept, raised, angle))


def _root_after(kept: Kept, raised: Floats, angle: Floats, last: Indices) -> Floats:
    """Root between node `last` and the next, by false position with halved stale ends."""
    place = np.clip(last, 0, raised.shape[2] - 2)[:, :, None]
    low, high = (np.take_along_axis(angle, place + move, axis=2)[:, :, 0] for move in (0, 1))
    at_low, at_high = (np.take_along_axis(raised, place + move, axis=2)[:, :, 0] for move in (0, 1))
    at_low, at_high = np.minimum(at_low, -1e-300), np.maximum(at_high, 1e-300)
    for _ in range(12):
        guess = np.clip(low - at_low * (high - low) / (at_high - at_low), low, high)
        free, rubbing = kept.moments(guess[:, :, None])
        value = (free - rubbing)[:, :, 0]
        under = value <= 0.0
        low, high = np.where(under, guess, low), np.where(under, high, guess)
        at_high = np.where(under, 0.5 * at_high, value)
        at_low = np.where(under, np.minimum(value, -1e-300), 0.5 * at_low)
    return high


def _touching(kept: Kept, raised: Floats, angle: Floats) -> Floats:
    """Angle of the last dip of M - Mf to zero or less between nodes that are above it, else 0."""
    before, here, after = raised[:, :, :-2], raised[:, :, 1:-1], raised[:, :, 2:]
    bend = before - 2.0 * here + after
    dips = (here > 0.0) & (before >= here) & (after >= here) & (bend > 0.0)
    slack = here - np.where(dips, (before - after) ** 2 / (8.0 * np.where(dips, bend, 1.0)), 0.0)
    near = dips & (slack <= 1e-3 * bend)
    found = np.zeros(raised.shape[:2])
    if not near.any():
        return found
    shift = np.where(near, 0.5 * (before - after) / np.where(near, bend, 1.0), 0.0)
    spacing = angle[:, :, 1:2] - angle[:, :, :1]
    for column in np.flatnonzero(near.any(axis=(0, 1))):
        vertex = angle[:, :, column + 1] + shift[:, :, column] * spacing[:, :, 0]
        free, rubbing = kept.moments(vertex[:, :, None])
        touches = near[:, :, column] & ((free - rubbing)[:, :, 0] <= 0.0)
        found = np.where(touches, np.maximum(found, vertex), found)
    return found


def _hinge_resultant(kept: Kept) -> Floats:
    def curve(angle: Floats) -> Floats:
        return np.abs(hinge_force(kept, angle))

    return kept.greatest(curve(kept.angle[:, None, :]), curve)


def hinge_force(kept: Kept, angle: Floats) -> Complexes:
    """Force of all else on the panel in the plane, held by the hand [m, c, k] [N] (model 4).

        R = W - (M / r) i e^(i (eta + theta)) + F e^(i phi) (r_B e^(i psi) - r_A) / L

    eta: angle of the handle when shut. The hinge line carries -R.
    """
    judge, layouts = kept.judge, kept.layouts
    task = judge.task
    length, _ = lengths_and_arms(layouts, task.offset, angle)
    force = kept.gas / (1.0 - (kept.extended - length) * kept.inverse_column)
    frame, panel = (place[:, None, None] for place in layouts.mounts)
    free, _ = kept.moments(angle)
    total = force * (panel * np.exp(1j * angle) - frame) / length
    total = total + task.weight[:, None]
    total = total - free / task.radius_opening * 1j * np.exp(1j * (task.handle + angle))
    if judge.others is not None:
        total = total + _other_forces(judge.others, angle)
    return np.asarray(total)


def _other_forces(others: Others, angle: Floats) -> Complexes:
    model = others.statics
    length, _ = geometry.lengths_and_arms(model.geometry, angle)
    pressed = 1.0 - (model.extended_length[:, None] - length) * model.inverse_column[:, None]
    line = others.panel[:, None] * np.exp(1j * angle)[:, :, None, :] - others.frame[:, None]
    pushes = model.force_extended[None, :, :, None] * (line / length / pressed)
    return np.asarray(pushes.sum(axis=2))


_MEASURES: dict[int, Callable[[Kept], Floats]] = {
    names.OPENING: _hand_opening,
    names.CLOSING: _hand_closing,
    names.LIFT_OFF: _lift_off,
    names.RESERVE: _reserve,
    names.RESERVE_FORCE: _reserve_force,
    names.LATCH: _latch,
    names.HINGE: _hinge_resultant,
}


def objective(costs: Floats, ranking: tuple[int, ...]) -> Floats:
    """The greatest cost of the rules that are ranked by [m]."""
    return np.asarray(costs[:, list(ranking)].max(axis=1))


def holds(costs: Floats, limits: Floats) -> Flags:
    """Whether every rule's cost is within its limit [m]; a strut that does not fit never is."""
    fits = ~np.isposinf(costs[:, names.OPENING])
    return np.asarray(fits & (costs <= limits + TRAVEL_SLACK).all(axis=1))


TRAVEL_SLACK = np.where(np.isin(ALL, (names.COMPRESSED, names.EXTENDED)), 1e-9, 0.0)
"""What `check` allows on the stroke kept [m]."""
