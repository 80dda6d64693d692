"""What came of a mount search in sentences: what is best, or what stands nearest in the way."""

import math
from collections.abc import Sequence

from strutkit.decide.search.task import LEAST_SCALES, RULES
from strutkit.describe.numbers import judged, quantity_text, travel_text

KINDS = {
    "lift_off": "angle",
    "reserve": "share",
    "travel_compressed": "length",
    "travel_extended": "length",
}
"""Kind of quantity of each rule that is not a force."""

AT_LEAST = ("reserve", "reserve_force", "travel_compressed", "travel_extended")
"""Rules whose limit is the least value."""

MISSED = {
    "hand_opening": "to open it takes {value} at best",
    "hand_closing": "to shut it takes {value} at best",
    "lift_off": "it rises by itself from {value} at the earliest",
    "reserve": "open, it keeps {value} of the weight's moment to spare at best",
    "reserve_force": "open, it has {value} to spare at the handle at best",
    "latch": "shut, it pushes on the latch with {value} at best",
    "travel_compressed": "the strut keeps {value} of stroke pushed in at best",
    "travel_extended": "the strut keeps {value} of stroke extended at best",
    "hinge_resultant": "the hinge line carries {value} at best",
}
ALLOWED = {
    "hand_opening": "{value} to open",
    "hand_closing": "{value} to shut",
    "lift_off": "that it rises by itself only from {value}",
    "reserve": "a reserve of {value}",
    "reserve_force": "{value} to spare at the handle",
    "latch": "{value} on the latch",
    "travel_compressed": "{value} of stroke kept pushed in",
    "travel_extended": "{value} of stroke kept extended",
    "hinge_resultant": "a hinge load of {value}",
}
SHORT = math.radians(0.5)
"""A travel that ends so much before the stop is said [rad]."""

SIZES = dict(zip(RULES, LEAST_SCALES.tolist(), strict=True))
"""Least size of a limit when misses are put in order."""

RANKED = {
    "hand_force": ("The largest hand force is {value}", "no layout takes under {bound}"),
    "reserve": ("The least reserve is {value}", "no layout keeps over {bound}"),
    "hinge_resultant": ("The hinge line carries {value}", "no layout brings under {bound}"),
}


def rule_kind(rule: str) -> str:
    """Kind of quantity of a rule, as `quantity_text` knows it."""
    return KINDS.get(rule, "force")


def missed_text(rule: str, best_value: float, limit: float) -> str:
    """What one rule comes to at best, and its limit: "to shut it takes 97 N at best; ..."."""
    value, asked = judged(best_value, limit, rule_kind(rule), at_most=rule not in AT_LEAST)
    return f"{MISSED[rule].format(value=value)}; the limit is {asked}"


def allowed_text(rule: str, best_value: float) -> str:
    """What one would have to allow for a rule: "a hinge load of 820 N"."""
    toward = "down" if rule in AT_LEAST else "up"
    value = quantity_text(best_value, rule_kind(rule), toward=toward)  # type: ignore[arg-type]
    return ALLOWED[rule].format(value=value)


def nothing_text(
    misses: Sequence[tuple[str, float | None, float]], *, stopped: bool = False
) -> str:
    """Why nothing fits, from (rule, best value or None, limit) of each rule: nearest first.

    stopped: whether some rules were not looked at.
    """
    helpful = [(rule, best, limit) for rule, best, limit in misses if best is not None]
    if not helpful:
        if stopped:
            return "Nothing fits; stopped before it was known which limit stands in the way."
        if not misses:
            return "Nothing fits: no strut of the stock reaches between these zones."
        return "Nothing fits, and no single limit is in the way alone: ease two or more of them."
    helpful.sort(key=lambda one: abs(one[1] - one[2]) / max(abs(one[2]), SIZES[one[0]]))
    text = f"Nothing fits: {missed_text(*helpful[0])}."
    others = [allowed_text(rule, best) for rule, best, _ in helpful[1:]]
    return f"{text} Or allow {', or '.join(others)}." if others else text


def opening_text(end: float, stop: float) -> str:
    """That the struts end the travel at `end`, short of the stop [rad]; empty where they do not."""
    if end > stop - SHORT:
        return ""
    return (
        f"Opens only to {travel_text(end)} of {travel_text(stop)}: the struts run out and end the"
        " travel before the stop."
    )


def found_text(rank_by: str, value: float, bound: float, proved: bool, fits: int) -> str:
    """What the best comes to, how sure that is, and how many fit."""
    kind = "share" if rank_by == "reserve" else "force"
    better = "up" if rank_by == "reserve" else "down"
    worse = "down" if rank_by == "reserve" else "up"
    said, sure = RANKED[rank_by]
    best = quantity_text(value, kind, toward=worse, step=0.1)  # type: ignore[arg-type]
    limit = quantity_text(bound, kind, toward=better, step=0.1)  # type: ignore[arg-type]
    word = "Proved" if proved else "Stopped early, but sure"
    count = "one choice fits" if fits == 1 else f"{fits} choices of strut and count fit"
    return f"{said.format(value=best)}; {count}. {word}: {sure.format(bound=limit)}."
