"""A house whose store is full: one lot taken all the way by acts, and copies of its rows as many as asked.

The copies go past the acts, because a hundred thousand of those would take an hour; the row that
is looked for was made by them.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

from flask import Flask, template_rendered
from flask.testing import FlaskClient
from sqlalchemy import text

from portal import create_app
from portal.acts import people
from portal.acts.parts import Actor
from portal.store import migrate
from portal.store.tables import Base
from tests.parts.house import PASSWORD, House, make_house

#: What makes each copy a record of its own; everything else is as in the lot that was made by acts.
OWN: dict[str, dict[str, str]] = {
    "lot": {
        "id": "printf('L%019d', n)", "name": "'Lot ' || n", "house_number": "'' || n",
        "stage": "CASE n % 4 WHEN 0 THEN 'asked' WHEN 1 THEN 'sent' WHEN 2 THEN 'booked' ELSE stage END",
        "changed_at": "strftime('%Y-%m-%d %H:%M:%f', changed_at, '-' || n || ' minutes') || '000'",
    },
    "warranty": {
        "id": "printf('W%019d', n)", "number": "printf('N%012d', n)", "link_token": "printf('T%031d', n)",
        "house_key": "'' || n", "lot_id": "printf('L%019d', n)",
    },
    "register_line": {
        "warranty_id": "printf('W%019d', n)", "find_key": "lower(hex(randomblob(32)))",
        "place_key": "n || '|LIME KILN LN|' || printf('%05d', n % 40000)",
        "subdivision_key": "'SUBDIVISION ' || (n % 5000)", "certificate_key": "'CA' || (n % 60)",
        "technician_key": "'TECHNICIAN ' || (n % 60)", "container_lot": "'L-' || (n % 20000)",
        "says": "'lot ' || n || char(10) || n || ' lime kiln lane' || char(10) || 'harrow & finch homes'",
        "treated_on": "date(treated_on, '-' || (n % 7300) || ' days')",
        "year": "CAST(strftime('%Y', date(treated_on, '-' || (n % 7300) || ' days')) AS INTEGER)",
    },
    "register_container": {"container_key": "'L' || (n % 20000)", "warranty_id": "printf('W%019d', n)"},
    "quote": {"id": "printf('Q%019d', n)", "lot_id": "printf('L%019d', n)", "number": "printf('Q-%d', n)"},
    "revision": {"id": "printf('R%019d', n)", "quote_id": "printf('Q%019d', n)"},
    "job": {
        "id": "printf('J%019d', n)", "lot_id": "printf('L%019d', n)", "number": "printf('J-%d', n)",
        "revision_id": "printf('R%019d', n)",
    },
}  # fmt: skip


@contextmanager
def a_house() -> Iterator[House]:
    """A furnished house on a fresh SQLite store, with the real papers and letters."""
    with tempfile.TemporaryDirectory(prefix="sillbook-bench-") as made:
        folder = Path(made)
        url = f"sqlite:///{folder / 'sillbook.db'}"
        migrate.upgrade(url)
        house = make_house(url, folder)
        house.use_real()
        try:
            yield house
        finally:
            house.parts.store.engine.dispose()


def copying(table: str, empty: tuple[str, ...] = ()) -> str:
    """The statement that makes `:count` copies of the one row that a table has, numbered from 1.

    `empty`: columns of documents that the copies do not carry.
    """
    own = OWN[table] | dict.fromkeys(empty, "'{}'")
    columns = [column.name for column in Base.metadata.tables[table].columns]
    values = ", ".join(own.get(column, column) for column in columns)
    return (
        "WITH RECURSIVE seq(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM seq WHERE n < :count) "
        f"INSERT INTO {table} ({', '.join(columns)}) SELECT {values} FROM {table}, seq "
        f"WHERE {table}.rowid = (SELECT min(rowid) FROM {table})"
    )


def copy_rows(house: House, count: int, *tables: str) -> None:
    """`count` copies of the one row that each of these tables has, numbered from 1."""
    with house.parts.store.writing() as work:
        for table in tables:
            work.session.execute(text(copying(table)), {"count": count})
        work.session.execute(text("ANALYZE"))


def browser(house: House, who: Actor | None) -> tuple[Flask, FlaskClient]:
    """The application, and a browser in which this person is signed in, if anybody."""
    app = create_app(house.settings, house.parts)
    app.config["WTF_CSRF_ENABLED"] = False
    client = app.test_client()
    if who is not None:
        token = people.sign_in(house.parts, who.email, PASSWORD, "127.0.0.1")
        with client.session_transaction() as session:
            session["sign_in"] = token
    return app, client


def held_page(app: Flask, client: FlaskClient, path: str) -> str:
    """A new address that answers with the same page from values that it holds, and asks nobody anything."""
    seen: list[tuple[Any, dict[str, Any]]] = []

    def keep(_app: Flask, template: Any, context: dict[str, Any], **_more: Any) -> None:
        seen.append((template, context))

    with template_rendered.connected_to(keep, app):
        shown = client.get(path)
    assert shown.status_code == 200, shown.status
    template, context = seen[-1]
    address = f"/held-{len(app.view_functions)}"
    app._got_first_request = False  # an address more, after the first request; a server would not do that
    app.add_url_rule(address, address, lambda: template.render(context))
    assert len(client.get(address).data) == len(shown.data)
    return address


def fetch(client: FlaskClient, path: str) -> bytes:
    """One page."""
    answer = client.get(path)
    if answer.status_code != 200:
        raise RuntimeError(f"{path}: {answer.status}")
    return answer.data


def a_while_ago(house: House) -> None:
    """Turn the clock on, so that nothing is of this very moment."""
    house.clock.moment += timedelta(minutes=5)
