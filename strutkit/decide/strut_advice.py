"""Findings on the struts themselves: as open stop, charge, size, buckling, direction, lever arm.

Model sections 2, 3 and 10. Published bounds are those of `data.tables`.
"""

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from strutkit.compute import columns, geometry, statics
from strutkit.data import tables
from strutkit.decide.conditions import hinge_axis, mounts, strut_label
from strutkit.decide.judging import PRACTICE, Finding, Study, capital
from strutkit.describe.numbers import quantity_text
from strutkit.describe.records import TWIN, FittedStrut, Strut

Floats = npt.NDArray[np.float64]

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

LEAST_PUSH = 0.0005
"""Stroke left under this [m] needs no pushing in."""

LEAST_LEAN = math.radians(0.5)
"""A strut nearer to square to the hinge line than this is not mentioned [rad]."""

MOST_NAMED = 2
"""More further struts than this are counted, not named."""


def findings(study: Study) -> list[Finding]:
    """Every finding on this subject that has something to say."""
    several = [
        _strut_as_stop(study),
        _charge_pressure(study),
        _strut_size(study),
        _rod_buckling(study),
        _rod_direction(study),
        _shut_lever_arm(study),
        _out_of_square(study),
        _snap_on(study),
    ]
    return [finding for finding in several if finding is not None]


def _strut_as_stop(study: Study) -> Finding | None:
    """The pull of each strut that is the open stop, alone, against four times its own rating.

    T = M / (its lever arm) by virtual work; several may share it, but one can take it alone.
    """
    at = statics.moments(study.model, study.model.end[:, None])
    length, arm = at.length[:, :, 0], at.lever_arm[:, :, 0]
    reach = study.model.extended_length - length <= geometry.LENGTH_SLACK
    by_strut = (study.model.end < study.door.hinge.stop_angle)[:, None]
    pulling = study.model.present & reach & by_strut & (arm > 0.0) & (at.moment > 0.0)
    if not pulling.any():
        return None
    tested = tables.TENSILE_FACTOR.value * np.array([one.strut.rating for one in study.door.fitted])
    pull = np.divide(at.moment, arm, out=np.zeros_like(arm), where=pulling)
    order = list(study.order)
    place, index = np.unravel_index(int((pull / tested)[order].argmax()), pull.shape)
    row = order[int(place)]
    value, limit = float(pull[row, index]), float(tested[index])
    alone = " when it takes it alone" if pulling[row].sum() > 1 else ""
    label = capital(strut_label(study.door.fitted[int(index)]))
    return Finding(
        name="strut_as_stop",
        value=value,
        limit=limit,
        unit="N",
        ok=value <= limit,
        condition=study.conditions[row].name,
        angle=float(study.model.end[row]),
        words=f"{label} is the open stop: a pull of {quantity_text(value, 'force', toward='up')}"
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
    return _greatest_pressure(highest, lowest)


def _greatest_pressure(highest: FittedStrut, lowest: FittedStrut) -> Finding:
    limit, pressure = tables.GREATEST_PRESSURE.value, highest.strut.gas_law.pressure
    advice = "" if pressure <= limit else " Check rating and rod diameter."
    low = lowest.strut.gas_law.pressure
    if low < FIT_PRESSURES[0]:
        advice += f" {capital(strut_label(lowest))} has only {low / 1e6:.1f} MPa."
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
    alike = [one[1] for one in wrong if one[2] == when]
    others = [one[1] for one in wrong if one[1] not in alike]
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
        words=f"{capital(strut_label(fitted))} has its rod up when {when}: {why}."
        f"{_also(f'up when {when}', study, fitted, alike)}"
        f"{_also('up when open', study, fitted, others)}",
        source=PRACTICE,
    )


def _also(what: str, study: Study, told: FittedStrut, several: Sequence[FittedStrut]) -> str:
    """A sentence on the further struts of which the same holds, each pair by its original."""
    name = told.strut.name.removesuffix(TWIN)
    others = [one for one in study.door.struts if one in several and one.strut.name != name]
    if not others:
        return ""
    labels = " and ".join(strut_label(one) for one in others)
    if len(others) > MOST_NAMED:
        labels = f"{sum(2 if one.mirrored else 1 for one in others)} more struts"
    return f" Also {what}: {labels}."


def _shut_lever_arm(study: Study) -> Finding | None:
    arms = geometry.lengths_and_arms(study.model.geometry, np.zeros(1))[1][:, 0]
    small = [index for index in range(len(arms)) if abs(arms[index]) < SMALL_ARM]
    if not small:
        return None
    index = min(small, key=lambda one: abs(arms[one]))
    fitted, every = study.door.fitted[index], [study.door.fitted[one] for one in small]
    shown = quantity_text(float(abs(arms[index])), "length", step=0.1)
    bound = quantity_text(SMALL_ARM, "length")
    return Finding(
        name="shut_lever_arm",
        value=float(arms[index]),
        limit=SMALL_ARM,
        unit="m",
        angle=0.0,
        words=f"Shut, {strut_label(fitted)} passes {shown} from the hinge line: 2 mm of drilling"
        f" error changes or turns its push.{_also(f'under {bound}', study, fitted, every)}",
        source=PRACTICE,
    )


def _out_of_square(study: Study) -> Finding | None:
    """Largest angle of each strut out of the plane square to the hinge line, over the travel.

    A mirrored twin leans as its original does, so it is not named again.
    """
    if not study.door.fitted:
        return None
    end = float(study.model.end.max())
    length, angle = geometry.shortest(study.model.geometry, end)
    lean = np.arcsin(np.clip(np.abs(study.model.geometry.offset) / length, 0.0, 1.0))
    leaning = [
        (index, fitted)
        for index, fitted in enumerate(study.door.fitted)
        if lean[index] >= LEAST_LEAN and fitted in study.door.struts
    ]
    if not leaning:
        return None
    worst = max(leaning, key=lambda one: lean[one[0]])[0]
    texts = [
        f"{strut_label(fitted)} up to {quantity_text(float(lean[index]), 'angle', toward='up')}"
        for index, fitted in leaning
    ]
    return Finding(
        name="out_of_square",
        value=float(lean[worst]),
        unit="rad",
        angle=float(angle[worst]),
        words=f"Leaning out of square to the hinge line: {'; '.join(texts)}. The ends must"
        " allow it.",
        source=PRACTICE,
    )


def fitted_shut(study: Study) -> bool:
    """Whether the struts go on with the panel shut: where the least stroke of all is left.

    False where the door has no strut.
    """
    if not study.door.fitted:
        return False
    left = study.model.extended_length[:, None] - _at_ends(study)[1].length
    return int(left.max(axis=0).argmin()) == 0


def _at_ends(study: Study) -> tuple[Floats, statics.Moments]:
    """Angles of both ends of the travel, and lengths and forces there, new at 20 °C."""
    ends = np.array([0.0, float(study.model.end[0])])
    return ends, statics.moments(study.model.take([0]), ends)


def _snap_on(study: Study) -> Finding | None:
    """How far the struts must be pushed in to snap them on, and how hard.

    Stroke left x = Lext - L at 20 °C, new, at the end of the travel where it is less, shut or
    open; pushed with the gas force there and friction.
    """
    if not study.door.fitted:
        return None
    ends, at = _at_ends(study)
    left = study.model.extended_length[:, None] - at.length
    when = 0 if fitted_shut(study) else 1
    force = at.strut_force[0, :, when] + study.model.friction
    index, hardest = int(left[:, when].argmax()), _hardest(left[:, when], force)
    label, pose = strut_label(study.door.fitted[index]), ("shut", "open")[when]
    words = f"With the panel {pose}, {label} snaps on at full extension."
    if left[index, when] >= LEAST_PUSH:
        ways, forces = zip(
            *(_push_texts(left[one, when], force[one]) for one in (index, hardest)), strict=True
        )
        harder = f", {strut_label(study.door.fitted[hardest])} by {ways[1]} against {forces[1]}"
        words = (
            f"Snapping {label} on with the panel {pose} takes pushing it in by {ways[0]} against"
            f" {forces[0]}{'' if forces[0] == forces[1] else harder}; guide it, face clear."
        )
    return Finding(
        name="snap_on",
        value=max(0.0, float(left[index, when])),
        unit="m",
        condition=study.conditions[0].name,
        angle=float(ends[when]),
        words=words,
        source=PRACTICE,
    )


def _hardest(left: Floats, force: Floats) -> int:
    """Which of the struts that must be pushed in takes the greatest force."""
    return int(np.where(left >= LEAST_PUSH, force, -np.inf).argmax())


def _push_texts(way: float, force: float) -> tuple[str, str]:
    return (
        quantity_text(float(way), "length", toward="up"),
        quantity_text(float(force), "force", toward="up"),
    )


def _strut_size(study: Study) -> Finding | None:
    """Ratings and strokes outside the published range for the rod (annex C, table C.1), the one
    that is most times beyond it first."""
    outside = [
        (_times_beyond(fitted.strut, rod), fitted, rod)
        for fitted in study.door.struts
        for rod in tables.ROD_RANGES
        if math.isclose(rod, fitted.strut.rod_diameter or 0.0) and not _in_range(fitted.strut, rod)
    ]
    if not outside:
        return None
    _, fitted, rod = max(outside, key=lambda one: one[0])
    strut, (least, most, stroke) = fitted.strut, tables.ROD_RANGES[rod][:3]
    return Finding(
        name="strut_size",
        value=strut.rating,
        unit="N",
        words=f"{capital(strut_label(fitted))}: {quantity_text(strut.rating, 'force')} and"
        f" {quantity_text(strut.stroke, 'length')} of stroke on a"
        f" {quantity_text(rod, 'length')} rod; published are {least:.0f} to {most:.0f} N and"
        f" at most {quantity_text(stroke, 'length')}."
        f"{_also('outside', study, fitted, [one[1] for one in outside])}",
        source="gas spring design standard, annex C, table C.1",
    )


def _in_range(strut: Strut, rod: float) -> bool:
    least, most, stroke = tables.ROD_RANGES[rod][:3]
    return bool(least <= strut.rating <= most and strut.stroke <= stroke + 1e-9)


def _times_beyond(strut: Strut, rod: float) -> float:
    least, most, stroke = tables.ROD_RANGES[rod][:3]
    return max(least / strut.rating, strut.rating / most, strut.stroke / stroke)
