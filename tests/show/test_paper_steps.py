"""The calculation on the sheet: beside the sweep, beside the gas law, and as it is printed."""

import inspect
import random
import re

import numpy as np
import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from strutkit import Condition, Door, read_door, sweep
from strutkit.compute import gas
from strutkit.data import door_names, door_path
from strutkit.decide.conditions import all_conditions
from strutkit.describe.hinge_points import hinge_point_names
from strutkit.show import formulas, steps
from strutkit.show.calculation import TO_OPEN, TO_SHUT, Calculation, calculation
from strutkit.show.hinge_steps import RADIAL, THRUST
from strutkit.show.mount_words import ball_names
from tests import plain_statics
from tests.doors import random_door
from tests.show.pdf_reader import page_texts, worked_out
from tests.show.picture_doors import all_doors, unlike_hatch

FORMULAS = [
    function
    for name, function in inspect.getmembers(formulas, inspect.isfunction)
    if name not in ("sin", "cos", "sqrt", "atan2")
]
DEGREES = {"theta", "psi", "psi_0", "beta_D", "beta_F"}


def check_against_sweep(made: Calculation, door, condition, angle: float) -> None:
    """Printed results beside the sweep, which goes another way: radii and phases by vectors.

    Lengths are carried at 0.01 mm and forces at 0.01 N, so moments agree to 0.1 % of their parts.
    """
    swept = sweep(door, condition=condition, angles=[angle])
    parts = np.abs(swept.strut_moment[:, 0]).sum() + abs(swept.gravity_moment[0])
    slack = 1e-3 * parts + 0.02
    assert made.result("net moment").value == pytest.approx(swept.moment[0], abs=slack)
    assert made.result("moment of all friction").value == pytest.approx(
        swept.friction_moment[0], abs=slack
    )
    opening = slack / door.hinge_distance(door.panel.handle)
    closing = slack / door.hinge_distance(door.closing_handle)
    assert made.result(TO_OPEN).value == pytest.approx(swept.hand_force_opening[0], abs=2 * opening)
    assert made.result(TO_SHUT).value == pytest.approx(swept.hand_force_closing[0], abs=2 * closing)


def test_no_symbol_is_the_name_of_a_ball_and_headings_name_the_balls() -> None:
    """F1 is a place to drill, so it may not be a force as well."""
    door = unlike_hatch()
    made = calculation(door, Condition(name="new"), 0.3)
    symbols = {"".join(text for _, text in one.symbol) for _, block in made.blocks for one in block}
    assert not symbols & {name for names in ball_names(door) for name in names}
    headings = [heading for heading, _ in made.blocks if heading.startswith("Strut ")]
    assert headings == ["Strut post 400, F1–D1", "Strut post 350, F2–D2"]


@settings(max_examples=12)
@given(seed=st.integers(0, 2**32 - 1), share=st.floats(0.0, 1.0))
def test_random_doors_beside_the_sweep(seed: int, share: float) -> None:
    door = random_door(
        seed,
        struts=seed % 4,
        conditions=2,
        faults=True,
        mirrored=seed % 8 > 3,
        assumed=seed % 2 > 0,
    )
    for condition in all_conditions(door):
        end = sweep(door, condition=condition, angles=[0.0]).end_of_travel
        made = calculation(door, condition, share * end)
        check_against_sweep(made, door, condition, share * end)


@pytest.mark.parametrize("name", door_names())
def test_example_doors_beside_the_sweep_to_a_tenth_of_a_newton(name: str) -> None:
    door = read_door(door_path(name))
    for condition in all_conditions(door):
        end = sweep(door, condition=condition, angles=[0.0]).end_of_travel
        for angle in np.linspace(0.0, end, 7):
            swept = sweep(door, condition=condition, angles=[angle])
            made = calculation(door, condition, float(angle))
            for says, force in (
                (TO_OPEN, swept.hand_force_opening[0]),
                (TO_SHUT, swept.hand_force_closing[0]),
            ):
                assert made.result(says).value == pytest.approx(force, abs=0.1)


@given(
    rating=st.floats(50.0, 3000.0),
    ratio=st.floats(1.0, 1.6),
    friction=st.floats(0.0, 60.0),
    stroke=st.floats(0.05, 0.5),
    diameter=st.floats(0.006, 0.02),
    temperature=st.floats(233.15, 353.15),
)
def test_gas_formulas_are_those_of_the_sweep(
    rating, ratio, friction, stroke, diameter, temperature
) -> None:
    distance = gas.measuring_distance(stroke)
    force, inverse = gas.gas_column(rating, ratio, friction, stroke, distance)
    a = formulas.charge_extended(rating, friction)
    b = formulas.charge_compressed(ratio, rating, friction)
    kappa = formulas.inverse_column(a, b, stroke, distance)
    assert kappa == pytest.approx(inverse, rel=1e-9, abs=1e-12)
    assert formulas.force_extended(a, distance, kappa) == pytest.approx(force)
    pressure = formulas.charge_pressure(force, diameter * 1e3)
    assert pressure * 1e6 == pytest.approx(gas.charge_pressure(force, diameter), rel=1e-9)
    factor = formulas.temperature_factor(
        pressure, formulas.pressure_ratio(formulas.pressure_slope(pressure), temperature)
    )
    wanted = float(gas.temperature_factor(temperature, pressure * 1e6))
    assert factor == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("function", FORMULAS, ids=lambda one: one.__name__)
def test_what_is_printed_is_what_is_worked_out(function) -> None:
    """sympy works out the printed numbers, and the printed symbols, for 10 sets of numbers."""
    rng = random.Random(function.__name__)
    wanted, by_numbers, symbols = [], [], []
    for _ in range(10):
        sheet = steps.Steps()
        values = {name: rng.uniform(0.2, 3.0) * rng.choice((1, 1, -1)) for name in names(function)}
        if function in (formulas.strut_length, formulas.distance):
            values = {name: abs(value) + 30.0 * (name == "r_F") for name, value in values.items()}
        for name, value in values.items():
            sheet.read_off(name, name, value, "°" if name in DEGREES else "")
        result = sheet.work_out("result", "Q", function, "")
        step = sheet.take_block()[-1]
        exact = function(**{name: sheet.known[name].value for name in values})
        assert result == pytest.approx(exact, abs=0.500001e-5)
        wanted.append(exact)
        by_numbers.append(step.numbers)
        symbols.append(by_symbols(step.formula, sheet.known))
    assert worked_out(*by_numbers) == pytest.approx(wanted, rel=1e-9)
    assert worked_out(*symbols) == pytest.approx(wanted, rel=1e-9)


def names(function) -> list[str]:
    return list(inspect.signature(function).parameters)


def by_symbols(formula: tuple[steps.Segment, ...], known: dict[str, steps.Number]) -> str:
    """A printed formula, its symbols replaced by numbers in the order of their length."""
    text = "".join(f"_{{{part}}}" if style == "below" else part for style, part in formula)
    printed = {
        "".join(
            f"_{{{part}}}" if style == "below" else part for style, part in steps.symbol(name)
        ): number.in_formula
        for name, number in known.items()
        if name != "Q"
    }
    letters = sorted(printed, key=len, reverse=True)
    pattern = "|".join(rf"(?<![A-Za-zα-ωΔ]){re.escape(one)}(?![A-Za-z_(])" for one in letters)
    return re.sub(pattern, lambda hit: printed[hit.group()], text)


def test_a_formula_of_two_statements_is_refused() -> None:
    def twice(x: float) -> float:
        y = 2 * x
        return y + x

    sheet = steps.Steps()
    sheet.given("x", "x", 1.0, "")
    with pytest.raises(TypeError, match="is not a function of one return"):
        sheet.work_out("twice", "y", twice, "")
    with pytest.raises(TypeError, match="is not a plain function"):
        sheet.work_out("same", "y", lambda x: x, "")


def test_what_cannot_be_printed_is_refused() -> None:
    def cubed(x: float) -> float:
        return x**3

    sheet = steps.Steps()
    sheet.given("x", "x", 2.0, "")
    with pytest.raises(TypeError, match=r"no way to print x \*\* 3"):
        sheet.work_out("cubed", "y", cubed, "")


def test_results_feed_on_as_they_are_printed() -> None:
    sheet = steps.Steps()
    sheet.given("rating", "F_C", 100.0, "N")
    sheet.given("friction", "f", 1.0 / 3.0, "N")
    sheet.work_out("charge", "a", formulas.charge_extended, "N")
    assert sheet.known["a"].text == "100.33"
    assert sheet.add_up("twice", "b", ["a", "a"], "N") == 200.66


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [(-1e-9, "N", "0.00"), (-0.126, "N", "−0.13"), (45.0, "°", "45.000"), (2.0, "kg", "2.0000")],
)
def test_numbers_have_a_true_minus_and_no_minus_zero(value, unit, text) -> None:
    assert steps.rounded(value, unit).text == text
    assert steps.rounded(value, unit).value == pytest.approx(value, abs=0.006)


def test_the_independent_reader_works() -> None:
    assert worked_out("2 · (3 − 1)² / 4", "cos (−60.000°)") == pytest.approx([2.0, 0.5])
    assert sympy.sympify("sqrt(2)**2") == 2


def hinge_by_equations(
    door: Door, condition: Condition, angle: float, held: str
) -> tuple[float, float, float]:
    """Radial force at both hinge points and the thrust [N], from all equations at once.

    Sum of forces and of moments about the origin of the structure frame, and no thrust at the
    second point; what holds the panel acts along the arc of its point.
    """
    at = np.array([angle])
    first, second = np.array(door.hinge.first), np.array(door.hinge.second)
    axis = plain_statics.opening_axis(door)
    known = [(force[0], place[0]) for force, place in plain_statics.forces(door, condition, at)]
    net = sum(float(np.cross(place - first, force) @ axis) for force, place in known)
    if held == "its extended struts":
        first_strut = len(plain_statics.weights(door, condition))
        struts = known[first_strut:]
        ends = [one.strut.extended_length for one in door.fitted]
        lines = [
            plain_statics.turned(door, one.panel_mount, at)[0] - np.array(one.frame_mount)
            for one in door.fitted
        ]
        pulling = [
            index
            for index, line in enumerate(lines)
            if abs(np.linalg.norm(line) - ends[index]) < 2e-6 and index != condition.missing
        ]
        units = {index: lines[index] / np.linalg.norm(lines[index]) for index in pulling}
        arms = [float(np.cross(struts[i][1] - first, units[i]) @ axis) for i in pulling]
        known += [(-net / sum(arms) * units[i], struts[i][1]) for i in pulling]
    else:
        point = door.stop if held == "its stop" else door.panel.handle
        arm = plain_statics.turned(door, point, at)[0] - first
        tangent = np.cross(axis, arm)
        known.append((-net * tangent / (tangent @ tangent), arm + first))
    rows = np.zeros((7, 6))
    rows[:3, :3] = rows[:3, 3:] = np.eye(3)
    for column, place in ((0, first), (3, second)):
        rows[3:6, column : column + 3] = np.array(
            [[0, -place[2], place[1]], [place[2], 0, -place[0]], [-place[1], place[0], 0]]
        )
    rows[6, 3:] = axis
    wanted = np.concatenate(
        [
            -sum(force for force, _ in known),
            -sum(np.cross(place, force) for force, place in known),
            [0.0],
        ]
    )
    found = np.linalg.lstsq(rows, wanted, rcond=None)[0]
    one, other = found[:3], found[3:]
    radial = [float(np.linalg.norm(part - (part @ axis) * axis)) for part in (one, other)]
    return radial[0], radial[1], abs(float((one + other) @ axis))


@pytest.mark.parametrize("name", [*door_names(), "roof_lid", "upright_door"])
def test_hinge_steps_beside_all_equations_at_once(name: str) -> None:
    """Shut, half open and at the end, in every condition: latch, hand, stop, extended struts."""
    door = all_doors()[name]
    seen = set()
    for condition in all_conditions(door):
        end = sweep(door, condition=condition, angles=[0.0]).end_of_travel
        for angle in (0.0, 0.5 * end, end):
            made = calculation(door, condition, angle)
            held = made.blocks[-1][0].partition("held by ")[2]
            seen.add(held)
            first, second, thrust = hinge_by_equations(door, condition, angle, held)
            names = hinge_point_names(door)
            for says, force in ((f"{names[0]} {RADIAL}", first), (f"{names[1]} {RADIAL}", second)):
                assert made.result(says).value == pytest.approx(force, abs=0.1)
            assert abs(made.result(THRUST).value) == pytest.approx(thrust, abs=0.1)
    assert {"the latch", "the hand"} <= seen
    assert ("its extended struts" in seen) is (name == "roof_lid")


@pytest.mark.parametrize("name", door_names())
def test_the_sheet_works_out_its_greatest_hinge_and_stop_loads(name: str, papers) -> None:
    """Read from the PDF: the last lines of the calculation come to the figures of page 1."""
    texts = page_texts(papers("sheet", name))
    told = re.search(
        r"greatest hinge load: (\w+) hinge point, ([0-9]+) N\..*?\1 hinge point, radial"
        r" R[12] = [^=]*= [^=]*= ([0-9.]+) N",
        " ".join(texts),
    )
    assert told is not None
    assert f"{told[2]} N at most" in texts[0]
    assert -0.1 < int(told[2]) - float(told[3]) < 1.1
    stop = re.search(r"on the stop (?:−?[0-9]+) N ([0-9]+) N", texts[0])
    worked = re.findall(r"on the stop, − shuts P = [^=]*= [^=]*= −([0-9.]+) N", " ".join(texts))
    assert stop is not None
    assert -0.1 < int(stop[1]) - max(map(float, worked)) < 1.1
