"""Mount search on many random problems, each held against a grid and differential evolution.

    python -m tests.benchmarks.search_trials [--count 200] [--first 0] [--spacing 20]

Problems are those of `tests/search/problems.py`: half with limits eased from those of one of their
layouts, half tightened so that often nothing fits. Prints one line a problem, then the counts:
how often somebody beat the search, how often it claimed wrongly that nothing fits, how often it
could not prove its answer, and the time it took beside the optimiser.
"""

import argparse
import statistics
import sys
import time

from tests.search.comparing import compared
from tests.search.problems import random_problem

RANKINGS = ("hand_force", "reserve", "hinge_resultant")
TIGHT = (None, 0.9, None, 0.75)
TIME_LIMIT = 120.0


def main() -> int:
    """Run the trials; 1 where any complaint was made."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--spacing", type=float, default=20.0, help="of the grid [mm]")
    asked = parser.parse_args()
    complaints, seconds, empty = [], [], 0
    for seed in range(asked.first, asked.first + asked.count):
        rank_by, tight = RANKINGS[seed % 3], TIGHT[seed % 4]
        problem = random_problem(seed, tight=tight, struts=1 + seed % 3)
        start = time.perf_counter()
        found = compared(
            problem,
            rank_by,
            spacing=asked.spacing * 1e-3,
            evolutions=2,
            seed=seed,
            time_limit=TIME_LIMIT,
        )
        seconds.append(found.search.seconds)
        empty += not found.search.candidates
        complaints += [(seed, text) for text in found.complaints]
        value = "nothing fits" if found.search.value is None else f"{found.search.value:.6g}"
        print(
            f"{seed:5d}  {rank_by:15s}  {value:>12s}  grid {found.grid_best:10.6g}"
            f"  evolution {found.evolution_best:10.6g}  {found.search.boxes:8d} boxes"
            f"  {found.search.seconds:6.2f} s of {time.perf_counter() - start:6.2f} s"
            f"  {'; '.join(found.complaints)}",
            flush=True,
        )
    print(
        f"\n{asked.count} problems, {empty} in which nothing fits; {len(complaints)} complaints;"
        f" search median {statistics.median(seconds):.2f} s, worst {max(seconds):.2f} s"
    )
    for seed, text in complaints:
        print(f"  problem {seed}: {text}")
    return 1 if complaints else 0


if __name__ == "__main__":
    sys.exit(main())
