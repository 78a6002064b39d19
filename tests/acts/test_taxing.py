"""Tax from the table that the office enters to the quote and the invoice. Amounts by hand.

The ranch: 296 ft, of it 57 sided and 27 wrapped. Treatment 296 × 1.45 = 429.20, second coat 57 × 0.60 =
34.20, wrap 27 × 0.25 = 6.75, call-out 35.00: 505.15 by the rates of tests/parts/house.py, whose tax is 7 %.
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from portal.acts import desk, estimating, exempting, tax_tables
from portal.acts.exempting import Certificate
from portal.acts.tax_tables import PlaceSet
from portal.core.documents import InvoiceDocument, Offer
from portal.core.errors import NotFound
from portal.store.tables import History, TaxEdition, TaxExemption
from tests.parts.house import House, ranch
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

D = Decimal
STATE_AND_CITY = [{"name": "State", "percent": "6"}, {"name": "City", "percent": "1.25"}]


def tables(house: House) -> tax_tables.TaxTables:
    """All tables, as the owner sees them."""
    return tax_tables.tax_tables(house.parts, house.owner)


def enter(house: House, name: str = "Alder County", first_day: date | None = None, **document: Any) -> int:
    """An edition of a jurisdiction's table, from today on unless said otherwise."""
    entered = {"rates": STATE_AND_CITY} | document
    first = first_day or house.parts.today()
    return tax_tables.enter_table(house.parts, house.owner, name, first, entered, house.key())


def place(house: House, at: PlaceSet, name: str) -> None:
    """Have a table hold for a place."""
    found = tables(house).jurisdictions
    tax_tables.set_place(house.parts, house.owner, at, next(one.id for one in found if one.name == name))


def certify(house: House, days: int, jurisdiction: str = "", number: str = "RX-77") -> None:
    """A certificate of the builder's from today on, for so many days."""
    known = tables(house).jurisdictions
    where = next((one.id for one in known if one.name == jurisdiction), "")
    today = house.parts.today()
    entered = Certificate(number, where, today, today + timedelta(days=days))
    exempting.exempt(house.parts, house.office, house.builder.company_id or "", entered, house.key())


def quoted(house: House, lot: str) -> Offer:
    """What the newest revision offers."""
    document = house.sheet(lot).revisions[0].document
    assert document is not None
    return document.offer


def billed(house: House, lot: str) -> InvoiceDocument:
    """The invoice."""
    return house.invoice(lot).document


def test_the_first_table_taxes_every_lot_by_its_parts(house: House) -> None:
    """505.15 × 7.25 % = 36.623375: 36.62, of it 30.31 (6/7.25) and 6.31."""
    assert enter(house) == 1

    lot = house.sent()

    offer = quoted(house, lot)
    assert (offer.tax, offer.total, offer.tax_percent) == (D("36.62"), D("541.77"), D("7.25"))
    assert [(p.jurisdiction, p.name, p.taxable, p.amount) for p in offer.taxes] == [
        ("Alder County", "State", D("505.15"), D("30.31")), ("Alder County", "City", D("505.15"), D("6.31")),
    ]  # fmt: skip
    assert offer.taxing is not None
    assert offer.taxing.table.edition == 1


def test_without_a_table_the_rate_book_holds(house: House) -> None:
    offer = quoted(house, house.sent())

    assert (offer.tax, offer.taxes, offer.taxing) == (D("35.36"), (), None)


def test_a_table_that_begins_later_does_not_hold_yet(house: House) -> None:
    enter(house, first_day=house.parts.today() + timedelta(days=1))

    assert quoted(house, house.sent()).taxing is None


def test_what_is_shown_before_asking_is_what_is_quoted(house: House) -> None:
    """The call-out is not taxed: 470.15 × 7.25 % = 34.085875."""
    enter(house, untaxed=["call_out"])
    shown = estimating.work_out(house.parts, house.builder, ranch())

    lot = house.asked()

    assert shown.answer["price"]["tax"] == "34.09"
    assert house.sheet(lot).takeoff.estimate["price"] == shown.answer["price"]
    assert quoted(house, house.sent(house.approved(house.to_check(lot)))).total == D(
        shown.answer["price"]["total"]
    )


@pytest.mark.parametrize(
    ("set_for", "where", "taxed_by"),
    [
        ((), {}, "Alder County"),
        (("town",), {"town": "MARLOW  ferry", "state": "ia"}, "Birch City"),
        (("town",), {"town": "Marlow Ferry", "state": "IL"}, "Alder County"),
        (("town", "subdivision"), {}, "Cedar District"),
        (("town", "subdivision"), {"subdivision": "Heron Rise"}, "Birch City"),
    ],
)
def test_a_lot_is_taxed_by_its_subdivision_else_its_town_else_the_default(
    lite: House, set_for: tuple[str, ...], where: dict[str, str], taxed_by: str
) -> None:
    lite.asked()  # so that the subdivision is there
    for name in ("Alder County", "Birch City", "Cedar District"):
        enter(lite, name)
    if "town" in set_for:
        place(lite, PlaceSet("town", "Marlow Ferry", "IA"), "Birch City")
    if "subdivision" in set_for:
        known = tables(lite).subdivisions
        quarry = next(one[0] for one in known if one[1] == "Quarry Bend")
        place(lite, PlaceSet("subdivision", subdivision_id=quarry), "Cedar District")

    offer = quoted(lite, lite.sent(**where))

    assert offer.taxing is not None
    assert offer.taxing.table.jurisdiction == taxed_by


def test_a_place_is_set_anew_and_dropped(lite: House) -> None:
    enter(lite)
    enter(lite, "Birch City")
    place(lite, PlaceSet("default"), "Birch City")

    assert [one.jurisdiction for one in tables(lite).places] == ["Birch City"]
    tax_tables.drop_place(lite.parts, lite.owner, "default")
    assert quoted(lite, lite.sent()).taxing is None
    with pytest.raises(NotFound):
        tax_tables.drop_place(lite.parts, lite.owner, "default")


def test_the_invoice_keeps_the_edition_of_the_quote(house: House) -> None:
    """Found sided, the north side (57 ft) adds 34.20: 539.35 × 7.25 % = 39.102875, and not 9 %."""
    enter(house)
    lot = house.accepted()
    enter(house, rates=[{"name": "State", "percent": "9"}])
    document = house.sheet(lot).revisions[0].document
    assert document is not None
    wall = next(w for w in document.walls if w.label == "north side")

    house.treated(house.booked(lot), found={wall.key: "sided"})

    owed = billed(house, lot).owed
    assert owed.taxing is not None
    assert (owed.taxing.table.edition, owed.tax, owed.total) == (1, D("39.10"), D("578.45"))


def test_an_approved_quote_is_approved_anew_where_its_tax_changed(lite: House) -> None:
    lot = lite.approved()
    enter(lite)

    assert "approve it once more" in refusal(lambda: lite.sent(lot))


def test_an_exempt_builder_pays_no_tax_on_quote_and_invoice(house: House) -> None:
    enter(house)
    certify(house, 90)

    lot = house.treated()

    for offer in (quoted(house, lot), billed(house, lot).owed):
        assert (offer.tax, offer.total) == (D(0), D("505.15"))
        assert offer.taxing is not None
        assert offer.taxing.exempt is not None
        assert offer.taxing.exempt.number == "RX-77"


def test_an_exemption_that_ended_is_gone_on_the_invoice(house: House) -> None:
    enter(house)
    certify(house, 5)
    lot = house.accepted()
    house.clock.pass_by(days=6)

    house.treated(house.booked(lot))

    document = billed(house, lot)
    assert (document.quoted.tax, document.owed.tax) == (D(0), D("36.62"))
    assert document.owed.taxing is not None
    assert document.owed.taxing.exempt is None


def test_without_a_table_too_an_exemption_ends(house: House) -> None:
    """Then it is the rate book's percent again: 7 % of 505.15."""
    certify(house, 5)
    lot = house.accepted()
    house.clock.pass_by(days=6)

    house.treated(house.booked(lot))

    document = billed(house, lot)
    assert (document.quoted.tax, document.owed.tax, document.owed.taxing) == (D(0), D("35.36"), None)


def test_an_exemption_of_elsewhere_does_not_hold(lite: House) -> None:
    enter(lite)
    enter(lite, "Birch City")
    certify(lite, 90, "Birch City")

    assert quoted(lite, lite.sent()).tax == D("36.62")


def test_a_withdrawn_exemption_covers_nothing(lite: House) -> None:
    enter(lite)
    certify(lite, 90)
    company = lite.builder.company_id or ""
    found = exempting.exemptions_of(lite.parts, lite.office, company).exemptions[0]

    exempting.withdraw(lite.parts, lite.office, company, found.id)

    assert quoted(lite, lite.sent()).tax == D("36.62")
    assert "withdrawn already" in refusal(
        lambda: exempting.withdraw(lite.parts, lite.office, company, found.id)
    )
    with pytest.raises(NotFound):
        exempting.withdraw(lite.parts, lite.office, lite.rival.company_id or "", found.id)


def test_today_tells_of_an_exemption_that_ends_soon_until_the_next_one_is_there(lite: House) -> None:
    certify(lite, 30)
    certify(lite, 31, number="RX-88")
    assert desk.today(lite.parts, lite.office).exemptions == ()

    lite.clock.pass_by(days=1)
    told = desk.today(lite.parts, lite.office)
    assert [one.number for one in told.exemptions] == ["RX-88"]
    assert told.needs == 1

    certify(lite, 365, number="RX-99")
    assert desk.today(lite.parts, lite.office).exemptions == ()


def test_what_cannot_be_entered_is_told_at_its_field(lite: House) -> None:
    rates = [("", "x"), ("A", "60"), ("B", "50")]
    bad = {"rates": [{"name": name, "percent": percent} for name, percent in rates], "untaxed": ["lunch"],
           "rounding": "up", "parts": "both"}  # fmt: skip

    found = problems(
        lambda: tax_tables.enter_table(lite.parts, lite.owner, "", lite.parts.today(), bad, lite.key())
    )

    assert set(found) == {
        "jurisdiction", "rates[0].name", "rates[0].percent", "rates", "untaxed", "rounding", "parts",
    }  # fmt: skip
    assert lite.rows(TaxEdition) == 0


def test_a_certificate_without_its_days_is_told(lite: House) -> None:
    entered = Certificate(" ", "", None, None)
    company = lite.builder.company_id or ""

    found = problems(lambda: exempting.exempt(lite.parts, lite.office, company, entered, lite.key()))

    assert set(found) == {"number", "first_day", "last_day"}
    assert lite.rows(TaxExemption) == 0


def test_an_edition_begins_today_or_later_and_the_first_whenever(lite: House) -> None:
    yesterday = lite.parts.today() - timedelta(days=1)
    assert enter(lite, first_day=yesterday) == 1

    assert set(problems(lambda: enter(lite, "alder  county", first_day=yesterday))) == {"first_day"}
    assert enter(lite, "ALDER County") == 2
    assert [one.name for one in tables(lite).jurisdictions] == ["Alder County"]


def test_history_tells_of_all_of_it(lite: House) -> None:
    enter(lite)
    certify(lite, 9)

    assert {"tax table", "exemption"} <= set(lite.verbs())
    assert lite.rows(History)
