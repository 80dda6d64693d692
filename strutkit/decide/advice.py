"""Findings beyond the builder's limits: what is worth knowing, published bounds, assumptions.

Model sections 2, 3, 10 and 11. Each function looks at one subject and gives its finding, or none
where there is nothing to say.
"""

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from strutkit.compute import statics
from strutkit.compute.geometry import ANGLE_SLACK
from strutkit.data import tables
from strutkit.decide import limit_rules
from strutkit.decide.hands import straight_force
from strutkit.decide.judging import Finding, Study
from strutkit.decide.sweep import sweep_many
from strutkit.describe.numbers import figure, limit_text, quantity_text, travel_pair

Floats = npt.NDArray[np.float64]


def findings(study: Study) -> list[Finding]:
    """Every finding beyond the limits that has something to say."""
    several = [
        _travel_left(study),
        _lift_off_angle(study),
        _latch_load(study),
        _balance(study),
        _rest_on_friction(study),
        _leans_on_friction(study),
        _travel_end(study),
        _gas_to_spare(study),
        _pull_down(study),
    ]
    return [finding for finding in several if finding is not None]


def _travel_left(study: Study) -> Finding | None:
    """Stroke kept at both ends, where no limit asks for it."""
    limits = study.door.limits
    if not study.door.fitted or None not in (limits.travel_compressed, limits.travel_extended):
        return None
    kept = sorted(limit_rules.measure_travel(study), key=lambda one: one.value or 0.0)
    least, texts = kept[0], []
    for one in kept:
        shown = quantity_text(one.value, "length", toward="down")
        within = "" if one.condition == least.condition else f" (in {one.condition})"
        texts.append(f"{shown} {TRAVEL_ENDS[one.name]}{within}")
    if len(kept) == 1:
        texts.append("none extended, the strut being the stop")
    return Finding(
        name="travel_left",
        value=least.value,
        unit="m",
        condition=least.condition,
        angle=least.angle,
        words=f"Stroke kept: {', '.join(texts)}; {_least_stroke()} is the published least.",
        source=tables.SAFE_STROKE.source,
    )


TRAVEL_ENDS = {"travel_compressed": "pushed in", "travel_extended": "extended"}
"""End of the stroke, by the limit on what is kept of it."""


def _least_stroke() -> str:
    return quantity_text(tables.SAFE_STROKE.value, "length", toward="up", step=0.1)


def _lift_off_angle(study: Study) -> Finding | None:
    if study.door.limits.lift_off is not None or study.drops:
        return None
    worst = next(one for one in limit_rules.measure(study) if one.name == "lift_off")
    new = study.summaries[0].lift_off
    rises = limit_rules.RISES[study.sense]
    if worst.value is None:
        words = f"It never {rises.lower()} by itself to the end; no limit is given."
        if new is not None:
            words = (
                f"{rises} by itself from {quantity_text(new, 'angle', toward='up')}; "
                f"in {worst.condition} never."
            )
    else:
        shown = quantity_text(worst.value, "angle", toward="up")
        start = f"{shown} at the latest" if worst.value else "shut"
        words = f"{rises} by itself from {start}; no limit is given."
    return Finding(
        name="lift_off_angle",
        value=worst.value,
        unit="rad",
        condition=worst.condition,
        angle=worst.angle,
        words=words,
    )


def _latch_load(study: Study) -> Finding | None:
    """What latch or seal feels when shut, where no limit asks for it."""
    if study.door.limits.latch is not None:
        return None
    row = limit_rules.worst_row(
        study, lambda one: study.summaries[one].latch_load - study.summaries[one].seat_load
    )
    value = study.summaries[row].latch_load - study.summaries[row].seat_load
    if value > 0.0:
        shown = quantity_text(value, "force", toward="up")
        words = f"Shut, it pushes on the latch with {shown}; no limit is given."
    else:
        shown = quantity_text(-value, "force", toward="down")
        words = f"Shut, it presses on its seat with at least {shown} at the handle."
    return Finding(
        name="latch_load",
        value=value,
        unit="N",
        condition=study.conditions[row].name,
        angle=0.0,
        words=words,
    )


def _balance(study: Study) -> Finding | None:
    found = study.summaries[0].balance
    if not found:
        return None
    texts = []
    for one in found:
        at = quantity_text(one.angle, "angle")
        texts.append(
            f"at {at} it comes to rest"
            if one.stable
            else f"it tips at {at}: shut below, open above"
        )
    words = "; ".join(texts)
    return Finding(
        name="balance",
        value=found[0].angle,
        unit="rad",
        condition=study.conditions[0].name,
        angle=found[0].angle,
        words=f"Without friction {words}.",
    )


_Band = tuple[float, float]
"""From where to where friction alone holds the panel."""

MOST_BANDS = 2
"""More rest bands than this are counted, not told."""


def _rest_on_friction(study: Study) -> Finding | None:
    """The rest bands of the condition that has the widest, then where any condition has one."""
    bands = {
        row: [one for one in study.summaries[row].rest_bands if one[1] - one[0] > ANGLE_SLACK]
        for row in study.service
    }
    if not any(bands.values()):
        return None
    row = max(study.service, key=lambda one: round(max(map(_width, bands[one]), default=0.0), 9))
    own = sorted(bands[row], key=_width, reverse=True)
    every = _merged([one for each in bands.values() for one in each])
    words = _bands_words([_printed(one) for one in own[:MOST_BANDS]], len(own))
    if every != _merged(own):
        words += f"; in one condition or another {_widest_words(every)}"
    return Finding(
        name="rest_on_friction",
        value=_width(own[0]),
        unit="rad",
        condition=study.conditions[row].name,
        angle=own[0][0],
        words=f"By friction alone it stays where it is put {words}.",
    )


def _width(band: _Band) -> float:
    return band[1] - band[0]


def _printed(band: _Band) -> _Band:
    """A band [rad] in whole degrees, rounded outward."""
    low, high = (math.degrees(one) for one in band)
    return float(figure(low, toward="down")), float(figure(high, toward="up"))


def _merged(bands: Sequence[_Band]) -> list[_Band]:
    """Bands [rad] as they are printed, those that meet as one."""
    merged: list[_Band] = []
    for low, high in sorted(map(_printed, bands)):
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return merged


def _widest_words(bands: Sequence[_Band]) -> str:
    widest = sorted(bands, key=_width, reverse=True)[:MOST_BANDS]
    return _bands_words(sorted(widest), len(bands))


def _bands_words(told: Sequence[_Band], count: int) -> str:
    """Some of so many bands in words [degrees], and how many more there are."""
    texts = [f"from {low:.0f}° to {high:.0f}°" for low, high in told]
    more = count - len(told)
    if more > 0:
        texts.append(f"in {more} more band{'s' if more > 1 else ''}")
    return " and ".join(filter(None, (", ".join(texts[:-1]), texts[-1])))


def _leans_on_friction(study: Study) -> Finding | None:
    """A panel that is up only because friction holds it is told so."""
    if study.drops:
        return None
    at = statics.moments(study.model, study.model.end[:, None])
    net, rubbing = at.moment[:, 0], at.friction_moment[:, 0]
    rows = [row for row in study.service if net[row] <= 0.0 < net[row] + rubbing[row]]
    if not rows:
        return None
    row = min(rows, key=lambda one: study.summaries[one].reserve_with_friction)
    way = limit_rules.STAYS[study.sense]
    return Finding(
        name="reserve_with_friction",
        value=study.summaries[row].reserve_with_friction,
        unit="1",
        condition=study.conditions[row].name,
        angle=float(study.model.end[row]),
        words=f"Open, only friction keeps it {way}: a knock or a shake brings it down.",
    )


def _travel_end(study: Study) -> Finding | None:
    """Struts that end the travel short of the stop, in the condition where it is shortest."""
    row = min(study.order, key=lambda one: float(study.model.end[one]))
    end, stop = float(study.model.end[row]), study.door.hinge.stop_angle
    if end == stop:
        return None
    asked = study.door.limits.travel_extended
    kept = (
        f" The {limit_text(asked, 'length', at_most=False)} of stroke to be kept extended are not"
        " asked of it."
        if asked
        else ""
    )
    at_end, at_stop = travel_pair(end, stop)
    return Finding(
        name="travel_end",
        value=end,
        limit=stop,
        unit="rad",
        condition=study.conditions[row].name,
        angle=end,
        words=f"It opens only to {at_end}, where a strut is fully extended; the stop is at"
        f" {at_stop}.{kept}",
    )


def _gas_to_spare(study: Study) -> Finding | None:
    """Gas that new struts may lose before the open panel sags, against the published loss."""
    gas = study.summaries[0].gas_to_spare
    if study.drops or gas is None:
        return None
    limit = tables.DURABILITY_LOSS.value
    shown = quantity_text(max(0.0, min(gas, 1.0)), "share", toward="down")
    return Finding(
        name="gas_to_spare",
        value=gas,
        limit=limit,
        unit="1",
        ok=gas >= limit,
        condition=study.conditions[0].name,
        angle=float(study.model.end[0]),
        words=f"New struts may lose {shown} of their gas before it sags open; a published test"
        f" allows a loss under {quantity_text(limit, 'share')}.",
        source=tables.DURABILITY_LOSS.source,
    )


def _pull_down(study: Study) -> Finding | None:
    """Shutting by a pull straight down, as short people do: the greatest over the travel."""
    if study.sense != "lifts":
        return None
    conditions = [study.conditions[row] for row in study.service]
    several = sweep_many(study.door, conditions, study.model.take(list(study.service)))
    pulls = [straight_force(one, task="closing", toward="down") for one in several]
    peaks = [float(np.nanmax(pull)) if np.isfinite(pull).any() else -1.0 for pull in pulls]
    place = int(np.argmax(peaks))
    if peaks[place] <= 0.0:
        return None
    shown = quantity_text(peaks[place], "force", toward="up")
    feels = limit_rules.feel(peaks[place])
    return Finding(
        name="pull_down",
        value=peaks[place],
        unit="N",
        condition=conditions[place].name,
        angle=float(several[place].angle[int(np.nanargmax(pulls[place]))]),
        words=f"Hanging straight down on the handle, shutting takes {shown}: {feels}.",
        source="judgement from published strength data, not a standard",
    )
