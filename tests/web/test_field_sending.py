"""What a phone's script sends and is told: entries in batches, photos, the mark."""

from __future__ import annotations

import io
import json
import uuid
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import treating
from portal.acts.on_site import on_site
from portal.store.tables import FieldEntry, Photo
from tests.parts.house import House
from tests.parts.pictures import SCRIPT, a_photo, with_place
from tests.web.visits import Visits, error_at, form_of, large_form, make_visits, text_of

pytestmark = pytest.mark.slow

DEVICE = "919108f7-52d1-4320-9bac-f847db4148a8"  # RFC 9562, appendix A.3


@pytest.fixture
def technician(visits: Visits) -> FlaskClient:
    """The technician at their phone."""
    return visits.by(visits.house.technician)


@pytest.fixture
def stop(visits: Visits) -> str:
    """A stop in the evening; its job's id."""
    job = visits.house.job(visits.house.booked())
    visits.house.clock.turn_to(visits.house.parts.today(), 18)
    return job


def entries(house: House, values: dict[str, str]) -> list[dict[str, Any]]:
    """Entries as a phone writes them."""
    now = house.clock().isoformat()
    return [{"id": str(uuid.uuid4()), "seq": n, "field": at, "value": value, "knows": [], "at": now}
            for n, (at, value) in enumerate(values.items(), 1)]  # fmt: skip


def send(
    client: FlaskClient, house: House, job: str, sent: list[dict[str, Any]], mark: str = "", **headers: str
) -> TestResponse:
    body = {"device": DEVICE, "sent_at": house.clock().isoformat(), "entries": sent, "mark": mark}
    return client.post(f"/stops/{job}/entries", json=body, headers=headers)


def test_the_signal_says_who_is_signed_in_and_gives_a_token(visits: Visits, technician: FlaskClient) -> None:
    answer = technician.get("/stops/signal")

    assert answer.json is not None and answer.json["person"] == visits.house.technician.person_id
    assert answer.json["csrf"] and answer.headers["Cache-Control"] == "no-store"
    assert visits.by(None).get("/stops/signal").status_code == 302


def test_a_batch_is_answered_with_what_was_taken_and_what_the_entry_is_now(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    sent = entries(visits.house, {"water": "3", "found.1.1.N": "open", "sly": "x"})

    answer = send(technician, visits.house, stop, sent).json

    assert answer is not None
    assert answer["taken"] == [sent[0]["id"], sent[1]["id"]]
    assert [one["id"] for one in answer["refused"]] == [sent[2]["id"]] and answer["refused"][0]["says"]
    assert answer["values"] == {"water": "3", "found.1.1.N": "open"}
    assert answer["heads"]["water"] == [sent[0]["id"]]
    assert (answer["number"], answer["offset_seconds"], answer["conflicts"]) == (2, 0, {})


def test_a_mark_that_lacks_something_is_answered_with_all_of_it_and_makes_nothing(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    answer = send(technician, visits.house, stop, entries(visits.house, {"water": "3.53"}), mark=DEVICE).json

    assert answer is not None
    missing = {one["at"]: one["says"] for one in answer["missing"]}
    assert {"arrived", "cautions", "check_pass", "signed_by", "found.1.1.N"} <= set(missing)
    assert "Not confirmed" in missing["rinsed"]
    assert answer["state"] == "booked"


def test_a_mark_sent_twice_makes_one_of_each(visits: Visits, technician: FlaskClient, stop: str) -> None:
    house = visits.house
    lot = treating.stop(house.parts, house.technician, stop).lot_id
    sent = entries(house, house.entry(lot))

    first = send(technician, house, stop, sent, mark=DEVICE).json
    again = send(technician, house, stop, sent, mark=DEVICE).json

    assert first is not None and again is not None
    assert first["state"] == again["state"] == "treated"
    assert house.verbs(lot).count("treated") == house.verbs(lot).count("invoiced") == 1
    assert house.rows(FieldEntry) == len(sent)


WHOLE = [
    "arrived", "cautions", "ready.debris", "ready.boxes", "ready.finished_wood", "ready.others_out",
    "check_pass", "rinsed", "found.1.1.N", "first.1.1.N.start", "first.1.1.N.end", "second.1.1.S.start",
    "second.1.1.S.end", "interior.start", "interior.end", "product", "registration", "concentrate", "water",
    "dye", "applicator", "certificate", "signed_by",
]  # fmt: skip


@pytest.mark.parametrize("piece", WHOLE)
def test_without_a_piece_of_evidence_a_phones_mark_is_refused_in_words(
    visits: Visits, technician: FlaskClient, stop: str, piece: str
) -> None:
    house = visits.house
    whole = house.entry(treating.stop(house.parts, house.technician, stop).lot_id)
    sent = entries(house, {at: value for at, value in whole.items() if at != piece})

    answer = send(technician, house, stop, sent, mark=DEVICE).json

    assert answer is not None
    assert [one["at"] for one in answer["missing"]] == [piece] and answer["missing"][0]["says"]
    assert answer["state"] != "treated"


def test_the_photo_of_a_wall_found_otherwise_is_asked_for_through_page_and_phone(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    house = visits.house
    whole = house.entry(treating.stop(house.parts, house.technician, stop).lot_id, {"1.1.N": "wrapped"})

    page = technician.post(f"/stops/{stop}/treated", data=whole | {"once_key": "k"})
    phone = send(technician, house, stop, [], mark=DEVICE).json

    words = "Take a photo: north side, Main floor is found otherwise than it was quoted."
    assert page.status_code == 422 and words in error_at(page, "photo.1.1.N")
    assert phone is not None and phone["missing"] == [{"at": "photo.1.1.N", "says": words}]


def batch(**changes: object) -> bytes:
    """An empty batch of ten in the morning, with anything about it changed."""
    whole = {"device": DEVICE, "sent_at": "2027-05-04T10:00:00Z", "entries": []}
    return json.dumps(whole | changes).encode()


NO_BATCH = [
    b"", b"[]", b"{}", b"{", b'{"device": 1}', batch(device="x"), batch(sent_at="2027-05-04T10:00:00"),
    batch(sent_at="1969-05-04T10:00:00Z"), batch(sent_at="9999-05-04T10:00:00Z"),
    batch(entries=[{"id": "x"}]), batch(mark="x" * 37),
]  # fmt: skip


@pytest.mark.parametrize("body", NO_BATCH, ids=range(len(NO_BATCH)))
def test_what_is_no_batch_is_answered_400_and_keeps_nothing(
    visits: Visits, technician: FlaskClient, stop: str, body: bytes
) -> None:
    answer = technician.post(f"/stops/{stop}/entries", data=body, content_type="application/json")

    assert answer.status_code == 400 and answer.is_json
    assert visits.house.rows(FieldEntry) == 0


def test_a_phone_whose_clock_stands_at_its_beginning_is_taken_all_the_same(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    house = visits.house
    (sent,) = entries(house, {"water": "3"})
    body = {
        "device": DEVICE,
        "sent_at": "1970-01-01T00:00:09Z",
        "entries": [sent | {"at": "1970-01-01T00:00:05Z"}],
    }

    answer = technician.post(f"/stops/{stop}/entries", json=body)

    lot = treating.stop(house.parts, house.technician, stop).lot_id
    assert answer.status_code == 200 and on_site(house.parts, house.office, lot).clocks_off[0] < -30_000_000


def test_a_clock_a_century_ahead_and_letters_that_are_none_break_nothing(postgres_house: House) -> None:
    house = postgres_house
    job = house.job(house.booked())
    client = make_visits(house).by(house.technician)
    (sent,) = entries(house, {"water": "3"})
    body = {"device": DEVICE, "sent_at": "2199-01-01T00:00:00Z", "entries": [sent]}
    alone = json.dumps(body | {"entries": [sent | {"value": "\ud800"}]}).encode()

    answers = [client.post(f"/stops/{job}/entries", json=body).status_code,
               client.post(f"/stops/{job}/entries", data=alone).status_code]  # fmt: skip

    assert answers == [200, 400]


def test_more_than_five_hundred_at_once_are_too_many(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    many = [one for _ in range(501) for one in entries(visits.house, {"water": "3"})]

    assert send(technician, visits.house, stop, many).status_code == 409


def test_no_batch_or_photo_is_taken_without_its_token_in_the_header(lite: House) -> None:
    job = lite.job(lite.booked())
    client = make_visits(lite, csrf=True).by(lite.technician)
    sent = entries(lite, {"water": "3"})
    photo = {"id": DEVICE, "at": lite.clock().isoformat(), "file": (io.BytesIO(a_photo()), "a.jpg")}

    refused = [send(client, lite, job, sent), client.post(f"/stops/{job}/photos", data=dict(photo))]
    token = client.get("/stops/signal").json["csrf"]  # type: ignore[index]
    taken = [send(client, lite, job, sent, **{"X-CSRFToken": token}),
             client.post(f"/stops/{job}/photos", headers={"X-CSRFToken": token},
                         data=photo | {"file": (io.BytesIO(a_photo()), "a.jpg")})]  # fmt: skip

    assert [answer.status_code for answer in refused] == [400, 400]
    assert [answer.status_code for answer in taken] == [200, 200]


def photo_form(content: bytes, **changes: str) -> dict[str, Any]:
    known = {"id": DEVICE, "wall": "1.1.N", "words": "", "at": "2027-05-04T15:00:00Z", "device": DEVICE}
    return known | changes | {"file": (io.BytesIO(content), "photo.jpg")}


def test_a_photo_of_a_phone_comes_back_without_what_rode_along(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    sent = [technician.post(f"/stops/{stop}/photos", data=photo_form(with_place())) for _ in range(2)]

    assert [answer.status_code for answer in sent] == [200, 200] and sent[0].json == sent[1].json
    assert visits.house.rows(Photo) == 1
    for size in ("small", "whole"):
        content = technician.get(f"/stops/{stop}/photos/{DEVICE}/{size}").get_data()
        assert content.startswith(b"\xff\xd8\xff") and SCRIPT not in content and b"Exif" not in content


@pytest.mark.parametrize(
    ("form", "status", "says"),
    [
        (photo_form(b"<svg onload='alert(1)'/>"), 422, "no photo that can be read"),
        (photo_form(a_photo(), wall="9.9.N"), 409, "no such wall"),
        (photo_form(a_photo(), id=""), 400, ""),
        (photo_form(a_photo(), at="yesterday"), 400, ""),
    ],
)
def test_a_photo_that_cannot_be_kept_is_told_why(
    technician: FlaskClient, stop: str, form: dict[str, Any], status: int, says: str
) -> None:
    file = io.BytesIO(form["file"][0].getvalue())

    answer = technician.post(f"/stops/{stop}/photos", data=form | {"file": (file, "photo.jpg")})

    assert answer.status_code == status and answer.json is not None and says in answer.json["says"]


def test_each_photo_of_a_problem_asks_what_it_shows_and_keeps_it(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    technician.post(f"/stops/{stop}/photos", data=photo_form(a_photo(), wall=""))
    name = f"words.{DEVICE}"

    form = form_of(technician.get(f"/stops/{stop}"), "/treated")
    technician.post(f"/stops/{stop}/keep", data=form | {name: "A split porch beam."})

    assert form[name] == ""
    assert form_of(technician.get(f"/stops/{stop}"), "/treated")[name] == "A split porch beam."
    (photo,) = treating.stop(visits.house.parts, visits.house.technician, stop).photos
    assert photo.words == "A split porch beam."


def test_without_a_script_photos_come_with_the_form_and_stand_by_their_wall(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    form = form_of(technician.get(f"/stops/{stop}"), "/treated") | {"found.1.1.N": "sided", "water": "3.53"}
    files = {"photo.1.1.N": (io.BytesIO(a_photo()), "wall.jpg"),
             "photo.problem": (io.BytesIO(a_photo(kind="PNG")), "beam.png")}  # fmt: skip

    answer = technician.post(f"/stops/{stop}/keep", data=form | files, content_type="multipart/form-data")

    kept = treating.stop(visits.house.parts, visits.house.technician, stop)
    assert answer.status_code == 303
    assert [photo.wall for photo in kept.photos] == ["1.1.N", ""] and kept.entry["water"] == "3.53"
    page = technician.get(f"/stops/{stop}").get_data(as_text=True)
    assert page.count("/small") == 2 and "Photo: north side, Main floor" in page


def test_a_forms_photo_that_cannot_be_read_is_told_at_its_wall_and_the_rest_is_kept(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    files = {"photo.1.1.N": (io.BytesIO(b"%PDF-1.7"), "wall.jpg")}

    answer = technician.post(
        f"/stops/{stop}/keep", data={"water": "3.5", **files}, content_type="multipart/form-data"
    )

    assert answer.status_code == 422
    assert "no photo that can be read" in error_at(answer, "photo.1.1.N")
    assert treating.stop(visits.house.parts, visits.house.technician, stop).entry["water"] == "3.5"


def test_a_photo_of_over_ten_mebibytes_is_told_as_too_large(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    form, content = photo_form(b""), b"\xff\xd8\xff" + b"\0" * (10 * 1024 * 1024)
    form.pop("file")

    answer = technician.post(f"/stops/{stop}/photos", **large_form(form, "file", content, "photo.jpg"))

    assert answer.status_code == 422 and answer.json is not None
    assert answer.json["says"] == "This photo is 10.0 MiB. At most 10 MiB can be taken; take it smaller."
    assert technician.post(f"/stops/{stop}/keep", data={"water": "3"}).status_code == 303


def test_the_press_that_would_start_a_second_coat_too_early_is_refused_by_the_house(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    """20 minutes between the coats: common practice of the trade, no source."""
    house = visits.house
    ready = dict.fromkeys(("arrived", "cautions", "ready.debris", "ready.boxes", "ready.finished_wood",
                           "ready.others_out"), "yes")  # fmt: skip
    coat = {"first.1.1.S.start": "17:40", "first.1.1.S.end": "17:50"}

    early = technician.post(f"/stops/{stop}/keep", data=ready | coat | {"now": "second.1.1.S.start"})

    entry = treating.stop(house.parts, house.technician, stop).entry
    assert early.status_code == 422
    assert "may start at 18:10: 20 minutes after" in error_at(early, "second.1.1.S.start")
    assert entry["first.1.1.S.end"] == "17:50" and "second.1.1.S.start" not in entry
    house.clock.turn_to(house.parts.today(), 18, 10)
    assert (
        technician.post(f"/stops/{stop}/keep", data=ready | coat | {"now": "second.1.1.S.start"}).status_code
        == 303
    )


def test_nothing_is_started_by_a_press_before_the_place_is_ready(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    answer = technician.post(f"/stops/{stop}/keep", data={"arrived": "07:45", "now": "first.1.1.N.start"})

    assert answer.status_code == 422
    assert "Nothing is sprayed before this is done: Cautions." in error_at(answer, "first.1.1.N.start")


def test_the_office_sees_both_and_picks_on_the_lots_page(
    visits: Visits, technician: FlaskClient, stop: str
) -> None:
    house = visits.house
    lot = treating.stop(house.parts, house.technician, stop).lot_id
    for value in ("08:10", "08:25"):
        send(technician, house, stop, entries(house, {"first.1.1.N.end": value}))
    office = visits.by(house.office)
    page = office.get(f"/office/lots/{lot}/treatment")
    said = text_of(page)
    heads = {head.value: head.id for head in on_site(house.parts, house.office, lot).differing[0]}

    answer = office.post(f"/office/lots/{lot}/pick", data=form_of(page, "/pick") | {"entry": heads["08:25"]})

    assert (
        "First coat ends: North side, Main floor" in said
        and "Pick “08:10”" in said
        and "Pick “08:25”" in said
    )
    assert answer.status_code == 303
    assert treating.stop(house.parts, house.technician, stop).entry["first.1.1.N.end"] == "08:25"
    assert "Pick “" not in text_of(office.get(f"/office/lots/{lot}/treatment"))
    shown = technician.get(f"/stops/{stop}").get_data(as_text=True)
    assert 'value="08:25"' in shown


def test_photos_stand_on_the_treatment_sheet_of_the_office_and_once_treated_of_the_builder(
    visits: Visits,
) -> None:
    house = visits.house
    lot = house.booked()
    house.photograph(house.job(lot), ["1.1.S", ""])
    office, builder = visits.by(house.office), visits.by(house.builder)

    before = [client.get(f"{path}/lots/{lot}/treatment").get_data(as_text=True).count("/small")
              for client, path in ((office, "/office"), (builder, ""))]  # fmt: skip
    house.treated(lot)
    after = builder.get(f"/lots/{lot}/treatment")

    assert before == [2, 0]
    assert after.get_data(as_text=True).count("/small") == 2
    assert "South side, Main floor" in text_of(after) and "A problem" in text_of(after)
