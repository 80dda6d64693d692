"""A bench asked by messages, as its page asks it."""

from typing import Any

import pytest

from strutkit.live import messages
from strutkit.live.bench import Bench


class Page:
    """Stands for the page: sends messages, keeps what comes back."""

    def __init__(self, widget: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
        self.widget = widget
        self.answers: list[tuple[dict[str, Any], list[bytes]]] = []
        monkeypatch.setattr(widget, "send", self._keep)

    def _keep(self, content: dict[str, Any], buffers: list[bytes] | None = None) -> None:
        self.answers.append((content, buffers or []))

    def ask(self, kind: str, **body: Any) -> dict[str, Any]:
        asked = {"client": "page", "seq": len(self.answers) + 1, "kind": kind, **body}
        messages.receive(self.widget, asked, [])
        answer, self.buffers = self.answers[-1]
        assert {name: answer[name] for name in ("client", "seq", "kind")} == {
            name: asked[name] for name in ("client", "seq", "kind")
        }
        return answer


def edit(**changes: Any) -> dict[str, Any]:
    return {"place": 0, **changes}
