"""Equilibria of a textbook's potential, found by the kit's own root finder."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from strutkit.compute.roots import find_roots


@dataclass(frozen=True, kw_only=True)
class Equilibrium:
    """Angle [rad] and whether a small push is answered by a moment that turns it back."""

    angle: float
    stable: bool


def equilibria(
    moment: Callable[[np.ndarray], np.ndarray], low: float, high: float, *, pieces: int = 200
) -> tuple[Equilibrium, ...]:
    """Every angle between low and high [rad] at which the moment -dV/dt changes sign.

    Stable where it falls through zero, as the kit's balance angles are.
    """
    nodes = np.linspace(low, high, pieces + 1)[None, :]
    found = find_roots(lambda rows, angle: moment(angle), nodes, moment(nodes))[0]
    step = 1e-6
    before, after = moment(found - step), moment(found + step)
    return tuple(
        Equilibrium(angle=float(angle), stable=bool(left > right))
        for angle, left, right in zip(found, before, after, strict=True)
    )
