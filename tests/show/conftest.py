"""Papers of the example doors, each made once for all tests that read it."""

from collections.abc import Callable
from pathlib import Path

import pytest

from strutkit import read_door, save_card, save_drill_template, save_sheet
from strutkit.data import door_path

SAVE = {"sheet": save_sheet, "drill template": save_drill_template, "card": save_card}


@pytest.fixture(scope="session")
def papers(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., bytes]:
    """The PDF of a kind of paper, by door, page size and unit."""
    folder = tmp_path_factory.mktemp("papers")
    made: dict[tuple[str, ...], Path] = {}

    def paper(kind: str, name: str, page: str = "a4", unit: str = "mm") -> bytes:
        key = (kind, name, page, unit)
        if key not in made:
            made[key] = folder / f"{'-'.join(key)}.pdf"
            SAVE[kind](read_door(door_path(name)), made[key], page=page, length_unit=unit)
        return made[key].read_bytes()

    return paper
