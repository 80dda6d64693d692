"""The example of README.md prints what stands below it, and its picture is there."""

import contextlib
import io
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def block(language: str) -> str:
    found = re.findall(rf"```{language}\n(.*?)```", README, flags=re.DOTALL)
    assert len(found) == 1
    return found[0]


def test_the_example_prints_what_stands_below_it() -> None:
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        exec(compile(block("python"), "README.md", "exec"), {})  # noqa: S102
    assert printed.getvalue() == block("text")


def test_pictures_and_folders_named_in_it_are_there() -> None:
    for name in re.findall(r"!\[[^\]]*\]\(([^)]+)\)", README):
        assert (ROOT / name).is_file(), name
    for name in ("strutkit/data/doors", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "NOTICES.md"):
        assert f"`{name}`" in README
        assert (ROOT / name).exists(), name
