"""What all tests share: seeds, the browser, and a private JupyterLab."""

import os
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import hypothesis
import pytest
from playwright.sync_api import Browser, Playwright, sync_playwright
from xdist.scheduler import LoadFileScheduling

from tests.lab import Lab
from tests.plain_host import PlainHost


def in_ci(variables: Mapping[str, str]) -> bool:
    """Whether these variables of a process say that it runs in CI."""
    return variables.get("CI", "").lower() not in ("", "0", "false")


CI = in_ci(os.environ)
# The headless shell is Chromium without its windows: a page of JupyterLab costs a third less.
BROWSER_NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
BROWSER_SWITCHES = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-quic",
    "--no-first-run",
    "--disable-component-update",
    "--disable-sync",
)

PAPERS = tuple(f"tests/show/test_{one}" for one in ("paper", "template", "mount_forces"))
IN_LAB = ("_in_lab.py", "test_hosts.py", "test_looks.py", "test_lab.py")

# Timings are benchmarks, never tests: no deadline. In CI the same examples in each run.
hypothesis.settings.register_profile("strutkit", deadline=None, derandomize=CI)
hypothesis.settings.load_profile("strutkit")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long files first, so that short ones even the two workers out.

    Longest are those that open JupyterLab, then those that share one notebook and use a page
    again, pages without a notebook, papers, and notebooks and what starts other programs.
    """
    asked: dict[Path, set[str]] = {one.path: set() for one in items}
    for one in items:
        asked[one.path].update(getattr(one, "fixturenames", ()))
    here = Path(__file__).parent

    def turn(one: pytest.Item) -> int:
        names = asked[one.path]
        places = ((1, "lab_bench"), (0, "jupyterlab"), (2, "plain_host"), (3, "papers"))
        for place, name in places:
            if name in names:
                return place
        return 4 if one.path.suffix == ".ipynb" or one.path.parent == here else 5

    items.sort(key=turn)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> LoadFileScheduling:
    """Files that open JupyterLab go to one worker: its server and its pages serve all of them.

    So do those that read papers of the example doors: a sheet takes a second to set.
    """
    return Shared(config, log)


class Shared(LoadFileScheduling):
    def _split_scope(self, nodeid: str) -> str:
        file = super()._split_scope(nodeid)
        if file.endswith(IN_LAB):
            return "JupyterLab"
        return "papers" if file.startswith(PAPERS) else file


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A headless Chromium."""
    with sync_playwright() as playwright:
        path = needed_browser(playwright, CI)
        switches = [*BROWSER_SWITCHES, "--in-process-gpu"]  # a tenth less than beside the browser
        launched = playwright.chromium.launch(executable_path=path, args=switches)
        yield launched
        launched.close()


def needed_browser(playwright: Playwright, ci: bool) -> str:
    """Where Chromium is. Without one, tests that need it fail in CI and are skipped elsewhere."""
    path = browser_path(playwright)
    if path is None:
        words = (
            "no Chromium on this machine: install your system's package (Debian, Ubuntu: sudo "
            "apt install chromium), or run: .venv/bin/python -m playwright install chromium"
        )
        if ci:
            pytest.fail(words, pytrace=False)
        pytest.skip(words)
    return path


def browser_path(playwright: Playwright) -> str | None:
    """Where Chromium is: the system's, else the one that playwright fetched; None without."""
    for name in BROWSER_NAMES:
        found = shutil.which(name)
        if found is not None:
            return found
    fetched = playwright.chromium.executable_path
    return fetched if Path(fetched).exists() else None


@pytest.fixture(scope="session")
def jupyterlab(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """A JupyterLab that shares nothing with the user's own; see `tests/lab.py`."""
    with Lab(browser, tmp_path_factory.mktemp("lab")) as lab:
        yield lab


@pytest.fixture(scope="session")
def plain_host(browser: Browser) -> Iterator[PlainHost]:
    """Widgets in a page without a notebook; see `tests/plain_host.py`."""
    with PlainHost(browser) as host:
        yield host
