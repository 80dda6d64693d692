"""Value axes of the live view: chosen at rest, kept through a drag."""

from typing import Any

import numpy as np
import numpy.typing as npt

from strutkit.describe.records import Limits
from strutkit.show.chart_data import value_ticks

Floats = npt.NDArray[np.float64]

HEADROOM = 0.08
"""Share of an axis left free beyond the outermost curve."""

LEAST_SPAN = 1e-3
"""An axis holds at least about so much [N, N·m], else rounding fills it."""


def axes(arrays: dict[str, Floats], limits: Limits) -> dict[str, dict[str, Any]]:
    """Low, high and ticks of each chart for the arrays of `curves`."""
    moments: tuple[str, ...] = ("strut_moment", "strut_low", "strut_high")
    moments += ("weight_moment", "weight_low", "weight_high")
    pushes = [arrays[name] for name in ("opening", "worst_opening")]
    pulls = [-arrays[name] for name in ("closing", "worst_closing")]
    asked = [limits.hand_opening, None if limits.hand_closing is None else -limits.hand_closing]
    given = [one for one in asked if one is not None]
    return {
        "moment": value_axis([*(arrays[name] for name in moments), [0.0]]),
        "force": value_axis([*pushes, *pulls, [0.0], given]),
        "hinge": value_axis([arrays["first"], arrays["second"], [limits.hinge_radial or 0.0]]),
    }


def value_axis(curves: list[npt.ArrayLike]) -> dict[str, Any]:
    """An axis that holds zero and all of these values, with ticks at round numbers."""
    values = np.concatenate([np.ravel(each) for each in curves])
    low, high = min(float(values.min()), 0.0), max(float(values.max()), 0.0)
    room = HEADROOM * max(high - low, LEAST_SPAN)
    low, high = low - room * (low < 0.0), high + room
    return {"low": low, "high": high, "ticks": value_ticks(low, high)}
