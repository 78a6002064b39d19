"""Renewals: the list, one of them, its answer entered, the look at the house booked and written down."""

from __future__ import annotations

from collections.abc import Callable

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import renewal_desk as acts
from portal.core.errors import BadInput, Refused, refuse
from portal.web.security import parts, who
from portal.web.shared.pages import beside, page, summary, told
from portal.web.shared.sent_days import sent_day

Answer = AnyResponse | str | tuple[str, int]


def renewals() -> str:
    """Those under way, by the day the term ends; or those that are over."""
    over = request.args.get("over") == "yes"
    return page("office/renewals.html", rows=acts.listed(parts(), who(), over=over), over=over)


def renewal(renewal_id: str) -> str:
    """One of them."""
    return _renewal(renewal_id)


def _renewal(
    renewal_id: str, at: str = "", errors: dict[str, list[str]] | None = None, refusal: str = ""
) -> str:
    typed = {name: request.form.get(name, "") for name in ("day", "person", "words", "good")}
    return page(
        "office/renewal.html", row=acts.renewal(parts(), who(), renewal_id), at=at, errors=errors or {},
        summary=summary(errors or {}), refusal=refusal, typed=typed,
    )  # fmt: skip


def _did(renewal_id: str, at: str, act: Callable[[], None], said: str) -> Answer:
    try:
        act()
    except BadInput as bad:
        return _renewal(renewal_id, at, beside(bad)), 422
    except Refused as refused:
        return _renewal(renewal_id, at, refusal=told(refused.says)), 409
    flash(said)
    return redirect(url_for("office.renewal", renewal_id=renewal_id), 303)


def answer_renewal(renewal_id: str) -> Answer:
    """The holder's answer, as it was given to the office."""
    answer = request.form.get("answer")

    def act() -> None:
        if answer not in ("yes", "no"):  # nothing is left or taken up by a form that says neither
            raise refuse("Choose one of the two.")
        acts.answer_for(parts(), who(), renewal_id, answer == "yes")

    return _did(renewal_id, "answer", act, _("Kept."))


def book_look(renewal_id: str) -> Answer:
    """Book the look at the house."""
    said = _("Booked, and told to the holder.")
    return _did(renewal_id, "book", lambda: acts.book_look(parts(), who(), renewal_id, _typed()), said)


def looked_at(renewal_id: str) -> Answer:
    """What the look at the house found."""
    said = _("Kept, and told to the holder.")
    return _did(renewal_id, "looked", lambda: acts.looked_at(parts(), who(), renewal_id, _typed()), said)


def _typed() -> acts.LookedTyped:
    form = request.form
    words = form.get("words", "").replace("\r\n", "\n")
    return acts.LookedTyped(sent_day("day"), form.get("person", ""), words, form.get("good", ""))
