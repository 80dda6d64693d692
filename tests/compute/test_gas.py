"""Gas strut: real nitrogen against CoolProp and a published table, the label against itself.

CoolProp (test library) computes nitrogen by Span, Lemmon, Jacobsen, Wagner and Yokozeki, J. Phys.
Chem. Ref. Data 29 (2000) 1361. The printed table of isochoric ratios was computed with it once,
and is checked against it here as well, so that neither is trusted alone.
"""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from strutkit.compute import gas
from tests import plain_statics

AIR = 101325.0
PRESSURES = np.linspace(2e6, 20e6, 19)  # at 20 °C [Pa]
TEMPERATURES = np.linspace(233.15, 353.15, 25)  # -40...80 °C [K]

# p(T)/p(20 °C) at fixed volume, absolute: T [°C] -> ratio at 5, 10, 15 and 20 MPa. CoolProp
# values as printed to four digits in the project's table of nitrogen, marked computed.
PRINTED = {
    -30: (0.8083, 0.7887, 0.7717, 0.7578),
    -20: (0.8468, 0.8312, 0.8176, 0.8065),
    -10: (0.8851, 0.8735, 0.8634, 0.8551),
    0: (0.9235, 0.9158, 0.9090, 0.9035),
    10: (0.9618, 0.9579, 0.9546, 0.9518),
    20: (1.0, 1.0, 1.0, 1.0),
    30: (1.0382, 1.0420, 1.0453, 1.0480),
    40: (1.0763, 1.0839, 1.0905, 1.0960),
    50: (1.1144, 1.1258, 1.1357, 1.1438),
    60: (1.1525, 1.1676, 1.1807, 1.1915),
    70: (1.1905, 1.2093, 1.2257, 1.2391),
    80: (1.2285, 1.2509, 1.2705, 1.2866),
}
PRINTED_AT_13 = {-30: 0.7781, -20: 0.8227, 60: 1.1757, 80: 1.2631}
ROWS = [
    (celsius, megapascal, ratio)
    for celsius, row in PRINTED.items()
    for megapascal, ratio in zip((5, 10, 15, 20), row, strict=True)
] + [(celsius, 13, ratio) for celsius, ratio in PRINTED_AT_13.items()]
PRINT_ROUNDING = 0.5e-4


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


@pytest.mark.parametrize(("celsius", "megapascal", "ratio"), ROWS)
def test_printed_isochore(
    celsius: float, megapascal: float, ratio: float, isochore: Callable[[float, float], float]
) -> None:
    p = megapascal * 1e6
    assert isochore(celsius + 273.15, p) / p == pytest.approx(ratio, abs=2 * PRINT_ROUNDING)
    force_ratio = float(gas.temperature_factor(celsius + 273.15, p))
    pressure_ratio = (force_ratio * (p - AIR) + AIR) / p
    assert pressure_ratio == pytest.approx(ratio, rel=0.0032, abs=PRINT_ROUNDING)


def test_printed_gauge_ratio() -> None:
    """Force counts pressure above the air's: 0.8043 where absolute pressures give 0.8083
    (5 MPa, -30 °C; same table, computed)."""
    assert gas.temperature_factor(243.15, 5e6) == pytest.approx(0.8043, rel=0.0035)
    assert abs(gas.temperature_factor(243.15, 5e6) - 0.8043) < abs(
        gas.temperature_factor(243.15, 5e6) - 0.8083
    )


def test_ideal_gas_promises_too_much_in_the_cold() -> None:
    cold, hot = (gas.temperature_factor(T, PRESSURES) for T in (243.15, 353.15))
    assert (cold < 243.15 / 293.15).all()
    assert (hot > 353.15 / 293.15).all()


def test_no_change_at_the_temperature_of_the_label() -> None:
    np.testing.assert_array_equal(gas.temperature_factor(293.15, PRESSURES), 1.0)


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


# Rod diameter [mm], F1 [N], force ratio, stroke [mm] -> charge pressure [MPa] and work over the
# stroke [J] of real nitrogen, as printed in the project's table of stored energy (computed with
# CoolProp). Its last pressure, 9.9, is 9.845 in full: it was rounded up.
STORED = [
    (6, 300.0, 1.25, 100, 10.7, 34),
    (8, 500.0, 1.30, 200, 10.1, 114),
    (10, 800.0, 1.30, 250, 10.3, 229),
    (14, 1500.0, 1.30, 400, 9.9, 686),
]


@pytest.mark.parametrize(("rod", "rating", "ratio", "stroke", "pressure", "work"), STORED)
def test_charge_pressure_and_work(
    rod: float, rating: float, ratio: float, stroke: float, pressure: float, work: float
) -> None:
    """The table takes F1 as the gas force at full extension, without friction (C = 0).

    Its work is printed in whole joules and is that of real nitrogen, which the isothermal column
    follows within 1 % at these charges.
    """
    extended, inverse = gas.gas_column(rating, ratio, 0.0, stroke / 1e3, 0.0)
    assert gas.charge_pressure(extended, rod / 1e3) / 1e6 == pytest.approx(pressure, abs=0.06)
    x, weight = np.polynomial.legendre.leggauss(20)
    along = (x + 1.0) / 2.0 * stroke / 1e3
    done = float(weight @ gas.gas_force(extended, inverse, along)) / 2.0 * stroke / 1e3
    assert done == pytest.approx(work, abs=0.5 + 0.01 * work)
