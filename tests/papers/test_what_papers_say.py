"""Every figure of a document stands on its paper; nothing stands there that the document does not say."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import msgspec
import pytest

from portal.core.documents import (
    Amounts,
    Certifier,
    InPackage,
    Line,
    LotFeet,
    QuoteDocument,
    from_stored,
    to_stored,
)
from portal.core.pricing.waiting import cost_of_waiting
from portal.core.treatment.equipment import WORDS, equipment
from portal.papers import Papers
from portal.papers.recipe import recipe
from portal.papers.sheets import SHEETS
from tests.papers.conftest import FORMATS
from tests.parts import documents
from tests.parts.pdf import bare, codes_in, opened, text_of

pytestmark = pytest.mark.slow

FOUND = {"1.1.S": "sided", "1.1.W": "sided"}


def missing(content: bytes, *expected: Iterable[str] | str) -> list[str]:
    said = bare(text_of(content))
    wanted = [one for part in expected for one in ([part] if isinstance(part, str) else part)]
    return [one for one in wanted if bare(one) not in said]


def money(amount: Decimal) -> str:
    return FORMATS.money(amount)


def test_a_quote_says_all_its_figures(papers: Papers) -> None:
    extra = Line("extra", "Second trip", Decimal("75.00"), reason="Framing of the garage comes a week later")
    quote = documents.quote(extras=[extra], remarks="Gate code 4410.")

    content = papers.make("quote", quote, documents.BESIDE["quote"])

    offer, estimate = quote.offer, quote.estimate
    assert not missing(
        content,
        (f"{wall.feet}" for wall in quote.walls),
        (money(line.amount) for line in offer.lines),
        (line.label for line in offer.lines),
        (f"{line.feet} {money(line.rate)}" for line in offer.lines if line.feet and line.rate),
        (money(a) for a in (offer.subtotal, -offer.discount, offer.tax, offer.total)),
        "Discount, 3%",
        "Tax, 8.25%",
        extra.reason,
        estimate["feet"]["total"],
        estimate["feet"]["interior"],
        estimate["product"]["concentrate"],
        (money(wall.amount) for wall in quote.clause_walls),
        money(quote.clause_cap),
        "$0.60 a foot",
        "$0.25 a foot",
        "minimum charge of $395.00",
        quote.product.name,
        quote.product.registration,
        quote.product.active_ingredient,
        "edition 3",
        "March 27, 2027",
        "March 15, 2027",
        "March 29, 2027",
        quote.terms.title,
        "10 years",
        quote.terms.covers,
        quote.terms.voids,
        quote.remarks,
        estimate["notes"],
        documents.FINGERPRINT,
        "no sawdust or debris",
    )


def test_a_quote_says_what_the_siding_comes_to_and_that_the_clause_goes_with_it(papers: Papers) -> None:
    quote = documents.quote(siding_starts=None)

    content = papers.make("quote", quote, documents.BESIDE["quote"])

    after = cost_of_waiting(quote).after
    assert not missing(
        content,
        f"the whole price comes to {money(after)} instead of {money(quote.offer.total)}",
        "Whoever accepts the quote accepts this with it.",
    )


def test_the_page_and_the_paper_of_a_quote_take_their_sentences_from_one_place() -> None:
    """A sentence that both say stands in macros/quote.html alone; headings may stand twice."""
    templates = Path(__file__).resolve().parents[2] / "templates"

    def sentences(*patterns: str) -> set[str]:
        files = [path for pattern in patterns for path in templates.glob(pattern)]
        texts = [text for path in files for text in re.findall(r"_\('([^']*)'", path.read_text())]
        return {text for text in texts if len(text) > 40}

    page, paper = sentences("shared/*quote*.html"), sentences("papers/quote*.html")
    assert page and paper and sentences("macros/quote.html")
    assert page & paper == set()


def test_a_quote_defers_to_label_code_and_licensed_applicator(papers: Papers) -> None:
    content = papers.make("quote", documents.quote(), documents.BESIDE["quote"])

    assert not missing(
        content, "figures for planning", "The product’s label, local code and a licensed applicator decide"
    )


def test_a_quote_of_an_estimated_house_says_how_far_it_may_be_off(papers: Papers) -> None:
    quote = documents.quote(documents.house(documents.level(**documents.BY_AREA)))

    content = papers.make("quote", quote, documents.BESIDE["quote"])

    feet = quote.estimate["feet"]
    assert not missing(
        content,
        "Estimated, not measured",
        FORMATS.number(feet["low"]),
        FORMATS.number(feet["high"]),
        money(Decimal(quote.estimate["price_low"])),
        money(Decimal(quote.estimate["price_high"])),
    )


def test_a_quote_without_open_walls_says_that_siding_adds_nothing(papers: Papers) -> None:
    quote = documents.quote(documents.house(documents.level(siding="sided")))

    content = papers.make("quote", quote, documents.BESIDE["quote"])

    assert not missing(content, "Nothing can be added for siding.")


def test_a_quote_says_the_price_of_waiting(papers: Papers) -> None:
    """What it is with the siding on is what an invoice of the house found sided comes to."""
    quote = documents.quote()
    sided = documents.invoice(quote, dict.fromkeys((wall.key for wall in quote.walls), "sided")).owed.total

    content = papers.make("quote", quote, documents.BESIDE["quote"])

    assert not missing(
        content,
        "The price of waiting",
        "Sent, Thu, Feb 25",
        "Last good day, Fri, Mar 12",
        "Siding starts, Mon, Mar 15",
        "Insulation, Mon, Mar 29",
        "Book a day up to Friday, March 12, 2027. It is the last working day before siding starts on Monday",
        f"the price is {money(quote.offer.total)}. With the siding on along every wall it is {money(sided)}",
        f"{money(sided - quote.offer.total)} more",
    )


def test_a_quote_sent_too_late_says_that_the_last_good_day_is_past(papers: Papers) -> None:
    quote = documents.quote(siding_starts=date(2027, 2, 25), insulation_starts=None)

    content = papers.make("quote", quote, documents.BESIDE["quote"])

    assert not missing(content, "The last good day is past: it was Wednesday, February 24, 2027")


@pytest.mark.parametrize("kept", ["no day", "nothing to side", "kept before it told its minimum"])
def test_quotes_without_what_waiting_needs_are_printed_all_the_same(papers: Papers, kept: str) -> None:
    sided = documents.house(documents.level(siding="sided"))
    quote = documents.quote(sided) if kept == "nothing to side" else documents.quote()
    stored = to_stored(quote) | ({"siding_starts": None} if kept == "no day" else {})
    if kept == "kept before it told its minimum":
        del stored["minimum"]

    content = papers.make("quote", from_stored(QuoteDocument, stored), documents.BESIDE["quote"])

    told = missing(content, "The price of waiting") == []
    assert told == (kept == "kept before it told its minimum")


def in_package(**changed: object) -> InPackage:
    """What a quote of the sample house says of its package of two lots."""
    given = {
        "number": "P-2027-0003", "name": "Alder Lane", "feet": Decimal("592.00"),
        "lots": (LotFeet("Lot 7", Decimal("296.00")), LotFeet("Lot 8", Decimal("296.00"))),
        "whole": Decimal("785.40"), "alone": Decimal("9999.00"),
    }  # fmt: skip
    return InPackage(**given | changed)  # type: ignore[arg-type]


def test_a_quote_in_a_package_says_what_its_slices_ran_over_and_how_long_it_holds(papers: Papers) -> None:
    quote = msgspec.structs.replace(documents.quote(), package=in_package())
    alone = msgspec.structs.replace(quote, package=in_package(lots=()))

    said, without = (papers.make("quote", one, documents.BESIDE["quote"]) for one in (quote, alone))

    assert not missing(
        said, "over the 592.00 ft of 2 lots of package P-2027-0003, Alder Lane: $785.40 for all of them",
        "The lots: Lot 7 with 296.00 ft, Lot 8 with 296.00 ft. Each lot’s price holds by itself",
        "By itself the treatment of this lot would be $9,999.00",
    )  # fmt: skip
    assert not missing(without, "Its price stands by itself.", "Each lot’s price holds by itself")
    assert bare("The slices of the treatment") not in bare(text_of(without))


def test_an_estimated_quote_in_a_package_says_how_far_its_own_price_may_be_off(papers: Papers) -> None:
    quote = documents.quote(documents.house(documents.level(**documents.BY_AREA)))
    priced = in_package(price_low=Decimal("611.11"), price_high=Decimal("822.22"))

    said = papers.make("quote", msgspec.structs.replace(quote, package=priced), documents.BESIDE["quote"])

    assert not missing(said, "Before extra lines that is $611.11 to $822.22.")


def test_the_cover_of_a_package_lists_its_quotes_their_sum_and_the_concentrate_of_all(papers: Papers) -> None:
    cover = documents.cover()

    said = papers.make("package", cover, documents.BESIDE["package"])

    assert not missing(
        said, [lot.quote for lot in cover.lots], [lot.fingerprint for lot in cover.lots], "$845.30",
        "Q-2027-0012 rev. 1, accepted", "ran over 592.00 ft together", "it takes 4 containers fewer",
        "Lot by lot a part-used container is left behind by 2 lots; together it is one.",
        "1 of 1 gal, 1 of 5 gal: 0.08 gal left over", "used within the time it gives",
    )  # fmt: skip


def test_an_acceptance_names_who_when_and_exactly_what(papers: Papers) -> None:
    quote = documents.quote()

    content = papers.make("acceptance", quote, documents.BESIDE["acceptance"])

    assert not missing(
        content,
        "Ada Quist",
        "Feb 27, 2027, 2:32 PM",
        "PO 88-1204",
        "Q-2027-0012",
        "Revision 2",
        money(quote.offer.total),
        money(quote.clause_cap),
        documents.FINGERPRINT,
    )


YESES = [
    {"name": "Pia Holm", "at": "2027-02-27T09:05-06:00", "email": "pia@purchaser.example.org",
     "purchase_order": "PO 88-1204", "mailed_by": "Ivo Lath"},
    {"name": "Ada Quist", "at": "2027-02-27T14:32-06:00", "email": "ada@harrow.example.com",
     "purchase_order": "", "mailed_by": ""},
]  # fmt: skip


def test_an_acceptance_by_two_names_both_and_how_each_said_yes(papers: Papers) -> None:
    beside = documents.BESIDE["acceptance"] | {"yeses": YESES}

    content = papers.make("acceptance", documents.quote(), beside)

    assert len(opened(content).pages) == 1
    assert not missing(
        content,
        "Pia Holm and Ada Quist accepted quote Q-2027-0012 rev. 2",
        "Feb 27, 2027, 9:05 AM",
        "through a link mailed to pia@purchaser.example.org by Ivo Lath",
        "Feb 27, 2027, 2:32 PM",
        "signed in for the builder as ada@harrow.example.com",
        "PO 88-1204",
        "Revision 2",
        "typed by whoever opened that link",
        documents.FINGERPRINT,
    )


def test_an_acceptance_by_one_who_signed_in_speaks_of_no_link(papers: Papers) -> None:
    content = papers.make("acceptance", documents.quote(), documents.BESIDE["acceptance"])

    assert not missing(content, "Ada Quist accepted quote", "signed in for the builder as", "ada@harrow")
    assert missing(content, "through a link") and missing(content, "opened that link")


def test_an_acceptance_through_a_link_says_so_on_one_page(papers: Papers) -> None:
    beside = documents.BESIDE["acceptance"] | {"accepted_by": "Pia Holm", "yeses": YESES[:1]}

    content = papers.make("acceptance", documents.quote(), beside)

    assert len(opened(content).pages) == 1
    assert not missing(content, "Pia Holm accepted quote", "opened that link", documents.FINGERPRINT)
    assert not missing(content, "through a link mailed to pia@purchaser.example.org by Ivo Lath")


def test_an_acceptance_from_before_each_yes_was_kept_reads_as_it_did(papers: Papers) -> None:
    beside = {name: value for name, value in documents.BESIDE["acceptance"].items() if name != "yeses"}

    content = papers.make("acceptance", documents.quote(), beside)

    assert not missing(content, "Accepted by Ada Quist", "PO 88-1204", documents.FINGERPRINT)
    assert missing(content, "signed in for the builder as")


def test_an_acceptance_without_an_order_says_so(papers: Papers) -> None:
    beside = documents.BESIDE["acceptance"] | {"purchase_order": ""}

    assert not missing(papers.make("acceptance", documents.quote(), beside), "Purchase order none given")


def test_a_field_sheet_has_walls_load_recipe_and_minutes(papers: Papers) -> None:
    sheet = documents.field_sheet()

    content = papers.make("field-sheet", sheet, {})

    product, minutes = sheet.estimate["product"], sheet.estimate["minutes"]
    shown = [m for m in minutes if Decimal(minutes[m])]
    assert not missing(
        content,
        sheet.technician,
        "Tuesday, March 9, 2027",
        "112 Alder Lane",
        "Marlow Ferry, TX 75999",
        sheet.notes,
        (f"{wall.feet}" for wall in sheet.walls),
        product["concentrate"],
        product["finished"],
        f"{product['dye_floz']} fl oz",
        f"{product['water']} gal",
        "container of 1 gal",
        "4 ×",
        "Batches 1 to 3, each",
        (FORMATS.fixed(minutes[m], 0) for m in shown),
        "no sooner than 20 minutes",
        sheet.product.registration,
    )


def test_the_batches_of_a_recipe_add_up_to_what_is_loaded() -> None:
    """40.25 gallons of concentrate, a gallon to a batch: forty full ones and a quarter."""
    product = documents.quote(
        documents.house(documents.level(outline={"by": "measured", "length": 3939.25}, siding="open"))
    ).estimate["product"]
    lines = recipe(product["batches"])

    assert [(line.first, line.last) for line in lines] == [(1, 40), (41, 41)]
    counts = [line.last - line.first + 1 for line in lines]
    total = sum(n * line.concentrate for n, line in zip(counts, lines, strict=True))
    assert total == Decimal(product["concentrate"]) == Decimal("40.25")


CAUTIONS = [
    "label is the law",
    "Coveralls, gloves and eye protection",
    "boxes covered",
    "stains sprayers",
    "respirator",
    "Nobody else in the work area",
]


@pytest.mark.parametrize("foundation", ["slab", "crawl space"])
def test_a_field_sheet_cautions_before_the_first_wall(papers: Papers, foundation: str) -> None:
    place = msgspec.structs.replace(documents.PLACE, foundation=foundation)

    content = papers.make("field-sheet", documents.field_sheet(place=place), {})

    first = bare(opened(content).pages[0].extract_text())
    assert all(bare(caution) in first for caution in CAUTIONS)
    assert (bare("This house has a crawl space: wear a respirator in it.") in first) == (
        foundation == "crawl space"
    )


#: 40 CFR 171.303(b)(7)(i) to (ix): what a record of an application of a restricted use product holds.
#: Read in the published text; how each field is worded here is our own.
FEDERAL = {
    "client name": "Harrow Homes",
    "client address": "8 Mill Street, Marlow Ferry, TX 75999",
    "location": "Location 112 Alder Lane, Marlow Ferry, TX 75999",
    "size of the area": "Size of the area treated 246.75 lineal feet of wall",
    "site": "Site exposed wood framing and sheathing",
    "date and time": "March 9, 2027, 7:50 AM to 10:25 AM",
    "product": "Product Borate concentrate A",
    "EPA registration number": "EPA registration number 00000-000",
    "total amount": "Total amount applied 3.25 gal of concentrate",
    "certified applicator": "Certified applicator Noor Vale",
    "certificate number": "Certificate number TX-CA-00417",
    "noncertified applicator": "Noncertified applicator none",
}


def test_a_treatment_record_holds_what_the_law_asks(papers: Papers) -> None:
    content = papers.make("treatment-record", documents.treatment(), documents.BESIDE["treatment-record"])

    said = bare(text_of(content))
    assert [field for field, shown in FEDERAL.items() if bare(shown) not in said] == []


def test_who_sprayed_under_a_supervisor_is_named_as_noncertified(papers: Papers) -> None:
    who = Certifier("Ike Brandt", "TX-CA-00417", supervisor="Noor Vale")

    content = papers.make(
        "treatment-record", documents.treatment(applicator=who), documents.BESIDE["treatment-record"]
    )

    assert not missing(content, "Certified applicator Noor Vale", "Noncertified applicator Ike Brandt, under")


def test_a_treatment_record_says_what_was_found_and_done(papers: Papers) -> None:
    record = documents.treatment(
        found=FOUND, amounts=Amounts(Decimal("3.25"), Decimal("3.50"), Decimal("3.4"))
    )

    content = papers.make("treatment-record", record, documents.BESIDE["treatment-record"])

    assert not missing(
        content,
        "8:10 AM – 8:40 AM",
        "9:05 AM – 9:20 AM",
        "9:25 AM – 10:25 AM",
        "6.75 gal of finished mix",
        "3.4 fl oz",
        "48.15% of concentrate",
        record.conditions,
        record.problems,
        record.checks,
        record.method,
        record.target,
        record.container_lot,
        "Noor Vale, Mar 9, 2027, 10:25 AM",
        documents.FINGERPRINT,
        "South side Main floor open sided",
    )


def test_extras_of_the_list_say_their_count_and_their_price(papers: Papers) -> None:
    """By hand: 3 × 12.50, and 41.5 ft × 0.853 = 35.3995. A price with parts of a cent is not cut to cents."""
    posts = Line("extra", "Porch posts", Decimal("37.50"), rate=Decimal("12.50"), pieces=Decimal(3))
    sills = Line("extra", "Garage sills", Decimal("35.40"), rate=Decimal("0.853"), feet=Decimal("41.5"))
    quote = documents.quote(extras=[posts, sills])
    found = {wall.key: wall.status for wall in quote.walls}
    billed = documents.invoice(quote, found)

    offered = papers.make("quote", quote, documents.BESIDE["quote"])
    owed = papers.make("invoice", billed, documents.BESIDE["invoice"])

    assert not missing(offered, "3 pieces", "$12.50", "41.50", "$0.853", "$35.40")
    assert not missing(owed, "Porch posts, 3 pieces at $12.50", "Garage sills, $0.853 a foot", "$35.40")


def test_an_invoice_explains_each_difference_by_its_wall(papers: Papers) -> None:
    invoice = documents.invoice(found=FOUND)

    content = papers.make("invoice", invoice, {})

    owed = invoice.owed
    assert len(invoice.differences) == 3
    assert not missing(
        content,
        invoice.number,
        "PO 88-1204",
        invoice.quote,
        invoice.treatment,
        "March 9, 2027",
        "Apr 8, 2027",
        "April 8, 2027",
        invoice.pay_to,
        (money(line.amount) for line in owed.lines),
        (f"{d.label[:1].upper()}{d.label[1:]}. {d.why}" for d in invoice.differences),
        (
            f"{money(d.rate)} a foot. No photo of this wall is kept. {d.feet} {money(d.amount)}"
            for d in invoice.differences
        ),
        (
            money(amount)
            for amount in (owed.subtotal, -owed.discount, owed.tax, owed.total, invoice.quoted.total)
        ),
    )


def test_an_invoice_says_what_counts_toward_the_minimum_charge(papers: Papers) -> None:
    small = documents.house(documents.level(outline={"by": "measured", "length": 100}, siding="open"))
    invoice = documents.invoice(documents.quote(small), {"1.1.all": "sided"})

    content = papers.make("invoice", invoice, {})

    assert [line.key for line in invoice.differences] == ["1.1.all", "minimum"]
    counted = invoice.differences[1]
    assert not missing(content, "$395.00", f"{counted.label}. {counted.why} {money(counted.amount)}")


def test_an_invoice_as_quoted_says_nothing_of_differences(papers: Papers) -> None:
    content = papers.make("invoice", documents.invoice(), {})

    assert missing(content, "siding clause") == ["siding clause"]


def test_a_certificate_says_the_promise_and_nothing_of_price_or_people(papers: Papers) -> None:
    warranty = documents.warranty()

    content = papers.make("certificate", warranty, documents.BESIDE["certificate"])

    assert not missing(
        content,
        warranty.number,
        "112 Alder Lane, Marlow Ferry, TX 75999",
        "Mar 9, 2027",
        "Mar 8, 2037",
        warranty.product_name,
        warranty.registration,
        warranty.certificate,
        warranty.treatment,
        documents.FINGERPRINT,
        warranty.terms.covers,
        warranty.terms.voids,
        warranty.terms.ask,
        warranty.terms.notice,
        "80.50",
        "85.75",
        documents.BESIDE["certificate"]["link"],
        documents.BESIDE["certificate"]["find"],
        "and nothing else",
    )
    assert missing(content, "$", "Harrow Homes", "Noor Vale") == ["$", "Harrow Homes", "Noor Vale"]


def test_a_certificate_for_life_says_so(papers: Papers) -> None:
    warranty = documents.warranty(terms=msgspec.structs.replace(documents.TERMS, years=None))

    content = papers.make("certificate", warranty, documents.BESIDE["certificate"] | {"ends_on": None})

    assert not missing(content, "life of the structure")


def test_the_code_on_a_certificate_leads_to_the_warranty(papers: Papers) -> None:
    """ISO/IEC 18004, read back from the rendered picture by an independent decoder (zxing-cpp)."""
    content = papers.make("certificate", documents.warranty(), documents.BESIDE["certificate"])

    assert codes_in(content) == [documents.BESIDE["certificate"]["code"]]
    assert documents.BESIDE["certificate"]["code"].startswith(documents.BESIDE["certificate"]["link"] + "#")


def test_a_paper_of_another_language_takes_its_words_from_the_catalog() -> None:
    formats = replace(FORMATS, locale="es", translate=lambda text: {"Invoice": "Factura"}.get(text, text))

    content = Papers("Letter", formats).make("invoice", documents.invoice(), {})

    assert not missing(content, "Factura INV-2027-0009")
    assert opened(content).root_object["/Lang"] == "es"


def test_only_a_quote_of_an_estimated_house_draws_how_far_it_may_be_off() -> None:
    estimated = documents.quote(documents.house(documents.level(**documents.BY_AREA)))
    made = {"estimated": estimated, "measured": documents.quote()}

    drawn = {name: SHEETS["quote"].values(quote, {}, FORMATS)["band"] for name, quote in made.items()}

    assert drawn["measured"] is None
    assert all(f"{FORMATS.number(estimated.estimate['feet'][at])} ft" in drawn["estimated"]
               for at in ("low", "total", "high"))  # fmt: skip
    assert "$" not in drawn["estimated"]


def test_a_quote_s_paper_passes_over_the_days_off_it_was_sent_with(papers: Papers) -> None:
    """Siding starts on Monday, March 15, 2027; the Friday before is off."""
    quote = documents.quote(days_off=(date(2027, 3, 12),))

    content = papers.make("quote", quote, documents.BESIDE["quote"])

    assert not missing(content, "Thursday, March 11, 2027", "The office does not treat on Mar 12, 2027.")


def test_a_load_sheet_says_what_is_taken_along_for_the_day_and_for_each_stop(papers: Papers) -> None:
    load = documents.load_sheet()

    content = papers.make("load-sheet", load, {})

    # 6.54 gal by the sizes on sale: one of five and two of one, 7 gal, leave 0.46 gal.
    assert not missing(
        content, "Noor Vale", "Tuesday, March 9, 2027", "2 of 1 gal, 1 of 5 gal: 0.46 gal left over",
        "6.54 gal of concentrate, 6.54 gal of water and 6.54 fl oz of dye make 13.08 gal", "8",
        "Lot 7, 112 Alder Lane, Marlow Ferry", "Lot 9", "crawl space", "2 h 30 min", "3.27",
        "The product’s label is the law", "112 Alder Lane stands on a crawl space", "(555) 555-0142",
        *(str(WORDS[item.key]) for item in load.equipment),
    )  # fmt: skip


def test_no_two_papers_have_one_sheet_number() -> None:
    numbers = [sheet.number for sheet in SHEETS.values()]

    assert len(set(numbers)) == len(numbers)


def test_a_load_sheet_without_a_crawl_space_names_no_respirator(papers: Papers) -> None:
    kit = equipment(1, Fraction(300), crawl_space=False)
    stops = documents.load_sheet().stops[:1]

    content = papers.make("load-sheet", documents.load_sheet(equipment=kit, stops=stops), {})

    assert missing(content, "respirator") == ["respirator"] and not missing(content, "one stop")
