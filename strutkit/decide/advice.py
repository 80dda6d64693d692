"""Findings beyond the builder's limits: what is worth knowing, published bounds, assumptions.

Model sections 2, 3, 10 and 11. Each function looks at one subject and gives its finding, or none
where there is nothing to say.
"""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from strutkit.compute import columns, geometry, statics
from strutkit.data import tables
from strutkit.decide import limit_rules
from strutkit.decide.conditions import hinge_axis, mounts
from strutkit.decide.judging import Finding, Study, strut_label, study
from strutkit.decide.loads import held_by_hand, radial_forces
from strutkit.decide.summary import critical_angles
from strutkit.describe.labels import assumed_friction
from strutkit.describe.numbers import quantity_text
from strutkit.describe.records import Door, FittedStrut, Strut
from strutkit.errors import StrutkitError

Floats = npt.NDArray[np.float64]

PRACTICE = "common practice, no published source"
SMALL_ARM = 0.010
"""A lever arm at shut under this [m] is changed or turned by 2 mm of drilling error."""

STEEL_MODULUS = 206e9
"""Young's modulus of rod steel [Pa] (handbook value, from memory)."""

STEEL_YIELD = 355e6
"""Yield strength taken for rod steel [Pa]: S355, the weakest likely (from memory)."""

BUCKLING_FACTOR = 1.5
"""Factor on the load when a rod is judged (common practice)."""

FIT_PRESSURES = (2e6, 20e6)
"""Absolute pressures [Pa] between which the nitrogen fit is good to 0.32 %."""

LEAST_LEAN = math.radians(0.5)
"""A strut nearer to square to the hinge line than this is not mentioned [rad]."""


def findings(study: Study) -> list[Finding]:
    """Every finding beyond the limits that has something to say."""
    several = [
        _travel_left(study),
        _lift_off_angle(study),
        _latch_load(study),
        _balance(study),
        _rest_on_friction(study),
        _leans_on_friction(study),
        _strut_as_stop(study),
        _charge_pressure(study),
        _rod_buckling(study),
        _rod_direction(study),
        _shut_lever_arm(study),
        _out_of_square(study),
        _assumed_values(study),
        _assumed_friction(study),
        _assumed_force_ratio(study),
    ]
    several.extend(_fault(study, index) for index in range(len(study.door.fitted)))
    return [finding for finding in several if finding is not None]


def _travel_left(study: Study) -> Finding | None:
    """Stroke kept at both ends, where no limit asks for it."""
    limits = study.door.limits
    if not study.door.fitted or None not in (limits.travel_compressed, limits.travel_extended):
        return None
    kept = {one.name: one for one in limit_rules.measure_travel(study)}
    pushed_in = kept["travel_compressed"]
    texts = [f"{quantity_text(pushed_in.value, 'length', toward='down')} pushed in"]
    least = pushed_in
    if "travel_extended" in kept:
        extended = kept["travel_extended"]
        texts.insert(0, f"{quantity_text(extended.value, 'length', toward='down')} extended")
        least = min(pushed_in, extended, key=lambda one: one.value or 0.0)
    else:
        texts.insert(0, "none extended, the strut being the stop")
    return Finding(
        name="travel_left",
        value=least.value,
        unit="m",
        condition=least.condition,
        angle=least.angle,
        words=f"Stroke kept: {', '.join(texts)}; 5 mm is the published least.",
        source=tables.SAFE_STROKE.source,
    )


def _lift_off_angle(study: Study) -> Finding | None:
    if study.door.limits.lift_off is not None or study.drops:
        return None
    worst = next(one for one in limit_rules.measure(study) if one.name == "lift_off")
    new = study.summaries[0].lift_off
    if worst.value is None:
        words = "It never rises by itself to the end; no limit is given."
        if new is not None:
            words = (
                f"Rises by itself from {quantity_text(new, 'angle', toward='up')}; "
                f"in {worst.condition} never."
            )
    else:
        shown = quantity_text(worst.value, "angle", toward="up")
        start = f"{shown} at the latest" if worst.value else "shut"
        words = f"Rises by itself from {start}; no limit is given."
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


def _rest_on_friction(study: Study) -> Finding | None:
    bands = [
        (high - low, row, low, high)
        for row in study.service
        for low, high in study.summaries[row].rest_bands
    ]
    if not bands:
        return None
    width, row, low, high = max(bands, key=lambda band: (band[0], study.conditions[band[1]].name))
    lower = quantity_text(low, "angle", toward="down")
    upper = quantity_text(high, "angle", toward="up")
    return Finding(
        name="rest_on_friction",
        value=width,
        unit="rad",
        condition=study.conditions[row].name,
        angle=low,
        words=f"From {lower} to {upper} it stays where it is put, by friction alone.",
    )


def _leans_on_friction(study: Study) -> Finding | None:
    """A panel that is up only because friction holds it is told so."""
    if study.drops:
        return None
    rows = [
        row
        for row in study.service
        if study.summaries[row].reserve <= 0.0 <= study.summaries[row].reserve_with_friction
    ]
    if not rows:
        return None
    row = min(rows, key=lambda one: study.summaries[one].reserve_with_friction)
    return Finding(
        name="reserve_with_friction",
        value=study.summaries[row].reserve_with_friction,
        unit="1",
        condition=study.conditions[row].name,
        angle=float(study.model.end[row]),
        words="Open, only friction keeps it up: a knock or a shake brings it down.",
    )


def _strut_as_stop(study: Study) -> Finding | None:
    """The pull of a strut that is the open stop, against four times its rating."""
    pulls = []
    for row, cases in enumerate(study.cases):
        for name in ("extended strut, one alone", "extended strut"):
            if name in cases:
                pulls.append((cases[name].force, row, name))
                break
    if not pulls:
        return None
    pull, row, name = max(pulls)
    limit = tables.TENSILE_FACTOR.value * min(one.strut.rating for one in study.door.fitted)
    alone = " when one takes it alone" if name.endswith("alone") else ""
    return Finding(
        name="strut_as_stop",
        value=pull,
        limit=limit,
        unit="N",
        ok=pull <= limit,
        condition=study.conditions[row].name,
        angle=float(study.model.end[row]),
        words=f"The struts are the open stop: a pull of {quantity_text(pull, 'force', toward='up')}"
        f"{alone}; struts are tested to {quantity_text(limit, 'force', toward='down')}.",
        source=f"{tables.TENSILE_FACTOR.source}: 4 times the nominal force",
    )


def _charge_pressure(study: Study) -> Finding | None:
    """Charge pressures that follow from label and rod, against the published greatest."""
    known = [one for one in study.door.struts if one.strut.rod_diameter is not None]
    if not known:
        return None
    highest = max(known, key=lambda one: one.strut.gas_law.pressure)
    lowest = min(known, key=lambda one: one.strut.gas_law.pressure)
    low = lowest.strut.gas_law.pressure
    if low < FIT_PRESSURES[0] and highest.strut.gas_law.pressure <= tables.GREATEST_PRESSURE.value:
        return Finding(
            name="charge_pressure",
            value=low,
            limit=FIT_PRESSURES[0],
            unit="Pa",
            words=f"Charge pressure only {low / 1e6:.1f} MPa in {strut_label(lowest)}, outside"
            " 2 to 20 MPa: its force in heat and frost is less sure.",
            source="range of the nitrogen fit",
        )
    return _greatest_pressure(highest)


def _greatest_pressure(highest: FittedStrut) -> Finding:
    limit, pressure = tables.GREATEST_PRESSURE.value, highest.strut.gas_law.pressure
    advice = "" if pressure <= limit else " Check rating and rod diameter."
    return Finding(
        name="charge_pressure",
        value=pressure,
        limit=limit,
        unit="Pa",
        ok=pressure <= limit,
        words=f"Charge pressure {pressure / 1e6:.1f} MPa in {strut_label(highest)}; the greatest"
        f" published is {limit / 1e6:.0f} MPa.{advice}",
        source=tables.GREATEST_PRESSURE.source,
    )


def _rod_buckling(study: Study) -> Finding | None:
    """Rod force against the buckling load of a rod as long as the whole strut, hinged ends.

    Worst over angles and conditions in service, friction added; Euler or Johnson. Taking the
    rod's section for the whole length is on the safe side.
    """
    nodes = np.linspace(0.0, 1.0, 181) * study.model.end[:, None]
    at = statics.moments(study.model, nodes)
    worst: tuple[float, float, float, int, float, FittedStrut] | None = None
    for index, fitted in enumerate(study.door.fitted):
        diameter = fitted.strut.rod_diameter
        if diameter is None:
            continue
        force = (at.strut_force[:, index] + study.model.friction[index])[list(study.service)]
        length = at.length[list(study.service), index]
        area, second_moment = columns.round_section(diameter)
        carries = columns.buckling_load(STEEL_MODULUS, STEEL_YIELD, area, second_moment, length)
        use = BUCKLING_FACTOR * force / carries
        place, angle = np.unravel_index(int(use.argmax()), use.shape)
        row = study.service[int(place)]
        found = (
            float(use[place, angle]),
            float(force[place, angle]),
            float(carries[place, angle]),
            row,
            float(nodes[row, angle]),
            fitted,
        )
        if worst is None or found[0] > worst[0]:
            worst = found
    if worst is None:
        return None
    use_worst, pushed, carried, row, at_angle, fitted = worst
    return Finding(
        name="rod_buckling",
        value=pushed,
        limit=carried / BUCKLING_FACTOR,
        unit="N",
        ok=use_worst <= 1.0,
        condition=study.conditions[row].name,
        angle=at_angle,
        words=f"The rod of {strut_label(fitted)} is pushed with"
        f" {quantity_text(pushed, 'force', toward='up')}; a rod as long as the strut carries"
        f" {quantity_text(carried / BUCKLING_FACTOR, 'force', toward='down')}.",
        source="Euler and Johnson columns, steel S355, factor 1.5 (common practice)",
    )


def _rod_direction(study: Study) -> Finding | None:
    """Struts whose rod does not point down, shut or open (structure level)."""
    door = study.door
    origin, axis = hinge_axis(door)
    frame, panel = mounts(door)
    ends = np.array([0.0, float(study.model.end[0])])
    place, _ = geometry.strut_directions(frame, panel, origin, axis, ends)
    rise = place[:, :, 2] - frame[:, None, 2]
    wrong: list[tuple[float, FittedStrut, str, float]] = []
    for index, fitted in enumerate(door.fitted):
        rod_above = rise[index] if fitted.rod_end == "panel" else -rise[index]
        for when, above, angle in zip(("shut", "open"), rod_above, ends, strict=True):
            if above > 0.0:
                wrong.append((float(above), fitted, when, float(angle)))
    if not wrong:
        return None
    above, fitted, when, angle = max(wrong, key=lambda one: (one[2] == "shut", one[0]))
    why = (
        "its seal may run dry; rod down keeps it in oil"
        if when == "shut"
        else "it does not cushion the last of the travel; only rod down does"
    )
    return Finding(
        name="rod_direction",
        value=above,
        unit="m",
        condition=study.conditions[0].name,
        angle=angle,
        words=f"{_capital(strut_label(fitted))} has its rod up when {when}: {why}.",
        source=PRACTICE,
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _shut_lever_arm(study: Study) -> Finding | None:
    arms = geometry.lengths_and_arms(study.model.geometry, np.zeros(1))[1][:, 0]
    small = [index for index in range(len(arms)) if abs(arms[index]) < SMALL_ARM]
    if not small:
        return None
    index = min(small, key=lambda one: abs(arms[one]))
    shown = quantity_text(float(abs(arms[index])), "length", step=0.1)
    return Finding(
        name="shut_lever_arm",
        value=float(arms[index]),
        limit=SMALL_ARM,
        unit="m",
        angle=0.0,
        words=f"Shut, {strut_label(study.door.fitted[index])} passes {shown} from the hinge line:"
        " 2 mm of drilling error changes or turns its push.",
        source=PRACTICE,
    )


def _out_of_square(study: Study) -> Finding | None:
    """Largest angle of each strut out of the plane square to the hinge line, over the travel."""
    if not study.door.fitted:
        return None
    end = float(study.model.end.max())
    length, angle = geometry.shortest(study.model.geometry, end)
    lean = np.arcsin(np.clip(np.abs(study.model.geometry.offset) / length, 0.0, 1.0))
    index = int(lean.argmax())
    if lean[index] < LEAST_LEAN:
        return None
    shown = quantity_text(float(lean[index]), "angle", toward="up")
    return Finding(
        name="out_of_square",
        value=float(lean[index]),
        unit="rad",
        angle=float(angle[index]),
        words=f"{_capital(strut_label(study.door.fitted[index]))} leans up to {shown} out of"
        " square to the hinge line; its ends must allow it.",
        source=PRACTICE,
    )


def _assumed_values(study: Study) -> Finding | None:
    """What the door's own file lists as assumed."""
    subjects = [text.partition(":")[0] for text in study.door.assumed]
    if not subjects:
        return None
    return Finding(
        name="assumed_values",
        words=f"Taken without measuring: {', '.join(subjects)}.",
        source="listed as assumed in the door file",
    )


def _assumed_friction(study: Study) -> Finding | None:
    """Which verdicts would turn with no friction, or with the whole published limit."""
    open_labels = [one for one in study.door.struts if one.strut.friction is None]
    if not open_labels:
        return None
    shown = " and ".join(
        sorted({f"{one.strut.gas_law.friction:g} N" for one in open_labels}, key=len)
    )
    trials: dict[str, Change] = {
        "with none": lambda strut: replace(strut, friction=0.0),
        "with the whole": lambda strut: replace(
            strut, friction=2.0 * assumed_friction(strut.rating)
        ),
    }
    turned = _turned(study, trials, lambda strut: strut.friction is None)
    return Finding(
        name="assumed_friction",
        value=open_labels[0].strut.gas_law.friction,
        unit="N",
        words=f"Friction of {shown} each is assumed, half the published limit. {turned}",
        source="gas spring design standard, annex B, table B.1",
    )


def _assumed_force_ratio(study: Study) -> Finding | None:
    """Which verdicts would turn with a force ratio of 1.2 or 1.5."""
    if all(one.strut.force_ratio is not None for one in study.door.struts):
        return None
    trials: dict[str, Change] = {
        "with 1.2": lambda strut: replace(strut, force_ratio=1.2),
        "with 1.5": lambda strut: replace(strut, force_ratio=1.5),
    }
    turned = _turned(study, trials, lambda strut: strut.force_ratio is None)
    return Finding(
        name="assumed_force_ratio",
        value=1.3,
        unit="1",
        words=f"A force ratio of 1.3 is assumed. {turned}",
        source=PRACTICE,
    )


Change = Callable[[Strut], Strut]
Applies = Callable[[Strut], bool]


def _turned(study_now: Study, trials: dict[str, Change], applies: Applies) -> str:
    """Which verdicts turn when the struts that `applies` picks are changed."""
    now = limit_rules.verdicts(study_now)
    texts = []
    for label, change in trials.items():
        try:
            then = limit_rules.verdicts(study(_with_struts(study_now.door, change, applies)))
        except StrutkitError as fault:
            texts.append(f"{_capital(label)} it does not fit: {fault}")
            continue
        for name, worst in then.items():
            if worst.ok is not now[name].ok:
                verb = "pass" if worst.ok else "fail"
                texts.append(f"{_capital(label)}, {SUBJECTS[name]} would {verb}.")
    return " ".join(texts) or "No verdict turns with less or more."


SUBJECTS = {
    "hand_opening": "opening",
    "hand_closing": "shutting",
    "lift_off": "lift-off",
    "reserve": "the reserve",
    "reserve_force": "staying up",
    "latch": "the latch",
    "travel_compressed": "stroke kept pushed in",
    "travel_extended": "stroke kept extended",
    "hinge_radial": "a hinge point",
    "hinge_resultant": "the hinge line",
}
"""Limits as sentences name them."""


def _with_struts(door: Door, change: Change, applies: Applies) -> Door:
    return replace(
        door,
        struts=tuple(
            replace(one, strut=change(one.strut)) if applies(one.strut) else one
            for one in door.struts
        ),
    )


def _fault(study: Study, index: int) -> Finding | None:
    """What happens with one strut lost: does it fall, from where, what hand and hinge feel."""
    rows = [row for row, one in enumerate(study.conditions) if one.missing == index]
    holds = [_holding(study, row) for row in rows]
    hold, angle, falls_from, row = max(holds, key=lambda one: one[0])
    condition = study.conditions[row]
    nodes = critical_angles(study.model.take([row]))
    first, second = held_by_hand(study.door, (condition,), study.model.take([row]), nodes)
    at_point = max(float(size.max()) for size in radial_forces(study.door, first, second)[:2])
    for case in study.cases[row].values():
        at_point = max(
            at_point, *map(float, radial_forces(study.door, case.first, case.second)[:2])
        )
    label = strut_label(study.door.fitted[index])
    happens = _fall_words(study.drops, falls_from, float(study.model.end[row]), hold)
    load = quantity_text(at_point, "force", toward="up")
    return Finding(
        name=f"fault_{index}",
        value=max(hold, 0.0),
        unit="N",
        condition=condition.name,
        angle=angle,
        words=f"With {label} lost {happens}. A hinge point then carries {load}.",
    )


def _fall_words(drops: bool, falls_from: float | None, end: float, hold: float) -> str:
    """What a panel does with one strut lost, and the force that holds it."""
    force = quantity_text(max(hold, 0.0), "force", toward="up")
    if falls_from is None:
        return "it stays where it is" if drops else "it stays up"
    at = quantity_text(falls_from, "angle", toward="down" if drops else "up")
    if drops:
        start = "from shut" if falls_from == 0.0 else f"once past {at}"
        return f"it drops open {start}; holding it takes {force}"
    if falls_from == end:
        return f"it falls shut from fully open; holding it takes {force}"
    return f"it stays open above {at} and falls shut below; holding it takes {force}"


def _holding(study: Study, row: int) -> tuple[float, float, float | None, int]:
    """Greatest force to hold it [N], its angle, the angle it falls from (None: it does not).

    A lid falls where M + Mf < 0, from its widest such angle down; a flap whose weight opens it
    drops where M - Mf > 0, from its smallest.
    """
    model = study.model.take([row])
    nodes = critical_angles(model)
    at = statics.moments(model, nodes)
    net, rubbing = at.moment[0], at.friction_moment[0]
    radius = study.door.hinge_distance(study.door.panel.handle)
    hold = net / radius if study.drops else -net / radius
    falls = net - rubbing > 0.0 if study.drops else net + rubbing < 0.0
    moving = nodes[falls]
    worst = int(hold.argmax())
    falls_from = None
    if moving.size:
        falls_from = float(moving.min() if study.drops else moving.max())
    return float(hold[worst]), float(nodes[worst]), falls_from, row
