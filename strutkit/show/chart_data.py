"""What a chart is made of, as plain data: curves, bands, limits, marks, and the ticks of its axes.

Angles are in degrees and values in the unit of the chart, as they are drawn.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.describe.numbers import MINUS, travel_text

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """A line over the angle, named directly beside it."""

    x: Floats
    y: Floats
    role: str
    label: str = ""
    text_role: str = "text"


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """The area between two curves: a tint, or dots for friction."""

    x: Floats
    low: Floats
    high: Floats
    role: str
    label: str = ""
    text_role: str = "note"


@dataclass(frozen=True, slots=True)
class Limit:
    """A value that must not be passed: forbidden above it, or below it."""

    value: float
    above: bool
    label: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A point on a curve: a dot with its figure, or the open circle of a balance angle."""

    x: float
    y: float
    role: str
    label: str = ""
    text_role: str = "text"


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the travel [degrees] and what the panel does there by itself."""

    low: float
    high: float
    words: str
    rests: bool = False


@dataclass(frozen=True, slots=True)
class Scale:
    """The travel as one bar: stretches, lift-off, balance angles [degrees].

    drops: the weight opens the panel, so it drops rather than lifts off.
    """

    stretches: tuple[Stretch, ...]
    lift_off: float | None
    balance: tuple[float, ...]
    drops: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Chart:
    """All that a chart shows. span, reach: ends of the two axes; ticks: places and figures.

    words: a sentence in the place of a curve that is not there. description: the chart in words.
    """

    title: str
    unit: str
    span: tuple[float, float]
    reach: tuple[float, float]
    x_ticks: tuple[tuple[float, str], ...]
    y_ticks: tuple[tuple[float, str], ...]
    curves: tuple[Curve, ...]
    bands: tuple[Band, ...] = ()
    over: tuple[Band, ...] = ()
    limits: tuple[Limit, ...] = ()
    marks: tuple[Mark, ...] = ()
    scale: Scale | None = None
    words: str = ""
    description: str = ""


def tick_text(value: float) -> str:
    return f"{value:.6g}".replace("-", MINUS)


def value_ticks(low: float, high: float, most: int = 5) -> list[float]:
    """Round values between low and high."""
    from matplotlib.ticker import MaxNLocator

    ticks = MaxNLocator(nbins=most, steps=[1, 2, 4, 5, 10]).tick_values(low, high)
    slack = 1e-9 * max(abs(low), abs(high), 1e-9)
    return [float(tick) + 0.0 for tick in ticks if low - slack <= tick <= high + slack]


def angle_ticks(end: float) -> tuple[tuple[float, str], ...]:
    """Angles to figure from 0 to the end of travel [degrees], the end named "open 98°"."""
    from matplotlib.ticker import MultipleLocator

    step = next(step for step in (1, 5, 10, 15, 30, 45, 60) if end / step <= 7.0)
    inner = [float(tick) for tick in MultipleLocator(step).tick_values(0.0, end)]
    kept = [(tick, f"{tick:g}°") for tick in inner if 0.0 <= tick < end - 1e-9]
    return (*kept, (end, f"open {travel_text(math.radians(end))}"))
