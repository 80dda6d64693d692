"""The order of work at the door, on the sheet and on the card: one pose in which struts go in.

Struts go in at the end of the travel where they are longest: the panel open and propped, or shut
and locked (`strut_advice.fitted_shut`).
"""

import math

import numpy as np

from strutkit.decide.judging import Study
from strutkit.decide.lengths import strut_lengths
from strutkit.decide.strut_advice import fitted_shut
from strutkit.decide.sweep import sweep
from strutkit.describe.numbers import quantity_text, travel_text, unbroken
from strutkit.describe.records import Door
from strutkit.show.holes import hole_of
from strutkit.show.mount_words import ball_names
from strutkit.show.sheet_figures import place_text, upward
from strutkit.show.sheet_tables import firsts

NO_STRUT = "No strut yet."
PAIR = "Change both of a pair."
LIFTED = math.radians(5.0)
"""A panel may be lifted so far past its stop to hang a strut [rad] (common practice)."""


def fitting_order(looked: Study) -> list[str]:
    """How struts are fitted for the first time, step by step."""
    door = looked.door
    if not door.struts:
        return [NO_STRUT]
    mark = (
        "Mark the ball centres from the hinge line, the panel shut, and check them against the"
        f" tape lengths. {_drill(door)}"
    )
    check = (
        "Check the centre lengths with the tape, open and shut, and write them into the “As built”"
        " block."
    )
    shut = fitted_shut(looked)
    free = (
        f"{_free(looked)} Move it slowly the first time, to both ends: it must reach its"
        f" {'stop' if shut else 'seat'} before a strut is fully pushed in, and nothing may touch a"
        " strut."
    )
    hold = "shut the panel and lock it first" if shut else "prop the panel first"
    change = f"To change a strut, {hold}.{_both(door)}"
    last = [free, check, change] if shut else [check, free, change]
    return [unbroken(words) for words in (mark, _hold(looked), *_hang_all(looked), *last)]


def changing_order(looked: Study) -> list[str]:
    """How to change the struts of a finished door."""
    if not looked.door.struts:
        return [NO_STRUT]
    off = (
        "Take one strut off at a time: lift its clips and pull it from its balls, the panel still"
        f" {'locked' if fitted_shut(looked) else 'propped'}."
    )
    last = f"{_free(looked)} Then move it slowly once to both ends.{_both(looked.door)}"
    return [unbroken(words) for words in (_hold(looked), off, *_hang_all(looked), last)]


def _both(door: Door) -> str:
    """That both of a pair are changed; empty where there is none."""
    return f" {PAIR}" if any(one.mirrored for one in door.struts) else ""


def prop_force(looked: Study) -> tuple[float, float]:
    """Greatest weight of the panel at the handle without struts [N] and its angle [rad].

    Over all conditions in service: added mass, slope and mass factor count.
    """
    door = looked.door
    angles = np.linspace(0.0, float(looked.model.end[0]), 361)
    rows = list(looked.service)
    cosine, sine = looked.model.gravity_cosine[rows], looked.model.gravity_sine[rows]
    weight = np.abs(np.outer(cosine, np.cos(angles)) + np.outer(sine, np.sin(angles))).max(axis=0)
    at = int(np.argmax(weight))
    return float(weight[at]) / door.hinge_distance(door.panel.handle), float(angles[at])


def _hold(looked: Study) -> str:
    """How the panel is held while struts go in."""
    if fitted_shut(looked):
        return "Shut the panel and lock it, so that it cannot drop open."
    end = travel_text(float(looked.model.end[0]))
    return (
        f"Open the panel to {end} and prop it so that it can neither fall nor swing on. Without"
        f" struts it {_load(looked)}. Keep hands and head out of the way of its edge."
    )


def _free(looked: Study) -> str:
    """How the panel is let go when the struts are in."""
    if fitted_shut(looked):
        return (
            "Unlock it only when every strut is on, a hand on the panel: without struts it"
            f" {_load(looked)}."
        )
    return "Take the prop away with a hand on the panel."


def _load(looked: Study) -> str:
    force, angle = prop_force(looked)
    return f"takes up to {upward(force)} at the handle to hold (at {place_text(looked, angle)})"


def _drill(door: Door) -> str:
    given = [hole_of(one, part) is not None for one in door.struts for part in ("frame", "panel")]
    if all(given) and given:
        return (
            "Then mark and drill the hole centres of page 1; drill a bracket’s further holes"
            " through the bracket. Ball centres are not drilled."
        )
    if not any(given):
        return "Hold each bracket with its ball on the centre and drill through its own holes."
    return "Drill the holes that page 1 lists; where the other holes lie depends on the bracket."


def _hang_all(looked: Study) -> list[str]:
    return [_hang(looked, place) for place in range(len(looked.door.struts))]


def _hang(looked: Study, place: int) -> str:
    """How strut `place` goes in: pushed in how far, and how hard."""
    door, shut = looked.door, fitted_shut(looked)
    fixed, moving = ball_names(door)[place]
    fitted = door.struts[place]
    lengths = strut_lengths(door).length[firsts(door)[place]]
    gap = fitted.strut.extended_length - float(lengths[0 if shut else -1])
    hang = (
        f"Hang the strut on {fixed} and {moving}, the rod at"
        f" {fixed if fitted.rod_end == 'frame' else moving}, with the panel"
        f" {'shut' if shut else 'open'}"
    )
    if gap < 5e-4:
        return f"{hang}: it is fully extended there."
    law = fitted.strut.gas_law
    force = law.force_extended / (1.0 - law.inverse_column * gap) + law.friction
    push = (
        f"{hang}: it has to be pushed in by {quantity_text(gap, 'length')}, against about"
        f" {quantity_text(force, 'force')}."
    )
    arm = float(sweep(door).lever_arm[firsts(door)[place], -1])
    if shut or gap > LIFTED * arm:
        return push
    return (
        f"{push} If the panel can be lifted a little past its stop, hang the strut there, fully"
        " extended, and let the panel down onto it."
    )
