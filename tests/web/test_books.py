"""The books through the office's pages: what they say, what is taken away, how a month is closed."""

from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal

import pytest
from flask.testing import FlaskClient

from portal.store.tables import ClosedMonth
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def office(visits: Visits) -> FlaskClient:
    """Somebody of the office at their browser."""
    return visits.by(visits.house.office)


def rows(content: bytes) -> list[dict[str, str]]:
    """The lines of a CSV, by its header, as Python's own reader has them."""
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def test_a_trial_balance_leads_to_its_accounts_and_they_to_the_invoice(
    visits: Visits, office: FlaskClient
) -> None:
    lot = visits.house.treated()
    number, total = visits.house.invoice(lot).document.number, visits.house.open_of(lot)

    shown = office.get("/office/books")
    account = office.get("/office/books/account?name=receivable")
    entry = office.get("/office/books/entry/1")

    assert f"${total}" in text_of(shown) and "account?name=receivable" in shown.get_data(as_text=True)
    assert f"Invoice {number}" in text_of(account) and f"/lots/{lot}/invoice" in account.get_data(
        as_text=True
    )
    assert text_of(entry).count(f"${total}") == 3  # the receivable, and both sides


def test_an_account_carries_its_balance_over_the_days_before(visits: Visits, office: FlaskClient) -> None:
    house = visits.house
    lot = house.treated()
    total = house.open_of(lot)
    house.clock.pass_by(days=3)
    house.pay(lot, "100")

    shown = text_of(office.get("/office/books/account?name=receivable&since=2027-05-05&until=2027-05-31"))

    assert f"Before ${total}" in shown and f"${total - 100}" in shown and "−$100.00" in shown
    assert office.get("/office/books/account?name=nothing").status_code == 404
    assert office.get("/office/books/entry/99").status_code == 404


@pytest.mark.parametrize("place", ["account?name=receivable&", "tax-owed?"])
@pytest.mark.parametrize(
    ("typed", "at", "says"),
    [
        ("since=5/4/27", "since", "“5/4/27” is no day; write it as 2027-03-09."),
        ("until=2027-02-30", "until", "“2027-02-30” is no day; write it as 2027-03-09."),
        ("since=2027-05-04&until=2027-05-03", "until", "May 3, 2027 is before May 4, 2027."),
    ],
)
def test_days_that_cannot_be_are_told_beside_their_field(
    visits: Visits, office: FlaskClient, place: str, typed: str, at: str, says: str
) -> None:
    visits.house.treated()

    answer = office.get(f"/office/books/{place}{typed}")

    assert (answer.status_code, error_at(answer, at)) == (422, says)
    assert typed.partition("=")[2].partition("&")[0] in answer.get_data(as_text=True)
    assert office.get("/office/books/entries.csv?" + typed).status_code == 422


def test_the_files_hold_every_posting_and_the_same_sums(visits: Visits, office: FlaskClient) -> None:
    house = visits.house
    lot = house.treated()
    house.pay(lot, "100", reference="=2+3")

    entries = rows(office.get("/office/books/entries.csv").data)
    balance = rows(office.get("/office/books/trial-balance.csv").data)
    tax = rows(office.get("/office/books/tax-owed.csv").data)

    def total(lines: list[dict[str, str]], side: str) -> Decimal:
        return sum((Decimal(line[side] or "0") for line in lines), Decimal(0))

    assert total(entries, "Debit") == total(entries, "Credit") > house.open_of(lot)
    assert {line["Paper"] for line in entries} == {house.invoice(lot).document.number, "'=2+3"}
    *accounts, last = balance
    assert (last["Account"], last["Debit"], last["Credit"]) == ("Total", str(total(accounts, "Debit")),
                                                                 str(total(accounts, "Credit")))  # fmt: skip
    assert last["Debit"] == last["Credit"]
    assert [(line["Billed"], line["Owed after"]) for line in tax] == [
        (str(house.invoice(lot).document.owed.tax),) * 2
    ]
    plain = office.get("/office/books/books.txt")
    assert plain.mimetype == "text/plain" and b"open Assets:Receivable" in plain.data


def test_a_month_is_looked_at_and_closed(visits: Visits) -> None:
    house = visits.house
    house.clock.turn_to(date(2027, 5, 31))  # a sign-in does not last as long as a month
    owner, office = visits.by(house.owner), visits.by(house.office)
    assert "there is no month to close" in text_of(owner.get("/office/books/month"))
    lot = house.treated()
    assert "This month is not over." in text_of(owner.get("/office/books/month"))
    house.clock.turn_to(date(2027, 6, 1))
    assert "Only an owner closes a month." in text_of(office.get("/office/books/month"))
    stale = form_of(owner.get("/office/books/month"), "/books/month")
    house.pay(lot, "10", received_on=date(2027, 5, 20))

    overtaken = owner.post("/office/books/month", data=stale)
    assert overtaken.status_code == 409 and "nothing was closed" in text_of(overtaken)
    done = owner.post("/office/books/month", data=form_of(owner.get("/office/books/month"), "/books/month"))

    assert (done.status_code, house.rows(ClosedMonth)) == (303, 1)
    assert "Closed through May 31, 2027." in text_of(owner.get("/office/books"))
    house.pay(lot, "10", received_on=date(2027, 5, 21))
    late = text_of(office.get("/office/books/account?name=cash%3A+check&since=2027-06-01"))
    assert "June 1, 2027, happened May 21, 2027" in late or "Jun 1, 2027, happened May 21, 2027" in late
