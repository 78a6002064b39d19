"""Payments by builder: oldest first, chosen, over, kept; and what did not hold, was refunded, written off."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from portal.acts import accounts, billing_terms, bouncing, crediting, desk, paying, using_credit
from portal.acts.paying import Typed
from portal.core.errors import BadInput, NotFound, Refused
from portal.core.money import ledger
from portal.store import books, owed
from portal.store.tables import Adjustment, Payment, Posting
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

D = Decimal
WHOLE = D("540.51")  # what each lot here owes: 505.15, and 7 % of it


def typed(house: House, amount: str, **changes: Any) -> Typed:
    given: dict[str, Any] = {"method": "check", "reference": "77", "received_on": house.parts.today()}
    return Typed(amount, **given | changes)


def receive(house: House, amount: str, key: str = "", **changes: Any) -> str:
    company = house.builder.company_id or ""
    return paying.receive_payment(
        house.parts, house.office, company, typed(house, amount, **changes), key or house.key()
    )  # fmt: skip


def account(house: House) -> accounts.Account:
    return accounts.account(house.parts, house.office, house.builder.company_id or "")


def opens(house: House, *lots: str) -> list[Decimal]:
    return [house.open_of(lot) for lot in lots]


def ids(house: House, *lots: str) -> list[str]:
    return [house.invoice(lot).id for lot in lots]


def bounce(house: House, payment: str, kind: str = "bounced", key: str = "") -> None:
    today = house.parts.today()
    bouncing.bounce(house.parts, house.office, payment, kind, today, "No funds.", key or house.key())


def refund(house: House, amount: str, **changes: Any) -> None:
    given: dict[str, Any] = {"method": "check", "reference": "R1", "on": house.parts.today(),
                             "reason": "Paid twice."} | changes  # fmt: skip
    company = house.builder.company_id or ""
    using_credit.refund(house.parts, house.office, company, amount, once_key=house.key(), **given)


def check_books(house: House) -> None:
    """All postings add up to nothing, no invoice is under zero, and credit is what its parts come to."""
    company = house.builder.company_id or ""
    with house.parts.store.reading() as work:
        rows = work.session.query(Posting).all()
        assert sum((row.amount for row in rows), D(0)) == 0
        asked: dict[str, Decimal] = {}
        for row in rows:
            if row.account in ledger.ASKED and row.invoice_id:
                asked[row.invoice_id] = asked.get(row.invoice_id, D(0)) + row.amount
        assert all(amount >= 0 for amount in asked.values()), asked
        for invoice, amount in asked.items():
            # Without credit notes, write-offs and discounts, an invoice is open by what does not pay it.
            assert books.open_of(work, invoice) == amount
        credit = books.credit_of(work, company)
    kept = sum((row.kept for row in account(house).payments), D(0))
    lent = sum((row.refunded for row in account(house).payments if row.bounced_on), D(0))
    assert credit == kept - lent


def test_a_payment_pays_the_oldest_first_and_goes_as_far_as_it_goes(house: House) -> None:
    first = house.treated()
    house.clock.pass_by(days=1)
    second = house.treated()
    third = house.treated()

    receive(house, "1000")

    assert opens(house, first, second, third) == [0, 2 * WHOLE - 1000, WHOLE]
    assert [house.invoice(lot).state for lot in (first, second, third)] == ["paid", "part paid", "issued"]
    assert house.warranty(first).state == "in force" and house.warranty(second).state == "held"
    (row,) = account(house).payments
    assert [(part.lot_id, part.amount) for part in row.pays] == [(first, WHOLE), (second, 1000 - WHOLE)]
    check_books(house)


def test_a_payment_pays_chosen_invoices(lite: House) -> None:
    first, second = lite.treated(), lite.treated()
    one, two = ids(lite, first, second)

    receive(lite, "300", how="chosen", chosen={two: "200", one: "100"})

    assert opens(lite, first, second) == [WHOLE - 100, WHOLE - 200]
    check_books(lite)


def test_what_is_chosen_is_never_more_than_is_open_or_than_came(lite: House) -> None:
    first, second = lite.treated(), lite.treated()
    one, two = ids(lite, first, second)

    found = problems(lambda: receive(lite, "600", how="chosen", chosen={one: "540.52", two: "100"}))
    assert found == {
        f"part-{one}": "540.51 USD is open on INV-2027-0001; 540.52 USD would be too much.",
        "amount": "The parts come to 640.52 USD, and 600.00 USD came.",
    }
    assert list(problems(lambda: receive(lite, "600", how="chosen", chosen={one: "x"}))) == [f"part-{one}"]
    assert list(problems(lambda: receive(lite, "600", how="chosen"))) == ["how"]
    assert list(problems(lambda: receive(lite, "600", how="any"))) == ["how"]
    assert lite.rows(Payment) == 0


def test_more_than_is_open_is_kept_as_credit_once_that_is_said(lite: House) -> None:
    lot = lite.treated()

    said = problems(lambda: receive(lite, "600"))
    assert said == {
        "keep": "59.49 USD more came than is open. Tick this to keep it as the builder’s credit, or correct "
        "the amount."
    }
    assert list(problems(lambda: receive(lite, "600", keep="59.48"))) == ["keep"]
    receive(lite, "600", keep="59.49")

    assert lite.open_of(lot) == 0 and account(lite).credit == D("59.49")
    check_books(lite)


def test_a_payment_may_be_for_no_invoice_at_all(lite: House) -> None:
    lot = lite.treated()

    receive(lite, "100", how="none")

    assert (lite.open_of(lot), account(lite).credit) == (WHOLE, 100)


def test_credit_is_used_on_an_invoice_and_no_more_than_there_is(lite: House) -> None:
    receive(lite, "100", how="none")
    receive(lite, "50", how="none")
    lot = lite.treated()
    (one,) = ids(lite, lot)
    company = lite.builder.company_id or ""

    def use(amount: str) -> None:
        using_credit.use_credit(lite.parts, lite.office, company, {one: amount}, lite.key())

    assert problems(lambda: use("150.01")) == {
        "how": "The parts come to 150.01 USD, and the credit is 150.00 USD."
    }
    use("120")

    assert (lite.open_of(lot), account(lite).credit) == (WHOLE - 120, 30)
    # The older of the two went first.
    assert {row.amount: row.kept for row in account(lite).payments} == {D(100): 0, D(50): 30}
    assert "credit used" in lite.verbs(lot)
    check_books(lite)


def test_another_builders_invoice_is_not_there(lite: House) -> None:
    lot = lite.treated()
    (one,) = ids(lite, lot)
    rival = lite.rival.company_id or ""

    with pytest.raises(NotFound):
        paying.receive_payment(lite.parts, lite.office, rival,
                               typed(lite, "5", how="chosen", chosen={one: "5"}), lite.key())  # fmt: skip
    with pytest.raises(NotFound):
        receive(lite, "5", how="chosen", chosen={"x": "5"})
    with pytest.raises(NotFound):
        paying.receive_payment(lite.parts, lite.office, "x", typed(lite, "5"), lite.key())


def test_a_payment_that_bounced_opens_what_it_paid(house: House) -> None:
    first, second = house.treated(), house.treated()
    payment = receive(house, "600")
    before = house.letters()

    bounce(house, payment)

    assert opens(house, first, second) == [WHOLE, WHOLE]
    assert [house.invoice(lot).state for lot in (first, second)] == ["issued", "issued"]
    # There is no way back for a warranty: it stays in force, and the office is told.
    assert house.warranty(first).state == "in force" and house.sheet(first).stage == "in force"
    told = [letter for letter in house.letters() if letter not in before]
    assert sorted(told) == [
        ("bounced", "harriet@example.com"),
        ("bounced_office", "odile@example.com"),
        ("bounced_office", "terrence@example.com"),
    ]
    assert [row.lot_id for row in desk.today(house.parts, house.office).unpaid] == [first]
    assert refusal(lambda: bounce(house, payment)).startswith("It is recorded already")
    assert house.rows(Adjustment) == 1
    check_books(house)

    receive(house, str(2 * WHOLE))
    assert desk.today(house.parts, house.office).unpaid == ()
    check_books(house)


def test_what_was_entered_by_mistake_is_undone_without_a_letter_to_the_builder(lite: House) -> None:
    lot = lite.treated()
    payment = receive(lite, "100")
    before = lite.letters()

    bounce(lite, payment, "mistake")

    assert lite.open_of(lot) == WHOLE and lite.letters() == before


def test_a_bounce_has_its_day_kind_and_reason(lite: House) -> None:
    lite.treated()
    payment = receive(lite, "100")
    today = lite.parts.today()

    def act(kind: str = "bounced", on: Any = today, reason: str = "No funds.") -> None:
        bouncing.bounce(lite.parts, lite.office, payment, kind, on, reason, lite.key())

    assert list(problems(lambda: act(kind="burnt", reason=" "))) == ["kind", "reason"]
    assert list(problems(lambda: act(on=None))) == ["on"]
    assert list(problems(lambda: act(on=today + timedelta(days=1)))) == ["on"]
    assert list(problems(lambda: act(on=today - timedelta(days=1)))) == ["on"]
    assert lite.rows(Adjustment) == 0


def test_credit_of_a_check_that_bounced_is_gone_and_what_it_paid_later_is_owed_again(lite: House) -> None:
    payment = receive(lite, "700", how="none")
    lot = lite.treated()
    (one,) = ids(lite, lot)
    using_credit.use_credit(
        lite.parts, lite.office, lite.builder.company_id or "", {one: "540.51"}, lite.key()
    )
    assert (lite.open_of(lot), account(lite).credit) == (0, D("159.49"))

    bounce(lite, payment)

    assert (lite.open_of(lot), account(lite).credit) == (WHOLE, 0)
    check_books(lite)


def test_what_was_refunded_of_a_check_that_bounced_is_owed_back_first(house: House) -> None:
    lot = house.treated()
    payment = receive(house, "600", keep="59.49")
    refund(house, "50")
    assert account(house).credit == D("9.49")

    bounce(house, payment)

    assert (house.open_of(lot), account(house).credit) == (WHOLE, -50)
    check_books(house)
    assert refusal(lambda: using_credit.use_credit(
        house.parts, house.office, house.builder.company_id or "", {ids(house, lot)[0]: "1"}, house.key()
    )) == "There is no credit to use."  # fmt: skip

    receive(house, "40")  # all of it goes to what is owed back
    assert (house.open_of(lot), account(house).credit) == (WHOLE, -10)
    receive(house, "550.51")
    assert (house.open_of(lot), account(house).credit) == (0, 0)
    check_books(house)


def test_other_credit_makes_up_for_what_was_refunded_of_a_check_that_bounced(lite: House) -> None:
    payment = receive(lite, "80", how="none")
    refund(lite, "60")
    receive(lite, "100", how="none")
    assert account(lite).credit == 120

    bounce(lite, payment)

    assert account(lite).credit == 40
    assert list(problems(lambda: refund(lite, "40.01"))) == ["amount"]
    refund(lite, "40")
    assert account(lite).credit == 0
    check_books(lite)


def test_a_credit_notes_credit_pays_its_invoice_again_when_the_check_for_it_bounces(lite: House) -> None:
    lot = lite.treated()
    payment = receive(lite, str(WHOLE))
    (one,) = ids(lite, lot)
    take_back(lite, one, WHOLE)
    assert (lite.open_of(lot), account(lite).credit) == (0, WHOLE)

    bounce(lite, payment)

    assert (lite.open_of(lot), account(lite).credit) == (0, 0)
    assert lite.invoice(lot).state == "credited"


def test_a_credit_note_that_was_refunded_leaves_its_invoice_owed_when_the_check_bounces(lite: House) -> None:
    lot = lite.treated()
    payment = receive(lite, str(WHOLE))
    take_back(lite, ids(lite, lot)[0], WHOLE)
    refund(lite, "500")

    bounce(lite, payment)

    assert (lite.open_of(lot), account(lite).credit) == (500, 0)


def take_back(lite: House, invoice_id: str, amount: Decimal) -> None:
    """A whole credit note of a paid invoice, as its own act makes it: all of it is the builder's credit."""
    from portal.acts.posting import post
    from portal.acts.settling import settle
    from portal.core.documents import InvoiceDocument, from_stored
    from portal.store.tables import CreditNote

    with lite.parts.store.writing() as work:
        invoice = owed.locked_invoice(work, invoice_id)
        note = CreditNote(
            id=work.new_id(), number="CN-1", invoice_id=invoice.id, company_id=invoice.company_id,
            document={}, fingerprint="", total=amount, issued_on=lite.parts.today(),
        )  # fmt: skip
        work.add(note)
        offer = from_stored(InvoiceDocument, invoice.document).owed
        post(lite.parts, work, lite.office, "credited", "CN-1", ledger.credited(
            invoice.id, offer, receivable=D(0), retainage=D(0), credit=amount
        ), company_id=invoice.company_id, source_id=note.id)  # fmt: skip
        settle(lite.parts, work, lite.office, invoice)


def test_a_refund_is_not_more_than_the_credit_and_has_its_reason(lite: House) -> None:
    receive(lite, "100", how="none")

    assert problems(lambda: refund(lite, "100.01")) == {
        "amount": "The credit is 100.00 USD; 100.01 USD would be too much."
    }
    found = problems(lambda: refund(lite, "0", method="shells", reason=" ", on=None, reference="r" * 81))
    assert list(found) == ["amount", "method", "on", "reference", "reason"]
    refund(lite, "100")
    assert account(lite).credit == 0
    assert [row[1] for row in account(lite).refunds] == [100]
    check_books(lite)


def test_what_nobody_will_pay_is_written_off_by_an_owner(lite: House) -> None:
    lot = lite.treated()
    (one,) = ids(lite, lot)
    lite.pay(lot, "500")

    def act(amount: str, reason: str = "Gone out of business.") -> None:
        bouncing.write_off(lite.parts, lite.owner, one, amount, reason, lite.key())

    assert problems(lambda: act("40.52")) == {"amount": "40.51 USD is open; 40.52 USD would be too much."}
    assert list(problems(lambda: act("0", " "))) == ["amount", "reason"]
    act("40.51")

    assert (lite.open_of(lot), lite.invoice(lot).state) == (0, "written off")
    assert lite.warranty(lot).state == "held"  # by its terms full payment brings it into force, this is none


def test_the_same_form_sent_twice_is_done_once(house: House) -> None:
    lot = house.treated()
    first, second = (receive(house, "100", key="same") for _ in range(2))

    assert first == second and house.open_of(lot) == WHOLE - 100
    bounce(house, first, key="b")
    bounce(house, first, key="b")
    assert house.open_of(lot) == WHOLE
    assert refusal(lambda: receive(house, "101", key="same")).startswith("This form was sent before")


def test_two_people_pay_the_same_invoices_at_once_and_nothing_is_paid_twice(house: House) -> None:
    lots = [house.treated() for _ in range(3)]
    calls = [lambda key=f"k{n}": receive(house, "540.51", key=key) for n in range(4)]

    answers = at_once(*calls)

    # Three are paid; for the fourth nothing is open, and it was not said that it may be kept.
    done = [one for one in answers if isinstance(one, str)]
    assert len(done) == 3, answers
    assert opens(house, *lots) == [0, 0, 0] and account(house).credit == 0
    check_books(house)


def test_two_people_use_the_same_credit_at_once_and_it_is_used_once(house: House) -> None:
    receive(house, "100", how="none")
    lots = [house.treated() for _ in range(2)]
    company = house.builder.company_id or ""
    calls = [
        lambda one=one: using_credit.use_credit(house.parts, house.office, company, {one: "100"}, f"c{one}")
        for one in ids(house, *lots)
    ]

    answers = at_once(*calls)

    assert sum(answer is None for answer in answers) == 1, answers
    assert account(house).credit == 0 and sum(opens(house, *lots)) == 2 * WHOLE - 100
    check_books(house)


def test_a_check_bounces_once_however_many_say_so_at_once(house: House) -> None:
    lot = house.treated()
    payment = receive(house, "300")

    answers = at_once(*(lambda n=n: bounce(house, payment, key=f"b{n}") for n in range(3)))

    assert sum(answer is None for answer in answers) == 1
    assert all(isinstance(answer, Refused) for answer in answers if answer is not None), answers
    assert house.open_of(lot) == WHOLE
    check_books(house)


def test_a_payment_and_a_bounce_and_a_write_off_at_once_leave_the_books_whole(house: House) -> None:
    lots = [house.treated() for _ in range(3)]
    payment = receive(house, "600")
    two = ids(house, lots[1])[0]

    answers = at_once(
        lambda: bounce(house, payment, key="b"),
        lambda: receive(house, "700", key="r"),
        lambda: bouncing.write_off(house.parts, house.owner, two, "100", "Gone.", "w"),
        lambda: house.pay(lots[2], "5", key="p"),
    )

    # Whoever comes too late is told so; nobody waits for the other for ever, and nothing breaks.
    assert all(one is None or isinstance(one, str | Refused | BadInput) for one in answers), answers
    check_books(house)


def test_a_builder_sees_its_own_payments_and_credit(lite: House) -> None:
    lot = lite.treated()
    receive(lite, "600", keep="59.49")

    mine = accounts.own_account(lite.parts, lite.builder)

    assert mine.credit == D("59.49") and [row.pays[0].lot_id for row in mine.payments] == [lot]
    assert accounts.own_account(lite.parts, lite.rival).payments == ()


def soon(house: House) -> str:
    """A lot whose terms let 2 % off if it is paid within ten days: 10.81 of 540.51."""
    company = house.builder.company_id or ""
    known = billing_terms.terms_of(house.parts, house.owner, company).document
    typed_terms = dict(known) | {"prompt_percent": "2", "prompt_days": "10"}
    billing_terms.enter_terms(house.parts, house.owner, company, typed_terms, house.key())
    return house.treated()


def test_what_the_terms_let_off_is_taken_where_the_rest_is_paid_in_time(lite: House) -> None:
    lot = soon(lite)
    (row,) = account(lite).owing
    assert (row.off, row.off_until) == (D("10.81"), lite.parts.today() + timedelta(days=10))

    payment = receive(lite, "529.70")

    assert (lite.open_of(lot), lite.invoice(lot).state, lite.warranty(lot).state) == (0, "paid", "in force")
    shown = accounts.payment(lite.parts, lite.office, payment).row
    assert [(part.amount, part.off) for part in shown.pays] == [(D("529.70"), D("10.81"))]
    bounce(lite, payment)
    assert lite.open_of(lot) == WHOLE
    check_books(lite)


def test_what_comes_too_late_or_is_too_little_lets_nothing_off(lite: House) -> None:
    lot = soon(lite)
    receive(lite, "500")
    assert lite.open_of(lot) == D("40.51")
    lite.clock.pass_by(days=11)
    receive(lite, "29.70")
    assert lite.open_of(lot) == D("10.81")


def test_what_was_let_off_and_credited_is_not_asked_for_again(lite: House) -> None:
    lot = soon(lite)
    payment = receive(lite, "529.70")
    crediting.credit(lite.parts, lite.office, ids(lite, lot)[0], {}, True, "Not ours.", lite.key())
    assert account(lite).credit == D("529.70")

    bounce(lite, payment)

    assert (lite.open_of(lot), account(lite).credit, lite.invoice(lot).state) == (0, 0, "credited")
    check_books(lite)
