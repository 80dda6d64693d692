"""Data that ship with the kit: published tables, example doors, a generic list of struts."""

from pathlib import Path

from strutkit.errors import RecordError

_HERE = Path(__file__).parent


def door_names() -> tuple[str, ...]:
    """Names of the example doors.

    >>> "roof-hatch" in door_names()
    True
    """
    return tuple(sorted(path.stem for path in (_HERE / "doors").glob("*.toml")))


def door_path(name: str) -> Path:
    """File of an example door, for `read_door`. Raises `RecordError` for a name it has not."""
    if name not in door_names():
        raise RecordError(
            f"There is no example door {name[:60]!r}. There are {', '.join(door_names())}."
        )
    return _HERE / "doors" / f"{name}.toml"


def stock_path() -> Path:
    """File of the generic list of struts, for `read_stock`."""
    return _HERE / "stock.csv"
