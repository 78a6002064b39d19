"""The page of papers, and ZIPs of them as they come over the wire."""

from __future__ import annotations

import io
import zipfile
from contextlib import ExitStack

import pytest
from flask.testing import FlaskClient

from portal.web.builder import shelving
from tests.web.visits import Visits, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """The builder's."""
    return visits.by(visits.house.builder)


def files(client: FlaskClient, address: str) -> list[str]:
    """The names in a ZIP."""
    answer = client.get(address)
    assert answer.status_code == 200 and answer.mimetype == "application/zip", address
    with zipfile.ZipFile(io.BytesIO(answer.get_data())) as archive:
        assert archive.testzip() is None
        return archive.namelist()


def test_papers_stand_by_subdivision_with_a_zip_each(visits: Visits, browser: FlaskClient) -> None:
    first = visits.house.treated(name="Lot 7", subdivision="Quarry Bend")
    visits.house.sent(name="Lot 8", subdivision="Osier Flats")

    page = browser.get("/papers")

    said, markup = text_of(page), page.get_data(as_text=True)
    assert said.index("Osier Flats ZIP of Osier Flats") < said.index("Quarry Bend ZIP of Quarry Bend")
    assert "All 8 papers below as one ZIP" in said
    assert f'href="/lots/{first}/papers.zip"' in markup and "/papers.zip?subdivision=Osier+Flats" in markup
    narrowed = text_of(browser.get("/papers?subdivision=Osier+Flats"))
    assert "Lot 8" in narrowed and "Lot 7" not in narrowed
    assert "No lot of yours is like that" in text_of(browser.get("/papers?text=nowhere"))


def test_each_zip_holds_what_its_link_says(visits: Visits, browser: FlaskClient) -> None:
    lot = visits.house.treated(name="Lot 7", subdivision="Quarry Bend")
    visits.house.sent(name="Lot 8", subdivision="Osier Flats")

    assert len(files(browser, "/papers.zip")) == 9
    assert len(files(browser, f"/lots/{lot}/papers.zip")) == 8
    narrowed = files(browser, "/papers.zip?subdivision=Osier+Flats")
    assert [name.partition("/")[0] for name in narrowed] == ["Osier Flats", "index.csv"]
    assert all(name.count("/") in (0, 2) for name in narrowed)
    named = browser.get("/papers.zip?subdivision=Osier+Flats").headers["Content-Disposition"]
    assert named.startswith('attachment; filename="papers-Osier-Flats.zip";')


def test_a_name_that_is_not_ascii_is_kept(visits: Visits, browser: FlaskClient) -> None:
    visits.house.sent(name="Lot 7", subdivision="Müller’s Bend")

    named = browser.get("/papers.zip?subdivision=Müller’s+Bend").headers["Content-Disposition"]

    assert named == (
        'attachment; filename="papers-Mullers-Bend.zip"; '
        "filename*=UTF-8''papers-M%C3%BCller%E2%80%99s-Bend.zip"
    )


def test_nothing_makes_no_zip(browser: FlaskClient) -> None:
    answer = browser.get("/papers.zip")

    assert answer.status_code == 409 and "There are no papers to put into a ZIP." in text_of(answer)


def test_only_a_few_zips_are_made_at_once_and_the_place_is_given_back(
    visits: Visits, browser: FlaskClient
) -> None:
    visits.house.sent()
    with ExitStack() as held:
        for _one in range(2):
            assert shelving.AT_ONCE.acquire(blocking=False)
            held.callback(shelving.AT_ONCE.release)
        full = browser.get("/papers.zip")
        assert full.status_code == 409 and "Other ZIPs are being made just now." in text_of(full)

    for _time in range(5):
        browser.get("/papers.zip").close()  # read or not
    assert len(files(browser, "/papers.zip")) == 2
