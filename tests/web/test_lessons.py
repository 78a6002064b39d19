"""What finished jobs teach, as the office sees it, and the press that makes an edition of it."""

from __future__ import annotations

import pytest

from tests.acts.test_learning import finished
from tests.web.visits import Visits, form_of, text_of

pytestmark = pytest.mark.slow


def test_the_page_says_so_where_nothing_is_finished(visits: Visits) -> None:
    said = text_of(visits.by(visits.house.office).get("/office/lessons"))

    assert "0 finished jobs are counted" in said and "the first treated lot brings" in said


def test_an_owner_sees_the_spread_and_makes_the_edition_once(visits: Visits) -> None:
    house = visits.house
    finished(house, 5, "3.70")
    owner = visits.by(house.owner)
    page = owner.get("/office/lessons")
    form = form_of(page, "/office/lessons/product")

    first, again = (owner.post("/office/lessons/product", data=form) for _ in range(2))

    said = text_of(page)
    assert "5 finished jobs are counted" in said and "Wendell Pike" in said
    assert "A gallon of concentrate treats 100 80" in said
    assert first.status_code == 303 and again.status_code == 409
    assert "edition 2, since" in text_of(owner.get("/office/rates"))


def test_whoever_is_no_owner_sees_it_and_cannot_press(visits: Visits) -> None:
    house = visits.house
    finished(house, 5, "3.70")

    page = visits.by(house.office).get("/office/lessons")

    assert "/office/lessons/product" not in page.text and "Only an owner enters" in text_of(page)
