"""The picture of a bench that stays when nobody answers it."""

import re
from dataclasses import replace
from datetime import datetime

from strutkit import (
    Door,
    read_door,
)
from strutkit.live.still import still_html
from strutkit.show.mount_words import NO_BREAK, balls
from tests.doors import short_of_the_stop
from tests.live.conftest import DOORS


def test_the_still_shows_the_door_and_escapes_every_name() -> None:
    text = still_html(read_door(DOORS / "hostile-names.toml"))
    assert "<svg" in text
    assert "&lt;script&gt;" in text
    assert "<script" not in text
    assert "<img" not in text
    assert "fails" in text


def test_the_still_tells_left_from_right_as_the_sheet_does(rear_hatch: Door) -> None:
    """A lone strut on the left is no pair, and no mount is moved by rounding."""
    one = replace(rear_hatch.struts[0], mirrored=False)
    x, y, z = one.panel_mount
    moved = replace(one, panel_mount=(x + 0.0003, y + 0.0002, z))
    door = replace(rear_hatch, struts=(moved,), conditions=())
    text = still_html(door)
    ball = balls(door, "mm")[1]
    for measure in (ball.outward, ball.upward, ball.along):
        assert f"{measure.main.removesuffix(f'{NO_BREAK}mm')} {measure.word}" in text
    assert "left of the middle" in text
    assert "right of the middle" not in text
    assert "each side of the middle" in still_html(rear_hatch)
    twin = replace(rear_hatch.fitted[1], strut=one.strut)
    assert "right of the middle" in still_html(replace(door, struts=(twin,)))


def test_the_still_bears_its_time_and_the_cautions(rear_hatch: Door) -> None:
    """It may be looked at long after the kernel, beside another door."""
    before = datetime.now().astimezone().replace(second=0, microsecond=0)
    text = still_html(rear_hatch)
    drawn = re.search(r"Drawn ([-0-9]+ [0-9:]+) .*; run the cell for the live view", text)
    assert drawn is not None
    drawn_at = datetime.fromisoformat(drawn[1]).astimezone()
    assert before <= drawn_at <= datetime.now().astimezone()
    assert "ball or pin centres, not holes" in text
    assert "never open, drill, heat or cut one" in text


def test_a_mark_that_turns_the_text_after_it_stands_as_its_number(rear_hatch: Door) -> None:
    """U+202E, right-to-left override (UAX #9), as on paper."""
    text = still_html(replace(rear_hatch, name="van \u202egnp.exe"))
    assert "van [U+202E]gnp.exe" in text
    assert "\u202e" not in text


def test_the_still_of_a_door_that_cannot_be_swept_says_why(rear_hatch: Door) -> None:
    broken = replace(
        rear_hatch, struts=(replace(rear_hatch.struts[0], frame_mount=(-0.09, -0.61, -1.2)),)
    )
    assert "too short when shut" in still_html(broken)


def test_the_still_says_first_that_it_opens_less_than_to_the_stop() -> None:
    text = still_html(short_of_the_stop())
    words = re.search(r"<p>(opens[^<]*)</p>", text)
    assert words is not None
    assert words[1].startswith("opens only to 28.6°, the stop is at 92°; ")
    assert "fail" not in words[1]
