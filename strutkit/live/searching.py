"""A mount search in a thread of its own: it tells how far it is, and can be stopped.

Three steps: the search itself, each candidate before `check`, then what the three rankings cost
one another (the trade-off). The door and what was asked are those of the start.
"""

import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from strutkit.decide.findings import check
from strutkit.decide.judging import Finding
from strutkit.decide.search.answers import HALFWAY, MountSearch, find_mounts
from strutkit.decide.search.trade import TradePoint, trade_off
from strutkit.describe.records import Door, Strut, Zone
from strutkit.errors import StrutkitError

TELL_EVERY = 0.2
"""Least time between two words on progress [s]."""

RANKS = ("hand_force", "reserve", "hinge_resultant")
AGAINST = ("hinge_resultant", "reserve")
"""What the hand force is traded against, one front each."""

LEVELS = 5
"""Points of each front."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a search beyond the door: stock rows, counts, ranking, drilling error [m],
    step that mounts lie on [m]."""

    stock: tuple[Strut, ...]
    counts: tuple[int, ...]
    rank_by: str
    drilling_error: float
    step: float

    def words(self, zones: tuple[Zone | None, Zone | None]) -> dict[str, Any]:
        """The same as `find_mounts` takes it."""
        return {
            "stock": self.stock,
            "frame_zone": zones[0],
            "panel_zone": zones[1],
            "counts": self.counts,
            "drilling_error": self.drilling_error,
            "step": self.step,
        }


@dataclass(slots=True)
class Search:
    """One run. phase: "searching", "judging", "trading" or "done"; tell: called at each news, in
    the thread of the search; found, findings (of each candidate), trades (with the findings of
    each) are there as soon as their step is done. Of the trades those that fail the check are left
    out, `left_out` of them, unless all do."""

    door: Door
    zones: tuple[Zone | None, Zone | None]
    asked: Asked
    tell: Callable[[], None]
    phase: str = "searching"
    share: float = 0.0
    bound: float | None = None
    best: float | None = None
    stopped: bool = False
    fault: str = ""
    found: MountSearch | None = None
    findings: tuple[tuple[Finding, ...], ...] = ()
    trades: tuple[tuple[TradePoint, tuple[Finding, ...]], ...] = ()
    left_out: int = 0
    fronts: tuple[int, int] = (0, 1)
    begun: float = field(default_factory=time.monotonic)
    told: float = 0.0
    thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin in a thread that does not outlive Python."""
        self.thread = threading.Thread(target=self.run, name="mount search", daemon=True)
        self.thread.start()

    def stop(self) -> None:
        """Ask it to end soon; what is known by then stays."""
        self.stopped = True

    @property
    def running(self) -> bool:
        """Whether it goes on."""
        return self.phase != "done"

    def run(self) -> None:
        """All three steps; what goes wrong becomes `fault`, in words."""
        try:
            self._run()
        except StrutkitError as fault:
            self.fault = str(fault)
        except Exception as fault:
            self.fault = f"The kit failed: {type(fault).__name__}, {fault}. Nothing is lost."
            raise
        finally:
            self._enter("done")

    def _run(self) -> None:
        found = find_mounts(
            self.door,
            **self.asked.words(self.zones),
            rank_by=self.asked.rank_by,
            progress=self._progress,
        )
        self._enter("judging")
        findings = []
        for number, one in enumerate(found.candidates):
            findings.append(check(one.door))
            self._progress(number / len(found.candidates), None, None)
        self.found, self.findings = found, tuple(findings)
        if not found.candidates or self.stopped:
            return
        self._enter("trading")
        judged = [(one, check(one.candidate.door)) for one in self._fronts()]
        passing = [pair for pair in judged if all(one.ok is not False for one in pair[1])]
        self.left_out = len(judged) - len(passing) if passing else 0
        self.trades = tuple(undominated(passing or judged))

    def _fronts(self) -> list[TradePoint]:
        """All fronts, of each count alone: of one strut and of a pair different rules may fail
        beyond those searched. Where the best struts end the travel, those of half the travel."""
        for least_opening in (None, HALFWAY * self.door.hinge.stop_angle):
            points: list[TradePoint] = []
            for number, count in enumerate(self.asked.counts):
                self.fronts = (number, len(self.asked.counts))
                points += () if self.stopped else self._of_count(count, least_opening)
            if points:
                return points
        return []

    def _of_count(self, count: int, least_opening: float | None) -> tuple[TradePoint, ...]:
        return trade_off(
            self.door,
            **self.asked.words(self.zones) | {"counts": (count,)},
            against=AGAINST,
            points=LEVELS,
            progress=self._front_progress,
            least_opening=least_opening,
        )

    def _front_progress(self, share: float, _: float | None, __: float | None) -> bool:
        number, count = self.fronts
        return self._progress((number + share) / count, None, None)

    def _progress(self, share: float, bound: float | None, best: float | None) -> bool:
        self.share, self.bound, self.best = share, bound, best
        now = time.monotonic()
        if now - self.told > TELL_EVERY:
            self.told = now
            self.tell()
        return not self.stopped

    def _enter(self, phase: str) -> None:
        self.phase, self.share = phase, 0.0
        self.tell()


Judged = tuple[TradePoint, tuple[Finding, ...]]


def undominated(judged: Sequence[Judged]) -> list[Judged]:
    """Points that no other beats or equals in all three figures, least hand force first."""
    kept: list[Judged] = []
    for pair in sorted(judged, key=lambda one: _costs(one[0])):
        if not any(_no_worse(_costs(one[0]), _costs(pair[0])) for one in kept):
            kept.append(pair)
    return kept


def _no_worse(one: Sequence[float], other: Sequence[float]) -> bool:
    return all(a <= b for a, b in zip(one, other, strict=True))


def _costs(point: TradePoint) -> tuple[float, float, float]:
    values = point.values
    return values["hand_force"], values["hinge_resultant"], -values["reserve"]
