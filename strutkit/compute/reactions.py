"""Forces of two hinge points on the panel, from the balance of all other forces on it.

Model section 4: both points carry radial force, one of them carries the force along the line.
"""

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import cross

Floats = npt.NDArray[np.float64]


def two_point_reactions(
    first: Floats, second: Floats, force: Floats, moment: Floats, *, thrust_at_first: bool
) -> tuple[Floats, Floats, Floats]:
    """Hinge forces at `first` and `second` [..., 3] and the thrust along `second - first` [...].

    force [..., 3]: sum of all other forces on the panel [N]; moment [..., 3]: their moment about
    `first` [N·m]. With t the unit vector from first to second and d their distance:

        R2 across = t × moment / d        R1 across = -(force across) - R2 across
        thrust = -(force along t), all of it at one point

    The component of `moment` along the hinge line has to be zero: the hand, latch, stop or strut
    that holds the panel is part of `force`.
    """
    line = second - first
    distance = np.linalg.norm(line)
    t = line / distance
    second_across = cross(t, moment) / distance
    first_across = -(force - (force @ t)[..., None] * t) - second_across
    thrust = -(force @ t)
    along = thrust[..., None] * t
    if thrust_at_first:
        return first_across + along, second_across, thrust
    return first_across, second_across + along, thrust


def radial(force: Floats, axis: Floats) -> Floats:
    """Size of the component of forces [..., 3] square to the hinge line [...] [N]."""
    return np.asarray(np.linalg.norm(force - (force @ axis)[..., None] * axis, axis=-1))
