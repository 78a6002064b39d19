"""How builders are billed: terms of their own where the office entered some, else those of the firm.

They hold for what is quoted from then on: a quote that is sent keeps the terms that stand in it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from portal.acts.parts import Actor, Parts, must_be, must_be_owner
from portal.acts.trail import note, once
from portal.core.errors import BadInput
from portal.core.money.terms import BillingTerms
from portal.core.money.terms_entered import FIELDS, limit_of, problems_of, read_terms
from portal.store import billing, people, quotes
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class TermsView:
    """How one builder is billed. `number` is 0 where the firm's terms hold, and then nobody entered them."""

    company_id: str
    company: str
    number: int
    document: Mapping[str, Any]
    made_by: str
    made_at: datetime | None

    @property
    def terms(self) -> BillingTerms:
        """The same, as acts go by it."""
        return read_terms(self.document)


def terms_for(work: Work, firm: Mapping[str, Any], company_id: str) -> BillingTerms:
    """How a builder is billed by what is quoted now. Once asked for, known for the rest of a transaction."""
    known = work.session.info.setdefault("billing terms", {})
    if company_id not in known:
        row = billing.newest_terms(work, company_id)
        known[company_id] = read_terms(row.document if row else firm)
    found = known[company_id]
    assert isinstance(found, BillingTerms)
    return found


def terms_of(parts: Parts, who: Actor, company_id: str) -> TermsView:
    """How a builder is billed, for the office. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        company = people.company(work, company_id)
        row = billing.newest_terms(work, company_id)
        if row is not None:
            return TermsView(company.id, company.name, row.number, row.document, row.made_by, row.made_at)
        return TermsView(company.id, company.name, 0, _of_firm(parts, work), "", None)


def _of_firm(parts: Parts, work: Work) -> dict[str, Any]:
    firm = quotes.edition_on(work, "firm", parts.today()).document
    return {key: firm[key] for key in FIELDS if key in firm}


def enter_terms(parts: Parts, who: Actor, company_id: str, typed: Mapping[str, Any], once_key: str) -> int:
    """Terms of a builder's own; answers their number. An owner's act: they decide when money comes."""
    must_be_owner(who)
    document = {key: typed.get(key, "") for key in FIELDS}

    def do(work: Work) -> dict[str, Any]:
        company = people.company(work, company_id)
        problems = problems_of(document, limit_of(quotes.edition_on(work, "firm", parts.today()).document))
        if problems:
            raise BadInput(problems)
        row = billing.add_terms(work, company.id, document, who.name)
        note(work, who, "billing terms", f"{company.name}, {row.number}")
        return {"number": row.number}

    return int(once(parts, who, f"billing terms {company_id}", once_key, do, document)["number"])
