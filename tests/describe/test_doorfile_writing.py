"""Door files written: they read back equal, and only what differs is rewritten."""

import hashlib
import re
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from strutkit.data import door_names, door_path
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
from tests.describe.door_texts import (
    COMMENTED,
    SAMPLE,
    changed,
    full_doors,
    names,
    written_text,
)


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
@settings(max_examples=12)
def test_a_door_reads_back_equal(door: Door) -> None:
    text = door_text(door)
    assert parse_door(text) == door
    assert door_text(parse_door(text)) == text


@given(full_doors(), full_doors(), st.integers(0, 2**32 - 1), st.booleans())
@settings(
    max_examples=16,
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


def test_a_strut_that_is_changed_and_moved_keeps_its_table(van: Path) -> None:
    door = read_door(van)
    left, right = door.struts
    stronger = replace(left, strut=replace(left.strut, rating=parse_quantity("60 lbf", "force")))
    write_door(replace(door, struts=(right, stronger)), van)
    text = van.read_text(encoding="utf-8")
    assert 'rating = "60 lbf"     # from the label' in text
    assert text.index('name = "right"') < text.index('name = "left"')


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
@settings(max_examples=40)
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
