"""The text of a door: canonical, and carried over into a former text with its comments and units.

A former text is cut into blocks, one for each heading; a block is rewritten on its own, so that
struts, zones and conditions may be added, dropped, renamed and reordered without loss of the
comments of the others.
"""

import hashlib
import json
import re
import tomllib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from strutkit.describe.door_layout import FORMAT, LISTS, TABLES, records_of, values_of
from strutkit.describe.field_text import TomlValue, value_from_toml, value_to_toml
from strutkit.describe.records import Door

LONGEST_TIDY = 12
"""A new value takes the file's usual unit if its text is at most this long, else the kit's."""


@lru_cache(maxsize=16)  # a live view asks for the same few doors again and again
def door_text(door: Door) -> str:
    """The canonical text of a door: same door, same text. Values at their defaults are left out.

    It is what `write_door` writes where there is no former file.
    """
    blocks = [f"format = {FORMAT}\n" + _lines("", door)]
    for table in TABLES:
        if not table:
            continue
        for record in records_of(table, door):
            lines = _lines(table, record)
            if lines:
                blocks.append(_heading(table) + "\n" + lines)
    return "\n".join(blocks)


def door_fingerprint(door: Door) -> str:
    """SHA-256 of the canonical text in UTF-8, in hexadecimal."""
    return hashlib.sha256(door_text(door).encode("utf-8")).hexdigest()


def _heading(table: str) -> str:
    return f"[[{table}]]" if table in LISTS else f"[{table}]"


def _lines(table: str, record: Any, units: dict[str, str] | None = None) -> str:
    values = values_of(table, record)
    return "".join(
        f"{key.name} = {_toml_literal(_written(values[key.name], key.rules['kind'], units))}\n"
        for key in TABLES[table]
        if key.required or values[key.name] != key.default
    )


def _toml_literal(value: TomlValue) -> str:
    """
    >>> _toml_literal('say "up"'), _toml_literal(True), _toml_literal([1.0, 0.8])
    ('"say \\\\"up\\\\""', 'true', '[1.0, 0.8]')
    """
    if isinstance(value, (str, bool)) or any(isinstance(one, str) for one in _listed(value)):
        return json.dumps(value, ensure_ascii=False)
    return repr(value)


def _listed(value: TomlValue) -> list[Any]:
    return value if isinstance(value, list) else []


def _written(value: Any, kind: str, units: dict[str, str] | None = None) -> TomlValue:
    """A value in the file's usual unit of its kind where that is tidy, else in the kit's."""
    if units and kind in units:
        text = value_to_toml(value, kind, units[kind])
        if len(str(text)) <= LONGEST_TIDY:
            return text
    return value_to_toml(value, kind)


@dataclass
class _Block:
    """Lines of a former text: `above` stays in its place, `text` belongs to the heading."""

    table: str
    above: str
    text: str


def updated_text(text: str, former: Door, door: Door) -> str:
    """A former text with the values in which `door` differs from `former` (which it reads as).

    Comments, order, spelling and the unit of each value stay.
    """
    if former == door:
        return text
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    text = text.removeprefix("\ufeff")
    line_end = "\r\n" if text.count("\r\n") == text.count("\n") > 0 else "\n"
    if line_end == "\r\n":
        text = text.replace("\r\n", "\n")
    blocks = _split(text if text.endswith("\n") else text + "\n")
    units = _usual_units(tomllib.loads(text))
    for table in TABLES:
        old, new = records_of(table, former), records_of(table, door)
        if table in LISTS:
            _update_list(blocks, table, old, new, units)
        else:
            _update_single(blocks, table, old[0], new[0], units)
    joined = "".join(block.above + block.text for block in blocks)
    return mark + joined.replace("\n", line_end)


def _split(text: str) -> list[_Block]:
    """Blocks of a text: the head, one for each heading, and what stands after the last entry."""
    lines = re.findall(r"[^\n]*\n", text)
    starts = [(0, "")]
    starts += [(n, table) for n, line in enumerate(lines) if (table := _heading_of(line))]
    ends = [start for start, _ in starts[1:]] + [len(lines)]
    blocks = [_Block("", "", "")]
    for (start, table), end in zip(starts, ends, strict=True):
        entries = [n for n in range(start, end) if _is_entry(lines[n])]
        stop = entries[-1] + 1 if entries else start
        tail, above, near = _part(lines[stop:end])
        blocks[-1].table = table
        blocks[-1].text += "".join(lines[start:stop] + tail)
        blocks.append(_Block("end", "".join(above), "".join(near)))
    return blocks


def _heading_of(line: str) -> str:
    """Name of the table that a line opens, "" where it opens none."""
    if not line.lstrip().startswith("["):
        return ""
    try:
        parsed = tomllib.loads(line)
    except ValueError:
        return ""
    name = next(iter(parsed), "")
    return name if name in TABLES and parsed[name] == ([{}] if name in LISTS else {}) else ""


def _is_entry(line: str) -> bool:
    return bool(line.strip()) and not line.lstrip().startswith("#")


def _part(between: list[str]) -> tuple[list[str], list[str], list[str]]:
    """Comments and blank lines before a heading: those of the table before, those that stay in
    their place, those of the table that follows."""
    blank = [n for n, line in enumerate(between) if not line.strip()]
    if not blank:
        return [], [], between
    return between[: blank[0]], between[blank[0] : blank[-1] + 1], between[blank[-1] + 1 :]


def _usual_units(raw: dict[str, Any]) -> dict[str, str]:
    """Kind -> the unit that a file writes it in most often."""
    counts: dict[str, Counter[str]] = {}
    for table, keys in TABLES.items():
        found = raw if not table else raw.get(table, {})
        for one in found if isinstance(found, list) else [found]:
            for key in keys:
                if key.name in one:
                    unit = value_from_toml(one[key.name], key.rules)[1]
                    kind = "length" if key.rules["kind"] in _LENGTHS else key.rules["kind"]
                    counts.setdefault(kind, Counter())[unit] += 1
    usual = {kind: units.most_common(1)[0][0] for kind, units in counts.items()}
    usual |= {kind: usual["length"] for kind in _LENGTHS if "length" in usual}
    return {kind: unit for kind, unit in usual.items() if unit}


_LENGTHS = ("length", "point", "points")


def _update_single(
    blocks: list[_Block], table: str, old: Any, new: Any, units: dict[str, str]
) -> None:
    if values_of(table, old) == values_of(table, new):
        return
    home = next((block for block in blocks if block.table == table), None)
    if home is None and table in tomllib.loads(blocks[0].text):
        home = blocks[0]
    if home is None:
        text = _heading(table) + "\n" + _lines(table, new, units)
        blocks.insert(-1, _Block(table, "\n", text))
        return
    home.text = _rewritten(home.text, table, [(0, old, new)], units)


def _update_list(
    blocks: list[_Block],
    table: str,
    old: Sequence[Any],
    new: Sequence[Any],
    units: dict[str, str],
) -> None:
    if old == new:
        return
    pairs = _matches(table, old, new)
    slots = [block for block in blocks if block.table == table]
    if old and not slots:
        if pairs == list(range(len(old))):
            changes = [(n, old[n], new[n]) for n in range(len(old))]
            blocks[0].text = _rewritten(blocks[0].text, table, changes, units)
            return
        blocks[0].text = _without(blocks[0].text, table)
        pairs = [None] * len(new)
    texts = [
        _heading(table) + "\n" + _lines(table, record, units)
        if pair is None
        else _rewritten(slots[pair].text, table, [(0, old[pair], record)], units)
        for pair, record in zip(pairs, new, strict=True)
    ]
    for slot, text in zip(slots, texts, strict=False):
        slot.text = text
    for slot in slots[len(texts) :]:
        slot.above, slot.text = slot.above.strip() and slot.above, ""
    place = blocks.index(slots[-1]) + 1 if slots else len(blocks) - 1
    blocks[place:place] = [_Block(table, "\n", text) for text in texts[len(slots) :]]


def _matches(table: str, old: Sequence[Any], new: Sequence[Any]) -> list[int | None]:
    """For each new record the old one that it grew out of: the same, of that name, in its place."""
    found: list[int | None] = [None] * len(new)
    free = list(range(len(old)))
    for same in (
        lambda n, place: old[n] == new[place],
        lambda n, place: _label(table, old[n]) == _label(table, new[place]),
        lambda n, place: n == place,
    ):
        for place in (each for each in range(len(new)) if found[each] is None):
            match = next((n for n in free if same(n, place)), None)
            if match is not None:
                found[place] = match
                free.remove(match)
    return found


def _label(table: str, record: Any) -> str:
    values = values_of(table, record)
    return str(values["part" if table == "zone" else "name"])


def _rewritten(
    text: str, table: str, changes: Iterable[tuple[int, Any, Any]], units: dict[str, str]
) -> str:
    """A block's text with the changed values of its table (entries of a list by number)."""
    import tomlkit

    document = tomlkit.parse(text)
    for number, old, new in changes:
        home: Any = document[table] if table else document
        _set_values(home[number] if table in LISTS else home, table, old, new, units)
    return document.as_string()


def _without(text: str, table: str) -> str:
    import tomlkit

    document = tomlkit.parse(text)
    del document[table]
    return document.as_string()


def _set_values(home: Any, table: str, old: Any, new: Any, units: dict[str, str]) -> None:
    before, after = values_of(table, old), values_of(table, new)
    for key in TABLES[table]:
        value, kind = after[key.name], key.rules["kind"]
        if value == before[key.name]:
            continue
        if key.name not in home:
            home[key.name] = _written(value, kind, units)
        elif value is None:
            del home[key.name]
        else:
            unit = value_from_toml(home[key.name], key.rules)[1]
            home[key.name] = value_to_toml(value, kind, unit or None)
