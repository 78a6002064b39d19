"""Photos of a stop: kept once each, asked for where a wall is found otherwise, shown to whom they are for."""

from __future__ import annotations

import hashlib
from functools import partial

import pytest

from portal.acts import photographing, treating
from portal.acts.photographing import MOST_PHOTOS, Shot
from portal.core.errors import BadInput, NotAllowed, NotFound
from portal.store.tables import Invoice, Photo
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.parts.pictures import a_photo
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

ID = "919108f7-52d1-4320-9bac-f847db4148a8"  # RFC 9562, appendix A.3


def shoot(house: House, job: str, wall: str = "1.1.N", **changes: object) -> str:
    given: dict[str, object] = {"id": ID, "words": "Lap siding up to the corner.", "at": house.clock(),
                                "content": a_photo(), "device_id": ID} | changes  # fmt: skip
    shot = Shot(wall=wall, **given)  # type: ignore[arg-type]
    return photographing.add_photo(house.parts, house.technician, job, shot)


def test_a_photo_is_kept_under_its_fingerprint_and_sent_twice_is_one(house: House) -> None:
    job = house.job(house.booked())

    first, again = shoot(house, job), shoot(house, job)

    kept = house.parts.blobs.get(first)
    assert first == again == hashlib.sha256(kept).hexdigest()
    assert house.rows(Photo) == 1
    (photo,) = treating.stop(house.parts, house.technician, job).photos
    assert (photo.wall, photo.label, photo.words) == ("1.1.N", "north side", "Lap siding up to the corner.")


def test_the_same_photo_sent_at_once_is_one(house: House) -> None:
    job = house.job(house.booked())

    answers = at_once(*[partial(shoot, house, job)] * 3)

    assert house.rows(Photo) == 1
    assert any(isinstance(answer, str) for answer in answers)


def test_another_photo_under_the_same_id_is_refused(lite: House) -> None:
    job = lite.job(lite.booked())
    shoot(lite, job)

    said = refusal(lambda: shoot(lite, job, content=a_photo(color="gray")))

    assert said == "Something else was sent under this photo's id."


@pytest.mark.parametrize("found", ["sided", "wrapped"])
def test_a_wall_found_otherwise_than_quoted_needs_its_photo(lite: House, found: str) -> None:
    lot = lite.booked()
    lite.clock.turn_to(lite.parts.today(), 18)
    entry = lite.entry(lot, {"1.1.N": found})
    mark = partial(treating.mark_treated, lite.parts, lite.technician, lite.job(lot), entry)

    told = problems(lambda: mark(lite.key()))
    nothing_was_made = lite.rows(Invoice) == 0
    shoot(lite, lite.job(lot), "1.1.E")
    still = problems(lambda: mark(lite.key()))
    shoot(lite, lite.job(lot), "1.1.N", id="")
    mark(lite.key())

    words = "Take a photo: north side, Main floor is found otherwise than it was quoted."
    assert told == still == {"photo.1.1.N": words}
    assert nothing_was_made and lite.sheet(lot).stage == "treated"


def test_photos_stand_in_the_record_by_wall_with_their_fingerprint(house: House) -> None:
    lot = house.booked()
    house.clock.turn_to(house.parts.today(), 18)
    job = house.job(lot)
    problem = shoot(house, job, "", id="", words="A split porch beam.", content=a_photo((80, 60)))
    wall = shoot(house, job, "1.1.S")

    house.mark(lot, house.entry(lot))

    record = house.sheet(lot).record
    assert record is not None
    found = [(photo.sha256, photo.wall, photo.label, photo.words, photo.size) for photo in record.photos]
    assert found == [(wall, "1.1.S", "south side", "Lap siding up to the corner.", (64, 48)),
                     (problem, "", "", "A split porch beam.", (80, 60))]  # fmt: skip


def test_the_photos_of_walls_that_differ_stand_in_the_invoice(lite: House) -> None:
    lot = lite.booked()
    job = lite.job(lot)
    kept = shoot(lite, job, "1.1.N")
    shoot(lite, job, "1.1.S", id="", content=a_photo(color="gray"))

    lite.treated(lot, {"1.1.N": "sided"})

    bill = lite.invoice(lot).document
    (line,) = bill.differences
    assert [(p.wall, p.sha256) for p in bill.photos_of(line)] == [("1.1.N", kept)]
    assert len(bill.photos) == 1 and bill.zone == "America/Chicago"


def test_a_photo_after_the_mark_is_no_part_of_the_record(lite: House) -> None:
    lot = lite.treated()

    shoot(lite, lite.job(lot))

    assert lite.sheet(lot).record.photos == ()  # type: ignore[union-attr]
    assert len(treating.stop(lite.parts, lite.technician, lite.job(lot)).photos) == 1


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"content": b"GIF89a"}, "This is no photo that can be read."),
        ({"words": "x" * 501}, "At most 500 characters, please."),
        ({"wall": "9.9.N"}, "This house has no such wall."),
        ({"id": "../../etc/passwd"}, "This photo was not sent whole."),
    ],
)
def test_what_cannot_be_kept_is_refused_in_words(lite: House, changes: dict[str, str], said: str) -> None:
    job = lite.job(lite.booked())

    try:
        told = " ".join(problems(lambda: shoot(lite, job, **changes)).values())
    except AssertionError:
        raise
    except Exception:
        told = refusal(lambda: shoot(lite, job, **changes))

    assert said in told and lite.rows(Photo) == 0


def test_a_stop_has_an_end_of_photos(lite: House) -> None:
    job = lite.job(lite.booked())
    lite.photograph(job, [""] * MOST_PHOTOS)

    assert "which is the most" in refusal(lambda: shoot(lite, job))


def test_photos_are_the_technicians_the_offices_and_once_treated_the_lots_builders(lite: House) -> None:
    lot = lite.booked()
    job = lite.job(lot)
    shoot(lite, job)
    (photo,) = treating.stop(lite.parts, lite.technician, job).photos
    see = partial(photographing.lot_photo, lite.parts, lot_id=lot, photo_id=photo.id, small=True)

    assert see(who=lite.office)[:3] == b"\xff\xd8\xff"
    with pytest.raises(NotFound):
        see(who=lite.builder)
    lite.treated(lot)
    assert see(who=lite.builder)[:3] == b"\xff\xd8\xff"
    for stranger in (lite.rival, lite.technician):
        with pytest.raises(NotFound):
            see(who=stranger)


def test_only_the_stops_technician_takes_photos_of_it(lite: House) -> None:
    job = lite.job(lite.booked())
    shot = Shot(ID, "", "", None, a_photo())

    with pytest.raises(NotAllowed):
        photographing.add_photo(lite.parts, lite.office, job, shot)
    with pytest.raises(NotFound):
        photographing.add_photo(lite.parts, lite.second_technician, job, shot)
    with pytest.raises(NotFound):
        photographing.stop_photo(lite.parts, lite.second_technician, job, ID, small=True)
    with pytest.raises(BadInput):
        photographing.add_photo(lite.parts, lite.technician, job, Shot(ID, "", "", None, b""))


def test_words_on_a_photo_are_an_entry_and_stand_with_it_in_the_record(lite: House) -> None:
    lot = lite.booked()
    job = lite.job(lot)
    shoot(lite, job, "", words="")
    treating.keep(lite.parts, lite.technician, job, {f"words.{ID}": "A split porch beam."})

    (photo,) = treating.stop(lite.parts, lite.technician, job).photos
    lite.clock.turn_to(lite.parts.today(), 18)
    lite.mark(lot, lite.entry(lot))  # a form that was opened before the photo came

    assert photo.words == "A split porch beam."
    record = lite.sheet(lot).record
    assert record is not None and [one.words for one in record.photos] == ["A split porch beam."]


def test_words_on_a_photo_have_an_end(lite: House) -> None:
    lot = lite.booked()
    shoot(lite, lite.job(lot), "", words="")
    lite.clock.turn_to(lite.parts.today(), 18)

    told = problems(lambda: lite.mark(lot, lite.entry(lot) | {f"words.{ID}": "x" * 501}))

    assert told == {f"words.{ID}": "At most 500 characters, please."}
