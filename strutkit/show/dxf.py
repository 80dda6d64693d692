"""Pictures as DXF R2010 at full size: mm, the hinge line at (0, 0), a layer for each kind of line.

Signs, figures and dashes keep the size they have in the picture's own scale, so a plot at that
scale looks like the picture. Layout, audit and encoding are ezdxf's.
"""

import io
import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from strutkit.show.letters import CAPITAL
from strutkit.show.shapes import Arc, Circle, Picture, Place, Polygon, Polyline, Text, flat
from strutkit.show.style import FAMILY, LINES, LOOKS, MEDIA, line_dash, line_width

LAYERS: dict[str, tuple[str, ...]] = {
    "OUTLINE": ("panel", "frame", "frame_hatch"),
    "POSITIONS": ("ghost",),
    "STRUTS": ("strut", "rod", "strut_axis", "lost_strut"),
    "MOUNTS": ("mount", "cross", "hinge", "shut_mount", "point"),
    "HOLES": ("hole",),
    "CENTRE_LINES": ("handle_arc", "centre_line", "hinge_line", "level", "mark", "bar", "rest"),
    "DIMENSIONS": ("dimension", "dimension_end", "arrow_head", "leader", "leader_end"),
    "WEIGHT": ("weight", "weight_head", "centre_of_gravity", "handle"),
}
"""Layer -> roles of the shapes on it; texts stand on TEXT, figures of dimensions with these."""

TEXT_LAYER = "TEXT"
JOINER = "\N{WORD JOINER}"


@dataclass(frozen=True, slots=True)
class Ordinate:
    """An ordinate dimension from the hinge line, at full size [mm].

    at: the measured point; end: where its figure stands; upright: it is a height, else a depth;
    text: the figure, None for the millimetres that the drawing program measures.
    """

    at: Place
    end: Place
    upright: bool
    text: str | None


def dxf_bytes(
    picture: Picture,
    points: dict[str, Place] | None = None,
    ordinates: Sequence[Ordinate] = (),
) -> bytes:
    """The picture as a DXF file; the same picture gives the same bytes.

    points: name -> place from the hinge line at full size [mm], set as POINT entities on MOUNTS.
    ordinates: set as DIMENSION entities. Names are shown literally: codes of the format in them
    are broken up.
    """
    ezdxf: Any = import_module("ezdxf")
    with _fixed_stamps(ezdxf.options):
        document = ezdxf.new("R2010", units=ezdxf.units.MM)
        writer = _Writer(document, picture)
        for shape in flat(picture.shapes):
            writer.add(shape)
        for place in (points or {}).values():
            writer.space.add_point((*place, 0.0), dxfattribs={"layer": "MOUNTS"})
        for one in ordinates:
            writer.add_ordinate(one)
        stream = io.StringIO()
        document.write(stream)
    return stream.getvalue().encode("utf-8")


@contextmanager
def _fixed_stamps(options: Any) -> Iterator[None]:
    """No time stamps and no random identifiers in the file; the user's setting comes back."""
    former = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = former


def literal(text: str) -> str:
    """The text with the codes of DXF texts broken up: %%d, ^I, \\U+0041.

    >>> literal("50 %, 20 °C")
    '50 %, 20 °C'
    """
    return (
        text.replace("^", f"^ {JOINER}")
        .replace("%%", f"%{JOINER}%")
        .replace("%%", f"%{JOINER}%")
        .replace("\\U+", f"\\{JOINER}U+")
        .replace("\\M+", f"\\{JOINER}M+")
    )


class _Writer:
    """Adds shapes to the model space: places from the hinge line, at full size."""

    def __init__(self, document: Any, picture: Picture) -> None:
        self.space = document.modelspace()
        self.origin = picture.origin or (0.0, 0.0)
        self.factor = 1.0 / (picture.scale or 1.0)
        self.medium = picture.medium
        self.layers = {role: name for name, roles in LAYERS.items() for role in roles}
        for name in (*LAYERS, TEXT_LAYER):
            document.layers.add(name, color=7)
        document.styles.add("STRUTKIT", font=f"{FAMILY.replace(' ', '')}.ttf")
        self.add_linetypes(document)
        self.add_dimension_style(document)

    def add_dimension_style(self, document: Any) -> None:
        """Millimetres as measured (dimlfac 1), at most 0.1 mm, zeros behind the point left out."""
        figure = CAPITAL * MEDIA[self.medium].figure * self.factor
        attributes = {
            "dimlfac": 1.0,
            "dimscale": 1.0,
            "dimdec": 1,
            "dimzin": 8,
            "dimdsep": ord("."),
            "dimtxt": figure,
            "dimgap": 0.4 * figure,
            "dimexo": figure,
            "dimtxsty": "STRUTKIT",
        }
        document.dimstyles.new("STRUTKIT", dxfattribs=attributes)

    def add_ordinate(self, one: Ordinate) -> None:
        add = self.space.add_ordinate_y_dim if one.upright else self.space.add_ordinate_x_dim
        add(
            feature_location=one.at,
            offset=(one.end[0] - one.at[0], one.end[1] - one.at[1]),
            origin=(0.0, 0.0),
            text="<>" if one.text is None else one.text,
            dimstyle="STRUTKIT",
            dxfattribs={"layer": "DIMENSIONS"},
        ).render()

    def add_linetypes(self, document: Any) -> None:
        for name in LINES:
            dash = [part * self.factor for part in line_dash(name, self.medium)]
            if dash:
                signed = [part if index % 2 == 0 else -part for index, part in enumerate(dash)]
                document.linetypes.add(name.upper(), pattern=[sum(dash), *signed])

    def at(self, place: Place) -> Place:
        return (
            (place[0] - self.origin[0]) * self.factor,
            (place[1] - self.origin[1]) * self.factor,
        )

    def attributes(self, role: str) -> dict[str, Any]:
        line = LOOKS[role].line
        dashed = bool(line_dash(line, self.medium))
        return {
            "layer": self.layers.get(role, "OUTLINE"),
            "lineweight": round(100 * line_width(line, self.medium)),
            "linetype": line.upper() if dashed else "CONTINUOUS",
        }

    def add(self, shape: Polyline | Polygon | Circle | Arc | Text) -> None:
        match shape:
            case Text():
                self.add_text(shape)
            case Polyline():
                points = [self.at(place) for place in shape.points]
                self.space.add_lwpolyline(points, dxfattribs=self.attributes(shape.role))
            case Polygon():
                self.add_polygon(shape)
            case Circle():
                self.add_circle(shape)
            case Arc():
                ends = sorted((shape.start, shape.start + shape.sweep))
                self.space.add_arc(
                    self.at(shape.centre),
                    shape.radius * self.factor,
                    math.degrees(ends[0]),
                    math.degrees(ends[1]),
                    dxfattribs=self.attributes(shape.role),
                )

    def add_polygon(self, shape: Polygon) -> None:
        points = [self.at(place) for place in shape.points]
        attributes = self.attributes(shape.role)
        if LOOKS[shape.role].stroke is None:
            hatch = self.space.add_hatch(color=7, dxfattribs={"layer": attributes["layer"]})
            hatch.paths.add_polyline_path(points, is_closed=True)
        else:
            self.space.add_lwpolyline(points, close=True, dxfattribs=attributes)

    def add_circle(self, shape: Circle) -> None:
        centre, radius = self.at(shape.centre), shape.radius * self.factor
        attributes = self.attributes(shape.role)
        self.space.add_circle(centre, radius, dxfattribs=attributes)
        if LOOKS[shape.role].stroke is None:
            hatch = self.space.add_hatch(color=7, dxfattribs={"layer": attributes["layer"]})
            path = hatch.paths.add_edge_path()
            path.add_arc(centre, radius, 0.0, 360.0)

    def add_text(self, text: Text) -> None:
        from ezdxf.enums import TextEntityAlignment

        placement = {
            "start": TextEntityAlignment.LEFT,
            "middle": TextEntityAlignment.CENTER,
            "end": TextEntityAlignment.RIGHT,
        }
        entity = self.space.add_text(
            literal(text.text),
            height=CAPITAL * text.size * self.factor,
            rotation=math.degrees(text.angle),
            dxfattribs={"layer": TEXT_LAYER, "style": "STRUTKIT"},
        )
        entity.set_placement(self.at(text.at), align=placement[text.anchor])
