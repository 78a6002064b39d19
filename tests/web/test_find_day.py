"""Find a day, as the office meets it."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from tests.web.visits import Visits, text_of

pytestmark = pytest.mark.slow
FIND = "/office/crew-days/find"


def ticks(source: str) -> list[str]:
    return re.findall(r'name="take" value="([^"]+)"', source)


def test_what_is_proposed_is_ticked_and_booked(visits: Visits) -> None:
    house = visits.house
    lots = [house.accepted(name=name) for name in ("Lot 7", "Lot 8")]
    office = visits.by(house.office)

    shown = office.get(FIND)
    answer = office.post(FIND, data={"take": ticks(shown.get_data(as_text=True))})

    assert "Together with Lot 8 of the same subdivision." in text_of(shown)
    assert "there is no better one" in text_of(shown)
    assert answer.status_code == 303 and answer.location.startswith("/office/crew-days?begin=")
    assert [house.sheet(lot).stage for lot in lots] == ["booked", "booked"]
    assert "Every accepted lot has its day." in text_of(office.get(FIND))


def test_one_is_booked_by_itself(visits: Visits) -> None:
    house = visits.house
    lots = [house.accepted() for _ in range(2)]
    office = visits.by(house.office)
    found = ticks(office.get(FIND).get_data(as_text=True))

    answer = office.post(FIND, data={"take": found, "only": found[0], "weeks": "2"})

    assert answer.status_code == 303 and answer.location == f"{FIND}?weeks=2"
    assert sorted(house.sheet(lot).stage for lot in lots) == ["accepted", "booked"]


def test_what_cannot_be_kept_stands_first_with_the_reason(visits: Visits) -> None:
    house = visits.house
    house.accepted(name="Lot 7", insulation_starts=house.parts.today())
    house.accepted(name="Lot 8")

    said = text_of(visits.by(house.office).get(FIND))

    assert "Its window is over: insulation starts on May 4, 2027." in said
    assert said.index("Lot 7") < said.index("Lot 8")


def test_what_changed_in_between_is_said_by_lot(visits: Visits) -> None:
    house = visits.house
    lot = house.accepted(name="Lot 7")
    office = visits.by(house.office)
    found = ticks(office.get(FIND).get_data(as_text=True))
    house.book(lot, house.parts.today() + timedelta(days=9))

    said = text_of(office.post(FIND, data={"take": found}))

    assert "Nothing was booked. One lot was left as it is" in said
    assert "Lot 7, 101 Lime Kiln Lane: Terrence Udall changed it in the meantime." in said


@pytest.mark.parametrize("sent", [{}, {"take": "nonsense"}, {"take": "a:b:c:d"}, {"only": "x:1:y:soon"}])
def test_nothing_ticked_is_told(visits: Visits, sent: dict[str, str]) -> None:
    visits.house.accepted()

    answer = visits.by(visits.house.office).post(FIND, data=sent)

    assert answer.status_code == 422 and "Tick the lots to book." in text_of(answer)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ("first=soon", "“soon” is no day; write it as 2027-03-09."),
        ("first=9999-12-31", "more than ten years"),
        ("weeks=1000", "Choose for how many weeks."),
    ],
)
def test_what_cannot_be_looked_at_is_told_beside_its_field(visits: Visits, asked: str, says: str) -> None:
    answer = visits.by(visits.house.office).get(f"{FIND}?{asked}")

    assert answer.status_code == 422 and says in text_of(answer)
