"""A letter about a warranty to whoever holds it now."""

from __future__ import annotations

from typing import Any

from portal.acts.parts import Parts
from portal.acts.trail import mail
from portal.core.documents import WarrantyDocument, from_stored
from portal.store import holders
from portal.store.transaction import Work


def mail_holder(
    parts: Parts, work: Work, kind: str, warranty: Any, /, *, link: str = "", **values: Any
) -> None:
    """Write to the holder on record, if there is one; without another link it leads to the record."""
    holder = holders.holder_now(work, warranty.id)
    if holder is None:
        return
    said = from_stored(WarrantyDocument, warranty.document)
    mail(parts, work, kind, holder.email, warranty.lot_id, name=holder.name, place=said.place,
         number=warranty.number, office=said.office, link=link or parts.links.warranty(warranty.link_token),
         **values)  # fmt: skip
