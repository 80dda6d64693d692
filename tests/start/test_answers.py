"""The form without a page: what each box says, and how far the door goes."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from strutkit.decide.start.answers import Answer, outcome
from strutkit.decide.start.kinds import KINDS, find_kind
from strutkit.decide.start.questions import opening_angle, questions, read_pull
from strutkit.describe.numbers import LengthUnit
from strutkit.errors import RecordError
from tests.texts import texts

UNKNOWN = Answer(unknown=True)
TYPED = ("", " ", "6 1/2", "12,5 mm", "-3 m", "nan mm", "1e400 mm", "40 kg", "9**9**9 mm", "0 mm")


def answered(kind: str, **texts: str) -> dict[str, Answer]:
    names = [one.name for one in questions(find_kind(kind))]
    return {name: Answer(text=texts[name]) if name in texts else UNKNOWN for name in names} | {
        name: Answer(text=text) for name, text in texts.items()
    }


def test_the_example_of_the_rear_hatch() -> None:
    """A pull of 75 N at 952 mm holds a mass half-way out: by hand 75 · 0.952 / (g · 0.476)."""
    found = outcome(
        "rear_hatch",
        answered("rear_hatch", length="958 mm", pull="75 N", hinge_height="6 1/2"),
    )
    assert found.boxes["hinge_height"].state == "fault"
    assert "Write 6 1/2 ft, 78 in or 1981 mm" in found.boxes["hinge_height"].words
    assert found.boxes["centre_of_gravity"].state == "assumed"
    assert "half-way out" in found.boxes["centre_of_gravity"].words
    assert found.words == "1 of 11 to put right"
    assert not found.ready
    assert found.door is not None
    assert found.door.panel.mass == pytest.approx(150.0 / 9.80665, abs=1e-3)


@pytest.mark.parametrize("kind", KINDS)
def test_an_empty_form_says_what_is_to_fill_in(kind: str) -> None:
    found = outcome(kind, {})
    count = len(questions(find_kind(kind)))
    assert found.words == f"{count} of {count} still to fill in"
    assert found.door is None
    assert not found.ready


@settings(max_examples=60)
@given(data=st.data(), kind=st.sampled_from(sorted(KINDS)))
def test_nothing_that_can_be_typed_raises(data: st.DataObject, kind: str) -> None:
    text = st.one_of(
        st.sampled_from(TYPED),
        texts(max_size=12),
        st.builds(
            "{:g} {}".format, st.floats(-1e4, 1e4), st.sampled_from(("mm", "in", "N", "deg"))
        ),
    )
    names = [one.name for one in questions(find_kind(kind))]
    extras = ["second_pull", "second_angle", "strut_mass", "strut_place"]
    answers = {
        name: data.draw(st.builds(Answer, text=text, unknown=st.booleans()))
        for name in (*names, *extras)
    }
    lumps = data.draw(st.lists(st.tuples(text, text), max_size=2))
    found = outcome(kind, answers, lumps=lumps)
    assert set(names) <= set(found.boxes)
    for box in found.boxes.values():
        assert box.state in ("blank", "fault", "given", "assumed", "follows", "left out")
        assert (box.state == "fault") <= bool(box.words)
    assert found.ready <= (found.door is not None)


@pytest.mark.parametrize(
    ("unit", "name", "text", "written"),
    [
        ("mm", "width", "620", "620 mm"),
        ("mm", "mass", "8.5", "8.5 kg"),
        ("mm", "lean", "-12", "-12 mm"),
        ("in", "width", "30", "30 in"),
        ("in", "handle", "24 1/2", "24 1/2 in"),
        ("in", "thickness", "1 ¼", "1 1/4 in"),
        ("in", "mass", "18", "18 lb"),
    ],
)
def test_a_bare_number_is_in_the_unit_shown(
    unit: LengthUnit, name: str, text: str, written: str
) -> None:
    bare = outcome("rear_hatch", answered("rear_hatch", length="720 mm", **{name: text}), unit=unit)
    full = outcome("rear_hatch", answered("rear_hatch", length="720 mm", **{name: written}))
    assert bare.boxes[name].state == "given"
    assert bare.door is not None
    assert bare.door == full.door


@pytest.mark.parametrize(
    ("name", "text", "choices"),
    [
        ("width", "24 1/2", "24 1/2 in or 622.3 mm"),
        ("width", "6 1/2", "6 1/2 ft, 78 in or 1981 mm"),
        ("pull", "45", "45 kg, 45 lb, 45 N or 45 lbf"),
        ("stop_angle", "95", "95 deg, 95 mm or 95 in"),
    ],
)
def test_a_bare_number_that_may_be_two_things_is_asked_for(
    name: str, text: str, choices: str
) -> None:
    found = outcome("lid", answered("lid", length="720 mm", **{name: text}))
    assert found.boxes[name].words == f"{text} has no unit. Write {choices}."


def test_a_size_that_hardly_any_door_has_is_asked_about() -> None:
    found = outcome("lid", answered("lid", length="720", width="36", hinge_height="6"))
    assert found.boxes["width"].words == "36 mm is very little: check the unit."
    assert found.boxes["hinge_height"].words == "6 mm is very little: check the unit."
    assert found.boxes["length"].words == ""


def test_a_door_lighter_than_paper_and_a_slip_further_down_are_said() -> None:
    """0.142 kg on 0.5 m by 0.9 m, less the knuckle: 0.3 kg for a square metre."""
    texts = {"length": "506", "width": "900", "mass": "5 oz", "strut_mass": "9000"}
    found = outcome("lid", answered("lid", **texts))
    assert "0.3 kg for a square metre: hardly so" in found.boxes["mass"].words
    assert found.words == "All 10 filled in, 1 to put right in the boxes below"
    assert not found.ready


def test_a_handle_beyond_the_free_edge_is_said_beside_its_box() -> None:
    found = outcome("lid", answered("lid", length="706 mm", handle="760 mm", mass="8 kg"))
    assert found.boxes["handle"].state == "given"
    assert found.boxes["handle"].words.startswith("Beyond the free edge, which is at 700 mm: ")
    assert found.ready
    inside = outcome("lid", answered("lid", length="706 mm", handle="700 mm", mass="8 kg"))
    assert inside.boxes["handle"].words == ""


def flange(side: str, near: str, far: str, low: str, high: str) -> dict[str, str]:
    ends = (("near", near), ("far", far), ("low", low), ("high", high))
    return {f"{side}_{end}": text for end, text in ends if text}


@pytest.mark.parametrize(
    ("kind", "side", "corner"),
    [
        # By hand, pin 6 mm outside the outer face, door 30 mm thick, struts 30 mm inside its end.
        ("side_door", "panel", (-0.046, -0.47, -0.1)),
        ("side_door", "frame", (-0.046, -0.47, -0.1)),
        ("lid", "frame", (0.1, -0.47, -0.046)),
        ("drop_flap", "panel", (0.004, -0.47, 0.1)),
        ("drop_flap", "frame", (0.004, -0.47, -0.1)),
    ],
)
def test_flanges_lie_where_the_tape_found_them(
    kind: str, side: str, corner: tuple[float, float, float]
) -> None:
    answers = answered(
        kind, length="806 mm", width="1 m", **flange(side, "100 mm", "300 mm", "10 mm", "40 mm")
    )
    door = outcome(kind, answers).door
    assert door is not None
    (zone,) = door.zones
    assert zone.part == side
    assert zone.corners[0] == pytest.approx(corner, abs=2e-5)
    assert math.dist(zone.corners[0], zone.corners[1]) == pytest.approx(0.2, abs=2e-5)
    assert math.dist(zone.corners[1], zone.corners[2]) == pytest.approx(0.03, abs=2e-5)


@pytest.mark.parametrize(
    ("typed", "box", "words"),
    [
        (flange("panel", "100 mm", "", "10 mm", "40 mm"), "panel_far", "a flange has all four"),
        (flange("panel", "100 mm", "90 mm", "1 mm", "40 mm"), "panel_far", "more than 100 mm"),
        (flange("panel", "100 mm", "900 mm", "1 mm", "40 mm"), "panel_far", "door ends at 800 mm"),
        (flange("frame", "1 mm", "9 mm", "-1 mm", "40 mm"), "frame_low", "from 0 and at most"),
        (flange("frame", "1/2", "9 m", "1 mm", "40 mm"), "frame_near", "1/2 has no unit"),
    ],
)
def test_flanges_that_cannot_be_are_said_beside_their_box(
    typed: dict[str, str], box: str, words: str
) -> None:
    found = outcome("lid", answered("lid", length="806 mm", **typed))
    assert found.boxes[box].state == "fault"
    assert words in found.boxes[box].words
    assert found.door is not None
    assert not found.ready


def test_lumps_and_half_of_each_strut_hang_on_the_panel() -> None:
    """By hand: 8 kg at 400 mm, 2 kg at 650 mm, two halves of 0.5 kg at 100 mm: 10.5 kg."""
    answers = answered(
        "lid",
        length="806 mm",
        knuckle_diameter="12 mm",
        mass="8 kg",
        centre_of_gravity="400 mm",
        strut_mass="0.5 kg",
        strut_place="100 mm",
    )
    door = outcome("lid", answers, lumps=[("2 kg", "650 mm"), ("", "")], count=2).door
    assert door is not None
    assert door.panel.mass == pytest.approx(10.5)
    along = (8.0 * 0.4 + 2.0 * 0.65 + 0.5 * 0.1) / 10.5
    assert door.panel.centre_of_gravity[0] == pytest.approx(along, abs=1e-5)


@pytest.mark.parametrize(
    ("extras", "box", "words"),
    [
        ({"second_pull": "60 N"}, "second_angle", "Write at which angle above level"),
        ({"second_angle": "40 deg"}, "second_pull", "Write what the scale shows there"),
        ({"strut_mass": "0.5 kg"}, "strut_place", "how far its mount is from the hinge line"),
        ({"strut_place": "100 mm"}, "strut_mass", "what one strut weighs"),
        ({"strut_mass": "-1 kg", "strut_place": "1 mm"}, "strut_mass", "over 0 and at most 1000"),
    ],
)
def test_half_an_extra_asks_for_the_other_half(
    extras: dict[str, str], box: str, words: str
) -> None:
    found = outcome("lid", answered("lid", length="800 mm", pull="60 N", **extras))
    assert found.boxes[box].state == "fault"
    assert words in found.boxes[box].words
    assert found.door is not None


@given(
    kind=st.sampled_from(sorted(KINDS)),
    length=st.floats(0.3, 2.0),
    radius=st.floats(0.0, 0.02),
    lean=st.floats(-0.2, 0.2),
    opens=st.floats(15.0, 85.0),
)
def test_height_of_the_free_edge_gives_the_angle_that_the_door_then_has(
    kind: str, length: float, radius: float, lean: float, opens: float
) -> None:
    """Second route: the door turned by that angle (Rodrigues) has its stop at that height.

    A door that leans in hangs lowest only some way open, and its edge is as high twice: not there.
    """
    shape = KINDS[kind]
    assume(math.radians(opens - 5.0) > -math.asin(min(lean, 0.0) / length))
    out = lean if shape.leans else 0.0
    rise = 0.05 if shape.slopes else 0.0
    answers = answered(
        kind,
        length=f"{length + radius:.9f} m",
        knuckle_diameter=f"{2 * radius:.9f} m",
        width="1 m",
        mass="8 kg",
        stop_angle=f"{opens:.9f} deg",
        lean=f"{out:.9f} m",
        rise=f"{rise} m",
    )
    door = outcome(kind, answers).door
    assert door is not None
    x, y, z = (a - b for a, b in zip(door.stop, door.middle, strict=True))
    k, angle = door.hinge_direction, door.hinge.stop_angle
    dot = k[0] * x + k[1] * y + k[2] * z
    cross = k[0] * y - k[1] * x
    height = z * math.cos(angle) + cross * math.sin(angle) + k[2] * dot * (1 - math.cos(angle))
    back = opening_angle(shape, height, length, radius, out, rise, 1.0)
    assert back == pytest.approx(angle, abs=2e-3)


@pytest.mark.parametrize(
    ("text", "force"), [("10 kg", 98.0665), ("75 N", 75.0), ("1 lbf", 4.4482216)]
)
def test_a_luggage_scale_reads_newtons_or_kilograms(text: str, force: float) -> None:
    """1 lbf = 4.4482216 N: NIST SP 811, table B.8 (from memory)."""
    assert read_pull(text) == pytest.approx(force, rel=1e-7)


@pytest.mark.parametrize(
    ("height", "words"),
    [(0.9, "at most 800 mm from the hinge line"), (-0.7999, "That is an opening of 1°|of 0°|of -")],
)
def test_an_edge_that_does_not_reach_is_refused(height: float, words: str) -> None:
    with pytest.raises(RecordError, match=words):
        opening_angle(KINDS["side_door"], height, 0.8, 0.0, 0.0, 0.0, 1.0)
