"""Two hinge points in balance with any forces on the panel."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from strutkit.compute.reactions import radial, two_point_reactions


@settings(max_examples=30)
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
