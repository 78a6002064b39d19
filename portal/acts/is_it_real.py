"""Is it real? A certificate's PDF, its fingerprint or its QR, held against what the office issued and signed.

The answer says the number and how the warranty stands today, and nothing else of a house.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from portal.acts.notices import said_on
from portal.acts.parts import Parts, PublicKeys
from portal.acts.sealed import is_newest
from portal.acts.slowing import Door
from portal.core.cover.codes import Code, read_code
from portal.core.documents import WarrantyDocument, from_stored
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
    bears it may say anything), `code` (a certificate's QR that we signed), `notice` (that of a posted
    notice), `changed` (our signature, other bytes), `unkept` (our signature, whole, and none that is kept
    here), `distrusted` (the same, by a key that is not trusted any more), `unknown`.

    With the first four: the number, how the warranty stands today, whether a newer certificate has replaced
    this one, and since when the key that signed it is not trusted.
    """

    kind: str
    number: str = ""
    state: str = ""
    replaced: bool = False
    distrusted: date | None = None


def check_paper(parts: Parts, content: bytes, address: str) -> Verdict:
    """A PDF that somebody brings. Raises `BadInput` where it is none, `TooManyTries`."""
    if len(content) > LARGEST:
        raise BadInput([Problem("paper", say("This file is too large: a certificate is below 1 MB."))])
    if not content.startswith(b"%PDF-"):
        raise BadInput([Problem("paper", say("This is not a PDF. Choose the file of the certificate."))])
    sha256 = hashlib.sha256(content).hexdigest()

    def judge(work: Work) -> Verdict:
        found = seals.by_paper(work, sha256)
        return _ours_as_kept(parts, work, found, sha256) if found else Verdict(_signature(parts, content))

    return _counted(parts, address, judge)


def _signature(parts: Parts, content: bytes) -> str:
    read = parts.seal.read_paper(content)
    if read is None:
        return "unknown"
    return _unkept(parts, read.key) if read.whole else "changed"


def _unkept(parts: Parts, key: str) -> str:
    return "distrusted" if parts.seal.distrusted(key) else "unkept"


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
        return _ours_as_kept(parts, work, found, mark)
    found = seals.by_mark(work, mark)
    return _ours(parts, work, found, "printed") if found else Verdict("unknown")


def _by_code(parts: Parts, work: Work, code: Code, typed: str) -> Verdict:
    warranty = warranties.by_number(work, code.number)
    if not parts.seal.is_ours(code):
        return Verdict("unknown")
    if warranty is not None and code.paper == "notice":
        return _by_notice(parts, warranty, code, typed)
    issues = seals.issues(work, warranty.id) if warranty else []
    # Whoever has a leaked key signs what they like: then only what was issued counts.
    issued = any(one.code.encode().startswith(code.said) for one in issues)
    known = issued or not parts.seal.distrusted(code.key)
    if warranty is None or not issues or not known:
        return Verdict(_unkept(parts, code.key))
    newest = issues[0]
    # A link that was revoked leads nowhere; whoever scans it is told why.
    same = newest.code.encode().startswith(code.said) and _leads(typed, warranty)
    found = _ours(parts, work, newest, "code")
    since = parts.seal.distrusted(code.key)
    return Verdict("code", found.number, found.state, found.replaced or not same, since)


def _by_notice(parts: Parts, warranty: Any, code: Code, typed: str) -> Verdict:
    said = said_on(from_stored(WarrantyDocument, warranty.document), code.key)
    if said.encode() != code.said:
        return Verdict(_unkept(parts, code.key))
    state = state_on(warranty.state, warranty.ends_on, parts.today())
    since = parts.seal.distrusted(code.key)
    return Verdict("notice", warranty.number, state, not _leads(typed, warranty), since)


def _leads(typed: str, warranty: Any) -> bool:
    """Whether the address before a code, where there is one, still leads to the warranty."""
    address, _hash, _code = typed.strip().rpartition("#")
    return not address or address.rpartition("/")[2] == warranty.link_token


def _ours_as_kept(parts: Parts, work: Work, certificate: Any, sha256: str) -> Verdict:
    """A PDF that is kept here, byte for byte: that it is ours does not hang on the key."""
    found = _ours(parts, work, certificate, "unchanged")
    return replace(found, distrusted=parts.seal.distrusted(seals.sealed_with(work, sha256)))


def _ours(parts: Parts, work: Work, certificate: Any, kind: str) -> Verdict:
    warranty = warranties.warranty(work, certificate.warranty_id)
    newest = seals.newest(work, warranty.id)
    state = state_on(warranty.state, warranty.ends_on, parts.today())
    return Verdict(kind, warranty.number, state, not is_newest(certificate, warranty, newest, parts))


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
