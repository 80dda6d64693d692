"""What tests of the door file share."""

from pathlib import Path

import pytest

from tests.describe.door_texts import COMMENTED


@pytest.fixture
def van(tmp_path: Path) -> Path:
    path = tmp_path / "van.toml"
    path.write_text(COMMENTED, encoding="utf-8")
    return path
