"""Links to a purchaser on a lot, for the builder and in the office; two people over an amount, as pages."""

from __future__ import annotations

from dataclasses import replace

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import quoting
from portal.acts.second_person import second_over, set_second_over
from portal.store.tables import Letter, Person, PurchaserLink
from tests.parts.links import PIA, link_id, mailed
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

PURCHASER = {"link-person": "Pia Holm", "link-email": PIA}
ROOMS = {"builder": "/lots/{lot}/quote", "office": "/office/lots/{lot}"}


def send(client: FlaskClient, lot: str, room: str, **typed: str) -> TestResponse:
    """Open the quote's sheet, fill in the form of a link, send it."""
    page = client.get(ROOMS["builder"].format(lot=lot) if room == "builder" else f"/office/lots/{lot}/quote")
    action = f"{ROOMS[room].format(lot=lot)}/links"
    return client.post(action, data=form_of(page, action) | PURCHASER | typed)


@pytest.mark.parametrize("room", ROOMS)
def test_a_link_is_mailed_listed_and_withdrawn(visits: Visits, room: str) -> None:
    lot = visits.house.sent()
    client = visits.by(getattr(visits.house, room))
    sheet = "/lots/{}/quote" if room == "builder" else "/office/lots/{}/quote"

    sent = send(client, lot, room)
    listed = text_of(client.get(sheet.format(lot)))
    address = f"{ROOMS[room].format(lot=lot)}/links/{link_id(visits.house, lot)}/withdraw"
    gone = client.post(address, data=form_of(client.get(sheet.format(lot)), address))
    after = text_of(client.get(sheet.format(lot)))

    assert (sent.status_code, gone.status_code) == (303, 303)
    for words in ("The link is on its way to", "Pia Holm", PIA, "not yet", "Jun 3, 2027", "not answered"):
        assert words in listed
    assert "The link is withdrawn" in after and "not answered" not in after
    assert "withdrew a purchaser’s link" in after
    assert visits.house.rows(PurchaserLink) == 1


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize(
    ("typed", "at", "says"),
    [
        ({"link-person": ""}, "link-person", "Name the person"),
        ({"link-email": "pia"}, "link-email", "is no mail address"),
        ({"link-until": "2027-06-04"}, "link-until", "The quote itself holds until Jun 3, 2027"),
        ({"link-until": "soon"}, "link-until", "soon"),
    ],
)
def test_what_is_wrong_stands_at_its_field_and_what_was_typed_stays(
    visits: Visits, room: str, typed: dict[str, str], at: str, says: str
) -> None:
    lot = visits.house.sent()

    said = send(visits.by(getattr(visits.house, room)), lot, room, **typed)

    assert said.status_code == 422 and says in error_at(said, at)
    kept = form_of(said, "/links")
    assert kept["link-person"] == (PURCHASER | typed)["link-person"]
    assert kept["link-email"] == (PURCHASER | typed)["link-email"]
    assert "<details open>" in said.get_data(as_text=True)
    assert visits.house.rows(PurchaserLink) == 0


@pytest.mark.parametrize("room", ROOMS)
def test_a_second_link_to_one_address_is_refused_in_words(visits: Visits, room: str) -> None:
    lot = visits.house.sent()
    mailed(visits.house, lot)

    said = send(visits.by(getattr(visits.house, room)), lot, room)

    assert said.status_code == 409
    assert f"A link to this quote is out to {PIA} already." in text_of(said)


def test_the_office_mails_a_link_to_the_revision_that_is_out_while_a_new_one_is_made(visits: Visits) -> None:
    house, lot = visits.house, visits.house.sent()
    quoting.revise(house.parts, house.office, lot, house.version(lot))
    client = visits.by(house.office)
    page = client.get(f"/office/lots/{lot}/quote?revision=1")

    form = form_of(page, f"/office/lots/{lot}/links") | PURCHASER
    assert client.post(f"/office/lots/{lot}/links", data=form).status_code == 303
    assert "Mail a link" not in text_of(client.get(f"/office/lots/{lot}/quote?revision=2"))


def test_no_link_is_offered_for_what_is_answered_nor_to_who_may_not_answer(visits: Visits) -> None:
    house = visits.house
    lot, answered = house.sent(), house.accepted()
    with house.parts.store.writing() as work:
        work.session.get_one(Person, house.builder.person_id).may_accept = False

    client = visits.by(house.builder)
    for one in (lot, answered):
        assert "Mail a link" not in text_of(client.get(f"/lots/{one}/quote"))
    said = client.post(f"/lots/{lot}/quote/links", data=PURCHASER | {"revision": "1", "once_key": "k"})
    assert said.status_code == 403
    assert house.rows(PurchaserLink) == 0


def test_the_page_never_holds_the_token(visits: Visits) -> None:
    lot = visits.house.sent()
    token = mailed(visits.house, lot)

    for who, path in ((visits.house.builder, f"/lots/{lot}/quote"),
                      (visits.house.office, f"/office/lots/{lot}/quote")):  # fmt: skip
        assert token not in visits.by(who).get(path).get_data(as_text=True)
    with visits.house.parts.store.reading() as work:
        assert [row.to for row in work.session.query(Letter) if token in row.text] == [PIA]


# Two people over an amount.


def accept(client: FlaskClient, lot: str, name: str, **typed: str) -> TestResponse:
    """Accept on the lot's sheet."""
    action = f"/lots/{lot}/quote/accept"
    return client.post(
        action, data=form_of(client.get(f"/lots/{lot}/quote"), action) | {"name": name} | typed
    )


def test_two_people_accept_one_after_the_other(visits: Visits) -> None:
    house = visits.house
    otto = visits.by(house.person("builder", "Otto Lind", company_id=house.builder.company_id))
    harriet, lot = visits.by(house.builder), house.sent()
    set_second_over(house.parts, house.builder, "100")

    first = text_of(harriet.get(f"/lots/{lot}/quote"))
    accept(harriet, lot, "Harriet Finch", purchase_order="PO-7")
    own = harriet.get(f"/lots/{lot}/quote")
    others = otto.get(f"/lots/{lot}/quote")
    offered = form_of(others, f"/lots/{lot}/quote/accept")
    office = text_of(visits.by(house.office).get(f"/office/lots/{lot}/quote"))
    house.clock.pass_by(minutes=5)
    accept(otto, lot, "Otto Lind")

    assert "Over $100.00 your company wants two people to accept. Yours would be the first yes." in first
    assert "Your yes is kept. Those who may give the second are told by mail." in text_of(own)
    assert f"/lots/{lot}/quote/accept" not in own.get_data(as_text=True)
    assert "Take my yes back" in text_of(own) and "Take my yes back" not in text_of(others)
    assert "Yours would be the second yes." in text_of(others)
    assert offered["purchase_order"] == "PO-7"
    assert "One yes of two, by Harriet Finch" in office
    assert house.sheet(lot).stage == "accepted"
    after = text_of(otto.get(f"/lots/{lot}/quote"))
    assert "One yes of two" not in after and "By Harriet Finch and Otto Lind" in after


def test_a_first_yes_is_taken_back_on_its_sheet(visits: Visits) -> None:
    house, lot = visits.house, visits.house.sent()
    set_second_over(house.parts, house.builder, "100")
    client = visits.by(house.builder)
    accept(client, lot, "Harriet Finch")
    action = f"/lots/{lot}/quote/take-back"
    form = form_of(client.get(f"/lots/{lot}/quote"), action)

    done, again = client.post(action, data=form), client.post(action, data=form)

    assert (done.status_code, again.status_code) == (303, 409)
    assert "There is no yes of yours to take back." in text_of(again)
    assert "Yours would be the first yes." in text_of(again)


def test_the_amount_is_kept_and_told(visits: Visits) -> None:
    client, page = visits.by(visits.house.builder), "/people/second-yes"
    form = form_of(client.get(page), "")

    wrong = client.post(page, data=form | {"second-second_over": "many"})
    kept = client.post(page, data=form | {"second-second_over": "2,500"}, follow_redirects=True)
    none = client.post(page, data=form | {"second-second_over": ""}, follow_redirects=True)

    assert wrong.status_code == 422 and "is no amount of money" in error_at(wrong, "second-second_over")
    assert "Quotes over $2,500.00 take two people’s yes." in text_of(kept)
    assert 'value="2,500.00"' in kept.get_data(as_text=True)
    assert "One person’s yes is enough again." in text_of(none)
    assert second_over(visits.house.parts, visits.house.builder) is None


def test_who_looks_after_no_people_reads_the_amount_and_changes_nothing(visits: Visits) -> None:
    house = visits.house
    set_second_over(house.parts, house.builder, "100")
    with house.parts.store.writing() as work:
        work.session.get_one(Person, house.builder.person_id).may_manage_people = False
    client = visits.by(replace(house.builder, rights=frozenset()))

    page = text_of(client.get("/people/second-yes"))

    assert "quotes over $100.00 take two" in page and "Keep this" not in page
    assert client.post("/people/second-yes", data={"second-second_over": ""}).status_code == 403
