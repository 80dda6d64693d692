"""The door as boxes of a form: groups, cards, plain words; what is assumed or common practice.

A card holds fields of one thing (the panel, a strut, a condition); each field names the part of
the door that it belongs to, as `edit.edited` takes it.
"""

import dataclasses
from fractions import Fraction
from typing import Any

from strutkit.decide.conditions import strut_label
from strutkit.decide.starters import starter_conditions, starter_limits
from strutkit.describe.field_text import format_field
from strutkit.describe.fields import Point
from strutkit.describe.numbers import INCH, PAPER_PARTS, LengthUnit, inch_text, length_text
from strutkit.describe.records import Door
from strutkit.live import edit_words as words
from strutkit.live.parts import LENGTHS, find_field
from strutkit.show.plane import free_edge

Card = dict[str, Any]

BEYOND = 1e-3
"""A handle beyond the free edge by more than this [m] is warned of."""


def groups(door: Door, unit: LengthUnit = "mm") -> list[dict[str, Any]]:
    """Every value of a door: groups of cards of fields, each with the text of its box."""
    several = {
        "Struts": _struts(door, unit),
        "Zones": [
            _card(door, f"zone:{index}", f"Zone {index + 1}", words.ZONE, unit)
            for index in range(len(door.zones))
        ],
        "Tilt": _tilt(door, unit),
        "Conditions": [
            _card(door, f"condition:{index}", one.name, words.CONDITION, unit)
            for index, one in enumerate(door.conditions)
        ],
    }
    found = []
    for title, hint in words.GROUPS:
        cards = several.get(title)
        if cards is None:
            fields = [_field(door, *one, unit) for one in words.SINGLE[title]]
            cards = [{"id": title, "title": "", "fields": fields}]
        found.append({"title": title, "hint": hint, "cards": cards})
    return found


def starters(door: Door) -> list[dict[str, Any]]:
    """Starter conditions of the door by name, and which of them it has."""
    names = {one.name for one in door.conditions}
    every = starter_conditions(dataclasses.replace(door, conditions=()))
    return [{"name": one.name, "on": one.name in names} for one in every]


def shown_text(door: Door, part: str, name: str, unit: LengthUnit) -> str:
    """What the box of a field shows: as it is, in inches to 1/64."""
    value, owner, rules = find_field(door, part, name)
    kind = rules["kind"]
    if unit != "in" or kind not in LENGTHS or value is None:
        return format_field(owner, name, value)
    if kind == "length":
        return f"{_inches(value)} in"
    return "; ".join(_point(one) for one in (value if kind == "points" else (value,)))


def _point(point: Point) -> str:
    return f"{', '.join(_inches(each) for each in point)} in"


def _inches(metres: float) -> str:
    return inch_text(metres, parts=PAPER_PARTS, unit=False).replace("−", "-")


def _card(
    door: Door, part: str, title: str, fields: tuple[tuple[str, str], ...], unit: LengthUnit
) -> Card:
    boxes = [_field(door, part, name, label, unit) for name, label in fields]
    return {"id": part, "title": title, "fields": boxes}


def _struts(door: Door, unit: LengthUnit) -> list[Card]:
    cards = []
    for index, one in enumerate(door.struts):
        label = strut_label(one)
        title = label[:1].upper() + label[1:] + (", mirrored pair" if one.mirrored else "")
        card = _card(door, f"strut:{index}", title, words.STRUT, unit)
        cards.append(card | {"mirrored": one.mirrored})
    return cards


def _tilt(door: Door, unit: LengthUnit) -> list[Card]:
    """Which way the door faces, and how each condition stands."""
    faces = {"id": "faces", "title": "", "fields": [_field(door, *words.FACES, unit)]}
    standing = [
        _card(door, f"condition:{index}", one.name, words.TILT, unit) | {"id": f"tilt:{index}"}
        for index, one in enumerate(door.conditions)
    ]
    return [faces, *standing]


def _field(door: Door, part: str, name: str, label: str, unit: LengthUnit) -> dict[str, Any]:
    _, owner, rules = find_field(door, part, name)
    kind, kind_of_value = part.partition(":")[0], rules["kind"]
    text = shown_text(door, part, name, unit)
    found = {
        "part": part,
        "name": name,
        "label": label,
        "key": f"{'strut' if kind == 'strut' else part.replace(':', ' ')}, {name}",
        "text": text,
        "choices": _choices(door, kind, name, owner, rules),
        "note": _note(door, part, name, text, unit),
        "wide": kind_of_value == "points" or name == "assumed",
        "starter": "",
        "usual": "",
        "optional": False,
    }
    if part == "limits":
        usual = getattr(starter_limits(door), name)
        optional = _default(owner, name) is None
        exact = format_field(owner, name, usual) if usual else ""
        inches = unit == "in" and kind_of_value == "length" and usual
        starter = f"{_inches(usual)} in" if inches else exact
        found |= {"starter": starter, "usual": exact, "optional": optional}
    return found


def _default(owner: type, name: str) -> Any:
    return next(one.default for one in dataclasses.fields(owner) if one.name == name)


def _choices(door: Door, kind: str, name: str, owner: type, rules: Any) -> list[tuple[str, str]]:
    """Keys and words of a field that is chosen, not typed."""
    if (kind, name) == ("condition", "missing"):
        lost = [(str(index), strut_label(one)) for index, one in enumerate(door.fitted)]
        return [("", "none"), *lost]
    keys = ["no", "yes"] if rules["kind"] == "flag" else list(rules["choices"])
    if keys and _default(owner, name) is None:
        keys = ["", *keys]
    told = words.CHOICES.get((kind, name), {})
    return [(key, told.get(key, key)) for key in keys]


def _note(door: Door, part: str, name: str, text: str, unit: LengthUnit) -> str:
    """What stands below a box: the exact value behind a rounded one, a warning, a hint."""
    value, owner, _ = find_field(door, part, name)
    if part == "panel" and name in ("handle", "closing_handle") and value is not None:
        beyond = free_edge(door).beyond(value)
        if beyond > BEYOND:
            return f"This lies {length_text(beyond, unit)} beyond the free edge."
    if name == "strut_ageing" and len(door.fitted) > 1:
        return "In this order: " + "; ".join(strut_label(one) for one in door.fitted)
    if unit == "in" and text.endswith(" in") and not _is_exact(value):
        return f"{format_field(owner, name, value)} exactly"
    return words.HINTS.get((part.partition(":")[0], name), "")


def _flat(value: Any) -> list[float]:
    return [part for each in value for part in (each if isinstance(each, tuple) else (each,))]


def _is_exact(value: Any) -> bool:
    """Whether every length is a whole number of 1/64 in."""
    several = [value] if isinstance(value, float) else _flat(value)
    counts = [Fraction(each) / INCH * PAPER_PARTS for each in several]
    return all(abs(each - round(each)) < Fraction(1, 10**6) for each in counts)
