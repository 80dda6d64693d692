"""Charts show the arrays of the sweep and the edges of the rating window, signed as they say."""

import math
import re
from dataclasses import replace
from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest

from strutkit.decide.findings import check
from strutkit.decide.loads import hinge_loads
from strutkit.decide.sweep import sweep, sweep_conditions
from strutkit.decide.window import rating_window
from strutkit.describe.numbers import lengths_in
from strutkit.describe.records import Condition, Door, Limits
from strutkit.errors import RecordError
from strutkit.show import charts
from strutkit.show.chartpicture import chart_picture
from strutkit.show.letters import overlap, text_box
from strutkit.show.ratingbars import rating_bars, rating_picture, wrapped
from strutkit.show.shapes import Picture, Polyline, Text, flat
from strutkit.show.style import PX
from tests.show.picture_doors import all_doors, drop_flap, rear_hatch, roof_lid, upright_door

DOORS = all_doors()
MAKERS = {
    "moments": charts.moment_chart,
    "hand forces": charts.hand_force_chart,
    "lengths": charts.length_chart,
    "hinge loads": charts.hinge_load_chart,
}


def curve(chart: charts.Chart, role: str) -> charts.Curve:
    return next(one for one in chart.curves if one.role == role)


def assert_texts_clear(picture: Picture) -> None:
    boxes = [(one.text, text_box(one)) for one in flat(picture.shapes) if isinstance(one, Text)]
    covered = [(a[0], b[0]) for a, b in combinations(boxes, 2) if overlap(a[1], b[1])]
    assert covered == []
    for words, (left, bottom, right, top) in boxes:
        assert left >= -1e-9, words
        assert bottom >= -1e-9, words
        assert right <= picture.width + 1e-9, words
        assert top <= picture.height + 1e-9, words


@pytest.mark.parametrize("kind", sorted(MAKERS))
@pytest.mark.parametrize("name", sorted(set(DOORS) - {"rear_hatch"}))
def test_no_text_covers_another(name: str, kind: str) -> None:
    """On screen with the first condition shown, the second or the last; on paper the first."""
    swept = sweep_conditions(DOORS[name])
    for shown in {0, 1, len(swept) - 1}:
        order = (swept[shown], *swept[:shown], *swept[shown + 1 :])
        chart = MAKERS[kind](order)
        for medium in ("screen", "paper")[: 2 if shown == 0 else 1]:
            assert_texts_clear(chart_picture(chart, size=(440 * PX, 236 * PX), medium=medium))


@pytest.mark.parametrize("medium", ["screen", "paper"])
@pytest.mark.parametrize("name", sorted(set(DOORS) - {"bare", "rear_hatch"}))
def test_no_text_covers_another_in_the_rating_window(name: str, medium: str) -> None:
    bars = rating_bars(DOORS[name], stock=(100.0, 150.0, 200.0, 250.0, 500.0))
    assert_texts_clear(rating_picture(bars, width=440 * PX, medium=medium))


def test_moments_are_those_of_the_sweep() -> None:
    swept = sweep(rear_hatch())
    chart = charts.moment_chart(swept)
    np.testing.assert_array_equal(curve(chart, "strut_curve").y, swept.strut_moment.sum(axis=0))
    np.testing.assert_array_equal(curve(chart, "weight_curve").y, -swept.gravity_moment)
    np.testing.assert_allclose(np.radians(curve(chart, "strut_curve").x), swept.angle)
    assert chart.span == (0.0, math.degrees(swept.end_of_travel))


def test_curves_cross_at_the_balance_angles() -> None:
    chart = charts.moment_chart(sweep(rear_hatch()))
    (mark,) = [one for one in chart.marks if one.role == "balance"]
    for role in ("strut_curve", "weight_curve"):
        one = curve(chart, role)
        assert np.interp(mark.x, one.x, one.y) == pytest.approx(mark.y, abs=0.05)


def test_a_flap_is_drawn_in_its_sense_of_travel() -> None:
    swept = sweep(drop_flap())
    chart = charts.moment_chart(swept)
    assert curve(chart, "weight_curve").y[-1] > 0.0
    assert curve(chart, "strut_curve").label == "struts hold back"
    np.testing.assert_array_equal(curve(chart, "strut_curve").y, -swept.strut_moment.sum(axis=0))
    assert chart.scale.drops
    assert {one.words for one in chart.scale.stretches} <= {
        "drops by itself", "swings shut", "stays put",
    }  # fmt: skip


def test_hand_forces_push_open_upward_and_shut_downward() -> None:
    swept = sweep(rear_hatch())
    chart = charts.hand_force_chart(swept)
    np.testing.assert_array_equal(curve(chart, "open_curve").y, swept.hand_force_opening)
    np.testing.assert_array_equal(curve(chart, "shut_curve").y, -swept.hand_force_closing)
    assert {(one.value, one.above) for one in chart.limits} == {(40.0, True), (-80.0, False)}
    assert all("−" not in text for _, text in chart.y_ticks)
    (dots,) = chart.bands
    assert (dots.high >= dots.low).all()
    width = swept.friction_moment * 2.0 / rear_hatch().hinge_distance(rear_hatch().panel.handle)
    np.testing.assert_allclose(dots.high - dots.low, width)


def test_bands_and_worst_curves_hold_every_condition_in_service() -> None:
    door = roof_lid()
    several = sweep_conditions(door)
    chart = charts.moment_chart(several)
    band = next(one for one in chart.bands if one.role == "strut_band")
    forces = charts.hand_force_chart(several)
    for one in several:
        if one.condition.missing is not None:
            assert (one.strut_moment.sum(axis=0)[: len(band.low)] < band.low).any()
            continue
        lifting = one.strut_moment.sum(axis=0)
        assert (band.low <= lifting).all()
        assert (lifting <= band.high).all()
        assert (curve(forces, "shut_worst").y <= -one.hand_force_closing).all()


def test_over_the_limit_is_filled_to_the_worst_curve_and_named() -> None:
    door = rear_hatch()
    several = sweep_conditions(door)
    chart = charts.hand_force_chart(several)
    (over,) = chart.over
    worst = max(float(one.hand_force_closing.max()) for one in several)
    assert worst > 80.0
    assert over.high.max() == -80.0
    assert over.low.min() == pytest.approx(-worst)
    assert over.label == f"{math.ceil(worst)} N, July, strong struts"
    easy = replace(door, limits=replace(door.limits, hand_closing=500.0))
    assert charts.hand_force_chart(sweep_conditions(easy)).over == ()


def test_lengths_stand_between_pushed_in_and_extended() -> None:
    door = upright_door()
    swept = sweep(door)
    chart = charts.length_chart(swept)
    assert [one.label for one in chart.curves] == ["upper", "lower"]
    np.testing.assert_allclose(chart.curves[1].y, swept.strut_length[1] * 1e3)
    assert {(round(one.value), one.above) for one in chart.limits} == {
        (450, True), (300, False), (400, True), (270, False),
    }  # fmt: skip
    assert len(charts.length_chart(sweep(rear_hatch())).curves) == 1


def test_a_lost_strut_has_no_length() -> None:
    """Of a pair the other one is drawn; of two unlike struts the one that is there."""
    for missing in (0, 1):
        lost = (Condition(name="lost", missing=missing),)
        pair = replace(rear_hatch(), conditions=lost)
        assert len(charts.length_chart(sweep(pair, condition="lost")).curves) == 1
        door = replace(upright_door(), conditions=lost)
        chart = charts.length_chart(sweep(door, condition="lost"))
        assert [one.label for one in chart.curves] == [door.fitted[1 - missing].strut.name]
    lone = replace(pair.struts[0], mirrored=False)
    door = replace(pair, struts=(lone,), conditions=(Condition(name="lost", missing=0),))
    chart = charts.length_chart(sweep(door, condition="lost"))
    assert not chart.curves
    assert chart.words == "The only strut is lost in this condition"
    assert chart_picture(chart, size=(120.0, 60.0)).shapes


def test_hinge_loads_are_the_radial_parts() -> None:
    door = upright_door()
    swept = sweep(door)
    chart = charts.hinge_load_chart(swept)
    loads = hinge_loads(swept)
    expected = np.hypot(loads.first[:, 0], loads.first[:, 1])
    np.testing.assert_allclose(curve(chart, "ink_curve").y, expected)
    assert "shut and latched" in " ".join(one.label for one in chart.marks)
    alike = charts.hinge_load_chart(sweep(rear_hatch()))
    assert [one.label for one in alike.curves] == ["both hinge points alike"]


def test_scale_says_what_the_panel_does_by_itself() -> None:
    door = rear_hatch()
    swept = sweep(door)
    scale = charts.moment_chart(swept).scale
    assert [one.words for one in scale.stretches] == ["falls", "stays put", "rises by itself"]
    assert scale.stretches[0].low == 0.0
    assert scale.stretches[-1].high == pytest.approx(98.0)
    assert scale.lift_off == pytest.approx(scale.stretches[-1].low)
    for one in scale.stretches:
        middle = math.radians((one.low + one.high) / 2.0)
        here = sweep(door, angles=[middle])
        net, rubbing = float(here.moment[0]), float(here.friction_moment[0])
        assert (net > rubbing) == (one.words == "rises by itself")
        assert (net < -rubbing) == (one.words == "falls")


def test_without_friction_the_scale_parts_at_the_balance_angle() -> None:
    door = rear_hatch()
    struts = tuple(replace(one, strut=replace(one.strut, friction=0.0)) for one in door.struts)
    chart = charts.moment_chart(sweep(replace(door, struts=struts)))
    assert [one.words for one in chart.scale.stretches] == ["falls", "rises by itself"]
    assert charts.hand_force_chart(sweep(replace(door, struts=struts))).bands == ()


def test_no_strut_is_said_in_words() -> None:
    for kind in ("moments", "lengths"):
        chart = MAKERS[kind](sweep(roof_lid(struts=False)))
        assert chart.words == "No strut yet: add one or suggest a start"
        words = [
            one.text
            for one in flat(chart_picture(chart, size=(110.0, 60.0)).shapes)
            if isinstance(one, Text)
        ]
        assert chart.words in words


def test_a_shown_fault_keeps_its_own_travel() -> None:
    several = sweep_conditions(roof_lid())
    fault = next(one for one in several if one.condition.missing is not None)
    chart = charts.moment_chart((fault, *several))
    assert chart.span[1] == pytest.approx(math.degrees(fault.end_of_travel))


def test_no_sweep_is_refused() -> None:
    with pytest.raises(RecordError, match="needs at least one sweep"):
        charts.moment_chart(())


def test_curves_stand_in_the_picture_where_the_axes_say() -> None:
    chart = charts.moment_chart(sweep(rear_hatch()))
    picture = chart_picture(chart, size=(120.0, 70.0))
    drawn = next(
        one
        for one in flat(picture.shapes)
        if one.role == "strut_curve" and isinstance(one, Polyline)
    )
    zero = next(one for one in flat(picture.shapes) if one.role == "axis")
    left, right = zero.points[0][0], zero.points[-1][0]
    x = np.array([place[0] for place in drawn.points])
    np.testing.assert_allclose(
        (x - left) / (right - left), curve(chart, "strut_curve").x / chart.span[1], atol=1e-9
    )
    grid = {
        one.points[0][1] for one in flat(picture.shapes) if one.role in ("grid", "axis")
        and isinstance(one, Polyline) and len(one.points) == 2
    }  # fmt: skip
    step = (max(grid) - min(grid)) / (chart.y_ticks[-1][0] - chart.y_ticks[0][0])
    y = np.array([place[1] for place in drawn.points])
    np.testing.assert_allclose((y - zero.points[0][1]) / step, curve(chart, "strut_curve").y)


@pytest.mark.parametrize("end", [0.8, 7.0, 24.0, 52.0, 98.0, 180.0, 355.0])
def test_angle_ticks_start_at_shut_and_end_open(end: float) -> None:
    ticks = charts.angle_ticks(end)
    assert ticks[0] == (0.0, "0°")
    assert ticks[-1][0] == end
    assert ticks[-1][1].startswith("open ")
    assert 2 <= len(ticks) <= 9


def window_door(**limits: float) -> Door:
    return replace(rear_hatch(), limits=Limits(**limits))


def test_bars_are_the_rating_window() -> None:
    door = rear_hatch()
    found = rating_window(door)
    bars = rating_bars(door, found)
    by_words = {one.words: one for one in bars.bars}
    shut = by_words["To shut ≤ 80 N"]
    assert shut.high == float(found.rules["hand_closing"].high[0])
    assert shut.high_decided_by == "July, strong struts"
    assert not shut.holds
    assert by_words["Lifts off by 29°"].low == float(found.rules["lift_off"].low[0])
    assert bars.together.low == float(found.low[0])
    assert bars.span[0] < min(bars.now, bars.together.low)
    assert bars.span[1] > max(bars.now, bars.together.high)
    assert all(bars.span[0] <= tick <= bars.span[1] for tick in bars.ticks)


def test_bars_say_their_range_rounded_inward() -> None:
    bars = rating_bars(window_door(hand_closing=95.0, lift_off=0.52))
    low, high = bars.together.low, bars.together.high
    assert bars.words == f"{math.ceil(low)} to {math.floor(high)} N"


def test_an_empty_window_says_which_rules_part() -> None:
    door = window_door(hand_closing=30.0, lift_off=0.2)
    bars = rating_bars(door)
    assert bars.together.empty
    shut, lift = bars.bars
    assert bars.words == (
        f"No rating holds all rules: “To shut ≤ 30 N” wants at most {math.floor(shut.high)} N,"
        f" “Lifts off by 11°” at least {math.ceil(lift.low)} N."
    )
    picture = rating_picture(bars, width=440 * PX)
    words = " ".join(one.text for one in flat(picture.shapes) if isinstance(one, Text))
    assert "wants at most" in words
    assert "All these rules" in picture.description


def test_a_rule_that_nothing_holds_is_named() -> None:
    """No force at the handle at all is more than any rating can give at every angle."""
    bars = rating_bars(window_door(hand_opening=0.0, hand_closing=0.0, latch=0.0))
    assert bars.together.empty
    assert bars.words.startswith("No rating holds all rules: ")
    lone = rating_bars(replace(window_door(lift_off=0.0), conditions=()))
    (bar,) = lone.bars
    assert bar.empty
    assert lone.words == "No rating holds all rules: none holds “Lifts off by 0°”."


def test_no_limits_no_verdict() -> None:
    bars = rating_bars(window_door())
    assert bars.bars == ()
    assert bars.words == "No limit here bounds the rating"


def test_a_strut_that_is_not_there_is_refused() -> None:
    with pytest.raises(RecordError, match="strut 0, but the door has 0 struts"):
        rating_bars(roof_lid(struts=False))


def test_bars_end_where_the_axis_says() -> None:
    bars = rating_bars(window_door(hand_closing=95.0, lift_off=0.52))
    picture = rating_picture(bars, width=440 * PX)
    shapes = list(flat(picture.shapes))
    (whole,) = [one for one in shapes if one.role == "bar_all"]
    axis = next(one for one in shapes if one.role == "axis")
    left, right = axis.points[0][0], axis.points[1][0]
    per_newton = (right - left) / (bars.span[1] - bars.span[0])
    edges = sorted({x for x, _ in whole.points})
    expected = [
        left + (edge - bars.span[0]) * per_newton
        for edge in (bars.together.low, bars.together.high)
    ]
    assert edges == pytest.approx(expected)
    (now,) = [one for one in shapes if one.role == "now"]
    assert now.points[0][0] == pytest.approx(left + (bars.now - bars.span[0]) * per_newton)


def test_words_wrap_at_the_width() -> None:
    lines = wrapped("one two three four five six", 15.0, 3.0)
    assert len(lines) > 1
    assert " ".join(lines) == "one two three four five six"


def test_a_window_without_an_upper_edge_says_so_in_words() -> None:
    bars = rating_bars(window_door(reserve_force=5.0))
    assert math.isinf(bars.together.high)
    words = f"No upper edge up to {math.floor(rating_window(window_door()).looked_to[0])} N"
    assert bars.beyond.startswith(words)
    picture = rating_picture(bars, width=440 * PX)
    drawn = " ".join(one.text for one in flat(picture.shapes) if isinstance(one, Text))
    assert words in drawn
    assert words in picture.description
    assert rating_bars(window_door(reserve_force=5.0, hand_closing=95.0)).beyond == ""


def test_a_window_that_ends_where_a_charge_is_gone_says_so_in_words() -> None:
    """120 N off a rating with 20 N of friction leave none under 100 N; a rule that breaks before
    is the nearer edge, and without a rule the words still say from where."""
    weak = Condition(name="weak charge", rating_change=-120.0)
    door = window_door(hand_closing=95.0)
    strut = replace(door.struts[0].strut, friction=20.0)
    struts = (replace(door.struts[0], strut=strut),)
    door = replace(door, struts=struts, conditions=(*door.conditions, weak))
    bars = rating_bars(door)
    assert bars.starved == "under 101 N no charge is left in “weak charge”"
    assert bars.words == f"101 to {math.floor(bars.together.high)} N"
    picture = rating_picture(bars, width=440 * PX)
    drawn = " ".join(one.text for one in flat(picture.shapes) if isinstance(one, Text))
    said = "Under 101 N no charge is left in “weak charge”."
    assert said in drawn
    assert said in picture.description
    assert rating_bars(replace(door, limits=Limits(hand_closing=95.0, lift_off=0.52))).below == ""
    free = rating_bars(replace(door, limits=Limits()))
    assert free.words == "No limit here bounds the rating from 101 N up"


@pytest.mark.parametrize("rule", ["lift_off", "hand_closing", "reserve_force"])
def test_a_limit_that_is_the_value_itself_holds_as_the_findings_say(rule: str) -> None:
    door = rear_hatch()
    value = next(
        one.value for one in check(door) if one.name in (rule, f"{rule}_load", f"{rule}_angle")
    )
    bare = replace(door, limits=Limits(**{rule: value}))
    assert next(one.ok for one in check(bare) if one.name == rule)
    (bar,) = rating_bars(bare).bars
    assert bar.holds
    assert rating_bars(bare).together.holds


@pytest.mark.parametrize(("door", "way"), [(drop_flap(), "open"), (rear_hatch(), "up")])
def test_the_window_says_where_the_panel_stays_as_the_findings_do(door: Door, way: str) -> None:
    door = replace(door, limits=Limits(reserve=0.05, reserve_force=5.0))
    assert [one.words.split(",")[0] for one in rating_bars(door).bars] == [f"Stays {way}"] * 2
    found = next(one for one in check(door) if one.name == "reserve_force")
    assert f"stays {way}" in found.words.lower() or f"stay {way}" in found.words.lower()


def test_lengths_in_inches_have_an_axis_in_inches() -> None:
    swept = sweep(rear_hatch())
    with lengths_in("in"):
        chart = charts.length_chart(swept)
    assert chart.unit == "inch"
    np.testing.assert_allclose(curve(chart, "strut_curve").y, swept.strut_length[0] / 0.0254)
    for limit in chart.limits:
        whole, part = re.findall(r"(\d+)(?: (\d+/\d+))?$", limit.label)[0]
        figure = float(whole) + float(Fraction(part or "0"))
        assert figure == pytest.approx(limit.value, abs=1 / 32)
    assert "mm" not in chart.description
    assert "\N{DOUBLE PRIME}" in chart.description
