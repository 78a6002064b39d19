"""Types that keep amounts and moments exact, transactions whole or not at all, numbers without gaps."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal
from functools import partial
from itertools import count
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy.exc import StatementError

from portal.core.errors import NotFound, Overtaken
from portal.store import lots, owed, people, trail
from portal.store.tables import Company, NumberSeries, Payment, Subdivision
from portal.store.tables.base import Cents, Moment
from portal.store.transaction import Doubled, Store, connect, is_doubled
from tests.parts.at_once import at_once
from tests.parts.house import House

NOW = datetime(2027, 5, 4, 13, 0, 0, 123456, tzinfo=UTC)


@pytest.fixture
def store(store_url: str) -> Iterator[Store]:
    """A store on a fresh database, whose ids count up."""
    ids = count(1)
    made = Store(connect(store_url), lambda: NOW, lambda: f"id-{next(ids):06}")
    yield made
    made.engine.dispose()


class Back(Exception):
    """Undoes a transaction on purpose."""


def company(store: Store, name: str = "Harrow & Finch Homes") -> str:
    with store.writing() as work:
        return people.add_company(work, name=name, address="", phone="", email="").id


@pytest.mark.parametrize("amount", ["0.00", "0.01", "-0.01", "1234567.89", "92233720368547.58"])
def test_an_amount_comes_back_to_the_cent(house: House, amount: str) -> None:
    lot = house.treated()
    invoice = house.invoice(lot).id
    with house.parts.store.writing() as work:
        payment = owed.add_payment(
            work, company_id=house.builder.company_id or "", amount=Decimal(amount), method="other",
            reference="", by="x", received_on=house.parts.today(),
        )  # fmt: skip
        owed.allocate(work, payment_id=payment.id, invoice_id=invoice, amount=Decimal(amount), by="x")

    with house.parts.store.reading() as work:
        row = work.session.query(Payment).one()
        assert (row.amount, str(row.amount)) == (Decimal(amount), amount)
        assert owed.paid(work, invoice) == Decimal(amount)


@pytest.mark.parametrize("amount", ["0.001", "1.005"])
def test_part_of_a_cent_is_no_amount(amount: str) -> None:
    with pytest.raises(ValueError, match="to the cent"):
        Cents().process_bind_param(Decimal(amount), None)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "moment",
    [
        NOW,
        datetime(2027, 5, 4, 8, tzinfo=ZoneInfo("America/Chicago")),
        datetime(2027, 11, 7, 1, 30, fold=1, tzinfo=ZoneInfo("America/Chicago")),
        datetime(2027, 5, 4, 8, 0, 0, 1, tzinfo=timezone(timedelta(hours=5, minutes=45))),
    ],
)
def test_a_moment_comes_back_as_the_same_moment_in_utc(store_url: str, moment: datetime) -> None:
    store = Store(connect(store_url), lambda: moment, lambda: "id")
    company(store)

    with store.reading() as work:
        found = work.session.query(Company).one().created_at
    store.engine.dispose()

    assert found == moment.astimezone(UTC)
    assert found.tzinfo is UTC


def test_a_moment_without_a_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="without a zone"):
        Moment().process_bind_param(datetime(2027, 5, 4), None)  # type: ignore[arg-type]


def test_leaving_with_an_error_undoes_everything(store: Store) -> None:
    with pytest.raises(Back), store.writing() as work:  # noqa: PT012
        people.add_company(work, name="Gone", address="", phone="", email="")
        raise Back

    with store.reading() as work:
        assert people.companies(work) == []


def test_reading_leaves_nothing_behind(store: Store) -> None:
    with store.reading() as work:
        people.add_company(work, name="Gone", address="", phone="", email="")

    with store.reading() as work:
        assert people.companies(work) == []


def test_reading_sees_one_moment_however_long_it_takes(store: Store) -> None:
    company(store, "First")
    with store.reading() as work:
        before = [row.name for row in people.companies(work)]
        company(store, "Second")
        after = [row.name for row in people.companies(work)]

    assert before == after == ["First"]


def test_a_key_that_is_taken_is_told_from_a_fault_of_ours(store: Store) -> None:
    company(store, "Twice")

    with pytest.raises(Overtaken) as doubled:
        company(store, "Twice")
    with pytest.raises(Exception, match=r"(?i)foreign key") as fault, store.writing() as work:
        work.add(Subdivision(id="x", company_id="nobody", name="Quarry Bend"))

    assert isinstance(doubled.value, Doubled) and is_doubled(doubled.value)
    assert not is_doubled(fault.value) and not isinstance(fault.value, Overtaken)


def test_a_float_is_no_amount_to_the_store_either(store: Store) -> None:
    with pytest.raises((StatementError, TypeError, ValueError)), store.writing() as work:
        owed.add_payment(
            work, company_id="x", amount=0.1, method="other", reference="", by="x",  # type: ignore[arg-type]
            received_on=NOW.date(),
        )  # fmt: skip


def take(store: Store, draw: random.Random, taken: list[str]) -> None:
    """A hundred numbers, of which some are given back."""
    for _ in range(100):
        try:
            with store.writing() as work:
                number = owed.next_number(work, "INV", 2027)
                if draw.random() < 0.2:
                    raise Back
        except Back:
            continue
        taken.append(number)


def test_numbers_have_no_gaps_and_no_doubles_however_many_take_them(store: Store) -> None:
    taken: list[str] = []

    answers = at_once(*[partial(take, store, random.Random(seed), taken) for seed in (1, 2)])

    assert answers == [None, None]
    assert sorted(taken) == [f"INV-2027-{n:04}" for n in range(1, len(taken) + 1)]
    assert 100 < len(taken) < 200
    with store.reading() as work:
        assert work.session.query(NumberSeries).one().last == len(taken)


def test_each_series_and_year_counts_for_itself(store: Store) -> None:
    with store.writing() as work:
        found = [
            owed.next_number(work, *of) for of in (("INV", 2027), ("Q", 2027), ("INV", 2028), ("INV", 2027))
        ]

    assert found == ["INV-2027-0001", "Q-2027-0001", "INV-2028-0001", "INV-2027-0002"]


def test_more_than_9999_in_a_year_go_on(store: Store) -> None:
    with store.writing() as work:
        work.add(NumberSeries(name="INV-2027", last=9999))

    with store.writing() as work:
        assert owed.next_number(work, "INV", 2027) == "INV-2027-10000"


@pytest.mark.parametrize("find", [lots.lot, lots.locked, lots.takeoff, owed.invoice, owed.locked_invoice,
                                  people.person, people.locked_person, people.company,
                                  trail.letter])  # fmt: skip
def test_what_is_not_there_is_not_found(store: Store, find: object) -> None:
    with store.writing() as work, pytest.raises(NotFound):
        find(work, "x")  # type: ignore[operator]
