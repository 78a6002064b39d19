"""Additions asked for: the list, one of them, taken on or declined."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import adding as acts
from portal.core.errors import BadInput, Refused
from portal.web.security import parts, who
from portal.web.shared.pages import beside, fresh_once_key, page, summary, told

Answer = AnyResponse | str | tuple[str, int]


def additions() -> str:
    """Those that wait, oldest first; or those decided."""
    decided = request.args.get("decided") == "yes"
    rows = acts.listed(parts(), who(), decided=decided)
    return page("office/additions.html", rows=rows, decided=decided)


def addition(addition_id: str) -> str:
    """One of them."""
    return _addition(addition_id)


def _addition(addition_id: str, errors: dict[str, list[str]] | None = None, refusal: str = "") -> str:
    return page(
        "office/addition.html", row=acts.addition(parts(), who(), addition_id), errors=errors or {},
        summary=summary(errors or {}), refusal=refusal, reason=request.form.get("reason", ""),
        once=request.form.get("once_key") or fresh_once_key(),
    )  # fmt: skip


def take_on(addition_id: str) -> Answer:
    """Take it on: on to its lot, where its walls are entered."""
    try:
        lot_id = acts.take_on(parts(), who(), addition_id, request.form.get("once_key", ""))
    except Refused as refused:
        return _addition(addition_id, refusal=told(refused.says)), 409
    flash(_("Taken on, and told to whoever asked. Enter the walls of the addition, then start its quote."))
    return redirect(url_for("office.lot", lot_id=lot_id), 303)


def decline_addition(addition_id: str) -> Answer:
    """Decline it, with a reason."""
    reason = request.form.get("reason", "").replace("\r\n", "\n")
    try:
        acts.decline(parts(), who(), addition_id, reason, request.form.get("once_key", ""))
    except BadInput as bad:
        return _addition(addition_id, beside(bad)), 422
    except Refused as refused:
        return _addition(addition_id, refusal=told(refused.says)), 409
    flash(_("Declined, and told to whoever asked."))
    return redirect(url_for("office.addition", addition_id=addition_id), 303)
