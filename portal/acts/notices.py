"""The QR of a posted notice: it leads to the house's record, and is signed as that of a certificate is.

A notice goes up on the day of treatment, when nothing is in force yet: its code says that day. Revoking the
link of a warranty takes its notice along; the notice that is printed next carries the new link.
"""

from __future__ import annotations

from typing import Any

from portal.acts.parts import Parts
from portal.core.cover.codes import signed, to_sign
from portal.core.documents import WarrantyDocument, from_stored
from portal.core.errors import Refused
from portal.store import warranties
from portal.store.transaction import Work


def on_notice(parts: Parts, work: Work, lot_id: str) -> dict[str, Any]:
    """What a notice carries beside its record; nothing where the house has no warranty."""
    warranty = warranties.warranty_of(work, lot_id)
    if warranty is None:
        return {}
    document = from_stored(WarrantyDocument, warranty.document)
    return {
        "warranty": warranty.number, "find": parts.links.find_warranty(),
        "code": _code(parts, warranty.link_token, document),
    }  # fmt: skip


def _code(parts: Parts, link_token: str, document: WarrantyDocument) -> str:
    try:
        said = said_on(document, parts.seal.key(parts.now()))
        return parts.links.signed_code(link_token, signed(said, parts.seal.sign_code(said, parts.now())))
    except Refused:
        # The law asks for the notice, with or without a key of ours: then its QR leads to the page, unsigned.
        return parts.links.warranty(link_token)


def said_on(document: WarrantyDocument, key: str) -> str:
    """What the code of a house's notice says, all but its signature."""
    return to_sign(document.number, document.treated_on, document.place, key, "notice")
