"""Holes to drill: where they lie from ball or pin centres, and the drills for their threads."""

from dataclasses import dataclass

from strutkit.data.tables import THREADS
from strutkit.describe.fields import Point
from strutkit.describe.numbers import unbroken
from strutkit.describe.records import FittedStrut
from strutkit.show.mount_words import millimetres

UNKNOWN = 0.003
"""Diameter of the ring drawn round a hole centre whose drill is not stated [m]."""

SIZES = "Drills: ISO 273 medium; to tap ISO 2306, coarse."


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole in the mounting face: its centre [m], the panel shut, and its thread if stated."""

    place: Point
    thread: str | None

    @property
    def diameter(self) -> float | None:
        """Diameter of the hole that passes the thread [m]; None where no thread is stated."""
        return None if self.thread is None else THREADS[self.thread][1]

    @property
    def words(self) -> str:
        """What to drill, in words."""
        if self.thread is None:
            return "size as the bracket asks"
        tapping, clearance = (millimetres(one) for one in THREADS[self.thread])
        return unbroken(f"Ø {clearance} for {self.thread} (Ø {tapping} to tap)")


def hole_of(fitted: FittedStrut, part: str) -> Hole | None:
    """The hole of a strut's mount on "frame" or "panel"; None where it is not given."""
    if part == "frame":
        ball, arm, thread = fitted.frame_mount, fitted.frame_hole, fitted.frame_thread
    else:
        ball, arm, thread = fitted.panel_mount, fitted.panel_hole, fitted.panel_thread
    if arm is None:
        return None
    return Hole((ball[0] + arm[0], ball[1] + arm[1], ball[2] + arm[2]), thread)
