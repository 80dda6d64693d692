"""The mount map as a grid in the plane of the view: what each rule leaves at every node.

The rules are those that the mount search asks, judged by its `Judge` over all conditions in
service and all angles; here one mount of one fitted strut moves and all else stays. As in
`decide.map`, stroke kept is that of every strut, with each one lost as well, and a place also has
to open the door at least as far as it opens now.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely

from strutkit.compute.geometry import LENGTH_SLACK
from strutkit.decide.conditions import strut_label
from strutkit.decide.map import OPENING_KEPT, judge_of, lost_rules, opens_now
from strutkit.decide.search.layouts import layouts_between
from strutkit.decide.search.rows import TRAVEL_SLACK, Judge
from strutkit.decide.search.task import (
    CLOSING,
    OPENING,
    RULES,
    SIGNS,
    limit_costs,
)
from strutkit.decide.search.travel import measure_travel, missing_to_open
from strutkit.decide.search.zones import door_plane
from strutkit.describe.numbers import limit_text, travel_text
from strutkit.describe.records import LEAST_LEVER, Door, Limits
from strutkit.describe.size import figures_of, handle_lever
from strutkit.errors import StrutkitError
from strutkit.live.scene import view_frame
from strutkit.show.subjects import subject

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

REACH = 60.0
"""Half the side of the square that is mapped where the door marks no zone [mm], of a door whose
handle is as far from the hinge line as USUAL_LEVERS say; a smaller or larger door scales it."""

USUAL_LEVERS = (0.48, 1.2)
"""Least and greatest distance of a usual door's handle from its hinge line [m]."""

COARSE_NODES = 500
FINE_NODES = 800
"""About how many nodes a map has: of the whole zone, of the detail."""

MARGIN = 1.5
"""Steps of the whole zone's map that the detail reaches beyond the places that hold and the
place of the mount."""

ON_OUTLINE = 1e-3
"""A place so near a zone's outline lies on it [mm]."""

ON_LIMIT = 1e-6
"""A value so near its limit, as a share of it (in SI, where it is less than 1), holds it, as on
the bars of the rating window: the map finds peaks and roots to about 1e-7."""

FITS = "fits"
"""The rule that comes before all: the strut fits its mounts over the whole travel."""

REFUSED = "travel_left"
"""The finding of a door in which a strut does not fit, alone with its text: the map looks at that
by `FITS`."""


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """Nodes (outward, upward) [mm], row by row from below."""

    origin: Floats
    step: float
    columns: int
    rows: int

    @property
    def nodes(self) -> Floats:
        """Places of the nodes [rows * columns, 2]."""
        across, up = np.meshgrid(np.arange(self.columns), np.arange(self.rows))
        return np.asarray(self.origin + self.step * np.stack([across.ravel(), up.ravel()], axis=1))


@dataclass(frozen=True, slots=True)
class Mount:
    """The mount that is mapped: a strut's place in `door.struts`, and "frame" or "panel"."""

    door: Door
    place: int
    part: str

    @property
    def here(self) -> Floats:
        """Where it is now (outward, upward, along) [mm]."""
        strut = self.door.struts[self.place]
        point = strut.panel_mount if self.part == "panel" else strut.frame_mount
        return view_frame(self.door).seen(point)


def map_of(mount: Mount, *, fine: bool) -> tuple[dict[str, Any], dict[str, Floats]]:
    """Map of one mount: the whole zone, or the detail about the places that hold all rules.

    Figures: place_index, mount, key, title, columns, rows, origin and step [mm], rules (words for
    the forbidden side of each), looked (their names), unlooked (what no edge shows). Arrays, row
    by row from below: over [rules, rows * columns], how far each rule is over its limit in its own
    unit (0 or less holds; nan outside the zone), value [rows * columns], greatest hand force [N]
    (nan where the strut does not fit). here: where the mount is now, [mm] and value [N], and
    whether all rules hold there: no node may lie on it, and the best place is never worse.
    """
    zone = zone_of(mount)
    grid, over, value = _whole(mount)
    good = grid.nodes[np.all(over <= 0.0, axis=0) & shapely.intersects_xy(zone, grid.nodes)]
    here = _here(mount, zone)
    if fine and (len(good) or here["holds"]):
        if _inside(zone, mount.here):
            good = np.vstack([good, mount.here[:2]])
        reach = MARGIN * grid.step
        grid = _grid((*(good.min(axis=0) - reach), *(good.max(axis=0) + reach)), FINE_NODES)
        over, value = excesses(mount, grid.nodes)
    over = np.where(shapely.intersects_xy(zone, grid.nodes), over, np.nan)
    strut = mount.door.struts[mount.place].strut
    with figures_of(mount.door):
        words = [forbidden_words(rule, mount) for rule in asked(mount)]
    figures = {
        "place_index": mount.place,
        "mount": mount.part,
        "key": map_key(mount),
        "title": f"{strut.name}, {'door side' if mount.part == 'panel' else 'fixed side'}",
        "columns": grid.columns,
        "rows": grid.rows,
        "origin": grid.origin.tolist(),
        "step": grid.step,
        "looked": [*asked(mount), REFUSED],
        "unlooked": unlooked(mount),
        "rules": words,
        "here": here,
    }
    return figures, {"over": over, "value": value}


def _here(mount: Mount, zone: shapely.Polygon) -> dict[str, Any]:
    over, value = excesses(mount, mount.here[None, :2])
    return {
        "at": mount.here[:2].tolist(),
        "value": None if np.isnan(value[0]) else float(value[0]),
        "holds": bool((over <= 0.0).all()) and _inside(zone, mount.here),
    }


def _inside(zone: shapely.Polygon, place: Floats) -> bool:
    """Whether a place lies in a zone, its outline counted in."""
    return bool(zone.distance(shapely.Point(place[:2])) <= ON_OUTLINE)


@lru_cache(4)
def _whole(mount: Mount) -> tuple[Grid, Floats, Floats]:
    """The map of the whole zone, kept for the detail that is asked after it."""
    grid = _grid(zone_of(mount).bounds, COARSE_NODES)
    return grid, *excesses(mount, grid.nodes)


def map_key(mount: Mount) -> str:
    """What the map of a mount depends on: all of the door but the place of that mount, and how far
    the door opens with it."""
    door = mount.door
    hung = []
    for place, one in enumerate(door.struts):
        ends = {"frame": one.frame_mount, "panel": one.panel_mount}
        if place == mount.place:
            ends[mount.part] = (0.0, 0.0, mount.here[2])
        hung.append((one.strut, one.mirrored, ends["frame"], ends["panel"]))
    opening = round(_opening(mount), 9)
    rest = (door.panel, door.hinge, door.conditions, door.limits, door.zones)
    return str(hash((*rest, opening, *hung)))


def _opening(mount: Mount) -> float:
    """How far the door opens now [rad]; to the stop where other struts do not fit: nothing then
    holds anywhere."""
    try:
        return opens_now(mount.door, mount.place)
    except StrutkitError:
        return mount.door.hinge.stop_angle


def zone_of(mount: Mount) -> shapely.Polygon:
    """Where the mount may be, in the plane of the view [mm]: the door's zone, else a square."""
    here = mount.here[:2]
    shapes = [one for one in _marked(mount) if _followed(one)]
    holding = [one for one in shapes if one.intersects(shapely.Point(here))]
    lever = handle_lever(mount.door)
    reach = REACH * lever / min(max(lever, USUAL_LEVERS[0]), USUAL_LEVERS[1])
    return (holding or shapes or [shapely.box(*(here - reach), *(here + reach))])[0]


def _marked(mount: Mount) -> list[shapely.Polygon]:
    """Every zone marked for the mount's part, in the plane of the view [mm]."""
    frame = view_frame(mount.door)
    marked = (one for one in mount.door.zones if one.part == mount.part)
    return [shapely.Polygon(frame.seen(one.corners)[:, :2]) for one in marked]


def _followed(shape: shapely.Polygon) -> bool:
    """Whether an outline holds a place: it has an area and does not cross itself."""
    return bool(shape.is_valid and shape.area > 0.0)


def _grid(bounds: Sequence[float], nodes: int) -> Grid:
    """A grid of about so many nodes over a rectangle (left, below, right, above)."""
    low, high = np.array(bounds[:2]), np.array(bounds[2:])
    size = np.maximum(high - low, 1.0)
    step = max(math.sqrt(float(size.prod()) / nodes), float(size.max()) / 80.0)
    columns, rows = (max(2, math.ceil(one / step - 1e-9) + 1) for one in size)
    return Grid(low, step, columns, rows)


def asked(mount: Mount) -> list[str]:
    """The rules of the map: that the strut fits, that the door opens as far as now, every rule of
    the search with a limit, and that no strut bottoms out with one lost."""
    limits = _limited(mount.door.limits)
    return [FITS, OPENING_KEPT, *limits, *lost_rules(mount.door, mount.place)]


def _limited(limits: Limits) -> list[str]:
    return [rule for rule in RULES if getattr(limits, rule) is not None]


def unlooked(mount: Mount) -> list[dict[str, str]]:
    """Limits and zones of the door that the map does not look at: the finding that judges each,
    and words for it."""
    limits, found = mount.door.limits, []
    if limits.hinge_radial is not None:
        found.append({"finding": "hinge_radial", "words": subject("hinge_radial")})
    if not all(_followed(one) for one in _marked(mount)):
        words = "a zone that crosses itself or has no area"
        found.append({"finding": "outside_zone", "words": words})
    return found


def excesses(mount: Mount, places: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Cost over limit of each rule asked [rules, m] (0 or less holds), greatest hand force [m].

    A stroke may lack what `check` allows, any other value `ON_LIMIT`.
    places [m, 2]: where the mount is put (outward, upward) [mm]. Where the strut does not fit,
    every rule is over by 1 and the hand force is nan.
    """
    door = mount.door
    judge, frame_mount, panel_mount = judged(mount)
    spots = np.asarray(places, dtype=float)
    axes = view_frame(door)
    along = np.full((len(spots), 1), mount.here[2])
    points = np.hstack([spots, along]) / 1e3 @ axes.axes + axes.origin
    flat = door_plane(door).flat(points)
    on_panel = mount.part == "panel"
    layouts = layouts_between(
        0, frame_mount if on_panel else flat, flat if on_panel else panel_mount
    )
    costs = judge.costs(layouts)
    fits = np.isfinite(costs[:, OPENING]) & (np.abs(flat) > LEAST_LEVER)
    limits = limit_costs(door.limits)
    rows = [RULES.index(rule) for rule in _limited(door.limits)]
    near = ON_LIMIT * np.maximum(1.0, np.abs(limits))
    allowed = limits + np.where(TRAVEL_SLACK > 0.0, TRAVEL_SLACK, near)
    over = np.where(fits, -1.0, 1.0)
    missing = np.where(fits, missing_to_open(judge, layouts, _opening(mount)), 1.0)
    excess = np.where(fits[:, None], costs[:, rows] - allowed[rows], 1.0).T
    excess = np.nan_to_num(excess, posinf=1e6, neginf=-1e6)
    lost = measure_travel(judge, layouts).lost[list(lost_rules(door, mount.place).values())]
    short = np.where(fits, -lost - LENGTH_SLACK, 1.0)
    force = np.maximum(costs[:, OPENING], costs[:, CLOSING])
    return np.vstack([over, missing, excess, short]), np.where(fits, force, np.nan)


def judged(mount: Mount) -> tuple[Judge, complex, complex]:
    """The judge of all places of a mount, and the strut's mounts in the search's plane."""
    plane, moving = door_plane(mount.door), mount.door.struts[mount.place]
    offset = float(plane.along(moving.panel_mount) - plane.along(moving.frame_mount))
    judge = judge_of(mount.door, mount.place, plane, offset)
    return judge, complex(plane.flat(moving.frame_mount)), complex(plane.flat(moving.panel_mount))


def forbidden_words(rule: str, mount: Mount) -> str:
    """What is wrong on the forbidden side of a rule's edge."""
    limits = mount.door.limits
    if rule == FITS:
        return "the strut does not fit"
    if rule == OPENING_KEPT:
        return f"opens less far than {travel_text(_opening(mount))}"
    if rule.startswith("fault_"):
        lost = mount.door.fitted[int(rule.removeprefix("fault_"))]
        return f"a strut too long with {strut_label(lost)} lost"
    kinds = {"lift_off": "angle", "reserve": "share"}
    kind = "length" if rule.startswith("travel") else kinds.get(rule, "force")
    at_most = SIGNS[RULES.index(rule)] > 0.0
    limit = limit_text(getattr(limits, rule), kind, at_most=at_most)
    return {
        "hand_opening": f"to open over {limit}",
        "hand_closing": f"to shut over {limit}",
        "lift_off": f"lifts off after {limit}",
        "reserve": f"under {limit} to spare",
        "reserve_force": f"under {limit} to spare",
        "latch": f"on the latch over {limit}",
        "travel_compressed": f"under {limit} travel shut",
        "travel_extended": f"under {limit} travel open",
        "hinge_resultant": f"hinge line over {limit}",
    }[rule]
