"""What charts draw beside the plain functions, and the way it travels to the page."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from strutkit import (
    Condition,
    Door,
    check,
    hinge_loads,
    read_door,
    rest_bands,
    summary,
    sweep,
    sweep_conditions,
)
from strutkit.data import door_path
from strutkit.live.axes import axes
from strutkit.live.curves import curves, packed
from strutkit.live.scene import scene


def test_arrays_are_those_of_the_sweep(rear_hatch: Door) -> None:
    figures, arrays = curves(rear_hatch, "July, strong struts")
    swept = sweep(rear_hatch, condition="July, strong struts")
    loads = hinge_loads(swept)
    k = np.array(rear_hatch.hinge_direction)
    radial = [
        np.linalg.norm(force - np.outer(force @ k, k), axis=1)
        for force in (loads.first, loads.second)
    ]
    expected = {
        "angle": swept.angle,
        "strut_moment": swept.strut_moment.sum(axis=0),
        "weight_moment": -swept.gravity_moment,
        "opening": swept.hand_force_opening,
        "closing": swept.hand_force_closing,
        "holding": swept.hand_force_holding,
        "strut_length": swept.strut_length * 1e3,
        "first": radial[0],
        "second": radial[1],
    }
    for name, values in expected.items():
        np.testing.assert_allclose(arrays[name], values, rtol=1e-12, atol=1e-9, err_msg=name)
    assert figures["lift_off"] == summary(swept).lift_off
    assert figures["end"] == swept.end_of_travel


def test_bands_hold_every_condition_in_service_and_no_fault(rear_hatch: Door) -> None:
    _, arrays = curves(rear_hatch, "nominal")
    every = sweep_conditions(rear_hatch)
    service = [one for one in every if one.condition.missing is None]
    assert len(service) == len(every) - 1
    struts = np.stack([one.strut_moment.sum(axis=0) for one in service])
    np.testing.assert_array_equal(arrays["strut_low"], struts.min(axis=0))
    np.testing.assert_array_equal(arrays["strut_high"], struts.max(axis=0))
    closing = np.stack([one.hand_force_closing for one in service])
    np.testing.assert_array_equal(arrays["worst_closing"], closing.max(axis=0))


def test_a_fault_is_shown_with_its_own_travel(rear_hatch: Door) -> None:
    figures, arrays = curves(rear_hatch, "one strut lost")
    swept = sweep(rear_hatch, condition="one strut lost")
    assert figures["condition"] == "one strut lost"
    np.testing.assert_array_equal(arrays["opening"], swept.hand_force_opening)


def test_an_unknown_condition_shows_the_nominal_one(rear_hatch: Door) -> None:
    figures, _ = curves(rear_hatch, "no such")
    assert figures["condition"] == "nominal"


@pytest.mark.parametrize("condition", ["nominal", "frost, old, nose down 3°", "one strut lost"])
def test_pieces_of_the_angle_axis_say_what_the_moment_says(
    rear_hatch: Door, condition: str
) -> None:
    """In each piece the panel rises, falls or rests as M and Mf tell (model section 3)."""
    figures, _ = curves(rear_hatch, condition)
    swept = sweep(rear_hatch, condition=condition)
    pieces = figures["segments"]
    assert pieces[0][0] == 0.0
    assert pieces[-1][1] == swept.end_of_travel
    assert all(one[1] == other[0] for one, other in itertools.pairwise(pieces))
    for angle, net, rubbing in zip(swept.angle, swept.moment, swept.friction_moment, strict=True):
        low, high, word = next(one for one in pieces if one[0] <= angle <= one[1])
        if min(angle - low, high - angle) < 1e-6:
            continue
        expected = "rises" if net > rubbing else "falls" if net < -rubbing else "rests"
        assert word == expected, math.degrees(angle)
    bands = [tuple(one[:2]) for one in pieces if one[2] == "rests"]
    assert bands == list(rest_bands(swept))


def test_a_packed_run_of_floats_reads_back(rear_hatch: Door) -> None:
    _, arrays = curves(rear_hatch, "nominal")
    layout, data = packed(arrays)
    flat = np.frombuffer(data, dtype="<f4")
    assert sum(rows * columns for _, rows, columns in layout) == flat.size
    start = 0
    for name, rows, columns in layout:
        piece = flat[start : start + rows * columns].reshape(rows, columns)
        start += rows * columns
        np.testing.assert_allclose(piece, np.atleast_2d(arrays[name]), rtol=1e-6, atol=1e-4)


def test_a_panel_that_its_weight_opens_is_known(rear_hatch: Door) -> None:
    assert curves(rear_hatch, "nominal")[0]["drops"] is False
    assert curves(read_door(door_path("counter-flap")), "nominal")[0]["drops"] is True


def test_axes_hold_all_curves_and_limits(rear_hatch: Door) -> None:
    _, arrays = curves(rear_hatch, "nominal")
    limits = replace(rear_hatch.limits, hand_closing=300.0, hand_opening=None)
    found = axes(arrays, limits)
    assert found["force"]["low"] < -300.0
    assert found["force"]["high"] > arrays["worst_opening"].max()
    assert found["moment"]["low"] < arrays["strut_low"].min()
    assert found["moment"]["high"] > arrays["strut_high"].max()
    for axis in found.values():
        assert 3 <= len(axis["ticks"]) <= 8
        assert axis["low"] <= axis["ticks"][0] < axis["ticks"][-1] <= axis["high"]


@pytest.mark.parametrize("name", ["lost", "tired to 70 %"])
def test_a_case_that_only_findings_try_is_drawn(rear_hatch: Door, name: str) -> None:
    """Curves of the very case that the finding names, and a band of the door's own conditions."""
    door = replace(rear_hatch, conditions=())
    titles = [one.condition for one in check(door) if (one.condition or "").endswith(name)]
    assert titles
    tried = {
        "lost": Condition(name="x", missing=0),
        "tired to 70 %": Condition(name="x", strut_ageing=(0.7, 1.0)),
    }[name]
    figures, arrays = curves(door, str(titles[0]))
    assert figures["condition"] == titles[0]
    expected = sweep(door, condition=tried).strut_moment.sum(axis=0)
    np.testing.assert_allclose(arrays["strut_moment"], expected, rtol=1e-9)
    own = sweep(door).strut_moment.sum(axis=0)
    np.testing.assert_allclose(arrays["strut_low"], own, rtol=1e-9)
    assert titles[0] in [one["name"] for one in scene(door)["conditions"]]
