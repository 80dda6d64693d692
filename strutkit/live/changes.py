"""What differs between two doors, in the words, signs and unit of the screen."""

from typing import Any

from strutkit.describe.hinge_points import direction_words
from strutkit.describe.numbers import PAPER_PARTS, LengthUnit, inch_text
from strutkit.describe.records import Door
from strutkit.live.edit_form import groups
from strutkit.live.parts import find_field, place_of
from strutkit.live.scene import SIDES, view_frame

OFFSETS = ("frame_hole", "panel_hole")
"""Points that tell the way from a ball, not a place."""

Values = dict[str, dict[str, Any]]
"""Part of the door -> value -> its texts: of a place three, of places three each."""


def changes(door: Door, other: Door, unit: LengthUnit) -> list[str]:
    """Each value that `other` has otherwise: "strut left, door side: 105 mm down becomes 106 mm
    down". Of a place only what differs is said; a difference that the figures of the screen do not
    show is said exactly."""
    shown = [_values(one, door, unit) for one in (door, other)]
    exact = [_values(one, door, None) for one in (door, other)]
    found = []
    for part in exact[0] | exact[1]:
        if part not in exact[0] or part not in exact[1]:
            found.append(f"{part}: {'added' if part in exact[1] else 'left out'}")
            continue
        for name in exact[0][part] | exact[1][part]:
            before, after = (one[part].get(name, []) for one in exact)
            if before == after:
                continue
            seen = [one[part].get(name, []) for one in shown]
            texts = seen if seen[0] != seen[1] else [before, after]
            title = ", ".join(filter(None, (part, name)))
            found.append(f"{title}: {_difference(*texts)}")
    return found


def _difference(before: list[str], after: list[str]) -> str:
    """Two lists of texts, where they differ."""
    if len(before) == len(after):
        pairs = [(a, b) for a, b in zip(before, after, strict=True) if a != b]
        before, after = [a for a, _ in pairs], [b for _, b in pairs]
    return f"{', '.join(before) or 'none'} becomes {', '.join(after) or 'none'}"


def _values(door: Door, seen_from: Door, unit: LengthUnit | None) -> Values:
    """Every value of the door as the screen words it, places as in the view of `seen_from`."""
    values: Values = {}
    for card in (card for group in groups(door, unit or "mm") for card in group["cards"]):
        for field in card["fields"]:
            texts = _texts(door, seen_from, field, unit)
            values.setdefault(_part(door, field["part"]), {})[_name(field)] = texts
        if "mirrored" in card:
            pair = ["yes" if card["mirrored"] else "no"]
            values[_part(door, card["id"])]["mirrored pair"] = pair
    return values


def _part(door: Door, part: str) -> str:
    """What a part of the door is called beside its values; empty where the value says it."""
    kind, number = place_of(door, part)
    names = {
        "strut": lambda: door.struts[number].strut.name,
        "condition": lambda: door.conditions[number].name,
        "zone": lambda: str(number + 1),
    }
    return f"{kind} {names[kind]()}" if kind in names else ""


def _name(field: dict[str, Any]) -> str:
    mounts = {f"{part}_mount": side for part, side in SIDES.items()}
    return str(mounts.get(field["name"], field["label"]))


def _texts(
    door: Door, seen_from: Door, field: dict[str, Any], unit: LengthUnit | None
) -> list[str]:
    value, _, rules = find_field(door, field["part"], field["name"])
    if value is None:
        return []
    if rules["kind"] in ("point", "points") and field["name"] not in OFFSETS:
        points = value if rules["kind"] == "points" else (value,)
        return [text for point in points for text in _place(seen_from, point, unit)]
    return [dict(field["choices"]).get(field["text"], field["text"])]


def _place(seen_from: Door, point: Any, unit: LengthUnit | None) -> list[str]:
    """A place as the view words it; without a unit exactly, in millimetres."""
    seen, texts = view_frame(seen_from).seen(point).tolist(), []
    for value, words in zip(seen, direction_words(seen_from), strict=True):
        size = abs(value)
        if unit == "in":
            figure = f"{inch_text(size / 1e3, parts=PAPER_PARTS, unit=False)} in"
        else:
            figure = f"{round(size, 1 if unit else 6):.10g} mm"
        texts.append(f"{figure} {words[value < 0.0]}")
    return texts
