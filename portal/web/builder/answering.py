"""A builder answers: accepts exactly the quote that was seen, or declines it; says when siding starts."""

from __future__ import annotations

from collections.abc import Callable

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import quoting
from portal.acts.siding_day import give_siding_day
from portal.core.errors import BadInput, Overtaken, Refused
from portal.web.builder.forms import AcceptForm, AnswerForm, DeclineForm
from portal.web.builder.looking import Answer, sheet_page
from portal.web.security import parts, who
from portal.web.shared.pages import beside, told
from portal.web.shared.sheet_form import SidingDayForm


def accept(lot_id: str) -> Answer:
    """Accept the quote."""
    form = AcceptForm()

    def act() -> None:
        name, order = form.name.data or "", form.purchase_order.data or ""
        whole = quoting.accept(
            parts(), who(), lot_id, form.revision.data or 0, form.seen.data or "", name, order, once()
        )
        flash(_("Accepted. The office books the day; you will be told by mail.") if whole else
              _("Your yes is kept. Those who may give the second are told by mail."))  # fmt: skip

    return _answered(lot_id, form, act)


def decline(lot_id: str) -> Answer:
    """Decline the quote."""
    form = DeclineForm()

    def act() -> None:
        quoting.decline(parts(), who(), lot_id, form.revision.data or 0, form.reason.data or "", once())
        flash(_("Declined. The office has your reason."))

    return _answered(lot_id, form, act)


def siding_day(lot_id: str) -> Answer:
    """Keep the day siding starts."""
    form = SidingDayForm.sent()
    if not form.validate():
        return sheet_page(lot_id, form.came_from, day=form), 422
    try:
        give_siding_day(parts(), who(), lot_id, form.seen, form.siding_starts.data)
    except BadInput as bad:
        form.take(bad)
        return sheet_page(lot_id, form.came_from, day=form), 422
    except Overtaken as overtaken:
        # Now that the other's change is told, sending it again is meant.
        form.version.data = ""
        said = _(
            "%(name)s changed this lot in the meantime, and nothing of yours was done. "
            "The day you typed stands in its form, to be sent again.",
            name=overtaken.by or _("Somebody else"),
        )
        return sheet_page(lot_id, form.came_from, day=form, refusal=said), 409
    except Refused as refused:
        return sheet_page(lot_id, form.came_from, refusal=told(refused.says)), 409
    flash(_("Kept. The line of days is drawn by it."))
    return redirect(url_for("builder.lot", lot_id=lot_id, sheet=form.came_from), 303)


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
