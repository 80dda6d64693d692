"""What is asked of a mount search, checked and made into numbers."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from numbers import Real

from strutkit.decide.search.problem import Problem
from strutkit.decide.search.reach import Reach
from strutkit.decide.search.rows import Judge
from strutkit.decide.search.task import (
    LEAST_SCALES,
    RANKINGS,
    Choices,
    limit_costs,
    make_choices,
    make_task,
    service_conditions,
)
from strutkit.decide.search.zones import Plane, door_plane, zone_shape
from strutkit.describe.fields import shown
from strutkit.describe.records import (
    LEAST_TWIN_DISTANCE,
    Condition,
    Door,
    FittedStrut,
    Strut,
    Zone,
)
from strutkit.errors import RecordError

MOST_STRUTS = 5000


@dataclass(frozen=True, slots=True)
class Request:
    """A checked request: the door, the stock, both zones in the plane, and all choices.

    texts: what was left out, and why.
    """

    door: Door
    stock: tuple[Strut, ...]
    plane: Plane
    reach: Reach
    choices: Choices
    rank_by: str
    drilling_error: float
    texts: tuple[str, ...]

    def problem(self, eps: float, coarse: float | None, least_opening: float) -> Problem:
        """The problem for layouts whose travel ends no earlier than `least_opening` [rad]."""
        offset = self.reach.panel.along - self.reach.frame.along
        bare = replace(self.door, struts=())
        least = min(least_opening, self.door.hinge.stop_angle)
        task = make_task(bare, self.plane, offset, least, self.drilling_error)
        return Problem(
            judge=Judge(task, self.choices),
            reach=self.reach,
            limits=limit_costs(self.door.limits),
            ranking=RANKINGS[self.rank_by],
            eps=eps,
            scale=float(LEAST_SCALES[RANKINGS[self.rank_by][0]]),
            coarse=coarse,
        )

    def suited(self, count: int) -> tuple[Condition, ...]:
        """The door's conditions that suit so many struts."""
        return tuple(one for one in self.door.conditions if _misfit(one, count) is None)

    def fitted_door(self, strut: Strut, count: int, mounts: tuple[Sequence[float], ...]) -> Door:
        """The door with one strut of the stock, or a mirrored pair, at these mounts.

        The strut keeps the name of its place in the door; the row's name goes into an empty
        order code. Holes and threads are those of the door's first strut, if it has one.
        """
        own = self.door.struts[0] if self.door.struts else None
        place = own.strut.name if own else "strut"
        adopted = replace(strut, name=place, order_code=strut.order_code or strut.name)
        hung = FittedStrut(
            strut=adopted,
            frame_mount=tuple(mounts[0]),  # type: ignore[arg-type]
            panel_mount=tuple(mounts[1]),  # type: ignore[arg-type]
            mirrored=count == 2,
            frame_hole=own.frame_hole if own else None,
            panel_hole=own.panel_hole if own else None,
            frame_thread=own.frame_thread if own else None,
            panel_thread=own.panel_thread if own else None,
        )
        return replace(self.door, struts=(hung,), conditions=self.suited(count))


def make_request(
    door: Door,
    stock: Sequence[Strut],
    frame_zone: Zone | None,
    panel_zone: Zone | None,
    counts: Sequence[int],
    rank_by: str,
    drilling_error: float,
) -> Request:
    """A request checked; raises `RecordError` with what to do."""
    if rank_by not in RANKINGS:
        raise RecordError(f"rank_by is {rank_by!r}; write one of {', '.join(RANKINGS)}.")
    struts = _checked_stock(stock)
    wanted = _checked_counts(counts)
    plane = door_plane(door)
    frame = zone_shape(plane, asked_zone(door, frame_zone, "frame"))
    panel = zone_shape(plane, asked_zone(door, panel_zone, "panel"))
    texts: list[str] = []
    middle = float(plane.along(door.middle))
    apart = 2.0 * max(abs(frame.along - middle), abs(panel.along - middle))
    if 2 in wanted and apart < LEAST_TWIN_DISTANCE:
        wanted = tuple(one for one in wanted if one != 2)
        text = "Pairs are left out: the zones lie at the panel's middle, where both would meet."
        if not wanted:
            raise RecordError(f"counts: {text} Ask for one strut, or move the zones to one side.")
        texts.append(text)
    for count in wanted:
        texts += [why for one in door.conditions if (why := _misfit(one, count)) is not None]
    choices, left_out = make_choices(struts, wanted, service_conditions(door))
    return Request(
        door=door,
        stock=struts,
        plane=plane,
        reach=Reach(frame, panel),
        choices=choices,
        rank_by=rank_by,
        drilling_error=drilling_error,
        texts=(*texts, *left_out),
    )


def _misfit(condition: Condition, count: int) -> str | None:
    """Why a condition does not suit so many struts, if it does not."""
    name, struts = condition.name, f"{count} strut{'s' if count > 1 else ''}"
    if condition.missing is not None and condition.missing >= count:
        return f"{name} is left out for {struts}: it is strut {condition.missing} that is missing."
    own = condition.strut_ageing
    if own is not None and len(own) != count:
        return f"{name} is left out for {struts}: it has an ageing factor for each of {len(own)}."
    return None


def _checked_stock(stock: Sequence[Strut]) -> tuple[Strut, ...]:
    struts = tuple(stock)
    if not struts:
        raise RecordError("stock is empty; give at least one strut.")
    for row, one in enumerate(struts, start=1):
        if not isinstance(one, Strut):
            raise RecordError(f"stock: row {row} is {one!r}; give Strut records.")
    if len(struts) > MOST_STRUTS:
        raise RecordError(f"stock has {len(struts)} struts; give at most {MOST_STRUTS}.")
    return struts


def _checked_counts(counts: Sequence[int]) -> tuple[int, ...]:
    wanted = tuple(counts)
    if not wanted or any(isinstance(one, bool) or one not in (1, 2) for one in wanted):
        raise RecordError(f"counts is {counts!r}; write (1,), (2,) or (1, 2).")
    return tuple(sorted(set(wanted)))


def asked_zone(door: Door, zone: Zone | None, part: str) -> Zone:
    """The zone given, else the door's only one of that part; raises `RecordError`."""
    if zone is None:
        own = [one for one in door.zones if one.part == part]
        if len(own) != 1:
            raise RecordError(
                f"door: it has {len(own)} {part} zones; give the one to search, or mark just one."
            )
        return own[0]
    if not isinstance(zone, Zone):
        raise RecordError(f"{part} zone is {zone!r}; give a Zone.")
    if zone.part != part:
        raise RecordError(
            f"{part} zone: the one given lies on the {zone.part}; give one on the {part}."
        )
    return replace(door, zones=(zone,)).zones[0]


def check_numbers(
    drilling_error: float,
    step: float | None,
    tolerance: float,
    time_limit: float | None,
    least_opening: float | None,
) -> None:
    """Refuse numbers that make no sense; raises `RecordError`."""
    given = {"drilling_error": drilling_error, "tolerance": tolerance} | {
        name: value
        for name, value in (
            ("step", step),
            ("time_limit", time_limit),
            ("least_opening", least_opening),
        )
        if value is not None
    }
    for name, value in given.items():
        if isinstance(value, bool) or not isinstance(value, Real):
            raise RecordError(f"{name} is {value!r}; write a number.")
    if not 0.0 <= drilling_error <= 0.02:
        raise RecordError(
            f"drilling_error is {shown(drilling_error, 'length')}; write 0 mm to 20 mm."
        )
    if step is not None and not 0.0 < step <= 0.05:
        raise RecordError(f"step is {shown(step, 'length')}; write over 0 mm, to 50 mm, or None.")
    if not 1e-5 <= tolerance <= 0.5:
        raise RecordError(f"tolerance is {tolerance:g}; write a share from 0.00001 to 0.5.")
    if time_limit is not None and not time_limit > 0.0:
        raise RecordError(f"time_limit is {time_limit:g} s; write over 0 s, or None.")
    if least_opening is not None and not 0.0 <= least_opening < math.inf:
        raise RecordError(
            f"least_opening is {shown(least_opening, 'angle')}; write an angle from 0°, or None."
        )
