"""Lint, layout and types, as part of the one command that tests everything."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.mark.parametrize(
    "words",
    [
        ("ruff", "check", "--output-format=concise", "."),
        ("ruff", "format", "--check", "."),
        (
            "pyrefly",
            "check",
            "--output-format=min-text",
            "--python-interpreter-path",
            sys.executable,
        ),
    ],
    ids=["ruff check", "ruff format", "pyrefly"],
)
def test_style(words: tuple[str, ...]) -> None:
    done = subprocess.run(
        [sys.executable, "-m", *words], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, f"{done.stdout}\n{done.stderr}"
