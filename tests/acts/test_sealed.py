"""Certificates: issued, signed once, the same bytes ever after, and replaced where something changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from portal.acts import covering, is_it_real, papers, sealed
from portal.core.cover.codes import lot_mark, read_code
from portal.core.errors import BadInput, NotFound, Refused
from portal.core.history import VERBS
from portal.sealing import Keys, Seal
from portal.store import seals, warranties
from portal.store.tables import Certificate, SealedPaper
from tests.parts.at_once import at_once
from tests.parts.house import House

pytestmark = [pytest.mark.slow, pytest.mark.usefixtures("lite")]


def pdf(house: House, lot: str) -> bytes:
    return papers.paper(house.parts, house.office, lot, "certificate").content


def issues(house: House) -> list[tuple[int, str]]:
    with house.parts.store.reading() as work:
        rows = work.session.query(Certificate).order_by(Certificate.number)
        return [(row.number, row.link_token) for row in rows]


def token(house: House, lot: str) -> str:
    return house.warranty(lot).link.rpartition("/")[2]


def test_it_is_signed_once_and_handed_out_as_the_same_bytes(lite: House) -> None:
    lot = lite.paid()

    first = pdf(lite, lot)

    assert b"signed 1 with 0000c0de" in first
    lite.clock.pass_by(days=100)
    assert pdf(lite, lot) == first
    assert papers.certificate_by_link(lite.parts, token(lite, lot)).content == first
    assert issues(lite) == [(1, token(lite, lot))]


def test_two_who_ask_at_once_get_the_same_bytes(house: House) -> None:
    lot = house.paid()

    made = at_once(*[lambda: pdf(house, lot)] * 4)

    assert len(set(made)) == 1
    with house.parts.store.reading() as work:
        assert work.session.query(SealedPaper).count() == 1


def test_bytes_that_were_lost_are_signed_anew_and_both_are_known(lite: House) -> None:
    lot = lite.paid()
    first = pdf(lite, lot)
    with lite.parts.store.reading() as work:
        sha256 = work.session.query(SealedPaper).one().sha256
    lite.parts.blobs.drop(sha256)
    lite.clock.pass_by(hours=1)

    second = pdf(lite, lot)

    assert second != first and pdf(lite, lot) == second
    assert len(issues(lite)) == 1
    for content in (first, second):
        assert is_it_real.check_paper(lite.parts, b"%PDF-" + content, "here").kind == "unknown"
    with lite.parts.store.reading() as work:
        found = [seals.by_paper(work, row.sha256) for row in work.session.query(SealedPaper)]
        assert [row.number for row in found if row] == [1, 1]


def test_its_code_says_number_day_and_lot(lite: House) -> None:
    lot = lite.paid()
    pdf(lite, lot)

    with lite.parts.store.reading() as work:
        code = read_code(work.session.query(Certificate).one().code)

    warranty = lite.warranty(lot)
    assert (code.number, code.day, code.key) == (warranty.number, date(2027, 5, 4), "0000c0de")
    assert code.lot == lot_mark(warranty.document.place)


def test_a_revoked_link_opens_nothing_and_the_next_certificate_carries_the_new_one(lite: House) -> None:
    lot = lite.paid()
    old, first = token(lite, lot), pdf(lite, lot)

    sealed.replace_link(lite.parts, lite.office, lot, "The paper was stolen.")

    new = token(lite, lot)
    assert new != old
    with pytest.raises(NotFound):
        covering.by_link(lite.parts, old)
    with pytest.raises(NotFound):
        papers.certificate_by_link(lite.parts, old)
    assert covering.by_link(lite.parts, new).number == lite.warranty(lot).number
    assert pdf(lite, lot) != first
    assert issues(lite) == [(1, old), (2, new)]
    line = next(one for one in lite.sheet(lot).history if one.verb == VERBS["link replaced"])
    assert line.details["reason"] == "The paper was stolen."


def test_a_link_is_revoked_with_a_reason_and_only_where_there_is_a_warranty(lite: House) -> None:
    lot = lite.treated()
    with pytest.raises(BadInput, match="Give the reason"):
        sealed.replace_link(lite.parts, lite.office, lot, " ")
    with pytest.raises(Refused, match="There is no warranty yet"):
        sealed.replace_link(lite.parts, lite.office, lite.asked(), "Lost.")
    sealed.replace_link(lite.parts, lite.office, lot, "Lost.")


def test_a_changed_last_day_is_a_new_certificate(lite: House) -> None:
    """As a renewal changes it."""
    lot = lite.paid()
    pdf(lite, lot)
    with lite.parts.store.writing() as work:
        row = warranties.warranty_of(work, lot)
        assert row is not None
        row.ends_on = date(2042, 5, 3)

    assert b"2042-05-03" in pdf(lite, lot)
    assert [number for number, _token in issues(lite)] == [1, 2]


def test_without_a_key_it_is_refused_in_words_and_nothing_is_kept(lite: House, tmp_path: Path) -> None:
    lot = lite.paid()
    lite.parts = replace(lite.parts, seal=Seal(Keys(tmp_path / "none")))

    with pytest.raises(Refused, match="signing key is missing"):
        pdf(lite, lot)

    assert issues(lite) == []


@pytest.mark.parametrize("table", ["certificate", "sealed_paper"])
@pytest.mark.parametrize("act", ["DELETE FROM {}", "UPDATE {} SET key_name = 'x'"])
def test_what_was_issued_stays(house: House, table: str, act: str) -> None:
    from sqlalchemy import text
    from sqlalchemy.exc import DBAPIError

    pdf(house, house.paid())

    with pytest.raises(DBAPIError, match="only grows"), house.parts.store.writing() as work:
        work.session.execute(text(act.format(table)))
