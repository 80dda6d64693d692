"""Doors of each kind with sizes that are known, and their starts, worked out once for all tests."""

import math
from functools import cache

from strutkit import Door, read_stock, starter_door, suggest_start
from strutkit.data import stock_path
from strutkit.decide.start.suggesting import Suggestion

STOCK = read_stock(stock_path())


def known(kind: str, length: float = 0.9, **changes: float | None) -> Door:
    """A door of a kind with every size given."""
    sizes: dict[str, float | None] = {
        "length": length,
        "thickness": 0.03,
        "knuckle_diameter": 0.012,
        "width": 1.1 * length,
        "handle": 0.97 * length,
        "mass": 11.0 * length * length,
        "centre_of_gravity": 0.5 * length,
        "stop_angle": math.radians(88.0),
        "hinge_height": 1.6,
    }
    return starter_door(kind, **(sizes | changes))  # type: ignore[arg-type]


@cache
def start(kind: str, count: int = 2, length: float = 0.9) -> Suggestion:
    """The start of a known door whose kind is told."""
    return suggest_start(known(kind, length), stock=STOCK, count=count, kind=kind)


@cache
def untold(kind: str) -> Suggestion:
    """The start of a known door that has to tell its kind by itself, of the generic list."""
    return suggest_start(known(kind, 0.7))
