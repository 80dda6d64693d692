"""Messages from the page of the finder and their answers (`exchange`).

"news" goes to all pages unasked.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from strutkit.decide.starters import starter_limits
from strutkit.decide.sweep import sweep
from strutkit.describe.field_text import format_field, rules_of
from strutkit.describe.numbers import LengthUnit
from strutkit.describe.records import Door, Limits
from strutkit.errors import RecordError, StrutkitError, UnitError
from strutkit.live import exchange, finder_rows
from strutkit.live.edit import edited
from strutkit.live.edit_form import shown_text
from strutkit.live.edit_words import SINGLE
from strutkit.live.scene import scene
from strutkit.live.typed import typed_corners
from strutkit.live.zone_edit import (
    PARTS,
    searched_zone,
    with_zone,
    zone_corners,
    zone_fault,
    zone_number,
)

if TYPE_CHECKING:
    from strutkit.live.finder import Finder

Asked = dict[str, Any]
Answer = dict[str, Any]

LIMITS = {name: label for _, name, label in SINGLE["Limits"]}
"""Limits in the order of the form, in its words."""

MAIN = ("hand_opening", "hand_closing", "lift_off", "reserve_force", "hinge_resultant")
"""Limits that stand open in the form."""


def receive(finder: "Finder", asked: Any, _: Any) -> None:
    """Answer one message of the page."""
    exchange.answer(finder, finder, HANDLERS, asked, lock=finder.lock, unit=_unit(finder))


def tell(finder: "Finder") -> None:
    """Tell every page how far the search is; called in the thread of the search."""
    finder.send({"kind": "news"} | _progress(finder))


def _progress(finder: "Finder") -> Answer:
    search = finder.search
    if search is None:
        return {"phase": "none", "running": False, "share": 0.0, "words": ""}
    words = finder_rows.progress_words(search) if search.running else ""
    return {
        "phase": search.phase,
        "running": search.running,
        "share": search.share,
        "words": words,
    }


def _unit(finder: "Finder") -> LengthUnit:
    return "in" if finder.unit == "inch" else "mm"


def _open(finder: "Finder", _: Asked) -> Answer:
    """All that a page needs when it opens."""
    from strutkit.live.finder import tidy_asked

    return {
        "asked": tidy_asked(finder.asked, len(finder.stock)),
        "stock": [one.name for one in finder.stock],
    } | _door(finder, _)


def _door(finder: "Finder", _: Asked) -> Answer:
    """The door as it stands, with zones, limits and results."""
    door = finder.door
    try:
        end = sweep(door).end_of_travel if door.struts else door.hinge.stop_angle
    except StrutkitError:
        end = door.hinge.stop_angle
    return {
        "scene": scene(door),
        "end": end,
        "zones": {part: zone_number(door, part) for part in PARTS},
        "faults": {part: zone_fault(door, part) for part in PARTS},
        "notes": _zone_notes(finder),
        "limits": _limits(finder),
        "conditions": len(door.conditions),
        "state": finder.state,
        "called": finder.called,
    } | _results(finder, _)


def _zone_notes(finder: "Finder") -> dict[str, str]:
    notes = {}
    for part in PARTS:
        several = [one for one in finder.door.zones if one.part == part]
        if searched_zone(finder.door, part) in finder.guessed:
            notes[part] = "A guess, the usual place: drag it to where a bracket can be fixed."
        elif len(several) > 1:
            notes[part] = f"The door marks {len(several)} here; the first is searched."
    return notes


def _limits(finder: "Finder") -> list[Answer]:
    door, starter = finder.door, starter_limits(finder.door)
    return [
        {
            "name": name,
            "label": label,
            "text": _limit_text(door, name, _unit(finder)),
            "main": name in MAIN,
            "source": _source(getattr(door.limits, name), getattr(starter, name), name),
        }
        for name, label in LIMITS.items()
    ]


def _limit_text(door: Door, name: str, unit: LengthUnit) -> str:
    """A limit for its box; a force written in pounds as such: 5 lbf, not 22.24... N."""
    text = shown_text(door, "limits", name, unit)
    if rules_of(Limits, name)["kind"] != "force":
        return text
    pounds = format_field(Limits, name, getattr(door.limits, name), "lbf")
    return min(text, pounds, key=len)


def _source(value: float | None, starter: float | None, name: str) -> str:
    if value is None:
        return "not asked"
    words = "starter value, common practice" if value == starter else "asked"
    return f"{words}; judged afterwards, not searched" if name == "hinge_radial" else words


def _zone(finder: "Finder", asked: Asked) -> Answer:
    """Corners of a zone, tried; where they are to stay, the door has them then.

    Without corners they are those of the door; a number "typed" for one of them is put in, and
    answered as "unread" where it cannot be read.
    """
    part, given = str(asked.get("part")), asked.get("corners")
    if given is None:
        given = zone_corners(finder.door, part)
    places = [[float(each) for each in one] for one in given]
    try:
        places = typed_corners(places, asked["typed"]) if "typed" in asked else places
    except UnitError as why:
        return {"unread": str(why)}
    try:
        door = with_zone(finder.door, part, places)
    except StrutkitError as fault:
        return {"fault": str(fault), "corners": places}
    if not asked.get("stay"):
        return {}
    finder.door = door
    return _door(finder, asked)


def _limit(finder: "Finder", asked: Asked) -> Answer:
    name = str(asked.get("name"))
    if name not in LIMITS:
        raise RecordError(f"There is no limit {name[:40]!r}.")
    edit = {"do": "set", "part": "limits", "field": name, "text": str(asked.get("text", ""))}
    finder.door = edited(finder.door, edit | {"unit": _unit(finder)})
    return _door(finder, asked)


def _starters(finder: "Finder", asked: Asked) -> Answer:
    finder.door = edited(finder.door, {"do": "starters"})
    return _door(finder, asked)


def _ask(finder: "Finder", asked: Asked) -> Answer:
    """What is asked beyond the door; kept even where a number cannot be read yet."""
    from strutkit.live.finder import tidy_asked

    finder.asked = tidy_asked(asked.get("asked"), len(finder.stock))
    finder.request()
    return {}


def _run(finder: "Finder", _: Asked) -> Answer:
    finder.run()
    return _progress(finder)


def _stop(finder: "Finder", _: Asked) -> Answer:
    finder.stop()
    return {}


def _results(finder: "Finder", _: Asked) -> Answer:
    """What the last search found, as far as it is known."""
    search = finder.search
    answer: Answer = {"progress": _progress(finder), "results": None}
    if search is None or (search.found is None and not search.fault):
        return answer
    unit = _unit(finder)
    held = finder.candidates()
    rows = finder_rows.rows(search, unit)
    trade = finder_rows.trade(search, unit)
    for row in [*rows, *(trade["points"] if trade else ())]:
        row["now"] = held[row["id"]].door.struts == finder.door.struts
    answer["results"] = {
        "verdict": finder_rows.verdict(search),
        "rank": finder_rows.RANKED[search.asked.rank_by],
        "drilling": search.asked.drilling_error > 0.0,
        "rows": rows,
        "misses": finder_rows.misses(search.found),
        "assumptions": [] if search.found is None else list(search.found.assumptions),
        "trade": trade,
        "stale": finder.outdated(),
    }
    finder.refresh_still()
    return answer


def _adopt(finder: "Finder", asked: Asked) -> Answer:
    found = finder.candidates().get(str(asked.get("id")))
    if found is None:
        raise RecordError("That candidate is not there any more: search again.")
    finder.adopt(found)
    return _door(finder, asked)


def _undo(finder: "Finder", asked: Asked) -> Answer:
    finder.undo()
    return _door(finder, asked)


def _redo(finder: "Finder", asked: Asked) -> Answer:
    finder.redo()
    return _door(finder, asked)


def _save(finder: "Finder", asked: Asked) -> Answer:
    path = str(asked.get("path", "")).strip()
    if not path or "\0" in path:
        raise RecordError("No path is typed: write where, for example my-hatch.toml.")
    target = finder.target(path, ".toml")
    if finder.asks_before(target) and not asked.get("replace"):
        return {"exists": target.name}
    saved = finder.save(target, replace=bool(asked.get("replace")))
    return {"words": f"Saved {saved.name}.", "folder": str(saved.resolve().parent)}


HANDLERS: dict[str, Callable[["Finder", Asked], Answer]] = {
    "open": _open,
    "door": _door,
    "zone": _zone,
    "limit": _limit,
    "starters": _starters,
    "ask": _ask,
    "run": _run,
    "stop": _stop,
    "results": _results,
    "adopt": _adopt,
    "undo": _undo,
    "redo": _redo,
    "save": _save,
}
"""Kind of message -> what answers it."""
