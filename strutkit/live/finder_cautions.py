"""What a found layout leaves a builder to mind: its tightest limit, a short travel, twins that
touch."""

import math
from collections.abc import Sequence

from strutkit.decide.judging import Finding
from strutkit.decide.search.candidates import Candidate
from strutkit.decide.search.words import AT_LEAST, rule_kind
from strutkit.decide.start.clearing import TWIN_GAP, tube_radius
from strutkit.describe.numbers import KINDS, Toward, quantity_text, typed_text
from strutkit.describe.records import Door

NAMES = {
    "hand_opening": "to open",
    "hand_closing": "to shut",
    "lift_off": "rises from",
    "reserve_force": "to spare",
    "reserve": "reserve",
    "latch": "on the latch",
    "travel_compressed": "stroke left pushed in",
    "travel_extended": "stroke left extended",
    "hinge_resultant": "hinge line",
    "hinge_radial": "hinge point",
}
"""Limits as the cell of a table names them."""


def tightest(findings: Sequence[Finding]) -> tuple[str, bool]:
    """What is left of the limit that is nearest, "to spare 20.4 of 20 N asked", or of each that
    has nothing left as far as it prints, and whether that is so. Empty where nothing is asked."""
    asked = [(left, one) for one in findings if (left := _left(one)) is not None]
    texts = [_texts(one) for _, one in sorted(asked, key=lambda pair: pair[0])]
    spent = [words for words, none_left in texts if none_left]
    return ("; ".join(spent), True) if spent else (texts[0][0] if texts else "", False)


def _texts(one: Finding) -> tuple[str, bool]:
    """A value beside its limit, and whether both print alike."""
    value, limit = float(one.value or 0.0), float(one.limit or 0.0)
    kind, least = rule_kind(one.name), one.name in AT_LEAST
    toward: Toward = "down" if least else "up"
    fine = KINDS[kind].step / 10.0
    has = quantity_text(value, kind, step=fine, toward=toward, unit=False)
    none_left = has == quantity_text(limit, kind, step=fine, toward=toward, unit=False)
    words = (
        f"{NAMES[one.name]} {has} of {typed_text(limit, kind)} {'asked' if least else 'allowed'}"
    )
    return words, none_left


def _left(one: Finding) -> float | None:
    """What is left to a limit, as a share of it."""
    if one.name not in NAMES or one.value is None or one.limit is None:
        return None
    if not math.isfinite(one.value):
        return None
    left = one.value - one.limit if one.name in AT_LEAST else one.limit - one.value
    return left / max(abs(one.limit), 1e-9)


def twin_words(door: Door) -> str:
    """That the two struts of a pair take the same space; empty where they do not.

    They turn about the hinge line, so their places along it stay: mirror images are nearest
    where they are nearest to the mirror, and meet where they cross it.
    """
    if len(door.fitted) != 2:
        return ""
    one, twin = door.fitted
    apart = (
        _apart(one.frame_mount, twin.frame_mount, door),
        _apart(one.panel_mount, twin.panel_mount, door),
    )
    distance = 0.0 if apart[0] * apart[1] < 0.0 else min(abs(each) for each in apart)
    tube = one.strut.tube_diameter
    need = 2.0 * tube_radius(one.strut) + TWIN_GAP
    if distance >= need:
        return ""
    has = quantity_text(distance, "length", toward="down")
    asked = quantity_text(need, "length", toward="up")
    room = (
        "the tube is not known; allow"
        if tube is None
        else f"a tube of {quantity_text(tube, 'length', toward='up')} needs"
    )
    start = "The two struts cross" if distance == 0.0 else f"The two struts are {has} apart"
    return f"{start} and would meet: {room} {asked} from middle to middle. Move the zones outward."


def _apart(one: Sequence[float], other: Sequence[float], door: Door) -> float:
    """Signed distance of two mirror images along the hinge line [m]."""
    return sum((b - a) * d for a, b, d in zip(one, other, door.hinge_direction, strict=True))


def cautions(candidate: Candidate) -> list[str]:
    """The sentences that stand under the row of a layout."""
    return [words for words in (candidate.opening, twin_words(candidate.door)) if words]
