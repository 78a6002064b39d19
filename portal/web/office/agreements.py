"""Agreements on prices: all of them, a new one, and bringing one to its end."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import agreeing as acts
from portal.acts import people
from portal.core.errors import BadInput, NotAllowed
from portal.core.words import say
from portal.web.office.agreement_form import BANDS, AgreementForm, EndForm
from portal.web.security import parts, who
from portal.web.shared.agreed import changes, span
from portal.web.shared.pages import fresh_once_key, page, told

Answer = str | Response | tuple[str, int]
STATES = {
    "to come": say("to come"), "in force": say("in force"), "superseded": say("superseded"),
    "over": say("over"),
}  # fmt: skip


def agreements() -> Answer:
    """All agreements, and for an owner the form of a new one."""
    if request.method != "POST":
        return _page(AgreementForm.blank(first_day=parts().today()))
    if not who().owner:
        raise NotAllowed(say("Only an owner may change this."))
    form = AgreementForm.sent()
    try:
        if not form.validate():
            return _page(form), 422
        number = acts.agree(parts(), who(), form.asked(), request.form.get("once_key", ""))
    except BadInput as bad:
        beside = form.take_rows(bad)
        return _page(form, beside), 422
    flash(_("%(number)s is entered.", number=number))
    return redirect(url_for("office.agreements"), 303)


def _page(form: AgreementForm, beside: dict[str, list[str]] | None = None) -> str:
    _own, companies = people.everybody(parts(), who())
    form.company.choices = [("", _("Choose")), *((one.id, one.name) for one in companies)]
    rows = [
        [{"text": one.agreed.number, "url": url_for("office.agreement", agreement_id=one.id)}, one.company,
         one.agreed.subdivision or _("all lots"), span(one.agreed), changes(one.agreed),
         told(STATES[one.state])]
        for one in acts.list_agreements(parts(), who())
    ]  # fmt: skip
    return page(
        "office/agreements.html", rows=rows, form=form, bands=BANDS, errors=beside or {}, owner=who().owner,
        once=request.form.get("once_key") or fresh_once_key(),
    )  # fmt: skip


def agreement(agreement_id: str) -> Answer:
    """One agreement, and for an owner its end."""
    if request.method != "POST":
        return _one(agreement_id, EndForm.blank())
    if not who().owner:
        raise NotAllowed(say("Only an owner may change this."))
    form = EndForm.sent()
    try:
        if not form.validate():
            return _one(agreement_id, form), 422
        acts.end(parts(), who(), agreement_id, form.last_day.data, form.text("reason"))
    except BadInput as bad:
        form.take(bad)
        return _one(agreement_id, form), 422
    flash(_("Its last day is entered."))
    return redirect(url_for("office.agreements"), 303)


def _one(agreement_id: str, form: EndForm) -> str:
    found = acts.one_agreement(parts(), who(), agreement_id)
    return page(
        "office/agreement.html", found=found, form=form, span=span(found.agreed), owner=who().owner,
        changes=changes(found.agreed), state=told(STATES[found.state]), rule=found.agreed.subdivision,
    )  # fmt: skip
