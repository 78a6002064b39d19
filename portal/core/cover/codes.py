"""What the QR of a certificate or of a posted notice says, beyond leading to its page: enough to check it
without a network.

After the `#` of the address stand six parts with dots between them:

    1.NUMBER.YYYYMMDD.LOT.KEY.SIGNATURE

1 says that it stands on a certificate, 2 on a posted notice. NUMBER is the warranty number without hyphens,
YYYYMMDD the day the warranty began; on a notice, which goes up before that, the day of treatment. LOT
is the fingerprint of the lot: the first 16 bytes of the SHA-256 of four lines as the certificate prints them
(house number and street; town, state and postal code; lot; subdivision), in UTF-8, a line feed after each.
KEY says which of the office's keys signed. SIGNATURE is Ed25519 (RFC 8032) over all that stands before the
last dot, in ASCII. LOT and SIGNATURE are base64url without padding (RFC 4648, section 5).
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
from dataclasses import dataclass
from datetime import date

from portal.core.cover.numbers import read_number
from portal.core.documents.parties import Place
from portal.core.errors import BadInput, Problem
from portal.core.words import say

#: The rule of a code, by the paper it stands on.
RULES = {"certificate": "1", "notice": "2"}
_PAPERS = {rule: paper for paper, rule in RULES.items()}
LOT_BYTES, SIGNATURE_BYTES = 16, 64
_KEY = re.compile(r"[0-9a-f]{8}")


@dataclass(frozen=True, slots=True)
class Code:
    """What a code says. `paper`: what it stands on. `said` is the text that was signed."""

    paper: str
    number: str
    day: date
    lot: str
    key: str
    said: bytes
    signature: bytes


def lot_mark(place: Place) -> str:
    """The fingerprint of a lot, as a code carries it."""
    return mark_of((place.address, place.city_line, place.lot, place.subdivision))


def mark_of(lines: tuple[str, ...]) -> str:
    """The same, of the four lines as they are printed."""
    text = "".join(f"{line}\n" for line in lines)
    return written(hashlib.sha256(text.encode()).digest()[:LOT_BYTES])


def written(content: bytes) -> str:
    """Bytes in base64url without padding."""
    return base64.urlsafe_b64encode(content).rstrip(b"=").decode()


def to_sign(number: str, day: date, place: Place, key: str, paper: str = "certificate") -> str:
    """What is signed: all of a code but its signature."""
    return ".".join((RULES[paper], number.replace("-", ""), day.strftime("%Y%m%d"), lot_mark(place), key))


def signed(said: str, signature: bytes) -> str:
    """The whole code."""
    return f"{said}.{written(signature)}"


def read_code(text: str) -> Code:
    """A code as it was scanned, with the address before it or without. Raises `BadInput`."""
    said, _dot, signature = text.strip().rpartition("#")[2].rpartition(".")
    parts = said.split(".")
    found = _read(parts, said, signature) if len(parts) == 5 and parts[0] in _PAPERS else None
    if found is None:
        says = say("This is not the code of a certificate or a notice, or not all of it.")
        raise BadInput([Problem("code", says)])
    return found


def _read(parts: list[str], said: str, signature: str) -> Code | None:
    rule, number, day, lot, key = parts
    signed_by = _bytes(signature, SIGNATURE_BYTES)
    if not said.isascii() or signed_by is None or not _KEY.fullmatch(key) or not _bytes(lot, LOT_BYTES):
        return None
    try:
        began = date.fromisoformat(f"{day[:4]}-{day[4:6]}-{day[6:]}") if len(day) == 8 else None
        shown = read_number(number)
    except (BadInput, ValueError):
        return None
    return Code(_PAPERS[rule], shown, began, lot, key, said.encode(), signed_by) if began else None


def _bytes(text: str, length: int) -> bytes | None:
    """The bytes of a text that is written as `written` writes it, and in no other way."""
    try:
        content = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
    except (binascii.Error, ValueError):
        return None
    return content if len(content) == length and written(content) == text else None
