"""Start a door: a form for tape and scale, a first pair of struts, then the bench below it.

The form's truth is what was typed, in one trait that a notebook can read and save; all else the
page asks for in custom messages, answered in `start_messages`.
"""

import threading
from collections.abc import Mapping, Sequence
from os import PathLike
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets
import traitlets

from strutkit.decide.start.answers import Answer, Outcome, outcome
from strutkit.decide.start.kinds import KINDS
from strutkit.decide.start.suggesting import Suggestion, suggest_start
from strutkit.describe.doorfile import door_fingerprint, write_door
from strutkit.describe.numbers import LengthUnit
from strutkit.describe.records import Door, Strut
from strutkit.describe.stock import generic_stock
from strutkit.errors import RecordError
from strutkit.live import start_files, start_messages
from strutkit.live.bench import Bench
from strutkit.live.design import SESSION, notebook_mark, save_target

FIRST = {"kind": "rear_hatch", "count": 2, "unit": "mm", "name": "", "boxes": {}, "lumps": []}
"""An empty form."""

MOST_LUMPS = 20
LONGEST_ANSWER = 400


class StartForm(anywidget.AnyWidget):
    """The form alone. `answers` holds what was typed; see `Start` for the rest."""

    _esm = start_files.module()
    _css = start_files.style()

    answers = traitlets.Dict(help="What was typed, as the page keeps it.").tag(sync=True)
    place = traitlets.Unicode(help="Which notebook's form this is.").tag(sync=True)
    session = traitlets.Unicode(SESSION).tag(sync=True)

    def __init__(self, start: "Start", answers: dict[str, Any]) -> None:
        self.start = start
        super().__init__(answers=answers, place=notebook_mark())
        self.on_msg(start_messages.receive)


class Start(ipywidgets.VBox):
    """The form, and below it the bench as soon as there is a door with a start.

    `door` is the door as far as it goes (None before the first size is known), `bench` the live
    view below (None before), `form` the form itself.
    """

    def __init__(self, *, stock: Sequence[Strut], answers: dict[str, Any] | None = None) -> None:
        self.lock = threading.RLock()
        self.stock = tuple(stock)
        self.own_strut: Strut | None = None
        self.shown: dict[str, Any] | None = None
        self.hung: Door | None = None
        self.origin = ""
        self.bench: Bench | None = None
        self.form = StartForm(self, tidy_answers(answers or FIRST))
        super().__init__(children=(self.form,))

    @property
    def outcome(self) -> Outcome:
        """The form judged as it stands."""
        return judged(self.form.answers)

    @property
    def door(self) -> Door | None:
        """The door in the bench, else as far as the form goes, else None."""
        return self.outcome.door if self.bench is None else self.bench.door

    @property
    def below(self) -> str:
        """What the bench below shows: "nothing", "same" as the boxes, "edited" there since,
        "older" than the boxes, or "other", a door opened there."""
        if self.bench is None:
            return "nothing"
        if self.bench.origin != self.origin:
            return "other"
        if self.shown != sizes_of(self.form.answers):
            return "older"
        return "same" if self.bench.door == self.hung else "edited"

    def base(self) -> Door:
        """What a start is suggested for: the door in the bench, or the form's where that was
        changed since. Raises `RecordError` where the form does not go that far."""
        if self.bench is not None and self.below in ("same", "edited"):
            return self.bench.door
        door = self.outcome.door
        if door is None:
            raise RecordError("The outer edge of the knuckle to the free edge is needed first.")
        return door if self.bench is None else start_messages.with_zones(door, self.bench.door)

    def suggest(self) -> Suggestion:
        """A first start for the door of the form, shown in the bench. Raises `RecordError`."""
        answers = self.form.answers
        stock = self.stock if self.own_strut is None else (self.own_strut,)
        found = suggest_start(
            self.base(), stock=stock, count=answers["count"], kind=answers["kind"]
        )
        self.show(found.door)
        return found

    def show(self, door: Door, *, path: Path | None = None, edited: bool = False) -> None:
        """The door in the bench below; one step that can be undone there.

        path: the file it was opened from; edited: the bench's door changed, not the boxes.
        """
        if self.bench is None or not edited:
            self.shown, self.hung = sizes_of(self.form.answers), door
        if self.bench is None:
            unit = self.form.answers["unit"]
            self.bench = Bench(door, path=path, stock=self.stock, unit=unit)
            self.origin = self.bench.origin
            self.bench.observe(lambda _: start_messages.tell_changed(self), ["design", "origin"])
            self.children = (self.form, self.bench)
        elif path is not None:
            self.origin = door_fingerprint(door)
            self.bench.open_door(path)
        else:
            self.bench.door = door

    def adopt(self) -> None:
        """The door of the bench is the form's door from now on."""
        if self.bench is not None:
            self.hung, self.origin = self.bench.door, self.bench.origin
            self.shown = sizes_of(self.form.answers)

    def save(self, path: str | PathLike[str], *, replace: bool = False) -> Path:
        """Save the door as far as it goes. Raises `RecordError` where it goes nowhere yet."""
        if self.bench is not None:
            return self.bench.save(path, replace=replace)
        door = self.outcome.door
        if door is None:
            raise RecordError("The outer edge of the knuckle to the free edge is needed first.")
        target = save_target(path, ".toml")
        write_door(door, target)
        return target


def judged(answers: Mapping[str, Any]) -> Outcome:
    """What was typed, judged. It never raises for what was typed."""
    boxes = {
        name: Answer(text=box["text"], unknown=box["unknown"])
        for name, box in answers["boxes"].items()
    }
    unit: LengthUnit = "in" if answers["unit"] == "inch" else "mm"
    return outcome(
        answers["kind"],
        boxes,
        lumps=[(mass, place) for _, mass, place in answers["lumps"]],
        count=answers["count"],
        unit=unit,
        name=start_messages.name_or_none(answers["name"]),
    )


def sizes_of(answers: Mapping[str, Any]) -> dict[str, Any]:
    """The answers that make the door: all but the unit shown and the number of struts."""
    return {name: one for name, one in answers.items() if name not in ("unit", "count")}


def tidy_answers(given: Any) -> dict[str, Any]:
    """What a page or a saved notebook holds as answers, brought into their one form."""
    given = given if isinstance(given, Mapping) else {}
    kind = given.get("kind")
    boxes = given.get("boxes")
    lumps = given.get("lumps")
    return {
        "kind": kind if isinstance(kind, str) and kind in KINDS else FIRST["kind"],
        "count": 1 if given.get("count") == 1 else 2,
        "unit": "inch" if given.get("unit") == "inch" else "mm",
        "name": str(given.get("name") or "")[:LONGEST_ANSWER],
        "boxes": {
            str(name): {
                "text": str(box.get("text", ""))[:LONGEST_ANSWER],
                "unknown": box.get("unknown") is True,
            }
            for name, box in (boxes if isinstance(boxes, Mapping) else {}).items()
            if isinstance(box, Mapping)
        },
        "lumps": [
            [str(text)[:LONGEST_ANSWER] for text in lump]
            for lump in (lumps if isinstance(lumps, (list, tuple)) else ())[:MOST_LUMPS]
            if isinstance(lump, (list, tuple)) and len(lump) == 3
        ],
    }


def start_door(*, stock: Sequence[Strut] | None = None) -> Start:
    """A form that takes a half-built door from tape and scale to a first design.

    stock: struts to choose from (None: the generic list). The door stands in `.door`, the live
    view that opens below in `.bench`. Raises `FileFault` where the list cannot be read.
    """
    return Start(stock=generic_stock() if stock is None else tuple(stock))
