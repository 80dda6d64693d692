"""What the live view asks: pure functions from a door to plain lists and packed arrays."""

from collections.abc import Sequence
from typing import Any

from strutkit.describe.records import Door, Strut
from strutkit.describe.units import is_bare, parse_quantity
from strutkit.live import scene as scenes
from strutkit.live.axes import axes as value_axes
from strutkit.live.curves import curves as swept
from strutkit.live.curves import packed


def scene(door: Door) -> dict[str, Any]:
    """The door as it is drawn."""
    return {"scene": scenes.scene(door)}


def curves(door: Door, condition: str, *, axes: bool = False) -> tuple[dict[str, Any], list[bytes]]:
    """Figures, layout and one buffer of the curves; with the value axes at rest."""
    figures, arrays = swept(door, condition)
    layout, data = packed(arrays)
    body: dict[str, Any] = {"figures": figures, "layout": layout}
    if axes:
        body["axes"] = value_axes(arrays, door.limits)
    return body, [data]


def typed_length(text: str, unit: str) -> float:
    """A length typed in a number box [mm]; a number alone is in the unit shown."""
    written = f"{text} {'in' if unit == 'inch' else 'mm'}" if is_bare(text) else text
    return parse_quantity(written, "length") * 1e3


def verdict(door: Door, stock: Sequence[Strut]) -> dict[str, Any]:
    from strutkit.decide.findings import check
    from strutkit.decide.findings import verdict as count
    import math
    findings = check(door)
    return {"count": count(findings), "judged": any(f.ok is not None for f in findings), "findings": [
        {"name": f.name, "state": f.state, "words": f.words, "condition": f.condition, "angle": f.angle,
         "where": ", ".join(([f.condition] if f.condition else []) + ([f"at {math.degrees(f.angle):.0f}°"] if f.angle is not None else []))} for f in findings], "window": None}


def compare(door, stock, place):
    return {"rows": [], "source": ""}
