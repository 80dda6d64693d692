"""The calculation of a door at one angle in one condition, step by step from label to hand force.

Model sections 2, 3 and 11. It goes its own way from the door's points to the hand force, in the
plane square to the hinge line, so it also checks the sweep.
"""

import math
from dataclasses import dataclass

from strutkit.compute import gas
from strutkit.compute.statics import STANDARD_GRAVITY
from strutkit.decide.conditions import used_tolerance
from strutkit.describe.fields import Point
from strutkit.describe.records import Condition, Door, FittedStrut
from strutkit.show import formulas, hinge_steps
from strutkit.show.mount_words import between, hung_names
from strutkit.show.plane import hinge_place, side_plane
from strutkit.show.steps import Number, Step, Steps

TO_OPEN = "force to open at the handle"
TO_SHUT = "force to shut at the closing handle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculation:
    """All steps at one angle [rad] in one condition: blocks of a heading and its steps."""

    angle: float
    condition: Condition
    blocks: tuple[tuple[str, tuple[Step, ...]], ...]

    def result(self, says: str) -> Number:
        """The result of the step that says this."""
        return next(step.result for _, block in self.blocks for step in block if step.says == says)


def calculation(door: Door, condition: Condition, angle: float) -> Calculation:
    """Every step from the struts' labels and the door's points to the hand forces."""
    steps = Steps()
    blocks = [("Condition and angle", _start(steps, door, condition, angle))]
    groups = _alike(door, condition)
    pushes: list[hinge_steps.Push] = []
    for number, (count, index) in enumerate(groups, start=1):
        fitted = door.fitted[index]
        heading = _heading(door, index, count)
        tag = f"{number}" if len(groups) > 1 else ""
        _label(steps, fitted, condition, index)
        _place(steps, door, fitted)
        _strut_moment(steps, count, tag)
        pushes.append(hinge_steps.strut_push(steps, door, fitted, count, tag))
        blocks.append((heading, steps.take_block()))
    _weight(steps, door, condition)
    blocks.append(("Weight", steps.take_block()))
    _hand(steps, door, [f"{number}" if len(groups) > 1 else "" for number in _count(groups)])
    blocks.append(("At the handle", steps.take_block()))
    held = hinge_steps.held_by(door, angle, steps.known["M"].value, pushes)
    hinge_steps.hinge(steps, door, condition, pushes, held)
    blocks.append((f"Hinge points and stop, the panel held by {held}", steps.take_block()))
    return Calculation(angle=angle, condition=condition, blocks=tuple(blocks))


def _heading(door: Door, index: int, count: int) -> str:
    """A strut's name and, where there are several, its balls as page 1 names them."""
    parts = [f"Strut {door.fitted[index].strut.name}"]
    if len(door.struts) > 1:
        parts.append(between(hung_names(door)[index]))
    if count > 1:
        parts.append(f"{count} alike")
    return ", ".join(parts)


def _count(groups: list[tuple[int, int]]) -> range:
    return range(1, len(groups) + 1)


def _start(steps: Steps, door: Door, condition: Condition, angle: float) -> tuple[Step, ...]:
    steps.read_off("opening angle", "theta", math.degrees(angle), "°")
    steps.given("temperature", "T", condition.temperature, "K")
    steps.given("ageing of the gas", "alpha", condition.ageing, "")
    steps.given("opening turns outward up (1) or down (−1)", "s", side_plane(door).sense, "")
    return steps.take_block()


def _alike(door: Door, condition: Condition) -> list[tuple[int, int]]:
    """(how many, index of one) of the struts present that do the same, in order."""
    groups: list[tuple[int, int]] = []
    index = 0
    ageing = condition.strut_ageing or (1.0,) * len(door.fitted)
    for one in door.struts:
        places = [index, index + 1] if one.mirrored else [index]
        index += len(places)
        here = [place for place in places if place != condition.missing]
        if len(here) == 2 and ageing[here[0]] == ageing[here[1]]:
            groups.append((2, here[0]))
        else:
            groups.extend((1, place) for place in here)
    return groups


def _label(steps: Steps, fitted: FittedStrut, condition: Condition, index: int) -> None:
    """From the label to the gas force at full extension in this condition, F_E."""
    strut, law = fitted.strut, fitted.strut.gas_law
    steps.given("rating", "F_C", strut.rating, "N")
    steps.given("friction, half the loop", "f", law.friction, "N")
    steps.given("force ratio", "R", law.force_ratio, "")
    steps.given("stroke", "S", strut.stroke, "m")
    steps.given("measuring distance", "C", law.distance, "m")
    steps.work_out("gas force, extended", "a", formulas.charge_extended, "N")
    steps.work_out("gas force, compressed", "b", formulas.charge_compressed, "N")
    steps.work_out("one over the gas column", "kappa", formulas.inverse_column, "1/m")
    steps.work_out("at full extension, label", "F_N", formulas.force_extended, "N")
    change = condition.rating_change + condition.rating_tolerance * used_tolerance(strut)
    charged = "F_N"
    if change:
        charged = "F_X"
        steps.given("change of rating", "Delta", change, "N")
        steps.work_out("gas force, changed", "a_Delta", formulas.charge_changed, "N")
        steps.work_out(
            "at full extension, changed", "F_X", formulas.force_extended, "N", a="a_Delta"
        )
    if condition.temperature == gas.REFERENCE_TEMPERATURE:
        steps.given("temperature factor", "phi", 1.0, "")
    else:
        _temperature(steps, fitted)
    ageing = "alpha"
    if condition.strut_ageing is not None:
        ageing = "alpha_1"
        factor = condition.ageing * condition.strut_ageing[index]
        steps.given("ageing of this strut", "alpha_1", factor, "")
    steps.work_out(
        "at full extension, now",
        "F_E",
        formulas.force_extended_now,
        "N",
        F_N=charged,
        alpha=ageing,
    )


def _temperature(steps: Steps, fitted: FittedStrut) -> None:
    """Real nitrogen at fixed volume: the factor phi."""
    if fitted.strut.rod_diameter is None:
        steps.given("charge pressure, assumed", "p", fitted.strut.gas_law.pressure / 1e6, "MPa")
    else:
        steps.given("rod diameter in mm", "d", fitted.strut.rod_diameter * 1e3, "")
        steps.work_out("charge pressure at 20 °C", "p", formulas.charge_pressure, "MPa")
    steps.work_out("slope for nitrogen", "k", formulas.pressure_slope, "")
    steps.work_out("pressure ratio", "q", formulas.pressure_ratio, "")
    steps.work_out("temperature factor", "phi", formulas.temperature_factor, "")


def _place(steps: Steps, door: Door, fitted: FittedStrut) -> None:
    """From the mounts to length and lever arm at the angle."""
    for ball, place in (("F", fitted.frame_mount), ("D", fitted.panel_mount)):
        at = hinge_place(door, place)
        steps.read_off(f"{ball} outward", f"o_{ball}", at.outward, "m")
        steps.read_off(f"{ball} up", f"u_{ball}", at.upward, "m")
        known = {"o": f"o_{ball}", "u": f"u_{ball}"}
        steps.work_out(f"{ball} from the hinge line", f"r_{ball}", formulas.distance, "m", **known)
        steps.work_out(f"direction of {ball}", f"beta_{ball}", formulas.direction, "°", **known)
    offset = (
        hinge_place(door, fitted.panel_mount).along - hinge_place(door, fitted.frame_mount).along
    )
    steps.read_off("F to D along the hinge line", "w", offset, "m")
    steps.work_out("angle F to D, shut", "psi_0", formulas.angle_when_shut, "°")
    steps.work_out("angle F to D, now", "psi", formulas.angle_between, "°")
    steps.work_out("length of the strut", "L", formulas.strut_length, "m")
    steps.work_out("lever arm", "e", formulas.lever_arm, "m")
    steps.given("extended length", "L_E", fitted.strut.extended_length, "m")


def _strut_moment(steps: Steps, count: int, number: str) -> None:
    steps.work_out("pushed in by", "x", formulas.travel, "m")
    gas_now = f"F_G{number}"
    steps.work_out("gas force now", gas_now, formulas.gas_force, "N")
    steps.given("struts of this kind", "n", count, "")
    steps.work_out("moment of the gas", f"M_S{number}", formulas.strut_moment, "N·m", F=gas_now)
    steps.work_out("moment of friction", f"M_F{number}", formulas.strut_friction, "N·m")


def _weight(steps: Steps, door: Door, condition: Condition) -> None:
    """The gravity moment M_G, added mass included."""
    free_fall = STANDARD_GRAVITY * side_plane(door).gravity(condition)
    steps.read_off("free fall outward", "g_o", float(free_fall[0]), "m/s²")
    steps.read_off("free fall up", "g_u", float(free_fall[1]), "m/s²")
    steps.read_off(
        "free fall along the hinge line", "g_l", hinge_steps.along(door, condition), "m/s²"
    )
    steps.given("mass of the panel", "m", door.panel.mass, "kg")
    mass = "m"
    if condition.mass_factor != 1.0:
        mass = "m_1"
        steps.given("mass factor", "mu", condition.mass_factor, "")
        steps.work_out("mass now", "m_1", formulas.mass_now, "kg")
    added = condition.added_mass > 0.0 and condition.added_at is not None
    name = "M_W" if added else "M_G"
    _one_weight(steps, door, "centre of gravity", door.panel.centre_of_gravity, mass, name)
    hinge_steps.weight_push(steps, door, door.panel.centre_of_gravity, mass, "W")
    if condition.added_mass > 0.0 and condition.added_at is not None:
        steps.given("added mass", "m_A", condition.added_mass, "kg")
        _one_weight(steps, door, "added mass", condition.added_at, "m_A", "M_A")
        hinge_steps.weight_push(steps, door, condition.added_at, "m_A", "A")
        steps.add_up("moment of all weight", "M_G", ["M_W", "M_A"], "N·m")


def _one_weight(steps: Steps, door: Door, what: str, place: Point, mass: str, name: str) -> None:
    at = hinge_place(door, place)
    steps.read_off(f"{what} outward, shut", "o_0", at.outward, "m")
    steps.read_off(f"{what} up, shut", "u_0", at.upward, "m")
    steps.work_out("outward now", "o", formulas.turned_outward, "m", o="o_0", u="u_0")
    steps.work_out("up now", "u", formulas.turned_upward, "m", o="o_0", u="u_0")
    steps.work_out("moment of the weight", name, formulas.weight_moment, "N·m", m=mass)


def _hand(steps: Steps, door: Door, numbers: list[str]) -> None:
    """Net moment, friction, and the hand forces."""
    steps.given("friction of the hinges", "M_H", door.hinge.friction_moment, "N·m")
    steps.add_up("net moment", "M", [*(f"M_S{one}" for one in numbers), "M_G"], "N·m")
    steps.add_up("moment of all friction", "M_R", [*(f"M_F{one}" for one in numbers), "M_H"], "N·m")
    opening = door.hinge_distance(door.panel.handle)
    closing = door.hinge_distance(door.closing_handle)
    steps.read_off("handle from the hinge line", "r_H", opening, "m")
    steps.read_off("closing handle from it", "r_C", closing, "m")
    steps.work_out(TO_OPEN, "P_O", formulas.opening_force, "N")
    steps.work_out(TO_SHUT, "P_C", formulas.closing_force, "N")
