"""Ranges of length and lever arm over boxes: no sampled layout falls outside, and they close in."""

import itertools

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from strutkit.decide.search.moved import moved_ranges
from strutkit.decide.search.ranges import Boxes, ranges

some = settings(max_examples=12)
COUNT, DRAWS = 60, 40


def random_boxes(rng: np.random.Generator, share: float, kind: int) -> Boxes:
    """Boxes anywhere: radii apart, overlapping or nearly equal; psi across 0 or pi."""
    frame = np.sort(rng.uniform(0.05, 0.6, (COUNT, 2)), axis=1)
    panel = np.sort(rng.uniform(0.05, 0.6, (COUNT, 2)), axis=1)
    for sides in (frame, panel):
        sides[:, 1] = sides[:, 0] + share * np.ptp(sides, axis=1)
    if kind == 1:
        panel = np.sort(np.abs(frame + rng.uniform(-0.02, 0.02, (COUNT, 1)) * share), axis=1)
    phase = rng.uniform(-np.pi, np.pi, (COUNT, 1)) + share * rng.uniform(0.0, 1.5, (COUNT, 1)) * [
        0.0,
        1.0,
    ]
    if kind == 2:
        phase += rng.choice([0.0, np.pi], (COUNT, 1)) - phase.mean(axis=1, keepdims=True)
    return Boxes(
        choice=np.zeros(COUNT, dtype=np.intp),
        frame=frame,
        panel=panel,
        phase=phase,
        by_strut=np.zeros(COUNT, dtype=bool),
        turn=np.zeros((COUNT, 2)),
        cost=np.zeros(COUNT),
    )


def drawn(rng: np.random.Generator, boxes: Boxes) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Layouts inside each box, corners among them, each [draws, n]."""
    share = rng.uniform(0.0, 1.0, (DRAWS, 3, COUNT))
    share = np.where(rng.random(share.shape) < 0.5, np.round(share), share)
    return tuple(
        sides[:, 0] + share[:, number] * (sides[:, 1] - sides[:, 0])
        for number, sides in enumerate((boxes.frame, boxes.panel, boxes.phase))
    )


def lengths_and_arms(
    a: np.ndarray, b: np.ndarray, psi: np.ndarray, offset: float
) -> tuple[np.ndarray, np.ndarray]:
    """Distance of two points in space, and the lever arm as a cross product."""
    first = np.stack([a, np.zeros_like(a), np.zeros_like(a)], axis=-1)
    second = np.stack([b * np.cos(psi), b * np.sin(psi), np.full_like(b, offset)], axis=-1)
    line = second - first
    length = np.linalg.norm(line, axis=-1)
    return length, np.cross(second, line / np.maximum(length, 1e-15)[..., None])[..., 2]


@some
@given(st.integers(0, 10**6), st.integers(0, 2), st.sampled_from([0.0, 0.07]))
def test_no_layout_falls_outside(seed: int, kind: int, offset: float) -> None:
    rng = np.random.default_rng(seed)
    boxes = random_boxes(rng, 10.0 ** rng.uniform(-3.0, 0.0), kind)
    angle = np.array([0.0, 0.6, 1.4])
    found = ranges(boxes, offset, angle)
    a, b, phase = drawn(rng, boxes)
    for number, theta in enumerate(angle):
        length, arm = lengths_and_arms(a, b, phase + theta, offset)
        assert (length >= found.shortest[number] - 1e-12).all()
        assert (length <= found.longest[number] + 1e-12).all()
        assert (arm >= found.arm_low[number] - 1e-9).all()
        assert (arm <= found.arm_high[number] + 1e-9).all()


def test_ranges_close_in_on_small_boxes() -> None:
    """The width of each range falls with the box, so that halving ends."""
    rng = np.random.default_rng(5)
    boxes = random_boxes(rng, 1e-4, 0)
    found = ranges(boxes, 0.05, np.array([0.4]))
    assert np.ptp([found.shortest, found.longest], axis=0).max() < 1e-3
    assert np.median(found.arm_high - found.arm_low) < 2e-4
    near = random_boxes(rng, 1e-4, 1)
    wide = ranges(near, 0.05, np.array([0.9]))
    assert np.median(wide.arm_high - wide.arm_low) < 2e-4


@some
@given(st.integers(0, 10**6), st.sampled_from([0.0, 0.05]))
def test_moved_ranges_hold_what_some_move_makes_of_every_layout(seed: int, offset: float) -> None:
    """No layout keeps more arm under its worst move than the lowered range says, and the ranges
    do move: by the drilling error times the slopes."""
    rng = np.random.default_rng(seed)
    boxes = random_boxes(rng, 10.0 ** rng.uniform(-4.0, -2.0), 0)
    angle, delta = np.array([0.5]), 0.002
    constant = np.full(COUNT, 1.2), np.zeros(COUNT)
    lowered, raised = moved_ranges(boxes, offset, angle, delta, *constant)
    a, b, phase = drawn(rng, boxes)
    least, most = np.full(a.shape, np.inf), np.full(a.shape, -np.inf)
    turns = 2.0 * np.pi * np.arange(12) / 12.0
    for turn in itertools.product(turns, turns):
        z_a, z_b = delta * np.exp(1j * np.array(turn))
        psi = phase + angle - np.angle(a + z_a) + np.angle(b + z_b)
        arm = lengths_and_arms(np.abs(a + z_a), np.abs(b + z_b), psi, offset)[1]
        least, most = np.minimum(least, arm), np.maximum(most, arm)
    sampling = 0.1 * (most - least)
    assert (least <= lowered.arm_high[0] + sampling + 1e-9).all()
    assert (most >= raised.arm_low[0] - sampling - 1e-9).all()
    placed = ranges(boxes, offset, angle)
    assert np.median(placed.arm_high - lowered.arm_high) > 0.5 * delta
    assert np.median(raised.arm_low - placed.arm_low) > 0.5 * delta
