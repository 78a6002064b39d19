"""Who may open what: every address of the portal, tried as every kind of visitor.

The table is swept against the application's own map of addresses, so that an address without a row is a
failure, and so is a row without an address. What is seen is what everybody is told: `ok` (the page, or the
act was let in and judged on its merits), `sign-in` (asked to sign in), `none` (404: no such page for this
visitor, whether it is there or not), `no` (403: known, and not theirs to do).
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from flask import Flask
from flask.testing import FlaskClient

from portal import create_app
from portal.acts import treating
from portal.acts.parts import Actor
from tests.parts.house import House
from tests.web.visits import Visits, make_visits

pytestmark = pytest.mark.slow

VISITORS = (
    "nobody", "builder", "rival", "office", "owner", "technician", "second_technician",
)  # fmt: skip


@dataclass(frozen=True)
class Row:
    """What each kind of visitor gets at one address; of two of a kind, the second as the first."""

    method: str
    rule: str
    nobody: str = "sign-in"
    builder: str = "none"
    rival: str | None = None
    office: str = "none"
    owner: str | None = None
    technician: str = "none"
    second_technician: str | None = None

    def expected(self, visitor: str) -> str:
        """What this visitor gets."""
        said = getattr(self, visitor)
        like = {"rival": self.builder, "owner": self.office, "second_technician": self.technician}
        return str(said if said is not None else like[visitor])


def everybody(method: str, rule: str, said: str = "ok", nobody: str | None = None) -> Row:
    """An address that is the same to all; perhaps but to those who are not signed in."""
    return Row(method, rule, nobody or said, builder=said, office=said, technician=said)


def office(method: str, rule: str) -> Row:
    """An address of the office's."""
    return Row(method, rule, office="ok")


def builder(method: str, rule: str) -> Row:
    """An address of any builder's."""
    return Row(method, rule, builder="ok")


def own_lot(method: str, rule: str) -> Row:
    """An address of the lot's own builder: to the rival it is not there."""
    return Row(method, rule, builder="ok", rival="none")


def own_stop(method: str, rule: str) -> Row:
    """An address of the stop's own technician: to another it is not there."""
    return Row(method, rule, technician="ok", second_technician="none")


ROWS = (
    # The front door. Letters and pressing to sign in are the demo's, and nobody's anywhere else.
    everybody("GET", "/", nobody="sign-in"),
    everybody("GET", "/static/<path:filename>"),
    everybody("GET", "/fonts/<name>"),
    everybody("GET", "/health"),
    everybody("GET", "/sign-in"), everybody("POST", "/sign-in"),
    everybody("POST", "/sign-out", "sign-in"),
    everybody("GET", "/forgot"), everybody("POST", "/forgot"),
    everybody("GET", "/join/<token>"), everybody("POST", "/join/<token>"),
    everybody("GET", "/reset/<token>"), everybody("POST", "/reset/<token>"),
    everybody("POST", "/demo/sign-in/<person_id>", "none"),
    everybody("GET", "/letters", "none"), everybody("GET", "/letters/<letter_id>", "none"),
    # A builder's.
    builder("GET", "/lots"),
    builder("GET", "/ask"), builder("POST", "/ask"), builder("POST", "/ask/redraw"),
    builder("GET", "/papers"),
    own_lot("GET", "/lots/<lot_id>"),
    own_lot("GET", "/lots/<lot_id>/<any(takeoff, quote, treatment, invoice, warranty):sheet>"),
    own_lot("GET", "/lots/<lot_id>/change"), own_lot("POST", "/lots/<lot_id>/change"),
    own_lot("GET", "/lots/<lot_id>/ask-again"), own_lot("POST", "/lots/<lot_id>/ask-again"),
    own_lot("POST", "/lots/<lot_id>/siding-day"),
    own_lot("POST", "/lots/<lot_id>/quote/accept"), own_lot("POST", "/lots/<lot_id>/quote/decline"),
    own_lot("GET", "/lots/<lot_id>/papers/<kind>"),
    own_lot("GET", "/lots/<lot_id>/papers/<kind>/<int:revision>"),
    # The office's.
    office("GET", "/office/today"), office("GET", "/office/lots"), office("GET", "/office/crew-days"),
    office("GET", "/office/money"), office("GET", "/office/warranties"), office("GET", "/office/people"),
    office("GET", "/office/lots/<lot_id>"),
    office("GET", "/office/lots/<lot_id>/<any(takeoff, quote, treatment, invoice, warranty):sheet>"),
    office("GET", "/office/lots/<lot_id>/papers/<kind>"),
    office("GET", "/office/lots/<lot_id>/papers/<kind>/<int:revision>"),
    office("GET", "/office/lots/<lot_id>/correct"), office("POST", "/office/lots/<lot_id>/correct"),
    office("POST", "/office/redraw"),
    office("POST", "/office/lots/<lot_id>/siding-day"),
    office("POST", "/office/lots/<lot_id>/start"), office("POST", "/office/lots/<lot_id>/extra"),
    office("POST", "/office/lots/<lot_id>/extra/<extra_id>/drop"),
    office("POST", "/office/lots/<lot_id>/approve"), office("POST", "/office/lots/<lot_id>/send"),
    office("POST", "/office/lots/<lot_id>/revise"), office("POST", "/office/lots/<lot_id>/book"),
    office("POST", "/office/lots/<lot_id>/call-off"), office("POST", "/office/lots/<lot_id>/sign-off"),
    office("POST", "/office/lots/<lot_id>/pay"), office("POST", "/office/lots/<lot_id>/release"),
    office("POST", "/office/lots/<lot_id>/keep-held"),
    Row("POST", "/office/lots/<lot_id>/void", office="no", owner="ok"),
    office("GET", "/office/rates"),
    Row("GET", "/office/rates/<any(rates, product, crew, terms, firm):kind>", office="no", owner="ok"),
    Row("POST", "/office/rates/<any(rates, product, crew, terms, firm):kind>", office="no", owner="ok"),
    office("POST", "/office/people/invite"), office("POST", "/office/people/builders"),
    office("POST", "/office/people/<person_id>/invite-again"),
    # A technician's.
    Row("GET", "/stops", technician="ok"), Row("GET", "/stops/signal", technician="ok"),
    own_stop("GET", "/stops/<job_id>"), own_stop("GET", "/stops/<job_id>/sheet.pdf"),
    own_stop("POST", "/stops/<job_id>/arrive"), own_stop("POST", "/stops/<job_id>/keep"),
    own_stop("POST", "/stops/<job_id>/treated"),
    own_stop("POST", "/stops/<job_id>/entries"), own_stop("POST", "/stops/<job_id>/photos"),
    own_stop("GET", "/stops/<job_id>/photos/<photo_id>/<any(small, whole):size>"),
    everybody("GET", "/field-worker.js"),
    # A homeowner's: anybody with the number and the house number, or the link.
    # A pair that is not known is told so, with the same 404 to all.
    everybody("GET", "/warranty"), everybody("POST", "/warranty", "none"),
    everybody("GET", "/warranty/<token>"), everybody("GET", "/warranty/<token>/certificate.pdf"),
)  # fmt: skip


def addresses(app: Flask) -> set[tuple[str, str]]:
    """Every method and address that the application answers."""
    return {
        (method, rule.rule)
        for rule in app.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
    }


@pytest.fixture
def app_only(lite: House) -> Flask:
    """The application, to read its addresses."""
    return create_app(lite.settings, lite.parts)


def test_every_address_has_a_row_and_every_row_an_address(app_only: Flask) -> None:
    assert {(row.method, row.rule) for row in ROWS} == addresses(app_only)


def test_no_address_has_two_rows() -> None:
    assert len({(row.method, row.rule) for row in ROWS}) == len(ROWS)


def said(client: FlaskClient, row: Row, values: dict[str, str]) -> str:
    """What a visitor is told at an address."""
    path = row.rule
    for part, value in values.items():
        path = path.replace(part, value)
    assert "<" not in path, path
    answer = client.open(path, method=row.method, data={"once_key": "k"} if row.method == "POST" else None)
    answer.close()
    if answer.status_code == 401:  # a form, which is shown its own words once more
        return "sign-in"
    if answer.status_code in (302, 303) and answer.headers["Location"].partition("?")[0] == "/sign-in":
        return "sign-in"
    return {404: "none", 403: "no"}.get(answer.status_code, "ok" if answer.status_code < 500 else "broken")


@pytest.fixture
def stage(lite: House) -> tuple[Visits, dict[str, str]]:
    """A lot that was paid, its warranty in force; and what stands for each part of an address."""
    visits = make_visits(lite)
    lot_id = lite.booked()
    lite.photograph(lite.job(lot_id), [""])
    photo_id = treating.stop(lite.parts, lite.technician, lite.job(lot_id)).photos[0].id
    lite.paid(lite.treated(lot_id))
    person = lite.technician.person_id or ""
    token = lite.parts.tokens.make("invitation", {"person": person, "turn": 1})
    return visits, {
        "<lot_id>": lot_id, "<job_id>": lite.job(lot_id), "<kind>": "quote",
        "<photo_id>": photo_id, "<any(small, whole):size>": "small",
        "<int:revision>": "1", "<extra_id>": "none", "<person_id>": person, "<letter_id>": "none",
        "<any(takeoff, quote, treatment, invoice, warranty):sheet>": "invoice",
        "<any(rates, product, crew, terms, firm):kind>": "rates", "<name>": "SourceSansPro-Regular.ttf",
        "<path:filename>": "css/base.css",
        "/warranty/<token>": lite.warranty(lot_id).link.removeprefix(lite.settings.base_url),
        "<token>": token,
    }  # fmt: skip


@pytest.mark.parametrize("visitor", VISITORS)
def test_each_visitor_gets_what_the_table_says(stage: tuple[Visits, dict[str, str]], visitor: str) -> None:
    visits, values = stage
    person: Actor | None = None if visitor == "nobody" else getattr(visits.house, visitor)

    wrong = []
    for row in ROWS:
        found = said(visits.by(person), row, values)
        if found != row.expected(visitor):
            wrong.append(f"{row.method} {row.rule}: {found}, not {row.expected(visitor)}")

    assert not wrong, "\n".join(wrong)


def test_no_post_is_taken_without_its_token(stage: tuple[Visits, dict[str, str]]) -> None:
    """Sent by somebody who may, so that nothing but the missing token stands in the way."""
    visits, values = stage
    guarded = make_visits(visits.house, csrf=True)
    taken = []
    for row in (row for row in ROWS if row.method == "POST"):
        may = next((v for v in VISITORS[1:] if row.expected(v) == "ok"), "builder")
        path = row.rule
        for part, value in values.items():
            path = path.replace(part, value)
        if guarded.by(getattr(visits.house, may)).post(path).status_code != 400:
            taken.append(row.rule)

    assert not taken
