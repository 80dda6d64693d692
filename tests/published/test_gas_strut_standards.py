"""Standards for gas struts: what they print, against what the kit takes as limit or default.

GB/T 25751-2010 (table 1); JB/T 8064.1-1996; QC/T 207-1996; a design-calculation standard, its
number not visible in the copies read (clause 7, table 2, annexes B, C, E).
"""

import math
from functools import partial

import numpy as np
import pytest

from strutkit import Condition, Door, FittedStrut, Hinge, Panel, Strut, StrutkitError, sweep
from strutkit.compute import columns, gas
from strutkit.data import tables
from strutkit.decide.conditions import used_tolerance
from tests.published.cases import Case, check

limit = partial(Case, mark="seen", tolerance=1e-9, reason="a limit, taken exactly")
vocabulary = partial(limit, source="GB/T 25751-2010", place="table 1, measuring point C")
jbt = partial(limit, source="JB/T 8064.1-1996")
qct = partial(limit, source="QC/T 207-1996")
design = partial(limit, source="Gas spring design standard")
recomputed = partial(Case, source="Gas spring design standard", mark="computed")

B_1 = (
    (100, "25"),
    (200, "30"),
    (400, "40"),
    (600, "60"),
    (800, "80"),
    (1000, "100"),
    (1200, "130"),
    (2000, "150"),
)
"""Specified force up to [N], greatest dynamic friction [N]; the last row is anything above."""

C_1 = (
    (6, "50", "300", "150", "12", "14"),
    (8, "200", "550", "200", "16", "20"),
    (10, "300", "850", "300", "20", "24"),
    (12, "450", "1200", "400", "22", "26"),
    (14, "600", "1600", "450", "24", "28"),
    (16, "800", "2100", "500", "28", "32"),
    (18, "1000", "2700", "600", "32", "36"),
    (20, "1250", "3300", "800", "36", "40"),
)
C_1_COLUMNS = (
    ("least force", "N", 1.0),
    ("greatest force", "N", 1.0),
    ("greatest stroke", "mm", 1e3),
    ("least bore", "mm", 1e3),
    ("greatest bore", "mm", 1e3),
)

GUIDE_LENGTHS = (
    (150, "15"),
    (200, "20"),
    (250, "25"),
    (300, "30"),
    (350, "35"),
    (400, "40"),
    (600, "45"),
)
"""Stroke up to [mm], rod guide length [mm]; the last row is anything above 400 mm."""


def strut(rating: float, **label: float) -> Strut:
    return Strut(name="strut", rating=rating, extended_length=0.6, stroke=0.25, **label)


def charges(column: int) -> list[float]:
    """Charge pressure of every rod of table C.1 at its least (0) or greatest (1) force [MPa]."""
    rated = [
        strut(row[column], rod_diameter=rod, friction=0.0, force_ratio=1.0)
        for rod, row in tables.ROD_RANGES.items()
    ]
    return [(one.gas_law.pressure - gas.ATMOSPHERE) / 1e6 for one in rated]


def force_ratio_of_a_full_column() -> float:
    """Bore twice the rod, gas as long as the stroke, no oil: V0 = 4 A S, so G = 4 S."""
    return float(gas.gas_force(1.0, 1.0 / 4.0, 1.0))


CASES = (
    *(
        vocabulary(
            what=f"distance from the end, stroke {stroke} mm",
            printed=distance,
            unit="mm",
            ours=lambda stroke=stroke: gas.measuring_distance(stroke / 1e3) * 1e3,
        )
        for stroke, distance in ((80, "5"), (81, "10"))
    ),
    jbt(
        place="table 2, first row",
        what="tolerance of the force up to 200 N",
        printed="10",
        unit="N",
        ours=lambda: used_tolerance(strut(200.0)),
    ),
    jbt(
        place="clause 6.3.7",
        what="greatest loss after thermal shock and 20 000 cycles",
        printed="13",
        unit="%",
        ours=lambda: tables.DURABILITY_LOSS.value * 100,
    ),
    jbt(
        place="clause 6.3.8",
        what="tensile test, times the nominal force",
        printed="4",
        unit="",
        ours=lambda: tables.TENSILE_FACTOR.value,
    ),
    qct(
        place="durability",
        what="greatest change of force",
        printed="8",
        unit="%",
        ours=lambda: tables.DURABILITY_LOSS_VEHICLE.value * 100,
    ),
    *(
        qct(
            place="clause 4.1.7",
            what=f"{word} working temperature",
            printed=printed,
            unit="°C",
            ours=lambda index=index: tables.WORKING_TEMPERATURE[index] - 273.15,
        )
        for index, (word, printed) in enumerate((("lowest", "-40"), ("highest", "80")))
    ),
    design(
        place="clause 7.3.2",
        what="least stroke in reserve",
        printed="5",
        unit="mm",
        ours=lambda: tables.SAFE_STROKE.value * 1e3,
    ),
    *(
        design(
            place="annex B, table B.1",
            what=f"greatest dynamic friction at {force} N (the kit assumes half of it)",
            printed=printed,
            unit="N",
            ours=lambda force=force: 2.0 * strut(force).gas_law.friction,
        )
        for force, printed in B_1
    ),
    *(
        design(
            place="annex C, table C.1",
            what=f"rod {rod} mm, {what}",
            printed=printed,
            unit=unit,
            ours=lambda rod=rod, number=number, per=per: tables.ROD_RANGES[rod / 1e3][number] * per,
        )
        for rod, *row in C_1
        for number, (printed, (what, unit, per)) in enumerate(zip(row, C_1_COLUMNS, strict=True))
    ),
    design(
        place="annex C, table C.1",
        what="greatest pressure inside",
        printed="13",
        unit="MPa",
        ours=lambda: tables.GREATEST_PRESSURE.value / 1e6,
    ),
    *(
        recomputed(
            place="annex C, forces over rod areas",
            what=f"charge at the {force} force, {which} of all rods",
            printed=printed,
            unit="MPa",
            ours=lambda column=column, pick=pick: pick(charges(column)),
        )
        for column, force, which, pick, printed in (
            (0, "least", "lowest", min, "1.8"),
            (0, "least", "highest", max, "4.0"),
            (1, "greatest", "lowest", min, "10.4"),
            (1, "greatest", "highest", max, "10.9"),
        )
    ),
    *(
        design(
            place="table 2",
            what=f"rod guide length at {stroke} mm stroke",
            printed=printed,
            unit="mm",
            ours=lambda stroke=stroke: (
                tables.row_value(tables.ROD_GUIDE_LENGTHS, stroke / 1e3) * 1e3
            ),
        )
        for stroke, printed in GUIDE_LENGTHS
    ),
    *(
        design(
            place="annex E, table E.1",
            what=f"end coefficient, {ends}",
            printed=printed,
            unit="",
            ours=lambda value=value: value,
        )
        for ends, printed, value in (
            ("hinge and hinge", "1", columns.HINGED_BOTH_ENDS),
            ("fixed and free", "0.25", columns.FIXED_AND_FREE),
            ("fixed and hinge", "2", columns.FIXED_AND_HINGED),
        )
    ),
    recomputed(
        place="clause 7.5, bore twice the rod",
        what="force ratio with gas as long as the stroke",
        printed="1.333",
        unit="",
        ours=force_ratio_of_a_full_column,
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_published_values(case: Case) -> None:
    check(case)


@pytest.mark.parametrize("row", [0, 1, 2, 3, 4, 5, 6])
def test_a_force_over_a_bound_of_table_b_1_takes_the_next_row(row: int) -> None:
    over = B_1[row][0] + 0.01
    assert 2.0 * strut(over).gas_law.friction == pytest.approx(float(B_1[row + 1][1]))


def test_conditions_hold_the_working_temperatures_and_nothing_beyond() -> None:
    """QC/T 207-1996, clause 4.1.7."""
    for celsius in (-40.0, 80.0):
        Condition(name="limit", temperature=celsius + 273.15)
    for celsius in (-40.1, 80.1):
        with pytest.raises(StrutkitError, match="temperature"):
            Condition(name="beyond", temperature=celsius + 273.15)


def test_a_label_gives_its_four_forces_back_at_the_measuring_points() -> None:
    """GB/T 25751: F1, F2 on extension, F3, F4 on compression; F3 - F1 = F4 - F2 = 2 f.

    The strut stands on a lever so short in angle that it moves along its own line; opening,
    the mount is pushed with Fgas - f, closing it takes Fgas + f.
    """
    label = strut(400.0, force_ratio=1.3, friction=20.0)
    door = Door(
        name="test rig",
        panel=Panel(mass=1e-9, centre_of_gravity=(10.0, 0, 0), handle=(10.0, 0, 0)),
        hinge=Hinge(first=(0, -1, 0), second=(0, 1, 0), opens_toward="up", stop_angle=0.025),
        struts=(
            FittedStrut(strut=label, frame_mount=(10.0, 0, -0.351), panel_mount=(10.0, 0, 0.0)),
        ),
    )
    angles = np.linspace(0.0, sweep(door).end_of_travel, 4001)
    swept = sweep(door, angles=angles)
    arm = swept.lever_arm[0]
    pushes = (swept.moment - swept.friction_moment) / arm
    takes = (swept.moment + swept.friction_moment) / arm
    from_extended = 0.6 - swept.strut_length[0]
    at = [
        np.interp(-place, -from_extended, force)
        for place, force in ((0.010, pushes), (0.240, pushes), (0.010, takes), (0.240, takes))
    ]
    assert at == pytest.approx([400.0, 520.0, 440.0, 560.0], rel=1e-6)
    assert math.isclose(at[2] - at[0], at[3] - at[1], rel_tol=1e-5)
