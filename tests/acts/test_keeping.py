"""A record is kept as long as is set and as its warranty lasts; after that, and not before, it is let go."""

from __future__ import annotations

from datetime import date

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from portal.acts import amending, certificates, covering, keeping, papers, registering, treating, upkeep
from portal.acts.amending import PageTyped
from portal.acts.on_site import on_site
from portal.acts.registering import RegisterFilter
from portal.core.errors import BadInput, NotAllowed, NotFound, Refused
from portal.store import field
from tests.parts.house import FIRM, TERMS, House
from tests.parts.warranties import treated_with

pytestmark = pytest.mark.slow


def forget(house: House, lot: str) -> None:
    keeping.forget_record(house.parts, house.owner, lot, house.version(lot))


def old(house: House) -> str:
    """A record with a page, a photo and papers, whose time is over: its warranty ran for ten years."""
    lot = house.booked()
    house.photograph(house.job(lot), [""])
    house.treated(lot)
    treating.sign_off(house.parts, house.office, lot)
    amending.amend(house.parts, house.office, lot, house.version(lot), PageTyped("walls", "a", "b", "c"))
    papers.paper(house.parts, house.office, lot, "treatment-record")
    house.pay(lot, str(house.invoice(lot).open))
    house.clock.turn_to(date(2037, 5, 4))
    covering.expire(house.parts)
    return lot


def test_a_record_is_kept_as_long_as_its_warranty_lasts(lite: House) -> None:
    lot = lite.paid()  # a warranty of ten years, and five years by setting

    assert lite.sheet(lot).kept_until == lite.warranty(lot).ends_on == date(2037, 5, 3)


def test_a_record_is_kept_as_long_as_the_firm_says_where_that_is_longer(lite: House) -> None:
    lite.enter("firm", FIRM | {"keep_years": 15})
    lot = lite.treated()

    record = lite.sheet(lot).record
    assert record is not None and record.kept_years == 15
    assert lite.sheet(lot).kept_until == date(2042, 5, 3)


def test_a_later_setting_changes_nothing_of_records_that_were_made(lite: House) -> None:
    lite.enter("firm", FIRM | {"keep_years": 15})
    lot = lite.treated()

    lite.enter("firm", FIRM | {"keep_years": 2})

    assert lite.sheet(lot).kept_until == date(2042, 5, 3)


@pytest.mark.parametrize("years", [1, 0, 101, "five"])
def test_fewer_years_than_the_law_asks_are_not_set(lite: House, years: object) -> None:
    with pytest.raises(BadInput):
        lite.enter("firm", FIRM | {"keep_years": years})


def test_a_size_of_notice_is_one_of_those_offered(lite: House) -> None:
    with pytest.raises(BadInput):
        lite.enter("firm", FIRM | {"notice_size": "2x1"})
    lite.enter("firm", FIRM | {"notice_size": "7x5"})

    record = lite.sheet(lite.treated()).record
    assert record is not None and record.notice_size == "7x5"


def test_before_its_day_nobody_lets_a_record_go(house: House) -> None:
    lot = house.paid()
    house.clock.turn_to(date(2037, 5, 3))

    with pytest.raises(Refused, match="kept through 2037-05-03"):
        forget(house, lot)
    assert house.sheet(lot).record is not None


def test_under_a_promise_for_life_a_record_is_never_let_go(lite: House) -> None:
    lite.enter("terms", TERMS | {"years": None})
    lot = lite.paid()
    lite.clock.pass_by(days=36500)

    with pytest.raises(Refused, match="life of the structure"):
        forget(lite, lot)


def test_only_an_owner_lets_a_record_go(lite: House) -> None:
    lot = old(lite)

    with pytest.raises(NotAllowed):
        keeping.forget_record(lite.parts, lite.office, lot, lite.version(lot))


def test_after_its_day_what_it_said_goes_and_the_rest_stays(house: House) -> None:
    lot = old(house)
    before = house.sheet(lot)
    kept = sum(1 for path in house.settings.blobs.rglob("*") if path.is_file())

    forget(house, lot)

    after = house.sheet(lot)
    assert (after.record, after.record_gone, after.pages) == (None, True, ())
    assert (after.invoice, after.stage) == (before.invoice, before.stage)
    assert after.warranty == before.warranty
    assert sum(1 for path in house.settings.blobs.rglob("*") if path.is_file()) < kept
    for kind in papers.OF_RECORD:
        with pytest.raises(NotFound):
            papers.paper(house.parts, house.office, lot, kind)
    assert house.verbs(lot)[-1] == "forgotten" and upkeep.broken_link(house.parts) is None
    assert not {row.kind for row in papers.papers_of(house.parts, house.builder, lot)} & set(papers.OF_RECORD)
    assert not {row.kind for row in papers.papers_of_lots(house.parts, house.builder, (lot,))[lot]} & set(
        papers.OF_RECORD
    )


def test_what_phones_sent_goes_with_the_record_and_that_of_other_stops_stays(house: House) -> None:
    lot, other = old(house), house.booked()
    house.photograph(house.job(other), [""])
    house.treated(other)
    gone, stays = (house.job(one) for one in (lot, other))

    forget(house, lot)

    with house.parts.store.reading() as work:
        assert (field.rows(work, gone), field.photos(work, gone)) == ([], [])
        assert field.rows(work, stays) and field.photos(work, stays)
    assert on_site(house.parts, house.office, lot).photos == ()


def test_a_record_that_is_gone_is_neither_amended_nor_let_go_again(lite: House) -> None:
    lot = old(lite)
    forget(lite, lot)

    with pytest.raises(Refused, match="no treatment record to let go"):
        forget(lite, lot)
    with pytest.raises(Refused, match="was let go"):
        amending.amend(lite.parts, lite.office, lot, lite.version(lot), PageTyped("walls", "a", "b", "c"))


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE treatment_record SET document = '{\"a\": 1}'", "UPDATE treatment_record SET number = 'X'",
        "UPDATE record_page SET document = '{\"a\": 1}'", "UPDATE record_page SET number = 9",
        "DELETE FROM treatment_record", "DELETE FROM record_page",
        "DELETE FROM field_entry", "DELETE FROM photo", "UPDATE photo SET words = 'x'",
    ],
)  # fmt: skip
def test_the_database_lets_nothing_go_but_what_a_forgotten_record_said(house: House, change: str) -> None:
    forget(house, old(house))
    another = house.booked()
    house.photograph(house.job(another), [""])
    house.treated(another)
    amending.send_back(house.parts, house.office, another, house.version(another), "Why?")

    with pytest.raises(DBAPIError, match="only grows"), house.parts.store.writing() as work:
        work.session.execute(text(change))


def test_what_a_record_would_lack_is_told_before_it_is_booked(lite: House) -> None:
    lot = lite.accepted()
    assert keeping.lacking(lite.parts, lite.office, lot) == ()

    certificates.certify(lite.parts, lite.office, lite.technician.person_id or "", "", "")
    found = keeping.lacking(lite.parts, lite.office, lot)

    assert [(gap.where, str(gap.says)) for gap in found] == [
        ("technician", "Wendell Pike has no certificate number.")
    ]


def test_whoever_is_sent_hears_on_site_what_the_record_lacks(lite: House) -> None:
    lot = lite.booked()
    certificates.certify(lite.parts, lite.office, lite.technician.person_id or "", "", "")

    stop = treating.stop(lite.parts, lite.technician, lite.job(lot))

    assert [gap.where for gap in stop.lacks] == ["technician"]


def test_a_supervisor_needs_a_certificate_and_stands_on_the_stop(lite: House) -> None:
    technician = lite.technician.person_id or ""
    with pytest.raises(BadInput, match="certificate number is needed"):
        certificates.certify(lite.parts, lite.office, technician, "", "Noor Vale")
    certificates.certify(lite.parts, lite.office, technician, "CA-9", "Noor Vale")

    stop = treating.stop(lite.parts, lite.technician, lite.job(lite.booked()))

    assert (stop.certificate, stop.supervisor) == ("CA-9", "Noor Vale")


def test_a_record_that_is_let_go_leaves_the_register_without_what_only_it_said(lite: House) -> None:
    lot = treated_with(lite, "Lot 1", "BL-204")
    lite.clock.turn_to(date(2038, 1, 1))
    forget(lite, lot)

    page = registering.register(lite.parts, lite.office, RegisterFilter())
    assert [(row.technician, row.container_lot) for row in page.rows] == [("", "")]
    for gone in (RegisterFilter(container="BL-204"), RegisterFilter(technician="Wendell Pike")):
        assert registering.register(lite.parts, lite.office, gone).rows == []
