"""Zones seen from the hinge line: where a mount may be, as radius and angle.

Everything lies in the plane square to the hinge line, with the panel shut, as complex numbers
that turning by e^(i theta) opens. A mount at radius r has its angle in Phi(r), the arcs of the
circle of radius r inside the zone. With A on the frame and B on the panel the layout is

    r_A = |A|        r_B = |B|        alpha = arg B - arg A

and every length and lever arm depends on these three alone. For radii in slabs the arcs of a
slab [low, high] are the exact projection of the zone's part between both circles: the angles of
the edges' pieces between them, together with the arcs on both circles.

Angles are carried along the outline without jumps, so a zone may reach past +-180 degrees.
"""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import side_axes
from strutkit.decide.conditions import hinge_axis
from strutkit.describe.fields import shown
from strutkit.describe.records import LEAST_LEVER, Door, Zone
from strutkit.errors import RecordError

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]
Flags = npt.NDArray[np.bool_]

MOST_CORNERS = 200
LEAST_WIDTH = 1e-5
"""A zone narrower than this [m] is refused."""

TOUCHING = 1e-8
"""Edges nearer to a corner than this [m] touch it."""

CORNER_SHARE = 1e-9
"""A circle counts as crossing an edge up to this share of it beyond its ends: a crossing at a
corner must not be lost to rounding, and one too many only cuts an arc in two."""


@dataclass(frozen=True, slots=True)
class Plane:
    """The plane square to the hinge line: origin on the line, axis along it, first and second
    unit vectors in it [3]; second is a quarter turn of opening beyond first."""

    origin: Floats
    axis: Floats
    first: Floats
    second: Floats

    def flat(self, places: npt.ArrayLike) -> Complexes:
        """Points [..., 3] as complex numbers from the hinge line [...] [m]."""
        arm = np.asarray(places, dtype=float) - self.origin
        return np.asarray(arm @ self.first + 1j * (arm @ self.second))

    def along(self, places: npt.ArrayLike) -> Floats:
        """Coordinate of points [..., 3] along the hinge line [...] [m]."""
        return np.asarray((np.asarray(places, dtype=float) - self.origin) @ self.axis)

    def place(self, flat: npt.ArrayLike, along: npt.ArrayLike) -> Floats:
        """Points [..., 3] from complex numbers and the coordinate along the hinge line."""
        z = np.asarray(flat, dtype=complex)[..., None]
        y = np.asarray(along, dtype=float)[..., None]
        return np.asarray(self.origin + z.real * self.first + z.imag * self.second + y * self.axis)

    @property
    def tape_origin(self) -> complex:
        """What to add to a flat point so that its parts are coordinates of the builder's tape."""
        return complex(self.origin @ self.first, self.origin @ self.second)


def door_plane(door: Door) -> Plane:
    """The plane of a door, its first axis outward as in the side view."""
    origin, axis = hinge_axis(door)
    outward, _ = side_axes(axis)
    return Plane(origin=origin, axis=axis, first=outward, second=np.cross(axis, outward))


@dataclass(frozen=True, slots=True)
class ZoneShape:
    """A zone in the plane: corners [v] in order round it, lift [v] the angle of each corner
    carried along the outline [rad], along its place on the hinge line [m].

    Derived: edges, vectors from each corner to the next [v]; inward, unit vectors across them
    into the zone [v]; foot, share of each edge at which its line is nearest to the hinge line,
    and reach, that distance [v] [m]; convex, whether all corners turn the same way.
    """

    corners: Complexes
    lift: Floats
    along: float
    edges: Complexes = field(init=False)
    inward: Complexes = field(init=False)
    foot: Floats = field(init=False)
    reach: Floats = field(init=False)
    convex: bool = field(init=False)

    def __post_init__(self) -> None:
        edges = np.roll(self.corners, -1) - self.corners
        size = np.abs(edges)
        foot = -(self.corners * edges.conj()).real / size**2
        turns = (edges.conj() * np.roll(edges, -1)).imag
        derived = {
            "edges": edges,
            "inward": 1j * np.sign(_signed_area(self.corners)) * edges / size,
            "foot": foot,
            "reach": np.abs(self.corners + foot * edges),
            "convex": bool((turns >= 0.0).all() or (turns <= 0.0).all()),
        }
        for name, value in derived.items():
            object.__setattr__(self, name, value)

    @property
    def radii(self) -> tuple[float, float]:
        """Least and greatest distance from the hinge line [m]."""
        return float(_distances(self.corners).min()), float(np.abs(self.corners).max())


def zone_shape(plane: Plane, zone: Zone) -> ZoneShape:
    """A zone projected on the plane.

    Raises `RecordError` for a zone that crosses itself, has no area, holds or touches the hinge
    line, winds round it by a full turn, or has over 200 corners.
    """
    owner = f"{zone.part} zone"
    if len(zone.corners) > MOST_CORNERS:
        raise RecordError(
            f"{owner}: it has {len(zone.corners)} corners; draw it with at most {MOST_CORNERS}."
        )
    corners = plane.flat(zone.corners)
    corners = corners[np.abs(np.roll(corners, 1) - corners) > 1e-9]
    if len(corners) < 3 or _width(corners) < LEAST_WIDTH:
        raise RecordError(
            f"{owner}: its corners enclose no area seen along the hinge line; move them apart."
        )
    if _crosses_itself(corners):
        raise RecordError(f"{owner}: its outline crosses or touches itself; go round it once.")
    if inside(corners, np.zeros(1, dtype=complex))[0]:
        raise RecordError(
            f"{owner}: it holds the hinge line; no mount can be there. Draw it to one side."
        )
    distance = float(_distances(corners).min())
    if distance < LEAST_LEVER:
        raise RecordError(
            f"{owner}: it comes within {shown(distance, 'length')} of the hinge line; keep it"
            f" at least {shown(LEAST_LEVER, 'length')} away."
        )
    turns = np.angle(np.roll(corners, -1) / corners)
    lift = np.angle(corners[0]) + np.concatenate([[0.0], np.cumsum(turns[:-1])])
    if lift.max() - lift.min() >= 2.0 * np.pi:
        raise RecordError(f"{owner}: it winds round the hinge line by a full turn; shorten it.")
    places = plane.along(zone.corners)
    return ZoneShape(corners, lift, float(places.max() + places.min()) / 2.0)


def _signed_area(corners: Complexes) -> float:
    return float(np.sum((corners.conj() * np.roll(corners, -1)).imag) / 2.0)


def _width(corners: Complexes) -> float:
    """Greatest distance of a corner from the line through the two that are farthest apart [m]."""
    apart = np.abs(corners[:, None] - corners)
    one, other = np.unravel_index(int(apart.argmax()), apart.shape)
    line = corners[other] - corners[one]
    return float(np.abs((line.conj() * (corners - corners[one])).imag).max() / np.abs(line))


def _distances(corners: Complexes) -> Floats:
    """Distance of each edge from the hinge line [v]."""
    edge = np.roll(corners, -1) - corners
    foot = np.clip(-(corners * edge.conj()).real / np.abs(edge) ** 2, 0.0, 1.0)
    return np.asarray(np.abs(corners + foot * edge))


def _crosses_itself(corners: Complexes) -> bool:
    """Whether two edges share a point other than the corner between neighbours."""
    count = len(corners)
    ends = np.roll(corners, -1)
    edge = ends - corners
    back = (edge.conj() * np.roll(edge, -1)).imag
    folds = (np.abs(back) < TOUCHING * np.abs(edge)) & (
        (edge.conj() * np.roll(edge, -1)).real < 0.0
    )
    if folds.any():
        return True
    one, other = np.triu_indices(count, k=2)
    apart = ~((one == 0) & (other == count - 1))
    one, other = one[apart], other[apart]

    def side(start: Complexes, along: Complexes, place: Complexes) -> Floats:
        away = (along.conj() * (place - start)).imag / np.abs(along)
        return np.where(np.abs(away) < TOUCHING, 0.0, np.sign(away))

    splits_other = side(corners[one], edge[one], corners[other]) * side(
        corners[one], edge[one], ends[other]
    )
    splits_one = side(corners[other], edge[other], corners[one]) * side(
        corners[other], edge[other], ends[one]
    )
    return bool(
        (
            (splits_other <= 0.0)
            & (splits_one <= 0.0)
            & _boxes_meet(corners[one], ends[one], corners[other], ends[other])
        ).any()
    )


def _boxes_meet(a: Complexes, b: Complexes, c: Complexes, d: Complexes) -> Flags:
    def meet(p: Floats, q: Floats, r: Floats, s: Floats) -> Flags:
        return np.asarray(
            (np.maximum(p, q) >= np.minimum(r, s) - TOUCHING)
            & (np.maximum(r, s) >= np.minimum(p, q) - TOUCHING)
        )

    across = meet(a.real, b.real, c.real, d.real)
    return np.asarray(across & meet(a.imag, b.imag, c.imag, d.imag))


def inside(corners: Complexes, places: Complexes) -> Flags:
    """Whether places [...] lie inside the outline, by counting edges crossed going outward."""
    p = places[..., None]
    start, end = corners, np.roll(corners, -1)
    straddles = (start.imag > p.imag) != (end.imag > p.imag)
    rise = np.where(straddles, end.imag - start.imag, 1.0)
    crossing = start.real + (p.imag - start.imag) * (end.real - start.real) / rise
    return np.asarray(np.sum(straddles & (p.real < crossing), axis=-1) % 2 == 1)


def margin(corners: Complexes, places: Complexes) -> Floats:
    """Distance of places [...] from the outline, negative outside [m]."""
    p = places[..., None]
    edge = np.roll(corners, -1) - corners
    square = np.maximum(np.abs(edge) ** 2, np.finfo(float).tiny)
    foot = np.clip(((p - corners) * edge.conj()).real / square, 0.0, 1.0)
    distance = np.min(np.abs(p - corners - foot * edge), axis=-1)
    return np.asarray(np.where(inside(corners, places), distance, -distance))


def arcs(shape: ZoneShape, low: Floats, high: Floats) -> Floats:
    """Angles of the zone's part with radius in [low, high], as intervals [m, k, 2] [rad].

    low, high [m] [m]; low = high gives Phi(r). Sorted, apart; missing ones are (inf, -inf).
    """
    pieces = [
        _edge_pieces(shape, low, high),
        _circle_arcs(shape, low),
        _circle_arcs(shape, high),
    ]
    return _merged(np.concatenate(pieces, axis=1))


def _edge_pieces(shape: ZoneShape, low: Floats, high: Floats) -> Floats:
    """Angle intervals of the pieces of all edges between both circles [m, 2v, 2]."""
    foot = shape.foot
    outer, inner = _halves(shape, high), _halves(shape, low)
    inner = np.where(np.isnan(inner), 0.0, inner)
    starts = np.concatenate([foot - outer, foot + inner], axis=1)
    ends = np.concatenate([foot - inner, foot + outer], axis=1)
    starts, ends = np.maximum(starts, 0.0), np.minimum(ends, 1.0)
    there = starts <= ends
    first, last = _angle_on_edges(shape, starts), _angle_on_edges(shape, ends)
    return np.stack(
        [
            np.where(there, np.minimum(first, last), np.inf),
            np.where(there, np.maximum(first, last), -np.inf),
        ],
        axis=-1,
    )


def _halves(shape: ZoneShape, radius: Floats) -> Floats:
    """Half of the chord that a circle cuts from each edge's line, as a share of the edge."""
    squares = radius[:, None] ** 2 - shape.reach**2
    half = np.sqrt(np.maximum(squares, 0.0)) / np.abs(shape.edges)
    return np.where(squares >= 0.0, half, np.nan)


def _angle_on_edges(shape: ZoneShape, share: Floats) -> Floats:
    """Angle at a share of each edge, columns in the order of the edges, once or twice over."""
    times = share.shape[1] // len(shape.corners)
    ratio = np.tile(shape.edges / shape.corners, times)
    lift = np.tile(shape.lift, times)
    return np.asarray(lift + np.angle(1.0 + np.nan_to_num(share) * ratio))


def _circle_arcs(shape: ZoneShape, radius: Floats) -> Floats:
    """Arcs of each circle inside the zone [m, k, 2]: gaps between crossings, middle inside."""
    half = _halves(shape, radius)
    share = np.concatenate([shape.foot - half, shape.foot + half], axis=1)
    there = (share >= -CORNER_SHARE) & (share <= 1.0 + CORNER_SHARE)
    angle = np.sort(np.where(there, _angle_on_edges(shape, share), np.inf), axis=1)
    start, end = angle[:, :-1], angle[:, 1:]
    known = np.isfinite(end)
    middle = np.where(known, (np.where(known, start, 0.0) + np.where(known, end, 0.0)) / 2.0, 0.0)
    on_circle = np.asarray(radius[:, None] * np.exp(1j * middle), dtype=complex)
    held = known & inside(shape.corners, on_circle)
    return np.stack([np.where(held, start, np.inf), np.where(held, end, -np.inf)], axis=-1)


def _merged(intervals: Floats) -> Floats:
    """Unions of intervals [m, q, 2], sorted and apart [m, k, 2]; missing ones (inf, -inf)."""
    order = np.argsort(intervals[..., 0], axis=1)
    start = np.take_along_axis(intervals[..., 0], order, axis=1)
    end = np.maximum.accumulate(np.take_along_axis(intervals[..., 1], order, axis=1), axis=1)
    there = np.isfinite(start)
    begins = there.copy()
    begins[:, 1:] &= start[:, 1:] > end[:, :-1]
    group = np.cumsum(begins, axis=1) - 1
    ends_here = there.copy()
    ends_here[:, :-1] &= begins[:, 1:] | ~there[:, 1:]
    merged = np.full((len(start), max(1, int(group.max(initial=-1)) + 1), 2), np.inf)
    merged[..., 1] = -np.inf
    row, column = np.nonzero(begins)
    merged[row, group[row, column], 0] = start[row, column]
    row, column = np.nonzero(ends_here)
    merged[row, group[row, column], 1] = end[row, column]
    return merged


def alpha_intervals(frame_arcs: Floats, panel_arcs: Floats) -> Floats:
    """Reachable alpha = arg B - arg A for arcs [n, k, 2] and [n, l, 2], as [n, j, 2] [rad]."""
    low = panel_arcs[:, None, :, 0] - frame_arcs[:, :, None, 1]
    high = panel_arcs[:, None, :, 1] - frame_arcs[:, :, None, 0]
    there = np.isfinite(low) & np.isfinite(high)
    pairs = np.stack([np.where(there, low, np.inf), np.where(there, high, -np.inf)], axis=-1)
    if pairs.shape[1] == pairs.shape[2] == 1:
        return np.asarray(pairs[:, 0])
    return _merged(pairs.reshape(len(pairs), pairs.shape[1] * pairs.shape[2], 2))


def frame_angles(frame_arcs: Floats, panel_arcs: Floats, alpha: Floats) -> Floats:
    """Angles of A for which A and B are both in their zones, with alpha [n], as [n, j, 2]."""
    turned = panel_arcs - alpha[:, None, None]
    low = np.maximum(frame_arcs[:, :, None, 0], turned[:, None, :, 0])
    high = np.minimum(frame_arcs[:, :, None, 1], turned[:, None, :, 1])
    there = low <= high
    pairs = np.stack([np.where(there, low, np.inf), np.where(there, high, -np.inf)], axis=-1)
    return _merged(pairs.reshape(len(pairs), pairs.shape[1] * pairs.shape[2], 2))
