"""Papers: made once from a frozen document, kept under their SHA-256, handed out to whom they are for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import msgspec

from portal.acts.billing import invoice_document
from portal.acts.booking import field_sheet
from portal.acts.covering import warranty_document
from portal.acts.lot_state import lot_for
from portal.acts.parts import Actor, Parts
from portal.acts.quoting import quote_document
from portal.acts.treating import record_document
from portal.core.documents import fingerprint, to_stored
from portal.core.errors import NotFound
from portal.store import jobs, owed, quotes, trail, warranties
from portal.store.transaction import Work, is_doubled

KINDS = ("quote", "acceptance", "field-sheet", "treatment-record", "invoice", "certificate")


@dataclass(frozen=True, slots=True)
class PaperFile:
    """A paper's bytes and the name to save it under."""

    name: str
    content: bytes


@dataclass(frozen=True, slots=True)
class _Source:
    """What a paper is made from: a frozen document and the few frozen values that stand beside it."""

    name: str
    document: msgspec.Struct
    beside: dict[str, Any]


@dataclass(frozen=True, slots=True)
class PaperRow:
    """A paper that can be had of a lot."""

    kind: str
    revision: int | None
    name: str


def papers_of(parts: Parts, who: Actor, lot_id: str) -> tuple[PaperRow, ...]:
    """The papers of a lot that this person may have, in the order of the sheets."""
    with parts.store.reading() as work:
        lot = lot_for(work, who, lot_id)
        rows = []
        quote = quotes.quote_of(work, lot.id)
        for revision in reversed(quotes.revisions(work, quote.id) if quote else []):
            if revision.document is not None:
                rows.append(PaperRow("quote", revision.number, f"{quote.number} rev. {revision.number}"))
            if revision.state == "accepted":
                rows.append(PaperRow("acceptance", revision.number, f"{quote.number} rev. {revision.number}"))
        job, record = jobs.job_of(work, lot.id), jobs.record_of(work, lot.id)
        if who.kind == "office" and job is not None and job.sheet:
            rows.append(PaperRow("field-sheet", None, job.number))
        if record is not None:
            rows.append(PaperRow("treatment-record", None, record.number))
        invoice, warranty = owed.invoice_of(work, lot.id), warranties.warranty_of(work, lot.id)
        if invoice is not None:
            rows.append(PaperRow("invoice", None, invoice.number))
        if warranty is not None and warranty.begins_on is not None:
            rows.append(PaperRow("certificate", None, warranty.number))
        return tuple(rows)


def paper(parts: Parts, who: Actor, lot_id: str, kind: str, revision: int | None = None) -> PaperFile:
    """A lot's paper. Raises `NotFound` where there is none yet, or it is not this person's."""
    with parts.store.reading() as work:
        source = _source(parts, work, lot_for(work, who, lot_id), kind, revision)
        if kind == "field-sheet" and who.kind != "office":
            raise NotFound("paper", kind)
    return _made(parts, kind, source)


def stop_sheet(parts: Parts, who: Actor, job_id: str) -> PaperFile:
    """The field sheet of a technician's own stop."""
    if who.kind != "technician":
        raise NotFound("job", job_id)
    with parts.store.reading() as work:
        job = jobs.job(work, job_id, technician_id=who.person_id)
        source = _Source(job.number, field_sheet(job), {})
    return _made(parts, "field-sheet", source)


def certificate_by_link(parts: Parts, token: str) -> PaperFile:
    """The certificate that a QR's holder may print: of a warranty that is or was in force."""
    with parts.store.reading() as work:
        warranty = warranties.by_link(work, token)
        if warranty is None:
            raise NotFound("warranty")
        source = _certificate(parts, warranty)
    return _made(parts, "certificate", source)


def _source(parts: Parts, work: Work, lot: Any, kind: str, revision: int | None) -> _Source:
    if kind in ("quote", "acceptance"):
        return _quote_source(parts, work, lot, kind, revision)
    if kind == "field-sheet":
        job = jobs.job_of(work, lot.id)
        if job is not None and job.sheet:
            return _Source(job.number, field_sheet(job), {})
    if kind == "treatment-record":
        record = jobs.record_of(work, lot.id)
        if record is not None:
            return _Source(record.number, record_document(record), {"fingerprint": record.fingerprint})
    if kind == "invoice":
        invoice = owed.invoice_of(work, lot.id)
        if invoice is not None:
            return _Source(invoice.number, invoice_document(invoice), {})
    if kind == "certificate":
        warranty = warranties.warranty_of(work, lot.id)
        if warranty is not None:
            return _certificate(parts, warranty)
    raise NotFound("paper", kind)


def _quote_source(parts: Parts, work: Work, lot: Any, kind: str, number: int | None) -> _Source:
    quote = quotes.quote_of(work, lot.id)
    rows = [r for r in quotes.revisions(work, quote.id) if r.document is not None] if quote else []
    if number is not None:
        rows = [row for row in rows if row.number == number]
    if kind == "acceptance":
        rows = [row for row in rows if row.state == "accepted"]
    if not rows:
        raise NotFound("paper", kind)
    row = rows[0]
    beside: dict[str, Any] = {"fingerprint": row.fingerprint}
    if kind == "acceptance":
        at = row.decided_at.astimezone(parts.zone).isoformat(timespec="minutes")
        beside |= {"accepted_by": row.decided_by, "purchase_order": row.purchase_order, "accepted_at": at}
    return _Source(f"{row.quote.number}-rev-{row.number}", quote_document(row), beside)


def _certificate(parts: Parts, warranty: Any) -> _Source:
    if warranty.begins_on is None:
        raise NotFound("paper", "certificate")
    beside = {
        "begins_on": warranty.begins_on.isoformat(),
        "ends_on": warranty.ends_on.isoformat() if warranty.ends_on else None,
        "link": parts.links.warranty(warranty.link_token), "find": parts.links.find_warranty(),
    }  # fmt: skip
    return _Source(warranty.number, warranty_document(warranty), beside)


def _made(parts: Parts, kind: str, source: _Source) -> PaperFile:
    """The paper's bytes, made on first asking. Its key is the fingerprint of all it is made from."""
    subject = fingerprint({"kind": kind, "document": to_stored(source.document), "beside": source.beside})
    name = f"{kind}-{source.name}.pdf".replace(" ", "-")
    with parts.store.reading() as work:
        kept = trail.paper(work, kind, subject)
        if kept is not None:
            return PaperFile(name, parts.blobs.get(kept.sha256))
    content = parts.papers.make(kind, source.document, source.beside)
    sha256 = parts.blobs.put(content)
    try:
        with parts.store.writing() as work:
            trail.add_paper(work, kind, subject, sha256)
    except Exception as error:
        # Two people asked at once: the same data gives the same bytes, so either will do.
        if not is_doubled(error):
            raise
    return PaperFile(name, content)
