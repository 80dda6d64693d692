"""A door as the truth of a widget: read and set, undone and redone, saved.

The design lies in a trait as the text of a door file, so that a notebook keeps it.
"""

import hashlib
import os
import secrets
import threading
from collections.abc import Sequence
from os import PathLike
from pathlib import Path
from typing import Any

import anywidget
import traitlets
from IPython.display import HTML, display, update_display

from strutkit.describe.doorfile import (
    door_fingerprint,
    door_text,
    parse_door,
    read_door,
    write_door,
)
from strutkit.describe.records import Door, Strut
from strutkit.errors import SaveError
from strutkit.live import shelf
from strutkit.live.still import still_html

SESSION = secrets.token_hex(8)
"""Tells one run of Python from another: the page offers changes kept from an earlier one."""

MOST_UNDO = 500


def notebook_mark() -> str:
    """Tells one notebook from another: a short hash of the notebook's path as the server
    names it to its kernels, else of the working folder."""
    path = os.environ.get("JPY_SESSION_NAME") or str(Path.cwd())
    return hashlib.sha256(path.encode()).hexdigest()[:16]


class Design(anywidget.AnyWidget):
    """A widget about one door: `door` reads and sets it, `undo`, `redo`, `reset`, `open_door` and
    `save` do what the buttons do."""

    design = traitlets.Unicode(help="The design as the text of a door file.").tag(sync=True)
    unit = traitlets.Enum(("mm", "inch"), "mm", help="Unit of lengths.").tag(sync=True)
    origin = traitlets.Unicode(help="Fingerprint of the door as it was given.").tag(sync=True)
    session = traitlets.Unicode(SESSION).tag(sync=True)

    def __init__(
        self, door: Door, *, path: Path | None = None, stock: Sequence[Strut] = (), **traits: Any
    ) -> None:
        self.lock = threading.RLock()
        self.stock = tuple(stock)
        self.path = path
        self._door = self._given = self._saved = door
        self._past: list[Door] = []
        self._future: list[Door] = []
        self._shown_as: str | None = None
        super().__init__(design=door_text(door), origin=door_fingerprint(door), **traits)

    @property
    def door(self) -> Door:
        """The design as it stands; setting it is one step that can be undone."""
        return self._door

    @door.setter
    def door(self, door: Door) -> None:
        if not isinstance(door, Door):
            raise TypeError(f"door is {type(door).__name__}; give a Door.")
        with self.lock:
            if door == self._door:
                return
            self._past = [*self._past[-MOST_UNDO:], self._door]
            self._future = []
            self._set(door)

    def undo(self) -> None:
        """Take back the last change, if there is one."""
        with self.lock:
            if self._past:
                self._future.append(self._door)
                self._set(self._past.pop())

    def redo(self) -> None:
        """Make the change again that was taken back last, if there is one."""
        with self.lock:
            if self._future:
                self._past.append(self._door)
                self._set(self._future.pop())

    def reset(self) -> None:
        """Back to the door as it was given or opened; this can be undone."""
        self.door = self._given

    def open_door(self, path: str | PathLike[str]) -> None:
        """Show the door of another file; this can be undone. Raises `FileFault`."""
        self._take_up(read_door(Path(path).expanduser()), Path(path).expanduser())

    def open_example(self, name: str) -> None:
        """Show an example door; it has no file until it is saved. Raises `RecordError`."""
        self._take_up(shelf.example(name), None)

    def _take_up(self, door: Door, path: Path | None) -> None:
        with self.lock:
            self.door = door
            self._given = self._saved = door
            self.path = path
            self.origin = door_fingerprint(door)

    def save(self, path: str | PathLike[str] | None = None) -> Path:
        """Save the door file: at `path`, or where it was read or saved last.

        Comments and units of the file that the door came from are kept. Raises `SaveError`.
        """
        with self.lock:
            target = self.target(path, ".toml")
            former = self.path if self.path is not None and self.path.is_file() else None
            write_door(self._door, target, like=former)
            self.path = target
            self._saved = self._door
            return target

    def asks_before(self, target: Path) -> bool:
        """Whether a file there is to be replaced only when that is said.

        Any file but the door's own; and that one too, once a door of another name or hinge has
        taken the place of the one that it holds.
        """
        same = (self._door.name, self._door.hinge) == (self._saved.name, self._saved.hinge)
        return target.exists() and not (target == self.path and same)

    def target(self, path: str | PathLike[str] | None, ending: str) -> Path:
        """Where a file is saved: the path with an ending, or beside the door file."""
        if path is None and self.path is None:
            raise SaveError("This door has no file yet: say where, for example my-hatch.toml.")
        if path is None:
            return Path(str(self.path)).with_suffix(ending)
        given = Path(path).expanduser()
        return given if given.suffix else given.with_suffix(ending)

    @property
    def state(self) -> dict[str, Any]:
        """What the toolbar needs to know."""
        path = self.path
        return {
            "undo": bool(self._past),
            "redo": bool(self._future),
            "changed": self._door != self._given,
            "unsaved": self._door != self._saved,
            "path": None if path is None else str(path),
            "sheet_path": None if path is None else str(path.with_suffix(".pdf")),
        }

    @traitlets.observe("design")
    def _design_set(self, change: Any) -> None:
        """A design set as text becomes the door, unless it is the door's own text."""
        if change.new != door_text(self._door):
            self.door = parse_door(change.new, "The design")

    def _set(self, door: Door) -> None:
        self._door = door
        self.design = door_text(door)
        self.refresh_still()

    @traitlets.observe("unit")
    def _unit_set(self, _: Any) -> None:
        self.refresh_still()

    def refresh_still(self) -> None:
        """Bring the still up to date, where it is shown."""
        if self._shown_as is not None:
            update_display(HTML(self._still()), display_id=self._shown_as)

    def _still(self) -> str:
        """What shows where the view cannot run, as HTML."""
        return still_html(self._door, "in" if self.unit == "inch" else "mm")

    def _ipython_display_(self) -> None:
        """The live view, and below it a still that shows where the view cannot run.

        While the view runs it hides the still (bench.css).
        """
        data, metadata = self._repr_mimebundle_() or ({}, {})
        display(data, metadata=metadata, raw=True)
        self._shown_as = self._shown_as or f"strutkit-{secrets.token_hex(8)}"
        display(HTML(self._still()), display_id=self._shown_as)
