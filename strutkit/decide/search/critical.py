"""The rows of a layout that are nearest to failing: one rule at one angle in one condition.

For polishing, every row is a value that is to be small: the rule's cost where it is ranked, else
what exceeds its limit,

    hand_opening   (Mf - M) / r - N          hand_closing    (Mf + M) / r_closing - N
    lift_off       (Mf - M) / r              latch           M / r - N
    reserve        (share |Mg| - M) / r      reserve_force   N - M / r
    travel         N - stroke kept           hinge_resultant |R| - N        (N: the limit)

Angles are fixed, or move with the end of travel E. A ranked reserve is -M/|Mg|, a ranked lift-off
the angle itself.
"""

from dataclasses import dataclass, fields, replace

import numpy as np
import numpy.typing as npt

from strutkit.decide.search import task as names
from strutkit.decide.search.layouts import Layouts, layouts_between, lengths_and_arms
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.rows import Kept, hinge_force, lift_off_angles
from strutkit.decide.search.travel import measure_travel

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]

NODES = 37
PEAKS_EACH = 2
"""So many peaks of one rule in one condition are taken."""

MOST_ROWS = 30

CLEARLY_UP = 1e-6
"""M - Mf is asked to be positive by this much at the handle [N], so that rounding does not delay
the lift-off."""

LENGTH_MARGIN = 1e-8
"""Stroke that is kept at either end where no limit asks for any [m]."""

MILLIMETRE = 1e-3
DIFFERENCE = 1e-4
"""Step of the differences [mm]."""

LIFTS = np.array([1.0, -1.0, 1.0, 1.0, 1.0, -1.0, 0.0, 0.0, 0.0])
"""Sign of M in a row that holds, by rule; 0 where it is not a moment."""

RUBS = np.array([1.0, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0])
"""Whether friction counts, by rule."""

UNITS = np.array([10.0, 10.0, 10.0, 10.0, 10.0, 10.0, 0.005, 0.005, 50.0])
"""What one unit of exceeding is, by rule [N or m], so that rows compare."""


@dataclass(frozen=True, slots=True)
class Rows:
    """r rows of each of m layouts, each [m, r]: rule, condition, angle = fixed + share · E [rad],
    limit (nan where the rule is ranked; of the lift-off how far it has to be over zero, negative),
    and the value there at the vertex between nodes."""

    rule: Indices
    condition: Indices
    fixed: Floats
    share: Floats
    limit: Floats
    value: Floats

    def take(self, layouts: Indices) -> "Rows":
        """The rows of these layouts."""
        return Rows(*(getattr(self, field.name)[layouts] for field in fields(self)))

    def columns(self, columns: Indices) -> "Rows":
        """These rows [m, j] of each layout."""
        return Rows(
            *(np.take_along_axis(getattr(self, field.name), columns, 1) for field in fields(self))
        )

    @property
    def ranked(self) -> Flags:
        """Whether the row's rule is ranked [m, r]."""
        return np.isnan(self.limit)


def travel_end(problem: Problem, layouts: Layouts) -> Floats:
    """End of travel of each layout [m]; the stop, where nothing else is taken."""
    task = problem.judge.task
    if task.least_opening >= task.stop:
        return np.full(len(layouts), task.stop)
    return measure_travel(problem.judge, layouts).end


def row_values(problem: Problem, rows: Rows, layouts: Layouts) -> Floats:
    """Value of each row for each layout [m, r]."""
    task, choices = problem.judge.task, problem.judge.choices
    choice = layouts.choice[:, None]
    angle = rows.fixed + rows.share * travel_end(problem, layouts)[:, None]
    length, arm = lengths_and_arms(layouts, task.offset, angle)
    extended, stroke = choices.extended[choice], choices.stroke[choice]
    pressed = 1.0 - np.minimum(extended - length, stroke) * choices.inverse_column[choice]
    free = choices.gas[choice, rows.condition] * arm / pressed
    weight = task.gravity_cosine[rows.condition] * np.cos(angle)
    weight += task.gravity_sine[rows.condition] * np.sin(angle)
    free += weight
    rubbing = choices.friction[choice] * np.abs(arm) + task.hinge_friction
    radius = np.where(rows.rule == names.CLOSING, task.radius_closing, task.radius_opening)
    limit = np.where(rows.ranked, 0.0, rows.limit)
    reserve = rows.rule == names.RESERVE
    value = RUBS[rows.rule] * rubbing - LIFTS[rows.rule] * free
    value -= np.where(reserve, limit * np.abs(weight), 0.0)
    value /= np.where(reserve & rows.ranked, np.maximum(np.abs(weight), 1e-9), radius)
    value -= np.where(reserve, 0.0, limit)
    value = np.where(rows.rule == names.COMPRESSED, extended - stroke - length - limit, value)
    value = np.where(rows.rule == names.EXTENDED, length - extended - limit, value)
    _fill_hinge(problem, rows, layouts, angle, value)
    _fill_lift_off(problem, rows, layouts, value)
    return value


def row_slopes(problem: Problem, rows: Rows, layouts: Layouts) -> tuple[Rows, Floats]:
    """The rows with their exact values, and the slope of each along the four coordinates of the
    mounts in the plane [m, r, 4] [1/mm]."""
    frame, panel = layouts.mounts
    step = DIFFERENCE * MILLIMETRE
    moved = layouts_between(
        layouts.choice[:, None],
        frame[:, None] + step * np.array([0.0, 1.0, 1j, 0.0, 0.0]),
        panel[:, None] + step * np.array([0.0, 0.0, 0.0, 1.0, 1j]),
    )
    repeated = rows.take(np.repeat(np.arange(len(layouts)), 5))
    values = row_values(problem, repeated, moved).reshape(len(layouts), 5, -1)
    slopes = np.swapaxes((values[:, 1:] - values[:, :1]) / DIFFERENCE, 1, 2)
    return replace(rows, value=values[:, 0]), np.asarray(slopes)


def _fill_hinge(
    problem: Problem, rows: Rows, layouts: Layouts, angle: Floats, value: Floats
) -> None:
    held = rows.rule == names.HINGE
    if not held.any():
        return
    kept = Kept(problem.judge, layouts, travel_end(problem, layouts), 2)
    every = np.abs(hinge_force(kept, angle[:, None, :]))
    picked = np.take_along_axis(every, rows.condition[:, None, :], axis=1)[:, 0]
    limit = np.where(rows.ranked, 0.0, rows.limit)
    value[held] = (picked - limit)[held]


def _fill_lift_off(problem: Problem, rows: Rows, layouts: Layouts, value: Floats) -> None:
    ranked = rows.ranked & (rows.rule == names.LIFT_OFF)
    if not ranked.any():
        return
    kept = Kept(problem.judge, layouts, travel_end(problem, layouts), NODES)
    angles = np.minimum(lift_off_angles(kept), 2.0 * problem.judge.task.stop)
    value[ranked] = np.take_along_axis(angles, rows.condition, axis=1)[ranked]


def critical_rows(
    problem: Problem, layouts: Layouts, limits: Floats, clearly_up: float = CLEARLY_UP
) -> Rows:
    """The rows of each layout that come nearest to its limits [m, 9], or exceed them.

    Those are the local peaks over the angle, at the parabola's vertex. clearly_up: how far M - Mf
    has to be over zero for the lift-off [N at the handle].
    """
    kept = Kept(problem.judge, layouts, travel_end(problem, layouts), NODES)
    found = _Found(problem, kept, limits, clearly_up)
    for rule in sorted({*problem.wanted, names.COMPRESSED, names.EXTENDED}):
        found.add(rule)
    return _worst(problem, found.rows())


def critical_angles(problem: Problem, layouts: Layouts, most: int) -> list[float]:
    """Angles of the rows of each layout that come nearest to failing, `most` of each [rad]."""
    if not len(layouts):
        return []
    rows = critical_rows(problem, layouts, np.tile(problem.limits, (len(layouts), 1)))
    end = travel_end(problem, layouts)[:, None]
    angle = np.clip(rows.fixed + rows.share * end, 0.0, problem.judge.task.stop)
    order = np.argsort(-_scores(problem, rows), axis=1, kind="stable")[:, :most]
    angles: list[float] = np.unique(np.round(np.take_along_axis(angle, order, 1), 6)).tolist()
    return angles


def _worst(problem: Problem, rows: Rows) -> Rows:
    """The rows of greatest value; places that no row fills repeat the first."""
    score = _scores(problem, rows)
    count = min(MOST_ROWS, score.shape[1])
    columns = np.argpartition(-score, count - 1, axis=1)[:, :count]
    picked = np.take_along_axis(score, columns, 1)
    first = np.take_along_axis(columns, picked.argmax(axis=1)[:, None], 1)
    return rows.columns(np.where(np.isfinite(picked), columns, first))


def _scores(problem: Problem, rows: Rows) -> Floats:
    """How near each row is to failing or to deciding the rank [m, r]; -inf where there is none."""
    there = ~np.isnan(rows.value)
    ranked, value = rows.ranked, np.where(there, rows.value, 0.0)
    best = np.where(ranked & there, value, -np.inf).max(axis=1, keepdims=True)
    best = np.where(np.isfinite(best), best, 0.0)
    scale = np.maximum(np.abs(best), problem.scale)
    score = np.where(ranked, (value - best) / scale, value / UNITS[rows.rule])
    return np.where(there, score, -np.inf)


def _side_by_side(parts: list[Rows]) -> Rows:
    """All rows of several lists, of the same layouts."""
    return Rows(
        *(
            np.concatenate([getattr(part, field.name) for part in parts], axis=1)
            for field in fields(Rows)
        )
    )


class _Found:
    """Rows gathered rule by rule: those at one angle each, valued all at once, and where they
    apply; and curves over the nodes, whose peaks are found all at once."""

    def __init__(self, problem: Problem, kept: Kept, limits: Floats, clearly_up: float) -> None:
        self.problem, self.kept, self.limits = problem, kept, limits
        self.clearly_up = np.full(len(limits), -clearly_up)
        self.single: list[Rows] = []
        self.there: list[Flags] = []
        self.curves: list[tuple[int, Floats, Floats]] = []
        self.by_strut = kept.end < problem.judge.task.stop
        self.share = np.linspace(0.0, 1.0, NODES)

    def add(self, rule: int) -> None:
        """All rows of a rule, as it is limited and as it is ranked."""
        limit = self.limits[:, rule]
        if rule in (names.COMPRESSED, names.EXTENDED):
            self._add_travel(rule, np.minimum(limit, -LENGTH_MARGIN))
        elif np.isfinite(self.problem.limits[rule]):
            self._add_asked(rule, limit)
        if rule in self.problem.ranking:
            if rule == names.LIFT_OFF:
                self._add_at(rule, np.full(len(limit), np.nan), np.zeros(len(limit)), 0.0)
            elif rule in (names.COMPRESSED, names.EXTENDED):
                self._add_travel(rule, np.full(len(limit), np.nan))
            else:
                self._add_asked(rule, np.full(len(limit), np.nan))

    def _add_asked(self, rule: int, limit: Floats) -> None:
        """Rows of a rule on moments or the hinge at the angles at which it is asked."""
        end, span = self.kept.end, self.problem.judge.task.reserve_span
        if rule == names.LATCH:
            self._add_at(rule, limit, np.zeros(len(end)), 0.0)
        elif rule == names.LIFT_OFF:
            late = limit < end
            starts = np.where(late, limit, 0.0), np.where(late, 0.0, 1.0)
            self._add_at(rule, self.clearly_up, *starts)
            self._add_peaks(rule, self.clearly_up, self.kept.angle > limit[:, None])
        elif rule in (names.RESERVE, names.RESERVE_FORCE):
            whole = span >= end
            self._add_at(rule, limit, np.where(whole, 0.0, -span), np.where(whole, 0.0, 1.0))
            self._add_peaks(rule, limit, self.kept.angle > (end - span)[:, None])
        else:
            self._add_peaks(rule, limit, np.ones(self.kept.angle.shape, dtype=bool))

    def _add_at(self, rule: int, limit: Floats, fixed: Floats, share: Floats | float) -> None:
        """Rows at one angle, fixed + share · E, in every condition that applies."""
        moved = np.broadcast_to(np.asarray(share, dtype=float), fixed.shape)
        self._add_rows(rule, limit, fixed[:, None], moved[:, None], self.kept.applies)

    def _add_rows(
        self, rule: int, limit: Floats, fixed: Floats, share: Floats, there: Flags
    ) -> None:
        shape = there.shape
        self.there.append(there)
        self.single.append(
            Rows(
                np.full(shape, rule, dtype=np.intp),
                np.broadcast_to(np.arange(shape[1], dtype=np.intp), shape),
                np.broadcast_to(fixed, shape),
                np.broadcast_to(share, shape),
                np.broadcast_to(limit[:, None], shape),
                np.zeros(shape),
            )
        )

    def rows(self) -> Rows:
        """All rows found, with their values [m, r]."""
        if not self.single:
            return self._peaks()
        single = _side_by_side(self.single)
        value = row_values(self.problem, single, self.kept.layouts)
        value = np.where(np.concatenate(self.there, axis=1), value, np.nan)
        return _side_by_side([self._peaks(), replace(single, value=value)])

    def _add_peaks(self, rule: int, limit: Floats, asked: Flags) -> None:
        """Rows at the peaks over the nodes where the rule is asked [m, k]."""
        value = np.where(asked[:, None, :], self._values(rule, limit), -np.inf)
        value = np.where(self.kept.applies[:, :, None], value, -np.inf)
        self.curves.append((rule, limit, value))

    def _values(self, rule: int, limit: Floats) -> Floats:
        """Value of a rule at all nodes [m, c, k]."""
        kept, task = self.kept, self.problem.judge.task
        allowed = np.where(np.isnan(limit), 0.0, limit)[:, None, None]
        if rule == names.HINGE:
            return np.abs(hinge_force(kept, kept.angle[:, None, :])) - allowed
        value = RUBS[rule] * kept.rubbing - LIFTS[rule] * kept.free
        if rule == names.RESERVE:
            weight = np.abs(
                task.gravity_cosine[:, None] * np.cos(kept.angle[:, None, :])
                + task.gravity_sine[:, None] * np.sin(kept.angle[:, None, :])
            )
            if np.isnan(limit[0]):
                return np.asarray(value / np.maximum(weight, 1e-9))
            return np.asarray((value - allowed * weight) / task.radius_opening)
        radius = task.radius_closing if rule == names.CLOSING else task.radius_opening
        return np.asarray(value / radius - allowed)

    def _add_travel(self, rule: int, limit: Floats) -> None:
        """Rows on the stroke kept; struts that end the travel have to reach the least opening."""
        kept, task = self.kept, self.problem.judge.task
        length, _ = lengths_and_arms(kept.layouts, task.offset, kept.angle)
        extended = kept.extended[:, 0]
        allowed = np.where(np.isnan(limit), 0.0, limit)[:, None]
        if rule == names.COMPRESSED:
            stroke = self.problem.judge.choices.stroke[kept.layouts.choice][:, None]
            value = extended - stroke - length - allowed
        else:
            value = np.where(self.by_strut[:, None], -np.inf, length - extended - allowed)
        self.curves.append((rule, limit, value[:, None, :]))
        ends_early = task.least_opening < task.stop
        if rule == names.EXTENDED and ends_early and not np.isnan(limit[0]):
            none, least = np.zeros(len(limit)), np.full(len(limit), task.least_opening)
            self._add_rows(rule, none, least[:, None], none[:, None], self.by_strut[:, None])
            if task.drilling_error > 0.0 and np.isfinite(self.problem.limits[rule]):
                self._add_surely_ended(none)

    def _add_surely_ended(self, none: Floats) -> None:
        """Struts that end the travel are pulled out before the stop: pushed in there by less than
        the stroke taken off it, so that moved mounts never leave them short of a stroke asked."""
        layouts = self.kept.layouts
        stroke = self.problem.judge.choices.stroke[layouts.choice]
        at = np.full(len(layouts), self.problem.judge.task.stop)
        self._add_rows(
            names.COMPRESSED, -stroke, at[:, None], none[:, None], self.by_strut[:, None]
        )

    def _peaks(self) -> Rows:
        """The highest peaks of the curves over the nodes, moved to the vertex."""
        value = np.concatenate([one for _, _, one in self.curves], axis=1)
        layouts, curves, count = value.shape
        edge = np.full((layouts, curves, 1), -np.inf)
        padded = np.concatenate([edge, value, edge], axis=2)
        peaks = (value >= padded[:, :, :-2]) & (value > padded[:, :, 2:])
        height = np.where(peaks, value, -np.inf)
        kept = min(PEAKS_EACH, count)
        node = np.argpartition(-height, kept - 1, axis=2)[:, :, :kept]
        here = np.take_along_axis(height, node, axis=2)
        around = [np.take_along_axis(padded, node + move, axis=2) for move in (0, 2)]
        between = np.isfinite(here) & np.isfinite(around[0]) & np.isfinite(around[1])
        before, middle, after = (
            np.where(between, one, 0.0) for one in (around[0], here, around[1])
        )
        slope, bend = before - after, before - 2.0 * middle + after
        shift = np.clip(0.5 * slope / np.minimum(bend, -1e-300), -0.5, 0.5)
        share = np.clip(self.share[node] + shift / (count - 1), 0.0, 1.0)
        top = np.where(np.isfinite(here), here - 0.25 * slope * shift, np.nan)
        conditions = [one.shape[1] for _, _, one in self.curves]
        rule = np.repeat([rule for rule, _, _ in self.curves], conditions)
        condition = np.concatenate([np.arange(number) for number in conditions])
        limit = np.repeat(np.stack([one for _, one, _ in self.curves], axis=1), conditions, axis=1)
        shape = (layouts, curves * kept)
        return Rows(
            np.broadcast_to(np.repeat(rule, kept), shape),
            np.broadcast_to(np.repeat(condition, kept), shape),
            np.zeros(shape),
            share.reshape(shape),
            np.repeat(limit, kept, axis=1),
            top.reshape(shape),
        )
