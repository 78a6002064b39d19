"""What is covered is treated again as a job of its own, at nothing, under the first warranty."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from portal.acts import covering, quoting, recalling, retreating, troubles
from portal.acts.reporting import TroubleTyped, report
from portal.acts.troubles import StepTyped, take_step
from portal.core.errors import Refused
from portal.store.tables import Company, Invoice, Lot, Warranty
from tests.parts.house import House
from tests.parts.warranties import owned, treated_with

pytestmark = pytest.mark.slow


def decided(house: House, lot: str, decision: str = "covered") -> str:
    """A report at a treated lot, as far as decided; its id."""
    token = house.warranty(lot).link.rpartition("/")[2]
    typed = TroubleTyped("A soft sill.", "Ivo Roe", "ivo@example.org", "")
    report(house.parts, token, typed, (), "203.0.113.7", house.key())
    made = next(
        one.id for one in troubles.list_troubles(house.parts, house.office) if one.state == "reported"
    )
    clause = troubles.trouble(house.parts, house.office, made).covers[0]
    for kind, more in (
        ("answered", {}), ("booked", {"day": house.parts.today(), "person": "Noor Vale"}), ("found", {}),
        ("decided", {"decision": decision, "clauses": (clause,)}),
    ):  # fmt: skip
        step(house, made, kind, **more)
    return made


def step(house: House, made: str, kind: str, **more: Any) -> None:
    take_step(house.parts, house.office, made, kind, StepTyped("Words.", **more), (), house.key())


def made_job(house: House, made: str) -> str:
    lot = retreating.make_retreatment(house.parts, house.office, made, house.key())
    retreating.agree_retreatment(house.parts, house.office, made, house.version(lot))
    return lot


def test_covered_trouble_is_treated_again_and_closed_with_the_holder_told(house: House) -> None:
    first = owned(house, treated_with(house, "Lot 1", "BL-204"))
    invoices, warranties = house.rows(Invoice), house.rows(Warranty)
    made = decided(house, first)

    lot = made_job(house, made)
    sheet = house.sheet(lot)
    assert sheet.company.startswith("Ada Roe, ") and sheet.company.endswith(house.warranty(first).number)
    offer = sheet.revisions[0].document.offer
    assert [(line.what, line.amount) for line in offer.lines] == [("retreatment", Decimal("0.00"))]
    assert offer.total == 0 and sheet.revisions[0].document.clause_walls == ()
    with pytest.raises(Refused, match="done once that is marked treated"):
        step(house, made, "done", day=house.parts.today(), person="Noor Vale")
    with pytest.raises(Refused):
        step(house, made, "closed")

    house.book(lot, house.parts.today())
    house.mark(lot, house.entry(lot, container_lot="ZZ-9"))

    found = troubles.trouble(house.parts, house.office, made)
    record = house.sheet(lot).record
    assert record is not None and (found.steps[-1].words, found.steps[-1].record) == ("", record.number)
    assert found.row.state == "done"
    step(house, made, "closed")
    told = [to for kind, to in house.letters() if kind == "trouble_told"]
    assert told.count("ada@example.org") == 1 and told[-2:].count("ivo@example.org") >= 1
    # One warranty, one invoice: the first lot's; and a recall of the new product lot finds the house.
    assert (house.rows(Invoice), house.rows(Warranty)) == (invoices, warranties)
    page = covering.by_link(house.parts, house.warranty(first).link.rpartition("/")[2])
    assert ("treated again", record.number) in [(line.what, line.number) for line in page.timeline]
    assert page.state == house.warranty(first).state
    assert house.sheet(lot).stage == "treated" and house.sheet(lot).invoice is None


def test_a_recall_of_the_product_lot_that_treated_it_again_finds_the_house(lite: House) -> None:
    first = owned(lite, treated_with(lite, "Lot 1", "BL-204"))
    lot = made_job(lite, decided(lite, first))
    lite.book(lot, lite.parts.today())
    lite.mark(lot, lite.entry(lot, container_lot="ZZ-9"))

    looked = recalling.look(lite.parts, lite.office, recalling.RecallAsked("product lot", "zz 9"))

    assert [one.row.lot_id for one in looked.records] == [first]


def test_where_no_holder_is_named_it_is_the_builders_lot(lite: House) -> None:
    first = treated_with(lite, "Lot 1", "BL-204")
    made = decided(lite, first)

    lot = made_job(lite, made)

    assert lite.sheet(lot).company == lite.sheet(first).company
    assert lite.rows(Company) == 2


@pytest.mark.parametrize("decision", ["not covered"])
def test_what_is_not_covered_is_not_treated_again_at_nothing(lite: House, decision: str) -> None:
    made = decided(lite, treated_with(lite, "Lot 1", "BL-204"), decision)

    with pytest.raises(Refused):
        retreating.make_retreatment(lite.parts, lite.office, made, lite.key())


def test_it_is_made_once_and_becomes_a_job_once(lite: House) -> None:
    made = decided(lite, treated_with(lite, "Lot 1", "BL-204"))
    key = lite.key()
    lot = retreating.make_retreatment(lite.parts, lite.office, made, key)
    assert retreating.make_retreatment(lite.parts, lite.office, made, key) == lot
    with pytest.raises(Refused, match="made already"):
        retreating.make_retreatment(lite.parts, lite.office, made, lite.key())
    with pytest.raises(Refused, match="job on its report"):
        quoting.start(lite.parts, lite.office, lot, lite.version(lot))
    version = lite.version(lot)
    retreating.agree_retreatment(lite.parts, lite.office, made, version)
    with pytest.raises(Refused, match="job already"):
        retreating.agree_retreatment(lite.parts, lite.office, made, lite.version(lot))
    assert lite.rows(Lot) == 2
