"""What every text that somebody types must be before it is kept: there, short enough, and text."""

from __future__ import annotations

from portal.core.errors import BadInput, Problem
from portal.core.words import Said, say

MISSING = say("This is missing.")
#: What a text of several lines may hold besides letters.
LINE_ENDS = "\n\r\t"


def text_problems(at: str, value: str, limit: int, missing: Said | None = None) -> list[Problem]:
    """What is wrong with a text. `missing` is what to say where it has to be there and is not."""
    if missing is not None and not value.strip():
        return [Problem(at, missing)]
    if len(value) > limit:
        return [Problem(at, say("At most {limit} characters, please.", limit=limit))]
    # A stray control character would be refused by PostgreSQL and would break a mail's subject line.
    if any(is_unprintable(c) for c in value):
        return [Problem(at, say("There is a character in here that cannot be printed."))]
    return []


def is_unprintable(character: str) -> bool:
    """Whether this is a control character or half of one that UTF-8 cannot say."""
    code = ord(character)
    return (code < 32 and character not in LINE_ENDS) or code == 127 or 0xD800 <= code <= 0xDFFF


def check(*problems: list[Problem]) -> None:
    """Raise `BadInput` where there is any problem, with all of them."""
    found = [problem for some in problems for problem in some]
    if found:
        raise BadInput(found)


def email_problems(email: str, at: str = "email") -> list[Problem]:
    """What is wrong with a mail address."""
    if not email:
        return [Problem(at, say("Enter a mail address."))]
    local, has_at, domain = email.partition("@")
    whole = has_at and local and "." in domain.strip(".") and "@" not in domain
    if not whole or len(email) > 254 or not email.isprintable() or any(c.isspace() for c in email):
        return [Problem(at, say("“{read}” is no mail address.", read=email[:60]))]
    return []
