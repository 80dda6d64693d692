"""The drawing of a door for a drawing program: DXF at full size, or SVG at 1:1."""

from dataclasses import replace
from pathlib import Path

from strutkit.decide.sweep import sweep
from strutkit.describe.numbers import LengthUnit, quantity_text
from strutkit.describe.records import Door
from strutkit.describe.text_files import save_bytes
from strutkit.errors import SaveError
from strutkit.show.dxf import dxf_bytes
from strutkit.show.letters import bounds
from strutkit.show.plane import side_plane
from strutkit.show.shapes import Picture, Place, Text, moved
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
    centre, shut, is a point on the layer MOUNTS. angle [rad]: where the panel stands; its shut
    and open positions are drawn as well. length_unit: of the printed figures. The same door and
    options give the same bytes.

    Raises `TravelError` for a door that cannot be swept or an angle outside its travel,
    `SaveError` for another ending or where the file cannot be written.
    """
    place = Path(path)
    ending = place.suffix.lower()
    if ending not in (".dxf", ".svg"):
        raise SaveError(f"{place.name!r} does not end in .dxf or .svg; give it one of these.")
    if ending == ".svg":
        picture = _side(door, angle, length_unit, scale=1.0)
        save_bytes(svg_text(_titled(picture, door), theme="print").encode("utf-8"), place)
        return
    picture = _side(door, angle, length_unit, scale=None)
    save_bytes(dxf_bytes(_titled(picture, door), mount_points(door)), place)


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
    )


def mount_points(door: Door) -> dict[str, Place]:
    """Each ball centre and the hinge line in the side view, shut [mm from the hinge line]."""
    plane = side_plane(door)
    points: dict[str, Place] = {"hinge line": (0.0, 0.0)}
    for one in door.fitted:
        for part, mount in (("fixed side", one.frame_mount), ("door side", one.panel_mount)):
            x, y = (plane.place(mount) * 1e3).tolist()
            points[f"{one.strut.name}, {part}"] = (x, y)
    return points


def _titled(picture: Picture, door: Door) -> Picture:
    """The picture with its name, scale and what its points are below it."""
    ratio = f"1:{1.0 / (picture.scale or 1.0):.3g}"
    plot = ratio if ratio == "1:1" else f"figures sized for a plot at {ratio}"
    end = quantity_text(sweep(door).end_of_travel, "angle")
    lines = [
        door.name,
        f"Side view, square to the hinge line; shut, and open {end}. Lengths in mm, {plot}.",
        "Points are ball or pin centres, the panel shut. Not a drill template.",
    ]
    size, left, low = PAPER.note, 2.0, 2.0
    texts = [
        Text((left, low + (len(lines) - 1 - row) * 1.5 * size), line, "text", size, bold=row == 0)
        for row, line in enumerate(lines)
    ]
    up = low + len(lines) * 1.5 * size + 1.0
    width = max(picture.width, bounds(texts)[2] + 2.0)
    origin = picture.origin or (0.0, 0.0)
    return replace(
        picture,
        width=width,
        height=picture.height + up,
        shapes=(*texts, *(moved(one, 0.0, up) for one in picture.shapes)),
        origin=(origin[0], origin[1] + up),
    )
