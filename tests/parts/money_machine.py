"""Whatever happens to money, in whatever order: a state machine over the acts, and what must always hold.

Every act is tried at any time, with sums that fit and sums that do not. It does its work or refuses in words;
after each step the database itself is asked, past all of our own code, whether the books still hold. A run
begins with lots that came as far as money already, so that its steps are about money; the way there is among
its acts too.
"""

from __future__ import annotations

import json
import shutil
import sqlite3
import tempfile
from collections import Counter
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test
from sqlalchemy import event

from portal.acts import (
    billing_terms,
    bouncing,
    closing,
    crediting,
    paying,
    rebilling,
    releasing,
    statements,
    using_credit,
)
from portal.acts.issuing import seen_of
from portal.acts.paying import Typed
from portal.acts.rebilling import Change
from portal.core.errors import SillbookError
from tests.parts.house import Furnished, House, bare_house

#: A disk in memory where there is one: what is tried here is not the disk.
QUICK = Path("/dev/shm") if Path("/dev/shm").is_dir() else None
PHASES = (Phase.generate, Phase.shrink)
DAY, DAY_ONE = timedelta(days=1), date(2020, 1, 1)
PICK = st.integers(0, 11)
DAYS_AGO = st.sampled_from((0, 0, 0, 1, 9, 40))
SHARE = st.sampled_from(("all", "all", "half", "a cent", "too much", "nothing"))


def cents(amount: str) -> int:
    """Whole cents of an amount as documents write it."""
    return int(Decimal(amount) * 100)


class Prepared:
    """A furnished database with lots on the way, made once and copied for each run."""

    def __init__(self, furnished: Furnished) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="sillbook-money-", dir=QUICK))
        self.first = self.folder / "first.db"
        house = furnished.sqlite(self.first)
        # One builder is billed by all terms that there are, the other by the firm's.
        billing_terms.enter_terms(house.parts, house.owner, house.builder.company_id or "", {
            "net_days": "30", "prompt_percent": "2", "prompt_days": "10", "deposit_percent": "25",
            "retained_percent": "10",
        }, house.key())  # fmt: skip
        theirs = house.sent(house.approved(house.to_check(house.asked(by=house.rival))))
        house.accept(theirs, by=house.rival)
        house.treated(house.booked(theirs))
        for _ in range(2):
            house.treated()
            house.booked()
        house.accepted(), house.sent()
        self.kept = house.cast(), house.draw.getstate(), house.clock.moment
        with house.parts.store.engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
        house.parts.store.engine.dispose()

        self.copy = self.folder / "copy.db"
        # One engine for all runs: it remembers how each statement is written.
        self.house = bare_house(f"sqlite:///{self.copy}", self.folder)
        event.listen(self.house.parts.store.engine, "connect", _hurry)

    def begin(self) -> House:
        """The house on a fresh copy, as every run begins."""
        self.house.parts.store.engine.dispose()
        for left in ("-wal", "-shm"):
            Path(f"{self.copy}{left}").unlink(missing_ok=True)
        shutil.copyfile(self.first, self.copy)
        cast, draws, self.house.clock.moment = self.kept
        self.house.recall(cast, draws)
        self.house.go_on_counting(100)
        return self.house


def _hurry(raw: Any, _record: Any) -> None:
    raw.execute("PRAGMA synchronous=OFF")


class MoneyInAnyOrder(RuleBasedStateMachine):
    """Builders, the office and an owner, at the money of a few lots."""

    prepared: Prepared
    #: What was done and what was refused, over all runs: a rule that never came through proves nothing.
    did: Counter[str]

    def __init__(self) -> None:
        super().__init__()
        self.house = self.prepared.begin()
        self.asked = 0
        self.raw = sqlite3.connect(self.prepared.copy)
        self.kept: dict[str, tuple[Any, ...]] = {}

    def teardown(self) -> None:
        self.raw.close()

    # What there is, past our own code.

    def ask(self, query: str, *values: Any) -> list[tuple[Any, ...]]:
        return self.raw.execute(query, values).fetchall()

    def one_of(self, query: str, pick: int, *values: Any) -> tuple[Any, ...] | None:
        found = self.ask(query, *values)
        return found[pick % len(found)] if found else None

    def invoice(self, pick: int) -> tuple[str, str, Decimal] | None:
        """An invoice: its id, its builder, what it asks for now."""
        found = self.one_of(
            "SELECT id, company_id, (SELECT coalesce(sum(amount), 0) FROM posting"
            " WHERE invoice_id = invoice.id AND account = 'receivable') FROM invoice ORDER BY number", pick,
        )  # fmt: skip
        return (found[0], found[1], Decimal(found[2]) / 100) if found else None

    def attempt(self, name: str, act: Callable[[], Any]) -> None:
        """Do it, or be refused in words; anything else is an error of ours."""
        try:
            act()
        except SillbookError:
            self.did[f"{name} refused"] += 1
        else:
            self.did[name] += 1

    # What people do.

    @rule(pick=PICK)
    def go_on(self, pick: int) -> None:
        """The next act on a lot, from asking to the treatment; now and then a new one is asked for."""
        ahead = {"asked": "to_check", "to check": "approved", "approved": "sent", "sent": "accepted",
                 "accepted": "booked", "booked": "treated"}  # fmt: skip
        found = self.one_of(
            f"SELECT id, stage FROM lot WHERE stage IN ({', '.join('?' * len(ahead))}) ORDER BY name",
            pick,
            *ahead,
        )
        if found is None or (pick > 8 and self.asked < 3):
            self.asked += 1
            self.attempt("ask", self.house.asked)
            return
        lot, stage = found
        if stage == "booked":  # its day may be over
            self.attempt("moved", lambda: self.house.book(lot, self.house.parts.today(), reason="It rained."))
        self.attempt(ahead[stage], lambda: getattr(self.house, ahead[stage])(lot))

    def some(self, share: str, of: Decimal) -> str:
        """An amount as it is typed: a share of what is asked for."""
        half = (of / 2).quantize(Decimal("0.01"))
        sums = {
            "all": of,
            "half": half,
            "a cent": Decimal("0.01"),
            "too much": of + 100,
            "nothing": Decimal(0),
        }
        return str(sums[share])

    @rule(pick=PICK, share=SHARE, ago=DAYS_AGO, twice=st.booleans())
    def pay(self, pick: int, share: str, ago: int, twice: bool) -> None:
        """Money on one invoice; now and then the form is sent twice."""
        found = self.invoice(pick)
        if not found:
            return
        amount, key = self.some(share, found[2]), self.house.key()
        for _ in range(1 + twice):
            self.attempt("pay", lambda: self.record(found, amount, ago, key))

    def record(self, found: tuple[str, str, Decimal], amount: str, ago: int, key: str) -> None:
        paying.record_payment(
            self.house.parts, self.house.office, found[0], amount, "check", "2288", self.ago(ago), key,
            keep=str(Decimal(amount) - found[2]),
        )  # fmt: skip

    def ago(self, days: int) -> date:
        """A day so long ago."""
        return self.house.parts.today() - timedelta(days=days)

    @rule(pick=PICK, share=SHARE, ago=DAYS_AGO, how=st.sampled_from(("oldest", "chosen", "none")))
    def receive(self, pick: int, share: str, ago: int, how: str) -> None:
        """Money from a builder, for whatever it owes, for a part of one invoice, or ahead."""
        found = self.invoice(pick)
        if not found:
            return
        invoice_id, company_id, asks = found
        chosen = {invoice_id: self.some(share, asks)} if how == "chosen" else {}
        amount = self.some("half" if how == "chosen" and pick % 2 else share, asks * 2)
        rest = Decimal(amount) - (Decimal(chosen[invoice_id]) if chosen else self.asked_of(company_id))
        typed = Typed(amount, "bank transfer", "T 14", self.ago(ago), how, chosen, keep=str(rest))
        self.attempt(f"receive {how}", lambda: paying.receive_payment(
            self.house.parts, self.house.office, company_id, typed, self.house.key()
        ))  # fmt: skip

    @rule(pick=PICK, share=SHARE)
    def use_credit(self, pick: int, share: str) -> None:
        found = self.invoice(pick)
        if found and (pick > 9 or self.credit(found[1]) > 0):
            chosen = {found[0]: self.some(share, min(found[2], max(self.credit(found[1]), Decimal("0.01"))))}
            self.attempt("use credit", lambda: using_credit.use_credit(
                self.house.parts, self.house.office, found[1], chosen, self.house.key()
            ))  # fmt: skip

    def asked_of(self, company_id: str) -> Decimal:
        """What all of a builder's invoices ask for now."""
        [(sum_of_it,)] = self.ask(
            "SELECT coalesce(sum(amount), 0) FROM posting WHERE account = 'receivable' AND company_id = ?",
            company_id,
        )
        return Decimal(sum_of_it) / 100

    def credit(self, company_id: str) -> Decimal:
        """What a builder has to its credit."""
        [(sum_of_it,)] = self.ask(
            "SELECT coalesce(-sum(amount), 0) FROM posting WHERE account = 'credits' AND company_id = ?",
            company_id,
        )
        return Decimal(sum_of_it) / 100

    @rule(pick=PICK, share=SHARE, ago=DAYS_AGO)
    def refund(self, pick: int, share: str, ago: int) -> None:
        company_id = (self.house.builder, self.house.rival)[pick % 2].company_id or ""
        if pick < 10 and self.credit(company_id) <= 0:
            return
        amount = self.some(share, self.credit(company_id))
        self.attempt("refund", lambda: using_credit.refund(
            self.house.parts, self.house.office, company_id, amount, "check", "R 1", self.ago(ago),
            "It moved away.", self.house.key(),
        ))  # fmt: skip

    @rule(pick=PICK, ago=DAYS_AGO, kind=st.sampled_from(bouncing.KINDS))
    def bounce(self, pick: int, ago: int, kind: str) -> None:
        found = self.one_of("SELECT id FROM payment ORDER BY recorded_at, id", pick)
        if found:
            self.attempt("bounce", lambda: bouncing.bounce(
                self.house.parts, self.house.office, found[0], kind, self.ago(ago), "No funds.",
                self.house.key(),
            ))  # fmt: skip

    @rule(pick=PICK, share=SHARE, seldom=PICK)
    def write_off(self, pick: int, share: str, seldom: int) -> None:
        found = self.invoice(pick)
        if found and seldom < 3:
            self.attempt("write off", lambda: bouncing.write_off(
                self.house.parts, self.house.owner, found[0], self.some(share, found[2]), "Nobody is left.",
                self.house.key(),
            ))  # fmt: skip

    @rule(pick=PICK, share=SHARE, whole=st.booleans(), line=st.integers(0, 3))
    def credit_note(self, pick: int, share: str, whole: bool, line: int) -> None:
        """Take back all of an invoice, or so much of a line."""
        found = self.invoice(pick)
        if found and pick < 7:
            typed = {} if whole else {f"line.0.{line}": self.some(share, Decimal(60))}
            self.attempt("credit whole" if whole else "credit line", lambda: crediting.credit(
                self.house.parts, self.house.office, found[0], typed, whole, "As agreed.", self.house.key()
            ))  # fmt: skip

    @rule(pick=PICK, more=st.sampled_from(("", "12.50", "-3")))
    def rebill(self, pick: int, more: str) -> None:
        found = self.one_of("SELECT id FROM invoice WHERE state = 'credited' ORDER BY number", pick)
        if found:
            change = Change(1, "Stairs", "Left out before.", more) if more else Change(1, "", "", "")
            self.attempt("rebill", lambda: self.bill_anew(found[0], change))

    def bill_anew(self, invoice: str, change: Change) -> None:
        """As people do: looked at first, then issued as it was shown."""
        parts, office = self.house.parts, self.house.office
        seen = seen_of(rebilling.look(parts, office, invoice, "PO-2", (change,)).document)
        rebilling.rebill(parts, office, invoice, "PO-2", (change,), seen, self.house.key())

    @rule(pick=PICK, share=SHARE)
    def release(self, pick: int, share: str) -> None:
        """Release what is held back of an invoice."""
        found = self.one_of(
            "SELECT invoice_id, sum(amount) FROM posting WHERE account = 'retainage' GROUP BY invoice_id"
            " ORDER BY invoice_id", pick,
        )  # fmt: skip
        if found:
            amount = self.some(share, Decimal(found[1]) / 100)
            self.attempt("release", lambda: releasing.release_retainage(
                self.house.parts, self.house.office, found[0], amount, self.house.key()
            ))  # fmt: skip

    @rule(days=st.sampled_from((1, 12, 31)))
    def time_passes(self, days: int) -> None:
        self.house.clock.pass_by(days=days)

    @rule(wait=st.booleans())
    def close(self, wait: bool) -> None:
        """The owner closes the next month, if it is over; perhaps by waiting until it is."""
        seen = closing.look(self.house.parts, self.house.owner)
        if seen is None:
            return
        if wait and not seen.over:
            self.house.clock.turn_to(seen.through + timedelta(days=1))
        self.attempt(
            "close", lambda: closing.close_month(self.house.parts, self.house.owner, seen.through, seen.mark)
        )
        if self.ask("SELECT 1 FROM closed_month WHERE through = ?", seen.through.isoformat()):
            self.kept.setdefault(seen.through.isoformat(), self.through(seen.through.isoformat()))

    def through(self, day: str) -> tuple[Any, ...]:
        """All that the ledger says up to a day, posting by posting, summed up by the database."""
        return tuple(self.ask(
            "SELECT count(DISTINCT e.seq), count(*), max(p.seq), p.account, sum(p.amount) FROM posting p"
            ' JOIN ledger_entry e ON e.seq = p.entry_seq WHERE e."on" <= ? GROUP BY p.account ORDER BY 4',
            day,
        ))  # fmt: skip

    @rule(pick=PICK, days=st.sampled_from((0, 14, 60)))
    def statement(self, pick: int, days: int) -> None:
        """A builder's statement, frozen: each of its sums is what the ledger says for its days."""
        company_id = (self.house.builder, self.house.rival)[pick % 2].company_id or ""
        first, last = self.ago(days), self.house.parts.today()
        made = statements.make_statement(
            self.house.parts, self.house.office, company_id, first, last, self.house.key()
        )
        self.did["statement"] += 1
        [(stored,)] = self.ask("SELECT document FROM statement WHERE id = ?", made)
        said = json.loads(stored)
        moved = self.of_ledger(company_id, "'receivable', 'credits'", first, last)
        assert cents(said["opening"]) == self.of_ledger(
            company_id, "'receivable', 'credits'", DAY_ONE, first - DAY
        )
        assert cents(said["closing"]) == cents(said["opening"]) + moved
        assert sum(cents(line["amount"]) for line in said["lines"]) == moved
        assert cents(said["credit"]) == -self.of_ledger(company_id, "'credits'", DAY_ONE, last)
        assert cents(said["held_back"]) == self.of_ledger(company_id, "'retainage'", DAY_ONE, last)
        asked = self.of_ledger(company_id, "'receivable'", DAY_ONE, last)
        assert sum(cents(row["open"]) for row in said["open"]) == asked

    def of_ledger(self, company_id: str, accounts: str, first: date, last: date) -> int:
        """What was posted to a builder's accounts in a span of days, in cents."""
        [(found,)] = self.ask(
            "SELECT coalesce(sum(p.amount), 0) FROM posting p JOIN ledger_entry e ON e.seq = p.entry_seq"
            f' WHERE p.company_id = ? AND p.account IN ({accounts}) AND e."on" BETWEEN ? AND ?',
            company_id, first.isoformat(), last.isoformat(),
        )  # fmt: skip
        return int(found)

    # What must always hold.

    @invariant()
    def every_entry_balances(self) -> None:
        assert not self.ask("SELECT entry_seq FROM posting GROUP BY entry_seq HAVING sum(amount) <> 0")

    @invariant()
    def no_invoice_asks_for_less_than_nothing(self) -> None:
        found = self.ask(
            "SELECT invoice_id, account, sum(amount) FROM posting"
            " WHERE account IN ('receivable', 'retainage')"
            " GROUP BY invoice_id, account HAVING sum(amount) < 0"
        )
        assert found == []

    @invariant()
    def what_is_open_is_what_the_state_says(self) -> None:
        for number, state, total, still in self.ask(
            "SELECT number, state, total, (SELECT coalesce(sum(amount), 0) FROM posting WHERE"
            " invoice_id = invoice.id AND account IN ('receivable', 'retainage')) FROM invoice"
        ):
            assert 0 <= still <= total, number
            expected = {"issued": still == total, "part paid": 0 < still < total}.get(state, still == 0)
            assert expected, (number, state, total, still)

    @invariant()
    def what_pays_an_invoice_is_what_the_ledger_took_off_it(self) -> None:
        posted = self.ask(
            "SELECT p.invoice_id, -sum(p.amount) FROM posting p JOIN ledger_entry e ON e.seq = p.entry_seq"
            " WHERE p.account = 'receivable' AND e.event IN ('received', 'applied', 'bounced')"
            " GROUP BY p.invoice_id HAVING sum(p.amount) <> 0 ORDER BY 1"
        )
        allocated = self.ask(
            "SELECT invoice_id, sum(amount) FROM allocation GROUP BY invoice_id"
            " HAVING sum(amount) <> 0 ORDER BY 1"
        )
        assert posted == allocated

    @invariant()
    def no_number_is_missing_or_double(self) -> None:
        numbers = [
            row[0]
            for row in self.ask(
                "SELECT number FROM invoice UNION ALL SELECT number FROM credit_note"
                " UNION ALL SELECT number FROM retainage_paper UNION ALL SELECT number FROM statement"
            )
        ]
        series: dict[str, list[int]] = {}
        for number in numbers:
            name, _dash, count = number.rpartition("-")
            series.setdefault(name, []).append(int(count))
        for name, counts in series.items():
            assert sorted(counts) == list(range(1, len(counts) + 1)), name
            assert self.ask("SELECT last FROM number_series WHERE name = ?", name) == [(len(counts),)]

    @invariant()
    def nothing_closed_changes(self) -> None:
        for day, kept in self.kept.items():
            assert self.through(day) == kept


@pytest.fixture(scope="module")
def prepared(furnished: Furnished) -> Any:
    """The database that every run begins with."""
    made = Prepared(furnished)
    yield made
    made.house.parts.store.engine.dispose()
    shutil.rmtree(made.folder)


def run(prepared: Prepared, luck: int, runs: int) -> Counter[str]:
    """So many runs of up to 50 steps; what was done in them, by name."""
    did: Counter[str] = Counter()
    machine = seed(luck)(type("Machine", (MoneyInAnyOrder,), {"prepared": prepared, "did": did}))
    run_state_machine_as_test(machine, settings=settings(
        max_examples=runs, stateful_step_count=50, deadline=None, database=None, derandomize=False,
        report_multiple_bugs=False, phases=PHASES,
        suppress_health_check=list(HealthCheck),
    ))  # fmt: skip
    return did


#: What has to come through in five hundred runs, and at least how often: far under what was seen, so that a
#: rule which is never reached turns it red, and another seed does not.
TRIED = {
    "ask": 15, "to_check": 7, "accepted": 4, "booked": 15, "treated": 30, "pay": 100, "close": 100,
    "receive oldest": 30, "receive chosen": 12, "receive none": 50, "use credit": 30, "refund": 20,
    "bounce": 50, "write off": 25, "credit whole": 60, "credit line": 10, "rebill": 2, "release": 50,
    "statement": 150,
}  # fmt: skip


def all_was_tried(did: Counter[str]) -> None:
    """The runs came all the way: every kind of act was done, and not only refused."""
    assert {name: did[name] for name, least in TRIED.items() if did[name] < least} == {}, did
