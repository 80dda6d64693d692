"""Holes apart from ball centres: bounds, mirror image, and the drills of ISO metric threads."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from strutkit.data import door_path
from strutkit.data.tables import THREADS
from strutkit.describe.doorfile import door_text, parse_door, read_door
from strutkit.describe.records import Door
from strutkit.errors import RecordError
from strutkit.show.holes import hole_of
from tests.doors import doors

ARM = st.floats(-0.08, 0.08)
ARMS = st.tuples(ARM, ARM, ARM)

PITCHES = {
    "M3": 0.5, "M4": 0.7, "M5": 0.8, "M6": 1.0, "M8": 1.25, "M10": 1.5, "M12": 1.75, "M14": 2.0,
    "M16": 2.0,
}  # fmt: skip
"""Coarse pitch [mm]: ISO 261 (from memory)."""

MEDIUM = {
    "M3": 3.4, "M4": 4.5, "M5": 5.5, "M6": 6.6, "M8": 9.0, "M10": 11.0, "M12": 13.5, "M14": 15.5,
    "M16": 17.5,
}  # fmt: skip
"""Clearance hole, medium series [mm]: ISO 273 (read in a restatement of the table)."""


def test_tapping_drills_are_diameter_less_pitch() -> None:
    """Drill = d - P, to a drill of whole 0.1 mm: the rule behind ISO 2306."""
    assert set(PITCHES) == set(THREADS)
    for thread, pitch in PITCHES.items():
        exact = float(thread[1:]) - pitch
        assert THREADS[thread][0] * 1e3 == pytest.approx(exact, abs=0.0501), thread


def test_clearance_holes_are_those_of_the_medium_series() -> None:
    assert {thread: row[1] * 1e3 for thread, row in THREADS.items()} == pytest.approx(MEDIUM)


def with_holes(door: Door, frame, panel) -> Door:
    """The first strut with holes and threads."""
    first = replace(
        door.struts[0], frame_hole=frame, panel_hole=panel, frame_thread="M8", panel_thread="M6"
    )
    return replace(door, struts=(first, *door.struts[1:]))


@given(door=doors(struts=2, mirrored=True), frame=ARMS, panel=ARMS)
@settings(max_examples=20)
def test_a_twins_holes_are_the_mirror_image(door, frame, panel) -> None:
    """Original and twin are alike about the plane through the middle, square to the hinge line:
    the way from one to the other runs along the hinge line, and that plane halves it."""
    original, twin, other = with_holes(door, frame, panel).fitted
    axis, middle = np.array(door.hinge_direction), np.array(door.middle)
    for part, thread in (("frame", "M8"), ("panel", "M6")):
        here, there = hole_of(original, part), hole_of(twin, part)
        assert here.thread == there.thread == thread
        way = np.array(there.place) - here.place
        halfway = (np.array(there.place) + here.place) / 2.0
        np.testing.assert_allclose(np.cross(way, axis), 0.0, atol=1e-12)
        assert (halfway - middle) @ axis == pytest.approx(0.0, abs=1e-12)
        assert hole_of(other, part) is None


@given(door=doors(struts=1, mirrored=True), frame=ARMS, panel=ARMS)
@settings(max_examples=20)
def test_a_hole_moves_with_its_mount_and_stays_with_its_part(door, frame, panel) -> None:
    """Turned end for end, each hole stays at its part; a moved mount takes its hole along."""
    one = with_holes(door, frame, panel).struts[0]
    turned = replace(one, rod_at="panel" if one.rod_end == "frame" else "frame")
    for part in ("frame", "panel"):
        assert hole_of(turned, part) == hole_of(one, part)
    step = np.array([0.01, -0.02, 0.03])
    moved = replace(one, panel_mount=tuple(np.array(one.panel_mount) + step))
    np.testing.assert_allclose(
        np.array(hole_of(moved, "panel").place) - hole_of(one, "panel").place, step, atol=1e-12
    )
    assert hole_of(moved, "frame") == hole_of(one, "frame")


@given(door=doors(struts=1), frame=ARMS, panel=ARMS)
@settings(max_examples=20)
def test_a_door_file_keeps_holes_and_threads(door, frame, panel) -> None:
    holed = with_holes(door, frame, panel)
    assert parse_door(door_text(holed), "text").struts == holed.struts


def test_what_is_no_hole_is_refused() -> None:
    one = read_door(door_path("rear-hatch")).struts[0]
    with pytest.raises(RecordError, match="frame_hole is 151 mm long; it goes from the ball"):
        replace(one, frame_hole=(0.0, 0.151, 0.0))
    with pytest.raises(RecordError, match="panel_thread is 'M7'; write one of M3, M4, M5"):
        replace(one, panel_thread="M7")
