"""Messages from the page of the form and their answers (`exchange`)."""

from collections.abc import Callable
from dataclasses import asdict, replace
from functools import cache
from typing import TYPE_CHECKING, Any

from strutkit.decide.start.answers import Outcome
from strutkit.decide.start.assumptions import door_assumptions
from strutkit.decide.start.fitting import fitting_words
from strutkit.decide.start.kinds import KINDS, find_kind
from strutkit.decide.start.measured import door_answers
from strutkit.decide.start.questions import questions, read_pull
from strutkit.decide.start.tapes import point_from_tapes
from strutkit.decide.start.unlabelled import BY_HAND, CAUTIONS, read_strut
from strutkit.describe.bare import UNITS, with_unit
from strutkit.describe.doorfile import door_text, parse_door, read_door
from strutkit.describe.fields import checked_name
from strutkit.describe.numbers import length_text, quantity_text
from strutkit.describe.records import Door, Strut
from strutkit.describe.units import format_point, parse_point, parse_quantity
from strutkit.errors import RecordError, StrutkitError
from strutkit.live import exchange
from strutkit.live.design import save_target, whole_path
from strutkit.live.edit import edited, measured_since
from strutkit.live.edit_form import groups, starters
from strutkit.show.sketches import icon, sketch
from strutkit.show.svg import svg_text

if TYPE_CHECKING:
    from strutkit.live.start import Start, StartForm

Asked = dict[str, Any]
Answer = dict[str, Any]

PLACEHOLDERS = {
    "mm": {"pull": "4.6 kg or 45 N", "open": "130 mm or 95 deg"},
    "in": {"pull": "10 lb or 45 N", "open": "5 in or 95 deg"},
}
"""Examples of what may be one of two things, so that its unit is asked."""
MOST_TAPES = 30
READINGS = ("F3", "F4", "F2", "F1")
"""Readings of a strut on a scale, in the order in which they are taken."""
LABELS = {"extended": "Length pulled out", "stroke": "Stroke"} | {
    name: f"Reading {number} ({name})" for number, name in enumerate(READINGS, start=1)
}
USES = {
    "handle": "handle",
    "closing handle": "closing_handle",
    "stop": "stop",
    "fixed-side mount": "frame_mount",
    "door-side mount": "panel_mount",
}
"""What a taped point can be taken for -> field of panel, hinge or first strut."""


def receive(form: "StartForm", asked: Any, _: Any) -> None:
    """Answer one message of the page."""
    start = form.start
    exchange.answer(form, start, HANDLERS, asked, lock=start.lock, unit=_unit(start))


def tell_changed(start: "Start") -> None:
    """Tell every page of the form that the door in the bench is another now."""
    start.form.send({"kind": "changed"} | _below(start, start.outcome))


def _below(start: "Start", found: Outcome) -> Answer:
    """Which door the bench shows, and what brings it back after a new kernel; what the door of
    the form takes without measuring. found: the form judged."""
    assumed = {"assumed": _assumed(start, found)}
    if start.bench is None:
        return assumed | {"below": {"state": "nothing", "name": ""}, "design": "", "shown": None}
    return assumed | {
        "below": {"state": start.below, "name": start.bench.door.name},
        "design": start.bench.design,
        "shown": start.shown,
    }


def _assumed(start: "Start", found: Outcome) -> list[Answer]:
    below = start.bench is not None and start.below in ("same", "edited")
    door = start.door if below else found.door
    kind = find_kind(start.form.answers["kind"])
    return [] if door is None else [asdict(one) for one in door_assumptions(door, kind)]


def name_or_none(text: str) -> str | None:
    """A door's name as typed, or None where it is empty or cannot be one."""
    try:
        return checked_name(text, "name") if text.strip() else None
    except RecordError:
        return None


def with_zones(bare: Door, former: Door) -> Door:
    """The form's door with the marked zones of the door in the bench, where they suit it and the
    form itself marks none."""
    if bare.zones:
        return bare
    try:
        return replace(bare, zones=former.zones)
    except StrutkitError:
        return bare


def _open(start: "Start", _: Asked) -> Answer:
    """All that a page needs when it opens."""
    return {
        "answers": start.form.answers,
        "kinds": [
            {"name": kind.name, "title": kind.title, "icon": asdict(icon(kind))}
            for kind in KINDS.values()
        ],
        "stock": [one.name for one in start.stock],
        "cautions": list(CAUTIONS),
        "uses": list(USES),
        "own_strut": None if start.own_strut is None else start.own_strut.name,
    } | _form(start)


def _judge(start: "Start", asked: Asked) -> Answer:
    from strutkit.live.start import tidy_answers

    start.form.answers = tidy_answers(asked.get("answers"))
    if start.bench is not None and start.bench.unit != start.form.answers["unit"]:
        start.bench.unit = start.form.answers["unit"]
    return _form(start)


def _form(start: "Start") -> Answer:
    found = start.outcome
    kind, units = find_kind(start.form.answers["kind"]), UNITS[_unit(start)]
    return {
        "questions": [
            {
                "name": one.name,
                "label": one.label,
                "hint": one.hint,
                "required": one.required,
                "unit": units.get(one.kind, ""),
                "placeholder": units.get(one.kind, PLACEHOLDERS[_unit(start)].get(one.kind, "")),
            }
            for one in questions(kind)
        ],
        "units": dict(units),
        "sketch": _sketch(kind.name),
        "outcome": _outcome(found),
        "outside": kind.outside,
    } | _below(start, found)


@cache
def _sketch(kind: str) -> str:
    return svg_text(sketch(find_kind(kind)), theme="page", ground=False)


def _outcome(found: Outcome) -> Answer:
    return {
        "boxes": {
            name: {"state": box.state, "words": box.words} for name, box in found.boxes.items()
        },
        "words": found.words,
        "ready": found.ready,
        "trouble": found.trouble,
        "door": found.door is not None,
    }


def _suggest(start: "Start", asked: Asked) -> Answer:
    if asked.get("answers") is not None:
        _judge(start, asked)
    found = start.suggest()
    kind = find_kind(start.form.answers["kind"])
    return {
        "words": found.words,
        "fits": found.fits,
        "holds": found.holds,
        "fitting": list(fitting_words(found.door, kind, _unit(start))),
    } | _form(start)


def _unit(start: "Start") -> Any:
    return "in" if start.form.answers["unit"] == "inch" else "mm"


def _taped(start: "Start", asked: Asked) -> list[Any]:
    """The places that the typed tapes allow; a fault names its row."""
    known, tapes = [], []
    rows = [row for row in asked.get("rows", ())[:MOST_TAPES] if any(str(x).strip() for x in row)]
    for number, (point, tape) in enumerate(rows, start=1):
        try:
            known.append(parse_point(with_unit(str(point), "point", _unit(start))))
            tapes.append(parse_quantity(with_unit(str(tape), "length", _unit(start)), "length"))
        except StrutkitError as fault:
            raise RecordError(f"Row {number}: {fault}") from None
    return list(point_from_tapes(known, tapes))


def _tape(start: "Start", asked: Asked) -> Answer:
    """Places, each in words with its misfit; two where only the builder knows the side."""
    unit = _unit(start)
    found = _taped(start, asked)
    spare = len(found[0].residuals) - 3
    places = []
    for one in found:
        rounded = tuple(round(each, 4) + 0.0 for each in one.point)
        misfit = quantity_text(one.misfit, "length", toward="up", step=0.1)
        worst = max(range(len(one.residuals)), key=lambda row: abs(one.residuals[row]))
        check = f"misfit {misfit}, most in row {worst + 1}" if spare else "no tape left to check it"
        places.append(
            {
                "words": format_point(rounded, unit),
                "check": f"{check}; good to {length_text(one.uncertainty, unit)}",
            }
        )
    return {"places": places}


def _take_tape(start: "Start", asked: Asked) -> Answer:
    """A taped place becomes the handle, a stop or a mount of the door."""
    door = _door(start)
    found = _taped(start, asked)
    number = asked.get("place")
    if not isinstance(number, int) or not 0 <= number < len(found):
        raise RecordError("Choose one of the places first.")
    x, y, z = (round(each, 5) + 0.0 for each in found[number].point)
    use = USES.get(str(asked.get("use")), "handle")
    part = {"stop": "hinge", "frame_mount": "strut:0", "panel_mount": "strut:0"}.get(use, "panel")
    text = format_point((x, y, z), "mm")
    start.show(edited(door, {"do": "set", "part": part, "field": use, "text": text}))
    return {"words": f"Taken: {asked.get('use')} at {text}."}


def _label(start: "Start", asked: Asked) -> Answer:
    """A strut from scale readings, taken as the only one to choose from."""
    texts = {name: str(asked.get(name, "")) for name in (*READINGS, "extended", "stroke")}
    values = {}
    for name, text in texts.items():
        if not text.strip():
            raise RecordError(f"{LABELS[name]}: nothing is written yet.")
        try:
            sized = with_unit(text, "length", _unit(start))
            values[name] = read_pull(text) if name in READINGS else parse_quantity(sized, "length")
        except StrutkitError as fault:
            raise RecordError(f"{LABELS[name]}: {fault}") from None
    read = read_strut(**{name: values[name] for name in READINGS})
    start.own_strut = Strut(
        name="own strut, read on a scale",
        rating=round(read.rating, 1),
        friction=round(read.friction, 1),
        force_ratio=round(read.force_ratio, 3),
        extended_length=values["extended"],
        stroke=values["stroke"],
    )
    words = (
        f"Rating {quantity_text(read.rating, 'force')}, friction"
        f" {quantity_text(read.friction, 'force')} (half the difference between going in and"
        f" coming out), force ratio {read.force_ratio:.2f}. A start is now suggested with this"
        " strut alone."
    )
    if max(values[name] for name in READINGS) > BY_HAND:
        limit = quantity_text(BY_HAND, "force")
        words += f" A reading is over {limit}: do not press that by hand again."
    low, high = sorted(read.loops)
    if high > 1.5 * low + 10.0:
        words += " The differences at the two ends are unlike: read again, more slowly."
    return {"words": words}


def _drop_label(start: "Start", _: Asked) -> Answer:
    start.own_strut = None
    return {"words": ""}


def _door(start: "Start") -> Door:
    door = start.door
    if door is None:
        raise RecordError("The outer edge of the knuckle to the free edge is needed first.")
    return door


def _editor(start: "Start", _: Asked) -> Answer:
    door = _door(start)
    state = {"undo": False, "redo": False} if start.bench is None else start.bench.state
    return {
        "groups": groups(door, _unit(start)),
        "starters": starters(door),
        "undo": state["undo"],
        "redo": state["redo"],
        "text": door_text(door),
    }


def _edit(start: "Start", asked: Asked) -> Answer:
    edit = asked["edit"] | {"unit": _unit(start)}
    start.show(edited(_door(start), edit, start.stock), edited=True)
    return _editor(start, asked)


def _take_text(start: "Start", asked: Asked) -> Answer:
    """A door typed as text: into the bench, and back into the boxes as far as they can say it."""
    door = parse_door(str(asked.get("text", "")), "The text")
    if start.door is not None:
        door = measured_since(start.door, door)
    _into_boxes(start, door)
    start.show(door)
    return {"answers": start.form.answers} | _form(start) | _editor(start, asked)


def _into_boxes(start: "Start", door: Door) -> None:
    """The boxes say the door, as far as they can."""
    answers = start.form.answers
    kind, boxes = door_answers(door, kind=answers["kind"], unit=_unit(start))
    start.form.answers = answers | {
        "kind": kind,
        "name": door.name,
        "lumps": [],
        "boxes": {name: {"text": one.text, "unknown": one.unknown} for name, one in boxes.items()},
    }


def _open_file(start: "Start", asked: Asked) -> Answer:
    """A door file into the bench, and into the boxes as far as they can say it."""
    text = str(asked.get("path", "")).strip()
    if not text or "\0" in text:
        raise RecordError("No path is typed: write which door file, for example my-hatch.toml.")
    path = whole_path(text)
    door = read_door(path)
    _into_boxes(start, door)
    start.show(door, path=path)
    return {"answers": start.form.answers, "words": f"Opened {path.name}."} | _form(start)


def _take_below(start: "Start", _: Asked) -> Answer:
    """The door of the bench into the boxes."""
    if start.bench is not None:
        _into_boxes(start, start.bench.door)
        start.adopt()
    return {"answers": start.form.answers} | _form(start)


def _bring_back(start: "Start", asked: Asked) -> Answer:
    """What a page kept of an earlier run: the answers, and the door of the bench."""
    from strutkit.live.start import sizes_of, tidy_answers

    start.form.answers = tidy_answers(asked.get("answers"))
    design = str(asked.get("design") or "")
    if design:
        start.show(parse_door(design, "The door kept in this browser"))
        shown = asked.get("shown")
        if isinstance(shown, dict):
            start.shown = sizes_of(tidy_answers(shown))
    return {"answers": start.form.answers} | _form(start)


def _undo(start: "Start", asked: Asked) -> Answer:
    if start.bench is not None:
        start.bench.undo()
    return _editor(start, asked)


def _redo(start: "Start", asked: Asked) -> Answer:
    if start.bench is not None:
        start.bench.redo()
    return _editor(start, asked)


def _save(start: "Start", asked: Asked) -> Answer:
    if asked.get("answers") is not None:
        _judge(start, asked)
    path = str(asked.get("path", "")).strip()
    if not path or "\0" in path:
        raise RecordError("No path is typed: write where, for example my-hatch.toml.")
    target = save_target(path, ".toml")
    asks = target.exists() if start.bench is None else start.bench.asks_before(target)
    if asks and not asked.get("replace"):
        return {"exists": target.name}
    saved = start.save(target, replace=bool(asked.get("replace")))
    return {
        "words": f"Saved {saved.name}.",
        "folder": str(saved.resolve().parent),
        "besides": _besides(start),
    }


def _besides(start: "Start") -> str:
    """What stands in the boxes and is not in a door saved now, as a sentence."""
    if start.below in ("older", "other"):
        return "It is the door of the bench below, not that of these boxes."
    wrong = sum(one.state == "fault" for one in start.outcome.boxes.values())
    if start.bench is not None or not wrong:
        return ""
    return f"Not in it: {wrong} {'box' if wrong == 1 else 'boxes'} to put right."


HANDLERS: dict[Any, Callable[["Start", Asked], Answer]] = {
    "open": _open,
    "judge": _judge,
    "suggest": _suggest,
    "tape": _tape,
    "take tape": _take_tape,
    "label": _label,
    "drop label": _drop_label,
    "editor": _editor,
    "edit": _edit,
    "take text": _take_text,
    "open file": _open_file,
    "take below": _take_below,
    "bring back": _bring_back,
    "undo": _undo,
    "redo": _redo,
    "save": _save,
}
"""Kind of message -> what answers it."""
