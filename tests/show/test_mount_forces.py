"""Force on each mount, as printed, beside plain vectors and the gas law put down anew."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from strutkit import hinge_loads, sweep
from strutkit.decide.conditions import all_conditions
from strutkit.decide.judging import study
from strutkit.show.mount_forces import mount_forces, pushed_line
from tests import plain_statics
from tests.show.pdf_reader import page_texts, plain
from tests.show.picture_doors import all_doors

WAYS = {"outward": (0, 1), "inward": (0, -1), "right": (1, 1), "left": (1, -1), "up": (2, 1)}
WAYS["down"] = (2, -1)


def components(words: str) -> np.ndarray:
    """The printed ways as a vector of the structure frame; for doors hinged along y."""
    vector = np.zeros(3)
    for number, way in re.findall(r"([0-9]+) N (\w+)", words):
        axis, sign = WAYS[way]
        vector[axis] = sign * float(number)
    return vector


@pytest.mark.parametrize("name", ["rear-hatch", "roof-hatch", "counter-flap", "drop_flap"])
def test_the_greatest_push_and_its_ways(name: str) -> None:
    """Hinge lines along y: outward is x and up is z; the mirrored pair pushes square to y."""
    door = all_doors()[name]
    fitted = door.fitted[0]
    found = []
    for condition in all_conditions(door):
        if condition.missing is not None:
            continue
        end = sweep(door, condition=condition, angles=[0.0]).end_of_travel
        angle = np.append(np.arange(0.0, end, math.radians(0.1)), end)
        place = plain_statics.turned(door, fitted.panel_mount, angle)
        line = place - np.array(fitted.frame_mount)
        length = np.linalg.norm(line, axis=-1)
        gas, friction = plain_statics.gas_forces(fitted, 0, condition, length)
        at = int(np.argmax(gas))
        unit = line[at] / length[at]
        back = plain_statics.opening_axis(door), -angle[at]
        found.append((gas[at] + friction, -unit, turned_back(unit, *back)))
    force, on_frame, on_panel = max(found, key=lambda one: one[0])
    table = mount_forces(study(door))
    most = [row for row in table["rows"] if plain(row[1]).startswith("most")]
    for row, way in zip(most, (on_frame, on_panel), strict=True):
        assert int(re.match(r"[0-9]+", row[2])[0]) == math.ceil(force - 0.02)
        assert components(plain(row[3])) == pytest.approx(force * way, abs=2.0)


def test_a_strut_that_leans_out_pushes_the_door_side_from_the_middle() -> None:
    """Apart: where the door side's ball stands further out, it is pushed further out."""
    door = all_doors()["rear-hatch"]
    one = door.struts[0]
    x, y, z = one.panel_mount
    out = replace(one, panel_mount=(x, y + math.copysign(0.02, y), z))
    table = mount_forces(study(replace(door, struts=(out,))))
    fixed, moving = [row[3] for row in table["rows"] if plain(row[1]).startswith("most")]
    assert "to the middle" in plain(fixed)
    assert "from the middle" in plain(moving)


def test_a_ball_that_stands_off_its_hole_bends_what_holds_it() -> None:
    """Moment: the arm from hole to ball, across the printed force."""
    door = all_doors()["rear-hatch"]
    off = replace(door.struts[0], frame_hole=(-0.018, 0.0, 0.0))
    table = mount_forces(study(replace(door, struts=(off,))))
    most = next(row for row in table["rows"] if plain(row[1]).startswith("most"))
    moment = np.linalg.norm(np.cross((0.018, 0.0, 0.0), components(plain(most[3]))))
    said = next(one for one in map(plain, table["notes"]) if "bends stud" in one)
    assert "stands 18 mm off the hole" in said
    assert float(re.search(r"by up to ([0-9.]+) N·m", said)[1]) == pytest.approx(moment, abs=0.12)


def turned_back(unit: np.ndarray, axis: np.ndarray, angle: float) -> np.ndarray:
    """Rodrigues' formula, written out."""
    cosine, sine = math.cos(angle), math.sin(angle)
    return unit * cosine + np.cross(axis, unit) * sine + axis * (axis @ unit) * (1.0 - cosine)


def test_a_strut_that_is_the_stop_leaves_its_mounts_what_its_pull_does_not_take() -> None:
    door = all_doors()["roof_lid"]
    swept = sweep(door)
    alone = hinge_loads(swept).cases["extended strut, one alone"].force
    left = float(swept.strut_force[0, -1]) - alone
    rows = [row for row in mount_forces(study(door))["rows"] if "it alone" in row[1]]
    assert rows
    assert all(row[2].endswith("pull") for row in rows)
    assert float(re.match(r"[0-9]+", rows[0][2])[0]) >= math.floor(-left)


def test_page_1_says_what_pushes_on_bracket_and_fastener(papers) -> None:
    first = plain(page_texts(papers("sheet", "rear-hatch"))[0])
    assert plain(pushed_line(study(all_doors()["rear-hatch"]))[0]) in first
