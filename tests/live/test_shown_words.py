"""What the page says of a door, in a page without a notebook: beside Python, at any width."""

import math
import re
from collections.abc import Callable, Iterator
from itertools import pairwise

import pytest
from playwright.sync_api import Locator, expect

from strutkit import check, sweep
from tests.doors import short_of_the_stop
from tests.live.conftest import Bench, bench_cell, shown
from tests.live.drawn import REAR, drag
from tests.plain_host import PlainHost

Opener = Callable[..., Bench]

EXAMPLE = """from dataclasses import replace
from strutkit import read_door
from strutkit.data import door_path
from strutkit.live.scene import edited
from tests.doors import short_of_the_stop
d = read_door(door_path('rear-hatch'))
"""


@pytest.fixture(scope="module")
def bench(open_plain_bench: Opener) -> Bench:
    opened = open_plain_bench(REAR)
    assert opened.execute(EXAMPLE) == ""
    return opened


@pytest.fixture(scope="module")
def narrow(plain_host: PlainHost) -> Iterator[Bench]:
    """A column of 352 px under a finger."""
    view = {"width": 400, "height": 4000}
    page = plain_host.open(bench_cell(REAR), viewport=view, has_touch=True)
    yield shown(page)
    page.context.close()
    assert plain_host.complaints() == []


def show_door(bench: Bench, code: str) -> None:
    """Show a door; the views then are about it."""
    assert bench.execute(f"w.door = {code}") == ""
    name = bench.execute("print(w.door.name)").strip()
    bench.at_rest()
    expect(bench.node.locator(".sk-name span")).to_have_text(name)


def detailed_map(bench: Bench) -> Locator:
    chart = bench.node.get_by_role("group", name="Where this mount may go")
    finer = "(node) => node.dataset.step < 3"
    bench.page.wait_for_function(finer, arg=chart.element_handle(), polling=50)
    bench.at_rest()
    return chart


def newtons(chart: Locator, words: str) -> int:
    texts = chart.locator("text").all_text_contents()
    (found,) = [one for text in texts for one in re.findall(rf"^{words} (\d+)", text)]
    return int(found)


def test_a_travel_that_ends_short_of_the_stop_is_not_praised(bench: Bench) -> None:
    door = short_of_the_stop()
    assert all(one.ok is not False for one in check(door))
    assert sweep(door).ended_by == "strut"
    show_door(bench, "short_of_the_stop()")
    words = "It opens only to 28.6°, the stop is at 92°; all that is judged passes."
    expect(bench.line.locator("strong")).to_have_text(words)
    sign = bench.line.locator(".sk-message-sign svg")
    expect(sign).to_have_class(re.compile("sk-not-judged"))
    row = bench.node.locator("tr.sk-now")
    expect(row.locator(".sk-verdict")).to_have_text("opens to 28.6°")
    expect(row.locator(".sk-verdict svg")).to_have_class(re.compile("sk-not-judged"))
    expect(row.locator(".sk-short")).to_have_text("opens to 28.6°")
    expect(detailed_map(bench).get_by_text("opens less far than")).to_be_visible()


def test_the_angle_axis_ends_at_the_stop_and_says_so(bench: Bench) -> None:
    show_door(bench, "short_of_the_stop()")
    for name in ("force", "hinge-loads"):
        chart = bench.node.locator(f".sk-{name}")
        expect(chart.get_by_text("stop 92°", exact=True)).to_be_visible()
        expect(chart.get_by_text("open 92°")).to_have_count(0)


@pytest.mark.parametrize("mount", ["0 panel", "0 frame"])
def test_the_best_place_is_never_worse_than_the_place_itself(bench: Bench, mount: str) -> None:
    """The frame mount lies in the corner of its zone, where no node of the map need be as near."""
    show_door(bench, "short_of_the_stop()")
    bench.node.get_by_label("Mount", exact=True).select_option(mount)
    bench.at_rest()
    chart = detailed_map(bench)
    assert newtons(chart, "best here") <= newtons(chart, "here")


def test_rules_that_fail_now_are_named_beside_the_one_that_breaks_next(bench: Bench) -> None:
    show_door(bench, "edited(d, {'place': 0, 'panel': [-39.0, -97.0, -600.0], 'rating': 405.0})")
    weaker = bench.node.locator(".sk-breaks-first").first
    failing = [one.words for one in check_of(bench) if one.ok is False and "travel" not in one.name]
    assert failing
    expect(weaker).to_contain_text(
        re.compile(r"^Weaker: of these rules “.*” breaks next, under \d+ N; .* now\.$")
    )


def test_a_limit_that_is_the_value_itself_is_ticked(bench: Bench) -> None:
    value = next(one.value for one in check_of(bench, "d") if one.name == "lift_off")
    show_door(bench, f"replace(d, limits=replace(d.limits, lift_off={value!r}))")
    assert next(one.ok for one in check_of(bench) if one.name == "lift_off")
    rule = bench.node.locator(".sk-rule", has_text="Lifts off by")
    expect(rule).to_have_text(re.compile("^✓"))


def check_of(bench: Bench, door: str = "w.door") -> tuple:
    from strutkit.describe.doorfile import parse_door

    code = f"from strutkit.describe.doorfile import door_text; print(door_text({door}))"
    return check(parse_door(bench.execute(code), "the door"))


def test_names_of_the_maps_edges_stay_in_its_picture(bench: Bench) -> None:
    """Where several edges end near the foot of the map the last name once stood under it."""
    show_door(bench, "edited(d, {'place': 0, 'frame': [-61.5, -448.1, -600.0], 'rating': 545.0})")
    bench.node.get_by_label("Mount", exact=True).select_option("0 frame")
    chart = bench.node.get_by_role("group", name="Where this mount may go")
    expect(chart.locator("circle.sk-arrow").nth(4)).to_be_visible()
    expect(bench.node.locator(".sk-area-map small").first).to_contain_text("fixed side")
    bench.at_rest()
    out = chart.evaluate(
        """(svg) => { const its = svg.getBoundingClientRect();
        return [...svg.querySelectorAll('text')].filter((one) => {
            const box = one.getBoundingClientRect();
            return box.width && (box.bottom > its.bottom + 3 || box.top < its.top - 3);
        }).map((one) => one.textContent); }"""
    )
    assert out == []


BOXES = """(root, pick) => [...root.querySelectorAll(pick)]
    .filter((one) => one.checkVisibility() && one.getBoundingClientRect().width)
    .map((one) => { const box = one.getBoundingClientRect();
        return [one.textContent, box.left, box.top, box.right, box.bottom]; })"""


def assert_apart(boxes: list[list], most: float = 2.0) -> None:
    for place, (text, *one) in enumerate(boxes):
        for other_text, *other in boxes[place + 1 :]:
            across = min(one[2], other[2]) - max(one[0], other[0])
            down = min(one[3], other[3]) - max(one[1], other[1])
            assert across <= 0.5 or down <= most, (text, other_text)


def test_what_a_compared_strut_fails_lies_on_no_curve(bench: Bench) -> None:
    lower = "replace(one, corners=tuple((x, y, z - 0.3) for x, y, z in one.corners))"
    show_door(bench, f"replace(d, zones=tuple({lower} for one in d.zones))")
    table = bench.node.locator(".sk-area-compare")
    words = table.locator(".sk-verdict .sk-row-fails span")
    expect(words.first).to_contain_text("a mount outside its zone")
    curve = min(box[1] for box in table.evaluate(BOXES, ".sk-small-curve svg"))
    ends = words.evaluate_all(
        """(spans) => spans.map((span) => { const range = document.createRange();
        range.selectNodeContents(span); return range.getBoundingClientRect().right; })"""
    )
    assert len(ends) > 3
    assert max(ends) < curve - 5.0
    show_door(bench, "d")


@pytest.mark.parametrize("unit", ["mm", "inch"])
def test_in_a_narrow_column_nothing_lies_on_the_figures(narrow: Bench, unit: str) -> None:
    narrow.execute(f"w.unit = {unit!r}")
    narrow.at_rest()
    slide = narrow.node.locator(".sk-slide")
    play = slide.evaluate(BOXES, ".sk-play")
    assert play[0][3] - play[0][1] >= 44.0
    assert_apart(play + slide.evaluate(BOXES, "text.sk-figure"))
    chart = detailed_map(narrow)
    for width in (372, 384, 400, 416, 428):
        narrow.page.set_viewport_size({"width": width, "height": 4000})
        narrow.page.wait_for_function(
            "([node, width]) => Math.abs(node.clientWidth - width + 48) < 2",
            arg=[narrow.node.element_handle(), width],
        )
        narrow.at_rest()
        texts = chart.evaluate(BOXES, "text")
        top = min(one[2] for one in texts)
        row = sorted(one[1:4:2] for one in texts if one[2] < top + 6.0)
        assert all(after[0] - before[1] > 5.0 for before, after in pairwise(row))


def test_in_a_narrow_column_angle_and_mass_are_told_apart(narrow: Bench) -> None:
    """Two figures side by side in one line of the side view would read as one."""
    narrow.page.set_viewport_size({"width": 438, "height": 4000})
    narrow.execute("w.unit = 'mm'; w.open_example('roof-hatch')")
    expect(narrow.node.locator(".sk-name span")).to_have_text("Workshop van, roof hatch")
    for degrees in (41, 44):
        narrow.execute(f"w.angle = {math.radians(degrees)}")
        texts = narrow.node.locator(".sk-side text")
        expect(texts.filter(has_text=re.compile(rf"^{degrees}°$"))).to_have_count(1)
        narrow.at_rest()
        boxes = {text: box for text, *box in narrow.node.evaluate(BOXES, ".sk-side text")}
        angle, mass = boxes[f"{degrees}°"], boxes["9.4 kg"]
        beside = max(angle[0] - mass[2], mass[0] - angle[2])
        below = max(angle[1] - mass[3], mass[1] - angle[3])
        assert beside >= 10.0 or below >= 0.0, (degrees, beside, below)
    narrow.execute("w.undo()")
    narrow.page.set_viewport_size({"width": 400, "height": 4000})
    narrow.at_rest()


def test_in_a_narrow_column_the_stamp_lies_on_no_curve(narrow: Bench) -> None:
    narrow.execute("w.unit = 'mm'")
    narrow.at_rest()
    drag(narrow, narrow.slider("left, mount on frame"), right=120, down=-120)
    try:
        for chart in narrow.node.locator(".sk-chart:has(.sk-stamp rect)").all():
            stamp = chart.evaluate(BOXES, ".sk-stamp rect")
            box = chart.bounding_box()
            assert box is not None
            assert stamp[0][4] <= box["y"] + float(chart.get_attribute("data-top") or "nan") - 2.0
            assert_apart(stamp + chart.evaluate(BOXES, "text.sk-title, text.sk-title + text"))
        expect(narrow.node.locator(".sk-stamp rect")).to_have_count(4)
    finally:
        narrow.page.keyboard.press("Escape")
        narrow.page.mouse.up()
    narrow.at_rest()
    expect(narrow.node.locator(".sk-moment .sk-title")).to_have_text("Moment about the hinge line")
