"""The glove-box card as data: what struts to buy, how to change them, and the cautions."""

import datetime as dt
from typing import Any

from strutkit.decide.findings import check
from strutkit.decide.judging import study
from strutkit.decide.strut_advice import fitted_shut
from strutkit.describe.numbers import LengthUnit
from strutkit.describe.records import Door
from strutkit.describe.size import shown_finely
from strutkit.show import cautions, sheet_figures, sheet_tables, workshop
from strutkit.show.sheet import frame_data, lost_strut

LONGEST = 60
"""Of a longer name a card prints the beginning; its fingerprint tells doors apart."""


@shown_finely
def card_data(
    door: Door, *, page: str, length_unit: LengthUnit, date: dt.date | None
) -> dict[str, Any]:
    """All that the card prints. Raises as `sweep` does for a door that cannot be swept."""
    looked = study(door)
    return {
        **frame_data(door, page, length_unit, date),
        "title": cut(door.name, LONGEST),
        "description": "Which gas struts this door takes and how to change them.",
        "buy": [
            {**one, "head": cut(one["head"], LONGEST)}
            for one in sheet_figures.buy(door, length_unit)
        ],
        "tape": sheet_tables.tape(door, length_unit),
        "change": workshop.changing_order(looked),
        "balls": "F: ball on the fixed side. D: ball on the door side. Lengths are between ball"
        " centres.",
        "cautions": [*cautions.short(fitted_shut(looked)), *lost_strut(check(door))],
    }


def cut(name: str, longest: int) -> str:
    """The beginning of a long name.

    >>> cut("hatch", 60), cut("a long name", 6)
    ('hatch', 'a long…')
    """
    return name if len(name) <= longest else f"{name[:longest]}…"
