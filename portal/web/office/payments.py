"""Payments: what came, whom from, what it pays, and what happened to it."""

from __future__ import annotations

from flask import abort, flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import accounts, bouncing, paying, using_credit
from portal.core.errors import BadInput
from portal.web.office.payment_forms import BouncedForm, ReceiveForm, RefundForm, UseForm, WriteOffForm
from portal.web.security import parts, who
from portal.web.shared.pages import fresh_once_key, page

Answer = str | Response | tuple[str, int]


def payments() -> str:
    """Builders with what is open and their credit, and the last payments of all."""
    offset = request.args.get("offset", "0")
    if not offset.isdecimal() or len(offset) > 6:
        abort(404)
    rows, more = accounts.newest(parts(), who(), int(offset))
    return page("office/payments.html", accounts=accounts.accounts(parts(), who()), rows=rows, more=more,
                offset=int(offset), today=parts().today())  # fmt: skip


def account(company_id: str) -> str:
    """A builder's account."""
    return _account(company_id)


def _account(company_id: str, use: UseForm | None = None, refund: RefundForm | None = None) -> str:
    return page(
        "office/builder_account.html", account=accounts.account(parts(), who(), company_id),
        use=use or UseForm.blank(), refund=refund or RefundForm.blank(on=parts().today()),
        once=request.form.get("once_key") or fresh_once_key(), today=parts().today(),
    )  # fmt: skip


def receive(company_id: str) -> Answer:
    """Record money that came from a builder."""
    form = _receive_form(company_id)
    key = request.form.get("once_key", "")
    if request.method == "POST" and form.validate():
        try:
            payment_id = paying.receive_payment(parts(), who(), company_id, form.entered(), key)
        except BadInput as bad:
            form.take(bad)
        else:
            flash(_("The payment is recorded."))
            return redirect(url_for("office.payment", payment_id=payment_id), 303)
    day = form.received_on.data
    shown = page(
        "office/receive.html", account=accounts.account(parts(), who(), company_id, day), form=form,
        once=key or fresh_once_key(), today=parts().today(),
    )  # fmt: skip
    return shown, 422 if request.method == "POST" else 200


def _receive_form(company_id: str) -> ReceiveForm:
    """The form as sent; or blank, for the invoice it was opened from as much as is open."""
    if request.method == "POST":
        form = ReceiveForm.sent()
        form.read_parts()
        return form
    wanted = request.args.get("invoice", "")
    found = accounts.account(parts(), who(), company_id).owing if wanted else ()
    asks = next((str(row.asks) for row in found if row.id == wanted), "")
    how = "chosen" if asks else "oldest"
    form = ReceiveForm.blank(received_on=parts().today(), how=how, amount=asks)
    form.parts = {wanted: asks} if asks else {}
    return form


def payment(payment_id: str) -> str:
    """A payment with all that happened to it."""
    return page("office/payment.html", found=accounts.payment(parts(), who(), payment_id))


def bounced(payment_id: str) -> Answer:
    """Say that a payment did not hold; what follows from it stands beside the press."""
    form = BouncedForm.sent() if request.method == "POST" else BouncedForm.blank(on=parts().today())
    key = request.form.get("once_key", "")
    if request.method == "POST" and form.validate():
        said = form.text("kind"), form.on.data, form.text("reason")
        try:
            bouncing.bounce(parts(), who(), payment_id, *said, key)
        except BadInput as bad:
            form.take(bad)
        else:
            flash(_("It is recorded that the payment did not hold. What it had paid is owed again."))
            return redirect(url_for("office.payment", payment_id=payment_id), 303)
    shown = page("office/bounced.html", found=accounts.payment(parts(), who(), payment_id), form=form,
                 once=key or fresh_once_key())  # fmt: skip
    return shown, 422 if request.method == "POST" else 200


def use_credit(company_id: str) -> Answer:
    """Pay chosen invoices out of a builder's credit."""
    form = UseForm.sent()
    form.read_parts()
    try:
        using_credit.use_credit(parts(), who(), company_id, form.parts, request.form.get("once_key", ""))
    except BadInput as bad:
        form.take(bad)
        return _account(company_id, use=form), 422
    flash(_("The credit is used."))
    return redirect(url_for("office.account", company_id=company_id), 303)


def refund(company_id: str) -> Answer:
    """Record that credit was paid back."""
    form = RefundForm.sent()
    if not form.validate():
        return _account(company_id, refund=form), 422
    try:
        using_credit.refund(
            parts(), who(), company_id, form.text("amount"), form.text("method"), form.text("reference"),
            form.on.data, form.text("reason"), request.form.get("once_key", ""),
        )  # fmt: skip
    except BadInput as bad:
        form.take(bad)
        return _account(company_id, refund=form), 422
    flash(_("The refund is recorded."))
    return redirect(url_for("office.account", company_id=company_id), 303)


def write_off(invoice_id: str) -> Answer:
    """Give up what nobody will pay; an owner's."""
    invoice = accounts.invoice_open(parts(), who(), invoice_id)
    posted = request.method == "POST"
    form = WriteOffForm.sent() if posted else WriteOffForm.blank(amount=str(invoice.open))
    key = request.form.get("once_key", "")
    if posted:
        try:
            bouncing.write_off(parts(), who(), invoice_id, form.text("amount"), form.text("reason"), key)
        except BadInput as bad:
            form.take(bad)
        else:
            flash(_("It is written off."))
            return redirect(url_for("office.account", company_id=invoice.company_id), 303)
    shown = page("office/write_off.html", invoice=invoice, form=form, once=key or fresh_once_key())
    return shown, 422 if posted else 200
