"""Value axes of the live view: chosen at rest, kept through a drag."""

from typing import Any

import numpy as np
import numpy.typing as npt

from strutkit.describe.records import Limits

Floats = npt.NDArray[np.float64]

HEADROOM = 0.06
"""Share of an axis left free beyond the outermost curve."""


def axes(arrays: dict[str, Floats], limits: Limits) -> dict[str, dict[str, Any]]:
    """Low, high and ticks of each chart for the arrays of `curves`."""
    moments = ("strut_moment", "weight_moment", "strut_low", "strut_high", "weight_high")
    pushes = [arrays[name] for name in ("opening", "worst_opening")]
    pulls = [-arrays[name] for name in ("closing", "worst_closing")]
    asked = [limits.hand_opening, None if limits.hand_closing is None else -limits.hand_closing]
    hinge = [arrays["first"], arrays["second"]]
    return {
        "moment": value_axis([*(arrays[name] for name in moments), [0.0]]),
        "force": value_axis([*pushes, *pulls, [0.0], [one for one in asked if one is not None]]),
        "hinge": value_axis([*hinge, [0.0], [limits.hinge_radial or 0.0]]),
    }


def value_axis(curves: list[Any], pieces: int = 5) -> dict[str, Any]:
    """An axis that holds all of these values, with ticks at round numbers."""
    from matplotlib.ticker import MaxNLocator

    values = np.concatenate([np.ravel(each) for each in curves])
    low, high = float(values.min()), float(values.max())
    room = HEADROOM * max(high - low, 1.0)
    low, high = low - room * (low < 0.0), high + room
    ticks = MaxNLocator(nbins=pieces, steps=[1, 2, 2.5, 4, 5, 10]).tick_values(low, high)
    inside = [float(tick) for tick in ticks if low - 1e-9 <= tick <= high + 1e-9]
    return {"low": low, "high": high, "ticks": inside}
