"""Charts of a door over its opening angle, as plain data.

A chart is made from one `Sweep`, or from several: the first is the one shown, all in service
make the band and the worst curve.
"""

import itertools
import math
from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

from strutkit.decide.conditions import is_fault, shortest_length
from strutkit.decide.loads import hinge_loads, radial_forces
from strutkit.decide.starters import weight_opens
from strutkit.decide.summary import Summary, summary
from strutkit.decide.sweep import Sweep
from strutkit.describe.hinge_points import hinge_point_names
from strutkit.describe.numbers import quantity_text, sentence_unit
from strutkit.errors import RecordError
from strutkit.show.chart_data import (
    Band,
    Chart,
    Curve,
    Limit,
    Mark,
    Scale,
    Stretch,
    angle_ticks,
    tick_text,
    value_ticks,
)

Floats = npt.NDArray[np.float64]

Swept = Sweep | Sequence[Sweep]


def moment_chart(swept: Swept) -> Chart:
    """Moment of the struts against that of the weight, both upward in the sense of travel [N·m].

    Where the weight shuts the panel the struts lift; where it opens it (a flap that drops) they
    hold back, and both are drawn with that sign. The curves cross at the balance angles.
    """
    shown, others = _shown_and_others(swept)
    drops = weight_opens(shown.door)
    sign = -1.0 if drops else 1.0
    angle = np.degrees(shown.angle)
    key = summary(shown)
    weight = -sign * shown.gravity_moment
    curves = [Curve(angle, weight, "weight_curve", "weight pulls down", "weight")]
    bands = [_band(shown, others, lambda one: -sign * one.gravity_moment, "weight_band")]
    marks = [
        Mark(math.degrees(one.angle), float(np.interp(one.angle, shown.angle, weight)), "balance")
        for one in key.balance
    ]
    words = "No strut yet: add one or suggest a start"
    if shown.door.fitted:
        lifting = sign * shown.strut_moment.sum(axis=0)
        words = ""
        name = "struts hold back" if drops else "struts lift"
        curves.insert(0, Curve(angle, lifting, "strut_curve", name, "strut"))
        label = "all in service" if len(others) > 1 else ""
        bands.insert(
            0,
            _band(
                shown,
                others,
                lambda one: sign * one.strut_moment.sum(axis=0),
                "strut_band",
                label,
                "strut",
            ),
        )
    return _chart(
        "Moment about the hinge line",
        "N·m",
        shown,
        curves,
        bands=bands if len(others) > 1 else [],
        marks=marks,
        scale=angle_scale(shown, key),
        words=words,
        description=_moment_words(shown, key),
    )


def hand_force_chart(swept: Swept) -> Chart:
    """Force at the handle: pushing open upward, pushing shut downward, both figured positive [N].

    Dots between the two curves are friction; where zero lies in them the panel stays put.
    """
    shown, others = _shown_and_others(swept)
    angle = np.degrees(shown.angle)
    opening, shutting = shown.hand_force_opening, -shown.hand_force_closing
    curves = [
        Curve(angle, opening, "open_curve", "push to open", "open"),
        Curve(angle, shutting, "shut_curve", "push to shut", "shut"),
    ]
    x, worst_opening, worst_shutting = _worst_forces(shown, others)
    if not np.allclose(worst_opening, opening):
        curves.append(Curve(x, worst_opening, "open_worst", "worst to open", "open"))
    if not np.allclose(worst_shutting, shutting):
        curves.append(Curve(x, worst_shutting, "shut_worst", "worst to shut", "shut"))
    friction = Band(
        angle,
        np.minimum(opening, shutting),
        np.maximum(opening, shutting),
        "friction",
        "friction" if shown.friction_moment.any() else "",
    )
    limits, over = [], []
    asked = shown.door.limits
    if asked.hand_opening is not None:
        text = f"limit to open {quantity_text(asked.hand_opening, 'force', unit=False)}"
        limits.append(Limit(asked.hand_opening, True, text))
        over.append(_over(x, asked.hand_opening, worst_opening, others, "opening"))
    if asked.hand_closing is not None:
        text = f"limit to shut {quantity_text(asked.hand_closing, 'force', unit=False)}"
        limits.append(Limit(-asked.hand_closing, False, text))
        over.append(_over(x, -asked.hand_closing, worst_shutting, others, "closing"))
    return _chart(
        "Hand force at the handle",
        "N",
        shown,
        curves,
        bands=[friction] if shown.friction_moment.any() else [],
        over=[one for one in over if one is not None],
        limits=limits,
        signed=True,
        description=_hand_words(shown),
    )


def length_chart(swept: Swept) -> Chart:
    """Centre length of each strut over the travel, between pushed in and extended [mm]; in inches
    inside `lengths_in("in")`."""
    shown, _ = _shown_and_others(swept)
    unit, size = _length_unit()
    angle, fitted = np.degrees(shown.angle), shown.door.fitted
    kept = _distinct_rows(shown)
    curves, limits, marks = [], [], []
    for index in kept:
        strut, length = fitted[index].strut, shown.strut_length[index] / size
        name = f" {strut.name}" if len(kept) > 1 else ""
        curves.append(Curve(angle, length, "strut_curve", strut.name, "strut"))
        extended, pushed_in = strut.extended_length, shortest_length(fitted[index])
        limits.append(Limit(extended / size, True, f"extended{name} {_figure(extended)}"))
        limits.append(Limit(pushed_in / size, False, f"pushed in{name} {_figure(pushed_in)}"))
        for end in (0, -1):
            figure = _figure(float(length[end]) * size)
            marks.append(Mark(float(angle[end]), float(length[end]), "strut_dot", figure, "strut"))
    words = "" if fitted else "No strut yet: add one or suggest a start"
    if fitted and not kept:
        words = "The only strut is lost in this condition"
    return _chart(
        "Strut length, ball to ball",
        unit,
        shown,
        curves,
        limits=_one_of_each(limits),
        marks=marks,
        words=words,
        zero=False,
        description=_length_words(shown, kept),
    )


def hinge_load_chart(swept: Swept) -> Chart:
    """Radial load of each hinge point, held by the hand at each angle [N].

    Dots at the ends are the cases at rest: shut and latched, on the stop, on the struts.
    """
    shown, others = _shown_and_others(swept)
    first, second, cases = _radial(shown)
    angle = np.degrees(shown.angle)
    alike = float(np.max(np.abs(first - second))) < 0.5
    names = ("both hinge points alike", "") if alike else _hinge_points(shown)
    curves = [Curve(angle, first, "ink_curve", names[0])]
    if not alike:
        curves.append(Curve(angle, second, "ink_dashed_curve", names[1]))
    worst = np.max([np.maximum(*_radial(one)[:2]) for one in _same_travel(shown, others)], axis=0)
    if not np.allclose(worst, np.maximum(first, second)):
        curves.append(Curve(angle, worst, "ink_worst", "worst", "note"))
    limits = []
    if shown.door.limits.hinge_radial is not None:
        limit = shown.door.limits.hinge_radial
        text = f"limit {quantity_text(limit, 'force', toward='down', unit=False)}"
        limits.append(Limit(limit, True, text))
    marks = [
        Mark(at, load, "ink_dot", f"{name} {quantity_text(load, 'force', toward='up', unit=False)}")
        for name, at, load in cases
    ]
    return _chart(
        "Load of the hinge points",
        "N",
        shown,
        curves,
        limits=limits,
        marks=marks,
        description=_hinge_words(_hinge_points(shown), first, second, cases),
    )


WAYS = (("rises by itself", "falls"), ("drops by itself", "swings shut"))
"""What the panel does by itself, opening and shutting: lifted by struts, or opened by weight."""


def lift_off_words(lift_off: float | None, *, drops: bool) -> str:
    """Lift-off [rad] in a few words, in the sense of travel.

    >>> lift_off_words(0.38, drops=False), lift_off_words(None, drops=True)
    ('lifts off 22°', 'never drops')
    """
    verb = ("lifts off", "drops")[drops]
    if lift_off is None:
        return "never " + verb
    if lift_off <= 0.0:
        return verb + " at once"
    return f"{verb} {quantity_text(lift_off, 'angle', toward='up')}"


def angle_scale(swept: Sweep, key: Summary) -> Scale:
    """What the panel does by itself along the travel, between balance angles and rest bands."""
    end = swept.end_of_travel
    edges = sorted({0.0, end, *(edge for band in key.rest_bands for edge in band)})
    if not swept.friction_moment.any():
        edges = sorted({*edges, *(one.angle for one in key.balance)})
    drops = weight_opens(swept.door)
    rises, falls = WAYS[drops]
    stretches: list[Stretch] = []
    for low, high in itertools.pairwise(edges):
        middle = (low + high) / 2.0
        rests = any(band[0] <= middle <= band[1] for band in key.rest_bands)
        moment = float(np.interp(middle, swept.angle, swept.moment))
        words = "stays put" if rests else rises if moment > 0.0 else falls
        if stretches and stretches[-1].words == words:
            stretches[-1] = Stretch(stretches[-1].low, math.degrees(high), words, rests)
        else:
            stretches.append(Stretch(math.degrees(low), math.degrees(high), words, rests))
    lift_off = None if key.lift_off is None else math.degrees(key.lift_off)
    balance = tuple(math.degrees(one.angle) for one in key.balance)
    return Scale(tuple(stretches), lift_off, balance, drops)


def _shown_and_others(swept: Swept) -> tuple[Sweep, tuple[Sweep, ...]]:
    """The sweep that is shown, and all those in service, the faults left out."""
    if isinstance(swept, Sweep):
        return swept, (swept,)
    several = tuple(swept)
    if not several:
        raise RecordError("a chart needs at least one sweep; there is none.")
    return several[0], tuple(one for one in several if not is_fault(one.condition)) or several[:1]


def _same_travel(shown: Sweep, others: Sequence[Sweep]) -> list[Sweep]:
    """Those sweeps that have the angles of the one shown, or that one alone."""
    found = [one for one in others if np.array_equal(one.angle, shown.angle)]
    return found or [shown]


def _band(
    shown: Sweep,
    others: Sequence[Sweep],
    value: Callable[[Sweep], Floats],
    role: str,
    label: str = "",
    text_role: str = "note",
) -> Band:
    rows = np.array([value(one) for one in _same_travel(shown, others)])
    x = np.degrees(shown.angle)
    return Band(x, rows.min(axis=0), rows.max(axis=0), role, label, text_role)


def _worst_forces(shown: Sweep, others: Sequence[Sweep]) -> tuple[Floats, Floats, Floats]:
    """Angles, greatest push to open, and greatest push to shut as drawn (downward)."""
    alike = _same_travel(shown, others)
    opening = np.max([one.hand_force_opening for one in alike], axis=0)
    closing = np.max([one.hand_force_closing for one in alike], axis=0)
    return np.degrees(shown.angle), opening, -closing


def _over(x: Floats, limit: float, worst: Floats, others: Sequence[Sweep], way: str) -> Band | None:
    """The area by which the worst curve passes a limit, None where it does not."""
    if limit >= 0.0:
        low, high = np.full_like(x, limit), np.maximum(worst, limit)
    else:
        low, high = np.minimum(worst, limit), np.full_like(x, limit)
    passed = high - low > 1e-9
    if not passed.any():
        return None
    first, last = int(np.argmax(passed)), len(x) - int(np.argmax(passed[::-1]))
    part = slice(max(0, first - 1), last + 1)
    return Band(x[part], low[part], high[part], "over_limit", _peak_words(others, way), "fail")


def _peak_words(others: Sequence[Sweep], way: str) -> str:
    """The greatest hand force of all and the condition that makes it: "89 N in July"."""
    peaks = [getattr(summary(one), f"peak_{way}") for one in others]
    worst = int(np.argmax(peaks))
    force = quantity_text(peaks[worst], "force", toward="up")
    return f"{force}, {others[worst].condition.name}"


def _distinct_rows(shown: Sweep) -> list[int]:
    """Struts there whose lengths differ somewhere by over 0.5 mm: a pair counts once."""
    kept: list[int] = []
    for index, one in enumerate(shown.door.fitted):
        if index == shown.condition.missing:
            continue
        length = shown.strut_length[index]
        twins = [
            other
            for other in kept
            if np.allclose(shown.strut_length[other], length, rtol=0.0, atol=5e-4)
            and shown.door.fitted[other].strut.stroke == one.strut.stroke
        ]
        if not twins:
            kept.append(index)
    return kept


def _one_of_each(limits: Sequence[Limit]) -> list[Limit]:
    kept: dict[tuple[float, bool], Limit] = {}
    for one in limits:
        kept.setdefault((round(one.value, 3), one.above), one)
    return list(kept.values())


def _length_unit() -> tuple[str, float]:
    """The unit that lengths are shown in, and its size [m]."""
    return ("inch", 0.0254) if sentence_unit() == "in" else ("mm", 1e-3)


def _figure(metres: float) -> str:
    return quantity_text(metres, "length", unit=False)


def _radial(swept: Sweep) -> tuple[Floats, Floats, list[tuple[str, float, float]]]:
    """Radial load at first and second [n], and each case: name, angle [degrees], greater load."""
    loads = hinge_loads(swept)
    first, second, _ = radial_forces(swept.door, loads.first, loads.second)
    cases = []
    for name, case in loads.cases.items():
        at = 0.0 if name == "shut and latched" else math.degrees(swept.end_of_travel)
        one, other, _ = radial_forces(swept.door, case.first, case.second)
        cases.append((name, at, float(max(one, other))))
    return first, second, cases


def _chart(
    title: str,
    unit: str,
    shown: Sweep,
    curves: Sequence[Curve],
    *,
    bands: Sequence[Band] = (),
    over: Sequence[Band] = (),
    limits: Sequence[Limit] = (),
    marks: Sequence[Mark] = (),
    scale: Scale | None = None,
    words: str = "",
    signed: bool = False,
    zero: bool = True,
    description: str = "",
) -> Chart:
    values = [np.asarray(one.y) for one in curves]
    values.extend(edge for one in (*bands, *over) for edge in (one.low, one.high))
    values.append(np.array([one.value for one in limits]))
    values.append(np.array([one.y for one in marks]))
    if zero or not curves:
        values.append(np.zeros(1))
    every = np.concatenate([np.ravel(one) for one in values])
    ticks = value_ticks(float(every.min()), float(every.max()))
    low, high = float(every.min()), float(every.max())
    room = 0.06 * max(high - low, 1e-9)
    below = sum(one.low.min() < min(one.high.min(), 0.0) for one in over)
    above = len(over) - below
    end = math.degrees(shown.end_of_travel)
    return Chart(
        title=title,
        unit=unit,
        span=(0.0, end),
        reach=(low - room * (1.0 + 3.0 * below), high + room * (1.0 + 3.0 * above)),
        x_ticks=angle_ticks(end),
        y_ticks=tuple((tick, tick_text(abs(tick) if signed else tick)) for tick in ticks),
        curves=tuple(curves),
        bands=tuple(bands),
        over=tuple(over),
        limits=tuple(limits),
        marks=tuple(marks),
        scale=scale,
        words=words,
        description=description,
    )


def _moment_words(shown: Sweep, key: Summary) -> str:
    lifting = shown.strut_moment.sum(axis=0) if shown.door.fitted else np.zeros(1)
    greatest = quantity_text(float(np.abs(lifting).max()), "moment")
    weight = quantity_text(float(np.abs(shown.gravity_moment).max()), "moment")
    balance = ", ".join(quantity_text(one.angle, "angle") for one in key.balance) or "nowhere"
    return (
        f"Over the opening angle, condition {shown.condition.name}: the struts give up to"
        f" {greatest}, the weight up to {weight}; they balance at {balance}."
    )


def _hand_words(shown: Sweep) -> str:
    key = summary(shown)
    opening = quantity_text(key.peak_opening, "force", toward="up")
    closing = quantity_text(key.peak_closing, "force", toward="up")
    return (
        f"Over the opening angle, condition {shown.condition.name}: pushing it open takes up to"
        f" {opening}, pushing it shut up to {closing}."
    )


def _length_words(shown: Sweep, kept: Sequence[int]) -> str:
    words = []
    for index in kept:
        length = shown.strut_length[index]
        name = shown.door.fitted[index].strut.name
        words.append(
            f"{name} from {_figure(float(length.min()))} to"
            f" {quantity_text(float(length.max()), 'length')}"
        )
    return "Over the opening angle: " + ("; ".join(words) or "no strut") + "."


def _hinge_points(shown: Sweep) -> tuple[str, str]:
    first, second = hinge_point_names(shown.door)
    return f"{first} hinge point", f"{second} hinge point"


def _hinge_words(
    names: tuple[str, str],
    first: Floats,
    second: Floats,
    cases: Sequence[tuple[str, float, float]],
) -> str:
    parts = [
        f"{name} up to {quantity_text(float(load.max()), 'force', toward='up')}"
        for name, load in zip(names, (first, second), strict=True)
    ]
    parts.extend(f"{name} {quantity_text(load, 'force', toward='up')}" for name, _, load in cases)
    return "Radial load over the opening angle: " + "; ".join(parts) + "."
