"""Sketches of the kinds of opening with numbered places for the tape: schematic, not to scale.

A place of the section is (along, inward) [px] from the hinge line; the board is 404 by 470 px.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from strutkit.decide.start.kinds import Kind
from strutkit.decide.start.questions import questions
from strutkit.show import symbols
from strutkit.show.shapes import Arc, Circle, Picture, Place, Polygon, Polyline, Shape, Text
from strutkit.show.style import PX

Floats = npt.NDArray[np.float64]

WIDTH, HEIGHT = 404.0, 470.0
GROUND = 34.0
RING = 11.0
DOT = 2.0
HATCH = 8.5
GAP = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pose:
    """How a kind is drawn: hinge line, panel's length and thickness [px], angles [deg]; where the
    rings stand, as places of the board."""

    hinge: tuple[float, float]
    length: float
    lean: float = 0.0
    opens: float = 100.0
    rings: dict[str, tuple[float, float]] = field(default_factory=dict)
    inset: tuple[float, float] = (282.0, 78.0)
    words: dict[str, tuple[float, float]] = field(default_factory=dict)


_HANGING_RINGS = {
    "thickness": (62.0, 312.0),
    "knuckle_diameter": (70.0, 424.0),
    "handle": (156.0, 142.0),
    "pull": (352.0, 322.0),
    "mass": (62.0, 190.0),
    "centre_of_gravity": (62.0, 226.0),
    "stop_angle": (386.0, 448.0),
    "hinge_height": (22.0, 200.0),
    "lean": (150.0, 62.0),
}
_HANGING_WORDS = {"open": (250.0, 440.0), "fixed side": (30.0, 398.0), "door side": (236.0, 296.0)}

POSES: dict[str, _Pose] = {
    "side_door": _Pose(
        hinge=(128.0, 368.0), length=240.0, opens=102.0, rings=_HANGING_RINGS, words=_HANGING_WORDS
    ),
    "rear_hatch": _Pose(
        hinge=(120.0, 368.0),
        length=240.0,
        lean=6.0,
        opens=100.0,
        rings=_HANGING_RINGS | {"handle": (176.0, 150.0)},
        words=_HANGING_WORDS,
    ),
    "canted_side_door": _Pose(
        hinge=(112.0, 368.0),
        length=240.0,
        lean=14.0,
        opens=90.0,
        rings=_HANGING_RINGS
        | {
            "handle": (192.0, 162.0),
            "lean": (158.0, 62.0),
        },
        words=_HANGING_WORDS,
    ),
    "lid": _Pose(
        hinge=(104.0, 196.0),
        length=246.0,
        opens=72.0,
        rings={
            "thickness": (300.0, 140.0),
            "knuckle_diameter": (66.0, 250.0),
            "handle": (378.0, 150.0),
            "pull": (384.0, 262.0),
            "mass": (226.0, 98.0),
            "centre_of_gravity": (170.0, 140.0),
            "stop_angle": (252.0, 330.0),
            "hinge_height": (22.0, 120.0),
        },
        inset=(52.0, 364.0),
        words={"open": (186.0, 446.0), "fixed side": (128.0, 60.0), "door side": (300.0, 330.0)},
    ),
    "drop_flap": _Pose(
        hinge=(128.0, 168.0),
        length=230.0,
        opens=74.0,
        rings={
            "thickness": (62.0, 200.0),
            "knuckle_diameter": (70.0, 126.0),
            "handle": (157.0, 370.0),
            "pull": (372.0, 124.0),
            "mass": (62.0, 230.0),
            "centre_of_gravity": (62.0, 282.0),
            "stop_angle": (388.0, 204.0),
            "hinge_height": (22.0, 100.0),
        },
        inset=(300.0, 366.0),
        words={"open": (300.0, 250.0), "fixed side": (30.0, 148.0), "door side": (206.0, 340.0)},
    ),
}
"""Kind -> how it is drawn."""

THICK, KNUCKLE = 13.0, 5.0
THICKNESS_AT = (0.24, 0.82)


class _Board:
    """Shapes of one sketch, laid out in px with y upward."""

    def __init__(self, kind: Kind) -> None:
        self.kind, self.pose = kind, POSES[kind.name]
        self.numbers = {one.name: number for number, one in enumerate(questions(kind), start=1)}
        lean = math.radians(self.pose.lean)
        x, z = kind.along[0], kind.along[2]
        self.along = np.array([x * math.cos(lean) - z * math.sin(lean), z * math.cos(lean)])
        out = np.array([kind.outward[0], kind.outward[2]])
        self.outward = out if not lean else np.array([math.cos(lean), math.sin(lean)])
        self.origin = np.array(self.pose.hinge)
        self.turn = kind.outer_face_up
        self.shapes: list[Shape] = []

    def at(self, along: float, inward: float, turned: float = 0.0) -> tuple[float, float]:
        """A place of the section on the board, the panel turned open by some degrees."""
        place = along * self.along - inward * self.outward
        angle = math.radians(turned) * self.turn
        x = place[0] * math.cos(angle) - place[1] * math.sin(angle)
        y = place[0] * math.sin(angle) + place[1] * math.cos(angle)
        return float(self.origin[0] + x), float(self.origin[1] + y)

    def add(self, *shapes: Shape) -> None:
        self.shapes.extend(shapes)

    def line(self, points: Sequence[tuple[float, float]], role: str) -> None:
        self.add(Polyline(tuple(mm(one) for one in points), role))

    def outline(self, points: Sequence[tuple[float, float]], role: str) -> None:
        self.add(Polygon(tuple(mm(one) for one in points), role))

    def cut(self, points: Sequence[tuple[float, float]]) -> None:
        """A cut piece of the fixed side."""
        for line in _hatched(points):
            self.line(line, "frame_hatch")
        self.outline(points, "frame")

    def words(self, at: tuple[float, float], text: str, anchor: str = "start") -> None:
        self.add(Text(mm(at), text, "note", 12 * PX, anchor))

    def ring(self, at: tuple[float, float], name: str) -> None:
        self.add(
            Circle(mm(at), RING * PX, "hinge"),
            Text(
                (at[0] * PX, (at[1] - 4.3) * PX),
                str(self.numbers[name]),
                "text",
                12 * PX,
                "middle",
                bold=True,
                halo=False,
            ),
        )

    def pointed(
        self, name: str, target: tuple[float, float], at: tuple[float, float] | None = None
    ) -> None:
        """A ring with a leader to what it numbers."""
        at = self.pose.rings[name] if at is None else at
        self.line([at, target], "leader")
        self.add(Circle(mm(target), DOT * PX, "leader_end"))
        self.ring(at, name)

    def measured(
        self,
        name: str,
        ends: tuple[tuple[float, float], tuple[float, float]],
        ring: tuple[float, float] | None = None,
    ) -> None:
        """A dimension line between two places, its ring in the middle or where told."""
        first, second = (np.array(one) for one in ends)
        along = (second - first) / np.linalg.norm(second - first)
        self.line(list(ends), "dimension")
        self.add(
            symbols.head(mm(ends[0]), _pair(-along), "arrow_head"),
            symbols.head(mm(ends[1]), _pair(along), "arrow_head"),
        )
        middle = _pair((first + second) / 2.0)
        if ring is not None:
            self.line([middle, ring], "leader")
            self.add(Circle(mm(middle), DOT * PX, "leader_end"))
        self.ring(ring or middle, name)


def _pair(array: Floats) -> tuple[float, float]:
    return float(array[0]), float(array[1])


def _hatched(corners: Sequence[tuple[float, float]]) -> list[list[tuple[float, float]]]:
    """Lines at 45° inside an upright rectangle, `HATCH` apart: cut material."""
    (left, low), (right, high) = np.min(corners, axis=0), np.max(corners, axis=0)
    lines = []
    for foot in np.arange(left - (high - low) + HATCH / 2.0, right, HATCH):
        start = max(foot, left)
        end = min(foot + high - low, right)
        lines.append([(start, low + start - foot), (end, low + end - foot)])
    return lines


def mm(place: tuple[float, float]) -> Place:
    """A place of the board [px] in the picture [mm]."""
    return place[0] * PX, place[1] * PX


def sketch(kind: Kind) -> Picture:
    """The sketch of a kind, its numbers those of the kind's questions."""
    board = _Board(kind)
    _ground(board)
    _fixed_side(board)
    _open_panel(board)
    _shut_panel(board)
    _numbers(board)
    _front(board)
    for text, at in board.pose.words.items():
        board.words(at, text)
    numbered = ", ".join(f"{number} {one}" for one, number in board.numbers.items())
    return Picture(
        width=WIDTH * PX,
        height=HEIGHT * PX,
        shapes=tuple(board.shapes),
        title=f"{kind.title}: where to measure",
        description=f"Seen from the side and from outside. {numbered.replace('_', ' ')}",
    )


ICON = (28.0, 22.0)
"""Width and height of a kind's small sign [px]."""


@dataclass(frozen=True, slots=True)
class Icon:
    """A kind in small, y downward [px]: the panel shut and open as lines, the hinge line, and
    the fixed side as a line."""

    shut: tuple[Place, Place]
    open: tuple[Place, Place]
    hinge: Place
    fixed: tuple[Place, Place]


def icon(kind: Kind) -> Icon:
    """The small sign of a kind: where the panel lies, and where it goes."""
    board = _Board(kind)
    size = 15.0 / board.pose.length
    hinge = np.array({"lid": (6.0, 17.0), "drop_flap": (7.0, 18.0)}.get(kind.name, (8.0, 4.0)))

    def at(along: float, turned: float) -> Place:
        place = np.array(board.at(along, 0.0, turned)) - board.origin
        x, y = hinge + size * place * (1.0, -1.0)
        return round(float(x), 2), round(float(y), 2)

    length, middle = board.pose.length, _pair(hinge)
    ends = {"lid": ((6.0, 21.0), (22.0, 21.0)), "drop_flap": ((7.0, 18.5), (7.0, 22.0))}
    return Icon(
        shut=(middle, at(length, 0.0)),
        open=(middle, at(length, board.pose.opens)),
        hinge=middle,
        fixed=ends.get(kind.name, ((1.0, 4.0), (8.0, 4.0))),
    )


def _ground(board: _Board) -> None:
    board.line([(12.0, GROUND), (WIDTH - 12.0, GROUND)], "frame")
    for x in np.arange(20.0, WIDTH - 14.0, 9.0):
        board.line([(float(x), GROUND), (float(x) - 7.0, GROUND - 7.0)], "frame_hatch")


def _fixed_side(board: _Board) -> None:
    x, y = board.pose.hinge
    edge = board.at(board.pose.length, KNUCKLE + THICK)
    if board.kind.name == "lid":
        board.cut([(x - 22, GROUND), (x - 8, GROUND), (x - 8, y - 8), (x - 22, y - 8)])
        right = edge[0] - 4.0
        board.cut([(right - 14, GROUND), (right, GROUND), (right, y - 24), (right - 14, y - 24)])
    elif board.kind.name == "drop_flap":
        board.cut([(x - 24, GROUND), (x - 6, GROUND), (x - 6, y - 8), (x - 24, y - 8)])
        top = y + board.pose.length
        board.cut([(x - 78, top + 8), (x - 2, top + 8), (x - 2, top + 22), (x - 78, top + 22)])
    else:
        board.cut([(38, y + 6), (x - 4, y + 6), (x - 4, y + 18), (38, y + 18)])
        low = edge[1] - 8.0
        board.cut([(38, low - 18), (edge[0] + 8, low - 18), (edge[0] + 8, low), (38, low)])


def _panel(board: _Board, turned: float) -> list[tuple[float, float]]:
    length = board.pose.length
    corners = ((2.0, KNUCKLE), (length, KNUCKLE), (length, KNUCKLE + THICK), (2.0, KNUCKLE + THICK))
    return [board.at(a, b, turned) for a, b in corners]


def _open_panel(board: _Board) -> None:
    pose = board.pose
    board.outline(_panel(board, pose.opens), "ghost")
    start = math.atan2(board.along[1], board.along[0])
    sweep = math.radians(pose.opens) * board.turn
    board.add(Arc(mm(pose.hinge), pose.length * PX, start, sweep, "handle_arc"))
    x, y = pose.hinge
    board.line([(30.0, y), (min(x + pose.length + 40.0, WIDTH - 8.0), y)], "level")


def _shut_panel(board: _Board) -> None:
    pose = board.pose
    board.outline(_panel(board, 0.0), "panel")
    board.add(symbols.handle(mm(board.at(pose.length - 14.0, KNUCKLE))))
    board.add(symbols.hinge(mm(pose.hinge)))
    centre = board.at(pose.length / 2.0, KNUCKLE + THICK / 2.0)
    low = (centre[0], centre[1] - 34.0)
    board.add(
        symbols.arrow(mm(centre), mm(low), "weight", "weight_head"),
        symbols.centre_of_gravity(mm(centre)),
    )


def _numbers(board: _Board) -> None:
    pose, length = board.pose, board.pose.length
    x, y = pose.hinge
    offset = -62.0 if board.kind.name != "lid" else -56.0
    ends = (board.at(-KNUCKLE, offset), board.at(length, offset))
    for along, end in ((-KNUCKLE, ends[0]), (length, ends[1])):
        board.line([board.at(along, -8.0), end], "dimension")
    board.measured("length", ends)
    board.pointed(
        "thickness",
        board.at(THICKNESS_AT[board.kind.name == "lid"] * length, KNUCKLE + THICK / 2.0),
    )
    below = -1.0 if pose.rings["knuckle_diameter"][1] < y else 1.0
    board.pointed("knuckle_diameter", (x - 3.5, y + 3.5 * below))
    board.pointed("handle", board.at(length - 14.0, KNUCKLE - 2.0))
    centre = board.at(length / 2.0, KNUCKLE + THICK / 2.0)
    board.pointed("centre_of_gravity", (centre[0] - 5.0, centre[1] + 0.0))
    board.pointed("mass", (centre[0], centre[1] - 26.0))
    _pull(board)
    _opening(board)
    board.measured("hinge_height", ((22.0, GROUND), (22.0, y)))
    if "lean" in board.numbers:
        _lean(board)


def _pull(board: _Board) -> None:
    """The pull at the handle with the door level, straight up at right angles to it."""
    pose = board.pose
    reach = pose.length - 14.0
    foot = (pose.hinge[0] + reach, pose.hinge[1])
    ring = pose.rings["pull"]
    tip = (foot[0], foot[1] + 40.0)
    board.add(symbols.handle(mm(foot)), symbols.arrow(mm(foot), mm(tip), "hold", "hold_head"))
    board.line([ring, (foot[0], foot[1] + 12.0)], "leader")
    board.add(Circle(mm((foot[0], foot[1] + 12.0)), DOT * PX, "leader_end"))
    board.ring(ring, "pull")


def _opening(board: _Board) -> None:
    """Height of the open free edge above the level through the hinge line."""
    pose = board.pose
    corner = board.at(pose.length, KNUCKLE, pose.opens)
    y = pose.hinge[1]
    x = corner[0] + 14.0
    board.line([corner, (x + 6.0, corner[1])], "dimension")
    board.measured("stop_angle", ((x, y), (x, corner[1])), pose.rings["stop_angle"])


def _lean(board: _Board) -> None:
    x, y = board.pose.hinge
    corner = board.at(board.pose.length, KNUCKLE)
    level = corner[1] - 46.0
    board.line([(x, y - 14.0), (x, level - 6.0)], "centre_line")
    board.line([(corner[0], corner[1] - 4.0), (corner[0], level - 6.0)], "dimension")
    board.measured("lean", ((x, level), (corner[0], level)), board.pose.rings["lean"])


def _front(board: _Board) -> None:
    """The panel from outside, small, for its width and the slope of the hinge line."""
    left, low = board.pose.inset
    wide, high = 84.0, 54.0
    rise = 10.0 if "rise" in board.numbers else 0.0
    top = board.kind.name != "drop_flap"
    up = low + high
    corners = [(left, low), (left + wide, low), (left + wide, up + rise), (left, up)]
    board.outline(corners, "panel")
    y = low + high if top else low
    board.line([(left - 8.0, y - 0.1 * rise), (left + wide + 8.0, y + 1.1 * rise)], "centre_line")
    far = low - 18.0 if top else low + high + 18.0
    board.measured("width", ((left, far), (left + wide, far)))
    board.words((left + wide / 2.0, low + high / 2.0 - 4.0), "from outside", "middle")
    if rise:
        board.line([(left, y), (left + wide + 26.0, y)], "dimension")
        right = left + wide + 16.0
        board.pointed("rise", (right, y + rise / 2.0), (right - 12.0, y + 34.0))
