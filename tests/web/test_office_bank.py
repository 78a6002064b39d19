"""A bank's list through the office's pages: sent, named, looked at, recorded."""

from __future__ import annotations

import io
import re

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import bank_lines, banking
from portal.store.tables import Payment
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

LIST = b"Booked,Words,Sum\n5/4/2027,WIRE INV-2027-0001,540.51\n5/4/2027,Fee,-12.00\n5/3/2027,Unknown,77.00\n"


@pytest.fixture
def office(visits: Visits) -> FlaskClient:
    """Somebody of the office at their browser."""
    return visits.by(visits.house.office)


def send(office: FlaskClient, data: bytes, name: str = "May 2027.csv") -> TestResponse:
    form: dict[str, object] = dict(form_of(office.get("/office/bank"), "/bank"))
    form["file"] = (io.BytesIO(data), name)
    return office.post("/office/bank", data=form, content_type="multipart/form-data")


def kept(visits: Visits, office: FlaskClient) -> str:
    """The address of a list whose columns are named."""
    url = send(office, LIST).headers["Location"]
    form = form_of(office.get(url), "/columns") | {
        "column-0": "day", "column-1": "text", "column-2": "amount", "days": "month", "decimal": "point",
    }  # fmt: skip
    answer = office.post(url, data=form)
    assert answer.status_code == 303
    return str(answer.headers["Location"])


def test_columns_are_named_with_a_look_at_how_the_first_lines_read(
    visits: Visits, office: FlaskClient
) -> None:
    url = send(office, LIST).headers["Location"]
    page = office.get(url)
    form = form_of(page, "/columns")
    # None of the three is what a bank calls it, so none is guessed.
    assert (form["column-0"], form["column-1"]) == ("", "")
    assert "“WIRE INV-2027-0001”" in text_of(page)

    form |= {"column-0": "day", "column-1": "text", "column-2": "amount", "decimal": "point", "days": "day"}
    looked = office.post(url, data=form | {"look": "yes"})
    assert looked.status_code == 200 and "April 5, 2027" in text_of(looked)
    assert "May 4, 2027" in text_of(office.post(url, data=form | {"look": "yes", "days": "month"}))

    wrong = office.post(url, data=form | {"column-2": "text", "days": "month"})
    assert wrong.status_code == 422 and "named already" in error_at(wrong, "column-2")
    assert form_of(wrong, "/columns")["column-0"] == "day"
    assert office.post(url, data=form | {"days": "month"}).status_code == 303
    # Named once, it cannot be named otherwise; its address leads on to its lines.
    assert office.get(url).status_code == 303


def test_what_is_proposed_is_recorded_by_a_press_and_only_once(visits: Visits, office: FlaskClient) -> None:
    house = visits.house
    lot = house.treated()
    url = kept(visits, office)
    page = office.get(url)
    assert "is exactly what is open of INV-2027-0001" in text_of(page)
    assert "Nothing of what is owed fits." in text_of(page)
    line = re.search(r'action="(/office/bank/lines/\w+)"', page.get_data(as_text=True))
    assert line is not None
    form = form_of(page, line[1])

    for _ in range(2):
        assert office.post(line[1], data=form).status_code == 303

    assert house.open_of(lot) == 0 and house.rows(Payment) == 1
    assert "Recorded by Terrence Udall" in text_of(office.get(f"{url}?show=taken"))
    assert "left alone" in text_of(office.get(f"{url}?show=out"))
    assert "left the account" in text_of(office.get(url))


def test_a_line_is_decided_otherwise_on_a_page_of_its_own(visits: Visits, office: FlaskClient) -> None:
    house = visits.house
    lot = house.treated()
    url = kept(visits, office)
    (unknown,) = [
        one
        for one in bank_lines.look(house.parts, house.office, url.rpartition("/")[2]).lines
        if one.text == "Unknown"
    ]
    mine = f"/office/bank/lines/{unknown.id}"
    assert "Show what is open" in text_of(office.get(mine))
    page = office.get(f"{mine}?builder={house.builder.company_id}")
    form = form_of(page, f"/lines/{unknown.id}")
    part = f"part-{house.invoice(lot).id}"
    form |= {"receive-how": "chosen", part: "77.01"}

    refused = office.post(mine, data=form)
    assert refused.status_code == 422 and "The parts come to $77.01, and $77.00 came." in text_of(refused)
    assert office.post(mine, data=form | {part: "77"}).status_code == 303

    assert len(house.invoice(lot).payments) == 1
    assert "Something was made of this line already" in text_of(office.get(mine))


def test_a_line_is_set_aside_and_taken_up_again(visits: Visits, office: FlaskClient) -> None:
    url = kept(visits, office)
    line = next(iter(bank_lines.look(visits.house.parts, visits.house.office, url.rpartition("/")[2]).lines))

    aside = form_of(office.get(f"/office/bank/lines/{line.id}"), "/aside") | {"reason": "A grant"}
    assert office.post(f"/office/bank/lines/{line.id}/aside", data=aside).status_code == 303
    assert "A grant" in text_of(office.get(f"{url}?show=aside"))
    assert office.post(f"/office/bank/lines/{line.id}/back").status_code == 303
    assert "A grant" not in text_of(office.get(f"{url}?show=aside"))


@pytest.mark.parametrize(
    ("data", "name", "said"),
    [
        (b"", "x.csv", "There is nothing in it"),
        (b"PK\x03\x04", "x.xlsx", "spreadsheet"),
        (b"x", "", "nothing in it"),
    ],
)
def test_what_is_no_list_is_told_at_its_field(office: FlaskClient, data: bytes, name: str, said: str) -> None:
    page = send(office, data, name)
    assert page.status_code == 422 and said in error_at(page, "file")


def test_a_list_can_be_thrown_away(visits: Visits, office: FlaskClient) -> None:
    url = kept(visits, office)
    assert office.post(f"{url}/drop").status_code == 303
    assert banking.newest(visits.house.parts, visits.house.office) == ()
    assert office.get(url).status_code == 404


def test_what_can_be_no_id_is_not_looked_for(visits: Visits, office: FlaskClient) -> None:
    visits.house.treated()
    url = kept(visits, office)
    line = bank_lines.look(visits.house.parts, visits.house.office, url.rpartition("/")[2]).lines[0]
    mine = f"/office/bank/lines/{line.id}"

    assert office.post(f"{mine}/known", data={"payment": "\0"}).status_code == 409
    assert office.post(mine, data={"builder": "\0", "once_key": "k"}).status_code == 422
    form = {"receive-amount": "1", "receive-how": "chosen", "part-\0": "1", "once_key": "k"}
    address = f"/office/payments/builders/{visits.house.builder.company_id}/new"
    assert office.post(address, data=form).status_code == 422
