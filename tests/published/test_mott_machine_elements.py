"""Mott, Machine Elements in Mechanical Design, chapter 6: columns. Values from memory."""

import math
from functools import partial

import numpy as np
import pytest

from strutkit.compute import columns
from tests.published.cases import Case, check

printed = partial(Case, source="Mott, Machine Elements", mark="memory")

PSI = 6894.757
POUND_FORCE = 4.4482216152605
STEEL = (207e9, 290e6)
"""AISI 1040 hot rolled: modulus and yield strength [Pa]."""
FLAT = {"area": 0.012 * 0.018, "second_moment": 0.018 * 0.012**3 / 12}
FLAT_ENDS = 1 / 0.8**2
"""End coefficient of an effective length of 0.8 times the length."""


def flat_load() -> float:
    """Flat bar 12 x 18 mm, 280 mm long, effective length 0.8 of it [kN]."""
    load = columns.buckling_load(*STEEL, **FLAT, length=0.280, end_coefficient=FLAT_ENDS)
    return float(load) / 1e3


def round_load() -> float:
    """Round bar 1.25 in x 54 in, pinned, E 30e6 psi [lbf]."""
    _, second_moment = columns.round_section(1.25 * 0.0254)
    return float(columns.euler_load(30e6 * PSI, second_moment, 54 * 0.0254)) / POUND_FORCE


CASES = (
    printed(
        place="flat connecting bar",
        what="transition slenderness",
        printed="118.7",
        unit="",
        ours=lambda: float(columns.transition_slenderness(*STEEL)),
    ),
    printed(
        place="flat connecting bar",
        what="critical load (Johnson)",
        printed="53.3",
        unit="kN",
        ours=flat_load,
    ),
    printed(
        place="round bar, pinned",
        what="critical load (Euler)",
        printed="12200",
        unit="lbf",
        ours=round_load,
        tolerance=50.0,
        reason="three digits",
    ),
    Case(
        source="Euler's formula",
        place="rod of 8 mm, 0.40 m, pinned, E 210 GPa",
        what="critical load (agrees with PyNite's P-delta to 1e-5)",
        printed="2604.5",
        unit="N",
        mark="computed",
        ours=lambda: float(columns.euler_load(210e9, columns.round_section(0.008)[1], 0.400)),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)


def at_slenderness(ratio: float) -> dict[str, float]:
    """The flat bar, pinned, as long as this slenderness asks for."""
    radius = math.sqrt(FLAT["second_moment"] / FLAT["area"])
    return {**FLAT, "length": ratio * radius}


def test_euler_and_johnson_meet_at_half_the_yield_load() -> None:
    """One restatement prints 2 pi² E in Johnson's bracket; that column would carry nothing here."""
    here = at_slenderness(float(columns.transition_slenderness(*STEEL)))
    half = FLAT["area"] * STEEL[1] / 2
    euler = columns.euler_load(STEEL[0], here["second_moment"], here["length"])
    assert euler == pytest.approx(half, rel=1e-12)
    assert columns.johnson_load(*STEEL, **here) == pytest.approx(half, rel=1e-12)


def test_euler_and_johnson_meet_with_the_same_slope() -> None:
    at = float(columns.transition_slenderness(*STEEL))
    near, far = at_slenderness(at * (1 - 1e-5)), at_slenderness(at * (1 + 1e-5))
    slopes = [
        load(far) - load(near)
        for load in (
            lambda bar: columns.johnson_load(*STEEL, **bar),
            lambda bar: columns.euler_load(STEEL[0], bar["second_moment"], bar["length"]),
        )
    ]
    assert slopes[0] == pytest.approx(slopes[1], rel=1e-4)


def test_the_lower_curve_counts_on_each_side_of_the_transition() -> None:
    at = float(columns.transition_slenderness(*STEEL))
    for ratio, slender in ((0.5 * at, False), (2.0 * at, True)):
        bar = at_slenderness(ratio)
        euler = columns.euler_load(STEEL[0], bar["second_moment"], bar["length"])
        johnson = columns.johnson_load(*STEEL, **bar)
        expected = euler if slender else johnson
        assert columns.buckling_load(*STEEL, **bar) == expected
        assert columns.buckling_load(*STEEL, **bar) <= euler * (1 + 1e-12)


def test_columns_broadcast() -> None:
    diameter = np.array([0.006, 0.008, 0.010])[:, None]
    length = np.array([0.1, 0.3, 0.5])
    area, second_moment = columns.round_section(diameter)
    loads = columns.buckling_load(210e9, 400e6, area, second_moment, length)
    assert loads.shape == (3, 3)
    alone = columns.buckling_load(210e9, 400e6, *columns.round_section(0.008), 0.3)
    assert loads[1, 1] == alone
    assert (np.diff(loads, axis=0) > 0).all()
    assert (np.diff(loads, axis=1) < 0).all()
