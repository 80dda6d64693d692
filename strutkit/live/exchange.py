"""How a widget answers its page: one lock, one place where errors are caught.

Each message carries "client", "seq" and "kind"; its answer carries the same. A `StrutkitError`
is answered as "fault", shown in the message line of the page. Handlers may run in a thread of
their own while a cell runs.
"""

from collections.abc import Callable, Mapping
from threading import RLock
from typing import Any, TypeVar

import anywidget

from strutkit.describe.numbers import LengthUnit, lengths_in
from strutkit.errors import StrutkitError

Asked = dict[str, Any]
Body = dict[str, Any]
Owner = TypeVar("Owner")
Handler = Callable[[Owner, Asked], Body | tuple[Body, list[bytes]]]
"""Answers a message by a body, or by a body and arrays as bytes."""


def answer(
    widget: anywidget.AnyWidget,
    owner: Owner,
    handlers: Mapping[str, Handler[Owner]],
    asked: Any,
    *,
    lock: RLock,
    unit: LengthUnit,
) -> None:
    """Answer one message of the page, sentences in the unit of lengths that is shown.

    A message that is none of `handlers` is left alone. An error that is not of the kit's kind is
    told to the page and raised.
    """
    kind = asked.get("kind") if isinstance(asked, dict) else None
    if not isinstance(kind, str) or kind not in handlers:
        return
    head = {key: asked.get(key) for key in ("client", "seq", "kind")}
    data: list[bytes] = []
    with lock, lengths_in(unit):
        try:
            found = handlers[kind](owner, asked)
            body, data = found if isinstance(found, tuple) else (found, data)
        except StrutkitError as fault:
            body = {"fault": str(fault)}
        except Exception as fault:
            words = f"The kit failed: {type(fault).__name__}, {fault}. Nothing is lost."
            widget.send(head | {"fault": words})
            raise
    widget.send(head | body, data)
