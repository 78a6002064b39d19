"""What the office does when a warranty is handed on: sees the evidence, takes the fee, or declines."""

from __future__ import annotations

from typing import Any

from portal.acts.handed_on import hand_on
from portal.acts.lot_state import lot_for
from portal.acts.owner_bills import bill_owner
from portal.acts.parts import Actor, Parts, must_be, must_be_owner
from portal.acts.texts import check, text_problems
from portal.acts.trail import mail, note, once
from portal.acts.transferring import (
    NextTyped,
    TransferRow,
    begin,
    check_next,
    end,
    held,
    row_of,
    write_to_buyer,
)
from portal.core.errors import BadInput, NotFound, Problem, refuse
from portal.core.words import say
from portal.store import holders, transfers, warranties
from portal.store.transaction import Work

LARGEST = 1024 * 1024
KINDS = {b"%PDF-": "application/pdf", b"\xff\xd8\xff": "image/jpeg", b"\x89PNG\r\n": "image/png"}
NO_EVIDENCE = say("Write what was seen: a deed, a settlement paper, and of which day.")
FEES = ("billed", "waived")


def kind_of(content: bytes) -> str | None:
    """What kind of file this is, by its first bytes; None where it is none that is kept."""
    return next((kind for first, kind in KINDS.items() if content.startswith(first)), None)


def _check_evidence(words: str, content: bytes) -> None:
    check(text_problems("evidence", words, 1000, NO_EVIDENCE))
    if len(content) > LARGEST:
        raise BadInput([Problem("file", say("This file is too large: at most 1 MB."))])
    if content and kind_of(content) is None:
        raise BadInput([Problem("file", say("Choose a PDF, a JPEG or a PNG."))])


def _kept(parts: Parts, name: str, content: bytes) -> dict[str, str]:
    if not content:
        return {"evidence_name": "", "evidence_sha256": ""}
    return {"evidence_name": name[:200], "evidence_sha256": parts.blobs.put(content)}


def transfers_of(parts: Parts, who: Actor, lot_id: str) -> tuple[TransferRow, ...]:
    """Every transfer of a lot's warranty, oldest first."""
    must_be(who, "office")
    with parts.store.reading() as work:
        warranty = warranties.warranty_of(work, lot_for(work, who, lot_id).id)
        return tuple(row_of(row) for row in transfers.transfers(work, warranty.id)) if warranty else ()


def hand_on_by_office(
    parts: Parts, who: Actor, lot_id: str, typed: NextTyped, evidence: str, name: str, content: bytes,
    once_key: str,
) -> None:  # fmt: skip
    """Hand it on by what the office has seen, whoever asked: the holder before may not be reachable."""
    must_be(who, "office")
    check_next(typed, mail_needed=False)
    _check_evidence(evidence, content)

    def do(work: Work) -> dict[str, Any]:
        warranty = warranties.warranty_of(work, lot_for(work, who, lot_id).id)
        if warranty is None:
            raise refuse("There is no warranty yet: the lot is not treated.")
        warranty = held(work, warranty.id)
        holder = holders.holder_now(work, warranty.id)
        if holder is None:
            raise refuse("Nobody holds it yet. Name the first owner instead.")
        row = begin(parts, work, who, warranty, holder, typed, asked_by="office", state="open",
                    **{"evidence": evidence.strip()} | _kept(parts, name, content))  # fmt: skip
        hand_on(parts, work, who, warranty, row)
        return {}

    once(parts, who, f"hand on {lot_id}", once_key, do, [typed.name, typed.email, typed.closed_on, evidence])


def _waiting(work: Work, who: Actor, lot_id: str, transfer_id: str) -> tuple[Any, Any]:
    row = transfers.transfer(work, transfer_id)
    warranty = held(work, row.warranty_id)
    if warranty.lot_id != lot_for(work, who, lot_id).id:
        raise NotFound("transfer", transfer_id)
    return warranty, transfers.transfer(work, transfer_id)


def agree(
    parts: Parts, who: Actor, lot_id: str, transfer_id: str, evidence: str, name: str, content: bytes
) -> None:
    """What the terms ask for was seen: the next owner is written to."""
    must_be(who, "office")
    _check_evidence(evidence, content)
    with parts.store.writing() as work:
        warranty, row = _waiting(work, who, lot_id, transfer_id)
        if row.state != "office":
            raise refuse("This does not wait for the office any more.")
        row.state, row.evidence = "open", evidence.strip()
        for key, value in _kept(parts, name, content).items():
            setattr(row, key, value)
        note(work, who, "transfer agreed", warranty.number, warranty.lot_id)
        write_to_buyer(parts, work, warranty, row)


def decline(parts: Parts, who: Actor, lot_id: str, transfer_id: str, reason: str) -> None:
    """Decline it by the terms, with a reason that the holder is told."""
    must_be(who, "office")
    check(text_problems("reason", reason, 1000, say("Give the reason: the holder is told.")))
    with parts.store.writing() as work:
        warranty, row = _waiting(work, who, lot_id, transfer_id)
        if row.state not in transfers.WAITING:
            raise refuse("This is decided already.")
        end(work, who, warranty, row, "declined", reason.strip())
        holder = transfers.holder(work, row.from_id)
        mail(parts, work, "transfer_declined", holder.email, warranty.lot_id, name=holder.name,
             number=warranty.number, reason=reason.strip(), link="")  # fmt: skip


def fee_done(parts: Parts, who: Actor, lot_id: str, transfer_id: str, how: str) -> None:
    """Bill the fee to the holder who hands the warranty on, or waive it, which is an owner's to do."""
    must_be(who, "office")
    if how not in FEES:
        raise refuse("A fee is billed or waived.")
    if how == "waived":
        must_be_owner(who)
    with parts.store.writing() as work:
        warranty, row = _waiting(work, who, lot_id, transfer_id)
        if row.fee_state != "owed":
            raise refuse("There is no fee to be paid.")
        if row.fee_invoice_id is not None:
            raise refuse("The fee is billed: what is not to be paid is credited or written off there.")
        if how == "billed":
            payer = transfers.holder(work, row.from_id)
            row.fee_invoice_id = bill_owner(parts, work, who, warranty, payer, "transfer", row.fee).id
        else:
            row.fee_state = how
        note(work, who, "transfer fee", warranty.number, warranty.lot_id, kind=how)


def evidence_file(parts: Parts, who: Actor, lot_id: str, transfer_id: str) -> tuple[bytes, str]:
    """The file that was kept as evidence, and its kind."""
    must_be(who, "office")
    with parts.store.reading() as work:
        row = transfers.transfer(work, transfer_id)
        if warranties.warranty(work, row.warranty_id).lot_id != lot_for(work, who, lot_id).id:
            raise NotFound("transfer", transfer_id)
        if not row.evidence_sha256:
            raise NotFound("file", transfer_id)
    content = parts.blobs.get(row.evidence_sha256)
    return content, kind_of(content) or "application/octet-stream"
