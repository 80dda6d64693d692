"""Struts side by side: the same figures as the findings of a door that has that strut."""

import math
from dataclasses import replace

import numpy as np
import pytest

from strutkit import Condition, Door, Strut, check, read_door, read_stock, summary, sweep_conditions
from strutkit.data import door_path, stock_path
from strutkit.live.comparison import comparison, same_size
from strutkit.live.scene import edited
from tests.doors import bottoming_once_lost, short_of_the_stop
from tests.live.conftest import DOORS


def stock_for(door: Door) -> list[Strut]:
    present = door.struts[0].strut
    return [
        replace(present, name=f"10-22-{rating:g}", rating=rating, order_code="", price=20.0)
        for rating in (300.0, 350.0, 400.0, 450.0, 550.0, 600.0, 650.0, 900.0)
    ]


def test_six_of_the_size_nearest_in_rating_with_the_present_one(rear_hatch: Door) -> None:
    found = comparison(rear_hatch, stock_for(rear_hatch), 0)
    names = [row["name"] for row in found["rows"]]
    assert names == [
        "10-22-350", "10-22-400", "10-22-450", "10-22-500", "10-22-550", "10-22-600",
    ]  # fmt: skip
    assert [row["now"] for row in found["rows"]].index(True) == 3
    assert {row["price"] for row in found["rows"]} == {20.0, None}


def test_without_a_strut_of_the_size_the_present_one_at_other_ratings(rear_hatch: Door) -> None:
    found = comparison(rear_hatch, read_stock(stock_path())[:0], 0)
    assert [row["name"] for row in found["rows"]] == [
        "400 N", "450 N", "10-22-500", "550 N", "600 N",
    ]  # fmt: skip
    assert "no other of its size" in found["source"]


def test_a_row_names_the_strut_it_is_of(rear_hatch: Door) -> None:
    rows = comparison(rear_hatch, stock_for(rear_hatch), 0)["rows"]
    assert {row["edit"]["strut"] for row in rows} == {"left"}


def test_figures_are_those_of_the_door_with_that_strut(rear_hatch: Door) -> None:
    stock = stock_for(rear_hatch)
    row = next(
        one for one in comparison(rear_hatch, stock, 0)["rows"] if one["name"] == "10-22-400"
    )
    fitted = replace(
        rear_hatch.struts[0], strut=replace(stock[2], name="left", order_code="10-22-400")
    )
    findings = {one.name: one for one in check(replace(rear_hatch, struts=(fitted,)))}
    assert row["hand_closing"] == str(math.ceil(findings["hand_closing"].value or 0.0))
    assert row["hand_opening"] == str(math.ceil(findings["hand_opening"].value or 0.0))
    assert row["reserve_force"] == str(math.floor(findings["reserve_force"].value or 0.0))
    latest = math.degrees(findings["lift_off"].value or 0.0)
    assert row["lift_off"] == f"{math.ceil(latest)}°"
    assert row["kept_shut"] == str(math.floor((findings["travel_compressed"].value or 0.0) * 1e3))
    assert row["broken"] == [name for name, one in findings.items() if one.ok is False]
    assert row["state"] == ("fails" if row["broken"] else "passes")


def test_gas_to_spare_is_the_figure_of_the_finding() -> None:
    """Travel that ends early: least at 59°, not at its end of 69° (42 and 55 % of the gas)."""
    door = read_door(DOORS / "two-beside.toml")
    row = next(one for one in comparison(door, (), 0)["rows"] if one["now"])
    finding = next(one for one in check(door) if one.name == "reserve_force")
    assert f"({row['gas_to_spare']} of its gas)" in finding.words
    ends = [summary(one).gas_to_spare or 0.0 for one in sweep_conditions(door)[:-2]]
    assert float(row["gas_to_spare"].split()[0]) < math.floor(100.0 * min(ends))


def test_stroke_kept_is_that_of_the_strut_compared() -> None:
    """The right strut ends the travel at 69°, the stop is at 75°: on its way there, with the right
    one lost, the left one comes out farthest. What ends the travel keeps nothing extended."""
    lost = tuple(Condition(name=f"{place} lost", missing=place) for place in range(2))
    door = replace(read_door(DOORS / "two-beside.toml"), conditions=lost)
    shown = []
    for place, fitted in enumerate(door.fitted):
        row = next(one for one in comparison(door, (), place)["rows"] if one["now"])
        swept = [one for one in sweep_conditions(door) if one.condition.missing != place]
        lengths = np.concatenate([one.strut_length[place] for one in swept])
        pushed_in = lengths.min() - (fitted.strut.extended_length - fitted.strut.stroke)
        assert row["kept_shut"] == str(math.floor(pushed_in * 1e3))
        kept = fitted.strut.extended_length - lengths.max() + 1e-8
        assert row["kept_open"] == str(math.floor(kept * 1e3))
        shown.append((row["kept_shut"], row["kept_open"]))
    assert shown[0][0] != shown[1][0]
    assert shown[1][1] == "0" != shown[0][1]


def test_only_the_strut_that_keeps_too_little_is_marked() -> None:
    door = read_door(DOORS / "two-beside.toml")
    row, other = (
        next(one for one in comparison(door, (), place)["rows"] if one["now"]) for place in range(2)
    )
    more = min(float(row["kept_shut"]), float(other["kept_shut"])) / 1e3 + 0.0015
    door = replace(door, limits=replace(door.limits, travel_compressed=more))
    marked = [
        "travel" in next(one for one in comparison(door, (), place)["rows"] if one["now"])["broken"]
        for place in range(2)
    ]
    assert sorted(marked) == [False, True]
    assert marked[0] == (float(row["kept_shut"]) < float(other["kept_shut"]))


def test_a_row_is_never_better_than_the_check_of_its_door() -> None:
    """A rod too thin, a charge too high, gas that a published test may use up, a mount outside its
    zone: what `check` fails beside the limits fails in the row, by name or by its figure."""
    door = read_door(door_path("rear-hatch"))
    hand = replace(door.limits, hand_opening=None, hand_closing=None, hinge_radial=None)
    door = replace(door, limits=replace(hand, lift_off=None, latch=None))
    base = door.struts[0].strut
    thin = replace(base, name="thin", rating=1200.0, rod_diameter=0.004, order_code="A")
    weak = replace(base, name="weak", rating=200.0, order_code="B")
    spare = replace(door, limits=replace(door.limits, reserve_force=None))
    away = edited(spare, {"place": 0, "panel": [-55.0, -105.0, -600.0]})
    named = set()
    for one in (door, spare, away, unlike(door)):
        stock = (thin, weak)
        for row in comparison(one, stock, 0)["rows"]:
            found = check(edited(one, {"place": 0} | row["edit"], stock))
            fails = {each.name for each in found if each.ok is False}
            assert (row["state"] == "fails") == bool(fails)
            assert fails == set(row["broken"]) - {"travel"}
            named |= {*row["fails"]} | ({"in its cell"} if "gas_to_spare" in fails else set())
            seen = {"hand_closing", "reserve_force"}
            assert len(row["fails_narrow"]) == len(fails - seen)
            cells = {"travel", "gas_to_spare", "reserve_force"} & {*row["broken"]}
            assert not fails or row["fails"] or cells
    assert named == {
        "charge pressure", "in its cell", "a mount outside its zone", "rod buckling",
        "stroke kept extended",
    }  # fmt: skip


def unlike(door: Door) -> Door:
    """A right strut that keeps less than is asked, beside a left one that keeps enough."""
    left = replace(door.struts[0], mirrored=False)
    short = replace(left.strut, name="right", extended_length=0.472, order_code="")
    (x, y, z), (u, v, w) = left.frame_mount, left.panel_mount
    right = replace(left, strut=short, frame_mount=(x, -y, z), panel_mount=(u, -v, w))
    kept = tuple(one for one in door.conditions if one.missing is None)
    limits = replace(door.limits, reserve_force=None)
    return replace(door, struts=(left, right), conditions=kept, limits=limits)


def test_small_curves_are_the_worst_of_the_conditions_in_service(rear_hatch: Door) -> None:
    row = next(one for one in comparison(rear_hatch, (), 0)["rows"] if one["now"])
    service = [one for one in sweep_conditions(rear_hatch) if one.condition.missing is None]
    last = max(one.hand_force_closing[-1] for one in service)
    assert row["closing"][-1] == round(float(last), 1)
    assert len(row["angle"]) == len(row["closing"]) == len(row["opening"])


def test_a_strut_that_does_not_fit_says_why(rear_hatch: Door) -> None:
    short = replace(rear_hatch.struts[0].strut, extended_length=0.6, stroke=0.15, order_code="")
    door = replace(rear_hatch, struts=(replace(rear_hatch.struts[0], strut=short),))
    found = comparison(door, [replace(short, name="other", rating=510.0)], 0)
    assert all("too short when shut" in row["fault"] for row in found["rows"])


def test_a_door_without_struts_has_nothing_to_compare(rear_hatch: Door) -> None:
    assert comparison(replace(rear_hatch, struts=()), (), 0)["rows"] == []


def test_the_strut_that_hangs_there_is_listed_once(rear_hatch: Door) -> None:
    present = rear_hatch.struts[0].strut
    coded = replace(present, name="10-22-500", order_code="", tolerance=None)
    found = comparison(rear_hatch, [*stock_for(rear_hatch), coded], 0)
    assert [row["name"] for row in found["rows"]].count("10-22-500") == 1
    bare = replace(present, order_code="")
    door = replace(rear_hatch, struts=(replace(rear_hatch.struts[0], strut=bare),))
    found = comparison(door, [*stock_for(door), replace(bare, name="10-22-500")], 0)
    assert [row["now"] for row in found["rows"]].count(True) == 1
    assert "10-22-500" not in [row["name"] for row in found["rows"]]


def test_size_is_length_and_stroke(rear_hatch: Door) -> None:
    strut = rear_hatch.struts[0].strut
    assert same_size(strut, replace(strut, rating=10.0))
    assert not same_size(strut, replace(strut, extended_length=strut.extended_length + 1e-3))
    assert not same_size(strut, replace(strut, stroke=strut.stroke - 1e-3))


def test_a_strut_that_ends_the_travel_is_marked_with_how_far_it_opens() -> None:
    door = short_of_the_stop()
    rows = comparison(door, read_stock(stock_path()), 0)["rows"]
    assert {row["opens_to"] for row in rows} == {"28.6°"}
    assert math.degrees(sweep_conditions(door)[0].end_of_travel) == pytest.approx(28.6, abs=0.05)
    assert {row["kept_open"] for row in rows} == {"0"}
    whole = read_door(door_path("rear-hatch"))
    rows = comparison(whole, read_stock(stock_path()), 0)["rows"]
    assert {row["opens_to"] for row in rows} == {""}


def test_a_strut_that_bottoms_out_with_another_lost_fails_by_that_condition() -> None:
    """Figures and "opens to" are those of the door as it is; only the lost strut fails."""
    for row in comparison(bottoming_once_lost(), [], 0)["rows"]:
        assert row["opens_to"] == "60°"
        assert row["state"] == "fails"
        assert "strut end lost" in row["fails"]
        assert "strut end lost" in row["fails_narrow"]
        assert "fault_1" in row["broken"]
