"""How many statements a call sends to the database."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import event

from portal.store.transaction import Store


@contextmanager
def counted(store: Store) -> Iterator[list[str]]:
    """Collects the statements that are sent while the block runs, but those that begin transactions."""
    sent: list[str] = []

    def note(_c: Any, _cursor: Any, statement: str, *_more: Any) -> None:
        if not statement.startswith("BEGIN"):
            sent.append(statement)

    event.listen(store.engine, "before_cursor_execute", note)
    try:
        yield sent
    finally:
        event.remove(store.engine, "before_cursor_execute", note)
