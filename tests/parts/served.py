"""An application served on a free port of this machine, in a thread, as the demo serves it."""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

import pytest
import waitress
from waitress import wasyncore


@contextmanager
def serving(app: Any) -> Iterator[str]:
    """Serve a WSGI application for as long as the block runs; gives its address, without a last slash."""
    door = socket.create_server(("127.0.0.1", 0))
    open_sockets: dict[int, Any] = {}
    server = waitress.create_server(app, map=open_sockets, sockets=[door], threads=8)
    over = threading.Event()

    def run() -> None:
        # waitress's own run() lingers until the browser lets its idle connections go; this loop can be told.
        while not over.is_set():
            wasyncore.loop(timeout=0.05, map=open_sockets, count=1)
        server.task_dispatcher.shutdown()
        wasyncore.close_all(open_sockets)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{door.getsockname()[1]}"
    finally:
        over.set()
        thread.join(timeout=20)


@pytest.fixture
def serve() -> Iterator[Callable[[Any], str]]:
    """`serve(app)` gives an address where the application answers until the test ends."""
    with ExitStack() as until_the_end:
        yield lambda app: until_the_end.enter_context(serving(app))
