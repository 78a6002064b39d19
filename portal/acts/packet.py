"""The closing packet: certificate, treatment record, plan and care sheet as one PDF, for a house's owner.

The certificate as signed travels in it as a file: a page printed among others carries no signature.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Any

import msgspec

from portal.acts.lot_state import lot_for, lot_to_change
from portal.acts.papers import PaperFile, record_source
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.sealed import certificate, has_certificate, issued
from portal.acts.trail import mail, note, once
from portal.acts.transferring import holder_token
from portal.core.documents import WarrantyDocument, fingerprint, from_stored
from portal.core.errors import NotFound, refuse
from portal.store import holders, trail, warranties
from portal.store.transaction import Work, is_doubled

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
        warranty = warranties.warranty_of(work, _own(work, who, lot_id))
    if warranty is None or not has_certificate(warranty):
        raise refuse("There is no certificate to put in the packet: the warranty is not in force, or void.")
    return packet(parts, warranty.id)


def _own(work: Work, who: Actor, lot_id: str) -> str:
    return str(lot_for(work, who, lot_id).id)


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
        name = f"{KIND}-{warranty.number}.pdf"
    if kept is not None:
        try:
            return PaperFile(name, parts.blobs.get(kept))
        except NotFound:
            pass  # the folder lost it: it is made again
    warranted = from_stored(WarrantyDocument, document)
    sheets: list[tuple[str, msgspec.Struct, dict[str, Any]]] = [
        (KIND, warranted, {"enclosed": enclosed.name, "record": record.name if record else "",
                           "check": beside["check"]}),
        ("certificate", warranted, beside),
    ]  # fmt: skip
    if record is not None:
        sheets.append(("treatment-record", from_stored(record.of, record.stored), record.beside))
    if warranted.house:
        sheets.append(("house-plan", warranted, {}))
    sheets.append(("care-sheet", warranted, {"trouble": beside["link"]}))
    content = parts.papers.bind(sheets, enclosed)
    sha256 = parts.blobs.put(content)
    try:
        with parts.store.writing() as work:
            trail.keep_paper(work, KIND, subject, sha256)
    except Exception as error:
        if not is_doubled(error):  # two people asked at once: either will do
            raise
    return PaperFile(name, content)


def send_packet(parts: Parts, who: Actor, lot_id: str, once_key: str) -> None:
    """Mail the holder on record the way to the packet, on their own page."""
    must_be(who, "builder", "office")

    def do(work: Work) -> dict[str, Any]:
        lot = lot_to_change(work, who, lot_id)
        warranty = warranties.warranty_of(work, lot.id)
        holder = holders.holder_now(work, warranty.id) if warranty is not None else None
        if warranty is None or holder is None:
            raise refuse("Nobody is named as its holder. Name the owner first.")
        if warranty.begins_on is None or warranty.state == "void":
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
