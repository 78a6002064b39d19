"""Agreements on prices through their pages."""

from __future__ import annotations

from datetime import timedelta

import pytest
from flask.testing import FlaskClient

from portal.acts.agreeing import AgreementView, list_agreements
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

PAGE = "/office/agreements"


@pytest.fixture
def owner(visits: Visits) -> FlaskClient:
    """The owner at their browser."""
    return visits.by(visits.house.owner)


def enter(visits: Visits, owner: FlaskClient, **typed: str):  # type: ignore[no-untyped-def]
    """Send the form of a new agreement with the house's builder."""
    company = {"agreement-company": visits.house.builder.company_id or ""}
    return owner.post(PAGE, data=form_of(owner.get(PAGE), PAGE) | company | typed)


def known(visits: Visits) -> tuple[AgreementView, ...]:
    """All agreements."""
    return list_agreements(visits.house.parts, visits.house.owner)


def test_bands_are_agreed_for_a_subdivision_and_stand_on_its_quotes_and_on_no_others(
    visits: Visits, owner: FlaskClient
) -> None:
    typed = {
        "agreement-subdivision": "Heron Rise", "bands[0].up_to_feet": "200", "bands[0].per_foot": "1.30",
        "bands[1].per_foot": "1.00",
    }  # fmt: skip
    answer = enter(visits, owner, **typed)

    house = visits.house
    own, other = house.sent(subdivision="heron rise"), house.sent(subdivision="Lime Kiln")
    number = known(visits)[0].agreed.number
    builder = visits.by(house.builder)
    page = text_of(builder.get(f"/lots/{own}/quote"))

    assert answer.status_code == 303
    assert f"By agreement {number}, for Heron Rise" in page
    assert "$1.30 a foot up to 200 ft, $1.00 a foot beyond." in page
    # 296 ft: 200 × 1.30 + 96 × 1.00. Worked by hand.
    assert "$356.00" in page
    assert number not in text_of(builder.get(f"/lots/{other}/quote"))
    assert number not in text_of(visits.by(house.rival).get("/lots"))


@pytest.mark.parametrize(
    ("typed", "at", "said"),
    [
        ({"agreement-company": ""}, "agreement-company", "Choose a builder."),
        ({"agreement-percent": "lots"}, "agreement-percent", "must be a number"),
        ({"agreement-percent": ""}, "agreement-percent", "Agree on bands of their own, or on a percentage"),
        ({"bands[0].per_foot": "1"}, "agreement-percent", "Agree on bands of their own, or on a percentage"),
        ({"agreement-first_day": "2020-01-01"}, "agreement-first_day", "begins today or later"),
        ({"agreement-first_day": "soon"}, "agreement-first_day", "is no day"),
        ({"agreement-last_day": "2027-01-01"}, "agreement-last_day", "is before the first"),
        ({"agreement-percent": "", "bands[0].up_to_feet": "9", "bands[0].per_foot": "free",
          "bands[1].per_foot": "1"}, "bands[0].per_foot", "must be a number"),
    ],
)  # fmt: skip
def test_what_cannot_be_agreed_on_is_told_beside_its_field_and_everything_typed_is_kept(
    visits: Visits, owner: FlaskClient, typed: dict[str, str], at: str, said: str
) -> None:
    whole = {"agreement-percent": "6", "agreement-subdivision": "Heron Rise", "agreement-note": "By phone."}
    sent = whole | typed

    page = enter(visits, owner, **sent)

    assert page.status_code == 422 and said in error_at(page, at)
    shown = form_of(page, PAGE)
    assert {name: shown[name] for name in sent} == sent
    assert not known(visits)


def test_an_agreement_sent_twice_is_one(visits: Visits, owner: FlaskClient) -> None:
    typed = form_of(owner.get(PAGE), PAGE) | {
        "agreement-company": visits.house.builder.company_id or "", "agreement-percent": "6",
    }  # fmt: skip
    for _time in range(2):
        assert owner.post(PAGE, data=typed).status_code == 303

    assert len(known(visits)) == 1


def test_an_agreement_is_ended_with_a_reason_and_the_office_looks_on(
    visits: Visits, owner: FlaskClient
) -> None:
    enter(visits, owner, **{"agreement-percent": "6"})
    address = f"{PAGE}/{known(visits)[0].id}"
    office, last = visits.by(visits.house.office), visits.house.parts.today() + timedelta(days=3)

    silent = owner.post(
        address, data=form_of(owner.get(address), address) | {"end-last_day": last.isoformat()}
    )
    refused = office.post(address, data={"end-last_day": last.isoformat(), "end-reason": "No."})
    ended = owner.post(address, data=form_of(silent, address) | {"end-reason": "The job is done."})

    assert (silent.status_code, refused.status_code, ended.status_code) == (422, 403, 303)
    assert known(visits)[0].agreed.last_day == last
    assert "The job is done." in text_of(office.get(address))
    assert "Only an owner enters or ends an agreement." in text_of(office.get(PAGE))
    assert office.post(PAGE, data={"agreement-first_day": "soon"}).status_code == 403
