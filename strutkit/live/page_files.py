"""The page's module and style: plain files of the package, joined in order, no build step."""

from functools import cache
from importlib.resources import files

from strutkit.show.style import COLOURS

MODULES = (
    "dom.js",
    "theme.js",
    "places.js",
    "figures.js",
    "gestures.js",
    "unsaved.js",
    "shown.js",
    "late.js",
    "moves.js",
    "store.js",
    "plot.js",
    "slider.js",
    "charts.js",
    "loads.js",
    "side_picture.js",
    "side_marks.js",
    "side.js",
    "boxes.js",
    "papers.js",
    "bar.js",
    "findings.js",
    "rating.js",
    "compare.js",
    "map.js",
    "main.js",
)
"""Files of `page` in the order in which they make one module; the last one exports."""

GROUND = {"paper": "var(--jp-layout-color1, {})", "ink": "var(--jp-ui-font-color1, {})"}
"""Roles that the notebook's own theme may set."""


@cache
def module() -> str:
    """The view as one ES module."""
    return "\n".join(text(name) for name in MODULES)


@cache
def style() -> str:
    """The style sheet, colour roles first."""
    light, dark = (_colours(theme) for theme in (0, 1))
    return (
        f".strutkit-bench {{ {light} }}\n.strutkit-bench.sk-dark {{ {dark} }}\n"
        f".strutkit-bench.sk-own-ground {{ {_own(0)} }}\n"
        f".strutkit-bench.sk-own-ground.sk-dark {{ {_own(1)} }}\n{text('bench.css')}"
    )


def text(name: str) -> str:
    """A file of the page."""
    return (files("strutkit.live") / "page" / name).read_text(encoding="utf-8")


def _colours(theme: int) -> str:
    return " ".join(
        f"--sk-{role}: {GROUND.get(role, '{}').format(colours[theme])};"
        for role, colours in COLOURS.items()
    )


def _own(theme: int) -> str:
    return " ".join(f"--sk-{role}: {COLOURS[role][theme]};" for role in GROUND)
