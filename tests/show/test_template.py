"""Drill templates, measured in the PDF by pdfplumber."""

import itertools
import math
import re
from dataclasses import replace

import numpy as np
import pytest
from shapely import STRtree, box, linestrings

from strutkit import Door, FittedStrut, read_door, save_drill_template, save_sheet
from strutkit.data import door_names, door_path
from strutkit.errors import RecordError, SaveError
from strutkit.show.shapes import Polyline
from strutkit.show.tiling import cut
from tests.show.pdf_reader import (
    POINTS_PER_MM,
    Sheet,
    all_text,
    check_letters,
    ink_box,
    pages,
    plain,
)
from tests.show.test_paper_names import HOSTILE

EXAMPLES = [
    *(pytest.param(name, "a4", id=f"{name}-a4") for name in door_names()),
    pytest.param("rear-hatch", "letter", id="rear-hatch-letter"),
]
PIN_RADIUS, DOT_RADIUS, RING_RADIUS = 2.0, 0.9, 3.0


@pytest.fixture
def templates(papers):
    """Templates of the example doors."""
    return lambda name, page: papers("drill template", name, page)


def circles(page: Sheet, radius: float) -> list[tuple[float, float]]:
    """Centres of all circles of a radius [mm] on a page, from its upper left corner [mm]."""
    wide = 2.0 * radius * POINTS_PER_MM
    return [
        (
            (one["x0"] + one["x1"]) / 2.0 / POINTS_PER_MM,
            (one["top"] + one["bottom"]) / 2.0 / POINTS_PER_MM,
        )
        for one in page.curves
        if abs(one["width"] - wide) < 0.02 and abs(one["height"] - wide) < 0.02
    ]


def window(page: Sheet) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of the window between the register rings [mm]."""
    rings = circles(page, RING_RADIUS)
    across, down = [x for x, _ in rings], [y for _, y in rings]
    assert len(rings) == 4
    return min(across), min(down), max(across), max(down)


def tile(page: Sheet) -> tuple[int, int]:
    """Column and row of the black cell in the tile map."""
    cells = [
        one
        for one in page.rects
        if abs(one["width"] - 5.5 * POINTS_PER_MM) < 0.1
        and abs(one["height"] - 5.5 * POINTS_PER_MM) < 0.1
    ]
    black = [one for one in cells if one["fill"] == (0, 0, 0)]
    assert len(black) == 1
    size = 5.5 * POINTS_PER_MM
    return (
        round((black[0]["x0"] - min(one["x0"] for one in cells)) / size),
        round((black[0]["top"] - min(one["top"] for one in cells)) / size),
    )


def templates_of(data: bytes) -> list[list[Sheet]]:
    """Pages grouped by template: a new one begins with "tile 1 of"."""
    groups: list[list[Sheet]] = []
    for page in pages(data):
        if re.search(r"tile 1 of [0-9]+, 1:1", page.text):
            groups.append([])
        groups[-1].append(page)
    return groups


def place_across_tiles(group: list[Sheet], radius: float) -> list[tuple[float, float]]:
    """Circles of a radius over all tiles laid ring on ring, y upward [mm]."""
    found = []
    for page in group:
        left, top, right, bottom = window(page)
        column, row = tile(page)
        for x, y in circles(page, radius):
            if left <= x <= right and top <= y <= bottom:
                across = x - left + column * (right - left)
                down = y - top + row * (bottom - top)
                found.append((across, -down))
    return found


def expected(door: Door, place: tuple[float, float, float]) -> tuple[float, float]:
    """The ball from the hinge line as one sees it from the panel's middle, looking its way [mm].

    To the right is (way of looking) × (up); up is the structure's up, square to the hinge line.
    """
    first, second = np.array(door.hinge.first), np.array(door.hinge.second)
    k = (second - first) / np.linalg.norm(second - first)
    middle = np.array(door.middle)
    along = float((np.array(place) - middle) @ k)
    looking = k if along >= 0.0 else -k
    up = np.array([0.0, 0.0, 1.0])
    up = up - (up @ k) * k
    up /= np.linalg.norm(up)
    right = np.cross(looking, up)
    arm = (np.array(place) - middle) * 1e3
    return float(arm @ right), float(arm @ up)


@pytest.mark.parametrize(("name", "page"), EXAMPLES)
def test_bars_are_100_mm_and_4_in_along_and_across_on_every_page(templates, name, page) -> None:
    """100 mm = 283.465 pt and 4 in = 288 pt."""
    for one in pages(templates(name, page)):
        strokes = [*one.lines, *one.rects]
        foot, edge = one.height - 46.0 * POINTS_PER_MM, one.width - 20.0 * POINTS_PER_MM
        across = [bar["width"] for bar in strokes if bar["top"] > foot and bar["height"] < 3.0]
        down = [bar["height"] for bar in strokes if bar["x0"] > edge and bar["width"] < 3.0]
        assert sum(abs(length - 283.465) < 0.02 for length in across) == 1
        assert sum(abs(length - 288.0) < 0.02 for length in across) == 1
        assert sum(abs(length - 283.465) < 0.02 for length in down) == 1
        assert "Measure the bars before you drill" in one.text


@pytest.mark.parametrize(("name", "page"), EXAMPLES)
def test_balls_lie_where_the_door_has_them_across_all_tiles(templates, name, page) -> None:
    door = read_door(door_path(name))
    groups = templates_of(templates(name, page))
    places = [point for one in door.fitted for point in (one.frame_mount, one.panel_mount)]
    assert len(groups) == len(places)
    for group, point in zip(groups, places, strict=True):
        pins, dots = (place_across_tiles(group, radius) for radius in (PIN_RADIUS, DOT_RADIUS))
        assert len(pins) == 1
        assert len(dots) == 1
        seen = (dots[0][0] - pins[0][0], dots[0][1] - pins[0][1])
        assert seen == pytest.approx(expected(door, point), abs=0.01)


MEDIUM = {"M8": 9.0, "M6": 6.6}
"""Clearance hole, medium series [mm]: ISO 273 (read in a restatement of the table)."""


def to_drill(one: FittedStrut) -> list[tuple[tuple[float, ...], tuple[float, ...] | None, str]]:
    """Ball, hole and thread of both ends."""
    found = []
    for ball, arm, thread in (
        (one.frame_mount, one.frame_hole, one.frame_thread),
        (one.panel_mount, one.panel_hole, one.panel_thread),
    ):
        hole = None if arm is None else tuple((np.array(ball) + arm).tolist())
        found.append((ball, hole, thread))
    return found


@pytest.mark.parametrize("page", ["a4", "letter"])
def test_holes_are_circles_of_their_drill_across_all_tiles(templates, page) -> None:
    door = read_door(door_path("rear-hatch"))
    groups = templates_of(templates("rear-hatch", page))
    ends = [end for one in door.fitted for end in to_drill(one)]
    assert len(groups) == len(ends) == 4
    for group, (_, hole, thread) in zip(groups, ends, strict=True):
        pins, holes = (
            place_across_tiles(group, radius) for radius in (PIN_RADIUS, MEDIUM[thread] / 2.0)
        )
        assert len(pins) == len(holes) == 1
        seen = (holes[0][0] - pins[0][0], holes[0][1] - pins[0][1])
        assert seen == pytest.approx(expected(door, hole), abs=0.01)
        text = " ".join(one.text for one in group)
        assert f"Ø {MEDIUM[thread]:g} for {thread}" in text
        assert "do not drill" in text


@pytest.mark.parametrize(("name", "page"), EXAMPLES)
def test_printed_distances_and_arcs_are_those_of_the_door(templates, name, page) -> None:
    door = read_door(door_path(name))
    groups = templates_of(templates(name, page))
    ends = [end for one in door.fitted for end in to_drill(one)]
    for group, (ball, hole, _) in zip(groups, ends, strict=True):
        figures = {
            letters for one in group for letters in figures_by_drill_size(one) if letters != "0"
        }
        places = [ball] if hole is None else [ball, hole]
        parts = [part for place in places for part in expected(door, place)]
        wanted = {round(abs(value), 1) for value in parts if abs(value) > 0.05}
        assert sorted(map(float, figures)) == pytest.approx(sorted(wanted), abs=0.051)
        arcs = re.search(
            r"two arcs[a-z ]*, ([0-9.]+) mm \([^)]*\) round the ([a-z]+)"
            r" hinge point and ([0-9.]+) mm \([^)]*\) round the ([a-z]+);",
            plain(" ".join(word["text"] for one in group for word in one.words)),
        )
        assert arcs is not None
        sides = {"left": door.hinge.first, "right": door.hinge.second}
        if door.hinge.first[1] > door.hinge.second[1]:
            sides = {"left": door.hinge.second, "right": door.hinge.first}
        for printed, side in (arcs.groups()[:2], arcs.groups()[2:]):
            hinge = sides[side]
            assert float(printed) == pytest.approx(math.dist(places[-1], hinge) * 1e3, abs=0.051)


@pytest.mark.parametrize(("name", "page"), EXAMPLES)
def test_every_tile_has_something_and_meets_another_edge_to_edge(templates, name, page) -> None:
    """No tile of a template lies apart: ring on ring, all hang together."""
    for group in templates_of(templates(name, page)):
        places = [tile(one) for one in group]
        assert len(set(places)) == len(places) <= 3
        for column, row in places:
            beside = {(column + 1, row), (column - 1, row), (column, row + 1), (column, row - 1)}
            assert len(places) == 1 or beside & set(places)


def figures_by_drill_size(page: Sheet) -> list[str]:
    """Figures in 13 pt, upright or turned, joined letter by letter."""
    large = [one for one in page.letters if abs(one["size"] - 13.0) < 0.2]
    large = [one for one in large if one["text"] in "0123456789."]
    texts: list[str] = []
    last = None
    for letter in large:
        near = (
            last is not None
            and math.dist((letter["x0"], letter["top"]), (last["x0"], last["top"])) < 12.0
        )
        if near:
            texts[-1] += letter["text"]
        else:
            texts.append(letter["text"])
        last = letter
    return texts


@pytest.mark.parametrize(("name", "page"), EXAMPLES)
def test_no_text_overlaps_or_leaves_the_frame(templates, name, page) -> None:
    for one in pages(templates(name, page)):
        check_letters(one)


def test_both_sides_of_a_mirrored_pair_are_drawn_mirrored(templates) -> None:
    text = all_text(templates("rear-hatch", "a4"))
    for words in (
        "F, left side, fixed side",
        "F, right side, fixed side",
        "from the far side lay it face down",
    ):
        assert words in text


def test_same_door_same_bytes(templates, tmp_path) -> None:
    save_drill_template(read_door(door_path("cabin-door")), tmp_path / "a.pdf")
    assert (tmp_path / "a.pdf").read_bytes() == templates("cabin-door", "a4")


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_print_literally(tmp_path, name) -> None:
    door = replace(read_door(door_path("cabin-door")), name=name)
    save_drill_template(door, tmp_path / "a.pdf")
    text = all_text((tmp_path / "a.pdf").read_bytes())
    assert name.replace(" ", "") in text.replace(" ", "")


def test_what_no_paper_can_show_is_refused(tmp_path) -> None:
    door = read_door(door_path("roof-hatch"))
    with pytest.raises(RecordError, match="has no struts; fit one"):
        save_drill_template(replace(door, struts=()), tmp_path / "a.pdf")
    far = replace(door.struts[0], frame_mount=(-2.5, -0.37, 0.0))
    with pytest.raises(RecordError, match="ball centre F is 2500 mm from the hinge line"):
        save_drill_template(replace(door, struts=(far,)), tmp_path / "a.pdf")
    with pytest.raises(RecordError, match="page is 'A4'; write one of a4, letter"):
        save_drill_template(door, tmp_path / "a.pdf", page="A4")
    with pytest.raises(SaveError, match=r"does not end in \.pdf"):
        save_drill_template(door, tmp_path / "a.svg")
    assert list(tmp_path.iterdir()) == []


def test_a_long_name_leaves_room_for_the_drawing(tmp_path) -> None:
    door = replace(read_door(door_path("counter-flap")), name="W" * 250)
    save_drill_template(door, tmp_path / "a.pdf")
    data = (tmp_path / "a.pdf").read_bytes()
    for one in pages(data):
        _, top, _, _ = window(one)
        heading = [
            letter for letter in one.letters if "W" in letter["text"] and letter["size"] > 8.9
        ]
        assert len(heading) == 60
        assert max(letter["bottom"] for letter in heading) < top * POINTS_PER_MM


@pytest.mark.parametrize("seed", range(8))
def test_a_cut_keeps_all_of_the_drawing_and_key_points_off_the_edges(seed) -> None:
    """Windows lie edge to edge, every line lies in a kept one, and key points stay clear."""
    rng = np.random.default_rng(seed)
    points = [tuple(rng.uniform(-400.0, 400.0, 2)) for _ in range(3)]
    line = Polyline(tuple((float(x), float(y)) for x, y in points), "panel")
    found = cut([line], points[:1], ((157.0, 205.0), (244.0, 118.0)))
    windows = [found.window(one) for one in found.kept]
    for start, end in itertools.pairwise(points):
        for share in np.linspace(0.0, 1.0, 101):
            x, y = (1.0 - share) * np.array(start) + share * np.array(end)
            outside = min(max(w[0] - x, x - w[2], w[1] - y, y - w[3]) for w in windows)
            # A corner that a line cuts off between two samples, 6 mm apart, may be left out.
            assert outside <= 3.0
    x, y = points[0]
    clear = max(min(x - w[0], w[2] - x, y - w[1], w[3] - y) for w in windows)
    assert clear == pytest.approx(found.clear)
    assert clear >= 10.0


@pytest.mark.parametrize("seed", range(4))
def test_no_shifted_grid_of_windows_needs_fewer_sheets(seed) -> None:
    """Against a plain search over both ways of the paper and offsets 7 mm apart."""
    rng = np.random.default_rng(100 + seed)
    corner = tuple(float(one) for one in rng.uniform(60.0, 420.0, 2))
    line = Polyline(((0.0, 0.0), (0.0, corner[1]), corner), "panel")
    sizes = ((157.0, 205.0), (244.0, 118.0))
    found = cut([line], [(0.0, 0.0), corner], sizes)
    places = [(0.0, y) for y in np.arange(0.0, corner[1], 2.0)]
    places += [(x, corner[1]) for x in np.arange(0.0, corner[0], 2.0)]
    least = min(
        len({(math.floor((x + right) / wide), math.floor((y + up) / high)) for x, y in places})
        for wide, high in sizes
        for right in np.arange(10.0, wide - 10.0, 7.0)
        for up in np.arange(10.0, high - 10.0, 7.0)
        if all(
            10.0 <= (x + right) % wide <= wide - 10.0 and 10.0 <= (y + up) % high <= high - 10.0
            for x, y in ((0.0, 0.0), corner)
        )
    )
    assert len(found.kept) <= least


def test_what_places_are_measured_from_is_named_where_it_is_assumed(tmp_path) -> None:
    """On every page of the template and on page 1 of the sheet; not where it was measured."""
    measured = replace(read_door(door_path("cabin-door")), conditions=())
    texts = (
        "hinge points: at the two ends of the panel",
        "panel thickness: 20 mm, common practice",
    )
    other = "panel mass: 8 kg, common practice"
    door = replace(measured, assumed=(*texts, other))
    save_drill_template(door, tmp_path / "template.pdf")
    save_sheet(door, tmp_path / "sheet.pdf")
    read = pages((tmp_path / "template.pdf").read_bytes())
    for page in [*read, pages((tmp_path / "sheet.pdf").read_bytes())[0]]:
        words = "Assumed, measure yours first: hinge points at the panel’s ends, thickness."
        assert words in plain(page.text)
    for page in read:
        top = min(y for _, y in circles(page, RING_RADIUS)) - RING_RADIUS
        assert next(one for one in page.words if one["text"] == "thickness.")["bottom"] < (
            top * POINTS_PER_MM
        )
    save_drill_template(replace(measured, assumed=(other,)), tmp_path / "measured.pdf")
    assert "measure yours first" not in all_text((tmp_path / "measured.pdf").read_bytes())


@pytest.mark.parametrize(("name", "page"), EXAMPLES)
def test_a_tile_of_lines_alone_says_so_and_how_far_it_reaches(templates, name, page) -> None:
    """Tiles in one column below the pin: window edges from the pin on tile 1, by the rings."""
    for group in templates_of(templates(name, page)):
        found = place_across_tiles(group, PIN_RADIUS)
        for number, one in enumerate(group, start=1):
            text = plain(one.text)
            drawn = [
                radius
                for radius in {round(r["width"] / 2.0 / POINTS_PER_MM, 2) for r in one.curves}
                if radius not in (0.0, RING_RADIUS) and circles(one, radius)
            ]
            assert ("Spacer: only lines" in text) == (not drawn), (number, drawn)
            assert ("strike two arcs" in text) == bool(drawn)
            if drawn or {column for column, _ in map(tile, group)} != {0}:
                continue
            _, top, _, bottom = window(one)
            near, far = re.search(r"from ([0-9.]+) mm to ([0-9.]+) mm down", text).groups()
            high = bottom - top
            start = found[0][1] + tile(one)[1] * high
            assert float(near) == pytest.approx(start, abs=0.6)
            assert float(far) == pytest.approx(start + high, abs=0.6)
            assert re.search(r"to tile [0-9]+, sheet [0-9]+\.", text)


def test_example_templates_have_a_tile_of_lines_alone(templates) -> None:
    assert "Spacer: only lines" in all_text(templates("rear-hatch", "a4"))


@pytest.mark.parametrize(("name", "page"), EXAMPLES)
def test_no_name_is_crossed_by_a_level_or_upright_line(templates, name, page) -> None:
    """Dimension, extension and datum lines that shapely finds in the middle of a letter."""
    for one in pages(templates(name, page)):
        drawn = [
            [(line["x0"], line["top"]), (line["x1"], line["bottom"])]
            for line in one.lines
            if min(abs(line["x1"] - line["x0"]), abs(line["bottom"] - line["top"])) < 0.01
        ]
        assert len(drawn) > 20
        boxes = box(*np.array([ink_box(letter) for letter in one.letters]).T)
        crossed, _ = STRtree(linestrings(drawn)).query(boxes, "intersects")
        assert [one.letters[number]["text"] for number in crossed] == []
