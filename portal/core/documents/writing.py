"""Documents to plain data and back, without loss."""

from __future__ import annotations

import hashlib
from typing import Any, TypeVar

import msgspec
import rfc8785

T = TypeVar("T", bound=msgspec.Struct)


def to_stored(document: msgspec.Struct) -> dict[str, Any]:
    """The document as JSON data: decimals as text, days and times in ISO 8601."""
    stored = msgspec.to_builtins(document)
    assert isinstance(stored, dict)
    return stored


def from_stored(kind: type[T], stored: Any) -> T:
    """The document back from its JSON data. Raises `msgspec.ValidationError` where it is damaged."""
    return msgspec.convert(stored, kind, strict=False)


def fingerprint(stored: dict[str, Any]) -> str:
    """SHA-256, in hex, of the canonical JSON (RFC 8785) of plain data."""
    return hashlib.sha256(rfc8785.dumps(stored)).hexdigest()
