"""The JupyterLab that browser tests use does what they rely on."""

import os
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import expect

from tests.lab import Lab

ONE_TEST = "test_nothing_covers_the_notebook"
SLIDER_AND_ECHO = """\
import ipywidgets
slider = ipywidgets.IntSlider(value=3, description="angle")
echo = ipywidgets.Label()
slider.observe(lambda change: setattr(echo, "value", f"now {change.new}"), "value")
ipywidgets.VBox([slider, echo])
"""


@pytest.fixture
def notebook(tmp_path: Path) -> Path:
    path = tmp_path / "tiny.ipynb"
    cells = ["answer = 6 * 7", "print('the answer is', answer)", SLIDER_AND_ECHO]
    nbformat.write(
        nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells]), path
    )
    return path


def test_all_cells_are_run_and_widgets_reach_the_kernel(jupyterlab: Lab, notebook: Path) -> None:
    before = notebook.read_bytes()
    with jupyterlab.notebook(notebook) as page:
        expect(page.get_by_text("the answer is 42")).to_be_visible()
        page.get_by_role("slider").press("ArrowRight")
        expect(page.get_by_text("now 4", exact=True)).to_be_visible()
        page.evaluate("jupyterapp.commands.execute('docmanager:save')")
        page.wait_for_function("() => !jupyterapp.shell.currentWidget.context.model.dirty")
    assert jupyterlab.page_errors == []
    assert notebook.read_bytes() == before, "the notebook itself is left alone"


def test_nothing_covers_the_notebook(jupyterlab: Lab, notebook: Path) -> None:
    """No question about news, no dialog: JupyterLab asks on the first start otherwise."""
    with jupyterlab.notebook(notebook, run=False) as page:
        expect(page.locator(".jp-Dialog")).to_have_count(0)
        expect(page.locator(".Toastify__toast")).to_have_count(0)
        expect(page.get_by_text("the answer is 42")).to_have_count(0)


@pytest.mark.parametrize(("ci", "outcome"), [("true", "1 error"), ("", "1 skipped")])
def test_a_missing_browser_fails_in_ci_and_is_said_elsewhere(
    tmp_path: Path, ci: str, outcome: str
) -> None:
    words = ("pytest", "-rs", "-p", "no:cacheprovider", f"{__file__}::{ONE_TEST}")
    bare = {"PATH": str(tmp_path), "PLAYWRIGHT_BROWSERS_PATH": str(tmp_path), "CI": ci}
    done = subprocess.run(
        [sys.executable, "-m", *words],
        cwd=Path(__file__).parents[1],
        env={**os.environ, **bare},
        capture_output=True,
        text=True,
        check=False,
    )
    assert "no Chromium on this machine: install" in done.stdout
    assert outcome in done.stdout.splitlines()[-1]
    assert (done.returncode != 0) == bool(ci)
