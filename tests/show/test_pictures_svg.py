"""SVG: well-formed whatever the names, true to scale, the same bytes each time.

Outside check: the standard library's XML parser reads the text back; arcs are followed by the
rules of SVG 1.1 (W3C), section 8.3.8, in its end-point form.
"""

import itertools
import math
import re
import subprocess
import sys
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from strutkit.decide.sweep import sweep
from strutkit.show.shapes import Arc, Group, Picture, Polyline, Text
from strutkit.show.sideview import side_view
from strutkit.show.style import COLOURS, THEMES
from strutkit.show.svg import svg_text
from tests.show.picture_doors import HOSTILE, rear_hatch
from tests.texts import texts

SVG = "{http://www.w3.org/2000/svg}"


def picture_of(*shapes, **more: object) -> Picture:
    return Picture(
        width=100.0, height=60.0, shapes=shapes, title="A title", description="Words", **more
    )


def read(picture: Picture, theme: str = "light") -> ET.Element:
    return ET.fromstring(svg_text(picture, theme=theme))


def test_size_is_in_millimetres_and_one_unit_is_one_millimetre() -> None:
    root = read(picture_of(Polyline(((10.0, 20.0), (60.5, 20.0)), "dimension")))
    assert root.get("width") == "100mm"
    assert root.get("height") == "60mm"
    assert root.get("viewBox") == "0 0 100 60"
    (path,) = root.iter(SVG + "path")
    assert path.get("d") == "M10 40L60.5 40"


def test_names_are_shown_literally_and_never_as_markup() -> None:
    door = rear_hatch(HOSTILE)
    picture = side_view(door, sweep(door), 0.4)
    root = read(picture)
    assert root.find(SVG + "title").text == f"Side view of {HOSTILE}"
    assert {element.tag for element in root.iter()} <= {
        SVG + name for name in ("svg", "title", "desc", "rect", "g", "path", "circle", "text")
    }


@given(texts(max_size=60))
def test_any_text_comes_back(words: str) -> None:
    root = read(picture_of(Text((5.0, 5.0), words, "text", 3.0)))
    (element,) = root.iter(SVG + "text")
    allowed = re.sub("[^\t\n\r -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", "\ufffd", words)
    assert (element.text or "").replace("\r", "\n") == allowed.replace("\r\n", "\n").replace(
        "\r", "\n"
    )


def test_same_picture_same_bytes() -> None:
    door = rear_hatch()
    first, second = (side_view(door, sweep(door), 0.4) for _ in range(2))
    for theme in (*THEMES, "page"):
        assert svg_text(first, theme=theme) == svg_text(second, theme=theme)


def test_page_colours_are_the_pages_own_with_ours_behind() -> None:
    text = svg_text(picture_of(Text((5.0, 5.0), "x", "strut", 3.0)), theme="page")
    assert f'fill="var(--strutkit-strut, {COLOURS["strut"][0]})"' in text
    assert "#" not in re.sub(r"var\([^)]*\)", "", text)


def test_themes_differ_in_colour_only() -> None:
    door = rear_hatch()
    picture = side_view(door, sweep(door), 0.4)
    plain = [re.sub("#[0-9A-F]{6}", "", svg_text(picture, theme=theme)) for theme in THEMES]
    assert plain[0] == plain[1] == plain[2]


def arc_points(data: str) -> list[tuple[float, float, float, int]]:
    """(x, y, radius, sweep flag) at the start and after each piece of an arc path."""
    start, *pieces = re.split("A", data)
    x, y = (float(one) for one in start.removeprefix("M").split())
    points = [(x, y, 0.0, 0)]
    for piece in pieces:
        rx, ry, turn, large, flag, x, y = (float(one) for one in piece.split())
        assert rx == ry
        assert turn == 0.0
        assert large == 0.0
        points.append((x, y, rx, int(flag)))
    return points


@given(
    start=st.floats(-7.0, 7.0),
    sweep_angle=st.one_of(st.floats(0.05, 6.2), st.floats(-6.2, -0.05)),
)
def test_arcs_follow_their_circle_the_right_way_round(start, sweep_angle) -> None:
    radius, centre = 20.0, (50.0, 30.0)
    root = read(picture_of(Arc(centre, radius, start, sweep_angle, "handle_arc")))
    (path,) = root.iter(SVG + "path")
    points = arc_points(path.get("d"))
    turned = 0.0
    for (x0, y0, _, _), (x1, y1, r, flag) in itertools.pairwise(points):
        assert r == pytest.approx(radius)
        before = math.atan2((60.0 - y0) - centre[1], x0 - centre[0])
        after = math.atan2((60.0 - y1) - centre[1], x1 - centre[0])
        step = (after - before) % math.tau
        anticlockwise = flag == 0
        turned += step if anticlockwise else step - math.tau
        assert math.hypot(x1 - centre[0], 60.0 - y1 - centre[1]) == pytest.approx(radius, abs=2e-3)
    assert turned == pytest.approx(sweep_angle, abs=1e-3)


def test_turned_text_is_turned_about_its_own_point() -> None:
    root = read(picture_of(Text((20.0, 15.0), "108", "text", 3.0, angle=math.pi / 2)))
    (element,) = root.iter(SVG + "text")
    assert element.get("transform") == "rotate(-90 20 45)"


def test_groups_carry_role_and_name() -> None:
    line = Polyline(((1.0, 1.0), (2.0, 2.0)), "rod")
    root = read(picture_of(Group((line,), "strut", "left & right")))
    (group,) = root.iter(SVG + "g")
    assert group.get("data-role") == "strut"
    assert group.find(SVG + "title").text == "left & right"


def test_drawn_lengths_are_those_of_the_door() -> None:
    """Hinge line to handle, measured in the SVG at 1:5, is the door's own distance."""
    door = rear_hatch()
    root = read(side_view(door, sweep(door), 0.0, medium="paper", scale=0.2), "print")
    circles = [
        (float(one.get("cx")), float(one.get("cy")), float(one.get("r")))
        for one in root.iter(SVG + "circle")
    ]
    hinge = next(one for one in circles if one[2] == pytest.approx(1.323))
    handle = next(one for one in circles if one[2] == pytest.approx(1.058))
    measured = math.dist(hinge[:2], handle[:2]) / 0.2 / 1e3
    expected = float(np.linalg.norm(np.array(door.panel.handle)[[0, 2]]))
    assert measured == pytest.approx(expected, abs=1e-5)


def test_pictures_and_svg_need_no_matplotlib() -> None:
    question = (
        "import sys; import strutkit.show.sideview, strutkit.show.svg; "
        "print('matplotlib' in sys.modules, 'scipy' in sys.modules)"
    )
    assert subprocess.check_output([sys.executable, "-c", question], text=True).split() == [
        "False",
        "False",
    ]
