"""Boxes of layouts, and the range of strut length and lever arm over each.

A box is a range of r_A, r_B and alpha. At an angle theta, psi = alpha + theta runs over a short
range; everything is bounded from the ends of the ranges, with no Lipschitz constants. In the
plane (offset w = 0), with s the smaller and l the larger radius and c = cos psi,

    L² = s² + l² - 2 s l c                     J = s l sin(psi) / L <= s

- L falls as c grows; at a given c it is least at l0, s = clip(l0 c, s0, s1), greatest at a corner.
- J grows with s. It grows with l while l c < s, then falls; with psi it grows while l c > s,
  then falls. So it is least at a corner at s0, and greatest at s1 at (l1, p0) where l1 cos p0 <
  s1, at (l0, p1) where l0 cos p1 > s1, and s1 in between.
- psi < 0 mirrors J; a range across 0 or pi is cut there.
- Where the ranges of both radii overlap, J is least at one of all corners, and greatest at (s1,
  l1, p0) where it grows with both, else at most s1.

With an offset L becomes sqrt(L² + w²) and J is scaled by the ratio of the two lengths. The bounds
are sure up to the rounding of doubles.
"""

from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]

TINY = 1e-12


@dataclass(frozen=True, slots=True)
class Boxes:
    """n boxes, each of one choice: ranges of r_A and r_B [m] and of alpha [rad], each [n, 2].

    by_strut: layouts whose struts end the travel [n]; turn: range of the angle phi of the frame
    mount [n, 2]; cost: least cost of the ranked rule known so far [n].
    """

    choice: Indices
    frame: Floats
    panel: Floats
    phase: Floats
    by_strut: Flags
    turn: Floats
    cost: Floats

    def __len__(self) -> int:
        return len(self.choice)

    def take(self, rows: Indices | Flags | slice) -> "Boxes":
        """The boxes of these rows."""
        return Boxes(*(getattr(self, field.name)[rows] for field in fields(self)))


def joined(parts: list[Boxes]) -> Boxes:
    """Boxes one after another."""
    return Boxes(
        *(np.concatenate([getattr(one, field.name) for one in parts]) for field in fields(Boxes))
    )


@dataclass(frozen=True, slots=True)
class Ranges:
    """Ranges at k angles for n boxes [k, n]: length L, lever arm J, both from low to high."""

    shortest: Floats
    longest: Floats
    arm_low: Floats
    arm_high: Floats

    def take(self, columns: Indices) -> "Ranges":
        """The ranges over some of the boxes."""
        return Ranges(*(getattr(self, field.name)[:, columns] for field in fields(self)))


def ranges(boxes: Boxes, offset: float, angle: Floats) -> Ranges:
    """Ranges of L and J over each box at angles [k] or, one for each box, [k, n]."""
    turn = np.exp(1j * (angle[:, None] if angle.ndim == 1 else angle))
    low, high = np.exp(1j * boxes.phase.T)
    return psi_ranges(boxes, offset, turn * low, turn * high)


def psi_ranges(boxes: Boxes, offset: float, low: Complexes, high: Complexes) -> Ranges:
    """Ranges of L and J over each box's radii, with e^(i psi) from low to high [k, n].

    Both ends of psi are less than pi apart.
    """
    cos_low, sin_low = low.real, low.imag
    cos_high, sin_high = high.real, high.imag
    crossing = (sin_low < 0.0) != (sin_high < 0.0)
    at_zero = crossing & (cos_low + cos_high > 0.0)
    at_pi = crossing & ~at_zero
    swap = cos_low < cos_high
    near_cos = np.where(swap, cos_high, cos_low)
    far_cos = np.where(swap, cos_low, cos_high)
    near_sin = np.abs(np.where(swap, sin_high, sin_low))
    far_sin = np.abs(np.where(swap, sin_low, sin_high))
    radii = _Radii.of(boxes)
    shortest = radii.shortest(np.where(at_zero, 1.0, near_cos))
    longest = radii.longest(np.where(at_pi, -1.0, far_cos))
    most = radii.greatest_arm(near_cos, near_sin, far_cos, far_sin)
    least = radii.least_arm(near_cos, near_sin, far_cos, far_sin)
    falling = sin_low < 0.0
    arm_low, arm_high = np.where(falling, -most, least), np.where(falling, -least, most)
    row, column = np.nonzero(crossing)
    if len(row):
        cut = radii.take(column), at_zero[row, column]
        starts_below = sin_low[row, column] < 0.0
        above = np.where(starts_below, high[row, column], low[row, column])
        below = np.where(starts_below, low[row, column], high[row, column])
        arm_high[row, column] = _cut_arm(*cut, above)
        arm_low[row, column] = -_cut_arm(*cut, below)
    if offset == 0.0:
        return Ranges(shortest, longest, arm_low, arm_high)
    return _with_offset(Ranges(shortest, longest, arm_low, arm_high), offset)


def _cut_arm(radii: "_Radii", at_zero: Flags, end: Complexes) -> Floats:
    """Greatest |J| for |psi| from 0 (or from pi) to the angle of `end` [n]."""
    cosine, sine, none = end.real, np.abs(end.imag), np.zeros(len(end))
    return radii.greatest_arm(
        np.where(at_zero, 1.0, cosine),
        np.where(at_zero, none, sine),
        np.where(at_zero, cosine, -1.0),
        np.where(at_zero, sine, none),
    )


def _with_offset(flat: Ranges, offset: float) -> Ranges:
    shortest, longest = np.hypot(flat.shortest, offset), np.hypot(flat.longest, offset)
    least, most = flat.shortest / shortest, flat.longest / longest
    return Ranges(
        shortest,
        longest,
        flat.arm_low * np.where(flat.arm_low > 0.0, least, most),
        flat.arm_high * np.where(flat.arm_high > 0.0, most, least),
    )


@dataclass(frozen=True, slots=True)
class _Radii:
    """Ranges of both radii [n]: small s0...s1 and large l0...l1; where they overlap, the arm is
    bounded with `apart` False."""

    frame_low: Floats
    frame_high: Floats
    panel_low: Floats
    panel_high: Floats

    @staticmethod
    def of(boxes: Boxes) -> "_Radii":
        return _Radii(boxes.frame[:, 0], boxes.frame[:, 1], boxes.panel[:, 0], boxes.panel[:, 1])

    def take(self, rows: Indices) -> "_Radii":
        return _Radii(
            self.frame_low[rows],
            self.frame_high[rows],
            self.panel_low[rows],
            self.panel_high[rows],
        )

    @property
    def apart(self) -> Flags:
        return np.asarray((self.frame_high <= self.panel_low) | (self.panel_high <= self.frame_low))

    def shortest(self, cosine: Floats) -> Floats:
        large_is_panel = self.panel_low >= self.frame_low
        large = np.maximum(self.panel_low, self.frame_low)
        small_low = np.where(large_is_panel, self.frame_low, self.panel_low)
        small_high = np.where(large_is_panel, self.frame_high, self.panel_high)
        small = np.clip(large * cosine, small_low, small_high)
        return np.asarray(
            np.sqrt(np.maximum(0.0, small**2 + large**2 - 2.0 * small * large * cosine))
        )

    def longest(self, cosine: Floats) -> Floats:
        square = _square(self.frame_high, self.panel_high, cosine)
        square = np.maximum(square, _square(self.frame_low, self.panel_high, cosine))
        square = np.maximum(square, _square(self.frame_high, self.panel_low, cosine))
        return np.sqrt(np.maximum(0.0, square))

    def greatest_arm(
        self, near_cos: Floats, near_sin: Floats, far_cos: Floats, far_sin: Floats
    ) -> Floats:
        """Greatest J for psi in 0...pi between near (small psi) and far."""
        apart = self.apart
        small = np.minimum(self.frame_high, self.panel_high)
        large = np.maximum(self.frame_high, self.panel_high)
        low = np.minimum(self.frame_low, self.panel_low)
        inner = np.where(apart, np.maximum(self.frame_low, self.panel_low), 0.0)
        past = large * near_cos < np.where(apart, small, low)
        before = inner * far_cos > small
        radius = np.where(before, inner, large)
        cosine, sine = np.where(before, far_cos, near_cos), np.where(before, far_sin, near_sin)
        arm = _arm(small, radius, cosine, sine)
        return np.where(past | before, np.minimum(arm, small), small)

    def least_arm(
        self, near_cos: Floats, near_sin: Floats, far_cos: Floats, far_sin: Floats
    ) -> Floats:
        """Least J for psi in 0...pi between near and far."""
        small = np.minimum(self.frame_low, self.panel_low)
        apart = self.apart
        frame_is_small = self.frame_high <= self.panel_low
        ends = (
            np.where(frame_is_small, self.panel_low, self.frame_low),
            np.where(frame_is_small, self.panel_high, self.frame_high),
        )
        square = np.full(near_cos.shape, np.inf)
        for large in ends:
            for cosine, sine in ((near_cos, near_sin), (far_cos, far_sin)):
                flat = np.maximum(_square(small, large, cosine), TINY**2)
                square = np.minimum(square, (large * sine) ** 2 / flat)
        arm = small * np.sqrt(square)
        mixed = np.flatnonzero(~apart)
        if len(mixed):
            part = self.take(mixed)
            arm[..., mixed] = part.least_corner(
                near_cos[..., mixed], near_sin[..., mixed], far_cos[..., mixed], far_sin[..., mixed]
            )
        return np.asarray(arm)

    def least_corner(
        self, near_cos: Floats, near_sin: Floats, far_cos: Floats, far_sin: Floats
    ) -> Floats:
        arm = np.full(near_cos.shape, np.inf)
        for frame in (self.frame_low, self.frame_high):
            for panel in (self.panel_low, self.panel_high):
                for cosine, sine in ((near_cos, near_sin), (far_cos, far_sin)):
                    arm = np.minimum(arm, _arm(frame, panel, cosine, sine))
        return arm


def _square(frame: Floats, panel: Floats, cosine: Floats) -> Floats:
    return np.asarray((frame - panel) ** 2 + 2.0 * frame * panel * (1.0 - cosine))


def _arm(frame: Floats, panel: Floats, cosine: Floats, sine: Floats) -> Floats:
    length = np.sqrt(np.maximum(_square(frame, panel, cosine), TINY**2))
    return np.asarray(frame * panel * sine / length)
