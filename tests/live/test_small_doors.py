"""Figures of a door of any size: a tenth of the size with the same material weighs a thousandth.

The law of similarity is the outside check: lengths times k and masses and ratings times k³ make
every force k³ times as large and leave every angle (statics; every moment is a mass times g times
a length).
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page

from strutkit import Door, Limits, Strut, check, sweep, write_door
from strutkit.describe.numbers import finely, quantity_text
from strutkit.describe.size import handle_lever, is_small
from strutkit.live.axes import value_axis
from strutkit.live.mapping import Mount, zone_of
from tests.live.conftest import Bench, store_page

FORCES = ("hand_opening", "hand_closing", "reserve_force", "hinge_radial")
VALUES = [0.0, 1e-12, 0.0004, 0.00567, 0.0449, 0.0451, 0.0996, 0.1, 0.345, 0.5, 0.667, 0.996]
WHOLE = [1.0, 1.4, 1.6, 12.3, 99.7, 634.2]


def scaled(door: Door, k: float) -> Door:
    """The door k times as large, of the same material, without zones and limits."""

    def place(point):  # type: ignore[no-untyped-def]
        return None if point is None else tuple(k * one for one in point)

    panel = replace(
        door.panel,
        mass=door.panel.mass * k**3,
        width=None if door.panel.width is None else door.panel.width * k,
        thickness=door.panel.thickness * k,
        section=None,
        **{
            name: place(getattr(door.panel, name))
            for name in ("centre_of_gravity", "handle", "closing_handle", "middle")
        },
    )
    hinge = replace(
        door.hinge,
        friction_moment=door.hinge.friction_moment * k**4,
        **{name: place(getattr(door.hinge, name)) for name in ("first", "second", "stop")},
    )
    struts = [
        replace(
            one,
            frame_mount=place(one.frame_mount),
            panel_mount=place(one.panel_mount),
            frame_hole=None,
            panel_hole=None,
            frame_thread=None,
            panel_thread=None,
            strut=Strut(
                name=one.strut.name,
                rating=one.strut.rating * k**3,
                extended_length=one.strut.extended_length * k,
                stroke=one.strut.stroke * k,
                force_ratio=one.strut.force_ratio,
                friction=(one.strut.friction or 0.0) * k**3,
                measuring_distance=0.005 * k,
                tolerance=0.1 * one.strut.rating * k**3,
            ),
        )
        for one in door.struts
    ]
    conditions = tuple(replace(one, added_mass=0.0, wind_speed=0.0) for one in door.conditions)
    return replace(
        door,
        panel=panel,
        hinge=hinge,
        struts=tuple(struts),
        conditions=conditions,
        limits=Limits(hand_opening=1e3, hand_closing=1e3, reserve_force=0.0, hinge_radial=1e5),
        zones=(),
    )


def said(door: Door) -> dict[str, tuple[float, float]]:
    """Force findings: the value, and the first number of newtons that the words say."""
    found = {one.name: one for one in check(door) if one.name in FORCES}
    assert sorted(found) == sorted(FORCES)
    numbers = {name: re.search(r"([\d.]+) N\b", one.words) for name, one in found.items()}
    return {
        name: (float(one.value or 0.0), float(numbers[name][1]))  # type: ignore[index]
        for name, one in found.items()
    }


def test_words_of_a_small_door_say_its_forces(rear_hatch: Door) -> None:
    usual, small = said(scaled(rear_hatch, 1.0)), said(scaled(rear_hatch, 0.1))
    assert not is_small(rear_hatch)
    assert is_small(scaled(rear_hatch, 0.1))
    for name, (value, shown) in small.items():
        assert value == pytest.approx(usual[name][0] * 1e-3, rel=1e-3), name
        assert 0.0 < value < 1.0
        bad = -1.0 if name == "reserve_force" else 1.0
        assert 0.0 <= (shown - value) * bad < max(0.1 * value, 1e-4), (name, value, shown)
    assert all(shown == int(shown) for _, shown in usual.values())


@pytest.mark.parametrize("k", [0.1, 0.5, 1.0, 3.0, 10.0])
def test_a_map_without_a_zone_is_in_proportion_to_the_door(rear_hatch: Door, k: float) -> None:
    door = scaled(rear_hatch, k)
    left, _, right, _ = zone_of(Mount(door, 0, "panel")).bounds
    assert 0.04 < (right - left) / 2e3 / handle_lever(door) < 0.13


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    with store_page(browser) as page:
        yield page


@pytest.mark.parametrize("fine", [True, False])
@pytest.mark.parametrize(
    ("round_", "toward"), [("null", "nearest"), ("Math.ceil", "up"), ("Math.floor", "down")]
)
def test_the_page_writes_a_force_as_python_does(
    page: Page, fine: bool, round_: str, toward: str
) -> None:
    values = [sign * one for one in (*VALUES, *WHOLE) for sign in (1, -1)]
    with finely(fine):
        wanted = [quantity_text(one, "force", toward=toward, unit=False) for one in values]  # type: ignore[arg-type]
    script = f"(values) => values.map((one) => forceFigure(one, {str(fine).lower()}, {round_}))"
    assert page.evaluate(script, values) == wanted


@pytest.mark.parametrize("fine", [True, False])
def test_the_page_writes_a_mass_as_python_does(page: Page, fine: bool) -> None:
    """But for the noughts behind the point, which the page leaves out."""
    values = [one for one in (*VALUES, *WHOLE) if one > (1e-4 if fine else 5e-3)]
    with finely(fine):
        wanted = [float(quantity_text(one, "mass", unit=False)) for one in values]
    script = f"(values) => values.map((one) => massFigure(one, {str(fine).lower()}))"
    assert [float(one) for one in page.evaluate(script, values)] == wanted


@pytest.mark.parametrize("most", [0.0051, 0.3, 2.0, 4.4, 42.0, 1700.0])
def test_ticks_read_as_their_places(page: Page, most: float) -> None:
    axis = value_axis([[-0.2 * most, most]])
    shown = page.evaluate("(ticks) => ticks.map(tickFigure)", axis["ticks"])
    assert len(shown) > 2
    assert [float(one.replace("−", "-")) for one in shown] == pytest.approx(axis["ticks"])
    assert axis["high"] < 1.2 * most


def test_the_view_of_a_small_door_has_figures(
    open_plain_bench: Callable[..., Bench], rear_hatch: Door, tmp_path: Path
) -> None:
    door = scaled(rear_hatch, 0.1)
    write_door(door, tmp_path / "small.toml")
    bench = open_plain_bench(tmp_path / "small.toml")
    bench.execute("w.angle = 0.75")
    bench.at_rest()
    bench.shoot("small_door")
    swept = sweep(door)
    weight = float(np.interp(0.75, swept.angle, -swept.gravity_moment))
    chart = bench.node.locator(".sk-moment")
    figures = chart.locator("text.sk-figure").all_text_contents()
    assert len(set(figures)) == len(figures)
    read = chart.locator("text.sk-strong.sk-weight").all_text_contents()
    with finely(True):
        assert quantity_text(abs(weight), "moment", unit=False) in [one.strip("−") for one in read]
    assert "0 kg" not in bench.node.inner_text()
