"""A chart drawn as a picture in mm: axes, curves, fills, limits, and labels beside the curves."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.show import fills, symbols
from strutkit.show.chart_data import Band, Chart, Curve, Limit, Mark, Scale, Stretch
from strutkit.show.charts import lift_off_words
from strutkit.show.letters import Box, shortened, text_width
from strutkit.show.placing import NOWHERE, Label, Layout
from strutkit.show.shapes import Picture, Place, Polygon, Polyline, Shape, Text, moved
from strutkit.show.style import MEDIA, PX, Medium

Floats = npt.NDArray[np.float64]

LEFT, RIGHT = 52 * PX, 14 * PX
"""The plot begins and ends so far from the sides of its picture [mm]."""

SCALE_HEIGHT = 15 * PX
LONGEST_LABEL = 46
"""Letters of a label that names a condition; longer ones are cut with an ellipsis."""


@dataclass(frozen=True, slots=True)
class Plot:
    """The plot area of a chart: angles and values to places, from its lower left corner [mm]."""

    chart: Chart
    width: float
    height: float
    medium: Medium

    def x(self, angle: npt.ArrayLike) -> Floats:
        low, high = self.chart.span
        return (np.asarray(angle, dtype=float) - low) * self.width / (high - low)

    def y(self, value: npt.ArrayLike) -> Floats:
        low, high = self.chart.reach
        return (np.asarray(value, dtype=float) - low) * self.height / (high - low)

    def at(self, angle: float, value: float) -> Place:
        return float(self.x(angle)), float(self.y(value))

    def line(self, x: Floats, y: Floats) -> tuple[Place, ...]:
        return tuple(zip(self.x(x).tolist(), self.y(y).tolist(), strict=True))

    @property
    def frame(self) -> Box:
        return (0.0, 0.0, self.width, self.height)


def chart_picture(
    chart: Chart, *, size: tuple[float, float], medium: str = "screen", foot: bool = True
) -> Picture:
    """The chart within `size` [mm]: title above at the left, unit at the right, angles below.

    foot: the figures of the angle axis; charts that stand under each other need them once.
    """
    kind = MEDIA[medium]
    head = 1.9 * kind.text
    strip = SCALE_HEIGHT + 2.4 * kind.figure if chart.scale is not None else 0.0
    base = 2.0 * kind.figure if foot else 0.4 * kind.figure
    plot = Plot(chart, size[0] - LEFT - RIGHT, size[1] - head - strip - base, kind)
    inside = [moved(one, LEFT, base) for one in _plot_shapes(plot)]
    shapes = [
        *_heading(chart, size, kind),
        *(moved(one, LEFT, base) for one in _axes(plot, foot=foot)),
        *inside,
    ]
    if chart.scale is not None:
        up = base + plot.height + 0.7 * kind.figure
        shapes.extend(moved(one, LEFT, up) for one in scale_shapes(chart.scale, plot))
    return Picture(
        width=size[0],
        height=size[1],
        shapes=tuple(shapes),
        title=chart.title,
        description=chart.description,
        medium=medium,
    )


def _heading(chart: Chart, size: tuple[float, float], medium: Medium) -> list[Shape]:
    up = size[1] - 1.1 * medium.text
    title = Text((0.5, up), chart.title, "text", medium.text, bold=True, halo=False)
    at = (size[0] - RIGHT, up)
    unit = Text(at, chart.unit, "note", medium.figure, anchor="end", halo=False)
    return [title, unit]


def _axes(plot: Plot, *, foot: bool) -> list[Shape]:
    chart, size = plot.chart, plot.medium.figure
    shapes: list[Shape] = []
    for value, text in chart.y_ticks:
        level = float(plot.y(value))
        role = "axis" if value == 0.0 else "grid"
        shapes.append(Polyline(((0.0, level), (plot.width, level)), role))
        at = (-6 * PX, level - 0.36 * size)
        shapes.append(Text(at, text, "note", size, anchor="end", halo=False))
    if foot:
        shapes.extend(_angle_figures(plot))
    return shapes


def clear_ticks(plot: Plot) -> list[tuple[float, str]]:
    """Figures of the angle axis that stand clear of the last one, which is flush right."""
    *inner, last = plot.chart.x_ticks
    size = plot.medium.figure
    free = plot.width - text_width(last[1], size) - 0.6 * size
    kept = [
        (angle, text)
        for angle, text in inner
        if float(plot.x(angle)) + text_width(text, size) / 2.0 <= free
    ]
    return [*kept, last]


def _angle_figures(plot: Plot) -> list[Shape]:
    size = plot.medium.figure
    *inner, (_, end) = clear_ticks(plot)
    at = (plot.width, -1.5 * size)
    shapes: list[Shape] = [Text(at, end, "note", size, anchor="end", halo=False)]
    for angle, text in inner:
        at = (float(plot.x(angle)), -1.5 * size)
        shapes.append(Text(at, text, "note", size, anchor="middle", halo=False))
        shapes.append(Polyline(((at[0], 0.0), (at[0], -3 * PX)), "mark"))
    shapes.append(Polyline(((plot.width, 0.0), (plot.width, -3 * PX)), "mark"))
    return shapes


def _plot_shapes(plot: Plot) -> list[Shape]:
    chart = plot.chart
    fill: list[Shape] = []
    for band in (*chart.bands, *chart.over):
        fill.extend(_band(plot, band))
    limits = [one for limit in chart.limits for one in _limit(plot, limit)]
    curves = [Polyline(plot.line(one.x, one.y), one.role) for one in chart.curves]
    marks = [_mark(plot, one) for one in chart.marks]
    drawn = [*fill, *limits, *curves, *marks]
    return [*drawn, *plot_labels(plot)]


def _band(plot: Plot, band: Band) -> Iterable[Shape]:
    x, low, high = plot.x(band.x), plot.y(band.low), plot.y(band.high)
    if band.role == "friction":
        return fills.dots(x, low, high, "friction")
    return [fills.between(x, low, high, band.role)]


def _limit(plot: Plot, limit: Limit) -> list[Polyline]:
    level = float(plot.y(limit.value))
    return fills.limit_line((0.0, level), (plot.width, level), limit.above)


def _mark(plot: Plot, mark: Mark) -> Shape:
    at = plot.at(mark.x, mark.y)
    if mark.role == "balance":
        return symbols.balance(at)
    return symbols.dot(at, mark.role)


def plot_labels(plot: Plot) -> list[Shape]:
    """Labels of curves, bands, limits and marks, clear of each other and of the curves."""
    chart = plot.chart
    layout = Layout(plot.frame)
    layout.block(Polyline(plot.line(one.x, one.y), one.role) for one in chart.curves)
    for limit in chart.limits:
        layout.block(_limit(plot, limit))
    layout.block(_mark(plot, one) for one in chart.marks)
    tinted = _band_samples(plot, (*chart.bands, *chart.over))
    labels = [_mark_label(plot, one) for one in chart.marks if one.label]
    labels.extend(_limit_label(plot, one) for one in chart.limits)
    labels.extend(_over_label(plot, one, tinted) for one in chart.over)
    labels.extend(_curve_label(plot, one, tinted) for one in chart.curves if one.label)
    labels.extend(_band_label(plot, one) for one in chart.bands if one.label)
    if chart.words:
        labels.append(_words_label(plot))
    return [shape for label in labels for shape in layout.place(label)]


def _text(text: str, role: str, size: float, *, bold: bool = False) -> Text:
    cut = text if len(text) <= LONGEST_LABEL else text[: LONGEST_LABEL - 1].rstrip() + "…"
    return Text((0.0, 0.0), cut, role, size, bold=bold)


def _beside(near: float = 4 * PX) -> tuple[Place, ...]:
    """Above and below a curve, near first."""
    return tuple((0.0, side * reach * near) for reach in (1.0, 2.0, 4.0, 7.0) for side in (1, -1))


SHARES = (0.62, 0.5, 0.75, 0.38, 0.25, 0.86, 0.14, 0.56, 0.44, 0.68, 0.31, 0.81, 0.19, 0.93, 0.07)
"""Where along a curve its label may stand."""


def _along(plot: Plot, x: Floats, y: Floats) -> list[Place]:
    """Points of a curve at the shares of its width that lie in the plot."""
    places = [x[0] + share * (x[-1] - x[0]) for share in SHARES]
    return [plot.at(place, float(np.interp(place, x, y))) for place in places]


def _curve_label(plot: Plot, curve: Curve, tinted: Floats) -> Label:
    first, *others = _along(plot, curve.x, curve.y)
    worst = curve.label.startswith("worst")
    size = plot.medium.figure if worst else plot.medium.label
    avoid = tinted if curve.text_role == "weight" or worst else NOWHERE
    text = _text(curve.label, curve.text_role, size, bold=not worst)
    return Label(
        first,
        text,
        _beside(),
        far=15 * PX,
        others=tuple(others),
        avoid=avoid,
        optional=worst,
    )


def _over_label(plot: Plot, band: Band, tinted: Floats) -> Label:
    """The figure that breaks a limit, outside its fill."""
    beyond = band.high if band.high.max() > band.low.max() else band.low
    depth = np.abs(band.high - band.low)
    peak = int(depth.argmax())
    outer = band.high if np.ptp(band.high) > np.ptp(band.low) else band.low
    at = plot.at(float(band.x[peak]), float(outer[peak]))
    others = tuple(_along(plot, band.x, outer if len(outer) > 1 else beyond))
    away = 1.0 if outer is band.high else -1.0
    offsets = tuple(
        (0.0, side * reach * PX) for side in (away, -away) for reach in (4.0, 12.0, 24.0, 40.0)
    )
    text = _text(band.label, "fail", plot.medium.label, bold=True)
    return Label(at, text, offsets, far=11 * PX, others=others, avoid=tinted)


def _limit_label(plot: Plot, limit: Limit) -> Label:
    """On the allowed side of its line, at either end."""
    text = _text(limit.label, "note", plot.medium.figure)
    half = text_width(text.text, text.size) / 2.0 + 3 * PX
    level = float(plot.y(limit.value))
    inner = -1.0 if limit.above else 1.0
    shares = (1.0, 0.0, 0.5, 0.75, 0.25)
    ends = [(half + share * (plot.width - 2.0 * half), level) for share in shares]
    near = tuple((0.0, side * reach * PX) for side in (inner, -inner) for reach in (3.0, 9.0, 16.0))
    return Label(ends[0], text, near, others=tuple(ends[1:]))


def _mark_label(plot: Plot, mark: Mark) -> Label:
    at = plot.at(mark.x, mark.y)
    inner = 1.0 if at[0] < plot.width / 2.0 else -1.0
    offsets = tuple(
        (inner * r * PX * a, r * PX * b)
        for r in (7.0, 14.0, 22.0, 32.0, 44.0)
        for a, b in ((1.0, 0.0), (0.7, 0.7), (0.7, -0.7))
    )
    return Label(at, _text(mark.label, mark.text_role, plot.medium.figure), offsets)


def _band_label(plot: Plot, band: Band) -> Label:
    """Inside its band, or outside it with a leader."""
    middle = (band.low + band.high) / 2.0
    first, *others = _along(plot, band.x, middle)
    text = _text(band.label, band.text_role, plot.medium.figure)
    offsets = tuple((0.0, reach * PX) for reach in (0.0, 20.0, -20.0, 34.0, -34.0, 48.0, -48.0))
    return Label(first, text, offsets, far=19 * PX, others=tuple(others), optional=True)


def _words_label(plot: Plot) -> Label:
    at = (plot.width / 2.0, plot.height * 0.6)
    text = _text(plot.chart.words, "note", plot.medium.text)
    offsets = tuple((0.0, reach * PX) for reach in (0.0, 16.0, -16.0, 32.0, -32.0))
    return Label(at, text, offsets)


def _band_samples(plot: Plot, bands: Sequence[Band]) -> Floats:
    """Points [n, 2] all over the tinted bands, 4 px apart."""
    found = [NOWHERE]
    for band in bands:
        if band.role == "friction":
            continue
        x = np.arange(float(plot.x(band.x[0])), float(plot.x(band.x[-1])), 4 * PX)
        low = np.interp(x, plot.x(band.x), plot.y(band.low))
        high = np.interp(x, plot.x(band.x), plot.y(band.high))
        for place, bottom, top in zip(x, low, high, strict=True):
            levels = np.arange(bottom, top, 4 * PX)
            found.append(np.stack([np.full_like(levels, place), levels], axis=1))
    return np.concatenate(found)


def scale_shapes(scale: Scale, plot: Plot) -> list[Shape]:
    """The travel as a bar: stretches in words, rest as dots, lift-off and balance angles."""
    shapes: list[Shape] = [_bar(0.0, plot.width, "bar_empty")]
    for one in scale.stretches:
        shapes.extend(_stretch(plot, one))
    shapes.append(_bar_rim(plot))
    shapes.extend(symbols.lift_off((float(plot.x(angle)), SCALE_HEIGHT)) for angle in scale.balance)
    if scale.lift_off is not None and scale.lift_off > 0.0:
        x = float(plot.x(scale.lift_off))
        shapes.append(Polyline(((x, -3 * PX), (x, SCALE_HEIGHT + 3 * PX)), "bar"))
    shapes.extend(_scale_label(plot, scale))
    return shapes


def _bar(left: float, right: float, role: str) -> Polygon:
    corners = ((left, 0.0), (right, 0.0), (right, SCALE_HEIGHT), (left, SCALE_HEIGHT))
    return Polygon(corners, role)


def _bar_rim(plot: Plot) -> Polyline:
    w, h = plot.width, SCALE_HEIGHT
    return Polyline(((0.0, 0.0), (w, 0.0), (w, h), (0.0, h), (0.0, 0.0)), "axis")


def _stretch(plot: Plot, one: Stretch) -> list[Shape]:
    left, right = float(plot.x(one.low)), float(plot.x(one.high))
    shapes: list[Shape] = []
    if one.rests:
        x = np.array([left, right])
        shapes.extend(fills.dots(x, np.zeros(2), np.full(2, SCALE_HEIGHT), "friction"))
    size = plot.medium.figure
    if text_width(one.words, size) + 8 * PX <= right - left:
        at = ((left + right) / 2.0, SCALE_HEIGHT / 2.0 - 0.36 * size)
        shapes.append(Text(at, one.words, "note", size, anchor="middle", halo=one.rests))
    return shapes


def _scale_label(plot: Plot, scale: Scale) -> list[Shape]:
    """Lift-off in words above the bar, kept within the plot."""
    size = plot.medium.label
    lift_off = None if scale.lift_off is None else math.radians(scale.lift_off)
    text = lift_off_words(lift_off, drops=scale.drops)
    x = 0.0 if scale.lift_off is None else float(plot.x(scale.lift_off))
    half = text_width(text, size, bold=True) / 2.0
    x = min(max(x, half), plot.width - half)
    clear = 9 * PX if scale.balance else 4 * PX
    at = (x, SCALE_HEIGHT + clear)
    return [Text(at, shortened(text, plot.width, size, bold=True), "text", size, "middle", True)]
