"""Reads a PDF back with pdfplumber and PDFium, which have nothing to do with the writer."""

import io
import re
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import pdfplumber
import pypdfium2
import sympy

POINTS_PER_MM = 72.0 / 25.4
"""1 in = 72 pt (ISO 32000-1:2008, 8.3.2.3: default user space) = 25.4 mm."""

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Sheet:
    """A page as it was read: all in points, y downward from the top."""

    width: float
    height: float
    text: str
    raw: str
    words: list[dict[str, Any]]
    letters: list[dict[str, Any]]
    rects: list[dict[str, Any]]
    curves: list[dict[str, Any]]
    lines: list[dict[str, Any]]


@lru_cache(maxsize=64)
def pages(data: bytes) -> tuple[Sheet, ...]:
    """Every page of a PDF, read once."""
    texts = page_texts(data)
    with opened(data) as pdf:
        return tuple(
            Sheet(
                width=float(page.width),
                height=float(page.height),
                text=text,
                raw="".join(one["text"] for one in page.chars),
                words=page.extract_words(
                    extra_attrs=["fontname", "size"], use_text_flow=True, x_tolerance=1.2
                ),
                letters=[one for one in page.chars if one["text"].strip("\u200b \xa0")],
                rects=page.rects,
                curves=page.curves,
                lines=page.lines,
            )
            for page, text in zip(pdf.pages, texts, strict=True)
        )


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


def page_count(data: bytes) -> int:
    """How many pages there are."""
    with closing(pypdfium2.PdfDocument(data)) as pdf:
        return len(pdf)


def letter_size(letter: dict[str, Any]) -> float:
    """Font size [pt] of a letter, upright or read from the right."""
    turned = abs(letter["matrix"][1]) > abs(letter["matrix"][0])
    return float(letter["x1"] - letter["x0"] if turned else letter["size"])


def overlaps(boxes: list[Box], least: float) -> list[tuple[Box, Box]]:
    """Pairs of boxes that share more than `least` of the smaller one's area."""
    found = []
    ordered = sorted(boxes)
    for place, one in enumerate(ordered):
        for other in ordered[place + 1 :]:
            if other[0] >= one[2]:
                break
            wide = min(one[2], other[2]) - max(one[0], other[0])
            high = min(one[3], other[3]) - max(one[1], other[1])
            if wide > 0.0 and high > 0.0:
                area = min((b[2] - b[0]) * (b[3] - b[1]) for b in (one, other))
                if wide * high > least * area:
                    found.append((one, other))
    return found


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


def worked_out(numbers: str) -> float:
    """The value of numbers put in, by sympy: degrees after sin and cos, | | and √ as printed."""
    text = numbers.replace("−", "-").replace("·", "*").replace("√", "sqrt").replace("π", "pi")
    text = text.replace("²", "**2").replace(";", ",")
    text = re.sub(r"\|([^|]*)\|", r"Abs(\1)", text)
    text = re.sub(r"(sin|cos) \(?(-?[0-9.]+)°\)?", r"\1(\2*pi/180)", text)
    text = re.sub(r"atan2(\([^;]*\))$", r"(180/pi)*atan2\1", text.strip())
    text = text.replace("°", "")
    return float(sympy.sympify(text, rational=False))
