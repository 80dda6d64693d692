"""A second route to the numbers of a door: turned points, vectors and cross products.

Nothing here comes from the kit but the records that hold what the builder states. Turning is
scipy's `Rotation`; the gas law is solved from the definition of F1 and F2 with scipy's `brentq`;
gravity is turned by rotation matrices; moments are cross products of forces and places.
"""

from functools import lru_cache

import numpy as np
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from strutkit.describe.records import Condition, Door, FittedStrut, Point, Strut

NAMED = {
    "out": (1, 0, 0),
    "in": (-1, 0, 0),
    "right": (0, 1, 0),
    "left": (0, -1, 0),
    "up": (0, 0, 1),
    "down": (0, 0, -1),
}
FREE_FALL = 9.80665  # [m/s²], 3rd CGPM 1901, exact
AIR = 101325.0  # standard atmosphere [Pa], ISO 2533:1975, from memory


def opening_axis(door: Door) -> np.ndarray:
    """The unit vector along the hinge line about which a growing angle opens the panel."""
    first, second = np.array(door.hinge.first), np.array(door.hinge.second)
    axis = (second - first) / np.linalg.norm(second - first)
    asked = door.hinge.opens_toward
    wanted = np.array(NAMED[asked] if isinstance(asked, str) else asked, dtype=float)
    small = Rotation.from_rotvec(1e-3 * axis).apply(np.array(door.panel.handle) - first)
    moved = small - (np.array(door.panel.handle) - first)
    return axis if moved @ wanted > 0.0 else -axis


def turned(door: Door, place: Point | np.ndarray, angle: np.ndarray) -> np.ndarray:
    """A point of the panel at each angle [n, 3]."""
    first = np.array(door.hinge.first)
    turn = Rotation.from_rotvec(np.asarray(angle)[:, None] * opening_axis(door))
    return turn.apply(np.asarray(place) - first) + first


def tilt(condition: Condition) -> np.ndarray:
    """Acceleration of free fall in the structure frame [3].

    The structure is turned about its y axis so that +x tips up by the pitch, then about its own
    x axis so that +y tips up by the roll; seen from it, gravity turns the other way.
    """
    nose_up = Rotation.from_euler("y", -condition.pitch)
    lean = Rotation.from_euler("x", condition.roll)
    structure = nose_up * lean
    return structure.inv().apply([0.0, 0.0, -FREE_FALL])


def label(strut: Strut) -> tuple[float, float, float, float]:
    """Gas force at full extension [N], 1/G [1/m], friction [N], charge pressure [Pa].

    F1 = K/(G - C) - f and F2 = r F1 = K/(G - S + C) - f for a gas column G with K = Fext G.
    What the label leaves out is stated in the model: force ratio 1.3, 10 MPa, and half the entry
    of table B.1 of the design standard for gas springs (annex B) as friction.
    """
    ratio = 1.3 if strut.force_ratio is None else strut.force_ratio
    friction = table_friction(strut.rating) if strut.friction is None else strut.friction
    near = 0.005 if strut.stroke <= 0.080 else 0.010
    C = near if strut.measuring_distance is None else strut.measuring_distance
    F1, F2, S = strut.rating, ratio * strut.rating, strut.stroke
    if ratio == 1.0:
        extended, inverse = F1 + friction, 0.0
    else:
        extended, inverse = _column(F1 + friction, F2 + friction, S, C)
    if strut.rod_diameter is None:
        return extended, inverse, friction, 10e6
    return extended, inverse, friction, AIR + extended / (np.pi * strut.rod_diameter**2 / 4)


@lru_cache(maxsize=4096)
def _column(a: float, b: float, S: float, C: float) -> tuple[float, float]:
    def mismatch(G: float) -> float:
        return a * (G - C) - b * (G - S + C)

    G = brentq(mismatch, S, 1e6, xtol=1e-300, rtol=1e-15, maxiter=500)
    K = a * (G - C)
    return K / G, 1.0 / G


def table_friction(rating: float) -> float:
    """Half of table B.1, annex B of the design standard for gas springs: <=100: 25; >100-200: 30;
    >200-400: 40; >400-600: 60; >600-800: 80; >800-1000: 100; >1000-1200: 130; >1200: 150 N."""
    bounds = [100, 200, 400, 600, 800, 1000, 1200]
    whole = [25, 30, 40, 60, 80, 100, 130, 150]
    return whole[int(np.searchsorted(bounds, rating, side="left"))] / 2.0


def warmth(temperature: float, pressure: float) -> float:
    """Gas force at a temperature over that at 20 °C, by the closed fit to nitrogen."""
    p = pressure / 1e6
    q = 1 + (1 + 0.02582 * p - 0.000257 * p**2) * (temperature - 293.15) / 293.15
    return (pressure * q - AIR) / (pressure - AIR)


def gas_forces(fitted: FittedStrut, index: int, condition: Condition, length: np.ndarray):
    """Gas force of one fitted strut [n], and its friction [N]; both 0 for a missing one."""
    if condition.missing == index:
        return np.zeros_like(length), 0.0
    strut = fitted.strut
    extended, inverse, friction, pressure = label(strut)
    if strut.tolerance is not None:
        tolerance = strut.tolerance
    else:
        tolerance = 10.0 if strut.rating <= 200.0 else 0.06 * strut.rating
    change = condition.rating_change + condition.rating_tolerance * tolerance
    charge = (strut.rating + friction + change) / (strut.rating + friction)
    own = 1.0 if condition.strut_ageing is None else condition.strut_ageing[index]
    factor = charge * condition.ageing * own * warmth(condition.temperature, pressure)
    column = extended * factor / (1.0 - (strut.extended_length - length) * inverse)
    return column, friction


def weights(door: Door, condition: Condition) -> list[tuple[float, Point]]:
    """The masses on the panel and where they are when it is shut."""
    own = (door.panel.mass * condition.mass_factor, door.panel.centre_of_gravity)
    if condition.added_mass == 0.0 or condition.added_at is None:
        return [own]
    return [own, (condition.added_mass, condition.added_at)]


def forces(door: Door, condition: Condition, angle: np.ndarray):
    """Force and place [n, 3] of each weight and each strut on the panel."""
    pull = tilt(condition)
    for mass, place in weights(door, condition):
        yield np.broadcast_to(mass * pull, (len(angle), 3)), turned(door, place, angle)
    for index, fitted in enumerate(door.fitted):
        place = turned(door, fitted.panel_mount, angle)
        line = place - np.array(fitted.frame_mount)
        length = np.linalg.norm(line, axis=-1)
        force, _ = gas_forces(fitted, index, condition, length)
        yield force[:, None] * line / length[:, None], place


def moments(door: Door, condition: Condition, angle: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Net moment without friction and friction moment about the hinge line, each [n]."""
    angle = np.atleast_1d(np.asarray(angle, dtype=float))
    first, axis = np.array(door.hinge.first), opening_axis(door)
    net = np.zeros(len(angle))
    for force, place in forces(door, condition, angle):
        net += np.cross(place - first, force) @ axis
    rubbing = np.full(len(angle), door.hinge.friction_moment)
    for index, fitted in enumerate(door.fitted):
        place = turned(door, fitted.panel_mount, angle)
        line = place - np.array(fitted.frame_mount)
        length = np.linalg.norm(line, axis=-1)
        _, friction = gas_forces(fitted, index, condition, length)
        arm = np.cross(place - first, line / length[:, None]) @ axis
        rubbing += friction * np.abs(arm)
    return net, rubbing


def distance_from_line(door: Door, place: Point) -> float:
    """Distance of a point from the hinge line: what is left of it beside its shadow on the line."""
    first, second = np.array(door.hinge.first), np.array(door.hinge.second)
    line, arm = second - first, np.array(place) - first
    return float(np.linalg.norm(arm - line * (arm @ line) / (line @ line)))
