"""Finds and adds agreements on prices."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import bindparam, select

from portal.core.errors import NotFound
from portal.core.pricing.agreement import Agreement as Agreed
from portal.core.pricing.agreement import read_prices
from portal.store.tables import Agreement, AgreementEnd
from portal.store.transaction import Work


def agreed(row: Agreement) -> Agreed:
    """A stored agreement as the core reads it, with the earlier of its last days."""
    ends = [day for day in (row.last_day, row.end.last_day if row.end else None) if day is not None]
    return Agreed(
        number=row.number, company_id=row.company_id, subdivision_id=row.subdivision_id,
        first_day=row.first_day, last_day=min(ends, default=None), prices=read_prices(row.document),
        subdivision=row.subdivision.name if row.subdivision else "",
    )  # fmt: skip


_BEGUN = select(Agreement).where(
    Agreement.company_id == bindparam("company_id"), Agreement.first_day <= bindparam("day")
)


def begun(work: Work, company_id: str, day: date) -> list[Agreed]:
    """The agreements of a builder that have begun by a day, in force or over."""
    return [agreed(row) for row in work.session.scalars(_BEGUN, {"company_id": company_id, "day": day})]


def agreement(work: Work, agreement_id: str) -> Agreement:
    """One agreement. Raises `NotFound`."""
    found = work.session.get(Agreement, agreement_id)
    if found is None:
        raise NotFound("agreement", agreement_id)
    return found


def everyone(work: Work) -> list[Agreement]:
    """All of them, newest first."""
    return list(work.session.scalars(select(Agreement).order_by(Agreement.number.desc())))


def add(work: Work, **fields: Any) -> Agreement:
    """A new agreement."""
    row = Agreement(id=work.new_id(), made_at=work.now, **fields)
    work.add(row)
    return row


def end(work: Work, row: Agreement, last_day: date, reason: str, by: str) -> None:
    """Bring an agreement to its end; once."""
    work.add(
        AgreementEnd(agreement_id=row.id, last_day=last_day, reason=reason, ended_by=by, ended_at=work.now)
    )
    work.session.flush()
