"""The bench in Python: design, undo, and messages answered without a page."""

import math
import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from traitlets import TraitError

from strutkit import (
    Condition,
    Door,
    Limits,
    StrutkitError,
    bench,
    check,
    rating_window,
    sweep,
    verdict,
)
from strutkit.data import door_path
from strutkit.describe.doorfile import door_text, read_door
from strutkit.errors import FileFault
from strutkit.live import answers, messages, page_files
from strutkit.live import bench as bench_module
from strutkit.live.scene import edited, scene
from strutkit.live.still import still_html
from tests.doors import bottoming_once_lost, short_of_the_stop
from tests.live.asking import Page, edit
from tests.live.conftest import DOORS

REAR = DOORS / "rear-hatch.toml"
MAP = {"kind": "map", "mount": "panel"}
FINE = {"fine": True}
TYPED = {"mount": "panel", "axis": 0, "sense": -1, "text": "30", "unit": "mm"}


@pytest.fixture
def page(rear_hatch: Door, monkeypatch: pytest.MonkeyPatch) -> Page:
    return Page(bench(rear_hatch), monkeypatch)


def test_a_drag_is_answered_and_changes_nothing(page: Page, rear_hatch: Door) -> None:
    answer = page.ask("curves", edit=edit(frame=[-90.0, -720.0, -610.0]), condition="nominal")
    door = replace(
        rear_hatch, struts=(replace(rear_hatch.struts[0], frame_mount=(-0.09, -0.61, -0.72)),)
    )
    (data,) = page.buffers
    first = np.frombuffer(data, "<f4", count=answer["layout"][0][2])
    np.testing.assert_allclose(first, sweep(door).angle, rtol=1e-6)
    assert "verdict" not in answer
    assert page.widget.door == rear_hatch
    assert page.widget.state["undo"] is False


def test_findings_come_with_a_drag_where_asked(page: Page) -> None:
    answer = page.ask("judge", edit=edit(rating=400.0), place=0, window=True)
    alone = page.ask("judge", edit=edit(rating=400.0), place=0)["verdict"]
    assert alone == {key: one for key, one in answer["verdict"].items() if key != "window"}
    findings = check(edited(page.widget.door, edit(rating=400.0)))
    assert answer["verdict"]["count"] == verdict(findings)
    shown = [(one["state"], one["words"]) for one in answer["verdict"]["findings"]]
    once = [one for one in findings if one.name != "fault_1"]
    told = [one.words.replace("the left strut lost", "either strut lost") for one in once]
    assert shown == list(zip([one.state for one in once], told, strict=True))
    assert sum("either strut lost" in words for words in told) == 1
    window = answer["verdict"]["window"]
    expected = rating_window(edited(page.widget.door, edit(rating=400.0)))
    assert (window["low"], window["high"]) == (expected.low[0], expected.high[0])


def test_a_door_without_limits_is_said_to_have_none(page: Page) -> None:
    """Published bounds are judged all the same."""
    door = page.widget.door
    assert page.ask("judge", place=0)["verdict"]["judged"] is True
    for limits, judged in ((Limits(reserve_span=0.1), False), (Limits(latch=60.0), True)):
        page.widget.door = replace(door, limits=limits)
        told = page.ask("judge", place=0)["verdict"]
        assert told["judged"] is judged
        assert any(one["state"] == "passes" for one in told["findings"])


def test_findings_follow_the_curves_that_name_a_place(page: Page) -> None:
    """Two answers to one message, the curves first; a faulty edit is said by both."""
    asked = {"client": "page", "seq": 7, "edit": edit(rating=400.0), "condition": "nominal"}
    messages.receive(page.widget, {**asked, "kind": "curves", "place": 0}, [])
    (curves, data), (judge, none) = page.answers
    assert [one["kind"] for one in (curves, judge)] == ["curves", "judge"]
    assert [one["seq"] for one in (curves, judge)] == [7, 7]
    assert (len(data), len(none)) == (1, 0)
    assert judge["verdict"] == page.ask("judge", edit=edit(rating=400.0), place=0)["verdict"]
    page.answers.clear()
    nowhere = {**asked, "edit": edit(place=9), "kind": "curves", "place": 0}
    messages.receive(page.widget, nowhere, [])
    assert all("fault" in answer for answer, _ in page.answers)
    assert len(page.answers) == 2


def test_an_empty_message_is_not_answered(page: Page) -> None:
    messages.receive(page.widget, {"client": "page", "seq": 1, "kind": "nudge"}, [])
    assert page.answers == []


def unlike_pair(door: Door) -> Door:
    """The pair as two struts of their own, one of them weaker."""
    pair = door.struts[0]
    right = replace(
        pair,
        strut=replace(pair.strut, name="right", rating=350.0),
        frame_mount=door.fitted[1].frame_mount,
        panel_mount=door.fitted[1].panel_mount,
        mirrored=False,
    )
    return replace(door, struts=(replace(pair, mirrored=False), right))


@pytest.mark.parametrize("place", [0, 1])
def test_what_the_window_says_is_what_a_new_rating_does(rear_hatch: Door, place: int) -> None:
    """Of two unlike struts a drag changes one: just inside each edge its rule passes, just
    outside it fails, the other strut as it is."""
    door = unlike_pair(rear_hatch)
    window = answers.verdict(door, (), place)["window"]
    assert window["of"] == f"{door.struts[place].strut.name} alone, the others stay"
    assert answers.verdict(rear_hatch, (), 0)["window"]["of"] == "at these mounts"
    names = list(rating_window(door).rules)
    turned = 0
    for name, bar in zip(names, window["rules"], strict=True):
        for rating, outward in ((bar["low"], -1.0), (bar["high"], 1.0)):
            if bar["empty"] or not rating:
                continue
            inside, outside = (
                {
                    one.name: one.ok
                    for one in check(edited(door, {"place": place, "rating": rating + step}))
                }[name]
                for step in (-0.05 * outward, 0.05 * outward)
            )
            assert (inside, outside) == (True, False), (name, rating)
            turned += 1
    assert turned >= 2


def test_the_window_names_what_no_rating_changes(rear_hatch: Door) -> None:
    """Stroke kept is no rule of the window, nor what is judged beside the limits; where it fails
    the window says so."""
    kept = replace(rear_hatch.limits, travel_compressed=0.001, travel_extended=0.001)
    window = answers.verdict(replace(rear_hatch, limits=kept), (), 0)["window"]
    judged = "gas to spare, rod buckling, charge pressure"
    assert window["unlooked"] == (
        f"Not looked at here: stroke kept pushed in, stroke kept extended, {judged}."
    )
    assert window["unmended"] == ""
    short = replace(kept, travel_compressed=0.2)
    window = answers.verdict(replace(rear_hatch, limits=short), (), 0)["window"]
    assert window["unlooked"] == f"Not looked at here: stroke kept extended, {judged}."
    assert window["unmended"] == "Fails at every rating: stroke kept pushed in."


def test_the_window_names_what_fails_beside_its_rules() -> None:
    """Every failure that `check` gives stands as a bar or in the words of the window."""
    door = read_door(door_path("rear-hatch"))
    limits = replace(door.limits, lift_off=None, reserve_force=None)
    seen = []
    for rating, rod in ((200.0, 0.010), (400.0, 0.003), (400.0, 0.010)):
        own = replace(door.struts[0].strut, rating=rating, rod_diameter=rod)
        tried = replace(door, struts=(replace(door.struts[0], strut=own),), limits=limits)
        fails = [one.name for one in check(tried) if one.ok is False]
        window = answers.verdict(tried, (), 0)["window"]
        assert window["range"] != ""
        words = [one.replace("_", " ") for one in fails if not hasattr(limits, one)]
        assert window["beside"] == (
            f"Fails now beside these rules: {', '.join(words)}." if words else ""
        )
        seen.append(sorted(words))
    assert seen == [["gas to spare"], ["charge pressure", "rod buckling"], []]


def test_lost_struts_that_differ_are_told_one_by_one(rear_hatch: Door) -> None:
    """One of a mirrored pair is looked at with a heavier panel as well: its own figures."""
    heavier = Condition(name="right one lost, snow on it", missing=1, mass_factor=1.5)
    door = replace(rear_hatch, conditions=(*rear_hatch.conditions, heavier))
    names = [one["name"] for one in answers.verdict(door, (), 0)["findings"]]
    assert {"fault_0", "fault_1"} <= set(names)


def test_lost_twins_are_told_once_with_a_figure_of_another_condition(rear_hatch: Door) -> None:
    """Level, in frost and in midsummer, for either strut of the pair: alike but for the names."""
    kinds = {
        "level": {},
        "frost": {"temperature": 253.15, "ageing": 0.8},
        "midsummer": {"temperature": 333.15, "rating_tolerance": 1.0},
    }
    lost = [
        Condition(name=f"{side} lost, {kind}", missing=index, **changes)
        for index, side in enumerate(("left", "right"))
        for kind, changes in kinds.items()
    ]
    door = replace(rear_hatch, conditions=tuple(lost))
    told = [one for one in answers.verdict(door, (), 0)["findings"] if "lost" in one["words"]]
    assert len(told) == 1
    assert told[0]["words"].startswith("With either strut lost it falls shut from fully open;")
    assert told[0]["words"].endswith(" N (in left lost, midsummer).")
    assert told[0]["condition"] == "left lost, frost"
    heavier = replace(lost[-1], mass_factor=1.2)
    apart = replace(door, conditions=(*lost[:-1], heavier))
    names = [one["name"] for one in answers.verdict(apart, (), 0)["findings"]]
    assert {"fault_0", "fault_1"} <= set(names)


@pytest.mark.parametrize("kind", ["curves", "commit"])
def test_a_place_that_does_not_fit_is_a_fault_and_changes_nothing(
    page: Page, rear_hatch: Door, kind: str
) -> None:
    answer = page.ask(kind, edit=edit(frame=[-88.0, -900.0, -610.0]))
    assert "too short when shut" in answer["fault"]
    assert page.widget.door == rear_hatch


def test_a_failure_of_the_kit_is_said_and_raised(
    page: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: Any) -> None:
        raise ZeroDivisionError("by zero")

    monkeypatch.setitem(messages.HANDLERS, "judge", fail)
    with pytest.raises(ZeroDivisionError):
        page.ask("judge", place=0)
    assert page.answers[-1][0]["fault"] == (
        "The kit failed: ZeroDivisionError, by zero. Nothing is lost."
    )


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("curves", {}),
        ("curves", {"edit": "left"}),
        ("commit", {"edit": {"place": -1}}),
        ("commit", {"edit": {"place": True}}),
        ("commit", {"edit": {"place": 0, "panel": [1.0, 2.0]}}),
        ("commit", {"edit": {"place": 0, "panel": None}}),
        ("commit", {"edit": {"place": 0, "frame": [1.0, 2.0, float("inf")]}}),
        ("commit", {"edit": {"place": 0, "frame": [1.0, 2.0, 10**400]}}),
        ("commit", {"edit": {"place": 0, "rating": None}}),
        ("commit", {"edit": None, "earlier": [{"place": 9}, 3]}),
        ("sheet", {"path": "a\ud800b"}),
        ("open", {"path": "a\ud800b"}),
        ("commit", {"edit": {"place": 0, "stock": -1}}),
        ("commit", {"edit": {"place": 0, "stock": 2.7}}),
        ("commit", {"edit": {"place": 0, "stock": 10**6}}),
        ("judge", {"place": "a"}),
        ("compare", {"place": None}),
        ("map", {"place": 1.5}),
        ("commit", {"edit": {"place": 0, "typed": None}}),
        ("commit", {"edit": {"place": 0, "typed": {**TYPED, "by": None}}}),
        ("commit", {"edit": {"place": 0, "typed": {**TYPED, "by": float("nan")}}}),
        ("commit", {"edit": {"place": 0, "typed": {"axis": 3, "sense": 1, "mount": "panel"}}}),
        ("commit", {"edit": {"place": 0, "typed": {"axis": 0, "sense": 9e9, "mount": "panel"}}}),
        ("commit", {"edit": {"place": 0, "typed": {**TYPED, "mount": ["panel"]}}}),
        ("commit", {"edit": {"place": 0, "typed": {**TYPED, "text": "1e308 m"}}}),
        ("commit", {"edit": {"place": 7, "typed": TYPED}}),
        ("commit", {"edit": {"place": 0, "strut": "another", "typed": TYPED}}),
        ("back", {"edit": {"place": 0, "frame": [1.0]}}),
        ("take", {}),
    ],
)
def test_what_no_page_sends_is_a_fault_and_changes_nothing(
    page: Page, rear_hatch: Door, kind: str, body: dict[str, Any]
) -> None:
    fault = page.ask(kind, **body)["fault"]
    assert "The kit failed" not in fault
    assert page.widget.door == rear_hatch


def test_a_strut_that_is_no_longer_in_its_place_is_not_moved(page: Page, rear_hatch: Door) -> None:
    asked = edit(strut="left", rating=450.0)
    other = replace(rear_hatch.struts[0].strut, name="another")
    page.widget.door = replace(rear_hatch, struts=(replace(rear_hatch.struts[0], strut=other),))
    assert "no longer in its place: 'another' is" in page.ask("commit", edit=asked)["fault"]
    page.ask("undo")
    assert page.ask("commit", edit=asked)["changed"] is True


@pytest.mark.parametrize("asked", [{"kind": "no such"}, {}, None, "curves", {"kind": ["curves"]}])
def test_a_message_of_another_kind_is_left_alone(page: Page, asked: Any) -> None:
    messages.receive(page.widget, asked, [])
    assert page.answers == []


def test_the_door_is_set_from_a_cell(page: Page, rear_hatch: Door) -> None:
    page.widget.door = replace(rear_hatch, name="Other")
    assert page.ask("scene")["scene"]["name"] == "Other"
    assert page.ask("state")["state"]["undo"] is True
    with pytest.raises(TypeError, match="door is str; give a Door"):
        page.widget.door = "rear-hatch.toml"  # type: ignore[assignment]


def test_a_design_set_as_text_becomes_the_door(page: Page, rear_hatch: Door) -> None:
    page.widget.design = door_text(replace(rear_hatch, name="From text"))
    assert page.widget.door.name == "From text"
    former = page.widget.design
    for text in ("format = 1", "garbage", ""):
        with pytest.raises(FileFault, match="The design"):
            page.widget.design = text
        assert page.widget.door.name == "From text"
        assert page.widget.design == former


def test_a_door_that_cannot_be_swept_is_shown_with_its_fault(
    rear_hatch: Door, monkeypatch: pytest.MonkeyPatch
) -> None:
    broken = replace(
        rear_hatch, struts=(replace(rear_hatch.struts[0], frame_mount=(-0.09, -0.61, -1.2)),)
    )
    page = Page(bench(broken), monkeypatch)
    answer = page.ask("scene")
    assert "too short when shut" in answer["fault"]
    assert answer["scene"]["name"] == rear_hatch.name
    assert page.ask("judge", place=0)["verdict"]["findings"][0]["state"] == "fails"


def test_sentences_follow_the_unit_shown(page: Page) -> None:
    def said() -> str:
        found = page.ask("judge", place=0)["verdict"]["findings"]
        return " ".join(one["words"] for one in found)

    def rules() -> str:
        return str(page.ask("map", place=0, mount="panel")["figures"]["rules"])

    assert " mm of stroke" in said()
    assert " mm travel open" in rules()
    page.widget.unit = "inch"
    assert "″ of stroke" in said()
    assert " mm" not in said()
    fault = page.ask("curves", edit=edit(frame=[-90.0, -1000.0, -610.0]))["fault"]
    assert "″ too short when shut" in fault
    assert "″ travel open" in rules()
    assert "″" in still_html(page.widget.door, "in")


@pytest.mark.parametrize("asked", [{"kind": "judge"}, {"kind": "compare"}, MAP, MAP | FINE])
def test_what_was_answered_before_is_answered_for_the_door_as_it_stands(
    page: Page, asked: dict[str, Any]
) -> None:
    def answered() -> tuple[Any, list[bytes]]:
        answer = page.ask(**asked, place=0)
        return {key: one for key, one in answer.items() if key != "seq"}, page.buffers

    first = answered()
    page.ask("commit", edit=edit(panel=[-30.0, -120.0, -610.0], rating=450.0))
    assert answered() != first
    page.ask("undo")
    assert answered() == first


def test_messages_from_two_threads_do_not_mix(page: Page) -> None:
    def work(rating: float) -> None:
        for _ in range(5):
            messages.receive(
                page.widget,
                {"client": rating, "seq": 1, "kind": "commit", "edit": edit(rating=rating)},
                [],
            )

    threads = [threading.Thread(target=work, args=(rating,)) for rating in (410.0, 420.0)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert len(page.answers) == 10
    assert not any("fault" in answer for answer, _ in page.answers)
    assert page.widget.design == door_text(page.widget.door)


def test_every_file_of_the_page_is_in_the_module() -> None:
    folder = Path(page_files.__file__).parent / "page"
    assert sorted(page_files.MODULES) == sorted(path.name for path in folder.glob("*.js"))
    text = page_files.module()
    assert text.count("export default") == 1
    assert "innerHTML" not in text
    assert "http://" not in text.replace("http://www.w3.org/2000/svg", "")
    assert "https://" not in text


def test_a_missing_file_is_a_fault_of_the_kit() -> None:
    with pytest.raises(StrutkitError, match="There is no file"):
        bench("no-such-door.toml")


def test_an_angle_that_is_no_number_is_refused_and_the_former_kept(rear_hatch: Door) -> None:
    widget = bench(rear_hatch)
    widget.angle = 0.5
    for wrong in (math.nan, math.inf, -math.inf):
        with pytest.raises(TraitError, match="write a finite opening angle in radians"):
            widget.angle = wrong
        assert widget.angle == 0.5
    with pytest.raises(TraitError, match="write a finite opening angle"):
        bench_module.Bench(rear_hatch, angle=math.nan)


@pytest.mark.parametrize(("asked", "share"), [(-5.0, 0.0), (1e300, 1.0), (0.3, None)])
def test_an_angle_outside_the_travel_is_brought_into_it(
    rear_hatch: Door, asked: float, share: float | None
) -> None:
    widget = bench(rear_hatch)
    widget.angle = asked
    end = sweep(rear_hatch).end_of_travel
    assert widget.angle == (asked if share is None else share * end)


def test_a_shorter_travel_takes_the_angle_along() -> None:
    """A travel that ends sooner by another place of the mount, and one by the condition shown."""
    whole, short = read_door(door_path("rear-hatch")), short_of_the_stop()
    widget = bench(whole)
    widget.angle = 10.0
    assert widget.angle == whole.hinge.stop_angle
    widget.door = short
    assert widget.angle == sweep(short).end_of_travel < whole.hinge.stop_angle
    first = replace(short.struts[0], mirrored=False)
    longer = replace(first.strut, name="long", extended_length=first.strut.extended_length + 0.02)
    lost = Condition(name="first lost", missing=0)
    widget.door = replace(short, struts=(first, replace(first, strut=longer)), conditions=(lost,))
    widget.condition = "first lost"
    widget.angle = 10.0
    assert widget.angle == sweep(widget.door, condition="first lost").end_of_travel
    widget.condition = "nominal"
    assert widget.angle == sweep(widget.door).end_of_travel == sweep(short).end_of_travel


@pytest.mark.parametrize("angle", [0.0, 10.0])
def test_a_door_that_is_opened_is_first_seen_partly_open(rear_hatch: Door, angle: float) -> None:
    """As in a view of its own, whatever angle the door before was at; Undo stays within travel."""
    widget = bench(rear_hatch)
    widget.angle = angle
    roof = door_path("roof-hatch")
    alone = bench(read_door(roof)).angle
    assert 0.2 < alone / read_door(roof).hinge.stop_angle < 0.8
    widget.open_example("roof-hatch")
    assert widget.angle == alone
    widget.undo()
    assert 0.0 <= widget.angle <= rear_hatch.hinge.stop_angle
    widget.angle = angle
    widget.open_door(roof)
    assert widget.angle == alone


def test_a_condition_that_the_door_does_not_have_is_refused(rear_hatch: Door) -> None:
    widget = bench(rear_hatch)
    widget.condition = "July, strong struts"
    with pytest.raises(TraitError, match="no condition 'no such'; write one of 'nominal', 'frost"):
        widget.condition = "no such"
    assert widget.condition == "July, strong struts"
    widget.condition = "the right strut lost"
    widget.condition = "July, strong struts"
    widget.door = replace(rear_hatch, conditions=())
    assert widget.condition == "nominal"


@pytest.mark.parametrize("own", [(), (Condition(name="gas all gone", missing=1),)])
def test_a_strut_that_bottoms_out_with_another_lost_leaves_the_door_as_it_is(
    own: tuple[Condition, ...],
) -> None:
    """The verdict opens with how far it opens, as the curves do; the condition that cannot be swept
    is said, not offered to be shown."""
    door = replace(bottoming_once_lost(), conditions=own)
    name = own[0].name if own else "strut end lost"
    told = answers.verdict(door, (), 0)
    assert told["short"] == "opens only to 60°, the stop is at 120°"
    first = told["findings"][0]
    assert first["subject"] == name
    assert first["where"] == f"{name}, at 120°"
    assert first["words"].startswith("With strut end lost, strut 'other' would be 114 mm too long")
    assert (first["condition"], first["angle"]) == (None, None)
    assert name in told["window"]["beside"]
    names = [one["name"] for one in scene(door)["conditions"]]
    assert name not in names
    assert {"nominal", "strut other lost"} <= set(names)
    assert {one["condition"] for one in told["findings"]} <= {None, *names}
    for shown in (*names, name):
        figures = answers.curves(door, shown)[0]["figures"]
        assert figures["condition"] == (shown if shown in names else "nominal")
        assert figures["end"] == pytest.approx(np.radians(60.0))
