"""A builder answers a quote: accepts exactly the revision that was seen, or declines it with a reason."""

from __future__ import annotations

from collections.abc import Callable

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import quoting
from portal.core.errors import BadInput, Refused
from portal.web.builder.forms import AcceptForm, AnswerForm, DeclineForm
from portal.web.builder.looking import Answer, sheet_page
from portal.web.security import parts, who
from portal.web.shared.pages import beside, told


def accept(lot_id: str) -> Answer:
    """Accept the quote."""
    form = AcceptForm()

    def act() -> None:
        name, order = form.name.data or "", form.purchase_order.data or ""
        quoting.accept(
            parts(), who(), lot_id, form.revision.data or 0, form.seen.data or "", name, order, once()
        )
        flash(_("Accepted. The office books the day; you will be told by mail."))

    return _answered(lot_id, form, act)


def decline(lot_id: str) -> Answer:
    """Decline the quote."""
    form = DeclineForm()

    def act() -> None:
        quoting.decline(parts(), who(), lot_id, form.revision.data or 0, form.reason.data or "", once())
        flash(_("Declined. The office has your reason."))

    return _answered(lot_id, form, act)


def once() -> str:
    """The form's once-key."""
    return request.form.get("once_key", "")


def _answered(lot_id: str, form: AnswerForm, act: Callable[[], None]) -> Answer:
    try:
        act()
    except BadInput as bad:
        for name, sentences in beside(bad).items():
            form[name].errors = sentences
        return sheet_page(lot_id, "quote", form.revision.data, typed=form), 422
    except Refused as refused:
        return sheet_page(lot_id, "quote", typed=form, refusal=told(refused.says)), 409
    return redirect(url_for("builder.lot", lot_id=lot_id, sheet="quote"))
