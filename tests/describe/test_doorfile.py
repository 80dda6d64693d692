"""Door files read: every value, other spellings, every fault with its line and what to write."""

import re
import tomllib
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from strutkit.describe.door_layout import TABLES
from strutkit.describe.doorfile import (
    parse_door,
)
from strutkit.errors import FileFault
from tests.describe.door_texts import (
    SAMPLE,
    with_lines,
)
from tests.texts import texts


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
    "long list": SAMPLE.replace("0.80", "0.80\nstrut_ageing = [" + "1," * 120_000 + "]"),
    "long text": SAMPLE.replace("Tool-van", "x" * 900_000),
    "long section": SAMPLE.replace("120, -400, -30 mm; ", "120, -400, -30 mm; " * 40_000),
    "many struts": SAMPLE + "[[strut]]\n" * 90_000,
    "many conditions": SAMPLE + "[[condition]]\n" * 60_000,
    "many named conditions": SAMPLE + "".join(f'[[condition]]\nname="{n}"\n' for n in range(9000)),
    "many keys": "\n".join(f"k{n} = 1" for n in range(6_000)),
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


@given(texts(max_size=200))
@settings(max_examples=50)
def test_any_text_is_a_door_or_a_fault(text: str) -> None:
    with pytest.raises(FileFault):
        parse_door(text)


KEYS = [f"{table}.{key.name}" if table else key.name for table, ks in TABLES.items() for key in ks]
TOML_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**70), 2**70) | st.floats() | texts(max_size=20)
    | st.sampled_from(["1 mm", "0, 0, 1 mm", "-1 kg", "5 N", "5 deg", "up", "20 degC", "panel"]),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(texts(max_size=5), inner, max_size=2)
    ),
    max_leaves=6,
)  # fmt: skip


@given(
    st.sampled_from([table for table in TABLES if table]),
    st.dictionaries(
        st.sampled_from(sorted({key.name for keys in TABLES.values() for key in keys}))
        | texts(max_size=8),
        TOML_VALUES,
        max_size=6,
    ),
)
@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
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
