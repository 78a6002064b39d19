"""A further page of a treatment record: what was, what is, and why. The record itself is never edited."""

from __future__ import annotations

from datetime import datetime

from msgspec import Struct

from portal.core.errors import BadInput, Problem
from portal.core.words import Said, say

#: sent back: the office asks about a record that it has not signed off; explained: the technician answers;
#: amended: the office says what is otherwise in a record that was signed off.
KINDS = ("sent back", "explained", "amended")

#: What a page can be about.
SUBJECTS: dict[str, Said] = {
    "day": say("Day and times"),
    "place": say("Address or location"),
    "client": say("Whom it was done for"),
    "walls": say("Walls and their siding"),
    "coats": say("Coats and their times"),
    "product": say("Product or registration number"),
    "amounts": say("Amounts mixed and applied"),
    "applicator": say("Applicator, supervisor or certificate"),
    "conditions": say("Conditions and problems"),
    "other": say("Something else"),
}
#: Of these a homeowner sees something: the record behind their warranty shows it.
HOME = frozenset({"day", "place", "walls", "coats", "product", "applicator"})
LONGEST = 2000


class RecordPageDocument(Struct, frozen=True):
    """One page. `before` is the fingerprint of the page before it, or of the record, so that pages chain."""

    record: str
    number: int
    kind: str
    by: str
    at: datetime
    subject: str
    was: str
    now: str
    why: str
    before: str


def read_page(kind: str, subject: str, was: str, now: str, why: str) -> tuple[str, str, str, str]:
    """What a page says, trimmed. Raises `BadInput`: an amendment says all of it, the others at least why."""
    problems = []
    if kind != "sent back" and subject not in SUBJECTS:
        problems.append(Problem("subject", say("Choose what the page is about.")))
    said = {"was": was.strip(), "now": now.strip(), "why": why.strip()}
    missing = {
        "was": say("Write what the record says."),
        "now": say("Write what is right instead."),
        "why": say("Write why."),
    }
    for at, text in said.items():
        # Whoever says what is right says what was wrong with it, and the other way around.
        needed = at == "why" or kind == "amended" or bool(said["was"] or said["now"])
        if needed and not text:
            problems.append(Problem(at, missing[at]))
        elif len(text) > LONGEST:
            problems.append(Problem(at, say("At most {limit} characters, please.", limit=LONGEST)))
    if problems:
        raise BadInput(problems)
    return "" if kind == "sent back" else subject, said["was"], said["now"], said["why"]


def is_sent_back(kinds: tuple[str, ...]) -> bool:
    """Whether a record with pages of these kinds, in their order, still waits for an explanation."""
    return bool(kinds) and kinds[-1] == "sent back"
