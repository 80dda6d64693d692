"""The table of published values: complete, each case able to fail, and more than a hundred."""

import subprocess
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from tests.published import table
from tests.published.cases import PRINTED_DIGITS, Case, check

HERE = Path(__file__).parent


def half(printed: str, ours: float, **more: object) -> Case:
    return Case(
        source="book",
        place="page 1",
        what="half",
        printed=printed,
        unit="m",
        mark="seen",
        ours=lambda: ours,
        **more,
    )


def test_there_are_a_hundred_published_values_that_were_read() -> None:
    marks = Counter(case.mark for case in table.all_cases())
    assert marks["seen"] >= 100
    assert sum(marks.values()) >= 250


@pytest.mark.parametrize("path", table.SOURCES, ids=lambda path: path.stem)
def test_every_source_has_cases_and_tests_all_of_them(path: Path) -> None:
    text = path.read_text("utf-8")
    assert '@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)' in text
    assert "    check(case)\n" in text


def test_no_case_stands_twice() -> None:
    assert [
        name
        for name, times in Counter(case.name for case in table.all_cases()).items()
        if times > 1
    ] == []


def test_no_tolerance_hides_a_fault() -> None:
    """Half a printed digit may be much of a rough number; what is allowed beyond it may not."""
    wide = [
        case.name
        for case in table.all_cases()
        if case.tolerance is not None
        and case.tolerance - replace(case, tolerance=None, reason=PRINTED_DIGITS).allowed
        > 0.016 * abs(case.expected) + 1e-9
    ]
    assert wide == []


def test_half_the_last_printed_digit_is_allowed() -> None:
    for printed, off in (("19.62", 0.005), ("-0.180", 0.0005), ("14", 0.5)):
        assert half(printed, float(printed) + 0.99 * off).holds()
        assert half(printed, float(printed) - 0.99 * off).holds()
        wrong = half(printed, float(printed) + 1.01 * off)
        assert not wrong.holds()
        with pytest.raises(AssertionError, match="book, page 1: half: printed"):
            check(wrong)


def test_no_number_agrees_with_nothing() -> None:
    assert not half("1.0", float("nan")).holds()
    with pytest.raises(AssertionError, match="ours nan"):
        check(half("1.0", float("nan")))


def test_a_misprint_is_held_against_the_recomputed_value() -> None:
    check(half("1.692", 1.679, misprint="its own quotient is 1.679", recomputed=1.6792))
    with pytest.raises(AssertionError, match=r"printed 1\.692"):
        check(half("1.692", 1.692, misprint="its own quotient is 1.679", recomputed=1.6792))
    with pytest.raises(AssertionError, match="no misprint after all"):
        check(half("1.692", 1.6922, misprint="none", recomputed=1.6921))


@pytest.mark.parametrize(
    "wrong",
    [
        {"mark": "guessed"},
        {"tolerance": 0.1},
        {"reason": "three digits"},
        {"misprint": "somewhere"},
        {"recomputed": 1.0},
    ],
    ids=str,
)
def test_a_case_that_says_half_is_refused(wrong: dict[str, object]) -> None:
    words = {"source": "book", "place": "page 1", "what": "half", "printed": "1", "unit": "m"}
    with pytest.raises(ValueError, match="book, page 1: half"):
        Case(**{**words, "mark": "seen", "ours": lambda: 1.0, **wrong})


def test_the_table_shows_every_case_and_says_what_disagrees() -> None:
    cases = [half("1.0", 1.02), half("2.0", 2.2)]
    first, second = table.table(cases).splitlines()[3:5]
    assert first.split()[:6] == ["1.0", "1.02", "+2.0e-02", "5.0e-02", "m", "seen"]
    assert "DISAGREES" not in first
    assert second.endswith("DISAGREES")
    assert "2 published values from 1 sources, 1 agree" in table.table(cases)


def test_the_script_runs_from_anywhere(tmp_path: Path) -> None:
    words = [sys.executable, str(HERE / "table.py"), "openstax"]
    done = subprocess.run(words, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert "trapdoor (side of the rope inferred): pull of the rope" in done.stdout
    assert "13 published values from 1 sources, 13 agree" in done.stdout


def test_the_script_says_when_there_is_no_such_source(capsys: pytest.CaptureFixture[str]) -> None:
    assert table.main(["no", "such", "book"]) == 1
    assert "no source has the words: no such book" in capsys.readouterr().out


def test_the_script_fails_when_a_value_disagrees(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(table, "all_cases", lambda: (half("2.0", 2.2),))
    assert table.main([]) == 1
    assert "DISAGREES" in capsys.readouterr().out
