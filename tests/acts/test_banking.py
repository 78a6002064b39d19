"""A bank's list: its lines are kept once, proposals are shown, and a person records each of them once."""

from __future__ import annotations

from decimal import Decimal

import pytest

from portal.acts import accounts, bank_lines, banking, bouncing, paying
from portal.acts.bank_lines import LineView
from portal.acts.paying import Typed
from portal.core.errors import NotFound, Refused
from portal.store.tables import BankLine, Payment
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

D = Decimal
HEAD = "Date,Description,Amount\n"


def read(house: House, *lines: str, head: str = HEAD) -> str:
    data = (head + "".join(f"{line}\n" for line in lines)).encode()
    return banking.read(house.parts, house.office, "May", data, house.key())


def keep(house: House, *lines: str, days: str = "month") -> str:
    list_id = read(house, *lines)
    banking.name_columns(house.parts, house.office, list_id, ["day", "text", "amount"], days, "point")
    return list_id


def lines(house: House, list_id: str, show: str = "") -> tuple[LineView, ...]:
    return bank_lines.look(house.parts, house.office, list_id, show).lines


def take(house: House, line: LineView, key: str = "", **more: object) -> str:
    """Record what is proposed first."""
    one = line.proposed[0]
    chosen = {pays.invoice_id: str(pays.amount) for pays in one.pays}
    typed = bank_lines.typed_for(
        line, how="chosen" if chosen else "none", chosen=chosen, keep=str(one.rest), **more
    )
    return bank_lines.take(house.parts, house.office, line.id, one.company_id, typed, key or house.key())


def test_a_line_is_matched_and_recorded_once_somebody_says_so(house: House) -> None:
    lot = house.treated()
    list_id = keep(house, "5/4/2027,WIRE HARROW INV-2027-0001,540.51", "5/4/2027,Fee,-12.00")
    (line,) = lines(house, list_id)
    assert line.proposed[0].pays[0].number == "INV-2027-0001"
    assert house.rows(Payment) == 0  # nothing is booked by itself

    payment = take(house, line)

    assert house.open_of(lot) == 0 and house.warranty(lot).state == "in force"
    shown = accounts.payment(house.parts, house.office, payment).row
    assert (shown.method, shown.reference, shown.amount) == (
        "bank transfer", "WIRE HARROW INV-2027-0001", D("540.51"),
    )  # fmt: skip
    assert lines(house, list_id) == () and lines(house, list_id, "taken")[0].payment_id == payment
    once_more = "Something was made of this line already, by Terrence Udall."
    assert refusal(lambda: take(house, line)) == once_more
    (out,) = lines(house, list_id, "out")
    assert (out.amount, out.proposed) == (-12, ())
    assert refusal(lambda: bank_lines.set_aside(house.parts, house.office, out.id, "")).startswith(
        "This left"
    )


def test_a_list_that_is_sent_again_or_overlaps_enters_no_line_twice(house: House) -> None:
    same = "5/3/2027,Deposit,100.00"
    keep(house, same, same, "5/3/2027,Other,5.00")

    again = keep(house, same, same, "5/3/2027,Other,5.00")
    later = keep(house, "05/03/2027,deposit,$100.00", same, same, "5/4/2027,Deposit,100.00")

    assert house.rows(BankLine) == 5
    views = {one.id: one for one in banking.newest(house.parts, house.office)}
    assert (views[again].before, views[again].rows) == (3, 0)
    # Of three alike two were here; the third of that day, and the next day's, are new.
    assert (views[later].before, views[later].rows) == (2, 2)


def test_headings_are_remembered_and_nothing_is_left_out_in_silence(lite: House) -> None:
    head = "When,Whatever,How much\n"
    list_id = read(lite, "5/3/2027,x,5.00", "soon,y,7", head=head)
    assert banking.preview(lite.parts, lite.office, list_id).list.naming == ("", "", "")
    named = ["day", "text", "amount"]

    found = problems(lambda: banking.name_columns(lite.parts, lite.office, list_id, named, "month", "point"))
    assert found == {"": "Line 3: “soon” is no day."}
    wrong = problems(lambda: banking.name_columns(lite.parts, lite.office, list_id, ["day"], "x", "y"))
    assert list(wrong) == ["", "days", "decimal"]
    assert lite.rows(BankLine) == 0

    other = read(lite, "5/3/2027,x,5.00", head=head)
    banking.name_columns(lite.parts, lite.office, other, named, "month", "point")
    assert banking.preview(lite.parts, lite.office, read(lite, "5/4/2027,z,6", head=head)).list.naming == (
        "day", "text", "amount",
    )  # fmt: skip
    assert refusal(
        lambda: banking.name_columns(lite.parts, lite.office, other, named, "month", "point")
    ).startswith("This list was read already")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "There is nothing in it"), (b"PK\x03\x04x", "spreadsheet"), (b"%PDF-1.7", "PDF"),
        (b"Date,Amount\n", "There is no line below"), (b'Date,Amount\n"5/3/2027,5', "cannot be read"),
        (b"Date,Amount\n\x00,1", "no text"), (b"x" * 2_000_001, "larger than 2 MB"),
    ],
)  # fmt: skip
def test_what_is_no_list_is_refused_at_its_field(lite: House, data: bytes, said: str) -> None:
    found = problems(lambda: banking.read(lite.parts, lite.office, "x", data, lite.key()))
    assert list(found) == ["file"] and said in found["file"]


def test_a_payment_that_was_recorded_by_hand_is_not_recorded_again(house: House) -> None:
    lot = house.treated()
    house.pay(lot, "540.51", reference="2288")
    payment = house.invoice(lot).payments[0].id
    list_id = keep(house, "5/4/2027,CHECK 2288,540.51", "5/4/2027,CHECK 2289,540.51", "5/4/2027,X,7.00")
    one, two, three = lines(house, list_id)
    assert one.proposed[0].payment_id == payment

    bank_lines.known_already(house.parts, house.office, one.id, payment)
    bank_lines.known_already(house.parts, house.office, one.id, payment)  # pressed twice

    assert house.rows(Payment) == 1
    assert refusal(lambda: bank_lines.known_already(house.parts, house.office, two.id, payment)).startswith(
        "Another line"
    )
    assert refusal(lambda: bank_lines.known_already(house.parts, house.office, three.id, payment)).startswith(
        "The payment is of 540.51"
    )
    # It stands behind a line now, and is proposed for no other.
    assert not any(p.payment_id for line in lines(house, list_id) for p in line.proposed)


def test_a_payment_that_bounced_is_not_proposed(lite: House) -> None:
    lot = lite.treated()
    lite.pay(lot, "540.51")
    payment = lite.invoice(lot).payments[0].id
    bouncing.bounce(lite.parts, lite.office, payment, "bounced", lite.parts.today(), "No funds.", lite.key())

    (line,) = lines(lite, keep(lite, "5/4/2027,X,540.51"))

    assert [one.payment_id for one in line.proposed] == [""]


def test_a_line_is_set_aside_and_taken_up_again(lite: House) -> None:
    list_id = keep(lite, "5/4/2027,Interest,1.00")
    (line,) = lines(lite, list_id)

    bank_lines.set_aside(lite.parts, lite.office, line.id, "The bank’s interest.")
    assert lines(lite, list_id) == () and lines(lite, list_id, "aside")[0].reason == "The bank’s interest."
    bank_lines.take_up(lite.parts, lite.office, line.id)

    assert len(lines(lite, list_id)) == 1
    assert (
        refusal(lambda: bank_lines.take_up(lite.parts, lite.office, line.id)) == "This line is not set aside."
    )
    assert list(problems(lambda: bank_lines.set_aside(lite.parts, lite.office, line.id, "x" * 501))) == [
        "reason"
    ]


def test_a_list_that_was_read_wrong_is_thrown_away_until_something_is_decided(lite: House) -> None:
    lite.treated()
    wrong = keep(lite, "5/4/2027,INV-2027-0001,540.51", days="day")
    assert lines(lite, wrong)[0].day.month == 4
    banking.drop(lite.parts, lite.office, wrong)
    with pytest.raises(NotFound):
        lines(lite, wrong)

    right = keep(lite, "5/4/2027,INV-2027-0001,540.51")
    take(lite, lines(lite, right)[0])
    assert refusal(lambda: banking.drop(lite.parts, lite.office, right)).startswith("Something of this list")


def test_a_line_is_for_another_builder_or_other_invoices_where_somebody_says_so(lite: House) -> None:
    lite.treated()
    (line,) = lines(lite, keep(lite, "5/4/2027,INV-2027-0001,540.51"))
    rival = lite.rival.company_id or ""

    typed = bank_lines.typed_for(line, how="oldest")
    assert list(problems(lambda: bank_lines.take(lite.parts, lite.office, line.id, rival, typed, "k"))) == [
        "keep"
    ]
    # Amount and day are the line's, whatever is sent.
    other = Typed("1.00", "check", "9", None, "none")
    bank_lines.take(lite.parts, lite.office, line.id, rival, other, "k")

    account = accounts.account(lite.parts, lite.office, rival)
    assert account.credit == D("540.51") and str(account.payments[0].received_on) == "2027-05-04"


def test_two_people_record_the_same_line_at_once_and_it_is_one_payment(house: House) -> None:
    lot = house.treated()
    (line,) = lines(house, keep(house, "5/4/2027,INV-2027-0001,540.51"))

    answers = at_once(*(lambda n=n: take(house, line, key=f"k{n}") for n in range(3)))  # type: ignore[misc]

    assert sum(isinstance(one, str) for one in answers) == 1, answers
    assert all(isinstance(one, str | Refused) for one in answers), answers
    assert (house.rows(Payment), house.open_of(lot)) == (1, 0)


def test_the_same_press_sent_twice_is_done_once(lite: House) -> None:
    lite.treated()
    (line,) = lines(lite, keep(lite, "5/4/2027,INV-2027-0001,540.51"))

    assert take(lite, line, key="same") == take(lite, line, key="same")
    assert lite.rows(Payment) == 1


def test_a_line_and_a_payment_by_hand_at_once_pay_an_invoice_once(house: House) -> None:
    lot = house.treated()
    (line,) = lines(house, keep(house, "5/4/2027,INV-2027-0001,540.51"))
    company = house.builder.company_id or ""
    typed = Typed("540.51", "check", "1", house.parts.today())

    at_once(
        lambda: take(house, line, key="a"),
        lambda: paying.receive_payment(house.parts, house.office, company, typed, "b"),
    )

    assert house.open_of(lot) == 0 and house.rows(Payment) == 1
