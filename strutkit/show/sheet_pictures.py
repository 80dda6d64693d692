"""The sheet's pictures as SVG of true size, with a caption and a text for those who cannot see."""

from typing import Any

from strutkit.decide.sweep import sweep
from strutkit.describe.numbers import LengthUnit, figure
from strutkit.describe.records import Door
from strutkit.show.alongview import along_view
from strutkit.show.shapes import Picture
from strutkit.show.sideview import STANDARD_SCALES, side_view
from strutkit.show.svg import svg_text

SIDE_SIZE = {"a4": (118.0, 106.0), "letter": (124.0, 88.0)}
ALONG_SIZE = (116.0, 60.0)
"""Room on page 1 [mm]."""


def side(door: Door, page: str, length_unit: LengthUnit) -> dict[str, Any]:
    """The door shut and open, with running dimensions and the balls named."""
    swept = sweep(door)
    look: dict[str, Any] = {"medium": "paper", "unit": length_unit, "letters": True}
    fitted = side_view(door, swept, size=SIDE_SIZE[page], scales=STANDARD_SCALES, **look)
    picture = side_view(door, swept, scale=fitted.scale, **look)
    return _embedded(picture, f"Side view, shut and open, {_scale(picture)}")


def along(door: Door, length_unit: LengthUnit) -> dict[str, Any]:
    """Hinge points and mounts along the hinge line."""
    picture = along_view(door, size=ALONG_SIZE, unit=length_unit)
    return _embedded(picture, f"{picture.description}, {_scale(picture)}")


def _scale(picture: Picture) -> str:
    scale = picture.scale or 1.0
    return f"1:{figure(1.0 / scale, 0.1).removesuffix('.0')}"


def _embedded(picture: Picture, caption: str) -> dict[str, Any]:
    return {
        "svg": svg_text(picture, theme="print", ground=False),
        "width": picture.width,
        "height": picture.height,
        "caption": caption,
        "alt": f"{picture.title}. {picture.description}",
    }
