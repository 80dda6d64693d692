"""The mount map: where one mount may go, the rest of the door as it is, on the search's own rows.

Model sections 3, 9 and 11. A strut that is the stop is exempt from the stroke kept extended
(11.19), so a place where a strut ends the travel sooner would hold that limit just by opening
less: the map has a rule of its own against it, `OPENING_KEPT`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import LENGTH_SLACK
from strutkit.decide.conditions import (
    door_statics,
    force_extended,
    mounts,
    nominal_condition,
    own_ageing,
    refuse_misfit,
)
from strutkit.decide.search.layouts import Layouts, Others, layouts_between
from strutkit.decide.search.polish import in_zone
from strutkit.decide.search.request import asked_zone
from strutkit.decide.search.rows import TRAVEL_SLACK, Judge, objective
from strutkit.decide.search.task import (
    RANKINGS,
    RULES,
    SIGNS,
    Choices,
    limit_costs,
    make_task,
    service_conditions,
)
from strutkit.decide.search.travel import measure_travel, missing_to_open
from strutkit.decide.search.zones import Plane, ZoneShape, door_plane, zone_shape
from strutkit.describe.fields import shown
from strutkit.describe.records import Condition, Door, Zone
from strutkit.errors import RecordError, StrutkitError

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Complexes = npt.NDArray[np.complex128]

MOST_POINTS = 200_000

OPENING_KEPT = "travel_end"
"""The map's own rule, by the name of the finding: the door opens at least as far as it does now."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MountMap:
    """One mount moved over a zone, p points on a square grid. Arrays are read-only.

    points [p, 3] [m]; holds: rule that has a limit, and "travel_end" (the door opens at least as
    far as it does now) -> whether it holds [p], False where a strut does not fit; where unlike
    struts hang beside each other "fault_<index>" as well (no strut bottoms out with that one of
    `door.fitted` lost); all_hold [p]: struts fit and all of these hold; value [p]: what is
    ranked by, nan where a strut does not fit; step [m] between neighbours; rank_by as asked.
    """

    points: Floats
    holds: Mapping[str, Flags]
    all_hold: Flags
    value: Floats
    step: float
    rank_by: str


def mount_map(
    door: Door,
    *,
    strut: int = 0,
    mount: str = "panel",
    zone: Zone | None = None,
    rank_by: str = "hand_force",
    step: float = 0.005,
) -> MountMap:
    """Which limits hold with one mount anywhere in a zone, and what is ranked by there.

    strut: index in `door.struts`; its mirrored twin moves with it. mount: "frame" or "panel".
    zone None: the door's only one of that part. rank_by as in `find_mounts`; step [m]: the points
    lie on whole steps of the builder's tape. All conditions in service count, at every angle, to
    wherever the struts end the travel. A place where a strut ends it sooner than now is left out
    by the rule "travel_end", whatever the limits say (`opens_now`). Stroke kept is that of every
    strut, with each strut lost as well. `hinge_radial` is not looked at: `check` judges it.

    Raises `RecordError` for a strut, mount, zone or step that makes no sense, `TravelError` where
    the other struts do not fit.
    """
    _check(door, strut, mount, rank_by, step)
    for condition in service_conditions(door):
        refuse_misfit(door, condition)
    plane = door_plane(door)
    shape = zone_shape(plane, asked_zone(door, zone, mount))
    flat = _grid(plane, shape, step)
    hung = door.struts[strut]
    still = hung.frame_mount if mount == "panel" else hung.panel_mount
    offset = shape.along - float(plane.along(still))
    judge = judge_of(door, strut, plane, offset)
    pair = (plane.flat(still), flat) if mount == "panel" else (flat, plane.flat(still))
    layouts = layouts_between(0, *pair)
    return _map(door, strut, judge, layouts, plane.place(flat, shape.along), rank_by, step)


def judge_of(door: Door, strut: int, plane: Plane, offset: float) -> Judge:
    """The judge of one strut of the door anywhere, its mounts this far apart along the hinge line
    [m], the other struts where they are."""
    task = make_task(replace(door, struts=()), plane, offset)
    return Judge(task, _choice(door, strut), _others(door, plane, strut))


def opens_now(door: Door, strut: int) -> float:
    """End of travel of the door as it is, or without that strut where it does not fit [rad].

    Raises `TravelError` where the other struts do not fit.
    """
    try:
        return float(door_statics(door, (nominal_condition,)).end[0])
    except StrutkitError:
        rest = tuple(one for number, one in enumerate(door.struts) if number != strut)
        alone = replace(door, struts=rest, conditions=())
        return float(door_statics(alone, (nominal_condition,)).end[0])


def _check(door: Door, strut: int, mount: str, rank_by: str, step: float) -> None:
    if isinstance(strut, bool) or not isinstance(strut, int) or not 0 <= strut < len(door.struts):
        raise RecordError(
            f"strut is {strut!r}; the door has {len(door.struts)} struts, counted from 0."
        )
    if mount not in ("frame", "panel"):
        raise RecordError(f"mount is {mount!r}; write one of frame, panel.")
    if rank_by not in RANKINGS:
        raise RecordError(f"rank_by is {rank_by!r}; write one of {', '.join(RANKINGS)}.")
    if not 0.0 < step <= 0.1:
        raise RecordError(f"step is {shown(step, 'length')}; write over 0 mm, to 100 mm.")


def _grid(plane: Plane, shape: ZoneShape, step: float) -> Complexes:
    """Whole steps of the tape inside a zone, its outline counted in [p]."""
    corners = shape.corners + plane.tape_origin
    sides = [
        np.arange(np.ceil(part.min() / step - 1e-9), np.floor(part.max() / step + 1e-9) + 1.0)
        for part in (corners.real, corners.imag)
    ]
    if len(sides[0]) * len(sides[1]) > MOST_POINTS:
        raise RecordError(
            f"step is {shown(step, 'length')}, which makes over {MOST_POINTS} points; take a wider"
            " one."
        )
    first, second = np.meshgrid(*sides)
    flat = (first.ravel() + 1j * second.ravel()) * step - plane.tape_origin
    flat = flat[in_zone(shape, flat)]
    if not len(flat):
        raise RecordError(
            f"step is {shown(step, 'length')}; no whole step lies in the zone. Take a smaller one."
        )
    return flat


def _group(door: Door, strut: int) -> list[int]:
    """Indices in `door.fitted` of one of `door.struts` and its twin."""
    first = sum(1 + one.mirrored for one in door.struts[:strut])
    return [first, first + 1] if door.struts[strut].mirrored else [first]


def lost_rules(door: Door, strut: int) -> dict[str, int]:
    """Rules on what happens with a strut lost beside the one that is moved, by the name of the
    finding -> its row in `Travel.lost`. A strut with a twin makes none: the twin ends the travel
    where the pair did."""
    moved = _group(door, strut)
    rest = [index for index in range(len(door.fitted)) if index not in moved]
    rows = {index: row for row, index in enumerate([*rest, *moved])}
    groups = [_group(door, place) for place in range(len(door.struts))]
    lone = [group[0] for group in groups if len(group) == 1]
    return {f"fault_{index}": rows[index] for index in lone} if rest else {}


def _choice(door: Door, strut: int) -> Choices:
    """The strut that is moved, with its twin, as the only choice."""
    conditions, group = service_conditions(door), _group(door, strut)
    moved = door.struts[strut].strut
    law = moved.gas_law
    times = own_ageing(door, conditions)[:, group].sum(axis=1)
    return Choices(
        strut=np.zeros(1, dtype=np.intp),
        count=np.array([len(group)], dtype=np.intp),
        extended=np.array([moved.extended_length]),
        stroke=np.array([moved.stroke]),
        inverse_column=np.array([law.inverse_column]),
        friction=np.array([law.friction * len(group)]),
        gas=force_extended((moved,), conditions).T * times,
        applies=np.ones((1, len(conditions)), dtype=bool),
    )


def _others(door: Door, plane: Plane, strut: int) -> Others | None:
    """The struts that stay where they are."""
    rest = tuple(one for number, one in enumerate(door.struts) if number != strut)
    if not rest:
        return None
    group = _group(door, strut)
    conditions = [_without(one, group) for one in service_conditions(door)]
    still = replace(door, struts=rest, conditions=())
    frame, panel = mounts(still)
    return Others(
        statics=door_statics(still, conditions, bottoms_out=True),
        frame=plane.flat(frame),
        panel=plane.flat(panel),
        stroke=np.array([one.strut.stroke for one in still.fitted]),
    )


def _without(condition: Condition, group: list[int]) -> Condition:
    """The condition without the ageing factors of the struts that are moved."""
    own = condition.strut_ageing
    if own is None:
        return condition
    kept = tuple(one for number, one in enumerate(own) if number not in group)
    return replace(condition, strut_ageing=kept)


def _map(
    door: Door,
    strut: int,
    judge: Judge,
    layouts: Layouts,
    points: Floats,
    rank_by: str,
    step: float,
) -> MountMap:
    limits = limit_costs(door.limits)
    asked = np.flatnonzero(np.isfinite(limits)).tolist()
    ranking = RANKINGS[rank_by]
    costs = judge.costs(layouts, wanted=tuple({*asked, *ranking}))
    travel = measure_travel(judge, layouts)
    fits, missing = travel.fits, missing_to_open(judge, layouts, opens_now(door, strut))
    allowed = limits + TRAVEL_SLACK
    holds = {RULES[rule]: fits & (costs[:, rule] <= allowed[rule]) for rule in asked}
    holds[OPENING_KEPT] = fits & (missing <= 0.0)
    for rule, row in lost_rules(door, strut).items():
        holds[rule] = fits & (travel.lost[row] >= -LENGTH_SLACK)
    all_hold = np.logical_and.reduce([fits, *holds.values()])
    value = np.where(fits, SIGNS[ranking[0]] * objective(costs, ranking), np.nan)
    for array in (points, all_hold, value, *holds.values()):
        array.flags.writeable = False
    return MountMap(
        points=points,
        holds=MappingProxyType(holds),
        all_hold=all_hold,
        value=value,
        step=step,
        rank_by=rank_by,
    )
