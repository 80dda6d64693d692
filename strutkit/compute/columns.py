"""Column buckling: how much a strut's rod carries before it bows out.

Model section 10 and the finding on the rod. Euler for slender columns, Johnson's parabola for
stocky ones; they meet, with the same slope, at half the yield strength. All arguments broadcast.
"""

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

HINGED_BOTH_ENDS = 1.0
FIXED_AND_HINGED = 2.0
FIXED_AND_FREE = 0.25
"""Load a column carries over that of the same column hinged at both ends: gas spring design
standard, annex E, table E.1 (read; 2.0 is rounded, the exact root of tan u = u gives 2.0457)."""


def round_section(diameter: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Area A [m²] and second moment of area I [m⁴] of a solid round bar.

        A = pi d²/4        I = pi d⁴/64

    >>> area, second_moment = round_section(0.008)
    >>> round(float(area) * 1e6, 3), round(float(second_moment) * 1e12, 3)
    (50.265, 201.062)
    """
    d = np.asarray(diameter, dtype=float)
    return np.asarray(np.pi * d**2 / 4.0), np.asarray(np.pi * d**4 / 64.0)


def euler_load(
    modulus: npt.ArrayLike,
    second_moment: npt.ArrayLike,
    length: npt.ArrayLike,
    *,
    end_coefficient: npt.ArrayLike = HINGED_BOTH_ENDS,
) -> Floats:
    """Elastic buckling load of a straight column [N]: P = m pi² E I / L².

    modulus E [Pa], second_moment I, the least of the section [m⁴], length L between the ends,
    over 0 [m], end_coefficient m (an effective length K L has m = 1/K²). Source: Hibbeler,
    Mechanics of Materials, chapter 13.

    >>> area, second_moment = round_section(0.008)
    >>> round(float(euler_load(210e9, second_moment, 0.400)), 1)
    2604.5
    """
    stiffness = np.asarray(modulus, dtype=float) * np.asarray(second_moment, dtype=float)
    span = np.asarray(length, dtype=float)
    return np.asarray(np.asarray(end_coefficient) * np.pi**2 * stiffness / span**2)


def slenderness(
    area: npt.ArrayLike,
    second_moment: npt.ArrayLike,
    length: npt.ArrayLike,
    *,
    end_coefficient: npt.ArrayLike = HINGED_BOTH_ENDS,
) -> Floats:
    """Effective length over radius of gyration: K L / r = L / (r sqrt m), r = sqrt(I / A).

    area A [m²], second_moment I [m⁴], length L [m]; a pure number.
    """
    radius = np.sqrt(np.asarray(second_moment, dtype=float) / np.asarray(area, dtype=float))
    return np.asarray(np.asarray(length, dtype=float) / (radius * np.sqrt(end_coefficient)))


def transition_slenderness(modulus: npt.ArrayLike, yield_strength: npt.ArrayLike) -> Floats:
    """Slenderness at which Euler's and Johnson's loads meet: Cc = sqrt(2 pi² E / Sy).

    modulus E, yield_strength Sy [Pa]; a pure number. Source: Mott, Machine Elements in
    Mechanical Design, chapter 6 (from memory).

    >>> round(float(transition_slenderness(207e9, 290e6)), 1)
    118.7
    """
    ratio = np.asarray(modulus, dtype=float) / np.asarray(yield_strength, dtype=float)
    return np.asarray(np.pi * np.sqrt(2.0 * ratio))


def johnson_load(
    modulus: npt.ArrayLike,
    yield_strength: npt.ArrayLike,
    area: npt.ArrayLike,
    second_moment: npt.ArrayLike,
    length: npt.ArrayLike,
    *,
    end_coefficient: npt.ArrayLike = HINGED_BOTH_ENDS,
) -> Floats:
    """Buckling load of a stocky column [N]: P = A Sy (1 - Sy (K L / r)² / (4 pi² E)).

    modulus E, yield_strength Sy [Pa], area A [m²], second_moment I [m⁴], length L [m]. Holds up
    to the transition slenderness, where it has fallen to A Sy / 2; a column of no length carries
    its yield load. Source: as `transition_slenderness`.
    """
    strength = np.asarray(yield_strength, dtype=float)
    ratio = slenderness(area, second_moment, length, end_coefficient=end_coefficient)
    share = strength * ratio**2 / (4.0 * np.pi**2 * np.asarray(modulus, dtype=float))
    return np.asarray(np.asarray(area, dtype=float) * strength * (1.0 - share))


def buckling_load(
    modulus: npt.ArrayLike,
    yield_strength: npt.ArrayLike,
    area: npt.ArrayLike,
    second_moment: npt.ArrayLike,
    length: npt.ArrayLike,
    *,
    end_coefficient: npt.ArrayLike = HINGED_BOTH_ENDS,
) -> Floats:
    """Load at which a straight, centrally pushed column gives way [N].

    Euler's above the transition slenderness, Johnson's up to it. Arguments as `johnson_load`,
    length over 0.

    >>> area, second_moment = round_section(0.008)
    >>> round(float(buckling_load(210e9, 400e6, area, second_moment, 0.100)))   # Johnson
    17681
    """
    ratio = slenderness(area, second_moment, length, end_coefficient=end_coefficient)
    slender = ratio > transition_slenderness(modulus, yield_strength)
    euler = euler_load(modulus, second_moment, length, end_coefficient=end_coefficient)
    johnson = johnson_load(
        modulus, yield_strength, area, second_moment, length, end_coefficient=end_coefficient
    )
    return np.where(slender, euler, johnson)
