"""strutkit: the geometry of doors and hatches lifted by gas struts."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from strutkit.decide.findings import check, verdict
    from strutkit.decide.hands import straight_force
    from strutkit.decide.judging import Finding
    from strutkit.decide.lengths import StrutLengths, strut_lengths
    from strutkit.decide.loads import HingeCase, HingeLoads, hinge_loads
    from strutkit.decide.starters import starter_conditions, starter_limits
    from strutkit.decide.summary import (
        BalanceAngle,
        Summary,
        balance_angles,
        rest_bands,
        summary,
    )
    from strutkit.decide.sweep import Sweep, sweep, sweep_conditions
    from strutkit.decide.window import RatingInterval, RatingWindow, rating_window
    from strutkit.describe.records import (
        Condition,
        Door,
        FittedStrut,
        Hinge,
        Limits,
        Panel,
        Strut,
        Zone,
    )
    from strutkit.errors import StrutkitError
    from strutkit.show.paper import save_sheet, sheet_pages

_HOMES = {
    "StrutkitError": "errors",
    "Panel": "describe.records",
    "Hinge": "describe.records",
    "Strut": "describe.records",
    "FittedStrut": "describe.records",
    "Condition": "describe.records",
    "Limits": "describe.records",
    "Zone": "describe.records",
    "Door": "describe.records",
    "read_door": "describe.doorfile",
    "write_door": "describe.doorfile",
    "read_stock": "describe.stock",
    "Summary": "decide.summary",
    "summary": "decide.summary",
    "BalanceAngle": "decide.summary",
    "balance_angles": "decide.summary",
    "rest_bands": "decide.summary",
    "HingeLoads": "decide.loads",
    "HingeCase": "decide.loads",
    "hinge_loads": "decide.loads",
    "RatingWindow": "decide.window",
    "RatingInterval": "decide.window",
    "rating_window": "decide.window",
    "Finding": "decide.judging",
    "check": "decide.findings",
    "verdict": "decide.findings",
    "starter_conditions": "decide.starters",
    "starter_limits": "decide.starters",
    "StrutLengths": "decide.lengths",
    "strut_lengths": "decide.lengths",
    "straight_force": "decide.hands",
    "Sweep": "decide.sweep",
    "sweep": "decide.sweep",
    "sweep_conditions": "decide.sweep",
    "save_sheet": "show.paper",
    "sheet_pages": "show.paper",
}

__all__ = sorted(_HOMES)


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'strutkit' has no attribute {name!r}")
    return getattr(import_module(f"strutkit.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
