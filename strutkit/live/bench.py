"""The bench: a door in a live view, to drag, compare, decide and save.

Truth is small and lies in traits that a notebook can read and save: the design as the text of a
door file, the angle, the condition shown, the unit of lengths. All else the page asks for in
custom messages, answered in `messages` from the door and an edit.
"""

from collections.abc import Sequence
from os import PathLike
from pathlib import Path
from typing import Any

import traitlets

from strutkit.data import stock_path
from strutkit.decide.sweep import sweep
from strutkit.describe.doorfile import read_door
from strutkit.describe.records import Door, Strut
from strutkit.describe.stock import read_stock
from strutkit.errors import StrutkitError
from strutkit.live import messages, page_files
from strutkit.live.design import Design
from strutkit.live.still import OPEN_SHARE


class Bench(Design):
    """The live view of one door.

    `door` reads and sets the design from any cell; `angle` [rad], `condition` and `unit` ("mm" or
    "inch") say what is shown. `undo`, `redo`, `reset`, `open_door`, `save` and `save_sheet` do
    what the buttons do.
    """

    _esm = page_files.module()
    _css = page_files.style()

    angle = traitlets.Float(0.0, help="Opening angle shown [rad].").tag(sync=True)
    condition = traitlets.Unicode("nominal", help="Name of the condition shown.").tag(sync=True)

    def __init__(
        self, door: Door, *, path: Path | None = None, stock: Sequence[Strut] = (), **traits: Any
    ) -> None:
        traits.setdefault("angle", first_angle(door))
        super().__init__(door, path=path, stock=stock, **traits)
        self.on_msg(messages.receive)

    def save_sheet(self, path: str | PathLike[str] | None = None) -> Path:
        """Save the mount-point sheet as a PDF; None: beside the door file. Raises `SaveError`."""
        from strutkit.show.paper import save_sheet

        target = self.target(path, ".pdf")
        save_sheet(self._door, target, length_unit="in" if self.unit == "inch" else "mm")
        return target


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
    struts = read_stock(stock_path()) if stock is None else tuple(stock)
    if isinstance(door, Door):
        return Bench(door, stock=struts)
    path = Path(door).expanduser()
    return Bench(read_door(path), path=path, stock=struts)
