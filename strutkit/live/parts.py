"""Parts of a door by the names that forms use: "door", "panel", "hinge", "limits", "strut:0",
"condition:0", "zone:0"."""

import dataclasses
from typing import Any

from strutkit.describe.field_text import Rules, rules_of
from strutkit.describe.records import (
    Condition,
    Door,
    FittedStrut,
    Hinge,
    Limits,
    Panel,
    Strut,
    Zone,
)
from strutkit.errors import RecordError

LISTS = {"strut": "struts", "condition": "conditions", "zone": "zones"}
RECORDS: dict[str, type] = {
    "door": Door,
    "panel": Panel,
    "hinge": Hinge,
    "limits": Limits,
    "condition": Condition,
    "zone": Zone,
}
LENGTHS = ("length", "point", "points")


def place_of(door: Door, part: str) -> tuple[str, int]:
    """Kind of a part, and its place in the list of such parts. Raises `RecordError`."""
    kind, _, number = part.partition(":")
    if kind in LISTS:
        count = len(getattr(door, LISTS[kind]))
        if not number.isdigit() or int(number) >= count:
            raise RecordError(f"The door has {count} of {LISTS[kind]}; {part[:40]!r} is not there.")
        return kind, int(number)
    if kind not in RECORDS:
        raise RecordError(f"There is no part {part[:40]!r} of a door.")
    return kind, 0


def records_of(door: Door, part: str) -> list[tuple[Any, type]]:
    """The records behind a part, and their types: a strut has two."""
    kind, place = place_of(door, part)
    if kind == "strut":
        fitted = door.struts[place]
        return [(fitted.strut, Strut), (fitted, FittedStrut)]
    record: Any = door if kind == "door" else getattr(door, LISTS.get(kind, kind))
    return [(record[place] if kind in LISTS else record, RECORDS[kind])]


def find_field(door: Door, part: str, name: str) -> tuple[Any, type, Rules]:
    """Value of a field, the record that has it, and its rules. Raises `RecordError`."""
    for record, owner in records_of(door, part):
        if name in {field.name for field in dataclasses.fields(owner)}:
            return getattr(record, name), owner, rules_of(owner, name)
    raise RecordError(f"{part[:40]} has no {name[:40]!r}.")
