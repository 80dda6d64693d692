"""The rating window as data and as a picture: one bar for each rule on a common axis of ratings."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from strutkit.decide.findings import check
from strutkit.decide.judging import Finding, capital
from strutkit.decide.limit_rules import STAYS
from strutkit.decide.rated import alike, fitted_of
from strutkit.decide.starters import weight_sense
from strutkit.decide.window import RatingInterval, RatingWindow, window_of
from strutkit.describe.numbers import Toward, quantity_text, range_text
from strutkit.describe.records import Door
from strutkit.describe.size import shown_finely
from strutkit.errors import RecordError
from strutkit.show import fills
from strutkit.show.beside_bars import BesideBars, beside_bars
from strutkit.show.chart_data import tick_text, value_ticks
from strutkit.show.letters import shortened, text_width
from strutkit.show.shapes import Picture, Polygon, Polyline, Shape, Text, moved
from strutkit.show.style import MEDIA, PX, Medium

ROW = 25 * PX
BAR = 13 * PX
GAP = 8 * PX


@dataclass(frozen=True, slots=True)
class Bar:
    """One rule: its words, the ratings for which it holds [N], whether the present one does."""

    words: str
    low: float
    high: float
    empty: bool
    holds: bool
    low_decided_by: str | None = None
    high_decided_by: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingBars:
    """Bars of all rules, that of all together last. span: ends of the axis; now: present rating;
    stock: ratings to be had; words: what all rules together come to. [N]

    of: whether the others stay as they are; beside: what is judged and no bar shows; starved:
    under which rating a condition leaves no charge, in words, empty where there is none such;
    below: the same as a sentence where no rule breaks before; beyond: up to which rating no upper
    edge was found, empty where there is one."""

    bars: tuple[Bar, ...]
    together: Bar
    span: tuple[float, float]
    ticks: tuple[float, ...]
    now: float
    stock: tuple[float, ...]
    words: str
    of: str
    beside: BesideBars
    starved: str
    below: str
    beyond: str


@shown_finely
def rating_bars(
    door: Door,
    window: RatingWindow | None = None,
    *,
    strut: int = 0,
    stock: Sequence[float] = (),
    findings: Sequence[Finding] | None = None,
) -> RatingBars:
    """The rating window of a door as bars for one fitted strut.

    window: None computes it, for this strut and those alike while unlike ones stay. strut: index
    in `door.fitted`. stock: ratings in the stock list [N]. findings: those of `check` (None:
    judged here).
    Raises `RecordError` where the door has no such strut.
    """
    if not 0 <= strut < len(door.fitted):
        raise RecordError(
            f"the rating window was asked for strut {strut}, but the door has"
            f" {len(door.fitted)} struts, counted from 0."
        )
    own = _rated(door, strut)
    found = window_of(door, own) if window is None else window
    alone = window is None and len(own) < len(door.fitted)
    now = door.fitted[strut].strut.rating
    bars = tuple(_bar(rule_words(name, door), one, strut, now) for name, one in found.rules.items())
    low, high = float(found.low[strut]), float(found.high[strut])
    inside = _inside(found.empty, low, now, high)
    words = "none" if found.empty else range_text(low, high, "force")
    together = Bar(f"All these rules: {words}", low, high, found.empty, inside)
    span = _span(bars, now)
    starved = _starved(bars, float(found.looked_from[strut]))
    return RatingBars(
        bars=bars,
        together=together,
        span=span,
        ticks=tuple(value_ticks(*span)),
        now=now,
        stock=tuple(sorted({one for one in stock if span[0] <= one <= span[1]})),
        words=_window_words(bars, together),
        of="this strut alone, the others stay" if alone else "at these mounts",
        beside=beside_bars(door, check(door) if findings is None else findings, found.rules),
        starved=starved,
        below=f"{capital(starved)}." if starved and low <= found.looked_from[strut] else "",
        beyond=_beyond(together, float(found.looked_to[strut])) if bars else "",
    )


def _starved(bars: Sequence[Bar], looked_from: float) -> str:
    condition = next((bar.low_decided_by for bar in bars if bar.low == looked_from), None)
    under = quantity_text(looked_from, "force", toward="up")
    return f"under {under} no charge is left in “{condition}”" if condition else ""


def _beyond(together: Bar, looked_to: float) -> str:
    if together.empty or math.isfinite(together.high):
        return ""
    return (
        f"No upper edge up to {quantity_text(looked_to, 'force', toward='down')};"
        " higher ratings were not looked at."
    )


def _rated(door: Door, strut: int) -> tuple[int, ...]:
    """Indices in `door.fitted` of all struts that are like one of them, itself among them."""
    owner = [place for place, one in enumerate(door.struts) for _ in range(1 + one.mirrored)]
    return fitted_of(door, alike(door, owner[strut]))


def rule_words(rule: str, door: Door) -> str:
    """A rule of the window as a short name with its limit."""
    value = getattr(door.limits, rule)
    stays = f"Stays {STAYS[weight_sense(door)]}"
    at_most = quantity_text(value, "force", toward="down") if "reserve" not in rule else ""
    return {
        "hand_opening": f"To open ≤ {at_most}",
        "hand_closing": f"To shut ≤ {at_most}",
        "lift_off": f"Lifts off by {_degrees(value)}",
        "reserve": f"{stays}, {_percent(value)} to spare",
        "reserve_force": f"{stays}, {_newtons(value)} to spare",
        "latch": f"On the latch ≤ {at_most}",
        "hinge_resultant": f"Hinge line ≤ {at_most}",
        "hinge_radial": f"Either hinge point ≤ {at_most}",
    }[rule]


def _degrees(value: float) -> str:
    return quantity_text(value, "angle", toward="down")


def _percent(value: float) -> str:
    return quantity_text(value, "share", toward="up")


def _newtons(value: float) -> str:
    return quantity_text(value, "force", toward="up")


ON_EDGE = 1e-6
"""A rating so near an edge, as a share of it, lies on it: edges are found to about 1e-9."""


def _inside(empty: bool, low: float, now: float, high: float) -> bool:
    return not empty and low * (1.0 - ON_EDGE) <= now <= high * (1.0 + ON_EDGE)


def _bar(words: str, one: RatingInterval, strut: int, now: float) -> Bar:
    low, high = float(one.low[strut]), float(one.high[strut])
    return Bar(words, low, high, one.empty, _inside(one.empty, low, now, high), *one.decided_by)


def _span(bars: Sequence[Bar], now: float) -> tuple[float, float]:
    """Ends of the axis: the present rating, the edges of the window, and all edges near them.

    An edge far outside would squeeze the rest; its bar then runs to the end of the axis.
    """
    inner = [now]
    inner.append(max((bar.low for bar in bars), default=0.0))
    inner.append(min((bar.high for bar in bars), default=math.inf))
    inner = [edge for edge in inner if 0.0 < edge < math.inf]
    low, high = min(inner), max(inner)
    edges = [edge for bar in bars for edge in (bar.low, bar.high)]
    edges = [edge for edge in edges if low / FAR <= edge <= high * FAR]
    low, high = min([low, *edges]), max([high, *edges])
    room = max(0.25 * (high - low), 0.12 * high)
    return max(0.0, low - room), high + room


FAR = 1.7
"""Edges over this many times beyond the window and the present rating are left off the axis."""


def _window_words(bars: Sequence[Bar], together: Bar) -> str:
    if not bars:
        least = quantity_text(together.low, "force", toward="up")
        return "No limit here bounds the rating" + (f" from {least} up" if together.low else "")
    if not together.empty:
        return range_text(together.low, together.high, "force")
    for bar in bars:
        if bar.empty:
            return f"No rating holds all rules: none holds “{bar.words}”."
    highest = min(bars, key=lambda bar: bar.high)
    lowest = max(bars, key=lambda bar: bar.low)
    return (
        f"No rating holds all rules: “{highest.words}” wants at most"
        f" {quantity_text(highest.high, 'force', toward='down')}, “{lowest.words}” at least"
        f" {quantity_text(lowest.low, 'force', toward='up')}."
    )


@dataclass(frozen=True, slots=True)
class _Axis:
    """Places on the axis: ratings [N] to mm from its left end."""

    span: tuple[float, float]
    width: float
    medium: Medium

    def x(self, rating: float) -> float:
        low, high = self.span
        return (min(max(rating, low), high) - low) * self.width / (high - low)


def rating_picture(bars: RatingBars, *, width: float, medium: str = "screen") -> Picture:
    """The bars `width` [mm] wide; the height follows from their number."""
    kind = MEDIA[medium]
    names = [f"✕ {bar.words}" for bar in (*bars.bars, bars.together)]
    column = min(max(text_width(name, kind.label, bold=True) for name in names), 0.45 * width)
    left = column + 3 * GAP
    axis = _Axis(bars.span, width - left - 14 * PX, kind)
    rows = [*bars.bars, bars.together]
    said = [(bars.words, "text")] if together_fails(bars) else []
    said += [(bars.below, "text"), (bars.beyond, "text"), *_beside(bars)]
    lines = [
        (line, role)
        for words, role in said
        if words
        for line in wrapped(words, 0.95 * width, kind.note)
    ]
    foot = len(lines) * 1.25 * kind.note
    height = 3.4 * kind.text + len(rows) * ROW + 4 * PX + 1.6 * kind.label + foot
    top = height - 3.4 * kind.text
    shapes: list[Shape] = _heading(bars, width, height, kind)
    shapes.extend(moved(one, left, top) for one in _scale(bars, axis, len(rows) * ROW))
    shapes.append(
        Text((0.5, top + 0.4 * kind.figure), "Rating, N", "note", kind.figure, halo=False)
    )
    for number, bar in enumerate(rows):
        level = top - (number + 1) * ROW + (ROW - BAR) / 2.0
        whole = number == len(rows) - 1
        shapes.append(_name(bar, level, column, kind, whole=whole))
        drawn = _whole_row(bars, axis) if whole else _row(bar, axis)
        shapes.extend(moved(one, left, level) for one in drawn)
    shapes.extend(moved(one, left, top) for one in _now(bars, axis, len(rows) * ROW))
    shapes.extend(
        Text((0.5, foot - (row + 0.8) * 1.25 * kind.note), line, role, kind.note, halo=False)
        for row, (line, role) in enumerate(lines)
    )
    return Picture(
        width=width,
        height=height,
        shapes=tuple(shapes),
        title="Rating window",
        description=_description(bars),
        medium=medium,
    )


def _beside(bars: RatingBars) -> list[tuple[str, str]]:
    """Sentences on what no bar shows, with the roles of their texts."""
    one = bars.beside
    return [(one.beside, "fail"), (one.unmended, "fail"), (one.unlooked, "text")]


def together_fails(bars: RatingBars) -> bool:
    """Whether a sentence stands in the place of the last bar: no rating holds all, or no rules."""
    return bars.together.empty or not bars.bars


def _heading(bars: RatingBars, width: float, height: float, kind: Medium) -> list[Shape]:
    up = height - 1.1 * kind.text
    title = Text((0.5, up), "Rating window", "text", kind.text, bold=True, halo=False)
    beside = 0.5 + text_width("Rating window", kind.text, bold=True) + GAP
    words = bars.of + ("; dotted: in the stock list" if bars.stock else "")
    words = shortened(words, width - beside, kind.note)
    return [title, Text((beside, up), words, "note", kind.note, halo=False)]


def _scale(bars: RatingBars, axis: _Axis, depth: float) -> list[Shape]:
    """The axis with its figures, and the stock's ratings through all bars."""
    size = axis.medium.figure
    shapes: list[Shape] = [Polyline(((0.0, 0.0), (axis.width, 0.0)), "axis")]
    for tick in bars.ticks:
        x = axis.x(tick)
        shapes.append(Polyline(((x, 0.0), (x, -4 * PX)), "axis"))
        shapes.append(Text((x, 0.4 * size), tick_text(tick), "note", size, "middle", halo=False))
    shapes.extend(
        Polyline(((axis.x(one), -4 * PX), (axis.x(one), -depth)), "stock") for one in bars.stock
    )
    return shapes


def _name(bar: Bar, level: float, column: float, kind: Medium, *, whole: bool) -> Text:
    sign = "" if whole else "✓ " if bar.holds else "✕ "
    bold = whole or not bar.holds
    role = "fail" if not bar.holds and not whole else "text"
    text = shortened(sign + bar.words, column + GAP, kind.label, bold=bold)
    return Text((0.5, level + 0.24 * BAR), text, role, kind.label, bold=bold, halo=False)


def _row(bar: Bar, axis: _Axis) -> list[Shape]:
    shapes: list[Shape] = [_block(0.0, axis.width, "bar_empty")]
    if not bar.empty:
        role = "bar_passes" if bar.holds else "bar_fails"
        shapes.append(_block(axis.x(bar.low), axis.x(bar.high), role))
    if axis.span[0] < bar.low < axis.span[1]:
        shapes.extend(_edge(axis, bar.low, forbidden_left=True, fails=not bar.holds))
    if axis.span[0] < bar.high < axis.span[1]:
        shapes.extend(_edge(axis, bar.high, forbidden_left=False, fails=not bar.holds))
    return shapes


def _block(left: float, right: float, role: str) -> Polygon:
    return Polygon(((left, 0.0), (right, 0.0), (right, BAR), (left, BAR)), role)


def _edge(axis: _Axis, rating: float, *, forbidden_left: bool, fails: bool) -> list[Shape]:
    """An edge of the allowed range: the sign of a limit, its figure on the forbidden side."""
    x, size = axis.x(rating), axis.medium.figure
    line = fills.limit_line((x, -1.5 * PX), (x, BAR + 1.5 * PX), forbidden_left, 4 * PX)
    toward: Toward = "up" if forbidden_left else "down"
    text = quantity_text(rating, "force", toward=toward, unit=False)
    away = -1.0 if forbidden_left else 1.0
    at = (x + away * 9 * PX, 0.24 * BAR)
    anchor = "end" if forbidden_left else "start"
    role = "fail" if fails else "note"
    return [*line, Text(at, text, role, size, anchor=anchor, bold=fails)]


def _whole_row(bars: RatingBars, axis: _Axis) -> list[Shape]:
    bar = bars.together
    return [] if together_fails(bars) else [_block(axis.x(bar.low), axis.x(bar.high), "bar_all")]


def _now(bars: RatingBars, axis: _Axis, depth: float) -> list[Shape]:
    x, size = axis.x(bars.now), axis.medium.label
    text = f"now {quantity_text(bars.now, 'force')}"
    half = text_width(text, size, bold=True) / 2.0
    across = min(max(x, half), axis.width - half)
    foot = -depth - 4 * PX
    return [
        Polyline(((x, 0.0), (x, foot)), "now"),
        Text((across, foot - size), text, "text", size, anchor="middle", bold=True),
    ]


def wrapped(words: str, width: float, size: float) -> list[str]:
    """Words on lines of at most `width` [mm]."""
    lines = [""]
    for word in words.split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if text_width(longer, size) > width and lines[-1]:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _description(bars: RatingBars) -> str:
    parts = []
    for bar in bars.bars:
        words = "holds at no rating" if bar.empty else range_text(bar.low, bar.high, "force")
        parts.append(f"{bar.words}: {words}")
    now = f"The present rating is {quantity_text(bars.now, 'force')}."
    beside = [words for words, _ in _beside(bars)]
    last = " ".join(filter(None, (now, bars.below, bars.beyond, *beside)))
    return f"{'; '.join(parts)}. All these rules: {bars.words.rstrip('.')}. {last}"
