"""The technician's stops through their pages: what is shown, what is kept, the Now buttons."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from flask.testing import FlaskClient

from portal.acts import treating
from portal.acts.treating import Stop
from tests.web.visits import Visits, form_of, text_of

pytestmark = pytest.mark.slow


@pytest.fixture
def technician(visits: Visits) -> FlaskClient:
    """The technician at their phone."""
    return visits.by(visits.house.technician)


def booked(visits: Visits, **changes: object) -> str:
    """A stop of the technician's for today; answers the job's id."""
    return visits.house.job(visits.house.booked(**changes))


def stop_of(visits: Visits, job_id: str) -> Stop:
    """The stop as its technician has it."""
    return treating.stop(visits.house.parts, visits.house.technician, job_id)


def test_todays_stops_stand_first_then_the_next_then_those_done(
    visits: Visits, technician: FlaskClient
) -> None:
    house = visits.house
    done = house.treated(street="Done Lane")
    house.clock.turn_to(house.parts.today(), 8)
    house.booked(street="Next Lane", day=house.parts.today() + timedelta(days=1))
    house.booked(street="Now Lane")
    assert done

    said = text_of(technician.get("/stops"))

    places = [said.index(word) for word in ("Today", "Now Lane", "Next Lane", "Done Lane")]
    assert places == sorted(places)


def test_a_day_without_stops_says_so(technician: FlaskClient) -> None:
    assert "Nothing is booked for you today." in text_of(technician.get("/stops"))


def test_a_stop_shows_cautions_what_to_load_the_recipe_and_the_walls(
    visits: Visits, technician: FlaskClient
) -> None:
    # By hand: (57 + 27) × 2 + 128 = 296 ft, its south side again 57 ft: 353 / 100 = 3.53 gal, in 4 batches.
    job_id = booked(visits, foundation="crawl space", notes="")
    page = technician.get(f"/stops/{job_id}")

    said = text_of(page)
    for words in ("label is the law", "wear the respirator", "Cover outlet and low-voltage boxes",
                  "Concentrate to use 3.53 gal", "Marking dye 3.53 fl oz", "Batches 1 to 3, each", "Batch 4",
                  "Makes 2.00 gal.", "Quoted: siding on", "Second coat starts"):  # fmt: skip
        assert words in said, words
    assert said.index("Before you spray") < said.index("Load") < said.index("I am here")
    assert 'class="plan' in page.get_data(as_text=True)


def test_a_slab_needs_no_respirator(visits: Visits, technician: FlaskClient) -> None:
    page = technician.get(f"/stops/{booked(visits)}")

    assert "respirator" not in text_of(page)
    assert "ready.respirator" not in page.get_data(as_text=True)


def test_arriving_stamps_day_and_time_and_keeps_what_was_typed(
    visits: Visits, technician: FlaskClient
) -> None:
    job_id = booked(visits)
    form = form_of(technician.get(f"/stops/{job_id}"), "/treated") | {"conditions": "Light rain"}
    visits.house.clock.turn_to(visits.house.parts.today(), 8, 12)

    answer = technician.post(f"/stops/{job_id}/arrive", data=form)

    stop = stop_of(visits, job_id)
    assert answer.status_code == 303
    assert stop.state == "on site"
    assert stop.entry["arrived"] == "08:12"
    assert stop.entry["day"] == "2027-05-04"
    assert stop.entry["conditions"] == "Light rain"
    assert "I am here" not in text_of(technician.get(f"/stops/{job_id}"))


def test_now_stamps_the_offices_time_in_its_field_and_comes_back_to_it(
    visits: Visits, technician: FlaskClient
) -> None:
    job_id = booked(visits)
    form = form_of(technician.get(f"/stops/{job_id}"), "/treated")
    visits.house.clock.turn_to(visits.house.parts.today(), 13, 5)

    answer = technician.post(
        f"/stops/{job_id}/keep", data=form | {"now": "first.1.1.S.end", "problems": "A loose plate"}
    )

    entry = stop_of(visits, job_id).entry
    assert answer.headers["Location"].endswith(f"/stops/{job_id}#first-1-1-S-end")
    assert entry["first.1.1.S.end"] == "13:05"
    assert entry["problems"] == "A loose plate"
    page = technician.get(f"/stops/{job_id}").get_data(as_text=True)
    assert 'id="first-1-1-S-end"' in page


def test_now_stamps_no_field_but_a_time(visits: Visits, technician: FlaskClient) -> None:
    job_id = booked(visits)

    answer = technician.post(f"/stops/{job_id}/keep", data={"now": "certificate"})

    assert answer.status_code == 422
    assert "certificate" not in stop_of(visits, job_id).entry


def test_after_the_first_coat_the_page_says_when_the_second_may_start(
    visits: Visits, technician: FlaskClient
) -> None:
    job_id = booked(visits)
    visits.house.clock.turn_to(visits.house.parts.today(), 9, 10)
    technician.post(f"/stops/{job_id}/keep", data={"first.1.1.S.start": "08:50", "first.1.1.S.end": "09:05"})

    waiting = text_of(technician.get(f"/stops/{job_id}"))
    visits.house.clock.turn_to(visits.house.parts.today(), 9, 30)
    over = text_of(technician.get(f"/stops/{job_id}"))

    assert "South side, Main floor: second coat not before 9:25 AM" in waiting
    assert "Not before 9:25 AM: the first coat has to dry." in waiting
    assert "South side, Main floor: second coat may start since 9:25 AM" in over


def test_a_wall_found_sided_gets_a_second_coats_row_though_it_was_quoted_open(
    visits: Visits, technician: FlaskClient
) -> None:
    job_id = booked(visits)
    before = second_coats_asked_for(technician, job_id)

    technician.post(f"/stops/{job_id}/keep", data={"found.1.1.N": "sided", "found.1.1.S": "open"})

    assert (before, second_coats_asked_for(technician, job_id)) == ({"1.1.S"}, {"1.1.N"})


def second_coats_asked_for(technician: FlaskClient, job_id: str) -> set[str]:
    """The walls whose second coat is asked for; the others' fields are there for the script, switched off."""
    page = technician.get(f"/stops/{job_id}").get_data(as_text=True)
    blocks = re.findall(r'data-coat="(\d\S*)".*?<fieldset ([^>]*)>', page, re.DOTALL)
    return {wall for wall, how in blocks if "disabled" not in how}


def test_what_is_left_is_marked_as_quoted_in_one_press(visits: Visits, technician: FlaskClient) -> None:
    job_id = booked(visits)

    answer = technician.post(f"/stops/{job_id}/keep", data={"found.1.1.N": "sided", "press": "as-quoted"})

    entry = stop_of(visits, job_id).entry
    assert answer.headers["Location"].endswith("#walls")
    assert {key: value for key, value in entry.items() if key.startswith("found.")} == {
        "found.1.1.N": "sided", "found.1.1.E": "wrapped", "found.1.1.S": "sided", "found.1.1.W": "open",
    }  # fmt: skip


def test_half_an_entry_is_kept_and_comes_back(visits: Visits, technician: FlaskClient) -> None:
    job_id = booked(visits)
    form = form_of(technician.get(f"/stops/{job_id}"), "/treated")

    technician.post(
        f"/stops/{job_id}/keep", data=form | {"concentrate": "3.5", "cautions": "yes", "sly": "x"}
    )

    again = form_of(technician.get(f"/stops/{job_id}"), "/treated")
    assert again["concentrate"] == "3.5" and again["cautions"] == "yes"
    assert "sly" not in stop_of(visits, job_id).entry


def test_product_and_certificate_are_filled_in_to_be_compared(
    visits: Visits, technician: FlaskClient
) -> None:
    form = form_of(technician.get(f"/stops/{booked(visits)}"), "/treated")

    assert form["product"] == "Borate concentrate A"
    assert form["registration"] == "00000-00"
    assert (form["applicator"], form["certificate"]) == ("Wendell Pike", "CA-0417")


def test_enter_in_a_field_keeps_and_never_marks_treated(visits: Visits, technician: FlaskClient) -> None:
    """The first button of a form is what Enter presses (HTML Standard, implicit submission)."""
    job_id = booked(visits)
    page = technician.get(f"/stops/{job_id}").get_data(as_text=True)

    form = page[page.index(f'action="/stops/{job_id}/treated"') :]
    first = form[form.index('type="submit"') - 40 : form.index('type="submit"') + 80]
    assert f'formaction="/stops/{job_id}/keep"' in first


def test_the_field_sheet_is_there_to_print(visits: Visits, technician: FlaskClient) -> None:
    answer = technician.get(f"/stops/{booked(visits)}/sheet.pdf")

    assert answer.mimetype == "application/pdf"
    assert 'filename="field-sheet-J-2027-0001.pdf"' in answer.headers["Content-Disposition"]


@pytest.mark.parametrize("act", ["", "/sheet.pdf"])
def test_another_technicians_stop_is_not_there_to_see(visits: Visits, act: str) -> None:
    job_id = booked(visits)

    assert visits.by(visits.house.second_technician).get(f"/stops/{job_id}{act}").status_code == 404


@pytest.mark.parametrize("act", ["arrive", "keep", "treated"])
def test_another_technicians_stop_is_not_there_to_work_on(visits: Visits, act: str) -> None:
    job_id = booked(visits)

    answer = visits.by(visits.house.second_technician).post(f"/stops/{job_id}/{act}", data={"once_key": "k"})

    assert answer.status_code == 404
    assert stop_of(visits, job_id).state == "booked"


def test_a_stop_that_was_moved_to_somebody_else_is_gone(visits: Visits, technician: FlaskClient) -> None:
    house, lot_id = visits.house, visits.house.booked()
    job_id = house.job(lot_id)

    house.book(lot_id, house.parts.today(), technician_id=house.second_technician.person_id)

    assert technician.get(f"/stops/{job_id}").status_code == 404
    assert visits.by(house.second_technician).get(f"/stops/{job_id}").status_code == 200
