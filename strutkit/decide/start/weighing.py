"""Weight and centre of gravity of a panel from a luggage scale, a kitchen scale and a tape.

In the section, with the panel held so that its free edge stands the angle a above level, a pull F
at right angles to the panel at the distance h from the hinge line balances the weight:

    F h = m g (c cos a + s q sin a)

c: distance of the centre of gravity along the panel, q: from the hinge line inward (as `inward`
in the section), s: 1 where the outer face looks up when level, -1 where down. One pull, level,
gives the mass moment m c with no theory; a second one at another angle gives m q.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from strutkit.compute.statics import STANDARD_GRAVITY
from strutkit.describe.fields import shown
from strutkit.errors import RecordError

LEAST_ANGLE_APART = math.radians(10.0)
"""Two pulls nearer in angle than this tell nothing about the depth."""

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


def mass_moments(
    pulls: Sequence[Pull], handle: float, *, outer_face_up: float = 1.0
) -> tuple[float, float | None]:
    """Mass moments (m c, m q) [kg·m] from pulls at the distance `handle` [m] from the hinge line.

    One pull away from level, or none at another angle, leaves m q None and takes the centre of
    gravity in the plane through the hinge line. Several pulls are fitted by least squares.
    Raises `RecordError`.
    """
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
    moments = np.array([pull.force for pull in pulls]) * handle / STANDARD_GRAVITY
    if angles.max() - angles.min() < LEAST_ANGLE_APART:
        return float(np.mean(moments / np.cos(angles))), None
    rows = np.stack([np.cos(angles), outer_face_up * np.sin(angles)], axis=1)
    along, inward = np.linalg.lstsq(rows, moments, rcond=None)[0]
    return float(along), float(inward)


def with_lumps(weighed: Weighing, lumps: Sequence[Lump]) -> Weighing:
    """The panel with further parts on it: masses add, and so do their moments."""
    if not lumps:
        return weighed
    mass = weighed.mass + sum(one.mass for one in lumps)
    along = weighed.mass * weighed.along + sum(one.mass * one.along for one in lumps)
    inward = weighed.mass * weighed.inward + sum(one.mass * one.inward for one in lumps)
    return Weighing(mass=mass, along=along / mass, inward=inward / mass, assumed=weighed.assumed)


def agree(moment: float, mass: float, along: float) -> None:
    """Refuse a pull that does not go with weight and centre of gravity. Raises `RecordError`."""
    if abs(moment - mass * along) <= AGREEMENT * mass * along:
        return
    raise RecordError(
        f"The pull says {moment:.3g} kg·m, weight and centre of gravity say {mass * along:.3g}"
        " kg·m. Measure again, or leave one of the three out."
    )
