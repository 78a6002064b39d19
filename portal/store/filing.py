"""Files warranties in the register, and keeps lost numbers asked for until they are answered."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date

from sqlalchemy import bindparam, delete, select

from portal.core.cover.filing import Filed
from portal.store.tables import LostNumber, RegisterContainer, RegisterLine, Warranty
from portal.store.transaction import Work


def file_warranty(work: Work, row: Warranty, what: Filed) -> None:
    """File a new warranty."""
    values = asdict(what)
    containers = values.pop("containers")
    work.put(RegisterLine(warranty_id=row.id, company_id=row.company_id, state=row.state, ends_on=row.ends_on,
                          **values))  # fmt: skip
    for one in containers:
        work.put(RegisterContainer(container_key=one, warranty_id=row.id))


def add_containers(work: Work, warranty_id: str, keys: tuple[str, ...]) -> None:
    """File product lots that a house was treated with later: a recall finds it by them too."""
    kept = set(work.session.scalars(
        select(RegisterContainer.container_key).where(RegisterContainer.warranty_id == warranty_id)
    ))  # fmt: skip
    for one in keys:
        if one not in kept:
            work.put(RegisterContainer(container_key=one, warranty_id=warranty_id))


_FOUND = (
    select(Warranty).join(RegisterLine, RegisterLine.warranty_id == Warranty.id)
    .where(RegisterLine.find_key == bindparam("find_key"))
)  # fmt: skip


def warranty_found(work: Work, find_key: str) -> Warranty | None:
    """The warranty of this number and house number. A miss is a miss of one index, whatever was wrong."""
    found: Warranty | None = work.session.scalar(_FOUND, {"find_key": find_key})
    return found


def ask_lost(work: Work, place_key: str, closed_in: date) -> None:
    """Keep a lost number that was asked for."""
    row = LostNumber(id=work.new_id(), place_key=place_key, closed_in=closed_in, asked_at=work.now)
    work.add(row)


def lost_asked(work: Work, limit: int = 100) -> list[LostNumber]:
    """Lost numbers asked for, oldest first, held against other workers."""
    query = select(LostNumber).order_by(LostNumber.asked_at, LostNumber.id).limit(limit)
    return list(work.session.scalars(query.with_for_update(skip_locked=True)))


def warranties_at(work: Work, place_key: str) -> list[Warranty]:
    """The warranties of the house at this address."""
    query = select(Warranty).join(RegisterLine, RegisterLine.warranty_id == Warranty.id)
    return list(
        work.session.scalars(query.where(RegisterLine.place_key == place_key).order_by(Warranty.number))
    )


def drop_lost(work: Work, row: LostNumber) -> None:
    """Drop what was asked for: it is answered."""
    work.session.delete(row)


def forget_record(work: Work, warranty_id: str) -> None:
    """Take out of the register what only the record said: who did it and with which product lot."""
    line = work.session.get(RegisterLine, warranty_id)
    if line is not None:
        line.technician = line.technician_key = line.container_lot = ""
    work.session.execute(delete(RegisterContainer).where(RegisterContainer.warranty_id == warranty_id))
