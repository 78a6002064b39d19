"""All that is kept under a mail address, as a file: for somebody who asks the office, and signs in nowhere.

The office makes sure of who asks; how it does that is its own, and its adviser's, to say.
"""

from __future__ import annotations

from typing import Any

from portal.acts.own_data import holder_data, letters_data, person_data, plain
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import check, email_problems
from portal.core.errors import BadInput, Problem
from portal.core.words import say
from portal.store import privacy
from portal.store.transaction import Work


def data_of_address(parts: Parts, who: Actor, email: str) -> dict[str, Any]:
    """All of it, by what it was kept as. Raises `BadInput` where nothing is."""
    must_be(who, "office")
    email = email.strip()
    check(email_problems(email) if email else [Problem("email", say("Enter the mail address."))])
    with parts.store.reading() as work:
        found = _found(work, email)
        if not any(found.values()):
            raise BadInput([Problem("email", say("Nothing is kept under this address."))])
        return {"of": email, "made_at": work.now} | found


def _found(work: Work, email: str) -> dict[str, Any]:
    return {
        "signs_in": [person_data(work, row) for row in privacy.persons_by(work, email)],
        "holder": [holder_data(work, row) for row in privacy.holders_by(work, email)],
        "to_take_over": [
            plain(row, "name", "email", "closed_on", "state", "asked_at", "evidence", "evidence_name")
            for row in privacy.transfers_to(work, email)
        ],
        "trouble": [
            plain(row, "number", "name", "email", "phone", "reported_on", "state", "decision")
            for row in privacy.reports_by(work, email)
        ],
        "additions": [
            plain(row, "number", "name", "email", "phone", "words", "framed_on", "state", "reason")
            for row in privacy.additions_by(work, email)
        ],
        "quotes_to_answer": [
            plain(row, "name", "email", "made_at", "expires_on", "opened_at", "answer", "answered_at",
                  "answered_name", "purchase_order", "reason")
            for row in privacy.purchaser_links_to(work, email)
        ],
        "yes_said": [
            plain(row, "name", "email", "amount", "purchase_order", "given_at", "taken_back_at")
            for row in privacy.consents_of(work, email)
        ],
        "companies": [
            plain(row, "kind", "name", "address", "email", "phone")
            for row in privacy.companies_by(work, email)
        ],
        "recalls": [
            plain(row, "name", "email", "subject", "text", "state", "decided_at")
            for row in privacy.recall_letters_to(work, email)
        ],
        "letters": letters_data(work, email),
    }  # fmt: skip
