"""Names: the order in which people expect them, Lot 2 before Lot 10, and what an account is called."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import TypeVar

T = TypeVar("T")
_DIGITS = re.compile(r"([0-9]+)")


def in_order(things: Iterable[T], name: Callable[[T], str]) -> list[T]:
    """Things by their names, whatever the case, numbers in them by what they count."""
    return sorted(things, key=lambda thing: _key(name(thing)))


def _key(name: str) -> tuple[tuple[bool, int, str], ...]:
    # Longer than any number of a lot, digits are only text: whole numbers of any length cost time.
    pieces = _DIGITS.split(name.casefold())
    return tuple(
        (True, int(piece), "") if piece.isdecimal() and len(piece) < 16 else (False, 0, piece)
        for piece in pieces if piece
    )  # fmt: skip


def account_name(holder: str, number: str) -> str:
    """What the account of a warranty's holder is called: two people of one name are two accounts."""
    return f"{holder}, {number}"


def holder_of_account(name: str) -> str:
    """The holder's own name, out of that of their account."""
    return name.rpartition(", ")[0]
