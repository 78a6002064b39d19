"""Which words and days of a quote a newer revision changed, beside its price."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from portal.core.cover.promised import kept_terms
from portal.core.documents.quote import QuoteDocument
from portal.core.money.terms_entered import billing_said
from portal.core.numbers import plainly

Words = str | date | None


@dataclass(frozen=True, slots=True)
class Rewording:
    """One thing that reads otherwise. `what` names it; None where it is not, or no longer, said."""

    what: str
    before: Words
    after: Words


def reworded(old: QuoteDocument, new: QuoteDocument) -> tuple[Rewording, ...]:
    """What the newer says otherwise, in the order of the quote. The day of sending is left out."""
    was, now = dict(_single(old)), dict(_single(new))
    single = [Rewording(what, was[what] or None, now[what] or None) for what in was if was[what] != now[what]]
    return (
        *single,
        *_lines("covers", old.terms.covers, new.terms.covers),
        *_lines("voids", old.terms.voids, new.terms.voids),
        *_lines("narrows", old.terms.narrows, new.terms.narrows),
        *_lines("kept", _kept(old), _kept(new)),
        *_lines("billing", _billing(old), _billing(new)),
        *_reasons(old, new),
    )


def _single(document: QuoteDocument) -> Iterator[tuple[str, Words]]:
    place, builder, firm = document.place, document.builder, document.office
    product, terms = document.product, document.terms
    yield "remarks", document.remarks
    yield "expires_on", document.expires_on
    yield "siding_starts", document.siding_starts
    yield "insulation_starts", document.insulation_starts
    yield "basis", document.estimate["basis"]
    yield "lot", ", ".join(filter(None, (place.lot, place.subdivision)))
    yield "place", f"{place.address}, {place.city_line}"
    yield "foundation", place.foundation
    yield "builder", ", ".join((builder.company, *builder.address, builder.phone))
    yield "asked_by", builder.asked_by
    yield "office", ", ".join((firm.name, *firm.address, firm.phone, firm.email, firm.license))
    yield "product", product.name
    yield "registration", product.registration
    yield "active_ingredient", product.active_ingredient
    yield "classification", product.classification
    yield "dry_minutes", plainly(Fraction(product.dry_minutes))
    yield "height_feet", plainly(Fraction(product.height_feet))
    yield "title", terms.title
    yield "years", "" if terms.years is None else str(terms.years)
    yield "ask", terms.ask
    yield "notice", terms.notice
    yield "release", terms.release


def _kept(document: QuoteDocument) -> tuple[str, ...]:
    return tuple(str(line) for _head, lines in kept_terms(document.terms) for line in lines)


def _billing(document: QuoteDocument) -> tuple[str, ...]:
    if document.billing is None:
        return ()
    return tuple(str(line) for line in billing_said(document.billing, document.offer.currency))


def _lines(what: str, old: tuple[str, ...], new: tuple[str, ...]) -> Iterator[Rewording]:
    """Lines that are gone, and lines that are new; one that only moved says what it said."""
    left = list(new)
    for line in old:
        if line in left:
            left.remove(line)
        else:
            yield Rewording(what, line, None)
    yield from (Rewording(what, None, line) for line in left)


def _reasons(old: QuoteDocument, new: QuoteDocument) -> Iterator[Rewording]:
    """Why an extra line stands there, where the line itself stayed."""
    left = [(line.label, line.reason) for line in new.offer.lines if line.what == "extra"]
    for line in (line for line in old.offer.lines if line.what == "extra"):
        said = [one for one in left if one[0] == line.label]
        match = next((one for one in said if one[1] == line.reason), said[0] if said else None)
        if match is not None:
            left.remove(match)
            if match[1] != line.reason:
                yield Rewording("reason", line.reason, match[1])
