"""The closing packet: certificate, treatment record, plan and care sheet as one PDF, for a house's owner.

The certificate as signed travels in it as a file: a page printed among others carries no signature.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Any

import msgspec

from portal.acts.lot_state import lot_for, lot_to_change
from portal.acts.papers import PaperFile, made_once, record_source
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.sealed import certificate, has_certificate, issued
from portal.acts.trail import mail, note, once
from portal.acts.transferring import holder_token
from portal.core.documents import WarrantyDocument, fingerprint, from_stored
from portal.core.errors import refuse
from portal.store import holders, trail, warranties
from portal.store.transaction import Work

KIND = "closing-packet"


@dataclass(frozen=True, slots=True)
class Enclosed:
    """A file that travels in the packet."""

    name: str
    content: bytes


def packet_of_lot(parts: Parts, who: Actor, lot_id: str) -> PaperFile:
    """The packet of a lot's warranty. Raises `Refused` while there is no certificate to put in it."""
    must_be(who, "builder", "office")
    with parts.store.reading() as work:
        warranty = warranties.warranty_of(work, lot_for(work, who, lot_id).id)
    if warranty is None or not has_certificate(warranty):
        raise refuse("There is no certificate to put in the packet: the warranty is not in force, or void.")
    return packet(parts, warranty.id)


def packet(parts: Parts, warranty_id: str) -> PaperFile:
    """The packet of a warranty, made on first asking and kept: other certificate or record, other packet."""
    signed = certificate(parts, warranty_id)
    document, beside = issued(parts, warranty_id)
    with parts.store.reading() as work:
        warranty = warranties.warranty(work, warranty_id)
        record = record_source(parts, work, warranty.lot_id)
        enclosed = Enclosed(f"certificate-{warranty.number}.pdf", signed)
        subject = fingerprint({
            "kind": KIND, "certificate": hashlib.sha256(signed).hexdigest(), "beside": beside,
            "record": record.subject("treatment-record") if record else "",
        })  # fmt: skip
        kept = trail.kept_paper(work, KIND, subject)

    def make() -> bytes:
        sheets = _sheets(from_stored(WarrantyDocument, document), beside, record, enclosed.name)
        return parts.papers.bind(sheets, enclosed)

    return made_once(parts, KIND, warranty.number, subject, kept, make)


def _sheets(
    document: WarrantyDocument, beside: dict[str, Any], record: Any, enclosed: str
) -> list[tuple[str, msgspec.Struct, dict[str, Any]]]:
    """The parts of a packet in order; without a record that was let go, or a plan that was never kept."""
    named = record.name if record else ""
    sheets: list[tuple[str, msgspec.Struct, dict[str, Any]]] = [
        (KIND, document, {"enclosed": enclosed, "record": named, "check": beside["check"]}),
        ("certificate", document, beside),
    ]
    if record is not None:
        sheets.append(("treatment-record", from_stored(record.of, record.stored), record.beside))
    if document.house:
        sheets.append(("house-plan", document, {}))
    return [*sheets, ("care-sheet", document, {"trouble": beside["link"]})]


def send_packet(parts: Parts, who: Actor, lot_id: str, once_key: str) -> None:
    """Mail the holder on record the way to the packet, on their own page."""
    must_be(who, "builder", "office")

    def do(work: Work) -> dict[str, Any]:
        lot = lot_to_change(work, who, lot_id)
        warranty = warranties.warranty_of(work, lot.id)
        holder = holders.holder_now(work, warranty.id) if warranty is not None else None
        if warranty is None or holder is None:
            raise refuse("Nobody is named as its holder. Name the owner first.")
        if not has_certificate(warranty):
            raise refuse("There is no certificate to put in the packet: the warranty is {now}.",
                         now=warranty.state)  # fmt: skip
        if not holder.email:
            raise refuse("There is no mail address of the holder's.")
        said = from_stored(WarrantyDocument, warranty.document)
        mail(parts, work, "packet", holder.email, lot.id, name=holder.name, place=said.place,
             number=warranty.number, office=said.office,
             link=parts.links.holder(holder_token(parts, holder)))  # fmt: skip
        note(work, who, "packet sent", warranty.number, lot.id)
        return {}

    once(parts, who, f"packet {lot_id}", once_key, do)
