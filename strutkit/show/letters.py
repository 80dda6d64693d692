"""How much room a text takes: advance widths of DejaVu Sans, the widest font that is likely.

Widths in 1/2048 of the font size, read from the font files that matplotlib ships; letters that
are not listed count as a full font size.
"""

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache

from strutkit.show.shapes import Arc, Circle, Place, Shape, Text, flat

EM = 2048
CAPITAL = 1493 / EM
"""Height of a capital as a share of the font size."""
DESCENT = 483 / EM
ASCENT = 1556 / EM
"""Deepest and highest part of a common letter as a share of the font size."""


def _table(rows: dict[int, str]) -> dict[str, int]:
    return {letter: width for width, letters in rows.items() for letter in letters}


REGULAR = _table(
    {
        465: "′",
        563: "'",
        569: "ijlìíîï",
        604: "IJÌÍÎÏ",
        651: " ,.\xa0·‘’",
        690: "/:;\\|¦",
        721: "f",
        739: "-‑",
        765: "″",
        799: "()[]",
        803: "t",
        821: "!¡²³¹",
        842: "r",
        942: '"',
        965: "ªº",
        1024: "*_`§¨¯°´¸–",
        1061: "“”",
        1067: "s",
        1075: "z",
        1087: "?¿",
        1126: "cç",
        1141: "L",
        1178: "F",
        1186: "k",
        1208: "•",
        1212: "vxyýÿ",
        1235: "P",
        1239: "Þ",
        1251: "TYÝ",
        1253: "o«»ðòóôõöøθ",
        1255: "aàáâãäå",
        1260: "eèéêë",
        1290: "ß",
        1294: "EÈÉÊË",
        1298: "hnuñùúûü",
        1300: "Sbdgpqþ",
        1303: "$0123456789{}¢£¤¥µ¶",
        1305: "√",
        1343: "K",
        1380: "∑",
        1401: "AVÀÁÂÃÄÅΔ",
        1403: "XZ",
        1405: "B",
        1423: "R",
        1430: "CÇ",
        1499: "UÙÚÛÜ",
        1532: "NÑ",
        1540: "H",
        1565: "Ω",
        1577: "D",
        1587: "GÐ",
        1597: "&",
        1612: "OQÒÓÔÕÖØ",
        1675: "w",
        1716: "#+<=>^~¬±×÷−≤≥≈→←↑↓✓✕",
        1767: "M",
        1946: "%",
        1985: "¼½¾",
        1995: "mÆ",
        2011: "æ",
        2025: "W",
        2048: "@©®—…",
    }
)
BOLD = _table(
    {
        540: "′",
        627: "'",
        702: "ijlìíîï",
        713: " \xa0",
        748: "/\\|¦",
        762: "IJÌÍÎÏ",
        778: ",.·‘’",
        819: ":;",
        850: "-‑",
        891: "f",
        897: "²³¹",
        915: "″",
        934: "!¡",
        936: "()[]",
        979: "t",
        1010: "r",
        1024: "_`§¨¯°´¸–",
        1067: '"',
        1071: "*",
        1155: "ªº",
        1188: "?¿",
        1192: "z",
        1214: "cç",
        1219: "s",
        1303: "¤¶",
        1305: "L",
        1309: "•",
        1321: "x",
        1323: "«»",
        1335: "vyýÿ",
        1346: "“”",
        1362: "k",
        1366: "√",
        1382: "aàáâãäå",
        1389: "eèéêë",
        1397: "T",
        1399: "EFÈÉÊË",
        1407: "oðòóôõöøθ",
        1425: "$0123456789¢£¥",
        1458: "hnu{}ñùúûü",
        1466: "bdgpqþ",
        1470: "∑",
        1473: "ß",
        1475: "S",
        1483: "YÝ",
        1485: "Z",
        1501: "P",
        1503: "CÇ",
        1507: "µ",
        1511: "Þ",
        1561: "B",
        1577: "R",
        1579: "X",
        1585: "AVÀÁÂÃÄÅΔ",
        1587: "K",
        1663: "UÙÚÛÜ",
        1681: "G",
        1700: "D",
        1714: "HNÑ",
        1716: "#+<=>^~¬±Ð×÷−≤≥≈→←↑↓✓✕",
        1741: "OQÒÓÔÕÖØΩ",
        1786: "&",
        1892: "w",
        2038: "M",
        2048: "@©®—…",
        2052: "%",
        2120: "¼½¾",
        2134: "m",
        2146: "æ",
        2222: "Æ",
        2259: "W",
    }
)
"""Letter -> advance width, upright and bold."""

Box = tuple[float, float, float, float]
"""Left, bottom, right, top [mm]."""


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of one line of text [mm] at a font size [mm].

    >>> round(text_width("00", 10.0), 2)
    12.72
    """
    return _advance(text, bold) * size / EM


@lru_cache(maxsize=4096)
def _advance(text: str, bold: bool) -> int:
    widths = BOLD if bold else REGULAR
    return sum(widths.get(letter, EM) for letter in text)


def text_box(text: Text) -> Box:
    """The box that a text covers, turned texts included [mm]."""
    if text.angle == 0.0:
        (x, y), (left, low, right, high) = text.at, _level_box(text)
        return x + left, y + low, x + right, y + high
    corners = text_corners(text)
    across, up = [x for x, _ in corners], [y for _, y in corners]
    return min(across), min(up), max(across), max(up)


def _level_box(text: Text) -> Box:
    """The box of a text that is not turned, round its anchor [mm]."""
    width = text_width(text.text, text.size, bold=text.bold)
    left = {"start": 0.0, "middle": -width / 2.0, "end": -width}[text.anchor]
    return left, -DESCENT * text.size, left + width, ASCENT * text.size


def text_corners(text: Text) -> tuple[Place, ...]:
    """The four corners of a text, from its lower left [mm]."""
    left, low, right, high = _level_box(text)
    cosine, sine = math.cos(text.angle), math.sin(text.angle)
    corners = ((left, low), (right, low), (right, high), (left, high))
    return tuple(
        (text.at[0] + x * cosine - y * sine, text.at[1] + x * sine + y * cosine) for x, y in corners
    )


def overlap(one: Box, other: Box) -> bool:
    """Whether two boxes share more than an edge."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def shortened(text: str, width: float, size: float, *, bold: bool = False) -> str:
    """The text, cut with an ellipsis where it is wider than `width` [mm]."""
    if text_width(text, size, bold=bold) <= width:
        return text
    cut = text
    while cut and text_width(cut + "…", size, bold=bold) > width:
        cut = cut[:-1]
    return cut.rstrip() + "…"


def bounds(shapes: Iterable[Shape]) -> Box:
    """The box around all shapes, texts included [mm]."""
    return union([_box(shape) for shape in flat(shapes)])


def union(boxes: Sequence[Box]) -> Box:
    """The box around several boxes."""
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def _box(shape: Shape) -> Box:
    match shape:
        case Text():
            return text_box(shape)
        case Circle():
            (x, y), r = shape.centre, shape.radius
            return x - r, y - r, x + r, y + r
        case Arc():
            places = arc_places(shape)
        case _:
            places = list(getattr(shape, "points", ()))
    across, up = [x for x, _ in places], [y for _, y in places]
    return min(across), min(up), max(across), max(up)


def arc_places(arc: Arc) -> list[Place]:
    """Ends of an arc and the extremes between them, in order along it [mm]."""
    quarter = math.pi / 2.0
    low, high = sorted((arc.start, arc.start + arc.sweep))
    inner = [n * quarter for n in range(math.ceil(low / quarter), math.floor(high / quarter) + 1)]
    (x, y), r = arc.centre, arc.radius
    return [(x + r * math.cos(a), y + r * math.sin(a)) for a in sorted({low, *inner, high})]
