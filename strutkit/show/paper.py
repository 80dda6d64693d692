"""Paper to take to the door: mount-point sheet, drill templates, glove-box card.

The page is set by typst from a template beside this module; user text goes in as data only.
"""

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from strutkit.decide.sweep import sweep
from strutkit.describe.numbers import LengthUnit, lengths_in
from strutkit.describe.records import Door
from strutkit.describe.text_files import save_bytes
from strutkit.errors import RecordError, SaveError
from strutkit.show.card import card_data
from strutkit.show.drill_template import MEASURE_FIRST, template_pages
from strutkit.show.mount_words import assumed_places
from strutkit.show.sheet import frame_data, sheet_data
from strutkit.show.typesetting import PAGES, pages_of, pdf_of

LONGEST_TITLE = 60
"""Of a longer name a drill template prints the beginning; its fingerprint tells doors apart."""


def save_sheet(
    door: Door,
    path: str | Path,
    *,
    page: str = "a4",
    length_unit: LengthUnit = "mm",
    angle: float | None = None,
    date: dt.date | None = None,
) -> None:
    """Save the mount-point sheet of a door as a PDF (PDF/A-2, tagged).

    page: "a4" or "letter"; length_unit: "mm" or "in", which comes first; angle [rad]: where the
    calculation for new struts stands (None: half the travel); date: printed in the title block
    and in the file's properties, None prints a line to write it on. The same door and options
    give the same bytes.

    Raises `TravelError` for a door that cannot be swept or an angle outside its travel,
    `RecordError` for an option that is not known, `SaveError` where the file cannot be written.
    """
    place = _pdf_path(path)
    data = _sheet(door, page, length_unit, angle, date)
    save_bytes(pdf_of("sheet.typ", data, date), place)


def save_drill_template(
    door: Door,
    path: str | Path,
    *,
    page: str = "a4",
    length_unit: LengthUnit = "mm",
    date: dt.date | None = None,
) -> None:
    """Save drill templates at true size (1:1) as a PDF, one for each ball centre.

    For faces square to the hinge line, with the hinge line as one point; two tape lengths from
    the hinge points serve any other face. Larger ones are cut into tiles with register rings and
    a tile map; every page bears bars of 100 mm and 4 in to measure before drilling. Options as
    for `save_sheet`; the same door and options give the same bytes.

    Raises `TravelError` for a door that cannot be swept, `RecordError` for one without struts, a
    ball centre more than 2 m from the hinge line or an option that is not known, `SaveError`
    where the file cannot be written.
    """
    place = _pdf_path(path)
    data = _template(door, page, length_unit, date)
    save_bytes(pdf_of("drill.typ", data, date), place)


def save_card(
    door: Door,
    path: str | Path,
    *,
    page: str = "a4",
    length_unit: LengthUnit = "mm",
    date: dt.date | None = None,
) -> None:
    """Save the glove-box card as a PDF of one quarter of the page size (A6, or 4.25 by 5.5 in).

    Which struts to buy, their lengths, how to prop the panel and change them, cautions. Options
    and errors as for `save_sheet`; the same door and options give the same bytes.
    """
    place = _pdf_path(path)
    data = _card(door, page, length_unit, date)
    save_bytes(pdf_of("card.typ", data, date), place)


def sheet_pages(
    door: Door,
    *,
    page: str = "a4",
    length_unit: LengthUnit = "mm",
    angle: float | None = None,
    date: dt.date | None = None,
    ppi: float = 110.0,
) -> list[bytes]:
    """The pages of `save_sheet` as PNG pictures, for a preview."""
    return pages_of("sheet.typ", _sheet(door, page, length_unit, angle, date), ppi=ppi)


def paper_pages(
    door: Door, kind: str, *, page: str = "a4", length_unit: LengthUnit = "mm", ppi: float = 110.0
) -> list[bytes]:
    """The pages of a sheet, drill template or card as PNG pictures, for a preview."""
    _choose("paper", kind, ("sheet", "drill template", "card"))
    if kind == "sheet":
        return sheet_pages(door, page=page, length_unit=length_unit, ppi=ppi)
    if kind == "drill template":
        return pages_of("drill.typ", _template(door, page, length_unit, None), ppi=ppi)
    return pages_of("card.typ", _card(door, page, length_unit, None), ppi=1.5 * ppi)


def _card(door: Door, page: str, length_unit: LengthUnit, date: dt.date | None) -> dict[str, Any]:
    _choose_all(page, length_unit, date)
    with lengths_in(length_unit):
        return card_data(door, page=page, length_unit=length_unit, date=date)


def _template(
    door: Door, page: str, length_unit: LengthUnit, date: dt.date | None
) -> dict[str, Any]:
    _choose_all(page, length_unit, date)
    if not door.struts:
        raise RecordError("the door has no struts; fit one before you print a drill template.")
    pages = template_pages(door, page, length_unit)
    sweep(door)
    long = len(door.name) > LONGEST_TITLE
    return {
        **frame_data(door, page, length_unit, date),
        "title": f"Drill template: {door.name}",
        "name": f"{door.name[:LONGEST_TITLE]}…" if long else door.name,
        "measure": MEASURE_FIRST,
        "assumed": assumed_places(door),
        "pages": pages,
    }


def _sheet(
    door: Door, page: str, length_unit: LengthUnit, angle: float | None, date: dt.date | None
) -> dict[str, Any]:
    _choose_all(page, length_unit, date)
    with lengths_in(length_unit):
        return sheet_data(door, page=page, length_unit=length_unit, angle=angle, date=date)


def _choose_all(page: str, length_unit: str, date: dt.date | None) -> None:
    _choose("page", page, tuple(PAGES))
    _choose("length_unit", length_unit, ("mm", "in"))
    if date is not None and not isinstance(date, dt.date):
        raise RecordError(f"date is {date!r}; give a datetime.date.")


def _choose(name: str, value: object, known: Sequence[str]) -> None:
    if value not in known:
        raise RecordError(f"{name} is {value!r}; write one of {', '.join(known)}.")


def _pdf_path(path: str | Path) -> Path:
    place = Path(path)
    if place.suffix.lower() != ".pdf":
        raise SaveError(f"{place.name!r} does not end in .pdf; give it that ending.")
    return place
