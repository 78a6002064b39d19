"""Passwords: argon2id, and the few rules that help (OWASP ASVS 5.0, 6.2 and 11.4.2)."""

from __future__ import annotations

import unicodedata

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from portal.core.errors import BadInput, Problem
from portal.core.words import say

SHORTEST, LONGEST = 10, 200

#: The first that anybody tries, of ten characters and more. From memory.
KNOWN = frozenset({
    "1234567890", "0123456789", "password12", "password123", "password1234", "passwordpassword", "qwertyuiop",
    "qwerty12345", "1q2w3e4r5t", "iloveyou12", "administrator", "changeme123", "letmein123", "welcome123",
    "12345678910", "1111111111", "0000000000", "abcdefghij", "abc1234567",
})  # fmt: skip


class Passwords:
    """Hashes and checks passwords. `hasher` is argon2id; tests hand in one with less work."""

    def __init__(self, hasher: PasswordHasher | None = None) -> None:
        self._hasher = hasher or PasswordHasher()
        # Checked where there is no such person, so that a miss takes as long as a hit.
        self._nobody = self._hasher.hash("nobody has this password")

    def hash(self, password: str, *about: str) -> str:
        """The hash to keep. Raises `BadInput` for one too short, too long or too well known."""
        password = _typed(password)
        if len(password) < SHORTEST:
            raise BadInput([Problem("password", say("At least {n} characters, please.", n=SHORTEST))])
        if len(password) > LONGEST:
            raise BadInput([Problem("password", say("At most {n} characters, please.", n=LONGEST))])
        if password.lower() in KNOWN or password.lower() in {word.lower() for word in about}:
            raise BadInput([Problem("password", say("This one is the first that anybody would try."))])
        return self._hasher.hash(password)

    def matches(self, password: str, kept: str | None) -> bool:
        """Whether this is the password. Takes as long whether or not there is one."""
        try:
            right = self._hasher.verify(kept or self._nobody, _typed(password)[: LONGEST + 1])
        except (VerificationError, InvalidHashError):
            return False
        return right and kept is not None


def _typed(password: str) -> str:
    # One keyboard writes é as one character, another as two: NFC makes them the same password.
    return unicodedata.normalize("NFC", password[: 4 * LONGEST])
