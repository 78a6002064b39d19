"""A builder's own people through their page, and what each of them is shown on the lots."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import people
from portal.acts.parts import Actor
from portal.store.tables import Letter
from tests.parts.house import House
from tests.web.visits import Visits, error_at, form_of, make_visits, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def harriet(visits: Visits) -> FlaskClient:
    """The builder's first person, who has every right."""
    return visits.by(visits.house.builder)


def colleague(house: House, *rights: str, name: str = "Ada Quist") -> Actor:
    """One more of Harriet's company, who joined."""
    return house.person("builder", name, company_id=house.builder.company_id, rights=rights)


def send(
    client: FlaskClient, page: str, action: str, tick: tuple[str, ...] = (), **typed: str
) -> TestResponse:
    """Open a page, fill in the form of an action, tick boxes of these names, and send it."""
    form = form_of(client.get(page), action) | typed | dict.fromkeys(tick, "yes")
    return client.post(action, data=form)


def test_the_name_in_the_masthead_leads_to_the_people(harriet: FlaskClient) -> None:
    shown = harriet.get("/lots").get_data(as_text=True)

    assert '<a href="/people">Harriet Finch</a>' in shown
    said = text_of(harriet.get("/people"))
    assert "People of Harrow & Finch Homes" in said
    assert "Harriet Finch (you) harriet@example.com answers quotes, sees money, changes people joined" in said


def test_somebody_is_invited_with_rights(visits: Visits, harriet: FlaskClient) -> None:
    answer = send(harriet, "/people", "/people/invite", ("invite-money",),
                  **{"invite-person": "Una Cray", "invite-email": "una@example.com"})  # fmt: skip

    assert answer.status_code == 302
    assert ("invitation", "una@example.com") in visits.house.letters()
    said = text_of(harriet.get("/people"))
    assert "An invitation is on its way to una@example.com." in said
    assert "Una Cray una@example.com sees money invited Invite again" in said


def test_what_is_wrong_with_an_invitation_stands_beside_its_field(harriet: FlaskClient) -> None:
    page = send(harriet, "/people", "/people/invite", ("invite-accept",), **{"invite-email": "nowhere"})

    assert page.status_code == 422
    assert error_at(page, "invite-person") == "This is missing."
    assert "no mail address" in error_at(page, "invite-email")
    kept = form_of(page, "/people/invite")
    assert (kept["invite-email"], "invite-accept" in kept, "invite-money" in kept) == ("nowhere", True, False)


def test_a_right_that_one_lacks_is_refused_beside_the_rights(visits: Visits) -> None:
    clerk = visits.by(colleague(visits.house, "people"))

    page = send(clerk, "/people", "/people/invite", ("invite-money",),
                **{"invite-person": "Una Cray", "invite-email": "una@example.com"})  # fmt: skip

    assert page.status_code == 422
    assert error_at(page, "invite-accept").startswith("You can only give rights that you have yourself.")


def test_rights_are_changed_on_a_page_of_their_own(visits: Visits, harriet: FlaskClient) -> None:
    asker = colleague(visits.house)
    at = f"/people/{asker.person_id}"

    answer = send(harriet, at, at, ("rights-accept", "rights-money"))

    assert answer.status_code == 302
    assert people.actor_by_email(visits.house.parts, asker.email).rights == {"accept", "money"}


def test_rights_changed_by_another_meanwhile_are_not_undone(visits: Visits, harriet: FlaskClient) -> None:
    house, asker = visits.house, colleague(visits.house)
    at = f"/people/{asker.person_id}"
    harriet.post(at, data={"rights-had": "", "rights-accept": "yes"})

    late = harriet.post(at, data={"rights-had": "", "rights-money": "yes"})

    assert late.status_code == 409
    assert people.actor_by_email(house.parts, asker.email).rights == {"accept"}


def test_removing_is_asked_once_more_and_ends_an_open_sign_in(visits: Visits, harriet: FlaskClient) -> None:
    asker = colleague(visits.house)
    hers, at = visits.by(asker), f"/people/{asker.person_id}/remove"
    assert hers.get("/lots").status_code == 200

    asked = text_of(harriet.get(at))
    assert "Ada Quist is signed out at once, everywhere" in asked
    assert hers.get("/lots").status_code == 200  # nothing is done by asking
    assert harriet.post(at).headers["Location"] == "/people"

    assert hers.get("/lots").headers["Location"].startswith("/sign-in")
    assert hers.post("/ask").status_code == 401
    said = text_of(harriet.get("/people"))
    assert "Ada Quist is out. The name stays in the record." in said
    assert "Who left Name Mail address Left Ada Quist ada@example.com" in said
    assert harriet.get(at).status_code == 404


def test_the_last_who_changes_people_is_told_why_they_cannot_go(harriet: FlaskClient, visits: Visits) -> None:
    me = visits.house.builder.person_id
    assert "This is you." in text_of(harriet.get(f"/people/{me}/remove"))

    for page in (harriet.post(f"/people/{me}/remove"),
                 harriet.post(f"/people/{me}", data={"rights-had": "accept money people"})):  # fmt: skip
        assert page.status_code == 409
        assert "the last of Harrow & Finch Homes who can change its people" in text_of(page)


def test_who_removes_themselves_is_out(harriet: FlaskClient, visits: Visits) -> None:
    colleague(visits.house, "people")

    answer = harriet.post(f"/people/{visits.house.builder.person_id}/remove")

    assert answer.headers["Location"] == "/sign-in"
    assert harriet.get("/lots").headers["Location"].startswith("/sign-in")


def test_the_company_keeps_its_own_address(harriet: FlaskClient, visits: Visits) -> None:
    form = form_of(harriet.get("/people"), "/people/company")
    assert form["company-phone"] == "555-0120"

    harriet.post("/people/company", data=form | {"company-address": "9 Elm Street"})
    wrong = harriet.post("/people/company", data=form | {"company-email": "nowhere"})

    assert form_of(harriet.get("/people"), "/people/company")["company-address"] == "9 Elm Street"
    assert "no mail address" in error_at(wrong, "company-email")


def test_letters_are_chosen_and_the_choice_is_shown(harriet: FlaskClient, visits: Visits) -> None:
    harriet.post("/people/letters", data={"letters": ["days", "money", "nothing there is"]})

    page = harriet.get("/people").get_data(as_text=True)
    ticked = [kind for kind in ("quotes", "reminders", "days", "treated", "money", "certificates")
              if f'value="{kind}" checked' in page]  # fmt: skip
    assert ticked == ["days", "money"]


def test_who_may_not_change_people_sees_them_and_no_form_to_change_them(visits: Visits) -> None:
    asker = visits.by(colleague(visits.house))

    page = asker.get("/people")

    said, markup = text_of(page), page.get_data(as_text=True)
    assert "Ada Quist (you) ada@example.com asks and looks joined" in said
    assert "Invite somebody" not in said and "Keep the address" not in said
    assert "4 Weir Road" in said
    assert f"/people/{visits.house.builder.person_id}" not in markup
    assert "Invoices" not in said  # a kind of letters that is not theirs to have


def test_each_of_the_people_finds_their_part_of_the_sheets(visits: Visits) -> None:
    house = visits.house
    paid, sent = house.treated(), house.sent()
    invoice = house.invoice(paid).document.number
    seen = {}
    for name, rights in {
        "Asker": (),
        "Buyer": ("accept",),
        "Books": ("money",),
        "Clerk": ("people",),
    }.items():
        client = visits.by(colleague(house, *rights, name=f"{name} Quist"))
        sheets = [text_of(client.get(f"/lots/{paid}/{sheet}")) for sheet in SHEETS]
        sheets += [text_of(client.get("/lots")), text_of(client.get("/papers"))]
        seen[name] = (
            invoice in " ".join(sheets),
            client.get(f"/lots/{paid}/papers/invoice").status_code,
            "Accept" in text_of(client.get(f"/lots/{sent}/quote")),
        )

    assert seen == {"Asker": (False, 403, False), "Buyer": (False, 403, True), "Books": (True, 200, False),
                    "Clerk": (False, 403, False)}  # fmt: skip


SHEETS = ("takeoff", "quote", "treatment", "invoice", "warranty")


def test_who_may_not_is_told_plainly_and_whom_to_ask(visits: Visits) -> None:
    paid, sent = visits.house.treated(), visits.house.sent()
    asker = visits.by(colleague(visits.house))

    invoice, quote = asker.get(f"/lots/{paid}/invoice"), asker.get(f"/lots/{sent}/quote")

    assert "What is billed, paid and owed is not yours to see here. Ask Harriet Finch." in text_of(invoice)
    assert "Answering quotes is not among your rights. Ask Harriet Finch." in text_of(quote)
    assert "to pay" not in text_of(asker.get("/lots")) and "Treated 1" in text_of(asker.get("/lots"))


def test_the_office_changes_and_removes_a_builders_people(visits: Visits) -> None:
    house, asker = visits.house, colleague(visits.house)
    office, at = visits.by(visits.house.office), f"/office/people/{asker.person_id}"

    office.post(at, data={"rights-had": "", "rights-money": "yes"})
    assert people.actor_by_email(house.parts, asker.email).rights == {"money"}
    assert "Ada Quist ada@example.com sees money joined" in text_of(office.get("/office/people"))
    assert office.post(f"{at}/remove").headers["Location"] == "/office/people"
    assert "Left: Ada Quist." in text_of(office.get("/office/people"))

    refused = office.post(f"/office/people/{house.builder.person_id}/remove")
    assert refused.status_code == 409
    assert office.get(f"/office/people/{house.technician.person_id}").status_code == 404


def test_the_office_says_which_rights_somebody_it_invites_has(visits: Visits) -> None:
    office = visits.by(visits.house.office)
    form = form_of(office.get("/office/people"), "/office/people/invite")
    assert {"invite-accept", "invite-money", "invite-people"} <= set(
        form
    )  # as it was before there were rights
    typed = {"invite-kind": "builder", "invite-person": "Una Cray", "invite-email": "una@example.com",
             "invite-company": visits.house.builder.company_id or ""}  # fmt: skip
    del form["invite-money"]

    office.post("/office/people/invite", data=form | typed)

    assert people.actor_by_email(visits.house.parts, "una@example.com").rights == {"accept", "people"}


def test_a_letters_own_link_turns_its_kind_off_and_nothing_else(visits: Visits) -> None:
    house = visits.house
    house.sent()
    with house.parts.store.reading() as work:
        link = work.session.query(Letter).filter(Letter.subject == "quote_sent").one().unsubscribe
    guarded = make_visits(house, csrf=True).by(None)  # a mail program: nobody, without a token
    path = link.removeprefix(house.settings.base_url)
    asked = text_of(guarded.get(path))
    assert "“Quotes” goes to harriet@example.com" in asked and house.letters().count(QUOTE) == 1
    house.sent()
    assert house.letters().count(QUOTE) == 2  # by being asked, nothing is turned off

    for _time in range(2):
        answer = guarded.post(path, data={"List-Unsubscribe": "One-Click"})
        assert answer.status_code == 200 and "no longer goes to" in text_of(answer)

    house.booked()
    assert house.letters().count(QUOTE) == 2
    assert ("booked", "harriet@example.com") in house.letters()
    assert guarded.post(path[:-3] + "xxx").status_code == 409
    assert guarded.get("/people").headers["Location"].startswith("/sign-in")


QUOTE = ("quote_sent", "harriet@example.com")
