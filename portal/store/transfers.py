"""Finds and adds transfers of warranties, and holders' links that were asked for anew."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import select

from portal.core.errors import NotFound
from portal.store.tables import Holder, LinkAsked, Transfer
from portal.store.transaction import Work

WAITING = ("office", "open")


def holder(work: Work, holder_id: str) -> Holder:
    """A holder, as they stand now. Raises `NotFound`."""
    query = select(Holder).where(Holder.id == holder_id).execution_options(populate_existing=True)
    found = work.session.scalar(query)
    if found is None:
        raise NotFound("holder", holder_id)
    return found


def transfer(work: Work, transfer_id: str) -> Transfer:
    """A transfer, as it stands now. Raises `NotFound`."""
    query = select(Transfer).where(Transfer.id == transfer_id).execution_options(populate_existing=True)
    found = work.session.scalar(query)
    if found is None:
        raise NotFound("transfer", transfer_id)
    return found


def transfers(work: Work, warranty_id: str) -> list[Transfer]:
    """Every transfer of a warranty, oldest first."""
    query = select(Transfer).where(Transfer.warranty_id == warranty_id)
    return list(work.session.scalars(query.order_by(Transfer.asked_at, Transfer.id)))


def waiting(work: Work, warranty_id: str) -> Transfer | None:
    """The transfer that is under way, if any."""
    query = select(Transfer).where(Transfer.warranty_id == warranty_id, Transfer.state.in_(WAITING))
    return work.session.scalar(query)


def open_since_before(work: Work, moment: datetime) -> list[Transfer]:
    """Transfers that wait for the next owner, and were asked for before a moment."""
    query = select(Transfer).where(Transfer.state == "open", Transfer.asked_at < moment)
    return list(work.session.scalars(query.order_by(Transfer.asked_at, Transfer.id)))


def add_transfer(work: Work, **values: Any) -> Transfer:
    """A new transfer; the store refuses a second under way."""
    row = Transfer(id=work.new_id(), asked_at=work.now, **values)
    work.add(row)
    return row


def of_fee(work: Work, invoice_id: str) -> Transfer | None:
    """The transfer whose fee an invoice is."""
    return work.session.scalar(select(Transfer).where(Transfer.fee_invoice_id == invoice_id))


def ask_link(work: Work, number: str, email: str) -> None:
    """Keep that a link was asked for."""
    work.put(LinkAsked(id=work.new_id(), number=number, email=email, asked_at=work.now))


def links_asked(work: Work) -> list[LinkAsked]:
    """Links asked for and not answered; held, so that no two workers answer one."""
    query = select(LinkAsked).order_by(LinkAsked.asked_at, LinkAsked.id).limit(50)
    return list(work.session.scalars(query.with_for_update(skip_locked=True)))


def drop_link_asked(work: Work, row: LinkAsked) -> None:
    """Forget that it was asked."""
    work.session.delete(row)
