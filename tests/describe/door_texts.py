"""Random doors with every field in use, and door files as people write them: units, comments."""

import json
from dataclasses import fields, replace
from typing import Any

import numpy as np
from hypothesis import strategies as st

from strutkit.describe.door_layout import LISTS, TABLES, records_of, values_of
from strutkit.describe.field_text import value_to_toml
from strutkit.describe.records import Door, Limits, Zone
from tests.doors import random_door

LENGTHS = ("mm", "cm", "m", "in", "ft", '"', "inches")
UNITS = {
    "length": LENGTHS,
    "point": LENGTHS,
    "points": LENGTHS,
    "mass": ("kg", "g", "lb", "oz"),
    "force": ("N", "kN", "lbf", "kgf"),
    "moment": ("N m", "Nm", "N·m", "lbf in", "ft lbf"),
    "angle": ("deg", "°", "rad"),
    "temperature": ("degC", "°F", "K"),
    "speed": ("m/s", "mph", "kn", "km/h"),
    "inertia": ("kg m2", "kg·m²", "lb ft2"),
    "hinge_damping": ("N m s", "lbf ft s"),
    "strut_damping": ("N s/m", "lbf s/in"),
}


def names() -> st.SearchStrategy[str]:
    """Any name that a record takes: quotes, brackets, hashes, markup, emoji, right-to-left."""
    letters = st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp"))
    return st.text(letters, min_size=1, max_size=20).map(lambda text: text if text.strip() else "_")


@st.composite
def full_doors(draw: st.DrawFn) -> Door:
    """A door in general position with random names and a random choice of all optional values."""
    seed = draw(st.integers(0, 2**32 - 1))
    door = random_door(
        seed,
        struts=draw(st.integers(0, 3)),
        conditions=draw(st.integers(0, 3)),
        mirrored=draw(st.booleans()),
        assumed=draw(st.booleans()),
    )
    rng = np.random.default_rng(seed + 1)
    panel = replace(
        door.panel,
        name=draw(names()),
        width=_maybe(rng, rng.uniform(0.1, 3.0)),
        section=_maybe(rng, tuple(_near(rng, door.panel.handle, 0.2) for _ in range(3))),
        thickness=float(rng.choice([0.0, rng.uniform(0.0, 0.1)])),
        inertia=_maybe(rng, rng.uniform(0.1, 20.0)),
        closing_handle=_maybe(rng, _near(rng, door.panel.handle, 0.02)),
    )
    return replace(
        door,
        name=draw(names()),
        panel=panel,
        struts=tuple(
            replace(one, strut=replace(one.strut, name=f"{n} {draw(names())}".strip()))
            for n, one in enumerate(door.struts)
        ),
        conditions=tuple(
            replace(one, name=f"{n} {draw(names())}".strip())
            for n, one in enumerate(door.conditions)
        ),
        limits=Limits(
            **{each.name: rng.uniform(0.0, 6.0) for each in fields(Limits) if rng.random() < 0.4}
        ),
        zones=tuple(_zone(rng, door) for _ in range(draw(st.integers(0, 2)))),
        hinge_height=_maybe(rng, rng.uniform(-1.0, 3.0)),
        faces=draw(st.sampled_from([None, "front", "rear", "left", "right"])),
    )


def _maybe(rng: np.random.Generator, value: Any) -> Any:
    return value if rng.random() < 0.5 else None


def _near(rng: np.random.Generator, place: Any, by: float) -> Any:
    return tuple(float(each) + rng.uniform(-by, by) for each in place)


def _zone(rng: np.random.Generator, door: Door) -> Zone:
    axis = np.array(door.hinge_direction)
    side = np.cross(axis, [0.3, 0.5, 0.8])
    up = np.cross(axis, side)
    centre = np.array(door.panel.handle) / 2.0
    turns = np.sort(rng.uniform(0.0, 6.28, 5))
    corners = [centre + 0.1 * (np.cos(turn) * side + np.sin(turn) * up) for turn in turns]
    return Zone(
        part=str(rng.choice(["frame", "panel"])),
        corners=tuple(tuple(float(each) for each in corner) for corner in corners),
    )


def changed(rng: np.random.Generator, door: Door, other: Door) -> Door:
    """The door with some of its values, struts, zones and conditions taken from another."""
    picked: dict[str, Any] = {
        name: getattr(other, name)
        for name in ("name", "limits", "hinge_height", "faces")
        if rng.random() < 0.4
    }
    if rng.random() < 0.4:
        picked["panel"] = replace(door.panel, mass=other.panel.mass, width=other.panel.width)
    if rng.random() < 0.3:
        picked |= {"panel": other.panel, "hinge": other.hinge, "struts": other.struts, "zones": ()}
    elif rng.random() < 0.5:
        struts = list(door.struts)
        rng.shuffle(struts)  # type: ignore[arg-type]
        struts = struts[: int(rng.integers(0, len(struts) + 1))]
        if struts:
            one = struts[0]
            struts[0] = replace(one, strut=replace(one.strut, damping=3.25, tolerance=None))
        if len(struts) > 1:
            one = struts[1]
            struts[1] = replace(one, strut=replace(one.strut, name=f"renamed {one.strut.name}"))
        picked["struts"] = tuple(struts)
    conditions = [each for each in door.conditions if rng.random() < 0.7]
    known = {each.name for each in conditions}
    conditions += [each for each in other.conditions if each.name not in known]
    rng.shuffle(conditions)  # type: ignore[arg-type]
    if rng.random() < 0.5:
        picked["conditions"] = tuple(conditions)
    return replace(door, **picked)


def written_text(rng: np.random.Generator, door: Door) -> tuple[str, dict[tuple[str, str], str]]:
    """A door file in mixed units with comments everywhere, and its lines by table and key.

    Tables of a list are known by their label: the name, or the number of a zone.
    """
    lines: list[str] = ["# top of the file", "", "format = 1   # version"]
    by_key: dict[tuple[str, str], str] = {}
    tables = [table for table in TABLES if table]
    rng.shuffle(tables)
    for table in ["", *tables]:
        for number, record in enumerate(records_of(table, door)):
            label = _label(table, number, record)
            if table:
                heading = f"[[{table}]]" if table in LISTS else f"[{table}]"
                lines += ["", f"# about {label!r:.20}"] if rng.random() < 0.7 else [""]
                lines.append(f"{heading}  # heading")
            values = values_of(table, record)
            keys = list(TABLES[table])
            rng.shuffle(keys)  # type: ignore[arg-type]
            for key in keys:
                value = values[key.name]
                if value is None or (value == key.default and rng.random() < 0.5):
                    continue
                line = f"{key.name} = {_shown(rng, value, key.rules['kind'])}"
                if rng.random() < 0.5:
                    line += f"   # why {key.name}"
                if rng.random() < 0.1:
                    lines += ["  # a remark", ""]
                lines.append(line)
                by_key[label, key.name] = line
    return "\n".join([*lines, "", "# end of the file"]) + "\n", by_key


def _label(table: str, number: int, record: Any) -> str:
    if table in ("strut", "condition"):
        return f"{table} {values_of(table, record)['name']}"
    return f"zone {number}" if table == "zone" else table


def _shown(rng: np.random.Generator, value: Any, kind: str) -> str:
    unit = str(rng.choice(UNITS[kind])) if kind in UNITS else None
    text = value_to_toml(value, kind, unit)
    if isinstance(text, str) and "'" not in text and rng.random() < 0.3:
        return f"'{text}'"
    return json.dumps(text, ensure_ascii=False)


SAMPLE = """\
format = 1
name = "Tool-van roof hatch"

[panel]
mass = "11.6 kg"
centre_of_gravity = "330, 0, -12 mm"
handle = "655, 0, -25 mm"
width = "900 mm"

[hinge]
first = "0, -380, 0 mm"
second = "0, 380, 0 mm"
opens_toward = "up"
stop_angle = "80 deg"

[[strut]]
name = "left"
rating = "220 N"
extended_length = "412 mm"
stroke = "186 mm"
force_ratio = 1.28
friction = "18 N"
frame_mount = "90, -400, -260 mm"
panel_mount = "210, -400, -30 mm"
mirrored = true

[[zone]]
part = "panel"
corners = "120, -400, -30 mm; 300, -400, -30 mm; 300, -400, -70 mm; 120, -400, -70 mm"

[[condition]]
name = "frost, old struts"
temperature = "-20 degC"
ageing = 0.80

[limits]
lift_off = "25 deg"
hand_closing = "90 N"
reserve_force = "20 N"
"""


def with_lines(*changes: tuple[str, str]) -> str:
    """The sample with pieces replaced, each of which must be there."""
    text = SAMPLE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text


COMMENTED = """\
# Our van, second try
format = 1
name = "Van"          # what is on the plate

[panel]
mass = "25 1/2 lb"    # bathroom scale
centre_of_gravity = "13, 0, -1/2 in"
handle = '25 3/4, 0, -1 in'

[hinge]
first = "0, -15, 0 in"
second = "0, 15, 0 in"
opens_toward = "up"
stop_angle = "80°"

# the left one, bent once
[[strut]]
name = "left"
rating = "50 lbf"     # from the label
extended_length = "412 mm"
stroke = "186 mm"
frame_mount = "3 1/2, -16, -10 in"
panel_mount = "8, -16, -1 in"

# the right one
[[strut]]
name = "right"
rating = "50 lbf"
extended_length = "412 mm"
stroke = "186 mm"
frame_mount = "3 1/2, 16, -10 in"
panel_mount = "8, 16, -1 in"

# ---- what it goes through ----

[[condition]]
name = "frost"        # last winter
temperature = "-4 degF"

# the end
"""
