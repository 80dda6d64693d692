"""The rating window: which ratings would do at these mounts, in closed form.

Model sections 3 and 11.18. One common factor q on the charge of all struts; gas column, friction
and temperature factor are kept, rating_change stays in newtons. Then every moment is linear in q

    M = q · S(theta) + T(theta) + Mg(theta)

with S the moment of the labelled charge and T that of the rating change, and each rule is one
interval of q, so of ratings: F1 = q (F1 + f) - f.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from strutkit.compute import roots, statics
from strutkit.decide.conditions import (
    all_conditions,
    charge_shares,
    door_statics,
    hinge_axis,
    is_fault,
)
from strutkit.decide.loads import held_by_hand
from strutkit.decide.summary import critical_angles, reserve_angles
from strutkit.describe.records import Condition, Door

Floats = npt.NDArray[np.float64]
Indices = npt.NDArray[np.intp]
Terms = Callable[[Indices, Floats], tuple[Floats, Floats]]
Interval = tuple[float, float, int | None, int | None]
"""Low and high factor, and the conditions (rows) that make those edges."""

RULES = (
    "hand_opening",
    "hand_closing",
    "lift_off",
    "reserve",
    "reserve_force",
    "latch",
    "hinge_resultant",
)
"""Rules that a rating can break, by the name of their limit."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RatingInterval:
    """Ratings for which one rule holds in all conditions in service.

    low, high [s] [N], one for each fitted strut (0 and inf where there is no edge); empty: no
    rating holds it; decided_by: names of the conditions that make the two edges (None: no edge).
    """

    low: Floats
    high: Floats
    empty: bool
    decided_by: tuple[str | None, str | None]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RatingWindow:
    """Rating intervals by rule, and their intersection: low, high [s] [N], empty."""

    rules: Mapping[str, RatingInterval]
    low: Floats
    high: Floats
    empty: bool


def rating_window(door: Door) -> RatingWindow:
    """Which ratings hold each rule that has a limit, and all of them together (model 11.18).

    The edges are those of all in-service conditions (faults left out), over all angles, found
    beyond the grid. For struts that work against opening, reserve and lift-off are upper edges.
    Raises as `sweep` does.
    """
    conditions = tuple(one for one in all_conditions(door) if not is_fault(one))
    model = door_statics(door, conditions)
    parts = _charge_parts(door, conditions, model)
    found = {
        rule: _interval(door, conditions, model, parts, rule)
        for rule in RULES
        if getattr(door.limits, rule) is not None
    }
    rules = {rule: _as_ratings(door, conditions, one) for rule, one in found.items()}
    low = max([one[0] for one in found.values()], default=0.0)
    high = min([one[1] for one in found.values()], default=np.inf)
    together = _as_ratings(door, conditions, (low, high, None, None))
    return RatingWindow(
        rules=MappingProxyType(rules),
        low=together.low,
        high=together.high,
        empty=together.empty or any(one.empty for one in rules.values()),
    )


def _as_ratings(door: Door, conditions: Sequence[Condition], found: Interval) -> RatingInterval:
    low_factor, high_factor, low_row, high_row = found
    rating = np.array([one.strut.rating for one in door.fitted])
    friction = np.array([one.strut.gas_law.friction for one in door.fitted])
    charge = rating + friction
    empty = low_factor > high_factor or high_factor <= 0.0
    low = np.maximum(0.0, max(low_factor, 0.0) * charge - friction)
    high = np.maximum(0.0, max(high_factor, 0.0) * charge - friction)
    if charge.size:
        empty = empty or bool((high <= 0.0).any())
    for array in (low, high):
        array.flags.writeable = False
    names = (
        conditions[low_row].name if low_row is not None and low.any() else None,
        conditions[high_row].name if high_row is not None and np.isfinite(high).all() else None,
    )
    return RatingInterval(low=low, high=high, empty=bool(empty), decided_by=names)


def _charge_parts(
    door: Door, conditions: Sequence[Condition], model: statics.Statics
) -> tuple[Floats, Floats]:
    """Shares of the gas force at full extension that scale with charge, and that do not [c, s]."""
    scaled = charge_shares(door, conditions)
    return model.force_extended * scaled, model.force_extended * (1.0 - scaled)


def _interval(
    door: Door,
    conditions: Sequence[Condition],
    model: statics.Statics,
    parts: tuple[Floats, Floats],
    rule: str,
) -> Interval:
    if rule == "hinge_resultant":
        return _resultant_interval(door, conditions, model, parts)
    nodes = _rule_angles(door, model, rule)

    def row_terms(rows: Indices, angle: Floats) -> tuple[Floats, Floats]:
        return _linear(door, model.take(rows), (parts[0][rows], parts[1][rows]), angle, rule)

    return _edges(row_terms, nodes)


def _rule_angles(door: Door, model: statics.Statics, rule: str) -> Floats:
    """Angles over which a rule is asked [c, n]."""
    limits = door.limits
    if rule == "latch":
        return np.zeros((len(model.end), 1))
    if rule in ("reserve", "reserve_force"):
        return reserve_angles(model.end, limits.reserve_span)
    nodes = critical_angles(model)
    every = np.broadcast_to(nodes, (len(model.end), nodes.shape[-1]))
    if rule != "lift_off" or limits.lift_off is None:
        return every
    low = np.minimum(limits.lift_off, model.end)[:, None]
    return np.maximum(every, low)


def _linear(
    door: Door,
    model: statics.Statics,
    parts: tuple[Floats, Floats],
    angle: Floats,
    rule: str,
) -> tuple[Floats, Floats]:
    """A rule as q · a >= b at each angle: a and b [c, n]."""
    at = statics.moments(model, angle)
    per_newton = at.lever_arm / (
        1.0 - (model.extended_length[:, None] - at.length) * model.inverse_column[:, None]
    )
    scaled = np.sum(parts[0][:, :, None] * per_newton, axis=1)
    fixed = np.sum(parts[1][:, :, None] * per_newton, axis=1) + at.gravity_moment
    limits = door.limits
    opening_radius = door.hinge_distance(door.panel.handle)
    if rule == "hand_opening":
        return scaled, at.friction_moment - (limits.hand_opening or 0.0) * opening_radius - fixed
    if rule == "lift_off":
        return scaled, at.friction_moment - fixed
    if rule == "reserve":
        return scaled, (limits.reserve or 0.0) * np.abs(at.gravity_moment) - fixed
    if rule == "reserve_force":
        return scaled, (limits.reserve_force or 0.0) * opening_radius - fixed
    if rule == "latch":
        return -scaled, fixed - (limits.latch or 0.0) * opening_radius
    closing_radius = door.hinge_distance(door.closing_handle)
    return -scaled, at.friction_moment + fixed - (limits.hand_closing or 0.0) * closing_radius


def _edges(row_terms: Terms, nodes: Floats) -> Interval:
    """Interval of q in which q · a >= b holds for every row at every angle."""

    def lowest_allowed(rows: Indices, angle: Floats) -> Floats:
        a, b = row_terms(rows, angle)
        hopeless = np.where((a == 0.0) & (b > 0.0), np.inf, -np.inf)
        return np.divide(b, a, out=hopeless, where=a > 0.0)

    def minus_highest_allowed(rows: Indices, angle: Floats) -> Floats:
        a, b = row_terms(rows, angle)
        return -np.divide(b, a, out=np.full_like(a, np.inf), where=a < 0.0)

    return _interval_of(_greatest(lowest_allowed, nodes), _greatest(minus_highest_allowed, nodes))


def _interval_of(low: Floats, minus_high: Floats) -> Interval:
    """The tightest edges over the conditions [c], and which conditions make them."""
    low_row, high_row = int(low.argmax()), int(minus_high.argmax())
    return (
        float(low[low_row]),
        float(-minus_high[high_row]),
        low_row if low[low_row] > 0.0 else None,
        high_row if np.isfinite(minus_high[high_row]) else None,
    )


def _greatest(curve: roots.Curve, nodes: Floats) -> Floats:
    """Greatest value of a curve for each row of nodes, found beyond them."""
    values = curve(np.arange(len(nodes)), nodes)
    if nodes.shape[1] == 1:
        return values[:, 0]
    return roots.find_peaks(curve, nodes, values)[1]


def _resultant_interval(
    door: Door,
    conditions: Sequence[Condition],
    model: statics.Statics,
    parts: tuple[Floats, Floats],
) -> Interval:
    """Interval of q in which |v0 + q v1| <= limit at every angle, both hinge points together.

    v0 and v1 [n, 3] are radial: the resultant without the charge that scales, and what that
    charge adds. |v1|² q² + 2 (v0 · v1) q + |v0|² - limit² <= 0 has at most one interval.
    """
    limit = door.limits.hinge_resultant or 0.0
    uncharged = replace(model, force_extended=parts[1])

    def edges(rows: Indices, angle: Floats) -> tuple[Floats, Floats]:
        low, high = np.empty_like(angle), np.empty_like(angle)
        for place, row in enumerate(rows):
            v0 = _resultant(door, conditions[row], uncharged.take([row]), angle[place])
            whole = _resultant(door, conditions[row], model.take([row]), angle[place])
            low[place], high[place] = _quadratic_interval(v0, whole - v0, limit)
        return low, high

    nodes = critical_angles(model)
    every = np.broadcast_to(nodes, (len(model.end), nodes.shape[-1]))
    low = _greatest(lambda rows, angle: edges(rows, angle)[0], every)
    minus_high = _greatest(lambda rows, angle: -edges(rows, angle)[1], every)
    return _interval_of(low, minus_high)


def _resultant(door: Door, condition: Condition, model: statics.Statics, angle: Floats) -> Floats:
    first, second = held_by_hand(door, condition, model, angle)
    axis = hinge_axis(door)[1]
    whole = first + second
    return np.asarray(whole - (whole @ axis)[:, None] * axis)


def _quadratic_interval(v0: Floats, v1: Floats, limit: float) -> tuple[Floats, Floats]:
    """Roots of |v0 + q v1|² = limit² [n]; low above high where no q does."""
    a = np.sum(v1 * v1, axis=-1)
    b = np.sum(v0 * v1, axis=-1)
    c = np.sum(v0 * v0, axis=-1) - limit**2
    inside = b * b - a * c
    reachable = np.where(a > 0.0, inside >= 0.0, c <= 0.0)
    width = np.sqrt(np.maximum(inside, 0.0))
    low = np.divide(-b - width, a, out=np.full_like(a, -np.inf), where=a > 0.0)
    high = np.divide(-b + width, a, out=np.full_like(a, np.inf), where=a > 0.0)
    return np.where(reachable, low, np.inf), np.where(reachable, high, -np.inf)
