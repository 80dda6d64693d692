"""Values of record fields from text and back, driven by the kind that each field states.

One reader serves the door file, the stock list and the number boxes.
"""

import dataclasses
import re
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, cast

from strutkit.describe.fields import stored_value
from strutkit.describe.unit_hints import KIND_WORDS, listed
from strutkit.describe.units import (
    format_direction,
    format_point,
    format_points,
    format_quantity,
    literal,
    parse_direction,
    parse_quantity,
    read_point,
    read_points,
    read_quantity,
    unit_symbols,
)
from strutkit.errors import RecordError

Rules = Mapping[str, Any]
"""Metadata of a field: kind of quantity, bounds, choices."""

TomlValue = str | float | bool | list[float] | list[str]

MOST_NUMBERS = 1000
"""Most numbers or texts of a list."""
MOST_BITS = 1000
"""Whole numbers over 2 to this power are refused; no float is larger than 2**1024."""


def rules_of(record: type, name: str) -> Rules:
    """Metadata of a record's field by its name."""
    fields = {field.name: field.metadata for field in dataclasses.fields(record)}
    return fields.get(name, MappingProxyType({}))


def parse_field(record: type, name: str, text: str) -> Any:
    """Value of a record's field from what was typed into its box.

    Nothing typed gives None where the record takes None. Raises `UnitError` or `RecordError`.

    >>> from strutkit.describe.records import Panel
    >>> parse_field(Panel, "width", "24 1/2 in"), parse_field(Panel, "width", "")
    (0.6223, None)
    """
    default = {field.name: field.default for field in dataclasses.fields(record)}[name]
    if default is None and not text.strip():
        return None
    rules = rules_of(record, name)
    return stored_value(value_from_text(text, rules)[0], rules, name.replace("_", " "))


def format_field(record: type, name: str, value: Any, unit: str | None = None) -> str:
    """What a box shows of a value: shortest text that `parse_field` reads back equal.

    None gives an empty text; `unit` None the usual unit of the kind.
    """
    if value is None:
        return ""
    kind = rules_of(record, name)["kind"]
    if kind in ("number", "numbers"):
        numbers = value if kind == "numbers" else (value,)
        return ", ".join(format_quantity(each, unit or "") for each in numbers)
    if kind == "texts":
        return "; ".join(map(str, value))
    if kind == "flag":
        return "yes" if value else "no"
    return str(value_to_toml(value, kind, unit))


def value_from_text(text: str, rules: Rules) -> tuple[Any, str]:
    """Value of one kind from text alone, and the unit it was written in ("" without one)."""
    kind = rules["kind"]
    if kind in KIND_WORDS:
        quantity = read_quantity(text, kind)
        return quantity.value, quantity.unit
    if kind == "point":
        return read_point(text)
    if kind == "points":
        return read_points(text)
    readers: dict[str, Callable[[str], Any]] = {
        "direction": parse_direction,
        "numbers": _numbers_from_text,
        "texts": _texts_from_text,
        "flag": _flag_from_text,
        "index": _index_from_text,
    }
    return readers.get(kind, str.strip)(text), ""


def _numbers_from_text(text: str) -> list[float]:
    parts = text.split(",")
    if len(parts) > MOST_NUMBERS:
        raise RecordError(f"This list has {len(parts)} entries. Write at most {MOST_NUMBERS}.")
    return [parse_quantity(part, "number") for part in parts]


def _texts_from_text(text: str) -> list[str]:
    return [part.strip() for part in text.split(";") if part.strip()]


def _flag_from_text(text: str) -> bool:
    words = {"yes": True, "true": True, "no": False, "false": False}
    if text.strip().lower() not in words:
        raise RecordError(f"{literal(text)} is neither yes nor no. Write yes or no.")
    return words[text.strip().lower()]


def _index_from_text(text: str) -> int:
    if not re.fullmatch(r" *[0-9]{1,6} *", text):
        raise RecordError(f"{literal(text)} is no whole number. Write 0, 1, 2 ...")
    return int(text)


def value_from_toml(raw: Any, rules: Rules) -> tuple[Any, str]:
    """Value of one kind from what a TOML file holds, and the unit it was written in.

    Quantities, points and directions are texts; plain numbers are numbers. Raises `UnitError` or
    `RecordError` that says what to write.
    """
    kind = rules["kind"]
    if kind in ("number", "numbers", "flag", "index"):
        return _plain_from_toml(raw, kind), ""
    if kind == "texts":
        return _listed_texts(raw), ""
    if kind == "direction" and isinstance(raw, list):
        return _listed_numbers(raw), ""
    if isinstance(raw, str):
        words = kind in ("name", "text", "choice")
        return (raw, "") if words else value_from_text(raw, rules)
    if kind in KIND_WORDS and _is_number(raw):
        return value_from_text(str(raw), rules)
    raise RecordError(f"This is {_type_words(raw)}. Write {_example(kind, rules)}.")


def _plain_from_toml(raw: Any, kind: str) -> Any:
    if kind == "flag":
        if not isinstance(raw, bool):
            raise RecordError(f"This is {_type_words(raw)}. Write true or false, without quotes.")
        return raw
    if kind == "index":
        if not _is_number(raw) or not isinstance(raw, int):
            raise RecordError(f"This is {_type_words(raw)}. Write a whole number, from 0.")
        return raw
    if kind == "numbers":
        if not isinstance(raw, list):
            raise RecordError(f"This is {_type_words(raw)}. Write a list as [1, 0.8].")
        return _listed_numbers(raw)
    if not _is_number(raw):
        raise RecordError(f"This is {_type_words(raw)}. Write a number without quotes, as 1.3.")
    return raw


def _listed_numbers(raw: list[Any]) -> list[Any]:
    if len(raw) > MOST_NUMBERS:
        raise RecordError(f"This list has {len(raw)} entries. Write at most {MOST_NUMBERS}.")
    for each in raw:
        if not _is_number(each):
            raise RecordError(f"The list holds {_type_words(each)}. Write numbers, as [1, 0.8].")
    return raw


def _listed_texts(raw: Any) -> list[str]:
    if not isinstance(raw, list):
        raise RecordError(f'This is {_type_words(raw)}. Write a list of texts, as ["a", "b"].')
    if len(raw) > MOST_NUMBERS:
        raise RecordError(f"This list has {len(raw)} entries. Write at most {MOST_NUMBERS}.")
    for each in raw:
        if not isinstance(each, str):
            raise RecordError(f'The list holds {_type_words(each)}. Write texts, as ["a", "b"].')
    return raw


def _is_number(raw: Any) -> bool:
    if isinstance(raw, int):
        return not isinstance(raw, bool) and raw.bit_length() <= MOST_BITS
    return isinstance(raw, float)


def _type_words(raw: Any) -> str:
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, str):
        return f'the text "{literal(raw, 30)}"'
    if isinstance(raw, int):
        return "a number" if raw.bit_length() > MOST_BITS else f"the number {raw}"
    if isinstance(raw, float):
        return f"the number {raw}"
    if isinstance(raw, (list, dict)):
        return "a list" if isinstance(raw, list) else "a table"
    return "a date or time"


def _example(kind: str, rules: Rules) -> str:
    if kind == "choice":
        return listed(tuple(f'"{choice}"' for choice in rules["choices"]))
    if kind in KIND_WORDS:
        return f"{KIND_WORDS[kind]} in quotes, with its unit"
    return {
        "point": 'a point in quotes, as "330, 0, -12 mm"',
        "points": 'points in quotes, as "0, 0, 0 mm; 300, 0, -12 mm"',
        "direction": '"out", "in", "right", "left", "up", "down" or three numbers in quotes',
    }.get(kind, "a text in quotes")


def value_to_toml(value: Any, kind: str, unit: str | None = None) -> TomlValue:
    """A stored value as a door file holds it: text, or a plain number, list or truth value.

    `unit` None takes the usual unit of the kind: mm, kg, N, deg, degC ...
    """
    if kind == "number":
        return float(value) + 0.0
    if kind == "numbers":
        return [float(each) + 0.0 for each in value]
    if kind == "texts":
        return list(value)
    if kind == "direction":
        return format_direction(value)
    if kind == "point":
        return format_point(value, unit or "mm")
    if kind == "points":
        return format_points(value, unit or "mm")
    if kind in KIND_WORDS:
        return format_quantity(value, unit or unit_symbols(kind)[0])
    return cast("TomlValue", value)
