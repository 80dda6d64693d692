"""Gas strut: from the label to the force, slow and at temperature.

Model sections 2 and 11.1-11.4. Symbols inside a function follow GB/T 25751-2010, table 1.
"""

from typing import TypeVar

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

ATMOSPHERE = 101_325.0
"""Standard atmosphere [Pa] (ISO 2533:1975; from memory)."""

REFERENCE_TEMPERATURE = 293.15
"""Temperature of every label, 20 °C [K]."""


def measuring_distance(stroke: float) -> float:
    """Distance of the measuring points from the ends of travel [m].

    5 mm for strokes up to 80 mm, else 10 mm (GB/T 25751-2010, table 1, point C).

    >>> measuring_distance(0.080), measuring_distance(0.081)
    (0.005, 0.01)
    """
    return 0.005 if stroke <= 0.080 + 1e-9 else 0.010


Value = TypeVar("Value", float, Floats)


def gas_column(
    rating: Value, force_ratio: Value, friction: Value, stroke: Value, distance: Value
) -> tuple[Value, Value]:
    """Gas force at full extension [N] and reciprocal of the gas column length [1/m].

    With a = F1 + f and b = r F1 + f at the distance C from either end of the stroke S:

        1/G = (b - a) / (b (S - C) - a C)        Fext = a (1 - C/G)

    rating F1 [N], force_ratio r = F2/F1, friction f [N] (half the loop width F3 - F1),
    stroke S [m], distance C [m]. A constant force (r = 1) has 1/G = 0.

    >>> force, inverse = gas_column(400.0, 1.3, 0.0, 0.200, 0.0)   # G = S r / (r - 1)
    >>> round(force, 9), round(1 / inverse, 9)
    (400.0, 0.866666667)
    """
    a = rating + friction
    b = force_ratio * rating + friction
    inverse_column = (b - a) / (b * (stroke - distance) - a * distance)
    return a * (1.0 - distance * inverse_column), inverse_column


def charge_pressure(force_extended: Value, rod_diameter: Value) -> Value:
    """Absolute pressure [Pa] at full extension and 20 °C: p = p_atm + Fext / (pi d²/4).

    force_extended [N] new, without rating change or ageing; rod_diameter [m]. The piston is
    open on both sides, so only the rod's section counts.
    """
    return ATMOSPHERE + force_extended / (np.pi * rod_diameter**2 / 4.0)


def temperature_factor(temperature: npt.ArrayLike, pressure: npt.ArrayLike) -> Floats:
    """Gas force at a temperature over the gas force at 20 °C, same volume.

        q = 1 + k (T - 293.15) / 293.15        k = 1 + 0.02582 p - 0.000257 p²   (p in MPa)
        factor = (p q - p_atm) / (p - p_atm)

    temperature T [K], pressure p absolute [Pa] at 20 °C; shapes broadcast. The fit is to real
    nitrogen at fixed volume (Span et al. 2000, as computed by CoolProp), good to 0.32 % of
    pressure for 2-20 MPa and -40...80 °C.
    """
    p = np.asarray(pressure, dtype=float)
    megapascal = p * 1e-6
    k = 1.0 + 0.02582 * megapascal - 0.000257 * megapascal**2
    q = 1.0 + k * (np.asarray(temperature, dtype=float) / REFERENCE_TEMPERATURE - 1.0)
    return np.asarray((p * q - ATMOSPHERE) / (p - ATMOSPHERE))


def gas_force(
    force_extended: npt.ArrayLike, inverse_column: npt.ArrayLike, compression: npt.ArrayLike
) -> Floats:
    """Gas force [N] at a travel x from full extension: Fext / (1 - x/G).

    force_extended Fext [N], inverse_column 1/G [1/m], compression x = Lext - L [m]; shapes
    broadcast. Slow (isothermal) movement.
    """
    x = np.asarray(compression, dtype=float)
    force, column = np.asarray(force_extended, dtype=float), np.asarray(inverse_column, dtype=float)
    return np.asarray(force / (1.0 - x * column))
