"""Checks a code with nothing but a file of public keys."""

from __future__ import annotations

import re

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import load_pem_public_key

from portal.core.cover.codes import Code
from portal.core.errors import BadInput, Problem
from portal.core.words import say
from portal.sealing.keys import name_of

_PUBLIC = re.compile(r"-----BEGIN PUBLIC KEY-----.*?-----END PUBLIC KEY-----\n?", re.DOTALL)

_DISTRUSTED = re.compile(r"^Distrusted since (\d{4}-\d\d-\d\d): ([0-9a-f]{8})$", re.MULTILINE)


def read_keys(text: str) -> tuple[Ed25519PublicKey, ...]:
    """The public keys for codes in a text; what else stands in it is passed over. Raises `BadInput`."""
    found = []
    for pem in _PUBLIC.findall(text):
        try:
            key = load_pem_public_key(pem.encode())
        except ValueError:
            continue
        if isinstance(key, Ed25519PublicKey):
            found.append(key)
    if not found:
        raise BadInput([Problem("keys", say("There is no public key for codes in this file."))])
    return tuple(found)


def distrusted_in(text: str) -> dict[str, str]:
    """The keys that such a text says are not trusted any more, and since when."""
    return {name: day for day, name in _DISTRUSTED.findall(text)}


def check_code(keys: tuple[Ed25519PublicKey, ...], code: Code) -> bool:
    """Whether the key that the code names is among these, and signed it."""
    for key in keys:
        if name_of(key) == code.key:
            try:
                key.verify(code.signature, code.said)
            except InvalidSignature:
                return False
            return True
    return False
