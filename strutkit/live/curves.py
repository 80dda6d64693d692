"""The curves of the live view: every array that a chart draws, for one condition of a door.

Arrays travel as 32-bit floats, described by a list of (name, rows, columns).
"""

import itertools
from typing import Any

import numpy as np
import numpy.typing as npt

from strutkit.compute.statics import Statics
from strutkit.decide.conditions import all_conditions, door_statics, fitting, is_fault
from strutkit.decide.judging import shown_conditions
from strutkit.decide.loads import held_by_hand, radial_forces
from strutkit.decide.starters import weight_opens
from strutkit.decide.summary import Motion, motions
from strutkit.decide.sweep import Sweep, sweep_many
from strutkit.describe.records import Condition, Door

Floats = npt.NDArray[np.float64]


def curves(door: Door, condition: str) -> tuple[dict[str, Any], dict[str, Floats]]:
    """Key figures and arrays of the condition of that name, with the band over all conditions.

    Arrays [n] over "angle": strut_moment (all struts), weight_moment (what the struts work
    against: minus the gravity moment), opening, closing, holding (hand forces), first, second
    (radial hinge loads), strut_length [s, n] in mm. Over "band_angle" the least and greatest of
    all conditions in service: strut_low, strut_high, weight_low, weight_high, worst_opening,
    worst_closing. Raises `StrutkitError` where the door cannot be swept.
    """
    conditions = _with_shown(door, condition)
    model = door_statics(door, conditions)
    every = sweep_many(door, conditions, model)
    row = next((row for row, one in enumerate(conditions) if one.name == condition), 0)
    shown, alone = every[row], model.take([row])
    own = all_conditions(door)
    service = [one for one in every if one.condition in own and not is_fault(one.condition)]
    key = motions(alone)[0]
    return _figures(shown, key), _shown_arrays(shown, alone) | _band_arrays(service)


def _with_shown(door: Door, name: str) -> tuple[Condition, ...]:
    """The door's conditions that can be swept, and the one of that name behind them where findings
    try it."""
    own = all_conditions(door)
    if any(one.name == name for one in own):
        return fitting(door, own)
    return tuple(one for one in shown_conditions(door) if one in own or one.name == name)


def _shown_arrays(shown: Sweep, model: Statics) -> dict[str, Floats]:
    loads = held_by_hand(shown.door, (shown.condition,), model, shown.angle)
    first, second, _ = radial_forces(shown.door, loads[0][0], loads[1][0])
    return {
        "angle": shown.angle,
        "strut_moment": shown.strut_moment.sum(axis=0),
        "weight_moment": -shown.gravity_moment,
        "opening": shown.hand_force_opening,
        "closing": shown.hand_force_closing,
        "holding": shown.hand_force_holding,
        "first": first,
        "second": second,
        "strut_length": shown.strut_length * 1e3,
    }


def _band_arrays(service: list[Sweep]) -> dict[str, Floats]:
    """Least and greatest over the conditions in service, which share their angles."""
    struts = np.stack([one.strut_moment.sum(axis=0) for one in service])
    weight = np.stack([-one.gravity_moment for one in service])
    return {
        "band_angle": service[0].angle,
        "strut_low": struts.min(axis=0),
        "strut_high": struts.max(axis=0),
        "weight_low": weight.min(axis=0),
        "weight_high": weight.max(axis=0),
        "worst_opening": np.max([one.hand_force_opening for one in service], axis=0),
        "worst_closing": np.max([one.hand_force_closing for one in service], axis=0),
    }


def _figures(shown: Sweep, key: Motion) -> dict[str, Any]:
    return {
        "condition": shown.condition.name,
        "end": shown.end_of_travel,
        "ended_by": shown.ended_by,
        "drops": weight_opens(shown.door),
        "lift_off": key.lift_off,
        "balance": [[one.angle, one.stable] for one in key.balance],
        "segments": _segments(shown, key),
    }


def _segments(shown: Sweep, key: Motion) -> list[list[Any]]:
    """Pieces of the angle axis: (low, high, "falls", "rests" or "rises")."""
    bands = list(key.rest_bands)
    edges = sorted({0.0, shown.end_of_travel, *(each for band in bands for each in band)})
    edges = sorted({*edges, *(one.angle for one in key.balance)})
    pieces: list[list[Any]] = []
    for low, high in itertools.pairwise(edges):
        middle = (low + high) / 2.0
        if any(band[0] <= middle <= band[1] for band in bands):
            word = "rests"
        else:
            word = "rises" if np.interp(middle, shown.angle, shown.moment) > 0.0 else "falls"
        if pieces and pieces[-1][2] == word:
            pieces[-1][1] = high
        else:
            pieces.append([low, high, word])
    return pieces


def packed(arrays: dict[str, Floats]) -> tuple[list[list[Any]], bytes]:
    """Arrays as one run of little-endian 32-bit floats, and what lies where in it."""
    layout = [[name, *np.atleast_2d(array).shape] for name, array in arrays.items()]
    flat = np.concatenate([array.ravel() for array in arrays.values()])
    return layout, flat.astype("<f4").tobytes()
