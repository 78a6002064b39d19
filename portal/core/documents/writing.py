"""Documents to plain data and back, without loss."""

from __future__ import annotations

import hashlib
import json
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
    return hashlib.sha256(canonical(stored)).hexdigest()


def paper_mark(kind: str, mark: str, beside: dict[str, Any]) -> str:
    """What a paper is kept under: its kind, the fingerprint of its document, and what stands beside it."""
    return fingerprint({"kind": kind, "document": mark, "beside": beside})


_sorted = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False, check_circular=False)
LONGEST_WHOLE = 15


class _NotPlain(Exception):
    """A number that the two standards of JSON write differently."""


def canonical(stored: dict[str, Any]) -> bytes:
    """Plain data as canonical JSON (RFC 8785).

    Where all is ASCII and no number is a fraction or very long, that is what sorted keys and no
    spaces come to, and the interpreter writes it ten times as fast; the rest is left to the package.
    """
    text = _sorted.encode(stored)
    if text.isascii():
        try:
            _plain.decode(text)
        except _NotPlain:
            pass
        else:
            return text.encode()
    return rfc8785.dumps(stored)


def _refuse(_number: str) -> None:
    raise _NotPlain


def _short(number: str) -> None:
    if len(number) > LONGEST_WHOLE:
        raise _NotPlain


_plain = json.JSONDecoder(parse_float=_refuse, parse_constant=_refuse, parse_int=_short)
