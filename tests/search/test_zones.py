"""Zones as radii and angles, against shapely and dense sampling; zones that make no sense."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, contains_xy

from strutkit.decide.search.reach import Reach, halved
from strutkit.decide.search.zones import (
    ZoneShape,
    alpha_intervals,
    arcs,
    door_plane,
    frame_angles,
    inside,
    margin,
    zone_shape,
)
from strutkit.describe.records import Zone
from strutkit.errors import RecordError
from tests.search.problems import random_problem

few = settings(max_examples=12)
DOOR = random_problem(0).door
PLANE = door_plane(DOOR)


def shape_of(corners: np.ndarray) -> ZoneShape:
    return zone_shape(PLANE, zone_of(corners))


def zone_of(corners: np.ndarray, part: str = "panel") -> Zone:
    places = PLANE.place(np.asarray(corners, dtype=complex), 0.1)
    return Zone(part=part, corners=tuple(tuple(one) for one in places))


def outline(seed: int) -> np.ndarray:
    """A random polygon that does not hold the hinge line, often notched, at any bearing."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(3, 9))
    turns = 2.0 * math.pi * (np.arange(count) + rng.uniform(0.0, 0.9, count)) / count
    corners = rng.uniform(0.4, 1.0, count) * np.exp(1j * turns)
    spot = rng.uniform(1.1, 3.0) * np.exp(1j * rng.uniform(-math.pi, math.pi))
    return rng.uniform(0.02, 0.2) * (spot + corners)


def sampled(corners: np.ndarray, seed: int, count: int = 4000) -> np.ndarray:
    """Points inside a polygon by shapely."""
    rng = np.random.default_rng(seed)
    shape = Polygon(np.stack([corners.real, corners.imag], axis=1))
    low_x, low_y, high_x, high_y = shape.bounds
    x, y = rng.uniform(low_x, high_x, count), rng.uniform(low_y, high_y, count)
    return (x + 1j * y)[contains_xy(shape, x, y)]


def in_intervals(angle: np.ndarray, intervals: np.ndarray, slack: float = 1e-9) -> np.ndarray:
    """Whether angles [n] lie in intervals [n, k, 2], by whole turns."""
    turns = 2.0 * math.pi * np.arange(-2, 3)
    all_angles = angle[:, None, None] + turns
    low, high = intervals[..., :1] - slack, intervals[..., 1:] + slack
    return ((all_angles >= low) & (all_angles <= high)).any(axis=(1, 2))


@few
@given(st.integers(0, 10**6))
def test_inside_and_margin_agree_with_shapely(seed: int) -> None:
    corners = outline(seed)
    shape = Polygon(np.stack([corners.real, corners.imag], axis=1))
    rng = np.random.default_rng(seed)
    spots = corners.mean() + 0.3 * (rng.normal(size=200) + 1j * rng.normal(size=200))
    held = contains_xy(shape, spots.real, spots.imag)
    assert (inside(corners, spots) == held).all()
    from shapely import points

    away = np.array([shape.exterior.distance(one) for one in points(spots.real, spots.imag)])
    np.testing.assert_allclose(np.abs(margin(corners, spots)), away, atol=1e-12)
    assert ((margin(corners, spots) > 0.0) == held).all()


@few
@given(st.integers(0, 10**6))
def test_arcs_hold_every_point_of_the_zone_and_no_other(seed: int) -> None:
    corners = outline(seed)
    shape = shape_of(corners)
    spots = sampled(corners, seed)
    on_circles = arcs(shape, np.abs(spots), np.abs(spots))
    assert in_intervals(np.angle(spots), on_circles).all()
    for low, high in (on_circles[:, 0, 0], on_circles[:, 0, 1]), (on_circles[:, -1, 0],) * 2:
        there = np.isfinite(low) & np.isfinite(high)
        middle = np.abs(spots[there]) * np.exp(1j * (low + high)[there] / 2.0)
        assert (margin(shape.corners, middle) > -1e-9).all()


@few
@given(st.integers(0, 10**6))
def test_slabs_are_the_exact_projection(seed: int) -> None:
    """Every point is in its slab's arcs, and each end of an arc is reached within the slab."""
    corners = outline(seed)
    shape = shape_of(corners)
    spots = sampled(corners, seed)
    low, high = shape.radii
    edges = np.linspace(low, high, 6)
    slabs = arcs(shape, edges[:-1], edges[1:])
    number = np.clip(np.searchsorted(edges, np.abs(spots)) - 1, 0, 4)
    assert in_intervals(np.angle(spots), slabs[number]).all()
    rim = np.concatenate(
        [
            start + np.linspace(0.0, 1.0, 4001)[:-1] * (end - start)
            for start, end in zip(shape.corners, np.roll(shape.corners, -1), strict=True)
        ]
    )
    for slab, intervals in enumerate(slabs):
        there = rim[(np.abs(rim) >= edges[slab] - 1e-9) & (np.abs(rim) <= edges[slab + 1] + 1e-9)]
        for end in intervals[np.isfinite(intervals[:, 0])].ravel():
            away = np.abs(np.angle(there * np.exp(-1j * end)))
            assert away.min() < 2e-3


def test_a_zone_that_winds_more_than_half_round_the_line_keeps_its_angles() -> None:
    turns = np.linspace(-0.5, 3.6, 9)
    corners = np.concatenate([0.2 * np.exp(1j * turns), 0.15 * np.exp(1j * turns[::-1])])
    found = arcs(shape_of(corners), np.array([0.18]), np.array([0.18]))
    finite = found[np.isfinite(found[..., 0])]
    assert np.ptp(finite) == pytest.approx(4.1, abs=0.02)


@few
@given(st.integers(0, 10**6))
def test_alpha_and_turns_are_those_of_pairs_of_points(seed: int) -> None:
    frame, panel = outline(seed), outline(seed + 1)
    first, second = shape_of(frame), shape_of(panel)
    a, b = sampled(frame, seed), sampled(panel, seed + 1)
    count = min(len(a), len(b))
    a, b = a[:count], b[:count]
    frame_arcs, panel_arcs = (
        arcs(first, np.abs(a), np.abs(a)),
        arcs(second, np.abs(b), np.abs(b)),
    )
    alpha = np.angle(b / a)
    reachable = alpha_intervals(frame_arcs, panel_arcs)
    assert in_intervals(alpha, reachable).all()
    low, high = reachable[:, 0].T
    inner = low + 0.3 * (high - low)
    turns = frame_angles(frame_arcs, panel_arcs, inner)
    middle = turns[:, 0].mean(axis=1)
    assert (margin(first.corners, np.abs(a) * np.exp(1j * middle)) > -1e-9).all()
    assert (margin(second.corners, np.abs(b) * np.exp(1j * (middle + inner))) > -1e-9).all()


def test_halving_covers_the_box_and_cutting_loses_no_pair_of_points() -> None:
    frame, panel = outline(3), outline(8)
    reach = Reach(shape_of(frame), shape_of(panel))
    boxes = reach._plain_boxes()
    for _ in range(2):
        boxes = reach.cut(halved(boxes))
    a, b = sampled(frame, 1), sampled(panel, 2)
    for one, other in zip(a[:150], b[:150], strict=True):
        alpha = np.angle(other / one)
        turns = alpha + 2.0 * math.pi * np.arange(-2, 3)[:, None]
        held = (boxes.frame[:, 0] <= abs(one)) & (abs(one) <= boxes.frame[:, 1])
        held &= (boxes.panel[:, 0] <= abs(other)) & (abs(other) <= boxes.panel[:, 1])
        slack = 1e-12
        within = (boxes.phase[:, 0] - slack <= turns) & (turns <= boxes.phase[:, 1] + slack)
        assert (held & within.any(axis=0)).any()


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        ([0.1, 0.3 + 0.2j, 0.3, 0.1 + 0.2j], "panel zone: its outline crosses or touches itself"),
        ([-0.2 - 0.2j, 0.2 - 0.2j, 0.2 + 0.2j, -0.2 + 0.2j], "panel zone: it holds the hinge line"),
        ([0.00005 - 0.1j, 0.2 - 0.1j, 0.2 + 0.1j, 0.00005 + 0.1j], "within 0.05 mm of the hinge"),
        ([0.1, 0.2, 0.3], "panel zone: its corners enclose no area"),
        ([0.1, 0.1, 0.2], "panel zone: its corners enclose no area"),
        ([0.1, 0.3, 0.3 + 0.1j, 0.2 + 0.1j, 0.2, 0.1 + 0.1j], "crosses or touches itself"),
        (
            0.3 + 0.1 * np.exp(2j * np.pi * np.arange(201) / 201),
            "201 corners; draw it with at most",
        ),
    ],
)
def test_zones_that_make_no_sense_are_refused(corners: list[complex], words: str) -> None:
    with pytest.raises(RecordError, match=words):
        shape_of(np.array(corners))


def test_a_zone_that_winds_by_a_full_turn_is_refused() -> None:
    turns = np.linspace(0.0, 6.6, 40)
    outer, inner = (
        (0.3 + 0.02 * turns) * np.exp(1j * turns),
        (0.28 + 0.02 * turns) * np.exp(1j * turns),
    )
    with pytest.raises(RecordError, match="winds round the hinge line by a full turn"):
        shape_of(np.concatenate([outer, inner[::-1]]))


def test_two_corners_are_no_zone() -> None:
    with pytest.raises(RecordError, match="has 2 points; write at least 3"):
        zone_of(np.array([0.1, 0.2]))
