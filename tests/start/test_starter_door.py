"""Starter doors: what was typed is what stands there, what was not is listed, starts are honest."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from strutkit import Door, check, starter_door, suggest_start, sweep
from strutkit.decide.start import suggesting
from strutkit.decide.start.answers import outcome
from strutkit.decide.start.fitting import fitting_words
from strutkit.decide.start.kinds import KINDS
from strutkit.decide.start.measured import door_answers
from strutkit.decide.start.suggesting import _first_that_holds
from strutkit.decide.starters import PRACTICE
from strutkit.describe.doorfile import door_text, parse_door
from strutkit.describe.numbers import LengthUnit
from strutkit.describe.records import Zone
from strutkit.errors import RecordError
from strutkit.live.edit import edited
from tests.start.starts import STOCK, known, start, untold

BOLTED = (*((kind, 2, 0.9) for kind in KINDS), ("lid", 1, 0.5), ("drop_flap", 1, 0.5))
"""Kind, how many struts, and how long a door."""


@pytest.mark.parametrize("kind", KINDS)
def test_places_are_where_the_tape_found_them(kind: str) -> None:
    """Distances from the hinge line, by Pythagoras from what was typed."""
    door = known(kind)
    radius, edge = 0.006, 0.9 - 0.006
    assert door.hinge_distance(door.stop) == pytest.approx(math.hypot(edge, radius), abs=2e-5)
    assert door.hinge_distance(door.panel.handle) == pytest.approx(
        math.hypot(0.97 * 0.9, radius), abs=2e-5
    )
    centre = door.hinge_distance(door.panel.centre_of_gravity)
    assert centre == pytest.approx(math.hypot(0.45, radius + 0.015), abs=2e-5)
    assert math.dist(door.hinge.first, door.hinge.second) == pytest.approx(0.99, abs=2e-5)
    assert door.panel.mass == pytest.approx(11.0 * 0.81, abs=1e-3)


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_known_but_the_length_is_listed_as_assumed(kind: str) -> None:
    door = starter_door(kind, length=0.7)
    text = " ".join(door.assumed)
    for subject in ("thickness", "knuckle", "width", "handle", "mass", "centre of", "stop angle"):
        assert subject in text
    assert text.count("common practice") >= 5
    listed = next(one for one in check(door) if one.name == "assumed_values")
    assert listed.state == "assumed"
    assert "panel mass" in listed.words
    assert set(door.assumed) <= set(sweep(door).assumptions)


@pytest.mark.parametrize("kind", KINDS)
def test_door_file_reads_back_equal_with_what_is_assumed(kind: str) -> None:
    for door in (starter_door(kind, length=0.7), start(kind).door):
        assert parse_door(door_text(door)) == door
        assert door.assumed


@pytest.mark.parametrize("kind", [name for name, one in KINDS.items() if one.leans])
@pytest.mark.parametrize("lean", [0.12, -0.08])
def test_a_leaning_panel_stands_out_by_what_was_measured(kind: str, lean: float) -> None:
    door = known(kind, lean=lean)
    foot, end = door.panel.section  # type: ignore[misc]
    assert end[0] - foot[0] == pytest.approx(lean, abs=2e-5)
    assert math.dist(foot, end) == pytest.approx(0.894, abs=2e-5)


def test_a_sloping_hinge_line_rises_to_the_right_by_what_was_measured() -> None:
    door = known("canted_side_door", rise=0.05, lean=0.1)
    assert door.hinge.second[2] - door.hinge.first[2] == pytest.approx(0.05, abs=2e-5)
    along = np.array(door.panel.section[1]) - np.array(door.panel.section[0])  # type: ignore[index]
    assert abs(along @ np.array(door.hinge_direction)) < 2e-5


def test_starter_values_are_there_and_marked() -> None:
    door = starter_door("lid", length=0.7)
    assert len(door.conditions) >= 7
    assert all(PRACTICE in one.name for one in door.conditions)
    assert door.limits.hand_closing == 120.0
    hung = start("lid").door
    names = [one.name for one in hung.conditions]
    assert [name for name in names if "lost" in name] == [
        "left lost (common practice)",
        "right lost (common practice)",
    ]


@pytest.mark.parametrize(("kind", "count", "length"), BOLTED)
def test_a_start_passes_the_check(kind: str, count: int, length: float) -> None:
    suggestion = start(kind, count, length)
    assert suggestion.fits
    assert len(suggestion.door.fitted) == count
    assert suggestion.holds
    assert all(one.ok is not False for one in check(suggestion.door))
    assert "every rule that is judged holds" in suggestion.words


def off_the_section(door: Door, place: tuple[float, float, float]) -> tuple[float, float, float]:
    """(along, inward of the outer face, to the right of the middle) [m], by the panel's own axes
    as vectors: a second route beside the one that the suggestion uses."""
    foot, end = (np.array(one) for one in door.panel.section or ())
    axis = np.array(door.hinge_direction)
    along = (end - foot) / np.linalg.norm(end - foot)
    inward = np.cross(along, axis)
    arm = np.array(place) - np.array(door.middle)
    return float(arm @ along), float((np.array(place) - foot) @ inward), float(arm @ axis)


@pytest.mark.parametrize(("kind", "count", "length"), BOLTED)
def test_a_start_can_be_bolted_on_as_it_stands(kind: str, count: int, length: float) -> None:
    """Balls within the door's ends, at most 30 mm off the face, on the post, box side or wall
    beside it, and the strut within 10 to 40 mm of its full length at the end where it is longest
    (common practice): fitted without pushing it in."""
    suggestion = start(kind, count, length)
    door = suggestion.door
    thickness, half = door.panel.thickness, (door.panel.width or 0.0) / 2.0
    along, inward, aside = off_the_section(door, door.struts[0].panel_mount)
    assert 0.0 < along < length
    off = -inward if kind == "drop_flap" else inward - thickness
    assert 0.009 <= off <= 0.0315
    assert abs(aside) <= half - 0.025
    fixed, deep, fixed_aside = off_the_section(door, door.struts[0].frame_mount)
    assert fixed_aside == pytest.approx(aside, abs=1e-3)
    if kind == "drop_flap":
        assert -length < fixed < 0.0
        assert 0.009 <= -deep <= 0.0315
    else:
        assert 0.0 < fixed < length
        assert -0.001 <= deep - thickness <= (0.46 * length if kind == "lid" else 0.0615)
    swept, strut = sweep(door), door.struts[0].strut
    left = strut.extended_length - float(swept.strut_length.max())
    assert 0.010 <= left <= 0.0405
    ends = swept.strut_length[0, 0], swept.strut_length[0, -1]
    assert (ends[0] > ends[1]) == (kind == "drop_flap")
    where, held = ("shut", "locked") if kind == "drop_flap" else ("open", "propped")
    assert suggestion.fitting[3].startswith(f"Fit it with the door {where} and {held}")
    assert "bracket" not in " ".join(suggestion.fitting[:4])


def test_a_start_that_wants_a_bracket_or_a_push_says_so() -> None:
    """By hand: 52 mm behind a 30 mm door is over the 30 mm of a common bracket; a strut of 465 mm
    that is 365 mm when open is 100 mm short of its full length."""
    door = start("rear_hatch").door
    fitted = door.struts[0]
    _, y, z = fitted.panel_mount
    face = -0.006 - door.panel.thickness
    far = replace(door, struts=(replace(fitted, panel_mount=(face - 0.052, y, z)),))
    words = fitting_words(far, KINDS["rear_hatch"])
    assert words[1].endswith("52 mm off the inner face, which wants a bracket of that height.")
    deep = replace(door, struts=(replace(fitted, frame_mount=(face - 0.15, y, -0.6)),))
    assert "wants a bracket that reaches there" in fitting_words(deep, KINDS["rear_hatch"])[2]
    longer = replace(fitted.strut, extended_length=fitted.strut.extended_length + 0.1)
    loose = replace(door, struts=(replace(fitted, strut=longer),))
    assert "it must be pushed in against" in fitting_words(loose, KINDS["rear_hatch"])[3]
    assert "2 3/64" in fitting_words(far, KINDS["rear_hatch"], "in")[1]


def test_label_data_of_the_generic_list_are_listed_until_a_label_is_read() -> None:
    door = untold("lid").door
    assert [one for one in door.assumed if one.startswith("strut label")]
    own = [replace(one, name=f"own {one.name}") for one in STOCK[::6]]
    assert not [
        one for one in suggest_start(known("lid"), stock=own).door.assumed if "label" in one
    ]
    edit = {"do": "set", "part": "strut:0", "field": "rating", "text": "321 N"}
    assert not [one for one in edited(door, edit).assumed if "label" in one]
    bare = edited(door, {"do": "remove", "part": "strut:0"})
    assert not [one for one in bare.assumed if "label" in one]


@pytest.mark.parametrize("kind", KINDS)
def test_an_everyday_door_that_tells_its_kind_itself_gets_a_start_that_holds(kind: str) -> None:
    assert untold(kind).holds


@settings(max_examples=5, phases=[Phase.generate])  # to shrink one takes minutes
@given(
    kind=st.sampled_from(sorted(KINDS)),
    length=st.floats(0.2, 2.5),
    thickness=st.floats(0.0, 0.12),
    area_mass=st.floats(3.0, 60.0),
    centre=st.floats(0.2, 0.9),
    stop=st.floats(20.0, 170.0),
    count=st.sampled_from((1, 2)),
)
def test_any_panel_gets_no_exception_and_no_strut_out_of_travel(
    kind: str,
    length: float,
    thickness: float,
    area_mass: float,
    centre: float,
    stop: float,
    count: int,
) -> None:
    door = starter_door(
        kind,
        length=length,
        thickness=thickness,
        width=length,
        mass=area_mass * length * length,
        centre_of_gravity=centre * length,
        stop_angle=math.radians(stop),
    )
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(suggesting, "TRIALS", 2)
        suggestion = suggest_start(door, stock=STOCK, count=count)
    swept = sweep(suggestion.door)
    assert swept.end_of_travel == pytest.approx(math.radians(stop))
    for fitted, lengths in zip(suggestion.door.fitted, swept.strut_length, strict=True):
        strut = fitted.strut
        assert lengths.min() > strut.extended_length - strut.stroke
        assert lengths.max() < strut.extended_length
    failing = [one for one in suggestion.findings if one.ok is False]
    if suggestion.fits and failing:
        assert failing[0].words in suggestion.words
    if suggestion.fits and not failing and not suggestion.holds:
        told = ("this one touches or nearly does", "cannot be fitted by hand")
        assert any(words in suggestion.words for words in told)
    else:
        assert suggestion.holds == (suggestion.fits and not failing)


def test_marked_flanges_are_kept_to() -> None:
    door = known("rear_hatch")
    y = -0.45
    frame = ((-0.14, y, -0.62), (-0.04, y, -0.62), (-0.04, y, -0.30), (-0.14, y, -0.30))
    panel = ((-0.06, y, -0.26), (-0.04, y, -0.26), (-0.04, y, -0.08), (-0.06, y, -0.08))
    zones = (Zone(part="frame", corners=frame), Zone(part="panel", corners=panel))
    hung = suggest_start(replace(door, zones=zones), stock=STOCK).door
    assert hung.struts
    for place, (low, high) in (
        (hung.struts[0].frame_mount, ((-0.14, -0.62), (-0.04, -0.30))),
        (hung.struts[0].panel_mount, ((-0.06, -0.26), (-0.04, -0.08))),
    ):
        assert low[0] - 1e-5 <= place[0] <= high[0] + 1e-5
        assert low[1] - 1e-5 <= place[2] <= high[1] + 1e-5
        assert place[1] == pytest.approx(y, abs=1e-5)


def test_nothing_that_fits_is_said_and_leaves_the_door_alone() -> None:
    short = [one for one in STOCK if one.extended_length < 0.2]
    suggestion = suggest_start(known("rear_hatch", 2.2), stock=short[:1])
    assert not suggestion.fits
    assert suggestion.door.struts == ()
    assert "has the length and the stroke for these places" in suggestion.words


def test_the_same_door_gets_the_same_start() -> None:
    assert suggest_start(known("lid"), stock=STOCK, kind="lid").door == start("lid").door


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"length": 0.0}, "length is 0 mm; write over 0 mm and at most 10000 mm"),
        ({"length": 50.0}, "length is 50000 mm"),
        ({"length": 0.02, "knuckle_diameter": 0.2}, "must reach at least 20 mm from its pin"),
        ({"thickness": -0.01}, "thickness is -10 mm; write from 0 mm"),
        ({"knuckle_diameter": 0.9}, "knuckle diameter is 900 mm"),
        ({"handle": 3.0}, "handle is 3000 mm"),
        ({"mass": 5000.0}, "mass is 5000 kg"),
        ({"centre_of_gravity": 2.0}, "centre of gravity is 2000 mm"),
        ({"pull": 500.0}, "The pull and the centre of gravity say .* kg, the weight says"),
        ({"pull": 500.0, "centre_of_gravity": None}, "Pull and weight together put the centre"),
        ({"pull": -3.0}, "the pull is -3 N; it must be over 0 N"),
    ],
)
def test_absurd_sizes_are_refused_in_words(changes: dict[str, float], words: str) -> None:
    with pytest.raises(RecordError, match=words):
        known("rear_hatch", **changes)  # type: ignore[arg-type]


def test_lean_and_rise_beyond_the_panel_are_refused() -> None:
    with pytest.raises(RecordError, match="lean is 900 mm"):
        known("rear_hatch", lean=0.9)
    with pytest.raises(RecordError, match="rise is 900 mm"):
        known("canted_side_door", rise=0.9)


def test_an_unknown_kind_and_a_bad_count_are_refused() -> None:
    with pytest.raises(RecordError, match="kind is 'door'; write one of side_door, lid"):
        starter_door("door", length=1.0)
    with pytest.raises(RecordError, match="count is 3; write 1, or 2"):
        suggest_start(known("lid"), stock=STOCK, count=3)
    with pytest.raises(RecordError, match="The stock list is empty"):
        suggest_start(known("lid"), stock=())


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("kind", KINDS)
def test_a_door_goes_back_into_the_boxes_that_made_it(kind: str, unit: LengthUnit) -> None:
    shape = KINDS[kind]
    door = known(kind, lean=0.07 if shape.leans else None, rise=0.04 if shape.slopes else None)
    found, answers = door_answers(door, kind=kind, unit=unit)
    assert found == kind
    again = outcome(found, answers, unit=unit).door
    assert again is not None
    for first, second in (
        (door.panel.centre_of_gravity, again.panel.centre_of_gravity),
        (door.panel.handle, again.panel.handle),
        (door.stop, again.stop),
        (door.hinge.first, again.hinge.first),
    ):
        assert math.dist(first, second) < 3e-5
    assert again.panel.mass == pytest.approx(door.panel.mass, abs=1e-3)
    assert again.hinge.stop_angle == pytest.approx(door.hinge.stop_angle, abs=1e-6)


def test_what_was_not_known_is_not_known_when_it_comes_back() -> None:
    door = starter_door("lid", length=0.8, pull=50.0)
    _, answers = door_answers(door)
    assert answers["thickness"].unknown
    assert answers["width"].unknown
    assert not answers["length"].unknown
    assert answers["length"].text == "800 mm"


def test_a_door_too_heavy_for_one_hand_names_the_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    """25 kg at 0.7 m are 120 N or so at the free edge of 1.4 m: struts that lift it in frost
    cannot be pushed shut in heat within the limit."""
    monkeypatch.setattr(suggesting, "TRIALS", 2)
    suggestion = suggest_start(known("lid", 1.4, mass=25.0), stock=STOCK[::4], kind="lid")
    failing = [one for one in check(suggestion.door) if one.ok is False]
    assert failing
    assert suggestion.fits
    assert not suggestion.holds
    assert "comes nearest and does not hold every rule" in suggestion.words
    assert failing[0].words in suggestion.words


def test_a_start_that_breaks_a_rule_is_passed_over() -> None:
    found = start("lid")
    assert found.holds
    seen = []
    taken = _first_that_holds(iter((replace(found, holds=False), found)), seen)
    assert taken is not None
    assert taken.holds
    assert len(seen) == 2
