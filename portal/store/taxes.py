"""Finds and adds jurisdictions, editions of their tax tables, where these hold, and exemptions."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import and_, bindparam, func, or_, select

from portal.core.errors import NotFound
from portal.store.tables import Company, Jurisdiction, Subdivision, TaxEdition, TaxExemption, TaxPlace
from portal.store.transaction import Work

#: The place of every lot for which no other is set.
DEFAULT = "default"


def town_key(state: str, town: str) -> str:
    """The key of a town, however its name was written."""
    return f"town:{' '.join(state.split()).casefold()}/{' '.join(town.split()).casefold()}"


def subdivision_key(subdivision_id: str) -> str:
    """The key of a subdivision."""
    return f"subdivision:{subdivision_id}"


def named_key(name: str) -> str:
    """What a builder's subdivision goes by among that builder's own: its name, whatever its case."""
    return f"named:{name.strip().lower()}"


_NEWEST = (
    select(TaxEdition.id)
    .where(TaxEdition.jurisdiction_id == TaxPlace.jurisdiction_id, TaxEdition.first_day <= bindparam("day"))
    .order_by(TaxEdition.first_day.desc(), TaxEdition.number.desc())
    .limit(1)
    .correlate(TaxPlace)
    .scalar_subquery()
)
#: Of the places of one builder's lots: those of towns, the default, and its own subdivisions'.
_HOLDING: Any = (
    select(TaxPlace.place_key, Subdivision.name, Jurisdiction.name, TaxEdition.number, TaxEdition.document)
    .join(Jurisdiction, Jurisdiction.id == TaxPlace.jurisdiction_id)
    .join(TaxEdition, TaxEdition.id == _NEWEST)
    .outerjoin(Subdivision, Subdivision.id == TaxPlace.subdivision_id)
    .where(or_(TaxPlace.subdivision_id.is_(None), Subdivision.company_id == bindparam("company_id")))
)


def holding(work: Work, company_id: str, day: date) -> list[Any]:
    """The tables that hold for a builder's lots on a day.

    Key of the place, its subdivision's name, jurisdiction, number, document.
    """
    found = work.session.connection().execute(_HOLDING, {"company_id": company_id, "day": day})
    return list(found)


_COVERING = (
    select(TaxExemption)
    .where(
        TaxExemption.company_id == bindparam("company_id"), TaxExemption.withdrawn_at.is_(None),
        TaxExemption.first_day <= bindparam("day"), TaxExemption.last_day >= bindparam("day"),
    )
    .order_by(TaxExemption.last_day.desc(), TaxExemption.number)
)  # fmt: skip


def covering(work: Work, company_id: str, day: date) -> list[TaxExemption]:
    """A builder's exemptions that cover a day, the one that lasts longest first."""
    return list(work.session.scalars(_COVERING, {"company_id": company_id, "day": day}))


def jurisdictions(work: Work) -> list[Jurisdiction]:
    """All of them, by name."""
    return list(work.session.scalars(select(Jurisdiction).order_by(Jurisdiction.name_key)))


def jurisdiction(work: Work, jurisdiction_id: str) -> Jurisdiction:
    """The jurisdiction. Raises `NotFound`."""
    found = work.session.get(Jurisdiction, jurisdiction_id)
    if found is None:
        raise NotFound("jurisdiction", jurisdiction_id)
    return found


def name_key(name: str) -> str:
    """A name as it is told from others: however it is written."""
    return " ".join(name.split()).casefold()


def jurisdiction_named(work: Work, name: str) -> Jurisdiction | None:
    """The jurisdiction of this name, however it is written."""
    return work.session.scalar(select(Jurisdiction).where(Jurisdiction.name_key == name_key(name)))


def add_jurisdiction(work: Work, name: str) -> Jurisdiction:
    """A new one."""
    row = Jurisdiction(id=work.new_id(), name=name, name_key=name_key(name), made_at=work.now)
    work.add(row)
    return row


def editions(work: Work) -> list[TaxEdition]:
    """Every edition of every table, newest first."""
    return list(work.session.scalars(select(TaxEdition).order_by(TaxEdition.number.desc())))


def add_edition(
    work: Work, jurisdiction_id: str, first_day: date, document: dict[str, Any], by: str
) -> TaxEdition:
    """The next edition of a jurisdiction's table."""
    last = work.session.scalar(
        select(func.max(TaxEdition.number)).where(TaxEdition.jurisdiction_id == jurisdiction_id)
    )
    row = TaxEdition(
        id=work.new_id(), jurisdiction_id=jurisdiction_id, number=(last or 0) + 1, first_day=first_day,
        document=document, made_by=by, made_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row


def places(work: Work) -> list[TaxPlace]:
    """Where tables hold: the default first, then towns, then subdivisions."""
    found = work.session.scalars(select(TaxPlace))
    return sorted(found, key=lambda one: (one.place_key != DEFAULT, one.subdivision_id is not None,
                                          one.place_key))  # fmt: skip


def place(work: Work, key: str) -> TaxPlace | None:
    """Which jurisdiction's table is set for a place."""
    return work.session.get(TaxPlace, key)


def subdivision(work: Work, subdivision_id: str) -> Subdivision:
    """The subdivision. Raises `NotFound`."""
    found = work.session.get(Subdivision, subdivision_id)
    if found is None:
        raise NotFound("subdivision", subdivision_id)
    return found


def subdivisions(work: Work) -> list[tuple[str, str, str]]:
    """Every subdivision: id, name, builder; by builder."""
    query = select(Subdivision.id, Subdivision.name, Company.name).join(
        Company, Company.id == Subdivision.company_id
    )
    found = work.session.execute(query.order_by(Company.name, Subdivision.name))
    return [(row[0], row[1], row[2]) for row in found]


def exemptions(work: Work, company_id: str) -> list[TaxExemption]:
    """All that were entered of a builder, the one that lasts longest first."""
    query = select(TaxExemption).where(TaxExemption.company_id == company_id)
    return list(work.session.scalars(query.order_by(TaxExemption.last_day.desc(), TaxExemption.number)))


def exemption(work: Work, company_id: str, exemption_id: str) -> TaxExemption:
    """One of a builder's. Raises `NotFound`."""
    found = work.session.get(TaxExemption, exemption_id)
    if found is None or found.company_id != company_id:
        raise NotFound("exemption", exemption_id)
    return found


def running_out(work: Work, first: date, last: date) -> list[Any]:
    """Exemptions whose last day comes between two days, and that no other of the builder's follows.

    Each as the builder's id and name, the number, and the last day; soonest first.
    """
    later = TaxExemption.__table__.alias()
    followed = (
        select(later.c.id)
        .where(
            later.c.company_id == TaxExemption.company_id, later.c.withdrawn_at.is_(None),
            later.c.last_day > TaxExemption.last_day,
            or_(later.c.jurisdiction_id.is_(None),
                and_(later.c.jurisdiction_id == TaxExemption.jurisdiction_id)),
        )
        .exists()
    )  # fmt: skip
    query = (
        select(TaxExemption.company_id, Company.name, TaxExemption.number, TaxExemption.last_day)
        .join(Company, Company.id == TaxExemption.company_id)
        .where(TaxExemption.withdrawn_at.is_(None), TaxExemption.last_day.between(first, last), ~followed)
        .order_by(TaxExemption.last_day, Company.name)
    )
    return list(work.session.execute(query))


def set_place(
    work: Work, key: str, jurisdiction: Jurisdiction, by: str, *, town: str = "", state: str = "",
    subdivision_id: str | None = None,
) -> None:  # fmt: skip
    """Have a jurisdiction's table hold for a place, in place of any other."""
    row = place(work, key) or TaxPlace(
        place_key=key, town=town, state=state, subdivision_id=subdivision_id, set_by=by, set_at=work.now
    )
    row.jurisdiction_id, row.jurisdiction = jurisdiction.id, jurisdiction
    row.set_by, row.set_at = by, work.now
    work.add(row)


def drop_place(work: Work, row: TaxPlace) -> None:
    """Set nothing for a place any more."""
    work.session.delete(row)
    work.session.flush()


def add_exemption(
    work: Work, *, company_id: str, jurisdiction_id: str | None, number: str, first_day: Any, last_day: Any,
    entered_by: str,
) -> TaxExemption:  # fmt: skip
    """A new certificate of a builder's."""
    row = TaxExemption(
        id=work.new_id(), company_id=company_id, jurisdiction_id=jurisdiction_id, number=number,
        first_day=first_day, last_day=last_day, entered_by=entered_by, entered_at=work.now,
    )  # fmt: skip
    work.add(row)
    return row
