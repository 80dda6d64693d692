"""A door as the truth of a widget: read and set, undone and redone, saved.

The design lies in a trait as the text of a door file, so that a notebook keeps it.
"""

import hashlib
import itertools
import os
import secrets
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import Any

import anywidget
import traitlets
from IPython.display import HTML, display, update_display

from strutkit.data import door_path
from strutkit.describe.doorfile import (
    door_fingerprint,
    door_text,
    parse_door,
    read_door,
    write_door,
)
from strutkit.describe.records import Door, Strut
from strutkit.describe.unit_table import literal
from strutkit.errors import RecordError, SaveError
from strutkit.live import shelf
from strutkit.live.still import still_html

SESSION = secrets.token_hex(8)
"""Tells one run of Python from another: the page offers changes kept from an earlier one."""

MOST_UNDO = 500
LONGEST_NAME = 255
"""Bytes of a file's name on common systems."""


def notebook_mark() -> str:
    """Tells one notebook from another: a short hash of the notebook's path as the server
    names it to its kernels, else of the working folder."""
    path = os.environ.get("JPY_SESSION_NAME") or str(Path.cwd())
    return hashlib.sha256(path.encode()).hexdigest()[:16]


_OPENINGS = itertools.count()


@dataclass
class _Source:
    """Where a door came from: its file and that file's content when it was read or saved here.

    Undoing over the opening of another door brings the former source back as well. read: the file
    or example that the door was given from; base: the door that this file, or the cell, gives by
    now.
    """

    given: Door
    saved: Door
    opening: int
    path: Path | None
    content: bytes | None
    read: Path | None
    base: Door

    @classmethod
    def of(cls, door: Door, read: Path | None, *, own: bool = True) -> "_Source":
        """The door as it was read; not `own`: nothing is saved to that file."""
        path = read if own else None
        content = _content(path)
        return cls(
            given=door,
            saved=door,
            opening=next(_OPENINGS),
            path=path,
            content=content,
            read=read,
            base=door,
        )

    def like(self, door: Door) -> Path | None:
        """The file whose text a saved door keeps: its own, else, under the same name, the one that
        it was read from."""
        read = self.read if door.name == self.given.name else None
        return next((one for one in (self.path, read) if one and one.is_file()), None)

    def save_as(self, path: Path, door: Door) -> None:
        """The door was saved there."""
        self.path, self.saved, self.content = path, door, _content(path)
        if self.read is not None and path.resolve() == self.read.resolve():
            self.base = door

    @property
    def changed(self) -> bool:
        """Whether another hand has changed the file since."""
        now = _content(self.path)
        return now is not None and now != self.content


def _content(path: Path | None) -> bytes | None:
    try:
        return None if path is None else hashlib.sha256(path.read_bytes()).digest()
    except OSError:
        return None


def whole_path(path: str | PathLike[str]) -> Path:
    """A path with "~" for the home folder. Raises `RecordError` where there is none."""
    try:
        os.fsencode(path)
        return Path(path).expanduser()
    except UnicodeEncodeError:
        raise RecordError(
            f"{literal(str(path))} has a character that no file's name can have."
        ) from None
    except RuntimeError:
        raise RecordError(f"{literal(str(path))} names a home folder that is not there.") from None


def save_target(path: str | PathLike[str], ending: str) -> Path:
    """Where a file is saved, with its ending. Raises `SaveError` for what names no file."""
    given = whole_path(path)
    if any(len(os.fsencode(part)) + len(ending) > LONGEST_NAME for part in given.parts):
        raise SaveError(f"A name has over {LONGEST_NAME - len(ending)} characters: shorten it.")
    if given.name.strip(".") == "" or given.is_dir():
        raise SaveError(
            f"{literal(str(path))} is a folder: add the file's name, for example my-hatch{ending}."
        )
    if given.suffix.lower() != ending:
        given = given.with_name(given.name.rstrip(".") + ending)
    return given


class Design(anywidget.AnyWidget):
    """A widget about one door: `door` reads and sets it, `undo`, `redo`, `reset`, `open_door` and
    `save` do what the buttons do."""

    design = traitlets.Unicode(help="The design as the text of a door file.").tag(sync=True)
    unit = traitlets.Enum(("mm", "inch"), "mm", help="Unit of lengths.").tag(sync=True)
    origin = traitlets.Unicode(help="Fingerprint of the door as it was given.").tag(sync=True)
    base = traitlets.Unicode(help="Fingerprint of what the cell gives anew.").tag(sync=True)
    session = traitlets.Unicode(SESSION).tag(sync=True)

    def __init__(
        self, door: Door, *, path: Path | None = None, stock: Sequence[Strut] = (), **traits: Any
    ) -> None:
        self.lock = threading.RLock()
        self.stock = tuple(stock)
        self._door = door
        self._source = _Source.of(door, path)
        self._past: list[tuple[Door, _Source]] = []
        self._future: list[tuple[Door, _Source]] = []
        self._shown_as: str | None = None
        mark = door_fingerprint(door)
        super().__init__(design=door_text(door), origin=mark, base=mark, **traits)

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
            self._past = [*self._past[-MOST_UNDO:], (self._door, self._source)]
            self._future = []
            self._set(door, self._source)

    def undo(self) -> None:
        """Take back the last change, if there is one."""
        with self.lock:
            if self._past:
                self._future.append((self._door, self._source))
                self._set(*self._past.pop())

    def redo(self) -> None:
        """Make the change again that was taken back last, if there is one."""
        with self.lock:
            if self._future:
                self._past.append((self._door, self._source))
                self._set(*self._future.pop())

    def back_to(self, door: Door) -> None:
        """Undo up to the last step at which this was the door; where there is none, it becomes
        the door by a step of its own."""
        with self.lock:
            steps = [one for one, source in self._past if source is self._source]
            if door not in steps:
                self.door = door
                return
            while self._door != door:
                self.undo()

    def reset(self) -> None:
        """Back to the door as it was given or opened; this can be undone."""
        self.door = self._source.given

    @property
    def path(self) -> Path | None:
        """The file that the door was read from or saved to last."""
        return self._source.path

    def open_door(self, path: str | PathLike[str]) -> None:
        """Show the door of another file; this can be undone. Raises `FileFault`, `RecordError`."""
        there = whole_path(path)
        self._take_up(_Source.of(read_door(there), there))

    def open_example(self, name: str) -> None:
        """Show an example door; it has no file until it is saved. Raises `RecordError`."""
        self._take_up(_Source.of(shelf.example(name), door_path(name), own=False))

    def _take_up(self, source: _Source) -> None:
        with self.lock:
            self._past = [*self._past[-MOST_UNDO:], (self._door, self._source)]
            self._future = []
            self._set(source.given, source)

    def save(self, path: str | PathLike[str] | None = None, *, replace: bool = False) -> Path:
        """Save the door file: at `path`, or where it was read or saved last.

        Comments and units of the file or example that the door came from are kept. A file of its
        own that another hand changed meanwhile is written over only with `replace`. Raises
        `SaveError`.
        """
        with self.lock:
            target = self.target(path, ".toml")
            if self.changed_on_disk(target) and not replace:
                raise SaveError(
                    f"{literal(target.name)} was changed by another hand since it was opened here,"
                    " and saving would lose that. Save under another name, or replace it with"
                    " save(replace=True)."
                )
            write_door(self._door, target, like=self._source.like(self._door))
            self._source.save_as(target, self._door)
            self.base = door_fingerprint(self._source.base)
            return target

    def changed_on_disk(self, target: Path) -> bool:
        """Whether `target` is the door's own file, and not as it was read or saved here."""
        return target == self.path and self._source.changed

    def asks_before(self, target: Path) -> bool:
        """Whether a file there is to be replaced only when that is said.

        Any file but the door's own; and that one too, once a door of another name or hinge has
        taken the place of the one that it holds, or another hand has changed the file.
        """
        saved = self._source.saved
        same = (self._door.name, self._door.hinge) == (saved.name, saved.hinge)
        own = target == self.path and same and not self._source.changed
        return target.exists() and not own

    def target(self, path: str | PathLike[str] | None, ending: str) -> Path:
        """Where a file is saved: the path with its ending, or beside the door file.

        Raises `SaveError` for what names no file.
        """
        if path is None and self.path is None:
            raise SaveError("This door has no file yet: say where, for example my-hatch.toml.")
        if path is None:
            return Path(str(self.path)).with_suffix(ending)
        return save_target(path, ending)

    @property
    def state(self) -> dict[str, Any]:
        """What the toolbar needs to know."""
        path = self.path
        return {
            "undo": bool(self._past),
            "redo": bool(self._future),
            "changed": self._door != self._source.given,
            "unsaved": self._door != self._source.saved,
            "path": None if path is None else str(path),
            "sheet_path": None if path is None else str(path.with_suffix(".pdf")),
        }

    @traitlets.validate("design")
    def _design_read(self, proposal: Any) -> str:
        """A text that is no door file is refused, and the former one stays."""
        text: str = proposal["value"]
        if text != door_text(self._door):
            parse_door(text, "The design")
        return text

    @traitlets.observe("design")
    def _design_set(self, change: Any) -> None:
        """A design set as text becomes the door, unless it is the door's own text."""
        if change.new != door_text(self._door):
            self.door = parse_door(change.new, "The design")

    def _set(self, door: Door, source: _Source) -> None:
        self._door, self._source = door, source
        self.design = door_text(door)
        self.origin = door_fingerprint(source.given)
        self.base = door_fingerprint(source.base)
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
