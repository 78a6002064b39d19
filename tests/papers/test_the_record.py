"""The treatment record and what is made from it, read back: field by field what the rules ask for."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import pytest
from msgspec import structs

from portal.core.documents import Amounts, Certifier, RecordPageDocument, TreatmentPhoto, to_stored
from portal.core.documents.notice import SIZES
from portal.papers import Papers
from tests.parts import documents
from tests.parts.pdf import bare, codes_in, opened, text_of

pytestmark = pytest.mark.slow

KINDS = ("treatment-record", "posted-notice", "building-statement", "service-figures")

#: 40 CFR 171.303(b)(7), what a commercial applicator's record of an application holds: the field as the
#: paragraph words it (in short), and how it stands on the paper.
FEDERAL = {
    "name and address of the person it was applied for": "Treated for Harrow Homes, 8 Mill Street, Marlow",
    "location of the application": "Location 112 Alder Lane, Marlow Ferry, TX 75999",
    "size of the area treated": "Size of the area treated 246.75 lineal feet of wall",
    "site to which it was applied": "Site exposed wood framing and sheathing of a house",
    "date and time": "Date and time March 9, 2027, 7:50 AM to 10:25 AM",
    "brand or product name": "Product Borate concentrate A",
    "EPA registration number": "EPA registration number 00000-000",
    "total amount applied": "Total amount applied 3.25 gal of concentrate in 6.75 gal of finished mix",
    "name of the certified applicator": "Certified applicator Noor Vale",
    "certification number": "Certificate number TX-CA-00417",
    "name of a noncertified applicator": "Noncertified applicator Ike Brandt",
}
#: Asked for by a state beyond that. Indiana: dilution and total volume of a wood-applied liquid. The others
#: are common practice, no source.
BEYOND = {
    "dilution (Indiana)": "Dilution 48.15% of concentrate by volume",
    "total volume (Indiana)": "6.75 gal of finished mix",
    "square feet": "493.5 square feet of wall, one face: 246.75 ft by 2 ft",
    "target": "Target wood-destroying insects and decay fungi",
    "classification": "Classification unclassified",
    "active ingredient": "Active ingredient disodium octaborate tetrahydrate",
    "container": "Lot number of the container B 4471",
    "rate": "a gallon of concentrate to 75.9 lineal feet, a gallon of finished mix to 36.6",
    "hours": "2.58 hours (155 minutes)",
    "method": "Method hand or backpack sprayer",
    "conditions": "Conditions Dry, 61 °F",
    "supervisor": "Supervisor Noor Vale",
    "the firm's license": "License TPCL 0000000",
    "client's phone": "(555) 555-0142",
    "coats by stretch": "8:10 AM – 8:40 AM 9:05 AM – 9:20 AM",
    "kept": "kept at least 10 years",
}
WHO = Certifier("Ike Brandt", "TX-CA-00417", supervisor="Noor Vale")


def page(number: int, kind: str, **said: str) -> dict[str, Any]:
    at = datetime(2027, 3, 10, 15, tzinfo=UTC)
    known = {"subject": "", "was": "", "now": "", "why": "Why?"} | said
    document = RecordPageDocument(
        "TR-2027-0009", number, kind, "Odile Marchbank", at, before=documents.FINGERPRINT, **known
    )
    return to_stored(document) | {"fingerprint": f"{number:x}" * 64}


PAGES = [
    page(1, "sent back", why="So little?"),
    page(2, "explained", subject="amounts", was="3.25 gal", now="3.52 gal", why="Two digits were swapped."),
    page(3, "amended", subject="product", was="Concentrate A", now="Concentrate C", why="Label read again."),
]


def made(papers: Papers, kind: str, pages: Any = (), **changes: Any) -> bytes:
    beside = documents.BESIDE[kind] | ({"pages": list(pages)} if pages else {})
    return papers.make(kind, documents.treatment(applicator=WHO, **changes), beside)


@pytest.mark.parametrize("field", FEDERAL)
def test_the_record_holds_each_field_of_40_cfr_171_303_b_7(papers: Papers, field: str) -> None:
    assert bare(FEDERAL[field]) in bare(text_of(made(papers, "treatment-record")))


def test_the_record_holds_what_states_ask_for_beyond_that(papers: Papers) -> None:
    said = bare(text_of(made(papers, "treatment-record")))

    assert [field for field, shown in BEYOND.items() if bare(shown) not in said] == []


def test_what_was_left_over_was_not_applied(papers: Papers) -> None:
    """6.75 gal mixed, 0.75 left: 6 gal went on, and of 3.25 gal of concentrate 6 parts in 6.75, 2.89 gal."""
    said = bare(text_of(made(papers, "treatment-record", left_over=Decimal("0.75"))))

    assert bare("Total amount applied 2.89 gal of concentrate in 6 gal of finished mix") in said
    assert bare("Mixed 3.25 gal of concentrate, 6.75 gal of finished mix; 0.75 gal of it left over") in said


def test_nothing_is_made_up_where_nothing_was_entered(papers: Papers) -> None:
    builder = structs.replace(documents.BUILDER, address=())

    said = bare(text_of(made(papers, "treatment-record", builder=builder)))

    assert bare("Treated for Harrow Homes, address not entered") in said


def test_further_pages_are_printed_behind_the_record_each_with_its_why(papers: Papers) -> None:
    read = opened(made(papers, "treatment-record", PAGES))

    assert len(read.pages) >= len(opened(made(papers, "treatment-record")).pages) + len(PAGES)
    for number, stored in enumerate(PAGES, 1):
        said = bare(read.pages[number - 1 - len(PAGES)].extract_text())
        wanted = (f"Page {number}:", "Odile Marchbank", "Mar 10, 2027", stored["why"], stored["was"],
                  stored["now"], stored["before"], stored["fingerprint"])  # fmt: skip
        assert [one for one in wanted if bare(one) not in said] == []


@pytest.mark.parametrize("kind", KINDS)
def test_whatever_is_made_from_an_amended_record_says_so_on_its_first_page(papers: Papers, kind: str) -> None:
    amended = bare(opened(made(papers, kind, PAGES)).pages[0].extract_text())
    plain = bare(opened(made(papers, kind)).pages[0].extract_text())

    assert (
        bare("Further pages belong to this record: 1, 2, 3.") in amended and bare("Concentrate C") in amended
    )
    assert bare("Further pages") not in plain


@pytest.mark.parametrize("size", SIZES)
def test_a_notice_is_as_large_as_was_set(papers: Papers, size: str) -> None:
    """Florida: a posted notice of at least 3 by 5 inches; Texas: a sticker of at least 1 by 2."""
    width, height = SIZES[size]
    said = bare(text_of(made(papers, "posted-notice", notice_size=size)))

    assert width >= 5 and height >= 3
    assert bare(f"The notice measures {width} by {height} inches.") in said


@pytest.mark.parametrize("size", SIZES)
def test_the_code_on_a_notice_of_any_size_leads_to_the_warranty(papers: Papers, size: str) -> None:
    """ISO/IEC 18004, read back from the rendered picture by an independent decoder (zxing-cpp)."""
    content = made(papers, "posted-notice", PAGES, notice_size=size)

    assert codes_in(content) == [documents.BESIDE["posted-notice"]["posted"]["code"]]
    assert bare("number 7KM2-PQR9-XZ4 with the house number") in bare(text_of(content))
    assert len(opened(content).pages) == 1


def test_a_notice_from_before_there_was_a_code_is_made_as_it_was(papers: Papers) -> None:
    content = papers.make("posted-notice", documents.treatment(), {"fingerprint": documents.FINGERPRINT})

    assert codes_in(content) == [] and bare("House 112 Alder Lane") in bare(text_of(content))


def test_a_notice_says_who_treated_what_when_and_with_what(papers: Papers) -> None:
    said = bare(text_of(made(papers, "posted-notice")))

    wanted = ("Sill & Plate Treatment", "(555) 555-0110", "License TPCL 0000000", "112 Alder Lane",
              "March 9, 2027", "Borate concentrate A, EPA registration number 00000-000",
              "Noor Vale, certificate TX-CA-00417", "TR-2027-0009")  # fmt: skip
    assert [one for one in wanted if bare(one) not in said] == []


def test_a_statement_says_that_the_wood_was_treated_in_place_by_the_label(papers: Papers) -> None:
    """IRC R318.1 counts field-applied wood treatment, by the label, among the methods of protection."""
    said = bare(text_of(made(papers, "building-statement")))

    wanted = ("To the building department", "treated in place, by the product’s label", "field-applied",
              "48.15% of concentrate by volume, 6.75 gal", "Foundation slab", "North side",
              "Certified applicator Noor Vale, certificate TX-CA-00417", "Applied by Ike Brandt")  # fmt: skip
    assert [one for one in wanted if bare(one) not in said] == []


#: What the service record of a builder's guarantee asks for: the fields of HUD-NPMA-99-B, from memory.
SERVICE = (
    "Company Sill & Plate Treatment", "License TPCL 0000000", "Builder Harrow Homes", "Property Lot 7",
    "Day of service March 9, 2027", "Construction slab", "Product Borate concentrate A",
    "EPA registration number 00000-000", "Approximate dilution 48.1%", "Approximate gallons 6.8 gal",
    "Goes with it treatment record TR-2027-0009", "Remarks A stack of trusses",
    "Noor Vale, certificate TX-CA-00417",
)  # fmt: skip


def test_the_figures_of_a_service_stand_on_one_page_and_name_no_form(papers: Papers) -> None:
    content = made(papers, "service-figures")
    said = bare(text_of(content))

    assert [one for one in SERVICE if bare(one) not in said] == []
    assert len(opened(content).pages) == 1
    assert not any(bare(name) in said for name in ("HUD", "NPMA", "99-A", "99-B"))


def test_an_amount_of_dye_and_water_left_over_shrinks_alike() -> None:
    record = documents.treatment(amounts=Amounts(Decimal(2), Decimal(2), Decimal(4)), left_over=Decimal(1))

    assert record.applied == Amounts(Decimal("1.5"), Decimal("1.5"), Decimal(3))


PHOTO = TreatmentPhoto(
    "0123456789ab" + "c" * 52,
    "1.1.S",
    "south side",
    "Main floor",
    "Lap siding.",
    documents.at(8, 5),
    (64, 48),
)


def test_the_record_names_each_photo_by_wall_fingerprint_and_time(papers: Papers) -> None:
    found = {"1.1.S": "sided", "1.1.W": "sided"}

    said = bare(text_of(made(papers, "treatment-record", found=found, photos=(PHOTO,))))

    assert bare("South side, Main floor Mar 9, 2027, 8:05 AM 0123456789ab Lap siding.") in said
    assert bare("Found otherwise than quoted, without a photo: west side, Main floor.") in said


def test_a_record_as_quoted_and_without_photos_says_nothing_of_them(papers: Papers) -> None:
    assert bare("photo") not in bare(text_of(made(papers, "treatment-record"))).lower()


def test_an_invoice_names_the_photos_of_each_difference_or_says_that_there_are_none(papers: Papers) -> None:
    bill = documents.invoice(
        found={"1.1.S": "sided", "1.1.W": "sided"}, photos=(PHOTO,), zone="America/Chicago"
    )
    walls = [line.key for line in bill.differences if line.key.startswith("1.")]

    said = bare(text_of(papers.make("invoice", bill, {})))

    assert said.count(bare("Photo 0123456789ab, Mar 9, 2027, 8:05 AM")) == 1
    assert said.count(bare("No photo of this wall is kept.")) == len(walls) - 1
