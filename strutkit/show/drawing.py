"""The drawing of a door for a drawing program: DXF at full size, or SVG at 1:1."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from strutkit.decide.sweep import sweep
from strutkit.describe.numbers import LengthUnit, inch_text, travel_text
from strutkit.describe.records import Door
from strutkit.describe.text_files import save_bytes
from strutkit.errors import SaveError
from strutkit.show.dxf import Ordinate, dxf_bytes
from strutkit.show.holes import SIZES, UNKNOWN, Hole, hole_of
from strutkit.show.letters import bounds
from strutkit.show.mount_words import ball_names
from strutkit.show.placing import spread
from strutkit.show.plane import side_plane
from strutkit.show.shapes import Circle, Picture, Place, Text, flat, moved
from strutkit.show.sideview import STANDARD_SCALES, side_view
from strutkit.show.style import PAPER
from strutkit.show.svg import svg_text

PLOT_SIZE = (180.0, 180.0)
"""A DXF's signs and figures have the size they need on a plot that fits this [mm]."""


def save_drawing(
    door: Door, path: str | Path, *, angle: float = 0.0, length_unit: LengthUnit = "mm"
) -> None:
    """Save the side view as a drawing, true to size in mm: DXF R2010 or SVG, by the ending.

    The hinge line lies at (0, 0) of the DXF, outward along +x and upward along +y; each ball
    centre, shut, is a point on the layer MOUNTS with ordinate dimensions from the hinge line,
    each hole that is given a circle of its drill on the layer HOLES. angle [rad]: where the panel
    stands; its shut and open positions are drawn as well. length_unit: of the printed figures.
    The same door and options give the same bytes.

    Raises `TravelError` for a door that cannot be swept or an angle outside its travel,
    `SaveError` for another ending or where the file cannot be written.
    """
    place = Path(path)
    ending = place.suffix.lower()
    if ending not in (".dxf", ".svg"):
        raise SaveError(f"{place.name!r} does not end in .dxf or .svg; give it one of these.")
    if ending == ".svg":
        svg = drawing_svg(door, angle=angle, length_unit=length_unit)
        save_bytes(svg.encode("utf-8"), place)
        return
    picture = _with_holes(_side(door, angle, length_unit, scale=None), door)
    measured = ordinates(picture, door, length_unit)
    save_bytes(dxf_bytes(_titled(picture, door, length_unit), mount_points(door), measured), place)


def drawing_svg(door: Door, *, angle: float = 0.0, length_unit: LengthUnit = "mm") -> str:
    """The drawing as SVG at 1:1. Errors as for `save_drawing`."""
    picture = _with_holes(_side(door, angle, length_unit, scale=1.0), door)
    return svg_text(_titled(picture, door, length_unit), theme="print")


def _side(door: Door, angle: float, unit: LengthUnit, *, scale: float | None) -> Picture:
    return side_view(
        door,
        sweep(door),
        angle,
        size=PLOT_SIZE if scale is None else None,
        scale=scale,
        scales=STANDARD_SCALES if scale is None else None,
        medium="paper",
        unit=unit,
        letters=True,
        measured=scale is not None,
    )


def _holes(door: Door) -> list[tuple[Place, Hole]]:
    """Every hole in the side view, shut [mm from the hinge line]; a pair's lie on each other."""
    plane = side_plane(door)
    found = [hole_of(one, part) for one in door.struts for part in ("frame", "panel")]
    there = [one for one in found if one is not None]
    places = (plane.place([one.place for one in there]) * 1e3).tolist() if there else []
    return [((x, y), one) for (x, y), one in zip(places, there, strict=True)]


def _with_holes(picture: Picture, door: Door) -> Picture:
    scale, (right, up) = picture.scale or 1.0, picture.origin or (0.0, 0.0)
    circles = [
        Circle(
            (right + x * scale, up + y * scale), 500.0 * scale * (one.diameter or UNKNOWN), "hole"
        )
        for (x, y), one in _holes(door)
    ]
    return replace(picture, shapes=(*picture.shapes, *circles))


def ordinates(picture: Picture, door: Door, length_unit: LengthUnit) -> list[Ordinate]:
    """Running dimensions of balls and holes from the hinge line, on the sides off the swing."""
    scale, (right, up) = picture.scale or 1.0, picture.origin or (0.0, 0.0)
    swing = bounds([one for one in flat(picture.shapes) if one.role == "handle_arc"])
    left_side = swing[2] - right >= right - swing[0]
    above = up - swing[1] >= swing[3] - up
    edge = 2.0 * PAPER.figure
    line_x = -(right + edge) / scale if left_side else (picture.width - right + edge) / scale
    line_y = (picture.height - up + edge) / scale if above else -(up + edge) / scale
    balls = [place for name, place in mount_points(door).items() if name != HINGE_LINE]
    places = [*balls, *(place for place, _ in _holes(door))]
    gap = 1.6 * PAPER.figure / scale
    return [
        *_run(places, 1, line_x, gap, length_unit),
        *_run(places, 0, line_y, gap, length_unit),
    ]


def _run(
    places: Sequence[Place], axis: int, line: float, gap: float, length_unit: LengthUnit
) -> list[Ordinate]:
    """Dimensions along one axis, figures moved apart; equal coordinates once."""
    first: dict[float, Place] = {}
    for place in places:
        first.setdefault(round(place[axis], 6), place)
    levels = sorted(first)
    found = []
    for level, beside in zip(levels, spread(levels, gap), strict=True):
        end = (line, beside) if axis == 1 else (beside, line)
        text = inch_text(abs(level) * 1e-3, parts=64) if length_unit == "in" else None
        found.append(Ordinate(first[level], end, axis == 1, text))
    return found


HINGE_LINE = "hinge line"


def mount_points(door: Door) -> dict[str, Place]:
    """Each ball centre and the hinge line in the side view, shut [mm from the hinge line]."""
    plane = side_plane(door)
    points: dict[str, Place] = {HINGE_LINE: (0.0, 0.0)}
    for one in door.fitted:
        for part, mount in (("fixed side", one.frame_mount), ("door side", one.panel_mount)):
            x, y = (plane.place(mount) * 1e3).tolist()
            points[f"{one.strut.name}, {part}"] = (x, y)
    return points


ROOM_BELOW = 25.0
"""Between the view and the lines below it, for dimensions that stand there [mm]."""


def _hole_lines(door: Door) -> list[str]:
    """Each hole that is given, with its drill."""
    lines = []
    for names, fitted in zip(ball_names(door), door.struts, strict=True):
        words = []
        for name, part in zip(names, ("frame", "panel"), strict=True):
            hole = hole_of(fitted, part)
            if hole is not None:
                words.append(f"{name} {hole.words}")
        lines += ["; ".join(words)] if words else []
    return [*(f"Circles are holes: {line}." for line in lines), SIZES] if lines else []


def _titled(picture: Picture, door: Door, unit: LengthUnit) -> Picture:
    """The picture with its name, scale and what its points are below it."""
    ratio = f"1:{1.0 / (picture.scale or 1.0):.3g}"
    plot = ratio if ratio == "1:1" else f"figures sized for a plot at {ratio}"
    end = travel_text(sweep(door).end_of_travel)
    units = "Drawn in mm" if unit == "mm" else "Drawn in mm, figures in inches to the nearest 1/64"
    lines = [
        door.name,
        f"Side view, square to the hinge line; shut, and open {end}. {units}, {plot}.",
        "Points are ball or pin centres, the panel shut. Not a drill template.",
        *_hole_lines(door),
    ]
    size, left, low = PAPER.note, 2.0, 2.0
    texts = [
        Text((left, low + (len(lines) - 1 - row) * 1.5 * size), line, "text", size, bold=row == 0)
        for row, line in enumerate(lines)
    ]
    up = low + len(lines) * 1.5 * size + ROOM_BELOW
    width = max(picture.width, bounds(texts)[2] + 2.0)
    origin = picture.origin or (0.0, 0.0)
    return replace(
        picture,
        width=width,
        height=picture.height + up,
        shapes=(*texts, *(moved(one, 0.0, up) for one in picture.shapes)),
        origin=(origin[0], origin[1] + up),
    )
