"""The records: what the builder states about a door. Frozen, keyword-only, self-checking.

All floats SI: m, N, N·m, rad, kg, K, s. Points (x, y, z) are given in the structure frame with
the panel shut: z up when the structure stands level, x level and square to the hinge line
toward the outside, y to the right seen from outside.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from strutkit.compute.geometry import cross
from strutkit.data.tables import THREADS, WORKING_TEMPERATURE
from strutkit.describe.fields import (
    NAMED_DIRECTIONS,
    ROUNDING,
    Point,
    check_fields,
    quantity,
    shown,
)
from strutkit.describe.labels import GasLaw, gas_law
from strutkit.errors import RecordError, StrutkitError

LEAST_LEVER = 1e-4
"""A mount or handle nearer to the hinge line than this [m] is refused."""

LEAST_OPENING_COSINE = 0.01
"""Smallest cosine between the stated direction and the handle's first movement."""

LEAST_TWIN_DISTANCE = 1e-3
"""A mirrored strut nearer to its original than this [m] is refused."""

LONGEST_BRACKET = 0.150
"""A hole centre farther from its ball or pin centre than this [m] is refused."""

TWIN = " (mirrored)"
"""What the name of a mirrored strut's twin has behind that of its original."""

ZONE_FLATNESS = 2e-3
"""Corners of a zone may lie this far [m] out of a plane square to the hinge line."""

NOMINAL = "nominal"
"""Name of the condition that always counts: 20 °C, new struts, structure level."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """The moving part.

    mass [kg]; centre_of_gravity, handle (where one pulls or pushes to open) [m];
    closing_handle [m] (None: the handle); width along the hinge line [m]; middle [m], a point
    whose place along the hinge line is the panel's middle (None: midway between the hinge
    points); section, an open line of points [m] (None: straight from hinge line to handle);
    thickness [m]; inertia about the hinge line [kg·m²].
    """

    mass: float = quantity("mass", over=0.0, most=1e5)
    centre_of_gravity: Point = quantity("point")
    handle: Point = quantity("point")
    name: str = quantity("name", "panel")
    closing_handle: Point | None = quantity("point", None)
    width: float | None = quantity("length", None, over=0.0, most=1e3)
    middle: Point | None = quantity("point", None)
    section: tuple[Point, ...] | None = quantity("points", None, least=2)
    thickness: float = quantity("length", 0.0, least=0.0, most=10.0)
    inertia: float | None = quantity("inertia", None, over=0.0)

    def __post_init__(self) -> None:
        check_fields(self, "panel")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hinge:
    """The hinge line and how far the panel opens.

    first, second: points on the hinge line [m]; opens_toward: direction in which the handle
    starts to move (out, in, right, left, up, down of the structure frame, or three numbers);
    stop_angle [rad]; stop: point of the panel that meets the stop [m] (None: the handle);
    thrust_at: which hinge point carries force along the line; friction_moment [N·m];
    damping [N·m·s].
    """

    first: Point = quantity("point")
    second: Point = quantity("point")
    opens_toward: str | Point = quantity("direction")
    stop_angle: float = quantity("angle", over=0.0, most=math.tau)
    stop: Point | None = quantity("point", None)
    thrust_at: str = quantity("choice", "first", choices=("first", "second"))
    friction_moment: float = quantity("moment", 0.0, least=0.0, most=1e6)
    damping: float = quantity("hinge_damping", 0.0, least=0.0)

    def __post_init__(self) -> None:
        check_fields(self, "hinge")
        distance = math.dist(self.first, self.second)
        if distance < 1e-3:
            raise RecordError(
                f"hinge: first and second are {shown(distance, 'length')} apart; "
                "take two points of the hinge line at least 1 mm apart."
            )

    @property
    def direction(self) -> Point:
        """`opens_toward` as three numbers."""
        if isinstance(self.opens_toward, str):
            return NAMED_DIRECTIONS[self.opens_toward]
        return self.opens_toward


@dataclass(frozen=True, slots=True, kw_only=True)
class Strut:
    """A gas strut as its label and list describe it.

    rating F1 [N]: extension force at the measuring distance from the extended end, 20 °C;
    extended_length centre to centre, stroke [m]; force_ratio F2/F1; friction [N], HALF the loop
    width F3 - F1; rod_diameter, tube_diameter, tube_length [m]; damping [N·s/m]; tolerance of
    the rating [N]; measuring_distance [m]; order_code; price as listed. None: not stated.
    """

    name: str = quantity("name")
    rating: float = quantity("force", over=0.0, most=1e6)
    extended_length: float = quantity("length", over=0.0, most=100.0)
    stroke: float = quantity("length", over=0.0, most=100.0)
    force_ratio: float | None = quantity("number", None, least=1.0, most=100.0)
    friction: float | None = quantity("force", None, least=0.0, most=1e6)
    rod_diameter: float | None = quantity("length", None, over=0.0, most=1.0)
    tube_diameter: float | None = quantity("length", None, over=0.0, most=1.0)
    tube_length: float | None = quantity("length", None, over=0.0, most=100.0)
    damping: float = quantity("strut_damping", 0.0, least=0.0)
    tolerance: float | None = quantity("force", None, least=0.0, most=1e6)
    measuring_distance: float | None = quantity("length", None, least=0.0)
    order_code: str = quantity("text", "")
    price: float | None = quantity("number", None, least=0.0)

    def __post_init__(self) -> None:
        owner = f"strut {self.name!r}"
        check_fields(self, owner)
        if self.stroke >= self.extended_length:
            raise RecordError(
                f"{owner}: stroke is {shown(self.stroke, 'length')}; it must be less than the"
                f" extended length, {shown(self.extended_length, 'length')}."
            )
        try:
            _ = self.gas_law
        except RecordError as fault:
            raise RecordError(f"{owner}: {fault}") from None

    @property
    def gas_law(self) -> GasLaw:
        """The gas law of the label, with what it leaves out assumed (model section 2)."""
        return _gas_law(
            self.rating,
            self.stroke,
            self.force_ratio,
            self.friction,
            self.rod_diameter,
            self.measuring_distance,
        )


@lru_cache(maxsize=4096)
def _gas_law(
    rating: float,
    stroke: float,
    force_ratio: float | None,
    friction: float | None,
    rod_diameter: float | None,
    measuring_distance: float | None,
) -> GasLaw:
    return gas_law(
        rating=rating,
        stroke=stroke,
        force_ratio=force_ratio,
        friction=friction,
        rod_diameter=rod_diameter,
        measuring_distance=measuring_distance,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedStrut:
    """A strut in its place: frame_mount and panel_mount are ball or pin centres [m].

    mirrored: a twin hangs at the mirror image about the plane square to the hinge line through
    the panel's middle. rod_at: which mount holds the rod (None: the lower one when shut).
    frame_hole, panel_hole: from the ball or pin centre to the centre of the hole in the mounting
    face [m], the panel shut: its part square to the face is the stand-off, its part in the face
    the bracket's offset (None: not known). frame_thread, panel_thread: ISO metric coarse thread
    of the screw or stud in it.
    """

    strut: Strut = quantity("record")
    frame_mount: Point = quantity("point")
    panel_mount: Point = quantity("point")
    mirrored: bool = quantity("flag", False)
    rod_at: str | None = quantity("choice", None, choices=("frame", "panel"))
    frame_hole: Point | None = quantity("point", None)
    panel_hole: Point | None = quantity("point", None)
    frame_thread: str | None = quantity("choice", None, choices=tuple(THREADS))
    panel_thread: str | None = quantity("choice", None, choices=tuple(THREADS))

    def __post_init__(self) -> None:
        if not isinstance(self.strut, Strut):
            raise RecordError(f"fitted strut: strut is {self.strut!r}; give a Strut.")
        owner = f"strut {self.strut.name!r}"
        check_fields(self, owner)
        if math.dist(self.frame_mount, self.panel_mount) < LEAST_LEVER:
            raise RecordError(f"{owner}: frame_mount and panel_mount are the same point.")
        for name in ("frame_hole", "panel_hole"):
            far = math.hypot(*(getattr(self, name) or (0.0,)))
            if far > LONGEST_BRACKET + ROUNDING:
                raise RecordError(
                    f"{owner}: {name} is {shown(far, 'length')} long; it goes from the ball centre"
                    f" to the hole centre, at most {shown(LONGEST_BRACKET, 'length')}."
                )

    @property
    def rod_end(self) -> str:
        """The mount that holds the rod, "frame" or "panel"."""
        if self.rod_at is not None:
            return self.rod_at
        return "frame" if self.frame_mount[2] <= self.panel_mount[2] else "panel"


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """A named set of circumstances.

    temperature [K]; ageing, factor on gas force; strut_ageing, one more factor for each fitted
    strut; rating_change [N]; rating_tolerance, share (-1...1) of each strut's own tolerance;
    mass_factor; added_mass [kg], a point mass at added_at [m]; pitch (tips +x up) and roll (tips
    +y up) of the structure [rad]; standing, the same as people say it ("nose up 5 deg"), for a
    door that states which way it faces: it sets pitch and roll; missing, index in `door.fitted`
    of the strut that is not there; wind_speed [m/s].
    """

    name: str = quantity("name")
    temperature: float = quantity(
        "temperature", 293.15, least=WORKING_TEMPERATURE[0], most=WORKING_TEMPERATURE[1]
    )
    ageing: float = quantity("number", 1.0, over=0.0, most=2.0)
    strut_ageing: tuple[float, ...] | None = quantity("numbers", None, over=0.0, most=2.0)
    rating_change: float = quantity("force", 0.0, least=-1e6, most=1e6)
    rating_tolerance: float = quantity("number", 0.0, least=-1.0, most=1.0)
    mass_factor: float = quantity("number", 1.0, over=0.0, most=100.0)
    added_mass: float = quantity("mass", 0.0, least=0.0, most=1e5)
    added_at: Point | None = quantity("point", None)
    pitch: float = quantity("angle", 0.0, least=-math.pi / 2, most=math.pi / 2)
    roll: float = quantity("angle", 0.0, least=-math.pi, most=math.pi)
    standing: str = quantity("text", "")
    missing: int | None = quantity("index", None)
    wind_speed: float = quantity("speed", 0.0, least=0.0, most=200.0)

    def __post_init__(self) -> None:
        owner = f"condition {self.name!r}"
        check_fields(self, owner)
        if self.added_mass > 0.0 and self.added_at is None:
            raise RecordError(
                f"{owner}: added_mass is {shown(self.added_mass, 'mass')} but added_at is not"
                " given; say where it hangs."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What the builder asks for; None is not asked and not judged.

    hand_opening, hand_closing: greatest peak hand forces [N]; lift_off: latest lift-off angle
    [rad]; reserve: share of the gravity moment; reserve_force [N at the handle]; latch [N at
    the handle when shut]; travel_compressed, travel_extended: stroke kept at each end [m];
    hinge_resultant [N, radial, whole hinge line]; hinge_radial [N, either hinge point];
    reserve_span: angle before the end of travel over which both reserves are asked [rad].
    """

    hand_opening: float | None = quantity("force", None, least=0.0)
    hand_closing: float | None = quantity("force", None, least=0.0)
    lift_off: float | None = quantity("angle", None, least=0.0, most=math.tau)
    reserve: float | None = quantity("number", None, least=0.0)
    reserve_force: float | None = quantity("force", None, least=0.0)
    latch: float | None = quantity("force", None, least=0.0)
    travel_compressed: float | None = quantity("length", None, least=0.0)
    travel_extended: float | None = quantity("length", None, least=0.0)
    hinge_resultant: float | None = quantity("force", None, least=0.0)
    hinge_radial: float | None = quantity("force", None, least=0.0)
    reserve_span: float = quantity("angle", 0.0, least=0.0, most=math.tau)

    def __post_init__(self) -> None:
        check_fields(self, "limits")


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """Where a mount may go: a polygon in a plane square to the hinge line, on frame or panel.

    corners [m], at least three, may lie up to 2 mm out of the plane.
    """

    part: str = quantity("choice", choices=("frame", "panel"))
    corners: tuple[Point, ...] = quantity("points", least=3)

    def __post_init__(self) -> None:
        check_fields(self, "zone")


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """A whole design: panel, hinge, struts as they are fitted, conditions, limits, zones.

    hinge_height: height of the hinge line above where the person stands [m]. faces: which side
    of the vehicle or vessel the outside (+x) is: front, rear, left or right (None: not stated).
    assumed: one text for each value that was not measured, as "panel mass: ..."; shown wherever
    the door is judged.
    """

    name: str = quantity("name")
    panel: Panel = quantity("record")
    hinge: Hinge = quantity("record")
    struts: tuple[FittedStrut, ...] = quantity("records", ())
    conditions: tuple[Condition, ...] = quantity("records", ())
    limits: Limits = field(default_factory=Limits, metadata={"kind": "record"})
    zones: tuple[Zone, ...] = quantity("records", ())
    hinge_height: float | None = quantity("length", None, least=-100.0, most=100.0)
    faces: str | None = quantity("choice", None, choices=("front", "rear", "left", "right"))
    assumed: tuple[str, ...] = quantity("texts", ())
    hinge_direction: Point = field(init=False, repr=False, compare=False)
    """Unit vector along the hinge line; turning about it by a growing angle opens the panel."""
    fitted: tuple[FittedStrut, ...] = field(init=False, repr=False, compare=False)
    """The struts as they hang, each mirrored one followed by its twin."""

    def __post_init__(self) -> None:
        check_fields(self, "door")
        self._check_parts()
        standing = tuple(stood(one, self.faces) for one in self.conditions)
        object.__setattr__(self, "conditions", standing)
        object.__setattr__(self, "hinge_direction", _opening_direction(self.panel, self.hinge))
        _refuse_on_hinge_line(self, self.panel.handle, "panel: handle")
        if self.panel.closing_handle is not None:
            _refuse_on_hinge_line(self, self.panel.closing_handle, "panel: closing_handle")
        if self.hinge.stop is not None:
            _refuse_on_hinge_line(self, self.hinge.stop, "hinge: stop")
        for one in self.struts:
            owner = f"strut {one.strut.name!r}"
            _refuse_on_hinge_line(self, one.frame_mount, f"{owner}: frame_mount")
            _refuse_on_hinge_line(self, one.panel_mount, f"{owner}: panel_mount")
        object.__setattr__(self, "fitted", _fitted(self))
        _refuse_duplicates([one.strut.name for one in self.fitted], "strut")
        _refuse_duplicates([one.name for one in self.conditions], "condition")
        for number, zone in enumerate(self.zones, start=1):
            _refuse_bent_zone(self, zone, number)

    def _check_parts(self) -> None:
        parts: tuple[tuple[str, type], ...] = (
            ("panel", Panel),
            ("hinge", Hinge),
            ("limits", Limits),
        )
        for name, kind in parts:
            if not isinstance(getattr(self, name), kind):
                raise RecordError(f"door: {name} must be a {kind.__name__}.")
        lists: tuple[tuple[str, type], ...] = (
            ("struts", FittedStrut),
            ("conditions", Condition),
            ("zones", Zone),
        )
        for name, kind in lists:
            given = getattr(self, name)
            if isinstance(given, str) or not isinstance(given, Iterable):
                raise RecordError(f"door: {name} is {given!r}; give a list of {kind.__name__}.")
            several = tuple(given)
            if not all(isinstance(one, kind) for one in several):
                raise RecordError(f"door: {name} must be {kind.__name__} records.")
            object.__setattr__(self, name, several)
        if any(one.name == NOMINAL for one in self.conditions):
            raise RecordError(
                f"condition {NOMINAL!r} is the one that always counts; give yours another name."
            )

    @property
    def closing_handle(self) -> Point:
        """Where one pulls or pushes to shut [m]: the closing handle, else the handle."""
        return self.panel.closing_handle or self.panel.handle

    @property
    def stop(self) -> Point:
        """The point of the panel that meets the open stop [m], else the handle."""
        return self.hinge.stop or self.panel.handle

    @property
    def middle(self) -> Point:
        """The point of the hinge line at the panel's middle [m]."""
        first, second = np.array(self.hinge.first), np.array(self.hinge.second)
        if self.panel.middle is None:
            return _point((first + second) / 2.0)
        axis = np.array(self.hinge_direction)
        return _point(first + axis * ((np.array(self.panel.middle) - first) @ axis))

    def condition(self, name: str) -> Condition:
        """The condition of that name; "nominal" is always there. Raises `RecordError`."""
        if name == NOMINAL:
            return Condition(name=NOMINAL)
        for one in self.conditions:
            if one.name == name:
                return one
        names = ", ".join([NOMINAL, *(one.name for one in self.conditions)])
        raise RecordError(f"door: there is no condition {name!r}; there are {names}.")

    def hinge_distance(self, place: Point) -> float:
        """Distance of a point from the hinge line [m]."""
        return _hinge_distance(self.hinge, place)


def stood(condition: Condition, faces: str | None) -> Condition:
    """The condition with pitch and roll as `standing` says them, for a door that faces so.

    Raises `RecordError` where that cannot be read, or the door does not say which way it faces.
    """
    if not condition.standing:
        return condition
    from strutkit.describe.attitude import attitude

    owner = f"condition {condition.name!r}: standing"
    try:
        tilt = attitude(condition.standing, faces)
    except StrutkitError as fault:
        raise RecordError(f"{owner}: {fault}") from None
    if (condition.pitch, condition.roll) not in ((0.0, 0.0), tilt):
        raise RecordError(f"{owner} and pitch or roll are both given; leave one of them out.")
    return replace(condition, pitch=tilt[0], roll=tilt[1])


def _point(array: np.ndarray) -> Point:
    return (float(array[0]) + 0.0, float(array[1]) + 0.0, float(array[2]) + 0.0)


def _opening_direction(panel: Panel, hinge: Hinge) -> Point:
    """k, turned round where the handle would start against `opens_toward` (model 11.5)."""
    first, second = np.array(hinge.first), np.array(hinge.second)
    k = (second - first) / np.linalg.norm(second - first)
    movement = np.cross(k, np.array(panel.handle) - first)
    distance = float(np.linalg.norm(movement))
    if distance < LEAST_LEVER:
        raise RecordError(
            f"panel: handle is {shown(distance, 'length')} from the hinge line; it must be at"
            f" least {shown(LEAST_LEVER, 'length')} away."
        )
    wanted = np.array(hinge.direction)
    cosine = float(movement @ wanted / (distance * np.linalg.norm(wanted)))
    if abs(cosine) < LEAST_OPENING_COSINE:
        raise RecordError(
            f"hinge: opens_toward is {hinge.opens_toward!r}, but the handle starts square to it;"
            " give the direction in which the handle starts to move."
        )
    return _point(np.copysign(1.0, cosine) * k)


@lru_cache(maxsize=4096)
def _hinge_distance(hinge: Hinge, place: Point) -> float:
    first, second = np.array(hinge.first), np.array(hinge.second)
    k = (second - first) / np.linalg.norm(second - first)
    return float(np.linalg.norm(cross(k, np.array(place) - first)))


def _refuse_on_hinge_line(door: Door, place: Point, where: str) -> None:
    distance = door.hinge_distance(place)
    if distance < LEAST_LEVER:
        raise RecordError(
            f"{where} is {shown(distance, 'length')} from the hinge line; it must be at least"
            f" {shown(LEAST_LEVER, 'length')} away."
        )


def _mirror(door: Door, place: Point) -> Point:
    axis, spot = np.array(door.hinge_direction), np.array(place)
    return _point(spot - 2.0 * axis * ((spot - np.array(door.middle)) @ axis))


def _mirrored_arm(door: Door, arm: Point | None) -> Point | None:
    if arm is None:
        return None
    axis, along = np.array(door.hinge_direction), np.array(arm)
    return _point(along - 2.0 * axis * (along @ axis))


def _fitted(door: Door) -> tuple[FittedStrut, ...]:
    hung: list[FittedStrut] = []
    for one in door.struts:
        hung.append(one)
        if one.mirrored:
            hung.append(_twin(door, one))
    return tuple(hung)


def _twin(door: Door, original: FittedStrut) -> FittedStrut:
    frame_mount = _mirror(door, original.frame_mount)
    panel_mount = _mirror(door, original.panel_mount)
    apart = max(
        math.dist(frame_mount, original.frame_mount), math.dist(panel_mount, original.panel_mount)
    )
    name = original.strut.name
    if apart < LEAST_TWIN_DISTANCE:
        raise RecordError(
            f"strut {name!r}: its mirrored twin would hang in the same place; move it away from"
            " the panel's middle or leave out mirrored."
        )
    return FittedStrut(
        strut=replace(original.strut, name=f"{name}{TWIN}"),
        frame_mount=frame_mount,
        panel_mount=panel_mount,
        rod_at=original.rod_end,
        frame_hole=_mirrored_arm(door, original.frame_hole),
        panel_hole=_mirrored_arm(door, original.panel_hole),
        frame_thread=original.frame_thread,
        panel_thread=original.panel_thread,
    )


def _refuse_duplicates(names: list[str], kind: str) -> None:
    for name in names:
        if names.count(name) > 1:
            raise RecordError(f"{kind} {name!r} stands {names.count(name)} times; name each once.")


def _refuse_bent_zone(door: Door, zone: Zone, number: int) -> None:
    along = np.array(zone.corners) @ np.array(door.hinge_direction)
    out = float(np.max(np.abs(along - (along.max() + along.min()) / 2.0)))
    if out > ZONE_FLATNESS:
        raise RecordError(
            f"zone {number}: its corners lie up to {shown(out, 'length')} out of a plane square"
            f" to the hinge line; at most {shown(ZONE_FLATNESS, 'length')} is taken."
        )
