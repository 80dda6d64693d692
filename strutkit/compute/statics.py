"""Moments about the hinge line: struts, weight and friction, for many conditions at once.

Model section 3. Moments [N·m], positive opens. c conditions, s struts, n angles.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.compute.gas import gas_force
from strutkit.compute.geometry import StrutGeometry, cross, lengths_and_arms

Floats = npt.NDArray[np.float64]

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s²] (3rd CGPM, 1901; exact)."""


def gravity(pitch: npt.ArrayLike, roll: npt.ArrayLike) -> Floats:
    """Acceleration of free fall in the structure frame [..., 3] [m/s²].

    pitch p tips +x up, roll r tips +y up [rad]: -g (sin p, cos p sin r, cos p cos r).
    """
    p, r = np.asarray(pitch, dtype=float), np.asarray(roll, dtype=float)
    up = np.stack([np.sin(p), np.cos(p) * np.sin(r), np.cos(p) * np.cos(r)], axis=-1)
    return -STANDARD_GRAVITY * up


def gravity_moment_terms(
    mass: npt.ArrayLike, place: npt.ArrayLike, origin: Floats, axis: Floats, free_fall: Floats
) -> tuple[Floats, Floats]:
    """Cosine and sine terms of k · ((c - O) × m g), where c turns with the panel.

    mass [...] [kg], place c [..., 3] with the panel shut [m], free_fall g [..., 3]; shapes
    broadcast. Moment = cosine term · cos(theta) + sine term · sin(theta) [N·m].
    """
    arm = np.asarray(place, dtype=float) - origin
    across = arm - (arm @ axis)[..., None] * axis
    quarter = cross(axis, across)
    weight = np.asarray(mass, dtype=float)[..., None] * free_fall
    return cross(across, weight) @ axis, cross(quarter, weight) @ axis


@dataclass(frozen=True, slots=True)
class Statics:
    """All that the moments of one door need, for c conditions.

    extended_length [m] [s]; inverse_column 1/G [1/m] and friction [N], each [s], or [c, s] where
    rows differ in their labels; force_extended, gas force at full extension [N] [c, s], 0 for a
    strut that is missing; present [c, s];
    gravity_cosine, gravity_sine [N·m] [c]; hinge_friction [N·m]; end of travel [rad] [c].
    """

    geometry: StrutGeometry
    extended_length: Floats
    inverse_column: Floats
    friction: Floats
    force_extended: Floats
    present: npt.NDArray[np.bool_]
    gravity_cosine: Floats
    gravity_sine: Floats
    hinge_friction: float
    end: Floats

    def take(self, conditions: npt.ArrayLike) -> "Statics":
        """The same for the conditions of these indices, in that order, repeats allowed."""
        rows = np.asarray(conditions, dtype=int)
        return Statics(
            geometry=self.geometry,
            extended_length=self.extended_length,
            inverse_column=_of_rows(self.inverse_column, rows),
            friction=_of_rows(self.friction, rows),
            force_extended=self.force_extended[rows],
            present=self.present[rows],
            gravity_cosine=self.gravity_cosine[rows],
            gravity_sine=self.gravity_sine[rows],
            hinge_friction=self.hinge_friction,
            end=self.end[rows],
        )


def _of_rows(value: Floats, rows: npt.NDArray[np.int_]) -> Floats:
    return value[rows] if value.ndim == 2 else value


@dataclass(frozen=True, slots=True)
class Moments:
    """Moments and what they are made of; shapes as the angles allow ([s, n] or [c, s, n])."""

    length: Floats
    lever_arm: Floats
    strut_force: Floats
    strut_moment: Floats
    gravity_moment: Floats
    friction_moment: Floats
    moment: Floats


def moments(statics: Statics, angle: npt.ArrayLike) -> Moments:
    """Moments at each angle, the same angles for all conditions [n] or each its own [c, n].

        strut moment Ms = Fgas · dL/dtheta        net moment M = sum(Ms) + Mg
        friction moment Mf = sum(f |dL/dtheta|) + hinge friction   (>= 0, opposes the panel)

    strut arrays [c, s, n] (length and lever_arm [s, n] when the angles are shared), the others
    [c, n].
    """
    theta = np.asarray(angle, dtype=float)
    length, arm = lengths_and_arms(statics.geometry, theta)
    force = gas_force(
        statics.force_extended[:, :, None],
        statics.inverse_column[..., None],
        statics.extended_length[:, None] - length,
    )
    strut_moment = force * arm
    rubbing = statics.present * statics.friction
    friction = np.sum(rubbing[:, :, None] * np.abs(arm), axis=1) + statics.hinge_friction
    weight = _gravity_moment(statics, theta)
    return Moments(
        length=length,
        lever_arm=arm,
        strut_force=force,
        strut_moment=strut_moment,
        gravity_moment=weight,
        friction_moment=friction,
        moment=strut_moment.sum(axis=1) + weight,
    )


def _gravity_moment(statics: Statics, theta: Floats) -> Floats:
    cosine, sine = statics.gravity_cosine[:, None], statics.gravity_sine[:, None]
    return np.asarray(cosine * np.cos(theta) + sine * np.sin(theta))


def with_friction(statics: Statics, side: Floats, angle: Floats) -> Floats:
    """Net moment with friction times `side` added [c, n]; side [c]: -1 opening, 0, 1 closing."""
    at = moments(statics, angle)
    return np.asarray(at.moment + side[:, None] * at.friction_moment)
