"""The seal as acts use it: papers signed and read back, codes signed and checked."""

from __future__ import annotations

from datetime import date, datetime

from cryptography.exceptions import InvalidSignature

from portal.core.cover.codes import Code
from portal.sealing.keys import Keys, PublicPair
from portal.sealing.reading import Read, read_signature


class Seal:
    """Signs with the pair in use, checks with every pair there was."""

    def __init__(self, keys: Keys) -> None:
        self.keys = keys

    def key(self, now: datetime) -> str:
        """The name of the pair in use. Raises `Refused` where nothing can be signed."""
        return self.keys.pair(now).public.name

    def sign_paper(self, pdf: bytes, at: datetime, reason: str) -> bytes:
        """A PDF with the office's signature. Raises `Refused` where there is no key to sign with."""
        pair = self.keys.pair(at)
        # Imported on first use, as the press is: not every run of the portal signs.
        from portal.sealing.signing import sign

        return sign(pdf, pair, at, reason)

    def sign_code(self, said: str, at: datetime) -> bytes:
        """The signature of a code's text."""
        return self.keys.pair(at).code.sign(said.encode("ascii"))

    def read_paper(self, pdf: bytes) -> Read | None:
        """The signature of ours that a PDF carries; None where it has none."""
        return read_signature(pdf, self.keys.known())

    def is_ours(self, code: Code) -> bool:
        """Whether a key of ours signed a code."""
        return any(signed_by(pair, code) for pair in self.keys.known() if pair.name == code.key)

    def distrusted(self, key: str) -> date | None:
        """Since when a key of ours is not trusted; None of one that is."""
        return next((pair.distrusted for pair in self.keys.known() if pair.name == key), None)

    def public(self) -> tuple[PublicPair, ...]:
        """What everybody may know of the keys, the pair in use first."""
        return self.keys.known()


def signed_by(pair: PublicPair, code: Code) -> bool:
    """Whether this very pair signed a code."""
    try:
        pair.code.verify(code.signature, code.said)
    except InvalidSignature:
        return False
    return True
