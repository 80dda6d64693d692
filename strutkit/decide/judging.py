"""What all findings share: the finding itself, and a door studied once in all its conditions."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from strutkit.compute import statics
from strutkit.decide.conditions import (
    TooLong,
    all_conditions,
    bottoming,
    door_statics,
    fitting,
    is_fault,
    strut_label,
)
from strutkit.decide.loads import HingeCase, cases_at_rest
from strutkit.decide.starters import starter_limits, weight_sense
from strutkit.decide.summary import Summary, summaries
from strutkit.describe.records import Condition, Door, Limits

Floats = npt.NDArray[np.float64]

PRACTICE = "common practice, no published source"
ASKED = "asked in the door file"
STARTER = "asked in the door file; equals the starter value (common practice)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding. value and limit in SI, unit as text; words show mm, degrees, °C.

    ok: True passes, False fails, None not judged; condition: name of the one that decides;
    angle [rad] where it decides; source: where the limit comes from. value None: never reached,
    or nothing to measure.
    """

    name: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    ok: bool | None = None
    condition: str | None = None
    angle: float | None = None
    words: str
    source: str = ""

    @property
    def state(self) -> str:
        """The verdict in words: fails, passes, not judged, assumed."""
        if self.ok is None:
            return "assumed" if self.name.startswith("assumed_") else "not judged"
        return "passes" if self.ok else "fails"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Study:
    """A door with its statics and key figures in all conditions, nominal first.

    conditions: those that can be swept; left_out: those in which a strut bottoms out because
    another is missing, bottoming: that strut by the index of the one that is missing.
    cases: hinge forces at rest. order: all rows, nominal first, then by name, so that the order
    of the conditions decides no tie; service: those in service (no strut missing), in that order.
    sense: "lifts", "drops" or "swings", what opening does to its weight; starter: its starter
    limits.
    """

    door: Door
    conditions: tuple[Condition, ...]
    left_out: tuple[Condition, ...]
    bottoming: Mapping[int, TooLong]
    model: statics.Statics
    summaries: tuple[Summary, ...]
    cases: tuple[Mapping[str, HingeCase], ...]
    order: tuple[int, ...]
    service: tuple[int, ...]
    sense: str
    starter: Limits

    @property
    def drops(self) -> bool:
        """Whether its weight opens it."""
        return self.sense == "drops"

    def source(self, limit: str) -> str:
        """Where a limit comes from: asked, or a starter value."""
        asked = getattr(self.door.limits, limit)
        return STARTER if asked == getattr(self.starter, limit) else ASKED


def study(door: Door) -> Study:
    """A door looked at once in all its conditions; raises as `sweep` does.

    A strut that no condition takes away is taken away here, so that its loss is always looked at.
    A condition that only the loss keeps from being swept is left out, not refused.
    """
    every, without = all_conditions(door) + lost_conditions(door), bottoming(door)
    conditions = tuple(one for one in every if one.missing not in without)
    order = sorted(range(len(conditions)), key=lambda row: (row > 0, conditions[row].name))
    model = door_statics(door, conditions)
    return Study(
        door=door,
        conditions=conditions,
        left_out=tuple(one for one in every if one.missing in without),
        bottoming=MappingProxyType(without),
        model=model,
        summaries=summaries(door, model),
        cases=cases_at_rest(door, conditions, model),
        order=tuple(order),
        service=tuple(row for row in order if not is_fault(conditions[row])),
        sense=weight_sense(door),
        starter=starter_limits(door),
    )


def lost_conditions(door: Door) -> tuple[Condition, ...]:
    """Each strut that no condition of the door takes away taken away alone, at 20 °C and level."""
    named = all_conditions(door)
    covered = {one.missing for one in named}
    return tuple(
        Condition(name=_new_name(f"{strut_label(one)[:200]} lost", named), missing=index)
        for index, one in enumerate(door.fitted)
        if index not in covered
    )


TIRED = 0.70
"""Ageing of one strut alone that is always tried (common practice, no published source)."""


def tired_conditions(door: Door) -> tuple[Condition, ...]:
    """Each strut tired alone, new and level otherwise."""
    named, count = all_conditions(door), len(door.fitted)
    return tuple(
        Condition(
            name=_new_name(f"{strut_label(one)[:200]} tired to {TIRED * 100:.0f} %", named),
            strut_ageing=tuple(TIRED if n == index else 1.0 for n in range(count)),
        )
        for index, one in enumerate(door.fitted)
    )


def shown_conditions(door: Door) -> tuple[Condition, ...]:
    """What can be swept of the door's own conditions and of those that findings try beside them:
    each strut lost, each strut tired."""
    return fitting(door, all_conditions(door) + lost_conditions(door) + tired_conditions(door))


def _new_name(name: str, named: tuple[Condition, ...]) -> str:
    """The name, or one like it that no condition of the door has yet."""
    taken = {one.name for one in named}
    return name if name not in taken else _new_name(f"{name}, tried", named)


def capital(text: str) -> str:
    """The text with its first letter large, as a sentence begins."""
    return text[:1].upper() + text[1:]
