"""Colours, lines and sizes of the pictures: three sets of colours, two media.

Colour roles have one value for a light page, a dark page and print. Line widths and dashes are
those of technical drawings: type 04.1, 04.2 and 05.1 of ISO 128-2 on paper (numbers from
memory). Contrast is that of WCAG 2.1 (W3C, 2018), "relative luminance" and "contrast ratio".
"""

from dataclasses import dataclass
from typing import Literal

Theme = Literal["light", "dark", "print"]
THEMES: tuple[Theme, ...] = ("light", "dark", "print")

PX = 25.4 / 96.0
"""One CSS pixel [mm] (CSS Values and Units 3: 1 px = 1/96 in)."""
POINT = 25.4 / 72.0
"""One point [mm]."""

COLOURS: dict[str, tuple[str, str, str]] = {
    "paper": ("#FFFFFF", "#212121", "#FFFFFF"),
    "raised": ("#F3F5F7", "#2C2F33", "#F1F1F1"),
    "ink": ("#161B21", "#EEF1F4", "#000000"),
    "ink2": ("#505B67", "#B4BEC8", "#3F464D"),
    "line": ("#737F8B", "#8C98A4", "#6A737C"),
    "grid": ("#DFE4E9", "#3C4147", "#D5D9DD"),
    "strut": ("#0F5BB5", "#79B8FF", "#0B4A99"),
    "weight": ("#B4520A", "#FFAB66", "#A34700"),
    "open": ("#007566", "#3FD8C2", "#00695C"),
    "shut": ("#5A0F73", "#F3D1FF", "#4F0D66"),
    "grab": ("#C2005F", "#FF7DBB", "#000000"),
    "fail": ("#B3001B", "#FF8F87", "#A00018"),
    "passes": ("#1F6B3B", "#86D99B", "#1B5E33"),
    "assume": ("#735600", "#E6C454", "#664C00"),
}
"""Colour role -> light, dark, print. `grab` has no place on paper and falls back to ink."""


def colour(role: str, theme: Theme) -> str:
    """The colour of a role as #RRGGBB.

    >>> colour("strut", "dark")
    '#79B8FF'
    """
    return COLOURS[role][THEMES.index(theme)]


def luminance(hexadecimal: str) -> float:
    """Relative luminance of #RRGGBB, 0 black to 1 white (WCAG 2.1).

    >>> luminance("#FFFFFF")
    1.0
    """
    channels = [int(hexadecimal[start : start + 2], 16) / 255.0 for start in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.1).

    >>> round(contrast("#000000", "#FFFFFF"), 6)
    21.0
    """
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@dataclass(frozen=True, slots=True)
class Line:
    """Width and dashes (on, off ...) on screen [px] and on paper [mm]."""

    px: float
    mm: float
    dash_px: tuple[float, ...] = ()
    dash_mm: tuple[float, ...] = ()


def _of_width(width: float, *multiples: float) -> tuple[float, ...]:
    return tuple(width * multiple for multiple in multiples)


LINES: dict[str, Line] = {
    "edge": Line(2.0, 0.50),
    "thin": Line(1.0, 0.25),
    "chain": Line(1.0, 0.25, (16, 3, 1.5, 3), _of_width(0.25, 24, 3, 1, 3)),
    "double_chain": Line(1.0, 0.25, (16, 3, 1.5, 3, 1.5, 3), _of_width(0.25, 24, 3, 1, 3, 1, 3)),
    "datum": Line(2.0, 0.50, (16, 3, 1.5, 3), _of_width(0.50, 24, 3, 1, 3)),
    "zone": Line(1.0, 0.25, (5, 3), _of_width(0.25, 5, 3)),
    "level": Line(1.0, 0.25, (10, 4), _of_width(0.25, 10, 4)),
    "curve": Line(2.25, 0.50),
    "dashed_curve": Line(2.25, 0.50, (9, 3), (2.4, 0.8)),
    "worst": Line(1.0, 0.25, (2, 2.5), _of_width(0.25, 2, 2.5)),
    "dotted": Line(1.0, 0.25, (1.5, 3), _of_width(0.25, 1.5, 3)),
    "limit": Line(1.5, 0.50),
    "bar": Line(2.5, 0.70),
    "rod": Line(3.5, 1.00),
}
"""Line by name. A curve's dashes are 9 and 3 px, on paper the same in mm."""


@dataclass(frozen=True, slots=True)
class Look:
    """How a shape of one role is drawn: colour roles of stroke and fill, line, tint of the fill."""

    stroke: str | None = None
    line: str = "thin"
    fill: str | None = None
    tint: float = 1.0


LOOKS: dict[str, Look] = {
    "panel": Look("ink", "edge", "paper"),
    "ghost": Look("line", "double_chain"),
    "frame": Look("ink", "edge"),
    "frame_hatch": Look("ink2", "thin"),
    "strut": Look("strut", "edge", "paper"),
    "rod": Look("strut", "rod"),
    "strut_axis": Look("strut", "chain"),
    "lost_strut": Look("strut", "zone"),
    "shut_mount": Look("strut", "thin", "paper"),
    "mount": Look("ink", "edge", "paper"),
    "cross": Look("ink", "thin"),
    "hole": Look("ink", "edge"),
    "ball_cross": Look("line", "thin"),
    "hinge": Look("ink", "edge", "paper"),
    "hinge_line": Look("ink", "datum"),
    "centre_line": Look("line", "chain"),
    "handle": Look(None, "thin", "ink"),
    "handle_arc": Look("line", "chain"),
    "mark": Look("ink2", "thin"),
    "bar": Look("ink", "bar"),
    "rest": Look(None, "thin", "ink2"),
    "dimension": Look("ink2", "thin"),
    "dimension_end": Look("ink2", "thin", "paper"),
    "arrow_head": Look(None, "thin", "ink2"),
    "level": Look("line", "level"),
    "hold": Look("ink", "edge"),
    "hold_head": Look(None, "thin", "ink"),
    "weight": Look("weight", "edge"),
    "weight_head": Look(None, "thin", "weight"),
    "centre_of_gravity": Look("weight", "edge", "paper"),
    "zone": Look("grab", "zone", "grab", 0.09),
    "leader": Look("ink2", "thin"),
    "leader_end": Look(None, "thin", "ink2"),
    "axis": Look("line", "thin"),
    "grid": Look("grid", "thin"),
    "strut_curve": Look("strut", "curve"),
    "weight_curve": Look("weight", "dashed_curve"),
    "open_curve": Look("open", "dashed_curve"),
    "shut_curve": Look("shut", "curve"),
    "ink_curve": Look("ink", "curve"),
    "ink_dashed_curve": Look("ink", "dashed_curve"),
    "strut_worst": Look("strut", "worst"),
    "weight_worst": Look("weight", "worst"),
    "open_worst": Look("open", "worst"),
    "shut_worst": Look("shut", "worst"),
    "ink_worst": Look("ink", "worst"),
    "strut_band": Look(None, "thin", "strut", 0.16),
    "weight_band": Look(None, "thin", "weight", 0.20),
    "ink_band": Look(None, "thin", "ink", 0.10),
    "friction": Look(None, "thin", "ink2"),
    "over_limit": Look("fail", "thin", "fail", 0.38),
    "limit": Look("ink", "limit"),
    "limit_tick": Look("ink", "thin"),
    "balance": Look("ink", "edge", "paper"),
    "lift_off": Look(None, "thin", "ink"),
    "strut_dot": Look("paper", "thin", "strut"),
    "weight_dot": Look("paper", "thin", "weight"),
    "open_dot": Look("paper", "thin", "open"),
    "shut_dot": Look("paper", "thin", "shut"),
    "ink_dot": Look("paper", "thin", "ink"),
    "cursor": Look("grab", "thin"),
    "now": Look("ink", "limit"),
    "stock": Look("line", "dotted"),
    "bar_empty": Look(None, "thin", "raised"),
    "bar_passes": Look(None, "thin", "line"),
    "bar_fails": Look(None, "thin", "fail"),
    "bar_all": Look(None, "thin", "passes"),
    "fail_sign": Look(None, "thin", "fail"),
    "fail_stroke": Look("paper", "edge"),
    "passes_sign": Look("passes", "edge", "paper"),
    "assume_sign": Look("assume", "edge", "paper"),
    "not_judged_sign": Look("ink2", "worst", "paper"),
    "not_judged_stroke": Look("ink2", "edge"),
    "refused": Look("fail", "edge", "paper"),
    "grab": Look("paper", "edge", "grab"),
    "grab_dot": Look(None, "thin", "paper"),
}
"""Role of a shape -> how it is drawn."""

TEXT_COLOURS: dict[str, str] = {"text": "ink", "note": "ink2"}
"""Role of a text -> colour role; other text roles are colour roles themselves."""


def text_colour(role: str, theme: Theme) -> str:
    """Colour of a text role as #RRGGBB."""
    return colour(TEXT_COLOURS.get(role, role), theme)


@dataclass(frozen=True, slots=True)
class Medium:
    """Sizes of type and halo [mm] for screen or paper; paper draws no handles and no zones."""

    name: str
    title: float
    text: float
    label: float
    figure: float
    note: float
    halo: float
    grab: bool


SCREEN = Medium("screen", 15 * PX, 13 * PX, 12 * PX, 11.5 * PX, 11.5 * PX, 3.5 * PX, grab=True)
PAPER = Medium("paper", 11 * POINT, 3.5, 3.5, 3.5, 8.5 * POINT, 2.5 * PX, grab=False)
MEDIA = {"screen": SCREEN, "paper": PAPER}

FAMILY = "DejaVu Sans"


def line_width(line: str, medium: str) -> float:
    """Width of a line [mm]."""
    found = LINES[line]
    return found.mm if medium == "paper" else found.px * PX


def line_dash(line: str, medium: str) -> tuple[float, ...]:
    """Dashes of a line, on and off in turn [mm]; empty when it is full."""
    found = LINES[line]
    return found.dash_mm if medium == "paper" else tuple(part * PX for part in found.dash_px)
