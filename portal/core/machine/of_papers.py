"""From a frozen invoice or credit note to the model. Amounts are taken over as they stand, to the cent.

How a sales tax is told in a standard made for value added tax: a line that a jurisdiction's table taxes is of
category S at the table's percents together; the standard has one rate a line, so the parts by jurisdiction
stand in the note. What is not taxed is of category E and says why (the certificate, or the table). A paper
on which nothing is taxed, by an office that entered no tax registration, is of category O: the standard asks
for the seller's registration wherever there is an S or an E. So a taxed paper without it has no summary. Nor
has one that is taxed at less than half a percent: the published rule BR-CO-17 takes such a rate for none.

What was paid ahead is BT-113. What is held back is no reduction: it stays in BT-115, and the terms (BT-20)
say what of it is due by the day. The country is the United States, as in all addresses of the house.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from portal.core.documents import CreditNoteDocument, Firm, InvoiceDocument, Line, Offer
from portal.core.documents.parties import Builder, Place
from portal.core.machine.model import (
    CREDIT_NOTE,
    EXEMPT,
    FOOT,
    INVOICE,
    ONE,
    OUTSIDE,
    PREPAYMENT,
    TAXED,
    ZERO,
    Category,
    Charge,
    MachineLine,
    MachinePaper,
    Party,
    TaxGroup,
)
from portal.core.money.amount import cents
from portal.core.money.tax import spread
from portal.core.words import say

#: A part of a paper: what it is called where there are several, and what is owed for it.
Part = tuple[str, Offer]
#: The smallest rate that the published rules take for one.
SMALLEST = Decimal("0.5")
Sorted = list[tuple[str, Line, Category, Decimal]]


def summary_of(document: InvoiceDocument | CreditNoteDocument) -> MachinePaper | None:
    """The summary of a paper; None where it cannot be given truthfully (see above), or has no lines."""
    parts = _parts(document) if isinstance(document, InvoiceDocument) else [("", document.taken)]
    if any(offer.discount and not sum(line.amount for line in offer.lines) for _name, offer in parts):
        # What comes off nothing has no line, and so no category.
        return None
    sorted_lines = [entry for part in parts for entry in _sorted(part, _kind_of(document))]
    taxed = any(category.code == TAXED for _lot, _line, category, _off in sorted_lines)
    if any(code.code == TAXED and code.percent < SMALLEST for _lot, _line, code, _off in sorted_lines):
        return None
    if not document.office.tax_number:
        if taxed or any(offer.tax for _name, offer in parts):
            return None
        sorted_lines = [
            (lot, line, Category(OUTSIDE, why=kept.why), off) for lot, line, kept, off in sorted_lines
        ]
    sorted_lines = _one_reason(sorted_lines)
    groups = _groups(sorted_lines, parts)
    told = _lines(sorted_lines), _charges(sorted_lines), groups
    if isinstance(document, InvoiceDocument):
        whole, made = document.owed, _of_invoice(document, *told)
    else:
        whole, made = document.taken, _of_credit(document, *told)
    # A credit note of lots under different tables keeps no line's own table; other papers always agree.
    return made if sorted_lines and (made.net, made.tax) == (whole.total - whole.tax, whole.tax) else None


def _kind_of(document: InvoiceDocument | CreditNoteDocument) -> str:
    if not isinstance(document, InvoiceDocument):
        return "credit"
    return "interest" if document.charge is not None else document.kind


def _parts(document: InvoiceDocument) -> list[Part]:
    several = bool(document.lots)
    return [(part.place.lot if several else "", part.owed) for part in document.parts]


def _sorted(part: Part, kind: str) -> Sorted:
    """The lines of a part with their category and their share of what comes off it."""
    name, offer = part
    off = spread(offer.discount, [line.amount for line in offer.lines])
    return [
        (name, line, _category(offer, line, kind), less) for line, less in zip(offer.lines, off, strict=True)
    ]


def _category(offer: Offer, line: Line, kind: str) -> Category:
    taxing = offer.taxing
    if taxing is not None and taxing.exempt is not None:
        why = say("Exempt by certificate {number}, good through {day}.",
                  number=taxing.exempt.number, day=taxing.exempt.last_day.isoformat())  # fmt: skip
        return Category(EXEMPT, why=str(why))
    if taxing is not None and line.kind in taxing.table.untaxed:
        return Category(EXEMPT, why=str(say("Not taxed by the table of {place}.",
                                            place=taxing.table.jurisdiction)))  # fmt: skip
    percent = taxing.table.percent if taxing is not None else offer.tax_percent
    if percent:
        return Category(TAXED, percent.normalize())
    reasons = {
        "deposit": say("A deposit: what it is paid on is taxed on its own invoice."),
        "interest": say("Interest on what was paid late."),
    }
    return Category(EXEMPT, why=str(reasons.get(kind, say("No tax was charged."))))


def _one_reason(entries: Sorted) -> Sorted:
    """One category of each code and rate, as the standard wants it; several reasons are put together."""
    reasons: dict[tuple[str, Decimal], list[str]] = {}
    for _lot, _line, category, _off in entries:
        known = reasons.setdefault((category.code, category.percent), [])
        if category.why and category.why not in known:
            known.append(category.why)
    return [
        (lot, line, Category(of.code, of.percent, " ".join(reasons[of.code, of.percent])), off)
        for lot, line, of, off in entries
    ]


def _groups(entries: Sorted, parts: Iterable[Part]) -> tuple[TaxGroup, ...]:
    """Each category's taxable amount; a part's tax is all of its one rate."""
    taxable: dict[Category, Decimal] = {}
    for _lot, line, category, off in entries:
        taxable[category] = taxable.get(category, ZERO) + line.amount - off
    tax: dict[Decimal, Decimal] = {}
    for _name, offer in parts:
        percent = offer.taxing.table.percent if offer.taxing is not None else offer.tax_percent
        tax[percent] = tax.get(percent, ZERO) + offer.tax
    return tuple(
        TaxGroup(category, amount, tax.get(category.percent, ZERO) if category.code == TAXED else ZERO)
        for category, amount in taxable.items()
    )


def _charges(entries: Sorted) -> tuple[Charge, ...]:
    """What comes off, by category; on lines that are less than zero it comes on."""
    off: dict[Category, Decimal] = {}
    for _lot, _line, category, less in entries:
        off[category] = off.get(category, ZERO) + less
    reason = str(say("Discount"))
    return tuple(Charge(less < 0, reason, abs(less), category) for category, less in off.items() if less)


def _lines(entries: Sorted) -> tuple[MachineLine, ...]:
    return tuple(_line(lot, line, category) for lot, line, category, _off in entries)


def _line(lot: str, line: Line, category: Category) -> MachineLine:
    """A line by the foot where its feet times its rate are its amount; else one at its amount.

    A price is never under zero (BR-27), so what comes off is so many less than none.
    """
    note = " ".join(text for text in (f"{lot}." if lot else "", line.reason) if text)
    by_foot = (
        line.feet is not None and line.rate is not None and line.feet > 0 and line.rate >= 0
        and cents(line.feet * line.rate) == line.amount
    )  # fmt: skip
    if by_foot:
        assert line.feet is not None and line.rate is not None
        return MachineLine(line.label or line.what, note, line.feet, FOOT, line.rate, line.amount, category)
    count = Decimal(-1 if line.amount < 0 else 1)
    return MachineLine(line.label or line.what, note, count, ONE, abs(line.amount), line.amount, category)


def _seller(firm: Firm) -> Party:
    return Party(
        firm.name, firm.address, firm.phone, firm.email, license=firm.license, tax_number=firm.tax_number
    )


def _buyer(builder: Builder) -> Party:
    return Party(builder.company, builder.address, builder.phone, builder.email, contact=builder.asked_by)


def _at(place: Place) -> tuple[str, ...]:
    return (f"{place.lot}, {place.subdivision}" if place.subdivision else place.lot, place.address,
            place.town, place.state, place.postal_code)  # fmt: skip


def _tax_note(offer: Offer) -> str:
    """The parts of the tax by jurisdiction, which the standard has no place for."""
    return "; ".join(
        f"{part.jurisdiction}, {part.name} {part.percent.normalize():f}%: {part.amount}"
        for part in offer.taxes if part.amount
    )  # fmt: skip


def _of_invoice(
    document: InvoiceDocument, lines: tuple[MachineLine, ...], charges: tuple[Charge, ...],
    groups: tuple[TaxGroup, ...],
) -> MachinePaper:  # fmt: skip
    note = _tax_note(document.owed)
    return MachinePaper(
        kind=PREPAYMENT if document.kind == "deposit" else INVOICE, number=document.number,
        issued_on=document.issued_on, due_on=document.due_on, currency=document.owed.currency,
        seller=_seller(document.office), buyer=_buyer(document.builder), lines=lines, charges=charges,
        groups=groups, paid=document.paid_ahead, terms=_terms(document),
        note=str(say("Sales tax: {parts}.", parts=note)) if note else "", order=document.purchase_order,
        contract=document.quote, preceding=_before(document),
        place=() if document.lots else _at(document.place),
        delivered_on=None if document.lots else document.treated_on,
    )  # fmt: skip


def _before(document: InvoiceDocument) -> tuple[tuple[str, None], ...]:
    named = [one.number for one in document.deposits]
    named += [document.in_place_of] if document.in_place_of else []
    named += [document.charge.invoice] if document.charge else []
    return tuple((number, None) for number in dict.fromkeys(named))


def _terms(document: InvoiceDocument) -> str:
    """When what is due, what paying soon takes off, whom to pay: the terms as one text (BT-20)."""
    day, currency = document.due_on.isoformat(), document.owed.currency
    told = [str(say("{currency} {amount} is due on {day}.", currency=currency, amount=document.due, day=day))]
    if document.retained:
        told.append(str(say("{currency} {amount} is held back until it is released.",
                            currency=currency, amount=document.retained)))  # fmt: skip
    if document.prompt is not None:
        until = document.prompt.until.isoformat()
        told.append(str(say("Paid by {day}, {currency} {amount} comes off.", day=until, currency=currency,
                            amount=document.prompt.amount)))  # fmt: skip
    return " ".join([*told, str(say("Pay to: {whom}", whom=document.pay_to))])


def _of_credit(
    document: CreditNoteDocument, lines: tuple[MachineLine, ...], charges: tuple[Charge, ...],
    groups: tuple[TaxGroup, ...],
) -> MachinePaper:  # fmt: skip
    goes = [
        (say("off what the invoice asked for"), document.off_open),
        (say("off what was held back"), document.off_retained),
        (say("to the builder’s credit"), document.to_credit),
        (say("deposits given back"), document.deposits),
        (say("was let off or written off already"), document.let_off),
    ]
    where = "; ".join(f"{amount} {words}" for words, amount in goes if amount)
    return MachinePaper(
        kind=CREDIT_NOTE, number=document.number, issued_on=document.issued_on, due_on=None,
        currency=document.taken.currency, seller=_seller(document.office), buyer=_buyer(document.builder),
        lines=lines, charges=charges, groups=groups, paid=ZERO, terms=where and f"{where}.",
        note=document.reason, order=document.purchase_order,
        preceding=((document.invoice, document.invoice_of),),
        place=() if document.package else _at(document.place),
    )  # fmt: skip
