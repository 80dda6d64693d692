"""Break the code on purpose, one fault at a time, and show which test sees it.

    .venv/bin/python tests/planted_faults.py            every fault of planted_faults.jsonl
    .venv/bin/python tests/planted_faults.py nitrogen   those whose description has the word

Each fault is planted in a copy of the checkout; the checkout itself is never touched. The exit
status is 1 if a fault goes unseen, or if its place is not in the code any more.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
FAULTS = Path(__file__).with_name("planted_faults.jsonl")


@dataclass(frozen=True)
class Fault:
    """What is broken: a text of one file that stands there once, and what takes its place."""

    what: str
    file: str
    original: str
    replacement: str
    test: str

    def planted(self, source: str) -> str:
        """The source with the fault in it."""
        if source.count(self.original) != 1:
            raise ValueError(f"{self.file} holds {self.original!r} {source.count(self.original)}×")
        return source.replace(self.original, self.replacement)


def read_faults() -> list[Fault]:
    """All faults of the list."""
    lines = FAULTS.read_text(encoding="utf-8").splitlines()
    return [Fault(**json.loads(line)) for line in lines if line.strip()]


def seen(fault: Fault, copy: Path) -> bool:
    """Whether the test named with the fault fails once it is planted in the copy."""
    path = copy / fault.file
    sound = path.read_text(encoding="utf-8")
    path.write_text(fault.planted(sound), encoding="utf-8")
    test = fault.test.partition("[")[0]
    try:
        run = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", test],
            cwd=copy,
            env={**os.environ, "PYTHONPATH": str(copy)},
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )
    finally:
        path.write_text(sound, encoding="utf-8")
    if run.returncode not in (0, 1):
        raise RuntimeError(f"{fault.what}: the test did not run.\n{run.stdout}{run.stderr}")
    return run.returncode == 1


def main(words: list[str]) -> int:
    """Plant the faults whose description holds all words; print a line each."""
    faults = [fault for fault in read_faults() if all(word in fault.what for word in words)]
    unseen = 0
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "checkout"
        copy.mkdir()
        for part in ("strutkit", "tests"):
            shutil.copytree(ROOT / part, copy / part, ignore=shutil.ignore_patterns("__pycache__"))
        shutil.copy(ROOT / "pyproject.toml", copy)
        for fault in faults:
            found = seen(fault, copy)
            unseen += not found
            print(f"{'seen  ' if found else 'UNSEEN'}  {fault.what}  ({fault.test})", flush=True)
    print(f"{len(faults) - unseen} of {len(faults)} planted faults seen by a test")
    return 1 if unseen or not faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
