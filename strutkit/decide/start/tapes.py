"""A point from tape distances to known points, with its misfit, and its mirror image if there is
one that the tapes cannot tell from it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.describe.fields import Point, shown
from strutkit.errors import RecordError

Floats = npt.NDArray[np.float64]

TAPE_ERROR = 0.002
"""What a tape is read to [m] (common practice, no published source)."""

LEAST_SPREAD = 0.010
"""Known points must spread at least this far [m] in two directions."""

ODDS = 3.0
"""Two places are told apart where one fits this many times worse than the tape is read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TapedPlace:
    """One place that the tapes allow.

    point [m]; misfit: root mean square of (distance to the place - tape) [m]; residuals [m], one
    for each tape; uncertainty: standard deviation of the place [m], the largest over directions,
    for tapes read to `TAPE_ERROR`, or as much worse as they disagree.
    """

    point: Point
    misfit: float
    residuals: tuple[float, ...]
    uncertainty: float


def point_from_tapes(
    known: Sequence[Point], distances: Sequence[float], *, tape_error: float = TAPE_ERROR
) -> tuple[TapedPlace, ...]:
    """The places whose distances from known points fit the tapes, best first; one or two.

        minimise sum((|p - k_i| - d_i)²) over p

    known [m], three or more, not on one line; distances [m]; tape_error [m]. Two places come back
    where the mirror image about the plane of the known points fits as well: only the builder
    knows on which side the point lies. With three tapes nothing is left over to check them by,
    and a misfit of 0 says nothing. Raises `RecordError`.
    """
    points, tapes = _checked(known, distances)
    found = [_nearest(points, tapes, start) for start in _starts(points, tapes)]
    found.sort(key=lambda place: (float(np.sum(_residuals(place, points, tapes) ** 2)), *place))
    best = found[0]
    several = [best]
    for other in found[1:]:
        apart = float(np.linalg.norm(other - best))
        if apart > tape_error and _as_good(other, best, points, tapes, tape_error):
            several.append(other)
            break
    return tuple(_place(one, points, tapes, tape_error) for one in several)


def _checked(known: Sequence[Point], distances: Sequence[float]) -> tuple[Floats, Floats]:
    points, tapes = np.array(known, dtype=float), np.array(distances, dtype=float)
    if points.ndim != 2 or points.shape[1] != 3 or len(points) < 3:
        raise RecordError(f"{len(known)} known points are given; tape from at least three.")
    if tapes.shape != (len(points),):
        raise RecordError(f"{len(points)} known points have {tapes.size} tapes; give one for each.")
    if not (np.isfinite(points).all() and np.isfinite(tapes).all()):
        raise RecordError("known points and tapes must be finite numbers.")
    if tapes.min() <= 0.0:
        raise RecordError(f"a tape is {shown(float(tapes.min()), 'length')}; it must be over 0.")
    spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    if spread[1] < LEAST_SPREAD:
        raise RecordError(
            "the known points lie on one line; tape from at least one point that stands off it."
        )
    return points, tapes


def _starts(points: Floats, tapes: Floats) -> list[Floats]:
    """A place on each side of the plane of the known points, from the differences of squares."""
    middle = points.mean(axis=0)
    _, spread, axes = np.linalg.svd(points - middle)
    flat = (points - middle) @ axes[:2].T
    squares = np.sum((points - middle) ** 2, axis=1) - tapes**2
    rows = 2.0 * (flat - flat.mean(axis=0))
    inside = np.linalg.lstsq(rows, squares - squares.mean(), rcond=None)[0]
    height = float(np.mean(tapes**2 - np.sum((flat - inside) ** 2, axis=1)))
    off = np.sqrt(max(height, (0.01 * spread[0]) ** 2))
    return [middle + inside @ axes[:2] + sign * off * axes[2] for sign in (1.0, -1.0)]


def _residuals(place: Floats, points: Floats, tapes: Floats) -> Floats:
    return np.asarray(np.linalg.norm(points - place, axis=1) - tapes)


def _directions(place: Floats, points: Floats) -> Floats:
    reach = place - points
    return np.asarray(reach / np.maximum(np.linalg.norm(reach, axis=1), 1e-12)[:, None])


def _nearest(points: Floats, tapes: Floats, start: Floats) -> Floats:
    from scipy.optimize import least_squares

    solved = least_squares(
        lambda place: _residuals(place, points, tapes),
        start,
        jac=lambda place: _directions(place, points),
        xtol=1e-15,
        ftol=1e-15,
        gtol=1e-15,
    )
    return np.asarray(solved.x)


def _as_good(other: Floats, best: Floats, points: Floats, tapes: Floats, tape_error: float) -> bool:
    """Whether the tapes cannot tell the two places apart."""
    worse, better = (float(np.sum(_residuals(one, points, tapes) ** 2)) for one in (other, best))
    scale = max(tape_error**2, better / max(len(tapes) - 3, 1))
    return worse - better <= ODDS**2 * scale


def _place(place: Floats, points: Floats, tapes: Floats, tape_error: float) -> TapedPlace:
    left = _residuals(place, points, tapes)
    spare = len(tapes) - 3
    sigma = max(tape_error, float(np.sqrt(np.sum(left**2) / spare)) if spare else 0.0)
    gain = np.linalg.svd(_directions(place, points), compute_uv=False)
    x, y, z = (float(one) + 0.0 for one in place)
    return TapedPlace(
        point=(x, y, z),
        misfit=float(np.sqrt(np.mean(left**2))),
        residuals=tuple(float(one) for one in left),
        uncertainty=sigma / max(float(gain[-1]), 1e-9),
    )
