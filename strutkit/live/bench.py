"""The bench: a door in a live view, to drag, compare, decide and save.

Truth is small and lies in traits that a notebook can read and save: the design as the text of a
door file, the angle, the condition shown, the unit of lengths. All else is asked for by the page
in custom messages and answered from (door, edit) by pure functions.
"""

import secrets
import threading
from collections.abc import Callable, Sequence
from os import PathLike
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from strutkit.describe.doorfile import door_fingerprint, door_text, parse_door, read_door
from strutkit.describe.records import Door, Strut
from strutkit.errors import StrutkitError
from strutkit.live import answers, page_files
from strutkit.live.scene import edited

SESSION = secrets.token_hex(8)
"""Tells one run of Python from another: the page offers changes kept from an earlier one."""

MOST_UNDO = 500


class Bench(anywidget.AnyWidget):
    """The live view of one door.

    `door` reads and sets the design from any cell; `angle` [rad], `condition` and `unit` ("mm" or
    "inch") what is shown. `undo`, `redo`, `reset`, `save` and `save_sheet` do what the buttons do.
    """

    _esm = page_files.module()
    _css = page_files.style()

    design = traitlets.Unicode(help="The design as the text of a door file.").tag(sync=True)
    angle = traitlets.Float(0.0, help="Opening angle shown [rad].").tag(sync=True)
    condition = traitlets.Unicode("nominal", help="Name of the condition shown.").tag(sync=True)
    unit = traitlets.Enum(("mm", "inch"), "mm", help="Unit of lengths.").tag(sync=True)
    origin = traitlets.Unicode(help="Fingerprint of the door as it was given.").tag(sync=True)
    session = traitlets.Unicode(SESSION).tag(sync=True)

    def __init__(
        self, door: Door, *, path: Path | None = None, stock: Sequence[Strut] = (), **traits: Any
    ) -> None:
        self._lock = threading.RLock()
        self._door = door
        self._given = door
        self._path = path
        self._stock = tuple(stock)
        self._past: list[Door] = []
        self._future: list[Door] = []
        super().__init__(design=door_text(door), origin=door_fingerprint(door), **traits)
        self.on_msg(self._on_message)

    @property
    def door(self) -> Door:
        """The design as it stands; setting it is one step that can be undone."""
        return self._door

    @door.setter
    def door(self, door: Door) -> None:
        if not isinstance(door, Door):
            raise TypeError(f"door is {type(door).__name__}; give a Door.")
        with self._lock:
            self._change(door)

    def undo(self) -> None:
        """Take back the last change, if there is one."""
        with self._lock:
            if self._past:
                self._future.append(self._door)
                self._set(self._past.pop())

    def redo(self) -> None:
        """Make the change again that was taken back last, if there is one."""
        with self._lock:
            if self._future:
                self._past.append(self._door)
                self._set(self._future.pop())

    def reset(self) -> None:
        """Back to the door as it was given; this can be undone."""
        self.door = self._given

    @traitlets.observe("design")
    def _design_changed(self, change: Any) -> None:
        if change.new != door_text(self._door):
            self.door = parse_door(change.new, "The design")

    def _change(self, door: Door) -> None:
        if door == self._door:
            return
        self._past = [*self._past[-MOST_UNDO:], self._door]
        self._future = []
        self._set(door)

    def _set(self, door: Door) -> None:
        self._door = door
        self.design = door_text(door)

    def _on_message(self, _: Any, content: Any, buffers: Any) -> None:
        answer = _ANSWERS.get(content.get("kind")) if isinstance(content, dict) else None
        if answer is None:
            return
        head = {key: content.get(key) for key in ("client", "seq", "kind")}
        with self._lock:
            try:
                body, data = answer(self, content)
            except StrutkitError as fault:
                body, data = {"fault": str(fault)}, []
            except Exception as fault:
                self.send(head | {"fault": f"The kit failed: {fault!r}. Nothing is lost."})
                raise
        self.send(head | body, data)


Answer = tuple[dict[str, Any], list[bytes]]


def _curves(bench: Bench, asked: dict[str, Any]) -> Answer:
    door = bench._door
    if asked.get("edit"):
        door = edited(door, asked["edit"], bench._stock)
    body, data = answers.curves(door, asked.get("condition", ""))
    if asked.get("judge"):
        body["verdict"] = answers.verdict(door, bench._stock)
    return body, data


def _scene(bench: Bench, asked: dict[str, Any]) -> Answer:
    body = answers.scene(bench._door) | {"state": _state(bench)}
    try:
        curves, data = answers.curves(bench._door, asked.get("condition", ""), axes=True)
    except StrutkitError as fault:
        return body | {"fault": str(fault)}, []
    return body | curves, data


def _state(bench: Bench) -> dict[str, Any]:
    path = bench._path
    return {
        "undo": bool(bench._past),
        "redo": bool(bench._future),
        "changed": bench._door != bench._given,
        "path": None if path is None else str(path),
        "sheet_path": None if path is None else str(path.with_suffix(".pdf")),
    }


def _commit(bench: Bench, asked: dict[str, Any]) -> Answer:
    door = edited(bench._door, asked["edit"], bench._stock)
    answers.curves(door, "")
    changed = door != bench._door
    bench._change(door)
    return {"changed": changed}, []


def _judge(bench: Bench, _: dict[str, Any]) -> Answer:
    return {"verdict": answers.verdict(bench._door, bench._stock)}, []


def _compare(bench: Bench, asked: dict[str, Any]) -> Answer:
    place = int(asked.get("place", 0))
    return {"compare": answers.compare(bench._door, bench._stock, place)}, []


def _length(_: Bench, asked: dict[str, Any]) -> Answer:
    return {"value": answers.typed_length(str(asked["text"]), str(asked["unit"]))}, []


def _move(name: str) -> Callable[[Bench, dict[str, Any]], Answer]:
    def answer(bench: Bench, _: dict[str, Any]) -> Answer:
        getattr(bench, name)()
        return {}, []

    return answer


def _nothing(_: Bench, __: dict[str, Any]) -> Answer:
    return {}, []


_ANSWERS: dict[Any, Callable[[Bench, dict[str, Any]], Answer]] = {
    "nudge": _nothing,
    "curves": _curves,
    "scene": _scene,
    "state": lambda bench, _: ({"state": _state(bench)}, []),
    "commit": _commit,
    "judge": _judge,
    "compare": _compare,
    "length": _length,
    "undo": _move("undo"),
    "redo": _move("redo"),
    "reset": _move("reset"),
}
"""Kind of message from the page -> what answers it."""


def bench(
    door: Door | str | PathLike[str], *, stock: Sequence[Strut] | None = None
) -> Bench:
    """The live view of a door, as a widget.

    door: a `Door`, or the path of a door file (then Save writes to that file). stock: struts to
    compare (None: the generic list). Raises `StrutkitError` where the file cannot be read.
    """
    from strutkit.data import stock_path
    from strutkit.describe.stock import read_stock

    path = None if isinstance(door, Door) else Path(door)
    shown = door if isinstance(door, Door) else read_door(door)
    struts = read_stock(stock_path()) if stock is None else tuple(stock)
    return Bench(shown, path=path, stock=struts)
