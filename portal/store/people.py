"""Finds and adds companies, persons and sign-ins."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Any

from sqlalchemy import bindparam, delete, func, select, update

from portal.core.errors import NotFound
from portal.store.tables import Company, Person, SignIn
from portal.store.transaction import Work


def company(work: Work, company_id: str) -> Company:
    """The company. Raises `NotFound`."""
    found = work.session.get(Company, company_id)
    if found is None:
        raise NotFound("company", company_id)
    return found


def locked_company(work: Work, company_id: str) -> Company:
    """The company, held against everybody else who changes its people. Raises `NotFound`."""
    query = select(Company).where(Company.id == company_id).with_for_update()
    found = work.session.scalar(query.execution_options(populate_existing=True))
    if found is None:
        raise NotFound("company", company_id)
    return found


def companies(work: Work, *, owners: bool = False) -> list[Company]:
    """All builders, by name; with `owners` everybody who is billed, owners of treated houses too."""
    query = select(Company).order_by(Company.name)
    return list(work.session.scalars(query if owners else query.where(Company.kind == "builder")))


def account_of_holder(work: Work, holder_id: str) -> Company | None:
    """The account of a warranty's holder, once there is one."""
    return work.session.scalar(select(Company).where(Company.holder_id == holder_id))


def company_named(work: Work, name: str) -> Company | None:
    """The company of this name, whatever its case."""
    return work.session.scalar(select(Company).where(func.lower(Company.name) == name.lower()))


def add_company(
    work: Work, *, name: str, address: str, phone: str, email: str, holder_id: str | None = None
) -> Company:
    """A new builder, or the account of a warranty's holder."""
    row = Company(
        id=work.new_id(), name=name, address=address, phone=phone, email=email, created_at=work.now,
        kind="owner" if holder_id else "builder", holder_id=holder_id,
    )  # fmt: skip
    work.add(row)
    return row


def person(work: Work, person_id: str) -> Person:
    """The person. Raises `NotFound`."""
    found = work.session.get(Person, person_id)
    if found is None:
        raise NotFound("person", person_id)
    return found


def locked_person(work: Work, person_id: str) -> Person:
    """The person, held against every other writer until this transaction ends. Raises `NotFound`."""
    query = select(Person).where(Person.id == person_id).with_for_update(of=Person)
    found = work.session.scalar(query.execution_options(populate_existing=True))
    if found is None:
        raise NotFound("person", person_id)
    return found


def person_by_email(work: Work, email: str) -> Person | None:
    """The person with this mail address. Addresses are kept in lower case."""
    return work.session.scalar(select(Person).where(Person.email == email.strip().lower()))


def persons(work: Work, *, kind: str | None = None, company_id: str | None = None) -> list[Person]:
    """Persons who may still sign in, by name."""
    asked = {name: value for name, value in (("kind", kind), ("company_id", company_id)) if value}
    return list(work.session.scalars(_persons(*asked), asked))


def persons_by_id(work: Work, kind: str) -> dict[str, Person]:
    """Persons of a kind who may still sign in, by id."""
    return {person.id: person for person in persons(work, kind=kind)}


@cache
def _persons(*asked: str) -> Any:
    query = select(Person).where(Person.active).order_by(Person.name)
    for name in asked:
        query = query.where(getattr(Person, name) == bindparam(name))
    return query


def of_companies(work: Work, company_id: str | None = None) -> list[Person]:
    """Everybody of one company or of all, by name; and behind them those who left, the last of them first."""
    query = select(Person).where(Person.company_id.is_not(None))
    query = query.where(Person.company_id == company_id) if company_id is not None else query
    return list(work.session.scalars(query.order_by(Person.left_at.desc(), Person.name)))


def take_leave(work: Work, person: Person) -> None:
    """Let a person go, who stays for the record only: without rights or password, their mail address free."""
    give_rights(person, ())
    person.active, person.left_at, person.left_email = False, work.now, person.email
    # An id is no mail address: nobody signs in or is found by it, and the address can be invited again.
    person.email = person.id
    person.password_hash, person.password_turn = None, person.password_turn + 1


def add_person(
    work: Work, *, kind: str, name: str, email: str, company_id: str | None = None,
    owner: bool = False, phone: str = "", certificate: str = "", rights: Collection[str] = (),
) -> Person:  # fmt: skip
    """A new person, without a password until the invitation is taken up."""
    row = Person(
        id=work.new_id(), kind=kind, name=name, email=email.strip().lower(), company_id=company_id,
        owner=owner,
        phone=phone, certificate=certificate, password_turn=0, active=True, created_at=work.now,
    )  # fmt: skip
    give_rights(row, rights)
    work.add(row)
    return row


#: Under which column of a person each right is kept.
RIGHT_COLUMNS = {"accept": "may_accept", "money": "may_see_money", "people": "may_manage_people"}


def give_rights(person: Person, rights: Collection[str]) -> None:
    """Have a person hold exactly these rights."""
    for right, column in RIGHT_COLUMNS.items():
        setattr(person, column, right in rights)


def rights_of(row: Any) -> frozenset[str]:
    """The rights in a person's columns."""
    return frozenset(right for right, column in RIGHT_COLUMNS.items() if getattr(row, column))


@dataclass(frozen=True, slots=True)
class OpenSignIn:
    """A sign-in and the person behind it, as every page asks for it: columns, because rows cost more."""

    person_id: str
    name: str
    email: str
    kind: str
    owner: bool
    company_id: str | None
    active: bool
    may_accept: bool
    may_see_money: bool
    may_manage_people: bool
    company: str
    started_at: datetime
    seen_at: datetime


_OPEN_SIGN_IN: Any = (
    select(
        Person.id, Person.name, Person.email, Person.kind, Person.owner, Person.company_id, Person.active,
        Person.may_accept, Person.may_see_money, Person.may_manage_people,
        func.coalesce(Company.name, ""), SignIn.started_at, SignIn.seen_at,
    )
    .join(Person, Person.id == SignIn.person_id)
    .outerjoin(Company, Company.id == Person.company_id)
    .where(SignIn.token_hash == bindparam("token_hash"))
)  # fmt: skip


def sign_in(work: Work, token_hash: str) -> OpenSignIn | None:
    """The open sign-in under this hash."""
    row = work.session.connection().execute(_OPEN_SIGN_IN, {"token_hash": token_hash}).one_or_none()
    return OpenSignIn(*row) if row else None


def add_sign_in(work: Work, token_hash: str, person_id: str) -> None:
    """Open a sign-in."""
    work.add(SignIn(token_hash=token_hash, person_id=person_id, started_at=work.now, seen_at=work.now))


def seen(work: Work, token_hash: str) -> None:
    """Note that the person behind a sign-in was here just now."""
    work.session.execute(update(SignIn).where(SignIn.token_hash == token_hash).values(seen_at=work.now))


def end_sign_in(work: Work, token_hash: str) -> None:
    """Close one sign-in."""
    work.session.execute(delete(SignIn).where(SignIn.token_hash == token_hash))


def end_sign_ins_of(work: Work, person_id: str) -> None:
    """Close all of a person's sign-ins: after a password change nobody stays in with the old one."""
    work.session.execute(delete(SignIn).where(SignIn.person_id == person_id))


def end_sign_ins_before(work: Work, moment: datetime) -> None:
    """Forget sign-ins not seen since `moment`."""
    work.session.execute(delete(SignIn).where(SignIn.seen_at < moment))
