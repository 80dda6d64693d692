"""A progress bar for a search that is run plainly in a notebook's cell."""

import builtins
from collections.abc import Callable
from functools import wraps
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

KERNEL_SHELL = "ZMQInteractiveShell"
"""Class of the shell that runs the cells of a notebook."""

SOONEST = 0.5
"""A search shorter than this shows no bar [s]."""


def in_cell() -> bool:
    """Whether a notebook's cell is what runs now."""
    shell = getattr(builtins, "get_ipython", lambda: None)()
    return type(shell).__name__ == KERNEL_SHELL


def with_bar(search: Callable[P, R]) -> Callable[P, R]:
    """A search that draws a bar below the cell it runs in, where it is given no `progress`."""

    @wraps(search)
    def run(*args: P.args, **words: P.kwargs) -> R:
        if words.get("progress") is not None or not in_cell():
            return search(*args, **words)
        from tqdm.auto import tqdm

        bar: Any = tqdm(total=100, desc="Searching", unit="%", delay=SOONEST, leave=False)

        def progress(share: float, *_: float | None) -> None:
            bar.update(round(100.0 * share) - bar.n)

        words["progress"] = progress
        try:
            return search(*args, **words)
        finally:
            bar.total = bar.n
            bar.close()

    return run
