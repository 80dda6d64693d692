"""What the live view asks: pure functions from a door to plain lists and packed arrays."""

import math
from collections.abc import Collection, Sequence
from dataclasses import asdict, replace
from typing import Any

from strutkit.decide.conditions import strut_label
from strutkit.decide.findings import check, count_words, shortfall
from strutkit.decide.judging import Finding, shown_conditions
from strutkit.decide.rated import alike, fitted_of
from strutkit.decide.window import window_of
from strutkit.describe.numbers import quantity_text, range_text
from strutkit.describe.records import Door, Limits, Strut
from strutkit.describe.size import shown_finely
from strutkit.errors import StrutkitError
from strutkit.live.axes import axes as value_axes
from strutkit.live.comparison import same_size, whose
from strutkit.live.curves import curves as swept
from strutkit.live.curves import packed
from strutkit.show.ratingbars import Bar, rating_bars
from strutkit.show.subjects import subject

Figures = dict[str, Any]


def curves(door: Door, condition: str, *, axes: bool = False) -> tuple[Figures, list[bytes]]:
    """Figures, layout and one buffer of the curves; with the value axes where asked."""
    figures, arrays = swept(door, condition)
    layout, data = packed(arrays)
    body: Figures = {"figures": figures, "layout": layout}
    if axes:
        body["axes"] = value_axes(arrays, door.limits)
    return body, [data]


@shown_finely
def verdict(door: Door, stock: Sequence[Strut], place: int, *, with_window: bool = True) -> Figures:
    """All findings, their count, how far short of the stop it opens in words (empty: it does
    not), whether the door has limits to be judged by, and the rating window of the strut in that
    place: half of the work."""
    findings, shown = check(door), [one.name for one in shown_conditions(door)]
    found: Figures = {
        "count": count_words(findings),
        "short": shortfall(findings),
        "judged": door.limits != Limits(reserve_span=door.limits.reserve_span),
        "findings": [_finding(one, shown) for one in told_once(door, findings)],
    }
    if with_window:
        found["window"] = _window(door, stock, place, findings)
    return found


def told_once(door: Door, findings: Sequence[Finding]) -> list[Finding]:
    """The findings, those on a lost strut and on its mirrored twin as one where they agree."""
    kept = list(findings)
    named = {one.name: one for one in findings}
    for place, strut in enumerate(door.struts):
        index = fitted_index(door, place)
        one, twin = (named.get(f"fault_{each}") for each in (index, index + 1))
        if not strut.mirrored or one is None or twin is None:
            continue
        label = strut_label(door.fitted[index])
        either = "either strut" if len(door.struts) == 1 else f"{label} or its twin"
        labels = (strut_label(door.fitted[each]) for each in (index, index + 1))
        words, twins = (
            found.words.replace(f"With {lost} lost", f"With {either} lost")
            for found, lost in zip((one, twin), labels, strict=True)
        )
        if _unnamed(door, index, words) == _unnamed(door, index + 1, twins):
            kept[kept.index(one)] = replace(one, words=words)
            kept.remove(twin)
    return kept


def _unnamed(door: Door, lost: int, words: str) -> str:
    """Words on a lost strut without the names of its conditions, which differ from its twin's."""
    for one in door.conditions:
        if one.missing == lost:
            words = words.replace(f"in {one.name})", "in)")
    return words


def _finding(finding: Finding, shown: Collection[str]) -> Figures:
    """A finding as the page takes it. shown: names of the conditions that can be shown; of another
    one condition and angle are only said."""
    shows = finding.condition is None or finding.condition in shown
    where = [] if finding.condition is None else [finding.condition]
    if finding.angle is not None:
        where.append(f"at {quantity_text(finding.angle, 'angle')}")
    return {
        "name": finding.name,
        "state": finding.state,
        "subject": subject(finding.name, finding.condition),
        "words": finding.words,
        "condition": finding.condition if shows else None,
        "angle": finding.angle if shows else None,
        "where": ", ".join(where),
    }


def fitted_index(door: Door, place: int) -> int:
    """Index in `door.fitted` of the strut in a place of `door.struts`."""
    return sum(2 if one.mirrored else 1 for one in door.struts[:place])


def _window(
    door: Door, stock: Sequence[Strut], place: int, findings: Sequence[Finding]
) -> Figures | None:
    """The window of what a new rating here changes, as bars; None where there is none to draw.

    A rating goes to every place that holds the same strut; unlike struts stay as they are.
    """
    if not 0 <= place < len(door.struts):
        return None
    present = door.struts[place].strut
    ratings = [one.rating for one in stock if same_size(one, present)]
    rated, index = fitted_of(door, alike(door, place)), fitted_index(door, place)
    try:
        window = window_of(door, rated)
        shown = rating_bars(door, window, strut=index, stock=ratings, findings=findings)
    except StrutkitError:
        return None
    low, high = shown.span
    every = shown.together
    return {
        "place": place,
        "rules": [_rule(bar) for bar in shown.bars],
        "axis": {"low": low, "high": high, "ticks": list(shown.ticks)},
        "stock": list(shown.stock),
        "empty": every.empty,
        "low": every.low,
        "high": _edge(every.high),
        "range": "" if every.empty else range_text(every.low, every.high, "force"),
        "words": shown.words if every.empty or not shown.bars else shown.beyond,
        "of": whose(door, place) or "at these mounts",
        **asdict(shown.beside),
        "looked_from": float(window.looked_from[index]),
        "starved": shown.starved,
    }


def _rule(bar: Bar) -> Figures:
    return {"label": bar.words, "low": bar.low, "high": _edge(bar.high), "empty": bar.empty}


def _edge(rating: float) -> float | None:
    """An upper edge as JSON can say it: None where there is none."""
    return rating if math.isfinite(rating) else None
