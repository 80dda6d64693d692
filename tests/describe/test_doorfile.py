"""The door file: reading, all faults at once, writing back, saving whole."""

import hashlib
import json
import os
import re
import stat
import subprocess
import sys
import tomllib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from strutkit.data import door_names, door_path
from strutkit.describe import text_files
from strutkit.describe.door_layout import TABLES, records_of, values_of
from strutkit.describe.doorfile import (
    door_fingerprint,
    door_text,
    parse_door,
    read_door,
    write_door,
)
from strutkit.describe.records import Condition, Door
from strutkit.describe.units import parse_point, parse_quantity
from strutkit.errors import FileFault, SaveError, StrutkitError
from tests.describe.door_texts import changed, full_doors, names, written_text

SAMPLE = """\
format = 1
name = "Tool-van roof hatch"

[panel]
mass = "11.6 kg"
centre_of_gravity = "330, 0, -12 mm"
handle = "655, 0, -25 mm"
width = "900 mm"

[hinge]
first = "0, -380, 0 mm"
second = "0, 380, 0 mm"
opens_toward = "up"
stop_angle = "80 deg"

[[strut]]
name = "left"
rating = "220 N"
extended_length = "412 mm"
stroke = "186 mm"
force_ratio = 1.28
friction = "18 N"
frame_mount = "90, -400, -260 mm"
panel_mount = "210, -400, -30 mm"
mirrored = true

[[zone]]
part = "panel"
corners = "120, -400, -30 mm; 300, -400, -30 mm; 300, -400, -70 mm; 120, -400, -70 mm"

[[condition]]
name = "frost, old struts"
temperature = "-20 degC"
ageing = 0.80

[limits]
lift_off = "25 deg"
hand_closing = "90 N"
reserve_force = "20 N"
"""


def with_lines(*changes: tuple[str, str]) -> str:
    """The sample with pieces replaced, each of which must be there."""
    text = SAMPLE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text


def test_every_value_of_the_sample_is_read() -> None:
    door = parse_door(SAMPLE)
    assert door.name == "Tool-van roof hatch"
    assert door.panel.mass == 11.6
    assert door.panel.centre_of_gravity == (0.33, 0.0, -0.012)
    assert door.panel.handle == (0.655, 0.0, -0.025)
    assert door.panel.width == 0.9
    assert door.panel.inertia is None
    assert (door.hinge.first, door.hinge.second) == ((0.0, -0.38, 0.0), (0.0, 0.38, 0.0))
    assert door.hinge.opens_toward == "up"
    assert door.hinge.stop_angle == pytest.approx(np.radians(80.0), rel=1e-15)
    (fitted,) = door.struts
    assert (fitted.strut.name, fitted.strut.rating, fitted.strut.force_ratio) == (
        "left",
        220.0,
        1.28,
    )
    assert (fitted.strut.extended_length, fitted.strut.stroke) == (0.412, 0.186)
    assert fitted.frame_mount == (0.09, -0.4, -0.26)
    assert fitted.mirrored is True
    assert len(door.fitted) == 2
    assert door.zones[0].part == "panel"
    assert door.zones[0].corners[3] == (0.12, -0.4, -0.07)
    (frost,) = door.conditions
    assert (frost.name, frost.temperature, frost.ageing) == ("frost, old struts", 253.15, 0.8)
    assert door.limits.hand_closing == 90.0
    assert door.limits.hand_opening is None


@pytest.mark.parametrize(
    "text",
    [
        SAMPLE.replace("\n", "\r\n"),
        "\ufeff" + SAMPLE,
        with_lines(('"11.6 kg"', '"11600 g"')),
        with_lines(('"900 mm"', '"0.9 m"'), ('"80 deg"', "'80°'"), ('"-20 degC"', '"-4 °F"')),
        with_lines(('"up"', '"0, 0, 1"')),
        with_lines(
            ("[limits]\n", "[limits] # asked\n"),
            ('"120, -400, -30 mm; ', '"""\n  120, -400, -30 mm;\n  '),
            ('120, -400, -70 mm"', '120, -400, -70 mm"""'),
        ),
        with_lines(
            ('[panel]\nmass = "11.6 kg"', 'panel.mass = "11.6 kg"'),
            ("centre_of", "panel.centre_of"),
            ("handle", "panel.handle"),
            ("width", "panel.width"),
        ),
    ],
    ids=["CRLF", "BOM", "grams", "other units", "direction", "many lines", "dotted"],
)
def test_other_spellings_of_the_same_door(text: str) -> None:
    door = parse_door(text)
    if door.hinge.opens_toward != "up":
        door = replace(door, hinge=replace(door.hinge, opens_toward="up"))
    assert door == parse_door(SAMPLE)


FAULTS = [
    ('mass = "11.6 kg"', "mass = 11.6", "line 5, panel.mass: 11.6 has no unit. Write 11.6 kg or"),
    ('mass = "11.6 kg"', 'mass = "11,6 kg"', "line 5, panel.mass: 11,6 kg has a comma."),
    ('mass = "11.6 kg"', 'mass = "116 N"', "line 5, panel.mass: 116 N is a force, and a mass"),
    ('mass = "11.6 kg"', 'mass = "0 kg"', "line 5, panel.mass is 0 kg; it must be over 0 kg."),
    ('mass = "11.6 kg"', "mass = true", "panel.mass: This is true. Write a mass in quotes, with"),
    ('mass = "11.6 kg"', 'mass = ["11.6 kg"]', "panel.mass: This is a list. Write a mass in qu"),
    ('mass = "11.6 kg"', "mass = 1979-05-27", "panel.mass: This is a date or time. Write a mass"),
    ('mass = "11.6 kg"', "", "line 4, panel.mass is missing. Write for example mass = "),
    ("stop_angle", "stop_angel", "line 14, hinge.stop_angel is no key of a door file. Did you m"),
    ("stop_angle", "stop_angel", "hinge.stop_angle is missing. Write for example stop_angle = "),
    ('"80 deg"', '"400 deg"', "line 14, hinge.stop_angle is 400°; it must be at most 360°."),
    ('"80 deg"', '"-5 deg"', "hinge.stop_angle is -5°; it must be over 0°."),
    ('"up"', '"upp"', "line 13, hinge.opens_toward: upp is no direction. Did you mean up?"),
    ('"up"', '"0, 0, 0"', "hinge.opens_toward is 0, 0, 0; that points nowhere."),
    ('"up"', "[0, true, 1]", "hinge.opens_toward: The list holds true. Write numbers"),
    ("1.28", '"1.28"', 'strut 1, force_ratio: This is the text "1.28". Write a number without'),
    ("1.28", "0.9", "line 21, strut 1, force_ratio is 0.9; it must be at least 1."),
    ("1.28", "nan", "strut 1, force_ratio is nan; write a finite number."),
    ("1.28", "1e400", "strut 1, force_ratio is inf; write a finite number."),
    ('"18 N"', '"18 kg"', "line 22, strut 1, friction: 18 kg is a mass, and a force is asked."),
    ("mirrored = true", 'mirrored = "yes"', 'strut 1, mirrored: This is the text "yes". Write t'),
    ("mirrored = true", "mirrored = 1", "strut 1, mirrored: This is the number 1. Write true or"),
    ("mirrored = true", 'rod_at = "top"', "strut 1, rod_at is 'top'; write one of frame, panel."),
    ('"panel"\n', '"door"\n', "line 28, zone 1, part is 'door'; write one of frame, panel."),
    ('; 120, -400, -70 mm"', '; 120, -400 mm"', "zone 1, corners: Point 4: 120, -400 mm has 2"),
    ('"655, 0, -25 mm"', "[655, 0, -25]", "panel.handle: This is a list. Write a point in quotes"),
    ('"655, 0, -25 mm"', '"655, 0, -25 km"', "panel.handle: -25 km: the unit km is not known."),
    ('"655, 0, -25 mm"', '"6.55e9, 0, 0 mm"', "panel.handle lies over 1 km away; check its unit."),
    ("ageing = 0.80", "ageing = 3", "condition 1, ageing is 3; it must be at most 2."),
    ("ageing = 0.80", "strut_ageing = 0.8", "condition 1, strut_ageing: This is the number 0.8."),
    ("ageing = 0.80", 'strut_ageing = ["1"]', 'strut_ageing: The list holds the text "1".'),
    ("ageing = 0.80", "missing = 1.0", "condition 1, missing: This is the number 1.0. Write a who"),
    ("ageing = 0.80", "missing = -1", "condition 1, missing is -1; write a whole number from 0."),
    ("ageing = 0.80", "mass = 1", "line 34, condition 1, mass does not stand here. It belongs in"),
    ("ageing = 0.80", "colour = 1", "condition 1, colour is no key of a door file. Leave it out"),
    ('"-20 degC"', '"-20 C"', "condition 1, temperature: -20 C has a bare C. Write -20 degC."),
    ('"-20 degC"', '"-90 degC"', "condition 1, temperature is -90 °C; it must be at least -40"),
    ('"frost, old struts"', '"  "', "condition 1, name is empty; write a name."),
    ('"frost, old struts"', r'"a\u0007b"', "condition 1, name holds the control character U+0007"),
    (
        '"frost, old struts"',
        "7",
        "condition 1, name: This is the number 7. Write a text in quotes.",
    ),
    ('"frost, old struts"', '"' + "n" * 300 + '"', "condition 1, name has 300 letters; write at"),
    ('"frost, old struts"', '"' + "n" * 5000 + '"', "name has 5000 letters; write at most 250."),
    ("[limits]", "[limit]", "line 36, limit is no key of a door file. Did you mean limits?"),
    ("[panel]", "[panle]", "panel is missing. Write [panel] with mass, centre_of_gravity, handle."),
    ("[panel]", "[[panel]]", "line 4, panel: write it as a table under the heading [panel]."),
    ("[[strut]]", "[strut]", "strut: write it as a table under the heading [[strut]]."),
    ("[[zone]]", "[zone]", "zone: write it as a table under the heading [[zone]]."),
    ("format = 1\n", "", "format: write format = 1 at the top of the file."),
    ("format = 1", 'format = "1"', "line 1, format: write format = 1 at the top of the file."),
    ("format = 1", "format = 0", "line 1, format: write format = 1 at the top of the file."),
    ("format = 1", "format = true", "line 1, format: write format = 1 at the top of the file."),
    ('name = "Tool-van roof hatch"\n', "", "name is missing. Write for example name = "),
]


@pytest.mark.parametrize(("old", "new", "message"), FAULTS, ids=lambda each: str(each)[:30])
def test_faults_of_key_type_unit_and_range(old: str, new: str, message: str) -> None:
    with pytest.raises(FileFault, match=re.escape(message)) as caught:
        parse_door(with_lines((old, new)), "van.toml")
    said = str(caught.value)
    assert said.startswith("van.toml")
    assert not re.search(r"error|invalid|please|!|Traceback", said, re.IGNORECASE)
    assert all(line.isprintable() for line in said.split("\n"))


def test_all_faults_are_listed_at_once_by_line() -> None:
    text = SAMPLE
    wanted = []
    for old, new, message in (FAULTS[0], FAULTS[8], FAULTS[15], FAULTS[23], FAULTS[28]):
        text = text.replace(old, new)
        wanted.append(message)
    with pytest.raises(FileFault, match=r"van\.toml has 6 faults:") as caught:
        parse_door(text, "van.toml")
    lines = str(caught.value).split("\n")[1:]
    numbers = [int(line.split("line ")[1].split(",")[0]) for line in lines]
    assert numbers == sorted(numbers)
    for message in wanted:
        assert message in str(caught.value)


def test_a_thousand_faults_are_counted() -> None:
    text = SAMPLE + "".join(f"wrong_{n} = {n}\n" for n in range(1000))
    with pytest.raises(FileFault, match=r"has 1000 faults:") as caught:
        parse_door(text)
    assert "and 960 more" in str(caught.value)
    assert len(str(caught.value)) < 20_000


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ([('"186 mm"', '"500 mm"')], "line 16, strut 'left': stroke is 500 mm; it must be less"),
        ([('"655, 0, -25 mm"', '"0, 9, 0 mm"')], "panel: handle is 0 mm from the hinge line"),
        (
            [('"0, 380, 0 mm"', '"0, -380, 0 mm"')],
            "line 10, hinge: first and second are 0 mm apart",
        ),
        (
            [('"210, -400, -30 mm"', '"90, -400, -260 mm"')],
            "line 16, strut 'left': frame_mount and",
        ),
        ([('"frost, old struts"', '"nominal"')], "condition 'nominal' is the one that always"),
        (
            [("ageing = 0.80", 'added_mass = "2 kg"')],
            "added_mass is 2 kg but added_at is not given",
        ),
    ],
)
def test_faults_between_values(changes: list[tuple[str, str]], message: str) -> None:
    with pytest.raises(FileFault, match=re.escape(message)):
        parse_door(with_lines(*changes))


def test_faults_between_values_come_once_the_values_are_right() -> None:
    both = with_lines(('"186 mm"', '"500 mm"'), ("1.28", '"1.28"'))
    with pytest.raises(FileFault, match="force_ratio") as caught:
        parse_door(both)
    assert "stroke is" not in str(caught.value)


def test_names_that_stand_twice_are_refused() -> None:
    twice = SAMPLE + '\n[[condition]]\nname = "frost, old struts"\n'
    with pytest.raises(FileFault, match=r"condition 'frost, old struts' stands 2 times"):
        parse_door(twice)


def test_a_newer_format_is_refused_before_anything_else() -> None:
    with pytest.raises(
        FileFault, match=r"van\.toml is written by a newer kit: this one reads format 1\."
    ):
        parse_door("format = 2\nanything = [1]\n", "van.toml")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (with_lines(('"11.6 kg"', "11.6 kg")), "line 5: mass = 11.6 kg\nExpected newline or end o"),
        (with_lines(('"11.6 kg"', "11.6 kg")), "Texts and quantities stand in quotes, as  mass = "),
        (with_lines(('"900 mm"', '"24 1/2""')), 'line 8: width = "24 1/2""'),
        (with_lines(('"900 mm"', '"24 1/2""')), "Inside quotes write in for inches, not the inch"),
        (with_lines(("width", "mass")), 'line 8: mass = "900 mm"\nCannot overwrite a value. A key'),
        (
            with_lines(("[limits]", "[panel]")),
            "Cannot declare ('panel',) twice. A key or a heading",
        ),
        (with_lines(("[panel]", "[panel")), "line 4: [panel\n"),
        ("name", "near the end: name\nExpected '=' after a key"),
        ("a = '''", "near the end: a = '''"),
        ("\x00", "line 1: \\x00\nNo proper statement. Write each line as"),
    ],
)
def test_text_that_is_not_toml(text: str, message: str) -> None:
    with pytest.raises(FileFault, match=re.escape(message)):
        parse_door(text, "van.toml")


HOSTILE = {
    "dotted key": ".".join(["a"] * 400_000) + " = 1",
    "dotted heading": "[" + ".".join(["a"] * 400_000) + "]",
    "quoted dotted key": ".".join(['"a b"'] * 150_000) + " = 1",
    "brackets": "a = " + "[" * 900_000,
    "braces": "a = " + "{a=" * 300_000,
    "long list": SAMPLE.replace("0.80", "0.80\nstrut_ageing = [" + "1," * 400_000 + "]"),
    "long text": SAMPLE.replace("Tool-van", "x" * 900_000),
    "long section": SAMPLE.replace("120, -400, -30 mm; ", "120, -400, -30 mm; " * 40_000),
    "many struts": SAMPLE + "[[strut]]\n" * 90_000,
    "many conditions": SAMPLE + "[[condition]]\n" * 60_000,
    "many named conditions": SAMPLE + "".join(f'[[condition]]\nname="{n}"\n' for n in range(9000)),
    "many keys": "\n".join(f"k{n} = 1" for n in range(19_000)),
    "blank lines": SAMPLE + "\n" * 900_000,
    "big number": SAMPLE.replace("1.28", "9" * 900_000),
    "big hexadecimal": SAMPLE.replace("1.28", "0x" + "f" * 900_000),
    "power": SAMPLE.replace("220 N", "9**9**9 N"),
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_hostile_texts_are_refused_in_short_words(text: str) -> None:
    """The file limit is 1 MB; each of these would hang or flood a careless reader."""
    with pytest.raises(FileFault) as caught:
        parse_door(text, "van.toml")
    assert len(str(caught.value)) < 30_000


@given(st.text(max_size=200))
def test_any_text_is_a_door_or_a_fault(text: str) -> None:
    with pytest.raises(FileFault):
        parse_door(text)


KEYS = [f"{table}.{key.name}" if table else key.name for table, ks in TABLES.items() for key in ks]
TOML_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**70), 2**70) | st.floats() | st.text(max_size=20)
    | st.sampled_from(["1 mm", "0, 0, 1 mm", "-1 kg", "5 N", "5 deg", "up", "20 degC", "panel"]),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=2)
    ),
    max_leaves=6,
)  # fmt: skip


@given(
    st.sampled_from([table for table in TABLES if table]),
    st.dictionaries(
        st.sampled_from(sorted({key.name for keys in TABLES.values() for key in keys}))
        | st.text(max_size=8),
        TOML_VALUES,
        max_size=6,
    ),
)
@settings(suppress_health_check=[HealthCheck.too_slow])
def test_any_values_under_any_keys_are_read_or_listed(
    table: str, values: dict[str, object]
) -> None:
    """Structures straight from the TOML reader's types, under every heading."""
    import tomlkit

    document = tomlkit.parse(SAMPLE).unwrap()
    raw = {key: value for key, value in values.items() if value is not None}
    several = isinstance(document.get(table), list)
    document[table] = [*document[table], raw] if several else {**document.get(table, {}), **raw}
    try:
        text = tomlkit.dumps(_without_none(document))
        tomllib.loads(text)
    except ValueError:
        return
    try:
        door = parse_door(text)
    except FileFault as fault:
        said = str(fault)
    else:
        said = door.name
    assert all(line.isprintable() for line in said.split("\n"))


def _without_none(value: object) -> object:
    if isinstance(value, dict):
        return {key: _without_none(each) for key, each in value.items() if each is not None}
    if isinstance(value, list):
        return [_without_none(each) for each in value if each is not None]
    return value


def test_the_canonical_text_is_the_sample_in_order() -> None:
    """The sample of the format leaves out what is at its default; only two lines differ."""
    lines = SAMPLE.replace("0.80", "0.8").split("\n")
    lift_off = lines.index('lift_off = "25 deg"')
    lines[lift_off], lines[lift_off + 1] = lines[lift_off + 1], lines[lift_off]
    assert door_text(parse_door(SAMPLE)) == "\n".join(lines)


def test_the_fingerprint_is_the_sha_256_of_what_is_written_anew(tmp_path: Path) -> None:
    door = parse_door(SAMPLE)
    write_door(door, tmp_path / "new.toml")
    assert (
        door_fingerprint(door) == hashlib.sha256((tmp_path / "new.toml").read_bytes()).hexdigest()
    )
    assert door_fingerprint(replace(door, name="other")) != door_fingerprint(door)


def test_equal_doors_have_one_fingerprint() -> None:
    door = parse_door(SAMPLE)
    minus_zero = replace(
        door,
        hinge=replace(door.hinge, first=(-0.0, -0.38, -0.0), friction_moment=-0.0),
        conditions=(replace(door.conditions[0], rating_tolerance=-0.0, pitch=-0.0),),
        limits=replace(door.limits, reserve=-0.0),
    )
    plus_zero = replace(door, limits=replace(door.limits, reserve=0.0))
    assert minus_zero == plus_zero
    assert door_fingerprint(minus_zero) == door_fingerprint(plus_zero)


@given(full_doors())
@settings(max_examples=50)
def test_a_door_reads_back_equal(door: Door) -> None:
    text = door_text(door)
    assert parse_door(text) == door
    assert door_text(parse_door(text)) == text


@given(full_doors(), full_doors(), st.integers(0, 2**32 - 1), st.booleans())
@settings(
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
def test_written_like_a_former_file_it_reads_back_equal(
    tmp_path: Path, door: Door, other: Door, seed: int, windows: bool
) -> None:
    """Only lines of values that differ change; comments of what is still there stay."""
    rng = np.random.default_rng(seed)
    text, lines = written_text(rng, door)
    former = tmp_path / "former.toml"
    ends = "\r\n" if windows else "\n"
    former.write_bytes(text.replace("\n", ends).encode())
    assert read_door(former) == door
    wanted = changed(rng, door, other)
    written = tmp_path / "written.toml"
    write_door(wanted, written, like=former)
    assert read_door(written) == wanted
    result = written.read_bytes().decode()
    assert result.count("\n") == result.count(ends)
    kept = set(result.split(ends))
    assert {"# top of the file", "format = 1   # version", "# end of the file"} <= kept
    for label, name, same in _fates(door, wanted):
        line = lines.get((label, name))
        if line is not None and same:
            assert line in kept
        elif line is not None and "   # why" in line:
            assert any(each.endswith(f"   # why {name}") for each in kept)


def _fates(door: Door, wanted: Door) -> list[tuple[str, str, bool]]:
    """Each key of the tables that are still there by label, and whether its value is the same."""
    fates = []
    for table in TABLES:
        after = {_label(table, each): values_of(table, each) for each in records_of(table, wanted)}
        for record in records_of(table, door):
            label, before = _label(table, record), values_of(table, record)
            if table == "zone" or label not in after:
                continue
            fates += [
                (label, name, before[name] == value)
                for name, value in after[label].items()
                if value is not None
            ]
    return fates


def _label(table: str, record: object) -> str:
    return (
        f"{table} {values_of(table, record)['name']}" if table in ("strut", "condition") else table
    )


COMMENTED = """\
# Our van, second try
format = 1
name = "Van"          # what is on the plate

[panel]
mass = "25 1/2 lb"    # bathroom scale
centre_of_gravity = "13, 0, -1/2 in"
handle = '25 3/4, 0, -1 in'

[hinge]
first = "0, -15, 0 in"
second = "0, 15, 0 in"
opens_toward = "up"
stop_angle = "80°"

# the left one, bent once
[[strut]]
name = "left"
rating = "50 lbf"     # from the label
extended_length = "412 mm"
stroke = "186 mm"
frame_mount = "3 1/2, -16, -10 in"
panel_mount = "8, -16, -1 in"

# the right one
[[strut]]
name = "right"
rating = "50 lbf"
extended_length = "412 mm"
stroke = "186 mm"
frame_mount = "3 1/2, 16, -10 in"
panel_mount = "8, 16, -1 in"

# ---- what it goes through ----

[[condition]]
name = "frost"        # last winter
temperature = "-4 degF"

# the end
"""


@pytest.fixture
def van(tmp_path: Path) -> Path:
    path = tmp_path / "van.toml"
    path.write_text(COMMENTED, encoding="utf-8")
    return path


def test_nothing_changed_nothing_rewritten(van: Path) -> None:
    write_door(read_door(van), van)
    assert van.read_text(encoding="utf-8") == COMMENTED


def test_only_the_changed_value_is_rewritten_in_its_unit(van: Path) -> None:
    door = read_door(van)
    moved = replace(door.struts[0], panel_mount=parse_point("8 1/4, -16, -1 in"))
    heavier = replace(door.panel, mass=parse_quantity("26 lb", "mass"))
    door = replace(door, panel=heavier, struts=(moved, door.struts[1]))
    write_door(door, van)
    wanted = COMMENTED.replace('"25 1/2 lb"', '"26 lb"')
    wanted = wanted.replace('"8, -16, -1 in"', '"8.25, -16, -1 in"')
    assert van.read_text(encoding="utf-8") == wanted
    assert read_door(van) == door


def test_added_values_stand_at_the_end_of_their_table_in_the_units_of_the_file(van: Path) -> None:
    door = read_door(van)
    door = replace(
        door,
        hinge_height=60 * 0.0254,
        panel=replace(door.panel, width=0.9144),
        conditions=(*door.conditions, Condition(name="July", temperature=333.15)),
        limits=replace(door.limits, hand_closing=80.0),
    )
    write_door(door, van)
    wanted = COMMENTED
    wanted = wanted.replace("on the plate\n", 'on the plate\nhinge_height = "60 in"\n')
    wanted = wanted.replace("-1 in'\n", '-1 in\'\nwidth = "36 in"\n')
    wanted = wanted.replace("# the end\n", "")
    text = van.read_text(encoding="utf-8")
    assert text.startswith(wanted.rstrip("\n") + "\n")
    assert text.endswith("# the end\n")
    assert '\n[[condition]]\nname = "July"\ntemperature = "140 degF"\n' in text
    assert '\n[limits]\nhand_closing = "80 N"\n' in text
    assert read_door(van) == door


def test_a_value_that_is_no_longer_stated_loses_its_line(van: Path) -> None:
    door = read_door(van)
    write_door(replace(door, panel=replace(door.panel, width=0.9)), van)
    write_door(door, van)
    assert van.read_text(encoding="utf-8") == COMMENTED


def test_struts_dropped_and_turned_round_take_their_comments_along(van: Path) -> None:
    door = read_door(van)
    write_door(replace(door, struts=door.struts[1:]), van)
    text = van.read_text(encoding="utf-8")
    assert "# the right one\n[[strut]]" in text
    assert "# the left one" not in text
    assert "# ---- what it goes through ----" in text
    van.write_text(COMMENTED, encoding="utf-8")
    write_door(replace(door, struts=door.struts[::-1]), van)
    text = van.read_text(encoding="utf-8")
    assert text.index("# the right one\n[[strut]]") < text.index(
        "# the left one, bent once\n[[strut]]"
    )
    assert len(text) == len(COMMENTED)


def test_a_comment_between_two_tables_without_blank_lines_is_of_the_second(van: Path) -> None:
    van.write_text(re.sub(r"\n\n+", "\n", COMMENTED), encoding="utf-8")
    door = read_door(van)
    write_door(replace(door, struts=door.struts[1:]), van)
    text = van.read_text(encoding="utf-8")
    assert "# the right one\n[[strut]]" in text
    assert "# the left one" not in text


def test_a_renamed_strut_keeps_its_table(van: Path) -> None:
    door = read_door(van)
    first = door.struts[0]
    renamed = replace(first, strut=replace(first.strut, name="left, new"))
    write_door(replace(door, struts=(renamed, door.struts[1])), van)
    wanted = COMMENTED.replace('name = "left"', 'name = "left, new"')
    assert van.read_text(encoding="utf-8") == wanted


def test_like_another_file(van: Path, tmp_path: Path) -> None:
    door = replace(read_door(van), name="Copy")
    write_door(door, tmp_path / "copy.toml", like=van)
    assert (tmp_path / "copy.toml").read_text(encoding="utf-8") == COMMENTED.replace(
        '"Van"  ', '"Copy"  '
    )
    assert van.read_text(encoding="utf-8") == COMMENTED


INLINE = """\
format = 1
name = "Inline"
panel = { mass = "9 kg", centre_of_gravity = "300, 0, 0 mm", handle = "600, 0, 0 mm" } # short
hinge = { first = "0, 0, 0 mm", second = "0, 1, 0 m", opens_toward = "up", stop_angle = "70 deg" }
strut = [
  { name = "a", rating = "200 N", extended_length = "400 mm", stroke = "150 mm", frame_mount = "90, 0, -300 mm", panel_mount = "200, 0, -20 mm" }, # one
  { name = "b", rating = "200 N", extended_length = "400 mm", stroke = "150 mm", frame_mount = "90, 900, -300 mm", panel_mount = "200, 900, -20 mm" },
]
"""  # noqa: E501


def test_inline_tables_are_kept_where_they_can_be(tmp_path: Path) -> None:
    path = tmp_path / "inline.toml"
    path.write_text(INLINE, encoding="utf-8")
    door = read_door(path)
    first = replace(
        door.struts[0], strut=replace(door.struts[0].strut, rating=210.0, tolerance=9.0)
    )
    heavier = replace(door.panel, mass=9.5, width=0.8)
    door = replace(door, panel=heavier, struts=(first, door.struts[1]), hinge_height=1.5)
    write_door(door, path)
    assert read_door(path) == door
    text = path.read_text(encoding="utf-8")
    assert 'panel = { mass = "9.5 kg", ' in text
    assert "# short" in text
    assert '{ name = "a", rating = "210 N", ' in text
    assert "# one" in text
    fewer = replace(door, struts=door.struts[1:])
    write_door(fewer, path)
    assert read_door(path) == fewer
    assert "[[strut]]" in path.read_text(encoding="utf-8")


@given(names(), names())
def test_names_are_written_literally(first: str, second: str) -> None:
    door = parse_door(SAMPLE)
    door = replace(door, name=first, panel=replace(door.panel, name=second))
    assert parse_door(door_text(door)) == door
    raw = tomllib.loads(door_text(door))
    assert (raw["name"], raw["panel"].get("name", "panel")) == (first, second)


@pytest.mark.parametrize("name", door_names())
def test_shipped_doors_read_back_equal(name: str, tmp_path: Path) -> None:
    door = read_door(door_path(name))
    write_door(door, tmp_path / "new.toml")
    assert read_door(tmp_path / "new.toml") == door
    moved = replace(door, name="moved", hinge=replace(door.hinge, friction_moment=1.5))
    write_door(moved, tmp_path / "moved.toml", like=door_path(name))
    assert read_door(tmp_path / "moved.toml") == moved


posix_only = pytest.mark.skipif(
    os.name != "posix", reason="pipes, links, permission bits and kills as POSIX systems have them"
)

# Files -------------------------------------------------------------------------------------------


def test_a_file_over_a_megabyte_is_refused_unread(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "big.toml"
    path.write_text(SAMPLE + "#" * 1_000_000, encoding="utf-8")
    monkeypatch.setattr(Path, "open", _refuse_to_open)
    with pytest.raises(FileFault, match=r"big\.toml has 1 MB, and a door file of at most 1 MB is"):
        read_door(path)


def _refuse_to_open(*_: object, **__: object) -> None:
    raise AssertionError("opened")


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (SAMPLE.encode("utf-16"), "is saved as UTF-16. Save it as UTF-8 in your editor."),
        (SAMPLE.replace("Tool", "Tür").encode("latin-1"), "line 2: byte 0xfc is not UTF-8."),
        (b"\x89PNG\r\n\x1a\n", "line 1: byte 0x89 is not UTF-8."),
        (b"", "has 4 faults:"),
    ],
    ids=["UTF-16", "Latin 1", "picture", "empty"],
)
def test_files_that_are_no_text(tmp_path: Path, data: bytes, message: str) -> None:
    path = tmp_path / "odd.toml"
    path.write_bytes(data)
    with pytest.raises(FileFault, match=re.escape(message)):
        read_door(path)


def test_paths_that_hold_no_file(tmp_path: Path) -> None:
    with pytest.raises(FileFault, match=r"There is no file none\.toml in .*\. Check the name\."):
        read_door(tmp_path / "none.toml")
    with pytest.raises(FileFault, match=r"is a folder\. Give the door file in it\."):
        read_door(tmp_path)
    with pytest.raises(FileFault, match=r"cannot be read: embedded null byte\."):
        read_door("a\0b")


@posix_only
def test_devices_and_pipes_do_not_hang_the_reader(tmp_path: Path) -> None:
    with pytest.raises(FileFault, match=r"null is a device or pipe\. Give a door file\."):
        read_door("/dev/null")
    os.mkfifo(tmp_path / "pipe.toml")
    with pytest.raises(FileFault, match=r"pipe\.toml is a device or pipe"):
        read_door(tmp_path / "pipe.toml")


@posix_only
def test_the_file_keeps_its_permissions_and_leaves_nothing_beside_it(van: Path) -> None:
    van.chmod(0o640)
    write_door(replace(read_door(van), name="new"), van)
    assert stat.S_IMODE(van.stat().st_mode) == 0o640
    assert [path.name for path in van.parent.iterdir()] == ["van.toml"]


@posix_only
def test_a_new_file_has_the_usual_permissions(tmp_path: Path) -> None:
    (tmp_path / "usual").write_text("", encoding="utf-8")
    write_door(parse_door(SAMPLE), tmp_path / "new.toml")
    usual = (tmp_path / "usual").stat().st_mode
    assert (tmp_path / "new.toml").stat().st_mode == usual


def test_places_where_nothing_can_be_saved(van: Path, tmp_path: Path) -> None:
    door = parse_door(SAMPLE)
    with pytest.raises(SaveError, match=r"x\.toml cannot be saved: there is no folder .*none\."):
        write_door(door, tmp_path / "none" / "x.toml")
    with pytest.raises(SaveError, match=r"is a folder\. Give the name of a file\."):
        write_door(door, tmp_path)
    with pytest.raises(SaveError, match=r"cannot be saved in .*: embedded null byte"):
        write_door(door, tmp_path / "a\0b")
    van.chmod(0o444)
    with pytest.raises(SaveError, match=r"van\.toml is read-only\."):
        write_door(door, van)
    assert van.read_text(encoding="utf-8") == COMMENTED


@posix_only
def test_links_and_devices_are_not_saved_to(van: Path, tmp_path: Path) -> None:
    door = parse_door(SAMPLE)
    link = tmp_path / "link.toml"
    link.symlink_to(van)
    with pytest.raises(SaveError, match=r"link\.toml is a link to .*van\.toml\. Save to that file"):
        write_door(door, link)
    assert link.is_symlink()
    dangling = tmp_path / "dangling.toml"
    dangling.symlink_to(tmp_path / "nowhere")
    with pytest.raises(SaveError, match=r"dangling\.toml is a link to"):
        write_door(door, dangling)
    with pytest.raises(SaveError, match=r"null is a device or pipe\. Give the name of a file\."):
        write_door(door, "/dev/null")
    assert van.read_text(encoding="utf-8") == COMMENTED


@pytest.mark.parametrize("text", ["not a door", 'format = 2\nname = "newer"\n', SAMPLE + "x = 1\n"])
def test_a_file_that_is_no_door_file_is_left_as_it_is(tmp_path: Path, text: str) -> None:
    path = tmp_path / "notes.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(SaveError, match=r"notes\.toml is left as it is, since it is no door file"):
        write_door(parse_door(SAMPLE), path)
    assert path.read_text(encoding="utf-8") == text
    with pytest.raises(FileFault, match=r"notes\.toml"):
        write_door(parse_door(SAMPLE), tmp_path / "new.toml", like=path)
    assert not (tmp_path / "new.toml").exists()


def test_a_door_that_would_not_read_back_is_not_saved(van: Path) -> None:
    door = read_door(van)
    many = tuple(Condition(name=f"condition {n}") for n in range(201))
    with pytest.raises(SaveError, match=r"van\.toml is not saved, for it would not read back: "):
        write_door(replace(door, conditions=many), van)
    assert van.read_text(encoding="utf-8") == COMMENTED


STEPS: dict[str, tuple[object, str]] = {
    "open": (Path, "open"),
    "flush": (os, "fsync"),
    "permissions": (Path, "chmod"),
    "put in place": (Path, "replace"),
}


@pytest.mark.parametrize("fault", [OSError(28, "No space left on device"), KeyboardInterrupt()])
@pytest.mark.parametrize("step", STEPS)
def test_a_fault_at_any_step_leaves_the_old_file_whole(
    van: Path, monkeypatch: pytest.MonkeyPatch, step: str, fault: BaseException
) -> None:
    door = replace(read_door(van), name="new")
    text = door_text(door)
    owner, name = STEPS[step]
    monkeypatch.setattr(owner, name, _raiser(fault))
    raised = SaveError if isinstance(fault, OSError) else KeyboardInterrupt
    with pytest.raises(raised, match=r"no space left on device|^$"):
        text_files.save_text(text, van)
    monkeypatch.undo()
    assert van.read_text(encoding="utf-8") == COMMENTED
    assert [path.name for path in van.parent.iterdir()] == ["van.toml"]


def _raiser(fault: BaseException) -> Callable[..., None]:
    def fail(*_: object, **__: object) -> None:
        raise fault

    return fail


KILLED = """
import os, signal, sys
from pathlib import Path
from strutkit.describe.doorfile import read_door, write_door
from strutkit.describe import text_files
from dataclasses import replace

step, path = sys.argv[1], Path(sys.argv[2])
def die(*_, **__):
    os.kill(os.getpid(), signal.SIGKILL)
door = replace(read_door(path), name="new")
if step == "half written":
    def half(data, temporary, mode):
        with temporary.open("xb") as file:
            file.write(data[: len(data) // 2])
            file.flush()
            die()
    text_files._write_through = half
elif step == "flush":
    os.fsync = die
elif step == "put in place":
    Path.replace = die
write_door(door, path)
die()
"""


@posix_only
@pytest.mark.parametrize("step", ["half written", "flush", "put in place", "done"])
def test_a_kill_at_any_step_leaves_a_whole_file(van: Path, step: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", KILLED, step, str(van)], capture_output=True, check=False
    )
    assert done.returncode == -9, done.stderr.decode()
    assert read_door(van).name == ("new" if step == "done" else "Van")
    if step != "done":
        assert van.read_text(encoding="utf-8") == COMMENTED


def test_a_door_file_never_chooses_a_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    door = replace(parse_door(SAMPLE), name="../../escape.toml")
    write_door(door, "here.toml")
    assert [path.name for path in tmp_path.iterdir()] == ["here.toml"]
    assert read_door("here.toml") == door


def test_every_fault_is_of_the_kits_kind() -> None:
    with pytest.raises(StrutkitError):
        parse_door("")
    with pytest.raises(ValueError, match="faults"):
        parse_door("")
    assert json.dumps(str(FileFault("x"))) == '"x"'
