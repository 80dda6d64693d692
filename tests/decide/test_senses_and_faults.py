"""Senses of travel, falls with a strut lost, struts as the stop: against a dense grid by a second
route (`tests/plain_statics.py`), or the physics of the case said in the test."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from strutkit.decide.findings import check, verdict
from strutkit.decide.judging import Finding
from strutkit.decide.starters import starter_conditions, starter_limits, weight_sense
from strutkit.decide.sweep import sweep, sweep_conditions
from strutkit.decide.window import rating_window
from strutkit.describe.records import (
    Condition,
    Door,
    FittedStrut,
    Hinge,
    Limits,
    Panel,
    Strut,
)
from strutkit.errors import RecordError, TravelError
from tests import plain_statics
from tests.decide.test_findings import by_name, flap, lid
from tests.doors import bottoming_once_lost

NEW = Condition(name="nominal")


def hatch(stop: float, struts: tuple[FittedStrut, ...] = (), **changes: object) -> Door:
    """A lid of 11.6 kg, hinge line along y, opening upward to `stop` degrees."""
    panel = {"mass": 11.6, "centre_of_gravity": (0.33, 0, -0.012), "handle": (0.655, 0, -0.025)}
    hinge = {"first": (0, -0.38, 0), "second": (0, 0.38, 0), "opens_toward": "up"}
    return Door(
        name="hatch",
        panel=Panel(**panel | changes.pop("panel", {})),
        hinge=Hinge(**hinge | {"stop_angle": math.radians(stop)} | changes.pop("hinge", {})),
        struts=struts,
        **changes,
    )


def pair(frame: tuple[float, float], panel: tuple[float, float], **label: object) -> FittedStrut:
    strut = {"name": "left", "force_ratio": 1.28, "friction": 5.0} | label
    return FittedStrut(
        strut=Strut(**strut),
        frame_mount=(frame[0], -0.4, frame[1]),
        panel_mount=(panel[0], -0.4, panel[1]),
        mirrored=True,
    )


SHORT = pair((0.09, -0.26), (0.21, -0.03), rating=220.0, extended_length=0.412, stroke=0.186)


def test_a_lid_past_upright_is_still_lifted_and_a_flap_drops() -> None:
    """Opening by 180° the centre of gravity ends lower than shut, but has to be lifted first."""
    deck = hatch(180.0, panel={"centre_of_gravity": (0.33, 0, 0.02)})
    assert weight_sense(deck) == "lifts"
    assert starter_limits(deck).lift_off is not None
    assert by_name(deck)["hand_closing"].words.startswith("To shut it takes")
    assert weight_sense(flap()) == "drops"
    plumb = lid(
        hinge=replace(lid().hinge, first=(0, 0, -0.3), second=(0, 0, 0.3), opens_toward="right"),
        struts=(),
    )
    assert weight_sense(plumb) == "swings"


def test_a_strut_that_is_the_stop_does_not_turn_a_lid_into_a_flap() -> None:
    """The travel ends at 52° whatever stop is written: the same findings."""
    weak = replace(SHORT, strut=replace(SHORT.strut, rating=50.0, friction=4.0))
    near, far = (hatch(stop, (weak,)) for stop in (100.0, 200.0))
    for door in (near, far):
        limits = replace(starter_limits(door), travel_compressed=None, travel_extended=None)
        found = by_name(replace(door, limits=limits))
        assert (found["lift_off"].ok, found["reserve_force"].ok) == (False, False)
        assert "falls shut from fully open" in found["fault_0"].words


def test_a_condition_given_to_sweep_may_say_how_the_vehicle_stands() -> None:
    """Seen from the rear, nose up tips +x down: the same gravity as that pitch."""
    door = hatch(80.0, (SHORT,), faces="rear")
    said = sweep(door, condition=Condition(name="x", standing="nose up 20 deg"))
    meant = sweep(door, condition=Condition(name="x", pitch=math.radians(-20.0)))
    np.testing.assert_allclose(said.gravity_moment, meant.gravity_moment, rtol=1e-12)
    with pytest.raises(RecordError, match="no attitude"):
        sweep(door, condition=Condition(name="x", standing="banana"))
    with pytest.raises(RecordError, match="faces is not given"):
        sweep(hatch(80.0), condition=Condition(name="x", standing="nose up 20 deg"))


def test_a_panel_that_sinks_to_rest_does_not_fall_shut() -> None:
    """One strut left pushes open up to a stable balance; from above it sinks down to there."""
    strut = pair((-0.08, -0.25), (0.34, -0.09), rating=324.0, extended_length=0.66, stroke=0.25)
    door = hatch(90.0, (strut,))
    angle = np.linspace(0.0, math.pi / 2.0, 20001)
    net, rubbing = plain_statics.moments(door, Condition(name="x", missing=0), angle)
    falling = angle[net + rubbing < 0.0]
    assert falling.min() > 0.0
    assert falling.max() == angle[-1]
    rest = math.floor(math.degrees(falling.min()))
    words = by_name(door)["fault_0"].words
    assert f"it sinks from fully open to {rest}° and stays there" in words


def test_where_a_fall_begins_is_rounded_to_the_safe_side() -> None:
    strut = pair((0.22, -0.14), (0.12, -0.06), rating=438.0, extended_length=0.34, stroke=0.25)
    door = hatch(60.0, (strut,))
    lost = Condition(name="x", missing=0)
    end = sweep(door, condition=lost).end_of_travel
    angle = np.linspace(0.0, end, 200001)
    net, rubbing = plain_statics.moments(door, lost, angle)
    falls = angle[net + rubbing < 0.0]
    assert 0.0 < falls.max() < end
    above = math.ceil(math.degrees(falls.max()))
    assert f"it stays open above {above}° and falls shut below" in by_name(door)["fault_0"].words


def test_each_strut_that_is_the_stop_is_judged_by_its_own_rating() -> None:
    """4 times the nominal force (JB/T 8064.1-1996, clause 6.3.8), of the strut that pulls."""
    big = replace(SHORT, strut=replace(SHORT.strut, name="big", rating=600.0))
    small = replace(
        SHORT, strut=replace(SHORT.strut, name="small", rating=60, extended_length=0.6, stroke=0.37)
    )
    finding = by_name(hatch(80.0, (big, small)))["strut_as_stop"]
    assert finding.limit == 2400.0
    assert finding.ok is True
    assert finding.words.startswith("Strut big")


def test_a_travel_that_ends_short_of_the_stop_is_said() -> None:
    """The end by the length of turned points."""
    door = hatch(80.0, (SHORT,))
    angle = np.linspace(0.0, math.radians(80.0), 200001)
    place = plain_statics.turned(door, SHORT.panel_mount, angle)
    length = np.linalg.norm(place - np.array(SHORT.frame_mount), axis=-1)
    end = angle[np.argmax(length >= 0.412)]
    finding = by_name(door)["travel_end"]
    assert finding.value == pytest.approx(end, abs=1e-5)
    assert f"opens only to {round(math.degrees(end), 1):g}°" in finding.words
    assert "the stop is at 80°" in finding.words
    assert "travel_end" not in by_name(lid())


def test_a_travel_that_ends_short_is_said_first_of_what_is_not_judged() -> None:
    """And that the stroke to be kept extended is not asked of the strut that ends it."""
    far = replace(lid().hinge, stop_angle=math.radians(150.0))
    lost = Condition(name="lost", missing=0)
    limits = Limits(travel_extended=0.008)
    found = check(lid(hinge=far, conditions=(lost,), limits=limits))
    unjudged = [one.name for one in found if one.state == "not judged"]
    assert unjudged[:2] == ["travel_end", next(one for one in unjudged if one.startswith("fault_"))]
    assert "8 mm of stroke to be kept extended are not asked of it." in found[0].words
    assert "travel_extended" not in [one.name for one in found]


def test_leaning_on_friction_is_judged_at_the_end_of_travel() -> None:
    """Gas alone holds it open at the end, though it sags in the middle of the reserve span."""
    strut = pair((0.04, 0.02), (0.33, -0.06), rating=324.0, extended_length=0.4, stroke=0.25)
    limits = Limits(reserve_span=math.radians(40.0))
    door = hatch(90.0, (strut,), limits=limits)
    end = sweep(door).end_of_travel
    assert plain_statics.moments(door, NEW, [end])[0][0] > 0.0
    assert "reserve_with_friction" not in by_name(door)


def test_gas_in_brackets_is_the_least_over_the_span_the_newtons_are() -> None:
    strut = pair((0.06, -0.18), (0.13, -0.06), rating=333.0, extended_length=0.31, stroke=0.25)
    limits = Limits(reserve_force=1.0, reserve=0.1, reserve_span=math.radians(40.0))
    door = hatch(90.0, (strut,), limits=limits)
    end = sweep(door).end_of_travel
    angle = np.linspace(max(0.0, end - math.radians(40.0)), end, 4001)
    net, _ = plain_statics.moments(door, NEW, angle)
    weight, _ = plain_statics.moments(replace(door, struts=()), NEW, angle)
    least = (net / (net - weight)).min()
    assert f"({math.floor(100.0 * least)} % of its gas)" in by_name(door)["reserve_force"].words
    share = net / np.abs(weight)
    reserve = by_name(door)["reserve"]
    assert reserve.value == pytest.approx(share.min(), rel=1e-3)
    assert reserve.angle == pytest.approx(angle[share.argmin()], abs=math.radians(2.1))


def test_no_weight_and_no_struts_keeps_any_share() -> None:
    """M >= share · |Mg| holds where both are zero (model 11.14)."""
    still = hatch(60.0, panel={"centre_of_gravity": (0, 0, 0)}, limits=Limits(reserve=0.1))
    assert by_name(still)["reserve"].ok is True
    assert rating_window(still).empty is False


def test_equal_conditions_give_the_same_findings_in_either_order() -> None:
    """A tie is decided by name, never by place."""
    hot = {"temperature": 333.15, "rating_tolerance": 1.0}
    lost = {"missing": 0}
    one = [Condition(name="a", **hot), Condition(name="b", **hot)]
    two = [Condition(name="c", **lost), Condition(name="d", **lost)]
    limits = Limits(hand_closing=50.0, hinge_radial=10.0, hinge_resultant=10.0, lift_off=0.5)
    door = hatch(80.0, (SHORT,), limits=limits)

    def findings(conditions: list[Condition]) -> list[Finding]:
        return list(check(replace(door, conditions=tuple(conditions))))

    assert findings(one + two) == findings(two[::-1] + one[::-1])
    first, second = (
        rating_window(replace(door, conditions=tuple(order))) for order in (one, one[::-1])
    )
    assert {n: r.decided_by for n, r in first.rules.items()} == {
        n: r.decided_by for n, r in second.rules.items()
    }


def test_words_follow_the_sense_of_travel() -> None:
    dropping = by_name(flap(limits=Limits(lift_off=0.1)))["lift_off"].words
    assert "rise" not in dropping.lower()
    plumb = lid(
        hinge=replace(lid().hinge, first=(0, 0, -0.3), second=(0, 0, 0.3), opens_toward="right"),
        struts=(),
        limits=Limits(lift_off=0.1, reserve_force=2.0),
    )
    words = " ".join(finding.words for finding in check(plumb))
    assert "rises" not in words.lower()
    assert "stays up" not in words.lower()


def test_gas_that_may_be_lost_is_judged_by_the_published_loss() -> None:
    """M / sum(Ms) at the end against 13 % (JB/T 8064.1-1996, clause 6.3.7)."""
    net, _ = plain_statics.moments(lid(), NEW, [lid().hinge.stop_angle])
    weight, _ = plain_statics.moments(lid(struts=()), NEW, [lid().hinge.stop_angle])
    finding = by_name(lid())["gas_to_spare"]
    assert finding.value == pytest.approx(float(net[0] / (net[0] - weight[0])), rel=1e-9)
    assert (finding.limit, finding.ok) == (0.13, True)


def test_one_tired_strut_is_always_tried() -> None:
    """70 % of the gas force of its only strut (common practice)."""
    tired = Condition(name="x", ageing=0.70)
    net, _ = plain_statics.moments(lid(), tired, [lid().hinge.stop_angle])
    finding = by_name(lid())["strut_tired"]
    assert finding.value == pytest.approx(float(net[0]) / 0.7, rel=1e-9)
    assert "tired to 70 %" in finding.words


def test_a_rating_outside_the_published_range_for_its_rod_is_said() -> None:
    """Annex C, table C.1: 8 mm carries 200 to 550 N, stroke up to 200 mm."""
    strong = replace(lid().struts[0].strut, rating=600.0)
    finding = by_name(lid(struts=(replace(lid().struts[0], strut=strong),)))["strut_size"]
    assert "200 to 550 N" in finding.words
    assert "strut_size" not in by_name(lid())


def test_pulling_straight_down_takes_more_than_along_the_arc() -> None:
    """Peak of (M + Mf) over the horizontal arm of the handle, where that is a fifth or more."""
    angle = np.linspace(0.0, lid().hinge.stop_angle, 4001)
    net, rubbing = plain_statics.moments(lid(), NEW, angle)
    arm = 0.7 * np.cos(angle)
    finding = by_name(lid())["pull_down"]
    assert finding.value == pytest.approx(((net + rubbing) / arm).max(), rel=1e-6)


def test_odd_input_is_refused_in_the_kit_s_own_words() -> None:
    with pytest.raises(RecordError, match="door: struts is 5; give a list of FittedStrut"):
        lid(struts=5)
    with pytest.raises(RecordError, match=r"thrust_at is .* write one of first, second"):
        replace(lid().hinge, thrust_at=np.array([1, 2]))
    with pytest.raises(RecordError, match=r"friction is .* at most"):
        replace(lid().struts[0].strut, friction=1e308)


def test_long_names_alike_at_their_start_still_get_starter_conditions() -> None:
    long = [f"{'x' * 210}{number}" for number in (1, 2)]
    struts = tuple(
        replace(lid().struts[0], strut=replace(lid().struts[0].strut, name=name)) for name in long
    )
    door = lid(struts=struts)
    assert len(replace(door, conditions=starter_conditions(door)).conditions) == 11


def test_the_verdict_begins_with_a_travel_that_ends_short() -> None:
    """The end by the length of turned points; where the door opens to its stop nothing is added."""
    door = hatch(80.0, (SHORT,), limits=Limits(hand_opening=500.0))
    angle = np.linspace(0.0, math.radians(80.0), 200001)
    place = plain_statics.turned(door, SHORT.panel_mount, angle)
    length = np.linalg.norm(place - np.array(SHORT.frame_mount), axis=-1)
    end = round(math.degrees(angle[np.argmax(length >= 0.412)]), 1)
    found = check(door)
    assert verdict(found).startswith(f"opens only to {end:g}°, the stop is at 80°; ")
    to_the_stop = replace(door, hinge=replace(door.hinge, stop_angle=math.radians(20.0)))
    assert "opens" not in verdict(check(to_the_stop))


def test_a_travel_that_all_but_reaches_the_stop_reads_short_of_it() -> None:
    end = sweep(hatch(80.0, (SHORT,))).end_of_travel
    door = hatch(math.degrees(end) + 0.01, (SHORT,))
    words = by_name(door)["travel_end"].words
    first, second = re.findall(r"([0-9.]+)°", words)
    assert float(first) < float(second)
    assert float(first) == pytest.approx(math.degrees(end), abs=0.006)


GONE = Condition(name="gas all gone", missing=1, temperature=253.15)


@pytest.mark.parametrize(
    ("own", "name"), [((), "strut end lost"), ((GONE,), "gas all gone")], ids=["tried", "own"]
)
def test_a_strut_that_bottoms_out_with_another_lost_fails_in_that_condition_alone(
    own: tuple[Condition, ...], name: str
) -> None:
    """L² = a² + b² - 2ab cos(psi), psi = 150° + the opening angle: 361 mm at 120°, where "other" is
    475 mm pushed in. With all struts it opens to 60° and keeps 8.7 mm there; the door's own
    condition is named, and nothing else that is found depends on it."""
    door = replace(bottoming_once_lost(), conditions=own)
    apart = math.sqrt(0.3**2 + 0.2**2 - 2.0 * 0.3 * 0.2 * math.cos(math.radians(150.0 + 120.0)))
    first, *rest = check(door)
    assert first.name == "fault_1"
    assert first.ok is False
    assert first.condition == name
    assert first.angle == pytest.approx(math.radians(120.0))
    assert first.value == pytest.approx(0.475 - apart, rel=1e-9)
    words = "With strut end lost, strut 'other' would be 114 mm too long at 120°: its mounts are"
    assert first.words.startswith(f"{words} then 361 mm apart and it is 475 mm long when fully")
    assert verdict((first, *rest)).startswith("opens only to 60°, the stop is at 120°; ")
    found = {one.name: one for one in rest}
    end = math.radians(60.0)
    assert found["travel_end"].value == pytest.approx(end, abs=1e-6)
    net, rubbing = plain_statics.moments(door, NEW, np.linspace(0.0, end, 2001))
    closing = float((net + rubbing).max()) / 0.8
    assert found["hand_closing"].value == pytest.approx(closing, rel=1e-5)
    shortest = math.sqrt(0.13 - 0.12 * math.cos(math.radians(150.0)))
    assert found["travel_compressed"].value == pytest.approx(shortest - 0.475, abs=1e-9)
    assert "fault_0" in found
    assert {one.name: one for one in check(bottoming_once_lost())[1:]} == found


def test_of_several_struts_that_bottom_out_the_one_most_too_long_is_told() -> None:
    """Beside "other" hangs one that is 5 mm longer pushed in; named after it or before it."""
    door = bottoming_once_lost()
    other, end = door.struts
    stiff = replace(other, strut=replace(other.strut, name="stiff", stroke=0.025))
    apart = math.sqrt(0.13 - 0.12 * math.cos(math.radians(270.0)))
    for struts in ((other, end, stiff), (stiff, end, other)):
        first = check(replace(door, struts=struts))[0]
        assert first.name == "fault_1"
        assert first.value == pytest.approx(0.480 - apart, rel=1e-9)
        assert first.words.startswith("With strut end lost, strut 'stiff' would be 119 mm too long")


def test_such_a_condition_is_refused_by_its_name_and_no_other() -> None:
    door = replace(bottoming_once_lost(), conditions=(GONE, replace(GONE, name="b", missing=0)))
    assert sweep(door).end_of_travel == pytest.approx(math.radians(60.0))
    assert sweep(door, condition="b").end_of_travel == pytest.approx(math.radians(60.0))
    with pytest.raises(TravelError, match=r"^With strut end lost, strut 'other' would be 114 mm"):
        sweep(door, condition="gas all gone")
    with pytest.raises(TravelError, match=r"^With strut end lost, strut 'other' would be 114 mm"):
        sweep_conditions(door)


def test_a_strut_that_never_fits_is_refused_without_a_condition() -> None:
    door = bottoming_once_lost()
    long = replace(door.struts[0].strut, stroke=0.02)
    door = replace(door, struts=(replace(door.struts[0], strut=long), door.struts[1]))
    (only,) = check(door)
    assert only.condition is None
    assert only.words.startswith("Strut 'other' is 1 mm too long ")
