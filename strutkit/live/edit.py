"""Editing a door by forms: a door and one edit in, a door out. Nothing here knows a widget.

A part of a door is named "door", "panel", "hinge", "limits", "strut:0", "condition:0", "zone:0".
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from strutkit.decide.start.suggesting import with_struts
from strutkit.decide.starters import PRACTICE, starter_conditions, starter_limits
from strutkit.describe.bare import with_unit
from strutkit.describe.field_text import parse_field
from strutkit.describe.numbers import LengthUnit
from strutkit.describe.records import TWIN, Condition, Door, FittedStrut, Strut, Zone
from strutkit.describe.units import is_bare, unit_symbols
from strutkit.errors import RecordError
from strutkit.live.edit_form import shown_text
from strutkit.live.parts import LENGTHS, LISTS, find_field, place_of, records_of

MEASURED: dict[tuple[str, str], tuple[str, ...]] = {
    ("panel", "mass"): ("panel mass",),
    ("panel", "centre_of_gravity"): ("centre of gravity", "depth of the centre of gravity"),
    ("panel", "thickness"): ("panel thickness",),
    ("panel", "width"): ("panel width",),
    ("panel", "handle"): ("handle",),
    ("hinge", "stop_angle"): ("hinge stop angle",),
    ("hinge", "first"): ("hinge points",),
    ("hinge", "second"): ("hinge points",),
    ("strut", "rating"): ("strut label",),
}
"""Field -> what is no longer assumed once it is typed by hand."""

Edit = dict[str, Any]


def edited(door: Door, edit: Edit, stock: Sequence[Strut] = ()) -> Door:
    """The door after one edit. Raises `StrutkitError` where it cannot be; the door is unharmed.

    edit["do"] is one of: "set" (part, field, text); "remove" (part); "add strut" (row of the
    stock list, pair); "exchange" (part, row); "turn" (part): end for end; "pair", "single",
    "unlike" (part): a mirrored pair, one alone, or two that can differ; "add condition", "add
    zone" (side); "starter" (name, on): one starter condition; "starters": starter conditions and
    limits again. With "unit" in the edit, bare lengths of a "set" are in that unit, other bare
    numbers in the unit that the box showed.
    """
    action = ACTIONS.get(str(edit.get("do")))
    if action is None:
        raise RecordError(f"There is no edit {str(edit.get('do'))[:40]!r}.")
    return action(door, edit, stock)


def _set(door: Door, edit: Edit, _: Sequence[Strut]) -> Door:
    part, name, text = (str(edit.get(key, "")) for key in ("part", "field", "text"))
    unit: LengthUnit = "in" if edit.get("unit") == "in" else "mm"
    kind, place = place_of(door, part)
    _, owner, rules = find_field(door, part, name)
    if text == shown_text(door, part, name, unit):
        return door
    if "unit" in edit:
        text = _completed(text, shown_text(door, part, name, unit), rules["kind"], unit)
    value = parse_field(owner, name, text)
    record = next(one for one, its in records_of(door, part) if its is owner)
    changed = replace(record, **{name: value})
    return _without_assumed(_put(door, kind, place, owner, changed), kind, name)


def _completed(text: str, before: str, kind: str, unit: LengthUnit) -> str:
    """A bare number with its unit: of a length the one chosen, else the one the box showed."""
    if kind in LENGTHS or not before:
        return with_unit(text, kind, unit)
    symbols = [one for one in unit_symbols(kind) if before.endswith(f" {one}")]
    bare = any(map(str.isnumeric, text)) and is_bare(text)
    return f"{text} {max(symbols, key=len)}" if symbols and bare else text


def _put(door: Door, kind: str, place: int, owner: type, record: Any) -> Door:
    if kind == "door":
        return record
    if kind not in LISTS:
        single: dict[str, Any] = {kind: record}
        return replace(door, **single)
    several = list(getattr(door, LISTS[kind]))
    several[place] = replace(several[place], strut=record) if owner is Strut else record
    if kind == "strut":
        return _with(door, several)
    return _listed(door, kind, several)


def _listed(door: Door, kind: str, several: Sequence[Any]) -> Door:
    changed: dict[str, Any] = {LISTS[kind]: tuple(several)}
    return replace(door, **changed)


def _with(door: Door, struts: Sequence[FittedStrut]) -> Door:
    """The door with these struts; conditions follow only where their number changes."""
    before = [one.strut.name for one in door.fitted]
    after = with_struts(door, struts)
    if [one.strut.name for one in after.fitted] == before:
        return replace(door, struts=tuple(struts))
    return after


def _without_assumed(door: Door, kind: str, name: str) -> Door:
    subjects = MEASURED.get((kind, name), ())
    kept = tuple(one for one in door.assumed if one.partition(":")[0] not in subjects)
    return door if kept == door.assumed else replace(door, assumed=kept)


def measured_since(former: Door, door: Door) -> Door:
    """The door without what it lists as assumed and no longer holds as `former` did."""
    for part, name in MEASURED:
        if part in LISTS:
            continue
        if getattr(getattr(former, part), name) != getattr(getattr(door, part), name):
            door = _without_assumed(door, part, name)
    return door


def _remove(door: Door, edit: Edit, _: Sequence[Strut]) -> Door:
    kind, place = place_of(door, str(edit.get("part", "")))
    if kind not in LISTS:
        raise RecordError(f"A door keeps its {kind}; only struts, zones and conditions go.")
    several = list(getattr(door, LISTS[kind]))
    del several[place]
    if kind == "strut":
        return _with(door, several)
    return _listed(door, kind, several)


def _row(edit: Edit, stock: Sequence[Strut]) -> Strut:
    row = edit.get("row")
    if not isinstance(row, int) or not 0 <= row < len(stock):
        raise RecordError(f"The stock list has {len(stock)} rows; choose one of them.")
    return stock[row]


def _free_name(door: Door, wanted: str) -> str:
    taken = {one.strut.name for one in door.fitted}
    names = [wanted, *(f"{wanted} {number}" for number in range(2, 200))]
    return next(name for name in names if name not in taken)


def _add_strut(door: Door, edit: Edit, stock: Sequence[Strut]) -> Door:
    """A strut of the list, hung beside the first one, or half-way out where there is none."""
    row = _row(edit, stock)
    strut = replace(row, name=_free_name(door, "strut"), order_code=row.order_code or row.name)
    if door.struts:
        first = door.struts[0]
        aside = 0.05 * np.array(door.hinge_direction)
        frame, panel = (
            _point(np.array(one) + aside) for one in (first.frame_mount, first.panel_mount)
        )
    else:
        frame, panel = _first_places(door, row)
    pair = bool(edit.get("pair"))
    new = FittedStrut(strut=strut, frame_mount=frame, panel_mount=panel, mirrored=pair)
    return _with(door, [*door.struts, new])


def _first_places(door: Door, strut: Strut) -> tuple[Any, Any]:
    """Two mounts at which a strut is three quarters pushed in: on the panel a third of the way
    out, on the frame straight below it, aside of the middle."""
    middle, handle = np.array(door.middle), np.array(door.panel.handle)
    axis = np.array(door.hinge_direction)
    aside = 0.4 * (door.panel.width or 0.2) * axis
    length = strut.extended_length - 0.75 * strut.stroke
    panel = middle + (handle - middle) / 3.0 - axis * ((handle - middle) @ axis) / 3.0 - aside
    frame = panel + np.array([0.0, 0.0, -length])
    return _point(frame), _point(panel)


def _point(place: Any) -> tuple[float, float, float]:
    x, y, z = (round(float(one), 5) + 0.0 for one in place)
    return (x, y, z)


def _exchange(door: Door, edit: Edit, stock: Sequence[Strut]) -> Door:
    row = _row(edit, stock)

    def new(fitted: FittedStrut) -> FittedStrut:
        name = fitted.strut.name
        taken = replace(row, name=name, order_code=row.order_code or row.name)
        return replace(fitted, strut=taken)

    return _changed_strut(door, edit, new)


def _changed_strut(door: Door, edit: Edit, change: Callable[[FittedStrut], FittedStrut]) -> Door:
    kind, place = place_of(door, str(edit.get("part", "")))
    if kind != "strut":
        raise RecordError("Choose a strut first.")
    several = list(door.struts)
    several[place] = change(several[place])
    return _with(door, several)


def _turn(door: Door, edit: Edit, _: Sequence[Strut]) -> Door:
    other = {"frame": "panel", "panel": "frame"}
    return _changed_strut(door, edit, lambda one: replace(one, rod_at=other[one.rod_end]))


def _pair(door: Door, edit: Edit, _: Sequence[Strut]) -> Door:
    return _changed_strut(door, edit, lambda one: replace(one, mirrored=True))


def _single(door: Door, edit: Edit, _: Sequence[Strut]) -> Door:
    return _changed_strut(door, edit, lambda one: replace(one, mirrored=False))


def _unlike(door: Door, edit: Edit, _: Sequence[Strut]) -> Door:
    """A mirrored pair as two struts of their own, which can then differ."""
    kind, place = place_of(door, str(edit.get("part", "")))
    if kind != "strut" or not door.struts[place].mirrored:
        raise RecordError("Only a mirrored pair can become two unlike struts.")
    original = door.struts[place]
    twin = next(one for one in door.fitted if one.strut.name == f"{original.strut.name}{TWIN}")
    alone = replace(original, mirrored=False)
    name = _free_name(door, "right" if original.strut.name == "left" else "strut")
    other = replace(twin, strut=replace(twin.strut, name=name))
    several = list(door.struts)
    several[place : place + 1] = [alone, other]
    return _with(door, several)


def _add_condition(door: Door, edit: Edit, _: Sequence[Strut]) -> Door:
    taken = {one.name for one in door.conditions}
    names = [f"condition {number}" for number in range(1, 500)]
    name = next(name for name in names if name not in taken)
    return replace(door, conditions=(*door.conditions, Condition(name=name)))


def _add_zone(door: Door, edit: Edit, _: Sequence[Strut]) -> Door:
    """A square of 60 mm round the first strut's mount, or a third of the way out."""
    part = "panel" if edit.get("side") == "panel" else "frame"
    if door.struts:
        first = door.struts[0]
        centre = np.array(first.frame_mount if part == "frame" else first.panel_mount)
    else:
        middle = np.array(door.middle)
        centre = middle + (np.array(door.panel.handle) - middle) / 3.0
    axis = np.array(door.hinge_direction)
    one = np.cross(axis, [0.0, 0.0, 1.0] if abs(axis[2]) < 0.9 else [1.0, 0.0, 0.0])
    one /= np.linalg.norm(one)
    other = np.cross(axis, one)
    corners = tuple(
        _point(centre + 0.03 * (a * one + b * other))
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )
    return replace(door, zones=(*door.zones, Zone(part=part, corners=corners)))


def _starters(door: Door, edit: Edit, _: Sequence[Strut]) -> Door:
    """Starter conditions and limits again; the builder's own conditions stay."""
    own = tuple(one for one in door.conditions if PRACTICE not in one.name)
    bare = replace(door, conditions=())
    return replace(door, conditions=own + starter_conditions(bare), limits=starter_limits(bare))


def _starter(door: Door, edit: Edit, _: Sequence[Strut]) -> Door:
    """One starter condition is asked for, or left out."""
    name = str(edit.get("name", ""))
    kept = tuple(one for one in door.conditions if one.name != name)
    if not edit.get("on"):
        return replace(door, conditions=kept)
    found = [one for one in starter_conditions(replace(door, conditions=())) if one.name == name]
    if not found:
        raise RecordError(f"There is no starter condition {name[:60]!r}.")
    return replace(door, conditions=(*kept, *found))


ACTIONS: dict[str, Callable[[Door, Edit, Sequence[Strut]], Door]] = {
    "set": _set,
    "remove": _remove,
    "add strut": _add_strut,
    "exchange": _exchange,
    "turn": _turn,
    "pair": _pair,
    "single": _single,
    "unlike": _unlike,
    "add condition": _add_condition,
    "add zone": _add_zone,
    "starter": _starter,
    "starters": _starters,
}
"""Name of an edit -> what makes it."""
