"""What differs between two doors, in the words of the door file."""

import tomllib

from strutkit.describe.doorfile import door_text
from strutkit.describe.records import Door


def differences(door: Door, other: Door) -> list[str]:
    """Each value of the door file that `other` has otherwise: "panel mass: 14 kg becomes 15 kg"."""
    here, there = _values(door), _values(other)
    names = [*here, *(name for name in there if name not in here)]
    return [
        f"{name}: {here.get(name, 'not given')} becomes {there.get(name, 'not given')}"
        for name in names
        if here.get(name) != there.get(name)
    ]


def _values(door: Door) -> dict[str, str]:
    """Every value of the door's file as text, by the part it stands in and its key."""
    values: dict[str, str] = {}
    for key, part in tomllib.loads(door_text(door)).items():
        for title, record in _records(key, part):
            values |= {f"{title}{name}": _text(value) for name, value in record.items()}
    return values


def _text(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _records(key: str, part: object) -> list[tuple[str, dict[str, object]]]:
    """Parts of the file under one key, each with the words that tell it from the others."""
    if isinstance(part, dict):
        return [(f"{key} ", part)]
    if isinstance(part, list):
        return [(f"{key} {one.get('name', number)} ", one) for number, one in enumerate(part, 1)]
    return [("", {key: part})]
