"""The still of the live view: a picture and key figures as HTML, for what cannot run it."""

import datetime as dt
from html import escape

from strutkit.decide.findings import check, verdict
from strutkit.decide.judging import study
from strutkit.decide.strut_advice import fitted_shut
from strutkit.decide.sweep import sweep
from strutkit.describe.fields import Point
from strutkit.describe.numbers import PAPER_PARTS, LengthUnit, lengths_in, typed_text
from strutkit.describe.records import Door, FittedStrut
from strutkit.describe.size import shown_finely
from strutkit.errors import StrutkitError
from strutkit.show import cautions
from strutkit.show.mount_words import place_words
from strutkit.show.sideview import side_view
from strutkit.show.svg import svg_text
from strutkit.show.typesetting import marked

DATE = "%Y-%m-%d %H:%M %Z"

OPEN_SHARE = 0.45
"""Share of the travel at which the still shows the door."""


def still_html(door: Door, unit: LengthUnit = "mm") -> str:
    """The door's side view, struts, mounts and findings as HTML; every text is escaped."""
    with lengths_in(unit):
        return marked(_html(door, unit))


@shown_finely
def _html(door: Door, unit: LengthUnit) -> str:
    parts = [
        '<div class="strutkit-still" style="font-family: sans-serif; font-size: 13px">',
        f"<p><strong>{escape(door.name)}</strong></p>",
        f"<p>Drawn {dt.datetime.now().astimezone():{DATE}}; run the cell for the live view.</p>",
        _picture(door, unit),
        _struts(door, unit),
        _cautions(door, unit),
        _findings(door),
        "</div>",
    ]
    return "\n".join(parts)


def _picture(door: Door, unit: LengthUnit) -> str:
    try:
        swept = sweep(door)
        return svg_text(side_view(door, swept, OPEN_SHARE * swept.end_of_travel, unit=unit))
    except StrutkitError as fault:
        return f"<p>{escape(str(fault))}</p>"


def _struts(door: Door, unit: LengthUnit) -> str:
    rows = []
    for one in door.struts:
        strut = one.strut
        label = f"{typed_text(strut.rating, 'force')}, {_length(strut.extended_length)} extended"
        pair = ", a mirrored pair" if one.mirrored else ""
        rows.append(
            f"<li>{escape(strut.name)}{pair}: {label}, stroke"
            f" {_length(strut.stroke)}. Fixed side"
            f" {escape(_place(door, one, one.frame_mount, unit))}; door side"
            f" {escape(_place(door, one, one.panel_mount, unit))}.</li>"
        )
    return f"<ul>{''.join(rows)}</ul>"


def _place(door: Door, fitted: FittedStrut, point: Point, unit: LengthUnit) -> str:
    return place_words(door, point, unit, pair=fitted.mirrored, parts=PAPER_PARTS)


def _cautions(door: Door, unit: LengthUnit) -> str:
    """What the places are, and the short cautions of the sheet."""
    try:
        shut = fitted_shut(study(door))
    except StrutkitError:
        shut = False
    lengths = "mm" if unit == "mm" else "inches"
    where = (
        f"Places in {lengths} from the hinge line and the panel\N{RIGHT SINGLE QUOTATION MARK}s"
        " middle, the panel shut; ball or pin centres, not holes."
    )
    return f"<p>{' '.join([where, *cautions.short(shut)])}</p>"


def _length(metres: float) -> str:
    return typed_text(metres, "length")


def _findings(door: Door) -> str:
    findings = check(door)
    rows = [
        f"<li><strong>{one.state}</strong> {escape(one.words)}"
        f"{' <small>' + escape(one.condition) + '</small>' if one.condition else ''}</li>"
        for one in findings
    ]
    return f"<p>{escape(verdict(findings))}</p>\n<ul>{''.join(rows)}</ul>"
