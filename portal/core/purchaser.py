"""What a link mailed to a purchaser leads to, by how it stands with the link and with its quote."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

#: What a purchaser can have answered: `first yes` is a yes that a second person has yet to complete.
ANSWERS = ("first yes", "accepted", "declined")

#: Where the quote itself is shown, as long as the link's days are not over.
SHOWS_QUOTE = frozenset({"open", "kept", "accepted", "declined"})
#: Where the link can still be used, and so can be withdrawn.
USABLE = frozenset({"open", "kept"})


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
