"""Papers: made once, kept under what they are made of, and handed to whom they are for."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pytest

from portal.acts import covering, papers, treating
from portal.acts.papers import PaperFile
from portal.core.errors import NotFound
from portal.store.tables import Paper
from tests.parts.at_once import at_once
from tests.parts.house import House, PlainPapers

pytestmark = pytest.mark.slow


def made(house: House) -> int:
    maker = house.parts.papers
    assert isinstance(maker, PlainPapers)
    return maker.made


def paper(house: House, lot: str, kind: str = "invoice") -> PaperFile:
    return papers.paper(house.parts, house.office, lot, kind)


def lost(house: House) -> None:
    for path in house.settings.blobs.rglob("*"):
        if path.is_file():
            path.unlink()


def damaged(house: House) -> None:
    for path in house.settings.blobs.rglob("*"):
        if path.is_file():
            path.write_bytes(b"half of it")


def test_a_paper_is_made_on_first_asking_and_then_found(house: House) -> None:
    lot = house.treated()

    first, again = paper(house, lot), paper(house, lot)

    assert first == again
    assert (first.name, made(house), house.rows(Paper)) == ("invoice-INV-2027-0001.pdf", 1, 1)


@pytest.mark.parametrize("happened", [lost, damaged])
def test_a_paper_that_was_lost_or_damaged_is_made_again(
    lite: House, happened: Callable[[House], None]
) -> None:
    lot = lite.treated()
    first = paper(lite, lot)
    happened(lite)

    again = paper(lite, lot)

    assert again == first == paper(lite, lot)
    assert (made(lite), lite.rows(Paper)) == (2, 1)


def test_two_who_ask_at_the_same_moment_get_the_same(house: House) -> None:
    lot = house.treated()

    found = at_once(*[partial(paper, house, lot)] * 3)

    assert len({file.content for file in found}) == 1, found
    assert house.rows(Paper) == 1


ORDER = (
    "quote", "acceptance", "field-sheet", "treatment-record", "posted-notice", "building-statement",
    "service-figures", "invoice", "certificate",
)  # fmt: skip


def test_all_papers_of_a_lot_in_the_order_of_its_sheets(lite: House) -> None:
    lot = lite.paid()

    found = papers.papers_of(lite.parts, lite.office, lot)

    assert tuple(row.kind for row in found) == ORDER
    assert all(papers.paper(lite.parts, lite.office, lot, row.kind, row.revision) for row in found)
    assert [row.kind for row in papers.papers_of(lite.parts, lite.builder, lot)] == [
        kind for kind in ORDER if kind != "field-sheet"
    ]


@pytest.mark.parametrize("kind", [*ORDER, "recipe"])
def test_what_there_is_not_yet_is_not_found(lite: House, kind: str) -> None:
    lot = lite.approved()

    with pytest.raises(NotFound):
        paper(lite, lot, kind)
    assert papers.papers_of(lite.parts, lite.office, lot) == ()


def test_the_field_sheet_is_the_offices_and_its_technicians(lite: House) -> None:
    lot = lite.booked()

    assert papers.stop_sheet(lite.parts, lite.technician, lite.job(lot)) == paper(lite, lot, "field-sheet")
    with pytest.raises(NotFound):
        papers.paper(lite.parts, lite.builder, lot, "field-sheet")
    with pytest.raises(NotFound):
        papers.stop_sheet(lite.parts, lite.second_technician, lite.job(lot))


def test_a_quote_that_was_superseded_can_still_be_read(lite: House) -> None:
    from portal.acts import quoting

    lot = lite.sent()
    quoting.revise(lite.parts, lite.office, lot, lite.version(lot))
    lite.sent(lite.approved(lot))

    first = papers.paper(lite.parts, lite.builder, lot, "quote", 1)
    second = papers.paper(lite.parts, lite.builder, lot, "quote", 2)

    assert (first.name, second.name) == ("quote-Q-2027-0001-rev-1.pdf", "quote-Q-2027-0001-rev-2.pdf")
    assert first.content != second.content
    assert papers.paper(lite.parts, lite.builder, lot, "quote") == second


def test_an_acceptance_says_who_when_and_by_which_order(lite: House) -> None:
    lot = lite.accepted(purchase_order="PO-77")

    content = paper(lite, lot, "acceptance").content.decode()

    assert "Harriet Finch" in content and "PO-77" in content and "2027-05-04T08:00-05:00" in content


def test_a_certificate_is_there_from_the_day_it_is_in_force_until_it_is_void(lite: House) -> None:
    lot = lite.treated()
    with pytest.raises(NotFound):
        paper(lite, lot, "certificate")

    lite.paid(lot)
    token = lite.warranty(lot).link.rpartition("/")[2]
    assert papers.certificate_by_link(lite.parts, token) == paper(lite, lot, "certificate")

    covering.make_void(lite.parts, lite.owner, lot, "Cut through.")
    for ask in (
        lambda: paper(lite, lot, "certificate"),
        lambda: papers.certificate_by_link(lite.parts, token),
    ):
        with pytest.raises(NotFound):
            ask()
    with pytest.raises(NotFound):
        papers.certificate_by_link(lite.parts, "x" * 32)


def test_papers_of_many_lots_are_those_of_each(lite: House) -> None:
    lots = (lite.paid(), lite.sent(), lite.asked())

    found = papers.papers_of_lots(lite.parts, lite.builder, lots)

    assert found == {lot: rows for lot in lots if (rows := papers.papers_of(lite.parts, lite.builder, lot))}
    assert papers.papers_of_lots(lite.parts, lite.rival, lots) == {}


def test_signing_off_changes_no_paper(lite: House) -> None:
    lot = lite.treated()
    before = paper(lite, lot, "treatment-record")

    treating.sign_off(lite.parts, lite.office, lot)

    assert paper(lite, lot, "treatment-record") == before
