"""A door and its conditions as the arrays of `compute`: the one place where records become numbers.

Model sections 2, 3 and 11. Also: which conditions are faults, and where each one's travel ends.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from strutkit.compute import gas, geometry, statics
from strutkit.data import tables
from strutkit.describe.fields import shown
from strutkit.describe.labels import assumption_texts
from strutkit.describe.numbers import inch_text, sentence_unit
from strutkit.describe.records import NOMINAL, TWIN, Condition, Door, FittedStrut, Strut
from strutkit.errors import RecordError, TravelError

Floats = npt.NDArray[np.float64]

TOLERANCE_SHARE = 0.06
"""Tolerance of ratings over 200 N as a share (common practice, no published source)."""

nominal_condition = Condition(name=NOMINAL)
"""20 °C, new struts as labelled, structure level."""


def all_conditions(door: Door) -> tuple[Condition, ...]:
    """The nominal condition, then the door's own."""
    return (nominal_condition, *door.conditions)


def is_fault(condition: Condition) -> bool:
    """A condition with a strut missing: kept out of the limits in service (model 11.17)."""
    return condition.missing is not None


def used_tolerance(strut: Strut) -> float:
    """Tolerance of the rating [N]: the strut's own, else 10 N up to 200 N, 6 % above."""
    if strut.tolerance is not None:
        return strut.tolerance
    if strut.rating <= tables.SMALL_STRUT_RATING:
        return tables.SMALL_STRUT_TOLERANCE.value
    return TOLERANCE_SHARE * strut.rating


def assumptions(door: Door, condition: Condition) -> tuple[str, ...]:
    """Texts of all that is assumed for this door in this condition."""
    texts = list(door.assumed)
    for fitted in door.struts:
        strut = fitted.strut
        texts.extend(assumption_texts(strut.name, strut.gas_law))
        if condition.rating_tolerance and strut.tolerance is None:
            texts.append(
                f"{strut.name}: tolerance ±{used_tolerance(strut):g} N assumed;"
                " its label gives none."
            )
    return tuple(texts)


def hinge_axis(door: Door) -> tuple[Floats, Floats]:
    """A point on the hinge line [3] and the unit vector along it that opens [3]."""
    return np.array(door.hinge.first), np.array(door.hinge_direction)


def mounts(door: Door) -> tuple[Floats, Floats]:
    """Frame mounts and panel mounts of the fitted struts, each [s, 3] [m]."""
    frame = np.array([one.frame_mount for one in door.fitted]).reshape(-1, 3)
    panel = np.array([one.panel_mount for one in door.fitted]).reshape(-1, 3)
    return frame, panel


def _shape(door: Door) -> geometry.StrutGeometry:
    return geometry.strut_geometry(*mounts(door), *hinge_axis(door))


def door_statics(
    door: Door, conditions: Sequence[Condition], *, bottoms_out: bool = False
) -> statics.Statics:
    """Everything that the moments need, for these conditions.

    bottoms_out: struts may do so, since others will hang beside them. Raises `TravelError` where a
    strut does not fit its mounts, `RecordError` where a condition does not suit the door.
    """
    for condition in conditions:
        refuse_misfit(door, condition)
    origin, axis = hinge_axis(door)
    shape = _shape(door)
    struts = [one.strut for one in door.fitted]
    laws = [one.gas_law for one in struts]
    extended = np.array([one.extended_length for one in struts])
    present = _present(door, conditions)
    end, _ = travel_ends(door, shape, present, bottoms_out=bottoms_out)
    cosine, sine = _gravity_terms(door, conditions, origin, axis)
    return statics.Statics(
        geometry=shape,
        extended_length=extended,
        inverse_column=np.array([law.inverse_column for law in laws]),
        friction=np.array([law.friction for law in laws]),
        force_extended=force_extended(struts, conditions) * own_ageing(door, conditions) * present,
        present=present,
        gravity_cosine=cosine,
        gravity_sine=sine,
        hinge_friction=door.hinge.friction_moment,
        end=end,
    )


def travel_ends(
    door: Door,
    shape: geometry.StrutGeometry,
    present: npt.NDArray[np.bool_],
    *,
    bottoms_out: bool = False,
) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """End of travel [c] and whether a strut ends it [c]; refuses struts that do not fit."""
    found: dict[bytes, tuple[float, bool]] = {}
    for row in present:
        key = row.tobytes()
        if key not in found:
            _refuse_long_when_shut(door, shape, row)
            found[key] = _end(door, shape, row)
            too_long = _too_long(door, shape, row, found[key][0])
            if too_long is not None and not bottoms_out:
                raise TravelError(too_long.words)
    ends = [found[row.tobytes()] for row in present]
    return np.array([end for end, _ in ends]), np.array([by_strut for _, by_strut in ends])


def _end(
    door: Door, shape: geometry.StrutGeometry, present: npt.NDArray[np.bool_]
) -> tuple[float, bool]:
    extended = np.array([one.strut.extended_length for one in door.fitted])
    return geometry.end_of_travel(shape, extended, present, door.hinge.stop_angle)


@dataclass(frozen=True, slots=True)
class TooLong:
    """A strut that bottoms out: its mounts come so near each other [m] at an angle [rad].

    lost: the strut without which the panel opens that far; None where all are there.
    """

    fitted: FittedStrut
    apart: float
    angle: float
    lost: FittedStrut | None

    @property
    def excess(self) -> float:
        """By how much it is too long, pushed in by its whole stroke [m]."""
        return shortest_length(self.fitted) - self.apart

    @property
    def words(self) -> str:
        """What is wrong, and what to do."""
        name, excess = self.fitted.strut.name, _gap(self.excess)
        place = "when shut" if self.angle == 0.0 else f"at {np.degrees(self.angle):.3g}°"
        if self.lost is None:
            start = f"Strut {name!r} is {excess} too long {place}: its mounts are"
        else:
            start = (
                f"With {strut_label(self.lost)} lost, strut {name!r} would be {excess} too long"
                f" {place}: its mounts are then"
            )
        return (
            f"{start} {_gap(self.apart)} apart and it is {_gap(shortest_length(self.fitted))} long"
            " when fully pushed in. Move the mounts apart or take a shorter strut."
        )


def bottoming(door: Door) -> dict[int, TooLong]:
    """Struts (index in `door.fitted`) without which the panel opens on until another bottoms out.

    A condition in which one of them is missing cannot be swept (model 11.7). They are among those
    that end the travel: without another one it ends where it did.
    """
    shape, found = _shape(door), {}
    index = np.arange(len(door.fitted))
    if not _end(door, shape, index >= 0)[1]:
        return {}
    for lost in index.tolist():
        present = index != lost
        too_long = _too_long(door, shape, present, _end(door, shape, present)[0])
        if too_long is not None:
            found[lost] = too_long
    return found


def fitting(door: Door, conditions: Iterable[Condition]) -> tuple[Condition, ...]:
    """The conditions without those in which a strut bottoms out because another is missing."""
    without = bottoming(door)
    return tuple(one for one in conditions if one.missing not in without)


def refuse_misfit(door: Door, condition: Condition) -> None:
    """Refuse a condition that names struts the door does not have; raises `RecordError`."""
    struts = len(door.fitted)
    if condition.missing is not None and condition.missing >= struts:
        raise RecordError(
            f"condition {condition.name!r}: missing is {condition.missing}, but the door has"
            f" {struts} struts, counted from 0. Write the index of one that is fitted."
        )
    if condition.strut_ageing is not None and len(condition.strut_ageing) != struts:
        raise RecordError(
            f"condition {condition.name!r}: strut_ageing has {len(condition.strut_ageing)}"
            f" factors; give one for each of the {struts} struts."
        )


def _present(door: Door, conditions: Sequence[Condition]) -> npt.NDArray[np.bool_]:
    index = np.arange(len(door.fitted))
    missing = [-1 if one.missing is None else one.missing for one in conditions]
    return np.asarray(index[None, :] != np.array(missing, dtype=int)[:, None])


def charges(labelled: Floats, tolerance: Floats, conditions: Sequence[Condition]) -> Floats:
    """F1 + f + rating_change + rating_tolerance · tolerance [..., c, s] [N] (model 11.3).

    labelled F1 + f and tolerance [N], each [..., 1, s].
    """
    change = np.array([one.rating_change for one in conditions])[:, None]
    share = np.array([one.rating_tolerance for one in conditions])[:, None]
    return np.asarray(labelled + change + share * tolerance)


def force_of_charge(
    charged: Floats, reach: Floats, pressure: Floats, conditions: Sequence[Condition]
) -> Floats:
    """Gas force at full extension [..., c, s] [N]: charge · (1 - C/G) · ageing · phi(T).

    charged [..., c, s] [N]; reach 1 - C/G and absolute pressure [Pa], each [..., 1, s].
    """
    temperature = np.array([one.temperature for one in conditions])[:, None]
    ageing = np.array([one.ageing for one in conditions])[:, None]
    factor = gas.temperature_factor(temperature, pressure)
    return np.asarray(charged * reach * ageing * factor)


def force_extended(struts: Sequence[Strut], conditions: Sequence[Condition]) -> Floats:
    """Gas force at full extension [N] of each strut in each condition [c, s].

    Model 11.3 and 11.4; all but `strut_ageing`, which belongs to a strut's place in the door.
    Raises `RecordError` where a condition leaves a strut no charge.
    """
    laws = [one.gas_law for one in struts]
    reach = np.array([1.0 - law.distance * law.inverse_column for law in laws])
    pressure = np.array([law.pressure for law in laws])
    labelled = np.array([one.rating + one.gas_law.friction for one in struts])
    tolerance = np.array([used_tolerance(one) for one in struts])
    charged = charges(labelled, tolerance, conditions)
    if charged.size and charged.min() <= 0.0:
        row, column = (int(one) for one in np.unravel_index(charged.argmin(), charged.shape))
        raise RecordError(
            f"condition {conditions[row].name!r}: it takes"
            f" {shown(float(labelled[column] - charged[row, column]), 'force')} off strut"
            f" {struts[column].name!r}, which leaves no charge; make the change smaller."
        )
    return force_of_charge(charged, reach, pressure, conditions)


def own_ageing(door: Door, conditions: Sequence[Condition]) -> Floats:
    """The factor of each fitted strut's own ageing in each condition [c, s]."""
    struts = len(door.fitted)
    own = [one.strut_ageing or (1.0,) * struts for one in conditions]
    return np.array(own).reshape(len(conditions), struts)


def _gravity_terms(
    door: Door, conditions: Sequence[Condition], origin: Floats, axis: Floats
) -> tuple[Floats, Floats]:
    free_fall = statics.gravity(
        np.array([one.pitch for one in conditions]), np.array([one.roll for one in conditions])
    )
    mass = door.panel.mass * np.array([one.mass_factor for one in conditions])
    cosine, sine = statics.gravity_moment_terms(
        mass, np.array(door.panel.centre_of_gravity), origin, axis, free_fall
    )
    added = np.array([one.added_mass for one in conditions])
    if not added.any():
        return cosine, sine
    places = np.array([one.added_at or door.panel.handle for one in conditions])
    more_cosine, more_sine = statics.gravity_moment_terms(added, places, origin, axis, free_fall)
    return cosine + more_cosine, sine + more_sine


def _refuse_long_when_shut(
    door: Door, shape: geometry.StrutGeometry, present: npt.NDArray[np.bool_]
) -> None:
    length, arm = (array[:, 0] for array in geometry.lengths_and_arms(shape, np.zeros(1)))
    for fitted, distance, opens, here in zip(door.fitted, length, arm, present, strict=True):
        if not here:
            continue
        extended = fitted.strut.extended_length
        if distance > extended + geometry.LENGTH_SLACK:
            raise TravelError(
                f"Strut {fitted.strut.name!r} is {_gap(distance - extended)} too short when shut:"
                f" its mounts are {_gap(distance)} apart and it reaches {_gap(extended)}."
                " Bring the mounts nearer or take a longer strut."
            )
        if distance > extended - geometry.LENGTH_SLACK and opens > 0.0:
            raise TravelError(
                f"Strut {fitted.strut.name!r} is fully extended when shut, so the panel cannot"
                " open: bring the mounts nearer or take a longer strut."
            )


def _too_long(
    door: Door, shape: geometry.StrutGeometry, present: npt.NDArray[np.bool_], end: float
) -> TooLong | None:
    """The strut there that is longest, pushed in, for what its mounts are apart on the way; None
    where all fit."""
    length, angle = geometry.shortest(shape, end)
    lost = next((one for one, here in zip(door.fitted, present, strict=True) if not here), None)
    found = [
        TooLong(fitted, float(distance), float(at), lost)
        for fitted, distance, at, here in zip(door.fitted, length, angle, present, strict=True)
        if here and shortest_length(fitted) - distance > geometry.LENGTH_SLACK
    ]
    return max(found, key=lambda one: round(one.excess, 9), default=None)


def shortest_length(fitted: FittedStrut) -> float:
    """Length of a strut pushed in by its whole stroke [m]."""
    return fitted.strut.extended_length - fitted.strut.stroke


PLAIN_LABELS = {
    "left": "the left strut",
    "right": "the right strut",
    f"left{TWIN}": "the right strut",
    f"right{TWIN}": "the left strut",
    "strut": "the strut",
}
"""Names that read badly behind the word strut -> what sentences say."""


def strut_label(fitted: FittedStrut) -> str:
    """A strut as sentences name it: "the left strut", "strut rear", "the twin of strut rear";
    "gas strut 2" stays as it is."""
    if fitted.strut.name in PLAIN_LABELS:
        return PLAIN_LABELS[fitted.strut.name]
    name = fitted.strut.name.removesuffix(TWIN)
    label = name if "strut" in name.casefold().split() else f"strut {name}"
    return label if name == fitted.strut.name else f"the twin of {label}"


def _gap(metres: float) -> str:
    """A length in a message: whole millimetres or sixteenths of an inch, finer where tiny."""
    if sentence_unit() == "in":
        return inch_text(metres, parts=16 if metres >= 0.0254 / 32 else 1024)
    return f"{metres * 1e3:.0f} mm" if metres >= 0.9995e-3 else f"{metres * 1e3:.2g} mm"
