"""Signatures checked by a program that is not ours: openssl, on the bytes as they lie in the file."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

RANGE = re.compile(rb"/ByteRange\s*\[\s*(\d+)\s+(\d+)\s+(\d+)\s+(\d+)\s*\]")


def byte_range(pdf: bytes) -> tuple[int, int, int, int]:
    """The byte range of the last signature (ISO 32000-1, 12.8.1)."""
    first, length, then, rest = map(int, RANGE.findall(pdf)[-1])
    return first, length, then, rest


def signature_in(pdf: bytes) -> bytes:
    """The CMS (RFC 5652) of the last signature, with the zeros behind it."""
    _first, length, then, _rest = byte_range(pdf)
    return bytes.fromhex(pdf[length + 1 : then - 1].decode())


def verifies(pdf: bytes, certificate: Path, folder: Path) -> bool:
    """Whether openssl finds the PDF signed by the key of this certificate.

    Only the signature is in question here: the certificate vouches for itself, and is given as known.
    """
    first, length, then, rest = byte_range(pdf)
    (folder / "signed").write_bytes(pdf[first : first + length] + pdf[then : then + rest])
    (folder / "signature").write_bytes(signature_in(pdf))
    said = subprocess.run(
        ["openssl", "cms", "-verify", "-binary", "-inform", "DER", "-in", folder / "signature",
         "-content", folder / "signed", "-certfile", certificate, "-nointern",
         "-CAfile", certificate, "-purpose", "any", "-no_check_time", "-out", folder / "out"],
        capture_output=True, text=True,
    )  # fmt: skip
    assert said.returncode in (0, 4), said.stderr  # 4: it was looked at, and does not verify
    return said.returncode == 0 and "Verification successful" in said.stderr


def code_verifies(said: bytes, signature: bytes, public_key: str, folder: Path) -> bool:
    """Whether openssl finds a text signed by this Ed25519 key."""
    (folder / "said").write_bytes(said)
    (folder / "signature").write_bytes(signature)
    (folder / "public.pem").write_text(public_key)
    answer = subprocess.run(
        ["openssl", "pkeyutl", "-verify", "-pubin", "-inkey", folder / "public.pem", "-rawin",
         "-in", folder / "said", "-sigfile", folder / "signature"],
        capture_output=True, text=True,
    )  # fmt: skip
    return answer.returncode == 0 and "Verified Successfully" in answer.stdout
