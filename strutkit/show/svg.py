"""Pictures as SVG text: true to scale in mm, every text escaped, same picture same bytes."""

import math
import re
from collections.abc import Iterator
from typing import Literal
from xml.sax.saxutils import escape, quoteattr

from strutkit.show.shapes import Arc, Circle, Group, Picture, Place, Polygon, Polyline, Shape, Text
from strutkit.show.style import (
    COLOURS,
    FAMILY,
    LOOKS,
    MEDIA,
    TEXT_COLOURS,
    THEMES,
    Theme,
    colour,
    line_dash,
    line_width,
)

SvgTheme = Theme | Literal["page"]
"""A fixed set of colours, or those of the page the picture stands in."""

PAGE_FAMILY = f"var(--jp-ui-font-family, '{FAMILY}'), '{FAMILY}', sans-serif"

_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def svg_text(picture: Picture, *, theme: SvgTheme = "light", ground: bool = True) -> str:
    """The picture as one `svg` element of its size in mm; coordinates are mm, y downward.

    theme: "light", "dark", "print", or "page" for colours from the custom properties
    --strutkit-<role> of the page, the light ones where it has none. ground: a rectangle of the
    ground's colour below. Texts from a door are shown literally, whatever they hold.
    """
    writer = _Writer(picture, theme)
    width, height = _number(picture.width), _number(picture.height)
    title = literal(picture.title)
    opening = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}" role="img" aria-label={quoteattr(title)}'
        f" font-family={quoteattr(writer.family)}>"
    )
    rows = [
        opening,
        f"<title>{escape(title)}</title>",
        f"<desc>{escape(literal(picture.description))}</desc>",
    ]
    if ground:
        rows.append(f'<rect width="{width}" height="{height}" fill="{writer.colour("paper")}"/>')
    for shape in picture.shapes:
        rows.extend(writer.rows(shape))
    rows.append("</svg>")
    return "\n".join(rows) + "\n"


def literal(text: str) -> str:
    """The text with the few characters that XML cannot hold replaced."""
    return _NOT_XML.sub("\ufffd", text)


def _number(value: float) -> str:
    """A number to a thousandth, without zeros behind it."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


class _Writer:
    """Turns shapes into rows; knows the height to turn y downward, the colours and the medium."""

    def __init__(self, picture: Picture, theme: SvgTheme) -> None:
        self.height = picture.height
        self.medium = picture.medium
        self.theme = theme
        self.family = PAGE_FAMILY if theme == "page" else f"'{FAMILY}', sans-serif"

    def colour(self, role: str) -> str:
        if self.theme == "page":
            return f"var(--strutkit-{role}, {COLOURS[role][THEMES.index('light')]})"
        return colour(role, self.theme)

    def at(self, place: Place) -> tuple[str, str]:
        return _number(place[0]), _number(self.height - place[1])

    def rows(self, shape: Shape) -> Iterator[str]:
        match shape:
            case Group():
                yield f"<g data-role={quoteattr(shape.role)}>"
                if shape.name:
                    yield f"<title>{escape(literal(shape.name))}</title>"
                for one in shape.shapes:
                    yield from self.rows(one)
                yield "</g>"
            case Text():
                yield self.text(shape)
            case Circle():
                x, y = self.at(shape.centre)
                radius = _number(shape.radius)
                yield f'<circle cx="{x}" cy="{y}" r="{radius}"{self.look(shape.role)}/>'
            case Arc():
                yield f'<path d="{self.arc(shape)}"{self.look(shape.role, filled=False)}/>'
            case Polyline():
                data = "M" + self.points(shape.points)
                yield f'<path d="{data}"{self.look(shape.role, filled=False)}/>'
            case Polygon():
                yield f'<path d="M{self.points(shape.points)}Z"{self.look(shape.role)}/>'

    def points(self, points: tuple[Place, ...]) -> str:
        return "L".join(" ".join(self.at(place)) for place in points)

    def arc(self, arc: Arc) -> str:
        """An arc in pieces of at most half a turn, as SVG wants them."""
        pieces = max(1, math.ceil(abs(arc.sweep) / math.pi - 1e-9))
        (x, y), radius = arc.centre, arc.radius
        angles = [arc.start + arc.sweep * step / pieces for step in range(pieces + 1)]
        ends = [self.at((x + radius * math.cos(a), y + radius * math.sin(a))) for a in angles]
        flag = "0" if arc.sweep > 0.0 else "1"
        size = _number(radius)
        further = "".join(f"A{size} {size} 0 0 {flag} {' '.join(end)}" for end in ends[1:])
        return f"M{' '.join(ends[0])}{further}"

    def look(self, role: str, *, filled: bool = True) -> str:
        look = LOOKS[role]
        fill = self.colour(look.fill) if filled and look.fill else "none"
        parts = [f' fill="{fill}"']
        if fill != "none" and look.tint < 1.0:
            parts.append(f' fill-opacity="{_number(look.tint)}"')
        if look.stroke:
            width = line_width(look.line, self.medium)
            parts.append(f' stroke="{self.colour(look.stroke)}" stroke-width="{_number(width)}"')
            dash = line_dash(look.line, self.medium)
            if dash:
                parts.append(f' stroke-dasharray="{" ".join(_number(one) for one in dash)}"')
        return "".join(parts)

    def text(self, text: Text) -> str:
        x, y = self.at(text.at)
        parts = [f'<text x="{x}" y="{y}" font-size="{_number(text.size)}"']
        if text.anchor != "start":
            parts.append(f' text-anchor="{text.anchor}"')
        if text.bold:
            parts.append(' font-weight="600"' if self.medium == "screen" else ' font-weight="700"')
        if text.angle:
            turned = _number(-math.degrees(text.angle))
            parts.append(f' transform="rotate({turned} {x} {y})"')
        parts.append(f' fill="{self.colour(TEXT_COLOURS.get(text.role, text.role))}"')
        if text.halo:
            width = _number(MEDIA[self.medium].halo)
            parts.append(
                f' stroke="{self.colour("paper")}" stroke-width="{width}"'
                ' stroke-linejoin="round" paint-order="stroke"'
            )
        return "".join(parts) + f">{escape(literal(text.text))}</text>"
