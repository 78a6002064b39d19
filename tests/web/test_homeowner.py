"""A homeowner finds the record with two things that go together, and sees the promise and nothing else."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import covering
from tests.parts.house import TERMS
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """A browser in which nobody is signed in."""
    return visits.by(None)


def find(browser: FlaskClient, number: str, house_number: str) -> TestResponse:
    """Send the form."""
    return browser.post("/warranty", data={"number": number, "house_number": house_number})


def test_number_and_house_number_lead_to_the_record(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.paid(house_number="12-B")
    number = visits.house.warranty(lot_id).number
    found = find(browser, number.lower().replace("-", " "), "12b")
    assert found.status_code == 302
    assert number in text_of(browser.get(found.location))


def test_a_wrong_number_and_a_wrong_house_number_are_answered_alike(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.paid(house_number="214")
    number = visits.house.warranty(lot_id).number
    said = []
    for typed in ((number, "215"), ("2222-2222-229", "214"), ("no number", "214"), ("", ""), (number, "")):
        answer = find(browser, *typed)
        assert answer.status_code == 404
        assert [form_of(answer, "")[name] for name in ("number", "house_number")] == list(typed)
        said.append(text_of(answer))
    assert len(set(said)) == 1 and "No such pair is known" in said[0]


def test_after_a_few_wrong_tries_the_page_says_how_long_to_wait_and_keeps_what_was_typed(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.paid(house_number="214")
    number = visits.house.warranty(lot_id).number
    answers = [find(browser, number, str(n)) for n in range(6)]
    assert [answer.status_code for answer in answers] == [404] * 5 + [429]
    wait = int(answers[-1].headers["Retry-After"])
    assert f"Too many tries. Wait {wait} seconds" in text_of(answers[-1])
    assert form_of(answers[-1], "")["number"] == number
    visits.house.clock.pass_by(seconds=wait)
    assert find(browser, number, "214").status_code == 302


def record(browser: FlaskClient, visits: Visits, lot_id: str) -> TestResponse:
    """The page that the QR of a lot leads to."""
    link = visits.house.warranty(lot_id).link
    return browser.get(link.removeprefix(visits.house.settings.base_url))


def test_the_record_says_what_was_treated_when_with_what_and_for_how_long(
    browser: FlaskClient, visits: Visits
) -> None:
    said = text_of(record(browser, visits, visits.house.paid()))
    assert (
        "South side, Main floor 57.00 ft siding on 2" in said
        and "North side, Main floor 57.00 ft open 1" in said
    )
    assert "Interior walls 128.00 ft" in said and "All walls 296.00 ft" in said
    assert "on May 4, 2027" in said and "Borate concentrate A" in said and "00000-00" in said
    assert "In force from May 4, 2027 through May 3, 2037." in said
    assert "Treating again." in said and "Wood cut afterward." in said
    assert "Trestle Wood Care" in said and "555-0107" in said and "The office's own promise." in said


def test_the_record_says_nothing_of_price_or_of_people(browser: FlaskClient, visits: Visits) -> None:
    page = record(browser, visits, visits.house.paid(purchase_order="PO-771")).get_data(as_text=True)
    for hidden in ("$", "Harriet", "Wendell", "Harrow", "PO-771", "INV-", "Q-2027"):
        assert hidden not in page, hidden


def test_a_held_warranty_is_not_yet_in_force_and_has_no_certificate(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.treated()
    answer = record(browser, visits, lot_id)
    assert "not yet in force" in text_of(answer) and "certificate.pdf" not in answer.get_data(as_text=True)
    link = visits.house.warranty(lot_id).link.removeprefix(visits.house.settings.base_url)
    assert browser.get(f"{link}/certificate.pdf").status_code == 404


def test_the_certificate_comes_with_the_warranty(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.paid()
    page = record(browser, visits, lot_id).get_data(as_text=True)
    link = visits.house.warranty(lot_id).link.removeprefix(visits.house.settings.base_url)
    assert f'href="{link}/certificate.pdf"' in page
    assert browser.get(f"{link}/certificate.pdf").mimetype == "application/pdf"


def test_an_expired_and_a_void_warranty_say_so(browser: FlaskClient, visits: Visits) -> None:
    house = visits.house
    void = house.paid(name="Lot 1")
    covering.make_void(house.parts, house.owner, void, "Framing was cut and replaced.")
    said = record(browser, visits, void)
    assert "It is void. The reason: Framing was cut and replaced." in text_of(said)
    assert "certificate.pdf" not in said.get_data(as_text=True)
    lot_id = house.paid(name="Lot 2")
    house.clock.pass_by(days=365 * 10 + 5)
    assert "has expired" in text_of(record(browser, visits, lot_id))


@pytest.mark.parametrize(
    "address", ["/warranty", "/warranty/nothing-like-it", "/warranty/nothing-like-it/certificate.pdf"]
)
def test_nothing_here_is_to_be_indexed(browser: FlaskClient, address: str) -> None:
    assert "noindex" in browser.get(address).headers["X-Robots-Tag"]


def test_a_link_that_is_none_is_not_there(browser: FlaskClient) -> None:
    assert browser.get("/warranty/nothing-like-it").status_code == 404


def test_a_warranty_for_the_life_of_the_house_has_no_last_day(browser: FlaskClient, visits: Visits) -> None:
    visits.house.enter("terms", TERMS | {"years": None})
    assert "for as long as the house stands" in text_of(record(browser, visits, visits.house.paid()))


LOST = {"house_number": "112", "street": "N Ferry Oak Ct", "postal_code": "52999", "closed_in": "July 2027"}


def test_a_lost_number_is_asked_for_and_the_answer_is_one_for_all(
    browser: FlaskClient, visits: Visits
) -> None:
    visits.house.paid(house_number="112", street="North Ferry Oak Court")
    answers = [
        browser.post("/warranty/lost", data=LOST | {"house_number": number}) for number in ("112", "9")
    ]
    assert [(answer.status_code, answer.location) for answer in answers] == [
        (303, "/warranty/lost/asked")
    ] * 2
    said = text_of(browser.get(answers[0].location))
    assert "a mail goes to the holder" in said and "112" not in said


def test_what_cannot_be_a_month_is_told_beside_its_field_and_what_was_typed_stays(
    browser: FlaskClient,
) -> None:
    answer = browser.post("/warranty/lost", data=LOST | {"closed_in": "last summer"})
    assert answer.status_code == 422
    assert "“last summer” is no month" in error_at(answer, "closed_in")
    assert form_of(answer, "")["street"] == "N Ferry Oak Ct"


def test_who_asks_too_often_is_told_how_long_to_wait(browser: FlaskClient) -> None:
    answers = [browser.post("/warranty/lost", data=LOST | {"house_number": str(n)}) for n in range(4)]
    assert [answer.status_code for answer in answers] == [303] * 3 + [429]
    assert "Wait 16 minutes" in text_of(answers[-1])
    assert form_of(answers[-1], "")["street"] == "N Ferry Oak Ct"


def test_no_page_of_a_homeowner_is_indexed(browser: FlaskClient, visits: Visits) -> None:
    link = visits.house.warranty(visits.house.paid()).link.removeprefix(visits.house.settings.base_url)
    for path in ("/warranty", "/warranty/lost", "/warranty/lost/asked", link, "/warranty/none"):
        answer = browser.get(path)
        assert answer.headers["X-Robots-Tag"] == "noindex, nofollow", path
        assert answer.status_code == 404 or '<meta name="robots" content="noindex' in answer.text, path


def test_the_plan_shows_each_wall_as_it_was_found(browser: FlaskClient, visits: Visits) -> None:
    page = record(browser, visits, visits.house.paid()).get_data(as_text=True)
    assert (
        page.count("wall--sided") >= 1
        and page.count("wall--open") >= 1
        and "57&#39;-0" in page.replace("′", "&#39;").replace("'", "&#39;")
    )
    assert "Key to the walls" in page


def test_what_happened_is_told_in_order_and_without_people_or_money(
    browser: FlaskClient, visits: Visits
) -> None:
    house = visits.house
    lot_id = house.treated()
    covering.keep_held(house.parts, house.office, lot_id, "A cheque bounced.")
    covering.release(house.parts, house.office, lot_id)
    covering.make_void(house.parts, house.owner, lot_id, "Framing was cut and replaced.")
    said = text_of(record(browser, visits, lot_id)).partition("What happened")[2]
    told = (
        "The house was treated.", "The warranty record was made, held", "The warranty came into force.",
        "The warranty was made void. Framing was cut and replaced.",
    )  # fmt: skip
    places = [said.find(one) for one in told]
    assert places == sorted(places) and -1 not in places
    assert "cheque" not in said and "Odile" not in said


def test_the_terms_say_what_is_done_and_how_they_go_on(browser: FlaskClient, visits: Visits) -> None:
    visits.house.enter("terms", TERMS | {
        "narrows": ["Paint."], "remedy": "repair", "repair_up_to": "2500", "renewals": 1, "renewal_years": 5,
        "renewal_fee": "180", "renewal_inspection": "no", "renewal_days_before": 60, "renewal_days_after": 30,
        "transfers": "times", "transfer_most": 2,
    })  # fmt: skip
    said = text_of(record(browser, visits, visits.house.paid()))
    for one in ("What narrows it Paint.", "repairs it up to $2,500.00.", "renewed once, for 5 years",
                "for $180.00.", "next owner of the house, 2 times at most."):  # fmt: skip
        assert one in said, one


def test_a_record_from_before_it_kept_the_house_has_no_plan() -> None:
    """Frozen documents of the first editions have neither the house nor the later terms."""
    from portal.core.documents import WarrantyDocument, from_stored, to_stored
    from tests.parts import documents

    stored = to_stored(documents.warranty())
    del stored["house"]
    for key in ("remedy", "repair_up_to", "currency", "narrows", "renewal", "transfer"):
        del stored["terms"][key]
    read = from_stored(WarrantyDocument, stored)
    assert read.house is None and read.terms.renewal is None
