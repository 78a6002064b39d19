"""What was promised waits in Today while the next step is the office's, and not while it is another's."""

from __future__ import annotations

from datetime import timedelta

import pytest

from portal.acts import adding, desk, holder_page, office_transfers, renewal_desk, renewing, retreating
from portal.acts.renewal_desk import LookedTyped
from portal.acts.reporting import TroubleTyped, report
from portal.acts.transferring import NextTyped
from portal.store.promises import Promises
from tests.acts import test_adding, test_renewing
from tests.acts.test_retreating import step
from tests.acts.test_transferring import asked
from tests.parts.house import House
from tests.parts.warranties import owned, treated_with

pytestmark = pytest.mark.slow


def waits(house: House) -> Promises:
    day = desk.today(house.parts, house.office)
    kept = day.promises
    assert day.needs >= sum(map(len, (kept.trouble, kept.additions, kept.transfers, kept.renewals)))
    return kept


def trouble(house: House) -> str | None:
    """The state of the one report that waits."""
    rows = waits(house).trouble
    return rows[0].state if rows else None


def test_a_report_waits_but_while_a_day_is_to_come_or_its_re_treatment_is_a_job(house: House) -> None:
    lot = owned(house, treated_with(house, "Lot 1", "BL-204"))
    link = house.warranty(lot).link.rpartition("/")[2]
    said = TroubleTyped("A soft sill.", "Ivo Roe", "ivo@example.org", "")
    report(house.parts, link, said, (), "203.0.113.7", house.key())
    (row,) = waits(house).trouble
    made = row.id
    assert (row.state, row.lot_id, row.name) == ("reported", lot, "Lot 1") and row.on is not None

    step(house, made, "answered")
    assert trouble(house) == "answered"
    soon = house.parts.today() + timedelta(days=2)
    step(house, made, "booked", day=soon, person="Noor Vale")
    assert trouble(house) is None
    # Booked anew for an earlier day: the newest booking counts, not the latest day.
    step(house, made, "booked", day=soon - timedelta(days=1), person="Noor Vale")
    house.clock.turn_to(soon - timedelta(days=1))
    assert trouble(house) == "booked"
    step(house, made, "found")
    assert trouble(house) == "found"
    step(house, made, "decided", decision="covered", clauses=(house.warranty(lot).document.terms.covers[0],))
    assert trouble(house) == "decided"
    again = retreating.make_retreatment(house.parts, house.office, made, house.key())
    assert trouble(house) == "decided"
    retreating.agree_retreatment(house.parts, house.office, made, house.version(again))
    assert trouble(house) is None
    house.book(again, house.parts.today())
    house.clock.turn_to(house.parts.today(), 18)
    house.mark(again, house.entry(again))
    assert trouble(house) == "done"
    step(house, made, "closed")
    assert trouble(house) is None


def test_an_addition_waits_until_it_is_decided(house: House) -> None:
    number = test_adding.by_link(house, owned(house, treated_with(house, "Lot 1", "BL-204")))
    (row,) = waits(house).additions
    assert row.number == number
    adding.decline(house.parts, house.office, row.id, "Too far off.", house.key())
    assert waits(house).additions == ()


def test_a_transfer_waits_for_the_office_until_what_the_terms_ask_for_was_seen(house: House) -> None:
    test_renewing.promise(house, {"transfers": "always", "transfer_days": "", "transfer_fee": "0.00",
                                  "transfer_evidence": "The deed."})  # fmt: skip
    lot = owned(house, treated_with(house, "Lot 1", "BL-204"))
    token = asked(house, lot, "ada@example.org")
    next_owner = NextTyped("Ben Cole", "ben@example.org", house.parts.today())
    holder_page.ask_transfer(house.parts, token, next_owner, house.key())
    (row,) = waits(house).transfers
    assert (row.lot_id, row.number) == (lot, house.warranty(lot).number)
    office_transfers.agree(house.parts, house.office, lot, row.id, "Seen.", "", b"")
    assert waits(house).transfers == ()


def test_a_renewal_waits_once_taken_up_but_not_while_a_day_for_the_look_is_to_come(house: House) -> None:
    lot = test_renewing.in_force(house)
    test_renewing.near_its_end(house, lot)
    renewing.offer_renewals(house.parts)
    assert waits(house).renewals == ()
    renewing.answer(house.parts, test_renewing.token(house), yes=True)
    (row,) = waits(house).renewals
    assert row.number == house.warranty(lot).number
    day = house.parts.today() + timedelta(days=3)
    renewal_desk.book_look(house.parts, house.office, row.id, LookedTyped(day, "Noor Vale"))
    assert waits(house).renewals == ()
    house.clock.turn_to(day)
    assert len(waits(house).renewals) == 1
    test_renewing.looked(house)
    assert waits(house).renewals == ()
