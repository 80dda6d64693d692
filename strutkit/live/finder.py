"""The finder: mark where mounts may go, choose struts and limits, search, adopt the best.

The design is the truth, as in the bench: zones and limits are parts of the door, and each change
is one step that can be undone. What else is asked of the search lies in one trait.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from os import PathLike
from pathlib import Path
from typing import Any

import traitlets
from IPython import get_ipython

from strutkit.decide.search.candidates import Candidate
from strutkit.describe.doorfile import read_door
from strutkit.describe.fields import shown
from strutkit.describe.records import Door, Strut
from strutkit.describe.stock import generic_stock, read_stock
from strutkit.describe.units import is_bare, parse_quantity
from strutkit.errors import RecordError
from strutkit.live import finder_files, finder_messages
from strutkit.live.design import Design
from strutkit.live.finder_still import finder_still
from strutkit.live.searching import RANKS, Asked, Search
from strutkit.live.zone_edit import searched_zone, with_first_zones

COUNTS: dict[str, tuple[int, ...]] = {"one": (1,), "pair": (2,), "either": (1, 2)}
STEPS = {"mm": 0.001, "inch": 0.0254 / 16.0}
"""Steps that mounts lie on [m], by the unit of lengths shown."""

FIRST = {
    "count": "either",
    "rank_by": "hand_force",
    "drilling": True,
    "drilling_error": "2 mm",
    "left_out": [],
}
LONGEST_TEXT = 60
MOST_DRILLING = 0.02


class Finder(Design):
    """The mount search of one door, to set up, run, compare and adopt from.

    `door` is the design as it stands, with the mounts adopted last; `result` what the search
    found; `asked` what it was asked beyond the door. `run`, `stop` and `adopt` do what the
    buttons do, `undo`, `redo`, `reset` and `save` as in the bench.
    """

    _esm = finder_files.module()
    _css = finder_files.style()

    asked = traitlets.Dict(FIRST, help="What is asked of the search.").tag(sync=True)

    def __init__(
        self, door: Door, *, path: Path | None = None, stock: Sequence[Strut] = (), **traits: Any
    ) -> None:
        marked, self.guessed = with_first_zones(door)
        self.search: Search | None = None
        self._adopted: tuple[Door, Door] | None = None
        super().__init__(marked, path=path, stock=stock, **traits)
        self._source.saved = door
        self.on_msg(finder_messages.receive)

    @property
    def result(self) -> Any:
        """The `MountSearch` of the last run; None before it, and while it runs."""
        return None if self.search is None else self.search.found

    def run(self) -> Search:
        """Start a search of the door as it stands, in a thread of its own.

        Raises `RecordError` where one is under way or what is asked makes no sense.
        """
        with self.lock:
            if self.search is not None and self.search.running:
                raise RecordError("A search is under way: stop it first.")
            door = self.asked_door()
            search = Search(
                door=door,
                zones=(searched_zone(door, "frame"), searched_zone(door, "panel")),
                asked=self.request(),
                tell=lambda: finder_messages.tell(self),
            )
            self.search = search
            search.start()
            return search

    def stop(self) -> None:
        """Stop the search that is under way; what it knows by then stays, with its bound."""
        if self.search is not None:
            self.search.stop()

    def request(self) -> Asked:
        """What is asked beyond the door, as numbers; raises `StrutkitError` with what to write."""
        asked = tidy_asked(self.asked, len(self.stock))
        left_out = set(asked["left_out"])
        struts = tuple(one for row, one in enumerate(self.stock) if row not in left_out)
        if not struts:
            raise RecordError("No strut is chosen: tick at least one of the stock list.")
        error = drilling_error(asked["drilling_error"], self.unit) if asked["drilling"] else 0.0
        return Asked(
            stock=struts,
            counts=COUNTS[asked["count"]],
            rank_by=asked["rank_by"],
            drilling_error=error,
            step=STEPS[self.unit],
        )

    def asked_door(self) -> Door:
        """The door that is searched: with all its conditions, also those that the struts adopted
        last had no use for."""
        door = self.door
        if self._adopted is not None:
            base, adopted = self._adopted
            if _bones(door) == _bones(adopted):
                return replace(base, zones=door.zones, limits=door.limits)
        return door

    def outdated(self) -> bool:
        """Whether the door that was searched last is another now."""
        return self.search is not None and _asks(self.search.door) != _asks(self.asked_door())

    def candidates(self) -> dict[str, Candidate]:
        """What can be adopted, by the name of its row: "candidate 0", "trade 0" ..."""
        search = self.search
        if search is None:
            return {}
        found = () if search.found is None else search.found.candidates
        return {f"candidate {number}": one for number, one in enumerate(found)} | {
            f"trade {number}": point.candidate for number, (point, _) in enumerate(search.trades)
        }

    def adopt(self, candidate: Candidate) -> None:
        """Hang a candidate's struts in the door; one step that can be undone."""
        with self.lock:
            base = self.asked_door()
            found = candidate.door
            if (found.panel, found.hinge) != (base.panel, base.hinge):
                raise RecordError("Panel or hinge were changed since: search again.")
            adopted = replace(base, struts=found.struts, conditions=found.conditions)
            self.door = adopted
            self._adopted = (base, adopted)

    @property
    def called(self) -> str:
        """The name that the notebook gave this view; "view" where it gave none."""
        shell = get_ipython()
        names = {} if shell is None else shell.user_ns
        mine = (key for key, one in list(names.items()) if one is self and key[:1] != "_")
        return next(mine, "view")

    def _still(self) -> str:
        return finder_still(self.door, self.search, "in" if self.unit == "inch" else "mm")


def _asks(door: Door) -> tuple[Any, ...]:
    zones = (searched_zone(door, "frame"), searched_zone(door, "panel"))
    return door.panel, door.hinge, door.conditions, door.limits, zones


def _bones(door: Door) -> tuple[Any, ...]:
    return door.panel, door.hinge, door.struts, door.conditions


def drilling_error(text: str, unit: str) -> float:
    """A drilling error as typed [m]; a number alone is in the unit shown."""
    written = f"{text} {'in' if unit == 'inch' else 'mm'}" if is_bare(text) else text
    value = parse_quantity(written, "length")
    if not 0.0 <= value <= MOST_DRILLING:
        raise RecordError(
            f"Drilling error is {shown(value, 'length')}; write 0 mm to"
            f" {shown(MOST_DRILLING, 'length')}."
        )
    return value


def tidy_asked(given: Any, rows: int) -> dict[str, Any]:
    """What a page or a saved notebook holds, brought into its one form."""
    given = given if isinstance(given, Mapping) else {}
    count, rank_by, left_out = (given.get(key) for key in ("count", "rank_by", "left_out"))
    kept = left_out if isinstance(left_out, (list, tuple)) else ()
    return {
        "count": count if isinstance(count, str) and count in COUNTS else FIRST["count"],
        "rank_by": rank_by if isinstance(rank_by, str) and rank_by in RANKS else RANKS[0],
        "drilling": given.get("drilling") is not False,
        "drilling_error": str(given.get("drilling_error", FIRST["drilling_error"]))[:LONGEST_TEXT],
        "left_out": sorted({one for one in kept if type(one) is int and 0 <= one < rows}),
    }


def finder(
    door: Door | str | PathLike[str],
    *,
    stock: Sequence[Strut] | str | PathLike[str] | None = None,
) -> Finder:
    """The mount search of a door, as a widget.

    door: a `Door`, or the path of a door file (then Save writes to that file). stock: struts to
    choose from, or the path of a stock list (None: the generic list). A door that marks no zones
    is given first ones to drag. Raises `FileFault` where a file cannot be read.
    """
    if stock is None or isinstance(stock, (str, PathLike)):
        struts = generic_stock() if stock is None else read_stock(Path(stock).expanduser())
    else:
        struts = tuple(stock)
    if isinstance(door, Door):
        return Finder(door, stock=struts)
    path = Path(door).expanduser()
    return Finder(read_door(path), path=path, stock=struts)
