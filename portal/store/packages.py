"""Finds and adds packages, and the lots in them."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm.attributes import flag_modified

from portal.core.errors import NotFound
from portal.store import owed
from portal.store.tables import Lot, Package
from portal.store.transaction import Work


def open_package(
    work: Work, company_id: str, name: str, person_id: str, *, year: int | None = None
) -> Package:
    """A new package, without a lot yet: a lot is in it once its `package_id` says so.

    `year` is that of its number; acts pass the year where the office is.
    """
    number = owed.next_number(work, "P", work.now.year if year is None else year)
    row = Package(
        id=work.new_id(), company_id=company_id, number=number, name=name, created_by=person_id,
        created_at=work.now, version=1,
    )  # fmt: skip
    work.add(row)
    return row


def package(work: Work, package_id: str, *, company_id: str | None = None) -> Package:
    """The package; with `company_id`, only where it is that company's. Raises `NotFound` either way."""
    found = work.session.get(Package, package_id)
    if found is None or (company_id is not None and found.company_id != company_id):
        raise NotFound("package", package_id)
    return found


def locked(work: Work, package_id: str) -> Package:
    """The package, held against every other writer until this transaction ends. Raises `NotFound`."""
    query = select(Package).where(Package.id == package_id).with_for_update()
    found = work.session.scalar(query.execution_options(populate_existing=True))
    if found is None:
        raise NotFound("package", package_id)
    return found


def touch(work: Work, row: Package) -> None:
    """Mark the package changed: its version goes up, though its own columns say what they said."""
    flag_modified(row, "name")
    work.session.flush()


def lots_in(work: Work, package_id: str) -> list[Lot]:
    """The lots of a package, in the order of their ids: the order in which several lots are held."""
    return list(work.session.scalars(select(Lot).where(Lot.package_id == package_id).order_by(Lot.id)))


def locked_lots(work: Work, lot_ids: list[str]) -> list[Lot]:
    """These lots, held against every other writer, one after another in the order of their ids.

    In one order, or two who hold some of the same could wait for each other. Before anything else that
    is held for long: a number, a line of history.
    """
    query = (
        select(Lot).where(Lot.id.in_(lot_ids)).order_by(Lot.id)
        .with_for_update(of=Lot).execution_options(populate_existing=True)
    )  # fmt: skip
    return list(work.session.scalars(query))
