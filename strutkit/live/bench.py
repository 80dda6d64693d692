"""The bench: a door in a live view, to drag, compare, decide and save.

Truth is small and lies in traits that a notebook can read and save: the design as the text of a
door file, the angle, the condition shown, the unit of lengths. All else the page asks for in
custom messages, answered in `messages` from the door and an edit.
"""

import hashlib
import math
from collections import deque
from collections.abc import Sequence
from os import PathLike
from pathlib import Path
from typing import Any

import traitlets
from IPython import get_ipython

from strutkit.decide.conditions import door_statics, nominal_condition
from strutkit.decide.judging import shown_conditions
from strutkit.decide.sweep import sweep
from strutkit.describe.doorfile import read_door
from strutkit.describe.records import NOMINAL, Condition, Door, Strut
from strutkit.describe.stock import generic_stock
from strutkit.errors import SaveError, StrutkitError
from strutkit.live import commits, messages, page_files
from strutkit.live.design import Design, notebook_mark
from strutkit.live.still import OPEN_SHARE
from strutkit.live.untaken import NO_STEPS, Untaken, untaken_figures, untaken_words


class Bench(Design):
    """The live view of one door.

    `door` reads and sets the design from any cell; `angle` [rad], `condition` and `unit` ("mm" or
    "inch") say what is shown: an angle outside the travel is brought into it, and `TraitError`
    refuses one that is no finite number and a condition that the door does not have. `undo`,
    `redo`, `reset`, `open_door`, `save` and `save_sheet` do what the buttons do.
    """

    _esm = page_files.module()
    _css = page_files.style()

    angle = traitlets.Float(0.0, help="Opening angle shown [rad].").tag(sync=True)
    condition = traitlets.Unicode("nominal", help="Name of the condition shown.").tag(sync=True)
    kept_as = traitlets.Unicode(help="Where the browser keeps unsaved moves.").tag(sync=True)

    def __init__(
        self, door: Door, *, path: Path | None = None, stock: Sequence[Strut] = (), **traits: Any
    ) -> None:
        traits.setdefault("angle", first_angle(door))
        traits.setdefault("kept_as", kept_as(door))
        self.untaken: tuple[Untaken, ...] = ()
        self.steps = NO_STEPS
        self.before_steps: deque[tuple[Any, Any, dict[str, Any]]] = deque(maxlen=commits.MOST_STEPS)
        super().__init__(door, path=path, stock=stock, **traits)
        self.on_msg(messages.receive)

    @traitlets.validate("angle")
    def _angle_within(self, proposal: Any) -> float:
        angle = float(proposal["value"])
        if not math.isfinite(angle):
            raise traitlets.TraitError(
                f"angle is {angle}; write a finite opening angle in radians, for example 0.7."
            )
        return min(max(angle, 0.0), self._end_of_travel())

    @traitlets.validate("condition")
    def _condition_known(self, proposal: Any) -> str:
        name, known = str(proposal["value"]), list(self._conditions())
        if name not in known:
            raise traitlets.TraitError(
                f"there is no condition {name!r}; write one of {', '.join(map(repr, known))}."
            )
        return name

    @traitlets.observe("condition")
    def _condition_set(self, _: Any) -> None:
        self.angle = self.angle

    def _conditions(self) -> dict[str, Condition]:
        """The conditions that can be shown, by name."""
        return {one.name: one for one in shown_conditions(self._door)}

    def _end_of_travel(self) -> float:
        """End of travel in the condition shown; the stop where the door cannot be swept [rad]."""
        try:
            condition = self._conditions().get(self.condition, nominal_condition)
            return float(door_statics(self._door, (condition,)).end[0])
        except StrutkitError:
            return self._door.hinge.stop_angle

    @property
    def key(self) -> str:
        """Tells one door from another: by its name, its hinge, from which all places are counted,
        and the opening that it came by."""
        told = (self._door.name, self._door.hinge, self._source.opening)
        return hashlib.sha256(repr(told).encode()).hexdigest()[:16]

    @property
    def state(self) -> dict[str, Any]:
        """What the page needs to know beside the design: also what was typed and is not in it."""
        untaken = [untaken_figures(self._door, one) for one in self.untaken]
        return super().state | {"untaken": untaken}

    def _set(self, door: Door, source: Any) -> None:
        now = self._door
        same = source is self._source and (door.name, door.hinge) == (now.name, now.hinge)
        self.untaken = tuple(one for one in self.untaken if same and one.is_of(door))
        self.steps = NO_STEPS
        super()._set(door, source)
        if self.condition not in self._conditions():
            self.condition = NOMINAL
        self.angle = self.angle

    def _take_up(self, source: Any) -> None:
        super()._take_up(source)
        self.angle = first_angle(self._door)

    def reset(self) -> None:
        """Back to the door as it was given or opened; this can be undone."""
        self.untaken = ()
        super().reset()

    def check_read(self) -> None:
        """Raises `SaveError` where a text that cannot be read is typed for a mount."""
        for one in self.untaken:
            if not one.read:
                raise SaveError(
                    "Nothing was saved: what is typed for a mount cannot be read."
                    f" {untaken_words(self._door, one)}: {one.why} Mend it in its box, or press"
                    " Escape there."
                )

    def save(self, path: str | PathLike[str] | None = None, *, replace: bool = False) -> Path:
        """Save the door file; see `Design.save`. Raises `SaveError`, also beside a text that cannot
        be read."""
        self.check_read()
        return super().save(path, replace=replace)

    def save_sheet(self, path: str | PathLike[str] | None = None) -> Path:
        """Save the mount-point sheet as a PDF; None: beside the door file. Raises `SaveError`, also
        beside a text that cannot be read."""
        from strutkit.show.paper import save_sheet

        self.check_read()
        target = self.target(path, ".pdf")
        save_sheet(self._door, target, length_unit="in" if self.unit == "inch" else "mm")
        return target


def kept_as(door: Door) -> str:
    """Where the browser keeps unsaved moves: the same for one door in one cell of one notebook.

    The notebook names the cell where it can; else the door's name alone tells.
    """
    shell = get_ipython()
    asked = shell.get_parent() if hasattr(shell, "get_parent") else {}
    words = (notebook_mark(), str(asked.get("metadata", {}).get("cellId", "")), door.name)
    return hashlib.sha256("\n".join(words).encode()).hexdigest()[:32]


def first_angle(door: Door) -> float:
    """The angle that a door is first shown at: partly open, or shut where it cannot be swept."""
    try:
        return OPEN_SHARE * sweep(door).end_of_travel
    except StrutkitError:
        return 0.0


def bench(door: Door | str | PathLike[str], *, stock: Sequence[Strut] | None = None) -> Bench:
    """The live view of a door, as a widget.

    door: a `Door`, or the path of a door file (then Save writes to that file). stock: struts to
    compare (None: the generic list). Raises `FileFault` where the file cannot be read.
    """
    struts = generic_stock() if stock is None else tuple(stock)
    if isinstance(door, Door):
        return Bench(door, stock=struts)
    path = Path(door).expanduser()
    return Bench(read_door(path), path=path, stock=struts)
