"""A strut without a label, from readings of a bathroom scale under it.

F1 and F2 are read while the strut comes out, near full extension and near full compression, F3
and F4 at the same places while it goes in (symbols as in GB/T 25751).
"""

from dataclasses import dataclass

from strutkit.describe.fields import shown
from strutkit.errors import RecordError

BY_HAND = 400.0
"""The most that one person should press down by hand to read a strut [N]: about half of one's
weight (common practice, no published source)."""

SCALE_END = 2000.0
"""No bathroom scale reads more [N]; a reading above is a slip."""

CAUTIONS = (
    "Stand the strut upright on the scale, rod down, guided in a pipe or between boards.",
    "Keep face and hands clear of its line.",
    f"Press on a board over its upper end with at most {BY_HAND:.0f} N (40 kg on the scale).",
    "Let it out slowly, never let go.",
    "A strut that wants more can throw you off: use an arbor press, or buy one labelled.",
    "Never open, drill, heat or cut a strut: it is charged even when it feels weak.",
)
"""What goes with such readings (common practice, no published source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadStrut:
    """rating F1 [N]; friction [N], HALF the loop width, mean of both ends; force_ratio F2/F1;
    loops: width F3 - F1 and F4 - F2 [N]."""

    rating: float
    friction: float
    force_ratio: float
    loops: tuple[float, float]


def read_strut(*, F1: float, F2: float, F3: float, F4: float) -> ReadStrut:
    """Label data from four readings [N], each taken while the strut moves slowly.

        rating = F1      friction = ((F3 - F1) + (F4 - F2)) / 4      force ratio = F2 / F1

    Raises `RecordError` where the readings cannot be those of one gas strut.
    """
    for name, force in (("F1", F1), ("F2", F2), ("F3", F3), ("F4", F4)):
        if not 0.0 < force <= SCALE_END:
            raise RecordError(
                f"{name} is {shown(force, 'force')}; it must be over 0 N and at most"
                f" {SCALE_END:.0f} N, where a bathroom scale ends."
            )
    for going_in, coming_out, low, high in (("F3", "F1", F1, F3), ("F4", "F2", F2, F4)):
        if high < low:
            raise RecordError(
                f"{going_in} is {shown(high, 'force')} and {coming_out} is {shown(low, 'force')};"
                " going in takes more than coming out. Read both while the strut moves."
            )
    if F2 < F1:
        raise RecordError(
            f"F2 is {shown(F2, 'force')} and F1 is {shown(F1, 'force')}; a strut pushes harder"
            " near full compression. Check which reading is which."
        )
    loops = (F3 - F1, F4 - F2)
    return ReadStrut(rating=F1, friction=sum(loops) / 4.0, force_ratio=F2 / F1, loops=loops)
