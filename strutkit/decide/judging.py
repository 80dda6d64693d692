"""What all findings share: the finding itself, and a door studied once in all its conditions."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.compute import statics
from strutkit.decide.conditions import all_conditions, door_statics, is_fault
from strutkit.decide.loads import HingeCase, cases_at_rest
from strutkit.decide.starters import starter_limits, weight_opens
from strutkit.decide.summary import Summary, summaries
from strutkit.describe.records import Condition, Door, FittedStrut

Floats = npt.NDArray[np.float64]

ASKED = "asked in the door file"
STARTER = "starter value (common practice)"


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

    cases: hinge forces at rest. service: rows of the conditions in service (no strut missing).
    drops: its weight opens it.
    """

    door: Door
    conditions: tuple[Condition, ...]
    model: statics.Statics
    summaries: tuple[Summary, ...]
    cases: tuple[Mapping[str, HingeCase], ...]
    service: tuple[int, ...]
    drops: bool

    def source(self, limit: str) -> str:
        """Where a limit comes from: asked, or a starter value."""
        asked = getattr(self.door.limits, limit)
        return STARTER if asked == getattr(starter_limits(self.door), limit) else ASKED


def study(door: Door) -> Study:
    """A door looked at once in all its conditions; raises as `sweep` does.

    A strut that no condition takes away is taken away here, one at a time, at 20 °C and level,
    so that its loss is always looked at.
    """
    named = all_conditions(door)
    covered = {one.missing for one in named}
    lost = tuple(
        Condition(name=f"{strut_label(one)[:200]} lost", missing=index)
        for index, one in enumerate(door.fitted)
        if index not in covered
    )
    conditions = named + lost
    model = door_statics(door, conditions)
    return Study(
        door=door,
        conditions=conditions,
        model=model,
        summaries=summaries(door, model),
        cases=cases_at_rest(door, conditions, model),
        service=tuple(row for row, one in enumerate(conditions) if not is_fault(one)),
        drops=weight_opens(door),
    )


def strut_label(fitted: FittedStrut) -> str:
    """A strut as sentences name it: "strut left"."""
    return f"strut {fitted.strut.name}"
