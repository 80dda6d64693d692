"""The key figures of a sweep: lift-off, peaks, reserves, latch, balance angles, rest bands.

Model sections 3 and 11.11-11.15. All of it is found beyond the grid of the sweep, from the
curves themselves, so it does not depend on the angles the sweep was asked for.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from strutkit.compute import geometry, roots, statics
from strutkit.decide.conditions import door_statics
from strutkit.decide.sweep import Sweep, travel_angles
from strutkit.describe.records import Door

Floats = npt.NDArray[np.float64]
Indices = npt.NDArray[np.intp]

OPENING, FRICTIONLESS, CLOSING = -1.0, 0.0, 1.0
"""Side on which friction acts on the net moment."""

SPAN_NODES = 21


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceAngle:
    """A root of the net moment without friction: angle [rad], and whether it is stable."""

    angle: float
    stable: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """What the panel does by itself in one condition; the fields are those of `Summary`."""

    lift_off: float | None
    balance: tuple[BalanceAngle, ...]
    rest_bands: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """Key figures of one door in one condition.

    lift_off [rad]: from here to the end of travel it rises by itself (None: never);
    peak_opening, peak_closing [N], greatest hand forces, 0 where none is needed, at their angles
    [rad]; reserve, reserve_with_friction: net moment over weight moment (shares; inf where the
    weight has no moment); reserve_force [N at the handle]; gas_to_spare: share of gas it may
    lose at the end of travel before it sags (None where the struts do not lift there);
    latch_load, seat_load [N at the handle, shut]; balance: every balance angle; rest_bands:
    (low, high) [rad] where friction alone holds it. Reserve and reserve_force are the least over
    the last `reserve_span` of the travel.
    """

    lift_off: float | None
    peak_opening: float
    peak_opening_angle: float
    peak_closing: float
    peak_closing_angle: float
    reserve: float
    reserve_with_friction: float
    reserve_force: float
    gas_to_spare: float | None
    latch_load: float
    seat_load: float
    balance: tuple[BalanceAngle, ...]
    rest_bands: tuple[tuple[float, float], ...]


@lru_cache(maxsize=32)
def summary(sweep: Sweep) -> Summary:
    """Key figures of a sweep (model 11.11-11.15)."""
    model = door_statics(sweep.door, (sweep.condition,))
    return summaries(sweep.door, model)[0]


def balance_angles(sweep: Sweep) -> tuple[BalanceAngle, ...]:
    """Every angle strictly inside the travel where the net moment changes sign (model 11.13)."""
    return summary(sweep).balance


def rest_bands(sweep: Sweep) -> tuple[tuple[float, float], ...]:
    """Every (low, high) [rad] in which M - Mf <= 0 <= M + Mf: friction alone holds the panel."""
    return summary(sweep).rest_bands


def summaries(door: Door, model: statics.Statics) -> tuple[Summary, ...]:
    """Key figures for each condition of the statics."""
    nodes = critical_angles(model)
    at = statics.moments(model, nodes)
    every = np.broadcast_to(nodes, at.moment.shape)
    moving = _motions(model, every, at)
    peaks = _peak_moments(model, every, at)
    least_share, least_moment = least_shares(door, model)[1], least_moments(door, model)[1]
    opening_radius = door.hinge_distance(door.panel.handle)
    closing_radius = door.hinge_distance(door.closing_handle)
    found = []
    for row in range(len(model.end)):
        opening, closing = peaks[0][row], peaks[1][row]
        latch = float(at.moment[row, 0]) / opening_radius
        lifting = float(at.strut_moment[row, :, -1].sum())
        net, rubbing = float(at.moment[row, -1]), float(at.friction_moment[row, -1])
        weight = abs(float(at.gravity_moment[row, -1]))
        found.append(
            Summary(
                lift_off=moving[row].lift_off,
                peak_opening=max(0.0, opening[1] / opening_radius),
                peak_opening_angle=opening[0] if opening[1] > 0.0 else 0.0,
                peak_closing=max(0.0, closing[1] / closing_radius),
                peak_closing_angle=closing[0] if closing[1] > 0.0 else 0.0,
                reserve=float(least_share[row]),
                reserve_with_friction=share(net + rubbing, weight),
                reserve_force=float(least_moment[row]) / opening_radius,
                gas_to_spare=net / lifting if lifting > 0.0 else None,
                latch_load=max(0.0, latch),
                seat_load=max(0.0, -latch),
                balance=moving[row].balance,
                rest_bands=moving[row].rest_bands,
            )
        )
    return tuple(found)


def motions(model: statics.Statics) -> tuple[Motion, ...]:
    """What the panel does by itself in each condition of the statics, as in `summaries`."""
    nodes = critical_angles(model)
    at = statics.moments(model, nodes)
    return _motions(model, np.broadcast_to(nodes, at.moment.shape), at)


def _motions(model: statics.Statics, nodes: Floats, at: statics.Moments) -> tuple[Motion, ...]:
    resisting, free, helped = _crossings(model, nodes, at)
    bands = _rest_bands(model, resisting, helped)
    to_spare = at.moment[:, -1] - at.friction_moment[:, -1]
    return tuple(
        Motion(
            lift_off=_lift_off(resisting[row], float(to_spare[row])),
            balance=_balance(free[row], at.moment[row]),
            rest_bands=bands[row],
        )
        for row in range(len(model.end))
    )


def share(moment: float, weight: float) -> float:
    """A moment as a share of the weight moment; infinite where the weight has none."""
    if weight > 0.0:
        return moment / weight
    return float(np.copysign(np.inf, moment)) if moment else 0.0


def critical_angles(model: statics.Statics) -> Floats:
    """Angles that no curve may be judged without: every 0.5°, both ends, every dead centre.

    Shared by all conditions [n], or a row for each [c, n] where their travels differ.
    """
    highest = float(model.end.max())
    centres = geometry.dead_centres(model.geometry, highest)
    ends = np.unique(model.end)
    if len(ends) == 1:
        return np.union1d(travel_angles(highest), centres)
    pieces = len(travel_angles(highest))
    shared = np.linspace(0.0, 1.0, pieces)[None, :] * model.end[:, None]
    inside = np.minimum(centres[None, :], model.end[:, None])
    return np.sort(np.concatenate([shared, inside], axis=1), axis=1)


def _curve(
    model: statics.Statics, condition: Indices, side: Floats
) -> Callable[[Indices, Floats], Floats]:
    """Net moment with friction on a side, as a curve of rows (condition and side) and angles."""
    return lambda rows, angle: statics.with_friction(model.take(condition[rows]), side[rows], angle)


def _crossings(
    model: statics.Statics, nodes: Floats, at: statics.Moments
) -> tuple[list[Floats], list[Floats], list[Floats]]:
    """Roots of M - Mf, M and M + Mf for each condition."""
    count = len(model.end)
    side = np.repeat([OPENING, FRICTIONLESS, CLOSING], count)
    condition = np.tile(np.arange(count), 3)
    values = np.concatenate(
        [at.moment - at.friction_moment, at.moment, at.moment + at.friction_moment]
    )
    found = roots.find_roots(_curve(model, condition, side), np.tile(nodes, (3, 1)), values)
    return found[:count], found[count : 2 * count], found[2 * count :]


def _peak_moments(
    model: statics.Statics, nodes: Floats, at: statics.Moments
) -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
    """Angle and greatest value of -(M - Mf) and of M + Mf for each condition [N·m]."""
    count = len(model.end)
    condition = np.tile(np.arange(count), 2)
    side = np.repeat([OPENING, CLOSING], count)
    signed = _curve(model, condition, side)
    values = np.concatenate([-(at.moment - at.friction_moment), at.moment + at.friction_moment])
    angle, value = roots.find_peaks(
        lambda rows, theta: side[rows][:, None] * signed(rows, theta),
        np.tile(nodes, (2, 1)),
        values,
    )
    pairs = list(zip(angle.tolist(), value.tolist(), strict=True))
    return pairs[:count], pairs[count:]


def reserve_angles(end: Floats, span: float) -> Floats:
    """Angles over which the reserves are asked, the last `span` of each travel [c, m] [rad]."""
    low = np.maximum(0.0, end - span)
    share_of_span = np.linspace(0.0, 1.0, SPAN_NODES) if span > 0.0 else np.ones(1)
    return low[:, None] + (end - low)[:, None] * share_of_span


Least = tuple[Floats, Floats]
"""Angle [rad] at which a figure is least over the reserve span, and the figure there, each [c]."""


def least_moments(door: Door, model: statics.Statics) -> Least:
    """Least net moment [N·m] over the reserve span in each condition of the statics."""
    return _least(door, model, lambda at: at.moment)


def least_shares(door: Door, model: statics.Statics) -> Least:
    """Least share M/|Mg| over the reserve span."""
    return _least(door, model, _shares)


def least_gas(door: Door, model: statics.Statics) -> Least:
    """Least share of gas that may be lost over the reserve span; -inf where struts do not lift."""
    return _least(door, model, _gas)


def _least(
    door: Door, model: statics.Statics, figure: Callable[[statics.Moments], Floats]
) -> Least:
    nodes = reserve_angles(model.end, door.limits.reserve_span)
    values = figure(statics.moments(model, nodes))
    if nodes.shape[1] == 1:
        return nodes[:, 0], values[:, 0]

    def falling(rows: Indices, angle: Floats) -> Floats:
        return -figure(statics.moments(model.take(rows), angle))

    angle, value = roots.find_peaks(falling, nodes, -values)
    return angle, -value


def _shares(at: statics.Moments) -> Floats:
    weight = np.abs(at.gravity_moment)
    infinite = np.where(at.moment >= 0.0, np.inf, -np.inf)
    return np.divide(at.moment, weight, out=infinite, where=weight > 0.0)


def _gas(at: statics.Moments) -> Floats:
    lifting = at.strut_moment.sum(axis=1)
    return np.divide(at.moment, lifting, out=np.full_like(lifting, -np.inf), where=lifting > 0.0)


def _lift_off(resisting: Floats, at_end: float) -> float | None:
    """Last root of M - Mf, if it is positive from there to the end (model 11.12)."""
    if at_end <= 0.0:
        return None
    return float(resisting[-1]) if len(resisting) else 0.0


def _balance(free: Floats, moment: Floats) -> tuple[BalanceAngle, ...]:
    """Roots of M with their kind: stable where the moment falls through zero.

    It changes sign at each of them, so every other one is stable, also where two lie side by
    side between two nodes.
    """
    falls = bool((moment[np.flatnonzero(moment)[:1]] > 0.0).any())
    return tuple(
        BalanceAngle(angle=float(root), stable=falls == (place % 2 == 0))
        for place, root in enumerate(free)
    )


def _rest_bands(
    model: statics.Statics, resisting: list[Floats], helped: list[Floats]
) -> list[tuple[tuple[float, float], ...]]:
    """For each condition the maximal intervals with M - Mf <= 0 <= M + Mf, between their roots."""
    edges = [
        np.array(sorted({0.0, float(end), *low.tolist(), *high.tolist()}))
        for end, low, high in zip(model.end, resisting, helped, strict=True)
    ]
    rows = np.repeat(np.arange(len(edges)), [len(one) - 1 for one in edges])
    middle = np.concatenate([(one[:-1] + one[1:]) / 2.0 for one in edges])
    at = statics.moments(model.take(rows), middle[:, None])
    holds = (np.abs(at.moment) <= at.friction_moment) & (at.friction_moment > 0.0)
    return [_joined(own, holds[rows == row, 0]) for row, own in enumerate(edges)]


def _joined(edges: Floats, holds: npt.NDArray[np.bool_]) -> tuple[tuple[float, float], ...]:
    """Neighbouring intervals that hold, as one."""
    bands: list[tuple[float, float]] = []
    for low, high, rests in zip(edges[:-1].tolist(), edges[1:].tolist(), holds, strict=True):
        if rests and bands and bands[-1][1] == low:
            bands[-1] = (bands[-1][0], high)
        elif rests:
            bands.append((low, high))
    return tuple(bands)
