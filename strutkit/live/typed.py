"""Numbers typed in boxes: read when their message is answered, so that whatever is asked next
acts after them."""

from collections.abc import Sequence
from typing import Any

from strutkit.describe.records import Door
from strutkit.describe.units import is_bare, parse_quantity
from strutkit.errors import RecordError, UnitError
from strutkit.live.scene import FARTHEST, SIDES, mount_place, strut_place, view_frame


def typed_length(text: str, unit: str) -> float:
    """A length typed in a number box [mm]; a number alone is in the unit shown."""
    if not text.strip():
        example = "24 1/2 in" if unit == "inch" else "620 mm"
        raise UnitError(f"Nothing is written here. Write a length, for example {example}.")
    written = f"{text} {'in' if unit == 'inch' else 'mm'}" if is_bare(text) else text
    return parse_quantity(written, "length") * 1e3


def typed_coordinate(typed: Any) -> tuple[int, float]:
    """Which coordinate of a place (outward, upward, along) was typed, and its value [mm].

    typed: "axis"; "sense", -1 where the box counts the other way; "text" and "unit" of the box.
    Raises `UnitError` for a text that is no length, `RecordError` for what no page sends.
    """
    given = typed if isinstance(typed, dict) else {}
    axis, sense = given.get("axis"), given.get("sense")
    if type(axis) is not int or axis not in (0, 1, 2) or sense not in (-1, 1):
        raise RecordError("The page sent no number; nothing was changed.")
    return axis, sense * typed_length(str(given.get("text", "")), str(given.get("unit")))


def typed_step(typed: dict[str, Any]) -> float:
    """The step "by" of a key [mm]. Raises `RecordError` for what no page sends."""
    by = typed["by"]
    if type(by) not in (int, float) or not abs(by) <= FARTHEST:
        raise RecordError("The page sent no step; nothing was changed.")
    return float(by)


def check_typed(door: Door, edit: dict[str, Any]) -> None:
    """Raises `UnitError` for a text that is no length, `RecordError` where the strut is not there
    and for what no page sends."""
    strut_place(door, edit)
    _typed_mount(edit["typed"])
    _typed_number(edit["typed"])


def placed(door: Door, edit: Any) -> Any:
    """The edit with a number typed for a mount, or a key's step "by", under "typed", or with a
    list of such, as the places that they give the mounts; any other edit as it is. A step counts
    from the place, and the other coordinates are those, that the door has by now.

    Raises as `check_typed` does, and `RecordError` for a place too far away.
    """
    if not isinstance(edit, dict) or "typed" not in edit:
        return edit
    typed = edit["typed"]
    strut = door.struts[strut_place(door, edit)]
    frame = view_frame(door)
    places: dict[str, list[float]] = {}
    for one in typed if isinstance(typed, list) else [typed]:
        mount = _typed_mount(one)
        axis, value = _typed_number(one)
        at = strut.frame_mount if mount == "frame" else strut.panel_mount
        place = places.setdefault(mount, frame.seen(at).tolist())
        place[axis] = round(place[axis] + value, 6) if "by" in one else value
    plain = {name: one for name, one in edit.items() if name != "typed"}
    return plain | {
        mount: mount_place(strut.strut.name, SIDES[mount], place) for mount, place in places.items()
    }


def _typed_mount(typed: Any) -> str:
    mount = typed.get("mount") if isinstance(typed, dict) else None
    if not isinstance(mount, str) or mount not in SIDES:
        raise RecordError("The page named no mount; nothing was changed.")
    return mount


def _typed_number(typed: dict[str, Any]) -> tuple[int, float]:
    """Which coordinate it is of, and the number or the step [mm]."""
    if "by" not in typed:
        return typed_coordinate(typed)
    axis, _ = typed_coordinate(typed | {"text": "0"})
    return axis, typed_step(typed)


def typed_corners(corners: Sequence[Sequence[float]], typed: Any) -> list[list[float]]:
    """Corners of a zone with a number typed for the one in "at"; the place along the hinge line
    is that of the whole zone. Raises as `typed_coordinate` does."""
    axis, value = typed_coordinate(typed)
    at = typed.get("at")
    if type(at) is not int or not 0 <= at < len(corners):
        raise RecordError(f"The zone has {len(corners)} corners; there is no number {at!r:.40}.")
    found = [list(one) for one in corners]
    for one in found if axis == 2 else [found[at]]:
        one[axis] = value
    return found
