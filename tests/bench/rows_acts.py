"""Rows of acts and papers: marking treated, whole, and the PDF of an invoice, made and found again."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count

from flask import Response, send_file
from sqlalchemy import event, text
from weasyprint import HTML

from portal.acts import papers, treating
from portal.core.documents import InvoiceDocument, from_stored
from portal.store.tables import Invoice, Job, Warranty
from tests.bench.filled import a_house, browser, copy_rows, fetch
from tests.bench.harness import Pair, row
from tests.parts.house import House

STOPS = 600


def booked_stops(house: House) -> Iterator[str]:
    """Ids of jobs that are booked for today, one for each call."""
    lot = house.booked()
    copy_rows(house, STOPS, "lot", "quote", "revision", "job")
    house.clock.turn_to(house.parts.today(), 18)
    house.lot_by_acts = lot  # type: ignore[attr-defined]
    with house.parts.store.reading() as work:
        yield from [job_id for (job_id,) in work.session.query(Job.id).order_by(Job.id)]
    raise RuntimeError(f"more than {STOPS} stops were marked: book more")


def rows_written(house: House, act: object) -> list[int]:
    """Bytes of every row that an act writes: its values as text."""
    written: list[int] = []

    def note(
        _c: object, _cursor: object, statement: str, parameters: object, _ctx: object, many: bool
    ) -> None:
        if statement.startswith(("INSERT", "UPDATE", "DELETE")):
            rows = parameters if many else [parameters]
            written.extend(sum(len(str(value)) for value in values) for values in rows)  # type: ignore[attr-defined]

    event.listen(house.parts.store.engine, "before_cursor_execute", note)
    act()  # type: ignore[operator]
    event.remove(house.parts.store.engine, "before_cursor_execute", note)
    return written


@row(
    "marking a stop treated, whole", against="a bare commit of as many rows", aim=5,
    why="between begin and commit the entry is judged, three documents are made and hashed, three lines "
    "chained to the history and three letters written out of nine templates, some seven milliseconds; where "
    "the disk answers a commit at once the floor is under one, where it takes four it is within the aim",
)  # fmt: skip
def mark_treated() -> Iterator[Pair]:
    """The floor inserts as many rows of as many bytes, a statement a row, in one transaction there."""
    with a_house() as house:
        stops = booked_stops(house)
        first = next(stops)
        entry = house.entry(house.lot_by_acts)  # type: ignore[attr-defined]
        keys = count(1)

        def mark() -> None:
            treating.mark_treated(house.parts, house.technician, next(stops), entry, f"bench-{next(keys)}")

        assert first
        sizes = rows_written(house, mark)
        with house.parts.store.writing() as work:
            work.session.execute(text("CREATE TABLE bare (id INTEGER PRIMARY KEY, body TEXT)"))
        bodies = ["x" * size for size in sizes]

        def bare() -> None:
            with house.parts.store.writing() as work:
                connection = work.session.connection()
                for body in bodies:
                    connection.exec_driver_sql("INSERT INTO bare (body) VALUES (?)", (body,))

        yield Pair(floor=bare, subject=mark, turns=15)
        with house.parts.store.reading() as work:
            assert work.session.query(Warranty).count() > 10  # it was really done


@row("an invoice's PDF, made", against="the library's own blank page", aim=10)
def invoice_made() -> Iterator[Pair]:
    """From the frozen document to bytes; the floor is one page with nothing on it."""
    with a_house() as house:
        lot = house.treated(found={"1.1.N": "sided"})
        with house.parts.store.reading() as work:
            stored = work.session.query(Invoice).filter(Invoice.lot_id == lot).one().document
        document = from_stored(InvoiceDocument, stored)
        blank = "<!doctype html><html lang=en><title>Blank</title><p></p></html>"
        yield Pair(
            floor=lambda: HTML(string=blank).write_pdf(),
            subject=lambda: house.parts.papers.make("invoice", document, {}),
            turns=9,
        )


@row(
    "an invoice's PDF, asked for again and signed in", against="the same file without a query", aim=2,
    why="who asks, whose lot it is and which file it is are three questions in two goes, "
    "and the bytes are checked against their hash: half a millisecond, where the floor knows the path",
)  # fmt: skip
def invoice_again() -> Iterator[Pair]:
    """Through the application both times."""
    with a_house() as house:
        lot = house.treated()
        papers.paper(house.parts, house.builder, lot, "invoice")
        app, client = browser(house, house.builder)
        [path] = [path for path in house.settings.blobs.rglob("*") if path.is_file()]

        def held() -> Response:
            response = send_file(path, mimetype="application/pdf", conditional=False)
            response.direct_passthrough = False
            return response

        app.add_url_rule("/held", "held", held)
        assert fetch(client, "/held") == fetch(client, f"/lots/{lot}/papers/invoice")
        yield Pair(
            floor=lambda: fetch(client, "/held"), subject=lambda: fetch(client, f"/lots/{lot}/papers/invoice")
        )
