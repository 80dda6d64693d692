"""Moves and typed numbers that become part of the design."""

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from strutkit.describe.records import Door, Strut
from strutkit.errors import RecordError, StrutkitError, UnitError
from strutkit.live import answers
from strutkit.live.scene import edited, strut_place
from strutkit.live.typed import check_typed, placed
from strutkit.live.untaken import (
    NO_STEPS,
    Steps,
    Untaken,
    still_untaken,
    untaken_words,
    with_untaken,
    with_waiting,
)

if TYPE_CHECKING:
    from strutkit.live.bench import Bench

Asked = dict[str, Any]
Answer = tuple[dict[str, Any], list[bytes]]

MOST_STEPS = 500
"""Newest steps of keys that can be taken back by Escape."""


def commit(bench: "Bench", asked: Asked) -> Answer:
    """A move becomes part of the design; with the design as it stands where it does not fit."""
    edit = asked.get("edit")
    try:
        if isinstance(edit, dict):
            check_there(bench, edit)
    except RecordError as why:
        return _committed(bench, bench.door, why, bench.untaken) | {"gone": True}, []
    if isinstance(edit, dict) and "typed" in edit:
        return _commit_typed(bench, asked, edit), []
    door, fault = moved(bench.door, asked, bench.stock)
    return _committed(bench, door, fault, still_untaken(bench.untaken, edit)), []


def check_there(bench: "Bench", edit: Asked) -> None:
    """Raises `RecordError` where the door or the strut that an edit names is there no more."""
    if edit.get("door") not in (None, bench.key):
        raise RecordError("Another door was opened meanwhile; nothing was changed.")
    strut_place(bench.door, edit)


def _commit_typed(bench: "Bench", asked: Asked, edit: Asked) -> Asked:
    """A typed number or a key's step, answered with the place that it gave, as "edit"; a text that
    cannot be read as "unread", and nothing is changed."""
    try:
        check_typed(bench.door, edit)
    except UnitError as why:
        untaken = with_waiting(bench.door, edit, bench.untaken, str(why), read=False)
        return {"unread": str(why)} | _committed(bench, bench.door, None, untaken)
    except RecordError as why:
        return _committed(bench, bench.door, why, bench.untaken)
    if "by" in edit["typed"]:
        return _commit_step(bench, asked, edit)
    return _commit_number(bench, edit)


def _commit_number(bench: "Bench", edit: Asked) -> Asked:
    """A number that does not fit is "kept" among the untaken; those that fit now are "joined"."""
    before = bench.door
    fit = partial(_swept, before, stock=bench.stock)
    found = with_untaken(before, edit, bench.untaken, fit)
    body = _committed(bench, found.door, found.fault, found.untaken) | _place_of(before, edit)
    joined = [untaken_words(before, one) for one in found.joined]
    return body | {"joined": joined, "kept": found.fault is not None}


def _commit_step(bench: "Bench", asked: Asked, edit: Asked) -> Asked:
    """The step of a key, on top of those before it that did not fit."""
    before = bench.door
    here = placed(before, edit | {"typed": edit["typed"] | {"by": 0.0}})
    bench.before_steps.append((asked.get("client"), asked.get("seq"), here))
    steps = bench.steps.with_step(asked.get("client"), edit)
    whole = edit | {"typed": steps.typed}
    place = _place_of(before, whole)
    door, fault = moved(before, {"edit": whole}, bench.stock)
    body = _committed(bench, door, fault, bench.untaken)
    bench.steps = NO_STEPS if fault is None else steps
    return body | place


def waiting(door: Door, kept: Sequence[Any]) -> tuple[Untaken, ...]:
    """What was untaken when the browser kept it, and waits on."""
    untaken: tuple[Untaken, ...] = ()
    for one in kept:
        given = one if isinstance(one, dict) else {}
        edit, why = given.get("edit"), str(given.get("why", ""))
        if not isinstance(edit, dict) or not isinstance(edit.get("typed"), dict):
            continue
        try:
            check_typed(door, edit)
        except UnitError:
            untaken = with_waiting(door, edit, untaken, why, read=False)
        except RecordError:
            continue
        else:
            untaken = with_waiting(door, edit, untaken, why, read=True)
    return untaken


def made_again(
    door: Door, untaken: tuple[Untaken, ...], moves: Sequence[Any], stock: Sequence[Strut]
) -> tuple[Door, tuple[Untaken, ...]]:
    """The door, and what is untaken, after moves that the browser kept."""
    steps = NO_STEPS
    for move in moves:
        edit = move.get("edit") if isinstance(move, dict) else None
        typed = edit.get("typed") if isinstance(edit, dict) else None
        if not isinstance(edit, dict) or not isinstance(typed, dict):
            door, steps = moved(door, move if isinstance(move, dict) else {}, stock)[0], NO_STEPS
            untaken = still_untaken(untaken, edit)
        elif "by" in typed:
            door, steps = _stepped_again(door, edit, steps, stock)
        else:
            door, untaken = _typed_again(door, edit, untaken, stock)
            steps = NO_STEPS
    return door, untaken


def _stepped_again(
    door: Door, edit: Asked, steps: Steps, stock: Sequence[Strut]
) -> tuple[Door, Steps]:
    try:
        check_typed(door, edit)
    except StrutkitError:
        return door, NO_STEPS
    steps = steps.with_step(None, edit)
    door, fault = moved(door, {"edit": edit | {"typed": steps.typed}}, stock)
    return door, steps if fault else NO_STEPS


def _typed_again(
    door: Door, edit: Asked, untaken: tuple[Untaken, ...], stock: Sequence[Strut]
) -> tuple[Door, tuple[Untaken, ...]]:
    try:
        check_typed(door, edit)
    except UnitError as why:
        return door, with_waiting(door, edit, untaken, str(why), read=False)
    except RecordError:
        return door, untaken
    found = with_untaken(door, edit, untaken, partial(_swept, door, stock=stock))
    return found.door, found.untaken


def before_step(bench: "Bench", asked: Asked) -> Door:
    """The door with the mount as it was before the step of a key that is named by its message's
    number."""
    named = (asked.get("client"), asked.get("step"))
    for client, seq, here in bench.before_steps:
        if (client, seq) == named:
            check_there(bench, here)
            return edited(bench.door, here)
    raise RecordError("It is too long ago that this key was pressed; Undo takes its step back.")


def _place_of(door: Door, edit: Asked) -> Asked:
    """Where what was typed puts its mount, as "edit"; nothing where that is no place at all."""
    try:
        return {"edit": placed(door, edit)}
    except RecordError:
        return {}


def _committed(
    bench: "Bench", door: Door, fault: StrutkitError | None, untaken: Sequence[Untaken]
) -> Asked:
    """The door takes its place, and the page hears of what does not fit."""
    changed = door != bench.door
    bench.door = door
    bench.untaken = tuple(untaken)
    refused = {} if fault is None else {"fault": str(fault), "design": bench.design}
    return {"changed": changed, "untaken": bench.state["untaken"], **refused}


def moved(door: Door, move: Asked, stock: Sequence[Strut]) -> tuple[Door, StrutkitError | None]:
    """The door after a move, and why its last edit does not fit.

    move: "edit", and "earlier", edits that a hand passed through, the newest first. The newest
    with which the door can be swept is made; the door stays as it is where there is none.
    """
    earlier = move.get("earlier")
    fault: StrutkitError | None = None
    for edit in [move.get("edit"), *(earlier if isinstance(earlier, list) else [])]:
        try:
            return _swept(door, edit, stock), fault
        except StrutkitError as why:
            fault = fault or why
    return door, fault


def _swept(door: Door, edit: Any, stock: Sequence[Strut]) -> Door:
    """The door with an edit. Raises `StrutkitError` where it cannot be swept."""
    found = edited(door, placed(door, edit), stock)
    answers.curves(found, "")
    return found
