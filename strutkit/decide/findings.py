"""The check: every finding about a door, in words, failures first.

Model sections 3 and 11. A finding is judged only against something asked or published; where
nothing was asked `ok` is None, and subjects that were not looked at are said.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from strutkit.decide import advice, assumed, faults, limit_rules, marked_zones, strut_advice
from strutkit.decide.judging import Finding, Study, study
from strutkit.describe.numbers import travel_pair
from strutkit.describe.records import Door
from strutkit.describe.size import figures_of
from strutkit.errors import StrutkitError

NOT_LOOKED_AT = "Clearance, brackets, screws, twist of the panel, panes and wind: not looked at."


def check(door: Door) -> tuple[Finding, ...]:
    """All findings about a door, worst first, one for each name.

    Failures first (farthest over their limit first, mounts outside their zones last), then what
    was not judged (a travel that ends short of the stop first, then struts lost, the worst fall
    first), what rests on an assumption, and what passes. It does not raise on a door that cannot be
    swept: one failed finding carries the text.
    """
    try:
        looked = study(door)
    except StrutkitError as fault:
        return (Finding(name="travel_left", ok=False, words=str(fault)),)
    with figures_of(door):
        found = [*limit_rules.findings(looked), *beyond_limits(looked)]
    found.append(Finding(name="not_checked", words=NOT_LOOKED_AT))
    return tuple(sorted(found, key=_rank))


def beyond_limits(looked: Study) -> list[Finding]:
    """All findings but those on the limits (`limit_rules.measure` gives these without words)."""
    subjects = (marked_zones, advice, strut_advice, faults, assumed)
    return [finding for subject in subjects for finding in subject.findings(looked)]


@dataclass(frozen=True, slots=True, order=True)
class _Rank:
    group: int
    excess: float
    name: str


def _rank(finding: Finding) -> _Rank:
    if finding.name == "outside_zone":
        return _Rank(0, 0.0, finding.name)
    if finding.ok is False:
        return _Rank(0, -_excess(finding), finding.name)
    if finding.ok:
        return _Rank(4, 0.0, finding.name)
    if finding.name == "travel_end" or finding.name.startswith("fault_"):
        return _Rank(1, float(finding.name != "travel_end"), "")
    return _Rank(3 if finding.name.startswith("assumed_") else 2, 0.0, finding.name)


def _excess(finding: Finding) -> float:
    """How far beyond its limit a failed finding lies, as a share of the limit."""
    if finding.value is None or finding.limit is None or not math.isfinite(finding.value):
        return math.inf
    return abs(finding.value - finding.limit) / max(abs(finding.limit), 1e-12)


def verdict(findings: Iterable[Finding]) -> str:
    """What all findings come to: "1 fails, 4 pass, 3 not judged, 9 assumed".

    Where a strut ends the travel short of the stop that is said first, since no limit judges it:
    "opens only to 28.6°, the stop is at 92°; 11 pass".
    """
    several = tuple(findings)
    return "; ".join(filter(None, (shortfall(several), count_words(several))))


def shortfall(findings: Iterable[Finding]) -> str:
    """How far it opens where that is short of the stop, in words; else empty."""
    for one in findings:
        if one.name == "travel_end" and one.value is not None and one.limit is not None:
            end, stop = travel_pair(one.value, one.limit)
            return f"opens only to {end}, the stop is at {stop}"
    return ""


def count_words(findings: Iterable[Finding]) -> str:
    """The count in words: "1 fails, 4 pass, 3 not judged, 9 assumed".

    Values that nobody measured stand in one finding and count one by one.
    """
    several = tuple(findings)
    kinds = [finding.state for finding in several]
    values = sum(int(one.value or 1) - 1 for one in several if one.name == "assumed_values")
    counts = (
        (kinds.count("fails"), "fails", "fail"),
        (kinds.count("passes"), "passes", "pass"),
        (kinds.count("not judged"), "not judged", "not judged"),
        (kinds.count("assumed") + values, "assumed", "assumed"),
    )
    texts = [f"{count} {one if count == 1 else many}" for count, one, many in counts if count]
    return ", ".join(texts)


__all__ = ["Finding", "Study", "check", "count_words", "shortfall", "verdict"]
