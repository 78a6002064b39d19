"""The QR of a posted notice: signed on the day of treatment, revoked with its link, missing on old papers."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from portal.acts import covering, papers, sealed
from portal.acts.is_it_real import check_text
from portal.acts.notices import on_notice
from portal.core.cover.codes import lot_mark, read_code
from portal.core.documents import paper_mark
from portal.sealing import Keys, Seal
from portal.sealing.public import check_code, read_keys
from portal.store import jobs, trail
from tests.parts.house import House
from tests.parts.pdf import codes_in

pytestmark = pytest.mark.slow


@pytest.fixture
def signing(lite: House, tmp_path: Path) -> House:
    """A house that signs with keys of its own, on papers that are quickly made."""
    keys = Keys(tmp_path / "keys")
    keys.make("Trestle Wood Care", lite.clock())
    lite.parts = replace(lite.parts, seal=Seal(keys))
    return lite


def code_on(house: House, lot: str) -> str:
    with house.parts.store.reading() as work:
        return str(on_notice(house.parts, work, lot)["code"])


def notice(house: House, lot: str) -> bytes:
    return papers.paper(house.parts, house.office, lot, "posted-notice").content


def test_the_notice_of_a_held_warranty_leads_to_its_page_and_says_the_day_of_treatment(lite: House) -> None:
    """Decoded from its picture by zxing-cpp."""
    lite.use_real()
    lot = lite.treated()

    (scanned,) = codes_in(notice(lite, lot))

    link, _hash, _code = scanned.partition("#")
    page = covering.by_link(lite.parts, link.rpartition("/")[2])
    code = read_code(scanned)
    assert (page.number, page.state) == (code.number, "held")
    assert (code.paper, code.day) == ("notice", page.document.treated_on)
    assert code.lot == lot_mark(page.document.place)
    assert check_code(read_keys(lite.parts.seal.public()[0].pem), code)
    found = check_text(lite.parts, scanned, "here")
    assert (found.kind, found.number, found.state, found.replaced) == ("notice", code.number, "held", False)


def test_a_revoked_link_takes_the_notice_along_and_the_next_one_carries_the_new(signing: House) -> None:
    lot = signing.paid()
    old, first = code_on(signing, lot), notice(signing, lot)
    sealed.replace_link(signing.parts, signing.office, lot, "A photo of it was put online.")

    assert check_text(signing.parts, old, "here").replaced
    assert not check_text(signing.parts, code_on(signing, lot), "here").replaced
    assert notice(signing, lot) != first


def test_the_code_of_a_notice_is_none_of_a_certificate(signing: House) -> None:
    """Its rule is part of what was signed."""
    scanned = code_on(signing, signing.paid())

    assert check_text(signing.parts, scanned, "here").kind == "notice"
    assert check_text(signing.parts, scanned.replace("#2.", "#1."), "here").kind == "unknown"


def test_a_notice_that_was_made_before_there_were_codes_stays_as_it_is(lite: House) -> None:
    lot = lite.treated()
    with lite.parts.store.writing() as work:
        record = jobs.record_of(work, lot)
        mark = paper_mark("posted-notice", record.fingerprint, {"fingerprint": record.fingerprint})
        trail.keep_paper(work, "posted-notice", mark, lite.parts.blobs.put(b"%PDF- of old"))

    assert notice(lite, lot) == b"%PDF- of old"


def test_without_a_key_the_notice_is_printed_with_a_code_that_only_leads(lite: House, tmp_path: Path) -> None:
    """The law asks for a notice; nothing of ours may hold it up."""
    lot = lite.treated()
    lite.parts = replace(lite.parts, seal=Seal(Keys(tmp_path / "none")))

    assert code_on(lite, lot) == lite.warranty(lot).link
    assert notice(lite, lot)
