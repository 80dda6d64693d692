"""How large a door is: the lever of its handle, and whether its figures need more digits."""

import math
from collections.abc import Callable
from contextlib import AbstractContextManager
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

import numpy as np

from strutkit.describe.numbers import finely
from strutkit.describe.records import Door
from strutkit.describe.unit_table import GRAVITY

SMALL_MOMENT = 1.0
"""A door is small where its weight, hung at its handle, turns it with less than this [N·m]."""

P = ParamSpec("P")
R = TypeVar("R")


def handle_lever(door: Door) -> float:
    """Distance of the handle from the hinge line [m]."""
    first = np.array(door.hinge.first)
    along = np.array(door.hinge.second) - first
    across = np.cross(np.array(door.panel.handle) - first, along)
    return float(math.hypot(*across) / math.hypot(*along))


def is_small(door: Door) -> bool:
    """Whether forces and moments of this door are lost in figures to 1 N and 1 N·m."""
    return door.panel.mass * float(GRAVITY) * handle_lever(door) < SMALL_MOMENT


def figures_of(door: Door) -> AbstractContextManager[None]:
    """Inside, numbers are shown as finely as this door wants them."""
    return finely(is_small(door))


def shown_finely(function: Callable[Concatenate[Door, P], R]) -> Callable[Concatenate[Door, P], R]:
    """The same function of a door, its numbers shown as finely as that door wants them."""

    @wraps(function)
    def shown(door: Door, /, *args: P.args, **kwargs: P.kwargs) -> R:
        with figures_of(door):
            return function(door, *args, **kwargs)

    return shown
