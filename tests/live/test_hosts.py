"""The live view in its two other homes: Notebook 7 and Voila, one smoke test each.

Both are served beside JupyterLab by the same private server. Not tried here: touch, themes, a
kernel that is started again.
"""

import contextlib
import re
from collections.abc import Iterator

import nbformat
import pytest
from playwright.sync_api import Page, expect
from playwright.sync_api import TimeoutError as PageTimeout

from tests.lab import Lab
from tests.live.conftest import DOORS, write_notebook

CELL = f"from strutkit import bench\nbench({str(DOORS / 'rear-hatch.toml')!r})"
HANDLE = "left, mount on panel"


def moved_by_key(page: Page) -> None:
    """The bench is drawn, a key moves a mount, and Python's new findings stand beside it."""
    view = page.locator(".strutkit-bench").first
    view.locator(".sk-row").first.wait_for(timeout=60_000)
    handle = view.get_by_role("slider", name=HANDLE, exact=True)
    before = handle.get_attribute("aria-valuetext") or ""
    down = int(re.findall(r"(\d+) mm down", before)[0])
    handle.focus()
    page.keyboard.press("ArrowDown")
    expect(handle).to_have_attribute("aria-valuetext", re.compile(f"{down + 1} mm down"))
    page.wait_for_function("(node) => node.dataset.rest === 'true'", arg=view.element_handle())
    expect(view.get_by_role("button", name="Undo", exact=True)).to_be_enabled()


@pytest.fixture
def served(jupyterlab: Lab) -> str:
    """A notebook with one bench, as the server's addresses name it."""
    path = write_notebook(jupyterlab.root / "elsewhere.ipynb", CELL)
    made = nbformat.read(path, as_version=4)
    made.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3 (ipykernel)"}
    nbformat.write(made, path)
    return path.name


@pytest.fixture
def page(jupyterlab: Lab) -> Iterator[Page]:
    """An empty page; none of the view's own code, which the page holds as a blob, may throw."""
    thrown: list[str] = []
    page = jupyterlab.browser.new_context(viewport={"width": 1300, "height": 900}).new_page()
    page.on("pageerror", lambda error: thrown.append(str(error.stack)))
    yield page
    page.context.close()
    assert [one for one in thrown if "blob:" in one] == []


def run_first_cell(page: Page) -> None:
    """A cell can be clicked before the notebook hears keys: pressed again until it is taken."""
    cell = page.locator(".jp-Notebook .jp-CodeCell").first
    taken = cell.locator(".jp-InputPrompt", has_text=re.compile(r"\[(\*|\d+)\]"))
    for _ in range(20):
        cell.click(timeout=60_000)
        page.keyboard.press("Shift+Enter")
        with contextlib.suppress(PageTimeout):
            taken.wait_for(timeout=3000)
            return
    raise AssertionError("the cell was not run")


def test_in_notebook_7(jupyterlab: Lab, served: str, page: Page) -> None:
    page.goto(f"{jupyterlab.url}/notebooks/{served}")
    run_first_cell(page)
    moved_by_key(page)


def test_in_voila(jupyterlab: Lab, served: str, page: Page) -> None:
    page.goto(f"{jupyterlab.url}/voila/render/{served}", timeout=60_000)
    moved_by_key(page)
