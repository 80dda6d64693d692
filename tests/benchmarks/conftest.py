"""Benchmarks that take long are collected only where they are asked for."""

from pathlib import Path

import pytest

LONG = ("test_paper_time.py", "test_search.py")


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Leave the long ones out of a run that measures nothing."""
    if collection_path.name in LONG and not config.getoption("--benchmark-enable"):
        return True
    return None
