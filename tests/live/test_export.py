"""A notebook run and exported without a browser shows the design: picture and key figures."""

import math
import re

import nbformat
from nbconvert import HTMLExporter
from nbconvert.preprocessors import ExecutePreprocessor

from strutkit import read_door, sweep_conditions
from tests.lab import KERNEL
from tests.live.conftest import DOORS, bench_cell


def test_an_export_shows_the_door_without_a_kernel() -> None:
    door = DOORS / "rear-hatch.toml"
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(bench_cell(door))])
    notebook.metadata["kernelspec"] = KERNEL
    ExecutePreprocessor(timeout=120).preprocess(notebook)
    page, _ = HTMLExporter(template_name="basic").from_notebook_node(notebook)
    still = page[page.index("strutkit-still") :]
    assert "<svg" in still
    service = [one for one in sweep_conditions(read_door(door)) if one.condition.missing is None]
    most = max(float(one.hand_force_closing.max()) for one in service)
    assert f"To shut it takes {math.ceil(most)} N" in re.sub(r"<[^>]+>", "", still)
