"""Doors in MuJoCo (mujoco-core): lengths, arms, moments and hinge forces by another engine.

Two models of one door. On a hinge: the panel turns about the hinge line and its struts are
spatial tendons. Free: the panel has all six freedoms and is held by two point constraints, one
to the frame and one to a slider that runs without friction along the hinge line, so that it
takes no force along it. MuJoCo softens its constraints by about 1 part in 10 000; the forces found
are therefore put on the panel as loads and the rest is solved again, until none is left.

Only records are taken from the kit. Hinge reactions come from constraint forces, not from
`cfrc_int`, so releases that leave tendon forces out of that sum would do as well.
"""

from dataclasses import dataclass

import mujoco
import numpy as np

from strutkit.describe.records import Condition, Door
from tests import plain_statics as plain

ROUNDS = 40
LEAST_REST = 1e-12
"""What may be left on the constraints, as a share of the largest hinge force."""


@dataclass(frozen=True)
class Measured:
    """What MuJoCo gives at n angles for s struts."""

    length: np.ndarray  # [s, n]
    lever_arm: np.ndarray  # [s, n]
    strut_force: np.ndarray  # [s, n]
    strut_moment: np.ndarray  # [s, n]
    gravity_moment: np.ndarray  # [n]
    moment: np.ndarray  # [n]
    friction_moment: np.ndarray  # [n]
    opening: np.ndarray  # [n]
    closing: np.ndarray  # [n]
    holding: np.ndarray  # [n]


def text(vector: object) -> str:
    """Numbers for MuJoCo's XML, all digits of them."""
    return " ".join(repr(float(one)) for one in np.ravel(vector))


def point_text(name: str, place: object) -> str:
    return f'<site name="{name}" pos="{text(place)}"/>'


def door_model(door: Door, condition: Condition, *, free: bool) -> mujoco.MjModel:
    """The door as a MuJoCo model, its panel on the hinge or free on two point constraints."""
    axis = plain.opening_axis(door)
    loads = "".join(
        f'<body><inertial pos="{text(place)}" mass="{mass!r}" diaginertia="0.1 0.1 0.1"/></body>'
        for mass, place in plain.weights(door, condition)
    )
    joint = (
        "<freejoint/>"
        if free
        else f'<joint type="hinge" pos="{text(door.hinge.first)}" axis="{text(axis)}"/>'
    )
    fixed = "".join(point_text(f"frame{i}", one.frame_mount) for i, one in enumerate(door.fitted))
    moving = "".join(point_text(f"panel{i}", one.panel_mount) for i, one in enumerate(door.fitted))
    handles = point_text("handle", door.panel.handle) + point_text(
        "closing", door.panel.closing_handle or door.panel.handle
    )
    carried = [door.hinge.first, door.hinge.second]
    if door.hinge.thrust_at == "second":
        carried.reverse()
    slider = (
        f'<body name="slider" pos="{text(carried[1])}" gravcomp="1">'
        f'<joint type="slide" axis="{text(axis)}"/>'
        '<inertial pos="0 0 0" mass="1" diaginertia="0.1 0.1 0.1"/></body>'
    )
    held = (
        f'<equality><connect body1="door" body2="world" anchor="{text(carried[0])}"/>'
        f'<connect body1="door" body2="slider" anchor="{text(carried[1])}"/></equality>'
    )
    tendons = "".join(
        f'<spatial name="strut{i}"><site site="frame{i}"/><site site="panel{i}"/></spatial>'
        for i in range(len(door.fitted))
    )
    drives = "".join(f'<motor tendon="strut{i}"/>' for i in range(len(door.fitted)))
    return mujoco.MjModel.from_xml_string(f"""
        <mujoco>
          <option gravity="{text(plain.tilt(condition))}" jacobian="dense" solver="Newton"
                  tolerance="0" iterations="50"/>
          <default><equality solimp="0.9999 0.9999 0.001 0.5 2"/></default>
          <worldbody>
            {fixed}
            <body name="door">{joint}{loads}{moving}{handles}
            </body>
            {slider if free else ""}
          </worldbody>
          {f"<tendon>{tendons}</tendon><actuator>{drives}</actuator>" if tendons else ""}
          {held if free else ""}
        </mujoco>""")


class Rig:
    """One door in one condition, to be measured at any angle."""

    def __init__(self, door: Door, condition: Condition) -> None:
        self.door, self.condition = door, condition
        self.hung = door_model(door, condition, free=False)
        self.hung_state = mujoco.MjData(self.hung)
        self.free = door_model(door, condition, free=True)
        self.free_state = mujoco.MjData(self.free)

    def measure(self, angle: np.ndarray) -> Measured:
        """Lengths, arms, moments and hand forces at each angle."""
        rows = [self._at(float(theta)) for theta in angle]
        columns = [np.array(column).T for column in zip(*rows, strict=True)]
        return Measured(*columns)

    def _at(self, theta: float) -> tuple:
        model, state = self.hung, self.hung_state
        state.qpos[0], state.qvel[0] = theta, 0.0
        state.ctrl[:] = 0.0
        mujoco.mj_forward(model, state)
        length = state.ten_length.copy()
        arm = np.array(state.ten_J).reshape(len(length))
        force, friction = self._gas(length)
        state.ctrl[:] = force
        mujoco.mj_forward(model, state)
        gravity_moment = -float(state.qfrc_bias[0])
        net = float(state.qfrc_actuator[0]) + gravity_moment
        rubbing = float(friction @ np.abs(arm)) + self.door.hinge.friction_moment
        pull, push = self._reach("handle"), self._reach("closing")
        hands = (-(net - rubbing) / pull, (net + rubbing) / push, -net / pull)
        return (length, arm, force, force * arm, gravity_moment, net, rubbing, *hands)

    def _gas(self, length: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        pairs = [
            plain.gas_forces(one, index, self.condition, length[index])
            for index, one in enumerate(self.door.fitted)
        ]
        force = np.array([float(gas) for gas, _ in pairs])
        return force, np.array([friction for _, friction in pairs])

    def _reach(self, site: str) -> float:
        """How far a point of the panel moves for a radian, from MuJoCo's Jacobian."""
        return float(np.linalg.norm(self._movement(site)))

    def _movement(self, site: str) -> np.ndarray:
        moved = np.zeros((3, 1))
        index = self.hung.site(site).id
        mujoco.mj_jacSite(self.hung, self.hung_state, moved, None, index)
        return moved[:, 0]

    def hinge_forces(self, angle: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Force of the frame on the panel at `first` and `second` [n, 3], held by the hand."""
        pairs = np.array([self._hinge_forces_at(float(theta)) for theta in angle])
        return pairs[:, 0], pairs[:, 1]

    def _hinge_forces_at(self, theta: float) -> tuple[np.ndarray, np.ndarray]:
        (_, _, force, *_, holding) = self._at(theta)
        movement = self._movement("handle")
        hand = holding * movement / np.linalg.norm(movement)
        handle = self.hung_state.site("handle").xpos.copy()
        model, state = self.free, self.free_state
        self._pose(theta)
        state.ctrl[:] = force
        panel, slider = model.body("door").id, model.body("slider").id
        places = [np.array(self.door.hinge.first), np.array(self.door.hinge.second)]
        swap = self.door.hinge.thrust_at == "second"
        if swap:
            places.reverse()
        found = np.zeros((2, 3))
        for _ in range(ROUNDS):
            state.qfrc_applied[:] = 0.0
            self._apply(hand, handle, panel)
            self._apply(found[0], places[0], panel)
            self._apply(found[1], places[1], panel)
            self._apply(-found[1], places[1], slider)
            mujoco.mj_forward(model, state)
            rest = state.efc_force.reshape(2, 3)
            found = found + rest
            if np.abs(rest).max() <= LEAST_REST * np.abs(found).max():
                break
        else:
            raise AssertionError(f"{rest} is left on the constraints after {ROUNDS} rounds")
        first, second = found[::-1] if swap else found
        return first, second

    def _pose(self, theta: float) -> None:
        axis, first = plain.opening_axis(self.door), np.array(self.door.hinge.first)
        quaternion, back = np.zeros(4), np.zeros(3)
        mujoco.mju_axisAngle2Quat(quaternion, axis, theta)
        mujoco.mju_rotVecQuat(back, first, quaternion)
        self.free_state.qpos[:] = [*(first - back), *quaternion, 0.0]
        self.free_state.qvel[:] = 0.0

    def _apply(self, force: np.ndarray, place: np.ndarray, body: int) -> None:
        state = self.free_state
        mujoco.mj_applyFT(self.free, state, force, np.zeros(3), place, body, state.qfrc_applied)
