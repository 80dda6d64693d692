"""Reads a PDF back with PDFium and pdfplumber, which have nothing to do with the writer."""

import ctypes
import io
import math
import re
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
import pdfplumber
import pypdfium2
import pypdfium2.raw as pdfium
import sympy
from shapely import STRtree, area, intersection
from shapely import box as rectangle

POINTS_PER_MM = 72.0 / 25.4
"""1 in = 72 pt (ISO 32000-1:2008, 8.3.2.3: default user space) = 25.4 mm."""

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Sheet:
    """A page, read as it is asked: all in points, y downward from the top."""

    page: pypdfium2.PdfPage
    text: str

    @property
    def width(self) -> float:
        return float(self.page.get_width())

    @property
    def height(self) -> float:
        return float(self.page.get_height())

    @cached_property
    def _written(self) -> list[dict[str, Any]]:
        """Every letter in the order of the file, without what PDFium adds between words."""
        text = self.page.get_textpage()
        found: list[dict[str, Any]] = []
        runs: dict[int, dict[str, Any]] = {}
        height = self.height
        for number in range(text.count_chars()):
            if pdfium.FPDFText_IsGenerated(text, number):
                continue
            one = _letter(text, number, height, runs)
            last = found[-1] if found else {"x0": None}
            if one["x0"] == last["x0"] and one["x1"] == last["x1"] and one["top"] == last["top"]:
                last["text"] += one["text"]  # PDFium tells "fi" in one sign as two letters
            else:
                found.append(one)
        return found

    @cached_property
    def raw(self) -> str:
        return "".join(one["text"] for one in self._written)

    @cached_property
    def letters(self) -> list[dict[str, Any]]:
        return [one for one in self._written if one["text"].strip("\u200b \xa0")]

    @cached_property
    def words(self) -> list[dict[str, Any]]:
        """Letters of one font and size joined up to a space or a gap of 1.2 pt."""
        found: Any = pdfplumber.utils.extract_words(
            self._written,
            extra_attrs=["fontname", "size"],
            use_text_flow=True,
            x_tolerance=1.2,
        )
        return list(found)

    @cached_property
    def _drawn(self) -> dict[str, list[dict[str, Any]]]:
        found: dict[str, list[dict[str, Any]]] = {"rect": [], "curve": [], "line": []}
        for kind, shape in _shapes(self.page, self.height):
            found[kind].append(shape)
        return found

    @property
    def rects(self) -> list[dict[str, Any]]:
        return self._drawn["rect"]

    @property
    def curves(self) -> list[dict[str, Any]]:
        """What is neither a rectangle along the edges of the page nor one straight line."""
        return self._drawn["curve"]

    @property
    def lines(self) -> list[dict[str, Any]]:
        return self._drawn["line"]


@lru_cache(maxsize=64)
def pages(data: bytes) -> tuple[Sheet, ...]:
    """Every page of a PDF."""
    pdf = pypdfium2.PdfDocument(data)
    return tuple(Sheet(page, text) for page, text in zip(pdf, page_texts(data), strict=True))


def _letter(
    text: pypdfium2.PdfTextPage, number: int, height: float, runs: dict[int, dict[str, Any]]
) -> dict[str, Any]:
    """A letter in a box as wide as its advance and as high as its font size.

    Letters of one run of text share font, size and direction, which are read once.
    """
    run = ctypes.addressof(pdfium.FPDFText_GetTextObject(text, number).contents)
    if run not in runs:
        runs[run] = _run(text, number)
    box = pdfium.FS_RECTF()
    assert pdfium.FPDFText_GetLooseCharBox(text, number, box)
    left, right, top, bottom = box.left, box.right, height - box.top, height - box.bottom
    return {
        **runs[run],
        "text": chr(pdfium.FPDFText_GetUnicode(text, number)),
        "x0": left,
        "x1": right,
        "top": top,
        "bottom": bottom,
        "doctop": top,
        "width": right - left,
        "height": bottom - top,
    }


def _run(text: pypdfium2.PdfTextPage, number: int) -> dict[str, Any]:
    """What the letters of a run of text have in common."""
    matrix = pdfium.FS_MATRIX()
    assert pdfium.FPDFText_GetMatrix(text, number, matrix)
    scale = math.hypot(matrix.c, matrix.d)
    name = ctypes.create_string_buffer(64)
    assert pdfium.FPDFText_GetFontInfo(text, number, name, len(name), None) <= len(name)
    return {
        "fontname": name.value.decode(),
        "matrix": (matrix.a, matrix.b, matrix.c, matrix.d),
        "size": round(pdfium.FPDFText_GetFontSize(text, number) * scale, 3),
        "upright": abs(matrix.a) > abs(matrix.b),
    }


def _shapes(page: pypdfium2.PdfPage, height: float) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every stretch of every path that is drawn, as rect, line or curve by its points."""
    for number in range(pdfium.FPDFPage_CountObjects(page)):
        yield from _shapes_of(pdfium.FPDFPage_GetObject(page, number), np.eye(3), height)


def _shapes_of(one: Any, outer: Any, height: float) -> Iterator[tuple[str, dict[str, Any]]]:
    kind = pdfium.FPDFPageObj_GetType(one)
    if kind not in (pdfium.FPDF_PAGEOBJ_FORM, pdfium.FPDF_PAGEOBJ_PATH):
        return
    own = pdfium.FS_MATRIX()
    assert pdfium.FPDFPageObj_GetMatrix(one, own)
    matrix = np.array([[own.a, own.b, 0.0], [own.c, own.d, 0.0], [own.e, own.f, 1.0]]) @ outer
    if kind == pdfium.FPDF_PAGEOBJ_FORM:
        for number in range(pdfium.FPDFFormObj_CountObjects(one)):
            yield from _shapes_of(pdfium.FPDFFormObj_GetObject(one, number), matrix, height)
        return
    colour = _fill(one)
    for points in _stretches(one):
        if len(points) > 1:
            places = np.array(points) @ matrix[:2, :2] + matrix[2, :2]
            yield _shape(places, height, colour)


def _fill(one: Any) -> tuple[int, int, int] | None:
    mode, stroke = ctypes.c_int(), ctypes.c_int()
    assert pdfium.FPDFPath_GetDrawMode(one, mode, stroke)
    if mode.value == pdfium.FPDF_FILLMODE_NONE:
        return None
    red, green, blue, alpha = (ctypes.c_uint() for _ in range(4))
    assert pdfium.FPDFPageObj_GetFillColor(one, red, green, blue, alpha)
    return red.value, green.value, blue.value


def _stretches(one: Any) -> list[list[tuple[float, float]]]:
    """The ends of the pieces of a path, anew from each place where its pen is set down."""
    found: list[list[tuple[float, float]]] = []
    x, y, bends = ctypes.c_float(), ctypes.c_float(), 0
    for number in range(pdfium.FPDFPath_CountSegments(one)):
        piece = pdfium.FPDFPath_GetPathSegment(one, number)
        kind = pdfium.FPDFPathSegment_GetType(piece)
        if kind == pdfium.FPDF_SEGMENT_BEZIERTO:
            bends += 1
            if bends % 3:
                continue  # two handles come before the end of a curved piece
        elif kind == pdfium.FPDF_SEGMENT_MOVETO:
            found.append([])
        assert pdfium.FPDFPathSegment_GetPoint(piece, x, y)
        found[-1].append((x.value, y.value))
    return found


def _shape(places: Any, height: float, colour: Any) -> tuple[str, dict[str, Any]]:
    (x0, y0), (x1, y1) = places.min(axis=0).tolist(), places.max(axis=0).tolist()
    shape = {"x0": x0, "x1": x1, "top": height - y1, "bottom": height - y0}
    shape |= {"width": x1 - x0, "height": y1 - y0, "fill": colour}
    if len(places) == 2:
        return "line", shape
    steps = np.abs(np.diff(places, axis=0))
    square = bool((steps.min(axis=1) < 1e-3).all())
    return ("rect" if square and len(places) in (4, 5) else "curve"), shape


def opened(data: bytes) -> Any:
    """The PDF itself; use as a context."""
    return pdfplumber.open(io.BytesIO(data))


def plain(text: str) -> str:
    """Text with all spaces alike and without the marks of places to break."""
    return " ".join(text.replace("\u200b", "").replace("\xa0", " ").split())


def all_text(data: bytes) -> str:
    """All text of all pages, spaces alike."""
    return " ".join(page_texts(data))


@lru_cache(maxsize=64)
def page_texts(data: bytes) -> tuple[str, ...]:
    """Text of each page as PDFium reads it, spaces alike."""
    texts = []
    with closing(pypdfium2.PdfDocument(data)) as pdf:
        for page in pdf:
            with closing(page.get_textpage()) as text:
                texts.append(plain(text.get_text_bounded()))
            page.close()
    return tuple(texts)


def properties(data: bytes) -> dict[str, str]:
    """Title, date and what else a file says of itself."""
    with closing(pypdfium2.PdfDocument(data)) as pdf:
        return dict(pdf.get_metadata_dict())


def page_count(data: bytes) -> int:
    """How many pages there are."""
    with closing(pypdfium2.PdfDocument(data)) as pdf:
        return len(pdf)


def overlaps(boxes: list[Box], least: float) -> list[tuple[Box, Box]]:
    """Pairs of boxes that share more than `least` of the smaller one's area, by shapely."""
    shapes = rectangle(*np.array(boxes).T)
    pairs = STRtree(shapes).query(shapes, "intersects")
    first, second = pairs[:, pairs[0] < pairs[1]]
    shared = area(intersection(shapes[first], shapes[second]))
    found = shared > least * np.minimum(area(shapes[first]), area(shapes[second]))
    return [(boxes[a], boxes[b]) for a, b in zip(first[found], second[found], strict=True)]


def check_letters(one: Sheet) -> None:
    """Fonts, sizes and places of all letters of a page."""
    letters = one.letters
    fonts = {letter["fontname"].split("+")[-1] for letter in letters}
    assert fonts <= {"DejaVuSans", "DejaVuSans-Bold"}
    assert min(letter["size"] for letter in letters) >= 7.99
    check_places(one)


def check_places(one: Sheet) -> None:
    """No letter of a page leaves its frame or lies on another."""
    edge = 10.0 * POINTS_PER_MM
    right, foot = one.width - edge, one.height - edge
    outside = [
        letter["text"]
        for letter in one.letters
        if not (2 * edge <= letter["x0"] < letter["x1"] <= right)
        or not (edge <= letter["top"] < letter["bottom"] <= foot)
    ]
    assert outside == []
    assert overlaps([ink_box(letter) for letter in one.letters], 0.1) == []


def ink_box(letter: dict[str, Any]) -> tuple[float, float, float, float]:
    """The middle of a letter's box: half of its height, and of its width what kerning leaves."""
    wide, high = letter["x1"] - letter["x0"], letter["bottom"] - letter["top"]
    turned = abs(letter["matrix"][1]) > abs(letter["matrix"][0])
    x, y = (0.25 * wide, 0.2 * high) if turned else (0.2 * wide, 0.25 * high)
    return letter["x0"] + x, letter["top"] + y, letter["x1"] - x, letter["bottom"] - y


def calculation_lines(data: bytes) -> list[tuple[str, str, float, int]]:
    """Each worked-out line of the calculation: formula, numbers put in, result, its decimals.

    A line ends with its result in bold after an equals sign.
    """
    lines: list[tuple[str, str, float, int]] = []
    for page in pages(data):
        column = [word for word in page.words if word["x0"] > FORMULA_COLUMN]
        lines.extend(_worked_out(column))
    return lines


FORMULA_COLUMN = 66.0 * POINTS_PER_MM


def _worked_out(words: list[dict[str, Any]]) -> Iterator[tuple[str, str, float, int]]:
    """A bold run after " = " is a result and ends its line."""
    text, result = "", ""
    for word in words:
        if "Bold" in word["fontname"] and (result or text.rstrip().endswith("=")):
            result = f"{result} {word['text']}"
            continue
        if result:
            yield from _line(text, result)
            text, result = "", ""
        text = f"{text} {word['text']}"
    if result:
        yield from _line(text, result)


def _line(text: str, result: str) -> Iterator[tuple[str, str, float, int]]:
    parts = plain(text).removesuffix("=").split("=")
    if len(parts) < 3:
        return
    number = re.match(r"[−-]?[0-9]+(?:\.([0-9]+))?", result.strip())
    if number is None:
        return
    decimals = len(number.group(1) or "")
    yield parts[-2], parts[-1], float(number.group().replace("−", "-")), decimals


def worked_out(*numbers: str) -> list[float]:
    """The values of numbers put in, by sympy, which reads them all at once."""
    values = sympy.sympify(f"[{', '.join(map(_by_signs, numbers))}]", rational=False)
    return [float(one) for one in values]


def _by_signs(numbers: str) -> str:
    """As sympy reads it: degrees after sin and cos, | | and √ as printed."""
    text = numbers.replace("−", "-").replace("·", "*").replace("√", "sqrt").replace("π", "pi")
    text = text.replace("²", "**2").replace(";", ",")
    text = re.sub(r"\|([^|]*)\|", r"Abs(\1)", text)
    text = re.sub(r"(sin|cos) \(?(-?[0-9.]+)°\)?", r"\1(\2*pi/180)", text)
    text = re.sub(r"atan2(\([^;]*\))$", r"(180/pi)*atan2\1", text.strip())
    return f"({text.replace('°', '')})"
