"""The form's module and style: the live view's elements and colours, then the form's own files."""

from functools import cache
from importlib.resources import files

from strutkit.live import page_files
from strutkit.show.style import COLOURS

SHARED = ("dom.js", "theme.js", "places.js")
"""Files of the live view that the form uses."""

MODULES = (
    "talk.js",
    "kept.js",
    "rows.js",
    "extras.js",
    "flanges.js",
    "label.js",
    "editor.js",
    "form.js",
)
"""Files of `start_page` in the order in which they make one module; the last one exports."""


@cache
def module() -> str:
    """The form as one ES module."""
    return "\n".join([*(page_files.text(name) for name in SHARED), *map(_text, MODULES)])


@cache
def style() -> str:
    """The live view's style sheet, the colours that sketches use, then the form's own."""
    roles = " ".join(f"--strutkit-{role}: var(--sk-{role});" for role in COLOURS)
    return f"{page_files.style()}\n.strutkit-start {{ {roles} }}\n{_text('start.css')}"


def _text(name: str) -> str:
    return (files("strutkit.live") / "start_page" / name).read_text(encoding="utf-8")
