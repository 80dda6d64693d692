"""Which keys of a door file stand where, and which record field each one is."""

import dataclasses
from dataclasses import dataclass
from typing import Any

from strutkit.describe.field_text import Rules
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

FORMAT = 1
"""Version of the door file that this kit writes; newer ones are refused."""


@dataclass(frozen=True, slots=True)
class Key:
    """A key of a table: its name, the rules of its field, its default, whether it must stand."""

    name: str
    rules: Rules
    default: Any
    required: bool


def _keys(*records: type) -> tuple[Key, ...]:
    return tuple(
        Key(
            field.name,
            field.metadata,
            field.default,
            field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING,
        )
        for record in records
        for field in dataclasses.fields(record)
        if field.init and field.metadata.get("kind") not in (None, "record", "records")
    )


TABLES: dict[str, tuple[Key, ...]] = {
    "": _keys(Door),
    "panel": _keys(Panel),
    "hinge": _keys(Hinge),
    "strut": _keys(Strut, FittedStrut),
    "zone": _keys(Zone),
    "condition": _keys(Condition),
    "limits": _keys(Limits),
}
"""Table -> its keys in the order in which they are written; "" is the head of the file."""

REQUIRED_TABLES = ("panel", "hinge")

LISTS = {"strut": 100, "zone": 100, "condition": 200}
"""Tables that stand once for each record, [[strut]], and how many of them are read."""

LIST_FIELDS = {"strut": "struts", "zone": "zones", "condition": "conditions"}
"""Table -> field of the door."""


def build(table: str, values: dict[str, Any]) -> Any:
    """The record of a table (not of the head). Raises `RecordError`."""
    if table == "strut":
        own = {field.name for field in dataclasses.fields(FittedStrut)}
        label = {name: value for name, value in values.items() if name not in own}
        place = {name: value for name, value in values.items() if name in own}
        return FittedStrut(strut=Strut(**label), **place)
    record: Any = {
        "panel": Panel,
        "hinge": Hinge,
        "zone": Zone,
        "condition": Condition,
        "limits": Limits,
    }[table]
    return record(**values)


def values_of(table: str, record: Any) -> dict[str, Any]:
    """Every value of a table by key, from its record (the door itself for the head).

    A condition that says how it stands gives no pitch and roll of its own.
    """
    if table == "condition" and record.standing:
        record = dataclasses.replace(record, pitch=0.0, roll=0.0)
    if table != "strut":
        return {key.name: getattr(record, key.name) for key in TABLES[table]}
    places = {field.name for field in dataclasses.fields(FittedStrut)}
    return {
        key.name: getattr(record if key.name in places else record.strut, key.name)
        for key in TABLES[table]
    }


def records_of(table: str, door: Door) -> tuple[Any, ...]:
    """The records of a door that stand in a table."""
    if table in LISTS:
        return tuple(getattr(door, LIST_FIELDS[table]))
    return (getattr(door, table) if table else door,)
