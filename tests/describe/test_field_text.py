"""Number boxes: the same reader as files, by record and field."""

import dataclasses
import re
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from strutkit.describe.door_layout import TABLES, records_of
from strutkit.describe.field_text import format_field, parse_field
from strutkit.describe.records import Condition, Door, FittedStrut, Hinge, Limits, Panel, Strut
from strutkit.errors import RecordError, StrutkitError, UnitError
from tests.describe.door_texts import UNITS, full_doors


@pytest.mark.parametrize(
    ("record", "name", "text", "value"),
    [
        (Panel, "mass", "11.6 kg", 11.6),
        (Panel, "width", "24 1/2 in", 0.6223),
        (Panel, "width", "", None),
        (Panel, "width", "  ", None),
        (Panel, "name", " lid ", "lid"),
        (Panel, "handle", "655, 0, -25 mm", (0.655, 0.0, -0.025)),
        (Panel, "section", "0,0,0 mm; 1,0,0 m", ((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))),
        (Hinge, "opens_toward", "up", "up"),
        (Hinge, "opens_toward", "0, 0, 2", (0.0, 0.0, 2.0)),
        (Hinge, "thrust_at", "second", "second"),
        (Strut, "force_ratio", "1 1/4", 1.25),
        (Strut, "price", "12.50", 12.5),
        (Strut, "order_code", "", ""),
        (FittedStrut, "mirrored", "Yes", True),
        (FittedStrut, "mirrored", "false", False),
        (Condition, "temperature", "-4 °F", 253.15),
        (Condition, "ageing", "85 %", 0.85),
        (Condition, "strut_ageing", "1, 70 %", (1.0, 0.7)),
        (Condition, "missing", "1", 1),
        (Limits, "reserve", "20%", 0.2),
    ],
)
def test_boxes_are_read(record: type, name: str, text: str, value: Any) -> None:
    assert parse_field(record, name, text) == value


@pytest.mark.parametrize(
    ("record", "name", "text", "kind", "message"),
    [
        (Panel, "mass", "", UnitError, "Nothing is written here. Write for example 12.5 kg"),
        (Panel, "mass", "-1 kg", RecordError, "mass is -1 kg; it must be over 0 kg."),
        (Panel, "centre_of_gravity", "1, 2 mm", UnitError, "a point has three: x, y, z."),
        (Hinge, "stop_angle", "400 deg", RecordError, "stop angle is 400°; it must be at most 36"),
        (Hinge, "thrust_at", "third", RecordError, "thrust at is 'third'; write one of first, se"),
        (FittedStrut, "mirrored", "maybe", RecordError, "maybe is neither yes nor no. Write yes"),
        (Condition, "missing", "1.5", RecordError, "1.5 is no whole number. Write 0, 1, 2 ..."),
        (Condition, "missing", "9" * 50, RecordError, "is no whole number."),
        (Condition, "strut_ageing", "1, x", UnitError, "x has no number in front."),
        (Condition, "strut_ageing", "1," * 2000, RecordError, "This list has 2001 entries. Write"),
        (Condition, "ageing", "1.3 mm", UnitError, "and a plain number is asked. Write 1.3."),
        (Strut, "name", "  ", RecordError, "name is empty; write a name."),
    ],
)
def test_boxes_say_what_to_write(
    record: type, name: str, text: str, kind: type[StrutkitError], message: str
) -> None:
    with pytest.raises(kind, match=re.escape(message)):
        parse_field(record, name, text)


@given(full_doors(), st.integers(0, 2**32 - 1))
@settings(max_examples=15)
def test_what_a_box_shows_reads_back_equal(door: Door, seed: int) -> None:
    """Every field of every record of the door, in a random unit of its kind."""
    rng = np.random.default_rng(seed)
    checked = 0
    for table in TABLES:
        for whole in records_of(table, door):
            for record in (whole, whole.strut) if table == "strut" else (whole,):
                for field in dataclasses.fields(record):
                    kind = field.metadata.get("kind", "record")
                    value = getattr(record, field.name)
                    if kind in ("record", "records", "name", "texts") or value == ():
                        continue
                    unit = str(rng.choice(UNITS[kind])) if kind in UNITS else None
                    shown = format_field(type(record), field.name, value, unit)
                    assert parse_field(type(record), field.name, shown) == value
                    checked += 1
    assert checked > 20
