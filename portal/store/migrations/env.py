"""How Alembic runs our migrations: on one connection, each in a transaction."""

from typing import Any, Literal

from alembic import context
from sqlalchemy import Connection, event

from portal.store.tables import Base
from portal.store.tables.base import Cents, Moment
from portal.store.transaction import WRITING, connect


def plain_types(kind: str, item: object, _context: object) -> str | Literal[False]:
    """A migration names database types, not our classes, which may move."""
    if kind == "type" and isinstance(item, Cents):
        return "sa.BigInteger()"
    if kind == "type" and isinstance(item, Moment):
        return "sa.DateTime(timezone=True)"
    return False


def run(connection: Connection) -> None:
    context.configure(
        connection=connection,
        target_metadata=Base.metadata,
        render_as_batch=connection.dialect.name == "sqlite",
        compare_type=True,
        render_item=plain_types,
    )
    with context.begin_transaction():
        context.run_migrations()


def without_references(raw: Any, _record: object) -> None:
    """SQLite rebuilds a table by dropping it, which would break every reference to it half way."""
    raw.execute("PRAGMA foreign_keys=OFF")


def check_references(connection: Connection) -> None:
    """Every reference looked at again, before the change is kept."""
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if broken:
        raise RuntimeError(f"references that lead nowhere: {broken[:5]}")


url = context.config.get_main_option("sqlalchemy.url")
assert url is not None
engine = connect(url)
if engine.name == "sqlite":
    event.listen(engine, "connect", without_references)
with engine.connect().execution_options(**{WRITING: True}) as open_connection:
    run(open_connection)
    if engine.name == "sqlite":
        check_references(open_connection)
    open_connection.commit()
engine.dispose()
