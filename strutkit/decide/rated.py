"""A door with other ratings on its struts: all else on the labels as it is.

What a label leaves out is read from the rating it then has: the tolerance (model 11.3), the
assumed friction (11.1), the gas column of its force ratio and the pressure in its tube. So every
rating is judged as `check` judges a door with that strut.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from strutkit.compute import gas, statics
from strutkit.data import tables
from strutkit.decide.conditions import (
    TOLERANCE_SHARE,
    charges,
    force_of_charge,
    own_ageing,
    used_tolerance,
)
from strutkit.describe.labels import ASSUMED_PRESSURE, assumed_friction
from strutkit.describe.records import Condition, Door

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]

HIGHEST_RATING = 1e6
"""No record takes a greater rating [N]."""

HIGHEST_PRESSURE = 50e6
"""Up to here [Pa] the fit of real nitrogen still grows with pressure; it is good to 20 MPa, and
no published strut goes over 13."""

BEYOND = 1e-3
"""Bounds of the published tables are inclusive: the next row begins this far beyond [N]."""


def alike(door: Door, place: int) -> list[int]:
    """Places in `door.struts` that hold the same strut as this one, their names apart."""
    own = door.struts[place].strut
    return [
        other for other, one in enumerate(door.struts) if replace(one.strut, name=own.name) == own
    ]


def fitted_of(door: Door, places: Sequence[int]) -> tuple[int, ...]:
    """Indices in `door.fitted` of the struts in these places of `door.struts`, twins with them."""
    owner = [place for place, one in enumerate(door.struts) for _ in range(1 + one.mirrored)]
    return tuple(index for index, place in enumerate(owner) if place in places)


@dataclass(frozen=True, slots=True)
class Regime:
    """Factors from low to high over which what the labels leave out follows one rule.

    friction [s] [N]; tolerance = base + share · rating, each [s]. follows: it goes on where the
    regime before ends. starved_by: the condition (row) that leaves a strut no charge below it.
    """

    low: float
    high: float
    friction: Floats
    tolerance_base: Floats
    tolerance_share: Floats
    follows: bool = False
    starved_by: int | None = None


class RatedDoor:
    """The struts `scaled` with q times their present charge F1 + f, the others as they are.

    The factor q only says which ratings go together, F1' = q (F1 + f) - f with the present
    friction; what such struts do follows from their own labels.
    """

    def __init__(
        self, door: Door, conditions: Sequence[Condition], scaled: Sequence[int] | None = None
    ) -> None:
        struts = [one.strut for one in door.fitted]
        laws = [one.gas_law for one in struts]
        self.conditions = conditions
        self.scaled: Flags = np.isin(
            np.arange(len(struts)), range(len(struts)) if scaled is None else list(scaled)
        )
        self.rating = np.array([one.rating for one in struts])
        self.friction = np.array([one.friction for one in laws])
        self.charge = self.rating + self.friction
        self.ratio = np.array([one.force_ratio for one in laws])
        self.stroke = np.array([one.stroke for one in struts])
        self.distance = np.array([one.distance for one in laws])
        self.rod = np.array([one.rod_diameter or np.nan for one in struts])
        self.own_ageing = own_ageing(door, conditions)
        self.friction_assumed = np.array([one.friction is None for one in struts], dtype=bool)
        self.tolerance_assumed = np.array([one.tolerance is None for one in struts], dtype=bool)
        self.tolerance = np.array([used_tolerance(one) for one in struts])
        self.regimes = self._regimes()

    def ratings(self, factor: npt.ArrayLike) -> Floats:
        """Ratings [..., s] [N] at factors [...]."""
        q = np.asarray(factor, dtype=float)[..., None]
        return np.asarray(np.where(self.scaled, q * self.charge - self.friction, self.rating))

    def statics(
        self, present: statics.Statics, regime: Indices, factor: Floats
    ) -> tuple[statics.Statics, Floats]:
        """The statics at u factors, each in its regime, and the share of each gas force that
        comes from the charge that is scaled [u c, s]; rows: factor by factor, all conditions."""
        rating = self.ratings(factor)
        friction = np.array([self.regimes[one].friction for one in regime]).reshape(rating.shape)
        base = np.array([self.regimes[one].tolerance_base for one in regime])
        more = np.array([self.regimes[one].tolerance_share for one in regime])
        tolerance = (base + more * rating).reshape(rating.shape)
        extended, inverse_column = gas.gas_column(
            rating, self.ratio, friction, self.stroke, self.distance
        )
        pressure = np.where(
            np.isnan(self.rod), ASSUMED_PRESSURE, gas.charge_pressure(extended, self.rod)
        )
        labelled = (rating + friction)[:, None, :]
        charged = charges(labelled, tolerance[:, None, :], self.conditions)
        force = force_of_charge(
            charged,
            (1.0 - self.distance * inverse_column)[:, None, :],
            pressure[:, None, :],
            self.conditions,
        )
        count = len(self.conditions)
        rows = np.tile(np.arange(count), len(factor))
        force = (force * self.own_ageing).reshape(len(rows), -1)
        share = np.where(self.scaled, labelled / charged, 0.0).reshape(len(rows), -1)
        model = replace(
            present.take(rows),
            inverse_column=np.repeat(inverse_column, count, axis=0),
            friction=np.repeat(friction, count, axis=0),
            force_extended=force,
        )
        return model, share

    def next_factor(self, regime: Indices, factor: Floats, share: Floats) -> Floats:
        """Factors at which the charges are `share` times those at `factor`."""
        whole = float(self.charge[self.scaled].sum())
        if whole == 0.0:
            return share
        change = np.array(
            [float((one.friction - self.friction)[self.scaled].sum()) for one in self.regimes]
        )[regime]
        return np.asarray((share * (factor * whole + change) - change) / whole)

    def _regimes(self) -> list[Regime]:
        if not self.scaled.any():
            nothing = np.zeros_like(self.rating)
            return [Regime(1e-9, 1e9, self.friction, self.tolerance, nothing)]
        least = float((self.friction / self.charge)[self.scaled].max()) * (1.0 + 1e-9) + 1e-9
        most = self._most()
        cuts = {most}
        for assumed, bounds in (
            (self.friction_assumed, [bound for bound, _ in tables.FRICTION_LIMITS]),
            (self.tolerance_assumed, [tables.SMALL_STRUT_RATING]),
        ):
            for bound in bounds:
                cuts.update(self._factor(bound)[self.scaled & assumed].tolist())
        found: list[Regime] = []
        low, follows, starved_by = least, False, None
        for cut in sorted(one for one in cuts if least < one <= most):
            if cut <= low:
                continue
            regime = self._regime(low, cut)
            if regime.low == low:
                regime = replace(regime, follows=follows, starved_by=starved_by)
            held = regime.low < regime.high
            if held:
                found.append(regime)
            follows = held and regime.high == cut
            starved_by = None if held else regime.starved_by
            low = cut + BEYOND / float(self.charge[self.scaled].max())
        return found

    def _most(self) -> float:
        """The greatest factor looked at: no record takes more, or no tube would hold it."""
        area = np.pi * self.rod**2 / 4.0
        pressed = (HIGHEST_PRESSURE - gas.ATMOSPHERE) * area - self.friction
        highest = np.where(np.isnan(self.rod), HIGHEST_RATING, np.minimum(pressed, HIGHEST_RATING))
        return max(1.0, float(self._factor(highest)[self.scaled].min()))

    def _factor(self, rating: float | Floats) -> Floats:
        return np.asarray((rating + self.friction) / self.charge)

    def _regime(self, low: float, high: float) -> Regime:
        inside = self.ratings((low + high) / 2.0)
        changes = self.scaled & self.friction_assumed
        friction = np.where(changes, [assumed_friction(one) for one in inside], self.friction)
        over = self.scaled & self.tolerance_assumed & (inside > tables.SMALL_STRUT_RATING)
        under = self.scaled & self.tolerance_assumed & ~over
        base = np.where(over, 0.0, self.tolerance)
        base = np.where(under, tables.SMALL_STRUT_TOLERANCE.value, base)
        share = np.where(over, TOLERANCE_SHARE, 0.0)
        most = min(high, self._most_column(friction))
        least, row = self._least_charged(friction, base, share)
        if least <= low:
            return Regime(low, most, friction, base, share)
        return Regime(least, most, friction, base, share, starved_by=row)

    def _least_charged(self, friction: Floats, base: Floats, share: Floats) -> tuple[float, int]:
        """From which factor on every condition leaves every scaled strut a charge, and the one
        (row) that asks for the most."""
        bounds = []
        for one in self.conditions:
            growth = 1.0 + one.rating_tolerance * share
            rest = friction + one.rating_change + one.rating_tolerance * base
            bounds.append(float(self._factor(-rest / growth)[self.scaled].max()))
        least = max(0.0, *bounds)
        return least * (1.0 + 1e-9) + 1e-9, bounds.index(max(bounds))

    def _most_column(self, friction: Floats) -> float:
        """Up to which factor the label leaves a gas column longer than the stroke: b C < a (S - C)
        with a = F1 + f and b = r F1 + f."""
        excess = self.ratio * self.distance - (self.stroke - self.distance)
        spare = friction * (self.stroke - 2.0 * self.distance)
        bound = np.divide(spare, excess, out=np.full_like(spare, np.inf), where=excess > 0.0)
        return float(self._factor(bound)[self.scaled].min()) * (1.0 - 1e-9)
