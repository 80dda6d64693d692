"""Advice beside the limits: what `check` says of a door without being asked, against values worked
by hand or on a dense grid."""

import math
from dataclasses import replace

import numpy as np
import pytest

from strutkit.describe.records import (
    Condition,
    FittedStrut,
    Hinge,
    Limits,
    Panel,
    Strut,
)
from tests import plain_statics
from tests.decide.test_findings import by_name, dense, label, lid


def test_small_lever_arm_at_shut() -> None:
    """Under 10 mm; the arm is the distance of the strut's line from the hinge line."""
    mounts = {"frame_mount": (0.30, 0.2, -0.27), "panel_mount": (0.005, 0.2, 0.005)}
    door = lid(struts=(replace(lid().struts[0], **mounts),))
    frame, panel = np.array([0.30, -0.27]), np.array([0.005, 0.005])
    arm = abs(np.linalg.det(np.array([frame, panel - frame]))) / math.dist(frame, panel)
    assert arm < 0.010
    finding = by_name(door)["shut_lever_arm"]
    assert abs(finding.value or 0.0) == pytest.approx(arm, rel=1e-9)
    assert "2 mm of drilling error" in finding.words
    assert "shut_lever_arm" not in by_name(lid())


def test_rod_up_is_told_shut_and_open() -> None:
    """Rod down keeps the seal in oil and cushions (common practice)."""
    assert "rod_direction" not in by_name(lid())
    turned = lid(struts=(replace(lid().struts[0], rod_at="panel"),))
    finding = by_name(turned)["rod_direction"]
    assert finding.ok is None
    assert "rod up when shut" in finding.words
    assert finding.value == pytest.approx(-0.01 + 0.10)


def test_rod_buckling_by_euler_worked_by_hand() -> None:
    """A 3 mm rod, 0.37 m between its ends: Euler pi² E I / L² (E 206 GPa, I = pi d⁴/64)."""
    thin = replace(lid().struts[0].strut, rod_diameter=0.003)
    door = lid(struts=(replace(lid().struts[0], strut=thin),))
    finding = by_name(door)["rod_buckling"]
    place = plain_statics.turned(door, door.struts[0].panel_mount, dense(door))
    length = np.linalg.norm(place - np.array(door.struts[0].frame_mount), axis=-1)
    force, friction = plain_statics.gas_forces(door.fitted[0], 0, Condition(name="nominal"), length)
    carries = math.pi**2 * 206e9 * math.pi * 0.003**4 / 64.0 / length**2 / 1.5
    worst = int(np.argmax((force + friction) / carries))
    assert finding.ok is False
    assert finding.value == pytest.approx(force[worst] + friction, rel=1e-3)
    assert finding.limit == pytest.approx(carries[worst], rel=1e-3)
    assert by_name(lid())["rod_buckling"].ok is True


def test_charge_over_the_published_greatest_fails() -> None:
    """13 MPa, annex C, table C.1: 400 N on a 5 mm rod is over 20 MPa."""
    thin = replace(lid().struts[0].strut, rod_diameter=0.005)
    finding = by_name(lid(struts=(replace(lid().struts[0], strut=thin),)))["charge_pressure"]
    assert finding.ok is False
    assert finding.value == pytest.approx(
        101325 + plain_statics.label(thin)[0] / (math.pi * 0.005**2 / 4), rel=1e-9
    )
    thick = replace(lid().struts[0].strut, rod_diameter=0.020)
    low = by_name(lid(struts=(replace(lid().struts[0], strut=thick),)))["charge_pressure"]
    assert low.ok is None
    assert "outside 2 to 20 MPa" in low.words


def test_out_of_square_is_the_largest_angle_over_the_travel() -> None:
    """Angle between the strut's line and the plane square to the hinge line, from vectors."""
    mounts = {"frame_mount": (0.40, 0.10, -0.10), "panel_mount": (0.12, 0.2, -0.01)}
    door = lid(struts=(replace(lid().struts[0], **mounts),))
    line = plain_statics.turned(door, mounts["panel_mount"], dense(door)) - mounts["frame_mount"]
    lean = np.arcsin(np.abs(line[:, 1]) / np.linalg.norm(line, axis=-1))
    assert by_name(door)["out_of_square"].value == pytest.approx(lean.max(), rel=1e-6)
    assert "out_of_square" not in by_name(lid())


def test_each_leaning_strut_is_named_with_its_own_angle() -> None:
    """Two unlike struts, each angle by `math.degrees(asin(...))` of its own vector, rounded up."""
    first = replace(lid().struts[0], panel_mount=(0.12, 0.14, -0.01))
    second = replace(
        lid().struts[0],
        strut=replace(lid().struts[0].strut, name="other"),
        frame_mount=(0.40, -0.2, -0.10),
        panel_mount=(0.12, -0.17, -0.01),
    )
    door = lid(struts=(first, second))
    words = by_name(door)["out_of_square"].words
    for fitted in door.struts:
        line = plain_statics.turned(door, fitted.panel_mount, dense(door)) - fitted.frame_mount
        lean = np.arcsin(np.abs(line[:, 1]) / np.linalg.norm(line, axis=-1)).max()
        assert f"strut {fitted.strut.name} up to {math.ceil(math.degrees(lean))}°" in words


def test_snapping_a_strut_on_says_how_far_and_how_hard_it_is_pushed_in() -> None:
    """Length from turned points, gas force from the label's own law, friction on top."""
    door = lid()
    strut = door.struts[0].strut
    end = np.array([door.hinge.stop_angle])
    line = plain_statics.turned(door, door.struts[0].panel_mount, end)[0]
    left = strut.extended_length - float(np.linalg.norm(line - door.struts[0].frame_mount))
    force_extended, inverse_column, friction, _ = plain_statics.label(strut)
    force = force_extended / (1.0 - left * inverse_column) + friction
    finding = by_name(door)["snap_on"]
    assert finding.value == pytest.approx(left, rel=1e-9)
    assert f"{math.ceil(1e3 * left)} mm against {math.ceil(force)} N" in finding.words
    stopped = lid(hinge=replace(door.hinge, stop_angle=math.radians(170.0)))
    assert by_name(stopped)["snap_on"].value == pytest.approx(0.0, abs=1e-6)
    assert "With the panel open, " in by_name(stopped)["snap_on"].words
    assert "at full extension" in by_name(stopped)["snap_on"].words


def test_a_strut_that_is_longest_when_shut_is_snapped_on_shut() -> None:
    """A strut from behind and above the hinge line; its lengths by hand from turned points."""
    mounts = {"frame_mount": (-0.25, 0.2, 0.15), "panel_mount": (0.12, 0.2, -0.01)}
    door = lid(struts=(replace(lid().struts[0], **mounts),))
    shut, opened = (
        float(
            np.linalg.norm(
                plain_statics.turned(door, mounts["panel_mount"], np.array([angle]))[0]
                - mounts["frame_mount"]
            )
        )
        for angle in (0.0, door.hinge.stop_angle)
    )
    assert shut > opened + 0.05
    finding = by_name(door)["snap_on"]
    assert "with the panel shut" in finding.words
    assert finding.value == pytest.approx(0.42 - shut, abs=1e-9)
    assert finding.angle == 0.0


def test_verdicts_that_lean_on_assumed_friction_are_named() -> None:
    """A closing limit between the peaks with no friction and with half the table's entry."""
    silent = lid(struts=(replace(lid().struts[0], strut=label(friction=None)),))
    with_none = lid(struts=(replace(lid().struts[0], strut=label(friction=0.0)),))
    half = by_name(silent)["hand_closing"].value or 0.0
    none = by_name(with_none)["hand_closing"].value or 0.0
    assert half > none + 1.0
    asked = replace(silent, limits=Limits(hand_closing=(half + none) / 2.0))
    finding = by_name(asked)["assumed_friction"]
    assert finding.state == "assumed"
    assert "With none, shutting would pass." in finding.words
    assert "20 N each" in finding.words
    assert "assumed_friction" not in by_name(lid())


def test_verdicts_that_lean_on_an_assumed_force_ratio_are_named() -> None:
    """A closing limit between the peaks with force ratio 1.3 and 1.5."""
    silent = lid(struts=(replace(lid().struts[0], strut=label(force_ratio=None)),))
    steep = lid(struts=(replace(lid().struts[0], strut=label(force_ratio=1.5)),))
    assumed = by_name(silent)["hand_closing"].value or 0.0
    with_more = by_name(steep)["hand_closing"].value or 0.0
    assert with_more > assumed + 1.0
    asked = replace(silent, limits=Limits(hand_closing=(assumed + with_more) / 2.0))
    assert "With 1.5, shutting would fail." in by_name(asked)["assumed_force_ratio"].words


def test_leaning_on_friction_is_told() -> None:
    """Open, M < 0 but M + Mf > 0: only friction keeps it up."""
    rubbing = lid(hinge=replace(lid().hinge, friction_moment=30.0))
    weak = Condition(name="spent", ageing=0.2)
    net, _ = plain_statics.moments(rubbing, weak, [rubbing.hinge.stop_angle])
    assert -30.0 < net[0] < 0.0
    finding = by_name(replace(rubbing, conditions=(weak,)))["reserve_with_friction"]
    assert finding.condition == "spent"
    assert "only friction keeps it up" in finding.words


def test_rest_and_balance_are_told() -> None:
    weak = lid()
    net, rubbing = plain_statics.moments(weak, Condition(name="nominal"), dense(weak))
    crossing = dense(weak)[np.flatnonzero(np.diff(np.sign(net)))]
    assert len(crossing) == 1
    found = by_name(weak)
    assert found["balance"].value == pytest.approx(crossing[0], abs=1e-3)
    resting = dense(weak)[np.abs(net) <= rubbing]
    assert found["rest_on_friction"].value == pytest.approx(np.ptp(resting), abs=1e-3)


def test_rounding_at_the_seat_is_no_rest_band() -> None:
    """Hanging shut, with the strut along the panel, neither weight nor strut turns the hatch: what
    is left of both is rounding, and a band as wide as that is none."""
    strut = Strut(name="one", rating=300.0, extended_length=0.4, stroke=0.16)
    hatch = lid(
        panel=Panel(mass=14.0, centre_of_gravity=(0.0, 0.0, -0.3), handle=(0.0, 0.0, -0.6)),
        hinge=Hinge(
            first=(0.0, -0.4, 0.0),
            second=(0.0, 0.4, 0.0),
            opens_toward="out",
            stop_angle=math.radians(100.0),
        ),
        struts=(
            FittedStrut(
                strut=strut, frame_mount=(-0.06, -0.43, -0.45), panel_mount=(-0.02, -0.43, -0.15)
            ),
        ),
    )
    assert "rest_on_friction" not in by_name(hatch)
