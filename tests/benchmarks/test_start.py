"""How long a first start takes from the whole generic list, for each kind of opening."""

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from strutkit import read_stock, starter_door, suggest_start
from strutkit.data import stock_path
from strutkit.decide.start.kinds import KINDS

STOCK = read_stock(stock_path())


@pytest.mark.parametrize("kind", KINDS)
def test_suggestion(benchmark: BenchmarkFixture, kind: str) -> None:
    door = starter_door(kind, length=0.9, mass=9.0, width=1.0)
    found = benchmark(suggest_start, door, stock=STOCK, kind=kind)
    assert found.fits
