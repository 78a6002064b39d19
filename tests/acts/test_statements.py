"""The statement equals the ledger: its balances, its lines, and what is open by how late it is."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest

from portal.acts import papers, statements
from portal.acts.parts import SYSTEM
from portal.acts.posting import post
from portal.core.documents import StatementDocument, from_stored
from portal.core.errors import NotFound
from portal.core.money import ledger
from portal.store import owed
from portal.store import statements as rows
from portal.store.tables import LedgerEntry, NumberSeries, Posting, Statement
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.parts.refusals import problems

pytestmark = pytest.mark.slow


def make(house: House, first: date, last: date, **more: Any) -> str:
    who = more.pop("who", house.office)
    company = house.builder.company_id or ""
    return statements.make_statement(house.parts, who, company, first, last, more.pop("key", house.key()))


def read(house: House, statement: str) -> StatementDocument:
    with house.parts.store.reading() as work:
        return from_stored(StatementDocument, rows.statement(work, statement).document)


def happened(house: House, event: str, subject: str, posts: ledger.Posts, on: date) -> None:
    """An event of money, posted as the act of it posts it."""
    company = house.builder.company_id or ""
    with house.parts.store.writing() as work:
        post(house.parts, work, SYSTEM, event, subject, posts, company_id=company, source_id="x",
             happened_on=on)  # fmt: skip


def told(document: StatementDocument) -> list[tuple[str, Decimal, Decimal]]:
    return [(line.event, line.amount, line.balance) for line in document.lines]


def test_every_event_of_money_stands_on_it_with_the_balance_after_it(house: House) -> None:
    begin = house.parts.today()
    lot = house.treated()  # 540.51
    other = house.treated()
    invoice, second = house.invoice(lot), house.invoice(other)
    days = [begin + timedelta(days=n) for n in range(1, 9)]
    house.clock.turn_to(days[-1])
    house.pay(lot, "500", received_on=days[0])
    happened(house, "received", "2291", ledger.received("check", Decimal("700")), days[1])
    happened(house, "applied", second.document.number, ledger.applied(second.id, Decimal("540.51")), days[2])
    undone = [(invoice.id, Decimal("500"))]
    happened(house, "bounced", "2288", ledger.bounced("check", Decimal("500"), undone), days[3])
    happened(house, "refunded", "Transfer", ledger.refunded("bank transfer", Decimal("100.00")), days[4])
    happened(house, "written off", invoice.document.number, ledger.written_off(invoice.id, Decimal("40.51")),
             days[5])  # fmt: skip

    found = read(house, make(house, begin, days[-1]))

    assert told(found) == [
        ("invoiced", Decimal("540.51"), Decimal("540.51")),
        ("invoiced", Decimal("540.51"), Decimal("1081.02")),
        ("received", Decimal("-500.00"), Decimal("581.02")),
        ("received", Decimal("-700.00"), Decimal("-118.98")),
        ("bounced", Decimal("500.00"), Decimal("381.02")),
        ("refunded", Decimal("100.00"), Decimal("481.02")),
        ("written off", Decimal("-40.51"), Decimal("440.51")),
    ]
    assert (found.opening, found.closing, found.credit) == (0, Decimal("440.51"), Decimal("59.49"))
    assert [(one.number, one.open) for one in found.open] == [(invoice.document.number, Decimal("500.00"))]
    assert found.ageing.total - found.credit == found.closing
    assert found.lines[0].about == f"{invoice.document.place.lot}, {invoice.document.place.address}"
    assert found.lines[4].about == invoice.document.number


def test_it_equals_the_ledger_wherever_its_time_is_cut(lite: House) -> None:
    """Summed here from the bare postings, another way than the statement's own queries."""
    begin = lite.parts.today()
    lots = []
    for n in range(3):
        lots.append(lite.treated())
        lite.clock.pass_by(days=20)
        lite.pay(lots[n], "100", received_on=lite.parts.today())
    end = lite.parts.today() + timedelta(days=40)
    lite.clock.turn_to(end)
    company = lite.builder.company_id
    with lite.parts.store.reading() as work:
        postings = [
            (entry.on, posting.amount)
            for posting, entry in work.session.query(Posting, LedgerEntry).join(
                LedgerEntry, LedgerEntry.seq == Posting.entry_seq
            )
            if posting.company_id == company and posting.account in ("receivable", "credits")
        ]

    cuts = [begin, begin + timedelta(days=15), begin + timedelta(days=20), begin + timedelta(days=47), end]
    for first, last in pairwise(cuts):
        found = read(lite, make(lite, first, last))
        assert found.opening == sum((a for day, a in postings if day < first), Decimal(0))
        assert found.closing == sum((a for day, a in postings if day <= last), Decimal(0))
        assert found.opening + sum((line.amount for line in found.lines), Decimal(0)) == found.closing
        assert found.ageing.total - found.credit == found.closing
        assert found.ageing.total == sum((one.open for one in found.open), Decimal(0))


def test_what_is_held_back_stands_apart(lite: House) -> None:
    lot, begin = lite.treated(), lite.parts.today()
    invoice = lite.invoice(lot)
    with lite.parts.store.writing() as work:
        row = owed.invoice(work, invoice.id)
        held = (ledger.Post(ledger.RETAINAGE, Decimal("54.05"), row.id),
                ledger.Post(ledger.RECEIVABLE, Decimal("-54.05"), row.id))  # fmt: skip
        post(lite.parts, work, SYSTEM, "credited", "x", held, company_id=row.company_id, source_id="x")

    found = read(lite, make(lite, begin, begin))

    assert (found.closing, found.held_back) == (Decimal("486.46"), Decimal("54.05"))
    assert found.ageing.current == Decimal("486.46")


def test_how_late_is_as_of_its_last_day(lite: House) -> None:
    lot, begin = lite.treated(), lite.parts.today()
    due = lite.invoice(lot).document.due_on
    lite.clock.turn_to(due + timedelta(days=200))

    for days, place in ((0, 0), (1, 1), (31, 2), (61, 3), (91, 4)):
        found = read(lite, make(lite, begin, due + timedelta(days=days)))
        assert found.ageing.buckets[place] == Decimal("540.51") and found.open[0].days == days


def test_it_is_frozen_and_the_same_asked_for_again_is_the_same_one(house: House) -> None:
    lot, begin = house.treated(), house.parts.today()
    first = make(house, begin, begin)
    before = read(house, first)

    assert make(house, begin, begin) == first
    assert make(house, begin, begin, who=house.builder) == first
    house.pay(lot, "100")
    second = make(house, begin, begin)

    assert second != first and read(house, first) == before
    assert (before.number, read(house, second).number) == ("STM-2027-0001", "STM-2027-0002")


def test_four_at_once_make_one(house: House) -> None:
    begin = house.parts.today()
    house.treated()

    answers = at_once(*[lambda: make(house, begin, begin)] * 4)

    assert len(set(answers)) == 1 and house.rows(Statement) == 1
    with house.parts.store.reading() as work:
        series = work.session.get(NumberSeries, "STM-2027")
        assert series is not None and series.last == 1


def test_its_days_are_judged(lite: House) -> None:
    today = lite.parts.today()
    company = lite.builder.company_id or ""

    def tried(first: date | None, last: date | None) -> dict[str, str]:
        return problems(
            lambda: statements.make_statement(lite.parts, lite.office, company, first, last, lite.key())
        )

    assert tried(None, None) == {"first": "Enter the first day.", "last": "Enter the last day."}
    assert tried(today, today + timedelta(days=1)) == {
        "last": f"{today + timedelta(days=1)} has not come yet."
    }
    assert tried(today, today - timedelta(days=1)) == {"first": "The first day comes after the last."}


def test_a_builder_has_its_own_and_nobody_else_s(lite: House) -> None:
    begin = lite.parts.today()
    lite.treated()
    made = make(lite, begin, begin)

    assert papers.statement(lite.parts, lite.builder, made).name == "statement-STM-2027-0001.pdf"
    with pytest.raises(NotFound):
        papers.statement(lite.parts, lite.rival, made)
    company = lite.builder.company_id or ""
    theirs = statements.make_statement(lite.parts, lite.rival, company, begin, begin, lite.key())
    assert read(lite, theirs).builder.company == "Osier Creek Builders" and read(lite, theirs).lines == ()
    assert statements.account(lite.parts, lite.rival, company).company == "Osier Creek Builders"


def test_sending_it_is_told_and_kept(lite: House) -> None:
    begin = lite.parts.today()
    lite.treated()
    made, key = make(lite, begin, begin), lite.key()

    assert statements.send_statement(lite.parts, lite.office, made, key) == 1
    assert statements.send_statement(lite.parts, lite.office, made, key) == 1
    assert lite.letters().count(("statement", "harriet@example.com")) == 1
    assert statements.account(lite.parts, lite.builder).statements[0].sent_on == begin
