"""The search's task as numbers: the door without struts, and the struts that may be chosen.

A choice is one strut of the stock and how many of it: one, or a mirrored pair. Both struts of a
pair have the same radii, phase and offset, so a choice acts like one strut with its forces
added up. Gas force belongs to the strut and the condition (model 2 and 11), rows to the door.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from strutkit.compute import statics
from strutkit.decide.conditions import all_conditions, door_statics, force_extended, is_fault
from strutkit.decide.search.zones import Plane, ZoneShape
from strutkit.describe.records import LEAST_TWIN_DISTANCE, Condition, Door, Limits, Strut
from strutkit.errors import RecordError

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]
Indices = npt.NDArray[np.intp]

RULES = (
    "hand_opening",
    "hand_closing",
    "lift_off",
    "reserve",
    "reserve_force",
    "latch",
    "travel_compressed",
    "travel_extended",
    "hinge_resultant",
)
"""The rules that are searched, in the order of every array of costs."""

SIGNS = np.array([1.0, 1.0, 1.0, -1.0, -1.0, 1.0, -1.0, -1.0, 1.0])
"""Cost = sign · value: of a cost less is better, and a limit is the most it may be."""

LEAST_SCALES = np.array([1.0, 1.0, 0.1, 0.01, 1.0, 1.0, 0.01, 0.01, 1.0])
"""A tolerance is a share of a rule's value, or of this where that is less [N, rad, 1, m]."""

OPENING, CLOSING, LIFT_OFF, RESERVE, RESERVE_FORCE, LATCH, COMPRESSED, EXTENDED, HINGE = range(9)

RANKINGS = {
    "hand_force": (OPENING, CLOSING),
    "reserve": (RESERVE,),
    "hinge_resultant": (HINGE,),
}
"""What to rank by -> the rules whose greatest cost it is."""


@dataclass(frozen=True, slots=True)
class Task:
    """A door without struts. c conditions in service.

    stop [rad]; offset of the mounts along the hinge line [m]; radius_opening, radius_closing of
    the handles [m]; handle, its angle when shut [rad]; hinge_friction [N·m]; reserve_span
    [rad]; least_opening [rad], the earliest end of travel that is taken; drilling_error
    [m] of each mount; gravity_cosine, gravity_sine [c] [N·m]; weight [c], force in the plane [N].
    """

    names: tuple[str, ...]
    stop: float
    offset: float
    radius_opening: float
    radius_closing: float
    handle: float
    hinge_friction: float
    reserve_span: float
    least_opening: float
    drilling_error: float
    gravity_cosine: Floats
    gravity_sine: Floats
    weight: Complexes

    def gravity_moment(self, angle: Floats) -> Floats:
        """Moment of the weight [c, ...] at angles [...] or [c, ...] without the c."""
        shape = (-1,) + (1,) * np.ndim(angle)
        cosine, sine = self.gravity_cosine.reshape(shape), self.gravity_sine.reshape(shape)
        return np.asarray(cosine * np.cos(angle) + sine * np.sin(angle))


@dataclass(frozen=True, slots=True)
class Choices:
    """p choices of a strut and a count, in c conditions.

    strut: row of the stock [p]; count [p]; extended length, stroke [m], inverse_column 1/G
    [1/m]; friction of all its struts together [N]; gas: force at full extension of all its
    struts together [N] [p, c]; applies: whether the condition is asked of it [p, c].
    """

    strut: Indices
    count: Indices
    extended: Floats
    stroke: Floats
    inverse_column: Floats
    friction: Floats
    gas: Floats
    applies: npt.NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.strut)


def limit_costs(limits: Limits) -> Floats:
    """Limits as the greatest cost allowed [9], inf where nothing is asked."""
    asked = [getattr(limits, rule) for rule in RULES]
    return np.array([np.inf if one is None else one for one in asked]) * np.where(
        [one is None for one in asked], 1.0, SIGNS
    )


def service_conditions(door: Door) -> tuple[Condition, ...]:
    """The conditions that the rules are asked in: the nominal one and all that are no fault."""
    return tuple(one for one in all_conditions(door) if not is_fault(one))


def make_task(
    bare: Door,
    plane: Plane,
    offset: float,
    least_opening: float = 0.0,
    drilling_error: float = 0.0,
) -> Task:
    """The numbers of a door without struts; offset of the mounts along the hinge line [m]."""
    conditions = tuple(replace(one, strut_ageing=None) for one in service_conditions(bare))
    model = door_statics(bare, conditions)
    mass = [bare.panel.mass * one.mass_factor + one.added_mass for one in conditions]
    fall = [statics.gravity(one.pitch, one.roll) for one in conditions]
    pull = np.array(mass)[:, None] * np.array(fall)
    return Task(
        names=tuple(one.name for one in conditions),
        stop=bare.hinge.stop_angle,
        offset=abs(offset),
        radius_opening=bare.hinge_distance(bare.panel.handle),
        radius_closing=bare.hinge_distance(bare.closing_handle),
        handle=float(np.angle(plane.flat(bare.panel.handle))),
        hinge_friction=bare.hinge.friction_moment,
        reserve_span=bare.limits.reserve_span,
        least_opening=least_opening,
        drilling_error=drilling_error,
        gravity_cosine=model.gravity_cosine,
        gravity_sine=model.gravity_sine,
        weight=np.asarray(pull @ plane.first + 1j * (pull @ plane.second)),
    )


def make_choices(
    stock: Sequence[Strut], counts: Sequence[int], conditions: Sequence[Condition]
) -> tuple[Choices, tuple[str, ...]]:
    """Every strut with every count, and a text for each strut that cannot be used.

    A strut that some condition leaves without charge is no choice. A condition with an ageing
    factor for each strut applies only to as many struts as it has factors.
    """
    usable, texts = [], []
    for row, strut in enumerate(stock):
        try:
            force_extended((strut,), conditions)
            usable.append(row)
        except RecordError as fault:
            texts.append(f"{strut.name} is left out: {fault}")
    struts = [stock[row] for row in usable]
    force = force_extended(struts, conditions).T if struts else np.zeros((0, len(conditions)))
    laws = [one.gas_law for one in struts]
    several = [_times(conditions, count) for count in counts]

    def column(values: Sequence[float]) -> Floats:
        return np.repeat(np.array(values, dtype=float), len(counts))

    count = np.tile(np.array(counts, dtype=np.intp), len(struts))
    applies = np.array([times > 0.0 for times in several])
    return (
        Choices(
            strut=np.repeat(np.array(usable, dtype=np.intp), len(counts)),
            count=count,
            extended=column([one.extended_length for one in struts]),
            stroke=column([one.stroke for one in struts]),
            inverse_column=column([law.inverse_column for law in laws]),
            friction=column([law.friction for law in laws]) * count,
            gas=(force[:, None, :] * np.array(several)).reshape(len(count), len(conditions)),
            applies=np.tile(applies, (len(struts), 1)),
        ),
        tuple(texts),
    )


def _times(conditions: Sequence[Condition], count: int) -> Floats:
    """How many new struts' gas force `count` struts have in each condition [c]; 0: not asked."""
    return np.array(
        [
            count if own is None else sum(own) * (len(own) == count)
            for own in (one.strut_ageing for one in conditions)
        ],
        dtype=float,
    )


def lone_pair_texts(door: Door, plane: Plane, zones: Sequence[ZoneShape]) -> tuple[str, ...]:
    """Why a mirrored pair cannot be hung, if it cannot: both zones lie at the panel's middle."""
    middle = float(plane.along(door.middle))
    apart = 2.0 * max(abs(zone.along - middle) for zone in zones)
    if apart >= LEAST_TWIN_DISTANCE:
        return ()
    return ("Two struts are left out: the zones lie at the panel's middle, where they would meet.",)
