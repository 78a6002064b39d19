"""An addition to a treated house is asked for, taken on as a lot of its own, treated and warranted."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from portal.acts import adding, asking, covering, holder_page, holding, office_transfers, quoting, removing
from portal.acts import by_link as by_link_acts
from portal.acts.adding import AdditionTyped
from portal.acts.transferring import NextTyped
from portal.core.errors import BadInput, NotFound, Refused, TooManyTries
from portal.store.tables import Addition, Company, Holder, Transfer
from tests.acts.test_transferring import asked, letters
from tests.parts.house import House
from tests.parts.links import token_of
from tests.parts.warranties import owned, treated_with

pytestmark = pytest.mark.slow
HERE = "203.0.113.7"  # TEST-NET-3, RFC 5737


def typed(**changes: object) -> AdditionTyped:
    said = {"words": "A sunroom on the back.", "framed_on": None, "name": "Ada Roe",
            "email": "ada@example.org", "phone": ""}  # fmt: skip
    return AdditionTyped(**said | changes)  # type: ignore[arg-type]


def by_link(house: House, lot: str, **changes: object) -> str:
    token = house.warranty(lot).link.rpartition("/")[2]
    return adding.ask_by_link(house.parts, token, typed(**changes), HERE, house.key())


def own_walls(house: House, lot: str) -> None:
    """Enter the walls of the addition in place of the house's."""
    asked = house.lot_asked(name=house.sheet(lot).place.lot, subdivision="")
    asking.change(house.parts, house.office, lot, house.version(lot), asked)


def treat(house: House, lot: str) -> None:
    """An addition that was quoted to its owner, accepted by the mailed link, booked for today and treated."""
    token = token_of(house, lot, "ada@example.org")
    seen = by_link_acts.open_link(house.parts, token, HERE, opened=True)
    assert seen.quote is not None
    by_link_acts.accept_by_link(house.parts, token, seen.quote.fingerprint, "Ada Roe", "", house.key(), HERE)
    house.book(lot, house.parts.today())
    house.mark(lot, house.entry(lot))


def test_a_holder_asks_and_it_gets_a_quote_a_record_and_a_warranty_of_its_own(house: House) -> None:
    first = owned(house, treated_with(house, "Lot 1", "BL-204"))
    number = by_link(house, first)
    waiting = adding.listed(house.parts, house.office)
    assert [(row.number, row.state, row.asked_by) for row in waiting] == [(number, "asked", "holder")]

    lot = adding.take_on(house.parts, house.office, waiting[0].id, house.key())
    assert house.sheet(lot).company.startswith("Ada Roe, ")
    with pytest.raises(Refused, match="walls of the whole house"):
        quoting.start(house.parts, house.office, lot, house.version(lot))
    own_walls(house, lot)
    house.sent(house.approved(house.to_check(lot)))
    assert ("purchaser_link", "ada@example.org") in house.letters()
    treat(house, lot)

    made = house.warranty(lot)
    assert made.document.added_to == house.warranty(first).number != made.number
    page = covering.by_link(house.parts, house.warranty(first).link.rpartition("/")[2])
    assert ("addition treated", made.number) in [(line.what, line.number) for line in page.timeline]
    assert house.open_of(lot) > 0
    assert ("treated", "ada@example.org") in house.letters()
    mine = holder_page.look(house.parts, asked(house, first, "ada@example.org"))
    assert [(bill.number, bill.state) for bill in mine.bills] == [("INV-2027-0002", "issued")]
    assert adding.listed(house.parts, house.office) == []
    told = [kind for kind, to in house.letters() if to == "ada@example.org" and kind.startswith("addition")]
    assert told == ["addition_asked", "addition_decided"]


def test_a_builder_asks_at_their_own_lot_alone_and_stays_its_builder(lite: House) -> None:
    first = owned(lite, treated_with(lite, "Lot 1", "BL-204"))
    adding.ask_of_lot(lite.parts, lite.builder, first, typed(), lite.key())
    with pytest.raises(NotFound):
        adding.ask_of_lot(lite.parts, lite.rival, first, typed(), lite.key())

    waiting = adding.listed(lite.parts, lite.office)[0]
    lot = adding.take_on(lite.parts, lite.office, waiting.id, lite.key())

    assert lite.sheet(lot).company == lite.sheet(first).company


def test_what_is_declined_says_why_and_is_not_taken_on(lite: House) -> None:
    first = treated_with(lite, "Lot 1", "BL-204")
    by_link(lite, first)
    waiting = adding.listed(lite.parts, lite.office)[0]
    with pytest.raises(BadInput):
        adding.decline(lite.parts, lite.office, waiting.id, " ", lite.key())

    adding.decline(lite.parts, lite.office, waiting.id, "Its frame is closed.", lite.key())

    with pytest.raises(Refused, match="declined already"):
        adding.take_on(lite.parts, lite.office, waiting.id, lite.key())
    row = adding.addition(lite.parts, lite.office, waiting.id)
    assert (row.state, row.reason, row.decided_by) == ("declined", "Its frame is closed.", lite.office.name)
    assert lite.rows(Company) == 2


def test_wrong_entries_a_double_press_and_too_many(lite: House) -> None:
    first = treated_with(lite, "Lot 1", "BL-204")
    yesterday = lite.parts.today() - timedelta(days=1)
    with pytest.raises(BadInput) as bad:
        by_link(lite, first, words="", email="nobody", framed_on=yesterday)
    assert {one.at for one in bad.value.problems} == {"words", "email", "framed_on"}
    token, key = lite.warranty(first).link.rpartition("/")[2], lite.key()
    numbers = {adding.ask_by_link(lite.parts, token, typed(), HERE, key) for _ in range(2)}
    assert len(numbers) == 1 and lite.rows(Addition) == 1
    by_link(lite, first), by_link(lite, first)
    with pytest.raises(TooManyTries):
        by_link(lite, first)
    with pytest.raises(NotFound):
        adding.ask_by_link(lite.parts, "no such", typed(), HERE, lite.key())


def added(house: House, first: str) -> str:
    """An addition to an owned house: asked for by its holder, quoted, treated."""
    by_link(house, first)
    waiting = adding.listed(house.parts, house.office)[0]
    lot = adding.take_on(house.parts, house.office, waiting.id, house.key())
    own_walls(house, lot)
    house.sent(house.approved(house.to_check(lot)))
    treat(house, lot)
    return lot


def held_by(house: House, lot: str) -> list[tuple[str, bool]]:
    """Who holds a lot's warranty, in order, and whether they do now."""
    return [(row.name, row.until is None) for row in holding.holders_of(house.parts, house.office, lot)]


def test_what_is_added_is_held_with_the_house_and_handed_on_with_it(house: House) -> None:
    first = owned(house, treated_with(house, "Lot 1", "BL-204"))
    lot = added(house, first)
    assert held_by(house, lot) == [("Ada Roe", True)]
    (own_link,) = [
        one for one in tokens(house, "ada@example.org")
        if holder_page.look(house.parts, one).warranty.number == house.warranty(lot).number
    ]  # fmt: skip

    mine = asked(house, first, "ada@example.org")
    next_owner = NextTyped("Ben Cole", "ben@example.org", house.parts.today())
    holder_page.ask_transfer(house.parts, mine, next_owner, house.key())
    with house.parts.store.reading() as work:
        offered = {"transfer": work.session.query(Transfer).one().id}
    house.clock.pass_by(minutes=1)
    holder_page.accept(house.parts, house.parts.tokens.make("transfer", offered), "Ben Cole", "")

    for one in (first, lot):
        assert held_by(house, one) == [("Ada Roe", False), ("Ben Cole", True)]
    with pytest.raises(Refused, match="over"):
        holder_page.look(house.parts, own_link)
    held = {holder_page.look(house.parts, one).warranty.number for one in tokens(house, "ben@example.org")}
    assert held == {house.warranty(one).number for one in (first, lot)}


def tokens(house: House, to: str) -> list[str]:
    """Every link to a holder's page that was mailed to an address."""
    return [one[1] for row in letters(house, to) for one in re.finditer(r"/warranty/mine/(\S+)", row.text)]


def test_an_addition_held_by_somebody_else_stays_theirs(house: House) -> None:
    first = owned(house, treated_with(house, "Lot 1", "BL-204"))
    lot = added(house, first)
    with house.parts.store.writing() as work:
        row = work.session.query(Holder).filter_by(email="ada@example.org").order_by(Holder.made_at).all()[-1]
        row.name, row.email = "Cleo Tarn", "cleo@example.org"
    house.clock.pass_by(minutes=1)
    typed_next = NextTyped("Ben Cole", "ben@example.org", house.parts.today())
    office_transfers.hand_on_by_office(
        house.parts, house.office, first, typed_next, "Seen: the deed.", "", b"", house.key()
    )

    assert held_by(house, first)[-1] == ("Ben Cole", True)
    assert held_by(house, lot) == [("Cleo Tarn", True)]


def test_a_first_owner_named_later_holds_what_was_added_before(house: House) -> None:
    first = treated_with(house, "Lot 1", "BL-204")
    adding.ask_of_lot(house.parts, house.builder, first, typed(), house.key())
    lot = adding.take_on(
        house.parts, house.office, adding.listed(house.parts, house.office)[0].id, house.key()
    )
    own_walls(house, lot)
    house.sent(house.approved(house.to_check(lot)))
    house.accept(lot, house.builder)
    house.book(lot, house.parts.today())
    house.mark(lot, house.entry(lot))
    assert held_by(house, lot) == []

    owned(house, first)

    assert held_by(house, lot) == [("Ada Roe", True)]


def test_whoever_is_taken_off_is_taken_off_what_was_added_too(house: House) -> None:
    first = owned(house, treated_with(house, "Lot 1", "BL-204"))
    lot = added(house, first)
    with pytest.raises(Refused, match="still open"):
        removing.leave(house.parts, asked(house, first, "ada@example.org"))
    house.pay(lot, str(house.open_of(lot)))

    removing.leave(house.parts, asked(house, first, "ada@example.org"))

    assert held_by(house, first) == held_by(house, lot) == [("", False)]
