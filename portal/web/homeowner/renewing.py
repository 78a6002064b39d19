"""The next term of a warranty, taken up or left through a mailed link; and an owner's invoice."""

from __future__ import annotations

from flask import Response, flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import renewing as acts
from portal.core.errors import NotFound, Refused, refuse
from portal.web.homeowner.links_over import over
from portal.web.security import parts
from portal.web.shared.pages import page, told
from portal.web.shared.paper_answers import pdf

Answer = AnyResponse | str | tuple[str, int]


def renew(token: str) -> Answer:
    """What is offered, and how it stands."""
    try:
        return page("homeowner/renew.html", found=acts.look(parts(), token), token=token, refusal="")
    except (Refused, NotFound) as why:
        return over(why)


def answer_renewal(token: str) -> Answer:
    """The holder's yes or no."""
    answer = request.form.get("answer")
    yes = answer == "yes"
    try:
        if answer not in ("yes", "no"):  # nothing is left or taken up by a form that says neither
            raise refuse("Choose one of the two.")
        acts.answer(parts(), token, yes)
    except NotFound:
        return over()
    except Refused as refused:
        try:
            found = acts.look(parts(), token)
        except (Refused, NotFound):
            return over(refused)
        return page("homeowner/renew.html", found=found, token=token, refusal=told(refused.says)), 409
    flash(_("Taken up.") if yes else _("Left. The warranty runs to its last day."))
    return redirect(url_for("homeowner.renew", token=token), 303)


def bill(token: str) -> Answer | Response:
    """An owner's invoice as PDF."""
    try:
        return pdf(acts.bill_by_link(parts(), token))
    except (Refused, NotFound) as why:
        return over(why)
