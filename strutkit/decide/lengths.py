"""Strut lengths by opening angle: for the sheet, and for a slat or telescoping tube held in place
of a strut before anything is drilled. Model section 2."""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.decide.sweep import sweep
from strutkit.describe.records import Door

Floats = npt.NDArray[np.float64]

LENGTH_STEP = math.radians(10.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StrutLengths:
    """angle [n] [rad]; length [s, n], mount to mount; kept_compressed, kept_extended [s, n]:
    stroke left to either end [m]."""

    angle: Floats
    length: Floats
    kept_compressed: Floats
    kept_extended: Floats


def strut_lengths(door: Door) -> StrutLengths:
    """Strut lengths every 10° and at both ends of the travel. Raises as `sweep` does."""
    end = sweep(door, angles=[0.0]).end_of_travel
    whole = np.arange(math.ceil(end / LENGTH_STEP - 1e-6)) * LENGTH_STEP
    swept = sweep(door, angles=np.append(whole, end))
    extended = np.array([one.strut.extended_length for one in door.fitted]).reshape(-1, 1)
    stroke = np.array([one.strut.stroke for one in door.fitted]).reshape(-1, 1)
    kept_extended = extended - swept.strut_length
    return StrutLengths(
        angle=swept.angle,
        length=swept.strut_length,
        kept_compressed=stroke - kept_extended,
        kept_extended=kept_extended,
    )
