"""Warranty numbers: easy to say and type, with a check character, not guessable.

The alphabet has 30 characters: no O or 0, no I, L or 1, no U (heard as "you").
The check character is that of ISO/IEC 7064's hybrid systems (MOD M+1,M), here
with M = 30; M + 1 = 31 is prime, as the standard's own 11, 27... need it to be
for every single wrong character and every swap of neighbors to be caught.
"""

from __future__ import annotations

from collections.abc import Callable

from portal.core.errors import BadInput, Problem
from portal.core.words import say

ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
BODY = 10


def check_character(body: str, alphabet: str = ALPHABET) -> str:
    """The hybrid check character of `body` (ISO/IEC 7064, MOD M+1,M; M = size of the alphabet)."""
    m = len(alphabet)
    carry = m
    for character in body:
        carry = (carry + alphabet.index(character)) % m or m
        carry = carry * 2 % (m + 1)
    return alphabet[(1 - carry) % m]


def make_number(draw: Callable[[int], int]) -> str:
    """A new number, as shown. `draw(n)` gives an unguessable whole number from 0 to n - 1."""
    body = "".join(ALPHABET[draw(len(ALPHABET))] for _ in range(BODY))
    return shown(body + check_character(body))


def shown(bare: str) -> str:
    """Grouped for reading over the phone: ABCD-EFGH-JKM."""
    return f"{bare[:4]}-{bare[4:8]}-{bare[8:]}"


def read_number(typed: str) -> str:
    """A number as people type it (any case, spaces, hyphens), as shown. Raises `BadInput`."""
    bare = "".join(c for c in typed.upper() if c.isalnum())
    if len(bare) != BODY + 1 or any(c not in ALPHABET for c in bare):
        raise BadInput(
            [Problem("number", say("A warranty number has 11 letters and digits, like ABCD-EFGH-JKM."))]
        )
    if check_character(bare[:-1]) != bare[-1]:
        raise BadInput(
            [Problem("number", say("A character of this number is mistyped: please read it again."))]
        )
    return shown(bare)


def house_number_key(typed: str) -> str:
    """A house number as compared: case, spaces and punctuation do not count ("12-b" is "12B")."""
    return "".join(c for c in typed.upper() if c.isalnum())
