"""Reads the signature of a PDF that somebody brings: whether a key of ours made it, and for these bytes.

What comes is a stranger's, so it is not read as a PDF at all: no streams are unpacked and no objects
followed. The last signature is found by its byte range (ISO 32000-1, 12.8.1); what the range leaves out is
the signature itself (CMS, RFC 5652), which is checked against the keys that are known, never against the
certificate it brings along.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from dataclasses import dataclass

from asn1crypto import cms  # type: ignore[import-untyped]
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec

from portal.sealing.keys import PublicPair

_RANGE = re.compile(rb"/ByteRange\s*\[\s*(\d{1,10})\s+(\d{1,10})\s+(\d{1,10})\s+(\d{1,10})\s*\]")
_HEX = re.compile(rb"<([0-9A-Fa-f]+)>")


@dataclass(frozen=True, slots=True)
class Read:
    """A signature that a key of ours made. `whole`: for exactly these bytes, and nothing was added."""

    key: str
    whole: bool


def read_signature(pdf: bytes, known: Iterable[PublicPair]) -> Read | None:
    """The last signature of ours in a PDF, or None where there is none."""
    for found in reversed([*_RANGE.finditer(pdf)]):
        first, length, then, rest = map(int, found.groups())
        if first or length > then or then + rest > len(pdf):
            continue
        held = _HEX.fullmatch(pdf[length:then])
        read = _signed(bytes.fromhex(held[1].decode()), known) if held and not len(held[1]) % 2 else None
        if read is not None:
            key, digest = read
            same = hashlib.sha256(pdf[:length] + pdf[then : then + rest]).digest() == digest
            return Read(key, same and then + rest == len(pdf))
    return None


def _signed(content: bytes, known: Iterable[PublicPair]) -> tuple[str, bytes] | None:
    """Which known key signed, and the digest it signed for."""
    try:
        # Padded with zeros to the room that was kept for it, which the length in front leaves out.
        data = cms.ContentInfo.load(content)["content"]
        signer = data["signer_infos"][0]
        attributes = signer["signed_attrs"]
        digests = [one["values"][0].native for one in attributes if one["type"].native == "message_digest"]
        signature = signer["signature"].native
        # Signed as a SET, whatever tag it carries where it stands (RFC 5652, 5.4).
        said = attributes.untag().dump()
    except (ValueError, TypeError, KeyError, IndexError, AttributeError):
        return None
    for pair in known:
        public = pair.certificate.public_key()
        if len(digests) == 1 and isinstance(public, ec.EllipticCurvePublicKey):
            try:
                public.verify(signature, said, ec.ECDSA(hashes.SHA256()))
            except (InvalidSignature, ValueError, TypeError):
                continue
            return pair.name, digests[0]
    return None
