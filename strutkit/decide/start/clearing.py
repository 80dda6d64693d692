"""Room for the strut's tube: past the hinge barrel, over the faces, and beside its twin.

Seen along the hinge line, over the whole travel, the line between the two balls keeps `GAP` and
the tube's radius from the hinge barrel, from the face of the panel it is bolted to as far as the
panel reaches and, where it hangs outside, from the wall beside the opening. The tube's radius is
taken for the rod too, which is thinner. A strut beyond the ends of the panel is clear of all.
Common practice, no published source.
"""

import numpy as np
import numpy.typing as npt

from strutkit.decide.start.kinds import Kind
from strutkit.decide.start.places import Section
from strutkit.describe.records import Door, Strut

Floats = npt.NDArray[np.float64]

GAP = 0.005
"""Gap that a tube keeps from barrel and faces [m]."""
TWIN_GAP = 0.010
"""Gap that the two tubes of a pair keep from each other [m]."""
TUBE_RADIUS = 0.011
"""Taken where a strut's tube diameter is unknown [m]."""


def tube_radius(strut: Strut) -> float:
    """Radius of the tube, `TUBE_RADIUS` where unknown [m]."""
    return TUBE_RADIUS if strut.tube_diameter is None else strut.tube_diameter / 2.0


def room(door: Door, kind: Kind, frames: Floats, panels: Floats, angles: Floats) -> Floats:
    """Largest tube radius [m] that keeps `GAP` for each pair of mounts [pairs, 3].

    angles [n] as opening angles [rad]. Below 0 where even a line touches.
    """
    section = Section(door, kind)
    half = (door.panel.width or 0.0) / 2.0
    aside = np.abs((panels - section.middle) @ section.right)
    fixed, moving = section.flat(frames), section.flat(panels)
    knuckle = abs(section.outer)
    sign = -1.0 if kind.outside else 1.0
    least = np.full(len(frames), np.inf)
    for angle in angles * section.turn:
        seen = turned(fixed, -angle)
        least = np.minimum(least, _from_origin(seen, moving) - knuckle)
        over = _over(seen, moving, 0.0, section.length, sign, section.face)
        least = np.minimum(least, over)
        if kind.outside:
            there = turned(moving, angle)
            wall = _over(fixed, there, -np.inf, 0.0, sign, section.face)
            least = np.minimum(least, wall)
    beyond = aside - half
    return np.asarray(np.where(beyond > 0.0, np.maximum(least, beyond), least) - GAP)


def twin_distance(door: Door, kind: Kind, places: Floats) -> float:
    """Least distance between a place and its mirror image [m]."""
    section = Section(door, kind)
    return 2.0 * float(np.abs((places - section.middle) @ section.right).min())


def turned(flat: Floats, angle: float) -> Floats:
    """Places [.., 2] turned about the hinge line by an angle [rad]."""
    cosine, sine = np.cos(angle), np.sin(angle)
    return np.asarray(flat @ np.array([[cosine, sine], [-sine, cosine]]))


def _from_origin(start: Floats, end: Floats) -> Floats:
    """Distance of the origin from the lines between start and end [.., 2]."""
    way = end - start
    square = np.maximum((way**2).sum(axis=1), 1e-12)
    share = np.clip(-(start * way).sum(axis=1) / square, 0.0, 1.0)
    return np.asarray(np.linalg.norm(start + share[:, None] * way, axis=1))


def _over(start: Floats, end: Floats, low: float, high: float, sign: float, face: float) -> Floats:
    """Least height over a face of the part of each line that lies from low to high along it."""
    way = end - start
    along = np.where(np.abs(way[:, 0]) < 1e-9, 1e-9, way[:, 0])
    ends = np.stack([(low - start[:, 0]) / along, (high - start[:, 0]) / along])
    first = np.clip(ends.min(axis=0), 0.0, 1.0)
    last = np.clip(ends.max(axis=0), 0.0, 1.0)
    heights = [sign * (-(start[:, 1] + part * way[:, 1]) - face) for part in (first, last)]
    outside = (ends.max(axis=0) <= 0.0) | (ends.min(axis=0) >= 1.0)
    return np.asarray(np.where(outside, np.inf, np.minimum(*heights)))
