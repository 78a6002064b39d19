"""Payments are recorded, never more than is open, and the last of them brings the warranty into force."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from portal.acts import billing, covering, desk
from portal.core.errors import NotFound
from portal.store.tables import Payment
from tests.parts.house import RATES, TERMS, House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow


def test_a_part_is_paid_then_the_rest(house: House) -> None:
    lot = house.treated()
    whole = house.open_of(lot)

    house.pay(lot, "250.00", reference="2288")

    invoice = house.invoice(lot)
    assert (invoice.state, invoice.paid, invoice.open) == ("part paid", Decimal("250.00"), whole - 250)
    assert (house.sheet(lot).stage, house.warranty(lot).state) == ("part paid", "held")
    assert [(p.amount, p.method, p.reference, p.recorded_by) for p in invoice.payments] == [
        (Decimal("250.00"), "check", "2288", "Terrence Udall")
    ]

    house.pay(lot, str(invoice.open), method="bank transfer")

    assert (house.invoice(lot).state, house.open_of(lot)) == ("paid", 0)
    assert house.sheet(lot).stage == "in force"


@pytest.mark.parametrize(
    ("amount", "said"),
    [
        ("0", "A payment is more than zero."),
        ("0.00", "A payment is more than zero."),
        ("-5", "“-5” is no amount of money; write 1250 or 1,250.00."),
        ("", "Enter an amount: 1250 or 1,250.00."),
        ("1.005", "“1.005” is no amount of money; write 1250 or 1,250.00."),
    ],
)
def test_an_amount_that_cannot_be_is_told_at_its_field(lite: House, amount: str, said: str) -> None:
    lot = lite.treated()  # 505.15, and 7 % of it: 35.36

    assert problems(lambda: lite.pay(lot, amount)) == {"amount": said}
    assert lite.rows(Payment) == 0


def test_other_fields_that_cannot_be_are_told_all_at_once(lite: House) -> None:
    lot = lite.treated()

    found = problems(lambda: lite.pay(lot, "x", method="shells", reference="r" * 81, received_on=None))

    assert list(found) == ["method", "received_on", "amount", "reference"]


def test_money_that_comes_tomorrow_has_not_come(lite: House) -> None:
    lot = lite.treated()
    tomorrow = lite.parts.today() + timedelta(days=1)

    assert problems(lambda: lite.pay(lot, "1", received_on=tomorrow)) == {
        "received_on": "2027-05-05 has not come yet."
    }


def test_what_is_paid_takes_no_more(lite: House) -> None:
    lot = lite.paid()

    assert refusal(lambda: lite.pay(lot, "1")) == "Nothing is open on this invoice: it is paid."


def test_an_invoice_that_is_not_there_is_not_found(lite: House) -> None:
    with pytest.raises(NotFound):
        billing.record_payment(lite.parts, lite.office, "x", "1", "check", "", lite.parts.today(), lite.key())


def test_two_payments_of_the_same_amount_are_two(lite: House) -> None:
    lot = lite.treated()

    for _ in range(2):
        lite.pay(lot, "100")

    assert lite.invoice(lot).paid == 200


def test_full_payment_does_not_release_what_is_kept_held(house: House) -> None:
    lot = house.treated()
    covering.keep_held(house.parts, house.office, lot, "The notice is not posted yet.")

    house.paid(lot)

    assert (house.invoice(lot).state, house.warranty(lot).state, house.sheet(lot).stage) == (
        "paid",
        "held",
        "paid",
    )
    assert house.warranty(lot).reason == "The notice is not posted yet."


def test_full_payment_does_not_release_what_its_terms_release_by_hand(lite: House) -> None:
    lite.enter("terms", TERMS | {"release": "hand"})

    lot = lite.paid()

    assert (lite.sheet(lot).stage, lite.warranty(lot).state) == ("paid", "held")


def test_an_invoice_is_overdue_the_day_after_it_is_due(lite: House) -> None:
    lot = lite.treated()
    due = lite.invoice(lot).document.due_on

    lite.clock.turn_to(due, 23, 59)
    on_the_day = (lite.invoice(lot).overdue, desk.today(lite.parts, lite.office).overdue)
    lite.clock.turn_to(due + timedelta(days=1), 0, 1)

    assert on_the_day == (False, ())
    assert lite.invoice(lot).overdue
    assert [row.lot_id for row in desk.today(lite.parts, lite.office).overdue] == [lot]


def test_what_is_paid_is_never_overdue(lite: House) -> None:
    lot = lite.paid()
    lite.clock.pass_by(days=90)

    assert not lite.invoice(lot).overdue


def test_invoices_are_listed_with_what_is_open_and_summed(house: House) -> None:
    first, second = house.treated(), house.treated()
    house.paid(house.treated())
    house.pay(first, "250.00")
    house.clock.pass_by(days=40)

    page = desk.money(house.parts, house.office, open_only=True)

    assert {row.lot_id: row.open for row in page.rows} == {
        first: Decimal("290.51"),
        second: Decimal("540.51"),
    }
    assert (page.sums.count, page.sums.total, page.sums.paid) == (2, Decimal("1081.02"), Decimal("250.00"))
    assert (page.sums.open, page.sums.overdue) == (Decimal("831.02"), Decimal("831.02"))
    every = desk.money(house.parts, house.office, open_only=False).sums
    assert (every.count, every.open) == (3, Decimal("831.02"))


def test_a_builder_sees_what_its_own_lots_owe(lite: House) -> None:
    lot = lite.treated()

    assert [row.lot_id for row in billing.money_in(lite.parts, lite.builder)] == [lot]


def test_amounts_survive_the_store_to_the_cent(house: House) -> None:
    house.enter("rates", RATES | {"call_out": "1234567.89"})
    lot = house.treated()
    house.pay(lot, "0.01")

    assert house.invoice(lot).paid == Decimal("0.01")
    assert house.open_of(lot) == house.invoice(lot).document.owed.total - Decimal("0.01")


def test_numbers_begin_anew_with_the_year(lite: House) -> None:
    first = lite.treated()
    lite.clock.turn_to(date(2028, 1, 1))
    second = lite.treated()

    assert [lite.invoice(lot).document.number for lot in (first, second)] == [
        "INV-2027-0001",
        "INV-2028-0001",
    ]
