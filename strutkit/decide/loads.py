"""What the two hinge points carry: held by the hand at each angle, and in each case at rest.

Model sections 4, 11.15 and 11.16. Forces act ON THE PANEL, as components in the structure frame;
the frame feels the opposite.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from strutkit.compute import geometry, reactions, statics
from strutkit.decide.conditions import door_statics, hinge_axis, mounts
from strutkit.decide.sweep import Sweep
from strutkit.describe.records import Condition, Door

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HingeCase:
    """One case at rest: forces on the panel at both hinge points [3] [N], and the force of what
    holds it [N] (latch, stop, or pull of each extended strut)."""

    first: Floats
    second: Floats
    force: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HingeLoads:
    """Hinge forces over a sweep, n angles.

    first, second [n, 3]: force on the panel at each hinge point, held by the hand without
    friction [N]; thrust [n]: force along the line, positive from first toward second, all of it
    at `hinge.thrust_at`. cases: "shut and latched", "open stop", "extended strut", "extended
    strut, one alone", each absent where it cannot happen.
    """

    angle: Floats
    first: Floats
    second: Floats
    thrust: Floats
    cases: Mapping[str, HingeCase]


@dataclass(frozen=True, slots=True)
class _Placed:
    """The door turned to each angle [n], arms taken from the first hinge point.

    push [s, n, 3]: unit force of each strut on the panel; push_moment [s, n, 3] its moment.
    """

    angle: Floats
    push: Floats
    push_moment: Floats
    centre: Floats


def hinge_loads(sweep: Sweep) -> HingeLoads:
    """Forces of the hinge on the panel (model section 4).

        R1 + R2 + sum of forces = 0        (P2 - P1) × R2 + sum of moments about P1 = 0

    The hand holds the panel at the handle, tangential, without friction. Six equations, six
    unknowns: both points carry radial force, one carries all of the thrust.
    """
    door, condition = sweep.door, sweep.condition
    placed = _place(door, sweep.angle)
    force, moment = _weight_and_struts(door, (condition,), placed, sweep.strut_force[None])
    hand = _tangent_force(door, door.panel.handle, sweep.angle, sweep.moment[None])
    first, second, thrust = (
        part[0] for part in _reactions(door, force + hand[0], moment + hand[1])
    )
    for array in (first, second, thrust):
        array.flags.writeable = False
    return HingeLoads(
        angle=sweep.angle,
        first=first,
        second=second,
        thrust=thrust,
        cases=hinge_cases(door, condition),
    )


def held_by_hand(
    door: Door, conditions: Sequence[Condition], model: statics.Statics, angle: npt.ArrayLike
) -> tuple[Floats, Floats]:
    """Hinge forces on the panel held by the hand, for each condition of `model` [c, n, 3]."""
    grid = np.asarray(angle, dtype=float)
    at = statics.moments(model, grid)
    force, moment = _weight_and_struts(door, conditions, _place(door, grid), at.strut_force)
    hand = _tangent_force(door, door.panel.handle, grid, at.moment)
    first, second, _ = _reactions(door, force + hand[0], moment + hand[1])
    return first, second


@dataclass(frozen=True, slots=True)
class Reactions:
    """Hinge forces on the panel that is held at some angles n, linear in the struts' gas forces.

    weight [c, n, 2, k]: those of the weight at first and second; strut [s, n, 2, k]: those of
    1 N in each strut; k components.
    """

    weight: Floats
    strut: Floats

    def seen(self, axes: Floats) -> "Reactions":
        """The components along these axes [k, 3]."""
        return Reactions(self.weight @ axes.T, self.strut @ axes.T)

    def forces(self, kept: Floats, scaled: Floats, *, together: bool) -> tuple[Floats, Floats]:
        """Forces v0 of weight and gas forces `kept`, and v1 of `scaled`, [r, n, points, k].

        Gas forces [r, s, n] [N], rows r: the conditions again and again. together: of both points
        as one.
        """
        weight, strut = self.weight, self.strut
        if together:
            weight, strut = weight.sum(axis=2, keepdims=True), strut.sum(axis=2, keepdims=True)
        again = len(kept) // len(weight)
        still = np.einsum("rsn,snpk->rnpk", kept, strut) + np.tile(weight, (again, 1, 1, 1))
        return still, np.einsum("rsn,snpk->rnpk", scaled, strut)


Holder = tuple[Floats, Floats]
"""Force and moment about the first hinge point, each [n, 3], that balance a net moment of 1 N·m."""


def unit_reactions(
    door: Door, conditions: Sequence[Condition], angle: Floats, holder: Holder | None = None
) -> Reactions:
    """Reactions at angles [n], held without friction by `holder` (None: the hand)."""
    placed = _place(door, angle)
    if holder is None:
        holder = _tangent_force(door, door.panel.handle, angle, np.ones_like(angle))
    axis = hinge_axis(door)[1]
    no_force = np.zeros((len(conditions), len(placed.push), len(angle)))
    weight = _weight_and_struts(door, conditions, placed, no_force)

    def held(force: Floats, moment: Floats) -> Floats:
        net = (moment @ axis)[..., None]
        pair = _reactions(door, force + net * holder[0], moment + net * holder[1])
        return np.stack(pair[:2], axis=-2)

    return Reactions(held(*weight), held(placed.push, placed.push_moment))


def holders_at_end(door: Door, model: statics.Statics) -> list[Holder]:
    """What may hold the panel at the end of one travel: the stop, or extended struts, all
    together and each alone (model 11.16)."""
    end = model.end[:1]
    if end[0] == door.hinge.stop_angle:
        return [_tangent_force(door, door.stop, end, np.ones(1))]
    placed = _place(door, end)
    length, arm = geometry.lengths_and_arms(model.geometry, end)
    pulling = _pulling(model, length[:, 0], arm[:, 0])
    groups = [pulling, *([one] for one in pulling if len(pulling) > 1)]
    return [_pull(placed, arm[:, 0], np.asarray(group, dtype=np.intp)) for group in groups]


def _pull(placed: _Placed, arm: Floats, pulling: npt.NDArray[np.intp]) -> Holder:
    """Struts share a pull of 1 N·m equally: T = 1 / sum(arm) each."""
    share = 1.0 / float(arm[pulling].sum())
    back = -share * placed.push[pulling, -1].sum(axis=0)
    turning = -share * placed.push_moment[pulling, -1].sum(axis=0)
    return back[None, :], turning[None, :]


def _pulling(model: statics.Statics, length: Floats, arm: Floats) -> npt.NDArray[np.intp]:
    """Struts of the first condition that are fully extended and would open further."""
    reach = model.extended_length - length <= geometry.LENGTH_SLACK
    return np.flatnonzero(model.present[0] & reach & (arm > 0.0))


def hinge_cases(door: Door, condition: Condition) -> Mapping[str, HingeCase]:
    """The cases at rest of one condition (model 11.15 and 11.16)."""
    conditions = (condition,)
    return cases_at_rest(door, conditions, door_statics(door, conditions))[0]


def cases_at_rest(
    door: Door, conditions: Sequence[Condition], model: statics.Statics
) -> tuple[Mapping[str, HingeCase], ...]:
    """The cases at rest of each condition of `model`, those with one travel together."""
    found: dict[int, Mapping[str, HingeCase]] = {}
    for end in np.unique(model.end):
        rows = np.flatnonzero(model.end == end).tolist()
        group = [conditions[row] for row in rows]
        cases = _cases_with_one_travel(door, group, model.take(rows), float(end))
        found.update(zip(rows, cases, strict=True))
    return tuple(found[row] for row in range(len(conditions)))


def _cases_with_one_travel(
    door: Door, conditions: Sequence[Condition], model: statics.Statics, end: float
) -> list[Mapping[str, HingeCase]]:
    ends = np.array([0.0, end])
    at = statics.moments(model, ends)
    placed = _place(door, ends)
    force, moment = _weight_and_struts(door, conditions, placed, at.strut_force)
    latch = _tangent_force(door, door.panel.handle, ends, at.moment)
    stop = _tangent_force(door, door.stop, ends, at.moment)
    latched = _reactions(door, force + latch[0], moment + latch[1])
    stopped = _reactions(door, force + stop[0], moment + stop[1])
    latch_radius = door.hinge_distance(door.panel.handle)
    stop_radius = door.hinge_distance(door.stop)
    by_stop = end == door.hinge.stop_angle
    several: list[Mapping[str, HingeCase]] = []
    for row in range(len(conditions)):
        shut, net = (float(value) for value in at.moment[row])
        cases = {
            "shut and latched": _case(latched[0][row, 0], latched[1][row, 0], shut / latch_radius)
        }
        if net > 0.0 and by_stop:
            cases["open stop"] = _case(stopped[0][row, 1], stopped[1][row, 1], net / stop_radius)
        elif net > 0.0:
            own = model.take([row])
            cases |= _extended_cases(door, own, at, placed, force[row, 1], moment[row, 1], net)
        several.append(MappingProxyType(cases))
    return several


def _extended_cases(
    door: Door,
    model: statics.Statics,
    at: statics.Moments,
    placed: _Placed,
    force: Floats,
    moment: Floats,
    net: float,
) -> dict[str, HingeCase]:
    """All struts at full extension share the pull, or the worst one takes it alone."""
    length, arm = at.length[:, -1], at.lever_arm[:, -1]
    pulling = _pulling(model, length, arm)
    cases = {"extended strut": _pulled(door, placed, force, moment, net, arm, pulling)}
    if len(pulling) > 1:
        alone = [
            _pulled(door, placed, force, moment, net, arm, pulling[[place]])
            for place in range(len(pulling))
        ]
        cases["extended strut, one alone"] = max(alone, key=lambda case: _worst(door, case))
    return cases


def radial_forces(door: Door, first: Floats, second: Floats) -> tuple[Floats, Floats, Floats]:
    """Radial force at first and second, and of both together [...] [N]."""
    axis = hinge_axis(door)[1]
    return (
        reactions.radial(first, axis),
        reactions.radial(second, axis),
        reactions.radial(first + second, axis),
    )


def _worst(door: Door, case: HingeCase) -> float:
    first, second, _ = radial_forces(door, case.first, case.second)
    return float(max(first, second))


def _place(door: Door, angle: Floats) -> _Placed:
    origin, axis = hinge_axis(door)
    frame, panel = mounts(door)
    place, direction = geometry.strut_directions(frame, panel, origin, axis, angle)
    centre = geometry.rotate(np.array(door.panel.centre_of_gravity), origin, axis, angle)
    return _Placed(
        angle=angle,
        push=direction,
        push_moment=geometry.cross(place - origin, direction),
        centre=centre - origin,
    )


def _weight_and_struts(
    door: Door, conditions: Sequence[Condition], placed: _Placed, strut_force: Floats
) -> tuple[Floats, Floats]:
    """Force and moment about the first hinge point of weight and gas forces, each [c, n, 3].

    strut_force [c, s, n] [N].
    """
    free_fall = np.array([statics.gravity(one.pitch, one.roll) for one in conditions])
    factor = np.array([one.mass_factor for one in conditions])
    weight = (door.panel.mass * factor)[:, None] * free_fall
    force = weight[:, None, :] + np.einsum("csn,snk->cnk", strut_force, placed.push)
    moment = geometry.cross(placed.centre, weight[:, None, :])
    moment += np.einsum("csn,snk->cnk", strut_force, placed.push_moment)
    origin, axis = hinge_axis(door)
    for row, one in enumerate(conditions):
        if one.added_mass > 0.0:
            more = one.added_mass * free_fall[row]
            place = geometry.rotate(np.array(one.added_at), origin, axis, placed.angle) - origin
            force[row] += more
            moment[row] += geometry.cross(place, more)
    return force, moment


def _tangent_force(
    door: Door, place: tuple[float, float, float], angle: Floats, net: Floats
) -> tuple[Floats, Floats]:
    """Force along the arc at a point of the panel that balances `net`, and its moment.

    net [..., n] [N·m]; both [..., n, 3].
    """
    origin, axis = hinge_axis(door)
    arm = geometry.rotate(np.array(place), origin, axis, angle) - origin
    tangent = geometry.cross(axis, arm)
    unit = -tangent / np.sum(tangent**2, axis=-1, keepdims=True)
    return net[..., None] * unit, net[..., None] * geometry.cross(arm, unit)


def _reactions(door: Door, force: Floats, moment: Floats) -> tuple[Floats, Floats, Floats]:
    return reactions.two_point_reactions(
        np.array(door.hinge.first),
        np.array(door.hinge.second),
        force,
        moment,
        thrust_at_first=door.hinge.thrust_at == "first",
    )


def _case(first: Floats, second: Floats, holding: float) -> HingeCase:
    first, second = first.copy(), second.copy()
    first.flags.writeable = second.flags.writeable = False
    return HingeCase(first=first, second=second, force=holding)


def _pulled(
    door: Door,
    placed: _Placed,
    force: Floats,
    moment: Floats,
    net: float,
    arm: Floats,
    pulling: npt.NDArray[np.intp],
) -> HingeCase:
    """The struts `pulling` share the pull T = M / sum(arm) equally (model 11.16)."""
    pull = net / float(arm[pulling].sum())
    back = pull * placed.push[pulling, -1].sum(axis=0)
    turning = pull * placed.push_moment[pulling, -1].sum(axis=0)
    first, second, _ = _reactions(door, force - back, moment - turning)
    return _case(first, second, pull)
