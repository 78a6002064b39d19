"""Marking a stop treated: what it needs, by page and by the act itself."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from flask.testing import FlaskClient

from portal.acts import treating
from portal.core.errors import BadInput
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

Entry = dict[str, str]


@pytest.fixture
def technician(visits: Visits) -> FlaskClient:
    """The technician at their phone."""
    return visits.by(visits.house.technician)


@pytest.fixture
def entry(visits: Visits) -> tuple[str, Entry]:
    """A stop in a house with a crawl space, in the evening, and the whole entry for it: job id, entry."""
    house = visits.house
    lot_id = house.booked(foundation="crawl space")
    house.clock.turn_to(house.parts.today(), 18)
    return house.job(lot_id), house.entry(lot_id)


def nothing_was_made(visits: Visits, job_id: str) -> bool:
    """Whether the stop is as before: no record, invoice or warranty."""
    stop = treating.stop(visits.house.parts, visits.house.technician, job_id)
    sheet = visits.house.sheet(stop.lot_id)
    return (
        stop.state in ("booked", "on site") and (sheet.record, sheet.invoice, sheet.warranty) == (None,) * 3
    )


#: Every piece of evidence of `ranch()` on a crawl space, its south side sided, with words of its refusal.
PIECES = {
    "arrived": "time of arrival", "cautions": "Not confirmed", "ready.debris": "Not confirmed",
    "ready.boxes": "Not confirmed", "ready.finished_wood": "Not confirmed",
    "ready.others_out": "Not confirmed",
    "ready.respirator": "Respirator worn", "check_pass": "missed or light places",
    "rinsed": "rinsed three times",
    "found.1.1.N": "Confirm the siding: north side", "found.1.1.E": "Confirm the siding",
    "found.1.1.S": "Confirm the siding", "found.1.1.W": "Confirm the siding",
    "first.1.1.N.start": "start of the first coat, north side", "first.1.1.N.end": "end of the first coat",
    "first.1.1.E.start": "start of", "first.1.1.E.end": "end of",
    "first.1.1.S.start": "start of the first coat, south side", "first.1.1.S.end": "end of the first coat",
    "first.1.1.W.start": "start of", "first.1.1.W.end": "end of",
    "second.1.1.S.start": "start of the second coat", "second.1.1.S.end": "end of the second coat",
    "interior.start": "start of the interior walls", "interior.end": "end of the interior walls",
    "product": "product's name", "registration": "EPA registration number",
    "concentrate": "gallons of concentrate",
    "water": "gallons of water", "dye": "fluid ounces of dye", "applicator": "applicator's name",
    "certificate": "certificate number", "signed_by": "your name",
}  # fmt: skip


def test_the_table_of_evidence_names_every_field_that_a_whole_entry_has(entry: tuple[str, Entry]) -> None:
    assert set(PIECES) == set(entry[1])


@pytest.mark.parametrize("piece", PIECES)
def test_without_a_piece_of_evidence_the_page_refuses_names_it_and_keeps_the_rest(
    visits: Visits, technician: FlaskClient, entry: tuple[str, Entry], piece: str
) -> None:
    job_id, whole = entry
    shown = form_of(technician.get(f"/stops/{job_id}"), "/treated")
    typed = {key: value for key, value in (shown | whole).items() if key != piece}
    if piece in ("product", "registration", "applicator", "certificate"):
        typed[piece] = ""  # emptied by hand, because the page had filled it in

    page = technician.post(f"/stops/{job_id}/treated", data=typed)

    assert page.status_code == 422
    said = error_at(page, piece)
    assert PIECES[piece] in said
    assert said in text_of(page)[: text_of(page).index("Before you spray")], (
        "the summary at the top names it too"
    )
    kept = form_of(page, "/treated")
    assert all(kept.get(key) == value for key, value in whole.items() if key != piece)
    assert nothing_was_made(visits, job_id)


@pytest.mark.parametrize("piece", PIECES)
def test_without_a_piece_of_evidence_the_act_itself_refuses(
    visits: Visits, entry: tuple[str, Entry], piece: str
) -> None:
    job_id, whole = entry
    house = visits.house

    with pytest.raises(BadInput) as refused:
        treating.mark_treated(
            house.parts, house.technician, job_id, {k: v for k, v in whole.items() if k != piece}, house.key()
        )

    assert piece in {problem.at for problem in refused.value.problems}
    assert nothing_was_made(visits, job_id)


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("concentrate", "35.3", "cannot be right for this house: 3.53 gal were planned"),
        ("concentrate", "0.353", "cannot be right for this house"),
        ("concentrate", "0", "is no amount"),
        ("concentrate", "-3.53", "is no amount"),
        ("concentrate", "three", "is no amount"),
        ("concentrate", "1e3", "is no amount"),
        ("concentrate", "Infinity", "is no amount"),
        ("water", "35.3", "do not go with"),
        ("water", "0", "is no amount"),
        ("dye", "-1", "is no amount"),
        ("first.1.1.N.end", "07:59", "ends before it starts"),
        ("first.1.1.N.start", "25:00", "is no time of day"),
        ("first.1.1.N.start", "8", "is no time of day"),
        ("interior.end", "23:00", "has not come yet"),
        ("arrived", "08:01", "starts before you arrived"),
        ("day", "2027-05-05", "has not come yet"),
        ("day", "2027-04-20", "nothing was done before"),
        ("day", "Tuesday", "is no day"),
        ("found.1.1.N", "brick", "Confirm the siding"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(
    visits: Visits, technician: FlaskClient, entry: tuple[str, Entry], field: str, typed: str, said: str
) -> None:
    job_id, whole = entry

    page = technician.post(f"/stops/{job_id}/treated", data=whole | {field: typed, "once_key": "k"})

    assert page.status_code == 422
    assert said in error_at(page, field)
    assert nothing_was_made(visits, job_id)


def test_a_stop_entered_more_than_a_week_late_is_for_the_office(
    visits: Visits, technician: FlaskClient, entry: tuple[str, Entry]
) -> None:
    job_id, whole = entry
    visits.house.clock.pass_by(days=8)

    page = technician.post(f"/stops/{job_id}/treated", data=whole | {"day": "2027-05-04", "once_key": "k"})

    assert page.status_code == 422
    assert "ask the office" in error_at(page, "day")


def coats(first_ends: str, second_starts: str) -> Callable[[Entry], Entry]:
    """An entry whose south side was coated so."""
    return lambda whole: whole | {
        "first.1.1.S.start": "08:00", "first.1.1.S.end": first_ends,
        "second.1.1.S.start": second_starts, "second.1.1.S.end": "15:00",
    }  # fmt: skip


def test_a_second_coat_under_the_drying_time_is_refused_with_the_earliest_time(
    visits: Visits, technician: FlaskClient, entry: tuple[str, Entry]
) -> None:
    """20 minutes between the coats: common practice of the trade, no source."""
    job_id, whole = entry

    early = technician.post(
        f"/stops/{job_id}/treated", data=coats("12:00", "12:19")(whole) | {"once_key": "k"}
    )

    assert early.status_code == 422
    said = error_at(early, "second.1.1.S.start")
    assert "may start at 12:20 PM: 20 minutes after the first ended at 12:00 PM" in said
    assert nothing_was_made(visits, job_id)
    in_time = technician.post(
        f"/stops/{job_id}/treated", data=coats("12:00", "12:20")(whole) | {"once_key": "k"}
    )
    assert in_time.status_code == 303


def test_a_drying_time_with_a_part_of_a_minute_is_rounded_up_in_words_and_in_deed(
    visits: Visits, technician: FlaskClient
) -> None:
    house = visits.house
    figures = {"name": "Borate concentrate A", "dry_minutes": "7.5"}
    house.enter("product", {"figures": figures, "registration": "00000-00", "classification": "unclassified",
                            "active_ingredient": "borate"})  # fmt: skip
    lot_id = house.booked()
    house.clock.turn_to(house.parts.today(), 18)
    job_id, whole = house.job(lot_id), house.entry(lot_id)

    early = technician.post(
        f"/stops/{job_id}/treated", data=coats("12:00", "12:07")(whole) | {"once_key": "k"}
    )
    in_time = technician.post(
        f"/stops/{job_id}/treated", data=coats("12:00", "12:08")(whole) | {"once_key": "k"}
    )

    assert "may start at 12:08 PM" in error_at(early, "second.1.1.S.start")
    assert in_time.status_code == 303


def test_a_whole_entry_marks_it_treated_and_makes_record_invoice_and_warranty(
    visits: Visits, technician: FlaskClient, entry: tuple[str, Entry]
) -> None:
    job_id, whole = entry
    form = form_of(technician.get(f"/stops/{job_id}"), "/treated")

    answer = technician.post(f"/stops/{job_id}/treated", data=form | whole)

    stop = treating.stop(visits.house.parts, visits.house.technician, job_id)
    sheet = visits.house.sheet(stop.lot_id)
    assert answer.status_code == 303
    assert stop.state == "treated" and stop.record == "TR-2027-0001"
    assert sheet.record and sheet.invoice and sheet.warranty and sheet.warranty.state == "held"
    said = text_of(technician.get(f"/stops/{job_id}"))
    assert "Treatment record TR-2027-0001" in said and "Mark it treated" not in said


def test_marking_treated_twice_makes_one_of_each(
    visits: Visits, technician: FlaskClient, entry: tuple[str, Entry]
) -> None:
    job_id, whole = entry
    form = form_of(technician.get(f"/stops/{job_id}"), "/treated") | whole

    answers = [technician.post(f"/stops/{job_id}/treated", data=form).status_code for _ in range(2)]
    late = technician.post(f"/stops/{job_id}/treated", data=form | {"once_key": "another"})

    stop = treating.stop(visits.house.parts, visits.house.technician, job_id)
    assert answers == [303, 303]
    assert late.status_code == 409
    assert visits.house.verbs(stop.lot_id).count("treated") == 1
    assert visits.house.verbs(stop.lot_id).count("invoiced") == 1


def test_what_is_treated_cannot_be_entered_anew(
    visits: Visits, technician: FlaskClient, entry: tuple[str, Entry]
) -> None:
    job_id, whole = entry
    technician.post(f"/stops/{job_id}/treated", data=whole | {"once_key": "k"})

    answer = technician.post(f"/stops/{job_id}/keep", data={"concentrate": "1"})

    assert answer.status_code == 409
    assert treating.stop(visits.house.parts, visits.house.technician, job_id).entry["concentrate"] == "3.53"


def test_a_wall_found_otherwise_than_quoted_is_explained_on_the_invoice(
    visits: Visits, technician: FlaskClient, entry: tuple[str, Entry]
) -> None:
    # By hand: the north side's 57 ft at $0.60 is $34.20 more.
    job_id, whole = entry
    found = {"found.1.1.N": "sided", "second.1.1.N.start": "13:00", "second.1.1.N.end": "13:10"}

    visits.house.photograph(job_id, ["1.1.N"])
    technician.post(f"/stops/{job_id}/treated", data=whole | found | {"once_key": "k"})

    stop = treating.stop(visits.house.parts, visits.house.technician, job_id)
    invoice = visits.house.invoice(stop.lot_id).document
    assert [(line.key, str(line.amount)) for line in invoice.differences] == [("1.1.N", "34.20")]
