"""Who may open what: every address of the portal, tried as every kind of visitor.

The table is swept against the application's own map of addresses, so that an address without a row is a
failure, and so is a row without an address. What is seen is what everybody is told: `ok` (the page, or the
act was let in and judged on its merits), `sign-in` (asked to sign in), `none` (404: no such page for this
visitor, whether it is there or not), `no` (403: known, and not theirs to do).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal import create_app
from portal.acts import (
    adding,
    bank_lines,
    banking,
    calendars,
    plans,
    recalling,
    reporting,
    technician_days,
    treating,
    troubles,
)
from portal.acts.agreeing import AgreementAsked, agree, list_agreements
from portal.acts.by_link import accept_by_link
from portal.acts.parts import Actor
from portal.acts.statements import make_statement
from portal.store import renewals, warranties
from tests.parts.house import PIXEL, House, ranch
from tests.parts.links import link_id, mailed
from tests.parts.packages import sent_package
from tests.web.visits import Visits, make_visits

pytestmark = pytest.mark.slow

#: People of the builder's company, and what each may do beyond asking and looking.
COLLEAGUES: dict[str, tuple[str, ...]] = {
    "asker": (), "buyer": ("accept",), "bookkeeper": ("money",), "clerk": ("people",),
}  # fmt: skip
VISITORS = (
    "nobody", "builder", "rival", "office", "owner", "technician", "second_technician", *COLLEAGUES,
)  # fmt: skip


@dataclass(frozen=True)
class Row:
    """What each kind of visitor gets at one address; of two of a kind, the second as the first.

    `takes` is the right that the builder's people need for it.
    """

    method: str
    rule: str
    nobody: str = "sign-in"
    builder: str = "none"
    rival: str | None = None
    office: str = "none"
    owner: str | None = None
    technician: str = "none"
    second_technician: str | None = None
    takes: str = ""

    def expected(self, visitor: str) -> str:
        """What this visitor gets."""
        if visitor in COLLEAGUES:
            return "no" if self.takes and self.takes not in COLLEAGUES[visitor] else self.builder
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


def own_lot(method: str, rule: str, takes: str = "") -> Row:
    """An address of the lot's own builder: to the rival it is not there."""
    return Row(method, rule, builder="ok", rival="none", takes=takes)


def own_people(method: str, rule: str) -> Row:
    """An address of one of the builder's people, for those who may change them; the office has its own."""
    return Row(method, rule, builder="ok", rival="none", takes="people")


def own_package(method: str, rule: str, takes: str = "") -> Row:
    """An address of the package's own builder: to the rival it is not there."""
    return Row(method, rule, builder="ok", rival="none", takes=takes)


def own_stop(method: str, rule: str) -> Row:
    """An address of the stop's own technician: to another it is not there."""
    return Row(method, rule, technician="ok", second_technician="none")


ROWS = (
    # The front door. Letters and pressing to sign in are the demo's, and nobody's anywhere else.
    everybody("GET", "/", nobody="sign-in"),
    everybody("GET", "/static/<path:filename>"),
    everybody("GET", "/fonts/<name>"),
    everybody("GET", "/health"), everybody("GET", "/calendar/<token>.ics"),
    everybody("GET", "/sign-in"), everybody("POST", "/sign-in"),
    everybody("POST", "/sign-out", "sign-in"),
    everybody("GET", "/forgot"), everybody("POST", "/forgot"),
    everybody("GET", "/fewer/<token>"), everybody("POST", "/fewer/<token>"),
    everybody("GET", "/join/<token>"), everybody("POST", "/join/<token>"),
    everybody("GET", "/reset/<token>"), everybody("POST", "/reset/<token>"),
    everybody("POST", "/demo/sign-in/<person_id>", "none"),
    everybody("GET", "/letters", "none"), everybody("GET", "/letters/<letter_id>", "none"),
    # A builder's.
    builder("GET", "/lots"), builder("GET", "/lots/calendar"), builder("POST", "/lots/calendar"),
    own_lot("GET", "/lots/<lot_id>/frame-days"), own_lot("POST", "/lots/<lot_id>/frame-days"),
    builder("GET", "/ask"), builder("POST", "/ask"), builder("POST", "/ask/redraw"),
    Row("GET", "/account", builder="ok", takes="money"), Row("POST", "/account", builder="ok", takes="money"),
    own_lot("GET", "/account/statements/<statement_id>.pdf", takes="money"),
    own_lot("GET", "/invoices/<invoice_id>/dispute", takes="money"),
    own_lot("POST", "/invoices/<invoice_id>/dispute", takes="money"),
    Row("GET", "/papers/payments", builder="ok", takes="money"),
    builder("GET", "/papers"), builder("GET", "/papers.zip"), own_lot("GET", "/lots/<lot_id>/papers.zip"),
    builder("GET", "/plans"), builder("GET", "/plans/new"), builder("POST", "/plans/new"),
    own_lot("GET", "/plans/<plan_id>"),
    own_lot("GET", "/plans/<plan_id>/edition"), own_lot("POST", "/plans/<plan_id>/edition"),
    own_lot("POST", "/plans/<plan_id>/copy"), own_lot("POST", "/plans/<plan_id>/rename"),
    own_lot("POST", "/plans/<plan_id>/retire"), own_lot("POST", "/plans/<plan_id>/bring-back"),
    own_lot("POST", "/lots/<lot_id>/keep-plan"),
    builder("GET", "/many"), builder("POST", "/many"),
    builder("GET", "/many/columns"), builder("GET", "/many/lots.csv"),
    own_lot("GET", "/many/<list_id>/columns"), own_lot("POST", "/many/<list_id>/columns"),
    own_lot("POST", "/many/<list_id>/check"), own_lot("POST", "/many/<list_id>/enter"),
    own_lot("GET", "/many/<list_id>"), own_lot("GET", "/many/<list_id>/rows-to-mend.csv"),
    own_lot("GET", "/lots/<lot_id>"),
    own_lot("GET", "/lots/<lot_id>/<any(takeoff, quote, treatment, invoice, warranty):sheet>"),
    own_lot("GET", "/lots/<lot_id>/change"), own_lot("POST", "/lots/<lot_id>/change"),
    own_lot("GET", "/lots/<lot_id>/ask-again"), own_lot("POST", "/lots/<lot_id>/ask-again"),
    own_lot("POST", "/lots/<lot_id>/siding-day"),
    own_lot("POST", "/lots/<lot_id>/quote/accept", "accept"),
    own_lot("POST", "/lots/<lot_id>/quote/decline", "accept"),
    own_lot("POST", "/lots/<lot_id>/quote/take-back"), own_lot("POST", "/lots/<lot_id>/quote/links"),
    own_lot("POST", "/lots/<lot_id>/quote/links/<link_id>/withdraw", "accept"),
    own_lot("POST", "/lots/<lot_id>/warranty/owner"),
    own_lot("GET", "/lots/<lot_id>/closing-packet.pdf"), own_lot("POST", "/lots/<lot_id>/closing-packet"),
    own_lot("GET", "/lots/<lot_id>/addition"), own_lot("POST", "/lots/<lot_id>/addition"),
    builder("GET", "/people/second-yes"),
    Row("POST", "/people/second-yes", builder="ok", takes="people"),
    own_lot("GET", "/lots/<lot_id>/papers/<kind>"),
    own_lot("GET", "/lots/<lot_id>/photos/<photo_id>/<any(small, whole):size>"),
    own_lot("GET", "/lots/<lot_id>/papers/<kind>/<int:revision>"),
    builder("GET", "/people"), builder("POST", "/people/letters"),
    Row("POST", "/people/invite", builder="ok", takes="people"),
    Row("POST", "/people/company", builder="ok", takes="people"),
    own_people("GET", "/people/<person_id>"), own_people("POST", "/people/<person_id>"),
    own_people("POST", "/people/<person_id>/invite-again"),
    own_people("GET", "/people/<person_id>/remove"), own_people("POST", "/people/<person_id>/remove"),
    builder("GET", "/packages"), builder("GET", "/packages/new"), builder("POST", "/packages/new"),
    own_package("GET", "/packages/<package_id>"), own_package("POST", "/packages/<package_id>/put-in"),
    own_package("POST", "/packages/<package_id>/take-out"),
    own_package("POST", "/packages/<package_id>/accept", "accept"),
    own_package("POST", "/packages/<package_id>/decline", "accept"),
    own_package("GET", "/packages/<package_id>/paper/<int:issue>"),
    # The office's.
    office("GET", "/office/packages"), office("GET", "/office/packages/<package_id>"),
    office("POST", "/office/packages/<package_id>/<any(start, approve, send):what>"),
    office("POST", "/office/packages/<package_id>/take-out"),
    office("GET", "/office/packages/<package_id>/paper/<int:issue>"),
    office("GET", "/office/today"), office("GET", "/office/lots"), office("GET", "/office/crew-days"),
    office("GET", "/office/chase"), office("GET", "/office/chase/<invoice_id>"),
    office("POST", "/office/chase/<invoice_id>/dispute"), office("POST", "/office/chase/<invoice_id>/settle"),
    office("POST", "/office/chase/<invoice_id>/promise"),
    office("POST", "/office/chase/<invoice_id>/interest"),
    office("GET", "/office/chase/builders/<company_id>"),
    office("POST", "/office/chase/builders/<company_id>/statement"),
    office("POST", "/office/chase/builders/<company_id>/statements/<statement_id>/send"),
    office("GET", "/office/chase/statements/<statement_id>.pdf"),
    office("GET", "/office/rates/chasing"), Row("POST", "/office/rates/chasing", office="no", owner="ok"),
    office("GET", "/office/books"), office("GET", "/office/books/account"),
    office("GET", "/office/books/entry/<int:seq>"), office("GET", "/office/books/tax-owed"),
    office("GET", "/office/books/month"), Row("POST", "/office/books/month", office="no", owner="ok"),
    office("GET", "/office/books/entries.csv"), office("GET", "/office/books/trial-balance.csv"),
    office("GET", "/office/books/tax-owed.csv"), office("GET", "/office/books/books.txt"),
    office("GET", "/office/money"), office("GET", "/office/warranties"),
    office("GET", "/office/warranties.csv"), office("GET", "/office/recalls"),
    office("GET", "/office/trouble"), office("GET", "/office/trouble/<trouble_id>"),
    office(
        "POST", "/office/trouble/<trouble_id>/<any(answered, booked, found, decided, done, closed):step>"
    ),
    office("POST", "/office/trouble/<trouble_id>/retreatment"),
    office("POST", "/office/trouble/<trouble_id>/retreatment/agree"),
    office("GET", "/office/renewals"), office("GET", "/office/renewals/<renewal_id>"),
    office("POST", "/office/lots/<lot_id>/handed-on/holders/<holder_id>/remove"),
    office("POST", "/office/renewals/<renewal_id>/answer"),
    office("POST", "/office/renewals/<renewal_id>/book"),
    office("POST", "/office/renewals/<renewal_id>/looked"),
    office("GET", "/office/additions"), office("GET", "/office/additions/<addition_id>"),
    office("POST", "/office/additions/<addition_id>/take-on"),
    office("POST", "/office/additions/<addition_id>/decline"),
    office("GET", "/office/lots/<lot_id>/closing-packet.pdf"),
    office("POST", "/office/lots/<lot_id>/closing-packet"),
    office("GET", "/office/lots/<lot_id>/addition"), office("POST", "/office/lots/<lot_id>/addition"),
    office("GET", "/office/trouble/<trouble_id>/photos/<trouble_photo_id>/<any(small, whole):size>"),
    office("GET", "/office/recalls/new"), office("POST", "/office/recalls/new"),
    office("GET", "/office/recalls/<recall_id>"), office("POST", "/office/recalls/<recall_id>/send"),
    office("GET", "/office/recalls/<recall_id>/letters/<recall_letter_id>"),
    office("POST", "/office/recalls/<recall_id>/letters/<recall_letter_id>/<any(send, leave):what>"),
    office("GET", "/office/people"),
    office("GET", "/office/people/data"), office("POST", "/office/people/data"),
    office("GET", "/office/lots/<lot_id>"),
    office("GET", "/office/lots/<lot_id>/<any(takeoff, quote, treatment, invoice, warranty):sheet>"),
    office("GET", "/office/lots/<lot_id>/papers/<kind>"),
    office("GET", "/office/lots/<lot_id>/papers/<kind>/<int:revision>"),
    office("GET", "/office/lots/<lot_id>/correct"), office("POST", "/office/lots/<lot_id>/correct"),
    office("POST", "/office/redraw"),
    office("POST", "/office/lots/<lot_id>/siding-day"),
    office("POST", "/office/lots/<lot_id>/start"), office("POST", "/office/lots/<lot_id>/extra"),
    office("POST", "/office/lots/<lot_id>/extra/<extra_id>/drop"),
    office("POST", "/office/lots/<lot_id>/miles"), office("POST", "/office/lots/<lot_id>/listed"),
    office("POST", "/office/lots/<lot_id>/approve"), office("POST", "/office/lots/<lot_id>/send"),
    office("POST", "/office/lots/<lot_id>/links"),
    office("POST", "/office/lots/<lot_id>/links/<link_id>/withdraw"),
    office("POST", "/office/lots/<lot_id>/revise"), office("POST", "/office/lots/<lot_id>/book"),
    office("GET", "/office/lots/<lot_id>/frame-days"), office("POST", "/office/lots/<lot_id>/frame-days"),
    office("GET", "/office/crew-days/load/<technician_id>/<day>"),
    office("GET", "/office/crew-days/load/<technician_id>/<day>/load.pdf"),
    office("GET", "/office/crew-days/find"), office("POST", "/office/crew-days/find"),
    office("POST", "/office/crew-days/book"), office("GET", "/office/technicians/<technician_id>"),
    office("POST", "/office/technicians/<technician_id>/week"),
    office("POST", "/office/technicians/<technician_id>/off"),
    office("POST", "/office/technicians/<technician_id>/off/<day>/drop"),
    office("POST", "/office/lots/<lot_id>/call-off"), office("POST", "/office/lots/<lot_id>/sign-off"),
    office("POST", "/office/lots/<lot_id>/send-back"), office("POST", "/office/lots/<lot_id>/amend"),
    Row("POST", "/office/lots/<lot_id>/forget", office="no", owner="ok"),
    office("GET", "/office/lots/<lot_id>/photos/<photo_id>/<any(small, whole):size>"),
    office("POST", "/office/lots/<lot_id>/pick"),
    office("POST", "/office/lots/<lot_id>/pay"), office("POST", "/office/lots/<lot_id>/release"),
    office("POST", "/office/lots/<lot_id>/keep-held"), office("POST", "/office/lots/<lot_id>/replace-link"),
    office("POST", "/office/lots/<lot_id>/owner"),
    office("GET", "/office/lots/<lot_id>/handed-on"), office("POST", "/office/lots/<lot_id>/handed-on"),
    office("POST", "/office/lots/<lot_id>/handed-on/<transfer_id>/agree"),
    office("POST", "/office/lots/<lot_id>/handed-on/<transfer_id>/decline"),
    office("POST", "/office/lots/<lot_id>/handed-on/<transfer_id>/fee"),
    Row("GET", "/office/lots/<lot_id>/handed-on/<transfer_id>/evidence", office="none"),
    Row("POST", "/office/lots/<lot_id>/void", office="no", owner="ok"),
    office("GET", "/office/payments"), office("GET", "/office/payments/<payment_id>"),
    office("GET", "/office/payments/builders/<company_id>"),
    office("GET", "/office/payments/builders/<company_id>/new"),
    office("POST", "/office/payments/builders/<company_id>/new"),
    office("POST", "/office/payments/builders/<company_id>/use"),
    office("POST", "/office/payments/builders/<company_id>/refund"),
    office("GET", "/office/payments/<payment_id>/bounced"),
    office("POST", "/office/payments/<payment_id>/bounced"),
    office("GET", "/office/bank"), office("POST", "/office/bank"),
    office("GET", "/office/bank/<bank_list_id>"),
    office("GET", "/office/bank/<bank_list_id>/columns"),
    office("POST", "/office/bank/<bank_list_id>/columns"),
    office("GET", "/office/bank/lines/<line_id>"), office("POST", "/office/bank/lines/<line_id>"),
    office("POST", "/office/bank/lines/<line_id>/known"),
    office("POST", "/office/bank/lines/<line_id>/aside"),
    office("POST", "/office/bank/lines/<line_id>/back"),
    office("POST", "/office/bank/<bank_list_id>/drop"),
    Row("GET", "/office/invoices/<invoice_id>/write-off", office="no", owner="ok"),
    Row("POST", "/office/invoices/<invoice_id>/write-off", office="no", owner="ok"),
    office("GET", "/office/agreements"),
    Row("POST", "/office/agreements", office="no", owner="ok"),
    office("GET", "/office/agreements/<agreement_id>"),
    Row("POST", "/office/agreements/<agreement_id>", office="no", owner="ok"),
    office("GET", "/office/rates"), office("GET", "/office/lessons"), office("GET", "/office/margin"),
    Row("POST", "/office/lessons/<any(product, crew):kind>", office="no", owner="ok"),
    Row("GET", "/office/rates/<any(rates, product, crew, terms, firm):kind>", office="no", owner="ok"),
    Row("POST", "/office/rates/<any(rates, product, crew, terms, firm):kind>", office="no", owner="ok"),
    office("GET", "/office/tax"), Row("GET", "/office/tax/table", office="no", owner="ok"),
    Row("POST", "/office/tax/table", office="no", owner="ok"),
    Row("POST", "/office/tax/places", office="no", owner="ok"),
    Row("POST", "/office/tax/places/drop", office="no", owner="none"),
    office("GET", "/office/builders/<company_id>/exemptions"),
    office("POST", "/office/builders/<company_id>/exemptions"),
    # There is none of this id to withdraw.
    Row("POST", "/office/builders/<company_id>/exemptions/<exemption_id>/withdraw"),
    office("POST", "/office/people/invite"), office("POST", "/office/people/builders"),
    office("POST", "/office/people/<person_id>/invite-again"),
    office("GET", "/office/people/builders/<company_id>/billing"),
    office("GET", "/office/bill"), office("GET", "/office/bill/lots/<lot_id>"),
    office("GET", "/office/bill/packages/<package_id>"), office("POST", "/office/bill/packages/<package_id>"),
    office("GET", "/office/bill/packages/<package_id>/draft.pdf"),
    *(office(method, f"/office/invoices/<invoice_id>/{act}")
      for act in ("credit", "rebill", "release") for method in ("GET", "POST")),
    office("GET", "/office/money-papers/<kind>/<paper_id>"),
    office("GET", "/office/money-papers/<kind>/<paper_id>/summary"),
    own_lot("GET", "/money-papers/<kind>/<paper_id>", takes="money"),
    own_lot("GET", "/money-papers/<kind>/<paper_id>/summary", takes="money"),
    Row("POST", "/office/people/builders/<company_id>/billing", office="no", owner="ok"),
    office("GET", "/office/people/technicians/<technician_id>"),
    office("POST", "/office/people/technicians/<technician_id>"),
    office("GET", "/office/people/<person_id>"), office("POST", "/office/people/<person_id>"),
    office("GET", "/office/people/<person_id>/remove"), office("POST", "/office/people/<person_id>/remove"),
    # A technician's.
    Row("GET", "/stops/calendar", technician="ok"), Row("POST", "/stops/calendar", technician="ok"),
    Row("GET", "/stops", technician="ok"), Row("GET", "/stops/signal", technician="ok"),
    own_stop("GET", "/stops/load/<day>"), own_stop("GET", "/stops/load/<day>/load.pdf"),
    own_stop("GET", "/stops/<job_id>"), own_stop("GET", "/stops/<job_id>/sheet.pdf"),
    own_stop("POST", "/stops/<job_id>/arrive"), own_stop("POST", "/stops/<job_id>/keep"),
    own_stop("POST", "/stops/<job_id>/treated"), own_stop("POST", "/stops/<job_id>/explain"),
    own_stop("POST", "/stops/<job_id>/entries"), own_stop("POST", "/stops/<job_id>/photos"),
    own_stop("GET", "/stops/<job_id>/photos/<photo_id>/<any(small, whole):size>"),
    everybody("GET", "/field-worker.js"),
    # A homeowner's: anybody with the number and the house number, or the link.
    # A pair that is not known is told so, with the same 404 to all.
    everybody("GET", "/warranty"), everybody("POST", "/warranty", "none"),
    everybody("GET", "/warranty/is-it-real"), everybody("POST", "/warranty/is-it-real"),
    everybody("GET", "/warranty/keys.pem"),
    everybody("GET", "/warranty/lost"), everybody("POST", "/warranty/lost"),
    everybody("GET", "/warranty/lost/asked"),
    # A holder's: whoever holds the link; what is no link is told so alike, signed in or not.
    everybody("GET", "/warranty/mine"), everybody("POST", "/warranty/mine"),
    everybody("GET", "/warranty/mine/asked"),
    everybody("GET", "/warranty/mine/<token>"), everybody("POST", "/warranty/mine/<token>/contact"),
    everybody("POST", "/warranty/mine/<token>/hand-on"), everybody("POST", "/warranty/mine/<token>/withdraw"),
    everybody("GET", "/warranty/mine/<token>/certificate.pdf"),
    everybody("GET", "/warranty/mine/<token>/closing-packet.pdf"),
    everybody("GET", "/warranty/mine/<token>/data.json"), everybody("POST", "/warranty/mine/<token>/leave"),
    everybody("GET", "/privacy"), everybody("GET", "/my-data.json", nobody="sign-in"),
    everybody("GET", "/warranty/handed/<token>"), everybody("POST", "/warranty/handed/<token>"),
    everybody("POST", "/warranty/handed/<token>/decline"),
    everybody("GET", "/warranty/renew/<token>"), everybody("POST", "/warranty/renew/<token>"),
    everybody("GET", "/warranty/bill/<token>.pdf"),
    everybody("GET", "/warranty/<token>/addition"), everybody("POST", "/warranty/<token>/addition"),
    everybody("GET", "/warranty/<token>/trouble"), everybody("POST", "/warranty/<token>/trouble"),
    everybody("GET", "/warranty/<token>"), everybody("GET", "/warranty/<token>/certificate.pdf"),
    # A purchaser's: whoever holds the link, signed in or not.
    everybody("GET", "/quote/<token>"), everybody("GET", "/quote/<token>/quote.pdf"),
    everybody("POST", "/quote/<token>/accept"), everybody("POST", "/quote/<token>/decline"),
    everybody("POST", "/quote/<token>/take-back"),
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


def filled(rule: str, values: dict[str, str]) -> str:
    """An address with everything in it that stands for something."""
    for part, value in values.items():
        rule = rule.replace(part, value)
    assert "<" not in rule, rule
    return rule


def said(client: FlaskClient, row: Row, values: dict[str, str]) -> str:
    """What a visitor is told at an address."""
    path = filled(row.rule, values)
    answer = client.open(path, method=row.method, data={"once_key": "k"} if row.method == "POST" else None)
    answer.close()
    if answer.status_code == 401:  # a form, which is shown its own words once more
        return "sign-in"
    if answer.status_code in (302, 303) and answer.headers["Location"].partition("?")[0] == "/sign-in":
        return "sign-in"
    return {404: "none", 403: "no"}.get(answer.status_code, "ok" if answer.status_code < 500 else "broken")


@pytest.fixture
def stage(lite: House) -> tuple[Visits, dict[str, str]]:
    """A lot that was accepted through a link and paid; and what stands for each part of an address."""
    return set_up(lite)


def set_up(lite: House, purchase_order: str = "", **changes: str) -> tuple[Visits, dict[str, str]]:
    """The same, with anything about the lot by name."""
    visits = make_visits(lite)
    lot_id = lite.sent(**changes)
    link = mailed(lite, lot_id)
    seen = lite.sheet(lot_id).revisions[0].fingerprint
    accept_by_link(lite.parts, link, seen, "Pia Holm", purchase_order, lite.key(), "198.51.100.7")
    lite.booked(lot_id)
    lite.photograph(lite.job(lot_id), [""])
    photo_id = treating.stop(lite.parts, lite.technician, lite.job(lot_id)).photos[0].id
    lite.paid(lite.treated(lot_id))
    person = lite.technician.person_id or ""
    token = lite.parts.tokens.make("invitation", {"person": person, "turn": 1})
    fewer = lite.parts.tokens.make("letters", {"person": person, "kind": "quotes"})
    company = lite.builder.company_id
    for name, rights in COLLEAGUES.items():
        whom = lite.person("builder", f"{name.title()} Quist", company_id=company, rights=rights)
        setattr(lite, name, whom)
    # One more of the builder's, who is no visitor: changed, invited again, at last removed by who may.
    colleague = lite.person("builder", "Noel Quist", company_id=company, rights=()).person_id or ""
    on = lite.sheet(lot_id).job.day  # type: ignore[union-attr]
    bank_list = banking.read(lite.parts, lite.office, "May", b"Date,Amount\n2027-05-04,7.00\n", "bank")
    banking.name_columns(lite.parts, lite.office, bank_list, ["day", "amount"], "year", "point")
    bank_line = bank_lines.look(lite.parts, lite.office, bank_list).lines[0].id
    return visits, {
        "/load/<technician_id>/<day>": f"/load/{person}/{on}", "/load/<day>": f"/load/{on}",
        "<package_id>": sent_package(lite), "<int:issue>": "1", "<int:seq>": "1",
        "<any(start, approve, send):what>": "send",
        "<list_id>": lite.listed(),
        "<bank_list_id>": bank_list, "<line_id>": bank_line, "<company_id>": company or "",
        "<exemption_id>": "none", "<transfer_id>": "none", "<holder_id>": "none",
        "<any(send, leave):what>": "send",
        **recall_of(lite, lot_id), **trouble_of(lite, lot_id),
        **addition_of(lite, lot_id), **renewal_of(lite, lot_id),
        "<any(answered, booked, found, decided, done, closed):step>": "answered",
        "<payment_id>": lite.invoice(lot_id).payments[0].id, "<invoice_id>": lite.invoice(lot_id).id,
        "<agreement_id>": agreed_with(lite),
        "<lot_id>": lot_id, "<plan_id>": plans.make(lite.parts, lite.builder, "A plan", ranch(), "", "k"),
        "<any(product, crew):kind>": "crew", "<technician_id>": person,
        "/<kind>/<paper_id>": f"/invoice/{lite.invoice(lot_id).id}",
        "<job_id>": lite.job(lot_id), "<kind>": "quote",
        "<photo_id>": photo_id, "<any(small, whole):size>": "small",
        "<statement_id>": make_statement(
            lite.parts, lite.office, company or "", lite.parts.today(), lite.parts.today(), lite.key()
        ),
        "<int:revision>": "1", "<extra_id>": "none", "<person_id>": colleague, "<letter_id>": "none",
        "<any(takeoff, quote, treatment, invoice, warranty):sheet>": "invoice",
        "<any(rates, product, crew, terms, firm):kind>": "rates", "<name>": "SourceSansPro-Regular.ttf",
        "<path:filename>": "css/base.css",
        "/warranty/<token>": lite.warranty(lot_id).link.removeprefix(lite.settings.base_url),
        "/calendar/<token>.ics": own_path(lite, calendars.renew(lite.parts, lite.builder)),
        "<day>": day_off(lite),
        "/fewer/<token>": f"/fewer/{fewer}",
        "/quote/<token>": f"/quote/{link}", "<token>": token, "<link_id>": link_id(lite, lot_id),
    }  # fmt: skip


def agreed_with(lite: House) -> str:
    """An agreement with the builder."""
    asked = AgreementAsked(lite.builder.company_id or "", "", lite.parts.today(), None, {"percent": "4"})
    agree(lite.parts, lite.owner, asked, lite.key())
    return list_agreements(lite.parts, lite.owner)[0].id


def own_path(lite: House, whole: str) -> str:
    """The path of a whole address."""
    return whole.removeprefix(lite.settings.base_url)


def recall_of(lite: House, lot_id: str) -> dict[str, str]:
    """A recall of the technician's certificate, and one of its letters."""
    asked = recalling.RecallAsked("certificate", "CA-0417")
    mark = recalling.look(lite.parts, lite.office, asked).mark
    made = recalling.begin(lite.parts, lite.office, asked, "It had lapsed.", "We look.", mark, lite.key())
    letter = recalling.recall(lite.parts, lite.office, made).letters[0].id
    return {"<recall_id>": made, "<recall_letter_id>": letter}


def addition_of(lite: House, lot_id: str) -> dict[str, str]:
    """An addition that was asked for."""
    typed = adding.AdditionTyped("A sunroom.", None, "Ada Roe", "ada@example.org", "")
    adding.ask_of_lot(lite.parts, lite.office, lot_id, typed, lite.key())
    return {"<addition_id>": adding.listed(lite.parts, lite.office)[0].id}


def renewal_of(lite: House, lot_id: str) -> dict[str, str]:
    """A renewal, as if it had been offered."""
    today = lite.parts.today()
    with lite.parts.store.writing() as work:
        warranty = warranties.warranty_of(work, lot_id)
        assert warranty is not None
        row = renewals.add(
            work, warranty_id=warranty.id, lot_id=lot_id, holder_id=None, ended_on=today, until=today,
            last_day=today, fee=Decimal("180.00"), rate_edition=0, inspection=True,
        )  # fmt: skip
        return {"<renewal_id>": row.id}


def trouble_of(lite: House, lot_id: str) -> dict[str, str]:
    """A report of trouble, and its photo."""
    token = lite.warranty(lot_id).link.rpartition("/")[2]
    typed = reporting.TroubleTyped("A soft sill.", "Ada Roe", "ada@example.org", "")
    reporting.report(lite.parts, token, typed, (PIXEL,), "203.0.113.7", lite.key())
    made = troubles.list_troubles(lite.parts, lite.office)[0].id
    photo = troubles.trouble(lite.parts, lite.office, made).steps[0].photos[0]
    return {"<trouble_id>": made, "<trouble_photo_id>": photo}


def day_off(lite: House) -> str:
    """A day off of the technician's, to be taken back."""
    day = lite.parts.today() + timedelta(days=40)
    technician_days.add_days_off(lite.parts, lite.office, lite.technician.person_id or "", day, None, "")
    return day.isoformat()


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


#: What is open to whoever holds its link, another builder too: a link shows only what it is for.
BY_LINK = ("/calendar/<token>.ics", "/warranty/<token>", "/quote/<token>", "/join/<token>", "/reset/<token>")
#: Words that only the lot of the builder's carries.
OF_THE_LOT = ("Heron Rise", "Lime Kiln", "Harrow", "Harriet", "Q-2027", "PO-HERON", "Pia Holm")


def told(answer: TestResponse) -> bool:
    """Whether an answer holds a word of the lot's."""
    words = answer.data.decode("utf-8", "replace")
    return any(word in words for word in OF_THE_LOT)


def test_one_builder_learns_and_changes_nothing_at_any_address_of_anothers(
    lite: House, app_only: Flask
) -> None:
    """Driven from the application's own map: a new address is tried without being named here."""
    visits, values = set_up(lite, subdivision="Heron Rise", purchase_order="PO-HERON")
    lines, answered = lite.verbs(), lite.version(values["<lot_id>"])
    seen = lite.sheet(values["<lot_id>"]).revisions[0].fingerprint
    typed = {"once_key": "k", "revision": "1", "seen": seen, "name": "Bram Sorrel", "reason": "Mine now."}
    found = []
    for method, rule in sorted(addresses(app_only)):
        if "<" not in rule or rule.startswith(BY_LINK):
            continue
        client = visits.by(lite.rival)
        answer = client.open(filled(rule, values), method=method, data=typed if method == "POST" else None)
        if answer.mimetype == "application/pdf" or told(answer):
            found.append(f"{method} {rule}: {answer.status_code}")
        answer.close()
    for rule in sorted(rule for method, rule in addresses(app_only) if method == "GET" and "<" not in rule):
        found += [f"GET {rule}"] if told(visits.by(lite.rival).get(rule)) else []

    assert not found, "\n".join(found)
    assert (lite.verbs(), lite.version(values["<lot_id>"])) == (lines, answered)


def test_no_post_is_taken_without_its_token(stage: tuple[Visits, dict[str, str]]) -> None:
    """Sent by somebody who may, so that nothing but the missing token stands in the way."""
    visits, values = stage
    guarded = make_visits(visits.house, csrf=True)
    taken = []
    for row in (row for row in ROWS if row.method == "POST"):
        may = next((v for v in VISITORS[1:] if row.expected(v) == "ok"), "builder")
        path = filled(row.rule, values)
        untaken = guarded.by(getattr(visits.house, may)).post(path).status_code == 400
        if not untaken and row.rule != "/fewer/<token>":  # RFC 8058: what has no token of ours may come
            taken.append(row.rule)

    assert not taken
