"""The form in a real JupyterLab: from nothing to a sheet, and what happens to the kernel."""

from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import Page, expect

from tests.lab import Lab
from tests.start.form_pages import (
    CELL,
    bench,
    box,
    form,
    key_by_key,
    message,
    narrow_and_dark,
    picture,
    row,
    save_sheet,
    says,
    walk,
)


@pytest.fixture(scope="module")
def lab_page(jupyterlab: Lab, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    path = tmp_path_factory.mktemp("start") / "start.ipynb"
    nbformat.write(nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(CELL)]), path)
    with jupyterlab.notebook(path, run=False) as page:
        page.set_default_timeout(30_000)
        expect.set_options(timeout=30_000)
        yield page
        expect.set_options(timeout=5_000)


@pytest.fixture
def page(jupyterlab: Lab, lab_page: Page) -> Iterator[Page]:
    """A fresh form; at the end neither the page nor Python has complained."""
    before = list(jupyterlab.page_errors)
    lab_page.evaluate("localStorage.clear()")
    jupyterlab.run_all(lab_page)
    says(form(lab_page).locator(".sk-status"), "of 11 still to fill in")
    yield lab_page
    assert jupyterlab.page_errors == before
    for kind in ("stderr", "error"):
        complaints = lab_page.locator(f'[data-mime-type="application/vnd.jupyter.{kind}"]')
        expect(complaints).to_have_count(0)


def test_from_nothing_to_a_sheet_and_through_a_restart(
    page: Page, jupyterlab: Lab, tmp_path: Path
) -> None:
    """Typed, hung and moved on the bench: all of it is back after the kernel was started again,
    the page loaded again, and the cell run again."""
    walk(page, "lid", tmp_path, key_by_key)
    save_sheet(page, tmp_path / "sheet.pdf")
    theme = (
        "dark => jupyterapp.commands.execute('apputils:change-theme', "
        "{ theme: dark ? 'JupyterLab Dark' : 'JupyterLab Light' })"
    )
    with narrow_and_dark(page, lambda dark: page.evaluate(theme, dark), 820):
        picture(form(page), "form-narrow-dark-lid")
        picture(bench(page), "result-narrow-dark-lid")

    below = form(page).locator(".sk-below")
    says(below, "The bench below shows the door of these boxes, “Lid”.")
    handle = bench(page).get_by_role("slider", name="left, mount on panel", exact=True)
    handle.focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    says(below, "with the changes made since")
    place = handle.get_attribute("aria-valuetext")
    assert place is not None

    page.evaluate("jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart()")
    link = form(page).locator(".sk-message").first
    says(link, "Not connected: what is said beside the boxes is from")
    expect(form(page).get_by_role("button", name="Suggest a start")).to_be_disabled()
    picture(form(page), "form-not-connected")
    jupyterlab.run_all(page)
    back_again(page, place)

    page.evaluate("jupyterapp.commands.execute('docmanager:save')")
    page.reload()
    page.wait_for_function("() => window.jupyterapp !== undefined")
    box(page, "length").wait_for(timeout=60_000)
    expect(box(page, "length")).to_have_value("25 3/4 in")
    jupyterlab.run_all(page)
    back_again(page, place)
    form(page).get_by_role("button", name="Start empty").click()
    says(form(page).locator(".sk-status"), "10 of 10 still to fill in")
    says(below, "as it was before these boxes changed")
    jupyterlab.run_all(page)
    says(form(page).locator(".sk-status"), "11 of 11 still to fill in")


def back_again(page: Page, place: str) -> None:
    says(message(page), "What you typed here until")
    expect(box(page, "length")).to_have_value("25 3/4 in")
    says(row(page, "thickness"), "30 mm")
    handle = bench(page).get_by_role("slider", name="left, mount on panel", exact=True)
    expect(handle).to_have_attribute("aria-valuetext", place)


def test_a_busy_kernel_is_said_and_what_is_typed_meanwhile_counts(page: Page) -> None:
    """A cell that sleeps leaves others their turn; one that keeps Python to itself does not."""
    page.evaluate(
        "() => { jupyterapp.shell.currentWidget.sessionContext.session.kernel"
        ".requestExecute({code: 'import ctypes; ctypes.PyDLL(None).sleep(7)'}); }"
    )
    box(page, "length").fill("700 mm")
    box(page, "length").press("Enter")
    link = form(page).locator(".sk-message").first
    says(link, "A cell is running, or the kernel has stopped.")
    link.wait_for(state="hidden")
    says(form(page).locator(".sk-status"), "10 of 11 still to fill in")
