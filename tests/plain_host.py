"""Widgets in a page without a notebook, with Python behind it as behind a notebook.

    def test_something(plain_host):
        page = plain_host.open("from strutkit import bench\\nbench('hatch.toml')")

The widget, its module and its messages are the real ones; `PAGE` takes the place of the notebook
and of anywidget's loader, one thread the place of the kernel. For tests of what a view does with
what a hand gives it, at a fraction of what JupyterLab costs. What is about the notebook (keys,
touch, themes, cells, a kernel that is started again) is tested in `tests/lab.py`.
"""

import ast
import asyncio
import base64
import code
import contextlib
import io
import json
import logging
import sys
import threading
import traceback
from types import TracebackType
from typing import Any

import comm
import ipywidgets
import traitlets.log
from comm.base_comm import BaseComm
from playwright.sync_api import Browser, Page
from tornado.httpserver import HTTPServer
from tornado.netutil import bind_sockets
from tornado.web import Application, RequestHandler
from tornado.websocket import WebSocketHandler

VIEWPORT = {"width": 1280, "height": 900}
SECONDS = 30

PAGE = """<!doctype html><meta charset="utf-8"><title>plain</title>
<style>body { margin: 8px 24px; font: 13px sans-serif; background: white }</style>
<script type="module">
const models = new Map();
const waiting = [];
const styled = new Set();
const socket = new WebSocket(`ws://${location.host}/comms`);
const tell = (message) => socket.send(JSON.stringify(message));

class Model {
  constructor(id, state) {
    Object.assign(this, { id, state, changed: {}, hearers: [] });
    if (state._esm) this.widget = this.load();
  }
  async load() {
    if (!styled.has(this.get('_anywidget_id'))) {
      styled.add(this.get('_anywidget_id'));
      const style = document.createElement('style');
      style.textContent = this.get('_css');
      document.head.append(style);
    }
    const address = URL.createObjectURL(new Blob([this.get('_esm')], { type: 'text/javascript' }));
    const { default: widget } = await import(address);
    const made = typeof widget === 'function' ? await widget() : widget;
    this.stop = await made.initialize?.({ model: this });
    return made;
  }
  get(name) { return this.state[name]; }
  set(name, value) {
    if (JSON.stringify(value) === JSON.stringify(this.state[name])) return;
    this.changed[name] = value;
    this.take({ [name]: value });
  }
  take(state) {
    Object.assign(this.state, state);
    for (const name of Object.keys(state)) this.emit(`change:${name}`);
  }
  save_changes() {
    tell({ comm: this.id, data: { method: 'update', state: this.changed, buffer_paths: [] } });
    this.changed = {};
  }
  send(content) { tell({ comm: this.id, data: { method: 'custom', content } }); }
  on(topic, hear) { this.hearers.push([topic, hear]); }
  off(topic, hear) {
    this.hearers = this.hearers.filter(([its, one]) => its !== topic || (hear && one !== hear));
  }
  emit(topic, ...values) {
    for (const [its, hear] of [...this.hearers]) if (its === topic) hear(...values);
  }
}

async function show(id, box) {
  const model = models.get(id);
  if (model.widget) {
    return (await model.widget).render({ model, el: box });
  }
  const views = new Map();
  const update = () => {
    const names = model.get('children').map((name) => name.replace('IPY_MODEL_', ''));
    for (const [name, { node, gone }] of views) {
      if (names.includes(name)) continue;
      views.delete(name);
      gone.then((remove) => { remove?.(); node.remove(); });
    }
    for (const name of names) {
      if (views.has(name)) continue;
      const node = box.appendChild(document.createElement('div'));
      views.set(name, { node, gone: show(name, node) });
    }
  };
  model.on('change:children', update);
  update();
}

const buffer = (text) => new DataView(Uint8Array.from(atob(text), (one) =>
  one.charCodeAt(0)).buffer);
const HEAR = {
  comm_open: ({ comm, data }) => models.set(comm, new Model(comm, data.state)),
  comm_msg({ comm, data, buffers }) {
    if (data.method === 'update') models.get(comm).take(data.state);
    if (data.method === 'custom') models.get(comm).emit('msg:custom', data.content,
      buffers.map(buffer));
  },
  comm_close({ comm }) {
    models.get(comm).stop?.();
    models.delete(comm);
  },
  show: ({ comm }) => show(comm, document.body.appendChild(document.createElement('div'))),
  printed: ({ text }) => waiting.shift()(text),
};
socket.onmessage = ({ data }) => {
  const message = JSON.parse(data);
  HEAR[message.kind](message);
};
window.execute = (code) => new Promise((resolve) => {
  waiting.push(resolve);
  tell({ code });
});
socket.onopen = () => { window.ready = true; };
</script>"""


class PlainHost:
    """Serves `PAGE` and answers it; `complaints` tells what page and Python threw."""

    def __init__(self, browser: Browser) -> None:
        self.page_errors: list[str] = []
        self.faults: list[str] = []
        self.current: Cells | None = None
        self._browser = browser
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, name="plain host")
        self._create_comm = comm.create_comm
        self._said = Said(self.faults)

    def __enter__(self) -> "PlainHost":
        self._thread.start()
        self._later(self._serve()).result(SECONDS)
        comm.create_comm = self._new_comm
        traitlets.log.get_logger().addHandler(self._said)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        comm.create_comm = self._create_comm
        traitlets.log.get_logger().removeHandler(self._said)
        self._later(self._stop()).result(SECONDS)
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join()
        self._loop.close()

    def open(self, *cells: str, **context: Any) -> Page:
        """A page of its own in which these cells were run."""
        page = self._browser.new_context(**{"viewport": VIEWPORT} | context).new_page()
        page.on("pageerror", lambda error: self.page_errors.append(error.stack or str(error)))
        self.load(page, *cells)
        return page

    def load(self, page: Page, *cells: str) -> None:
        """Load the page anew, with nothing behind it yet, and run these cells."""
        page.goto(self.url)
        page.wait_for_function("() => window.ready")
        for cell in cells:
            assert page.evaluate("(cell) => execute(cell)", cell) == ""

    def complaints(self) -> list[str]:
        """What page and Python threw since this was asked last."""
        found = self.page_errors + self.faults
        self.page_errors.clear()
        self.faults.clear()
        return found

    def _new_comm(self, *args: Any, **words: Any) -> BaseComm:
        if self.current is None or threading.current_thread() is not self._thread:
            return self._create_comm(*args, **words)
        return PageComm(self.current, *args, **words)

    def _later(self, task: Any) -> Any:
        return asyncio.run_coroutine_threadsafe(task, self._loop)

    async def _serve(self) -> None:
        sockets = bind_sockets(0, "127.0.0.1")
        self.url = f"http://127.0.0.1:{sockets[0].getsockname()[1]}"
        self._server = HTTPServer(Application([("/", Plain), ("/comms", Cells, {"host": self})]))
        self._server.add_sockets(sockets)

    async def _stop(self) -> None:
        self._server.stop()
        await self._server.close_all_connections()


class Said(logging.Handler):
    """Keeps what ipywidgets writes of faults in what it calls."""

    def __init__(self, kept: list[str]) -> None:
        super().__init__(logging.WARNING)
        self.kept = kept

    def emit(self, record: logging.LogRecord) -> None:
        """Keep it, with its traceback."""
        self.kept.append(self.format(record))


class Plain(RequestHandler):
    """The page."""

    def get(self) -> None:
        """It, the same for all."""
        self.write(PAGE)


class Cells(WebSocketHandler):
    """Python behind one page: runs its cells, hands messages to its widgets and theirs to it."""

    def initialize(self, host: PlainHost) -> None:
        """Begin with no names and no widgets."""
        self.host = host
        self.loop = asyncio.get_running_loop()
        self.names: dict[str, Any] = {}
        self.comms: dict[str, PageComm] = {}

    def on_message(self, text: str | bytes) -> None:
        """Run a cell, or hand a message to the widget that it is for."""
        message = json.loads(text)
        self.host.current = self
        try:
            if "code" in message:
                self.tell(kind="printed", text=self.run(message["code"]))
            else:
                self.comms[message["comm"]].handle_msg({"content": message, "buffers": []})
        except Exception:  # noqa: BLE001 whatever it is, a test reads it
            self.host.faults.append(traceback.format_exc())
        finally:
            self.host.current = None

    def run(self, cell: str) -> str:
        """What a cell prints, its traceback too; a widget at its end is shown in the page."""
        printed = io.StringIO()
        interpreter = code.InteractiveInterpreter(self.names)
        interpreter.write = printed.write
        *body, last = ast.parse(cell).body
        parts = [compile(ast.Module(body, []), "cell", "exec")]
        parts.append(compile(ast.Interactive([last]), "cell", "single"))
        before, sys.displayhook = sys.displayhook, self.show
        with contextlib.redirect_stdout(printed):
            for part in parts:
                interpreter.runcode(part)
        sys.displayhook = before
        return printed.getvalue()

    def show(self, value: Any) -> None:
        """Show a widget in the page; other values are let go."""
        if isinstance(value, ipywidgets.Widget):
            self.tell(kind="show", comm=value.model_id)

    def tell(self, **message: Any) -> None:
        """Send to the page, from any thread, in order."""
        text = json.dumps(message, allow_nan=False)
        if not self.loop.is_closed():
            self.loop.call_soon_threadsafe(self._write, text)

    def _write(self, text: str) -> None:
        if self.ws_connection is not None:
            self.write_message(text)


class PageComm(BaseComm):
    """One widget's messages to and from its page."""

    def __init__(self, cells: Cells, *args: Any, **words: Any) -> None:
        self.cells = cells
        super().__init__(*args, **words)

    def publish_msg(
        self,
        msg_type: str,
        data: Any = None,
        metadata: Any = None,
        buffers: Any = None,
        **_: Any,
    ) -> None:
        """To the page."""
        self.cells.comms[self.comm_id] = self
        encoded = [base64.b64encode(one).decode() for one in buffers or ()]
        self.cells.tell(kind=msg_type, comm=self.comm_id, data=data or {}, buffers=encoded)
