"""The technician's stops, and the one being worked on."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import papers, treating
from portal.core.errors import BadInput
from portal.web.field.entry import anchor, read_entry, show
from portal.web.security import parts, who
from portal.web.shared.pages import beside, fresh_once_key, page, summary
from portal.web.shared.paper_answers import pdf
from portal.web.shared.sketch import drawings

Entry = dict[str, str]
Answer = str | Response | tuple[str, int]


def my_stops() -> str:
    """Today's first, then the next, then those done."""
    to_do, done = treating.my_stops(parts(), who())
    today = parts().today()
    now, later = ([s for s in to_do if (s.day > today) is ahead] for ahead in (False, True))
    return page("field/stops.html", now=now, later=later, done=done, today=today)


def stop(job_id: str) -> str:
    """One stop: what to know, and the entry as far as it has come."""
    return _page(job_id)


def _page(job_id: str, typed: Entry | None = None, errors: dict[str, list[str]] | None = None) -> str:
    found = treating.stop(parts(), who(), job_id)
    once = request.form.get("once_key") or fresh_once_key()
    if found.state in ("treated", "signed off"):
        return page("field/treated.html", stop=found, drawn=drawings(found.sheet.house))
    return page(
        "field/stop.html", stop=found, shown=show(found, typed, parts().now(), parts().zone), once=once,
        drawn=drawings(found.sheet.house), errors=errors or {}, problems=summary(errors or {}),
    )  # fmt: skip


def sheet_paper(job_id: str) -> Response:
    """The field sheet, to print or to take along."""
    return pdf(papers.stop_sheet(parts(), who(), job_id))


def arrive(job_id: str) -> Answer:
    """On site."""
    treating.arrive(parts(), who(), job_id, read_entry(request.form))
    return redirect(url_for("field.stop", job_id=job_id, _anchor="cautions"), 303)


def keep(job_id: str) -> Answer:
    """Keep what is typed; with the time it is, or the walls as quoted, where one of those was pressed."""
    entry, at = read_entry(request.form), request.form.get("now", "")
    if at:
        treating.keep_with_time(parts(), who(), job_id, entry, at)
        return redirect(url_for("field.stop", job_id=job_id, _anchor=anchor(at)), 303)
    if request.form.get("press") == "as-quoted":
        treating.keep_as_quoted(parts(), who(), job_id, entry)
        return redirect(url_for("field.stop", job_id=job_id, _anchor="walls"), 303)
    treating.keep(parts(), who(), job_id, entry)
    flash(_("Kept. It is not marked treated yet."))
    return redirect(url_for("field.stop", job_id=job_id), 303)


def treated(job_id: str) -> Answer:
    """Mark it treated, or say all that is missing."""
    entry = read_entry(request.form)
    try:
        treating.mark_treated(parts(), who(), job_id, entry, request.form.get("once_key", ""))
    except BadInput as bad:
        return _page(job_id, entry, beside(bad)), 422
    flash(_("It is marked treated. The record, the invoice and the warranty are made."))
    return redirect(url_for("field.stop", job_id=job_id), 303)
