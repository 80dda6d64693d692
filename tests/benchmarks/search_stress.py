"""Mount search on awkward random problems, each with one layout that is known to hold.

    python -m tests.benchmarks.search_stress [--count 300] [--first 0]

Zones lie anywhere round the hinge line, near it or far round it; stops up to 340 degrees; flaps
that fall open, struts over centre or against opening, struts that end the travel, pairs, tired
struts, offsets along the line, drilling error. Limits are those of one layout eased by a little, so
often only a sliver of layouts holds them. What is looked for: nothing fits where that layout
does, a bound that it or any of thousands of random layouts beats, a candidate that breaks a rule,
a stopped search whose bound is not honest. Layouts are judged here in the plane by turned complex
numbers, up to where each strut ends the travel.
"""

import argparse
import math
import sys
import time
from dataclasses import dataclass, replace

import numpy as np
from shapely import Polygon, contains_xy

from strutkit.decide.findings import check
from strutkit.decide.search.answers import MountSearch, find_mounts
from strutkit.describe.records import Condition, Door, Hinge, Limits, Panel, Strut, Zone
from tests import plain_statics
from tests.search import plain_search
from tests.search.plain_search import AT_LEAST, RULES, Axes, axes

RANKINGS = ("hand_force", "reserve", "hinge_resultant")
NODES = 181
TIME_LIMIT = 20.0
SIZES = {"lift_off": 0.05, "reserve": 0.02, "travel_compressed": 1e-3, "travel_extended": 1e-3}


@dataclass(frozen=True)
class Awkward:
    """A problem, and one layout of it that holds: its strut, count and mounts in the plane."""

    door: Door
    stock: tuple[Strut, ...]
    rank_by: str
    least_opening: float | None
    drilling_error: float
    strut: Strut
    count: int
    frame: complex
    panel: complex
    cost: float


@dataclass(frozen=True)
class Flat:
    """A door in the plane square to its hinge line."""

    around: Axes
    along: tuple[float, float]
    shapes: tuple[Polygon, Polygon]

    @staticmethod
    def of(door: Door) -> "Flat":
        parts = ("frame", "panel")
        return Flat(
            axes(door),
            tuple(plain_search.along(door, part) for part in parts),  # type: ignore[arg-type]
            tuple(plain_search.polygon(door, part) for part in parts),  # type: ignore[arg-type]
        )

    def complex(self, place: tuple[float, ...] | np.ndarray) -> complex:
        x, y = self.around.flat(np.array(place))
        return complex(x, y)


def lengths(flat: Flat, frame: np.ndarray, panel: np.ndarray, angle: np.ndarray) -> np.ndarray:
    """Strut lengths [n, k] at angles [n, k]."""
    line = panel[:, None] * np.exp(1j * angle) - frame[:, None]
    return np.hypot(np.abs(line), flat.along[1] - flat.along[0])


def ends(
    flat: Flat, stop: float, strut: Strut, frame: np.ndarray, panel: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """End of travel of each layout, and whether its strut ends it [n]."""
    angle = np.broadcast_to(np.linspace(0.0, stop, 721), (len(frame), 721))
    long = lengths(flat, frame, panel, angle) > strut.extended_length + 1e-6
    by_strut = long.any(axis=1)
    first = np.maximum(long.argmax(axis=1), 1)
    rows = np.arange(len(frame))
    low, high = angle[rows, first - 1].copy(), angle[rows, first].copy()
    for _ in range(60):
        middle = (low + high) / 2.0
        over = lengths(flat, frame, panel, middle[:, None])[:, 0] > strut.extended_length
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return np.where(by_strut, low, stop), by_strut


def judge(
    door: Door,
    strut: Strut,
    count: int,
    frame: np.ndarray,
    panel: np.ndarray,
    least: float | None,
) -> dict[str, np.ndarray]:
    """Value of every rule for layouts [n], and whether they fit."""
    flat, stop = Flat.of(door), door.hinge.stop_angle
    frame, panel = np.atleast_1d(frame), np.atleast_1d(panel)
    end, by_strut = ends(flat, stop, strut, frame, panel)
    angle = end[:, None] * np.linspace(0.0, 1.0, NODES)
    span = np.maximum(0.0, end - door.limits.reserve_span)
    extra = [span[:, None]]
    if door.limits.lift_off is not None:
        extra.append(np.minimum(door.limits.lift_off, end)[:, None])
    angle = np.sort(np.concatenate([angle, *extra], axis=1), axis=1)
    line = panel[:, None] * np.exp(1j * angle) - frame[:, None]
    length = lengths(flat, frame, panel, angle)
    arm = (frame[:, None].conj() * panel[:, None] * np.exp(1j * angle)).imag / length
    extended, inverse, friction, pressure = plain_statics.label(strut)
    kept = length.min(axis=1) - (strut.extended_length - strut.stroke)
    left = np.where(by_strut, np.inf, strut.extended_length - length.max(axis=1))
    rubbing = count * friction * np.abs(arm) + door.hinge.friction_moment
    handle = flat.complex(door.panel.handle)
    radius, closing = abs(handle), abs(flat.complex(door.closing_handle))
    with np.errstate(divide="ignore", invalid="ignore"):
        column = extended / (1.0 - (strut.extended_length - length) * inverse)
    found: dict[str, list[np.ndarray]] = {rule: [] for rule in RULES}
    for condition in plain_search.service(door):
        times = plain_search._times(condition, strut, friction, pressure, count)
        if times is None:
            continue
        fall = flat.complex(flat.around.origin + plain_statics.tilt(condition))
        weight, pull = np.zeros_like(angle), 0.0
        for mass, where in plain_statics.weights(door, condition):
            place = flat.complex(where) * np.exp(1j * angle)
            weight = weight + (place.conj() * mass * fall).imag
            pull += mass * fall
        net = times * column * arm + weight
        late = angle >= span[:, None] - 1e-12
        found["hand_opening"].append((rubbing - net).max(axis=1) / radius)
        found["hand_closing"].append((rubbing + net).max(axis=1) / closing)
        found["lift_off"].append(_lift_off(angle, net - rubbing))
        with np.errstate(divide="ignore"):
            share = np.where(late, net / np.abs(weight), np.inf)
        found["reserve"].append(share.min(axis=1))
        found["reserve_force"].append(np.where(late, net, np.inf).min(axis=1) / radius)
        found["latch"].append(net[:, 0] / radius)
        hand = -net / radius * 1j * handle / radius * np.exp(1j * angle)
        total = pull + times * column * line / length + hand
        found["hinge_resultant"].append(np.abs(total).max(axis=1))
    values = {
        rule: (np.min if rule in AT_LEAST else np.max)(np.array(several), axis=0)
        for rule, several in found.items()
        if several
    }
    for rule in ("hand_opening", "hand_closing", "latch"):
        values[rule] = np.maximum(values[rule], 0.0)
    values["travel_compressed"], values["travel_extended"] = kept, left
    shut = length[:, 0]
    fits = (kept >= -0.9e-6) & (shut <= strut.extended_length)
    fits &= (left >= 0.0) | by_strut
    values["fits"] = fits & (end >= (stop if least is None else min(least, stop)) - 1e-9)
    return values


def _lift_off(angle: np.ndarray, raised: np.ndarray) -> np.ndarray:
    """Upper end of the step in which the last root lies; inf where it is not up at the end."""
    down = raised <= 0.0
    last = angle.shape[1] - 1 - np.argmax(down[:, ::-1], axis=1)
    rows = np.arange(len(raised))
    after = np.minimum(last + 1, angle.shape[1] - 1)
    low, high = raised[rows, last], raised[rows, after]
    share = np.where(high > low, -low / np.where(high > low, high - low, 1.0), 0.0)
    root = angle[rows, last] + share * (angle[rows, after] - angle[rows, last])
    return np.where(down[:, -1], np.inf, np.where(down.any(axis=1), root, 0.0))


def worst_moved(
    door: Door,
    strut: Strut,
    count: int,
    frame: complex,
    panel: complex,
    least: float | None,
    delta: float,
) -> dict[str, np.ndarray]:
    """Values of a layout, each the worst within the drilling error, by trying 24 x 24 moves."""
    turns = delta * np.append(np.exp(2j * np.pi * np.arange(24) / 24.0), 0.0)
    a, b = (part.ravel() for part in np.meshgrid(frame + turns, panel + turns))
    values = judge(door, strut, count, a, b, least)
    worst = {
        rule: np.array([(np.min if rule in AT_LEAST else np.max)(values[rule])]) for rule in RULES
    }
    return {**worst, "fits": np.array([values["fits"].all()])}


def awkward(seed: int) -> Awkward:
    """A random awkward problem."""
    rng = np.random.default_rng(seed)
    while True:
        made = _attempt(rng)
        if made is not None:
            return made


def _attempt(rng: np.random.Generator) -> Awkward | None:
    door = _door(rng)
    if door is None:
        return None
    flat, stop = Flat.of(door), door.hinge.stop_angle
    frame, panel = (complex(*_inside(rng, shape)) for shape in flat.shapes)
    least = None if rng.random() < 0.65 else stop * rng.uniform(0.2, 0.95)
    planted = _strut(rng, door, flat, frame, panel, least, "planted")
    if planted is None:
        return None
    count, drilling = int(rng.integers(1, 3)), 0.002 if rng.random() < 0.15 else 0.0
    if drilling and least is not None:
        return None
    values = (
        worst_moved(door, planted, count, frame, panel, least, drilling)
        if drilling
        else judge(door, planted, count, np.array([frame]), np.array([panel]), least)
    )
    if not values["fits"][0]:
        return None
    rank_by = str(rng.choice(RANKINGS))
    ease = 0.05 if drilling else rng.choice([0.004, 0.02, 0.1])
    limits = _limits(rng, values, ease, door.limits.reserve_span)
    if limits is None:
        return None
    others = [
        one
        for number in range(int(rng.integers(0, 3)))
        for place in [[complex(*_inside(rng, shape)) for shape in flat.shapes]]
        if (one := _strut(rng, door, flat, *place, least, f"other {number}")) is not None
    ]
    cost = float(plain_search.ranked(values, rank_by)[0])
    if not math.isfinite(cost):
        return None
    return Awkward(
        replace(door, limits=limits),
        (*others, planted),
        rank_by,
        least,
        drilling,
        planted,
        count,
        frame,
        panel,
        cost,
    )


def _door(rng: np.random.Generator) -> Door | None:
    first = rng.uniform(-0.5, 0.5, 3)
    axis, outward = _directions(rng)
    quarter = np.cross(axis, outward)

    def place(z: complex, along: float) -> tuple[float, float, float]:
        return tuple(first + z.real * outward + z.imag * quarter + along * axis)

    reach = rng.uniform(0.3, 1.2)
    centre = reach * rng.uniform(0.2, 0.7) * np.exp(1j * rng.normal() * 0.5)
    friction = rng.choice([0.0, rng.uniform(0.1, 4.0)])
    offset = rng.choice([0.0, rng.uniform(-0.15, 0.15)])
    corners = _outline(rng), _outline(rng)
    if any(one is None for one in corners):
        return None
    return Door(
        name="a door",
        panel=Panel(
            mass=rng.uniform(2.0, 30.0),
            centre_of_gravity=place(centre, 0.3),
            handle=place(reach, 0.3),
            closing_handle=place(0.8 * reach, 0.1) if rng.random() < 0.3 else None,
            middle=place(0.0, 0.5),
        ),
        hinge=Hinge(
            first=tuple(first),
            second=tuple(first + rng.choice([-1.0, 1.0]) * 0.8 * axis),
            opens_toward=tuple(quarter),
            stop_angle=rng.uniform(0.3, 2.2) if rng.random() < 0.75 else rng.uniform(2.2, 6.0),
            friction_moment=friction,
        ),
        zones=(
            Zone(part="frame", corners=tuple(place(z, 0.05) for z in corners[0])),
            Zone(part="panel", corners=tuple(place(z, 0.05 + offset) for z in corners[1])),
        ),
        conditions=tuple(_condition(rng, number) for number in range(int(rng.integers(0, 5)))),
        limits=Limits(reserve_span=rng.choice([0.0, 0.2])),
    )


def _directions(rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    if rng.random() < 0.6:
        bearing = rng.uniform(0.0, 2.0 * math.pi)
        outward = np.array([math.cos(bearing), 0.0, math.sin(bearing)])
        return np.array([0.0, rng.choice([-1.0, 1.0]), 0.0]), outward
    axis, spare = rng.normal(size=3), rng.normal(size=3)
    axis /= np.linalg.norm(axis)
    across = spare - (spare @ axis) * axis
    return axis, across / np.linalg.norm(across)


def _outline(rng: np.random.Generator) -> np.ndarray | None:
    """Corners of a zone anywhere that does not hold the hinge line."""
    kind = rng.random()
    spot = rng.uniform(0.05, 0.55) * np.exp(1j * rng.uniform(-math.pi, math.pi))
    if kind < 0.5:
        count = int(rng.integers(3, 8))
        turns = np.sort(rng.uniform(0.0, 2.0 * math.pi, count))
        corners = spot + rng.uniform(0.01, 0.15) * np.exp(1j * turns)
        if kind < 0.15 and count > 3:
            corners[1] = spot + 0.3 * (corners[1] - spot)
    elif kind < 0.8:
        long, wide = rng.uniform(0.02, 0.3), rng.uniform(0.003, 0.06)
        turn = np.exp(1j * rng.uniform(0.0, math.pi))
        corners = spot + turn * np.array([long + 0j, long + 1j * wide, 1j * wide, 0j])
    else:
        start, round_about = rng.uniform(-math.pi, math.pi), rng.uniform(0.5, 5.5)
        low = rng.uniform(0.05, 0.3)
        turns = start + np.linspace(0.0, round_about, 7)
        outer = (low / math.cos(round_about / 12.0) + rng.uniform(0.01, 0.1)) * np.exp(1j * turns)
        corners = np.concatenate([outer, low * np.exp(1j * turns[::-1])])
    shape = Polygon(np.stack([corners.real, corners.imag], axis=1))
    if not shape.is_valid or shape.area < 2e-5 or shape.distance(_LINE) < 0.01:
        return None
    return corners


_LINE = Polygon([(-1e-6, 0.0), (0.0, 1e-6), (1e-6, 0.0)])


def _inside(rng: np.random.Generator, shape: Polygon) -> np.ndarray:
    low_x, low_y, high_x, high_y = shape.bounds
    while True:
        place = np.array([rng.uniform(low_x, high_x), rng.uniform(low_y, high_y)])
        if contains_xy(shape, *place):
            return place


def _several_inside(rng: np.random.Generator, shape: Polygon, count: int) -> np.ndarray:
    low_x, low_y, high_x, high_y = shape.bounds
    found = np.empty((0, 2))
    while len(found) < count:
        places = rng.uniform((low_x, low_y), (high_x, high_y), (4 * count, 2))
        found = np.concatenate([found, places[contains_xy(shape, *places.T)]])
    return found[:count]


def _condition(rng: np.random.Generator, number: int) -> Condition:
    loaded = rng.random() < 0.2
    return Condition(
        name=f"condition {number}",
        temperature=rng.uniform(245.0, 335.0),
        ageing=rng.uniform(0.6, 1.0),
        rating_tolerance=rng.uniform(-1.0, 1.0),
        rating_change=rng.choice([0.0, rng.uniform(-10.0, 10.0)]),
        mass_factor=rng.uniform(0.9, 1.2),
        pitch=rng.uniform(-0.3, 0.3),
        roll=rng.uniform(-0.3, 0.3),
        added_mass=rng.uniform(0.5, 3.0) if loaded else 0.0,
        added_at=tuple(rng.uniform(-0.5, 0.5, 3)) if loaded else None,
        strut_ageing=(0.7, 1.0) if rng.random() < 0.2 else None,
    )


def _strut(
    rng: np.random.Generator,
    door: Door,
    flat: Flat,
    frame: complex,
    panel: complex,
    least: float | None,
    name: str,
) -> Strut | None:
    """A strut that fits this layout."""
    stop = door.hinge.stop_angle
    end = stop if least is None or rng.random() < 0.4 else rng.uniform(least, stop)
    a, b = np.array([frame]), np.array([panel])
    over = lengths(flat, a, b, np.linspace(0.0, end, 400)[None])[0]
    if end < stop and over.argmax() != 399:
        return None
    longest = float(over.max()) if end < stop else float(over.max()) + rng.uniform(1e-4, 0.02)
    stroke = longest - float(over.min()) + rng.uniform(2e-4, 0.03)
    if stroke < 0.025 or longest - stroke < 0.3 * stroke:
        return None
    weight = door.panel.mass * 9.81 * abs(flat.complex(door.panel.centre_of_gravity))
    lever = max(0.02, 0.5 * min(abs(frame), abs(panel)))
    rating = float(np.clip(rng.uniform(0.1, 2.0) * weight / lever, 30.0, 3000.0))
    return Strut(
        name=name,
        rating=rating,
        extended_length=longest,
        stroke=stroke,
        force_ratio=rng.choice([1.0, rng.uniform(1.05, 1.8)]),
        friction=rng.choice([1.0, rng.uniform(0.02, 0.3) * rating]),
        rod_diameter=rng.choice([0.006, 0.010, None]),
        tolerance=rng.choice([None, 15.0]),
    )


def _limits(
    rng: np.random.Generator, values: dict[str, np.ndarray], ease: float, reserve_span: float
) -> Limits | None:
    """Limits eased by a share from the values of one layout."""
    asked: dict[str, float] = {}
    for rule in RULES:
        value = float(values[rule][0])
        if rng.random() < 0.45 or not math.isfinite(value):
            continue
        room = ease * max(abs(value), SIZES.get(rule, 5.0))
        limit = value - room if rule in AT_LEAST else value + room
        if limit < 0.0:
            continue
        asked[rule] = limit
    if asked.get("lift_off", 0.0) > 6.0 or asked.get("reserve", 0.0) > 90.0:
        return None
    return Limits(**asked, reserve_span=reserve_span)


def stressed(problem: Awkward, seed: int, time_limit: float) -> tuple[MountSearch, list[str]]:
    """Search a problem; what is wrong with the answer."""
    asked = {
        "stock": problem.stock,
        "rank_by": problem.rank_by,
        "drilling_error": problem.drilling_error,
        "least_opening": problem.least_opening,
    }
    search = find_mounts(problem.door, step=None, time_limit=time_limit, **asked)
    sign = -1.0 if problem.rank_by == "reserve" else 1.0
    size = max(abs(problem.cost), 0.01)
    wrong = [] if search.seconds < 2.0 * time_limit else [f"took {search.seconds:.0f} s"]
    if search.value is None and search.proved:
        wrong.append(f"nothing fits, but {problem.cost:.6g} is known")
    if search.bound is not None and sign * search.bound > problem.cost + 1e-6 * size:
        wrong.append(f"bound {search.bound:.6g}, but {problem.cost:.6g} is known")
    proved = search.proved and search.value is not None
    if proved and sign * search.value > problem.cost + 1.01e-3 * size:
        wrong.append(f"value {search.value:.6g}, but {problem.cost:.6g} is known")
    wrong += _beaten(problem, search, sign, np.random.default_rng(seed))
    for one in search.candidates:
        wrong += _broken(problem, one)
    calls: list[float] = []
    early = find_mounts(
        problem.door,
        step=None,
        time_limit=time_limit,
        progress=lambda share, _bound, _best: calls.append(share) or len(calls) <= seed % 6,
        **asked,
    )
    if early.bound is not None and sign * early.bound > problem.cost + 1e-6 * size:
        wrong.append(f"stopped: bound {early.bound:.6g}, but {problem.cost:.6g} is known")
    if early.value is None and early.proved:
        wrong.append("stopped: nothing fits")
    return search, wrong


def _beaten(
    problem: Awkward, search: MountSearch, sign: float, rng: np.random.Generator
) -> list[str]:
    """Random layouts of every choice that beat the bound, or hold where nothing is said to."""
    if problem.drilling_error or (search.bound is None and not search.proved):
        return []
    flat = Flat.of(problem.door)
    wrong = []
    for strut in problem.stock:
        for count in (1, 2):
            places = [_several_inside(rng, shape, 600) for shape in flat.shapes]
            a, b = (one[:, 0] + 1j * one[:, 1] for one in places)
            values = judge(problem.door, strut, count, a, b, problem.least_opening)
            held = plain_search.holds(problem.door, values, slack=-1e-9)
            best = float(plain_search.ranked(values, problem.rank_by)[held].min(initial=np.inf))
            bound = math.inf if search.bound is None else sign * search.bound
            if best < bound - 1e-6 * max(abs(best), 0.01):
                wrong.append(f"{strut.name} x {count}: {best:.6g} beats the bound {bound:.6g}")
    return wrong


def _broken(problem: Awkward, candidate) -> list[str]:
    """Rules that a candidate breaks, by the second route and by the findings of its own door."""
    flat = Flat.of(problem.door)
    a, b = (flat.complex(place) for place in (candidate.frame_mount, candidate.panel_mount))
    values = judge(
        problem.door,
        candidate.strut,
        candidate.count,
        np.array([a]),
        np.array([b]),
        problem.least_opening,
    )
    shown = {rule: float(value[0]) for rule, value in values.items()}
    name = f"{candidate.strut.name} x {candidate.count}"
    wrong = []
    loose = plain_search.holds(problem.door, {**values, "fits": np.array([True])}, slack=1e-6)
    if not loose[0]:
        wrong.append(f"{name} breaks a rule: {shown}")
    for finding in check(candidate.door):
        asked = getattr(problem.door.limits, finding.name, None) is not None
        if finding.name in RULES and asked and finding.ok is False:
            wrong.append(f"{name}: check says {finding.words}")
    return wrong


def main() -> int:
    """Run the trials; 1 where anything is wrong."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--time-limit", type=float, default=TIME_LIMIT)
    asked = parser.parse_args()
    wrong, unproved, nothing = [], 0, 0
    for seed in range(asked.first, asked.first + asked.count):
        problem = awkward(seed)
        start = time.perf_counter()
        search, found = stressed(problem, seed, asked.time_limit)
        wrong += [(seed, text) for text in found]
        unproved += not search.proved
        nothing += search.value is None
        print(
            f"{seed:5d} {problem.rank_by:15s} known {problem.cost:10.5g}"
            f" value {math.nan if search.value is None else search.value:10.5g}"
            f" {'proved' if search.proved else 'open  '} {search.boxes:8d} boxes"
            f" {search.seconds:6.2f} s of {time.perf_counter() - start:6.2f} s"
            f" {'by strut' if problem.least_opening is not None else ''}"
            f" {'drilled' if problem.drilling_error else ''} {'; '.join(found)}",
            flush=True,
        )
    print(
        f"\n{asked.count} problems, {unproved} not proved in time, {nothing} without an answer,"
        f" {len(wrong)} complaints"
    )
    for seed, text in wrong:
        print(f"  problem {seed}: {text}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
