"""strutkit: the geometry of doors and hatches lifted by gas struts."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from strutkit.decide.findings import check, verdict
    from strutkit.decide.hands import straight_force
    from strutkit.decide.judging import Finding
    from strutkit.decide.lengths import StrutLengths, strut_lengths
    from strutkit.decide.loads import HingeCase, HingeLoads, hinge_loads
    from strutkit.decide.map import MountMap, mount_map
    from strutkit.decide.search.answers import Miss, MountSearch, find_mounts
    from strutkit.decide.search.candidates import Candidate
    from strutkit.decide.start.starter_door import starter_door
    from strutkit.decide.start.suggesting import Suggestion, suggest_start
    from strutkit.decide.starters import starter_conditions, starter_limits
    from strutkit.decide.summary import BalanceAngle, Summary, balance_angles, rest_bands, summary
    from strutkit.decide.sweep import Sweep, sweep, sweep_conditions
    from strutkit.decide.window import RatingInterval, RatingWindow, rating_window
    from strutkit.describe.doorfile import read_door, write_door
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
    from strutkit.describe.stock import read_stock
    from strutkit.errors import StrutkitError
    from strutkit.live.bench import Bench, bench
    from strutkit.live.finder import Finder, finder
    from strutkit.live.papers import preview
    from strutkit.live.start import start_door
    from strutkit.show.drawing import save_drawing
    from strutkit.show.figures import (
        plot_hand_forces,
        plot_hinge_loads,
        plot_lengths,
        plot_moments,
        plot_rating_window,
        plot_side_view,
    )
    from strutkit.show.paper import save_card, save_drill_template, save_sheet, sheet_pages

__all__ = [
    "BalanceAngle",
    "Bench",
    "Candidate",
    "Condition",
    "Door",
    "Finder",
    "Finding",
    "FittedStrut",
    "Hinge",
    "HingeCase",
    "HingeLoads",
    "Limits",
    "Miss",
    "MountMap",
    "MountSearch",
    "Panel",
    "RatingInterval",
    "RatingWindow",
    "Strut",
    "StrutLengths",
    "StrutkitError",
    "Suggestion",
    "Summary",
    "Sweep",
    "Zone",
    "balance_angles",
    "bench",
    "check",
    "find_mounts",
    "finder",
    "hinge_loads",
    "mount_map",
    "plot_hand_forces",
    "plot_hinge_loads",
    "plot_lengths",
    "plot_moments",
    "plot_rating_window",
    "plot_side_view",
    "preview",
    "rating_window",
    "read_door",
    "read_stock",
    "rest_bands",
    "save_card",
    "save_drawing",
    "save_drill_template",
    "save_sheet",
    "sheet_pages",
    "start_door",
    "starter_conditions",
    "starter_door",
    "starter_limits",
    "straight_force",
    "strut_lengths",
    "suggest_start",
    "summary",
    "sweep",
    "sweep_conditions",
    "verdict",
    "write_door",
]

_HOMES = {
    "decide.findings": ("check", "verdict"),
    "decide.hands": ("straight_force",),
    "decide.judging": ("Finding",),
    "decide.lengths": ("StrutLengths", "strut_lengths"),
    "decide.loads": ("HingeCase", "HingeLoads", "hinge_loads"),
    "decide.map": ("MountMap", "mount_map"),
    "decide.search.answers": ("Miss", "MountSearch", "find_mounts"),
    "decide.search.candidates": ("Candidate",),
    "decide.start.starter_door": ("starter_door",),
    "decide.start.suggesting": (
        "Suggestion",
        "suggest_start",
    ),
    "decide.starters": ("starter_conditions", "starter_limits"),
    "decide.summary": ("BalanceAngle", "Summary", "balance_angles", "rest_bands", "summary"),
    "decide.sweep": ("Sweep", "sweep", "sweep_conditions"),
    "decide.window": ("RatingInterval", "RatingWindow", "rating_window"),
    "describe.doorfile": ("read_door", "write_door"),
    "describe.records": (
        "Condition",
        "Door",
        "FittedStrut",
        "Hinge",
        "Limits",
        "Panel",
        "Strut",
        "Zone",
    ),
    "describe.stock": ("read_stock",),
    "errors": ("StrutkitError",),
    "live.bench": ("Bench", "bench"),
    "live.finder": ("Finder", "finder"),
    "live.papers": ("preview",),
    "live.start": ("start_door",),
    "show.drawing": ("save_drawing",),
    "show.figures": (
        "plot_hand_forces",
        "plot_hinge_loads",
        "plot_lengths",
        "plot_moments",
        "plot_rating_window",
        "plot_side_view",
    ),
    "show.paper": ("save_card", "save_drill_template", "save_sheet", "sheet_pages"),
}
"""Module -> its public names, imported when first asked for."""


def __getattr__(name: str) -> Any:
    for home, names in _HOMES.items():
        if name in names:
            return getattr(import_module(f"strutkit.{home}"), name)
    raise AttributeError(f"module 'strutkit' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
