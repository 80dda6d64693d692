"""Layouts: a choice of strut and count with two mounts, as radii and angles about the hinge line.

With psi = alpha + theta and the offset w of the mounts along the hinge line

    L² = (r_A - r_B)² + 4 r_A r_B sin²(psi/2) + w²        J = dL/dtheta = r_A r_B sin(psi) / L
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.compute.statics import Statics

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Layouts:
    """m layouts: choice (row of `Choices`), radius_frame r_A, radius_panel r_B [m], phase alpha
    and turn, the angle phi of the frame mount [rad], each [m]."""

    choice: Indices
    radius_frame: Floats
    radius_panel: Floats
    phase: Floats
    turn: Floats

    def __len__(self) -> int:
        return len(self.choice)

    def take(self, rows: npt.NDArray[np.intp] | Flags | slice) -> "Layouts":
        """The layouts of these rows."""
        return Layouts(
            self.choice[rows],
            self.radius_frame[rows],
            self.radius_panel[rows],
            self.phase[rows],
            self.turn[rows],
        )

    @property
    def mounts(self) -> tuple[Complexes, Complexes]:
        """Frame and panel mounts in the plane, from the hinge line [m] [m]."""
        frame = self.radius_frame * np.exp(1j * self.turn)
        panel = self.radius_panel * np.exp(1j * (self.turn + self.phase))
        return np.asarray(frame, dtype=complex), np.asarray(panel, dtype=complex)


def layouts_between(choice: npt.ArrayLike, frame: npt.ArrayLike, panel: npt.ArrayLike) -> Layouts:
    """Layouts with these mounts in the plane [...], flattened to [m]."""
    a, b, rows = np.broadcast_arrays(
        np.asarray(frame, dtype=complex), np.asarray(panel, dtype=complex), np.asarray(choice)
    )
    a, b = a.ravel(), b.ravel()
    phase = np.angle(b * a.conj())
    return Layouts(rows.ravel().astype(np.intp), np.abs(a), np.abs(b), phase, np.angle(a))


@dataclass(frozen=True, slots=True)
class Others:
    """Struts that hang beside the one that is moved: their statics, mounts in the plane, and
    strokes [m], each [s]."""

    statics: Statics
    frame: Complexes
    panel: Complexes
    stroke: Floats


def lengths_and_arms(layouts: Layouts, offset: float, angle: Floats) -> tuple[Floats, Floats]:
    """L and J of each layout at its own angles [m, ...] [m]."""
    shape = (-1,) + (1,) * (np.ndim(angle) - 1)
    a, b = layouts.radius_frame.reshape(shape), layouts.radius_panel.reshape(shape)
    psi = layouts.phase.reshape(shape) + angle
    length = np.sqrt((a - b) ** 2 + 4.0 * a * b * np.sin(psi / 2.0) ** 2 + offset**2)
    return length, a * b * np.sin(psi) / np.maximum(length, 1e-12)
