"""The form's module and style: the live view's elements and colours, then the form's own files."""

from functools import cache
from importlib.resources import files

from strutkit.live import page_files
from strutkit.show.style import COLOURS

MODULES = ("talk.js", "rows.js", "extras.js", "editor.js", "form.js")
"""Files of `start_page` in the order in which they make one module; the last one exports."""


@cache
def module() -> str:
    """The form as one ES module."""
    return "\n".join(
        [
            (files("strutkit.live") / "page" / "dom.js").read_text(encoding="utf-8"),
            *(_text(name) for name in MODULES),
        ]
    )


@cache
def style() -> str:
    """The live view's style sheet, the colours that sketches use, then the form's own."""
    roles = " ".join(f"--strutkit-{role}: var(--sk-{role});" for role in COLOURS)
    return f"{page_files.style()}\n.strutkit-start {{ {roles} }}\n{_text('start.css')}"


def _text(name: str) -> str:
    return (files("strutkit.live") / "start_page" / name).read_text(encoding="utf-8")
