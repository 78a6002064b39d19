"""Finds and adds packages, and the lots in them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import case, func, select
from sqlalchemy.orm.attributes import flag_modified

from portal.core.errors import NotFound
from portal.store import owed
from portal.store.tables import Company, Lot, Package, PackageCover, Quote, Revision, Takeoff
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


@dataclass(frozen=True, slots=True)
class LotHouse:
    """A lot of a package with the house of its newest takeoff, for its feet."""

    id: str
    name: str
    stage: str
    subdivision_id: str | None
    house: dict[str, Any]


def houses_in(work: Work, package_id: str) -> list[LotHouse]:
    """The houses of a package's lots as they stand, in one question."""
    newest = (
        select(Takeoff.lot_id, func.max(Takeoff.edition).label("edition"))
        .join(Lot, Lot.id == Takeoff.lot_id).where(Lot.package_id == package_id)
        .group_by(Takeoff.lot_id).subquery()
    )  # fmt: skip
    query = (
        select(Lot.id, Lot.name, Lot.stage, Lot.subdivision_id, Takeoff.house)
        .join(newest, newest.c.lot_id == Lot.id)
        .join(Takeoff, (Takeoff.lot_id == Lot.id) & (Takeoff.edition == newest.c.edition))
        .order_by(Lot.id)
    )
    rows: list[Any] = list(work.session.execute(query))
    return [LotHouse(*values) for values in rows]


def speaking_in(work: Work, package_id: str) -> dict[str, Revision]:
    """By lot, the revision that says how far its quote has come: the accepted one, else the newest."""
    query = (
        select(Revision).join(Quote, Quote.id == Revision.quote_id).join(Lot, Lot.id == Quote.lot_id)
        .where(Lot.package_id == package_id).order_by(Revision.state == "accepted", Revision.number)
    )  # fmt: skip
    return {row.quote.lot_id: row for row in work.session.scalars(query)}


def add_cover(
    work: Work, package_id: str, document: dict[str, Any], fingerprint: str, by: str
) -> PackageCover:
    """The next cover of a package; its number is the document's issue."""
    row = PackageCover(
        id=work.new_id(), package_id=package_id, number=document["issue"], document=document,
        fingerprint=fingerprint, sent_by=by, sent_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row


def covers(work: Work, package_id: str) -> list[PackageCover]:
    """The covers of a package, newest first."""
    query = select(PackageCover).where(PackageCover.package_id == package_id)
    return list(work.session.scalars(query.order_by(PackageCover.number.desc())))


def covers_of_company(work: Work, company_id: str) -> list[tuple[PackageCover, Package]]:
    """Every cover of a builder's packages with its package, newest first."""
    query = select(PackageCover, Package).join(Package, Package.id == PackageCover.package_id)
    query = query.where(Package.company_id == company_id)
    rows = work.session.execute(query.order_by(PackageCover.sent_at.desc(), PackageCover.id))
    return [(cover, package) for cover, package in rows]


@dataclass(frozen=True, slots=True)
class PackageRow:
    """A package in a list: how many lots it has, and how many of them stand where."""

    id: str
    number: str
    name: str
    company: str
    made_at: datetime
    lots: int
    asked: int
    to_check: int
    approved: int
    to_answer: int

    @property
    def with_office(self) -> int:
        """How many lots of which the quote is not out."""
        return self.asked + self.to_check + self.approved


def rows(
    work: Work, today: date, *, company_id: str | None = None, with_office: bool = False, limit: int = 200
) -> list[PackageRow]:
    """Packages, the newest on top; of one company, or those that wait for the office."""

    def at(*stages: str) -> Any:
        open_still = (Lot.stage != "sent") | Lot.holds_until.is_(None) | (Lot.holds_until >= today)
        return func.count(case((Lot.stage.in_(stages) & open_still, 1)))

    columns: Any = (
        Package.id, Package.number, Package.name, Company.name, Package.created_at, func.count(Lot.id),
        at("asked"), at("to check"), at("approved"), at("sent"),
    )  # fmt: skip
    query = (
        select(*columns).join(Company, Company.id == Package.company_id)
        .outerjoin(Lot, Lot.package_id == Package.id)
        .group_by(Package.id, Package.number, Package.name, Company.name, Package.created_at)
        .order_by(Package.created_at.desc(), Package.number.desc()).limit(limit)
    )  # fmt: skip
    if company_id is not None:
        query = query.where(Package.company_id == company_id)
    if with_office:
        query = query.having(at("asked", "to check", "approved") > 0)
    return [PackageRow(*row) for row in work.session.execute(query)]
