"""The page for whoever holds a certificate, and the whole way from the PDF's picture to the house's page."""

from __future__ import annotations

from pathlib import Path

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import covering, is_it_real, papers, sealed
from portal.core.cover.codes import read_code
from portal.store import warranties
from tests.parts.pdf import codes_in, opened
from tests.parts.pdf import text_of as said_in
from tests.parts.signatures import code_verifies, verifies
from tests.web.visits import Visits, error_at, form_of, large_form, press, text_of

pytestmark = pytest.mark.slow

PAGE = "/warranty/is-it-real"


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """A browser in which nobody is signed in."""
    return visits.by(None)


def send(browser: FlaskClient, content: bytes | None = None, text: str = "") -> TestResponse:
    """Send the form."""
    if content is None:
        return browser.post(PAGE, data={"text": text}, content_type="multipart/form-data")
    return browser.post(PAGE, **large_form({"text": text}, "paper", content, "certificate.pdf"))


@pytest.fixture
def certificate(visits: Visits) -> bytes:
    """A certificate as it is handed out, printed and signed."""
    visits.house.use_real()
    visits.app.extensions["sillbook"] = visits.house.parts
    lot_id = visits.house.paid()
    return papers.paper(visits.house.parts, visits.house.office, lot_id, "certificate").content


def test_from_the_pdf_to_the_page_and_back(
    visits: Visits, browser: FlaskClient, certificate: bytes, tmp_path: Path
) -> None:
    """The picture of the page is decoded by zxing-cpp; both signatures are checked by openssl."""
    house = visits.house
    [scanned] = codes_in(certificate)

    page = browser.get(scanned.removeprefix(house.settings.base_url).partition("#")[0])
    code = read_code(scanned)
    keys = browser.get("/warranty/keys.pem").get_data(as_text=True)

    assert page.status_code == 200 and code.number in text_of(page)
    public = keys[keys.index("-----BEGIN PUBLIC KEY-----") :]
    assert code_verifies(code.said, code.signature, public, tmp_path)
    (tmp_path / "office.crt").write_text(
        keys[keys.index("-----BEGIN CERT") : keys.index("-----BEGIN PUBLIC KEY-----")]
    )
    assert verifies(certificate, tmp_path / "office.crt", tmp_path)
    changed = certificate.replace(b"endobj", b"endobJ", 1)
    assert not verifies(changed, tmp_path / "office.crt", tmp_path)
    assert "unchanged" in text_of(send(browser, certificate))
    assert "changed after it was signed" in text_of(send(browser, changed))


def test_the_certificate_is_read_back_whole(visits: Visits, certificate: bytes) -> None:
    said = said_in(certificate)
    [row] = visits.house.parts.seal.public()

    for part in (
        "Treating again.", "Wood cut afterward.", "South side", "57.00", "Borate concentrate A", "00000-00",
        "May 4, 2027", "May 3, 2037", "The office's own promise.", "is-it-real", "Fingerprint of this",
    ):  # fmt: skip
        assert part in said, part
    field = opened(certificate).root_object["/AcroForm"]["/Fields"][0].get_object()
    assert field["/V"]["/SubFilter"] == "/ETSI.CAdES.detached"
    assert opened(certificate).root_object["/Lang"] == "en-US" and row.name
    assert opened(certificate).root_object["/MarkInfo"]["/Marked"]  # still tagged, as before it was signed


def test_the_answer_says_number_and_state_and_nothing_of_the_house(
    browser: FlaskClient, visits: Visits, certificate: bytes
) -> None:
    answer = send(browser, certificate)
    said = text_of(answer)

    number = read_code(codes_in(certificate)[0]).number
    assert "This PDF is a certificate of this office, unchanged." in said
    assert f"Warranty {number}" in said and "in force" in said
    for hidden in ("Sawyer", "Harrow", "Wendell", "Lot ", "$", "House number 1"):
        assert hidden not in said, hidden


def test_the_printed_fingerprint_is_known(browser: FlaskClient, certificate: bytes) -> None:
    printed = said_in(certificate).partition("Fingerprint of this certificate: ")[2][:64]

    assert "stands on a certificate of this office" in text_of(send(browser, text=printed))


def test_what_cannot_be_checked_is_told_beside_its_field_and_the_text_kept(browser: FlaskClient) -> None:
    for content, text, at, says in (
        (None, "", "paper", "Choose the PDF of the certificate"),
        (b"GIF89a", "", "paper", "This is not a PDF."),
        (b"%PDF-1.7", "ab", "text", "One of the two is enough"),
        (b"%PDF-" + bytes(is_it_real.LARGEST), "", "paper", "too large"),
        (None, "12", "text", "A fingerprint has 64 digits"),
        (None, "1.x.y", "text", "not the code of a certificate"),
    ):
        answer = send(browser, content, text)
        assert answer.status_code == 422 and says in error_at(answer, at), says
        assert form_of(answer, "")["text"] == text


def test_a_stranger_is_told_so_and_slowed_down(browser: FlaskClient) -> None:
    told = text_of(send(browser, b"%PDF-1.7\n%%EOF"))
    assert "This is not a certificate of this office" in told
    assert "A closing packet is not signed itself" in told, "whoever checks one is not left with a no"
    answers = [send(browser, text=f"{n:064x}") for n in range(is_it_real.DOOR.free)]

    assert answers[-1].status_code == 429 and int(answers[-1].headers["Retry-After"]) > 0
    assert "Too many tries" in text_of(answers[-1])


def test_the_page_is_not_indexed_and_shows_the_keys(
    browser: FlaskClient, visits: Visits, certificate: bytes
) -> None:
    page = browser.get(PAGE)

    [pair] = visits.house.parts.seal.public()
    assert pair.name in text_of(page) and pair.sha256 in text_of(page)
    for address in (PAGE, "/warranty/keys.pem"):
        assert "noindex" in browser.get(address).headers["X-Robots-Tag"]
    assert "PRIVATE" not in browser.get("/warranty/keys.pem").get_data(as_text=True)


def test_an_office_without_keys_says_so_and_signs_nothing(visits: Visits, browser: FlaskClient) -> None:
    assert "The office has no keys yet" in text_of(browser.get(PAGE))


def test_the_office_revokes_a_link_with_a_reason(visits: Visits) -> None:
    house, lot_id = visits.house, visits.house.paid()
    office, before = visits.by(house.office), house.warranty(lot_id).link

    refused = press(office, lot_id, "replace-link", "warranty", reason="")
    assert refused.status_code == 422 and "Give the reason" in text_of(refused)
    assert house.warranty(lot_id).link == before

    done = press(office, lot_id, "replace-link", "warranty", reason="The certificate was stolen.")
    assert done.status_code == 303 and house.warranty(lot_id).link != before
    assert "revoked the warranty’s link" in text_of(office.get(f"/office/lots/{lot_id}/warranty"))
    scanned = visits.by(None).get(before.removeprefix(house.settings.base_url))
    assert scanned.status_code == 404 and "The warranty number and the house number" in text_of(scanned)
    assert 'href="/warranty"' in scanned.text.split("<main")[1]


def test_of_a_void_warranty_no_certificate_is_said_to_hold(
    visits: Visits, browser: FlaskClient, certificate: bytes
) -> None:
    house = visits.house
    number = read_code(codes_in(certificate)[0]).number
    with house.parts.store.reading() as work:
        found = warranties.by_number(work, number)
        assert found is not None
        lot_id = found.lot_id
    sealed.replace_link(house.parts, house.office, lot_id, "The certificate was stolen.")
    assert "Ask for the one that holds." in text_of(send(browser, certificate))

    covering.make_void(house.parts, house.owner, lot_id, "A wall was cut out.")

    said = text_of(send(browser, certificate))
    assert number in said and "void" in said and "Ask for the one that holds." not in said
