"""The technician arrives, enters, and marks it treated: nothing without its evidence."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from portal.acts import treating
from portal.core.errors import BadInput
from portal.store.tables import Invoice, TreatmentRecord, Warranty
from tests.parts.house import FIRM, PRODUCT, RATES, TERMS, ZONE, House, ranch
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

TODAY = date(2027, 5, 4)


def on_site(house: House, **lot: object) -> tuple[str, dict[str, str]]:
    """A booked lot at six in the evening, and a whole entry for it."""
    lot_id = house.booked(**lot)
    house.clock.turn_to(TODAY, 18)
    return lot_id, house.entry(lot_id)


def test_stops_are_those_of_the_technician_by_day(lite: House) -> None:
    lite.booked(name="Later", day=date(2027, 5, 10))
    lite.booked(name="Today")
    lite.treated(name="Done")
    lite.book(lite.accepted(name="Rosa's"), TODAY, technician_id=lite.second_technician.person_id)

    to_do, done = treating.my_stops(lite.parts, lite.technician)

    assert [stop.sheet.place.lot for stop in to_do] == ["Today", "Later"]
    assert [(stop.sheet.place.lot, stop.state) for stop in done] == [("Done", "treated")]


def test_arriving_notes_the_time_where_the_office_is_and_twice_is_once(house: House) -> None:
    lot = house.booked()
    house.clock.turn_to(TODAY, 7, 42)

    treating.arrive(house.parts, house.technician, house.job(lot), {"conditions": "Dry."})
    house.clock.pass_by(hours=1)
    treating.arrive(house.parts, house.technician, house.job(lot))

    stop = treating.stop(house.parts, house.technician, house.job(lot))
    assert (stop.state, house.sheet(lot).stage) == ("on site", "on site")
    assert stop.entry == {"arrived": "07:42", "day": "2027-05-04", "conditions": "Dry."}
    assert house.verbs(lot).count("arrived") == 1


def test_what_was_typed_is_kept_whole_or_not(lite: House) -> None:
    lot = lite.booked()

    treating.keep(lite.parts, lite.technician, lite.job(lot), {"arrived": "7"})

    assert treating.stop(lite.parts, lite.technician, lite.job(lot)).entry == {"arrived": "7"}


@pytest.mark.parametrize("act", [treating.keep, treating.keep_as_quoted])
def test_nothing_is_kept_of_a_stop_that_is_done(lite: House, act: object) -> None:
    lot = lite.treated()

    said = refusal(lambda: act(lite.parts, lite.technician, lite.job(lot), {}))  # type: ignore[operator]

    assert said == "This stop is already treated."


def test_a_whole_entry_makes_record_invoice_and_held_warranty(house: House) -> None:
    lot, entry = on_site(house)

    house.mark(lot, entry)

    sheet = house.sheet(lot)
    record, warranty = sheet.record, sheet.warranty
    assert record is not None and warranty is not None
    assert sheet.stage == "treated"
    assert (record.number, house.invoice(lot).document.number) == ("TR-2027-0001", "INV-2027-0001")
    assert (house.invoice(lot).document.treatment, house.invoice(lot).state) == ("TR-2027-0001", "issued")
    assert (warranty.state, warranty.begins_on, warranty.document.treatment) == ("held", None, "TR-2027-0001")
    assert warranty.document.treatment_fingerprint == sheet.record_fingerprint
    assert record.finished_at == datetime(2027, 5, 4, 17, 6, tzinfo=UTC)  # 12:06 in Chicago, in summer
    assert [wall.coats for wall in record.walls] == [1, 1, 2, 1]


#: The record's fields, so that none is lost on the way: 40 CFR 171.303(b)(7) for a restricted-use
#: product (client, location, size, site, date and time, product, registration number, total amount,
#: applicator and number).
def test_the_record_holds_what_the_law_asks_of_a_restricted_use_product(lite: House) -> None:
    lot, entry = on_site(lite)
    lite.mark(lot, entry | {"supervisor": "Odile Marchbank"})

    record = lite.sheet(lot).record

    assert record is not None
    assert (record.builder.company, record.place.address) == ("Harrow & Finch Homes", "101 Lime Kiln Lane")
    assert (record.total_feet, record.floor_area, record.target != "") == (
        Decimal("296.00"),
        Decimal(1539),
        True,
    )
    assert (record.treated_on, record.arrived_at.astimezone(lite.parts.zone).hour) == (TODAY, 7)
    assert (record.product_name, record.registration) == ("Borate concentrate A", "00000-00")
    # 296 ft and 57 ft once more: 3.53 gal of concentrate, as much water.
    assert (record.amounts.concentrate, record.amounts.finished) == (Decimal("3.53"), Decimal("7.06"))
    assert record.applicator.name == "Wendell Pike" and record.applicator.certificate == "CA-0417"
    assert record.applicator.supervisor == "Odile Marchbank"


NEEDED = [
    "cautions", "ready.debris", "ready.boxes", "ready.finished_wood", "ready.others_out", "check_pass",
    "rinsed", "arrived",
    "found.1.1.N", "found.1.1.S", "first.1.1.N.start", "first.1.1.N.end", "second.1.1.S.start",
    "second.1.1.S.end",
    "interior.start", "interior.end", "product", "registration", "concentrate", "water", "dye", "applicator",
    "certificate", "signed_by",
]  # fmt: skip


@pytest.mark.parametrize("field", NEEDED)
@pytest.mark.parametrize("given", [None, "  "])
def test_without_a_piece_of_evidence_it_is_not_marked_and_nothing_is_made(
    lite: House, field: str, given: str | None
) -> None:
    lot, entry = on_site(lite)
    short = {at: typed for at, typed in entry.items() if at != field} | ({field: given} if given else {})
    if given and (field.startswith("ready.") or field in ("cautions", "check_pass", "rinsed")):
        return  # a box that is ticked says so with whatever value its page gave it

    found = problems(lambda: lite.mark(lot, short))

    assert list(found) == [field]
    assert (lite.rows(Invoice), lite.rows(TreatmentRecord), lite.rows(Warranty)) == (0, 0, 0)
    assert treating.stop(lite.parts, lite.technician, lite.job(lot)).entry == short  # nothing typed is lost


def test_a_crawl_space_takes_a_respirator(lite: House) -> None:
    lot, entry = on_site(lite, foundation="crawl space")

    assert list(problems(lambda: lite.mark(lot, entry | {"ready.respirator": ""}))) == ["ready.respirator"]
    lite.mark(lot, entry)


def test_everything_missing_is_told_at_once(lite: House) -> None:
    lot, _ = on_site(lite)

    found = problems(lambda: lite.mark(lot, {"day": "2027-05-05"}))

    assert found["day"] == "2027-05-05 has not come yet."
    assert {"arrived", "cautions", "product", "concentrate", "signed_by", "interior.start"} <= set(found)


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"second.1.1.S.start": "08:24", "second.1.1.S.end": "08:40"}, "second.1.1.S.start",
         "The second coat, south side, Main floor, may start at 08:26: 20 minutes after the first ended"),
        ({"second.1.1.S.start": "08:25"}, "second.1.1.S.start", "may start at 08:26"),
        ({"first.1.1.N.end": "07:59"}, "first.1.1.N.end",
        "the first coat, north side, Main floor ends before it starts."),
        ({"arrived": "08:01"}, "arrived", "The first coat starts before you arrived."),
        ({"arrived": "18:01"}, "arrived", "18:01 has not come yet."),
        ({"interior.end": "18:30"}, "interior.end", "18:30 has not come yet."),
        ({"arrived": "half past seven"}, "arrived", "is no time of day; write 08:40 or 13:05."),
        ({"arrived": "7:45"}, "arrived", "is no time of day"),
        ({"arrived": "24:00"}, "arrived", "is no time of day"),
        ({"arrived": "T0745"}, "arrived", "is no time of day"),
        ({"found.1.1.N": "brick"}, "found.1.1.N", "Confirm the siding: north side, Main floor."),
        ({"concentrate": "35.3"}, "concentrate",
        "35.3 gal cannot be right for this house: 3.53 gal were planned."),
        ({"concentrate": "0.353"}, "concentrate", "0.353 gal cannot be right"),
        ({"concentrate": "0"}, "concentrate", "“0” is no amount for gallons of concentrate."),
        ({"concentrate": "-3"}, "concentrate", "is no amount"),
        ({"concentrate": "3,5"}, "concentrate", "is no amount"),
        ({"concentrate": "1e0"}, "concentrate", "is no amount"),
        ({"concentrate": "NaN"}, "concentrate", "is no amount"),
        ({"concentrate": "3_5"}, "concentrate", "is no amount"),
        ({"water": "35"}, "water",
        "35 gal of water do not go with 3.53 gal of concentrate: the product takes 1 to 1."),
        ({"dye": "150"}, "dye", "150 fl oz of dye cannot be right for this house: 3.53 fl oz were planned."),
        ({"dye": "-1"}, "dye", "is no amount for fluid ounces of dye."),
        ({"registration": "9" * 201}, "registration", "At most 200 characters, please."),
        ({"conditions": "x" * 2001}, "conditions", "At most 2000 characters, please."),
        ({"day": "yesterday"}, "day", "is no day; write it as 2027-03-09."),
        ({"day": "2027-05-05"}, "day", "2027-05-05 has not come yet."),
        ({"day": "2027-05-03"}, "day", "The quote was accepted on 2027-05-04: nothing was done before."),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_at_its_field(
    lite: House, changes: dict[str, str], field: str, said: str
) -> None:
    lot, entry = on_site(lite)

    found = problems(lambda: lite.mark(lot, entry | changes))

    assert list(found) == [field]
    assert said in found[field]


def test_the_second_coat_may_start_on_the_minute(lite: House) -> None:
    lot, entry = on_site(lite)

    lite.mark(lot, entry | {"second.1.1.S.start": "08:26"})

    assert lite.sheet(lot).stage == "treated"


def test_the_drying_time_is_the_quoted_products(lite: House) -> None:
    slow = {"figures": {"name": "Borate concentrate A", "dry_minutes": "30.5"}}
    lite.enter("product", PRODUCT | slow)
    lot, entry = on_site(lite)

    found = problems(lambda: lite.mark(lot, entry | {"second.1.1.S.start": "08:36"}))

    assert "may start at 08:37: 30.5 minutes after" in found["second.1.1.S.start"]


def test_a_stop_is_entered_up_to_a_week_late(lite: House) -> None:
    lot = lite.booked()
    lite.clock.pass_by(days=7)
    entry = lite.entry(lot, day="2027-05-04")

    lite.clock.pass_by(days=1)
    found = problems(lambda: lite.mark(lot, entry))
    lite.clock.pass_by(days=-1)
    lite.mark(lot, entry)

    assert found == {"day": "2027-05-04 is more than 7 days ago: ask the office."}
    record = lite.sheet(lot).record
    assert record is not None and record.treated_on == TODAY
    assert lite.invoice(lot).document.issued_on == date(2027, 5, 11)


def test_what_is_treated_is_not_treated_again(lite: House) -> None:
    lot, entry = on_site(lite)
    lite.mark(lot, entry)

    assert refusal(lambda: lite.mark(lot, entry)) == "This stop is already treated."


def test_a_record_is_signed_off_once(lite: House) -> None:
    lot = lite.treated()

    treating.sign_off(lite.parts, lite.office, lot)

    job = lite.sheet(lot).job
    assert job is not None and job.state == "signed off"
    assert refusal(lambda: treating.sign_off(lite.parts, lite.office, lot)) == (
        "It is signed off, so it cannot become signed off."
    )


def test_there_is_nothing_to_sign_off_before_it_is_treated(lite: House) -> None:
    accepted, sent = lite.accepted(), lite.sent()

    assert refusal(lambda: treating.sign_off(lite.parts, lite.office, accepted)).startswith(
        "It is unscheduled"
    )
    assert (
        refusal(lambda: treating.sign_off(lite.parts, lite.office, sent))
        == "There is no treatment to sign off."
    )


def differences(house: House, lot: str) -> list[tuple[str, Decimal]]:
    return [(d.key, d.amount) for d in house.invoice(lot).document.differences]


@pytest.mark.parametrize(
    ("found", "expected"),
    [
        ({}, []),
        # 57 ft found sided: a second coat at 0.60.
        ({"1.1.N": "sided"}, [("1.1.N", "34.20")]),
        # 57 ft quoted sided, found open: its second coat comes off.
        ({"1.1.S": "open"}, [("1.1.S", "-34.20")]),
        # Quoted sided, found wrapped: off as well, and the wrap is pulled back at no charge.
        ({"1.1.S": "wrapped"}, [("1.1.S", "-34.20")]),
        # 27 ft of wrap that was not there: its 0.25 a foot comes off.
        ({"1.1.E": "open"}, [("1.1.E", "-6.75")]),
        ({"1.1.E": "sided"}, [("1.1.E", "16.20"), ("1.1.E", "-6.75")]),
        ({"1.1.N": "wrapped"}, []),
        ({"1.1.N": "sided", "1.1.W": "sided", "1.1.E": "sided"},
         [("1.1.N", "34.20"), ("1.1.E", "16.20"), ("1.1.E", "-6.75"), ("1.1.W", "16.20")]),
    ],
)  # fmt: skip
def test_what_was_found_is_billed_by_the_siding_clause_stretch_by_stretch(
    lite: House, found: dict[str, str], expected: list[tuple[str, str]]
) -> None:
    lot = lite.treated(found=found)

    invoice = lite.invoice(lot).document

    assert differences(lite, lot) == [(key, Decimal(amount)) for key, amount in expected]
    assert all(d.label and d.why for d in invoice.differences)
    assert invoice.owed.subtotal == invoice.quoted.subtotal + sum(d.amount for d in invoice.differences)
    assert invoice.owed.total == invoice.owed.subtotal + invoice.owed.tax


def test_what_is_added_never_exceeds_the_cap_that_the_quote_named(lite: House) -> None:
    lot = lite.treated(found={"1.1.N": "sided", "1.1.W": "sided", "1.1.E": "sided"})

    quote = lite.sheet(lot).revisions[0].document

    assert quote is not None and quote.clause_cap == Decimal("66.60")  # 111 ft at 0.60
    assert sum(amount for _, amount in differences(lite, lot) if amount > 0) == quote.clause_cap


@pytest.mark.parametrize(
    ("interior", "found", "expected", "total"),
    [
        # 168 + 40 ft at 1.45 is 301.60, 57 ft twice 34.20, wrap 6.75: 342.55 and 52.45 up to 395.00.
        ("40", {"1.1.N": "sided"}, [("1.1.N", "34.20"), ("minimum", "-34.20")], "395.00"),
        ("40", {"1.1.S": "open"}, [("1.1.S", "-34.20"), ("minimum", "34.20")], "395.00"),
        # 168 + 80 ft: 359.60 + 34.20 + 6.75 = 400.55, which is 5.55 over the minimum.
        ("80", {"1.1.S": "open"}, [("1.1.S", "-34.20"), ("minimum", "28.65")], "395.00"),
        ("80", {"1.1.N": "sided"}, [("1.1.N", "34.20")], "434.75"),
        # 168 + 60 ft: 330.60 + 34.20 + 6.75 = 371.55 and 23.45; 34.20 more is 405.75.
        ("60", {"1.1.N": "sided"}, [("1.1.N", "34.20"), ("minimum", "-23.45")], "405.75"),
    ],
)
def test_the_minimum_charge_holds_before_and_after(
    lite: House, interior: str, found: dict[str, str], expected: list[tuple[str, str]], total: str
) -> None:
    lite.enter("rates", {"tax_percent": "0"})

    lot = lite.treated(house=ranch(interior=interior), found=found)

    assert differences(lite, lot) == [(key, Decimal(amount)) for key, amount in expected]
    assert lite.invoice(lot).document.owed.total == Decimal(total)


def test_an_invoice_of_nothing_is_paid_as_it_stands(house: House) -> None:
    house.enter("rates", RATES | {"discount_percent": "100"})

    lot = house.treated()

    assert (house.invoice(lot).state, house.open_of(lot), house.sheet(lot).stage) == ("paid", 0, "in force")


def test_the_invoice_falls_due_as_quoted_and_is_paid_to_the_firm_of_the_day(lite: House) -> None:
    lot = lite.booked()
    lite.enter("firm", FIRM | {"net_days": 10, "pay_to": "The new account"})

    lite.treated(lot)

    document = lite.invoice(lot).document
    assert (document.issued_on, document.due_on, document.pay_to) == (
        TODAY,
        date(2027, 6, 3),
        "The new account",
    )


def test_net_thirty_from_january_25_falls_due_on_february_24(
    new_house: Callable[..., House], sqlite_url: str
) -> None:
    """By hand on the calendar of 2019: six days are left of January, and 24 of February make thirty."""
    house = new_house(sqlite_url, moment=datetime(2019, 1, 25, 8, tzinfo=ZONE))

    assert house.invoice(house.treated()).document.due_on == date(2019, 2, 24)


def test_a_second_coat_across_the_night_the_clocks_change_is_judged_by_real_minutes(lite: House) -> None:
    """In Chicago 2027-03-14 goes from 02:00 to 03:00 at once, so 01:50 to 03:00 are ten minutes."""
    night = date(2027, 3, 14)
    lite.clock.turn_to(date(2027, 3, 13))
    for kind, document in (
        ("firm", FIRM),
        ("product", PRODUCT),
        ("rates", RATES),
        ("crew", {}),
        ("terms", TERMS),
    ):
        lite.enter(kind, document)
    lot = lite.booked(day=night)
    lite.clock.turn_to(night, 18)
    entry = lite.entry(lot) | {
        "day": "2027-03-14", "arrived": "01:00", "first.1.1.S.start": "01:40", "first.1.1.S.end": "01:50",
    }  # fmt: skip

    early = problems(
        lambda: lite.mark(lot, entry | {"second.1.1.S.start": "03:00", "second.1.1.S.end": "03:20"})
    )
    none = problems(
        lambda: lite.mark(lot, entry | {"second.1.1.S.start": "02:30", "second.1.1.S.end": "03:20"})
    )
    lite.mark(lot, entry | {"second.1.1.S.start": "03:10", "second.1.1.S.end": "03:20"})

    assert "may start at 03:10: 20 minutes after the first ended at 01:50." in early["second.1.1.S.start"]
    assert none == {"second.1.1.S.start": "There was no 02:30 on this day: the clocks went forward."}


def test_a_coat_through_the_hour_that_comes_twice_is_no_coat_that_ends_before_it_starts(lite: House) -> None:
    """In Chicago 2027-11-07 goes from 02:00 back to 01:00: 01:50 to 01:10 may be twenty minutes."""
    lite.clock.turn_to(date(2027, 11, 6))
    lot = lite.booked(day=date(2027, 11, 7))
    lite.clock.turn_to(date(2027, 11, 7), 18)
    entry = lite.entry(lot) | {"arrived": "00:30", "first.1.1.N.start": "01:50", "first.1.1.N.end": "01:10"}

    lite.mark(lot, entry)

    record = lite.sheet(lot).record
    assert record is not None
    assert (record.walls[0].first_end - record.walls[0].first_start).seconds == 20 * 60


def test_when_any_of_the_three_fails_none_is_made(house: House) -> None:
    lot, entry = on_site(house)
    whole = house.parts

    def no_luck(_below: int) -> int:
        raise RuntimeError("the warranty's number cannot be drawn")

    house.parts = replace(whole, luck=replace(whole.luck, below=no_luck))
    with pytest.raises(RuntimeError):
        house.mark(lot, entry)

    assert (house.rows(Invoice), house.rows(TreatmentRecord), house.rows(Warranty)) == (0, 0, 0)
    assert house.sheet(lot).stage == "booked"


def test_no_bad_entry_is_marked_by_accident(lite: House) -> None:
    lot, _ = on_site(lite)

    with pytest.raises(BadInput):
        lite.mark(lot, {})
