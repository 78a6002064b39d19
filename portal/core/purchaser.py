"""What a link mailed to a purchaser leads to, by how it stands with the link and with its quote."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from portal.core.words import say

#: What a purchaser can have answered: `first yes` is a yes that a second person has yet to complete.
ANSWERS = ("first yes", "accepted", "declined")

#: Where the quote itself is shown, as long as the link's days are not over.
SHOWS_QUOTE = frozenset({"open", "kept", "accepted", "declined"})
#: Where the link can still be used, and so can be withdrawn.
USABLE = frozenset({"open", "kept"})

#: What somebody is told who opens a link that cannot be used: nothing of the quote.
SAYS = {
    "withdrawn": say("This link was withdrawn: nothing can be answered here. Ask whoever sent it to you."),
    "superseded": say("A newer revision took the place of this quote. Ask the builder for a link to it."),
    "answered": say("This quote was answered in the meantime by somebody else. There is nothing left to do."),
    "lapsed": say("This quote held for a time that is over. Ask the builder for a new one."),
    "expired": say("The time of this link is over. Ask whoever sent it to you for a new one."),
    "open": say("There is no yes of yours to take back."),
    "kept": say("Your yes is kept already. The second has to be somebody else’s."),
    "accepted": say("This quote is accepted."),
    "declined": say("This quote is declined."),
}


@dataclass(frozen=True, slots=True)
class LinkFacts:
    """What is kept of a link: its last day, what was answered through it, whether it was withdrawn."""

    expires_on: date
    answer: str = ""
    withdrawn: bool = False


def standing(link: LinkFacts, quote: str, today: date) -> str:
    """One word for how a link stands. `quote` is the state of its revision as of today.

    open        it can be answered
    kept        its yes waits for a second person of the company
    accepted    answered through it; so is declined
    withdrawn   taken back by whoever mailed it
    superseded  a newer revision took the place of its quote
    answered    somebody else answered its quote
    lapsed      its quote's days are over; expired: its own are
    """
    if link.withdrawn:
        return "withdrawn"
    if link.answer in ("accepted", "declined"):
        return link.answer
    if link.answer == "first yes" and quote == "accepted":
        return "accepted"
    if quote in ("superseded", "lapsed"):
        return quote
    if quote in ("accepted", "declined"):
        return "answered"
    if today > link.expires_on:
        return "expired"
    return "kept" if link.answer == "first yes" else "open"


def shows_quote(standing: str, link: LinkFacts, today: date) -> bool:
    """Whether the quote is shown: never once the link is withdrawn or its days are over."""
    return standing in SHOWS_QUOTE and today <= link.expires_on
