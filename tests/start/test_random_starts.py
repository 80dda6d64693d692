"""Random panels of each kind; `tests/benchmarks/measure_starts.py` counts many more by hand."""

import pytest

from strutkit import read_stock
from strutkit.data import stock_path
from tests.benchmarks.measure_starts import shares


@pytest.mark.parametrize("kind", ["lid", "drop_flap", "canted_side_door"])
def test_random_panels_stay_in_travel_and_name_the_rule_they_break(kind: str) -> None:
    counted = shares(kind, 1, read_stock(stock_path()))
    assert counted["holds"] + counted["names a rule"] + counted["no strut"] == 1
    assert counted["out of travel"] == 0
    assert counted["rule not named"] == 0
