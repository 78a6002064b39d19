"""What is owed: a builder's own account, its statements, and saying that an invoice is not right."""

from __future__ import annotations

from flask import Response as FlaskResponse
from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import chase, disputing, papers, statements
from portal.core.errors import BadInput
from portal.web.security import parts, who
from portal.web.shared.account_forms import DisputeForm, SettleForm, StatementForm
from portal.web.shared.pages import fresh_once_key, page
from portal.web.shared.paper_answers import pdf

Answer = str | Response | tuple[str, int]


def account() -> Answer:
    """What is owed today, and the statements; sent, a new one."""
    if request.method != "POST":
        return _account()
    form = StatementForm.sent()
    if not form.validate():
        return _account(form), 422
    try:
        once = request.form.get("once_key", "")
        made = statements.make_statement(parts(), who(), "", form.first.data, form.last.data, once)
    except BadInput as bad:
        form.take(bad)
        return _account(form), 422
    return redirect(url_for("builder.statement", statement_id=made), 303)


def _account(form: StatementForm | None = None) -> str:
    found = statements.account(parts(), who())
    form = form or StatementForm.blank(first=found.today.replace(day=1), last=found.today)
    once = request.form.get("once_key") or fresh_once_key()
    return page("builder/account.html", found=found, form=form, once=once)


def statement(statement_id: str) -> FlaskResponse:
    """A statement as a paper."""
    return pdf(papers.statement(parts(), who(), statement_id))


def dispute(invoice_id: str) -> Answer:
    """Say what is not right about an invoice; said already, take it back."""
    found = chase.invoice_chase(parts(), who(), invoice_id)
    form = SettleForm if found.dispute else DisputeForm
    if request.method != "POST":
        return page("builder/dispute.html", found=found, form=form.blank())
    sent = SettleForm.sent() if "settle-words" in request.form else DisputeForm.sent()
    try:
        if isinstance(sent, SettleForm):
            disputing.settle_dispute(parts(), who(), invoice_id, sent.text("words"))
        else:
            disputing.dispute(parts(), who(), invoice_id, sent.text("reason"))
    except BadInput as bad:
        sent.take(bad)
        return page("builder/dispute.html", found=found, form=sent), 422
    flash(_("The office was told."))
    return redirect(url_for("builder.dispute", invoice_id=invoice_id), 303)
