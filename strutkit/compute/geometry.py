"""Geometry about the hinge line: turning, strut lengths, lever arms, ends of travel.

Model sections 1, 3 and 11.6-11.7. Angles [rad] from shut, positive opens; lengths [m].
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

LENGTH_SLACK = 1e-6
"""Lengths within 1 µm of an end of the stroke count as inside it [m]."""

STEEP = np.sqrt(0.5)
"""A hinge line whose unit vector rises by more than this (45°) is seen in plan."""

ANGLE_SLACK = 1e-6
"""A strut that ends the travel within this of the stop leaves it to the stop [rad]."""


_AFTER, _BEFORE = np.array([1, 2, 0]), np.array([2, 0, 1])


def cross(a: Floats, b: Floats) -> Floats:
    """a × b over the last axis of [..., 3] arrays; a tenth of the time of `numpy.cross`."""
    after, before = a.take(_AFTER, axis=-1), a.take(_BEFORE, axis=-1)
    return np.asarray(after * b.take(_BEFORE, axis=-1) - before * b.take(_AFTER, axis=-1))


def rotate(points: npt.ArrayLike, origin: Floats, axis: Floats, angle: npt.ArrayLike) -> Floats:
    """Points turned about a line: R(k, theta) (c - O) + O (Rodrigues).

    points [..., 3], origin O [3] on the line, axis k [3] unit, angle [n] [rad].
    Gives [..., n, 3].
    """
    arm = np.asarray(points, dtype=float)[..., None, :] - origin
    theta = np.asarray(angle, dtype=float)[:, None]
    along = (arm @ axis)[..., None] * axis
    across = arm - along
    turned = across * np.cos(theta) + cross(axis, across) * np.sin(theta)
    return np.asarray(origin + along + turned)


@dataclass(frozen=True, slots=True)
class StrutGeometry:
    """s struts seen from the hinge line, in the plane square to it, panel shut.

    radius_frame, radius_panel: distances of the mounts from the hinge line [m] [s];
    phase: angle from frame mount to panel mount, positive the way the panel opens [rad] [s];
    offset: distance of the mounts along the hinge line [m] [s].
    """

    radius_frame: Floats
    radius_panel: Floats
    phase: Floats
    offset: Floats


def strut_geometry(
    frame_mounts: npt.ArrayLike, panel_mounts: npt.ArrayLike, origin: Floats, axis: Floats
) -> StrutGeometry:
    """Mounts [s, 3] as radii, phase and offset about the line through `origin` along `axis`."""
    frame = np.asarray(frame_mounts, dtype=float).reshape(-1, 3) - origin
    panel = np.asarray(panel_mounts, dtype=float).reshape(-1, 3) - origin
    frame_along, panel_along = frame @ axis, panel @ axis
    frame_across = frame - frame_along[:, None] * axis
    panel_across = panel - panel_along[:, None] * axis
    sine = cross(frame_across, panel_across) @ axis
    cosine = np.sum(frame_across * panel_across, axis=-1)
    return StrutGeometry(
        radius_frame=np.linalg.norm(frame_across, axis=-1),
        radius_panel=np.linalg.norm(panel_across, axis=-1),
        phase=np.arctan2(sine, cosine),
        offset=panel_along - frame_along,
    )


def lengths_and_arms(geometry: StrutGeometry, angle: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Strut length L and lever arm dL/dtheta at each angle.

        psi = phase + theta
        L² = (r_A - r_B)² + 4 r_A r_B sin²(psi/2) + w²        dL/dtheta = r_A r_B sin(psi) / L

    angle [..., n] [rad]; gives two arrays [..., s, n] [m]. A coincident pair of mounts
    (L = 0) has arm 0.
    """
    theta = np.asarray(angle, dtype=float)[..., None, :]
    psi = geometry.phase[:, None] + theta
    product = (geometry.radius_frame * geometry.radius_panel)[:, None]
    least = ((geometry.radius_frame - geometry.radius_panel) ** 2 + geometry.offset**2)[:, None]
    length = np.sqrt(least + 4.0 * product * np.sin(psi / 2.0) ** 2)
    sine = product * np.sin(psi)
    return length, np.divide(sine, length, out=np.zeros_like(length), where=length > 0.0)


def dead_centres(geometry: StrutGeometry, high: float) -> Floats:
    """Angles strictly inside 0...high at which a strut's line passes through the hinge line.

    There psi is a multiple of pi, the lever arm is zero and the length has an extreme. Sorted,
    for all struts together [rad].
    """
    turns = np.arange(-1, 4)
    angles = (np.pi * turns[:, None] - geometry.phase).ravel()
    return np.unique(angles[(angles > 0.0) & (angles < high)])


def shortest(geometry: StrutGeometry, high: float) -> tuple[Floats, Floats]:
    """Shortest length of each strut over 0...high and its angle, dead centres counted [s]."""
    return _extreme(geometry, high, 0.0, shortest_wanted=True)


def longest(geometry: StrutGeometry, high: float) -> tuple[Floats, Floats]:
    """Longest length of each strut over 0...high and its angle, dead centres counted [s]."""
    return _extreme(geometry, high, np.pi, shortest_wanted=False)


def _extreme(
    geometry: StrutGeometry, high: float, centre: float, *, shortest_wanted: bool
) -> tuple[Floats, Floats]:
    first = np.mod(centre - geometry.phase, 2.0 * np.pi)
    inside = np.where(first < high, first, 0.0)
    angle = np.stack([np.zeros_like(first), inside, np.full_like(first, high)])
    length = np.stack([_own_lengths(geometry, row) for row in angle])
    pick = length.argmin(axis=0) if shortest_wanted else length.argmax(axis=0)
    struts = np.arange(len(first))
    return length[pick, struts], angle[pick, struts]


def _own_lengths(geometry: StrutGeometry, angle: Floats) -> Floats:
    """Length of each strut at its own angle [s]."""
    product = geometry.radius_frame * geometry.radius_panel
    least = (geometry.radius_frame - geometry.radius_panel) ** 2 + geometry.offset**2
    return np.asarray(np.sqrt(least + 4.0 * product * np.sin((geometry.phase + angle) / 2.0) ** 2))


def angle_at_extension(geometry: StrutGeometry, extended_length: Floats) -> Floats:
    """First angle >= 0 at which each strut reaches its extended length while lengthening [s].

    From cos(psi) = (r_A² + r_B² + w² - Lext²) / (2 r_A r_B) with sin(psi) >= 0; inf where it
    never does.
    """
    product = 2.0 * geometry.radius_frame * geometry.radius_panel
    squares = geometry.radius_frame**2 + geometry.radius_panel**2 + geometry.offset**2
    cosine = (squares - extended_length**2) / product
    reached = np.abs(cosine) <= 1.0
    psi = np.arccos(np.clip(cosine, -1.0, 1.0))
    return np.where(reached, np.mod(psi - geometry.phase, 2.0 * np.pi), np.inf)


def end_of_travel(
    geometry: StrutGeometry, extended_length: Floats, present: npt.NDArray[np.bool_], stop: float
) -> tuple[float, bool]:
    """End of travel [rad], and whether a strut at full extension is what ends it.

    The first angle at which a present strut reaches its extended length while lengthening, if
    that is before the stop. Within 1e-6 rad of the stop, or over by less than 1 µm on the whole
    way to it, it is the stop (model 11.6).
    """
    angle = angle_at_extension(geometry, extended_length)
    length, _ = longest(geometry, stop)
    limits = present & (angle < stop - ANGLE_SLACK) & (length > extended_length + LENGTH_SLACK)
    if not limits.any():
        return stop, False
    return float(angle[limits].min()), True


def strut_directions(
    frame_mounts: npt.ArrayLike,
    panel_mounts: npt.ArrayLike,
    origin: Floats,
    axis: Floats,
    angle: npt.ArrayLike,
) -> tuple[Floats, Floats]:
    """Panel mounts turned to each angle [s, n, 3], and unit vectors from frame to panel mount."""
    place = rotate(panel_mounts, origin, axis, angle)
    line = place - np.asarray(frame_mounts, dtype=float)[:, None, :]
    return place, line / np.linalg.norm(line, axis=-1, keepdims=True)


def side_axes(axis: Floats) -> tuple[Floats, Floats]:
    """Unit vectors (outward, upward) [3] of the side view, both square to the hinge line.

    axis [3] unit, along the hinge line. Upward is z without its part along the line; where the
    line stands steeper than 45° it is a plan view instead, with y as upward. Outward points
    to +x, or to +y where the line runs along x.
    """
    steep = abs(axis[2]) > STEEP
    reference = np.array([0.0, 1.0, 0.0]) if steep else np.array([0.0, 0.0, 1.0])
    upward = reference - (reference @ axis) * axis
    upward /= np.linalg.norm(upward)
    outward = cross(upward, axis)
    leading = outward[0] if abs(outward[0]) > 1e-9 else outward[1]
    return (outward if leading > 0.0 else -outward), upward
