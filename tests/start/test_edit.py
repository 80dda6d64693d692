"""Editing by forms: a door and an edit in, a door out; what does not change stays as it was."""

import math
from dataclasses import fields, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from strutkit import Door, check, read_door, read_stock, starter_door, suggest_start
from strutkit.data import door_names, door_path, stock_path
from strutkit.errors import RecordError, StrutkitError
from strutkit.live.edit import ACTIONS, edited, measured_since
from strutkit.live.edit_form import groups, starters
from tests.texts import texts

STOCK = read_stock(stock_path())


@pytest.fixture(scope="module")
def door() -> Door:
    return suggest_start(starter_door("lid", length=0.7, mass=8.0), stock=STOCK).door


def fields_of(door: Door, unit: str = "mm") -> list[dict[str, Any]]:
    cards = [card for group in groups(door, unit) for card in group["cards"]]  # type: ignore[arg-type]
    return [field for card in cards for field in card["fields"]]


def set_to(door: Door, part: str, field: str, text: str) -> Door:
    return edited(door, {"do": "set", "part": part, "field": field, "text": text})


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("name", door_names())
def test_what_a_box_shows_is_what_the_door_holds(name: str, unit: str) -> None:
    """Typing into every box what it shows changes nothing."""
    door = read_door(door_path(name))
    again = door
    for field in fields_of(door, unit):
        edit = {"do": "set", "part": field["part"], "field": field["name"], "text": field["text"]}
        again = edited(again, edit | {"unit": unit})
    assert again == door


def test_every_field_has_a_box(door: Door) -> None:
    door = edited(door, {"do": "add zone", "side": "frame"})
    shown = {(field["part"], field["name"]) for field in fields_of(door)}
    for part, record in (("panel", door.panel), ("hinge", door.hinge), ("limits", door.limits)):
        for field in fields(record):
            assert (part, field.name) in shown
    for field in (*fields(door.struts[0].strut), *fields(door.struts[0])):
        assert field.name in ("strut", "mirrored") or ("strut:0", field.name) in shown
    for record in (door.zones, door.conditions):
        kind = "zone" if record is door.zones else "condition"
        for field in fields(record[0]):
            assert (f"{kind}:0", field.name) in shown


@pytest.mark.parametrize("name", door_names())
def test_words_are_plain_and_no_key_shows(name: str) -> None:
    """Labels, choices and titles are words for people; the key stands in the tooltip."""
    door = edited(read_door(door_path(name)), {"do": "add zone", "side": "panel"})
    every = groups(door)
    titles = [group["title"] for group in every]
    assert titles == [
        "Door", "Hinge", "Panel", "Struts", "Handles and stop", "Zones", "Tilt", "Conditions",
        "Limits",
    ]  # fmt: skip
    for field in fields_of(door):
        told = [field["label"], *(words for _, words in field["choices"])]
        assert not any("_" in one for one in told), told
        assert not {"frame", "panel"} & set(told)
        assert field["key"].endswith(field["name"])


def box(door: Door, part: str, name: str, unit: str = "mm") -> dict[str, Any]:
    found = [one for one in fields_of(door, unit) if (one["part"], one["name"]) == (part, name)]
    return found[0]


def test_boxes_show_inches_as_fractions_and_say_what_they_stand_for(door: Door) -> None:
    """1 in is 25.4 mm: 690 mm is 27 10.6/64 in, 694 mm is 27 20.7/64 in."""
    handle = box(door, "panel", "handle", "in")
    assert handle["text"] == "27 21/64, 0, -15/64 in"
    assert handle["note"] == "694, 0, -6 mm exactly"
    assert box(door, "panel", "handle")["note"] == ""
    exact = set_to(door, "panel", "thickness", "3/4 in")
    assert box(exact, "panel", "thickness", "in")["text"] == "3/4 in"
    assert box(exact, "panel", "thickness", "in")["note"] == ""


def test_a_bare_number_is_in_the_unit_shown(door: Door) -> None:
    edit = {"do": "set", "part": "panel", "field": "thickness", "text": "3/4", "unit": "in"}
    assert edited(door, edit).panel.thickness == pytest.approx(0.01905)
    millimetres = edited(door, edit | {"text": "19", "unit": "mm"})
    assert millimetres.panel.thickness == pytest.approx(0.019)
    point = edit | {"field": "handle", "text": "27, 0, -1/4"}
    assert edited(door, point).panel.handle == pytest.approx((0.6858, 0.0, -0.00635))
    mass = edit | {"field": "mass", "text": "9"}
    assert edited(door, mass).panel.mass == pytest.approx(9.0), "the box showed kg"
    opening = {"do": "set", "part": "limits", "field": "hand_opening", "text": "70", "unit": "mm"}
    assert edited(door, opening).limits.hand_opening == pytest.approx(70.0)
    with pytest.raises(StrutkitError, match="has no unit"):
        set_to(door, "panel", "thickness", "19")


def test_a_handle_beyond_the_free_edge_is_warned_of(door: Door) -> None:
    """The lid is 700 mm from its hinge line to the free edge, with a knuckle of 12 mm."""
    edge = max(point[0] for point in door.panel.section or ())
    far = set_to(door, "panel", "handle", f"{edge * 1e3 + 40:.6g}, 0, -6 mm")
    assert box(far, "panel", "handle")["note"] == "This lies 40 mm beyond the free edge."
    assert "beyond" in box(far, "panel", "handle", "in")["note"]
    assert "beyond" not in box(door, "panel", "handle")["note"]


def test_starter_conditions_are_switched_one_by_one(door: Door) -> None:
    every = starters(door)
    assert every
    assert all(one["on"] for one in every)
    name = every[0]["name"]
    without = edited(door, {"do": "starter", "name": name, "on": False})
    assert [one["on"] for one in starters(without)] == [False] + [True] * (len(every) - 1)
    again = edited(without, {"do": "starter", "name": name, "on": True})
    assert set(again.conditions) == set(door.conditions)


def test_starter_limits_are_marked_and_can_be_left_out(door: Door) -> None:
    closing = box(door, "limits", "hand_closing")
    assert closing["text"] == closing["starter"] == "120 N"
    assert closing["optional"]
    out = set_to(door, "limits", "hand_closing", "")
    assert out.limits.hand_closing is None
    assert box(out, "limits", "hand_closing")["starter"] == "120 N"


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
        ({"do": "starter", "name": "x", "on": True}, "There is no starter condition 'x'"),
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
    text=st.one_of(texts(max_size=20), st.sampled_from(("1 kg", "0, 0, 0 mm", "yes", "900 mm"))),
    row=st.one_of(st.integers(-2, 300), st.none(), texts(max_size=3)),
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
