"""Data and a template become a PDF or pictures of its pages: fonts, letters, fixed bytes.

What a builder or a stranger typed reaches a template only as JSON, never as markup. Fonts are
the DejaVu Sans that matplotlib brings along; system fonts are not looked at, so paper made on
two machines is the same. A letter that the font lacks is printed as its Unicode number.
"""

import datetime as dt
import importlib.util
import json
import unicodedata
from functools import cache
from pathlib import Path
from typing import Any

TEMPLATES = Path(__file__).parent / "templates"
STANDARDS = ["a-2a", "ua-1"]
"""PDF/A-2, tagged, and PDF/UA-1: alt text on every picture is then enforced."""

PAGES = {"a4": (0.210, 0.297), "letter": (0.2159, 0.2794)}
"""Width and height of the paper sizes [m]."""

SURE_LETTERS = frozenset(
    "".join(map(chr, (*range(0x20, 0x7F), *range(0xA0, 0xAD), *range(0xAE, 0x100))))
    + "αβκμπφψθΔ√²·×±−–‘’“”″′…"
)
"""Letters that are known to be there without a look into the font files, which takes 0.3 s."""

UNSEEN = ("Cf", "Zl", "Zp")
"""Unicode's categories of format characters (those that turn the direction of the text after
them among them), line and paragraph separators: nothing of them is seen but what they do."""

LETTERS_NOTE = "Letters that the font of this paper lacks stand as their Unicode numbers: "


def pages_of(template: str, data: dict[str, Any], *, ppi: float = 110.0) -> list[bytes]:
    """Each page as a PNG picture."""
    made = _compiler(template, data).compile(format="png", ppi=ppi)
    return made if isinstance(made, list) else [made]


def pdf_of(template: str, data: dict[str, Any], date: dt.date | None = None) -> bytes:
    """The PDF. The same data give the same bytes: no clock is read.

    date stands in the file's properties as midnight UTC; without one 1970-01-01 stands there.
    """
    stamp = date or dt.date(1970, 1, 1)
    midnight = dt.datetime(stamp.year, stamp.month, stamp.day, tzinfo=dt.UTC)
    return bytes(
        _compiler(template, data).compile(
            format="pdf", pdf_standards=STANDARDS, timestamp=int(midnight.timestamp())
        )
    )


def _compiler(template: str, data: dict[str, Any]) -> Any:
    import typst

    return typst.Compiler(
        TEMPLATES / template,
        root=TEMPLATES,
        font_paths=_fonts(),
        sys_inputs={"data": json.dumps(printable(data), ensure_ascii=False)},
    )


def printable(data: dict[str, Any]) -> dict[str, Any]:
    """The same data with every letter that cannot be printed replaced by its Unicode number.

    `data["letters_note"]` says which, or is empty.
    """
    lacking: set[str] = set()
    clean = _replaced(data, lacking)
    numbers = ", ".join(sorted(_number(letter) for letter in lacking))
    return {**clean, "letters_note": f"{LETTERS_NOTE}{numbers}." if lacking else ""}


def _replaced(value: Any, lacking: set[str]) -> Any:
    if isinstance(value, str):
        if value.isascii():
            return value
        missing = {one for one in set(value) if one != "\n" and not has_letter(one)}
        lacking |= missing
        for letter in missing:
            value = value.replace(letter, _number(letter))
        return value
    if isinstance(value, dict):
        return {key: _replaced(one, lacking) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_replaced(one, lacking) for one in value]
    return value


def has_letter(letter: str) -> bool:
    """Whether both weights of the font can show this letter as itself."""
    if letter in SURE_LETTERS:
        return True
    if unicodedata.category(letter) in (*UNSEEN, "Co", "Cn"):
        return False
    return ord(letter) in _covered()


def marked(text: str) -> str:
    """The text with each character that cannot be seen as its number."""
    for letter in set(text):
        if unicodedata.category(letter) in UNSEEN:
            text = text.replace(letter, _number(letter))
    return text


def _number(letter: str) -> str:
    return f"[U+{ord(letter):04X}]"


def _font_folder() -> Path:
    found = importlib.util.find_spec("matplotlib")
    if found is None or not found.submodule_search_locations:
        raise RuntimeError("matplotlib, which brings the fonts, is not installed.")
    return Path(found.submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf"


@cache
def _fonts() -> Any:
    import typst

    return typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=False,
        font_paths=[str(_font_folder())],
    )


def font_paths() -> tuple[Path, Path]:
    """DejaVu Sans, upright and bold."""
    return _font_folder() / "DejaVuSans.ttf", _font_folder() / "DejaVuSans-Bold.ttf"


@cache
def _covered() -> frozenset[int]:
    """Code points that both weights have."""
    from matplotlib.ft2font import FT2Font

    upright, bold = (set(FT2Font(str(path)).get_charmap()) for path in font_paths())
    return frozenset(upright & bold)
