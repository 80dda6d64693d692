"""The sweep: every length, force and moment of a door over its travel.

Model section 3. `sweep` takes one condition, `sweep_conditions` all of a door's with the
geometry computed once.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.compute import statics
from strutkit.decide.conditions import (
    all_conditions,
    assumptions,
    door_statics,
    nominal_condition,
)
from strutkit.describe.fields import shown
from strutkit.describe.records import Condition, Door, stood
from strutkit.errors import RecordError, TravelError

Floats = npt.NDArray[np.float64]

ANGLE_STEP = math.radians(0.5)
"""Greatest distance of the angles of a sweep [rad]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sweep:
    """One door over its travel in one condition. Arrays are read-only; n angles, s struts.

    angle [n] [rad]; strut_length [s, n] [m]; strut_force [s, n] [N], gas only; lever_arm [s, n]
    [m], dL/dtheta; strut_moment [s, n], gravity_moment, friction_moment (>= 0, opposes the
    panel), moment (net, without friction) [n] [N·m]; hand_force_opening, hand_force_closing,
    hand_force_holding [n] [N], tangential at the handle, signed: positive where one must push
    it open, push it shut, hold it toward open. end_of_travel [rad], ended_by "stop" or "strut".
    assumptions: one text for each value that the labels leave out.
    """

    door: Door
    condition: Condition
    angle: Floats
    strut_length: Floats
    strut_force: Floats
    lever_arm: Floats
    strut_moment: Floats
    gravity_moment: Floats
    friction_moment: Floats
    moment: Floats
    hand_force_opening: Floats
    hand_force_closing: Floats
    hand_force_holding: Floats
    end_of_travel: float
    ended_by: str
    assumptions: tuple[str, ...]


def sweep(
    door: Door,
    *,
    condition: Condition | str | None = None,
    angles: npt.ArrayLike | None = None,
) -> Sweep:
    """Lengths, forces and moments of a door over its travel (model section 3).

        M = sum(Fgas · dL/dtheta) + k · ((c - O) × m g)        Mf = sum(f |dL/dtheta|) + Mhinge
        opening -(M - Mf) / r        closing (M + Mf) / r        holding -M / r

    condition: a `Condition`, or the name of one of the door's (None: nominal). angles [n] [rad]:
    None means from shut to the end of travel, at most 0.5° apart, both ends in.

    Raises `TravelError` where a strut does not fit its mounts somewhere in the travel or an
    angle lies outside it, `RecordError` where the condition does not suit the door.
    """
    if condition is None:
        condition = nominal_condition
    elif isinstance(condition, str):
        condition = door.condition(condition)
    elif not isinstance(condition, Condition):
        raise RecordError(
            f"condition is {condition!r}; give a Condition or the name of one of the door's."
        )
    condition = stood(condition, door.faces)
    model = door_statics(door, (condition,))
    end = float(model.end[0])
    grid = travel_angles(end) if angles is None else _asked_angles(angles, end)
    return _sweeps(door, (condition,), model, grid)[0]


def sweep_conditions(door: Door) -> tuple[Sweep, ...]:
    """One `Sweep` for each condition, nominal first; the geometry is computed once.

    Conditions whose travel ends elsewhere (a strut missing) have angles of their own. Raises as
    `sweep` does, also where a strut bottoms out only because another is missing.
    """
    conditions = all_conditions(door)
    return sweep_many(door, conditions, door_statics(door, conditions))


def sweep_many(
    door: Door, conditions: Sequence[Condition], model: statics.Statics
) -> tuple[Sweep, ...]:
    """Sweeps of these conditions from their statics, in the same order."""
    swept: dict[int, Sweep] = {}
    for end in np.unique(model.end):
        rows = np.flatnonzero(model.end == end).tolist()
        group = [conditions[row] for row in rows]
        part = model if len(rows) == len(conditions) else model.take(rows)
        swept.update(zip(rows, _sweeps(door, group, part, travel_angles(float(end))), strict=True))
    return tuple(swept[row] for row in range(len(conditions)))


def travel_angles(end: float) -> Floats:
    """Angles from shut to the end of travel, at most 0.5° apart, both ends in [rad]."""
    pieces = max(1, math.ceil(end / ANGLE_STEP - 1e-9))
    return np.linspace(0.0, end, pieces + 1)


def _asked_angles(angles: npt.ArrayLike, end: float) -> Floats:
    try:
        grid = np.array(angles, dtype=float, ndmin=1)
    except (TypeError, ValueError):
        grid = np.zeros(0)
    if grid.ndim != 1 or not grid.size or not np.isfinite(grid).all():
        raise TravelError("angles must be a list of finite numbers in radians.")
    worst = grid.min() if grid.min() < -1e-9 else grid.max()
    if worst < -1e-9 or worst > end + 1e-9:
        raise TravelError(
            f"angle {shown(float(worst), 'angle')} lies outside the travel; give angles from 0 to"
            f" {shown(end, 'angle')}."
        )
    return grid


def _sweeps(
    door: Door, conditions: Sequence[Condition], model: statics.Statics, grid: Floats
) -> tuple[Sweep, ...]:
    at = statics.moments(model, grid)
    opening_radius = door.hinge_distance(door.panel.handle)
    closing_radius = door.hinge_distance(door.closing_handle)
    opening = -(at.moment - at.friction_moment) / opening_radius
    closing = (at.moment + at.friction_moment) / closing_radius
    holding = -at.moment / opening_radius
    arrays = (
        grid,
        at.length,
        at.lever_arm,
        at.strut_force,
        at.strut_moment,
        at.gravity_moment,
        at.friction_moment,
        at.moment,
        opening,
        closing,
        holding,
    )
    for array in arrays:
        array.flags.writeable = False
    ended_by_strut = model.end < door.hinge.stop_angle
    return tuple(
        Sweep(
            door=door,
            condition=condition,
            angle=grid,
            strut_length=at.length,
            strut_force=at.strut_force[row],
            lever_arm=at.lever_arm,
            strut_moment=at.strut_moment[row],
            gravity_moment=at.gravity_moment[row],
            friction_moment=at.friction_moment[row],
            moment=at.moment[row],
            hand_force_opening=opening[row],
            hand_force_closing=closing[row],
            hand_force_holding=holding[row],
            end_of_travel=float(model.end[row]),
            ended_by="strut" if ended_by_strut[row] else "stop",
            assumptions=assumptions(door, condition),
        )
        for row, condition in enumerate(conditions)
    )
