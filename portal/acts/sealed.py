"""Certificates: issued, signed once, handed out as the same bytes, and replaced where a link is revoked."""

from __future__ import annotations

from datetime import date
from typing import Any

from portal.acts.parts import Actor, Parts, must_be
from portal.acts.texts import check, text_problems
from portal.acts.trail import note
from portal.core.cover.codes import signed, to_sign
from portal.core.documents import WarrantyDocument, fingerprint, from_stored, paper_mark
from portal.core.errors import NotFound, refuse
from portal.core.words import say
from portal.store import lots, seals, warranties
from portal.store.transaction import Work

REASON = "Signed by the office that gives this warranty"
NO_REASON = say("Give the reason: it is kept in the lot’s history.")


def has_certificate(warranty: Any) -> bool:
    """Whether there is one to hand out: the warranty is or was in force."""
    # A void promise must not be printed as if it held; why it is void stands on the page its QR leads to.
    return warranty.begins_on is not None and warranty.state != "void"


def is_newest(certificate: Any, warranty: Any, newest: Any, parts: Parts) -> bool:
    """Whether nothing has taken an issue's place, nor would if the certificate were asked for now."""
    return bool(certificate.id == newest.id and _fits(parts, certificate, warranty))


def _fits(parts: Parts, certificate: Any, warranty: Any) -> bool:
    if parts.seal.distrusted(certificate.key_name):
        return False
    shown = (certificate.link_token, certificate.begins_on, certificate.ends_on)
    return bool(shown == (warranty.link_token, warranty.begins_on, warranty.ends_on))


def certificate(parts: Parts, warranty_id: str) -> bytes:
    """The signed PDF; made on first asking, and signed anew only where the folder lost or
    damaged it, or its key is not trusted any more.

    Raises `NotFound` where there is no certificate, `Refused` where there is no key to sign it with.
    """
    with parts.store.reading() as work:
        found = _kept(parts, work, warranties.warranty(work, warranty_id))
    if found is not None:
        return found
    certificate_id, document, beside = _issued(parts, warranty_id)
    printed = parts.papers.make("certificate", from_stored(WarrantyDocument, document), beside)
    key = parts.seal.key(parts.now())
    content = parts.seal.sign_paper(printed, parts.now(), REASON)
    with parts.store.writing() as work:
        warranty = _locked(work, warranty_id)
        # Two people asked at once: no signature comes out twice the same, so the first one counts.
        first = _kept(parts, work, warranty)
        if first is not None:
            return first
        seals.add_sealed(work, certificate_id, parts.blobs.put(content), key)
    return content


def _kept(parts: Parts, work: Work, warranty: Any) -> bytes | None:
    if not has_certificate(warranty):
        raise NotFound("paper", "certificate")
    newest = seals.newest(work, warranty.id)
    fits = newest is not None and _fits(parts, newest, warranty)
    row = seals.sealed(work, newest.id) if newest is not None and fits else None
    try:
        return parts.blobs.get(row.sha256) if row and not parts.seal.distrusted(row.key_name) else None
    except NotFound:
        return None


def _locked(work: Work, warranty_id: str) -> Any:
    lots.locked(work, warranties.warranty(work, warranty_id).lot_id)
    return warranties.warranty(work, warranty_id)


def _issued(parts: Parts, warranty_id: str) -> tuple[str, dict[str, Any], dict[str, Any]]:
    """The issue that holds now, begun where something changed: its id, and what its paper is made from."""
    with parts.store.writing() as work:
        warranty = _locked(work, warranty_id)
        if not has_certificate(warranty):
            raise NotFound("paper", "certificate")
        row = seals.newest(work, warranty.id)
        if row is None or not _fits(parts, row, warranty):
            row = _issue(parts, work, warranty, 1 if row is None else row.number + 1)
        return row.id, warranty.document, _beside(parts, row)


def issued(parts: Parts, warranty_id: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """What the certificate that holds now is made from: its document, and what stands beside it."""
    return _issued(parts, warranty_id)[1:]


def _issue(parts: Parts, work: Work, warranty: Any, number: int) -> Any:
    document = from_stored(WarrantyDocument, warranty.document)
    key = parts.seal.key(parts.now())
    said = to_sign(warranty.number, warranty.begins_on, document.place, key)
    code = signed(said, parts.seal.sign_code(said, parts.now()))
    shown = {
        "number": number, "link": warranty.link_token, "begins_on": warranty.begins_on.isoformat(),
        "ends_on": _day(warranty.ends_on), "code": code,
    }  # fmt: skip
    return seals.add_certificate(
        work, warranty.id, number, link_token=warranty.link_token, begins_on=warranty.begins_on,
        ends_on=warranty.ends_on, key_name=key, code=code,
        mark=paper_mark("certificate", fingerprint(warranty.document), shown),
    )  # fmt: skip


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _beside(parts: Parts, row: Any) -> dict[str, Any]:
    return {
        "begins_on": row.begins_on.isoformat(), "ends_on": _day(row.ends_on), "issue": row.number,
        "link": parts.links.warranty(row.link_token), "find": parts.links.find_warranty(),
        "code": parts.links.signed_code(row.link_token, row.code),
        "check": parts.links.is_it_real(), "fingerprint": row.mark,
    }  # fmt: skip


def replace_link(parts: Parts, who: Actor, lot_id: str, reason: str) -> None:
    """Revoke the link of a lot's warranty: it gets a new one, and its next certificate carries that."""
    must_be(who, "office")
    check(text_problems("reason", reason, 1000, NO_REASON))
    with parts.store.writing() as work:
        lot = lots.locked(work, lot_id)
        warranty = warranties.warranty_of(work, lot.id)
        if warranty is None:
            raise refuse("There is no warranty yet: the lot is not treated.")
        warranty.link_token = parts.luck.token()
        note(work, who, "link replaced", warranty.number, lot.id, reason=reason)
