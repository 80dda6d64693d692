"""The live view in a page without a notebook: it draws what `sweep` computes, hands reach it."""

import math
import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import expect

from strutkit import Door, check, rating_window
from tests.live.conftest import Bench
from tests.live.drawn import (
    REAR,
    assert_drawn_as_swept,
    drag,
    given_again,
    moved,
    quick_drag,
    shown_place,
)

Opener = Callable[..., Bench]


@pytest.fixture(scope="module")
def bench(open_plain_bench: Opener) -> Bench:
    return open_plain_bench(REAR)


@pytest.fixture(autouse=True)
def fresh(bench: Bench) -> None:
    given_again(bench)


def test_first_drawing_is_the_sweep(bench: Bench, rear_hatch: Door) -> None:
    assert_drawn_as_swept(bench, rear_hatch)
    expect(bench.line).to_have_attribute("data-state", "fails")


def test_one_burst_of_keys_is_one_step_of_undo(bench: Bench) -> None:
    handle = bench.slider("left, mount on panel")
    handle.focus()
    for _ in range(5):
        bench.page.keyboard.press("ArrowDown")
    bench.at_rest()
    expect(handle).to_have_attribute("aria-valuetext", re.compile("113 mm down"))
    bench.button("Undo").click()
    bench.at_rest()
    expect(handle).to_have_attribute("aria-valuetext", re.compile("108 mm down"))
    bench.button("Redo").click()
    bench.at_rest()
    expect(handle).to_have_attribute("aria-valuetext", re.compile("113 mm down"))
    bench.button("Reset: back to the door as it was given").click()
    bench.at_rest()
    expect(handle).to_have_attribute("aria-valuetext", re.compile("108 mm down"))
    handle.focus()
    for _ in range(2):
        bench.page.keyboard.press("ArrowDown")
        bench.at_rest()
    expect(handle).to_have_attribute("aria-valuetext", re.compile("110 mm down"))
    bench.page.keyboard.press("Escape")
    bench.at_rest()
    expect(handle).to_have_attribute("aria-valuetext", re.compile("108 mm down"))
    assert bench.execute("print(w.door.struts[0].panel_mount[2])") == "-0.108\n"


def test_escape_takes_a_drag_back(bench: Bench, rear_hatch: Door) -> None:
    handle = bench.slider("left, mount on frame")
    drag(bench, handle, right=-6, down=-4)
    bench.page.keyboard.press("Escape")
    bench.page.mouse.up()
    bench.at_rest()
    expect(handle).to_have_attribute("aria-valuetext", "88 mm inward, 716 mm down, 610 mm left")
    assert_drawn_as_swept(bench, rear_hatch)


def test_escape_takes_a_drag_along_the_hinge_line_back(bench: Bench) -> None:
    handle = bench.slider("left, mount on panel")
    handle.focus()
    expect(bench.node.get_by_label("Mount", exact=True)).to_have_value("0 panel")
    before = shown_place(handle)
    along = bench.node.locator(".sk-along")
    drag(bench, along.locator(".sk-in-use").last, right=20, down=0)
    expect(handle).not_to_have_attribute("aria-valuetext", re.compile("610 mm left"))
    bench.page.keyboard.press("Escape")
    bench.page.mouse.up()
    bench.at_rest()
    assert shown_place(handle) == before


def test_alt_moves_without_snapping(bench: Bench) -> None:
    handle = bench.slider("left, mount on frame")
    bench.page.keyboard.down("Alt")
    drag(bench, handle, right=-3.3, down=-2.1)
    bench.page.keyboard.up("Alt")
    bench.page.mouse.up()
    bench.at_rest()
    assert any(value % 1.0 for value in shown_place(handle)[:2])


def test_a_place_that_does_not_fit_keeps_the_last_good_picture(
    bench: Bench, rear_hatch: Door
) -> None:
    handle = bench.slider("left, mount on frame")
    tall = bench.line.evaluate("(node) => node.offsetHeight")
    drag(bench, handle, right=0, down=60, steps=20)
    words = bench.line.locator("strong")
    expect(words).to_have_text(re.compile(r"Strut 'left' is \d+ mm too short when shut"))
    expect(bench.line).to_contain_text("Picture and numbers show the last place that fits.")
    expect(bench.node.locator(".sk-stamp text").first).to_have_text("last place that fits")
    expect(bench.node.locator("circle.sk-refused")).to_have_count(1)
    expect(bench.node.locator(".sk-refused-strut")).to_have_count(1)
    _, upward, _ = shown_place(handle)
    assert upward > -860
    assert bench.line.evaluate("(node) => node.offsetHeight") == tall
    place = (-0.088, -0.61, upward / 1e3)
    row = next(
        one for one in check(moved(rear_hatch, frame_mount=place)) if one.name == "hand_closing"
    )
    expect(bench.node.get_by_role("status", name="Findings")).to_contain_text(row.words)
    bench.shoot("light-refused")
    bench.page.mouse.up()
    bench.button("Back to it").click()
    bench.at_rest()
    expect(bench.node.locator("circle.sk-refused")).to_have_count(0)
    expect(bench.line).to_have_attribute("data-state", re.compile("fails|passes|short"))


@pytest.mark.parametrize("waits", [(0, 0, 0, 0), (100, 100, 300, 0)])
def test_a_quick_drag_to_where_nothing_fits_rests_at_the_door_of_the_cells(
    bench: Bench, waits: tuple[int, ...]
) -> None:
    quick_drag(bench, waits)


def test_a_number_typed_with_or_without_a_unit(bench: Bench) -> None:
    bench.node.get_by_label("Mount", exact=True).select_option("0 panel")
    box = bench.node.get_by_label("left, mount on panel, down, mm")
    for text, millimetres in (("112", "112"), ("4 1/2 in", "114.3")):
        box.fill(text)
        box.press("Enter")
        bench.at_rest()
        expect(box).to_have_value(millimetres)
        place = bench.execute("print(w.door.struts[0].panel_mount[2])")
        assert float(place) == pytest.approx(-float(millimetres) / 1e3, abs=1e-12)
    box.fill("3 kg")
    box.press("Enter")
    bench.at_rest()
    expect(bench.line).to_contain_text("3 kg is a mass")
    expect(box).to_have_value("3 kg")
    box.press("Escape")


def test_play_runs_to_the_end_and_stops(bench: Bench) -> None:
    bench.execute("w.angle = 1.55")
    expect(bench.slider("Opening angle")).to_have_attribute("aria-valuenow", "89")
    bench.button("Play").click()
    expect(bench.slider("Opening angle")).to_have_attribute("aria-valuenow", "98", timeout=3000)
    expect(bench.button("Play")).to_be_visible()
    assert float(bench.execute("print(w.angle)")) == pytest.approx(math.radians(98), abs=1e-6)


def test_play_steps_by_five_degrees_where_less_motion_is_asked_for(bench: Bench) -> None:
    bench.execute("w.angle = 1.3")
    slider = bench.slider("Opening angle")
    expect(slider).to_have_attribute("aria-valuenow", "74")
    bench.page.emulate_media(reduced_motion="reduce")
    slider.evaluate(
        "(node) => { window.seen = new Set(); new MutationObserver(() =>"
        " window.seen.add(Number(node.getAttribute('aria-valuenow'))))"
        ".observe(node, { attributes: true }); }"
    )
    bench.button("Play").click()
    expect(slider).to_have_attribute("aria-valuenow", "98", timeout=4000)
    bench.page.emulate_media(reduced_motion="no-preference")
    assert bench.page.evaluate("[...window.seen].sort((a, b) => a - b)") == [
        70,
        75,
        80,
        85,
        90,
        95,
        98,
    ]


def test_a_finding_shows_its_condition_and_angle(bench: Bench) -> None:
    findings = bench.node.get_by_role("status", name="Findings")
    row = findings.get_by_role("button").filter(has_text="To shut it takes")
    row.click()
    bench.at_rest()
    expect(row).to_have_attribute("aria-pressed", "true")
    expect(bench.node.get_by_label("Shown in")).to_have_value("July, strong struts")
    expect(bench.slider("Opening angle")).to_have_attribute("aria-valuenow", "66")
    assert bench.execute("print(w.condition)") == "July, strong struts\n"
    findings.get_by_role("button").filter(has_text="either strut lost").click()
    bench.at_rest()
    expect(bench.node.get_by_label("Shown in")).to_have_value("one strut lost")
    expect(bench.node.locator(".sk-side")).to_contain_text("one of two lost")
    findings.get_by_role("button").filter(has_text="tired to 70 %").click()
    bench.at_rest()
    expect(bench.node.get_by_label("Shown in")).to_have_value("the left strut tired to 70 %")
    expect(bench.node.locator(".sk-side")).not_to_contain_text("lost")


def test_rating_is_dragged_along_its_window(bench: Bench, rear_hatch: Door) -> None:
    rating = bench.slider("Rating")
    expect(rating).to_have_attribute("aria-valuetext", "500 N")
    expect(bench.node.locator(".sk-rating .sk-bar-fails")).to_have_count(1)
    rules = rating_window(rear_hatch).rules
    lift, opening = math.ceil(rules["lift_off"].low[0]), math.floor(rules["hand_opening"].high[0])
    first = bench.node.locator(".sk-breaks-first")
    fails = "“To shut ≤ 80 N” fails now."
    expect(first.nth(0)).to_have_text(
        f"Weaker: of these rules “Lifts off by 30°” breaks next, under {lift} N; {fails}"
    )
    expect(first.nth(1)).to_have_text(
        f"Stronger: of these rules “To open ≤ 40 N” breaks next, over {opening} N; {fails}"
    )
    drag(bench, rating, right=-20, down=0)
    bench.page.mouse.up()
    bench.at_rest()
    chosen = float(bench.execute("print(w.door.struts[0].strut.rating)"))
    assert 380 < chosen < 490
    expect(rating).to_have_attribute("aria-valuetext", f"{chosen:.0f} N")


def test_a_compared_strut_is_used(bench: Bench) -> None:
    bench.button("Use 400 N").click()
    bench.at_rest()
    assert bench.execute("print(w.door.struts[0].strut.rating)") == "400.0\n"
    expect(bench.node.locator("tr.sk-now th")).to_contain_text("400 N")


def rated(door: Door, rating: float) -> Door:
    first = door.struts[0]
    return replace(door, struts=(replace(first, strut=replace(first.strut, rating=rating)),))


def test_the_map_names_what_bounds_the_mount_and_moves_it(bench: Bench, rear_hatch: Door) -> None:
    """The mount is moved on the map, ten times finer than in the side view."""
    bench.execute(
        "from dataclasses import replace; d = w.door; s = d.struts[0];"
        "w.door = replace(d, struts=(replace(s, strut=replace(s.strut, rating=410.0)),),"
        " limits=replace(d.limits, hinge_radial=100.0))"
    )
    bench.node.get_by_label("Mount", exact=True).select_option("0 panel")
    bench.at_rest()
    chart = bench.node.get_by_role("group", name="Where this mount may go")
    expect(chart.get_by_text("to shut over 80 N")).to_be_visible(timeout=10_000)
    expect(chart.get_by_text("lifts off after 30°")).to_be_visible()
    expect(bench.node.locator(".sk-map-unlooked")).to_have_text(
        re.compile(
            r"Not looked at here: .*either hinge point.*\. Fails as it is now: either hinge point\."
        )
    )
    bench.page.wait_for_function("(node) => node.dataset.step < 2", arg=chart.element_handle())
    bench.at_rest()
    closing = max(
        one.value or 0.0 for one in check(rated(rear_hatch, 410.0)) if one.name == "hand_closing"
    )
    expect(chart.get_by_text(f"here {math.ceil(closing)} N", exact=True)).to_be_visible()
    bench.shoot("light-map")
    grab = chart.locator(".sk-grab")
    grab.evaluate("(node) => { window.held = node; }")
    drag(bench, grab, right=0, down=14, steps=4)
    assert grab.evaluate("(node) => node === window.held")
    bench.page.mouse.up()
    bench.at_rest()
    moved_down = -0.108 - float(bench.execute("print(w.door.struts[0].panel_mount[2])"))
    assert 0.0005 < moved_down < 0.006


def test_inches_are_shown_and_moved_in_sixteenths(bench: Bench) -> None:
    bench.button("inch").click()
    bench.at_rest()
    handle = bench.slider("left, mount on panel")
    expect(handle).to_have_attribute(
        "aria-valuetext", "15/16 in inward, 4 1/4 in down, 24 1/64 in left"
    )
    handle.focus()
    bench.page.keyboard.press("ArrowDown")
    bench.at_rest()
    place = float(bench.execute("print(w.door.struts[0].panel_mount[2])"))
    assert place == pytest.approx(-0.108 - 0.0254 / 16, abs=1e-9)


def test_an_example_is_opened_from_a_list_and_the_verdict_stays(bench: Bench) -> None:
    bench.button("Open a door file").click()
    bench.at_rest()
    examples = bench.node.get_by_role("group", name="Examples")
    examples.get_by_role("button", name="roof-hatch", exact=True).click()
    bench.at_rest()
    expect(bench.node.locator(".sk-name span")).to_have_text("Workshop van, roof hatch")
    done = bench.line.locator(".sk-done")
    expect(done).to_contain_text("Opened the example Workshop van, roof hatch.")
    expect(bench.line.locator("strong")).to_have_text("All that is judged passes.")
    done.get_by_role("button", name="Dismiss").click()
    expect(done).to_be_hidden()
    bench.execute(f"w.open_door({str(REAR)!r})")
    bench.at_rest()
    expect(bench.node.locator(".sk-name span")).to_have_text("Market van, rear hatch")


def test_edges_of_the_opening_are_drawn_in_section(bench: Bench) -> None:
    """One beyond the hinge line, one inside the free edge; both clear of the shut panel."""
    cut = bench.node.locator(".sk-side .sk-cut-edge")
    expect(cut).to_have_count(2)
