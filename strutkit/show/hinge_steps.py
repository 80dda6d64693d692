"""Steps of the calculation from the pushes on the panel to the hinge points and the stop.

Model sections 4, 11.15 and 11.16, without the sweep's vectors: every force on the panel is taken
apart outward, up and along the hinge line, and turns about the first hinge point. A mirrored pair
is one push in the panel's middle, since its parts along the line cancel.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from strutkit.compute import statics
from strutkit.compute.geometry import LENGTH_SLACK
from strutkit.describe.fields import Point
from strutkit.describe.hinge_points import along_axis, hinge_point_names
from strutkit.describe.records import Condition, Door, FittedStrut
from strutkit.show import formulas
from strutkit.show.plane import hinge_place
from strutkit.show.steps import Steps

STOP_TAKES = "force on the stop"
PULL = "pull inside each extended strut"
RADIAL = "hinge point, radial"
THRUST = "thrust along the hinge line"
PRINTED = 1e-5
"""The last figure of a length in the steps [m]."""


@dataclass(frozen=True, slots=True)
class Push:
    """A force on the panel: what its symbols end in, whether it has a part along the line, and
    whether it is a fully extended strut."""

    tag: str
    along: bool
    extended: bool = False


def along(door: Door, condition: Condition) -> float:
    """Free fall along the hinge line [m/s²]."""
    return float(statics.gravity(condition.pitch, condition.roll) @ along_axis(door))


def _from_first(door: Door, place: float) -> float:
    """How far a place along the hinge line lies from the first hinge point [m]."""
    return place - hinge_place(door, door.hinge.first).along


def strut_push(steps: Steps, door: Door, fitted: FittedStrut, count: int, number: str) -> Push:
    """Where the push of `count` equal struts acts now, and its shares."""
    tag = f"S{number}"
    place = hinge_place(door, fitted.panel_mount).along if count == 1 else 0.0
    turned = {"o": "o_D", "u": "u_D"}
    steps.work_out("D outward now", f"o_{tag}", formulas.turned_outward, "m", **turned)
    steps.work_out("D up now", f"u_{tag}", formulas.turned_upward, "m", **turned)
    steps.work_out(
        "outward share of the push", f"i_{tag}", formulas.share_outward, "", o_P=f"o_{tag}"
    )
    steps.work_out("upward share", f"j_{tag}", formulas.share_upward, "", u_P=f"u_{tag}")
    if count == 1:
        steps.work_out("share along", f"k_{tag}", formulas.share_along, "")
    steps.read_off(
        f"D from the {hinge_point_names(door)[0]} hinge point",
        f"q_{tag}",
        _from_first(door, place),
        "m",
    )
    steps.given("struts of this kind", f"n_{tag}", count, "")
    gap = steps.known["L_E"].value - steps.known["L"].value
    extended = gap <= LENGTH_SLACK + PRINTED and steps.known["e"].value > 0.0
    steps.keep(f"e_{tag}", "e")
    return Push(tag, along=count == 1, extended=extended)


def weight_push(steps: Steps, door: Door, place: Point, mass: str, tag: str) -> None:
    """Components of a weight, and where it acts now."""
    steps.keep(f"o_{tag}", "o")
    steps.keep(f"u_{tag}", "u")
    steps.read_off(
        f"from the {hinge_point_names(door)[0]} hinge point",
        f"q_{tag}",
        _from_first(door, hinge_place(door, place).along),
        "m",
    )
    for letter, way in (("X", "o"), ("Y", "u"), ("Z", "l")):
        says = {"X": "weight outward", "Y": "weight up", "Z": "weight along"}[letter]
        known = {"m": mass, "g": f"g_{way}"}
        steps.work_out(says, f"{letter}_{tag}", formulas.weight_part, "N", **known)


def held_by(door: Door, angle: float, moment: float, pushes: list[Push]) -> str:
    """What holds the panel at rest at an angle: the latch, the hand, the stop or its struts."""
    if angle == 0.0:
        return "the latch"
    if moment > 0.0 and math.isclose(angle, door.hinge.stop_angle, abs_tol=1e-9):
        return "its stop"
    if moment > 0.0 and any(one.extended for one in pushes):
        return "its extended struts"
    return "the hand"


def hinge(steps: Steps, door: Door, condition: Condition, pushes: list[Push], held: str) -> None:
    """From all pushes to both hinge points, the thrust and what the stop takes."""
    if held == "its extended struts":
        _pull(steps, pushes)
    for one in pushes:
        _strut_parts(steps, one, held == "its extended struts" and one.extended)
    forces = [*pushes, Push("W", along=True)]
    if condition.added_mass > 0.0 and condition.added_at is not None:
        forces.append(Push("A", along=True))
    if held != "its extended struts":
        _hold(steps, door, held)
        forces.append(Push("H", along=False))
    for one in forces:
        _turnings(steps, one)
    _reactions(steps, door, forces)


def _pull(steps: Steps, pushes: list[Push]) -> None:
    tags = [one.tag for one in pushes if one.extended]
    for tag in tags:
        known = {"n": f"n_{tag}", "e": f"e_{tag}"}
        steps.work_out("lever arms together", f"E_{tag}", formulas.arm_of_pull, "m", **known)
    steps.add_up("lever arms of all that pull", "E", [f"E_{tag}" for tag in tags], "m")
    steps.work_out(PULL, "T_P", formulas.pull_inside, "N")


def _strut_parts(steps: Steps, one: Push, pulled: bool) -> None:
    force = f"F_G{one.tag[1:]}"
    if pulled:
        steps.work_out(
            "push on its mounts", f"F_R{one.tag[1:]}", formulas.less_pull, "N", F=force, T="T_P"
        )
        force = f"F_R{one.tag[1:]}"
    parts = [("X", "i", "strut outward"), ("Y", "j", "strut up"), ("Z", "k", "strut along")]
    for letter, share, says in parts if one.along else parts[:2]:
        known = {"n": f"n_{one.tag}", "F": force, "i": f"{share}_{one.tag}"}
        steps.work_out(says, f"{letter}_{one.tag}", formulas.part_of_push, "N", **known)


def _hold(steps: Steps, door: Door, held: str) -> None:
    """What holds the panel, along the arc at the handle or at the stop."""
    place = door.stop if held == "its stop" else door.panel.handle
    at = hinge_place(door, place)
    what = {"its stop": "stop", "the latch": "latch"}.get(held, "handle")
    steps.read_off(f"{what} outward, shut", "o_0", at.outward, "m")
    steps.read_off(f"{what} up, shut", "u_0", at.upward, "m")
    steps.read_off(
        f"from the {hinge_point_names(door)[0]} hinge point",
        "q_H",
        _from_first(door, at.along),
        "m",
    )
    steps.work_out("from the hinge line", "r_P", formulas.distance, "m", o="o_0", u="u_0")
    turned = {"o": "o_0", "u": "u_0"}
    steps.work_out("outward now", "o_H", formulas.turned_outward, "m", **turned)
    steps.work_out("up now", "u_H", formulas.turned_upward, "m", **turned)
    says = "held with, + toward open" if what != "stop" else STOP_TAKES + ", − shuts"
    steps.work_out(says, "P", formulas.holding_force, "N", r="r_P")
    steps.work_out("outward", "X_H", formulas.arc_outward, "N", u="u_H", r="r_P")
    steps.work_out("up", "Y_H", formulas.arc_upward, "N", o="o_H", r="r_P")


def _turnings(steps: Steps, one: Push) -> None:
    """What a force turns about the first hinge point: K outward, J up."""
    for letter, part, arm, says in (("K", "X", "o", "outward"), ("J", "Y", "u", "up")):
        known = {"q": f"q_{one.tag}", "X": f"{part}_{one.tag}"}
        function: Callable[..., float] = formulas.turning_square
        if one.along:
            known |= {"o": f"{arm}_{one.tag}", "Z": f"Z_{one.tag}"}
            function = formulas.turning
        steps.work_out(f"turns {says}", f"{letter}_{one.tag}", function, "N·m", **known)


def _reactions(steps: Steps, door: Door, forces: list[Push]) -> None:
    first, second = hinge_point_names(door)
    apart = hinge_place(door, door.hinge.second).along
    steps.read_off(f"{first} to {second} hinge point", "d_P", _from_first(door, apart), "m")
    for part, turn, way in (("X", "K", "o"), ("Y", "J", "u")):
        says = "outward" if way == "o" else "up"
        steps.add_up(f"all forces {says}", part, [f"{part}_{one.tag}" for one in forces], "N")
        steps.add_up(f"all turn {says}", turn, [f"{turn}_{one.tag}" for one in forces], "N·m")
        known = {"K": turn, "d": "d_P"}
        steps.work_out(f"{second}, {says}", f"R_2{way}", formulas.at_second, "N", **known)
        known = {"X": part, "R": f"R_2{way}"}
        steps.work_out(f"{first}, {says}", f"R_1{way}", formulas.at_first, "N", **known)
    for number, name in ((1, first), (2, second)):
        known = {"o": f"R_{number}o", "u": f"R_{number}u"}
        steps.work_out(f"{name} {RADIAL}", f"R_{number}", formulas.distance, "N", **known)
    axial = [f"Z_{one.tag}" for one in forces if one.along]
    steps.add_up("all forces along", "Z", axial, "N")
    steps.work_out(THRUST, "R_l", formulas.thrust, "N")
