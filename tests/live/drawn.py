"""What a bench draws, read back from its page, and the hand that drags in it."""

import re
from dataclasses import replace

import numpy as np
from playwright.sync_api import Locator, expect

from strutkit import Door, check, sweep, sweep_conditions
from strutkit.describe.doorfile import parse_door
from tests.live.conftest import DOORS, Bench

REAR = DOORS / "rear-hatch.toml"
AS_GIVEN = "24 mm inward, 108 mm down, 610 mm left"
"""The panel mount of that door."""


def given_again(bench: Bench) -> None:
    """The door as it was given, as each test begins that shares a page with others."""
    bench.execute("w.reset(); w.condition = 'nominal'; w.unit = 'mm'; w.angle = 0.75")
    bench.at_rest()
    expect(bench.slider("left, mount on panel")).to_have_attribute("aria-valuetext", AS_GIVEN)


def drawn(chart: Locator, curve: str) -> tuple[np.ndarray, np.ndarray]:
    """Angles [rad] and values of a curve in the page, from its points and the axes of its chart."""
    axes = {
        name: float(chart.get_attribute(f"data-{name}") or "nan")
        for name in ("left", "right", "top", "bottom", "low", "high", "stop")
    }
    path = chart.locator(f"[data-curve='{curve}']").get_attribute("d") or ""
    points = np.array(re.findall(r"[ML]([-\d.]+) ([-\d.]+)", path), dtype=float)
    angle = (points[:, 0] - axes["left"]) / (axes["right"] - axes["left"]) * axes["stop"]
    share = (axes["bottom"] - points[:, 1]) / (axes["bottom"] - axes["top"])
    return angle, axes["low"] + share * (axes["high"] - axes["low"])


def half_pixel(chart: Locator) -> float:
    """The value that a drawn point may be off by: rounding to 0.01 px, and 32-bit floats."""
    span = [float(chart.get_attribute(f"data-{name}") or "nan") for name in ("low", "high")]
    tall = [float(chart.get_attribute(f"data-{name}") or "nan") for name in ("top", "bottom")]
    return 0.0051 * (span[1] - span[0]) / (tall[1] - tall[0])


def assert_drawn_as_swept(bench: Bench, door: Door) -> None:
    swept = sweep(door)
    moment, force = (bench.node.locator(f".sk-{name}") for name in ("moment", "force"))
    length, hinge = (bench.node.locator(f".sk-{name}") for name in ("length", "hinge-loads"))
    expected = [
        (moment, "strut_moment", swept.strut_moment.sum(axis=0)),
        (moment, "weight_moment", -swept.gravity_moment),
        (force, "opening", swept.hand_force_opening),
        (force, "closing", -swept.hand_force_closing),
        (length, "strut_length", swept.strut_length[0] * 1e3),
    ]
    for chart, name, values in expected:
        angle, shown_values = drawn(chart, name)
        np.testing.assert_allclose(angle, swept.angle, atol=1e-4, err_msg=name)
        np.testing.assert_allclose(shown_values, values, atol=half_pixel(chart), err_msg=name)
    every = sweep_conditions(door)[:3]
    _, worst = drawn(force, "worst_closing")
    most = np.max([one.hand_force_closing for one in every], axis=0)
    np.testing.assert_allclose(-worst, most, atol=half_pixel(force))
    assert drawn(hinge, "first")[1].shape == swept.angle.shape


def moved(door: Door, **mounts: tuple[float, float, float]) -> Door:
    return replace(door, struts=(replace(door.struts[0], **mounts),))


def drag(bench: Bench, handle: Locator, right: float, down: float, steps: int = 8) -> None:
    x, y = bench.centre(handle)
    bench.page.mouse.move(x, y)
    bench.page.mouse.down()
    for step in range(1, steps + 1):
        bench.page.mouse.move(x + right * step / steps, y + down * step / steps)
        bench.page.wait_for_timeout(20)


def shown_place(handle: Locator) -> tuple[float, float, float]:
    """Outward, upward, along [mm] of a handle, from what it says of itself."""
    text = handle.get_attribute("aria-valuetext") or ""
    signs = {"outward": 1, "inward": -1, "up": 1, "down": -1, "right": 1, "left": -1}
    parts = re.findall(r"([\d.]+) mm (\w+)", text)
    return tuple(float(value) * signs[word] for value, word in parts)  # type: ignore[return-value]


def quick_drag(bench: Bench, waits: tuple[int, ...]) -> None:
    """A drag to where nothing fits rests at the door of the cells, however many answers are on
    their way at the release [ms between the moves of the hand]."""
    handle = bench.slider("left, mount on frame")
    x, y = bench.centre(handle)
    bench.page.mouse.move(x, y)
    bench.page.mouse.down()
    places = ((4, 4), (8, 6), (12, 8), (250, -200))
    for (right, down), wait in zip(places, waits, strict=True):
        bench.page.mouse.move(x + right, y + down)
        bench.page.wait_for_timeout(wait)
    bench.page.mouse.up()
    bench.at_rest()
    door = parse_door(bench.execute("print(w.design)"), "w.door")
    outward, upward, along = shown_place(handle)
    assert door.struts[0].frame_mount == (outward / 1e3, along / 1e3, upward / 1e3)
    assert_drawn_as_swept(bench, door)
    words = bench.node.get_by_role("status", name="Findings").inner_text()
    assert all(one.words in words for one in check(door) if one.ok is False)
    expect(bench.line).to_contain_text("Picture and numbers show the last place that fits.")
    expect(bench.node.locator("circle.sk-refused")).to_have_count(1)
    bench.execute("w.reset()")
    bench.at_rest()
    expect(bench.node.locator("circle.sk-refused")).to_have_count(0)
