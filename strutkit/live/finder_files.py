"""The finder's module and style: elements and colours of the live view, then its own files."""

from functools import cache
from importlib.resources import files

from strutkit.live import page_files

SHARED = (
    ("page", "dom.js"),
    ("page", "theme.js"),
    ("page", "figures.js"),
    ("page", "gestures.js"),
    ("start_page", "talk.js"),
    ("start_page", "rows.js"),
)
MODULES = ("talk.js", "picture.js", "corners.js", "asks.js", "results.js", "trade.js", "finder.js")
"""Files of `finder_page` in the order in which they make one module; the last one exports."""


@cache
def module() -> str:
    """The finder as one ES module."""
    own = (("finder_page", name) for name in MODULES)
    return "\n".join(_text(folder, name) for folder, name in (*SHARED, *own))


@cache
def style() -> str:
    """The live view's style sheet, then the finder's own."""
    return f"{page_files.style()}\n{_text('finder_page', 'finder.css')}"


def _text(folder: str, name: str) -> str:
    return (files("strutkit.live") / folder / name).read_text(encoding="utf-8")
