"""The summary for machines as UBL 2.1 (ISO/IEC 19845), by the binding of EN 16931 (CEN/TS 16931-3-2)."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from typing import Any
from xml.etree import ElementTree as Tree

from portal.core.machine import Category, Charge, MachineLine, MachinePaper, Party
from portal.core.machine.model import CREDIT_NOTE, OUTSIDE

SPACE = "urn:oasis:names:specification:ubl:schema:xsd:"
CAC, CBC = f"{SPACE}CommonAggregateComponents-2", f"{SPACE}CommonBasicComponents-2"
#: BT-24: the plain standard, without any country's own additions.
BY = "urn:cen.eu:en16931:2017"
COUNTRY = "US"
#: Payment means by UNTDID 4461: none is named, the terms say whom to pay.
MEANS = "1"
#: Of a line of which nothing can be written (BT-153 must be there).
UNNAMED = "–"
#: What no XML 1.0 document can hold. People paste it in; it is left out.
UNWRITABLE = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

Tree.register_namespace("inv", f"{SPACE}Invoice-2")
Tree.register_namespace("crn", f"{SPACE}CreditNote-2")
Tree.register_namespace("cac", CAC)
Tree.register_namespace("cbc", CBC)


def ubl(paper: MachinePaper) -> bytes:
    """The document, always the same for the same paper."""
    paper = _writable(paper)
    credit = paper.kind == CREDIT_NOTE
    name = "CreditNote" if credit else "Invoice"
    root = Tree.Element(f"{{{SPACE}{name}-2}}{name}")
    _head(root, paper, credit)
    _references(root, paper)
    _party(_group(root, "AccountingSupplierParty"), paper.seller)
    _party(_group(root, "AccountingCustomerParty"), paper.buyer)
    _delivery(root, paper)
    _value(_group(root, "PaymentMeans"), "PaymentMeansCode", MEANS)
    if paper.terms:
        _value(_group(root, "PaymentTerms"), "Note", paper.terms)
    for charge in paper.charges:
        _charge(root, charge, paper.currency)
    _taxes(root, paper)
    _totals(root, paper)
    for number, line in enumerate(paper.lines, 1):
        _line(root, number, line, paper.currency, credit)
    Tree.indent(root)
    return bytes(Tree.tostring(root, encoding="utf-8", xml_declaration=True)) + b"\n"


def _writable(value: Any) -> Any:
    """The same with nothing in its texts that XML cannot hold; an order number of such alone is none."""
    if isinstance(value, str):
        return UNWRITABLE.sub("", value).strip()
    if isinstance(value, tuple):
        return tuple(_writable(one) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{one.name: _writable(getattr(value, one.name)) for one in fields(value)})
    return value


def _group(under: Tree.Element, name: str) -> Tree.Element:
    return Tree.SubElement(under, f"{{{CAC}}}{name}")


def _value(under: Tree.Element, name: str, text: object, **attributes: str) -> None:
    made = Tree.SubElement(under, f"{{{CBC}}}{name}", attributes)
    made.text = str(text)


def _money(under: Tree.Element, name: str, amount: Decimal, currency: str) -> None:
    _value(under, name, f"{amount:f}", currencyID=currency)


def _head(root: Tree.Element, paper: MachinePaper, credit: bool) -> None:
    _value(root, "CustomizationID", BY)
    _value(root, "ID", paper.number)
    _value(root, "IssueDate", paper.issued_on.isoformat())
    if paper.due_on and not credit:
        _value(root, "DueDate", paper.due_on.isoformat())
    _value(root, "CreditNoteTypeCode" if credit else "InvoiceTypeCode", paper.kind)
    if paper.note:
        _value(root, "Note", paper.note)
    _value(root, "DocumentCurrencyCode", paper.currency)


def _references(root: Tree.Element, paper: MachinePaper) -> None:
    if paper.order:
        _value(_group(root, "OrderReference"), "ID", paper.order)
    for number, day in paper.preceding:
        named = _group(_group(root, "BillingReference"), "InvoiceDocumentReference")
        _value(named, "ID", number)
        if day:
            _value(named, "IssueDate", day.isoformat())
    if paper.contract:
        _value(_group(root, "ContractDocumentReference"), "ID", paper.contract)


def _party(under: Tree.Element, who: Party) -> None:
    party = _group(under, "Party")
    if who.license:
        _value(_group(party, "PartyIdentification"), "ID", who.license)
    lines = [text for line in who.address for text in line.splitlines() if text.strip()]
    _address(_group(party, "PostalAddress"), lines)
    if who.tax_number:
        scheme = _group(party, "PartyTaxScheme")
        _value(scheme, "CompanyID", who.tax_number)
        _value(_group(scheme, "TaxScheme"), "ID", "TAX")
    _value(_group(party, "PartyLegalEntity"), "RegistrationName", who.name)
    if who.contact or who.phone or who.email:
        contact = _group(party, "Contact")
        for name, text in (("Name", who.contact), ("Telephone", who.phone), ("ElectronicMail", who.email)):
            if text:
                _value(contact, name, text)


def _address(address: Tree.Element, lines: list[str]) -> None:
    """Addresses are kept as lines: the first two, and the others in the third (BT-35, 36, 162)."""
    for name, text in zip(("StreetName", "AdditionalStreetName"), lines, strict=False):
        _value(address, name, text)
    if lines[2:]:
        _value(_group(address, "AddressLine"), "Line", ", ".join(lines[2:]))
    _value(_group(address, "Country"), "IdentificationCode", COUNTRY)


def _delivery(root: Tree.Element, paper: MachinePaper) -> None:
    """When and where the house was treated."""
    if not paper.place:
        return
    delivery = _group(root, "Delivery")
    if paper.delivered_on:
        _value(delivery, "ActualDeliveryDate", paper.delivered_on.isoformat())
    lot, street, town, state, code = paper.place
    address = _group(_group(delivery, "DeliveryLocation"), "Address")
    for name, text in (("StreetName", street), ("AdditionalStreetName", lot), ("CityName", town),
                       ("PostalZone", code), ("CountrySubentity", state)):  # fmt: skip
        if text.strip():
            _value(address, name, text)
    _value(_group(address, "Country"), "IdentificationCode", COUNTRY)


def _category(under: Tree.Element, name: str, category: Category, *, tells: bool = False) -> None:
    group = _group(under, name)
    _value(group, "ID", category.code)
    if category.code != OUTSIDE:
        _value(group, "Percent", f"{category.percent:f}")
    if tells and category.why:
        _value(group, "TaxExemptionReason", category.why)
    # The standard knows one kind of tax, and this is its name for it; the note says that it is sales tax.
    _value(_group(group, "TaxScheme"), "ID", "VAT")


def _charge(root: Tree.Element, charge: Charge, currency: str) -> None:
    made = _group(root, "AllowanceCharge")
    _value(made, "ChargeIndicator", "true" if charge.adds else "false")
    _value(made, "AllowanceChargeReason", charge.reason)
    _money(made, "Amount", charge.amount, currency)
    _category(made, "TaxCategory", charge.category)


def _taxes(root: Tree.Element, paper: MachinePaper) -> None:
    total = _group(root, "TaxTotal")
    _money(total, "TaxAmount", paper.tax, paper.currency)
    for one in paper.groups:
        part = _group(total, "TaxSubtotal")
        _money(part, "TaxableAmount", one.taxable, paper.currency)
        _money(part, "TaxAmount", one.tax, paper.currency)
        _category(part, "TaxCategory", one.category, tells=True)


def _totals(root: Tree.Element, paper: MachinePaper) -> None:
    made = _group(root, "LegalMonetaryTotal")
    told = (
        ("LineExtensionAmount", paper.of_lines), ("TaxExclusiveAmount", paper.net),
        ("TaxInclusiveAmount", paper.total), ("AllowanceTotalAmount", paper.off),
        ("ChargeTotalAmount", paper.on), ("PrepaidAmount", paper.paid), ("PayableAmount", paper.due),
    )  # fmt: skip
    may_be_left_out = ("AllowanceTotalAmount", "ChargeTotalAmount", "PrepaidAmount")
    for name, amount in told:
        if amount or name not in may_be_left_out:
            _money(made, name, amount, paper.currency)


def _line(root: Tree.Element, number: int, line: MachineLine, currency: str, credit: bool) -> None:
    made = _group(root, "CreditNoteLine" if credit else "InvoiceLine")
    _value(made, "ID", number)
    if line.note:
        _value(made, "Note", line.note)
    quantity = "CreditedQuantity" if credit else "InvoicedQuantity"
    _value(made, quantity, f"{line.quantity:f}", unitCode=line.unit)
    _money(made, "LineExtensionAmount", line.amount, currency)
    item = _group(made, "Item")
    _value(item, "Name", line.name or UNNAMED)
    _category(item, "ClassifiedTaxCategory", line.category)
    _money(_group(made, "Price"), "PriceAmount", line.price, currency)
