"""A record sent back, explained and amended: by further pages, chained, and never by a changed word."""

from __future__ import annotations

from functools import partial

import pytest

from portal.acts import amending, covering, papers, treating
from portal.acts.amending import PageTyped
from portal.core.documents import fingerprint
from portal.core.errors import BadInput, NotAllowed, NotFound, Overtaken, Refused
from portal.store import jobs, records
from tests.parts.at_once import at_once
from tests.parts.house import House

pytestmark = pytest.mark.slow

WRONG = PageTyped("amounts", "2.96 gal of concentrate", "2.69 gal of concentrate", "Two digits were swapped.")


def sent_back(house: House, why: str = "Is it 2.96 or 2.69 gal?") -> str:
    lot = house.treated()
    amending.send_back(house.parts, house.office, lot, house.version(lot), why)
    return lot


def explain(house: House, lot: str, typed: PageTyped = WRONG, key: str = "") -> None:
    amending.explain(house.parts, house.technician, house.job(lot), typed, key or house.key())


def amend(house: House, lot: str, typed: PageTyped = WRONG) -> None:
    amending.amend(house.parts, house.office, lot, house.version(lot), typed)


def signed_off(house: House) -> str:
    lot = house.treated()
    treating.sign_off(house.parts, house.office, lot)
    return lot


def test_a_record_is_sent_back_explained_and_signed_off(house: House) -> None:
    lot = sent_back(house)
    asked = amending.sent_back_to_me(house.parts, house.technician)

    explain(house, lot)
    answered = amending.sent_back_to_me(house.parts, house.technician)
    treating.sign_off(house.parts, house.office, lot)

    assert [(one.job_id, one.page.why) for one in asked] == [(house.job(lot), "Is it 2.96 or 2.69 gal?")]
    assert answered == []
    found = house.sheet(lot)
    assert [(page.number, page.kind) for page in found.pages] == [(1, "sent back"), (2, "explained")]
    assert found.job is not None and found.job.state == "signed off"
    assert house.verbs(lot)[-3:] == ["sent back", "explained", "signed off"]
    assert {("sent_back", "wendell@example.com"), ("explained", "terrence@example.com")} <= set(
        house.letters()
    )


def test_sending_back_leaves_record_invoice_and_warranty_as_they_are(house: House) -> None:
    lot = house.treated()
    before = house.sheet(lot)

    amending.send_back(house.parts, house.office, lot, house.version(lot), "Why?")
    after = house.sheet(lot)

    assert (after.record, after.invoice, after.warranty, after.stage) == (
        before.record, before.invoice, before.warranty, before.stage,
    )  # fmt: skip


def test_what_was_sent_back_is_not_signed_off_before_it_is_explained(house: House) -> None:
    lot = sent_back(house)

    with pytest.raises(Refused, match="once its technician has added a page"):
        treating.sign_off(house.parts, house.office, lot)


def test_a_record_is_sent_back_once_and_needs_a_reason(lite: House) -> None:
    lot = lite.treated()
    with pytest.raises(BadInput, match="Write why"):
        amending.send_back(lite.parts, lite.office, lot, lite.version(lot), "  ")
    amending.send_back(lite.parts, lite.office, lot, lite.version(lot), "Why?")

    with pytest.raises(Refused, match="sent back already"):
        amending.send_back(lite.parts, lite.office, lot, lite.version(lot), "Why?")


def test_a_signed_off_record_is_amended_by_a_page_the_builder_hears_of(house: House) -> None:
    lot = signed_off(house)
    record = house.sheet(lot).record

    amend(house, lot)

    found = house.sheet(lot, house.builder)
    assert found.record == record
    assert [(p.number, p.kind, p.by, p.was, p.now, p.why) for p in found.pages] == [
        (1, "amended", "Terrence Udall", WRONG.was, WRONG.now, WRONG.why)
    ]
    assert ("amended", "harriet@example.com") in house.letters()


def test_pages_are_chained_by_fingerprint_to_the_record(house: House) -> None:
    lot = sent_back(house)
    explain(house, lot)
    treating.sign_off(house.parts, house.office, lot)
    amend(house, lot)

    with house.parts.store.reading() as work:
        record, rows = jobs.record_of(work, lot), records.pages(work, lot)
    assert record is not None
    assert [row.fingerprint for row in rows] == [fingerprint(row.document) for row in rows]
    assert [row.document["before"] for row in rows] == [
        record.fingerprint, rows[0].fingerprint, rows[1].fingerprint,
    ]  # fmt: skip


@pytest.mark.parametrize("lacks", ["subject", "was", "now", "why"])
def test_an_amendment_says_all_of_it(lite: House, lacks: str) -> None:
    lot = signed_off(lite)
    said = {"subject": "amounts", "was": "a", "now": "b", "why": "c"} | {lacks: " "}

    with pytest.raises(BadInput) as wrong:
        amend(lite, lot, PageTyped(**said))

    assert [problem.at for problem in wrong.value.problems] == [lacks]


def test_before_it_is_signed_off_a_record_is_sent_back_and_after_it_amended(lite: House) -> None:
    lot = lite.treated()
    with pytest.raises(Refused, match="not signed off yet"):
        amend(lite, lot)
    treating.sign_off(lite.parts, lite.office, lot)

    with pytest.raises(Refused, match="amended by a further page"):
        amending.send_back(lite.parts, lite.office, lot, lite.version(lot), "Why?")


def test_nobody_explains_what_was_not_asked_or_is_not_theirs(lite: House) -> None:
    lot = lite.treated()
    with pytest.raises(Refused, match="not sent back"):
        explain(lite, lot)
    amending.send_back(lite.parts, lite.office, lot, lite.version(lot), "Why?")

    with pytest.raises(NotFound):
        amending.explain(lite.parts, lite.second_technician, lite.job(lot), WRONG, "k")
    with pytest.raises(NotAllowed):
        amending.amend(lite.parts, lite.builder, lot, lite.version(lot), WRONG)
    with pytest.raises(NotAllowed):
        amending.send_back(lite.parts, lite.technician, lot, lite.version(lot), "Why?")


def test_an_explanation_sent_twice_is_one_page(house: House) -> None:
    lot = sent_back(house)

    explain(house, lot, key="twice")
    explain(house, lot, key="twice")

    assert len(house.sheet(lot).pages) == 2


def test_of_two_who_amend_at_once_the_second_is_shown_the_first(house: House) -> None:
    lot = signed_off(house)
    act = partial(amending.amend, house.parts, house.office, lot, house.version(lot), WRONG)

    answers = at_once(act, act)

    assert {type(answer) for answer in answers} == {type(None), Overtaken}
    assert len(house.sheet(lot).pages) == 1


def test_an_amended_record_is_another_paper_and_the_older_one_is_kept(lite: House) -> None:
    lot = signed_off(lite)
    before = papers.paper(lite.parts, lite.builder, lot, "treatment-record")

    amend(lite, lot)
    after = papers.paper(lite.parts, lite.builder, lot, "treatment-record")

    assert before.content != after.content
    assert WRONG.now.encode() in after.content


@pytest.mark.parametrize(("subject", "told"), [("product", True), ("amounts", False)])
def test_a_homeowner_reads_an_amendment_of_what_they_see(lite: House, subject: str, told: bool) -> None:
    lot = signed_off(lite)
    link = lite.warranty(lot).link.rpartition("/")[2]

    amend(lite, lot, PageTyped(subject, "It was A", "It is B", "Read again"))

    assert [page.now for page in covering.by_link(lite.parts, link).amended] == (["It is B"] if told else [])


def test_what_could_not_be_printed_is_told_at_its_field(lite: House) -> None:
    lot = signed_off(lite)

    with pytest.raises(BadInput, match="cannot be printed") as wrong:
        amend(lite, lot, PageTyped("walls", "a", "b\x07", "c"))

    assert [problem.at for problem in wrong.value.problems] == ["now"]
