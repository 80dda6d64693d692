"""Turning, lengths, lever arms, dead centres, side axes: against scipy's rotations and calculus."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar
from scipy.spatial.transform import Rotation

from strutkit.compute import geometry

ANGLES = np.linspace(0.0, 6.2, 400)
STRUTS = 6


class Random:
    """A skew hinge line and some mounts about it."""

    def __init__(self, seed: int, *, flat: bool = False) -> None:
        rng = np.random.default_rng(seed)
        self.rng = rng
        self.origin = rng.uniform(-2.0, 2.0, 3)
        axis = rng.normal(size=3)
        self.axis = axis / np.linalg.norm(axis)
        self.frame = self.origin + rng.uniform(-0.6, 0.6, (STRUTS, 3))
        self.panel = self.origin + rng.uniform(-0.6, 0.6, (STRUTS, 3))
        if flat:
            self.panel = self.panel + ((self.frame - self.panel) @ self.axis)[:, None] * self.axis
        self.shape = geometry.strut_geometry(self.frame, self.panel, self.origin, self.axis)

    def turned(self, angle: np.ndarray) -> np.ndarray:
        """Panel mounts at each angle [s, n, 3]."""
        turn = Rotation.from_rotvec(np.asarray(angle)[:, None] * self.axis)
        return np.array([turn.apply(one - self.origin) + self.origin for one in self.panel])

    def lengths(self, angle: np.ndarray) -> np.ndarray:
        return np.linalg.norm(self.turned(angle) - self.frame[:, None, :], axis=-1)

    def length(self, strut: int, angle: float) -> float:
        turn = Rotation.from_rotvec(angle * self.axis)
        place = turn.apply(self.panel[strut] - self.origin) + self.origin
        return float(np.linalg.norm(place - self.frame[strut]))


@pytest.fixture(params=range(4), ids=lambda seed: f"mounts-{seed}")
def mounts(request: pytest.FixtureRequest) -> Random:
    return Random(request.param, flat=request.param % 4 == 3)


def test_rotation_is_that_of_scipy(mounts: Random) -> None:
    got = geometry.rotate(mounts.panel, mounts.origin, mounts.axis, ANGLES)
    np.testing.assert_allclose(got, mounts.turned(ANGLES), rtol=0.0, atol=1e-14)


def test_a_point_of_the_line_stays(mounts: Random) -> None:
    place = mounts.origin + 0.7 * mounts.axis
    got = geometry.rotate(place, mounts.origin, mounts.axis, ANGLES)
    np.testing.assert_allclose(got, np.tile(place, (len(ANGLES), 1)), rtol=0.0, atol=1e-14)


def test_lengths(mounts: Random) -> None:
    length, _ = geometry.lengths_and_arms(mounts.shape, ANGLES)
    np.testing.assert_allclose(length, mounts.lengths(ANGLES), rtol=0.0, atol=1e-14)


def test_lever_arm_is_the_slope_of_the_length(mounts: Random) -> None:
    """Complex step: dL/dtheta = Im L(theta + i h) / h, exact to rounding. Turning is written out
    as a matrix (Euler-Rodrigues), which takes a complex angle."""
    h = 1e-30
    k = mounts.axis
    cross = np.array([[0, -k[2], k[1]], [k[2], 0, -k[0]], [-k[1], k[0], 0]])
    _, arm = geometry.lengths_and_arms(mounts.shape, ANGLES)
    for column, theta in enumerate(ANGLES + 1j * h):
        turn = np.eye(3) + np.sin(theta) * cross + (1.0 - np.cos(theta)) * (cross @ cross)
        line = (mounts.panel - mounts.origin) @ turn.T + mounts.origin - mounts.frame
        slope = np.sqrt(np.sum(line * line, axis=-1)).imag / h
        np.testing.assert_allclose(arm[:, column], slope, rtol=0.0, atol=1e-13)


def test_each_row_of_angles_gives_what_it_gives_alone(mounts: Random) -> None:
    rows = mounts.rng.uniform(0.0, 3.0, (4, 7))
    length, arm = geometry.lengths_and_arms(mounts.shape, rows)
    assert length.shape == arm.shape == (4, STRUTS, 7)
    for row in range(4):
        alone = geometry.lengths_and_arms(mounts.shape, rows[row])
        np.testing.assert_array_equal(length[row], alone[0])
        np.testing.assert_array_equal(arm[row], alone[1])


def test_a_strut_of_no_length_has_no_arm() -> None:
    """Mounts that meet: equal radius, no offset, at the angle that brings them together."""
    shape = geometry.strut_geometry(
        [[0.0, 0.0, 0.3]], [[0.3, 0.0, 0.0]], np.zeros(3), np.array([0.0, 1.0, 0.0])
    )
    length, arm = geometry.lengths_and_arms(shape, -shape.phase)
    assert length[0, 0] == 0.0
    assert arm[0, 0] == 0.0


def test_dead_centres_are_where_the_line_of_the_strut_meets_the_hinge_line(mounts: Random) -> None:
    got = geometry.dead_centres(mounts.shape, 6.2)
    assert (np.diff(got) > 0.0).all()
    expected = []
    length = mounts.lengths(ANGLES)
    for strut in range(STRUTS):
        slope = np.diff(length[strut])
        for turn in np.flatnonzero(slope[:-1] * slope[1:] < 0.0):
            sign = np.sign(slope[turn])
            bounds = (ANGLES[turn], ANGLES[turn + 2])
            best = minimize_scalar(
                lambda theta, s=strut, up=sign: -up * mounts.length(s, theta),
                bounds=bounds,
                method="bounded",
                options={"xatol": 1e-10},
            )
            expected.append(best.x)
    np.testing.assert_allclose(got, np.sort(expected), rtol=0.0, atol=1e-6)


def test_lines_through_dead_centres_meet_the_hinge_line(mounts: Random) -> None:
    for angle in geometry.dead_centres(mounts.shape, 6.2):
        place = mounts.turned(np.array([angle]))[:, 0]
        lever = np.cross(mounts.frame - mounts.origin, place - mounts.frame) @ mounts.axis
        assert np.abs(lever).min() <= 1e-14


@pytest.mark.parametrize("high", [0.3, 1.1, 2.9, 6.28])
def test_shortest_and_longest(mounts: Random, high: float) -> None:
    grid = np.linspace(0.0, high, 4001)
    dense = mounts.lengths(grid)
    for extreme, pick, sign in (
        (geometry.shortest, dense.argmin(axis=1), 1.0),
        (geometry.longest, dense.argmax(axis=1), -1.0),
    ):
        length, angle = extreme(mounts.shape, high)
        for strut in range(STRUTS):
            middle = pick[strut]
            bounds = (grid[max(middle - 1, 0)], grid[min(middle + 1, 4000)])
            best = minimize_scalar(
                lambda theta, s=strut, up=sign: up * mounts.length(s, theta),
                bounds=bounds,
                method="bounded",
                options={"xatol": 1e-12},
            )
            expected = min(best.fun, sign * dense[strut, middle])
            assert sign * length[strut] == pytest.approx(expected, abs=1e-12)
            assert mounts.length(strut, angle[strut]) == pytest.approx(length[strut], abs=1e-13)
            assert 0.0 <= angle[strut] <= high


def test_angle_at_extension_is_the_first_one_while_lengthening(mounts: Random) -> None:
    grid = np.linspace(0.0, 2.0 * math.pi, 7201)
    dense = mounts.lengths(grid)
    wanted = mounts.rng.uniform(0.0, 1.3, STRUTS)
    extended = dense.min(axis=1) + wanted * np.ptp(dense, axis=1)
    got = geometry.angle_at_extension(mounts.shape, extended)
    for strut in range(STRUTS):
        over = dense[strut] - extended[strut]
        rises = np.flatnonzero((over[:-1] < 0.0) & (over[1:] >= 0.0))
        if not len(rises):
            assert got[strut] == np.inf
            continue
        low, high = grid[rises[0]], grid[rises[0] + 1]
        angle = brentq(
            lambda theta, s=strut: mounts.length(s, theta) - extended[s], low, high, xtol=1e-14
        )
        assert got[strut] == pytest.approx(angle, abs=1e-11)


def test_directions_run_from_frame_to_panel(mounts: Random) -> None:
    place, direction = geometry.strut_directions(
        mounts.frame, mounts.panel, mounts.origin, mounts.axis, ANGLES
    )
    turned = mounts.turned(ANGLES)
    np.testing.assert_allclose(place, turned, rtol=0.0, atol=1e-14)
    back = place - mounts.lengths(ANGLES)[..., None] * direction
    expected = np.broadcast_to(mounts.frame[:, None, :], back.shape)
    np.testing.assert_allclose(back, expected, rtol=0.0, atol=1e-14)


@settings(max_examples=30)
@given(st.integers(0, 2**32 - 1))
def test_side_axes_stand_square_to_the_line(seed: int) -> None:
    axis = Random(seed).axis
    outward, upward = geometry.side_axes(axis)
    frame = np.array([outward, upward, axis])
    np.testing.assert_allclose(frame @ frame.T, np.eye(3), rtol=0.0, atol=1e-9)
    if abs(axis[2]) <= math.cos(math.pi / 4.0):
        assert upward[2] > 0.0
    else:
        assert upward[1] >= math.sin(math.pi / 4.0)


@pytest.mark.parametrize(
    ("axis", "outward", "upward"),
    [
        ((0, 1, 0), (1, 0, 0), (0, 0, 1)),
        ((0, -1, 0), (1, 0, 0), (0, 0, 1)),
        ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
        ((-1, 0, 0), (0, 1, 0), (0, 0, 1)),
        ((0, 0, 1), (1, 0, 0), (0, 1, 0)),
    ],
)
def test_side_axes_of_plain_doors(
    axis: tuple[int, ...], outward: tuple[int, ...], upward: tuple[int, ...]
) -> None:
    got = geometry.side_axes(np.array(axis, dtype=float))
    np.testing.assert_allclose(got, (outward, upward), rtol=0.0, atol=1e-15)
