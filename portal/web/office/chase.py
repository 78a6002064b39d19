"""Getting paid: who is late, an invoice as it is chased, a builder's account and its statements."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from flask import Response as FlaskResponse
from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from flask_babel import ngettext
from werkzeug.wrappers import Response

from portal.acts import chase as acts
from portal.acts import disputing, papers, statements
from portal.acts.interest import bill_interest
from portal.core.errors import BadInput, refuse
from portal.web.office.chase_forms import InterestForm, PromiseForm
from portal.web.security import parts, who
from portal.web.shared.account_forms import DisputeForm, SettleForm, StatementForm
from portal.web.shared.pages import fresh_once_key, page
from portal.web.shared.paper_answers import pdf
from portal.web.shared.sheet_form import SheetForm

Answer = str | Response | tuple[str, int]


def chase() -> str:
    """Who is late, and what is due soon."""
    return page("office/chase.html", found=acts.chase(parts(), who()))


def invoice(invoice_id: str) -> str:
    """An invoice as it is chased, with interest up to a day that was asked for."""
    try:
        until = date.fromisoformat(request.args.get("until", ""))
    except ValueError:
        until = None
    return _invoice(invoice_id, until=until)


def _invoice(invoice_id: str, typed: SheetForm | None = None, until: date | None = None) -> str:
    found = acts.invoice_chase(parts(), who(), invoice_id, until)
    due = found.interest
    forms: dict[str, SheetForm] = {
        "dispute": DisputeForm.blank(), "settle": SettleForm.blank(), "promise": PromiseForm.blank(),
        "interest": InterestForm.blank(until=found.until, amount=str(due.accrued.amount) if due else ""),
    }  # fmt: skip
    if typed is not None:
        forms[typed.name] = typed
    once = request.form.get("once_key") or fresh_once_key()
    return page("office/chase_invoice.html", found=found, forms=forms, typed=typed, once=once)


def _do(invoice_id: str, form: Any, act: Callable[[], object], said: str) -> Answer:
    if not form.validate():
        return _invoice(invoice_id, form), 422
    try:
        act()
    except BadInput as bad:
        form.take(bad)
        return _invoice(invoice_id, form), 422
    flash(said)
    return redirect(url_for("office.chase_invoice", invoice_id=invoice_id), 303)


def dispute(invoice_id: str) -> Answer:
    """Take down that a builder says it is not right."""
    form = DisputeForm.sent()
    return _do(invoice_id, form, lambda: disputing.dispute(
        parts(), who(), invoice_id, form.text("reason")
    ), _("Taken down. Nobody is reminded of it until it is settled."))  # fmt: skip


def settle(invoice_id: str) -> Answer:
    """Say how a dispute was settled."""
    form = SettleForm.sent()
    return _do(invoice_id, form, lambda: disputing.settle_dispute(
        parts(), who(), invoice_id, form.text("words")
    ), _("Settled. The builder was told, and reminders go on."))  # fmt: skip


def promise(invoice_id: str) -> Answer:
    """Take a promise down."""
    form = PromiseForm.sent()
    return _do(invoice_id, form, lambda: disputing.promise(
        parts(), who(), invoice_id, form.by_day.data, form.text("said_by"), form.text("words")
    ), _("Taken down. Nobody is reminded of it until that day has passed."))  # fmt: skip


def interest(invoice_id: str) -> Answer:
    """Bill what has come together."""
    form = InterestForm.sent()
    try:
        amount = Decimal(form.text("amount"))
    except InvalidOperation:
        raise refuse("This form was not whole. Open the page again and send it from there.") from None
    return _do(invoice_id, form, lambda: bill_interest(
        parts(), who(), invoice_id, form.until.data, amount, request.form.get("once_key", "")
    ), _("The interest is billed."))  # fmt: skip


def builder(company_id: str) -> str:
    """A builder's account."""
    return _builder(company_id)


def _builder(company_id: str, form: StatementForm | None = None) -> str:
    found = statements.account(parts(), who(), company_id)
    first = found.today.replace(day=1)
    form = form or StatementForm.blank(first=first, last=found.today)
    once = request.form.get("once_key") or fresh_once_key()
    return page("office/chase_builder.html", found=found, form=form, once=once)


def make_statement(company_id: str) -> Answer:
    """Make a statement of some days."""
    form = StatementForm.sent()
    if not form.validate():
        return _builder(company_id, form), 422
    once = request.form.get("once_key", "")
    try:
        days = form.first.data, form.last.data
        statements.make_statement(parts(), who(), company_id, *days, once)
    except BadInput as bad:
        form.take(bad)
        return _builder(company_id, form), 422
    flash(_("The statement is made."))
    return redirect(url_for("office.chase_builder", company_id=company_id), 303)


def statement(statement_id: str) -> FlaskResponse:
    """A statement as a paper."""
    return pdf(papers.statement(parts(), who(), statement_id))


def send_statement(company_id: str, statement_id: str) -> Answer:
    """Tell the builder that it is there."""
    once = request.form.get("once_key", "")
    told = statements.send_statement(parts(), who(), statement_id, once)
    flash(
        ngettext("One person was written to.", "%(num)s persons were written to.", told)
        if told
        else _("There is nobody to write to: nobody there sees money, and the company has no mail address.")
    )
    return redirect(url_for("office.chase_builder", company_id=company_id), 303)
