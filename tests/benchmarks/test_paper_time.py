"""How long the sheet and the drill template take: in a fresh Python, and again in the same one.

Aim: sheet 1.5 s cold, 0.3 s again. Printed, never asserted: `python3 start.py benchmark`.
"""

import json
import statistics
import subprocess
import sys

import pytest

ROUNDS = 5

PROGRAM = """
import json, pathlib, sys, tempfile, time
start = time.perf_counter()
from strutkit import read_door, save_card, save_drill_template, save_sheet
from strutkit.data import door_path
door = read_door(door_path("rear-hatch"))
taken = []
with tempfile.TemporaryDirectory() as folder:
    path = pathlib.Path(folder) / "a.pdf"
    globals()[sys.argv[1]](door, path)
    taken.append(time.perf_counter() - start)
    for _ in range(3):
        start = time.perf_counter()
        globals()[sys.argv[1]](door, path)
        taken.append(time.perf_counter() - start)
print(json.dumps(taken))
"""


def medians() -> dict[str, tuple[float, float]]:
    """Median seconds of the first call, imports included, and of the fastest later one."""
    found = {}
    for name in ("save_sheet", "save_drill_template", "save_card"):
        runs = [
            json.loads(subprocess.check_output([sys.executable, "-c", PROGRAM, name], text=True))
            for _ in range(ROUNDS)
        ]
        found[name] = (
            statistics.median(run[0] for run in runs),
            statistics.median(min(run[1:]) for run in runs),
        )
    return found


@pytest.mark.benchmark(group="paper")
def test_paper(benchmark) -> None:
    found = benchmark.pedantic(medians)
    print(f"\nmedian of {ROUNDS} fresh Pythons (aim for the sheet: 1.5 s cold, 0.3 s again)")
    for name, (cold, again) in found.items():
        print(f"  {name:22} cold {cold:5.2f} s   again {again:5.2f} s")
