"""How a start is bolted on: where its balls stand, what brackets that wants, how it is fitted."""

from collections.abc import Callable

import numpy as np

from strutkit.decide.start.kinds import Kind
from strutkit.decide.start.places import REACH, Section
from strutkit.decide.sweep import sweep
from strutkit.describe.numbers import PAPER_PARTS, LengthUnit, length_text, quantity_text
from strutkit.describe.records import Door, FittedStrut

LEAST_LEFT, MOST_LEFT = 0.010, 0.040
"""Stroke that a good start keeps where its strut is longest: enough for what a tape is out by, and
little enough to clip it on without pushing it in [m]. Common practice, no published source."""

SLACK = 0.0015
"""Places rounded to whole millimetres may pass a bound by this much [m]."""


def fitting_words(door: Door, kind: Kind, unit: LengthUnit = "mm") -> tuple[str, ...]:
    """Sentences on the first strut of a door: what to buy, both balls, their brackets, and how it
    is fitted."""
    if not door.struts:
        return ()
    fitted, section = door.struts[0], Section(door, kind)
    places = section.read(np.array([fitted.frame_mount, fitted.panel_mount]))
    (fixed, fixed_off), (moving, moving_off) = places.tolist()
    aside = float((np.array(fitted.frame_mount) - section.middle) @ section.right)

    def size(value: float) -> str:
        return length_text(abs(value), unit, parts=PAPER_PARTS)

    face = "outer face" if kind.outside else "inner face"
    where = "below" if fixed < 0.0 else "from"
    on_door = f"{size(moving)} from the hinge line, {size(moving_off)} off the {face}"
    on_fixed = f"{size(fixed)} {where} the hinge line"
    return (
        _bought_words(fitted, size),
        f"On the door: {on_door}{_bracket(moving_off)}.",
        f"On the fixed side: {on_fixed}, {_fixed_words(kind, fixed_off, size(fixed_off))}.",
        _left_words(door, size),
        *_aside_words(door, aside, size),
    )


def _bought_words(fitted: FittedStrut, size: Callable[[float], str]) -> str:
    strut, many = fitted.strut, "two struts" if fitted.mirrored else "one strut"
    force = quantity_text(strut.rating, "force")
    words = f"To buy: {many} of {force}, {size(strut.extended_length)} extended between centres"
    return f"{words}, stroke {size(strut.stroke)}."


def pushed_in(door: Door) -> bool:
    """Whether the first strut must be pushed in to be fitted."""
    longest = float(sweep(door).strut_length[0].max())
    return door.struts[0].strut.extended_length - longest > MOST_LEFT + SLACK


def _aside_words(door: Door, aside: float, size: Callable[[float], str]) -> tuple[str, ...]:
    """How far inside the ends of the door the fixed ball of a pair stands."""
    inside = (door.panel.width or 0.0) / 2.0 - abs(aside)
    if not door.struts[0].mirrored or inside <= 0.0:
        return ()
    words = (
        f"Both balls of a strut stand {size(inside)} inside the door’s left and right ends: a post"
        " beside the opening needs a bracket that reaches in."
    )
    return (words,)


def _bracket(off: float) -> str:
    return ", which wants a bracket of that height" if abs(off) > REACH + SLACK else ""


def _fixed_words(kind: Kind, off: float, shown: str) -> str:
    if kind.outside:
        return f"{shown} out from the wall below the opening{_bracket(off)}"
    side = "below" if kind.frame_deep else "behind"
    words = f"{shown} {'outside' if off < 0.0 else side} the door’s inner face"
    if not kind.frame_deep and off > kind.frame_depth[1] + SLACK:
        return f"{words}: where the post is less deep, it wants a bracket that reaches there"
    return words


def _left_words(door: Door, size: Callable[[float], str]) -> str:
    swept, strut = sweep(door), door.struts[0].strut
    lengths = swept.strut_length[0]
    left = strut.extended_length - float(lengths.max())
    open_end = bool(lengths[-1] >= lengths[0])
    where, held = ("open", "propped") if open_end else ("shut", "locked")
    shown = size(left)
    if left <= MOST_LEFT + SLACK:
        return f"Fit it with the door {where} and {held}: it is then {shown} short of full length."
    force = quantity_text(strut.rating, "force", toward="up")
    return (
        f"With the door {where} it is still {shown} short of full length: it must be pushed in"
        f" against {force} or more to be fitted, so look for a shorter strut first."
    )
