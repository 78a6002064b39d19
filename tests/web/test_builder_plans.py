"""House plans on pages: the list, one with what changed, making one, asking from one without a script."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import plan_views, plans, sheet
from portal.store.tables import HousePlan, Lot, PlanEdition
from tests.parts.house import House, ranch
from tests.web.test_builder_asking import L100, LOT
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

PLAN = {"name": "The Cobble", "note": "", "once_key": "a-key"}


@pytest.fixture
def browser(visits: Visits) -> FlaskClient:
    """The builder's browser."""
    return visits.by(visits.house.builder)


def make(house: House, name: str = "The Cobble", like: Any = None) -> str:
    return plans.make(house.parts, house.builder, name, like or ranch(), "", house.key())


def enter(house: House, plan: str, like: Any, remark: str = "") -> None:
    version = plan_views.plan_view(house.parts, house.builder, plan).version
    plans.enter_edition(house.parts, house.builder, plan, version, like, remark, house.key())


def press(browser: FlaskClient, button: str, to: str, **changes: str) -> TestResponse:
    """Press a button of a plan's form; what is not changed is case L100."""
    return browser.post(to, data=PLAN | L100 | {"press": button} | changes)


def seen(browser: FlaskClient, to: str, **changes: str) -> dict[str, str]:
    """Work it out; answers the hidden field that says which figures were seen."""
    return {"seen": form_of(press(browser, "work", to, **changes), to)["seen"]}


def ask(browser: FlaskClient, button: str, **changes: str) -> TestResponse:
    return browser.post("/ask", data=LOT | L100 | {"press": button} | changes)


def made(house: House, answer: TestResponse) -> sheet.LotSheet:
    """The lot that an answer leads to."""
    assert answer.status_code == 302, text_of(answer)
    return sheet.sheet(house.parts, house.builder, answer.location.rsplit("/", 1)[1])


def test_without_a_plan_the_list_says_how_to_come_by_one(browser: FlaskClient) -> None:
    assert "No house plan is offered yet" in text_of(browser.get("/plans"))
    assert "Start from a house plan" not in text_of(browser.get("/ask"))


def test_making_a_plan_is_the_takeoff_form_without_a_lot(visits: Visits, browser: FlaskClient) -> None:
    page = browser.get("/plans/new")
    assert 'name="house_number"' not in page.get_data(as_text=True)

    worked = press(browser, "work", "/plans/new")
    answer = press(browser, "send", "/plans/new", **seen(browser, "/plans/new"))

    assert "Lineal feet 296 ft" in text_of(worked)
    assert (answer.status_code, visits.house.rows(HousePlan)) == (302, 1)
    shown = text_of(browser.get(answer.location))
    assert "The Cobble" in shown and "Lineal feet 296 ft" in shown
    # 296 × 1.45 + 168 × 0.60 (all sided) + 35.00 of call-out, and 7 % tax on 565.00.
    assert "The Cobble 1 296.00 $604.55 0" in text_of(browser.get("/plans"))


def test_a_double_click_makes_one_plan(visits: Visits, browser: FlaskClient) -> None:
    known = seen(browser, "/plans/new")

    answers = [press(browser, "send", "/plans/new", **known).location for _ in range(2)]

    assert answers[0] == answers[1]
    assert visits.house.rows(HousePlan) == 1


@pytest.mark.parametrize(
    ("name", "said"),
    [("", "This is missing."), ("the COBBLE", "There is a house plan of this name already.")],
)
def test_a_name_that_cannot_be_stands_beside_its_field_and_what_was_typed_stays(
    visits: Visits, browser: FlaskClient, name: str, said: str
) -> None:
    make(visits.house)

    answer = press(browser, "send", "/plans/new", name=name, note="As sold", **seen(browser, "/plans/new"))

    assert (answer.status_code, error_at(answer, "name")) == (422, said)
    kept = form_of(answer, "/plans/new")
    assert (kept["note"], kept["levels[0].interior.length"]) == ("As sold", "128")


def test_a_new_edition_starts_from_the_newest_and_carries_what_is_different(
    visits: Visits, browser: FlaskClient
) -> None:
    plan = make(visits.house)
    to = f"/plans/{plan}/edition"
    form = form_of(browser.get(to), to) | {"levels[0].interior.length": "140", "note": "Pantry"}
    form |= {"seen": form_of(browser.post(to, data=form | {"press": "work"}), to)["seen"]}

    answer = browser.post(to, data=form | {"press": "send"}, follow_redirects=True)

    said = text_of(answer)
    assert "Kept as edition 2." in said and "Pantry" in said
    assert "Main floor, interior 128.00 ft 140.00 ft +12.00 ft" in said
    assert "Main floor, exterior 168.00 ft 168.00 ft none" in said
    assert "Lineal feet 296.00 ft 308.00 ft +12.00 ft" in said


def test_a_second_who_enters_an_edition_is_told_and_what_was_typed_stays(
    visits: Visits, browser: FlaskClient
) -> None:
    plan = make(visits.house)
    to = f"/plans/{plan}/edition"
    form = form_of(browser.get(to), to) | {"levels[0].interior.length": "150", "press": "send"}
    form |= {"seen": form_of(browser.post(to, data=form | {"press": "work"}), to)["seen"]}
    enter(visits.house, plan, ranch(interior="140"))

    overtaken = browser.post(to, data=form)
    again = browser.post(to, data=form_of(overtaken, to) | {"press": "send"})

    assert overtaken.status_code == 409
    assert "Harriet Finch changed this house plan in the meantime" in text_of(overtaken)
    assert form_of(overtaken, to)["levels[0].interior.length"] == "150"
    assert again.status_code == 302
    assert visits.house.rows(PlanEdition) == 3


def test_nothing_different_is_no_edition_and_says_so(visits: Visits, browser: FlaskClient) -> None:
    plan = make(visits.house)
    to = f"/plans/{plan}/edition"

    answer = browser.post(to, data=form_of(browser.get(to), to) | {"press": "send"})

    assert answer.status_code == 409
    assert "This is edition 1 as it stands: nothing is different." in text_of(answer)


def test_any_two_editions_stand_side_by_side_and_their_prices_add_up(
    visits: Visits, browser: FlaskClient
) -> None:
    """By hand: 296 and 308 ft, 174 ft once around when 3 ft deeper; see tests/acts for the price of 12 ft."""
    plan = make(visits.house, like=ranch("open"))
    enter(visits.house, plan, ranch("open", interior="140"))
    enter(visits.house, plan, ranch("open", interior="150"))

    far = text_of(browser.get(f"/plans/{plan}?edition=2&since=1"))
    near = text_of(browser.get(f"/plans/{plan}"))
    odd = browser.get(f"/plans/{plan}?edition=2&since=999")

    assert "Treatment of all exterior and interior walls $429.20 $444.60 +$15.40" in far
    assert "Call-out $35.00 $35.00 none Tax $32.49 $33.57 +$1.08 Price $496.69 $513.17 +$16.48" in far
    assert "Lineal feet 308.00 ft 318.00 ft +10.00 ft" in near
    assert odd.status_code == 200
    assert browser.get(f"/plans/{plan}?edition=9").status_code == 404
    assert browser.get(f"/plans/{plan}?edition={10**30}").status_code == 404


def test_a_plan_is_copied_renamed_retired_and_brought_back(visits: Visits, browser: FlaskClient) -> None:
    plan = make(visits.house)
    page = f"/plans/{plan}"

    def send(act: str, **typed: str) -> TestResponse:
        form = form_of(browser.get(page), f"{page}/{act}")
        return browser.post(f"{page}/{act}", data=form | typed, follow_redirects=True)

    assert "Copied. This is the copy" in text_of(send("copy", **{"copy-called": "The Cobble II"}))
    assert "Renamed." in text_of(send("rename", **{"rename-called": "The Crest"}))
    retired = text_of(send("retire"))
    assert "Retired. It is offered no more" in retired and "Ask for a price from this plan" not in retired
    assert "The Crest" not in browser.get("/ask").get_data(as_text=True)
    assert "Retired Offered no more." in text_of(browser.get("/plans"))
    assert browser.get(f"/ask?plan={plan}").status_code == 409
    assert "Brought back." in text_of(send("bring-back"))
    assert "The Crest" in browser.get("/ask").get_data(as_text=True)


@pytest.mark.parametrize("act", ["copy", "rename"])
def test_a_taken_name_is_told_at_its_field_on_the_plans_page(
    visits: Visits, browser: FlaskClient, act: str
) -> None:
    plan = make(visits.house)
    make(visits.house, "The Fallow")
    form = form_of(browser.get(f"/plans/{plan}"), f"/plans/{plan}/{act}") | {f"{act}-called": "the fallow"}

    answer = browser.post(f"/plans/{plan}/{act}", data=form)

    assert answer.status_code == 422
    assert error_at(answer, f"{act}-called") == "There is a house plan of this name already."
    assert form_of(answer, f"/{act}")[f"{act}-called"] == "the fallow"


def test_a_rename_that_was_overtaken_is_told_kept_and_can_be_sent_again(
    visits: Visits, browser: FlaskClient
) -> None:
    plan = make(visits.house)
    to = f"/plans/{plan}/rename"
    form = form_of(browser.get(f"/plans/{plan}"), to) | {"rename-called": "The Crest"}
    enter(visits.house, plan, ranch(interior="140"))

    overtaken = browser.post(to, data=form)
    again = browser.post(to, data=form_of(overtaken, to), follow_redirects=True)

    assert overtaken.status_code == 409
    assert "Harriet Finch changed this house plan in the meantime" in text_of(overtaken)
    assert "Renamed." in text_of(again) and "The Crest" in text_of(again)


def test_asking_from_a_plan_by_its_address_fills_the_house_and_remembers_the_edition(
    visits: Visits, browser: FlaskClient
) -> None:
    plan = make(visits.house)
    enter(visits.house, plan, ranch(interior="140"))
    page = browser.get(f"/ask?plan={plan}&edition=1")
    form = form_of(page, "/ask")

    lot = made(visits.house, browser.post("/ask", data=form | LOT | {"press": "send"}))

    said = text_of(page)
    assert "The house below is The Cobble, edition 1." in said
    assert said.index("The lot") < said.index("Story 1")  # what is left to enter comes first
    assert form["levels[0].outline.rectangles[0].width"] == "57"
    assert lot.plan is not None
    assert (lot.plan.edition, lot.plan.mirrored, lot.plan.changed) == (1, False, False)
    shown = browser.get(f"/lots/{lot.id}/takeoff")
    assert "The Cobble , edition 1" in text_of(shown)
    assert f'href="/plans/{plan}?edition=1"' in shown.get_data(as_text=True)


def test_asking_from_a_plan_mirrored_turns_it_and_the_price_stays(
    visits: Visits, browser: FlaskClient
) -> None:
    plan = make(visits.house)
    plain, turned = (
        form_of(browser.get(f"/ask?plan={plan}{more}"), "/ask") for more in ("", "&mirrored=yes")
    )

    lot = made(visits.house, browser.post("/ask", data=turned | LOT | {"press": "send"}))

    assert (plain["levels[0].siding.east"], turned["levels[0].siding.west"]) == ("wrapped", "wrapped")
    assert lot.plan is not None and lot.plan.mirrored and not lot.plan.changed
    assert lot.takeoff.estimate["feet"]["total"] == "296.00"
    assert "edition 1, mirrored east to west" in text_of(browser.get(f"/lots/{lot.id}/takeoff"))


def test_the_choice_on_the_form_fills_in_a_plan_and_keeps_what_was_typed_of_the_lot(
    visits: Visits, browser: FlaskClient
) -> None:
    plan = make(visits.house, like=ranch("open", interior="140"))

    chosen = ask(browser, "plan", start_plan=plan, start_mirrored="yes", street="Kiln Way")
    form = form_of(chosen, "/ask")
    lot = made(visits.house, browser.post("/ask", data=form | {"press": "send"}))

    assert chosen.status_code == 200
    assert "Lineal feet 308 ft" in text_of(chosen)
    assert (form["street"], form["levels[0].interior.length"]) == ("Kiln Way", "140")
    assert lot.plan is not None and (lot.plan.plan, lot.plan.mirrored) == ("The Cobble", True)


def test_none_forgets_the_plan_and_keeps_the_house(visits: Visits, browser: FlaskClient) -> None:
    plan = make(visits.house)
    form = form_of(browser.get(f"/ask?plan={plan}"), "/ask") | LOT

    forgotten = form_of(browser.post("/ask", data=form | {"press": "plan", "start_plan": ""}), "/ask")

    assert "from_edition" not in forgotten
    assert forgotten["levels[0].outline.rectangles[0].width"] == "57"


def test_siding_changed_on_the_form_is_the_lots_and_other_walls_are_a_change_since(
    visits: Visits, browser: FlaskClient
) -> None:
    plan = make(visits.house)

    def asked(key: str, **changes: str) -> sheet.LotSheet:
        form = form_of(browser.get(f"/ask?plan={plan}"), "/ask") | LOT | changes | {"once_key": key}
        worked = form_of(browser.post("/ask", data=form | {"press": "work"}), "/ask")
        return made(visits.house, browser.post("/ask", data=worked | {"press": "send"}))

    sided = asked("1", **{"levels[0].siding.by": "one", "levels[0].siding": "sided"})
    wider = asked("2", name="Lot 8", **{"levels[0].outline.rectangles[0].width": "60"})

    assert [lot.plan and lot.plan.changed for lot in (sided, wider)] == [False, True]
    assert "; changed since" in text_of(browser.get(f"/lots/{wider.id}/takeoff"))
    office = visits.by(visits.house.office).get(f"/office/lots/{wider.id}/takeoff")
    assert "The Cobble, edition 1; changed since" in text_of(office)
    assert "/plans/" not in office.get_data(as_text=True)


def test_a_plan_retired_while_the_form_was_open_is_told_and_nothing_is_lost(
    visits: Visits, browser: FlaskClient
) -> None:
    plan = make(visits.house)
    plans.retire(visits.house.parts, visits.house.builder, plan, 1, "k")

    answer = ask(browser, "plan", start_plan=plan)

    assert answer.status_code == 409
    assert "The Cobble is retired and no longer offered." in text_of(answer)
    assert form_of(answer, "/ask")["street"] == LOT["street"]


def test_a_lots_takeoff_is_saved_as_a_plan_from_its_sheet(visits: Visits, browser: FlaskClient) -> None:
    lot = visits.house.asked()
    to = f"/lots/{lot}/keep-plan"
    form = form_of(browser.get(f"/lots/{lot}/takeoff"), to)

    unnamed = browser.post(to, data=form)
    kept = browser.post(to, data=form | {"keep-plan-called": "As built"}, follow_redirects=True)

    assert (unnamed.status_code, error_at(unnamed, "keep-plan-called")) == (422, "This is missing.")
    assert "Kept as a house plan." in text_of(kept)
    assert "As built" in text_of(browser.get("/plans"))


def test_another_builders_plan_is_nowhere(visits: Visits) -> None:
    plan = make(visits.house)
    edition = plan_views.plan_view(visits.house.parts, visits.house.builder, plan).newest.id
    rival = visits.by(visits.house.rival)

    assert "The Cobble" not in text_of(rival.get("/plans")) + text_of(rival.get("/ask"))
    for answer in (
        rival.get(f"/plans/{plan}"), rival.get(f"/plans/{plan}/edition"), rival.get(f"/ask?plan={plan}"),
        rival.post(f"/plans/{plan}/rename", data={"rename-called": "Mine", "once_key": "k"}),
        rival.post(f"/plans/{plan}/copy", data={"copy-called": "Mine", "copy-edition": "1", "once_key": "k"}),
        ask(rival, "plan", start_plan=plan), ask(rival, "send", from_edition=edition),
    ):  # fmt: skip
        assert answer.status_code == 404
    assert (visits.house.rows(HousePlan), visits.house.rows(Lot)) == (1, 0)
