"""The tables of DEVELOPERS.md against the signatures, so that neither drifts."""

import dataclasses
import inspect
import re
from pathlib import Path

import pytest

import strutkit

GUIDE = Path(__file__).resolve().parents[1] / "DEVELOPERS.md"
TEXT = GUIDE.read_text(encoding="utf-8").partition("## Public surface")[2]


def rows(heading: str) -> list[tuple[str, str]]:
    """The two cells of each row of the table under a heading."""
    part = TEXT.partition(f"### {heading}\n")[2].partition("\n### ")[0]
    found = re.findall(r"^\| (`.*?`) \| (.*) \|$", part, flags=re.MULTILINE)
    assert found, heading
    return [(left.strip("`"), right) for left, right in found]


@pytest.mark.parametrize(("name", "cell"), rows("Records") + rows("Results"))
def test_fields_stand_as_written(name: str, cell: str) -> None:
    record = getattr(strutkit, name)
    fields = [one for one in dataclasses.fields(record) if one.init]
    assert re.findall(r"`(\w+)`", cell) == [one.name for one in fields]


@pytest.mark.parametrize(("name", "cell"), rows("Records"))
def test_required_fields_are_the_bold_ones(name: str, cell: str) -> None:
    parameters = inspect.signature(getattr(strutkit, name)).parameters.values()
    required = [one.name for one in parameters if one.default is inspect.Parameter.empty]
    assert re.findall(r"\*\*`(\w+)`\*\*", cell) == required
    assert all(one.kind is inspect.Parameter.KEYWORD_ONLY for one in parameters)


def written(call: str) -> tuple[str, list[str]]:
    name, _, inside = call.partition("(")
    return name, [part.strip() for part in re.split(r", (?![^()]*\))", inside.removesuffix(")"))]


def signature(name: str) -> list[str]:
    """Parameters as the table writes them: *, and defaults, without types."""
    parts, starred = [], False
    for one in inspect.signature(getattr(strutkit, name)).parameters.values():
        if one.kind is inspect.Parameter.KEYWORD_ONLY and not starred:
            parts.append("*")
            starred = True
        default = "" if one.default is inspect.Parameter.empty else f"={one.default!r}"
        parts.append(one.name + default)
    return parts


@pytest.mark.parametrize("call", [call for call, _ in rows("Functions")])
def test_calls_are_as_written(call: str) -> None:
    name, parameters = written(call)
    assert parameters == signature(name)


def test_every_public_name_is_in_the_tables() -> None:
    named = [name for name, _ in rows("Records") + rows("Results")]
    named += [written(call)[0] for call, _ in rows("Functions")]
    assert sorted([*named, "Bench", "Finder", "StrutkitError"]) == sorted(strutkit.__all__)


def test_every_public_name_is_documented() -> None:
    for name in strutkit.__all__:
        assert len(inspect.getdoc(getattr(strutkit, name)) or "") > 30, name
