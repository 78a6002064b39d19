"""A stop that is done: what was entered, and the further page of a record that was sent back."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import amending, treating
from portal.acts.amending import PageTyped
from portal.acts.treating import Stop
from portal.core.errors import BadInput
from portal.web.security import parts, who
from portal.web.shared.further import headline, lines, subject_choices
from portal.web.shared.pages import beside, fresh_once_key, page, summary
from portal.web.shared.sketch import drawings


def treated_page(
    stop: Stop, typed: dict[str, str] | None = None, errors: dict[str, list[str]] | None = None
) -> str:
    """The stop as it was entered; where its record is sent back, the question and a form for the answer."""
    wrong = errors or {}
    return page(
        "field/treated.html", stop=stop, drawn=drawings(stop.sheet.house), typed=typed or {}, errors=wrong,
        problems=summary(wrong), sent_back=amending.sent_back_page(parts(), who(), stop.job_id),
        subjects=subject_choices(), once=request.form.get("once_key") or fresh_once_key(),
        pages=amending.pages_of_stop(parts(), who(), stop.job_id), headline=headline, lines=lines,
    )  # fmt: skip


def explain(job_id: str) -> str | Response | tuple[str, int]:
    """Add the page that the office asked for."""
    typed = {name: request.form.get(name, "").strip() for name in ("subject", "was", "now", "why")}
    try:
        amending.explain(parts(), who(), job_id, PageTyped(**typed), request.form.get("once_key", ""))
    except BadInput as bad:
        return treated_page(treating.stop(parts(), who(), job_id), typed, beside(bad)), 422
    flash(_("The page is added to the record, and the office is told."))
    return redirect(url_for("field.stop", job_id=job_id), 303)
