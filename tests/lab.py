"""A private JupyterLab for tests that look at a notebook as a person does.

    def test_something(jupyterlab):
        with jupyterlab.notebook("notebooks/1_door.ipynb") as page:
            page.get_by_role("slider").first.press("ArrowRight")

`page` is playwright's. All cells have been run when it is handed over.
"""

import contextlib
import json
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType

import nbformat
from playwright.sync_api import Browser, Page, ViewportSize

START_SECONDS = 60
CELL_SECONDS = 120
VIEWPORT: ViewportSize = {"width": 1440, "height": 1000}
KERNEL = {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}
QUIET = {"fetchNews": "false", "checkForUpdates": False, "doNotDisturbMode": True}
UNUSED = """
    audio celltags console csvviewer debugger extensionmanager fileeditor help htmlviewer hub
    imageviewer inspector javascript json launcher logconsole lsp markdownviewer mathjax mermaid
    metadataform pdf pluginmanager running settingeditor statusbar terminal
    theme-dark-high-contrast toc vega5 video
"""
"""Parts of JupyterLab that take no keys of a notebook and are not used: a third of a page."""

RUN_ALL = """async () => {
    await jupyterapp.restored;
    const panel = jupyterapp.shell.currentWidget;
    await panel.context.ready;
    await panel.sessionContext.ready;
    await panel.sessionContext.session.kernel.info;
    await jupyterapp.commands.execute('notebook:run-all-cells');
}"""
OPEN = """async (path) => {
    await jupyterapp.restored;
    const panel = await jupyterapp.commands.execute('docmanager:open', { path });
    await panel.context.ready;
    jupyterapp.shell.activateById(panel.id);
}"""
EXECUTE = """window.execute = async (code) => {
    const kernel = jupyterapp.shell.currentWidget.sessionContext.session.kernel;
    const future = kernel.requestExecute({code, stop_on_error: false});
    let printed = '';
    future.onIOPub = (message) => {
        if (message.header.msg_type === 'stream') printed += message.content.text;
        if (message.header.msg_type === 'error') printed += message.content.traceback.join('\\n');
    };
    await future.done;
    return printed;
};"""
"""What a cell of this code prints."""
LEAVE = """async () => {
    const panel = jupyterapp.shell.currentWidget;
    await panel.sessionContext.ready;
    const session = panel.sessionContext.session;
    await session.kernel.info;
    panel.dispose();
    await jupyterapp.serviceManager.sessions.shutdown(session.id);
}"""
ADD_CELL = """async (code) => {
    const { commands, shell } = jupyterapp;
    const cells = shell.currentWidget.content;
    cells.activeCellIndex = cells.widgets.length - 1;
    await commands.execute('notebook:insert-cell-below');
    cells.activeCell.model.sharedModel.setSource(code);
    await commands.execute('notebook:run-cell');
}"""
REMOVE_CELL = """async () => {
    const cells = jupyterapp.shell.currentWidget.content;
    cells.activeCellIndex = cells.widgets.length - 1;
    await jupyterapp.commands.execute('notebook:delete-cell');
}"""
AT_REST = """() => jupyterapp.shell.currentWidget.sessionContext.kernelDisplayStatus === 'idle'"""


class Lab:
    """One server with folders of its own, on a free port of this machine alone."""

    def __init__(self, browser: Browser, folder: Path) -> None:
        self.browser = browser
        self.root = folder / "root"
        self.root.mkdir()
        self.page_errors: list[str] = []
        self._home = folder / "home"
        self._log = folder / "server.log"
        self._port = free_port()
        self._count = 0
        self._free: list[Page] = []
        self.url = f"http://127.0.0.1:{self._port}"

    def __enter__(self) -> "Lab":
        with self._log.open("wb") as log:
            self._server = subprocess.Popen(
                self._command(), cwd=self.root, env=self._variables(), stdout=log, stderr=log
            )
        self._wait_for_answer()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        for context in self.browser.contexts:
            context.close()
        self._server.terminate()
        try:
            self._server.wait(timeout=20)
        except subprocess.TimeoutExpired:
            self._server.kill()
            self._server.wait()

    @contextlib.contextmanager
    def notebook(
        self,
        path: str | Path,
        *,
        run: bool = True,
        viewport: ViewportSize = VIEWPORT,
    ) -> Iterator[Page]:
        """`open` the notebook, and close it with its kernel at the end."""
        page = self.open(path, run=run, viewport=viewport)
        try:
            yield page
        finally:
            self.close(page)

    def open(
        self,
        path: str | Path,
        *,
        run: bool = True,
        viewport: ViewportSize = VIEWPORT,
    ) -> Page:
        """Show a copy of the notebook in a page that nobody else uses, with all cells run if `run`.

        A page that was closed before is used again: to load JupyterLab takes seconds. What a page
        throws is gathered in `page_errors`.
        """
        page = self._free.pop() if self._free else self._new_page()
        page.set_viewport_size(viewport)
        page.evaluate(OPEN, self._copy(Path(path)))
        page.locator(".jp-NotebookPanel:visible .jp-Notebook").wait_for()
        if run:
            self.run_all(page)
        return page

    def run_all(self, page: Page) -> None:
        """Run all cells of the notebook in view, and wait until the kernel is at rest."""
        page.evaluate(RUN_ALL)
        page.wait_for_function(AT_REST)

    @contextlib.contextmanager
    def cell(self, page: Page, code: str) -> Iterator[None]:
        """One more cell at the end of the notebook in view, run, and taken away at the end."""
        page.evaluate(ADD_CELL, code)
        page.wait_for_function(AT_REST)
        yield
        page.evaluate(REMOVE_CELL)

    def close(self, page: Page) -> None:
        """End the notebook in view and the kernel behind it; the page waits for the next one."""
        page.evaluate(LEAVE)
        self._free.append(page)

    def log(self) -> str:
        """What the server has said so far."""
        return self._log.read_text(errors="replace")

    def _new_page(self) -> Page:
        context = self.browser.new_context()
        context.add_init_script(EXECUTE)
        page = context.new_page()
        page.set_default_timeout(CELL_SECONDS * 1000)
        page.on("pageerror", lambda error: self.page_errors.append(error.stack or str(error)))
        page.goto(f"{self.url}/lab/workspaces/w{self._count}")
        page.wait_for_function("() => window.jupyterapp !== undefined")
        return page

    def _copy(self, path: Path) -> str:
        self._count += 1
        notebook = nbformat.read(path, as_version=4)
        notebook.metadata["kernelspec"] = KERNEL
        folder = self.root / f"{self._count}"
        folder.mkdir()
        nbformat.write(notebook, folder / path.name)
        return f"{self._count}/{path.name}"

    def _command(self) -> list[str]:
        words = [sys.executable, "-m", "jupyterlab", "--no-browser", "--expose-app-in-browser"]
        options = {
            "ServerApp.ip": "127.0.0.1",
            "ServerApp.port": self._port,
            "ServerApp.port_retries": 0,
            "ServerApp.root_dir": self.root,
            "IdentityProvider.token": "",
            "LabApp.news_url": "",
            "LabApp.check_for_updates_class": "jupyterlab.NeverCheckForUpdate",
        }
        words += [f"--{name}={value}" for name, value in options.items()]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            words.append("--allow-root")
        return words

    def _variables(self) -> dict[str, str]:
        places = {
            "JUPYTER_CONFIG_DIR": "config",
            "JUPYTER_DATA_DIR": "data",
            "JUPYTER_RUNTIME_DIR": "runtime",
            "JUPYTERLAB_SETTINGS_DIR": "settings",
            "JUPYTERLAB_WORKSPACES_DIR": "workspaces",
            "IPYTHONDIR": "ipython",
        }
        variables = dict(os.environ, JUPYTER_PREFER_ENV_PATH="1")
        for name, place in places.items():
            (self._home / place).mkdir(parents=True)
            variables[name] = str(self._home / place)
        extension = self._home / "settings" / "@jupyterlab" / "apputils-extension"
        extension.mkdir(parents=True)
        (extension / "notification.jupyterlab-settings").write_text(json.dumps(QUIET))
        off = {f"@jupyterlab/{name}-extension": True for name in UNUSED.split()}
        off["@voila-dashboards/jupyterlab-preview"] = True
        (self._home / "config" / "labconfig").mkdir()
        page_config = self._home / "config" / "labconfig" / "page_config.json"
        page_config.write_text(json.dumps({"disabledExtensions": off}))
        return variables

    def _wait_for_answer(self) -> None:
        end = time.monotonic() + START_SECONDS
        while time.monotonic() < end and self._server.poll() is None:
            try:
                with urllib.request.urlopen(f"{self.url}/api/status", timeout=5):
                    return
            except (urllib.error.URLError, ConnectionError, TimeoutError):
                time.sleep(0.1)
        self._server.kill()
        raise RuntimeError(f"JupyterLab did not start:\n{self.log()}")


def free_port() -> int:
    """A port of this machine that nobody uses now."""
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return int(trial.getsockname()[1])
