"""Asking for a price: figures first, then for good; nothing typed is lost, and a double click is one lot."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import sheet
from portal.store.tables import Lot
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

#: ANSI/ASHRAE Standard 140, case L100: 57 by 27 ft, 128 ft of interior walls.
L100 = {
    "levels[0].name": "Ground floor", "levels[0].repeat": "1", "levels[0].outline.by": "rectangles",
    "levels[0].outline.rectangles[0].west": "0", "levels[0].outline.rectangles[0].south": "0",
    "levels[0].outline.rectangles[0].width": "57'", "levels[0].outline.rectangles[0].depth": "27'",
    "levels[0].interior.by": "measured", "levels[0].interior.length": "128", "levels[0].siding.by": "one",
    "levels[0].siding": "sided",
}  # fmt: skip
LOT = {
    "name": "Lot 7", "subdivision": "Quarry Bend", "house_number": "214", "street": "Tallow Lane",
    "town": "Marlow Ferry", "state": "IA", "postal_code": "52999", "foundation": "slab",
    "siding_starts": "2027-05-20", "insulation_starts": "2027-06-01", "notes": "Gate code 4417",
    "once_key": "a-key",
}  # fmt: skip


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """The builder's browser."""
    return visits.by(visits.house.builder)


def press(browser: FlaskClient, button: str, to: str = "/ask", **changes: str) -> TestResponse:
    """Press a button of the form; what is not changed is case L100."""
    return browser.post(to, data=LOT | L100 | {"press": button} | changes)


def value_of(answer: TestResponse, name: str) -> str:
    """What a field of the page would send."""
    return form_of(answer, "")[name]


def worked_out(browser: FlaskClient, to: str = "/ask", **changes: str) -> dict[str, str]:
    """Work it out; answers the hidden field that says which figures were seen."""
    return {"seen": value_of(press(browser, "work", to, **changes), "seen")}


def test_the_first_form_has_one_story_with_one_rectangle_and_measured_interior(browser: FlaskClient) -> None:
    page = browser.get("/ask").get_data(as_text=True)
    assert 'name="levels[0].outline.rectangles[0].width"' in page
    assert (
        "rectangles[1]" not in page.split("Add a rectangle")[0]
        and "levels[1]" not in page.split("Add a story")[0]
    )
    assert value_of(browser.get("/ask"), "levels[0].outline.by") == "rectangles"


def test_working_it_out_shows_the_four_figures_of_case_l100_and_their_steps(browser: FlaskClient) -> None:
    """With all walls sided: 296 ft, 4.64 gal (296 + 168 ft at 100 ft a gallon)."""
    answer = press(browser, "work")
    said = text_of(answer)
    assert answer.status_code == 200
    assert "Lineal feet 296 ft" in said and "Concentrate to bring 4.64 gal" in said
    assert "168.00 ft + 128.00 ft = 296.00 ft" in said
    assert "÷ 100 ft a gallon = 4.64 gal" in said
    assert "These figures are for planning" in said


def test_nothing_is_asked_by_working_it_out(browser: FlaskClient, visits: Visits) -> None:
    press(browser, "work")
    assert visits.house.rows(Lot) == 0


def test_the_cost_of_the_office_s_product_is_not_the_builder_s_to_see(browser: FlaskClient) -> None:
    assert "cost of the containers" not in text_of(press(browser, "work")).lower()


def test_asking_makes_the_lot_with_everything_entered(browser: FlaskClient, visits: Visits) -> None:
    answer = press(browser, "send", **worked_out(browser))
    assert answer.status_code == 302
    lot = sheet.sheet(visits.house.parts, visits.house.builder, answer.location.rsplit("/", 1)[1])
    assert lot.place.address == "214 Tallow Lane" and lot.notes == "Gate code 4417"
    assert str(lot.siding_starts) == "2027-05-20" and lot.takeoff.estimate["feet"]["total"] == "296.00"


def test_a_double_click_on_asking_makes_one_lot(browser: FlaskClient, visits: Visits) -> None:
    seen = worked_out(browser)
    first, second = press(browser, "send", **seen), press(browser, "send", **seen)
    assert first.location == second.location
    assert visits.house.rows(Lot) == 1


def test_sending_a_house_whose_figures_were_not_seen_shows_them_first(
    browser: FlaskClient, visits: Visits
) -> None:
    seen = worked_out(browser)
    answer = press(browser, "send", **seen, **{"levels[0].interior.length": "200"})
    assert answer.status_code == 200 and visits.house.rows(Lot) == 0
    assert "changed after its figures were shown" in text_of(answer)
    assert (
        press(
            browser, "send", **{"levels[0].interior.length": "200", "seen": value_of(answer, "seen")}
        ).status_code
        == 302
    )


def test_an_error_stands_beside_its_field_and_everything_typed_stays(browser: FlaskClient) -> None:
    answer = press(browser, "work", **{"levels[0].outline.rectangles[0].width": "32 6"})
    assert answer.status_code == 422
    assert "“32 6” is not a length" in error_at(answer, "levels[0].outline.rectangles[0].width")
    for name in (
        "levels[0].outline.rectangles[0].width",
        "levels[0].outline.rectangles[0].depth",
        "street",
        "siding_starts",
    ):
        assert (
            value_of(answer, name) == (LOT | L100 | {"levels[0].outline.rectangles[0].width": "32 6"})[name]
        )
    assert "Gate code 4417" in answer.get_data(as_text=True) and value_of(answer, "once_key") == "a-key"


def test_errors_of_the_lot_and_of_the_house_are_told_together(browser: FlaskClient) -> None:
    answer = press(browser, "send", street="", seen="x", **{"levels[0].siding": ""})
    assert "what is on the outside" in error_at(answer, "levels[0].siding.by")
    assert error_at(answer, "street") == "This is missing."


def test_a_day_that_is_none_is_told_and_kept(browser: FlaskClient) -> None:
    answer = press(browser, "work", siding_starts="next week")
    assert "“next week” is no day" in error_at(answer, "siding_starts")
    assert value_of(answer, "siding_starts") == "next week"


def test_every_problem_stands_in_the_summary_with_a_link_to_its_field(browser: FlaskClient) -> None:
    answer = press(browser, "work", **{"levels[0].name": "", "levels[0].interior.length": "-3"})
    page = answer.get_data(as_text=True)
    assert 'href="#levels-0-name"' in page and 'href="#levels-0-interior-length"' in page
    assert "2 things need another look" in text_of(answer)


def test_adding_a_rectangle_keeps_what_was_typed_and_goes_on_in_the_new_row(browser: FlaskClient) -> None:
    answer = press(browser, "add levels[0].outline.rectangles")
    page = answer.get_data(as_text=True)
    assert answer.status_code == 200 and "autofocus" in page
    assert value_of(answer, "levels[0].outline.rectangles[0].width") == "57'"
    assert value_of(answer, "levels[0].outline.rectangles[1].width") == ""
    assert value_of(answer, "name") == "Lot 7"


@pytest.mark.parametrize(
    ("rows", "most", "last", "add"),
    [("outline.rectangles", 60, "west", "Add a rectangle"), ("outline.walls", 200, "length", "Add a wall"),
     ("interior.lengths", 500, "", "Add an interior wall")],
)  # fmt: skip
def test_where_there_is_room_for_no_more_rows_the_page_says_so(
    browser: FlaskClient, rows: str, most: int, last: str, add: str
) -> None:
    column = f".{last}" if last else ""
    typed = {f"levels[0].{rows}[{n}]{column}": "1" for n in range(most - 1)}

    one_left = press(browser, "draw", **typed)
    full = press(browser, f"add levels[0].{rows}", **typed)

    assert add in text_of(one_left) and f"no room for more than {most}" not in text_of(one_left)
    assert add not in text_of(full) and f"There is no room for more than {most} here." in text_of(full)


def test_too_many_walls_are_told_with_how_many_there_may_be(browser: FlaskClient) -> None:
    walls = {f"levels[0].outline.walls[{n}].length": "9" for n in range(201)}

    answer = press(browser, "work", **{"levels[0].outline.by": "walk"} | walls)

    assert "3 to 200 walls are needed here, not 201" in error_at(answer, "levels[0].outline.by")


def test_a_second_story_can_be_added_and_taken_away_again(browser: FlaskClient) -> None:
    answer = press(browser, "add levels")
    assert value_of(answer, "levels[1].name") == "Second floor"
    again = press(browser, "remove levels[1]", **{"levels[1].name": "Second floor"})
    assert 'name="levels[1].name"' not in again.get_data(as_text=True)


def test_drawing_shows_the_plan_and_says_nothing_of_what_is_still_to_come(browser: FlaskClient) -> None:
    answer = press(browser, "draw", **{"levels[0].interior.length": "", "name": ""})
    assert answer.status_code == 200
    assert "plan-drawing" in answer.get_data(as_text=True) and not error_at(
        answer, "levels-0-interior-length"
    )


def test_a_walk_that_does_not_close_is_drawn_with_its_gap(browser: FlaskClient) -> None:
    rows = {f"levels[0].outline.walls[{n}].{key}": text for n, row in
            enumerate((("E", "40"), ("N", "30"), ("W", "40"), ("S", "20")))
            for key, text in zip(("heading", "length"), row, strict=True)}  # fmt: skip
    answer = press(browser, "draw", **rows | {"levels[0].outline.by": "walk"})
    assert "drawn--gap" in answer.get_data(as_text=True)
    assert "10.00 ft south is missing" in error_at(answer, "levels[0].outline.by")


def test_a_figure_that_is_estimated_has_a_band_from_low_to_high(browser: FlaskClient) -> None:
    answer = press(browser, "work", **{"levels[0].interior.by": "ratio"})
    assert "Feet lie between" in text_of(answer) and "the price between $" in text_of(answer)


def test_the_next_lot_begins_with_the_town_of_the_last(browser: FlaskClient, visits: Visits) -> None:
    visits.house.asked(town="Osage Falls", state="MO", postal_code="63999", subdivision="Mill Race")
    page = browser.get("/ask")
    assert [value_of(page, name) for name in ("town", "state", "postal_code", "subdivision")] == [
        "Osage Falls", "MO", "63999", "Mill Race",
    ]  # fmt: skip
    assert value_of(page, "street") == "" and '<option value="Mill Race">' in page.get_data(as_text=True)


def test_a_form_without_its_once_key_is_refused_and_nothing_is_made(
    browser: FlaskClient, visits: Visits
) -> None:
    answer = press(browser, "send", **worked_out(browser), once_key="")
    assert answer.status_code == 409 and visits.house.rows(Lot) == 0


def test_what_was_asked_is_changed_in_the_same_form(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.asked()
    form = browser.get(f"/lots/{lot_id}/change")
    assert value_of(form, "levels[0].outline.rectangles[0].width") == "57"
    sent = {
        "version": value_of(form, "version"),
        "seen": worked_out(browser, f"/lots/{lot_id}/change")["seen"],
    }
    answer = press(browser, "send", f"/lots/{lot_id}/change", **sent)
    assert answer.status_code == 302
    assert visits.house.sheet(lot_id).place.street == "Tallow Lane"


def test_a_change_that_was_overtaken_keeps_what_was_typed_and_can_be_sent_again(
    browser: FlaskClient, visits: Visits
) -> None:
    house, to = visits.house, ""
    lot_id = house.asked()
    to = f"/lots/{lot_id}/change"
    sent = {"version": value_of(browser.get(to), "version")} | worked_out(browser, to)
    house.to_check(lot_id)
    answer = press(browser, "send", to, **sent)
    assert answer.status_code == 409
    assert "Terrence Udall changed this lot in the meantime" in text_of(answer)
    assert value_of(answer, "street") == "Tallow Lane" and value_of(answer, "version") == str(
        house.version(lot_id)
    )
    assert press(browser, "send", to, **sent | {"version": value_of(answer, "version")}).status_code == 302


def test_what_is_sent_cannot_be_changed_but_asked_again(browser: FlaskClient, visits: Visits) -> None:
    lot_id = visits.house.sent()
    to = f"/lots/{lot_id}/change"
    sent = {"version": str(visits.house.version(lot_id))} | worked_out(browser, to)
    answer = press(browser, "send", to, **sent)
    assert answer.status_code == 409 and "The quote is sent" in text_of(answer)
    assert value_of(answer, "street") == "Tallow Lane"


def test_asking_again_carries_everything_over_and_begins_a_revision(
    browser: FlaskClient, visits: Visits
) -> None:
    lot_id = visits.house.sent(notes="Gate code 4417")
    to = f"/lots/{lot_id}/ask-again"
    form = browser.get(to)
    assert value_of(form, "street") == "Lime Kiln Lane" and "Gate code 4417" in form.get_data(as_text=True)
    sent = {"version": value_of(form, "version")} | worked_out(browser, to)
    assert press(browser, "send", to, **sent).status_code == 302
    assert [r.state for r in visits.house.sheet(lot_id).revisions] == ["to check", "sent"]


def test_a_lot_that_is_here_is_refused_beside_its_name_with_a_link_to_it(
    browser: FlaskClient, visits: Visits
) -> None:
    seen = worked_out(browser)
    lot = press(browser, "send", **seen).location.rsplit("/", 1)[1]

    again = press(browser, "send", **seen, once_key="another-key", notes="Typed anew")

    assert again.status_code == 422
    assert error_at(again, "name").startswith("Lot 7 at 214 Tallow Lane is here already.")
    page = again.get_data(as_text=True)
    assert f'<a href="/lots/{lot}">Open the lot</a></p>' in page and "Typed anew" in page
    assert visits.house.rows(Lot) == 1


def test_rectangles_that_lie_apart_are_priced_and_told_of_on_the_form_and_to_the_office(
    browser: FlaskClient, visits: Visits
) -> None:
    says = "The rectangles make 2 separate parts."
    second = {f"levels[0].outline.rectangles[1].{key}": value for key, value in (
        ("west", "60"), ("south", "0"), ("width", "10"), ("depth", "10"),
    )}  # fmt: skip
    answer = press(browser, "work", **second)
    assert answer.status_code == 200 and says in text_of(answer)
    assert says in text_of(press(browser, "draw", "/ask/redraw", **second))
    touching = second | {"levels[0].outline.rectangles[1].west": "57"}
    assert says not in text_of(press(browser, "work", **touching))

    seen = {"seen": value_of(answer, "seen")}
    lot = press(browser, "send", **second | seen).location.rsplit("/", 1)[1]
    office = visits.by(visits.house.office)
    assert says in text_of(office.get(f"/office/lots/{lot}?sheet=takeoff"))


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("name", "x" * 201, "At most 200 characters, please."),
        ("name", "Lot\x07", "There is a character in here that cannot be printed."),
        ("levels[0].name", "x" * 201, "At most 200 characters, please."),
    ],
)
@pytest.mark.parametrize("button", ["work", "send"])
def test_a_name_that_cannot_be_kept_is_told_as_any_other_text_is(
    browser: FlaskClient, button: str, field: str, typed: str, said: str
) -> None:
    assert error_at(press(browser, button, **{field: typed}), field) == said


def test_working_it_out_leads_to_the_figures_and_an_error_to_the_top(browser: FlaskClient) -> None:
    target = '<section class="stack" aria-labelledby="h-figures" data-figures id="figures">'
    page = press(browser, "work").get_data(as_text=True)
    assert target in page and page.count('formaction="/ask#figures"') == 2  # the button, and Enter
    for answer in (browser.get("/ask"), press(browser, "work", siding_starts="soon")):
        assert 'id="figures"' not in answer.get_data(as_text=True)
