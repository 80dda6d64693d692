"""Editing by forms: a door and an edit in, a door out; what does not change stays as it was."""

import math
from dataclasses import fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from strutkit import Door, check, read_door, read_stock, starter_door, suggest_start
from strutkit.data import door_names, door_path, stock_path
from strutkit.errors import RecordError, StrutkitError
from strutkit.live.edit import ACTIONS, edited, measured_since, parts

STOCK = read_stock(stock_path())


@pytest.fixture(scope="module")
def door() -> Door:
    return suggest_start(starter_door("lid", length=0.7, mass=8.0), stock=STOCK).door


def set_to(door: Door, part: str, field: str, text: str) -> Door:
    return edited(door, {"do": "set", "part": part, "field": field, "text": text})


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("name", door_names())
def test_what_a_box_shows_is_what_the_door_holds(name: str, unit: str) -> None:
    """Typing into every box what it shows changes nothing."""
    door = read_door(door_path(name))
    again = door
    for part in parts(door, unit):  # type: ignore[arg-type]
        for field in part["fields"]:
            again = set_to(again, part["id"], field["name"], field["text"])
    assert again == door


def test_every_field_has_a_box(door: Door) -> None:
    shown = {(part["id"], field["name"]) for part in parts(door) for field in part["fields"]}
    for part, record in (("panel", door.panel), ("hinge", door.hinge), ("limits", door.limits)):
        for field in fields(record):
            assert (part, field.name) in shown
    for field in (*fields(door.struts[0].strut), *fields(door.struts[0])):
        assert field.name == "strut" or ("strut:0", field.name) in shown


def test_a_measured_value_is_no_longer_assumed(door: Door) -> None:
    heavier = set_to(door, "panel", "thickness", "3/4 in")
    assert heavier.panel.thickness == pytest.approx(0.01905)
    assert any("panel thickness" in one for one in door.assumed)
    assert not any("panel thickness" in one for one in heavier.assumed)
    assert measured_since(door, replace(heavier, assumed=door.assumed)) == heavier
    assert measured_since(door, door) == door


def test_turning_end_for_end_swaps_the_rod_and_nothing_else(door: Door) -> None:
    turned = edited(door, {"do": "turn", "part": "strut:0"})
    assert turned.struts[0].rod_end != door.struts[0].rod_end
    assert replace(turned.struts[0], rod_at=door.struts[0].rod_at) == door.struts[0]


def test_pair_single_and_two_unlike(door: Door) -> None:
    single = edited(door, {"do": "single", "part": "strut:0"})
    assert len(single.fitted) == 1
    assert [one.name for one in single.conditions if "lost" in one.name] == [
        "left lost (common practice)"
    ]
    pair = edited(single, {"do": "pair", "part": "strut:0"})
    assert pair.fitted == door.fitted
    unlike = edited(door, {"do": "unlike", "part": "strut:0"})
    assert [one.strut.name for one in unlike.struts] == ["left", "right"]
    for first, second in zip(unlike.fitted, door.fitted, strict=True):
        assert first.frame_mount == second.frame_mount
        assert first.panel_mount == second.panel_mount
    forces = [{f.name: f.value for f in check(one) if f.ok} for one in (unlike, door)]
    for name, value in forces[0].items():
        assert value == pytest.approx(forces[1][name], rel=1e-9), name


def test_struts_are_added_exchanged_and_removed(door: Door) -> None:
    added = edited(door, {"do": "add strut", "row": 3, "pair": False}, STOCK)
    assert len(added.fitted) == 3
    assert added.struts[1].strut.order_code == STOCK[3].name
    swapped = edited(door, {"do": "exchange", "part": "strut:0", "row": 9}, STOCK)
    assert swapped.struts[0].strut.name == "left"
    assert swapped.struts[0].strut.rating == STOCK[9].rating
    assert edited(added, {"do": "remove", "part": "strut:1"}).fitted == door.fitted
    bare = edited(door, {"do": "remove", "part": "strut:0"})
    assert bare.struts == ()
    assert not any(one.missing is not None for one in bare.conditions)
    hung = edited(bare, {"do": "add strut", "row": 40, "pair": True}, STOCK)
    assert len(hung.fitted) == 2
    reach = math.dist(hung.struts[0].frame_mount, hung.struts[0].panel_mount)
    label = hung.struts[0].strut
    assert label.extended_length - label.stroke < reach < label.extended_length


def test_conditions_zones_and_starters(door: Door) -> None:
    bare = door
    for _ in door.conditions:
        bare = edited(bare, {"do": "remove", "part": "condition:0"})
    assert bare.conditions == ()
    own = edited(bare, {"do": "add condition"})
    own = set_to(own, "condition:0", "temperature", "-10 degC")
    assert own.conditions[0].temperature == pytest.approx(263.15)
    back = edited(set_to(own, "limits", "hand_closing", "50 N"), {"do": "starters"})
    assert back.conditions == (own.conditions[0], *door.conditions)
    assert back.limits == door.limits
    for side in ("frame", "panel"):
        zoned = edited(door, {"do": "add zone", "side": side})
        assert zoned.zones[0].part == side
        assert edited(zoned, {"do": "remove", "part": "zone:0"}) == door


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        ({"do": "explode"}, "There is no edit 'explode'"),
        ({"do": "remove", "part": "panel"}, "A door keeps its panel"),
        ({"do": "remove", "part": "strut:7"}, "'strut:7' is not there"),
        ({"do": "set", "part": "roof", "field": "x", "text": ""}, "no part 'roof'"),
        ({"do": "set", "part": "panel", "field": "x", "text": ""}, "panel has no 'x'"),
        ({"do": "set", "part": "panel", "field": "mass", "text": "9"}, "9 has no unit"),
        ({"do": "add strut", "row": 10**6}, "The stock list has .* rows; choose one"),
        ({"do": "turn", "part": "panel"}, "Choose a strut first"),
        ({"do": "unlike", "part": "panel"}, "Only a mirrored pair"),
    ],
)
def test_edits_that_cannot_be_are_said(door: Door, edit: dict[str, object], words: str) -> None:
    with pytest.raises(RecordError if "unit" not in words else StrutkitError, match=words):
        edited(door, edit, STOCK)


@given(
    do=st.sampled_from((*ACTIONS, "", "?")),
    part=st.sampled_from(
        ("panel", "hinge", "strut:0", "strut:x", "condition:2", "zone:0", "", ":")
    ),
    field=st.sampled_from(("mass", "name", "handle", "rating", "mirrored", "section", "")),
    text=st.one_of(st.text(max_size=20), st.sampled_from(("1 kg", "0, 0, 0 mm", "yes", "900 mm"))),
    row=st.one_of(st.integers(-2, 300), st.none(), st.text(max_size=3)),
)
def test_no_edit_ends_in_anything_but_a_door_or_words(
    door: Door, do: str, part: str, field: str, text: str, row: object
) -> None:
    edit = {"do": do, "part": part, "field": field, "text": text, "row": row}
    try:
        words = edited(door, edit, STOCK).name
    except StrutkitError as fault:
        words = str(fault)
    assert words
