"""How one builder is billed: what holds, and an owner's form for terms of its own."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import billing_terms as acts
from portal.core.errors import BadInput
from portal.web.office.edition_fields import BILLED_BY
from portal.web.security import parts, who
from portal.web.shared.pages import beside, fresh_once_key, page, summary

LABELS = {entry.at: entry.label for entry in BILLED_BY}


def billing_terms(company_id: str) -> str | Response | tuple[str, int]:
    """The terms that hold for a builder, and other ones."""
    if request.method != "POST":
        return _page(company_id, {}, {})
    typed = {entry.at: request.form.get(entry.at, "").strip() for entry in BILLED_BY}
    try:
        acts.enter_terms(parts(), who(), company_id, typed, request.form.get("once_key", ""))
    except BadInput as bad:
        return _page(company_id, typed, beside(bad)), 422
    flash(_("Entered. They hold for what is quoted from now on; quotes that are out keep theirs."))
    return redirect(url_for("office.billing_terms", company_id=company_id), 303)


def _page(company_id: str, typed: dict[str, str], errors: dict[str, list[str]]) -> str:
    found = acts.terms_of(parts(), who(), company_id)
    known = {at: str(value) for at, value in found.document.items()}
    capital = {at: [says[:1].upper() + says[1:] for says in sentences] for at, sentences in errors.items()}
    return page(
        "office/billing_terms.html", found=found, fields=BILLED_BY, values=typed or known, errors=capital,
        problems=[(at, f"{LABELS.get(at, at)}: {says}") for at, says in summary(capital)],
        owner=who().owner, once=request.form.get("once_key") or fresh_once_key(),
    )  # fmt: skip
