"""A first pair of mounts and a strut from a stock list: a fixed rule, then the check.

A good start is one that a builder can bolt on as it stands: balls at good places (`places`), the
strut nearly extended where it is longest, so that it is fitted without pushing it in against its
gas, and every finding of the check held.

The rule: mounts on a grid over the marked zones, or over the usual places of the kind; every
strut of the list that has the length and the stroke; peaks, reserve, latch and lift-off of each
in all conditions at once, from the same gas law and geometry as the sweep. The few that miss
least are looked at more finely and handed to `check`, whose word counts. Where nothing holds that
way, higher brackets are tried, then struts that are not nearly extended; `fitting` says so.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import lengths_and_arms, side_axes, strut_geometry
from strutkit.compute.statics import STANDARD_GRAVITY, gravity, gravity_moment_terms
from strutkit.decide.conditions import all_conditions, force_extended, hinge_axis, is_fault
from strutkit.decide.findings import Finding, check
from strutkit.decide.start.clearing import TWIN_GAP, room, tube_radius, twin_distance
from strutkit.decide.start.fitting import LEAST_LEFT, MOST_LEFT, fitting_words, pushed_in
from strutkit.decide.start.kinds import Kind, find_kind
from strutkit.decide.start.places import GRID, allowed, mount_places, off_line
from strutkit.decide.start.unlabelled import BY_HAND
from strutkit.decide.starters import PRACTICE, starter_conditions
from strutkit.describe.records import Condition, Door, FittedStrut, Strut
from strutkit.describe.stock import generic_stock
from strutkit.errors import RecordError, StrutkitError

Floats = npt.NDArray[np.float64]

MOST_PAIRS = 300
"""Pairs of mounts looked at for one strut geometry."""
TRIALS = 6
"""Candidates of a round that the check looks at."""
ROUNDS = 3
"""Closer looks, each round the best of the one before, until every rule holds."""
LIGHT = 0.03
"""What one weight's worth of rating counts in the choice: of two that do, the lighter strut."""
EASE = 1.5
"""A start that spares this many times the asked force when open is taken before a tighter one."""
TIRED = 0.70
"""Ageing of one strut alone in the starter conditions."""
NARROW = "The door is too narrow for two struts side by side, so one is suggested."
TOUCHES = (
    "No place was found where the strut’s tube clears the hinge barrel and the faces by 5 mm, so"
    " this one touches or nearly does: do not fit it as it stands."
)
DRILLING = 0.002
"""What a hole is drilled off by [m]. Common practice."""
DRILLED = "With 2 mm of drilling error at either end"
SPARED = 3
"""Starts that hold of which one is sought that still holds after drilling."""
LABEL = "strut label"
GENERIC = f"{LABEL}: of the generic list, made up; check the label of the one you buy"
"""What a start from the generic list lists as assumed."""

LEAST_ARM = 0.010
"""Lever arm when shut, under which 2 mm of drilling error changes what the strut does [m]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Suggestion:
    """A door with its first struts, or without any where none fits; `words` say how it stands.

    fits: a strut of the list can be hung; holds: no finding of the check fails; findings: all of
    the check; fitting: how it is bolted on, in sentences.
    """

    door: Door
    fits: bool
    holds: bool
    words: str
    findings: tuple[Finding, ...]
    fitting: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class _Case:
    """What all candidates share: angles [n], weight moments [c, n], charges, limits, levers.

    far: higher brackets are tried; kept: stroke kept pushed in, and the least and the most kept
    where the strut is longest [m].
    """

    door: Door
    kind: Kind
    far: bool
    kept: tuple[float, float, float]
    stock: tuple[Strut, ...]
    count: int
    angles: Floats
    weight: Floats
    charge: Floats
    """Gas force at full extension of each strut of the list in each condition [c, stock]."""
    clear: bool = True
    """Whether the tube must clear barrel and faces."""
    made_up: frozenset[Strut] = frozenset()
    """Struts whose label data nobody has read off one."""


@dataclass(frozen=True, slots=True, order=True)
class _Candidate:
    miss: float
    value: float
    row: int
    pair: tuple[tuple[float, float, float], tuple[float, float, float]]


def suggest_start(
    door: Door, *, stock: Sequence[Strut] | None = None, count: int = 2, kind: str | None = None
) -> Suggestion:
    """A first strut or mirrored pair for a door, with how it stands before the check.

    door: its own struts are left out; zones, where given, say where mounts may go, else the usual
    place of the kind. stock: struts to choose from (None: the generic list). count: 1, or 2 for a
    mirrored pair. kind: as in `starter_door` (None: as the panel lies). The same input gives the
    same suggestion. Raises `RecordError` for a bad count or an empty list.
    """
    if count not in (1, 2):
        raise RecordError(f"count is {count}; write 1, or 2 for a mirrored pair.")
    generic = generic_stock()
    struts = generic if stock is None else tuple(stock)
    if not struts:
        raise RecordError("The stock list is empty; give it at least one strut.")
    shape = kind_of(door) if kind is None else find_kind(kind)
    return _suggested(door, shape, struts, count, made_up=frozenset(generic))


def kind_of(door: Door) -> Kind:
    """The kind whose panel lies as this one: level, hanging or standing on its hinge line."""
    along = np.array(door.panel.handle) - np.array(door.middle)
    along /= np.linalg.norm(along)
    if abs(along[2]) < 0.6:
        return find_kind("lid")
    return find_kind("side_door" if along[2] < 0.0 else "drop_flap")


def _suggested(
    door: Door, kind: Kind, stock: tuple[Strut, ...], count: int, *, made_up: frozenset[Strut]
) -> Suggestion:
    bare = with_struts(door, ())
    if count == 2:
        apart = min(twin_distance(bare, kind, one) for one in mount_places(bare, kind))
        beside = tuple(one for one in stock if 2.0 * tube_radius(one) + TWIN_GAP <= apart)
        if not beside:
            alone = _suggested(door, kind, stock, 1, made_up=made_up)
            return replace(alone, words=f"{NARROW} {alone.words}")
        stock = beside
    case = replace(_case(bare, kind, stock, count), made_up=made_up)
    good: list[Suggestion] = []
    for clear in (True, False):
        for far, loose in ((False, False), (True, False), (True, True)):
            held = _kept(bare, loose=loose)
            tried = _tried(replace(case, far=far, kept=held, clear=clear))
            found = _first_that_holds(tried, good)
            if found is not None:
                return found
        if good:
            return min(good, key=_shortcomings)
    return _nothing(bare, count)


def _first_that_holds(tried: Iterator[Suggestion], seen: list[Suggestion]) -> Suggestion | None:
    """The first start that holds, or the first of `SPARED` that `DRILLING` leaves whole, with the
    room it has in words; what is looked at joins `seen`."""
    said: list[Suggestion] = []
    for one in tried:
        seen.append(one)
        if not one.holds:
            continue
        failing = _after_drilling(one.door)
        if failing is None:
            return replace(one, words=f"{one.words} {DRILLED} every rule still holds.")
        said.append(replace(one, words=f"{one.words} {DRILLED} a rule may fail: {failing.words}"))
        if len(said) == SPARED:
            break
    return said[0] if said else None


def _after_drilling(door: Door) -> Finding | None:
    """The first rule that fails with a mount of the first strut moved level or upright."""
    fitted = door.struts[0]
    for name in ("frame_mount", "panel_mount"):
        x, y, z = getattr(fitted, name)
        for off in (-DRILLING, DRILLING):
            for place in ((x + off, y, z), (x, y, z + off)):
                moved = replace(fitted, **{name: place})  # type: ignore[arg-type]
                for finding in check(replace(door, struts=(moved, *door.struts[1:]))):
                    if finding.ok is False:
                        return finding
    return None


def _shortcomings(one: Suggestion) -> tuple[int, bool]:
    return sum(finding.ok is False for finding in one.findings), not one.holds


def _tried(case: _Case) -> Iterator[Suggestion]:
    """What the check says of the candidates that miss least, best first, each as it is asked for;
    a closer look follows where none holds."""
    found = _look(case, *mount_places(case.door, case.kind, far=case.far))
    known: dict[_Candidate, Suggestion | None] = {}
    for _ in range(ROUNDS if found else 0):
        finer = [one for best in found[:TRIALS] for one in _near(case, best)]
        found = _distinct(sorted([*finer, *found]))
        held = False
        for candidate in found[:TRIALS]:
            if candidate not in known:
                known[candidate] = _hung(case, candidate)
            one = known[candidate]
            if one is not None:
                held = held or one.holds
                yield one
        if held:
            return


def with_struts(door: Door, struts: Sequence[FittedStrut]) -> Door:
    """The door with these struts; starter conditions follow them, others that name a strut that
    is not there any more are left out, and so is what was assumed of struts where none is left."""
    known = tuple(one for one in door.assumed if struts or not one.startswith(LABEL))
    bare = replace(door, struts=(), conditions=(), assumed=known)
    hung = replace(bare, struts=tuple(struts))
    number = len(hung.fitted)
    own = [one for one in door.conditions if not _of_struts(one)]
    kept = [
        one
        for one in door.conditions
        if _of_struts(one) and PRACTICE not in one.name and _suits(one, number)
    ]
    marked = any(PRACTICE in one.name for one in door.conditions)
    fresh = [one for one in starter_conditions(hung) if _of_struts(one)] if marked else []
    return replace(hung, conditions=(*own, *kept, *fresh))


def _of_struts(condition: Condition) -> bool:
    return condition.missing is not None or condition.strut_ageing is not None


def _suits(condition: Condition, number: int) -> bool:
    if condition.missing is not None and condition.missing >= number:
        return False
    return condition.strut_ageing is None or len(condition.strut_ageing) == number


def _case(door: Door, kind: Kind, stock: tuple[Strut, ...], count: int) -> _Case:
    service = [one for one in all_conditions(door) if not is_fault(one)]
    angles = _angles(door)
    origin, axis = hinge_axis(door)
    free_fall = gravity([one.pitch for one in service], [one.roll for one in service])
    mass = door.panel.mass * np.array([one.mass_factor for one in service])
    place = np.array(door.panel.centre_of_gravity)
    cosine, sine = gravity_moment_terms(mass, place, origin, axis, free_fall)
    for row, one in enumerate(service):
        if one.added_at is not None:
            more = gravity_moment_terms(
                one.added_mass, np.array(one.added_at), origin, axis, free_fall[row]
            )
            cosine[row], sine[row] = cosine[row] + more[0], sine[row] + more[1]
    weight = cosine[:, None] * np.cos(angles) + sine[:, None] * np.sin(angles)
    charge = force_extended(stock, service)
    if any(PRACTICE in one.name for one in service):
        tired = TIRED if count == 1 else (1.0 + TIRED) / 2.0
        weight = np.concatenate([weight, weight[:1]])
        charge = np.concatenate([charge, charge[:1] * tired])
    return _Case(door, kind, False, _kept(door), stock, count, angles, weight, charge)


def _angles(door: Door) -> Floats:
    """Angles at most 4° apart, with those at which limits begin [rad]."""
    stop, limits = door.hinge.stop_angle, door.limits
    several = np.linspace(0.0, stop, 1 + math.ceil(stop / 0.07))
    begin = [max(0.0, stop - limits.reserve_span), min(limits.lift_off or stop, stop)]
    return np.unique(np.concatenate([several, begin]))


def _look(case: _Case, frames: Floats, panels: Floats) -> list[_Candidate]:
    """The best candidate of each strut of the list, least miss first."""
    if not len(frames) or not len(panels):
        return []
    pick = np.stack(np.meshgrid(range(len(frames)), range(len(panels)), indexing="ij"), -1)
    first, second = pick.reshape(-1, 2).T
    A, B = frames[first], panels[second]
    apart = np.linalg.norm(A - B, axis=1) > 0.02
    A, B = A[apart], B[apart]
    origin, axis = hinge_axis(case.door)
    length, arm = lengths_and_arms(strut_geometry(A, B, origin, axis), case.angles)
    shortest, longest = length.min(axis=1), length.max(axis=1)
    found: list[_Candidate] = []
    widest = room(case.door, case.kind, A, B, case.angles)
    shapes: dict[tuple[float, float, float], list[int]] = {}
    for row, strut in enumerate(case.stock):
        tube = tube_radius(strut) if case.clear else -math.inf
        shapes.setdefault((strut.extended_length, strut.stroke, tube), []).append(row)
    kept_in, kept_out, most_out = case.kept
    for (extended, stroke, tube), rows in shapes.items():
        fits = np.flatnonzero(
            (shortest >= extended - stroke + kept_in)
            & (longest <= extended - kept_out)
            & (longest >= extended - most_out)
            & (widest >= tube - 1e-6)
        )
        if not len(fits):
            continue
        if len(fits) > MOST_PAIRS:
            fits = fits[np.linspace(0, len(fits) - 1, MOST_PAIRS).astype(int)]
        for row in rows:
            miss, value = _judged(case, row, extended - length[fits], arm[fits])
            best = int(np.lexsort((value, np.round(miss, 6)))[0])
            place = fits[best]
            pair = (_tuple(A[place]), _tuple(B[place]))
            found.append(_Candidate(round(float(miss[best]), 6), float(value[best]), row, pair))
    return sorted(found)


def _tuple(place: Floats) -> tuple[float, float, float]:
    x, y, z = (float(one) for one in place)
    return (x, y, z)


def _kept(door: Door, *, loose: bool = False) -> tuple[float, float, float]:
    """Stroke kept pushed in, and the least and the most kept where the strut is longest [m].

    As the limits ask, else 10 mm and 5 mm; 1 mm more, since the angles looked at are few. Unless
    loose, `LEAST_LEFT` to `MOST_LEFT` where the strut is longest.
    """
    limits = door.limits
    kept_in = 0.010 if limits.travel_compressed is None else limits.travel_compressed
    kept_out = 0.005 if limits.travel_extended is None else limits.travel_extended
    kept_out = max(kept_out, 0.0005) + 0.001
    if loose:
        return kept_in + 0.001, kept_out, math.inf
    least = max(kept_out, LEAST_LEFT)
    return kept_in + 0.001, least, max(MOST_LEFT, least + MOST_LEFT - LEAST_LEFT)


def _judged(case: _Case, row: int, travel: Floats, arm: Floats) -> tuple[Floats, Floats]:
    """How far the door's limits are missed, and what the hand feels, for each pair of mounts.

    travel, arm [pairs, angles]. Miss: sum of shares over the limits, 0 where all hold; value: the
    greatest hand force as a share of its limit, with short lever arms when shut counted against.
    """
    law = case.stock[row].gas_law
    gas = case.count * arm / (1.0 - travel * law.inverse_column)
    moment = case.charge[:, row, None, None] * gas + case.weight[:, None, :]
    rubbing = case.count * law.friction * np.abs(arm) + case.door.hinge.friction_moment
    door, limits = case.door, case.door.limits
    opening_radius = door.hinge_distance(door.panel.handle)
    closing_radius = door.hinge_distance(door.closing_handle)
    to_open = ((rubbing - moment) / opening_radius).max(axis=(0, 2))
    to_shut = ((rubbing + moment) / closing_radius).max(axis=(0, 2))
    pushing = (moment / opening_radius)[:, :, 0].max(axis=0)
    miss = np.zeros(len(arm))
    for force, limit in (
        (to_open, limits.hand_opening),
        (to_shut, limits.hand_closing),
        (pushing, limits.latch),
    ):
        if limit is not None:
            miss += np.maximum(0.0, force / max(limit, 1.0) - 0.98)
    if limits.lift_off is not None:
        late = case.angles >= min(limits.lift_off, case.angles[-1]) - 1e-9
        rising = ((moment - rubbing) / opening_radius)[:, :, late].min(axis=(0, 2))
        miss += np.maximum(0.0, 1.0 - rising) / 20.0
    short_of, tight = _reserve_miss(case, moment, opening_radius)
    miss += short_of
    short = np.maximum(0.0, 1.0 - np.abs(arm[:, 0]) / LEAST_ARM)
    greatest = np.maximum(
        to_open / max(limits.hand_opening or 60.0, 1.0),
        to_shut / max(limits.hand_closing or 120.0, 1.0),
    )
    weight = door.panel.mass * STANDARD_GRAVITY
    heavy = case.count * case.stock[row].rating / weight
    return miss, greatest + 0.3 * short + LIGHT * heavy + tight


def _reserve_miss(case: _Case, moment: Floats, radius: float) -> tuple[Floats, Floats]:
    """Shares missed of the reserves, and how little of `EASE` is left above the asked force."""
    limits = case.door.limits
    last = case.angles >= case.angles[-1] - max(limits.reserve_span, 1e-9)
    miss, tight = np.zeros(moment.shape[1]), np.zeros(moment.shape[1])
    if limits.reserve_force is not None:
        spare = (moment / radius)[:, :, last].min(axis=(0, 2))
        share = spare / max(limits.reserve_force, 1.0)
        miss += np.maximum(0.0, 1.02 - share)
        tight = np.clip(EASE - share, 0.0, EASE)
    if limits.reserve is not None:
        weight = np.abs(case.weight[:, None, last])
        short = (limits.reserve * weight - moment[:, :, last]).max(axis=(0, 2))
        miss += np.maximum(0.0, short / max(float(weight.max()), 1e-6))
    return miss, tight


def _near(case: _Case, best: _Candidate) -> list[_Candidate]:
    """A closer look round a candidate, same strut, 5 mm apart."""
    door = case.door
    _, axis = hinge_axis(door)
    outward, upward = side_axes(axis)
    steps = np.arange(-3, 4) * GRID
    pattern = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
    around = pattern[:, :1] * outward + pattern[:, 1:] * upward
    one = _of_one_strut(case, best.row)
    several = []
    for part, place in zip(("frame", "panel"), best.pair, strict=True):
        spots = np.round(np.array(place) + around, 3 if not door.zones else 5) + 0.0
        spots = spots[allowed(door, case.kind, part, spots, far=case.far)]
        several.append(off_line(door, spots))
    return [replace(found, row=best.row) for found in _look(one, *several)]


def _of_one_strut(case: _Case, row: int) -> _Case:
    """The case with one strut of its list alone."""
    return replace(case, stock=(case.stock[row],), charge=case.charge[:, row : row + 1])


def _distinct(ranked: list[_Candidate]) -> list[_Candidate]:
    """The first candidate of each strut."""
    found: dict[int, _Candidate] = {}
    for one in ranked:
        found.setdefault(one.row, one)
    return list(found.values())


def _hung(case: _Case, one: _Candidate) -> Suggestion | None:
    """The candidate on the door, checked; None where the check finds that it cannot hang."""
    row = case.stock[one.row]
    strut = replace(row, name="left", order_code=row.order_code or row.name)
    fitted = FittedStrut(
        strut=strut, frame_mount=one.pair[0], panel_mount=one.pair[1], mirrored=case.count == 2
    )
    try:
        door = with_struts(case.door, (fitted,))
        if row in case.made_up:
            door = replace(door, assumed=(*door.assumed, GENERIC))
    except StrutkitError:
        return None
    findings = check(door)
    failing = [finding for finding in findings if finding.ok is False]
    if len(findings) == 1:
        return None
    whole = f"{'A pair' if case.count == 2 else 'One strut'}, {row.name}"
    if not failing:
        words = f"{whole}: every rule that is judged holds."
    else:
        rest = "" if len(failing) == 1 else f" And {len(failing) - 1} more."
        words = f"{whole}, comes nearest and does not hold every rule: {failing[0].words}{rest}"
    forced = pushed_in(door) and row.rating > BY_HAND
    if forced and not failing:
        words = f"{whole}, cannot be fitted by hand, though every rule that is judged holds."
    if not case.clear:
        words = f"{TOUCHES} {words}"
    return Suggestion(
        door=door,
        fits=True,
        holds=not failing and not forced and case.clear,
        words=words,
        findings=findings,
        fitting=fitting_words(door, case.kind),
    )


def _nothing(door: Door, count: int) -> Suggestion:
    what = "pair of struts" if count == 2 else "strut"
    words = (
        f"No {what} of the list has the length and the stroke for these places. Mark other"
        " places for the mounts, or take a longer list."
    )
    return Suggestion(door=door, fits=False, holds=False, words=words, findings=check(door))
