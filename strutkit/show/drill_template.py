"""Drill templates at true size: where holes and ball centres lie from the hinge line.

For a face square to the hinge line: there the hinge line is one point, and a mount's place is its
distance outward and upward from it (model section 1, panel shut). Two tape lengths from the hinge
points serve any other face. Where a hole is given it is drawn apart from its ball centre.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from strutkit.describe.fields import Point, shown
from strutkit.describe.hinge_points import along_axis, direction_words, hinge_point_names
from strutkit.describe.numbers import LengthUnit, unbroken
from strutkit.describe.records import Door
from strutkit.errors import RecordError
from strutkit.show import symbols
from strutkit.show.clipping import clipped, kept_in
from strutkit.show.dimensions import Measured, depths, heights
from strutkit.show.holes import UNKNOWN, Hole, hole_of
from strutkit.show.letters import Box
from strutkit.show.mount_words import (
    NO_BREAK,
    WORTH_SAYING,
    assumed_places,
    ball_names,
    both_units,
    millimetres,
)
from strutkit.show.placing import Label, Layout, around
from strutkit.show.plane import hinge_place, panel_outline, side_plane
from strutkit.show.shapes import (
    Circle,
    Picture,
    Place,
    Polyline,
    Shape,
    Text,
    flat,
    moved,
)
from strutkit.show.style import MEDIA, POINT
from strutkit.show.svg import svg_text
from strutkit.show.tiling import Tile, Tiling, cut
from strutkit.show.typesetting import PAGES

FIGURE = 13.0 * POINT
"""Font size of the figures to drill by [mm]."""

MARGINS = (
    {"left": 25.0, "right": 21.0, "top": 45.0, "bottom": 42.0},
    {"left": 25.0, "right": 21.0, "top": 44.0, "bottom": 33.0},
)
"""Paper round the window of an upright and of a flipped sheet: heading, bars, foot [mm]."""

ASSUMED_ROOM = 8.0
"""More of it at the top where something is assumed [mm]."""

LABEL = 3.2
"""Font size of names [mm]."""

CROSSING = 4.0
"""A name crosses a line only where there is no other place for it; see `placing.Layout`."""

BEHIND = 18.0
"""Beside a short line its name stands so far on its other side of the hinge line [mm]."""

BALL_RADIUS = 0.9
CROSS = 14.0
AROUND = 14.0
"""Room round pin and ball [mm]."""

MEASURE_FIRST = unbroken(
    "Measure the bars before you drill. If one is off by more than 0.5 mm, print again at 100 %,"
    " not “fit to page”."
)

BRACKET_ITSELF = "Hold the bracket with its ball on the centre; drill through its own holes."
FURTHER_HOLES = "A bracket’s further holes: drill through the bracket."
"""What no template can know (common practice)."""

LEAST_STAND_OFF = 0.005
"""A hole set off by less along the hinge line [m] lies on no face square to it."""

OTHER_FACE = unbroken(
    "Do not drill by this picture: this hole is not set off along the hinge line, so it lies on"
    " another face. Find it by tape, from the ball centre and the hinge line."
)

LARGEST = 2.0
"""A template reaches this far from the hinge line at most [m]; beyond, measure by tape."""


@dataclass(frozen=True, slots=True)
class TemplateBall:
    """One ball centre as it is drawn: name, side, strut, end of the panel, point, its hole."""

    name: str
    part: str
    strut: str
    end: str
    place: Point
    mirrored: bool
    hole: Hole | None

    @property
    def to_drill(self) -> Point:
        """The hole where it is given, else the ball centre."""
        return self.place if self.hole is None else self.hole.place


def template_balls(door: Door) -> list[TemplateBall]:
    """Every ball centre, each seen from the middle of the panel toward its end."""
    found = []
    for fitted, (fixed, moving) in zip(door.fitted, _names_of_all(door), strict=True):
        for name, part, side, place in (
            (fixed, "frame", "fixed side", fitted.frame_mount),
            (moving, "panel", "door side", fitted.panel_mount),
        ):
            along = hinge_place(door, place).along
            found.append(
                TemplateBall(
                    name,
                    side,
                    fitted.strut.name,
                    _end(door, along),
                    place,
                    _mirrored(door, along),
                    hole_of(fitted, part),
                )
            )
    return found


def _names_of_all(door: Door) -> list[tuple[str, str]]:
    names = zip(door.struts, ball_names(door), strict=True)
    return [name for one, name in names for _ in range(2 if one.mirrored else 1)]


def _end(door: Door, along: float) -> str:
    plus, minus = direction_words(door)[2]
    return plus if along >= 0.0 else minus


def _mirrored(door: Door, along: float) -> bool:
    """Whether the side view has to be mirrored to be what one sees from the middle.

    The side view has outward to the right and upward up, so it is seen along upward × outward.
    """
    plane = side_plane(door)
    looking = float(np.cross(plane.upward, plane.outward) @ along_axis(door))
    toward = 1.0 if along >= 0.0 else -1.0
    return looking * toward < 0.0


def template_pages(door: Door, page: str, length_unit: LengthUnit) -> list[dict[str, Any]]:
    """One page for each kept tile of each ball centre, as the template prints them.

    Raises `RecordError` for a ball centre too far from the hinge line for paper.
    """
    pages: list[dict[str, Any]] = []
    for ball in template_balls(door):
        _refuse_far(door, ball)
        drawn, found = _best_cut(door, ball, page, length_unit)
        lies, arcs = _words(door, ball, length_unit)
        first = len(pages) + 1
        for number, tile in enumerate(found.kept, start=1):
            spacer = _spacer_words(door, ball, found, tile, first, length_unit)
            pages.append(
                {
                    "title": f"Drill template {ball.name}, {ball.end} side, {ball.part}",
                    "words": [lies, spacer or arcs],
                    "place": f"tile {number} of {len(found.kept)}, 1:1",
                    "tiles": len(found.kept),
                    "map": _map(found, tile),
                    "flipped": found.flipped,
                    "margin": _margins(door)[found.flipped],
                    **_window_picture(door, ball, drawn, found.window(tile)),
                }
            )
    return pages


def _best_cut(
    door: Door, ball: TemplateBall, page: str, length_unit: LengthUnit
) -> tuple[list[Shape], Tiling]:
    """The drawing with its dimensions on the sides where it takes the fewest sheets.

    Only signs and dimensions ask for paper; datum lines and the panel are drawn where there is
    some anyway.
    """
    keys = [(0.0, 0.0), *(_at(door, ball, place) for place in _places(ball))]
    sides = ((-1.0, 1.0), (1.0, 1.0), (-1.0, -1.0), (1.0, -1.0))
    tried = []
    for side in sides:
        needed = _needed(door, ball, length_unit, side)
        tried.append((needed, cut(needed, keys, _windows(door, page))))
        if len(tried[-1][1].kept) == 1:
            break
    needed, found = min(tried, key=lambda one: one[1].cost)
    return [*_behind(door, ball), *needed], found


def _places(ball: TemplateBall) -> list[Point]:
    return [ball.place] if ball.hole is None else [ball.place, ball.hole.place]


def _refuse_far(door: Door, ball: TemplateBall) -> None:
    far = door.hinge_distance(ball.place)
    if far > LARGEST:
        raise RecordError(
            f"ball centre {ball.name} is {shown(far, 'length')} from the hinge line; a paper"
            f" template reaches {shown(LARGEST, 'length')} at most. Mark it by the tape lengths of"
            " the sheet."
        )


def _margins(door: Door) -> tuple[dict[str, float], dict[str, float]]:
    more = ASSUMED_ROOM if assumed_places(door) else 0.0
    upright, flipped = ({**one, "top": one["top"] + more} for one in MARGINS)
    return upright, flipped


def _windows(door: Door, page: str) -> tuple[tuple[float, float], tuple[float, float]]:
    width, height = (part * 1e3 for part in PAGES[page])
    upright, flipped = (
        (one["left"] + one["right"], one["top"] + one["bottom"]) for one in _margins(door)
    )
    return (width - upright[0], height - upright[1]), (height - flipped[0], width - flipped[1])


def _at(door: Door, ball: TemplateBall, place: Point) -> Place:
    """A point in the drawing: the hinge line at (0, 0), as seen from the panel's middle [mm]."""
    outward, upward = side_plane(door).place(place).tolist()
    return (-outward if ball.mirrored else outward) * 1e3, upward * 1e3


def _near(door: Door, ball: TemplateBall) -> Box:
    """Box round pin, ball and hole [mm]."""
    places = [(0.0, 0.0), *(_at(door, ball, place) for place in _places(ball))]
    xs, ys = [x for x, _ in places], [y for _, y in places]
    return min(xs) - AROUND, min(ys) - AROUND, max(xs) + AROUND, max(ys) + AROUND


def _behind(door: Door, ball: TemplateBall) -> list[Shape]:
    """Datum lines through the hinge line, and the panel where it comes near."""
    near = _near(door, ball)
    left, bottom, right, top = near
    return [
        *(part for shape in _panel(door, ball) for part in clipped(shape, near)),
        Polyline(((left, 0.0), (right, 0.0)), "hinge_line"),
        Polyline(((0.0, bottom), (0.0, top)), "hinge_line"),
    ]


def _needed(
    door: Door, ball: TemplateBall, length_unit: LengthUnit, side: tuple[float, float]
) -> list[Shape]:
    """Signs of hinge line, ball and hole, and running dimensions.

    side: -1 or 1 for heights to the left or right, and for depths below or above.
    """
    left, bottom, right, top = _near(door, ball)
    medium = replace(MEDIA["paper"], figure=FIGURE)
    across, upward = [], []
    for place in _places(ball):
        at, measured = _at(door, ball, place), hinge_place(door, place)
        across.append(Measured(at, _figure(measured.outward, length_unit)))
        upward.append(Measured(at, _figure(measured.upward, length_unit)))
    line_x = left - 4.0 if side[0] < 0.0 else right + 4.0
    line_y = bottom - 4.0 if side[1] < 0.0 else top + 4.0
    measures = [
        *heights(upward, (0.0, 0.0), line_x, medium),
        *depths(across, (0.0, 0.0), line_y, medium),
    ]
    return [
        *[_bold(one) for one in measures],
        *symbols.cross((0.0, 0.0), CROSS),
        Circle((0.0, 0.0), 2.0, "hinge"),
        *_marks(door, ball),
    ]


def _marks(door: Door, ball: TemplateBall) -> list[Shape]:
    """Ball centre, and the hole as a circle of its drill; a ball beside a hole is a light cross."""
    at = _at(door, ball, ball.place)
    if ball.hole is None:
        circles = [Circle(at, 3.5, "cross"), Circle(at, BALL_RADIUS, "handle")]
        return [*symbols.cross(at, CROSS), *circles]
    there = _at(door, ball, ball.hole.place)
    radius = (ball.hole.diameter or UNKNOWN) / 2.0 * 1e3
    role = "mark" if ball.hole.diameter is None else "hole"
    return [
        *symbols.cross(there, max(CROSS, 2.0 * radius + 6.0)),
        Circle(there, radius, role),
        *(replace(one, role="ball_cross") for one in symbols.cross(at, 0.6 * CROSS)),
        Circle(at, BALL_RADIUS, "ball_cross"),
    ]


def _bold(shape: Shape) -> Shape:
    return replace(shape, bold=True) if isinstance(shape, Text) else shape


def _figure(metres: float, length_unit: LengthUnit) -> str:
    return both_units(abs(metres), length_unit)[0].removesuffix(f"{NO_BREAK}mm")


def _panel(door: Door, ball: TemplateBall) -> list[Shape]:
    """The panel shut, and on the door side the line to its handle."""
    outline = [((-x if ball.mirrored else x) * 1e3, y * 1e3) for x, y in panel_outline(door)]
    closed = door.panel.thickness > 0.0
    shapes: list[Shape] = [Polyline((*outline, outline[0]) if closed else tuple(outline), "ghost")]
    if ball.part == "door side":
        handle = _at(door, ball, door.panel.handle)
        shapes.append(Polyline(((0.0, 0.0), handle), "centre_line"))
    return shapes


def _labels(door: Door, ball: TemplateBall) -> list[Label]:
    """Names of pin, ball and datum lines."""
    out_ways, up_ways, _ = direction_words(door)
    x, y = _at(door, ball, ball.to_drill)
    labels = []
    if ball.hole is not None:
        inner = 0.75 * math.pi if x > 0.0 else 0.25 * math.pi
        hole = f"hole {ball.name}: {ball.hole.words}"
        labels.append(_label((x, y), hole, bold=True, first=-inner))
        words = _ball_words(door, ball)
        labels.append(_label(_at(door, ball, ball.place), words, bold=True, first=inner))
    else:
        labels.append(_label((x, y), f"ball centre {ball.name}", bold=True))
    labels += [
        _label((0.0, 0.0), "hinge line: pin centre", bold=True),
        _along_line((x, 0.0), f"0 {up_ways[0]} or {up_ways[1]}"),
        _along_line((0.0, y), f"0 {out_ways[0]} or {out_ways[1]}"),
    ]
    if ball.part == "door side":
        handle = _at(door, ball, door.panel.handle)
        reach = math.hypot(x, y) / math.hypot(*handle)
        labels.append(
            _along_line((reach * handle[0], reach * handle[1]), "to the handle", ray=True)
        )
    return labels


def _ball_words(door: Door, ball: TemplateBall) -> str:
    """The ball beside a hole, and how far it stands off a face square to the hinge line."""
    off = abs(hinge_place(door, ball.place).along - hinge_place(door, ball.to_drill).along)
    stands = f", {millimetres(off)} mm off" if off > WORTH_SAYING else ""
    return f"ball {ball.name}{stands}: do not drill"


def _label(at: Place, words: str, *, bold: bool = False, first: float = -math.pi / 4) -> Label:
    """Names of points stand off with a leader, names of lines close to them."""
    near = 14.0 if bold else 3.0
    return Label(
        at,
        Text((0.0, 0.0), words, "text", LABEL, bold=bold),
        around((near, 1.6 * near, 2.5 * near), first=first),
        far=0.9 * near if bold else math.inf,
    )


def _along_line(end: Place, words: str, *, ray: bool = False) -> Label:
    """The name of a line from the hinge line to `end`, written along it; a ray ends there."""
    turn = math.atan2(end[1], end[0])
    turn -= math.pi * round(turn / math.pi)
    if abs(turn) > math.pi / 2.0 - 1e-6:
        turn = math.pi / 2.0
    behind = -BEHIND / max(math.hypot(*end), 1e-9)
    shares = (0.45, 0.6, 0.3, 0.75, *(() if ray else (behind, 1.4 * behind)))
    first, *others = [(share * end[0], share * end[1]) for share in shares]
    text = Text((0.0, 0.0), words, "text", LABEL, angle=turn)
    square = turn + math.pi / 2.0
    sides = [
        (gap * math.cos(square), gap * math.sin(square)) for gap in (1.2, -1.2, 2.5, -2.5, 5.0)
    ]
    return Label(first, text, tuple(sides), others=tuple(others))


def _stand_off(door: Door, ball: TemplateBall) -> float:
    """How far a hole is set off from its ball centre along the hinge line [m]."""
    return abs(hinge_place(door, ball.to_drill).along - hinge_place(door, ball.place).along)


def _words(door: Door, ball: TemplateBall, length_unit: LengthUnit) -> list[str]:
    """What it is for, which way round it lies, and the arcs for any other face."""
    along = both_units(abs(hinge_place(door, ball.to_drill).along), length_unit)[0]
    arcs = [
        "{} ({})".format(*both_units(math.dist(ball.to_drill, point), length_unit))
        for point in (door.hinge.first, door.hinge.second)
    ]
    if ball.hole is not None and _stand_off(door, ball) < LEAST_STAND_OFF:
        return [OTHER_FACE, unbroken(f"Two arcs: {arcs[0]} and {arcs[1]} to the hole.")]
    names = hinge_point_names(door)
    what = "" if ball.hole is None else " to the hole"
    holes = BRACKET_ITSELF if ball.hole is None else FURTHER_HOLES
    return [
        unbroken(
            f"True size, for a face square to the hinge line, {along} {ball.end} of the middle,"
            f" panel shut. Seen from the middle, looking {ball.end}: from the far side lay it face"
            " down."
        ),
        unbroken(
            f"Any other face: strike two arcs{what}, {arcs[0]} round the {names[0]} hinge point and"
            f" {arcs[1]} round the {names[1]}; unsure on a face within 45° of square. {holes}"
        ),
    ]


def _spacer_words(
    door: Door, ball: TemplateBall, found: Tiling, tile: Tile, first: int, length_unit: LengthUnit
) -> str:
    """What a tile with neither pin nor ball nor hole is for, and how far it reaches; else "".

    first: the page on which the first tile of this template is.
    """
    if _marked(door, ball, found.window(tile)):
        return ""
    left, bottom, right, top = found.window(tile)
    outward, upward, _ = direction_words(door)
    if ball.mirrored:
        outward = outward[1], outward[0]
    spans = [
        _span(low, high, ways, length_unit)
        for low, high, ways in ((left, right, outward), (bottom, top, upward))
    ]
    reach = " and ".join(one for one in spans if one)
    beside = min(
        (one for one in found.kept if one != tile),
        key=lambda one: (math.dist(one, tile), not _marked(door, ball, found.window(one))),
    )
    number = found.kept.index(beside) + 1
    return unbroken(
        f"Spacer: only lines, no hole or ball centre. It reaches {reach} from the hinge line. Join"
        f" it ring on ring to tile {number}, sheet {first + number - 1}."
    )


def _marked(door: Door, ball: TemplateBall, box: Box) -> bool:
    """Whether pin, ball or hole lies in a window."""
    places = [(0.0, 0.0), *(_at(door, ball, place) for place in _places(ball))]
    return any(box[0] <= x <= box[2] and box[1] <= y <= box[3] for x, y in places)


def _span(low: float, high: float, ways: tuple[str, str], length_unit: LengthUnit) -> str:
    """From where to where a window reaches on one side of the hinge line [mm]; "" if on both."""
    if low < 0.0 < high:
        return ""
    near, far = sorted((abs(low), abs(high)))
    texts = [both_units(round(one) * 1e-3, length_unit)[0] for one in (near, far)]
    return f"from {texts[0]} to {texts[1]} {ways[0] if low >= 0.0 else ways[1]}"


def _map(found: Tiling, here: Tile) -> list[list[dict[str, Any]]]:
    """Rows of the tile map: the number of each kept tile, and which one this is."""
    numbers = {tile: str(number) for number, tile in enumerate(found.kept, start=1)}
    return [
        [
            {"number": numbers.get((column, row), ""), "here": (column, row) == here}
            for column in range(found.columns)
        ]
        for row in range(found.rows)
    ]


def _window_picture(
    door: Door, ball: TemplateBall, drawn: Sequence[Shape], box: Box
) -> dict[str, Any]:
    """What of the drawing lies in a window, with the names of what lies in it."""
    inside = [kept_in(part, box) for shape in flat(drawn) for part in clipped(shape, box)]
    layout = Layout(box, crossing=CROSSING)
    layout.block(inside)
    for label in _labels(door, ball):
        if box[0] <= label.at[0] < box[2] and box[1] < label.at[1] <= box[3]:
            inside.extend(layout.place(label))
    picture = Picture(
        width=box[2] - box[0],
        height=box[3] - box[1],
        shapes=tuple(moved(one, -box[0], -box[1]) for one in inside),
        title=f"Ball centre {ball.name} at true size",
        description="Hinge line, ball centre and their distances.",
        medium="paper",
        scale=1.0,
    )
    return {
        "svg": svg_text(picture, theme="print", ground=False),
        "width": picture.width,
        "height": picture.height,
        "alt": f"{picture.title}. {picture.description}",
    }
