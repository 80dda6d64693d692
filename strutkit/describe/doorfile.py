"""The door file: TOML text to a `Door` and back.

A door file is data from a stranger: bounded, shown literally, never a path, never run. Every
fault of key, type, unit and range is listed at once; faults between values once those are right.
"""

import difflib
import re
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from strutkit.describe.door_layout import (
    FORMAT,
    LIST_FIELDS,
    LISTS,
    REQUIRED_TABLES,
    TABLES,
    Key,
    build,
)
from strutkit.describe.door_text import door_fingerprint, door_text, updated_text
from strutkit.describe.field_text import value_from_toml
from strutkit.describe.fields import stored_value
from strutkit.describe.records import Door
from strutkit.describe.text_files import fault_text, file_title, read_text, save_text
from strutkit.describe.unit_hints import listed
from strutkit.describe.units import literal
from strutkit.errors import FileFault, RecordError, SaveError, StrutkitError

__all__ = ["door_fingerprint", "door_text", "parse_door", "read_door", "write_door"]

MOST_LINES = 20_000
MOST_DOTS = 1000
"""Most dots in a line: the standard reader takes time with the square of a key's dots."""
_HEADER = re.compile(r"\s*(\[\[?)\s*[\"']?(\w+)[\"']?\s*\]")
_KEY = re.compile(r"\s*[\"']?(\w+)[\"']?\s*(?:\.\s*[\"']?(\w+)[\"']?\s*)?=")


def read_door(path: str | Path) -> Door:
    """The door that a file describes.

    Raises `FileFault` that lists every fault with line, key, value and what to write.
    """
    path = Path(path)
    return parse_door(read_text(path, "door file"), file_title(path))


def parse_door(text: str, title: str = "The door file") -> Door:
    """The door that a text in the form of a door file describes; `title` names it in messages.

    Raises `FileFault`.
    """
    text = text.removeprefix("\ufeff")
    raw = _toml(text, title)
    _refuse_newer(raw, title)
    reading = _Reading(title, _line_numbers(text))
    values = _read_tables(raw, reading)
    reading.raise_faults()
    parts = {table: _build_all(table, values[table], reading) for table in TABLES if table}
    reading.raise_faults()
    single = {table: parts[table][0] for table in TABLES if table and table not in LISTS}
    several = {LIST_FIELDS[table]: parts[table] for table in LISTS}
    fields: dict[str, Any] = values[""][0] | single | several
    try:
        return Door(**fields)
    except RecordError as fault:
        raise FileFault(f"{title}: {fault}") from None


def write_door(door: Door, path: str | Path, *, like: str | Path | None = None) -> None:
    """Save a door: whole or not at all, and only what `read_door` reads back equal.

    Text, comments and units are taken from the file `like`, else from the door file that stands
    at `path`; only values that differ are rewritten. Raises `SaveError`, also where the file at
    `path` is no door file (it is left as it is), and `FileFault` where `like` is none.
    """
    path = Path(path)
    title = file_title(path)
    if like is not None:
        text = _carried_over(Path(like), door)
    elif not path.is_file():
        text = door_text(door)
    else:
        try:
            text = _carried_over(path, door)
        except FileFault as fault:
            raise SaveError(
                f"{title} is left as it is, since it is no door file that can be read. "
                f"Save under another name, or put right: {fault}"
            ) from None
    try:
        same = parse_door(text) == door
    except FileFault as fault:
        raise SaveError(f"{title} is not saved, for it would not read back: {fault}") from None
    if not same:
        raise SaveError(
            f"{title} is not saved: the former text cannot carry this door. Save under a new name."
        )
    save_text(text, path)


def _carried_over(former: Path, door: Door) -> str:
    from tomlkit.exceptions import TOMLKitError

    title = file_title(former)
    text = read_text(former, "door file")
    old = parse_door(text, title)
    try:
        return updated_text(text, old, door)
    except (TOMLKitError, ValueError, KeyError, TypeError, RecursionError) as fault:
        raise SaveError(
            f"The text of {title} cannot be kept ({literal(str(fault))}). Save under a new name."
        ) from None


def _toml(text: str, title: str) -> dict[str, Any]:
    lines = text.split("\n")
    if len(lines) > MOST_LINES:
        raise FileFault(f"{title} has {len(lines)} lines, and at most {MOST_LINES} are read.")
    for number, line in enumerate(lines, start=1):
        if line.count(".") > MOST_DOTS:
            raise FileFault(f"{title}, line {number} has over {MOST_DOTS} dots. Shorten it.")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise FileFault(f"{title} has brackets in brackets, too deep to be read.") from None
    except ValueError as fault:
        raise FileFault(_toml_fault(str(fault), lines, title)) from None


def _toml_fault(message: str, lines: list[str], title: str) -> str:
    """The parser's words with the line that they are about and what a line should look like."""
    what, _, place = message.replace("Invalid ", "No proper ").partition(" (at ")
    match = re.match(r"line (\d+)", place)
    number = int(match[1]) if match else len(lines)
    while number > 1 and not lines[number - 1].strip():
        number -= 1
    line = lines[number - 1].strip()
    hint = 'Write each line as  mass = "11.6 kg"  or a heading as  [panel].'
    if line.count('"') > 2:
        hint = "Inside quotes write in for inches, not the inch sign."
    elif re.match(r"\w+\s*=\s*[^\"'\[\s]", line):
        hint = 'Texts and quantities stand in quotes, as  mass = "11.6 kg".'
    elif what.startswith("Cannot"):
        hint = "A key or a heading stands there twice: leave one out."
    where = f"{title}, line {number}" if match else f"{title}, near the end"
    return f"{where}: {literal(line)}\n{literal(what, 200)}. {hint}"


def _refuse_newer(raw: dict[str, Any], title: str) -> None:
    version = raw.get("format")
    if type(version) is int and version > FORMAT:
        raise FileFault(
            f"{title} is written by a newer kit: this one reads format {FORMAT}. Update the kit."
        )


Place = tuple[str, int, str]
"""Table, number of the table in its list (0: not a list), key."""


@dataclass
class _Reading:
    """Faults found so far, in a file of that title, with the lines that things stand on."""

    title: str
    lines: dict[Place, int]
    faults: list[tuple[int, str]] = field(default_factory=list)

    def add(self, place: Place, text: str) -> None:
        table, number, key = place
        spots = (place, (table, number, ""), (key, 0, ""))
        line = next((self.lines[spot] for spot in spots if spot in self.lines), 0)
        self.faults.append((line, text))

    def raise_faults(self) -> None:
        if self.faults:
            raise FileFault(fault_text(self.title, self.faults))


def _line_numbers(text: str) -> dict[Place, int]:
    """Line of each heading and key, as far as they stand at the beginning of a line."""
    lines: dict[Place, int] = {}
    counts: dict[str, int] = dict.fromkeys(LISTS, 0)
    table, number = "", 0
    for count, line in enumerate(text.split("\n"), start=1):
        header, key = _HEADER.match(line), _KEY.match(line)
        if header:
            table, number = header[2], 0
            if table in LISTS:
                counts[table] += 1
                number = counts[table]
            lines.setdefault((table, number, ""), count)
        elif key and key[2] and not table:
            lines.setdefault((key[1], 0, key[2]), count)
        elif key:
            lines.setdefault((table, number, key[1]), count)
    return lines


def _name(place: Place) -> str:
    """
    >>> _name(("panel", 0, "mass")), _name(("strut", 2, "rating")), _name(("", 0, "name"))
    ('panel.mass', 'strut 2, rating', 'name')
    """
    table, number, key = place
    if number:
        return f"{table} {number}, {key}" if key else f"{table} {number}"
    return ".".join(part for part in (table, literal(key, 40)) if part)


def _read_tables(raw: dict[str, Any], reading: _Reading) -> dict[str, list[dict[str, Any]]]:
    """Values of every table, right in key, type, unit and range; faults go to the reading."""
    if type(raw.get("format")) is not int or raw["format"] < 1:
        reading.add(("", 0, "format"), f"format: write format = {FORMAT} at the top of the file.")
    head = {key: value for key, value in raw.items() if key not in TABLES and key != "format"}
    values = {"": [_read_table(head, ("", 0, ""), reading)]}
    for table in TABLES:
        if not table:
            continue
        place, found = (table, 0, ""), raw.get(table, [] if table in LISTS else {})
        if table in REQUIRED_TABLES and table not in raw:
            required = tuple(key.name for key in TABLES[table] if key.required)
            reading.add(place, f"{table} is missing. Write [{table}] with {', '.join(required)}.")
        elif table not in LISTS and isinstance(found, dict):
            values[table] = [_read_table(found, place, reading)]
        elif table in LISTS and isinstance(found, list) and _all_tables(found):
            values[table] = _read_list(found, table, reading)
        else:
            heading = f"[[{table}]]" if table in LISTS else f"[{table}]"
            reading.add(place, f"{table}: write it as a table under the heading {heading}.")
    return values


def _all_tables(found: list[Any]) -> bool:
    return all(isinstance(each, dict) for each in found)


def _read_list(found: list[Any], table: str, reading: _Reading) -> list[dict[str, Any]]:
    if len(found) > LISTS[table]:
        reading.add(
            (table, 0, ""),
            f"{table}: there are {len(found)} of them, and at most {LISTS[table]} are read.",
        )
        return []
    return [_read_table(one, (table, n, ""), reading) for n, one in enumerate(found, start=1)]


def _read_table(raw: dict[str, Any], place: Place, reading: _Reading) -> dict[str, Any]:
    table, number, _ = place
    keys = {key.name: key for key in TABLES[table]}
    for name in raw:
        if name not in keys:
            reading.add((table, number, name), _unknown_key(name, place))
    values = {}
    for key in keys.values():
        spot = (table, number, key.name)
        if key.name not in raw:
            if key.required:
                reading.add(spot, f"{_name(spot)} is missing. {_how_to_write(key)}")
            continue
        try:
            value, _ = value_from_toml(raw[key.name], key.rules)
        except StrutkitError as fault:
            reading.add(spot, f"{_name(spot)}: {fault}")
            continue
        try:
            values[key.name] = stored_value(value, key.rules, _name(spot))
        except StrutkitError as fault:
            reading.add(spot, str(fault))
    return values


def _unknown_key(name: str, place: Place) -> str:
    table = place[0]
    where = _name((table, place[1], name))
    near = difflib.get_close_matches(name[:60], [key.name for key in TABLES[table]], 1)
    if not table:
        near = near or difflib.get_close_matches(name[:60], [each for each in TABLES if each], 1)
    if near:
        return f"{where} is no key of a door file. Did you mean {near[0]}?"
    homes = [
        f"[[{home}]]" if home in LISTS else f"[{home}]" if home else "the top of the file"
        for home, keys in TABLES.items()
        if name in [key.name for key in keys]
    ]
    if homes:
        return f"{where} does not stand here. It belongs in {listed(tuple(homes))}."
    return f"{where} is no key of a door file. Leave it out or make it a comment with #."


def _how_to_write(key: Key) -> str:
    kind = key.rules["kind"]
    examples = {
        "length": "620 mm",
        "mass": "12.5 kg",
        "force": "220 N",
        "angle": "80 deg",
        "point": "330, 0, -12 mm",
        "points": "0, 0, 0 mm; 300, 0, -12 mm",
        "direction": "up",
        "choice": next(iter(key.rules["choices"]), ""),
    }
    return f'Write for example {key.name} = "{examples.get(kind, "a name")}".'


def _build_all(table: str, values: list[dict[str, Any]], reading: _Reading) -> tuple[Any, ...]:
    """Records of a table; what does not go together within one is a fault."""
    built = []
    for number, each in enumerate(values, start=1):
        try:
            built.append(build(table, each))
        except RecordError as fault:
            reading.add((table, number if table in LISTS else 0, ""), str(fault))
    return tuple(built)
