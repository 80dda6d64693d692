"""`find_mounts` on random problems: never beaten by a grid or by general optimisers, nothing fits
only where nothing does."""

import math

import pytest

from strutkit.decide.search.answers import MountSearch, find_mounts
from strutkit.decide.search.task import RULES
from strutkit.describe.records import (
    Condition,
    Door,
    Hinge,
    Limits,
    Panel,
    Strut,
    Zone,
)
from tests.benchmarks.search_stress import awkward, stressed
from tests.search import plain_search
from tests.search.comparing import compared
from tests.search.hatches import STOCK, hatch
from tests.search.problems import random_problem


@pytest.mark.parametrize(
    ("seed", "rank_by"),
    [
        (1003, "hand_force"),  # zones apart along the hinge line, a closing handle, a latch
        (1004, "reserve"),  # a pair alone fits, where no place of the grid does; zones apart
        (1005, "hinge_resultant"),  # hinge friction, both hand forces asked
    ],
)
def test_nobody_beats_the_search_on_random_problems(seed: int, rank_by: str) -> None:
    problem = random_problem(seed)
    found = compared(problem, rank_by, spacing=0.045, seed=seed)
    assert found.complaints == ()
    assert found.search.proved


@pytest.mark.parametrize("seed", [1, 2, 3, 5])
def test_impossible_limits_are_proved_so_and_the_grid_agrees(seed: int) -> None:
    problem = random_problem(seed, tight=0.8)
    found = compared(problem, "hand_force", spacing=0.03, evolutions=0)
    assert found.complaints == ()
    search = found.search
    if search.candidates:
        return
    assert (search.value, search.bound) == (None, None)
    assert found.grid_best == math.inf
    asked = [rule for rule in RULES if getattr(problem.door.limits, rule) is not None]
    assert [one.rule for one in search.nearest_miss] == asked
    assert search.words.startswith("Nothing fits")


def fitting(search: MountSearch) -> set[tuple[str, int]]:
    """Strut and count of every candidate."""
    return {(one.strut.name, one.count) for one in search.candidates}


def fitting_on_grid(door: Door, stock: tuple[Strut, ...], spacing: float) -> set[tuple[str, int]]:
    """Strut and count of which any layout of an exhaustive grid holds all rules."""
    every = [(strut, count) for strut in stock for count in (1, 2)]
    return {
        (strut.name, count)
        for strut, count in every
        if plain_search.grid_search(door, strut, count, spacing, "hand_force")[1]
    }


def test_as_many_choices_fit_as_an_exhaustive_grid_finds() -> None:
    """Short struts, of which none fits only between the grid's places."""
    short = STOCK[:3]
    search, feasible = find_mounts(hatch(), stock=short), fitting_on_grid(hatch(), short, 0.06)
    assert 0 < len(feasible) < 2 * len(short)
    assert fitting(search) == feasible
    assert len(search.candidates) == len(feasible)


def test_struts_that_work_against_opening_hold_a_flap_back() -> None:
    """A drop flap hinged at its foot: its weight opens it, the struts push it shut."""
    door = Door(
        name="drop flap",
        panel=Panel(mass=9.0, centre_of_gravity=(0.02, 0.0, 0.30), handle=(0.02, 0.0, 0.60)),
        hinge=Hinge(
            first=(0.0, -0.3, 0.0),
            second=(0.0, 0.3, 0.0),
            opens_toward="out",
            stop_angle=math.radians(90.0),
        ),
        limits=Limits(hand_closing=60.0, hand_opening=60.0),
        conditions=(Condition(name="frost", temperature=253.15),),
        zones=(
            Zone(
                part="frame",
                corners=((-0.4, 0.2, 0.1), (-0.25, 0.2, 0.1), (-0.25, 0.2, 0.3), (-0.4, 0.2, 0.3)),
            ),
            Zone(
                part="panel",
                corners=((0.0, 0.2, 0.15), (0.03, 0.2, 0.15), (0.03, 0.2, 0.3), (0.0, 0.2, 0.3)),
            ),
        ),
    )
    stock = tuple(
        Strut(
            name=f"{rating:.0f}",
            rating=rating,
            extended_length=0.62,
            stroke=0.30,
            force_ratio=1.3,
            friction=8.0,
        )
        for rating in (60.0, 120.0, 240.0)
    )
    search = find_mounts(door, stock=stock)
    assert search.proved
    assert search.candidates[0].value <= 60.0
    assert fitting(search) == fitting_on_grid(door, stock, 0.035)


@pytest.mark.parametrize(
    "seed",
    [
        400,  # mounts drilled beside their places, ranked by the reserve
        408,  # ranked by the hinge load
        446,  # ranked by the hand force, struts may end the travel
    ],
)
def test_a_layout_that_is_known_to_hold_is_never_proved_away(seed: int) -> None:
    _, wrong = stressed(awkward(seed), seed, 30.0)
    assert wrong == []
