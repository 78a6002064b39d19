"""Two people at the same moment: calls in threads that start together."""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any


def at_once(*calls: Callable[[], Any]) -> list[Any]:
    """Run all calls side by side; what each returned, or the exception it raised, in their order."""
    start = threading.Barrier(len(calls))

    def run(call: Callable[[], Any]) -> Any:
        start.wait(timeout=10)
        try:
            return call()
        except Exception as error:
            return error

    with ThreadPoolExecutor(len(calls)) as threads:
        return list(threads.map(run, calls))
