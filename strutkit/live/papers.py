"""The papers of the live view: their pages as pictures, and files saved under safe names."""

import base64
import re
from pathlib import Path
from typing import Any

from strutkit.describe.numbers import LengthUnit
from strutkit.describe.records import Door
from strutkit.errors import RecordError

KINDS = {
    "sheet": (".pdf",),
    "drill template": (".pdf",),
    "card": (".pdf",),
    "drawing": (".dxf", ".svg"),
}
"""What can be taken to the door -> endings of its file, the usual one first."""

LONGEST_NAME = 60


def file_name(door: Door, kind: str, ending: str | None = None) -> str:
    """A file name of letters, figures and hyphens alone, from the door's name and the kind.

    The name of a door is a stranger's text: nothing of it may choose a folder. ending: one that
    the kind has; None for its usual one. Raises `RecordError` for another.
    """
    words = re.findall(r"[A-Za-z0-9]+", door.name)
    stem = "-".join(words).lower()[:LONGEST_NAME].strip("-") or "door"
    return f"{stem}-{kind.replace(' ', '-')}{_ending(kind, ending)}"


def _ending(kind: str, ending: str | None = None) -> str:
    if kind not in KINDS:
        raise RecordError(f"paper is {kind!r}; write one of {', '.join(KINDS)}.")
    wanted = KINDS[kind][0] if ending is None else ending
    if wanted not in KINDS[kind]:
        raise RecordError(f"ending is {wanted!r}; write one of {', '.join(KINDS[kind])}.")
    return wanted


def pictures(door: Door, kind: str, page: str, length_unit: LengthUnit) -> list[str]:
    """Pages as addresses of pictures that hold their own data."""
    from strutkit.show.drawing import drawing_svg
    from strutkit.show.paper import paper_pages

    _ending(kind)
    if kind == "drawing":
        return [_address("svg+xml", drawing_svg(door, length_unit=length_unit).encode("utf-8"))]
    made = paper_pages(door, kind, page=page, length_unit=length_unit)
    return [_address("png", one) for one in made]


def _address(kind: str, data: bytes) -> str:
    return f"data:image/{kind};base64,{base64.b64encode(data).decode('ascii')}"


class Preview:
    """Pages of a paper; a notebook cell shows them below each other."""

    def __init__(self, pictures: list[str], title: str) -> None:
        self.pictures = pictures
        self.title = title

    def __repr__(self) -> str:
        return f"{self.title}, pages: {len(self.pictures)}"

    def _repr_html_(self) -> str:
        return "\n".join(
            f'<img src="{one}" alt="{self.title}, page {number}" style="max-width: 100%; display:'
            ' block; margin: 0 auto 8px; border: 1px solid #737F8B">'
            for number, one in enumerate(self.pictures, start=1)
        )


def preview(
    door: Door, paper: str = "sheet", *, page: str = "a4", length_unit: LengthUnit = "mm"
) -> Preview:
    """The pages of a paper in a notebook cell: "sheet", "drill template", "card" or "drawing".

    Options and errors as for `save_sheet`; nothing is saved.
    """
    return Preview(pictures(door, paper, page, length_unit), paper)


def save(door: Door, kind: str, page: str, length_unit: LengthUnit, path: Path) -> None:
    """Save one paper. Raises `SaveError` as the functions of `strutkit` do."""
    from strutkit.show.drawing import save_drawing
    from strutkit.show.paper import save_card, save_drill_template, save_sheet

    _ending(kind)
    if kind == "drawing":
        save_drawing(door, path, length_unit=length_unit)
        return
    save_paper = {"sheet": save_sheet, "drill template": save_drill_template, "card": save_card}
    save_paper[kind](door, path, page=page, length_unit=length_unit)


def answer(
    door: Door, folder: Path, length_unit: LengthUnit, asked: dict[str, Any]
) -> dict[str, Any]:
    """Pictures of a paper, or the place where it was saved: never over a file unasked."""
    kind, page = str(asked.get("paper", "")), str(asked.get("page", "a4"))
    ending = None if asked.get("ending") is None else str(asked["ending"])
    name = file_name(door, kind, ending)
    if not asked.get("save"):
        return {"pictures": pictures(door, kind, page, length_unit), "name": name}
    target = folder / name
    if target.exists() and not asked.get("replace"):
        return {"exists": target.name}
    save(door, kind, page, length_unit, target)
    return {"file": target.name, "folder": str(target.resolve().parent)}
