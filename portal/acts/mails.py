"""The kinds of letters that a builder's people may turn on and off, each for themselves."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class MailKind:
    """One kind: the letters that belong to it, and the right it takes to get them."""

    key: str
    letters: tuple[str, ...]
    right: str = ""


#: What is in no kind is not to be turned off: an invitation, a way back in, the copy of one's own answer.
KINDS = (
    MailKind("quotes", ("quote_sent", "package_sent", "link_answered")),
    MailKind("reminders", ("quote_lapsing", "quote_lapsed", "package_lapsing", "package_lapsed")),
    MailKind("days", ("booked", "called_off")),
    MailKind("treated", ("treated", "amended")),
    MailKind(
        "money",
        ("billed", "money_paper", "bounced", "reminder", "statement", "dispute_settled"),
        right="money",
    ),
    MailKind("certificates", ("in_force", "made_void")),
)
_KIND_OF = {letter: kind for kind in KINDS for letter in kind.letters}


def kind_of(letter: str) -> str:
    """The kind that a letter belongs to, or nothing where it cannot be turned off."""
    return _KIND_OF[letter].key if letter in _KIND_OF else ""


def kinds_for(rights: Collection[str]) -> tuple[str, ...]:
    """The kinds that somebody with these rights may have."""
    return tuple(kind.key for kind in KINDS if not kind.right or kind.right in rights)


def wants(rights: Collection[str], off: Collection[str], letter: str) -> bool:
    """Whether somebody with these rights gets a letter, who turned these kinds off."""
    kind = kind_of(letter)
    return not kind or (kind in kinds_for(rights) and kind not in off)
