"""Roots and peaks against curves whose roots and peaks are known beforehand, and scipy.

The curves are products of half-angle sines, prod sin((theta - t_i)/2): smooth over the travel as
moments are, with roots exactly at the t_i.
"""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from strutkit.compute import roots

NODES = np.linspace(0.0, 2.0, 230)
STEP = NODES[1]

some = settings(max_examples=40)


def product(*places: float, scale: float = 1.0) -> roots.Curve:
    def curve(rows: np.ndarray, angle: np.ndarray) -> np.ndarray:
        value = np.full_like(angle, scale)
        for place in places:
            value = value * np.sin((angle - place) / 2.0)
        return value

    return curve


def found(curve: roots.Curve, nodes: np.ndarray = NODES) -> np.ndarray:
    values = curve(np.zeros(1, dtype=int), nodes[None, :])
    return roots.find_roots(curve, nodes[None, :], values)[0]


@some
@given(
    places=st.lists(st.floats(0.02, 1.95), min_size=1, max_size=5),
    outside=st.lists(st.floats(2.2, 4.0), max_size=2),
    scale=st.sampled_from([-300.0, 1e-6, 1.0, 4e3]),
)
def test_roots_well_apart(places: list[float], outside: list[float], scale: float) -> None:
    inside = sorted(places)
    inside = [one for i, one in enumerate(inside) if i == 0 or one - inside[i - 1] > 3 * STEP]
    got = found(product(*inside, *outside, scale=scale))
    np.testing.assert_allclose(got, inside, rtol=0.0, atol=1e-11)


@some
@given(first=st.floats(0.05, 1.8), apart=st.floats(1e-4, 0.9 * STEP), other=st.floats(2.2, 4.0))
def test_two_roots_between_two_nodes(first: float, apart: float, other: float) -> None:
    """The curve dips through zero and back, and no node sees the other side."""
    got = found(product(first, first + apart, other, scale=50.0))
    np.testing.assert_allclose(got, [first, first + apart], rtol=0.0, atol=1e-9)


@some
@given(place=st.floats(0.05, 1.9), scale=st.sampled_from([-40.0, 1.0, 900.0]))
def test_a_touching_root_is_none(place: float, scale: float) -> None:
    assert found(product(place, place, scale=scale)).size == 0


def test_a_touching_root_on_a_node_is_none() -> None:
    assert found(product(NODES[70], NODES[70])).size == 0


@some
@given(place=st.floats(0.05, 1.9))
def test_a_triple_root_is_one(place: float) -> None:
    got = found(product(place, place, place))
    assert got == pytest.approx([place], abs=1e-4)


def test_a_root_on_a_node_is_found_once() -> None:
    np.testing.assert_allclose(found(product(NODES[70])), [NODES[70]], rtol=0.0, atol=1e-15)


def test_roots_at_both_ends_are_not_inside() -> None:
    assert found(product(0.0, 2.0)).size == 0


def test_many_curves_keep_their_rows() -> None:
    places = np.array([0.31, 0.77, 1.23, 1.61])

    def curve(rows: np.ndarray, angle: np.ndarray) -> np.ndarray:
        return np.sin(angle - places[rows][:, None])

    every = np.tile(NODES, (4, 1))
    got = roots.find_roots(curve, every, curve(np.arange(4), every))
    np.testing.assert_allclose(np.concatenate(got), places, rtol=0.0, atol=1e-14)


def test_no_root() -> None:
    assert found(lambda rows, angle: np.cos(angle / 2.0) + 1.0).size == 0


@st.composite
def waves(draw: st.DrawFn) -> roots.Curve:
    """A sum of waves as long as those of moments."""
    size = draw(st.lists(st.floats(-5.0, 5.0), min_size=7, max_size=7))
    start = draw(st.lists(st.floats(0.0, math.tau), min_size=7, max_size=7))
    assert len(size) == len(start)

    def curve(rows: np.ndarray, angle: np.ndarray) -> np.ndarray:
        pairs = zip(size, start, strict=True)
        return sum((a * np.cos(n * angle + b) for n, (a, b) in enumerate(pairs)), 0.0 * angle)

    return curve


@some
@given(curve=waves())
def test_peak_is_the_one_that_scipy_finds(curve: roots.Curve) -> None:
    row = np.zeros(1, dtype=int)
    angle, value = roots.find_peaks(curve, NODES[None, :], curve(row, NODES[None, :]))

    def low(theta: float) -> float:
        return -float(curve(row, np.array([[theta]]))[0, 0])

    dense = np.linspace(0.0, 2.0, 20001)
    heights = curve(row, dense[None, :])[0]
    best = int(heights.argmax())
    bounds = (dense[max(best - 1, 0)], dense[min(best + 1, 20000)])
    near = minimize_scalar(low, bounds=bounds, method="bounded", options={"xatol": 1e-12})
    highest = max(-near.fun, heights[best])
    assert value[0] == pytest.approx(highest, abs=1e-7)
    assert value[0] == pytest.approx(-low(angle[0]), abs=1e-12)
    assert 0.0 <= angle[0] <= 2.0


@pytest.mark.parametrize("apart", [0.0, 1e-15, 1e-9, 5e-7])
@pytest.mark.parametrize("side", [-0.3, 0.3])
def test_nodes_that_stand_twice_hide_no_peak(side: float, apart: float) -> None:
    """As the dead centres of two struts side by side do; a peak below the pair, or above it."""
    place = NODES[115] + side * STEP
    twice = np.sort(np.concatenate([NODES, np.minimum(NODES + apart, 2.0)]))[None, :]

    def curve(rows: np.ndarray, angle: np.ndarray) -> np.ndarray:
        return np.cos(angle - place)

    angle, value = roots.find_peaks(curve, twice, curve(np.zeros(1, dtype=int), twice))
    assert value[0] == pytest.approx(1.0, abs=1e-12)
    assert angle[0] == pytest.approx(place, abs=1e-6)


def test_a_tie_goes_to_the_smallest_angle() -> None:
    """Five equal peaks, on nodes."""
    nodes = np.arange(0.0, 33.0)[None, :] / 8.0
    heights = np.where(np.arange(33) % 8 == 4, 1.0, 0.0)

    def tents(rows: np.ndarray, angle: np.ndarray) -> np.ndarray:
        return np.interp(angle, nodes[0], heights)

    angle, value = roots.find_peaks(tents, nodes, heights[None, :])
    assert (angle[0], value[0]) == (0.5, 1.0)


def test_a_flat_curve_peaks_at_its_start() -> None:
    nodes = NODES[None, :]
    angle, value = roots.find_peaks(lambda rows, theta: 0.0 * theta + 3.0, nodes, 0 * nodes + 3.0)
    assert (angle[0], value[0]) == (0.0, 3.0)


def test_a_peak_at_the_end() -> None:
    nodes = NODES[None, :]
    angle, value = roots.find_peaks(lambda rows, theta: theta**2, nodes, nodes**2)
    assert (angle[0], value[0]) == (2.0, 4.0)
