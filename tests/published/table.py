"""All published values that the tests use, beside the kit's own: source, value, difference, mark.

python tests/published/table.py [words of a source]
"""

import argparse
import importlib
import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

HERE = Path(__file__).parent
SOURCES = sorted(path for path in HERE.glob("test_*.py") if path.name != "test_table.py")
if str(HERE.parents[1]) not in sys.path:
    sys.path.insert(0, str(HERE.parents[1]))

from tests.published.cases import MARKS, Case  # noqa: E402

HEADER = ("printed", "ours", "difference", "allowed", "unit", "mark", "what")
WIDTHS = (11, 13, 10, 9, 9, 9)


def all_cases() -> tuple[Case, ...]:
    """The `CASES` of every source, in the order of their files."""
    modules = [importlib.import_module(f"tests.published.{path.stem}") for path in SOURCES]
    return tuple(case for module in modules for case in module.CASES)


def row(case: Case) -> str:
    """One line of the table; what disagrees ends in DISAGREES."""
    ours = case.ours()
    cells = (
        case.printed,
        f"{ours:.7g}",
        f"{ours - case.expected:+.1e}",
        f"{case.allowed:.1e}",
        case.unit,
        case.mark,
    )
    ends = f"{case.place}: {case.what}"
    if case.misprint:
        ends += f" [misprint: {case.misprint}; {case.recomputed:.6g} is expected]"
    if not case.holds():
        ends += "  DISAGREES"
    return " ".join([*(cell.rjust(w) for cell, w in zip(cells, WIDTHS, strict=True)), ends])


def table(cases: Sequence[Case]) -> str:
    """The whole table, a block for each source, and the counts below it."""
    lines = []
    for source in dict.fromkeys(case.source for case in cases):
        heads = [head.rjust(w) for head, w in zip(HEADER, WIDTHS, strict=False)]
        lines += ["", source, " ".join([*heads, HEADER[-1]])]
        lines += [row(case) for case in cases if case.source == source]
    return "\n".join([*lines, "", counts(cases)])


def counts(cases: Sequence[Case]) -> str:
    """How many values there are, by mark, and how many agree."""
    marks = Counter(case.mark for case in cases)
    agree = sum(case.holds() for case in cases)
    sources = len({case.source for case in cases})
    lines = [f"{len(cases)} published values from {sources} sources, {agree} agree"]
    lines += [f"  {marks[mark]:4d} {mark}: {meaning}" for mark, meaning in MARKS.items()]
    misprints = sum(bool(case.misprint) for case in cases)
    return "\n".join([*lines, f"  {misprints:4d} misprints, held against the recomputed value"])


def main(words: Sequence[str] | None = None) -> int:
    """Print the table; 1 where a value disagrees or no source has these words, else 0."""
    parser = argparse.ArgumentParser(description="Published values beside the kit's own.")
    parser.add_argument("source", nargs="*", help="only sources that have these words")
    wanted = [word.lower() for word in parser.parse_args(words).source]
    cases = [one for one in all_cases() if all(word in one.source.lower() for word in wanted)]
    if not cases:
        print(f"no source has the words: {' '.join(wanted)}")
        return 1
    print(table(cases))
    return 0 if all(case.holds() for case in cases) else 1


if __name__ == "__main__":
    raise SystemExit(main())
