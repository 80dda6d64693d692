"""Struts side by side at the mounts of a door: figures of the worst condition in service."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from strutkit.decide.conditions import is_fault
from strutkit.decide.findings import beyond_limits
from strutkit.decide.judging import Finding, Study, study
from strutkit.decide.limit_rules import Worst, gas_text, gas_to_spare, measure, measure_travel
from strutkit.decide.rated import alike, fitted_of
from strutkit.decide.sweep import Sweep, sweep_many
from strutkit.describe.numbers import quantity_text, travel_pair
from strutkit.describe.records import Door, Strut
from strutkit.describe.size import shown_finely
from strutkit.errors import StrutkitError
from strutkit.live.scene import edited
from strutkit.show.subjects import subject

MOST_ROWS = 6
SAME_SIZE = 5e-4
"""Struts whose lengths differ by no more than this [m] go to the same mounts."""

OTHER_RATINGS = (0.8, 0.9, 1.0, 1.1, 1.2)
"""Ratings tried where the stock list has no strut of the size, as shares of the present one."""

CURVE_POINTS = 40

NARROW_COLUMNS = ("hand_closing", "reserve_force")
COLUMNS = (*NARROW_COLUMNS, "lift_off", "hand_opening", "gas_to_spare", "hinge_radial")
"""What a row has a figure of, in a narrow view and else, marked where it fails."""


def same_size(one: Strut, other: Strut) -> bool:
    """Whether two struts have the same length and stroke."""
    apart = max(abs(one.extended_length - other.extended_length), abs(one.stroke - other.stroke))
    return apart <= SAME_SIZE


@shown_finely
def comparison(door: Door, stock: Sequence[Strut], place: int) -> dict[str, Any]:
    """Up to six struts of the present size, smallest rating first, each judged in this door."""
    if not 0 <= place < len(door.struts):
        return {"rows": [], "source": "", "of": ""}
    present = door.struts[place].strut
    edits, source = _candidates(present, stock)
    whole = {"place": place, "strut": present.name}
    rows = [_row(door, whole | edit, stock) for edit in edits]
    swept = [row for row in rows if "fault" not in row]
    highs = [max(row["opening"]) for row in swept]
    lows = [-max(row["closing"]) for row in swept]
    room = 5.0
    scale = {"low": min(lows, default=0.0) - room, "high": max([*highs, 0.0]) + room}
    return {"rows": rows, "source": source, "of": whose(door, place), "scale": scale}


def whose(door: Door, place: int) -> str:
    """Which struts a new rating in this place goes to; empty where it is every one."""
    places = alike(door, place)
    if len(places) == len(door.struts):
        return ""
    return f"{' and '.join(door.struts[one].strut.name for one in places)} alone, the others stay"


def _candidates(present: Strut, stock: Sequence[Strut]) -> tuple[list[dict[str, Any]], str]:
    """Edits that put each strut in the place of the present one."""
    fitting = [(one.rating, index) for index, one in enumerate(stock) if same_size(one, present)]
    others = [pair for pair in fitting if not _is_label(stock[pair[1]], present)]
    if not others:
        edits = [{"rating": one} if one != present.rating else {} for one in _near(present.rating)]
        return edits, "no other of its size in the stock list: at other ratings"
    near = sorted(others, key=lambda pair: abs(pair[0] - present.rating))[: MOST_ROWS - 1]
    rows: list[tuple[float, dict[str, Any]]] = [(one, {"stock": index}) for one, index in near]
    rows.append((present.rating, {}))
    rows.sort(key=lambda row: row[0])
    return [edit for _, edit in rows], "of its size in the stock list"


def _near(rating: float) -> list[float]:
    """Round ratings about the present one, itself among them [N]."""
    step = 5.0 if rating < 500.0 else 10.0
    round_ratings = {max(step, round(rating * share / step) * step) for share in OTHER_RATINGS}
    return sorted({one for one in round_ratings if abs(one - rating) >= step / 2} | {rating})


def _is_label(row: Strut, present: Strut) -> bool:
    """Whether a row of the stock list is the strut that hangs there now.

    By its order code and rating; without a code by all that the label says.
    """
    code = row.order_code or row.name
    if present.order_code:
        return code == present.order_code and row.rating == present.rating
    return replace(row, name=present.name, order_code="") == present


def _row(door: Door, edit: dict[str, Any], stock: Sequence[Strut]) -> dict[str, Any]:
    now = "rating" not in edit and "stock" not in edit
    changed = door if now else edited(door, edit, stock)
    strut = changed.struts[edit["place"]].strut
    row: dict[str, Any] = {"name": _title(strut, edit, stock), "now": now, "edit": edit}
    row["price"] = strut.price
    try:
        looked = study(changed)
    except StrutkitError as fault:
        return row | {"fault": str(fault)}
    return row | _figures(looked, fitted_of(changed, (edit["place"],)))


def _title(strut: Strut, edit: dict[str, Any], stock: Sequence[Strut]) -> str:
    if "stock" in edit:
        return stock[edit["stock"]].name
    return strut.order_code or quantity_text(strut.rating, "force")


def _figures(looked: Study, struts: Sequence[int]) -> dict[str, Any]:
    """Figures of the whole door; the stroke kept is that of these struts of `door.fitted`, none
    extended where they end the travel. broken: all that `check` fails; fails and
    fails_narrow: words for those of them that no figure of the row shows."""
    worst = {one.name: one for one in measure(looked)}
    every: list[Worst | Finding] = [*worst.values(), *beyond_limits(looked)]
    broken = {one.name: subject(one.name, one.condition) for one in every if one.ok is False}
    own = {one.name: one for one in measure_travel(looked, struts)}
    travel = [name for name, one in own.items() if one.ok is False]
    fails = [words for name, words in broken.items() if name not in (*COLUMNS, *travel)]
    narrow = [words for name, words in broken.items() if name not in NARROW_COLUMNS]
    judged = any(one.ok is not None for one in worst.values())
    state = "fails" if broken else "passes" if judged else "not judged"
    spare = min(gas_to_spare(looked).values(), default=None)
    return {
        "state": state,
        "opens_to": _opens_to(looked),
        "broken": [*broken, "travel"] if travel else list(broken),
        "fails": fails,
        "fails_narrow": narrow,
        "lift_off": _lift_off(worst),
        "hand_opening": _force(worst, "hand_opening", "up"),
        "hand_closing": _force(worst, "hand_closing", "up"),
        "reserve_force": _force(worst, "reserve_force", "down"),
        "gas_to_spare": _gas(spare),
        "hinge": _force(worst, "hinge_radial", "up"),
        "kept_shut": _kept(own, "travel_compressed"),
        "kept_open": _kept(own, "travel_extended"),
    } | _small_curves(looked)


def _opens_to(looked: Study) -> str:
    """Where a strut ends the travel, in the condition where it is shortest; empty at the stop."""
    end, stop = float(looked.model.end.min()), looked.door.hinge.stop_angle
    return "" if end == stop else travel_pair(end, stop)[0]


def _gas(spare: float | None) -> str:
    """As the finding on what the open door has to spare says it."""
    if spare is None:
        return ""
    if spare <= 0.0:
        return "none"
    return gas_text(spare)


def _lift_off(worst: dict[str, Worst]) -> str:
    """Latest lift-off in service, rounded up as in the findings; empty where none is asked."""
    if "lift_off" not in worst:
        return ""
    value = worst["lift_off"].value
    return "never" if value is None else quantity_text(value, "angle", toward="up")


def _force(worst: dict[str, Worst], name: str, toward: str) -> str:
    value = worst[name].value if name in worst else None
    return "" if value is None else quantity_text(value, "force", toward=toward, unit=False)  # type: ignore[arg-type]


def _kept(own: dict[str, Worst], name: str) -> str:
    """Stroke kept, rounded toward less; the unit is left to the head of the column."""
    value = own[name].value if name in own else None
    return quantity_text(value or 0.0, "length", toward="down", unit=False)


def _small_curves(looked: Study) -> dict[str, list[float]]:
    """Worst hand forces over the travel, at a few angles."""
    rows = [row for row in looked.service if not is_fault(looked.conditions[row])]
    conditions = [looked.conditions[row] for row in rows]
    every: tuple[Sweep, ...] = sweep_many(looked.door, conditions, looked.model.take(rows))
    pick = np.linspace(0, len(every[0].angle) - 1, CURVE_POINTS).round().astype(int)
    opening = np.max([one.hand_force_opening for one in every], axis=0)[pick]
    closing = np.max([one.hand_force_closing for one in every], axis=0)[pick]
    return {
        "angle": every[0].angle[pick].round(4).tolist(),
        "opening": opening.round(1).tolist(),
        "closing": closing.round(1).tolist(),
    }
