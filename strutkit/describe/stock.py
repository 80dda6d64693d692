"""The stock list: struts that can be had, one a row of a CSV file.

Columns are fields of `Strut`, in any order, with the unit in the heading ("rating [N]") or in
each cell. Fields are parted by "," or ";". Lines that begin with # are remarks.
"""

import csv
import dataclasses
import difflib
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from strutkit.data import stock_path
from strutkit.describe.field_text import Rules, value_from_text
from strutkit.describe.fields import stored_value
from strutkit.describe.records import Strut
from strutkit.describe.text_files import fault_text, file_title, read_text
from strutkit.describe.unit_hints import KIND_WORDS, listed
from strutkit.describe.unit_table import find_unit
from strutkit.describe.units import is_bare, literal, unit_symbols
from strutkit.errors import FileFault, RecordError, StrutkitError

MOST_ROWS = 10_000
MOST_CELLS = 100
_FIELDS = {field.name: field for field in dataclasses.fields(Strut)}
_REQUIRED = tuple(name for name, field in _FIELDS.items() if field.default is dataclasses.MISSING)
_HEADING = re.compile(r"\s*([^\[\]]*?)\s*(?:\[\s*([^\[\]]*?)\s*\])?\s*")
_Faults = list[tuple[int, str]]


@dataclass(frozen=True, slots=True)
class _Column:
    """A column: field of the strut, what the field takes, unit of the heading ("" for none)."""

    name: str
    rules: Rules
    unit: str


def read_stock(path: str | Path) -> tuple[Strut, ...]:
    """The struts of a stock list in the order of the file.

    Raises `FileFault` that lists every fault with line, column and what to write.
    """
    path = Path(path)
    return parse_stock(read_text(path, "stock list"), file_title(path))


@cache
def generic_stock() -> tuple[Strut, ...]:
    """The struts of the generic list that comes with the kit, read once."""
    return read_stock(stock_path())


def parse_stock(text: str, title: str = "The stock list") -> tuple[Strut, ...]:
    """The struts that the text of a stock list names; `title` names it in messages.

    Raises `FileFault`.
    """
    faults: _Faults = []
    rows = _rows(text.removeprefix("\ufeff"), title, faults)
    if not rows:
        raise FileFault(
            f"{title} is empty. Write a heading as  name,rating [N],extended_length [mm],"
            "stroke [mm]  and a line for each strut."
        )
    cell_faults, faults = faults, []
    columns = _columns(*rows[0], faults)
    if faults:
        raise FileFault(fault_text(title, faults))
    faults = cell_faults
    struts = [strut for line, cells in rows[1:] if (strut := _strut(line, cells, columns, faults))]
    _refuse_twice(rows[1:], columns, faults)
    if faults:
        raise FileFault(fault_text(title, faults))
    if not struts:
        raise FileFault(f"{title} has a heading and no strut. Write a line for each strut.")
    return tuple(struts)


def _rows(text: str, title: str, faults: _Faults) -> list[tuple[int, list[str]]]:
    """Line number and cells of each line that says something."""
    numbered = [
        (number, line.rstrip("\r"))
        for number, line in enumerate(text.split("\n"), start=1)
        if line.strip(" \t\r,;") and not line.lstrip().startswith("#")
    ]
    if len(numbered) > MOST_ROWS:
        raise FileFault(f"{title} has {len(numbered)} lines, and at most {MOST_ROWS} are read.")
    heading = numbered[0][1] if numbered else ""
    mark = ";" if heading.count(";") > heading.count(",") else ","
    rows = []
    for number, line in numbered:
        try:
            rows.append((number, next(csv.reader([line], delimiter=mark, strict=True))))
        except csv.Error as fault:
            faults.append((number, f"{literal(line, 40)}: {fault}. Check the quotes."))
    return rows


def _columns(line: int, headings: list[str], faults: _Faults) -> list[_Column | None]:
    """A column for each heading; None where a heading is empty or has a fault."""
    columns: list[_Column | None] = []
    for heading in headings[:MOST_CELLS]:
        try:
            columns.append(_column(heading) if heading.strip() else None)
        except RecordError as fault:
            faults.append((line, str(fault)))
            columns.append(None)
    names = [column.name for column in columns if column]
    faults += [
        (line, f"The column {name} stands {names.count(name)} times. Leave one.")
        for name in _FIELDS
        if names.count(name) > 1
    ]
    missing = tuple(name for name in _REQUIRED if name not in names)
    if missing and not faults:
        faults.append((line, f"The heading lacks {' and '.join(missing)}. Add what is missing."))
    return columns


def _column(heading: str) -> _Column:
    match = _HEADING.fullmatch(heading[:200])
    name = match[1].lower().replace(" ", "_") if match else ""
    if match is None or name not in _FIELDS:
        near = difflib.get_close_matches(name, _FIELDS, 1)
        hint = f"Did you mean {near[0]}?" if near else f"Columns are {listed(tuple(_FIELDS))}."
        raise RecordError(f"{literal(heading)} is no column of a stock list. {hint}")
    rules, unit = _FIELDS[name].metadata, match[2] or ""
    found, kind = find_unit(unit), rules["kind"]
    if unit and (found is None or found.kind != kind):
        takes = f"Write {listed(unit_symbols(kind))}" if kind in KIND_WORDS else "Leave it out"
        raise RecordError(f"{literal(heading)}: {literal(unit)} is no unit for {name}. {takes}.")
    return _Column(name, rules, unit)


def _strut(
    line: int, cells: list[str], columns: list[_Column | None], faults: _Faults
) -> Strut | None:
    before = len(faults)
    if any(cell.strip() for cell in cells[len(columns) :]):
        faults.append((line, f"{len(cells)} cells stand under {len(columns)} headings."))
    values: dict[str, Any] = {}
    for column, cell in zip(columns, cells, strict=False):
        if column is None or not cell.strip():
            continue
        try:
            value, _ = value_from_text(_with_unit(cell, column), column.rules)
        except StrutkitError as fault:
            faults.append((line, f"{column.name}: {fault}"))
            continue
        try:
            values[column.name] = stored_value(value, column.rules, column.name)
        except StrutkitError as fault:
            faults.append((line, str(fault)))
    if len(faults) == before:
        missing = tuple(name for name in _REQUIRED if name not in values)
        faults += [(line, f"{name} is empty. Write one, or take the line out.") for name in missing]
    if len(faults) > before:
        return None
    try:
        return Strut(**values)
    except RecordError as fault:
        faults.append((line, str(fault)))
    return None


def _with_unit(cell: str, column: _Column) -> str:
    """The cell with the heading's unit, unless it has its own."""
    return f"{cell.strip()} {column.unit}" if column.unit and is_bare(cell) else cell


def _refuse_twice(
    rows: list[tuple[int, list[str]]], columns: list[_Column | None], faults: _Faults
) -> None:
    place = next(n for n, column in enumerate(columns) if column and column.name == "name")
    first: dict[str, int] = {}
    for line, cells in rows:
        name = cells[place].strip() if place < len(cells) else ""
        if name in first:
            faults.append(
                (line, f"The name {literal(name)} stands on line {first[name]} too. Change one.")
            )
        elif name:
            first[name] = line
