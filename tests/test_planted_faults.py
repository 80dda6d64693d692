"""The list of planted faults stays true: each names one place in the code and one test."""

import re

from tests.planted_faults import ROOT, read_faults

FAULTS = read_faults()


def test_there_are_at_least_thirty() -> None:
    assert len({(fault.file, fault.original, fault.replacement) for fault in FAULTS}) >= 30


def test_each_names_one_place_in_the_code() -> None:
    for fault in FAULTS:
        source = (ROOT / fault.file).read_text(encoding="utf-8")
        assert fault.planted(source) != source, fault.what


def test_each_names_a_test_that_stands_in_the_repository() -> None:
    for fault in FAULTS:
        path, _, rest = fault.test.partition("::")
        name = re.split(r"\[|::", rest)[0]
        assert f"def {name}(" in (ROOT / path).read_text(encoding="utf-8"), fault.test
