"""A second route to a mount search: turned points, vectors, every rule on a dense grid of angles.

Nothing here comes from the search. Forces and labels are those of `tests/plain_statics.py`;
layouts are pairs of points in space, judged many at once, and searched over a grid of both zones
or by scipy's general optimisers.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import differential_evolution, minimize
from shapely import Polygon, contains_xy, distance, points

from strutkit.describe.records import Condition, Door, Strut, Zone
from tests import plain_statics

RULES = (
    "hand_opening",
    "hand_closing",
    "lift_off",
    "reserve",
    "reserve_force",
    "latch",
    "travel_compressed",
    "travel_extended",
    "hinge_resultant",
)
AT_LEAST = ("reserve", "reserve_force", "travel_compressed", "travel_extended")
ANGLES = 241
SHORT_STEP = 1.5e-8
"""Of forward differences, as scipy takes it: the root of the rounding of doubles."""


@dataclass(frozen=True)
class Axes:
    """The hinge line and two directions across it; the second is a quarter turn of opening on."""

    origin: np.ndarray
    axis: np.ndarray
    first: np.ndarray
    second: np.ndarray

    def flat(self, places: np.ndarray) -> np.ndarray:
        arm = np.asarray(places) - self.origin
        return np.stack([arm @ self.first, arm @ self.second], axis=-1)

    def space(self, flat: np.ndarray, along: float) -> np.ndarray:
        flat = np.asarray(flat)
        across = flat[..., :1] * self.first + flat[..., 1:] * self.second
        return self.origin + across + along * self.axis


def axes(door: Door) -> Axes:
    axis = plain_statics.opening_axis(door)
    spare = np.eye(3)[int(np.argmin(np.abs(axis)))]
    first = spare - (spare @ axis) * axis
    first /= np.linalg.norm(first)
    return Axes(np.array(door.hinge.first), axis, first, np.cross(axis, first))


def service(door: Door) -> list[Condition]:
    """The nominal condition and all without a missing strut."""
    return [Condition(name="new"), *(one for one in door.conditions if one.missing is None)]


def judge(
    door: Door, strut: Strut, count: int, frame: np.ndarray, panel: np.ndarray
) -> dict[str, np.ndarray]:
    """Value of every rule for pairs of mounts [n, 3], and whether the struts fit to the stop.

    The panel opens to its stop: a strut that is too short for that does not fit.
    """
    angle = np.linspace(0.0, door.hinge.stop_angle, ANGLES)
    if door.limits.lift_off is not None:
        late = min(door.limits.lift_off, door.hinge.stop_angle)
        angle = np.unique(np.append(angle, late))
    span = max(0.0, door.hinge.stop_angle - door.limits.reserve_span)
    angle = np.unique(np.append(angle, span))
    around = axes(door)
    turn = plain_statics.Rotation.from_rotvec(angle[:, None] * around.axis).as_matrix()
    place = np.einsum("kij,nj->nki", turn, panel - around.origin)
    line = place - (frame - around.origin)[:, None]
    length = np.sqrt(np.einsum("nki,nki->nk", line, line))
    push = line / length[..., None]
    across = np.stack([around.first, around.second])
    pushed = np.einsum("ci,nki->cnk", across, push)
    (x, y), (push_x, push_y) = np.einsum("ci,nki->cnk", across, place), pushed
    arm = x * push_y - y * push_x
    extended, inverse, friction, pressure = plain_statics.label(strut)
    shortest = strut.extended_length - strut.stroke
    kept, left = length.min(axis=1) - shortest, strut.extended_length - length.max(axis=1)
    rubbing = count * friction * np.abs(arm) + door.hinge.friction_moment
    handle = plain_statics.turned(door, door.panel.handle, angle) - around.origin
    radius = plain_statics.distance_from_line(door, door.panel.handle)
    closing_radius = plain_statics.distance_from_line(door, door.closing_handle)
    found: dict[str, list[np.ndarray]] = {rule: [] for rule in RULES}
    with np.errstate(divide="ignore", invalid="ignore"):
        column = extended / (1.0 - (strut.extended_length - length) * inverse)
    for condition in service(door):
        times = _times(condition, strut, friction, pressure, count)
        if times is None:
            continue
        weight, pull = np.zeros(len(angle)), np.zeros(3)
        for mass, where in plain_statics.weights(door, condition):
            force = mass * plain_statics.tilt(condition)
            turned = plain_statics.turned(door, where, angle) - around.origin
            weight += np.cross(turned, force) @ around.axis
            pull = pull + force
        net = times * column * arm + weight
        found["hand_opening"].append((rubbing - net).max(axis=1) / radius)
        found["hand_closing"].append((rubbing + net).max(axis=1) / closing_radius)
        found["lift_off"].append(_lift_off(angle, net - rubbing))
        last = angle >= span - 1e-12
        found["reserve"].append((net[:, last] / np.abs(weight[last])).min(axis=1))
        found["reserve_force"].append(net[:, last].min(axis=1) / radius)
        found["latch"].append(net[:, 0] / radius)
        tangent = np.cross(around.axis, handle)
        hand = across @ (tangent / np.sum(tangent**2, axis=-1, keepdims=True)).T
        total = (across @ pull)[:, None, None] + times * column * pushed - net * hand[:, None]
        found["hinge_resultant"].append(np.hypot(*total).max(axis=1))
    values = {
        rule: (np.min if rule in AT_LEAST else np.max)(np.array(several), axis=0)
        for rule, several in found.items()
        if several
    }
    for rule in ("hand_opening", "hand_closing", "latch"):
        values[rule] = np.maximum(values[rule], 0.0)
    values["travel_compressed"], values["travel_extended"] = kept, left
    values["fits"] = (kept >= -1.1e-6) & (left >= -1.1e-6)  # 1 µm is within the stroke
    return values


def _times(
    condition: Condition, strut: Strut, friction: float, pressure: float, count: int
) -> float | None:
    """Gas force of all struts in a condition over that of one new strut; None: not asked."""
    own = condition.strut_ageing
    if own is not None and len(own) != count:
        return None
    tolerance = strut.tolerance
    if tolerance is None:
        tolerance = 10.0 if strut.rating <= 200.0 else 0.06 * strut.rating
    change = condition.rating_change + condition.rating_tolerance * tolerance
    charge = (strut.rating + friction + change) / (strut.rating + friction)
    warm = plain_statics.warmth(condition.temperature, pressure)
    return (count if own is None else sum(own)) * charge * condition.ageing * warm


def _lift_off(angle: np.ndarray, raised: np.ndarray) -> np.ndarray:
    """From the last root on; inf where it is not up at the end."""
    down = raised <= 0.0
    last = len(angle) - 1 - np.argmax(down[:, ::-1], axis=1)
    rows = np.arange(len(raised))
    after = np.minimum(last + 1, len(angle) - 1)
    low, high = raised[rows, last], raised[rows, after]
    share = np.where(high > low, -low / np.where(high > low, high - low, 1.0), 0.0)
    root = angle[last] + share * (angle[after] - angle[last])
    root = np.where(down.any(axis=1), root, 0.0)
    return np.where(down[:, -1], np.inf, root)


def holds(door: Door, values: dict[str, np.ndarray], slack: float = 0.0) -> np.ndarray:
    """Whether every rule that has a limit holds, with so much slack relative to the limit."""
    good = values["fits"].copy()
    for rule in RULES:
        limit = getattr(door.limits, rule)
        if limit is None:
            continue
        room = slack * max(abs(limit), 1e-3)
        if rule in AT_LEAST:
            good &= values[rule] >= limit - room
        else:
            good &= values[rule] <= limit + room
    return good


def ranked(values: dict[str, np.ndarray], rank_by: str) -> np.ndarray:
    """What is ranked by, less is better."""
    if rank_by == "hand_force":
        return np.maximum(values["hand_opening"], values["hand_closing"])
    return -values["reserve"] if rank_by == "reserve" else values[rank_by]


def zone_of(door: Door, part: str) -> Zone:
    return next(one for one in door.zones if one.part == part)


def polygon(door: Door, part: str) -> Polygon:
    return Polygon(axes(door).flat(np.array(zone_of(door, part).corners)))


def along(door: Door, part: str) -> float:
    places = (np.array(zone_of(door, part).corners) - axes(door).origin) @ axes(door).axis
    return float(places.max() + places.min()) / 2.0


def grid(door: Door, part: str, spacing: float) -> np.ndarray:
    """Points of a zone on a square grid, corners and points along the outline added [n, 2]."""
    shape = polygon(door, part)
    low_x, low_y, high_x, high_y = shape.bounds
    x, y = np.meshgrid(np.arange(low_x, high_x, spacing), np.arange(low_y, high_y, spacing))
    inner = np.stack([x.ravel(), y.ravel()], axis=1)
    inner = inner[contains_xy(shape, inner)]
    rim = [
        shape.exterior.interpolate(one).coords[0] for one in np.arange(0.0, shape.length, spacing)
    ]
    corners = np.array(shape.exterior.coords)[:-1]
    return np.concatenate([inner, np.array(rim), corners])


def grid_search(
    door: Door, strut: Strut, count: int, spacing: float, rank_by: str
) -> tuple[float, int]:
    """Best cost over the grid of both zones, and how many layouts hold all rules."""
    around = axes(door)
    frame = around.space(grid(door, "frame", spacing), along(door, "frame"))
    panel = around.space(grid(door, "panel", spacing), along(door, "panel"))
    best, held = np.inf, 0
    for some in np.array_split(frame, max(1, len(frame) * len(panel) // 3000)):
        first = np.repeat(some, len(panel), axis=0)
        second = np.tile(panel, (len(some), 1))
        values = judge(door, strut, count, first, second)
        good = holds(door, values)
        held += int(good.sum())
        best = min(best, float(ranked(values, rank_by)[good].min(initial=np.inf)))
    return best, held


def penalty(door: Door, values: dict[str, np.ndarray], rank_by: str) -> np.ndarray:
    """Ranked value and a price on everything that is over a limit [n]."""
    over = np.zeros(len(values["fits"]))
    travel = {"travel_compressed": 0.0, "travel_extended": 0.0}
    for rule in RULES:
        limit = getattr(door.limits, rule)
        limit = travel.get(rule) if limit is None else limit
        if limit is None:
            continue
        size = 0.005 if rule.startswith("travel") else max(abs(limit), 0.1)
        excess = limit - values[rule] if rule in AT_LEAST else values[rule] - limit
        over += np.clip(np.nan_to_num(excess, nan=1e3, posinf=1e3), 0.0, 1e3) / size
    value = np.nan_to_num(ranked(values, rank_by), nan=1e3, posinf=1e3)
    return np.where(over > 0.0, 1e4 + 1e3 * over, value)


class Flat:
    """Layouts as four coordinates in both zones' bounding boxes, for general optimisers."""

    def __init__(self, door: Door, strut: Strut, count: int, rank_by: str) -> None:
        self.door, self.strut, self.count, self.rank_by = door, strut, count, rank_by
        self.around = axes(door)
        self.shapes = [polygon(door, part) for part in ("frame", "panel")]
        self.along = [along(door, part) for part in ("frame", "panel")]
        self.bounds = [
            side for shape in self.shapes for side in (shape.bounds[0::2], shape.bounds[1::2])
        ]

    def mounts(self, coordinates: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        flat = np.atleast_2d(coordinates)
        return (
            self.around.space(flat[:, :2], self.along[0]),
            self.around.space(flat[:, 2:], self.along[1]),
        )

    def values(self, coordinates: np.ndarray) -> dict[str, np.ndarray]:
        return judge(self.door, self.strut, self.count, *self.mounts(coordinates))

    def outside(self, coordinates: np.ndarray) -> np.ndarray:
        flat = np.atleast_2d(coordinates)
        return sum(
            distance(shape, points(flat[:, 2 * part : 2 * part + 2]))
            for part, shape in enumerate(self.shapes)
        )

    def cost(self, coordinates: np.ndarray) -> np.ndarray:
        found = penalty(self.door, self.values(coordinates), self.rank_by)
        outside = self.outside(coordinates)
        return np.where(outside > 0.0, 1e6 + 1e6 * outside, found)

    def best_by_evolution(self, seed: int, generations: int = 80) -> float:
        """Best cost by differential evolution, inf where it finds nothing that holds."""
        answer = differential_evolution(
            lambda columns: self.cost(columns.T),
            self.bounds,
            seed=seed,
            popsize=16,
            maxiter=generations,
            tol=1e-8,
            polish=False,
            vectorized=True,
            updating="deferred",
        )
        if answer.fun >= 1e4:
            return np.inf
        return self._refined(answer.x, float(answer.fun))

    def _refined(self, start: np.ndarray, cost: float) -> float:
        """A start improved by sequential quadratic programming on Cartesian coordinates."""
        place, best = start, cost
        for _ in range(3):
            found = self._stepped(place)
            price = float(self.cost(found)[0])
            if price >= best:
                break
            place, best = found, price
        return best

    def _stepped(self, start: np.ndarray) -> np.ndarray:
        scale = 1e-3

        def rows_and_rank(steps: np.ndarray) -> np.ndarray:
            places = start + scale * steps[:, :4]
            values = self.values(places)
            rank = steps[:, 4] - ranked(values, self.rank_by)
            return np.stack([*self._slacks(values), *self._insides(places), rank])

        def slopes(step: np.ndarray) -> np.ndarray:
            rows = rows_and_rank(step + SHORT_STEP * np.vstack([np.zeros(5), np.eye(5)]))
            return (rows[:, 1:] - rows[:, :1]) / SHORT_STEP

        first = np.append(np.zeros(4), ranked(self.values(start), self.rank_by)[0])
        answer = minimize(
            lambda step: step[4],
            first,
            jac=lambda _: np.eye(5)[4],
            constraints={
                "type": "ineq",
                "fun": lambda step: rows_and_rank(step[None])[:, 0],
                "jac": slopes,
            },
            method="SLSQP",
            options={"maxiter": 60},
        )
        return start + scale * answer.x[:4]

    def _slacks(self, values: dict[str, np.ndarray]) -> list[np.ndarray]:
        slacks = [values["travel_compressed"] * 1e3, values["travel_extended"] * 1e3]
        for rule in RULES:
            limit = getattr(self.door.limits, rule)
            if limit is None:
                continue
            size = 1e3 if rule.startswith("travel") else 1.0
            slack = values[rule] - limit if rule in AT_LEAST else limit - values[rule]
            slacks.append(np.clip(slack, -1e3, 1e3) * size)
        return slacks

    def _insides(self, coordinates: np.ndarray) -> list[np.ndarray]:
        return [
            -1e3 * distance(shape, points(coordinates[:, 2 * part : 2 * part + 2]))
            for part, shape in enumerate(self.shapes)
        ]
