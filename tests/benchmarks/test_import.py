"""How long `import strutkit` takes beside `import numpy`, each in a fresh Python.

Aim: the median of five under three times that of numpy. Printed, never asserted:
`python3 start.py benchmark`.
"""

import statistics
import subprocess
import sys

import pytest

ROUNDS = 5
STATEMENTS = ("import numpy", "import strutkit", "from strutkit import Door, sweep")


def seconds_to_run(statement: str) -> float:
    """What the statement takes in a Python that has just started, without that start."""
    program = (
        f"import time; start = time.perf_counter(); {statement}; print(time.perf_counter() - start)"
    )
    return float(subprocess.check_output([sys.executable, "-c", program], text=True))


def medians() -> dict[str, float]:
    """Median seconds of each statement, taken in turn so that a busy machine slows all alike."""
    taken: dict[str, list[float]] = {statement: [] for statement in STATEMENTS}
    for _ in range(ROUNDS):
        for statement, seconds in taken.items():
            seconds.append(seconds_to_run(statement))
    return {statement: statistics.median(seconds) for statement, seconds in taken.items()}


@pytest.mark.benchmark(group="import")
def test_import(benchmark) -> None:
    median = benchmark.pedantic(medians)
    print(f"\nmedian of {ROUNDS}, each in a fresh Python (aim: under 3 times numpy)")
    for statement, seconds in median.items():
        times = seconds / median["import numpy"]
        print(f"  {statement:34} {1e3 * seconds:6.0f} ms {times:6.2f} times numpy")
    assert all(seconds > 0 for seconds in median.values())
