"""What came of a search, as plain lists for the page: sentences, rows, near misses, trade-off."""

import math
from collections.abc import Sequence
from typing import Any

from strutkit.decide.judging import Finding
from strutkit.decide.search.answers import MountSearch
from strutkit.decide.search.candidates import Candidate
from strutkit.decide.search.task import LEAST_SCALES, RANKINGS
from strutkit.decide.search.trade import TradePoint
from strutkit.decide.search.words import AT_LEAST, rule_kind
from strutkit.describe.numbers import LengthUnit, Toward, quantity_text
from strutkit.live.finder_cautions import cautions, tightest
from strutkit.live.searching import Search
from strutkit.show.chart_data import value_ticks
from strutkit.show.mount_words import place_words

Figures = dict[str, Any]

TOLERANCE = 0.001
"""Share by which the search proves that nothing beats its best (the default of `find_mounts`)."""

RANKED = {
    "hand_force": "Largest hand force",
    "reserve": "Least reserve",
    "hinge_resultant": "Hinge line",
}


def progress_words(search: Search) -> str:
    """How far a search is, in words."""
    if search.phase == "judging":
        return "Checking every candidate …"
    if search.phase == "trading":
        return "Found. Now the trade-off …"
    rank_by, texts = search.asked.rank_by, []
    if search.best is not None:
        texts.append(f"best so far {_ranked(search.best, rank_by, worse=True)}")
    if search.bound is not None and search.best is not None:
        word = "over" if rank_by == "reserve" else "under"
        texts.append(f"none {word} {_ranked(search.bound, rank_by, worse=False)}")
    return f"Searching: {', '.join(texts)} …" if texts else "Searching …"


def verdict(search: Search) -> Figures:
    """The result in a bold sentence, more beside it, and a sign."""
    found = search.found
    if search.fault or found is None:
        return {"state": "fails", "words": search.fault, "more": ""}
    if found.value is None:
        return _without_candidate(found)
    passing = sum(not _failing(one) for one in search.findings)
    words = proof_words(found)
    state = "passes" if passing and found.proved else "not judged" if passing else "fails"
    if state == "passes" and all(cautions(one) for one in _candidates(search)):
        state = "assumed"
    more = [_count_words(search, passing), _short_words(search)]
    if not search.asked.drilling_error:
        more.append("Mounts exactly in their place are taken for granted.")
    return {"state": state, "words": words, "more": " ".join(one for one in more if one)}


def _without_candidate(found: MountSearch) -> Figures:
    if found.proved:
        first, _, rest = found.words.partition(": ")
        text = f"{rest[:1].upper()}{rest[1:]}" if rest else ""
        return {"state": "fails", "words": f"Proved: {first[:1].lower()}{first[1:]}.", "more": text}
    words = "Stopped before anything was found that fits; it may still exist."
    if found.bound is None or not math.isfinite(found.bound):
        return {"state": "not judged", "words": words, "more": ""}
    bound = _ranked(found.bound, found.rank_by, worse=False)
    return {"state": "not judged", "words": words, "more": f"{_best_possible(found)} {bound}."}


def _best_possible(found: MountSearch) -> str:
    return {
        "hand_force": "It would take at least",
        "reserve": "It would have a reserve of at most",
        "hinge_resultant": "Its hinge line would carry at least",
    }[found.rank_by]


def proof_words(found: MountSearch) -> str:
    """How sure the best is: proved, or the honest bound where the search was stopped."""
    value, bound = found.value or 0.0, found.bound
    if found.proved:
        scale = float(LEAST_SCALES[RANKINGS[found.rank_by][0]])
        near = _ranked(value, found.rank_by, worse=False)
        by = (
            "0.1 %"
            if abs(value) >= scale
            else _ranked(TOLERANCE * scale, found.rank_by, worse=True)
        )
        return f"Proved: no layout in these zones with this stock beats {near} by more than {by}."
    best = _ranked(value, found.rank_by, worse=True)
    if bound is None or not math.isfinite(bound):
        return f"Stopped. The best so far: {best}; how much better there may be is not known."
    limit = _ranked(bound, found.rank_by, worse=False)
    better = "keeps over" if found.rank_by == "reserve" else "comes under"
    return f"Stopped. The best so far: {best}; for sure no layout {better} {limit}."


def _count_words(search: Search, passing: int) -> str:
    count = len(search.findings)
    choices = "one choice" if count == 1 else f"{count} choices"
    text = f"{choices} of strut and count {'holds' if count == 1 else 'hold'} the limits searched"
    if passing == count:
        return f"{_capital(text)}, and every finding of the check passes or is not judged."
    if not passing:
        return (
            f"{_capital(text)}, but none passes the whole check: the reasons stand below. Limit"
            " the load of the whole hinge line, move a zone, or ease that limit."
        )
    first = next(
        one
        for one, findings in zip(_candidates(search), search.findings, strict=True)
        if not _failing(findings)
    )
    value = _ranked(first.value, search.asked.rank_by, worse=True)
    pass_words = "one of them passes" if passing == 1 else f"{passing} of them pass"
    return f"{_capital(text)}; {pass_words} the whole check, at best with {value} as drilled."


def _short_words(search: Search) -> str:
    """How far the door opens where struts end the travel before the stop."""
    stop = search.door.hinge.stop_angle
    every = _candidates(search)
    short = [one.end_of_travel for one in every if one.opening]
    if not short:
        return ""
    low, high = (quantity_text(one, "angle", toward="down") for one in (min(short), max(short)))
    span = low if low == high else f"{low} to {high}"
    who = "All of them" if len(short) == len(every) else f"{len(short)} of them"
    return f"{who} open only to {span} of {quantity_text(stop, 'angle')}: the struts run out."


def _candidates(search: Search) -> tuple[Candidate, ...]:
    return () if search.found is None else search.found.candidates


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _failing(findings: Sequence[Finding]) -> list[Finding]:
    return [one for one in findings if one.ok is False]


def _ranked(value: float, rank_by: str, *, worse: bool) -> str:
    """A value that is ranked by, rounded toward the worse or the better side."""
    up = worse == (rank_by != "reserve")
    toward: Toward = "up" if up else "down"
    if rank_by == "reserve":
        return quantity_text(value, "share", toward=toward, step=0.1)
    return quantity_text(value, "force", toward=toward, step=0.1)


def rows(search: Search, unit: LengthUnit) -> list[Figures]:
    """A row for each candidate: those that pass the whole check first, best first."""
    made = [
        _row(f"candidate {number}", one, findings, search.asked.rank_by, unit)
        for number, (one, findings) in enumerate(
            zip(_candidates(search), search.findings, strict=True)
        )
    ]
    return sorted(made, key=lambda row: row["state"] == "fails")


def _row(
    name: str, one: Candidate, findings: Sequence[Finding], rank_by: str, unit: LengthUnit
) -> Figures:
    value = {finding.name: finding.value for finding in findings}
    failing = _failing(findings)
    tight, none_left = tightest(findings)

    def force(rule: str, toward: Toward) -> str:
        found = value.get(rule)
        return "" if found is None else quantity_text(found, "force", toward=toward, unit=False)

    return {
        "id": name,
        "strut": one.strut.name,
        "count": count_words(one.count),
        "fixed": place_words(one.door, one.frame_mount, unit, pair=one.count == 2),
        "door": place_words(one.door, one.panel_mount, unit, pair=one.count == 2),
        "value": _ranked(one.value, rank_by, worse=True),
        "placed": _ranked(one.placed_value, rank_by, worse=True),
        "rounding": _cost(one.rounding_cost, rank_by),
        "coarser": one.step is None,
        "open": force("hand_opening", "up"),
        "shut": force("hand_closing", "up"),
        "spare": force("reserve_force", "down"),
        "hinge": force("hinge_resultant", "up"),
        "state": "fails" if failing else "passes",
        "reason": " ".join(one.words for one in failing),
        "tight": f"{tight}: nothing left" if none_left else tight,
        "none_left": none_left,
        "cautions": cautions(one),
    }


def count_words(count: int) -> str:
    """One strut or a mirrored pair, in words."""
    return "one" if count == 1 else "a pair"


def _cost(cost: float, rank_by: str) -> str:
    """How much worse rounding made the value; whatever it gains is left unsaid."""
    kind = "share" if rank_by == "reserve" else "force"
    return quantity_text(max(cost, 0.0), kind, toward="up", step=0.1)


def misses(found: MountSearch | None) -> list[Figures]:
    """Where nothing fits: each limit that alone stands in the way, nearest first, and what to
    ask instead."""
    every = () if found is None else found.nearest_miss
    helpful = [(one, one.best_value) for one in every if one.best_value is not None]
    helpful.sort(key=lambda pair: abs(pair[1] - pair[0].limit) / max(abs(pair[0].limit), 1e-9))
    return [
        {"rule": one.rule, "words": one.words, "ask": eased(one.rule, best)}
        for one, best in helpful
    ]


def eased(rule: str, best: float) -> str:
    """The limit to ask so that what is best by this rule holds it, as a number box takes it."""
    toward: Toward = "down" if rule in AT_LEAST else "up"
    if rule == "reserve":
        return f"{math.floor(best * 100.0) / 100.0:g}"
    text = quantity_text(best, rule_kind(rule), toward=toward)
    return text.replace("°", " deg").replace("\u2212", "-")


def trade(search: Search, unit: LengthUnit) -> Figures | None:
    """The trade-off: its points with their rows, and the three axes; None before it is known."""
    if not search.trades:
        return None
    points = [one for one, _ in search.trades]
    return {
        "points": [
            _point(number, point, findings, unit)
            for number, (point, findings) in enumerate(search.trades)
        ],
        "left_out": search.left_out,
        "hand_force": _axis(points, "hand_force", 1.0),
        "hinge_resultant": _axis(points, "hinge_resultant", 1.0),
        "reserve": _axis(points, "reserve", 100.0),
    }


def _point(
    number: int, point: TradePoint, findings: Sequence[Finding], unit: LengthUnit
) -> Figures:
    values = point.values
    hand = quantity_text(values["hand_force"], "force", toward="up")
    hinge = quantity_text(values["hinge_resultant"], "force", toward="up")
    reserve = quantity_text(values["reserve"], "share", toward="down")
    return _row(f"trade {number}", point.candidate, findings, "hand_force", unit) | {
        "hand_force": values["hand_force"],
        "hinge_resultant": values["hinge_resultant"],
        "reserve": values["reserve"] * 100.0,
        "words": f"hand force {hand}, hinge line {hinge}, reserve {reserve}",
    }


def _axis(points: Sequence[TradePoint], name: str, factor: float) -> Figures:
    """An axis about these values, not from zero: what differs has to be seen."""
    values = [one.values[name] * factor for one in points]
    low, high = min(values), max(values)
    room = 0.12 * max(high - low, 0.05 * abs(high), 1e-3)
    return {
        "low": low - room,
        "high": high + room,
        "ticks": value_ticks(low - room, high + room),
    }
