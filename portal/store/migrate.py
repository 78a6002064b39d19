"""Bring a database to the newest edition of its tables, or back."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import inspect

from portal.store.transaction import connect

PLACE = Path(__file__).parent / "migrations"


def _config(url: str) -> Config:
    config = Config()
    config.set_main_option("script_location", str(PLACE))
    config.set_main_option("sqlalchemy.url", url.replace("%", "%%"))
    return config


def upgrade(url: str, to: str = "head") -> None:
    """Run the migrations up to `to`."""
    command.upgrade(_config(url), to)


def downgrade(url: str, to: str = "base") -> None:
    """Run the migrations back to `to`."""
    command.downgrade(_config(url), to)


def is_current(url: str) -> bool:
    """Whether the database stands at the newest migration."""
    newest = ScriptDirectory.from_config(_config(url)).get_current_head()
    engine = connect(url)
    try:
        with engine.connect() as connection:
            if not inspect(connection).has_table("alembic_version"):
                return False
            return bool(
                connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar() == newest
            )
    finally:
        engine.dispose()
