"""Papers: made once from a frozen document, kept under their SHA-256, handed out to whom they are for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

import msgspec

from portal.acts.loading import load_in
from portal.acts.lot_state import if_own, lot_for
from portal.acts.notices import on_notice
from portal.acts.package_state import package_for
from portal.acts.parts import Actor, Parts, has, must_be, must_have
from portal.acts.sealed import certificate, has_certificate
from portal.acts.sheet import LotSheet, sheet
from portal.core.documents import (
    CreditNoteDocument,
    FieldSheet,
    InvoiceDocument,
    PackageDocument,
    QuoteDocument,
    RetainageDocument,
    StatementDocument,
    TreatmentDocument,
    fingerprint,
    from_stored,
    paper_mark,
    to_stored,
)
from portal.core.documents.load import LoadSheet
from portal.core.errors import NotFound, refuse
from portal.store import (
    billing,
    consents,
    jobs,
    lots,
    owed,
    packages,
    quotes,
    records,
    statements,
    trail,
    warranties,
)
from portal.store import papers as paper_rows
from portal.store.transaction import Work, is_doubled

KINDS = (
    "quote", "acceptance", "field-sheet", "treatment-record", "posted-notice", "building-statement",
    "service-figures", "invoice", "certificate",
)  # fmt: skip
#: Papers made from the treatment record, each with the pages that amend it.
OF_RECORD = paper_rows.OF_RECORD


@dataclass(frozen=True, slots=True)
class PaperFile:
    """A paper's bytes and the name to save it under."""

    name: str
    content: bytes


@dataclass(frozen=True, slots=True)
class _Source:
    """What a paper is made from: a frozen document as stored, and the few frozen values beside it."""

    name: str
    of: type[msgspec.Struct]
    stored: dict[str, Any]
    beside: dict[str, Any]
    mark: str = ""

    def subject(self, kind: str) -> str:
        """The fingerprint of all it is made from; `mark` is that of the document where it is known."""
        return paper_mark(kind, self.marked, self.beside)

    @property
    def marked(self) -> str:
        """The fingerprint of the document alone."""
        return self.mark or fingerprint(self.stored)


@dataclass(frozen=True, slots=True)
class PaperRow:
    """A paper that can be had of a lot; in a list of many lots, with its day."""

    kind: str
    revision: int | None
    name: str
    day: date | None = field(default=None, compare=False)


def papers_on(lot: LotSheet, who: Actor) -> tuple[PaperRow, ...]:
    """The papers of a lot's sheet that this person may have, in the order of the sheets."""
    rows = []
    for revision in reversed(lot.revisions):
        if revision.frozen:
            rows.append(PaperRow("quote", revision.number, revision.title))
        if revision.state == "accepted":
            rows.append(PaperRow("acceptance", revision.number, revision.title))
    if who.kind == "office" and lot.job is not None and lot.job.day is not None:
        rows.append(PaperRow("field-sheet", None, lot.job.number))
    if lot.record is not None:
        rows += [PaperRow(kind, None, lot.record.number) for kind in OF_RECORD]
    if lot.invoice is not None:
        rows.append(PaperRow("invoice", None, lot.invoice.document.number))
    if lot.warranty is not None and has_certificate(lot.warranty):
        rows.append(PaperRow("certificate", None, lot.warranty.number))
    return tuple(rows)


def papers_of(parts: Parts, who: Actor, lot_id: str) -> tuple[PaperRow, ...]:
    """The same, of a lot."""
    return papers_on(sheet(parts, who, lot_id), who)


def papers_of_lots(parts: Parts, who: Actor, lot_ids: tuple[str, ...]) -> dict[str, tuple[PaperRow, ...]]:
    """The papers of several of a builder's lots, by lot; lots without any, or not theirs, are left out."""
    must_be(who, "builder")
    found: dict[str, tuple[PaperRow, ...]] = {}
    with parts.store.reading() as work:
        for one in paper_rows.papers(work, who.company_id or "", lot_ids):
            name = one.number if one.revision is None else f"{one.number} rev. {one.revision}"
            if one.kind == "invoice" and not has(who, "money"):
                continue
            found[one.lot_id] = (
                *found.get(one.lot_id, ()),
                PaperRow(one.kind, one.revision, name, _day_of(parts, one)),
            )
    return found


def _day_of(parts: Parts, one: paper_rows.PaperOfLot) -> date | None:
    return one.at.astimezone(parts.zone).date() if isinstance(one.at, datetime) else one.at


def paper(parts: Parts, who: Actor, lot_id: str, kind: str, revision: int | None = None) -> PaperFile:
    """A lot's paper. Raises `NotFound` where there is none yet, or it is not this person's."""
    with parts.store.reading() as work:
        # Most papers that are asked for were made long ago: then nobody has to open the document.
        known = paper_rows.marked(work, kind, lot_id)
        if known is not None and (kept := _known(parts, work, who, kind, known)):
            return _file(parts, kind, known.number, kept) or _anew(parts, who, lot_id, kind)
    return _anew(parts, who, lot_id, kind, revision)


def _known(parts: Parts, work: Work, who: Actor, kind: str, known: paper_rows.Marked) -> str | None:
    if_own(who, known)
    _check_may_have(who, kind)
    of_record = kind in OF_RECORD
    beside = _beside_record(parts, work, kind, known.id, known.fingerprint) if of_record else {}
    return _kept(work, kind, known.fingerprint, beside)


def _kept(work: Work, kind: str, mark: str, beside: dict[str, Any]) -> str | None:
    """The SHA-256 of a paper that was made before. Notices from before they had a QR stay as they are."""
    without = {name: value for name, value in beside.items() if name != "posted"}
    found = trail.kept_paper(work, kind, paper_mark(kind, mark, beside))
    if found is None and without != beside:
        return trail.kept_paper(work, kind, paper_mark(kind, mark, without))
    return found


def _check_may_have(who: Actor, kind: str) -> None:
    """Refuse a kind of paper that is not for this person, whose lot it is."""
    if kind == "field-sheet" and who.kind != "office":
        raise NotFound("paper", kind)
    if kind == "invoice":
        must_have(who, "money")


def _anew(parts: Parts, who: Actor, lot_id: str, kind: str, revision: int | None = None) -> PaperFile:
    """A lot's paper, from its document."""
    with parts.store.reading() as work:
        lot = lot_for(work, who, lot_id)
        _check_may_have(who, kind)
        if kind == "certificate":
            warranty = warranties.warranty_of(work, lot.id)
        else:
            source = _source(parts, work, lot, kind, revision)
            kept = _kept(work, kind, source.marked, source.beside)
    if kind == "certificate":
        return _certificate(parts, warranty)
    return _made(parts, kind, source, kept)


def stop_sheet(parts: Parts, who: Actor, job_id: str) -> PaperFile:
    """The field sheet of a technician's own stop."""
    if who.kind != "technician":
        raise NotFound("job", job_id)
    with parts.store.reading() as work:
        source = _field_sheet(jobs.job(work, job_id, technician_id=who.person_id))
        kept = trail.kept_paper(work, "field-sheet", source.subject("field-sheet"))
    return _made(parts, "field-sheet", source, kept)


def load_paper(parts: Parts, who: Actor, technician_id: str, day: date) -> PaperFile:
    """The load sheet of a technician's day: the office's, and that technician's own."""
    must_be(who, "office", "technician")
    with parts.store.reading() as work:
        document = load_in(work, who, technician_id, day)
        source = _Source(f"{day.isoformat()}-{document.stops[0].number}", LoadSheet, to_stored(document), {})
        kept = trail.kept_paper(work, "load-sheet", source.subject("load-sheet"))
    return _made(parts, "load-sheet", source, kept)


def cover(parts: Parts, who: Actor, package_id: str, issue: int) -> PaperFile:
    """A package's cover, as it was frozen when its quotes were sent."""
    must_be(who, "builder", "office")
    with parts.store.reading() as work:
        row = package_for(work, who, package_id)
        found = next((one for one in packages.covers(work, row.id) if one.number == issue), None)
        if found is None:
            raise NotFound("paper", "package")
        beside = {"fingerprint": found.fingerprint}
        name = f"{row.number}-issue-{issue}"
        source = _Source(name, PackageDocument, found.document, beside, found.fingerprint)
        kept = trail.kept_paper(work, "package", source.subject("package"))
    return _made(parts, "package", source, kept)


#: Papers of money that are asked for by their own id: a lot may have several of each.
OF_MONEY: dict[str, type[msgspec.Struct]] = {
    "invoice": InvoiceDocument, "credit-note": CreditNoteDocument, "retainage": RetainageDocument,
}  # fmt: skip


def money_paper(parts: Parts, who: Actor, kind: str, paper_id: str) -> PaperFile:
    """An invoice, a credit note or the release of retainage: the office's, and the builder's own."""
    with parts.store.reading() as work:
        source = _money_source(work, who, kind, paper_id)
        kept = trail.kept_paper(work, kind, source.subject(kind))
    return _made(parts, kind, source, kept)


def money_summary(parts: Parts, who: Actor, kind: str, paper_id: str) -> PaperFile:
    """What an invoice or a credit note says to machines, for whom the paper is, whether it carries it or not.

    Raises `Refused` where none can be given truthfully.
    """
    with parts.store.reading() as work:
        source = _money_source(work, who, kind, paper_id)
    content = parts.papers.summary(from_stored(source.of, source.stored))
    if content is None:
        raise refuse(
            "There is no summary for machines of {number}. A taxed paper has one where the office had "
            "entered the number of its registration for sales tax by that day, under Rate book, Firm.",
            number=source.name,
        )  # fmt: skip
    return PaperFile(f"{source.name}.xml", content)


def _money_source(work: Work, who: Actor, kind: str, paper_id: str) -> _Source:
    must_be(who, "builder", "office")
    must_have(who, "money")
    if kind not in OF_MONEY:
        raise NotFound("paper", kind)
    ask: dict[str, Any] = {
        "invoice": owed.invoice, "credit-note": billing.credit_note, "retainage": billing.retainage_paper,
    }  # fmt: skip
    row = ask[kind](work, paper_id)
    if who.kind == "builder" and row.company_id != who.company_id:
        raise NotFound("paper", kind)
    return _of_money(row, kind)


def owner_bill(parts: Parts, invoice_id: str) -> PaperFile:
    """An owner's invoice, for whoever holds the link that was mailed with it."""
    with parts.store.reading() as work:
        source = _of_money(owed.invoice(work, invoice_id), "invoice")
        kept = trail.kept_paper(work, "invoice", source.subject("invoice"))
    return _made(parts, "invoice", source, kept)


def _of_money(row: Any, kind: str) -> _Source:
    return _Source(row.number, OF_MONEY[kind], row.document, {}, row.fingerprint)


def statement(parts: Parts, who: Actor, statement_id: str) -> PaperFile:
    """A builder's statement, as it was frozen when it was made."""
    must_be(who, "builder", "office")
    must_have(who, "money")
    own = who.company_id if who.kind == "builder" else None
    with parts.store.reading() as work:
        row = statements.statement(work, statement_id, company_id=own)
        source = _Source(row.number, StatementDocument, row.document, {}, row.fingerprint)
        kept = trail.kept_paper(work, "statement", source.subject("statement"))
    return _made(parts, "statement", source, kept)


def certificate_by_link(parts: Parts, token: str) -> PaperFile:
    """The certificate that a QR's holder may print: of a warranty that is or was in force."""
    with parts.store.reading() as work:
        warranty = warranties.by_link(work, token)
    return _certificate(parts, warranty)


def _certificate(parts: Parts, warranty: Any) -> PaperFile:
    """Unlike other papers it is signed, which no two times gives the same bytes: acts/sealed.py keeps it."""
    if warranty is None:
        raise NotFound("paper", "certificate")
    return PaperFile(_name("certificate", warranty.number), certificate(parts, warranty.id))


def _source(parts: Parts, work: Work, lot: Any, kind: str, revision: int | None) -> _Source:
    if kind in ("quote", "acceptance"):
        return _quote_source(parts, work, lot, kind, revision)
    if kind == "field-sheet" and (job := jobs.job_of(work, lot.id)) is not None:
        return _field_sheet(job)
    if kind in OF_RECORD and (record := jobs.record_of(work, lot.id)) is not None and record.document:
        beside = _beside_record(parts, work, kind, lot.id, record.fingerprint)
        return _Source(record.number, TreatmentDocument, record.document, beside, record.fingerprint)
    if kind == "invoice" and (invoice := owed.invoice_of(work, lot.id)) is not None:
        return _Source(invoice.number, InvoiceDocument, invoice.document, {}, invoice.fingerprint)
    raise NotFound("paper", kind)


def record_source(parts: Parts, work: Work, lot_id: str) -> _Source | None:
    """What a lot's treatment record is made from with all its pages; None where it was let go."""
    try:
        return _source(parts, work, lots.lot(work, lot_id), "treatment-record", None)
    except NotFound:
        return None


def _beside_record(parts: Parts, work: Work, kind: str, lot_id: str, mark: str) -> dict[str, Any]:
    """Its fingerprint, and the further pages that make another paper of the same record; a notice's QR."""
    pages = [row.document | {"fingerprint": row.fingerprint} for row in records.pages(work, lot_id)]
    beside: dict[str, Any] = {"fingerprint": mark} | ({"pages": pages} if pages else {})
    posted = on_notice(parts, work, lot_id) if kind == "posted-notice" else {}
    return beside | ({"posted": posted} if posted else {})


def _field_sheet(job: Any) -> _Source:
    if not job.sheet:
        raise NotFound("paper", "field-sheet")
    return _Source(job.number, FieldSheet, job.sheet, {})


def _quote_source(parts: Parts, work: Work, lot: Any, kind: str, number: int | None) -> _Source:
    quote = quotes.quote_of(work, lot.id)
    rows = quotes.revisions(work, quote.id) if quote else []
    found = [
        row
        for row in rows
        if row.document is not None
        and number in (None, row.number)
        and (kind == "quote" or row.state == "accepted")
    ]
    if not found:
        raise NotFound("paper", kind)
    row = found[0]
    beside: dict[str, Any] = {"fingerprint": row.fingerprint}
    if kind == "acceptance":
        assert row.decided_at is not None
        at = row.decided_at.astimezone(parts.zone).isoformat(timespec="minutes")
        order = row.purchase_order
        beside |= {"accepted_by": row.decided_by, "purchase_order": order, "accepted_at": at}
        # Acceptances from before each yes was kept have none, and their papers stay as they are.
        if yeses := [_yes(parts, yes) for yes in consents.consents(work, row.id)]:
            beside["yeses"] = yeses
    name = f"{row.quote.number}-rev-{row.number}"
    return _Source(name, QuoteDocument, row.document or {}, beside, row.fingerprint or "")


def _yes(parts: Parts, row: Any) -> dict[str, Any]:
    at = row.given_at.astimezone(parts.zone).isoformat(timespec="minutes")
    return {
        "name": row.name, "at": at, "email": row.email, "purchase_order": row.purchase_order,
        "mailed_by": row.link.made_by if row.link else "",
    }  # fmt: skip


def _made(parts: Parts, kind: str, source: _Source, kept: str | None) -> PaperFile:
    def make() -> bytes:
        return parts.papers.make(kind, from_stored(source.of, source.stored), source.beside)

    return made_once(parts, kind, source.name, source.subject(kind), kept, make)


def made_once(
    parts: Parts, kind: str, number: str, subject: str, kept: str | None, make: Callable[[], bytes]
) -> PaperFile:
    """A paper's bytes, made on first asking; made again where the folder lost or damaged them.

    `subject` is the fingerprint of all it is made from, `kept` the SHA-256 of what was made of that before.
    """
    found = _file(parts, kind, number, kept) if kept else None
    if found is not None:
        return found
    content = make()
    sha256 = parts.blobs.put(content)
    try:
        with parts.store.writing() as work:
            trail.keep_paper(work, kind, subject, sha256)
    except Exception as error:
        # Two people asked at once: the same data gives the same bytes, so either will do.
        if not is_doubled(error):
            raise
    return PaperFile(_name(kind, number), content)


def _name(kind: str, number: str) -> str:
    return f"{kind}-{number}.pdf".replace(" ", "-")


def _file(parts: Parts, kind: str, number: str, sha256: str) -> PaperFile | None:
    """The bytes that were kept, or None where the folder lost or damaged them."""
    try:
        return PaperFile(_name(kind, number), parts.blobs.get(sha256))
    except NotFound:
        return None
