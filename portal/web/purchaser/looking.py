"""A purchaser reads the quote of a link: everything that it says, and nothing that stands beside it."""

from __future__ import annotations

from typing import Any

from flask import Response, request
from flask_babel import gettext as _

from portal.acts import by_link
from portal.acts.link_page import LinkAnswer, LinkPage, OfferedQuote
from portal.acts.sheet import LotSheet, RevisionView, TakeoffView
from portal.core.pricing.waiting import cost_of_waiting
from portal.web.security import address, parts
from portal.web.shared import figures, lot_pages, rows, sketch
from portal.web.shared.answer_form import AcceptForm, AnswerForm, DeclineForm
from portal.web.shared.pages import fresh_once_key, page, reads, told
from portal.web.shared.paper_answers import pdf
from portal.web.shared.waiting import waiting

Answer = str | tuple[str, int]


def quote(token: str) -> Answer:
    """The quote, or why there is nothing to see."""
    # A program that only asks whether the page is there has not opened it.
    return show(token, opened=request.method == "GET")


def paper(token: str) -> Response:
    """The quote's PDF."""
    return pdf(by_link.paper_by_link(parts(), token, address()))


def show(token: str, typed: AnswerForm | None = None, refusal: str = "", *, opened: bool = False) -> Answer:
    """The page of a link; `typed` is an answer that has to be looked at again."""
    found = by_link.open_link(parts(), token, address(), opened=opened)
    if found.quote is None:
        return _over(found)
    problems = [(name, says) for name, all_ in (typed.errors.items() if typed else ()) for says in all_]
    return page(
        "purchaser/quote.html", token=token, found=found, refusal=refusal, problems=problems,
        accepting=_form(AcceptForm, typed), declining=_form(DeclineForm, typed),
        once_key=request.form.get("once_key") or fresh_once_key(),
        **_sheet(found.quote, found.answered, found.standing),
    )  # fmt: skip


def _form(kind: type[AnswerForm], typed: AnswerForm | None) -> AnswerForm:
    return typed if isinstance(typed, kind) else kind(formdata=None)


def _over(found: LinkPage) -> Answer:
    assert found.says is not None
    answered = found.standing in ("accepted", "declined")
    shown = page(
        "purchaser/over.html", heading=_("Your answer") if answered else _("This link is over"),
        sentence=told(found.says), answered=found.answered, standing=found.standing,
    )  # fmt: skip
    # Gone, and not to be asked for again; but an answer that was given can be looked at.
    return shown, 200 if answered else 410


def _sheet(offered: OfferedQuote, answered: LinkAnswer | None, standing: str) -> dict[str, Any]:
    """What the quote's sheet needs, made from the frozen document alone."""
    document = offered.document
    view = _revision(offered, answered, standing)
    lot, walls = _lot(offered, view), sketch.walls_of(document.house)
    worked = figures.big(document.estimate, offered.steps, "builder", offered.notes)
    price = reads().money(document.offer.total, document.offer.currency)
    days = waiting(lot, "quote", view, walls) if document.siding_starts else None
    return {
        "lot": lot, "shown": "quote", "viewer": "builder", "quote": view, "rows": rows, "walls": walls,
        "drawings": sketch.drawings(document.house), "waiting": days,
        "figures": [*worked[:3], worked[3] | {"value": price, "detail": None}],
        "title_rows": _title_rows(lot, offered), "sided": cost_of_waiting(document),
    }  # fmt: skip


def _title_rows(lot: LotSheet, offered: OfferedQuote) -> list[tuple[Any, Any]]:
    sent = reads().day(offered.sent_at.astimezone(parts().zone).date())
    return [*lot_pages.title_rows(lot, lot.revision)[:-1], (_("Sent"), sent)]


def _revision(offered: OfferedQuote, answered: LinkAnswer | None, standing: str) -> RevisionView:
    own = answered if standing in ("accepted", "declined") else None
    return RevisionView(
        number=offered.number, title=offered.title, state=standing if own else "sent", frozen=True,
        document=offered.document, fingerprint=offered.fingerprint, total=offered.document.offer.total,
        expires_on=offered.expires_on, approved_by="", sent_at=offered.sent_at,
        decided_at=own.at if own else None, decided_by=own.name if own else "",
        purchase_order=own.purchase_order if own else "", decline_reason=own.reason if own else "",
        remarks=offered.document.remarks, extras=(),
    )  # fmt: skip


def _lot(offered: OfferedQuote, view: RevisionView) -> LotSheet:
    document = offered.document
    return LotSheet(
        id="", version=0, company=document.builder.company, place=document.place, stage="sent", sheets=(),
        siding_starts=document.siding_starts, insulation_starts=document.insulation_starts, notes="",
        takeoff=TakeoffView(0, document.house, document.estimate, "", offered.sent_at), revisions=(view,),
        job=None, record=None, record_fingerprint="", invoice=None, warranty=None, history=(),
        may_change=False, may_answer=False, sees_money=True,
    )  # fmt: skip
