"""Published values that the kit uses as limits or defaults, each with its source and mark.

Marks: "read" = read in a copy or restatement of the source; "memory" = not read.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """One published value: number in SI, what it says, source, mark."""

    value: float
    says: str
    source: str
    mark: str


FRICTION_LIMITS: tuple[tuple[float, float], ...] = (
    (100.0, 25.0),
    (200.0, 30.0),
    (400.0, 40.0),
    (600.0, 60.0),
    (800.0, 80.0),
    (1000.0, 100.0),
    (1200.0, 130.0),
    (float("inf"), 150.0),
)
"""Largest rating [N] of each row, bound inclusive, and its greatest dynamic friction [N]:
gas spring design standard, annex B, table B.1 (read; the standard's number was not visible)."""

ROD_RANGES: dict[float, tuple[float, float, float, float, float]] = {
    0.006: (50.0, 300.0, 0.150, 0.012, 0.014),
    0.008: (200.0, 550.0, 0.200, 0.016, 0.020),
    0.010: (300.0, 850.0, 0.300, 0.020, 0.024),
    0.012: (450.0, 1200.0, 0.400, 0.022, 0.026),
    0.014: (600.0, 1600.0, 0.450, 0.024, 0.028),
    0.016: (800.0, 2100.0, 0.500, 0.028, 0.032),
    0.018: (1000.0, 2700.0, 0.600, 0.032, 0.036),
    0.020: (1250.0, 3300.0, 0.800, 0.036, 0.040),
}
"""Rod diameter [m] -> least and greatest rating [N], greatest stroke [m], least and greatest
bore [m]: gas spring design standard, annex C, table C.1 (read)."""

ROD_GUIDE_LENGTHS: tuple[tuple[float, float], ...] = (
    (0.150, 0.015),
    (0.200, 0.020),
    (0.250, 0.025),
    (0.300, 0.030),
    (0.350, 0.035),
    (0.400, 0.040),
    (float("inf"), 0.045),
)
"""Largest stroke [m] of each row, bound inclusive, and its rod guide length [m]: gas spring
design standard, table 2 (read)."""

THREADS: dict[str, tuple[float, float]] = {
    "M3": (0.0025, 0.0034),
    "M4": (0.0033, 0.0045),
    "M5": (0.0042, 0.0055),
    "M6": (0.0050, 0.0066),
    "M8": (0.0068, 0.0090),
    "M10": (0.0085, 0.0110),
    "M12": (0.0102, 0.0135),
    "M14": (0.0120, 0.0155),
    "M16": (0.0140, 0.0175),
}
"""ISO metric coarse thread -> drill for tapping and for a clearance hole [m]. Tapping: ISO 2306
(memory; M3 to M12 agree with restatements). Clearance: ISO 273, medium series (read in a
restatement)."""

GREATEST_PRESSURE = Published(
    value=13e6,
    says="greatest pressure inside the strut [Pa]",
    source="gas spring design standard, annex C, table C.1",
    mark="read",
)
SAFE_STROKE = Published(
    value=0.005,
    says="least stroke kept in reserve [m]",
    source="gas spring design standard, clause 7.3.2",
    mark="read",
)
DURABILITY_LOSS = Published(
    value=0.13,
    says="greatest loss of force after thermal shock and 20 000 cycles (share)",
    source="JB/T 8064.1-1996, clause 6.3.7",
    mark="read",
)
DURABILITY_LOSS_VEHICLE = Published(
    value=0.08,
    says="greatest change of force after the durability test (share)",
    source="QC/T 207-1996",
    mark="read",
)
SMALL_STRUT_TOLERANCE = Published(
    value=10.0,
    says="tolerance of the force up to 200 N [N]",
    source="JB/T 8064.1-1996, table 2, first row",
    mark="read",
)
SMALL_STRUT_RATING = 200.0
"""Rating [N] up to which `SMALL_STRUT_TOLERANCE` holds."""

TENSILE_FACTOR = Published(
    value=4.0,
    says="times the nominal force, pulled for 5 min with the force unchanged",
    source="JB/T 8064.1-1996, clause 6.3.8",
    mark="read",
)
WORKING_TEMPERATURE = (233.15, 353.15)
"""Working temperatures [K], -40...80 °C: QC/T 207-1996, clause 4.1.7 (read)."""


def row_value(table: tuple[tuple[float, float], ...], key: float) -> float:
    """Value of the first row whose bound (inclusive) is not under the key.

    >>> row_value(FRICTION_LIMITS, 400.0), row_value(FRICTION_LIMITS, 400.5)
    (40.0, 60.0)
    """
    return next(value for bound, value in table if key <= bound)
