"""One published value and the kit's own, side by side.

Each file `test_*.py` beside this one is one source; its `CASES` feed both its tests and the
table that `table.py` prints, so the two cannot drift apart.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

MARKS = {
    "seen": "read in a copy or a restatement of the source",
    "computed": "recomputed with the general-purpose library or formula that the source names",
    "memory": "not read, known from memory",
}

PRINTED_DIGITS = "printed digits"
"""The reason where nothing but the print limits the comparison."""


@dataclass(frozen=True, kw_only=True)
class Case:
    """A value as its source prints it, and how the kit gets it.

    source: short name of book or standard; place: page, table, problem or module id; what: the
    quantity; printed: the number as printed; unit: as printed; mark: key of `MARKS`; ours: the
    kit's value in that unit. tolerance: half the last printed digit unless given, and then
    `reason` says why. misprint: what is wrong with the printed number, where it is; then
    `recomputed` is what is expected, by a route outside the kit.
    """

    source: str
    place: str
    what: str
    printed: str
    unit: str
    mark: str
    ours: Callable[[], float]
    tolerance: float | None = None
    reason: str = PRINTED_DIGITS
    misprint: str = ""
    recomputed: float | None = None

    def __post_init__(self) -> None:
        if self.mark not in MARKS:
            raise ValueError(f"{self.name}: mark {self.mark!r} is none of {', '.join(MARKS)}")
        if (self.tolerance is not None) != (self.reason != PRINTED_DIGITS):
            raise ValueError(f"{self.name}: a tolerance and its reason go together")
        if bool(self.misprint) != (self.recomputed is not None):
            raise ValueError(f"{self.name}: a misprint needs the value recomputed")

    @property
    def name(self) -> str:
        """Source, place and quantity: what a test and a row are called."""
        return f"{self.source}, {self.place}: {self.what}"

    @property
    def expected(self) -> float:
        """The printed value, or the recomputed one where the print is wrong."""
        return float(self.printed) if self.recomputed is None else self.recomputed

    @property
    def allowed(self) -> float:
        """Greatest difference: half the last printed digit, or the tolerance given."""
        if self.tolerance is not None:
            return self.tolerance
        exponent = Decimal(self.printed).as_tuple().exponent
        return 0.5 * 10.0 ** int(exponent) * (1.0 + 1e-9)

    def difference(self) -> float:
        """Ours less expected, in the printed unit."""
        return self.ours() - self.expected

    def holds(self) -> bool:
        """Whether the kit agrees. False as well where it gives no number."""
        return abs(self.difference()) <= self.allowed


def check(case: Case) -> None:
    """Assert that the kit agrees with one published value; called by every file's test."""
    ours = case.ours()
    words = f"{case.name}: printed {case.printed} {case.unit}, ours {ours:.7g}"
    assert abs(ours - case.expected) <= case.allowed, words
    if case.misprint:
        printed = abs(ours - float(case.printed))
        assert printed > case.allowed, f"{words}: the print is no misprint after all"
