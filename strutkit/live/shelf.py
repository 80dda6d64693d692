"""Door files that the page may choose from a list: beside the notebook, and the examples.

The page sends a name back, never a path; it is looked up in a fresh list.
"""

from itertools import islice
from pathlib import Path

from strutkit.data import door_names, door_path
from strutkit.describe.doorfile import read_door
from strutkit.describe.records import Door
from strutkit.errors import RecordError

MOST_FILES = 100
"""Files listed at most, and looked into at most ten times as many."""

HEAD_BYTES = 100_000


def beside(folder: Path) -> dict[str, Path]:
    """Door files of a folder by name, in the order of the names."""
    found = sorted(path for path in islice(folder.glob("*.toml"), 10 * MOST_FILES))
    return {path.name: path for path in found if _is_door_file(path)}


def _is_door_file(path: Path) -> bool:
    """Whether a file looks like a door file: it can be read and has a panel and a hinge."""
    try:
        path.name.encode("utf-8")
        if not path.is_file():
            return False
        with path.open("rb") as file:
            head = file.read(HEAD_BYTES)
    except (OSError, UnicodeEncodeError):
        return False
    return b"[panel]" in head and b"[hinge]" in head


def titles(folder: Path) -> dict[str, list[str]]:
    """Names to choose from."""
    return {"beside": list(beside(folder))[:MOST_FILES], "examples": list(door_names())}


def chosen(folder: Path, name: str) -> Path:
    """The door file of that name in the folder. Raises `RecordError` where there is none."""
    found = beside(folder)
    if name not in found:
        raise RecordError(f"{name[:60]!r} is not among the door files beside the notebook now.")
    return found[name]


def example(name: str) -> Door:
    """An example door. Raises `RecordError` for a name it has not."""
    return read_door(door_path(name))
