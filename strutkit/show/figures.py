"""Pictures in the notebook by matplotlib: each takes a result and axes, and returns its artists.

Every artist carries its role as gid ("strut_curve", "limit", "text" ...), so that a figure can
be restyled afterwards. Without axes a new figure of a fitting size is made by pyplot; with axes
pyplot is left alone. Text is never read as mathematics.
"""

import math
from collections.abc import Callable, Sequence
from contextlib import nullcontext
from typing import TYPE_CHECKING, Any

import numpy as np

from strutkit.decide.sweep import Sweep
from strutkit.decide.window import RatingWindow
from strutkit.describe.numbers import LengthUnit
from strutkit.describe.records import Door
from strutkit.describe.size import figures_of
from strutkit.show import charts
from strutkit.show.chart_data import Band, Chart, Curve, Limit, Mark
from strutkit.show.chartpicture import (
    LEFT,
    RIGHT,
    SCALE_HEIGHT,
    Plot,
    clear_ticks,
    plot_labels,
    scale_shapes,
)
from strutkit.show.charts import Swept
from strutkit.show.fills import TICK_LENGTH, TICK_SPACING
from strutkit.show.ratingbars import rating_bars, rating_picture
from strutkit.show.shapes import Arc, Circle, Picture, Polygon, Polyline, Shape, Text, flat
from strutkit.show.sideview import SCREEN_SIZE, side_view
from strutkit.show.style import (
    LOOKS,
    POINT,
    PX,
    SCREEN,
    Theme,
    colour,
    line_dash,
    line_width,
    text_colour,
)

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes

INCH = 25.4
CHART_SIZE = (440 * PX, 236 * PX)
HEAD, FOOT = 30 * PX, 26 * PX
"""Room above a chart's axes for the heading, and below for the figures [mm]."""


def plot_moments(
    swept: Swept, axes: "Axes | None" = None, *, theme: Theme = "light"
) -> list["Artist"]:
    """Moment of the struts against that of the weight [N·m] over the opening angle [degrees].

    swept: a `Sweep`, or several (the first is shown, all in service make the band).
    """
    return _plot_chart(charts.moment_chart, swept, axes, theme)


def plot_hand_forces(
    swept: Swept, axes: "Axes | None" = None, *, theme: Theme = "light"
) -> list["Artist"]:
    """Hand force at the handle [N]: pushing open upward, pushing shut downward, both positive."""
    return _plot_chart(charts.hand_force_chart, swept, axes, theme)


def plot_lengths(
    swept: Swept, axes: "Axes | None" = None, *, theme: Theme = "light"
) -> list["Artist"]:
    """Length of each strut [mm] within its travel, over the opening angle."""
    return _plot_chart(charts.length_chart, swept, axes, theme)


def plot_hinge_loads(
    swept: Swept, axes: "Axes | None" = None, *, theme: Theme = "light"
) -> list["Artist"]:
    """Radial load of each hinge point [N] over the opening angle, and the cases at rest."""
    return _plot_chart(charts.hinge_load_chart, swept, axes, theme)


def plot_rating_window(
    door: Door,
    axes: "Axes | None" = None,
    *,
    window: RatingWindow | None = None,
    strut: int = 0,
    stock: Sequence[float] = (),
    theme: Theme = "light",
) -> list["Artist"]:
    """Which ratings hold each rule, and all of them [N]; stock: ratings in the stock list [N]."""
    bars = rating_bars(door, window, strut=strut, stock=stock)
    width = CHART_SIZE[0] if axes is None else _axes_size(axes)[0]
    with figures_of(door):
        picture = rating_picture(bars, width=width)
    if axes is not None:
        return _draw_picture(picture, axes, theme)
    return _draw_picture(picture, _new_axes((picture.width, picture.height)), theme)


def plot_side_view(
    swept: Sweep | Door,
    axes: "Axes | None" = None,
    *,
    angle: float | None = None,
    length_unit: LengthUnit = "mm",
    theme: Theme = "light",
) -> list["Artist"]:
    """The door square to its hinge line at an opening angle [rad] (None: end of travel).

    swept: a `Sweep`, or a `Door` alone, which needs no struts.
    """
    door, result = (swept.door, swept) if isinstance(swept, Sweep) else (swept, None)
    size = SCREEN_SIZE if axes is None else _axes_size(axes)
    picture = side_view(door, result, angle, size=size, unit=length_unit)
    if axes is None:
        axes = _new_axes(size)
    return _draw_picture(picture, axes, theme)


def _new_axes(size: tuple[float, float]) -> "Axes":
    """Axes that fill a new figure of a size in mm."""
    from matplotlib import pyplot

    figure = pyplot.figure(figsize=(size[0] / INCH, size[1] / INCH))
    return figure.add_axes((0.0, 0.0, 1.0, 1.0))


def _new_chart_axes(strip: float) -> "Axes":
    """Axes on a new figure, with room for figures, heading and a strip above them [mm]."""
    width, height = CHART_SIZE[0], CHART_SIZE[1] + strip
    axes = _new_axes((width, height))
    head = HEAD + strip
    inner = ((width - LEFT - RIGHT) / width, (height - FOOT - head) / height)
    axes.set_position((LEFT / width, FOOT / height, *inner))
    return axes


def _axes_size(axes: "Axes") -> tuple[float, float]:
    """Width and height of axes [mm]."""
    figure = axes.get_figure(root=True)
    box = axes.get_position()
    wide, high = figure.get_size_inches() if figure is not None else (0.0, 0.0)
    return float(box.width * wide * INCH), float(box.height * high * INCH)


def _plot_chart(
    make: Callable[[Swept], Chart], swept: Swept, axes: "Axes | None", theme: Theme
) -> list["Artist"]:
    shown = swept if isinstance(swept, Sweep) else next(iter(swept), None)
    with nullcontext() if shown is None else figures_of(shown.door):
        chart = make(swept)
    if axes is None:
        axes = _new_chart_axes(_strip(chart))
    width, height = _axes_size(axes)
    plot = Plot(chart, width, height, SCREEN)
    _set_axes(axes, plot, theme)
    artists = [_band(axes, one, theme) for one in (*chart.bands, *chart.over)]
    artists.extend(_limit(axes, one, theme) for one in chart.limits)
    artists.extend(_curve(axes, one, theme) for one in chart.curves)
    artists.extend(_mark(axes, one, theme) for one in chart.marks)
    artists.extend(_in_axes(axes, plot, plot_labels(plot), 0.0, theme))
    if chart.scale is not None:
        up = height + 0.7 * SCREEN.figure
        artists.extend(_in_axes(axes, plot, scale_shapes(chart.scale, plot), up, theme))
    return artists


def _strip(chart: Chart) -> float:
    """Height of the travel's bar above the axes, with its words [mm]."""
    return SCALE_HEIGHT + 2.4 * SCREEN.figure if chart.scale is not None else 0.0


def _set_axes(axes: "Axes", plot: Plot, theme: Theme) -> None:
    chart, ink2 = plot.chart, colour("ink2", theme)
    axes.set_xlim(*chart.span)
    axes.set_ylim(*chart.reach)
    angles = clear_ticks(plot)
    axes.set_xticks([angle for angle, _ in angles], [text for _, text in angles])
    axes.set_yticks([tick for tick, _ in chart.y_ticks], [text for _, text in chart.y_ticks])
    size = SCREEN.figure / POINT
    axes.tick_params(labelsize=size, labelcolor=ink2, color=ink2, length=3)
    axes.tick_params(axis="y", length=0)
    axes.get_xticklabels()[-1].set_horizontalalignment("right")
    for side in axes.spines.values():
        side.set_visible(False)
    axes.set_facecolor(colour("paper", theme))
    axes.grid(axis="y", color=colour("grid", theme), linewidth=PX / POINT)
    axes.set_axisbelow(True)
    if chart.reach[0] < 0.0 < chart.reach[1]:
        axes.axhline(0.0, color=colour("line", theme), linewidth=PX / POINT, zorder=1.0)
    pad = 6.0 + _strip(chart) / POINT
    axes.set_title(
        chart.title,
        loc="left",
        fontsize=SCREEN.text / POINT,
        fontweight="bold",
        color=colour("ink", theme),
        pad=pad,
    )
    axes.set_title(chart.unit, loc="right", fontsize=size, color=ink2, pad=pad)


def _stroke(role: str, theme: Theme, medium: str = "screen") -> dict[str, Any]:
    """Colour, width and dashes of a role's line as matplotlib takes them."""
    look = LOOKS[role]
    if look.stroke is None:
        return {"linewidth": 0.0}
    width = line_width(look.line, medium)
    dash = line_dash(look.line, medium)
    style: Any = (0.0, [part / width for part in dash]) if dash else "solid"
    return {"color": colour(look.stroke, theme), "linewidth": width / POINT, "linestyle": style}


def _curve(axes: "Axes", curve: Curve, theme: Theme) -> "Artist":
    (line,) = axes.plot(curve.x, curve.y, label=curve.label, **_stroke(curve.role, theme))
    line.set_gid(curve.role)
    return line


def _band(axes: "Axes", band: Band, theme: Theme) -> "Artist":
    look = LOOKS[band.role]
    fill = colour(look.fill or "ink2", theme)
    if band.role == "friction":
        area = axes.fill_between(
            band.x,
            band.low,
            band.high,
            facecolor="none",
            edgecolor=fill,
            hatch="....",
            linewidth=0.0,
        )
    else:
        area = axes.fill_between(
            band.x, band.low, band.high, color=fill, alpha=look.tint, linewidth=0.0
        )
    area.set_gid(band.role)
    return area


def _limit(axes: "Axes", limit: Limit, theme: Theme) -> "Artist":
    from matplotlib.patheffects import withTickedStroke

    line = axes.axhline(limit.value, **_stroke("limit", theme))
    ticks = withTickedStroke(
        spacing=TICK_SPACING / POINT,
        angle=45.0 if limit.above else -45.0,
        length=TICK_LENGTH / TICK_SPACING,
        linewidth=PX / POINT,
        foreground=colour("ink", theme),
    )
    line.set_path_effects([ticks])
    line.set_gid("limit")
    return line


def _mark(axes: "Axes", mark: Mark, theme: Theme) -> "Artist":
    look = LOOKS[mark.role]
    size = (9.0 if mark.role == "balance" else 6.0) * PX / POINT
    (point,) = axes.plot(
        [mark.x],
        [mark.y],
        marker="o",
        markersize=size,
        markerfacecolor=colour(look.fill or "ink", theme),
        markeredgecolor=colour(look.stroke or "paper", theme),
        markeredgewidth=line_width(look.line, "screen") / POINT,
        linestyle="none",
        clip_on=False,
        zorder=3.0,
    )
    point.set_gid(mark.role)
    return point


def _in_axes(
    axes: "Axes", plot: Plot, shapes: Sequence[Shape], up: float, theme: Theme
) -> list["Artist"]:
    """Shapes placed in mm from the lower left corner of the axes, bound to the axes' box."""
    from matplotlib.transforms import Affine2D

    to_axes = Affine2D().translate(0.0, up).scale(1.0 / plot.width, 1.0 / plot.height)
    return _draw(axes, shapes, to_axes + axes.transAxes, theme, "screen", SCREEN.halo)


def _draw_picture(picture: Picture, axes: "Axes", theme: Theme) -> list["Artist"]:
    """A picture in axes of its own, in mm, both axes alike."""
    axes.set_xlim(0.0, picture.width)
    axes.set_ylim(0.0, picture.height)
    axes.set_aspect("equal")
    axes.set_facecolor(colour("paper", theme))
    axes.set_xticks([])
    axes.set_yticks([])
    for side in axes.spines.values():
        side.set_visible(False)
    return _draw(axes, picture.shapes, axes.transData, theme, picture.medium, SCREEN.halo)


def _draw(
    axes: "Axes", shapes: Sequence[Shape], transform: Any, theme: Theme, medium: str, halo: float
) -> list["Artist"]:
    artists: list[Artist] = []
    for order, shape in enumerate(flat(shapes)):
        artist = _artist(axes, shape, theme, medium, halo)
        artist.set_transform(transform)
        artist.set_gid(shape.role)
        artist.set_zorder(3.0 + order * 1e-4)
        artist.set_clip_on(False)
        artists.append(artist)
    return artists


def _artist(axes: "Axes", shape: Shape, theme: Theme, medium: str, halo: float) -> "Artist":
    match shape:
        case Text():
            return _text(axes, shape, theme, halo)
        case Polyline():
            return _line(axes, shape.points, shape.role, theme, medium)
        case Arc():
            return _line(axes, _arc_points(shape), shape.role, theme, medium)
        case Circle():
            return _area(axes, _circle(shape), shape.role, theme, medium)
        case Polygon():
            return _area(axes, _polygon(shape), shape.role, theme, medium)
    raise TypeError(f"{shape!r} is no shape that can be drawn.")


def _circle(shape: Circle) -> Any:
    from matplotlib import patches

    return patches.Circle(shape.centre, shape.radius)


def _polygon(shape: Polygon) -> Any:
    from matplotlib import patches

    return patches.Polygon(np.array(shape.points), closed=True)


def _arc_points(arc: Arc) -> list[tuple[float, float]]:
    count = max(2, math.ceil(abs(arc.sweep) / math.radians(2.0)))
    angles = np.linspace(arc.start, arc.start + arc.sweep, count + 1)
    x, y = arc.centre
    return [(x + arc.radius * math.cos(a), y + arc.radius * math.sin(a)) for a in angles]


def _line(axes: "Axes", points: Sequence[Any], role: str, theme: Theme, medium: str) -> "Artist":
    from matplotlib.lines import Line2D

    x, y = zip(*points, strict=True)
    line = Line2D(x, y, **_stroke(role, theme, medium))
    axes.add_artist(line)
    return line


def _area(axes: "Axes", patch: Any, role: str, theme: Theme, medium: str) -> "Artist":
    from matplotlib.colors import to_rgba

    look, stroke = LOOKS[role], _stroke(role, theme, medium)
    patch.set_facecolor(to_rgba(colour(look.fill, theme), look.tint) if look.fill else "none")
    patch.set_edgecolor(stroke.get("color", "none"))
    patch.set_linewidth(stroke["linewidth"])
    patch.set_linestyle(stroke.get("linestyle", "solid"))
    axes.add_artist(patch)
    return patch


def _text(axes: "Axes", text: Text, theme: Theme, halo: float) -> "Artist":
    from matplotlib.patheffects import withStroke

    artist = axes.text(
        *text.at,
        text.text,
        fontsize=text.size / POINT,
        fontweight="bold" if text.bold else "normal",
        color=text_colour(text.role, theme),
        horizontalalignment={"start": "left", "middle": "center", "end": "right"}[text.anchor],
        verticalalignment="baseline",
        rotation=math.degrees(text.angle),
        rotation_mode="anchor",
        parse_math=False,
    )
    if text.halo:
        artist.set_path_effects(
            [withStroke(linewidth=halo / POINT, foreground=colour("paper", theme))]
        )
    return artist
