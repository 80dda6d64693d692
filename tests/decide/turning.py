"""Whether `check` turns where a rating window has its edges."""

from dataclasses import replace

import numpy as np

from strutkit.decide.judging import study
from strutkit.decide.limit_rules import verdicts
from strutkit.decide.window import RatingWindow
from strutkit.describe.records import Door
from strutkit.errors import RecordError


def rated(door: Door, ratings: np.ndarray) -> Door:
    """The door with these ratings [s] on its fitted struts."""
    own = iter(ratings.tolist())
    struts = []
    for one in door.struts:
        struts.append(replace(one, strut=replace(one.strut, rating=next(own))))
        for _ in range(one.mirrored):
            next(own)
    return replace(door, struts=tuple(struts))


def broken(door: Door) -> set[str]:
    """The limits that the findings of the check say are broken."""
    return {name for name, worst in verdicts(study(door)).items() if not worst.ok}


def assert_check_turns_at_the_edges(door: Door, window: RatingWindow) -> int:
    """Just inside each edge the finding of the rule passes, just outside it fails."""
    seen = 0
    for rule, interval in window.rules.items():
        if interval.empty:
            assert rule in broken(door)
            continue
        for edge, outward in ((interval.low, -1.0), (interval.high, 1.0)):
            if not edge.all() or not np.isfinite(edge).all():
                continue
            moves = edge != [one.strut.rating for one in door.fitted]
            try:
                inside, outside = (
                    broken(rated(door, edge + side * outward * 0.01 * moves))
                    for side in (-1.0, 1.0)
                )
            except RecordError:  # a lost strut's condition leaves the other one no charge
                continue
            assert rule not in inside, (rule, edge)
            assert rule in outside, (rule, edge)
            seen += 1
    return seen
