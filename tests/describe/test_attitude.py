"""Attitudes as people say them, against gravity seen in the vehicle's own axes."""

import math

import numpy as np
import pytest

from strutkit.compute.statics import gravity
from strutkit.describe.attitude import attitude
from strutkit.describe.doorfile import read_door, write_door
from strutkit.describe.records import Condition
from strutkit.errors import RecordError, UnitError
from tests.decide.test_findings import lid

OUTSIDE_AND_RIGHT = {
    "front": ([1, 0, 0], [0, 1, 0]),
    "rear": ([-1, 0, 0], [0, -1, 0]),
    "left": ([0, 1, 0], [-1, 0, 0]),
    "right": ([0, -1, 0], [1, 0, 0]),
}
"""In vehicle axes (forward, left, up): the way out, and right as seen by someone who stands
outside and looks at the door. Facing the front of a vehicle, its left side is on the right hand."""


def turn(axis: int, angle: float) -> np.ndarray:
    """Rotation by the right-hand rule about a vehicle axis."""
    c, s = math.cos(angle), math.sin(angle)
    i, j = [(1, 2), (2, 0), (0, 1)][axis]
    matrix = np.eye(3)
    matrix[i, i] = matrix[j, j] = c
    matrix[i, j], matrix[j, i] = -s, s
    return matrix


@pytest.mark.parametrize("faces", OUTSIDE_AND_RIGHT)
@pytest.mark.parametrize(("nose", "lean"), [(5.0, 0.0), (0.0, 7.0), (12.0, 9.0), (3.0, -4.0)])
def test_gravity_is_that_of_the_tilted_vehicle(faces: str, nose: float, lean: float) -> None:
    """Nose up is a turn about the axle, leaning left one about the vehicle's own length."""
    side = "left" if lean >= 0.0 else "right"
    text = f"nose up {nose} deg, leaning {side} {abs(lean)} deg"
    stood = turn(1, -math.radians(nose)) @ turn(0, -math.radians(lean))
    down = stood.T @ [0.0, 0.0, -9.80665]
    out, right = OUTSIDE_AND_RIGHT[faces]
    expected = [down @ out, down @ right, down[2]]
    np.testing.assert_allclose(gravity(*attitude(text, faces)), expected, atol=1e-12)


def test_words_for_boats_and_for_the_other_end() -> None:
    assert attitude("bow down 2 deg and heeling to port 4 deg", "left") == attitude(
        "tail up 2 deg, leaning left 4 deg", "left"
    )


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("nose high 5 deg", "is no attitude. Write for example"),
        ("nose up 5", "no unit"),
        ("nose up 95 deg", "from 0 to under 90 deg"),
        ("nose up 5 deg, bow down 3 deg", "the same tilt two times"),
        ("", "is no attitude"),
        ("x" * 201, "201 letters"),
    ],
)
def test_what_cannot_be_read_says_how_to_write_it(text: str, message: str) -> None:
    with pytest.raises(UnitError, match=message):
        attitude(text, "rear")


def test_a_door_that_does_not_say_which_way_it_faces() -> None:
    with pytest.raises(RecordError, match="faces is not given"):
        attitude("nose up 5 deg", None)


def test_a_condition_that_says_how_it_stands(tmp_path) -> None:
    """Pitch and roll follow from the text, which is what the file keeps."""
    door = lid(
        faces="rear",
        conditions=(Condition(name="sloping drive", standing="nose up 5 deg"),),
    )
    assert door.conditions[0].pitch == pytest.approx(math.radians(-5.0))
    path = tmp_path / "lid.toml"
    write_door(door, path)
    assert 'standing = "nose up 5 deg"' in path.read_text(encoding="utf-8")
    assert "pitch" not in path.read_text(encoding="utf-8")
    assert read_door(path) == door


def test_standing_and_pitch_that_disagree_are_refused() -> None:
    both = Condition(name="drive", standing="nose up 5 deg", pitch=0.3)
    with pytest.raises(RecordError, match="both given; leave one of them out"):
        lid(faces="rear", conditions=(both,))
    with pytest.raises(RecordError, match=r"condition 'drive': standing: .*no attitude"):
        lid(faces="rear", conditions=(Condition(name="drive", standing="uphill"),))
    with pytest.raises(RecordError, match="faces is not given"):
        lid(conditions=(Condition(name="drive", standing="nose up 5 deg"),))
