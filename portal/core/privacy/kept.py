"""The one table of what is kept of people: the page shows it, a person's file follows it, removal goes by it.

`columns` are those of the store that hold it, as table.column; tests/core/privacy looks that none is missing.
"""

from __future__ import annotations

from dataclasses import dataclass

from portal.core.words import Said, say

#: Days that a name outlives its purpose where the office set none. Common practice, no source.
FORGET_DAYS = 180


@dataclass(frozen=True, slots=True)
class Kept:
    """What is kept of a kind of person, why, and until when. `{days}` in `until` is the office's setting."""

    of: Said
    what: Said
    why: Said
    until: Said
    columns: tuple[str, ...]


HOLDER = say("Whoever holds a warranty, or held it")
REPORTER = say("Whoever reports trouble, or asks to treat an addition")
BUYER = say("The next owner of a house, as named to take a warranty over")
VISITOR = say("Whoever looks something up")
WRITTEN_TO = say("Whoever gets a letter")
PURCHASER = say("A purchaser who answers a quote by a mailed link")
COMPANY = say("A builder’s company, and the account of an owner who ordered something")
PERSON = say("Whoever signs in, for a builder, the office or as a technician")

ON_PAPER = say("for good: it stands on papers of money and on records that have to be kept whole")

KEPT: tuple[Kept, ...] = (
    Kept(
        HOLDER, say("name, mail address, phone, from which day to which"),
        say("to reach whoever the promise is to, and to know that it is theirs to hand on"),
        say("until they ask to be taken off, or {days} days after it is no longer theirs"),
        ("holder.name", "holder.email", "holder.phone", "renewal.answered_by"),
    ),
    Kept(
        BUYER, say("name, mail address, the evidence that was shown"),
        say("to ask them, and to show why the warranty is theirs"),
        say("if they took it over as holder; else {days} days after it was settled"),
        ("transfer.name", "transfer.email", "transfer.evidence_name"),
    ),
    Kept(
        REPORTER, say("name, mail address, phone, words, photos without place or device"),
        say("to answer, and to decide by the terms"),
        say("name and addresses {days} days after it is closed; the words and photos stay with the house"),
        ("trouble.name", "trouble.email", "trouble.phone", "addition.name", "addition.email",
         "addition.phone"),
    ),
    Kept(
        VISITOR, say("the network address a wrong try came from, a lost number or a link that was asked for"),
        say("to slow down guessing, and to answer by mail"),
        say("tries 30 days; what was asked for, until the house has answered it"),
        ("try.subject", "link_asked.email", "lost_number.place_key"),
    ),
    Kept(
        WRITTEN_TO, say("mail address, subject and text of each letter"),
        say("to send it, and to show that it was sent"),
        say("{days} days after it left"),
        ("letter.to", "letter.subject", "recall_letter.name", "recall_letter.email",
         "recall_letter.subject"),
    ),
    Kept(
        PURCHASER, say("name, mail address, the typed name of the answer"),
        say("to show who said yes to what, and when"), ON_PAPER,
        ("purchaser_link.name", "purchaser_link.email", "purchaser_link.answered_name", "consent.name",
         "consent.email"),
    ),
    Kept(
        COMPANY, say("name, address, mail address, phone"),
        say("to quote and to bill"),
        say("a builder’s while it is one; an owner’s mail address and phone until they are taken off as "
            "holder, the name for good where it stands on an invoice"),
        ("company.name", "company.email", "company.phone"),
    ),
    Kept(
        PERSON,
        say("name, mail address, phone, a technician’s certificate, sign-ins, what they did and when"),
        say("to let them in, and to say who did what: records of pesticide use name the applicator"),
        say("mail address and phone {days} days after they left; the name and what they did for good, for "
            "records and history have to stay whole"),
        ("person.name", "person.email", "person.phone", "person.left_email"),
    ),
)  # fmt: skip
