"""What is kept of one person, as a file: a holder's through their link, else of whoever is signed in.

Plain data by name; moments in UTC, days as year-month-day. Nothing of anybody else: of those who held the
warranty before, or take it over after, not even the name.
"""

from __future__ import annotations

from typing import Any

from portal.acts.holder_page import holder_of
from portal.acts.parts import Actor, Parts, must_be
from portal.store import people, privacy, warranties
from portal.store.transaction import Work


def data_of_holder(parts: Parts, token: str) -> dict[str, Any]:
    """All that is kept of a holder, by the link to their page."""
    with parts.store.reading() as work:
        return {"of": "holder", "made_at": work.now} | holder_data(work, holder_of(parts, work, token))


def holder_data(work: Work, holder: Any) -> dict[str, Any]:
    """What is kept of somebody as the holder of one warranty."""
    warranty = warranties.warranty(work, holder.warranty_id)
    return {
        "warranty": warranty.number,
        "holder": plain(holder, "name", "email", "phone", "since", "until", "how", "made_at"),
        "handed_on": [
            plain(row, "closed_on", "state", "asked_at", "fee", "fee_state")
            | {"to_you" if row.to_id == holder.id else "by_you": True}
            for row in privacy.transfers_of(work, holder.id)
        ],
        "renewals": [
            plain(row, "ended_on", "until", "fee", "state", "offered_at", "looks_on", "found")
            for row in privacy.renewals_of(work, holder.id)
        ],
        "trouble": [
            plain(row, "number", "name", "email", "phone", "reported_on", "state", "decision")
            for row in privacy.reports_by(work, holder.email, warranty.id)
        ],
        "additions": [
            plain(row, "number", "name", "email", "phone", "words", "framed_on", "state", "reason")
            for row in privacy.additions_by(work, holder.email, warranty.id)
        ],
        "invoices": [
            plain(row, "number", "kind", "total", "state", "issued_on", "due_on")
            for row in privacy.invoices_of_holder(work, holder.id)
        ],
        "letters": letters_data(work, holder.email),
    }  # fmt: skip


def data_of_person(parts: Parts, who: Actor) -> dict[str, Any]:
    """All that is kept of whoever is signed in."""
    must_be(who, "builder", "office", "technician")
    assert who.person_id is not None
    with parts.store.reading() as work:
        return {"of": "person", "made_at": work.now} | person_data(work, people.person(work, who.person_id))


def person_data(work: Work, person: Any) -> dict[str, Any]:
    """What is kept of somebody who signs in, or did."""
    return {
        "company": person.company.name if person.company else "",
        "person": plain(
            person, "kind", "name", "email", "phone", "certificate", "supervisor", "owner", "may_accept",
            "may_see_money", "may_manage_people", "mails_off", "created_at",
        ),
        "sign_ins": [plain(row, "started_at", "seen_at") for row in privacy.sign_ins_of(work, person.id)],
        "done": [plain(row, "at", "verb", "subject") for row in privacy.done_by(work, person.id)],
        "letters": letters_data(work, person.email),
    }  # fmt: skip


def letters_data(work: Work, email: str) -> list[dict[str, Any]]:
    """The letters to an address that are still kept."""
    return [
        plain(row, "to", "subject", "text", "written_at", "sent_at")
        for row in privacy.letters_to(work, email)
    ]


def plain(row: Any, *names: str) -> dict[str, Any]:
    """Of a stored row, these values by name."""
    return {name: getattr(row, name) for name in names}
