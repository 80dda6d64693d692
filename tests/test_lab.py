"""The JupyterLab that browser tests use does what they rely on."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import nbformat
import pytest
from playwright.sync_api import expect

from tests.conftest import in_ci, needed_browser
from tests.lab import Lab

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
    """Nothing covers the notebook: JupyterLab asks about news on the first start otherwise."""
    before = notebook.read_bytes()
    with jupyterlab.notebook(notebook, run=False) as page:
        expect(page.locator(".jp-Dialog")).to_have_count(0)
        expect(page.locator(".Toastify__toast")).to_have_count(0)
        expect(page.get_by_text("the answer is 42")).to_have_count(0)
        jupyterlab.run_all(page)
        expect(page.get_by_text("the answer is 42")).to_be_visible()
        page.get_by_role("slider").press("ArrowRight")
        expect(page.get_by_text("now 4", exact=True)).to_be_visible()
        page.evaluate("jupyterapp.commands.execute('docmanager:save')")
        page.wait_for_function("() => !jupyterapp.shell.currentWidget.context.model.dirty")
        with jupyterlab.cell(page, "print('one more:', answer)"):
            expect(page.get_by_text("one more: 42")).to_be_visible()
        expect(page.get_by_text("one more: 42")).to_have_count(0)
    assert jupyterlab.page_errors == []
    assert notebook.read_bytes() == before, "the notebook itself is left alone"


@pytest.mark.parametrize(
    ("ci", "outcome"),
    [("true", pytest.fail.Exception), ("1", pytest.fail.Exception)]
    + [(one, pytest.skip.Exception) for one in ("", "0", "False")],
)
def test_a_missing_browser_fails_in_ci_and_is_said_elsewhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, ci: str, outcome: type[BaseException]
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    bare: Any = SimpleNamespace(chromium=SimpleNamespace(executable_path=str(tmp_path / "none")))
    with pytest.raises(outcome, match="no Chromium on this machine: install"):
        needed_browser(bare, in_ci({"CI": ci}))
