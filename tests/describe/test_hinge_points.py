"""Hinge points by where they are: y is right seen from outside, z is up (the structure frame)."""

from dataclasses import replace

import pytest

from strutkit import Door
from strutkit.describe.hinge_points import hinge_point_names
from tests.show.picture_doors import rear_hatch, upright_door


def hung(door: Door, first: tuple, second: tuple, opens_toward: str = "out") -> Door:
    hinge = replace(door.hinge, first=first, second=second, opens_toward=opens_toward, stop=None)
    return replace(door, hinge=hinge, struts=(), zones=())


@pytest.mark.parametrize(
    ("first", "second", "names"),
    [
        ((0, -0.5, 0), (0, 0.5, 0), ("left", "right")),
        ((0, 0.5, 0), (0, -0.5, 0), ("right", "left")),
        ((0, -0.5, 0.2), (0, 0.5, -0.2), ("left", "right")),
    ],
)
def test_points_of_a_level_hinge_line_are_left_and_right(first, second, names) -> None:
    assert hinge_point_names(hung(rear_hatch(), first, second)) == names


@pytest.mark.parametrize(
    ("first", "second", "names"),
    [
        ((0, 0, -0.4), (0, 0, 0.5), ("lower", "upper")),
        ((0, 0, 0.5), (0, 0, -0.4), ("upper", "lower")),
        ((0, 0.3, 0.5), (0, 0, -0.4), ("upper", "lower")),
    ],
)
def test_points_of_an_upright_hinge_line_are_upper_and_lower(first, second, names) -> None:
    assert hinge_point_names(hung(upright_door(), first, second)) == names
