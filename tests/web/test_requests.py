"""Requests that no page of ours makes: the head alone, other methods, bytes that are no text."""

from __future__ import annotations

import pytest

from portal.store.tables import Edition, Try
from tests.parts.house import House
from tests.web.visits import error_at, make_visits, text_of


@pytest.mark.parametrize("path", ["/", "/sign-in", "/warranty", "/lots", "/office/today", "/nothing"])
def test_asked_for_the_head_alone_the_answer_is_that_of_the_page(lite: House, path: str) -> None:
    client = make_visits(lite, csrf=True).by(None)

    page, head = client.get(path), client.head(path)

    assert head.status_code == page.status_code
    assert head.headers.get("Location") == page.headers.get("Location")
    assert head.data == b""


def test_a_head_enters_nothing_whatever_it_carries(lite: House) -> None:
    owner, nobody = make_visits(lite, csrf=True).by(lite.owner), make_visits(lite, csrf=True).by(None)
    editions = lite.rows(Edition)

    answers = [
        owner.open("/office/rates/terms", method="HEAD", data={"first_day": "2027-05-04", "years": "9"}),
        nobody.open("/warranty", method="HEAD", data={"number": "2222-2222-222", "house_number": "1"}),
    ]

    assert [answer.status_code for answer in answers] == [200, 200]
    assert (lite.rows(Edition), lite.rows(Try)) == (editions, 0)


@pytest.mark.parametrize("method", ["GET", "PUT", "DELETE", "PROPFIND", "BREW"])
def test_another_method_than_the_forms_own_is_told_where_to_go(lite: House, method: str) -> None:
    answer = make_visits(lite, csrf=True).by(lite.builder).open("/lots/none/quote/accept", method=method)

    assert answer.status_code == 405
    assert "This address only takes a form." in text_of(answer)


def test_more_than_any_form_holds_is_refused(lite: House) -> None:
    answer = make_visits(lite).by(lite.builder).post("/ask", data={"notes": "x" * 3_000_000})

    assert answer.status_code == 413
    assert "larger than any form here" in text_of(answer)


@pytest.mark.parametrize("body", [b"number=%ff&house_number=\xff", b"number=%00&house_number=%00", b"&&=&"])
@pytest.mark.parametrize("kind", ["application/x-www-form-urlencoded", "multipart/form-data", "text/plain"])
def test_bytes_that_are_no_text_are_one_more_wrong_pair(house: House, body: bytes, kind: str) -> None:
    answer = make_visits(house).by(None).post("/warranty", data=body, content_type=kind)

    assert answer.status_code == 404
    assert "No such pair is known." in text_of(answer)


@pytest.mark.parametrize("path", ["/sign-in", "/forgot"])
def test_a_mail_address_that_is_no_text_is_told_beside_its_field(house: House, path: str) -> None:
    answer = make_visits(house).by(None).post(path, data={"email": "a\0@example.com", "password": "b"})

    assert error_at(answer, "email") == "There is a character in here that cannot be printed."


@pytest.mark.parametrize("path", ["/lots?text=%00", "/lots/%00", "/papers?text=a%00", "/lots?%00=1"])
def test_an_address_that_is_no_text_is_no_page(house: House, path: str) -> None:
    assert make_visits(house).by(house.builder).get(path).status_code == 404


@pytest.mark.parametrize("cookie", ["sillbook=garbage", "sillbook=eyJ.e.x", "=;=;", "sillbook=" + "A" * 4000])
def test_a_cookie_that_is_not_ours_is_nobodys(lite: House, cookie: str) -> None:
    client = make_visits(lite).app.test_client(use_cookies=False)  # its own jar would win over the header

    answer = client.get("/lots", headers={"Cookie": cookie})

    assert answer.status_code == 302
    assert answer.headers["Location"].startswith("/sign-in")
