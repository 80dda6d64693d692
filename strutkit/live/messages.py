"""Messages from the page of the bench and their answers (`exchange`)."""

from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from strutkit.describe.doorfile import parse_door
from strutkit.describe.numbers import LengthUnit, sentence_unit
from strutkit.describe.records import Door, Strut
from strutkit.errors import RecordError, StrutkitError
from strutkit.live import answers, exchange, papers, shelf
from strutkit.live.changes import changes
from strutkit.live.commits import before_step, check_there, commit, made_again, waiting
from strutkit.live.comparison import comparison
from strutkit.live.curves import packed
from strutkit.live.mapping import Mount, map_key, map_of
from strutkit.live.scene import edited, scene
from strutkit.live.untaken import Untaken

if TYPE_CHECKING:
    from strutkit.live.bench import Bench

Asked = dict[str, Any]
Answer = tuple[dict[str, Any], list[bytes]]
Handler = Callable[["Bench", Asked], Answer]


KEPT = 16
"""Answers of each kind that are kept: what is undone, or asked by a second tab, is not computed
again."""


def receive(bench: "Bench", asked: Any, _: Any) -> None:
    """Answer one message of the page.

    Curves that name a place have their findings follow, as an answer of their own: a message
    less, and the curves do not wait.
    """
    unit: LengthUnit = "in" if bench.unit == "inch" else "mm"
    exchange.answer(bench, bench, HANDLERS, asked, lock=bench.lock, unit=unit)
    if isinstance(asked, dict) and asked.get("kind") == "curves" and "place" in asked:
        judge = asked | {"kind": "judge"}
        exchange.answer(bench, bench, HANDLERS, judge, lock=bench.lock, unit=unit)


def _curves(bench: "Bench", asked: Asked) -> Answer:
    """Curves of the door with an edit that is being dragged."""
    door = edited(bench.door, asked.get("edit"), bench.stock)
    return answers.curves(door, str(asked.get("condition", "")))


def _scene(bench: "Bench", asked: Asked) -> Answer:
    """The door as it stands, with curves and axes; a door that cannot be swept says why."""
    door = bench.door
    mounts = [(place, part) for place in range(len(door.struts)) for part in ("frame", "panel")]
    keys = {f"{place} {part}": map_key(Mount(door, place, part)) for place, part in mounts}
    body = {"scene": scene(door) | {"key": bench.key}, "state": bench.state, "map_keys": keys}
    try:
        curves, data = answers.curves(bench.door, str(asked.get("condition", "")), axes=True)
    except StrutkitError as fault:
        return body | {"fault": str(fault)}, []
    return body | curves, data


def _state(bench: "Bench", _: Asked) -> Answer:
    return {"state": bench.state}, []


def _back(bench: "Bench", asked: Asked) -> Answer:
    """Back to the door with this "edit", or as it was before a key's "step": by undoing up to
    there, else as one more step."""
    edit = asked.get("edit")
    if "step" in asked:
        bench.back_to(before_step(bench, asked))
        return {}, []
    if isinstance(edit, dict):
        check_there(bench, edit)
    bench.back_to(edited(bench.door, edit, bench.stock))
    return {}, []


def _restore(bench: "Bench", asked: Asked) -> Answer:
    """Unsaved moves that the page kept from an earlier run of the kernel, on a door just given."""
    fresh = not bench.state["undo"] and not bench.state["changed"]
    if fresh:
        bench.door, bench.untaken = _kept(bench, asked)
    return {"restored": fresh and bench.state["changed"]} | _untaken(bench), []


def _take(bench: "Bench", asked: Asked) -> Answer:
    """A design that the page kept from an earlier run of the kernel."""
    bench.door, bench.untaken = _kept(bench, asked)
    return _untaken(bench), []


def _differs(bench: "Bench", asked: Asked) -> Answer:
    """What taking a design that the page kept would change in the door as it stands."""
    unit: LengthUnit = "in" if bench.unit == "inch" else "mm"
    return {"changes": changes(bench.door, _kept(bench, asked)[0], unit)}, []


def _kept(bench: "Bench", asked: Asked) -> tuple[Door, tuple[Untaken, ...]]:
    """A design of the browser, with the moves that were not part of it yet, and what was typed
    and does not fit."""
    door = parse_door(str(asked.get("design", "")), "The design kept in the browser")
    untaken = waiting(door, _listed(asked.get("untaken")))
    return made_again(door, untaken, _listed(asked.get("moves")), bench.stock)


def _listed(given: Any) -> list[Any]:
    return given if isinstance(given, list) else []


def _judge(bench: "Bench", asked: Asked) -> Answer:
    """Findings and rating window of the door as it stands, or with an edit that is being dragged:
    then findings alone but where the page asks for the "window"."""
    edit, place = asked.get("edit"), _place_number(asked)
    if edit is None:
        return {"verdict": _verdict(bench.door, tuple(bench.stock), place, sentence_unit())}, []
    door = edited(bench.door, edit, bench.stock)
    with_window = asked.get("window") is True
    return {"verdict": answers.verdict(door, bench.stock, place, with_window=with_window)}, []


@lru_cache(KEPT)
def _verdict(door: Door, stock: tuple[Strut, ...], place: int, _: LengthUnit) -> Asked:
    return answers.verdict(door, stock, place)


def _compare(bench: "Bench", asked: Asked) -> Answer:
    found = _comparison(bench.door, tuple(bench.stock), _place_number(asked), sentence_unit())
    return {"compare": found | {"door": bench.key}}, []


@lru_cache(KEPT)
def _comparison(door: Door, stock: tuple[Strut, ...], place: int, _: LengthUnit) -> Asked:
    return comparison(door, stock, place)


def _map(bench: "Bench", asked: Asked) -> Answer:
    """Map of one mount: the whole zone, or in detail."""
    part = "panel" if asked.get("mount") == "panel" else "frame"
    mount = Mount(bench.door, _place_number(asked), part)
    if not 0 <= mount.place < len(bench.door.struts):
        raise RecordError("The door has no such strut to map.")
    body, data = _mapped(mount, bool(asked.get("fine")), sentence_unit())
    return body, [data]


@lru_cache(KEPT)
def _mapped(mount: Mount, fine: bool, _: LengthUnit) -> tuple[Asked, bytes]:
    figures, arrays = map_of(mount, fine=fine)
    layout, data = packed(arrays)
    return {"figures": figures, "layout": layout}, data


def _undo(bench: "Bench", _: Asked) -> Answer:
    bench.undo()
    return {}, []


def _redo(bench: "Bench", _: Asked) -> Answer:
    bench.redo()
    return {}, []


def _reset(bench: "Bench", _: Asked) -> Answer:
    bench.reset()
    return {}, []


def _drop(bench: "Bench", asked: Asked) -> Answer:
    """What was typed in "boxes" (place, mount, axis) and is not in the door is given up."""
    boxes = _listed(asked.get("boxes"))
    bench.untaken = tuple(one for one in bench.untaken if list(one.box) not in boxes)
    return _untaken(bench), []


def _doors(_: "Bench", __: Asked) -> Answer:
    """Door files to choose from."""
    return shelf.titles(Path()), []


def _open(bench: "Bench", asked: Asked) -> Answer:
    """The door of a typed path, of a file beside the notebook, or an example."""
    if "example" in asked:
        bench.open_example(str(asked["example"]))
        return {"file": f"the example {bench.door.name}", "folder": ""}, []
    named = "beside" in asked
    path = shelf.chosen(Path(), str(asked["beside"])) if named else _typed_path(asked)
    bench.open_door(path)
    return _place(bench.path or Path()), []


def _save(bench: "Bench", asked: Asked) -> Answer:
    bench.check_read()
    target = bench.target(_typed_path(asked), ".toml")
    if bench.asks_before(target) and not asked.get("replace"):
        return {"exists": target.name, "changed": bench.changed_on_disk(target)}, []
    saved = bench.save(target, replace=bool(asked.get("replace")))
    return _place(saved) | _untaken(bench), []


def _sheet(bench: "Bench", asked: Asked) -> Answer:
    bench.check_read()
    target = bench.target(_typed_path(asked), ".pdf")
    if target.exists() and not asked.get("replace"):
        return {"exists": target.name}, []
    return _place(bench.save_sheet(target)) | _untaken(bench), []


def _paper(bench: "Bench", asked: Asked) -> Answer:
    """Pages of a paper as pictures, with the design that they show; or its file beside the door
    file or the notebook."""
    if asked.get("save"):
        bench.check_read()
    folder = Path() if bench.path is None else bench.path.parent
    unit: LengthUnit = "in" if bench.unit == "inch" else "mm"
    answer = papers.answer(bench.door, folder, unit, asked)
    return answer | _untaken(bench) | ({"design": bench.design} if "pictures" in answer else {}), []


def _untaken(bench: "Bench") -> dict[str, Any]:
    """What was typed for mounts and is not in the door, for the page to say."""
    return {"untaken": bench.state["untaken"]}


def _place_number(asked: Asked) -> int:
    place = asked.get("place")
    if type(place) is not int:
        raise RecordError(f"Struts are counted by whole numbers, not by {place!r:.40}.")
    return place


def _typed_path(asked: Asked) -> str:
    path = str(asked.get("path", "")).strip()
    if not path or "\0" in path:
        raise RecordError("No path is typed: write where, for example my-hatch.toml.")
    return path


def _place(path: Path) -> dict[str, Any]:
    return {"file": path.name, "folder": str(path.resolve().parent)}


HANDLERS: dict[str, Handler] = {
    "curves": _curves,
    "scene": _scene,
    "state": _state,
    "commit": commit,
    "drop": _drop,
    "back": _back,
    "take": _take,
    "restore": _restore,
    "differs": _differs,
    "judge": _judge,
    "compare": _compare,
    "map": _map,
    "undo": _undo,
    "redo": _redo,
    "reset": _reset,
    "doors": _doors,
    "open": _open,
    "save": _save,
    "sheet": _sheet,
    "paper": _paper,
}
"""Kind of message -> what answers it."""
