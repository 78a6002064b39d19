"""The office saves what is kept of somebody who asks, by their mail address."""

from __future__ import annotations

import json
import re

import pytest

from tests.acts.test_transferring import SOLD, by_office, holders, to
from tests.parts.warranties import owned
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow
PAGE = "/office/people/data"


def test_an_address_gives_a_file_and_an_unknown_one_says_so_beside_it(visits: Visits) -> None:
    owned(visits.house, visits.house.treated())
    client = visits.by(visits.house.office)
    assert "Data somebody asks for" in text_of(client.get("/office/people"))
    assert PAGE in client.get("/privacy").text and PAGE not in visits.by(None).get("/privacy").text
    form = form_of(client.get(PAGE), "")

    unknown = client.post(PAGE, data=form | {"email": "who@example.org"})
    assert unknown.status_code == 422 and "who@example.org" in unknown.text
    assert "Nothing is kept under this address." in error_at(unknown, "email")

    found = client.post(PAGE, data=form | {"email": "ada@example.org"})
    assert found.mimetype == "application/json" and "attachment" in found.headers["Content-Disposition"]
    assert "no-store" in found.headers["Cache-Control"]
    assert [one["holder"]["name"] for one in json.loads(found.data)["holder"]] == ["Ada Roe"]


def test_a_holder_of_before_is_removed_once_it_was_said_twice(visits: Visits) -> None:
    house = visits.house
    lot = owned(house, house.treated())
    house.clock.turn_to(SOLD)
    by_office(house, lot, to("Ben Cole"))
    office, page = visits.by(house.office), f"/office/lots/{lot}/handed-on"
    address = re.search(rf'action="({page}/holders/(\w+)/remove)"', office.get(page).text)
    assert address is not None
    form = form_of(office.get(page), "/remove")

    at_once = office.post(address[1], data=form)
    assert at_once.status_code == 422 and "Tick that you are sure" in text_of(at_once)
    assert holders(house, lot)[0][0] == "Ada Roe"

    assert office.post(address[1], data=form | {f"sure-{address[2]}": "yes"}).status_code == 303
    assert holders(house, lot)[0][0] == ""
