"""A month is closed by the owner, once it is over and in order; from then on nothing is posted into it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from sqlalchemy import func, select, text
from sqlalchemy.exc import DBAPIError

from portal.acts import closing, disputing
from portal.core.documents import fingerprint
from portal.core.errors import Overtaken, Refused
from portal.core.money.books import trial_balance
from portal.store import ledger
from portal.store.tables import ClosedMonth, LedgerEntry, Posting
from tests.parts.house import House
from tests.parts.refusals import refusal

pytestmark = pytest.mark.slow

MAY, JUNE = date(2027, 5, 31), date(2027, 6, 30)


def close(house: House) -> date:
    """Close the next month as it was looked at."""
    seen = closing.look(house.parts, house.owner)
    assert seen is not None
    closing.close_month(house.parts, house.owner, seen.through, seen.mark)
    return seen.through


def test_nothing_is_there_to_close_before_anything_was_posted(lite: House) -> None:
    assert closing.look(lite.parts, lite.office) is None


def test_a_month_is_closed_when_it_is_over_and_not_before(house: House) -> None:
    house.treated()
    house.clock.turn_to(MAY)
    seen = closing.look(house.parts, house.owner)
    assert seen is not None
    assert (seen.through, seen.over, seen.entries) == (MAY, False, 1)

    said = refusal(lambda: closing.close_month(house.parts, house.owner, seen.through, seen.mark))
    assert said == "This month is not over: it can be closed from the first day of the next one."
    house.clock.turn_to(date(2027, 6, 1))
    closing.close_month(house.parts, house.owner, seen.through, seen.mark)

    with house.parts.store.reading() as work:
        [closed] = ledger.closed_months(work)
        scratch = trial_balance(MAY, ledger.balances(work, MAY, from_scratch=True))
        assert trial_balance(MAY, ledger.balances(work, MAY)) == scratch == seen.trial
    assert (closed.through, closed.closed_by, closed.fingerprint) == (MAY, "Odile Marchbank", seen.mark)
    assert fingerprint(closed.document) == seen.mark
    assert house.verbs()[-1] == "month closed"


def test_months_are_closed_in_order_and_none_twice(lite: House) -> None:
    lite.treated()
    lite.clock.turn_to(date(2027, 8, 2))
    seen = closing.look(lite.parts, lite.owner)
    assert seen is not None

    for wrong in (JUNE, date(2027, 5, 30), date(2027, 4, 30)):
        with pytest.raises(Overtaken):
            closing.close_month(lite.parts, lite.owner, wrong, seen.mark)

    assert [close(lite), close(lite), close(lite)] == [MAY, JUNE, date(2027, 7, 31)]
    with pytest.raises(Overtaken):
        closing.close_month(lite.parts, lite.owner, MAY, seen.mark)
    with pytest.raises(Refused):
        close(lite)


def test_what_was_looked_at_is_what_is_closed(lite: House) -> None:
    lot = lite.treated()
    lite.clock.turn_to(date(2027, 6, 1))
    seen = closing.look(lite.parts, lite.owner)
    assert seen is not None

    lite.pay(lot, "100", received_on=MAY)

    with pytest.raises(Overtaken):
        closing.close_month(lite.parts, lite.owner, seen.through, seen.mark)
    assert lite.rows(ClosedMonth) == 0


def test_what_happened_in_a_closed_month_counts_for_the_first_day_that_is_open(house: House) -> None:
    lot = house.treated()
    house.clock.turn_to(date(2027, 6, 3))
    close(house)
    with house.parts.store.reading() as work:
        before = ledger.balances(work, MAY, from_scratch=True)

    house.pay(lot, "100", received_on=date(2027, 5, 28))

    with house.parts.store.reading() as work:
        entry = work.session.scalars(select(LedgerEntry).order_by(LedgerEntry.seq.desc())).first()
        assert entry is not None
        assert (entry.on, entry.happened_on) == (date(2027, 6, 1), date(2027, 5, 28))
        assert ledger.balances(work, MAY, from_scratch=True) == before
        assert ledger.balances(work, JUNE)["cash: check"] == Decimal("100.00")
    house.clock.turn_to(date(2027, 7, 1))
    seen = closing.look(house.parts, house.office)
    assert seen is not None
    assert [odd.name for odd in seen.unusual.from_before] == ["2288, 2027-05-28"]


def test_the_database_itself_refuses_what_goes_round_the_acts(house: House) -> None:
    house.treated()
    house.clock.turn_to(date(2027, 6, 3))
    close(house)

    entry = (
        "INSERT INTO ledger_entry"
        ' (event, subject, source_id, company_id, "on", happened_on, made_by, made_at)'
        " SELECT event, subject, source_id, company_id, :day, happened_on, made_by, made_at FROM ledger_entry"
        " LIMIT 1"
    )
    posting = (
        "INSERT INTO posting (entry_seq, account, company_id, amount) SELECT entry_seq, account, company_id,"
        " amount FROM posting LIMIT 1"
    )
    for statement, given in (
        (entry, {"day": MAY}), (entry, {"day": date(2027, 4, 1)}), (posting, {}),
        ("UPDATE closed_month SET closed_by = 'x'", {}), ("DELETE FROM closed_month", {}),
    ):  # fmt: skip
        with (
            pytest.raises(DBAPIError, match=r"nothing is posted into a closed month|only grows"),
            house.parts.store.writing() as work,
        ):
            work.session.execute(text(statement), given)
    with house.parts.store.writing() as work:
        work.session.execute(text(entry), {"day": date(2027, 6, 1)})
        assert work.session.scalar(select(func.count()).select_from(LedgerEntry)) == 2
        assert work.session.scalar(select(func.count()).select_from(Posting)) > 2


def test_the_dry_look_names_what_is_unusual(lite: House) -> None:
    lite.paid()
    late = lite.treated()
    disputing.dispute(lite.parts, lite.office, lite.invoice(late).id, "The north wall was open.")
    lite.clock.turn_to(date(2027, 7, 2))
    close(lite)

    seen = closing.look(lite.parts, lite.office)

    assert seen is not None and seen.through == JUNE
    found = seen.unusual
    number = lite.invoice(late).document.number
    assert [(odd.name, odd.lot_id, odd.amount) for odd in found.late] == [(number, late, lite.open_of(late))]
    assert [(odd.name, odd.lot_id) for odd in found.disputed] == [(number, late)]
    assert (found.credits, found.unbilled, found.from_before, found.gaps) == ((), (), (), ())


def test_a_gap_in_the_numbers_is_named(lite: House) -> None:
    lite.treated()
    with lite.parts.store.writing() as work:
        work.session.execute(text("UPDATE number_series SET last = last + 1 WHERE name LIKE 'INV%'"))

    seen = closing.look(lite.parts, lite.office)

    assert seen is not None
    assert seen.unusual.gaps == ("INV-2027",)
