"""What is about to be billed: shown first, by what issues the real thing, and billed by a press."""

from __future__ import annotations

from flask import Response, flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import bill_page, papers
from portal.acts.issuing import seen_of
from portal.core.errors import Refused
from portal.web.office.lot import Answer
from portal.web.security import parts, who
from portal.web.shared import rows
from portal.web.shared.pages import fresh_once_key, page, told
from portal.web.shared.paper_answers import pdf, xml


def bill() -> str:
    """Everything that is about to be billed."""
    return page("office/bill.html", found=bill_page.to_bill(parts(), who()))


def bill_lot(lot_id: str) -> str:
    """What the mark of a booked lot would bill."""
    document = bill_page.look_at_lot(parts(), who(), lot_id)
    return page("office/bill_look.html", bill=document, rows=rows, press="", lot_id=lot_id)


def bill_package(package_id: str) -> Answer:
    """A package's invoice before it is issued, and the press that issues it."""
    refusal = ""
    if request.method == "POST":
        seen, once = request.form.get("seen", ""), request.form.get("once_key", "")
        try:
            bill_page.bill_package(parts(), who(), package_id, seen, once)
        except Refused as refused:
            refusal = told(refused.says)
        else:
            flash(_("The invoice is issued. The builder has a letter of it."))
            return redirect(url_for("office.bill"), 303)
    try:
        document = bill_page.look_at_package(parts(), who(), package_id)
    except Refused as refused:
        return page("office/bill_nothing.html", says=told(refused.says))
    shown = page(
        "office/bill_look.html", bill=document, rows=rows, press=_("Issue this invoice"), refusal=refusal,
        seen=seen_of(document), once=fresh_once_key(), package_id=package_id,
    )  # fmt: skip
    return (shown, 409) if refusal else shown


def bill_draft(package_id: str) -> Response:
    """The same as a PDF that says it is a draft."""
    return pdf(bill_page.draft_paper(parts(), who(), package_id))


def money_paper(kind: str, paper_id: str) -> Response:
    """An invoice, a credit note or a release as a PDF."""
    return pdf(papers.money_paper(parts(), who(), kind, paper_id))


def money_summary(kind: str, paper_id: str) -> Response:
    """What an invoice or a credit note says to machines, as XML."""
    return xml(papers.money_summary(parts(), who(), kind, paper_id))
