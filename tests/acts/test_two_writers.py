"""Two processes issue a thousand invoices each at once, one of them killed five times in between.

Each invoice is issued by the house's own door (`acts/issuing.py`), in a transaction of its own, by a process
of its own. Killed means SIGKILL: nothing is tidied up. Afterward every number from the first to the last
is there once, each with its postings, its history and its document, and the books balance.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest
from sqlalchemy import func, select

from portal.acts import upkeep
from portal.core.money.books import trial_balance
from portal.store import closing, ledger
from portal.store.tables import History, Invoice, InvoiceLot, LedgerEntry
from tests.parts.house import House

pytestmark = [pytest.mark.long, pytest.mark.timeout(600)]

ROOT = Path(__file__).resolve().parents[2]
EACH, KILLS = 1000, 5
#: A writer goes on until there are so many invoices of its own: what was committed before a kill counts.
WRITE = """
import random
import sys
import time
from datetime import datetime
from decimal import Decimal
from sqlalchemy import event, func, select
from portal import wiring
from portal.acts.issuing import Draft, issue
from portal.acts.parts import Actor
from portal.core.documents import InvoiceDocument, from_stored
from portal.core.money import ledger
from portal.settings import from_environment
from portal.store import lots, owed
from portal.store.tables import Invoice
from msgspec.structs import replace

name, lot_id, like, wanted, now = sys.argv[1:]
parts = wiring.build(from_environment(), lambda: datetime.fromisoformat(now))
# A test's disk need not outlive a cut of power; what a kill leaves is the same either way.
if parts.store.engine.name == "sqlite":
    event.listen(parts.store.engine, "connect", lambda raw, _record: raw.execute("PRAGMA synchronous=OFF"))
who = Actor(None, name, "", "system")
with parts.store.reading() as work:
    model = from_stored(InvoiceDocument, owed.invoice(work, like).document)
    company_id = owed.invoice(work, like).company_id
print("begun", flush=True)
while True:
    # As people do: who asks again at once would not let the other have a turn on SQLite.
    time.sleep(random.random() / 100)
    with parts.store.writing() as work:
        lots.locked(work, lot_id)
        mine = work.session.scalar(select(func.count()).where(Invoice.lot_id == lot_id))
        if mine >= int(wanted):
            break
        issue(parts, work, who, Draft(
            kind="treatment", company_id=company_id, lot_ids=(lot_id,), total=model.owed.total,
            make=lambda number: replace(model, number=number),
            posts=lambda invoice_id: ledger.invoiced(invoice_id, model.owed), speaks=False,
        ))
print("done", flush=True)
"""


def writer(house: House, name: str, lot_id: str, like: str) -> subprocess.Popen[str]:
    """A process that issues invoices for a lot, each like one that was issued already."""
    own = {
        "SILLBOOK_DATABASE": house.settings.database, "SILLBOOK_BLOBS": str(house.settings.blobs),
        "SILLBOOK_SECRET": house.settings.secret, "SILLBOOK_BASE_URL": house.settings.base_url,
    }  # fmt: skip
    command = [sys.executable, "-c", WRITE, name, lot_id, like, str(EACH), house.clock().isoformat()]
    return subprocess.Popen(
        command, cwd=ROOT, env=os.environ | own, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )


def ended(process: subprocess.Popen[str]) -> None:
    """Wait for a writer; it must have come to its end by itself."""
    out, trouble = process.communicate(timeout=500)
    assert process.returncode == 0 and out.split()[-1] == "done", trouble


def issued(house: House, lot_id: str) -> int:
    """How many invoices there are for a lot."""
    with house.parts.store.reading() as work:
        return work.session.scalar(select(func.count()).where(Invoice.lot_id == lot_id)) or 0


def kill_after(house: House, process: subprocess.Popen[str], lot_id: str, more: int, seconds: float) -> int:
    """Kill a writer once it has issued so many more invoices, and a moment later; how many there are then."""
    before = issued(house, lot_id)
    while issued(house, lot_id) < before + more:
        assert process.poll() is None, process.communicate()
        time.sleep(0.02)
    time.sleep(seconds)
    process.kill()
    process.communicate(timeout=20)
    return issued(house, lot_id)


def test_two_thousand_numbers_without_a_gap_or_a_double_though_one_is_killed_five_times(house: House) -> None:
    model = house.treated()
    like = house.invoice(model).id
    steady, shaken = house.accepted(), house.accepted()
    draw = random.Random(5)

    beside = writer(house, "Steady", steady, like)
    left = []
    for _ in range(KILLS):
        process = writer(house, "Shaken", shaken, like)
        left.append(kill_after(house, process, shaken, draw.randrange(20, 120), draw.random() / 20))
    last = writer(house, "Shaken", shaken, like)
    ended(last)
    ended(beside)

    assert left == sorted(left) and left[0] > 0 and left[-1] < EACH
    with house.parts.store.reading() as work:
        query = select(Invoice.number, Invoice.lot_id).where(Invoice.id != like).order_by(Invoice.number)
        in_turn = list(work.session.execute(query))
        numbers = [row.number for row in in_turn]
        of_lots = dict(
            work.session.execute(select(InvoiceLot.lot_id, func.count()).group_by(InvoiceLot.lot_id)).all()  # type: ignore[arg-type]
        )
        entries = work.session.scalar(select(func.count(func.distinct(LedgerEntry.source_id))))
        noted = list(work.session.scalars(select(History.subject).where(History.verb == "invoiced")))
        total = work.session.scalar(select(func.sum(Invoice.total)))
        trial = trial_balance(house.parts.today(), ledger.balances(work, house.parts.today()))
        unbalanced, gaps = ledger.unbalanced(work), closing.gaps(work)

    # They did write side by side: between two numbers running it was often the other's turn.
    turns = sum(one.lot_id != other.lot_id for one, other in pairwise(in_turn))
    assert turns > EACH / 10, turns
    # The model has the first number.
    assert sorted(numbers) == [f"INV-2027-{n:04}" for n in range(2, 2 * EACH + 2)]
    assert (of_lots[steady], of_lots[shaken]) == (EACH, EACH)
    assert sorted(noted) == sorted([*numbers, "INV-2027-0001"])
    assert (entries, unbalanced, gaps) == (2 * EACH + 1, [], ())
    receivable = next(line.debit for line in trial.lines if line.account == "receivable")
    assert trial.debit == trial.credit and receivable == total and receivable > Decimal(0)
    assert upkeep.broken_link(house.parts) is None
