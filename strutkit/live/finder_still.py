"""The still of the finder: the door with its zones and what the search found, as HTML."""

from html import escape

from strutkit.describe.numbers import LengthUnit
from strutkit.describe.records import Door
from strutkit.live import finder_rows
from strutkit.live.searching import Search
from strutkit.live.still import still_html

SHOWN = 8
"""Rows of the table that the still keeps."""

HEADS = {
    "strut": "Strut",
    "count": "Count",
    "fixed": "Fixed side",
    "door": "Door side",
    "value": "",
    "open": "To open, N",
    "shut": "To shut, N",
    "spare": "To spare, N",
    "hinge": "Hinge line, N",
    "tight": "Tightest limit",
    "reason": "Fails",
    "caution": "Mind",
}


def finder_still(door: Door, search: Search | None, unit: LengthUnit) -> str:
    """The door, the result in words and the first rows of the table; every text is escaped."""
    parts = [still_html(door, unit)]
    if search is not None and (search.found is not None or search.fault):
        said = finder_rows.verdict(search)
        words = f"<strong>{escape(said['words'])}</strong> {escape(said['more'])}"
        parts.append(f'<div class="strutkit-still"><p>{words}</p>{_table(search, unit)}</div>')
    return "\n".join(parts)


def _table(search: Search, unit: LengthUnit) -> str:
    rows = [row | {"caution": " ".join(row["cautions"])} for row in finder_rows.rows(search, unit)]
    if not rows:
        return ""
    heads = HEADS | {"value": finder_rows.RANKED[search.asked.rank_by]}
    head = "".join(f"<th>{escape(text)}</th>" for text in heads.values())
    body = "".join(
        f"<tr>{''.join(f'<td>{escape(row[name])}</td>' for name in heads)}</tr>"
        for row in rows[:SHOWN]
    )
    more = f"<p>{len(rows) - SHOWN} more.</p>" if len(rows) > SHOWN else ""
    return f"<table><tr>{head}</tr>{body}</table>{more}"
