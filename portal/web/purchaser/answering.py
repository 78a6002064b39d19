"""A purchaser answers: accepts exactly the quote that was seen, declines it, takes a waiting yes back."""

from __future__ import annotations

from collections.abc import Callable

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import by_link
from portal.core.errors import BadInput, Refused
from portal.web.purchaser.looking import show
from portal.web.security import address, parts
from portal.web.shared.answer_form import AcceptForm, AnswerForm, DeclineForm
from portal.web.shared.pages import beside, told

Answer = Response | str | tuple[str, int]


def accept(token: str) -> Answer:
    """Accept the quote."""
    form = AcceptForm()

    def act() -> str:
        whole = by_link.accept_by_link(
            parts(), token, form.seen.data or "", form.name.data or "", form.purchase_order.data or "",
            _once(), address(),
        )  # fmt: skip
        if whole:
            return str(_("Accepted. Thank you. A copy comes to you by mail."))
        return str(_("Kept. Thank you. You get a copy by mail once the quote is accepted."))

    return _answered(token, form, act)


def decline(token: str) -> Answer:
    """Decline the quote."""
    form = DeclineForm()
    return _answered(token, form, lambda: by_link.decline_by_link(
        parts(), token, form.seen.data or "", form.reason.data or "", _once(), address()
    ), _("Declined. The builder and the office have your reason."))  # fmt: skip


def take_back(token: str) -> Answer:
    """Take a yes back that waits for a second."""
    return _answered(token, None, lambda: by_link.take_back_by_link(parts(), token, address()),
                     _("Your yes is taken back. You can answer anew."))  # fmt: skip


def _once() -> str:
    return request.form.get("once_key", "")


def _answered(token: str, form: AnswerForm | None, act: Callable[[], str | None], said: str = "") -> Answer:
    try:
        said = act() or said
    except BadInput as bad:
        assert form is not None
        for name, sentences in beside(bad).items():
            form[name].errors = sentences
        shown = show(token, form)
        return (shown, 422) if isinstance(shown, str) else shown
    except Refused as refused:
        shown = show(token, form, told(refused.says))
        return (shown, 409) if isinstance(shown, str) else shown
    flash(said)
    return redirect(url_for("purchaser.quote", token=token), 303)
