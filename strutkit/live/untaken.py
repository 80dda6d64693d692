"""What was typed for mounts and is not in the door: said until it is mended or given up.

A number that does not fit is tried again with the next one: of three numbers for a mount on a paper
the first alone may not fit while all three do. A text that cannot be read holds files back.
"""

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from strutkit.describe.hinge_points import direction_words
from strutkit.describe.records import Door
from strutkit.describe.unit_table import literal
from strutkit.describe.units import is_bare
from strutkit.errors import StrutkitError
from strutkit.live.scene import SIDES, strut_place

Asked = dict[str, Any]
Fit = Callable[[Asked], Door]
"""The door with an edit. Raises `StrutkitError` where it does not fit."""


LONGEST_TEXT = 40
"""Letters of a typed text that are told."""


@dataclass(frozen=True, slots=True)
class Untaken:
    """What was typed: as the page sent it, for which strut, why it is not in the door, and whether
    it is a number (read)."""

    place: int
    strut: str
    typed: Asked
    why: str
    read: bool

    @property
    def box(self) -> tuple[int, str, int]:
        return box_of(self.place, self.typed)

    def is_of(self, door: Door) -> bool:
        """Whether its strut is there in this door."""
        there = door.struts[self.place : self.place + 1]
        return [one.strut.name for one in there] == [self.strut]


def box_of(place: int, typed: Asked) -> tuple[int, str, int]:
    """Which number box something was typed in."""
    return place, typed["mount"], typed["axis"]


@dataclass(frozen=True, slots=True)
class Typed:
    """What became of a typed number: the door, why it did not fit, what is untaken by now, and
    which earlier numbers fit with it (joined)."""

    door: Door
    fault: StrutkitError | None
    untaken: tuple[Untaken, ...]
    joined: tuple[Untaken, ...] = ()


def with_untaken(door: Door, edit: Asked, untaken: Sequence[Untaken], fit: Fit) -> Typed:
    """The number typed, with as many untaken ones of its strut as fit with it, newer ones rather
    than older; else by itself."""
    place, typed = strut_place(door, edit), edit["typed"]
    others = _of_other_boxes(untaken, place, typed)
    name = door.struts[place].strut.name
    mates = [one for one in others if (one.place, one.strut) == (place, name)]
    fault: StrutkitError | None = None
    for joined in _together(mates):
        try:
            found = fit(edit | {"typed": [*(one.typed for one in joined), typed]})
        except StrutkitError as why:
            fault = why
        else:
            rest = tuple(one for one in others if one not in joined)
            return Typed(found, None, rest, joined)
    return Typed(door, fault, with_waiting(door, edit, untaken, str(fault), read=True))


def with_waiting(
    door: Door, edit: Asked, untaken: Sequence[Untaken], why: str, *, read: bool
) -> tuple[Untaken, ...]:
    """What is untaken with one more: a text that cannot be read, or a number (read)."""
    place, typed = strut_place(door, edit), edit["typed"]
    new = Untaken(place, door.struts[place].strut.name, typed, why, read)
    return (*_of_other_boxes(untaken, place, typed), new)


def _of_other_boxes(untaken: Sequence[Untaken], place: int, typed: Asked) -> list[Untaken]:
    return [one for one in untaken if one.box != box_of(place, typed)]


def _together(mates: Sequence[Untaken]) -> Iterator[tuple[Untaken, ...]]:
    """Every choice of them, the largest first; at most five boxes, so 32."""
    for size in range(len(mates), -1, -1):
        for chosen in itertools.combinations(reversed(mates), size):
            yield chosen[::-1]


def still_untaken(untaken: Sequence[Untaken], edit: Any) -> tuple[Untaken, ...]:
    """What is left of them once a hand has moved a mount along some axes."""
    given = edit if isinstance(edit, dict) else {}
    axes = given.get("axes")
    moved = axes if isinstance(axes, list) and axes else [0, 1, 2]
    return tuple(
        one
        for one in untaken
        if one.place != given.get("place")
        or one.typed["mount"] not in given
        or one.typed["axis"] not in moved
    )


def untaken_figures(door: Door, one: Untaken) -> Asked:
    """As the page takes it: in words, why it is untaken, and the edit that it was typed as."""
    edit = {"place": one.place, "strut": one.strut, "typed": one.typed}
    return {"words": untaken_words(door, one), "why": one.why, "read": one.read, "edit": edit}


def untaken_words(door: Door, one: Untaken) -> str:
    """The number and its box in words: "240 mm down (door side, left)"."""
    text, sense = str(one.typed["text"]).strip(), one.typed["sense"]
    shown = literal(text, LONGEST_TEXT) or "nothing"
    unit = (" in" if one.typed["unit"] == "inch" else " mm") if one.read and is_bare(text) else ""
    way = direction_words(door)[one.typed["axis"]][0 if sense > 0 else 1]
    return f"{shown}{unit} {way} ({SIDES[one.typed['mount']]}, {one.strut})"


@dataclass(frozen=True, slots=True)
class Steps:
    """Steps of keys [mm, by axis] that took a mount to where it does not fit: the next key goes on
    from there. of: whose they are."""

    of: tuple[Any, ...]
    by: dict[int, float]

    def with_step(self, client: Any, edit: Asked) -> "Steps":
        """These steps and one more; that one alone where it is of another mount or begins anew."""
        typed = edit["typed"]
        of = (client, edit.get("place"), edit.get("strut"), typed["mount"])
        former = self.by if of == self.of and typed.get("on") is True else {}
        return Steps(of, former | {typed["axis"]: former.get(typed["axis"], 0.0) + typed["by"]})

    @property
    def typed(self) -> list[Asked]:
        """As the page would send them."""
        mount = self.of[-1]
        return [
            {"mount": mount, "axis": axis, "sense": 1, "by": by} for axis, by in self.by.items()
        ]


NO_STEPS = Steps((), {})
