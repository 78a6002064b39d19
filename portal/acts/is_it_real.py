"""Is it real? A certificate's PDF, its fingerprint or its QR, held against what the office issued and signed.

The answer says the number and how the warranty stands today, and nothing else of a house.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from portal.acts.parts import Parts, PublicKeys
from portal.acts.sealed import is_newest
from portal.acts.slowing import Door
from portal.core.cover.codes import Code, read_code
from portal.core.errors import BadInput, Problem
from portal.core.journey import state_on
from portal.core.words import say
from portal.store import seals, warranties
from portal.store.transaction import Work

DOOR = Door("is it real", free=20, window=timedelta(hours=1), first_wait=timedelta(seconds=30))
#: A certificate is some hundred kilobytes.
LARGEST = 1024 * 1024
_HEX = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was found.

    `kind`: `unchanged` (a PDF of ours, byte for byte), `printed` (a fingerprint of ours; the paper that
    bears it may say anything), `code` (a QR that we signed), `changed` (our signature, other bytes),
    `unkept` (our signature, whole, and none that is kept here), `unknown`. With the first three: the number,
    how the warranty stands today, and whether a newer certificate has replaced this one.
    """

    kind: str
    number: str = ""
    state: str = ""
    replaced: bool = False


def check_paper(parts: Parts, content: bytes, address: str) -> Verdict:
    """A PDF that somebody brings. Raises `BadInput` where it is none, `TooManyTries`."""
    if len(content) > LARGEST:
        raise BadInput([Problem("paper", say("This file is too large: a certificate is below 1 MB."))])
    if not content.startswith(b"%PDF-"):
        raise BadInput([Problem("paper", say("This is not a PDF. Choose the file of the certificate."))])
    sha256 = hashlib.sha256(content).hexdigest()

    def judge(work: Work) -> Verdict:
        found = seals.by_paper(work, sha256)
        return _ours(parts, work, found, "unchanged") if found else Verdict(_signature(parts, content))

    return _counted(parts, address, judge)


def _signature(parts: Parts, content: bytes) -> str:
    read = parts.seal.read_paper(content)
    if read is None:
        return "unknown"
    return "unkept" if read.whole else "changed"


def check_text(parts: Parts, typed: str, address: str) -> Verdict:
    """A fingerprint, or what a QR says. Raises `BadInput` where it is neither, `TooManyTries`."""
    bare = re.sub(r"[\s:]", "", typed).lower()
    if _HEX.fullmatch(bare):
        return _counted(parts, address, lambda work: _by_mark(parts, work, bare))
    if "." not in typed:
        says = say("A fingerprint has 64 digits and letters from a to f. A QR’s text has dots in it.")
        raise BadInput([Problem("text", says)])
    try:
        code = read_code(typed)
    except BadInput as bad:
        raise BadInput([Problem("text", bad.problems[0].says)]) from None
    return _counted(parts, address, lambda work: _by_code(parts, work, code, typed))


def _by_mark(parts: Parts, work: Work, mark: str) -> Verdict:
    found = seals.by_paper(work, mark)
    if found is not None:
        return _ours(parts, work, found, "unchanged")
    found = seals.by_mark(work, mark)
    return _ours(parts, work, found, "printed") if found else Verdict("unknown")


def _by_code(parts: Parts, work: Work, code: Code, typed: str) -> Verdict:
    warranty = warranties.by_number(work, code.number)
    if not parts.seal.is_ours(code):
        return Verdict("unknown")
    newest = seals.newest(work, warranty.id) if warranty else None
    if warranty is None or newest is None:
        return Verdict("unkept")
    # A link that was revoked leads nowhere; whoever scans it is told why.
    same = newest.code.encode().startswith(code.said) and ("#" not in typed or warranty.link_token in typed)
    found = _ours(parts, work, newest, "code")
    return Verdict("code", found.number, found.state, found.replaced or not same)


def _ours(parts: Parts, work: Work, certificate: Any, kind: str) -> Verdict:
    warranty = warranties.warranty(work, certificate.warranty_id)
    newest = seals.newest(work, warranty.id)
    state = state_on(warranty.state, warranty.ends_on, parts.today())
    return Verdict(kind, warranty.number, state, not is_newest(certificate, warranty, newest))


def _counted(parts: Parts, address: str, judge: Callable[[Work], Verdict]) -> Verdict:
    """Judge, and count what is not ours at the door. Writing, for the reason that finding gives."""
    subject = f"from {address}"
    with parts.store.writing() as work:
        DOOR.check(work, subject)
        verdict = judge(work)
        if not verdict.number:
            DOOR.add(work, subject)
    return verdict


def public_keys(parts: Parts) -> Sequence[PublicKeys]:
    """The office's public keys, the pair in use first: for whoever checks without this page."""
    return parts.seal.public()
