"""The search behind the finder, without a page: zones, steps, stopping, words, near misses."""

import itertools
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from types import MappingProxyType, SimpleNamespace
from typing import Any

import pytest

from strutkit import (
    Condition,
    Door,
    Finding,
    FittedStrut,
    Limits,
    Strut,
    Zone,
    check,
    find_mounts,
    finder,
    read_door,
    read_stock,
    sweep,
)
from strutkit.data import door_names, door_path, stock_path
from strutkit.describe.field_text import parse_field
from strutkit.errors import RecordError
from strutkit.live import finder_rows
from strutkit.live.finder import Finder, tidy_asked
from strutkit.live.finder_cautions import tightest
from strutkit.live.finder_messages import _limits
from strutkit.live.searching import Search, undominated
from strutkit.live.zone_edit import searched_zone, with_first_zones, with_zone

STOCK = tuple(one for one in read_stock(stock_path()) if one.name.startswith("8-18-1"))[::5]


@pytest.fixture(scope="module", autouse=True)
def few_levels() -> Iterator[None]:
    """Short fronts of the trade-off, which has its own tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("strutkit.live.searching.LEVELS", 2)
        yield


@pytest.fixture(scope="module")
def roof_hatch() -> Door:
    return read_door(door_path("roof-hatch"))


def searched(door: Door, stock: tuple[Strut, ...] = STOCK, count: str = "either") -> Finder:
    """A finder whose search has been run to its end, with mounts drilled exactly."""
    view = finder(door, stock=stock)
    view.asked = {"drilling": False, "count": count}
    thread = view.run().thread
    assert thread is not None
    thread.join()
    return view


@pytest.fixture(scope="module")
def done(roof_hatch: Door) -> Finder:
    return searched(roof_hatch, count="pair")


def search_of(view: Finder) -> Search:
    assert view.search is not None
    return view.search


@pytest.mark.parametrize("name", door_names())
def test_a_door_without_zones_gets_first_ones_that_can_be_searched(name: str) -> None:
    door = replace(read_door(door_path(name)), zones=())
    marked, added = with_first_zones(door)
    assert [zone.part for zone in added] == ["frame", "panel"]
    for zone in added:
        assert min(marked.hinge_distance(corner) for corner in zone.corners) > 0.005
    own = read_door(door_path(name))
    assert find_mounts(marked, stock=(own.struts[0].strut,), tolerance=0.3, step=None).candidates
    assert with_first_zones(own) == (own, ())


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        ([[-50, -50], [50, -50], [50, 50], [-50, 50]], "holds the hinge line"),
        ([[100, -300], [200, -100], [200, -300], [100, -100]], "crosses or touches itself"),
        ([[100, -300], [200, -300], [300, -300]], "enclose no area"),
        ([[100, -300], [200, -300]], "needs three corners; this one has 2"),
        ([[1e9, 0], [2e9, 0], [0, 3e9]], "m"),
    ],
)
def test_a_zone_that_no_search_can_use_is_refused(
    roof_hatch: Door, corners: list[list[float]], words: str
) -> None:
    with pytest.raises(RecordError, match=words):
        with_zone(roof_hatch, "frame", [[*one, -370.0] for one in corners])


def test_a_moved_zone_keeps_the_others_and_its_place_along_the_line(roof_hatch: Door) -> None:
    """By hand: the roof hatch opens out of a level frame, so outward is x and upward is z."""
    door = with_zone(roof_hatch, "panel", [[100, -30, -370], [200, -30, 9], [150, -20, 9]])
    zone = searched_zone(door, "panel")
    assert zone is not None
    assert zone.corners == ((0.1, -0.37, -0.03), (0.2, -0.37, -0.03), (0.15, -0.37, -0.02))
    assert searched_zone(door, "frame") == searched_zone(roof_hatch, "frame")


def test_the_view_finds_what_find_mounts_finds(done: Finder, roof_hatch: Door) -> None:
    plain = find_mounts(roof_hatch, stock=STOCK, counts=(2,))
    assert done.result.value == pytest.approx(plain.value, rel=2e-3)
    rows = finder_rows.rows(search_of(done), "mm")
    assert len(rows) == len(done.result.candidates)
    states = [row["state"] for row in rows]
    assert states == sorted(states, reverse=True)
    for row in rows:
        candidate = done.candidates()[row["id"]]
        failing = [one for one in check(candidate.door) if one.ok is False]
        assert (row["state"] == "fails") == bool(failing)
        assert all(one.words in row["reason"] for one in failing)
        for part, mount in (("fixed", candidate.frame_mount), ("door", candidate.panel_mount)):
            figures = [float(one) for one in re.findall(r"\d+", row[part])]
            assert figures == pytest.approx(
                [abs(mount[0]) * 1e3, abs(mount[2]) * 1e3, abs(mount[1]) * 1e3], abs=0.5
            )


def test_the_proof_says_no_more_than_the_bound(done: Finder) -> None:
    words = finder_rows.proof_words(done.result)
    found = re.search(r"beats ([\d.]+) N by more than 0.1 %", words)
    assert words.startswith("Proved: no layout in these zones with this stock")
    assert found is not None
    assert float(found[1]) * (1.0 - 1e-3) <= done.result.bound * (1.0 + 1e-9)


@pytest.mark.parametrize("something", [False, True], ids=["at once", "once something fits"])
def test_stopped_it_gives_the_bound_and_no_proof(
    roof_hatch: Door, done: Finder, something: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("strutkit.live.searching.TELL_EVERY", 0.0)
    view = finder(roof_hatch, stock=STOCK)
    view.asked = {"drilling": False}

    def heard() -> None:
        if search.best is not None:
            search.stop()

    search = Search(
        door=roof_hatch,
        zones=(searched_zone(roof_hatch, "frame"), searched_zone(roof_hatch, "panel")),
        asked=view.request(),
        tell=heard,
    )
    search.stopped = not something
    search.run()
    assert search.found is not None
    assert bool(search.found.candidates) == something
    assert not search.found.proved
    assert not search.trades
    said = finder_rows.verdict(search)
    assert said["words"].startswith("Stopped")
    assert said["state"] != "passes"
    best = done.result.value
    figures = re.findall(r"(?:under|at least) ([\d.]+) N", said["words"] + said["more"])
    assert best is not None
    assert all(float(one) <= best for one in figures)


def test_nothing_fits_is_said_with_what_to_ask_instead(roof_hatch: Door) -> None:
    limits = replace(roof_hatch.limits, hand_closing=40.0, hinge_radial=None)
    view = searched(replace(roof_hatch, limits=limits))
    said = finder_rows.verdict(search_of(view))
    assert said["words"] == "Proved: nothing fits."
    misses = {one["rule"]: one for one in finder_rows.misses(view.result)}
    ask = misses["hand_closing"]["ask"]
    eased = replace(limits, hand_closing=float(ask.removesuffix(" N")))
    assert eased.hand_closing is not None
    assert 40.0 < eased.hand_closing < 80.0
    assert find_mounts(replace(roof_hatch, limits=eased), stock=STOCK).candidates


def point(*values: float) -> Any:
    names = ("hand_force", "hinge_resultant", "reserve")
    return (SimpleNamespace(values=MappingProxyType(dict(zip(names, values, strict=True)))), ())


def test_of_the_trade_off_only_what_none_beats_in_all_three_is_kept() -> None:
    """Against the definition, on all 64 points of a small grid and on a part of it."""
    grid = [point(*one) for one in itertools.product((1.0, 2.0, 3.0, 4.0), repeat=3)]
    some = [one for number, one in enumerate(grid) if number % 7 in (1, 4) and number > 5]
    for points in (grid, some):

        def beaten(one: Any, among: list[Any] = points) -> bool:
            a = one[0].values
            return any(
                b["hand_force"] <= a["hand_force"]
                and b["hinge_resultant"] <= a["hinge_resultant"]
                and b["reserve"] >= a["reserve"]
                for b in (other[0].values for other in among if other is not one)
            )

        kept = undominated(points)
        assert {id(one) for one in kept} == {id(one) for one in points if not beaten(one)}


def test_adopting_keeps_limits_zones_and_all_conditions_for_the_next_search(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A single strut has no use for what befalls a second one; a later search of a pair has."""
    monkeypatch.setattr("strutkit.live.searching.trade_off", lambda *_, **__: ())
    door = read_door(door_path("rear-hatch"))
    tired = Condition(name="right tired", strut_ageing=(1.0, 0.7))
    door = replace(
        door,
        conditions=(*door.conditions, tired),
        limits=replace(door.limits, hand_closing=200.0, reserve_force=5.0),
    )
    view = searched(
        door, tuple(one for one in read_stock(stock_path()) if one.name == "14-29-250-800"), "one"
    )
    single = view.result.candidates[0]
    assert single.count == 1
    assert tired not in single.door.conditions
    view.adopt(single)
    assert view.door.struts == single.door.struts
    assert view.door.zones == door.zones
    assert view.asked_door().conditions == door.conditions
    assert not view.outdated()
    view.door = replace(view.door, limits=replace(view.door.limits, latch=20.0))
    assert view.outdated()
    assert view.asked_door().conditions == door.conditions
    view.undo()
    view.undo()
    assert view.door == door
    view.door = replace(door, panel=replace(door.panel, mass=5.0))
    with pytest.raises(RecordError, match="Panel or hinge were changed since"):
        view.adopt(single)


def test_what_a_page_asks_is_brought_into_its_one_form() -> None:
    hostile = {
        "count": ["one"],
        "rank_by": "__class__",
        "drilling": "yes",
        "left_out": [2, 2, -1, 9],
    }
    tidy = tidy_asked(hostile, 5)
    assert (tidy["count"], tidy["rank_by"], tidy["drilling"]) == ("either", "hand_force", True)
    assert tidy["left_out"] == [2]
    assert tidy_asked({}, 5)["drilling"]
    assert not tidy_asked({"drilling": False}, 5)["drilling"]
    assert tidy_asked(None, 5)["left_out"] == []


def test_an_empty_choice_and_a_wild_drilling_error_are_refused(roof_hatch: Door) -> None:
    view = finder(roof_hatch, stock=STOCK[:2])
    view.asked = {"left_out": [0, 1]}
    with pytest.raises(RecordError, match="tick at least one"):
        view.run()
    view.asked = {"drilling": True, "drilling_error": "1 m"}
    with pytest.raises(RecordError, match="Drilling error is 1000 mm; write 0 mm to 20 mm"):
        view.run()


def test_the_still_holds_the_proof_and_the_first_rows_as_text(done: Finder) -> None:
    still = done._still()
    assert "Proved: no layout in these zones" in still
    assert "<svg" in still
    first = finder_rows.rows(search_of(done), "mm")[0]
    assert first["strut"] in still
    assert first["fixed"] in still


def test_a_drilling_error_is_allowed_for_unless_it_is_unticked(
    roof_hatch: Door, done: Finder
) -> None:
    """Against the check of the door as drilled 2 mm off, both mounts, each in eight directions."""
    view = finder(roof_hatch, stock=(done.result.candidates[0].strut,))
    asked = view.request()
    assert asked.drilling_error == 0.002
    zones = (searched_zone(roof_hatch, "frame"), searched_zone(roof_hatch, "panel"))
    words = asked.words(zones)
    found = find_mounts(roof_hatch, **words, rank_by=asked.rank_by, tolerance=0.02)
    least = roof_hatch.limits.reserve_force
    assert least is not None
    best = found.candidates[0]
    struts = best.door.struts
    for turn in range(8):
        off = (0.002 * math.cos(turn * math.pi / 4), 0.002 * math.sin(turn * math.pi / 4))
        for mount in ("frame_mount", "panel_mount"):
            x, y, z = getattr(struts[0], mount)
            moved = replace(struts[0], **{mount: (x + off[0], y, z + off[1])})
            drilled = {one.name: one for one in check(replace(best.door, struts=(moved,)))}
            value = drilled["reserve_force"].value
            assert value is not None
            assert value >= least
    view.asked = {"drilling": False}
    assert view.request().drilling_error == 0.0


def finding(name: str, value: float | None, limit: float | None) -> Finding:
    return Finding(name=name, value=value, limit=limit, words="")


@pytest.mark.parametrize(
    ("findings", "words", "none_left"),
    [
        (
            [("reserve_force", 20.004, 20.0), ("hand_closing", 60.0, 80.0)],
            "to spare 20.0 of 20 N asked",
            True,
        ),
        (
            [("reserve_force", 26.04, 20.0), ("hand_closing", 79.21, 80.0)],
            "to shut 79.3 of 80 N allowed",
            False,
        ),
        (
            [("hand_opening", 0.0, 50.0), ("travel_extended", 0.0062, 0.005)],
            "stroke left extended 6.2 of 5 mm asked",
            False,
        ),
        (
            [("lift_off", 0.3, 0.4363323129985824), ("reserve", math.inf, 0.1)],
            "rises from 17.2 of 25° allowed",
            False,
        ),
        ([("reserve_force", 20.004, None), ("weight", 1.0, 1.0)], "", False),
        ([("reserve_force", 18.0, 20.0)], "to spare 18.0 of 20 N asked", False),
    ],
)
def test_what_is_left_of_the_tightest_limit_is_in_the_row(
    findings: list[tuple[str, float | None, float | None]], words: str, none_left: bool
) -> None:
    """Shares left, by hand: 0.02 % and 25 %; 30 % and 1 %; 100 % and 24 %; 31 %."""
    assert tightest([finding(*one) for one in findings]) == (words, none_left)


def test_every_row_tells_its_tightest_limit(done: Finder) -> None:
    row = finder_rows.rows(search_of(done), "mm")[0]
    assert row["tight"]
    assert row["tight"] in done._still()
    assert "to spare 20.0 of 20 N asked" in row["tight"]
    assert row["tight"].endswith(": nothing left")
    assert row["none_left"]
    search = search_of(done)
    assert "exactly in their place" in finder_rows.verdict(search)["more"]
    allowed = replace(search, asked=replace(search.asked, drilling_error=0.002))
    assert "exactly in their place" not in finder_rows.verdict(allowed)["more"]


def shown_as(view: Finder, door: Door) -> Search:
    """The search of a view, as if this door were all that it found."""
    search = search_of(view)
    candidate = replace(view.result.candidates[0], door=door)
    found = replace(search.found, candidates=(candidate,))
    return replace(search, found=found, findings=((),), trades=())


def test_a_travel_that_ends_short_of_the_stop_is_said(done: Finder) -> None:
    """By hand, hinge line at x = z = 0: ball centres 200 mm and 100 mm from it, 90° apart when
    shut; 150° apart they are 290.9 mm from each other (law of cosines), so a strut of that
    extended length ends the travel at 60° of 75°."""
    door = done.result.candidates[0].door
    length = math.sqrt(0.2**2 + 0.1**2 - 2 * 0.2 * 0.1 * math.cos(math.radians(150.0)))
    strut = Strut(name="short", rating=200.0, extended_length=length + 1e-6, stroke=0.09)
    hung = FittedStrut(strut=strut, frame_mount=(0.0, -0.37, -0.2), panel_mount=(0.1, -0.37, 0.0))
    short = replace(door, struts=(hung,), conditions=())
    assert math.degrees(sweep(short).end_of_travel) == pytest.approx(60.0, abs=0.01)
    search = shown_as(done, short)
    said = finder_rows.rows(search, "mm")[0]["cautions"]
    assert said == [
        "Opens only to 60° of 75°: the struts run out and end the travel before the stop."
    ]
    verdict = finder_rows.verdict(search)
    assert "All of them open only to 60° of 75°" in verdict["more"]
    assert verdict["state"] == "assumed"
    full = replace(strut, extended_length=0.32, stroke=0.12)
    reaching = replace(short, struts=(replace(hung, strut=full),))
    assert finder_rows.rows(shown_as(done, reaching), "mm")[0]["cautions"] == []
    assert "open only" not in finder_rows.verdict(shown_as(done, reaching))["more"]


@pytest.mark.parametrize(
    ("along", "tube", "words"),
    [
        ((0.013, 0.013), 0.018, "26 mm apart and would meet: a tube of 18 mm needs 28 mm"),
        ((0.015, 0.015), 0.018, ""),
        ((0.012, 0.06), None, "24 mm apart and would meet: the tube is not known; allow 32 mm"),
        ((0.017, 0.017), None, ""),
        ((0.03, -0.03), 0.018, "cross and would meet"),
    ],
)
def test_twins_in_one_place_are_said_in_the_row(
    done: Finder, along: tuple[float, float], tube: float | None, words: str
) -> None:
    """The roof hatch is mirrored about y = 0: twins at ±13 mm have their middles 26 mm apart."""
    door = done.result.candidates[0].door
    strut = Strut(name="twin", rating=100.0, extended_length=0.32, stroke=0.12, tube_diameter=tube)
    hung = FittedStrut(
        strut=strut,
        frame_mount=(0.0, along[0], -0.2),
        panel_mount=(0.1, along[1], 0.0),
        mirrored=True,
    )
    pair = replace(door, struts=(hung,), conditions=())
    said = finder_rows.rows(shown_as(done, pair), "mm")[0]["cautions"]
    assert [words in one for one in said] == ([True] if words else [])


def test_the_next_step_names_the_view_as_the_notebook_does(
    done: Finder, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert done.called == "view"
    shell = SimpleNamespace(user_ns={"_": done, "other": 1, "hatch": done})
    monkeypatch.setattr("strutkit.live.finder.get_ipython", lambda: shell)
    assert done.called == "hatch"


def test_a_second_zone_of_a_side_is_left_alone(roof_hatch: Door) -> None:
    extra = Zone(
        part="panel", corners=((0.4, -0.37, -0.03), (0.5, -0.37, -0.03), (0.45, -0.37, -0.02))
    )
    door = replace(roof_hatch, zones=(*roof_hatch.zones, extra))
    moved = with_zone(door, "panel", [[100, -30, -370], [200, -30, -370], [150, -20, -370]])
    assert moved.zones[2] == extra
    assert moved.zones[1] != door.zones[1]


def test_a_search_in_a_cell_draws_a_bar_and_takes_it_away(
    roof_hatch: Door, monkeypatch: pytest.MonkeyPatch
) -> None:
    shell = type("ZMQInteractiveShell", (), {})()
    bars: list[Any] = []

    class Bar:
        def __init__(self, total: int, **_: Any) -> None:
            self.n, self.total, self.closed = 0, total, False
            bars.append(self)

        def update(self, more: int) -> None:
            assert more >= 0
            self.n += more

        def close(self) -> None:
            assert self.n == self.total, "a bar that is short of its end stays, in red"
            self.closed = True

    monkeypatch.setattr("tqdm.auto.tqdm", Bar)
    find_mounts(roof_hatch, stock=STOCK[-1:], tolerance=0.3)
    assert bars == []
    monkeypatch.setattr("builtins.get_ipython", lambda: shell, raising=False)
    find_mounts(roof_hatch, stock=STOCK[-1:], tolerance=0.3)
    assert [one.closed for one in bars] == [True]
    assert bars[0].n > 0
    find_mounts(roof_hatch, stock=STOCK[-1:], tolerance=0.3, progress=lambda *_: None)
    assert len(bars) == 1


def test_limits_are_shown_as_short_as_they_can_be_and_read_back_equal() -> None:
    """The counter flap's forces are written in lbf."""
    door = read_door(door_path("counter-flap"))
    texts = {one["name"]: one["text"] for one in _limits(finder(door, stock=STOCK))}
    assert (texts["hand_opening"], texts["hand_closing"]) == ("5 lbf", "14 lbf")
    assert texts["lift_off"] == ""
    for name, text in texts.items():
        assert parse_field(Limits, name, text) == getattr(door.limits, name)
