"""The sheet's pictures as SVG of true size, with a caption and a text for those who cannot see."""

from dataclasses import replace
from typing import Any

from strutkit.decide.conditions import all_conditions, door_statics, fitting
from strutkit.decide.sweep import sweep, sweep_many
from strutkit.describe.numbers import LengthUnit, figure
from strutkit.describe.records import Door
from strutkit.show.alongview import along_view
from strutkit.show.chartpicture import chart_picture
from strutkit.show.charts import hand_force_chart, hinge_load_chart, length_chart, moment_chart
from strutkit.show.letters import shortened, text_box
from strutkit.show.shapes import Group, Picture, Shape, Text
from strutkit.show.sideview import STANDARD_SCALES, side_view
from strutkit.show.svg import svg_text

SIDE_SIZE = (129.0, 150.0)
ALONG_SIZE = (104.0, 60.0)
"""Most room on page 1 [mm]."""
FAIR_SCALE = 1.0 / 49.0
CHART_SIZES = {"a4": (172.0, 60.0), "letter": (176.0, 56.0)}


def sides(door: Door, length_unit: LengthUnit) -> list[dict[str, Any]]:
    """The door shut and open, with running dimensions and the balls named.

    At the two largest standard scales that leave it within page 1; the template takes the first
    with which all else fits, too.
    """
    swept = sweep(door)
    look: dict[str, Any] = {"medium": "paper", "unit": length_unit, "letters": True}
    reach = door.hinge_distance(door.panel.handle) * 1e3
    pictures: list[Picture] = []
    for scale in (one for one in STANDARD_SCALES if one * reach <= SIDE_SIZE[1]):
        picture = side_view(door, swept, scale=scale, **look)
        if picture.width <= SIDE_SIZE[0] and picture.height <= SIDE_SIZE[1]:
            pictures.append(picture)
        if len(pictures) == 2:
            break
    if not pictures:
        pictures = [side_view(door, swept, size=SIDE_SIZE, **look)]
    return [
        {**_embedded(one, f"Side view, shut and open, {_scale(one)}"), "fair": _fair(one)}
        for one in pictures
    ]


def _fair(picture: Picture) -> bool:
    """Whether a side view shows a door well: not at 1:50 or smaller."""
    return (picture.scale or 1.0) > FAIR_SCALE


def along(door: Door, length_unit: LengthUnit) -> dict[str, Any]:
    """Hinge points and mounts along the hinge line."""
    picture = along_view(door, size=ALONG_SIZE, unit=length_unit)
    return _embedded(picture, f"{picture.description}, {_scale(picture)}")


def _scale(picture: Picture) -> str:
    scale = picture.scale or 1.0
    return f"1:{figure(1.0 / scale, 0.1).removesuffix('.0')}"


def _embedded(picture: Picture, caption: str) -> dict[str, Any]:
    shapes = tuple(_inside(one, picture.width) for one in picture.shapes)
    return {
        "svg": svg_text(replace(picture, shapes=shapes), theme="print", ground=False),
        "width": picture.width,
        "height": picture.height,
        "caption": caption,
        "alt": f"{picture.title}. {picture.description}",
    }


def _inside(shape: Shape, width: float) -> Shape:
    """A text that a long name drives out of the picture is cut and moved in."""
    if isinstance(shape, Group):
        return replace(shape, shapes=tuple(_inside(one, width) for one in shape.shapes))
    if not isinstance(shape, Text) or shape.angle != 0.0:
        return shape
    left, _, right, _ = text_box(shape)
    if left >= 0.0 and right <= width:
        return shape
    text = shortened(shape.text, 0.6 * width, shape.size, bold=shape.bold)
    left, _, right, _ = text_box(replace(shape, text=text))
    move = max(0.0, -left) - max(0.0, right - width)
    return replace(shape, text=text, at=(shape.at[0] + move, shape.at[1]))


def charts(door: Door, page: str) -> list[dict[str, Any]]:
    """Moments, hand forces, strut lengths and hinge loads over the travel, in all conditions that
    can be swept."""
    conditions = fitting(door, all_conditions(door))
    swept = sweep_many(door, conditions, door_statics(door, conditions))
    made = [moment_chart(swept), hand_force_chart(swept)]
    if door.fitted:
        made += [length_chart(swept), hinge_load_chart(swept)]
    return [
        _embedded(chart_picture(one, size=CHART_SIZES[page], medium="paper"), one.title)
        for one in made
    ]
