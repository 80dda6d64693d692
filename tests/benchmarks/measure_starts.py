"""How many suggested starts pass all rules, on random panels of each kind of opening.

    nice python -m tests.benchmarks.measure_starts [PANELS]

PANELS of each kind, 500 unless told. A start is out of travel where a strut is longer or shorter
than it can be at any angle of the sweep, or where it ends the travel before the stop.
"""

import math
import sys
from collections import Counter

import numpy as np

from strutkit import Door, Strut, read_stock, starter_door, suggest_start, sweep
from strutkit.data import stock_path
from strutkit.decide.start.kinds import KINDS

SEED = 20


def panel(kind: str, random: np.random.Generator) -> Door:
    """A panel from hand-size to van-size, 3 to 40 kg for a square metre, stop at 40° to 120°."""
    length, width = random.uniform(0.3, 1.5, 2)
    return starter_door(
        kind,
        length=length,
        width=width,
        thickness=random.uniform(0.01, 0.08),
        mass=random.uniform(3.0, 40.0) * length * width,
        centre_of_gravity=random.uniform(0.35, 0.65) * length,
        stop_angle=math.radians(random.uniform(40.0, 120.0)),
    )


def out_of_travel(door: Door) -> bool:
    """Whether a strut is outside its travel anywhere between shut and the stop."""
    swept = sweep(door)
    short_of_stop = abs(swept.end_of_travel - door.hinge.stop_angle) > 1e-9
    return short_of_stop or any(
        lengths.min() < fitted.strut.extended_length - fitted.strut.stroke
        or lengths.max() > fitted.strut.extended_length
        for fitted, lengths in zip(door.fitted, swept.strut_length, strict=True)
    )


def shares(kind: str, panels: int, stock: tuple[Strut, ...], *, seed: int = SEED) -> Counter[str]:
    """How many starts hold all rules, name a rule, have no strut; and how many are out of travel.

    An exception from any panel ends the count: none may be raised.
    """
    random = np.random.default_rng(seed)
    counted: Counter[str] = Counter()
    for _ in range(panels):
        found = suggest_start(panel(kind, random), stock=stock, kind=kind)
        counted["holds" if found.holds else "names a rule" if found.fits else "no strut"] += 1
        counted["out of travel"] += out_of_travel(found.door)
        failing = [one.words for one in found.findings if one.ok is False]
        unsaid = not found.holds and bool(failing) and failing[0] not in found.words
        counted["rule not named"] += found.fits and unsaid
    return counted


def main(panels: int) -> None:
    stock = read_stock(stock_path())
    heads = ("holds", "names a rule", "no strut", "out of travel", "rule not named")
    print(
        f"{panels} panels of each kind, seed {SEED}\n{'':18s}" + "".join(f"{h:>16s}" for h in heads)
    )
    for kind in KINDS:
        counted = shares(kind, panels, tuple(stock))
        print(f"{kind:18s}" + "".join(f"{counted[head]:16d}" for head in heads), flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
