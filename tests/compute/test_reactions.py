"""Two hinge points in balance with any forces on the panel."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from strutkit.compute.reactions import radial, two_point_reactions


@given(seed=st.integers(0, 2**32 - 1), at_first=st.booleans())
def test_forces_and_moments_balance(seed: int, at_first: bool) -> None:
    """Residuals of all six equations about a point of no importance, to 1e-12."""
    rng = np.random.default_rng(seed)
    first, second, anywhere = rng.uniform(-1.0, 1.0, (3, 3))
    line = (second - first) / np.linalg.norm(second - first)
    force = rng.normal(0.0, 300.0, (5, 3))
    moment = rng.normal(0.0, 100.0, (5, 3))
    moment -= (moment @ line)[:, None] * line
    r1, r2, thrust = two_point_reactions(first, second, force, moment, thrust_at_first=at_first)
    size = np.abs([r1, r2]).max()
    np.testing.assert_allclose(r1 + r2 + force, 0.0, atol=1e-12 * size)
    left = np.cross(first - anywhere, r1 + force) + np.cross(second - anywhere, r2) + moment
    np.testing.assert_allclose(left, 0.0, atol=1e-12 * size)
    bears, free = (r1, r2) if at_first else (r2, r1)
    np.testing.assert_allclose(bears @ line, thrust, atol=1e-12 * size)
    np.testing.assert_allclose(free @ line, 0.0, atol=1e-12 * size)


def test_radial_is_what_is_square_to_the_line() -> None:
    force = np.array([[3.0, 99.0, 4.0], [0.0, -7.0, 0.0]])
    np.testing.assert_allclose(radial(force, np.array([0.0, 1.0, 0.0])), [5.0, 0.0])


# Beer, Johnston: Vector Mechanics for Engineers, Statics, problems of the chapter on equilibrium
# in three dimensions, restated in a worked solution and recomputed (read): y is up, the hinge
# line along x or z, A or B takes the thrust. `forces` are (force, place) of weight and prop.
def about(first: tuple[float, ...], forces: list) -> tuple[np.ndarray, np.ndarray]:
    total = sum(np.array(force) for force, _ in forces)
    moment = sum(np.cross(np.array(place) - np.array(first), force) for force, place in forces)
    return total, moment


def test_plate_held_by_a_cable() -> None:
    """Problem 4.118: 981 N at (390, 0, 225) mm, cable at (600, 0, 450) along (-270, 675, -450)/855.
    Printed: T 621.31 N, A_x 196.2, A_y 377.3, B_y 113.186 N."""
    A, B = (0.0, 0.0, 0.0), (0.780, 0.0, 0.0)
    cable = 621.31 * np.array([-270.0, 675.0, -450.0]) / 855.0
    total, moment = about(A, [((0, -981.0, 0), (0.390, 0, 0.225)), (cable, (0.600, 0, 0.450))])
    assert moment[0] == pytest.approx(0.0, abs=0.02)
    at_a, at_b, thrust = two_point_reactions(
        np.array(A), np.array(B), total, moment, thrust_at_first=True
    )
    assert thrust == pytest.approx(196.2, abs=0.05)
    assert at_a[0] == pytest.approx(196.2, abs=0.05)
    assert at_a[1] == pytest.approx(377.3, abs=0.05)
    assert at_b[1] == pytest.approx(113.186, abs=0.01)
    assert at_b[0] == 0.0


def test_roof_cover_on_a_brace() -> None:
    """A worked solution of the roof cover problem: axis z, B(0,0,0) with the thrust, A(0,0,0.6);
    26 kg at (0.45, 0, 0.3) m, brace at (0.9, 0, 0.6) along 74 degrees from x to y.
    Printed: brace 132.678 N, A (-36.566, 0), B (0, 127.53) N."""
    A, B = (0.0, 0.0, 0.6), (0.0, 0.0, 0.0)
    brace = 132.678 * np.array([np.cos(np.radians(74.0)), np.sin(np.radians(74.0)), 0.0])
    weight = (0.0, -26.0 * 9.81, 0.0)
    total, moment = about(A, [(weight, (0.45, 0.0, 0.3)), (brace, (0.9, 0.0, 0.6))])
    at_a, at_b, _ = two_point_reactions(
        np.array(A), np.array(B), total, moment, thrust_at_first=False
    )
    np.testing.assert_allclose(at_a[:2], (-36.566, 0.0), atol=0.02)
    np.testing.assert_allclose(at_b, (0.0, 127.53, 0.0), atol=0.01)
