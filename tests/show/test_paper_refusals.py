"""Papers for doors that cannot be, and the load that a prop is chosen by."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from strutkit import Condition, Door, read_door, save_drill_template
from strutkit.data import door_path
from strutkit.decide.judging import study
from strutkit.errors import TravelError
from strutkit.show.workshop import prop_force
from tests import plain_statics


def test_no_template_is_printed_for_a_door_that_cannot_be_swept(tmp_path: Path) -> None:
    door = read_door(door_path("roof-hatch"))
    short = replace(door.struts[0].strut, extended_length=door.struts[0].strut.extended_length / 2)
    broken = replace(door, struts=(replace(door.struts[0], strut=short),))
    with pytest.raises(TravelError):
        save_drill_template(broken, tmp_path / "template.pdf")
    assert not (tmp_path / "template.pdf").exists()


def greatest_weight(door: Door, condition: Condition) -> float:
    """Weight at the handle without struts [N] by turned points and cross products."""
    bare = replace(door, struts=(), conditions=())
    angle = np.linspace(0.0, door.hinge.stop_angle, 721)
    axis, first = plain_statics.opening_axis(bare), np.array(door.hinge.first)
    moment = np.zeros_like(angle)
    for mass, place in plain_statics.weights(bare, condition):
        arm = plain_statics.turned(bare, place, angle) - first
        moment += np.cross(arm, mass * plain_statics.tilt(condition)) @ axis
    reach = np.array(door.panel.handle) - first
    return float(np.abs(moment).max() / np.linalg.norm(reach - (reach @ axis) * axis))


def test_a_prop_is_chosen_by_the_heaviest_condition() -> None:
    door = read_door(door_path("rear-hatch"))
    loaded = Condition(
        name="bicycles on the door", added_mass=9.0, added_at=door.panel.handle, mass_factor=1.1
    )
    door = replace(door, conditions=(*door.conditions, loaded))
    most = max(greatest_weight(door, one) for one in door.conditions if one.missing is None)
    assert prop_force(study(door))[0] == pytest.approx(most, rel=1e-3)
