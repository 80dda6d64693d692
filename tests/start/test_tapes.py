"""A point from tape distances: exact without noise, honest with it, mirror image asked.

The expected misfit is that of least squares with independent errors: E[SSR] = sigma² (k - 3)
for k tapes and 3 unknowns (Gauss; any textbook of adjustment, from memory).
"""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from strutkit.decide.start.tapes import point_from_tapes
from strutkit.errors import RecordError

CORNERS = ((0.0, 0.0, 0.0), (1.2, 0.0, 0.0), (0.0, 0.9, 0.0))
reach = st.floats(-1.5, 1.5)
few = settings(max_examples=25)


def tapes(place: tuple[float, ...], known: tuple[tuple[float, ...], ...]) -> list[float]:
    return [math.dist(place, one) for one in known]


@few
@given(x=reach, y=reach, z=st.floats(0.05, 1.5), sign=st.sampled_from((1.0, -1.0)))
def test_three_tapes_give_the_point_and_its_mirror_image(
    x: float, y: float, z: float, sign: float
) -> None:
    place = (x, y, sign * z)
    found = point_from_tapes(CORNERS, tapes(place, CORNERS))
    assert len(found) == 2
    assert min(math.dist(one.point, place) for one in found) < 1e-6
    assert {round(one.point[2] / z) for one in found} == {1, -1}
    assert max(one.misfit for one in found) < 1e-9


@few
@given(x=reach, y=reach, z=st.floats(-1.0, -0.02))
def test_a_point_off_the_plane_of_the_others_settles_the_side(x: float, y: float, z: float) -> None:
    known = (*CORNERS, (0.4, 0.3, 0.8))
    place = (x, y, z)
    found = point_from_tapes(known, tapes(place, known))
    assert math.dist(found[0].point, place) < 1e-6
    if len(found) == 2:
        other = np.array(found[1].residuals)
        assert np.abs(other).max() < 0.02, "a second place is told only where it fits as well"


def test_misfit_of_noisy_tapes_is_that_of_least_squares() -> None:
    random = np.random.default_rng(7)
    known = (*CORNERS, (1.0, 0.8, 0.5), (0.2, 0.7, 0.9), (0.9, 0.1, 0.7))
    place, sigma, runs = (0.5, -0.4, 0.6), 0.004, 100
    squares, hits = [], 0
    for _ in range(runs):
        noisy = np.array(tapes(place, known)) + random.normal(0.0, sigma, len(known))
        best = point_from_tapes(known, list(noisy), tape_error=sigma)[0]
        squares.append(sum(one**2 for one in best.residuals))
        assert best.misfit == pytest.approx(math.sqrt(squares[-1] / len(known)))
        hits += math.dist(best.point, place) < 3.0 * best.uncertainty
    assert np.mean(squares) == pytest.approx(sigma**2 * (len(known) - 3), rel=0.2)
    assert hits > 0.97 * runs


def test_tapes_that_do_not_meet_show_a_misfit() -> None:
    found = point_from_tapes(CORNERS, [0.2, 0.2, 0.2])
    assert found[0].misfit > 0.3


@pytest.mark.parametrize(
    ("known", "distances", "words"),
    [
        (CORNERS[:2], [1.0, 1.0], "2 known points are given; tape from at least three"),
        (CORNERS, [1.0, 1.0], "3 known points have 2 tapes; give one for each"),
        (CORNERS, [1.0, 0.0, 1.0], "a tape is 0 mm; it must be over 0"),
        (CORNERS, [1.0, math.nan, 1.0], "must be finite"),
        (((0, 0, 0), (1, 0, 0), (2, 0, 0)), [1.0, 1.0, 1.0], "lie on one line"),
    ],
)
def test_what_cannot_be_taped_is_said(
    known: tuple[tuple[float, float, float], ...], distances: list[float], words: str
) -> None:
    with pytest.raises(RecordError, match=words):
        point_from_tapes(known, distances)
