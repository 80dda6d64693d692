"""Weight and centre of gravity of a panel from a luggage scale, a kitchen scale and a tape.

In the section, with the panel held so that its free edge stands the angle a above level, a pull F
at right angles to the panel at the distance h from the hinge line balances the weight:

    F h = m g (c cos a + s q sin a)

c: distance of the centre of gravity along the panel, q: from the hinge line inward (as `inward`
in the section), s: 1 where the outer face looks up when level, -1 where down. One pull, level,
gives the mass moment m c with no theory; a second one at another angle gives m q too, but only as
well as the scale reads: an error e of each pull makes one of about sqrt(2) e m c / sin(a) in it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.compute.statics import STANDARD_GRAVITY
from strutkit.describe.fields import shown
from strutkit.errors import RecordError

Floats = npt.NDArray[np.float64]

LEAST_LEVER = 0.2
"""Least lever of the weight, as a share of its distance along the panel, that a pull may weigh."""

LEAST_ANGLE_APART = math.radians(10.0)
"""Two pulls nearer in angle than this tell nothing about the depth."""

SCALE_ERROR = 0.02
"""A luggage scale and the angle it is held at are taken to read within this share (common
practice, no published source)."""

AGREEMENT = 0.10
"""Pull, weight and centre of gravity may disagree by this share."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """One reading: force [N] at right angles to the panel, free edge `angle` above level [rad]."""

    force: float
    angle: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lump:
    """A part not fitted yet, or half of a strut: mass [kg] at (along, inward) [m]."""

    mass: float
    along: float
    inward: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """mass [kg] and centre of gravity (along, inward) [m]; assumed: what was taken unmeasured."""

    mass: float
    along: float
    inward: float
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MassMoments:
    """m c and m q [kg·m], and the error of m q from pulls that read within 2 %."""

    along: float
    inward: float
    inward_error: float


def mass_moments(
    pulls: Sequence[Pull], handle: float, *, outer_face_up: float = 1.0
) -> MassMoments | None:
    """Mass moments from pulls [N] at the distance `handle` [m] from the hinge line.

    Fitted by least squares; the error follows from its covariance. None where the pulls lie
    within 10° of each other, which tells nothing about the depth. Raises `RecordError`.
    """
    angles, moments = balanced(pulls, handle)
    if angles.max() - angles.min() < LEAST_ANGLE_APART:
        return None
    inverse = np.linalg.pinv(np.stack([np.cos(angles), outer_face_up * np.sin(angles)], axis=1))
    along, inward = inverse @ moments
    error = math.hypot(*(inverse[1] * SCALE_ERROR * moments))
    return MassMoments(along=float(along), inward=float(inward), inward_error=error)


def centre_along(
    pulls: Sequence[Pull], handle: float, mass: float, depth: float, *, outer_face_up: float = 1.0
) -> float:
    """Distance of the centre of gravity along the panel [m] from pulls, mass [kg] and its depth.

    c = (F h / (m g) - s q sin a) / cos a, the mean of the pulls. Raises `RecordError`.
    """
    angles, moments = balanced(pulls, handle)
    return float(
        np.mean((moments / mass - outer_face_up * depth * np.sin(angles)) / np.cos(angles))
    )


def mass_of(
    pulls: Sequence[Pull], handle: float, centre: float, depth: float, *, outer_face_up: float = 1.0
) -> float:
    """Mass [kg] from pulls and the centre of gravity (along, depth) [m].

    m = F h / (g (c cos a + s q sin a)), the mean of the pulls. Raises `RecordError`.
    """
    angles, moments = balanced(pulls, handle)
    lever = centre * np.cos(angles) + outer_face_up * depth * np.sin(angles)
    if lever.min() < LEAST_LEVER * centre:
        raise RecordError(
            "the pull is at an angle where the weight hangs nearly under the hinge line; hold the"
            " panel nearer to level."
        )
    return float(np.mean(moments / lever))


def balanced(pulls: Sequence[Pull], handle: float) -> tuple[Floats, Floats]:
    """Angles [rad] and F h / g [kg·m] of the pulls. Raises `RecordError`."""
    if not handle > 0.0:
        raise RecordError(f"handle is {shown(handle, 'length')}; it must be over 0 mm.")
    for pull in pulls:
        if not pull.force > 0.0:
            raise RecordError(f"the pull is {shown(pull.force, 'force')}; it must be over 0 N.")
        if abs(pull.angle) > math.radians(80.0):
            raise RecordError(
                f"the pull is at {shown(pull.angle, 'angle')} from level; hold the panel within"
                " 80° of it."
            )
    angles = np.array([pull.angle for pull in pulls])
    return angles, np.array([pull.force for pull in pulls]) * handle / STANDARD_GRAVITY


def with_lumps(weighed: Weighing, lumps: Sequence[Lump]) -> Weighing:
    """The panel with further parts on it: masses add, and so do their moments."""
    if not lumps:
        return weighed
    mass = weighed.mass + sum(one.mass for one in lumps)
    along = weighed.mass * weighed.along + sum(one.mass * one.along for one in lumps)
    inward = weighed.mass * weighed.inward + sum(one.mass * one.inward for one in lumps)
    return Weighing(mass=mass, along=along / mass, inward=inward / mass, assumed=weighed.assumed)


def agree(by_pull: float, by_weight: float) -> None:
    """Refuse a mass by the pull [kg] that does not go with the weight [kg], by `RecordError`."""
    if abs(by_pull - by_weight) <= AGREEMENT * by_weight:
        return
    raise RecordError(
        f"The pull and the centre of gravity say {by_pull:.3g} kg, the weight says"
        f" {by_weight:.3g} kg. Measure again, or leave one of the three out."
    )
