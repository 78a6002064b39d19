"""A person's data as a file, and gone when nothing requires it; record, books and history whole."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest

from portal.acts import covering, data_asked, holding, own_data, removing, upkeep
from portal.acts.parts import Actor
from portal.acts.reporting import TroubleTyped, report
from portal.core.errors import BadInput, NotAllowed, Refused
from portal.store.tables import Holder, Letter, Renewal, Transfer, Trouble
from tests.acts.test_renewing import in_force as can_be_renewed
from tests.acts.test_renewing import near_its_end
from tests.acts.test_retreating import decided, step
from tests.acts.test_transferring import SOLD, asked, by_office, owned, to
from tests.parts.house import House

pytestmark = pytest.mark.slow


def everything(house: House) -> str:
    """All that the store holds of people, as one text."""
    with house.parts.store.reading() as work:
        rows = [*work.session.query(Holder), *work.session.query(Transfer), *work.session.query(Letter),
                *work.session.query(Trouble), *work.session.query(Renewal)]  # fmt: skip
        return "\n".join(str(vars(row)) for row in rows)


def later(house: House, days: int) -> None:
    house.clock.turn_to(house.parts.today() + timedelta(days=days))


def test_a_former_holder_goes_by_itself_after_the_days_and_the_record_stays(house: House) -> None:
    lot, _ada = owned(house)
    house.clock.turn_to(SOLD)
    by_office(house, lot, to("Ben Cole"))
    record = house.warranty(lot).document
    with house.parts.store.writing() as work:
        for row in work.session.query(Letter):
            row.sent_at = work.now

    later(house, 180)
    removing.remove_due(house.parts)
    assert "Ada Roe" in everything(house)
    later(house, 1)
    removing.remove_due(house.parts)

    left = everything(house)
    assert "Ada" not in left and "ada@" not in left and "555-0144" not in left
    assert "Ben Cole" in left
    assert house.warranty(lot).document == record
    assert [row.name for row in holding.holders_of(house.parts, house.office, lot)] == ["", "Ben Cole"]
    assert upkeep.broken_link(house.parts) is None
    assert house.verbs(lot).count("person removed") == 1
    assert removing.remove_due(house.parts) == 0


def test_the_history_never_names_a_homeowner(lite: House) -> None:
    lot, ada = owned(lite)
    lite.clock.turn_to(SOLD)
    by_office(lite, lot, to("Ben Cole"))
    del ada
    with lite.parts.store.reading() as work:
        from portal.store.tables import History

        said = "\n".join(f"{row.by} {row.subject} {row.details}" for row in work.session.query(History))
    assert "Ada" not in said and "Ben" not in said and "@example.org" not in said


def test_a_holder_is_taken_off_at_once_and_shut_out(house: House) -> None:
    lot, ada = owned(house)

    removing.leave(house.parts, ada)

    assert [row.name for row in holding.holders_of(house.parts, house.office, lot)] == [""]
    with pytest.raises(Refused):
        own_data.data_of_holder(house.parts, ada)
    assert covering.by_link(house.parts, house.warranty(lot).link.rpartition("/")[2]).state


def test_what_is_open_keeps_them(lite: House) -> None:
    lot = can_be_renewed(lite, renewal_inspection="no")
    near_its_end(lite, lot)
    from portal.acts import renewing
    from tests.acts.test_renewing import token

    renewing.offer_renewals(lite.parts)
    renewing.answer(lite.parts, token(lite), yes=True)
    mine = asked(lite, lot, "ada@example.org")
    with pytest.raises(Refused, match="is still open"):
        removing.leave(lite.parts, mine)


def test_reports_of_trouble_lose_their_reporter_after_closing(lite: House) -> None:
    lot, _ = owned(lite)
    made = decided(lite, lot, "not covered")
    step(lite, made, "closed")
    with lite.parts.store.writing() as work:
        for letter in work.session.query(Letter):
            letter.sent_at = work.now
    later(lite, 181)

    removing.remove_due(lite.parts)

    with lite.parts.store.reading() as work:
        row = work.session.get(Trouble, made)
        assert row is not None and (row.name, row.email, row.phone) == ("", "", "")
    assert "Ivo" not in everything(lite)


def test_a_file_has_all_of_one_and_nothing_of_another(house: House) -> None:
    lot, ada = owned(house)
    house.clock.turn_to(SOLD)
    data = json.dumps(own_data.data_of_holder(house.parts, ada), default=str)
    assert "Ada Roe" in data and "ada@example.org" in data and "555-0144" in data
    by_office(house, lot, to("Ben Cole"))
    from tests.acts.test_transferring import token

    ben = json.dumps(
        own_data.data_of_holder(house.parts, token(house, "ben@example.org", "mine")), default=str
    )
    assert "Ben Cole" in ben and "Ada" not in ben and "ada@" not in ben

    mine = json.dumps(own_data.data_of_person(house.parts, house.builder), default=str)
    assert house.builder.name in mine and house.rival.name not in mine
    with pytest.raises(NotAllowed):
        own_data.data_of_person(house.parts, Actor(None, "Nobody", "", "system"))


def test_whoever_asks_the_office_gets_all_that_is_kept_under_their_address(house: House) -> None:
    lot, _ada = owned(house)
    token = house.warranty(lot).link.rpartition("/")[2]
    said = TroubleTyped("A soft sill.", "Ivo Lund", "Ivo@Example.org", "555-0177")
    report(house.parts, token, said, (), "203.0.113.7", house.key())
    house.clock.turn_to(SOLD)
    by_office(house, lot, to("Ben Cole"))

    def of(email: str) -> str:
        return json.dumps(data_asked.data_of_address(house.parts, house.office, email), default=str)

    ivo = of(" ivo@example.org ")
    assert "Ivo Lund" in ivo and "555-0177" in ivo and "Ada" not in ivo and "Ben Cole" not in ivo
    ada = of("ada@example.org")  # of before: her own page is shut to her
    assert house.warranty(lot).number in ada and "Ben Cole" not in ada and "Ivo" not in ada
    assert house.builder.name in of(house.builder.email)
    for wrong in ("", "nobody", "nobody@example.org"):
        with pytest.raises(BadInput):
            of(wrong)


def test_the_office_removes_a_holder_of_before_on_request(lite: House) -> None:
    lot, _ada = owned(lite)
    with_holder = holding.holders_of(lite.parts, lite.office, lot)[0].id
    with pytest.raises(Refused, match="hold the warranty now"):
        removing.remove_holder(lite.parts, lite.office, lot, with_holder)
    lite.clock.turn_to(SOLD)
    by_office(lite, lot, to("Ben Cole", date(2027, 9, 1)))

    removing.remove_holder(lite.parts, lite.office, lot, with_holder)

    with pytest.raises(Refused, match="removed already"):
        removing.remove_holder(lite.parts, lite.office, lot, with_holder)
