"""Opens and closes the one transaction of an act, on SQLite and on PostgreSQL alike.

Leaving the block without an error commits; an error undoes everything. On SQLite a
writing transaction begins IMMEDIATE: the write lock is taken first, so that two
writers queue up instead of one of them failing half way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session
from sqlalchemy.orm.exc import StaleDataError

from portal.core.errors import Overtaken

#: How each database says that a unique key is there already: SQLSTATE, and SQLite's extended codes.
TAKEN = frozenset({"23505", 1555, 2067})
WRITING = "sillbook_writing"


@dataclass(frozen=True, slots=True)
class Work:
    """One open transaction: its session, the moment it began, and the maker of ids."""

    session: Session
    now: datetime
    new_id: Callable[[], str]

    def add(self, row: Any) -> None:
        """Put a new row in, at once, so that its constraints speak here and not at the end."""
        self.session.add(row)
        self.session.flush()

    def put(self, row: Any) -> None:
        """Put a new row in with the next flush, many of a kind at once: for rows that nobody races for."""
        self.session.add(row)


class Doubled(Overtaken):
    """Somebody else entered the same key first, and has just committed."""


class Store:
    """The door to the database. `now` and `new_id` come in from the edge."""

    def __init__(self, engine: Engine, now: Callable[[], datetime], new_id: Callable[[], str]) -> None:
        self.engine, self._now, self._new_id = engine, now, new_id

    @contextmanager
    def reading(self) -> Iterator[Work]:
        """A transaction that leaves nothing behind and sees one moment, however many queries it takes."""
        options = {"isolation_level": "REPEATABLE READ"} if self.engine.name == "postgresql" else {}
        with (
            self.engine.connect().execution_options(**options) as connection,
            Session(connection, autoflush=False) as session,
        ):
            yield Work(session, self._now(), self._new_id)

    @contextmanager
    def writing(self) -> Iterator[Work]:
        """A transaction that commits on leaving.

        Raises `Overtaken` where a row changed underneath, `Doubled` where a unique key was taken.
        """
        with (
            self.engine.connect().execution_options(**{WRITING: True}) as connection,
            Session(connection, expire_on_commit=False) as session,
        ):
            try:
                yield Work(session, self._now(), self._new_id)
                session.commit()
            except StaleDataError as stale:
                raise Overtaken("record") from stale
            except IntegrityError as error:
                if _is_taken(error):
                    raise Doubled("record") from error
                raise


def is_doubled(error: Exception) -> bool:
    """Whether this error says that a unique key was already there."""
    return isinstance(error, Doubled)


def _is_taken(error: IntegrityError) -> bool:
    # A missing value or a broken reference is a fault of ours, and must not pass for a race.
    code = getattr(error.orig, "sqlstate", None) or getattr(error.orig, "sqlite_errorcode", None)
    return code in TAKEN


def connect(url: str) -> Engine:
    """An engine for a database URL. SQLite gets WAL, enforced foreign keys and patient locks."""
    if url.startswith("postgresql"):
        return create_engine(url, pool_pre_ping=True)
    engine = create_engine(url, connect_args={"timeout": 30, "check_same_thread": False})
    event.listen(engine, "connect", _set_up_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _set_up_sqlite(raw: Any, _record: Any) -> None:
    # Python's sqlite3 opens transactions by itself, too late and only for writes; we open them.
    # FULL, because a letter leaves after its commit: a cut of power must not undo what it tells of.
    raw.isolation_level = None
    cursor = raw.cursor()
    for pragma in ("journal_mode=WAL", "foreign_keys=ON", "synchronous=FULL", "busy_timeout=30000"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    writing = connection.get_execution_options().get(WRITING)
    # Past SQLAlchemy's own way of executing: every page pays for this, several times.
    opened: Any = connection.connection.dbapi_connection
    opened.execute("BEGIN IMMEDIATE" if writing else "BEGIN")
