"""The closing packet: each part in its outline and readable, and the signed certificate inside, unchanged."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from typing import Any

import pypdfium2
import pytest
import zxingcpp

from portal.acts import covering, packet, sealed
from portal.core.errors import NotFound, Refused
from tests.parts.house import House
from tests.parts.pdf import bare, opened, text_of
from tests.parts.warranties import owned

pytestmark = pytest.mark.slow


@pytest.fixture
def real(lite: House) -> House:
    lite.use_real()
    return lite


def in_force(house: House) -> str:
    return owned(house, house.paid())


def warranty_id(house: House, lot: str) -> str:
    with house.parts.store.reading() as work:
        from portal.store import warranties

        found = warranties.warranty_of(work, lot)
        assert found is not None
        return found.id


def chapters(outline: list[Any]) -> Iterator[Any]:
    """The outline's first level."""
    yield from (one for one in outline if not isinstance(one, list))


def test_it_holds_each_part_in_order_and_the_signed_certificate_unchanged(real: House) -> None:
    lot = in_force(real)
    made = packet.packet_of_lot(real.parts, real.builder, lot)
    pdf = opened(made.content)

    titles = [str(one.title) for one in chapters(pdf.outline)]
    assert [title.split(" W")[0].rstrip("0123456789ABCDEFGHJKMNPQRSTVWXYZ- ") for title in titles] == [
        "Closing packet", "Warranty certificate", "Treatment record", "Plan of the house", "Care sheet",
    ]  # fmt: skip
    pages = [pdf.get_destination_page_number(one) for one in chapters(pdf.outline)]
    assert pages == sorted(set(pages)) and pages[0] == 0
    for one, number in zip(titles, pages, strict=True):
        assert bare(one.split()[0]) in bare(pdf.pages[number].extract_text() or "")
    said = bare(text_of(made.content))
    terms = real.warranty(lot).document.terms
    for line in (*terms.covers, *terms.voids, *terms.narrows, real.warranty(lot).number):
        assert bare(line) in said
    signed = sealed.certificate(real.parts, warranty_id(real, lot))
    (name, contents), *more = pdf.attachments.items()
    assert more == [] and name == f"certificate-{real.warranty(lot).number}.pdf"
    assert hashlib.sha256(contents[0]).digest() == hashlib.sha256(signed).digest()
    assert b"/ByteRange" in contents[0] and b"/ByteRange" not in made.content.replace(contents[0], b"")


def test_its_code_is_read_from_the_picture_of_the_page_and_leads_to_the_record(real: House) -> None:
    """By zxing-cpp, which is not ours."""
    lot = in_force(real)
    made = packet.packet_of_lot(real.parts, real.office, lot)

    drawn = pypdfium2.PdfDocument(made.content)
    found = [code.text for page in drawn for code in zxingcpp.read_barcodes(page.render(scale=3).to_pil())]

    assert found and all(one.split("#")[0] == real.warranty(lot).link for one in found)


def test_it_is_made_once_and_anew_where_something_changed(lite: House) -> None:
    lot = in_force(lite)
    first = packet.packet_of_lot(lite.parts, lite.office, lot)
    again = packet.packet_of_lot(lite.parts, lite.builder, lot)
    assert first.content == again.content
    with pytest.raises(NotFound):
        packet.packet_of_lot(lite.parts, lite.rival, lot)
    covering.make_void(lite.parts, lite.owner, lot, "Standing water.")
    with pytest.raises(Refused):
        packet.packet_of_lot(lite.parts, lite.office, lot)


def test_the_owner_is_written_to_once_a_press(lite: House) -> None:
    lot = lite.paid()
    with pytest.raises(Refused, match="Name the owner"):
        packet.send_packet(lite.parts, lite.builder, lot, lite.key())
    owned(lite, lot)
    key = lite.key()
    for _ in range(2):
        packet.send_packet(lite.parts, lite.builder, lot, key)
    assert lite.letters().count(("packet", "ada@example.org")) == 1
