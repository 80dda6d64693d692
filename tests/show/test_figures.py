"""Figures by matplotlib: the artists hold the arrays of the sweep, and pyplot is left alone."""

import math
from dataclasses import replace

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib import pyplot
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Text

from strutkit.decide.sweep import sweep, sweep_conditions
from strutkit.describe.records import Condition
from strutkit.show import figures
from strutkit.show.style import THEMES, colour
from tests.show.picture_doors import HOSTILE, all_doors, rear_hatch

DOORS = all_doors()
CHARTS = (
    figures.plot_moments,
    figures.plot_hand_forces,
    figures.plot_lengths,
    figures.plot_hinge_loads,
)


@pytest.fixture(autouse=True)
def _agg():
    mpl.use("Agg")
    yield
    pyplot.close("all")


def of_role(artists: list[Artist], role: str) -> list[Artist]:
    return [one for one in artists if one.get_gid() == role]


def render(figure: Figure) -> None:
    """Draw it for good: a bare figure's own canvas draws nothing."""
    FigureCanvasAgg(figure).draw()


@pytest.mark.parametrize(
    ("name", "plot"),
    [
        *((name, plot) for name in ("bare", "hostile") for plot in CHARTS),
        ("drop_flap", figures.plot_moments),
        ("drop_flap", figures.plot_hand_forces),
        ("upright_door", figures.plot_lengths),
        ("roof_lid", figures.plot_hinge_loads),
    ],
)
def test_charts_of_every_kind_of_door_can_be_drawn(name: str, plot) -> None:
    figure = Figure(figsize=(5.0, 3.0))
    axes = figure.add_subplot()
    artists = plot(sweep_conditions(DOORS[name]), axes)
    assert artists
    assert all(one.figure is figure for one in artists)
    render(figure)


@pytest.mark.parametrize(
    ("name", "theme"),
    [
        *(("hostile", theme) for theme in THEMES),
        ("bare", "light"),
        ("drop_flap", "light"),
        ("upright_door", "light"),
    ],
)
def test_side_views_can_be_drawn(name: str, theme) -> None:
    figure = Figure(figsize=(5.0, 4.0))
    axes = figure.add_axes((0, 0, 1, 1))
    artists = figures.plot_side_view(sweep(DOORS[name]), axes, angle=0.3, theme=theme)
    render(figure)
    assert of_role(artists, "panel")
    assert mpl.colors.to_hex(axes.get_facecolor()) == colour("paper", theme).lower()


def test_curves_are_the_arrays_of_the_sweep() -> None:
    swept = sweep(rear_hatch())
    axes = Figure().add_subplot()
    (struts,) = of_role(figures.plot_moments(swept, axes), "strut_curve")
    np.testing.assert_array_equal(struts.get_ydata(), swept.strut_moment.sum(axis=0))
    np.testing.assert_allclose(np.radians(struts.get_xdata()), swept.angle)
    forces = figures.plot_hand_forces(swept, Figure().add_subplot())
    (shut,) = of_role(forces, "shut_curve")
    np.testing.assert_array_equal(shut.get_ydata(), -swept.hand_force_closing)


def test_axes_of_ones_own_leave_pyplot_alone() -> None:
    several = sweep_conditions(rear_hatch())
    before = pyplot.get_fignums()
    for plot in CHARTS:
        plot(several, Figure(figsize=(5, 3)).add_subplot())
    figures.plot_side_view(several[0], Figure().add_subplot())
    figures.plot_rating_window(rear_hatch(), Figure().add_subplot())
    assert pyplot.get_fignums() == before


def test_without_axes_a_figure_is_made() -> None:
    several = sweep_conditions(rear_hatch())
    for plot in CHARTS:
        artists = plot(several)
        figure = pyplot.gcf()
        assert artists[0].figure is figure
        figure.canvas.draw()
        renderer = figure.canvas.get_renderer()
        for one in artists:
            if isinstance(one, Text):
                box = one.get_window_extent(renderer)
                assert box.x0 >= 0.0, one.get_text()
                assert box.y0 >= 0.0, one.get_text()
                assert box.x1 <= figure.bbox.width, one.get_text()
                assert box.y1 <= figure.bbox.height, one.get_text()
        pyplot.close(figure)


def test_artists_can_be_restyled() -> None:
    axes = Figure().add_subplot()
    artists = figures.plot_moments(sweep(rear_hatch()), axes)
    (struts,) = of_role(artists, "strut_curve")
    struts.set_color("black")
    struts.set_linewidth(5.0)
    assert struts.get_color() == "black"


def test_limits_tick_on_the_forbidden_side() -> None:
    """Pixels beside the limit line: more ink above an upper limit, below a lower one."""
    door = rear_hatch()
    figure = Figure(figsize=(5.0, 3.0), dpi=100)
    axes = figure.add_subplot()
    limits = of_role(figures.plot_hand_forces(sweep(door), axes), "limit")
    assert [line.get_ydata()[0] for line in limits] == [40.0, -80.0]
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    picture = np.asarray(canvas.buffer_rgba())[..., :3].sum(axis=2)
    left, right = (int(axes.transData.transform((x, 0.0))[0]) for x in (30.0, 60.0))
    for line, above in zip(limits, (True, False), strict=True):
        row = picture.shape[0] - round(axes.transData.transform((0, line.get_ydata()[0]))[1])
        over = np.count_nonzero(picture[row - 7 : row - 2, left:right] < 400)
        under = np.count_nonzero(picture[row + 2 : row + 7, left:right] < 400)
        assert (over > under) == above


def test_names_are_no_mathematics() -> None:
    door = rear_hatch(HOSTILE)
    odd = replace(door, conditions=(Condition(name="$\\frac{1}{$ 50 %", rating_tolerance=1.0),))
    figure = Figure(figsize=(5.0, 3.0))
    artists = figures.plot_hand_forces(
        sweep_conditions(replace(odd, limits=replace(odd.limits, hand_closing=10.0))),
        figure.add_subplot(),
    )
    render(figure)
    assert any("$\\frac{1}{$" in one.get_text() for one in artists if isinstance(one, Text))


def test_side_view_is_in_millimetres_to_scale() -> None:
    door = rear_hatch()
    figure = Figure(figsize=(6.0, 5.0))
    axes = figure.add_axes((0, 0, 1, 1))
    artists = figures.plot_side_view(sweep(door), axes, angle=0.5)
    hinge, handle = of_role(artists, "hinge")[0], of_role(artists, "handle")[0]
    arcs = [one for one in of_role(artists, "handle_arc") if isinstance(one, Line2D)]
    radius = math.dist(hinge.center, handle.center)
    x, y = np.array(arcs[0].get_data())
    np.testing.assert_allclose(np.hypot(x - hinge.center[0], y - hinge.center[1]), radius)
    assert axes.get_aspect() == 1.0


def test_a_door_alone_can_be_drawn() -> None:
    artists = figures.plot_side_view(DOORS["bare"], Figure().add_subplot())
    assert of_role(artists, "panel")


def test_rating_window_shows_its_words() -> None:
    artists = figures.plot_rating_window(rear_hatch(), Figure().add_subplot(), stock=(400.0, 450.0))
    words = [one.get_text() for one in artists if isinstance(one, Text)]
    assert "now 500 N" in words
    assert len(of_role(artists, "stock")) == 2
