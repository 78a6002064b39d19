"""The price of waiting on a lot's sheets, and its one question, for a builder and for the office."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import quoting
from tests.parts.house import FIRM, ranch
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

#: The house stands still on Tuesday, May 4, 2027.
MONDAY = date(2027, 5, 17)
HEADING = "The price of waiting"


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """The builder's browser."""
    return visits.by(visits.house.builder)


@pytest.fixture
def office(visits: Visits) -> FlaskClient:
    """Somebody of the office at their browser."""
    return visits.by(visits.house.office)


def give(browser: FlaskClient, lot_id: str, day: str, sheet: str = "quote", root: str = "") -> TestResponse:
    """Open a sheet, fill in the day, press."""
    address = f"{root}/lots/{lot_id}/siding-day"
    form = form_of(browser.get(f"{root}/lots/{lot_id}/{sheet}"), address)
    return browser.post(address, data=form | {"siding-day-siding_starts": day})


def test_a_quote_says_price_today_price_after_saving_and_the_last_good_day(
    browser: FlaskClient, visits: Visits
) -> None:
    """By hand: 296 ft at 1.45, 57 at 0.60, 27 at 0.25 and a call-out of 35 are 505.15; tax of 7 % is on all.

    111 ft more get a second coat, 66.60, and 27 ft of wrap stay put, 6.75 off: 565.00.
    """
    lot_id = visits.house.sent(siding_starts=MONDAY, insulation_starts=MONDAY + timedelta(9))

    page = browser.get(f"/lots/{lot_id}/quote")

    said = text_of(page)
    assert HEADING in said and page.get_data(as_text=True).count("days-drawing") == 2
    assert "Price today $540.51 Price with the siding on $604.55 Saved by not waiting $64.04" in said
    assert "Last good day to book Friday, May 14, 2027 Siding starts Monday, May 17, 2027" in said
    assert "Insulation starts Wednesday, May 26, 2027" in said
    assert "It is the last working day before siding starts on Monday, May 17, 2027." in said
    assert "You gave" not in said and "So far by the estimate" not in said


@pytest.mark.parametrize("root", ["", "/office"])
@pytest.mark.parametrize("stage", ["asked", "to_check", "approved", "sent", "accepted"])
def test_it_stands_on_three_sheets_until_a_treatment_is_booked(
    browser: FlaskClient, office: FlaskClient, visits: Visits, stage: str, root: str
) -> None:
    lot_id = getattr(visits.house, stage)(siding_starts=MONDAY)
    reader = office if root else browser

    for sheet in ("takeoff", "quote", "treatment"):
        said = text_of(reader.get(f"{root}/lots/{lot_id}/{sheet}"))
        assert HEADING in said and "Saved by not waiting $64.04" in said, sheet
    for sheet in ("invoice", "warranty"):
        assert HEADING not in text_of(reader.get(f"{root}/lots/{lot_id}/{sheet}"))


@pytest.mark.parametrize("stage", ["booked", "treated", "paid"])
def test_once_it_is_booked_it_is_over(browser: FlaskClient, visits: Visits, stage: str) -> None:
    lot_id = getattr(visits.house, stage)(siding_starts=MONDAY)

    for sheet in ("takeoff", "quote", "treatment"):
        page = browser.get(f"/lots/{lot_id}/{sheet}")
        assert HEADING not in text_of(page) and "siding-day" not in page.get_data(as_text=True)


def test_a_quote_that_holds_no_longer_says_no_price_of_waiting(browser: FlaskClient, visits: Visits) -> None:
    house = visits.house
    declined, lapsed = house.sent(siding_starts=MONDAY), house.sent(siding_starts=MONDAY)
    quoting.decline(house.parts, house.builder, declined, 1, "Too dear.", house.key())
    assert HEADING in text_of(browser.get(f"/lots/{lapsed}/quote"))
    house.clock.pass_by(days=31)

    for lot_id in (declined, lapsed):
        assert HEADING not in text_of(browser.get(f"/lots/{lot_id}/quote"))


def test_before_the_quote_the_office_s_extra_lines_are_not_in_it(
    browser: FlaskClient, visits: Visits
) -> None:
    house, lot_id = visits.house, visits.house.to_check(siding_starts=MONDAY)
    quoting.add_extra(house.parts, house.office, lot_id, house.version(lot_id), "Porch", "by phone", "85.00")

    said = text_of(browser.get(f"/lots/{lot_id}/takeoff"))

    assert "Price today $540.51" in said and "So far by the estimate" in said


def test_where_the_rates_have_changed_since_asking_only_the_days_are_told(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.asked(siding_starts=MONDAY)
    visits.house.enter("rates", {"call_out": "99.00"})

    said = text_of(browser.get(f"/lots/{lot_id}/takeoff"))

    assert "Last good day to book Friday, May 14, 2027" in said and "Price today" not in said
    assert "What waiting adds to the price stands here once the quote is sent." in said


def test_a_house_sided_all_around_has_nothing_to_wait_for(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.sent(house=ranch("sided"), siding_starts=MONDAY)

    assert HEADING not in text_of(browser.get(f"/lots/{lot_id}/quote"))


@pytest.mark.parametrize(
    ("siding", "insulation", "expected"),
    [
        (
            date(2027, 5, 5), None,
            "Book a day up to Tuesday, May 4, 2027. It is the last working day before siding starts on "
            "Wednesday, May 5, 2027. That is today.",
        ),
        (
            date(2027, 5, 4), None,
            "The last good day is past: it was Monday, May 3, 2027, the last working day before siding "
            "starts on Tuesday, May 4, 2027.",
        ),
        (
            MONDAY, date(2027, 5, 10),
            "Book a day up to Friday, May 7, 2027. It is the last working day before insulation starts on "
            "Monday, May 10, 2027, which comes even before the siding",
        ),
        (
            MONDAY, date(2027, 5, 1),
            "The last good day is past: it was Friday, April 30, 2027, the last working day before "
            "insulation starts on Saturday, May 1, 2027.",
        ),
    ],
)  # fmt: skip
def test_by_when_to_book_is_said_plainly(
    browser: FlaskClient, visits: Visits, siding: date, insulation: date | None, expected: str
) -> None:
    lot_id = visits.house.sent(siding_starts=siding, insulation_starts=insulation)

    assert expected in text_of(browser.get(f"/lots/{lot_id}/quote"))


@pytest.mark.parametrize("siding", [date.min, date.max])
@pytest.mark.parametrize("insulation", [None, date.min, date.max])
def test_the_ends_of_the_calendar_are_drawn_as_well(
    browser: FlaskClient, visits: Visits, siding: date, insulation: date | None
) -> None:
    lot_id = visits.house.sent(siding_starts=siding, insulation_starts=insulation)

    page = browser.get(f"/lots/{lot_id}/quote")

    assert page.status_code == 200 and HEADING in text_of(page)
    assert browser.get(f"/lots/{lot_id}/papers/quote").status_code == 200


def test_where_it_is_past_the_price_is_no_longer_called_today_s(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.sent(siding_starts=date(2027, 5, 4))

    said = text_of(browser.get(f"/lots/{lot_id}/quote"))

    assert "Price as quoted $540.51" in said and "Price today" not in said
    assert "Last good day to book Monday, May 3, 2027, past" in said


@pytest.mark.parametrize("sheet", ["takeoff", "quote", "treatment"])
def test_a_builder_gives_the_day_in_one_press_and_is_back_on_the_sheet(
    browser: FlaskClient, visits: Visits, sheet: str
) -> None:
    lot_id = visits.house.sent()
    assert "When does siding start?" in text_of(browser.get(f"/lots/{lot_id}/{sheet}"))

    answer = give(browser, lot_id, "2027-05-17", sheet)

    assert answer.status_code == 303 and answer.headers["Location"].endswith(f"/lots/{lot_id}/{sheet}")
    said = text_of(browser.get(f"/lots/{lot_id}/{sheet}"))
    assert "Kept." in said and "Last good day to book Friday, May 14, 2027" in said
    assert "Harriet Finch gave the day siding starts" in said


def test_the_office_gives_it_and_may_mend_it(office: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.accepted(siding_starts=MONDAY)

    answer = give(office, lot_id, "2027-05-12", "treatment", "/office")

    assert answer.status_code == 303
    assert answer.headers["Location"].endswith(f"/office/lots/{lot_id}/treatment")
    assert visits.house.sheet(lot_id).siding_starts == date(2027, 5, 12)
    assert "gave the day siding starts" in text_of(office.get(f"/office/lots/{lot_id}/treatment"))


@pytest.mark.parametrize("root", ["", "/office"])
@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "Enter the day siding starts."),
        ("next week", "“next week” is no day"),
        ("0027-05-17", "May 17, 27 is more than five years from today: look at the year."),
    ],
)
def test_what_is_no_day_is_told_beside_the_field_and_kept(
    browser: FlaskClient, office: FlaskClient, visits: Visits, root: str, typed: str, said: str
) -> None:
    lot_id = visits.house.sent()

    answer = give(office if root else browser, lot_id, typed, "quote", root)

    assert answer.status_code == 422
    assert said in error_at(answer, "siding-day-siding_starts")
    assert form_of(answer, "/siding-day")["siding-day-siding_starts"] == typed
    assert visits.house.sheet(lot_id).siding_starts is None


@pytest.mark.parametrize("root", ["", "/office"])
def test_overtaken_the_day_stands_in_its_form_and_can_be_sent_again(
    browser: FlaskClient, office: FlaskClient, visits: Visits, root: str
) -> None:
    house, lot_id = visits.house, visits.house.sent()
    reader, address = office if root else browser, f"{root}/lots/{lot_id}/siding-day"
    form = form_of(reader.get(f"{root}/lots/{lot_id}/quote"), address)
    house.accept(lot_id)

    answer = reader.post(address, data=form | {"siding-day-siding_starts": "2027-05-17"})

    assert answer.status_code == 409 and "Harriet Finch" in text_of(answer)
    again = form_of(answer, address)
    assert again["siding-day-siding_starts"] == "2027-05-17"
    assert reader.post(address, data=again).status_code == 303
    assert house.sheet(lot_id).siding_starts == MONDAY


def test_a_builder_who_is_late_for_the_day_is_told_why(browser: FlaskClient, visits: Visits) -> None:
    house, lot_id = visits.house, visits.house.accepted()
    address = f"/lots/{lot_id}/siding-day"
    form = form_of(browser.get(f"/lots/{lot_id}/treatment"), address)
    house.booked(lot_id)

    typed = {"siding-day-siding_starts": "2027-05-17", "siding-day-version": str(house.version(lot_id))}
    answer = browser.post(address, data=form | typed)

    assert answer.status_code == 409 and "The treatment is booked or done" in text_of(answer)


def test_a_sheet_that_is_none_leads_back_to_the_quote(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.sent()
    form = form_of(browser.get(f"/lots/{lot_id}/quote"), "/siding-day")
    form |= {"siding-day-siding_starts": "2027-05-17", "siding-day-sheet": "https://elsewhere.example.com"}

    answer = browser.post(f"/lots/{lot_id}/siding-day", data=form)

    assert answer.headers["Location"].endswith(f"/lots/{lot_id}/quote")


def test_the_office_s_days_off_are_passed_over_and_named(browser: FlaskClient, visits: Visits) -> None:
    """May 14, a Friday, is off: the last good day before Monday the 17th is Thursday."""
    visits.house.enter("firm", FIRM | {"days_off": ["2027-05-14", "2027-05-31"]})
    lot_id = visits.house.sent(siding_starts=MONDAY)

    said = text_of(browser.get(f"/lots/{lot_id}/quote"))

    assert "Last good day to book Thursday, May 13, 2027" in said
    assert "The office does not treat on May 14, 2027." in said and "May 31" not in said
    document = visits.house.sheet(lot_id).revisions[0].document
    assert document is not None and document.days_off == (date(2027, 5, 14), date(2027, 5, 31))


def test_an_owner_lists_days_off_and_a_day_that_is_none_is_told(visits: Visits) -> None:
    owner = visits.by(visits.house.owner)
    form = form_of(owner.get("/office/rates/firm"), "")

    wrong = owner.post("/office/rates/firm", data=form | {"days_off": "2027-05-31\nJuly 5"})
    assert wrong.status_code == 422
    assert error_at(wrong, "days_off") == "“July 5” is no day; write it as 2027-03-09."

    assert (
        owner.post("/office/rates/firm", data=form | {"days_off": "2027-07-05\n\n2027-05-31"}).status_code
        == 302
    )
    lot_id = visits.house.sent(siding_starts=date(2027, 6, 1))
    assert visits.house.sheet(lot_id).days_off == (date(2027, 5, 31), date(2027, 7, 5))
    assert "Friday, May 28, 2027" in text_of(owner.get(f"/office/lots/{lot_id}/quote"))
