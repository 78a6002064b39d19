"""A builder's links to purchasers, a yes taken back, and the company's rule for a second person."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import purchasing, quoting, second_person
from portal.acts.parts import has
from portal.core.errors import BadInput, Refused, refuse
from portal.web.builder.forms import SecondForm
from portal.web.builder.looking import Answer, sheet_page
from portal.web.security import parts, who
from portal.web.shared.pages import page, reads, told
from portal.web.shared.purchasers import LinkForm


def mail_link(lot_id: str) -> Answer:
    """Mail a purchaser a link to the quote."""
    form, number = LinkForm.sent(), request.form.get("revision", type=int)
    entered = form.text("person"), form.text("email"), form.until.data
    try:
        if not form.validate():
            return sheet_page(lot_id, "quote", number, link=form), 422
        purchasing.mail_link(
            parts(), who(), lot_id, _whole(number), *entered, request.form.get("once_key", "")
        )
    except BadInput as bad:
        form.take(bad)
        return sheet_page(lot_id, "quote", number, link=form), 422
    except Refused as refused:
        return sheet_page(lot_id, "quote", number, link=form, refusal=told(refused.says)), 409
    flash(_("The link is on its way to %(email)s.", email=entered[1]))
    return _back(lot_id)


def withdraw_link(lot_id: str, link_id: str) -> Answer:
    """Withdraw a link."""
    try:
        purchasing.withdraw_link(parts(), who(), lot_id, link_id)
    except Refused as refused:
        return sheet_page(lot_id, "quote", refusal=told(refused.says)), 409
    flash(_("The link is withdrawn: it opens nothing any more."))
    return _back(lot_id)


def take_back(lot_id: str) -> Answer:
    """Take one's own yes back."""
    try:
        quoting.take_back(parts(), who(), lot_id, _whole(request.form.get("revision", type=int)))
    except Refused as refused:
        return sheet_page(lot_id, "quote", refusal=told(refused.says)), 409
    flash(_("Your yes is taken back."))
    return _back(lot_id)


def _whole(number: int | None) -> int:
    if number is None:
        raise refuse("This form was not whole. Open the page again and send it from there.")
    return number


def _back(lot_id: str) -> Answer:
    return redirect(url_for("builder.lot", lot_id=lot_id, sheet="quote"), 303)


def second() -> Answer:
    """The amount over which two people accept."""
    over, may = second_person.second_over(parts(), who()), has(who(), "people")
    if request.method != "POST":
        return _second(SecondForm.blank(second_over="" if over is None else reads().fixed(over)), may)
    form = SecondForm.sent()
    try:
        over = second_person.set_second_over(parts(), who(), form.text("second_over"))
    except BadInput as bad:
        form.take(bad)
        return _second(form, may), 422
    flash(_("Kept. One person’s yes is enough again.") if over is None else
          _("Kept. Quotes over %(amount)s take two people’s yes.", amount=reads().money(over)))  # fmt: skip
    return redirect(url_for("builder.second"), 303)


def _second(form: SecondForm, may: bool) -> str:
    return page("builder/second.html", form=form, may=may,
                over=second_person.second_over(parts(), who()))  # fmt: skip
