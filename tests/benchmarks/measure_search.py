"""Growth of the mount search with struts and with conditions: a table, and a plot.

    python -m tests.benchmarks.measure_search FOLDER

FOLDER is where the plot goes, made if it is not there. Each row is measured in a Python of its
own: processor time and greatest memory of one search, scipy's optimiser imported before.
"""

import json
import subprocess
import sys
from pathlib import Path

STRUTS = (10, 30, 100, 300, 1000)
CONDITIONS = (1, 3, 7, 15, 31)
PROGRAM = """
import json, resource, sys, time
import scipy.optimize
from strutkit.decide.search.answers import find_mounts
from tests.benchmarks.search_stock import hatch, stock
struts, conditions, closing = json.loads(sys.argv[1])
door, several = hatch(conditions, hand_closing=closing), stock(struts)
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
start = time.process_time()
found = find_mounts(door, stock=several)
taken = time.process_time() - start
after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(json.dumps([taken, (after - before) / 1024.0, len(found.candidates), found.boxes,
                  found.value, found.proved]))
"""


def measured(struts: int, conditions: int, closing: float = 110.0) -> list[float]:
    """Seconds, MB, choices that fit, boxes, value, proved."""
    asked = json.dumps([struts, conditions, closing])
    answer = subprocess.check_output([sys.executable, "-c", PROGRAM, asked], text=True)
    return json.loads(answer)


def table(rows: dict[int, list[float]], head: str) -> None:
    print(f"\n{head:>10s} {'s':>7s} {'MB':>6s} {'fit':>5s} {'boxes':>9s} {'best N':>8s}  proved")
    for number, (seconds, size, fits, boxes, value, proved) in rows.items():
        best = "-" if value is None else f"{value:.2f}"
        print(f"{number:10d} {seconds:7.2f} {size:6.0f} {fits:5d} {boxes:9d} {best:>8s}  {proved}")


def plot(
    by_struts: dict[int, list[float]], by_conditions: dict[int, list[float]], path: str
) -> None:
    """Seconds over both numbers, side by side."""
    import matplotlib

    matplotlib.use("agg")
    from matplotlib import pyplot

    figure, axes = pyplot.subplots(1, 2, figsize=(8.0, 3.4), sharey=True, layout="constrained")
    for axis, rows, words in zip(
        axes,
        (by_struts, by_conditions),
        ("struts in the stock (8 conditions)", "conditions (100 struts)"),
        strict=True,
    ):
        seconds = [row[0] for row in rows.values()]
        axis.loglog(list(rows), seconds, "o-", color="#0F5BB5")
        for number, value in zip(rows, seconds, strict=True):
            axis.annotate(f"{value:.2g} s", (number, value), (6, -12), textcoords="offset points")
        axis.set_xlabel(words)
        axis.set_xticks(list(rows), [str(number) for number in rows])
        axis.minorticks_off()
        axis.margins(0.12)
        axis.grid(color="#DFE4E9")
    axes[0].set_ylabel("processor time, s")
    figure.savefig(path, dpi=150)


def main() -> None:
    by_struts = {number: measured(number, 7) for number in STRUTS}
    by_conditions = {number + 1: measured(100, number) for number in CONDITIONS}
    nothing = {number: measured(number, 7, 60.0) for number in STRUTS[:4]}
    table(by_struts, "struts")
    table(by_conditions, "conditions")
    table(nothing, "nothing fits")
    if len(sys.argv) > 1:
        folder = Path(sys.argv[1])
        folder.mkdir(parents=True, exist_ok=True)
        plot(by_struts, by_conditions, str(folder / "search-growth.png"))


if __name__ == "__main__":
    main()
