"""Kinds of opening as data: how the panel lies, which way it opens, where struts usually go.

A place in the section is (along, inward) [m]: along from the hinge line toward the free edge,
inward square to the panel, away from the outside. Usual places, stop angles and the like are
common practice with no published source.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.describe.fields import Point
from strutkit.errors import RecordError

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of opening.

    along, outward: unit vectors of the upright or level panel, shut. stop_angle [rad], taken
    where nobody knows it. leans, slopes: whether the panel may stand out of plumb, the hinge line
    out of level. Where mounts go: panel_along and frame_along as shares of the panel's length;
    frame_depth [m] from the panel's inner face inward, the flange or post that the opening usually
    has; frame_far: the deepest that is tried where that does not do; frame_deep: share of the
    panel's length to which the fixed side's wall goes down (a box below a lid). outside: struts
    hang on the outer faces of panel and frame, all depths counted from there outward: a strut that
    pushes holds a falling flap back only from outside its hinge line.
    """

    name: str
    title: str
    along: Point
    outward: Point
    opens_toward: str
    stop_angle: float
    leans: bool = False
    slopes: bool = False
    panel_along: tuple[float, float]
    frame_along: tuple[float, float]
    frame_depth: tuple[float, float]
    frame_far: float
    frame_deep: float = 0.0
    outside: bool = False

    @property
    def outer_face_up(self) -> float:
        """1 where the outer face looks up when the panel is held level, -1 where down."""
        return -1.0 if self.name == "drop_flap" else 1.0


_HANGING = {
    "along": (0.0, 0.0, -1.0),
    "outward": (1.0, 0.0, 0.0),
    "opens_toward": "out",
    "panel_along": (0.06, 0.50),
    "frame_along": (0.12, 0.80),
    "frame_depth": (0.0, 0.06),
    "frame_far": 0.20,
}

KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind(
            name="side_door",
            title="Side door, hinged on top",
            stop_angle=math.radians(90.0),
            **_HANGING,  # type: ignore[arg-type]
        ),
        Kind(
            name="lid",
            title="Lid",
            along=(1.0, 0.0, 0.0),
            outward=(0.0, 0.0, 1.0),
            opens_toward="up",
            stop_angle=math.radians(80.0),
            panel_along=(0.10, 0.70),
            frame_along=(0.02, 0.75),
            frame_depth=(0.05, 0.10),
            frame_far=0.10,
            frame_deep=0.45,
        ),
        Kind(
            name="rear_hatch",
            title="Rear hatch",
            stop_angle=math.radians(95.0),
            leans=True,
            **_HANGING,  # type: ignore[arg-type]
        ),
        Kind(
            name="drop_flap",
            title="Drop flap",
            along=(0.0, 0.0, 1.0),
            outward=(1.0, 0.0, 0.0),
            opens_toward="out",
            stop_angle=math.radians(90.0),
            panel_along=(0.06, 0.50),
            frame_along=(-0.90, -0.15),
            frame_depth=(0.01, 0.03),
            frame_far=0.08,
            outside=True,
        ),
        Kind(
            name="canted_side_door",
            title="Side door, canted",
            stop_angle=math.radians(85.0),
            leans=True,
            slopes=True,
            **_HANGING,  # type: ignore[arg-type]
        ),
    )
}
"""Name -> kind of opening, in the order in which they are offered."""


def find_kind(name: str) -> Kind:
    """The kind of that name. Raises `RecordError`."""
    if name not in KINDS:
        raise RecordError(f"kind is {str(name)[:60]!r}; write one of {', '.join(KINDS)}.")
    return KINDS[name]


@dataclass(frozen=True, slots=True, eq=False)
class Axes:
    """Unit vectors of a panel as it stands: along, outward, and right along the hinge line."""

    along: Floats
    outward: Floats
    right: Floats

    def point(self, along: float, inward: float, right: float = 0.0) -> Point:
        """A place of the section as a point of the structure frame, hinge line at the origin, to
        a hundredth of a millimetre."""
        place = along * self.along - inward * self.outward + right * self.right
        x, y, z = (round(float(one), 5) + 0.0 for one in place)
        return (x, y, z)


def panel_axes(kind: Kind, lean: float, slope: float) -> Axes:
    """Axes of a panel that leans out by `lean` and whose hinge line rises to the right by
    `slope` [rad]."""
    cosine, sine = math.cos(lean), math.sin(lean)
    upright = np.array([kind.along, kind.outward])
    out = np.array([[cosine, 0.0, sine], [0.0, 1.0, 0.0], [-sine, 0.0, cosine]])
    tilt = np.array(
        [
            [1.0, 0.0, 0.0],
            [0.0, math.cos(slope), -math.sin(slope)],
            [0.0, math.sin(slope), math.cos(slope)],
        ]
    )
    along, outward = (tilt @ out.T @ one for one in upright)
    return Axes(along, outward, tilt @ np.array([0.0, 1.0, 0.0]))
