"""A builder looks at a lot's sheets and papers."""

from __future__ import annotations

from typing import Any

from flask import Response, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import colleagues, papers, photographing, sheet
from portal.acts.sheet import LotSheet
from portal.web.builder.forms import AcceptForm, AnswerForm, DeclineForm
from portal.web.builder.plan_forms import KeepPlanForm
from portal.web.security import parts, who
from portal.web.shared.frame_days import frame_days_page
from portal.web.shared.holders import OwnerForm, beside_the_promise
from portal.web.shared.lot_pages import lot_page, revision_shown, sheet_reached
from portal.web.shared.pages import fresh_once_key
from portal.web.shared.paper_answers import pdf, xml
from portal.web.shared.photo_answers import jpeg
from portal.web.shared.purchasers import LinkForm, beside_the_answer
from portal.web.shared.sheet_form import SidingDayForm

Answer = AnyResponse | str | tuple[str, int]


def sheet_address(lot_id: str, shown: str) -> str:
    """The address of a sheet."""
    return url_for("builder.lot", lot_id=lot_id, sheet=shown)


def paper_address(lot_id: str, kind: str, revision: int | None) -> str:
    """The address of a paper."""
    return url_for("builder.paper", lot_id=lot_id, kind=kind, revision=revision)


def lot(lot_id: str, sheet: str = "") -> str:
    """A lot's sheet: the one asked for, else the one it has come to."""
    return sheet_page(lot_id, sheet, request.args.get("revision", type=int))


def sheet_page(
    lot_id: str, shown: str, revision: int | None = None, typed: AnswerForm | None = None, refusal: str = "",
    day: SidingDayForm | None = None, link: LinkForm | None = None, keeping: KeepPlanForm | None = None,
    owner: OwnerForm | None = None,
) -> str:  # fmt: skip
    """The page of a sheet; what is handed over was typed on it and has to be looked at again.

    `typed` is an answer to its quote, `day` the day siding starts, `link` a purchaser's link, `keeping` the
    name of a house plan, `owner` the first owner of the house.
    """
    found = sheet.sheet(parts(), who(), lot_id)
    shown = shown or sheet_reached(found)
    forms = {"accepting": _form(AcceptForm, typed), "declining": _form(DeclineForm, typed)}
    wrong = typed.errors.items() if typed else ()
    problems = [(name, sentence) for name, sentences in wrong for sentence in sentences]
    quote = revision_shown(found, revision)
    beside = beside_the_answer(found, shown, quote, "builder", link or LinkForm.blank())
    typed_here = [form for form in (day, link, keeping, owner) if form]
    beside |= beside_the_promise(found, shown, "builder", owner)
    if typed is None and beside["answers"] and beside["answers"].first:
        forms["accepting"]["purchase_order"].data = beside["answers"].first.purchase_order
    more: dict[str, Any] = {
        "refusal": refusal,
        "once_key": request.form.get("once_key") or fresh_once_key(),
        "problems": problems + [wrong for form in typed_here for wrong in form.wrong()],
        "keeping": keeping or KeepPlanForm.blank(),
        "plan_url": url_for("builder.plan", plan_id=found.plan.plan_id, edition=found.plan.edition)
        if found.plan
        else None,
        "siding_day": _day_form(found, day),
        "siding_day_url": url_for("builder.siding_day", lot_id=lot_id),
        "whom_to_ask": _whom_to_ask(found, shown),
    }
    return lot_page(
        "builder/lot.html",
        found,
        shown,
        "builder",
        sheet_address,
        paper_address,
        revision,
        **forms | beside | more,
    )


def frame_days(lot_id: str) -> Answer:
    """The days of the open frame, given or changed."""
    return frame_days_page(lot_id, "builder")


def _whom_to_ask(lot: LotSheet, shown: str) -> tuple[str, ...]:
    """Who of the company may do or see what this sheet is for, where this person may not."""
    lacking = {"quote": not lot.may_answer and "accept", "invoice": not lot.sees_money and "money"}
    right = lacking.get(shown)
    return colleagues.who_may(parts(), who(), right) if right else ()


def _day_form(lot: LotSheet, typed: SidingDayForm | None) -> SidingDayForm:
    form = typed or SidingDayForm.of(lot)
    form.version.data = form.version.data or str(lot.version)
    return form


def _form(kind: type[AnswerForm], typed: AnswerForm | None) -> AnswerForm:
    return typed if isinstance(typed, kind) else kind(formdata=None)


def money_paper(kind: str, paper_id: str) -> Response:
    """An invoice, a credit note or a release of the builder's own, as a PDF."""
    return pdf(papers.money_paper(parts(), who(), kind, paper_id))


def money_summary(kind: str, paper_id: str) -> Response:
    """What an invoice or a credit note of the builder's own says to machines, as XML."""
    return xml(papers.money_summary(parts(), who(), kind, paper_id))


def paper(lot_id: str, kind: str, revision: int | None = None) -> Response:
    """A lot's paper as a PDF."""
    return pdf(papers.paper(parts(), who(), lot_id, kind, revision))


def show_photo(lot_id: str, photo_id: str, size: str) -> Response:
    """A photo from the lot's site, once it is treated."""
    return jpeg(photographing.lot_photo(parts(), who(), lot_id, photo_id, size == "small"))
