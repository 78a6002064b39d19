"""Who may come in, through the office's page."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import people
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def office(visits: Visits) -> FlaskClient:
    """Somebody of the office at their browser."""
    return visits.by(visits.house.office)


def send(client: FlaskClient, act: str, **typed: str) -> TestResponse:
    """Fill in one of the page's forms and send it."""
    name = {"invite": "invite", "builders": "builder"}[act]
    form = form_of(client.get("/office/people"), f"/office/people/{act}")
    return client.post(
        f"/office/people/{act}", data=form | {f"{name}-{key}": text for key, text in typed.items()}
    )


def test_a_technician_is_invited_with_a_certificate(visits: Visits, office: FlaskClient) -> None:
    answer = send(office, "invite", kind="technician", person="Ada Brook", email="ada@example.com",
                  certificate="CA-0900")  # fmt: skip

    assert answer.status_code == 302
    assert ("invitation", "ada@example.com") in visits.house.letters()
    said = text_of(office.get("/office/people"))
    assert "Ada Brook technician, CA-0900 ada@example.com invited" in said


def test_a_builders_person_is_invited_to_their_company(visits: Visits, office: FlaskClient) -> None:
    send(office, "invite", kind="builder", person="Cy Vane", email="cy@example.com",
         company=visits.house.rival.company_id or "")  # fmt: skip

    assert people.actor_by_email(visits.house.parts, "cy@example.com").company == "Osier Creek Builders"


def test_what_is_missing_is_told_beside_its_field_and_the_rest_is_kept(office: FlaskClient) -> None:
    page = send(office, "invite", kind="builder", email="no address")

    assert page.status_code == 422
    assert error_at(page, "invite-person") == "This is missing."
    assert "no mail address" in error_at(page, "invite-email")
    assert "Choose the builder" in error_at(page, "invite-company")
    assert form_of(page, "/invite")["invite-kind"] == "builder"


def test_nobody_is_invited_twice(office: FlaskClient) -> None:
    page = send(office, "invite", kind="technician", person="Wendell Pike", email="wendell@example.com")

    assert page.status_code == 422
    assert "here already" in error_at(page, "invite-email")


def test_only_an_owner_invites_office_people(visits: Visits, office: FlaskClient) -> None:
    typed = {"kind": "office", "person": "Una Reed", "email": "una@example.com"}

    assert send(office, "invite", **typed).status_code == 403
    assert send(visits.by(visits.house.owner), "invite", **typed).status_code == 302


def test_an_invitation_is_sent_once_more_until_it_is_taken_up(visits: Visits, office: FlaskClient) -> None:
    send(office, "invite", kind="technician", person="Ada Brook", email="ada@example.com")
    person = people.actor_by_email(visits.house.parts, "ada@example.com").person_id

    answer = office.post(f"/office/people/{person}/invite-again")

    assert answer.status_code == 302
    assert visits.house.letters().count(("invitation", "ada@example.com")) == 2
    joined = visits.house.technician.person_id
    assert office.post(f"/office/people/{joined}/invite-again").status_code == 409
    assert office.post("/office/people/nobody/invite-again").status_code == 404


def test_a_builder_is_added_once(visits: Visits, office: FlaskClient) -> None:
    typed = {"company": "Alder & Co", "address": "1 Mill Road", "phone": "555-0170", "email": "a@example.org"}

    assert send(office, "builders", **typed).status_code == 302
    page = send(office, "builders", **typed)

    assert page.status_code == 422
    assert "of this name already" in error_at(page, "builder-company")
    assert "Alder & Co" in text_of(office.get("/office/people"))
