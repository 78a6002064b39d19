"""A builder's exemptions from tax."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import exempting as acts
from portal.acts.exempting import Certificate
from portal.core.errors import BadInput
from portal.web.office.forms import ExemptionForm
from portal.web.security import parts, who
from portal.web.shared.pages import fresh_once_key, page

Answer = str | Response | tuple[str, int]


def exemptions(company_id: str) -> Answer:
    """Those entered of a builder; what is sent is one more."""
    if request.method != "POST":
        return _page(company_id, ExemptionForm.blank())
    form = ExemptionForm.sent()
    entered = Certificate(
        form.text("number"), form.text("jurisdiction"), form.first_day.data, form.last_day.data
    )
    try:
        acts.exempt(parts(), who(), company_id, entered, request.form.get("once_key", ""))
    except BadInput as bad:
        form.take(bad)
        return _page(company_id, form), 422
    flash(_("The exemption is entered. It holds on the days it covers."))
    return redirect(url_for("office.exemptions", company_id=company_id))


def _page(company_id: str, form: ExemptionForm) -> str:
    found = acts.exemptions_of(parts(), who(), company_id)
    form.jurisdiction.choices = [("", _("all jurisdictions")), *found.jurisdictions]
    once = request.form.get("once_key") or fresh_once_key()
    return page("office/exemptions.html", of=found, form=form, once=once, today=parts().today())


def withdraw(company_id: str, exemption_id: str) -> Answer:
    """Let one cover no day any more."""
    acts.withdraw(parts(), who(), company_id, exemption_id)
    flash(_("The exemption is withdrawn. Papers that were sent keep what they say."))
    return redirect(url_for("office.exemptions", company_id=company_id))
