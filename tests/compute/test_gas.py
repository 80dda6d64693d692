"""Gas strut: real nitrogen against CoolProp, the label against what its letters mean.

CoolProp (test library) computes nitrogen by Span, Lemmon, Jacobsen, Wagner and Yokozeki, J. Phys.
Chem. Ref. Data 29 (2000) 1361.
"""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from strutkit.compute import gas
from tests import plain_statics

AIR = 101325.0
PRESSURES = np.linspace(2e6, 20e6, 10)  # at 20 °C [Pa]
TEMPERATURES = np.linspace(233.15, 353.15, 13)  # -40...80 °C [K]


@pytest.fixture(scope="module")
def isochore() -> Callable[[float, float], float]:
    """Pressure [Pa] of nitrogen at a temperature [K], with the density it has at 20 °C and p."""
    from CoolProp.CoolProp import PropsSI

    def pressure(temperature: float, at_20: float) -> float:
        density = PropsSI("D", "T", 293.15, "P", at_20, "Nitrogen")
        return float(PropsSI("P", "T", temperature, "D", density, "Nitrogen"))

    return pressure


def test_force_is_that_of_real_nitrogen(isochore: Callable[[float, float], float]) -> None:
    real = np.array(
        [
            [(isochore(T, p) - AIR) / (p - AIR) for T in TEMPERATURES.tolist()]
            for p in PRESSURES.tolist()
        ]
    )
    ours = gas.temperature_factor(TEMPERATURES, PRESSURES[:, None])
    assert ours.shape == real.shape
    assert np.abs(ours / real - 1.0).max() <= 0.0035


@pytest.mark.parametrize(
    ("rod", "force", "pressure"), [(0.010, 400.0, 5.194283e6), (0.008, 0.0, 101325.0)]
)
def test_charge_pressure_is_absolute(rod: float, force: float, pressure: float) -> None:
    """By hand: 400 N on 78.5398 mm² is 5.092958 MPa above the air."""
    assert gas.charge_pressure(force, rod) == pytest.approx(pressure, rel=1e-7)


def test_force_counts_the_pressure_above_the_air() -> None:
    """So at low charge it falls off a little faster than absolute pressure does."""
    p = 2e6
    force = float(gas.temperature_factor(243.15, p))
    absolute = (force * (p - AIR) + AIR) / p
    assert force == pytest.approx(absolute - (1.0 - absolute) * AIR / (p - AIR), rel=1e-12)
    assert force < absolute - 0.008


def test_ideal_gas_promises_too_much_in_the_cold() -> None:
    cold, hot = (gas.temperature_factor(T, PRESSURES) for T in (243.15, 353.15))
    assert (cold < 243.15 / 293.15).all()
    assert (hot > 353.15 / 293.15).all()


def test_no_change_at_the_temperature_of_the_label() -> None:
    np.testing.assert_array_equal(gas.temperature_factor(293.15, PRESSURES), 1.0)


@settings(max_examples=30)
@given(
    rating=st.floats(10.0, 5000.0),
    ratio=st.floats(1.0, 1.8),
    friction=st.floats(0.0, 80.0),
    stroke=st.floats(0.035, 0.8),
    distance=st.none() | st.floats(0.0, 0.012),
)
def test_label_is_met_at_its_measuring_points(
    rating: float, ratio: float, friction: float, stroke: float, distance: float | None
) -> None:
    """F1 = Fgas(C) - f and F2 = r F1 = Fgas(S - C) - f: what the two letters mean."""
    C = gas.measuring_distance(stroke) if distance is None else distance
    extended, inverse = gas.gas_column(rating, ratio, friction, stroke, C)
    near, far = gas.gas_force(extended, inverse, np.array([C, stroke - C])) - friction
    assert near == pytest.approx(rating, rel=1e-12)
    assert far == pytest.approx(ratio * rating, rel=1e-12)
    if ratio > 1.0 + 1e-9:
        a, b = rating + friction, ratio * rating + friction
        assert (extended, inverse) == pytest.approx(
            plain_statics._column(a, b, stroke, C), rel=1e-7
        )


def test_constant_force() -> None:
    extended, inverse = gas.gas_column(400.0, 1.0, 20.0, 0.2, 0.01)
    assert (extended, inverse) == (420.0, 0.0)
    np.testing.assert_array_equal(gas.gas_force(extended, inverse, [0.0, 0.1, 0.2]), 420.0)


@pytest.mark.parametrize(
    ("stroke", "distance"), [(0.030, 0.005), (0.080, 0.005), (0.0801, 0.010), (0.200, 0.010)]
)
def test_measuring_distance(stroke: float, distance: float) -> None:
    """GB/T 25751-2010, table 1: C = 5 mm for strokes up to 80 mm, 10 mm above (read)."""
    assert gas.measuring_distance(stroke) == distance
