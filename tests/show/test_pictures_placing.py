"""Figures moved apart, labels, fills and limit signs.

Outside checks: isotonic regression of scipy for the least displacement; areas of shapely (GEOS)
for the dots.
"""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from strutkit.show import fills
from strutkit.show.dimensions import FIGURE_GAP, Measured, depths, heights
from strutkit.show.letters import bounds, overlap, text_box
from strutkit.show.placing import Label, Layout, around, spread
from strutkit.show.shapes import Circle, Group, Polyline, Text, flat, moved
from strutkit.show.style import PX, SCREEN

EVERYWHERE = (-math.inf, -math.inf, math.inf, math.inf)


@given(st.lists(st.floats(-100.0, 100.0), min_size=1, max_size=12), st.floats(0.1, 10.0))
def test_spread_is_the_least_displacement(values: list[float], gap: float) -> None:
    wanted = sorted(values)
    index = np.arange(len(wanted)) * gap
    expected = isotonic_regression(np.array(wanted) - index).x + index
    np.testing.assert_allclose(spread(wanted, gap), expected, atol=1e-9)


def test_spread_leaves_what_has_room() -> None:
    assert spread([0.0, 5.0, 12.0], 4.0) == [0.0, 5.0, 12.0]


def text(words: str) -> Text:
    return Text((0.0, 0.0), words, "text", 3.0)


@given(st.lists(st.tuples(st.floats(5, 95), st.floats(5, 55)), min_size=2, max_size=6))
def test_labels_keep_clear_of_each_other_where_there_is_room(places) -> None:
    layout = Layout((0.0, 0.0, 100.0, 60.0))
    placed = []
    offsets = around((2.0, 6.0, 10.0, 16.0, 24.0))
    for number, at in enumerate(places):
        placed += [
            one
            for one in layout.place(Label(at, text(f"label {number}"), offsets))
            if isinstance(one, Text)
        ]
    boxes = [text_box(one) for one in placed]
    assert len(boxes) == len(places)
    assert not any(overlap(a, b) for n, a in enumerate(boxes) for b in boxes[:n])
    assert all(box[0] >= 0 and box[1] >= 0 and box[2] <= 100 and box[3] <= 60 for box in boxes)


def test_a_label_avoids_a_line() -> None:
    layout = Layout(EVERYWHERE)
    layout.block([Polyline(((0.0, 2.5), (40.0, 2.5)), "strut_curve")])
    (placed,) = layout.place(Label((10.0, 0.0), text("struts lift"), ((0.0, 1.0), (0.0, -1.0))))
    assert text_box(placed)[3] < 2.5


def test_a_far_label_gets_a_leader_that_ends_in_a_dot() -> None:
    layout = Layout(EVERYWHERE)
    line, dot, placed = layout.place(Label((0.0, 0.0), text("far"), ((12.0, 0.0),), far=10.0))
    assert isinstance(placed, Text)
    assert dot.centre == (0.0, 0.0)
    assert line.points[-1] == (0.0, 0.0)
    box = text_box(placed)
    assert box[0] - 1e-9 <= line.points[0][0] <= box[2] + 1e-9


def test_an_optional_label_gives_way() -> None:
    layout = Layout((0.0, 0.0, 20.0, 5.0))
    layout.place(Label((10.0, 2.0), text("first one"), ((0.0, 0.0),)))
    label = Label((10.0, 2.0), text("second"), ((0.0, 0.0),), optional=True)
    assert layout.place(label) == []
    assert len(layout.place(Label((10.0, 2.0), text("second"), ((0.0, 0.0),)))) == 1


def test_a_label_without_offsets_is_refused() -> None:
    with pytest.raises(ValueError, match="'x' has no offsets"):
        Layout(EVERYWHERE).place(Label((0.0, 0.0), text("x"), ()))


def figures_of(shapes) -> list[Text]:
    return [one for one in flat(shapes) if isinstance(one, Text)]


@given(st.lists(st.floats(-60.0, 60.0), min_size=1, max_size=6))
def test_every_figure_stands_and_none_covers_another(levels: list[float]) -> None:
    points = [Measured((20.0, level), f"{abs(level):.1f}") for level in levels]
    shapes = heights(points, (0.0, 0.0), -15.0, SCREEN)
    figures = figures_of(shapes)
    wanted = {one.figure for one in points if abs(one.at[1]) > 0.05}
    assert {one.text for one in figures} >= wanted
    ups = sorted(one.at[1] for one in figures)
    gap = FIGURE_GAP * SCREEN.figure
    assert all(b - a >= gap - 1e-9 for a, b in pairwise(ups))
    assert not any(
        overlap(text_box(a), text_box(b)) for n, a in enumerate(figures) for b in figures[:n]
    )


def test_extension_lines_stop_short_of_the_point() -> None:
    shapes = heights([Measured((20.0, 30.0), "30")], (0.0, 0.0), -15.0, SCREEN)
    lines = [one for one in shapes if isinstance(one, Polyline)]
    level = [one for one in lines if one.points[0][1] == one.points[-1][1] == 30.0]
    ends = [max(x for x, _ in one.points) for one in level]
    assert max(ends) == pytest.approx(20.0 - 14 * PX)


def test_arrows_point_away_from_the_hinge_line() -> None:
    points = [Measured((20.0, 30.0), "30"), Measured((20.0, -40.0), "40")]
    shapes = heights(points, (0.0, 0.0), -15.0, SCREEN)
    heads = [one for one in shapes if one.role == "arrow_head"]
    tips = {one.points[0] for one in heads}
    assert tips == {(-15.0, 30.0), (-15.0, -40.0)}
    for one in heads:
        assert all(abs(y) <= abs(one.points[0][1]) for _, y in one.points)


def test_depths_are_read_from_the_right() -> None:
    points = [Measured((-24.0, -10.0), "24"), Measured((-88.0, -10.0), "88")]
    figures = figures_of(depths(points, (0.0, 0.0), 15.0, SCREEN))
    assert all(one.angle == pytest.approx(math.pi / 2) for one in figures)
    assert all(text_box(one)[1] > 15.0 for one in figures)
    below = figures_of(depths(points, (0.0, 0.0), -25.0, SCREEN))
    assert all(text_box(one)[3] < -25.0 for one in below)


def test_moved_figures_have_a_line_with_one_bend_of_45_degrees() -> None:
    points = [Measured((20.0, 1.0), "1"), Measured((20.0, 2.0), "2")]
    shapes = heights(points, (0.0, 0.0), -15.0, SCREEN)
    bent = [one for one in shapes if isinstance(one, Polyline) and len(one.points) == 3]
    assert bent
    for one in bent:
        (x0, y0), (x1, y1), (_, y2) = one.points
        assert abs(x1 - x0) == pytest.approx(abs(y1 - y0))
        assert y1 == y2


def test_dots_lie_between_the_curves() -> None:
    x = np.linspace(0.0, 60.0, 61)
    low, high = np.sin(x / 10.0) * 5.0, np.sin(x / 10.0) * 5.0 + 6.0
    dots = fills.dots(x, low, high, "friction")
    area = shapely.Polygon([*zip(x, low, strict=True), *zip(x[::-1], high[::-1], strict=True)])
    assert all(area.contains(shapely.Point(one.centre).buffer(one.radius * 0.5)) for one in dots)
    per_dot = fills.DOT_SPACING**2 / 2.0
    assert len(dots) * per_dot == pytest.approx(area.area, rel=0.25)


@pytest.mark.parametrize("left", [True, False])
@pytest.mark.parametrize("end", [(30.0, 5.0), (0.0, 35.0), (-20.0, 5.0)])
def test_limit_ticks_stand_on_the_forbidden_side(left: bool, end: tuple[float, float]) -> None:
    start = (0.0, 5.0)
    line, *ticks = fills.limit_line(start, end, left)
    assert line.points == (start, end)
    assert len(ticks) >= 3
    along = np.subtract(end, start) / math.dist(start, end)
    for tick in ticks:
        step = np.subtract(tick.points[1], tick.points[0])
        side = along[0] * step[1] - along[1] * step[0]
        assert (side > 0.0) == left
        assert abs(side) == pytest.approx(float(along @ step))
        assert np.hypot(*step) == pytest.approx(6 * PX)
        assert 0.0 <= float(np.subtract(tick.points[1], start) @ along) <= math.dist(start, end)


def test_moving_a_group_moves_all_of_it() -> None:
    group = Group((Circle((1.0, 2.0), 1.0, "mount"), text("x")), "mount", "left")
    shifted = moved(group, 10.0, 20.0)
    assert bounds([shifted]) == pytest.approx(tuple(np.add(bounds([group]), (10, 20, 10, 20))))
    assert shifted.name == "left"
