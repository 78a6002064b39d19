"""Whatever people do, in whatever order: the books stay right. A state machine over the acts, on a database.

Every act is tried at any time. It either does its work or refuses in words; after
each, what must always hold is looked at in the store itself.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from contextlib import suppress
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, initialize, invariant, rule

from portal.acts import asking, booking, covering, quoting, treating, upkeep
from portal.acts.siding_day import give_siding_day
from portal.core.documents import fingerprint
from portal.core.errors import SillbookError
from portal.store import books
from portal.store.tables import (
    Allocation,
    Invoice,
    Job,
    LedgerEntry,
    Lot,
    Posting,
    Revision,
    TreatmentRecord,
    Warranty,
)
from tests.parts.house import Furnished, House, ranch

pytestmark = [pytest.mark.long, pytest.mark.timeout(900)]

SIDINGS = ("open", "wrapped", "sided")


class AnyOrder(RuleBasedStateMachine):
    """People of every kind, acting on a few lots."""

    furnished: Furnished
    reached: set[str]
    lots = Bundle("lots")

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="sillbook-order-"))
        self.house: House = self.furnished.sqlite(self.folder / "house.db")
        self.frozen: dict[str, str] = {}

    def teardown(self) -> None:
        self.house.parts.store.engine.dispose()
        shutil.rmtree(self.folder)

    def attempt(self, act: Callable[[], Any]) -> None:
        """Do it, or be refused in words; anything else is an error of ours."""
        with suppress(SillbookError):
            act()

    @initialize(target=lots)
    def a_lot(self) -> str:
        return self.house.asked()

    @rule(target=lots, siding=st.sampled_from(SIDINGS))
    def ask(self, siding: str) -> str:
        return self.house.asked(house=ranch(siding))

    @rule(lot=lots, siding=st.sampled_from(SIDINGS))
    def change(self, lot: str, siding: str) -> None:
        asked = self.house.lot_asked(house=ranch(siding))
        version = self.house.version(lot)
        self.attempt(lambda: asking.change(self.house.parts, self.house.builder, lot, version, asked))

    @rule(lot=lots)
    def ask_again(self, lot: str) -> None:
        asked, version = self.house.lot_asked(), self.house.version(lot)
        self.attempt(lambda: asking.ask_again(self.house.parts, self.house.builder, lot, version, asked))

    @rule(lot=lots, days=st.integers(-3, 30))
    def give_siding_day(self, lot: str, days: int) -> None:
        day, version = self.house.parts.today() + timedelta(days=days), self.house.version(lot)
        self.attempt(lambda: give_siding_day(self.house.parts, self.house.builder, lot, version, day))

    @rule(lot=lots, step=st.sampled_from(("to_check", "approved", "sent")))
    def quote(self, lot: str, step: str) -> None:
        self.attempt(lambda: getattr(self.house, step)(lot))

    @rule(lot=lots)
    def go_on(self, lot: str) -> None:
        """What comes next for this lot, so that runs come all the way and not only to refusals."""
        ahead = {"asked": "to_check", "to check": "approved", "approved": "sent", "sent": "accepted",
                 "accepted": "booked", "on site": "treated",
                 "part paid": "paid"}  # fmt: skip
        stage = self.house.sheet(lot).stage
        if stage == "treated":
            self.attempt(lambda: self.house.pay(lot, "100.00"))
        elif stage == "booked":
            self.attempt(
                lambda: treating.arrive(self.house.parts, self.house.technician, self.house.job(lot))
            )
        elif stage in ahead:
            self.attempt(lambda: getattr(self.house, ahead[stage])(lot))

    @rule(lot=lots)
    def revise(self, lot: str) -> None:
        version = self.house.version(lot)
        self.attempt(lambda: quoting.revise(self.house.parts, self.house.office, lot, version))

    @rule(lot=lots, amount=st.sampled_from(("0", "12.34", "85", "nine")))
    def add_extra(self, lot: str, amount: str) -> None:
        version = self.house.version(lot)
        self.attempt(lambda: quoting.add_extra(
            self.house.parts, self.house.office, lot, version, "Stairs", "By brush", amount
        ))  # fmt: skip

    @rule(lot=lots, key=st.sampled_from(("a", "b", "")))
    def accept(self, lot: str, key: str) -> None:
        if self.house.sheet(lot, self.house.builder).revisions:
            self.attempt(lambda: self.house.accept(lot, key=key))

    @rule(lot=lots, days=st.integers(0, 3))
    def book(self, lot: str, days: int) -> None:
        day = self.house.parts.today() + timedelta(days=days)
        self.attempt(lambda: self.house.book(lot, day))

    @rule(lot=lots)
    def call_off(self, lot: str) -> None:
        version = self.house.version(lot)
        self.attempt(lambda: booking.call_off(self.house.parts, self.house.office, lot, version, "Rain"))

    @rule(lot=lots)
    def arrive(self, lot: str) -> None:
        job = self.house.sheet(lot).job
        if job:
            self.attempt(lambda: treating.arrive(self.house.parts, self.house.technician, job.id))

    @rule(lot=lots, north=st.sampled_from(SIDINGS), whole=st.booleans())
    def treat(self, lot: str, north: str, whole: bool) -> None:
        self.house.clock.turn_to(self.house.parts.today(), 18)

        def mark() -> None:
            entry = self.house.entry(lot, {"1.1.N": north})
            self.house.mark(lot, entry if whole else entry | {"signed_by": ""})

        if self.house.sheet(lot).job:
            self.attempt(mark)

    @rule(lot=lots, amount=st.one_of(st.none(), st.decimals("0.01", "700", places=2)))
    def pay(self, lot: str, amount: Decimal | None) -> None:
        invoice = self.house.sheet(lot).invoice
        if invoice:
            self.attempt(lambda: self.house.pay(lot, str(invoice.open if amount is None else amount)))

    @rule(lot=lots, act=st.sampled_from((covering.release, treating.sign_off)))
    def office_act(self, lot: str, act: Callable[..., None]) -> None:
        self.attempt(lambda: act(self.house.parts, self.house.office, lot))

    @rule(lot=lots)
    def forget(self, lot: str) -> None:
        """A quote that nobody answers, until it has lapsed."""
        for step in ("to_check", "approved", "sent"):
            self.attempt(lambda step=step: getattr(self.house, step)(lot))  # type: ignore[misc]
        self.time_passes_by(35)

    @rule(days=st.sampled_from((1, 5, 35)))
    def time_passes(self, days: int) -> None:
        self.time_passes_by(days)

    def time_passes_by(self, days: int) -> None:
        self.house.clock.pass_by(days=days)
        quoting.lapse(self.house.parts)
        covering.expire(self.house.parts)

    @invariant()
    def no_invoice_is_overpaid(self) -> None:
        with self.house.parts.store.reading() as work:
            for invoice in work.session.query(Invoice):
                came = work.session.query(Allocation).filter_by(invoice_id=invoice.id)
                paid = sum((part.amount for part in came), Decimal(0))
                assert Decimal(0) <= paid <= invoice.total
                assert (invoice.state == "paid") == (paid == invoice.total)
                assert books.open_of(work, invoice.id) == invoice.total - paid

    @invariant()
    def every_entry_of_the_ledger_is_balanced(self) -> None:
        with self.house.parts.store.reading() as work:
            for entry in work.session.query(LedgerEntry):
                posts = work.session.query(Posting).filter_by(entry_seq=entry.seq)
                assert sum((post.amount for post in posts), Decimal(0)) == 0

    @invariant()
    def numbers_have_no_gap_and_no_double(self) -> None:
        with self.house.parts.store.reading() as work:
            for table in (Invoice, TreatmentRecord, Job):
                numbers = sorted(row.number for row in work.session.query(table))
                by_year: dict[str, list[int]] = {}
                for number in numbers:
                    series, _, count = number.rpartition("-")
                    by_year.setdefault(series, []).append(int(count))
                assert all(counts == list(range(1, len(counts) + 1)) for counts in by_year.values())

    @invariant()
    def treatment_invoice_and_warranty_come_together(self) -> None:
        with self.house.parts.store.reading() as work:
            treated, billed, promised = (
                {row.lot_id for row in work.session.query(table)}
                for table in (TreatmentRecord, Invoice, Warranty)
            )
            assert treated == billed == promised

    @invariant()
    def what_is_frozen_stays_as_it_was(self) -> None:
        with self.house.parts.store.reading() as work:
            for table in (Revision, Invoice, TreatmentRecord):
                for row in work.session.query(table):
                    if row.document is not None:
                        assert fingerprint(row.document) == row.fingerprint
                        assert self.frozen.setdefault(row.id, row.fingerprint) == row.fingerprint

    @invariant()
    def one_revision_at_most_is_accepted_or_open_to_an_answer(self) -> None:
        with self.house.parts.store.reading() as work:
            states: dict[str, list[str]] = {}
            for row in work.session.query(Revision):
                states.setdefault(row.quote_id, []).append(row.state)
            for found in states.values():
                assert sum(state in ("accepted", "sent") for state in found) <= 1

    @invariant()
    def stages_are_noted(self) -> None:
        """So that the run can show that it came all the way, and not only to refusals."""
        with self.house.parts.store.reading() as work:
            self.reached.update(row.stage for row in work.session.query(Lot))

    @invariant()
    def the_history_is_whole(self) -> None:
        assert upkeep.broken_link(self.house.parts) is None


def test_the_books_stay_right_in_any_order(furnished: Furnished) -> None:
    machine = type("Machine", (AnyOrder,), {"furnished": furnished, "reached": set()})
    machine.TestCase.settings = settings(
        max_examples=150, stateful_step_count=40, deadline=None, derandomize=True, database=None,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    machine.TestCase("runTest").runTest()

    assert {"lapsed", "accepted", "booked", "on site", "treated", "part paid", "in force"} <= machine.reached
