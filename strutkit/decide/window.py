"""The rating window: which ratings would do at these mounts, in closed form.

Model sections 3 and 11.18. One common factor q on the charge of all struts; gas column, friction
and temperature factor are kept, rating_change stays in newtons. Then every moment is linear in q

    M = q · S(theta) + T(theta) + Mg(theta)

with S the moment of the labelled charge and T that of the rating change, and each rule is one
interval of q, so of ratings: F1 = q (F1 + f) - f.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from strutkit.compute import roots, statics
from strutkit.decide.conditions import (
    charge_shares,
    door_statics,
    hinge_axis,
    is_fault,
    nominal_condition,
)
from strutkit.decide.loads import held_by_hand
from strutkit.decide.summary import critical_angles
from strutkit.describe.records import Condition, Door

Floats = npt.NDArray[np.float64]
Indices = npt.NDArray[np.intp]
Interval = tuple[float, float, int | None, int | None]
"""Low and high factor, and the conditions (rows) that make those edges."""

PRUNE = 1e-3
"""Rows that miss the tightest edge by more than this share are not refined beyond the nodes;
0.5° between nodes moves no edge by as much."""


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


@dataclass(frozen=True, slots=True)
class _Rule:
    """One rule as q · a >= b at every angle from `since` to `until`, each [c]:

    a = sign · S        b = rubbing · Mf + share · |Mg| + base - sign · (T + Mg)
    """

    since: Floats
    until: Floats
    sign: float
    rubbing: float = 0.0
    share: float = 0.0
    base: float = 0.0


def rating_window(door: Door) -> RatingWindow:
    """Which ratings hold each rule that has a limit, and all of them together (model 11.18).

    The edges are those of all in-service conditions (faults left out), over all angles, found
    beyond the grid. For struts that work against opening, reserve and lift-off are upper edges.
    Raises as `sweep` does.
    """
    named = sorted(door.conditions, key=lambda one: one.name)
    conditions = tuple(one for one in (nominal_condition, *named) if not is_fault(one))
    model = door_statics(door, conditions)
    shares = charge_shares(door, conditions)
    found = _linear_intervals(model, shares, _rules(door, model))
    if door.limits.hinge_resultant is not None:
        found["hinge_resultant"] = _resultant_interval(door, conditions, model, shares)
    rules = {name: _as_ratings(door, conditions, one) for name, one in found.items()}
    low = max([one[0] for one in found.values()], default=0.0)
    high = min([one[1] for one in found.values()], default=np.inf)
    together = _as_ratings(door, conditions, (low, high, None, None))
    return RatingWindow(
        rules=MappingProxyType(rules),
        low=together.low,
        high=together.high,
        empty=together.empty or any(one.empty for one in rules.values()),
    )


def _rules(door: Door, model: statics.Statics) -> dict[str, _Rule]:
    """The linear rules that the door's limits ask for (model section 3)."""
    limits = door.limits
    opening_radius = door.hinge_distance(door.panel.handle)
    closing_radius = door.hinge_distance(door.closing_handle)
    end = model.end
    shut = np.zeros_like(end)
    last = np.maximum(0.0, end - limits.reserve_span)
    rules = {}
    if limits.hand_opening is not None:
        base = -limits.hand_opening * opening_radius
        rules["hand_opening"] = _Rule(shut, end, sign=1.0, rubbing=1.0, base=base)
    if limits.hand_closing is not None:
        base = -limits.hand_closing * closing_radius
        rules["hand_closing"] = _Rule(shut, end, sign=-1.0, rubbing=1.0, base=base)
    if limits.lift_off is not None:
        latest = np.minimum(limits.lift_off, end)
        rules["lift_off"] = _Rule(latest, end, sign=1.0, rubbing=1.0)
    if limits.reserve is not None:
        rules["reserve"] = _Rule(last, end, sign=1.0, share=limits.reserve)
    if limits.reserve_force is not None:
        base = limits.reserve_force * opening_radius
        rules["reserve_force"] = _Rule(last, end, sign=1.0, base=base)
    if limits.latch is not None:
        rules["latch"] = _Rule(shut, shut, sign=-1.0, base=-limits.latch * opening_radius)
    return rules


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


def _linear_intervals(
    model: statics.Statics, shares: Floats, rules: Mapping[str, _Rule]
) -> dict[str, Interval]:
    """Interval of q in which q · a >= b holds in every condition at every angle, by rule.

    All rules at once: k rules, c conditions, n nodes, and 2 edges (low, and minus high).
    """
    if not rules:
        return {}
    since = np.array([one.since for one in rules.values()])
    until = np.array([one.until for one in rules.values()])
    terms = np.array([(one.sign, one.rubbing, one.share, one.base) for one in rules.values()]).T
    nodes = _nodes(model, since)
    every = np.arange(len(model.end))
    a, b = _coefficients(terms[:, :, None, None], model, shares, every, nodes)
    asked = (nodes >= since[:, :, None]) & (nodes <= until[:, :, None])
    edges = np.where(
        asked, np.stack([_lowest_allowed(a, b), _minus_highest_allowed(a, b)]), -np.inf
    )
    turns = (a[..., :-1] * a[..., 1:] < 0.0) & asked[..., :-1] & asked[..., 1:]
    edges[0, ..., :-1][turns & (b[..., :-1] > 0.0) & (b[..., 1:] > 0.0)] = np.inf
    found = edges.max(axis=-1)

    side, rule, row = np.nonzero(_near_greatest(found))
    best = edges[side, rule, row].argmax(axis=-1)
    own = np.broadcast_to(nodes, (len(every), nodes.shape[-1]))
    low = np.maximum(own[row, np.maximum(best - 1, 0)], since[rule, row])
    high = np.minimum(own[row, np.minimum(best + 1, nodes.shape[-1] - 1)], until[rule, row])

    def curve(rows: Indices, angle: Floats) -> Floats:
        here = terms[:, rule[rows], None]
        a, b = _coefficients(here, model, shares, row[rows], angle)
        lower = side[rows, None] == 0
        return np.where(lower, _lowest_allowed(a, b), _minus_highest_allowed(a, b))

    if len(row):
        refined = roots.refine_peaks(curve, low, high)[1]
        found[side, rule, row] = np.maximum(found[side, rule, row], refined)
    return {name: _interval_of(*found[:, place]) for place, name in enumerate(rules)}


def _nodes(model: statics.Statics, since: Floats) -> Floats:
    """The critical angles, and those from which rules ask: [n], or [c, n] as travels differ."""
    travel = critical_angles(model)
    if travel.ndim == 1:
        return np.union1d(travel, since)
    return np.sort(np.concatenate([travel, since.T], axis=1), axis=1)


def _lowest_allowed(a: Floats, b: Floats) -> Floats:
    """Least q with q · a >= b: b / a where a > 0; where a = 0 any q will do, or none."""
    hopeless = np.where((a == 0.0) & (b > 0.0), np.inf, -np.inf)
    return np.divide(b, a, out=hopeless, where=a > 0.0)


def _minus_highest_allowed(a: Floats, b: Floats) -> Floats:
    """Minus the greatest q with q · a >= b: -b / a where a < 0, else no edge."""
    return -np.divide(b, a, out=np.full_like(a, np.inf), where=a < 0.0)


def _coefficients(
    terms: Floats, model: statics.Statics, shares: Floats, rows: Indices, angle: Floats
) -> tuple[Floats, Floats]:
    """a and b of rules [4 terms, ...] for these conditions at these angles, each [..., rows, n]."""
    sign, rubbing, share, base = terms
    at = statics.moments(model.take(rows), angle)
    scaled = np.sum(shares[rows][:, :, None] * at.strut_moment, axis=1)
    resisting = rubbing * at.friction_moment + share * np.abs(at.gravity_moment)
    return sign * scaled, resisting + base - sign * (at.moment - scaled)


def _interval_of(low: Floats, minus_high: Floats) -> Interval:
    """The tightest edges over the conditions [c], and which conditions make them."""
    low_row, high_row = int(low.argmax()), int(minus_high.argmax())
    return (
        float(low[low_row]),
        float(-minus_high[high_row]),
        low_row if low[low_row] > 0.0 else None,
        high_row if np.isfinite(minus_high[high_row]) else None,
    )


def _near_greatest(found: Floats) -> npt.NDArray[np.bool_]:
    """Which values [..., c] may still be the greatest of their c once refined; none if infinite."""
    best = found.max(axis=-1, keepdims=True)
    finite = np.where(np.isfinite(best), best, 0.0)
    return np.asarray(np.isfinite(best) & (found >= finite - PRUNE * (1.0 + np.abs(finite))))


def _resultant_interval(
    door: Door,
    conditions: Sequence[Condition],
    model: statics.Statics,
    shares: Floats,
) -> Interval:
    """Interval of q in which |v0 + q v1| <= limit at every angle, both hinge points together.

    v0 and v1 [n, 3] are radial: the resultant without the charge that scales, and what that
    charge adds. |v1|² q² + 2 (v0 · v1) q + |v0|² - limit² <= 0 has at most one interval.
    """
    limit = door.limits.hinge_resultant or 0.0
    uncharged = replace(model, force_extended=model.force_extended * (1.0 - shares))

    nodes = critical_angles(model)

    def edges(rows: Indices, angle: Floats) -> tuple[Floats, Floats]:
        here = [conditions[row] for row in rows]
        v0 = _resultant(door, here, uncharged.take(rows), angle)
        whole = _resultant(door, here, model.take(rows), angle)
        return _quadratic_interval(v0, whole - v0, limit)

    return _interval_of(
        _greatest_of_rows(lambda rows, angle: edges(rows, angle)[0], nodes, len(conditions)),
        _greatest_of_rows(lambda rows, angle: -edges(rows, angle)[1], nodes, len(conditions)),
    )


def _greatest_of_rows(curve: roots.Curve, nodes: Floats, count: int) -> Floats:
    """Greatest value for each of `count` rows, each taken at angles of its own.

    Rows near the greatest value are refined beyond the nodes.
    """
    every = np.broadcast_to(nodes, (count, nodes.shape[-1]))
    if nodes.ndim == 1:
        values = curve(np.arange(count), nodes)
    else:
        values = np.concatenate([curve(np.array([row]), every[row]) for row in range(count)])
    found = values.max(axis=1)
    for row in np.flatnonzero(_near_greatest(found)):
        found[row] = _refined(curve, row, every[[row]], values[[row]])
    return np.asarray(found)


def _refined(curve: roots.Curve, row: np.intp, nodes: Floats, values: Floats) -> float:
    own = np.array([row])
    return float(roots.find_peaks(lambda _, angle: curve(own, angle[0]), nodes, values)[1][0])


def _resultant(
    door: Door, conditions: Sequence[Condition], model: statics.Statics, angle: Floats
) -> Floats:
    """Radial resultant of both hinge points held by the hand [c, n, 3] [N]; angle [n]."""
    first, second = held_by_hand(door, conditions, model, angle)
    axis = hinge_axis(door)[1]
    whole = first + second
    return np.asarray(whole - (whole @ axis)[..., None] * axis)


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
