"""What is searched, and how well."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.decide.search.reach import Reach
from strutkit.decide.search.rows import Judge

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Problem:
    """What is searched: limits as greatest costs [9], the rules ranked by, and how well.

    eps: how much better a layout must be than the best of all to count, as a share of its cost
    or of `scale`, whichever is more; coarse: the same beside the best of its own choice (None:
    choices that are not the best do not matter).
    """

    judge: Judge
    reach: Reach
    limits: Floats
    ranking: tuple[int, ...]
    eps: float
    scale: float
    coarse: float | None = None

    @property
    def wanted(self) -> tuple[int, ...]:
        """The rules that have to be measured."""
        asked = np.flatnonzero(np.isfinite(self.limits))
        return tuple(sorted({*self.ranking, *(int(rule) for rule in asked)}))

    def better(self, cost: Floats | float, share: float) -> Floats:
        """The cost that a layout must be under to beat `cost` by more than the share."""
        value = np.asarray(cost, dtype=float)
        finite = np.where(np.isfinite(value), value, 0.0)
        return np.asarray(value - share * np.maximum(np.abs(finite), self.scale))
