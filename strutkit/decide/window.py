"""The rating window: which ratings would do at these mounts (model sections 3 and 11.18).

A rating is judged as `check` would judge the door with it: all else on the label stays, and what
the label leaves out is read from that rating (`rated`). About any rating every moment is linear
in the charge,

    M = p · S(theta) + T(theta) + Mg(theta)

with S the moment of the labelled charge and T that of the rating change, so each rule is one
interval of p in closed form. Gas column, temperature factor, friction and tolerance move a little
with the rating; an edge is the rating whose own interval ends at p = 1, found to rounding.

This reads more than the model's 11.18, which keeps gas column, friction and temperature factor of
the present label: with those, a strut bought just inside an edge could fail its check.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from strutkit.compute import roots, statics
from strutkit.decide.conditions import door_statics, is_fault, nominal_condition
from strutkit.decide.hinge_window import HingeWindow, hinge_window
from strutkit.decide.rated import RatedDoor, Regime
from strutkit.decide.summary import critical_angles
from strutkit.describe.records import Condition, Door

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]

PRUNE = 1e-3
"""Rows that miss the tightest edge by more than this share are not refined beyond the nodes;
0.5° between nodes moves no edge by as much."""

ROUNDS = 80
NEAR, SETTLED = 1e-6, 1e-9
"""Most rounds in which an edge is closed in on; it is found when a round would move it by less
than the second share, or the secant by less than the first, which its own step then takes away."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RatingInterval:
    """Ratings for which one rule holds in all conditions in service.

    low, high [s] [N], one for each fitted strut (0 and inf where there is no edge); empty: no
    rating holds it (then 0 and inf); decided_by: names of the conditions that make the two edges,
    or leave a strut no charge beyond (None: no edge). Where an assumed friction or tolerance leaves
    several ranges it is the one with the present rating, else the nearest.
    """

    low: Floats
    high: Floats
    empty: bool
    decided_by: tuple[str | None, str | None]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RatingWindow:
    """Rating intervals by rule, and their intersection: low, high [s] [N], empty.

    looked_from [s] [N]: below these ratings a condition leaves a strut no charge, so that `check`
    refuses the door; it is then the low edge of every rule without another (0: there is none).
    looked_to [s] [N]: the highest ratings looked at; an infinite high says that there is no edge
    up to there. Beyond, no tube would hold the gas (`rated.HIGHEST_PRESSURE`), the label leaves no
    gas column, or no record takes more.
    """

    rules: Mapping[str, RatingInterval]
    low: Floats
    high: Floats
    empty: bool
    looked_from: Floats
    looked_to: Floats


@dataclass(frozen=True, slots=True)
class _Rule:
    """One rule as p · a >= b at every angle from `since` to `until` [rad]:

    a = sign · S        b = rubbing · Mf + share · |Mg| + base - sign · (T + Mg)
    """

    since: float
    until: float
    sign: float
    rubbing: float = 0.0
    share: float = 0.0
    base: float = 0.0


def rating_window(door: Door) -> RatingWindow:
    """Which ratings hold each rule that has a limit, and all of them together (model 11.18).

    The charges of all struts grow by one factor; every other value on the labels stays. The edges
    are those of all in-service conditions (faults left out), over all angles, found beyond the
    grid, and `check` of the door with a rating inside them holds the rule, outside breaks it.
    hinge_radial counts the cases at rest. Stroke kept does not depend on the rating and is no
    rule here. For struts that work against opening, reserve and lift-off are upper edges. Raises
    as `sweep` does.
    """
    return window_of(door)


def window_of(door: Door, scaled: Sequence[int] | None = None) -> RatingWindow:
    """The window for these struts of `door.fitted` alone (None: all), the others as they are."""
    named = sorted(door.conditions, key=lambda one: one.name)
    conditions = tuple(one for one in (nominal_condition, *named) if not is_fault(one))
    rated = RatedDoor(door, conditions, scaled)
    edges = _Edges(door, rated, door_statics(door, conditions))
    found = edges.pieces()
    rules = {name: _interval(rated, _nearest(pieces), conditions) for name, pieces in found.items()}
    both = _nearest(_intersection([_whole(rated), *found.values()]))
    if both is None:
        low, high = _ratings(
            rated,
            max([_ends(rated, one)[0] for one in found.values()], default=0.0),
            min([_ends(rated, one)[1] for one in found.values()], default=np.inf),
        )
    else:
        low, high = _ratings(rated, both.low, both.high)
    return RatingWindow(
        rules=MappingProxyType(rules),
        low=low,
        high=high,
        empty=both is None,
        looked_from=_looked_from(rated),
        looked_to=_looked_to(rated),
    )


def _looked_from(rated: RatedDoor) -> Floats:
    """The lowest ratings that leave every strut a charge [s]; 0 where any does."""
    return _ratings(rated, rated.regimes[0].low if rated.regimes else 0.0, np.inf)[0]


def _looked_to(rated: RatedDoor) -> Floats:
    """The highest ratings looked at [s]; the present ones where there are none, or of struts that
    stay."""
    most = rated.ratings(rated.regimes[-1].high) if rated.regimes else rated.rating.copy()
    most.flags.writeable = False
    return most


@dataclass(frozen=True, slots=True)
class _Piece:
    """Factors from low to high that hold a rule, and the conditions (rows) that make the ends."""

    low: float
    high: float
    low_row: int | None = None
    high_row: int | None = None


def _whole(rated: RatedDoor) -> list[_Piece]:
    return [_Piece(rated.regimes[0].low, rated.regimes[-1].high)] if rated.regimes else []


def _ends(rated: RatedDoor, pieces: Sequence[_Piece]) -> tuple[float, float]:
    piece = _nearest(pieces)
    return (0.0, np.inf) if piece is None else (piece.low, piece.high)


def _nearest(pieces: Sequence[_Piece]) -> _Piece | None:
    """The piece with the present rating in it (factor 1), else the nearest."""
    return min(pieces, key=lambda one: max(one.low - 1.0, 1.0 - one.high, 0.0), default=None)


def _intersection(several: Sequence[Sequence[_Piece]]) -> list[_Piece]:
    both = list(several[0])
    for pieces in several[1:]:
        met = [(max(a.low, b.low), min(a.high, b.high)) for a in both for b in pieces]
        both = [_Piece(low, high) for low, high in met if low <= high]
    return both


def _ratings(rated: RatedDoor, low: float, high: float) -> tuple[Floats, Floats]:
    """Ratings at two factors; 0 and inf at the ends of all that a label may say."""
    first, last = (rated.regimes[0].low, rated.regimes[-1].high) if rated.regimes else (0.0, 0.0)
    scaled = rated.scaled | ~rated.scaled.any()
    starved = bool(rated.regimes) and rated.regimes[0].starved_by is not None
    edge = low > first or (starved and low == first)
    least = rated.ratings(low) if edge else np.where(scaled, 0.0, rated.rating)
    most = rated.ratings(high) if high < last else np.where(scaled, np.inf, rated.rating)
    for array in (least, most):
        array.flags.writeable = False
    return least, most


def _interval(
    rated: RatedDoor, piece: _Piece | None, conditions: Sequence[Condition]
) -> RatingInterval:
    low, high = _ratings(rated, *((0.0, np.inf) if piece is None else (piece.low, piece.high)))
    rows = (None, None) if piece is None else (piece.low_row, piece.high_row)
    first, last = (None if row is None else conditions[row].name for row in rows)
    return RatingInterval(low=low, high=high, empty=piece is None, decided_by=(first, last))


def _rules(door: Door, model: statics.Statics) -> dict[str, _Rule]:
    """The linear rules that the door's limits ask for (model section 3)."""
    limits = door.limits
    opening_radius = door.hinge_distance(door.panel.handle)
    closing_radius = door.hinge_distance(door.closing_handle)
    end, shut = float(model.end[0]), 0.0
    last = max(0.0, end - limits.reserve_span)
    rules = {}
    if limits.hand_opening is not None:
        base = -limits.hand_opening * opening_radius
        rules["hand_opening"] = _Rule(shut, end, sign=1.0, rubbing=1.0, base=base)
    if limits.hand_closing is not None:
        base = -limits.hand_closing * closing_radius
        rules["hand_closing"] = _Rule(shut, end, sign=-1.0, rubbing=1.0, base=base)
    if limits.lift_off is not None:
        latest = min(limits.lift_off, end)
        rules["lift_off"] = _Rule(latest, end, sign=1.0, rubbing=1.0)
    if limits.reserve is not None:
        rules["reserve"] = _Rule(last, end, sign=1.0, share=limits.reserve)
    if limits.reserve_force is not None:
        base = limits.reserve_force * opening_radius
        rules["reserve_force"] = _Rule(last, end, sign=1.0, base=base)
    if limits.latch is not None:
        rules["latch"] = _Rule(shut, shut, sign=-1.0, base=-limits.latch * opening_radius)
    return rules


class _Edges:
    """Both edges of every rule in every regime, each a problem of its own, all solved at once.

    A problem's side is 0 for the low edge, 1 for the high one.
    """

    def __init__(self, door: Door, rated: RatedDoor, model: statics.Statics) -> None:
        self.rated, self.model, self.count = rated, model, len(rated.conditions)
        self.limits = door.limits
        linear = _rules(door, model)
        asked = [one for one in HINGE if getattr(door.limits, one) is not None]
        self.names = [*linear, *asked]
        self.linear = len(linear)
        self.since = np.array([one.since for one in linear.values()])
        self.until = np.array([one.until for one in linear.values()])
        self.terms = np.array(
            [(one.sign, one.rubbing, one.share, one.base) for one in linear.values()]
        ).reshape(-1, 4)
        self.nodes = np.union1d(critical_angles(model), self.since)
        self.hinge: HingeWindow | None = None
        if asked:
            self.hinge = hinge_window(door, rated.conditions, model)

    def pieces(self) -> dict[str, list[_Piece]]:
        """The factors that hold each rule, rule by rule."""
        regimes = self.rated.regimes
        if not regimes:
            return {name: [] for name in self.names}
        shape = (len(self.names), len(regimes), 2)
        rule, regime, side = (one.ravel() for one in np.indices(shape))
        edge, row = (one.reshape(shape) for one in self._solved(rule, regime, side))
        return {
            name: _joined(regimes, edge[place], row[place]) for place, name in enumerate(self.names)
        }

    def _solved(self, rule: Indices, regime: Indices, side: Indices) -> tuple[Floats, Indices]:
        """Factor of each edge, -inf below and inf above its regime, and the condition of it.

        Each round moves to where the interval about the present factor ends, by the secant
        between rounds, inside the bracket of what was tried.
        """
        first = np.array([one.low for one in self.rated.regimes])[regime]
        last = np.array([one.high for one in self.rated.regimes])[regime]
        low, high = first.copy(), last.copy()
        tried_low, tried_high = np.zeros_like(side, dtype=bool), np.zeros_like(side, dtype=bool)
        factor = np.clip(1.0, first, last)
        before, before_step = np.full_like(factor, np.nan), np.full_like(factor, np.nan)
        edge, row = np.full_like(factor, np.nan), np.zeros_like(side)
        open_ = np.arange(len(rule))
        for _ in range(ROUNDS):
            at = factor[open_]
            share, row[open_] = self._at(rule[open_], regime[open_], side[open_], at)
            target = self.rated.next_factor(regime[open_], at, share)
            up = target > at
            low[open_], tried_low[open_] = np.where(up, at, low[open_]), tried_low[open_] | up
            high[open_] = np.where(up, high[open_], at)
            tried_high[open_] |= ~up
            step = target - at
            with np.errstate(invalid="ignore", divide="ignore"):
                slope = (step - before_step[open_]) / (at - before[open_])
                straight = at - step / slope
            secant = slope < -0.2
            following = np.where(secant, straight, target)
            near = np.abs(following - at) <= np.where(secant, NEAR, SETTLED) * at
            ends = (
                (at == first[open_]) & ~up,
                (at == last[open_]) & up,
                near | (high - low <= SETTLED * low)[open_],
            )
            edge[open_] = np.select(ends, [-np.inf, np.inf, following], np.nan)
            before[open_], before_step[open_] = at, step
            factor[open_] = _inside(
                following, low[open_], high[open_], tried_low[open_], tried_high[open_]
            )
            open_ = np.flatnonzero(np.isnan(edge))
            if not len(open_):
                break
        return np.where(np.isnan(edge), factor, edge), row

    def _at(
        self, rule: Indices, regime: Indices, side: Indices, factor: Floats
    ) -> tuple[Floats, Indices]:
        """Share of the charges at which each problem's interval about a factor ends, and the
        condition that makes that edge."""
        found = np.empty((len(rule), self.count))
        linear = np.flatnonzero(rule < self.linear)
        if len(linear):
            model, shares, where = self._rated(regime[linear], factor[linear])
            found[linear] = self._linear(model, shares, rule[linear], side[linear], where)
        for place in range(self.linear, len(self.names)):
            mine = np.flatnonzero(rule == place)
            if len(mine) and self.hinge is not None:
                model, shares, where = self._rated(regime[mine], factor[mine])
                name = self.names[place]
                limit = getattr(self.limits, name)
                low, high = self.hinge.edges(model, shares, limit, together=name == HINGE[0])
                edges = np.stack([low, -high]).reshape(2, -1, self.count)
                found[mine] = edges[side[mine], where]
        row = found.argmax(axis=1)
        best = found[np.arange(len(rule)), row]
        return np.where(side == 0, best, -best), row

    def _rated(self, regime: Indices, factor: Floats) -> tuple[statics.Statics, Floats, Indices]:
        """Statics and scaled shares at the different factors, and where each problem's are."""
        pairs, where = np.unique(
            np.stack([regime.astype(float), factor], axis=1), axis=0, return_inverse=True
        )
        model, shares = self.rated.statics(self.model, pairs[:, 0].astype(np.intp), pairs[:, 1])
        return model, shares, where.ravel()

    def _linear(
        self,
        model: statics.Statics,
        shares: Floats,
        rule: Indices,
        side: Indices,
        where: Indices,
    ) -> Floats:
        """Edge (low, or minus high) of linear rules in each condition [t, c]."""
        nodes, count = self.nodes, self.count
        rows = where[:, None] * count + np.arange(count)
        parts = _parts(model, shares, nodes)
        terms = self.terms[rule].T[:, :, None, None]
        a, b = _coefficients(terms, [one[rows] for one in parts])
        edges = np.where(
            side[:, None, None] == 0, _lowest_allowed(a, b), _minus_highest_allowed(a, b)
        )
        asked = (nodes >= self.since[rule][:, None]) & (nodes <= self.until[rule][:, None])
        edges = np.where(asked[:, None, :], edges, -np.inf)
        turns = (a[..., :-1] * a[..., 1:] < 0.0) & (asked[:, :-1] & asked[:, 1:])[:, None, :]
        turns &= (side == 0)[:, None, None] & (b[..., :-1] > 0.0) & (b[..., 1:] > 0.0)
        edges[..., :-1][turns] = np.inf
        found = edges.max(axis=-1)

        problem, condition = np.nonzero(_near_greatest(found))
        if not len(problem):
            return np.asarray(found)
        best = edges[problem, condition].argmax(axis=-1)
        low, high = roots.beside(nodes, nodes[best])
        low = np.maximum(low, self.since[rule[problem]])
        high = np.minimum(high, self.until[rule[problem]])
        own = rows[problem, condition]

        def curve(picked: Indices, angle: Floats) -> Floats:
            taken = own[picked]
            here = self.terms[rule[problem[picked]]].T[:, :, None]
            a, b = _coefficients(here, _parts(model.take(taken), shares[taken], angle))
            lower = side[problem[picked], None] == 0
            return np.where(lower, _lowest_allowed(a, b), _minus_highest_allowed(a, b))

        refined = roots.refine_peaks(curve, low, high)[1]
        found[problem, condition] = np.maximum(found[problem, condition], refined)
        return np.asarray(found)


HINGE = ("hinge_resultant", "hinge_radial")
"""The rules on the force of the hinge: both points as one, and either point."""


def _inside(
    wanted: Floats, low: Floats, high: Floats, tried_low: Flags, tried_high: Flags
) -> Floats:
    """The wanted factors, where they lie in a bracket; else its untried end, or its middle."""
    middle = np.sqrt(low * high)
    inside = np.clip(wanted, low, high)
    used = ((inside <= low) & tried_low) | ((inside >= high) & tried_high)
    return np.asarray(np.where(used | np.isnan(inside), middle, inside))


def _joined(regimes: Sequence[Regime], edge: Floats, row: Indices) -> list[_Piece]:
    """Pieces of one rule from its edges in every regime [g, 2], those that touch as one.

    An end at the bound of a regime is made by the condition that fails, or leaves no charge, beyond
    it.
    """
    pieces: list[_Piece] = []
    open_above = False
    for place, regime in enumerate(regimes):
        low, high = edge[place].tolist()
        below, above = low == -np.inf, high == np.inf
        held = low <= high and low < np.inf and high > -np.inf
        if open_above and not regime.follows:
            pieces[-1] = replace(pieces[-1], high_row=regime.starved_by)
            open_above = False
        if not held:
            if open_above:
                fails = row[place, 0] if not below else row[place, 1]
                pieces[-1] = _Piece(pieces[-1].low, pieces[-1].high, pieces[-1].low_row, int(fails))
            open_above = False
            continue
        joins = open_above and below
        if open_above and not below:
            last = pieces[-1]
            pieces[-1] = _Piece(last.low, last.high, last.low_row, int(row[place, 0]))
        start = regime.low if below else low
        start_row = regime.starved_by if below else int(row[place, 0])
        if below and regime.follows and not joins:
            start_row = int(row[place - 1, 0 if edge[place - 1, 0] > -np.inf else 1])
        if joins:
            last = pieces.pop()
            start, start_row = last.low, last.low_row
        pieces.append(
            _Piece(
                start,
                regime.high if above else high,
                start_row,
                None if above else int(row[place, 1]),
            )
        )
        open_above = above
    return pieces


def _parts(model: statics.Statics, shares: Floats, angle: Floats) -> list[Floats]:
    """Moment that scales, the rest of the net moment, friction and size of the weight's moment,
    each [r, n] [N·m]."""
    at = statics.moments(model, angle)
    scaled = np.sum(shares[:, :, None] * at.strut_moment, axis=1)
    return [scaled, at.moment - scaled, at.friction_moment, np.abs(at.gravity_moment)]


def _coefficients(terms: Floats, parts: Sequence[Floats]) -> tuple[Floats, Floats]:
    """a and b of rules [4 terms, ...] from the parts of their moments [...]."""
    sign, rubbing, share, base = terms
    scaled, rest, friction, weight = parts
    return sign * scaled, rubbing * friction + share * weight + base - sign * rest


def _lowest_allowed(a: Floats, b: Floats) -> Floats:
    """Least p with p · a >= b: b / a where a > 0; where a = 0 any p will do, or none."""
    hopeless = np.where((a == 0.0) & (b > 0.0), np.inf, -np.inf)
    return np.divide(b, a, out=hopeless, where=a > 0.0)


def _minus_highest_allowed(a: Floats, b: Floats) -> Floats:
    """Minus the greatest p with p · a >= b: -b / a where a < 0, else no edge."""
    return -np.divide(b, a, out=np.full_like(a, np.inf), where=a < 0.0)


def _near_greatest(found: Floats) -> Flags:
    """Which values [..., c] may still be the greatest of their c once refined; none if infinite."""
    best = found.max(axis=-1, keepdims=True)
    finite = np.where(np.isfinite(best), best, 0.0)
    return np.asarray(np.isfinite(best) & (found >= finite - PRUNE * (1.0 + np.abs(finite))))
