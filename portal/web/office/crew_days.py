"""Crew days: the schedule as it is drawn, the same as tables, and the form that books on it."""

from __future__ import annotations

from datetime import date

from flask import abort, flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import booking
from portal.acts.crew_schedule import SPAN, Schedule, schedule
from portal.core.errors import BadInput, NotFound, Overtaken, Refused
from portal.web.office.crew_chart import charts, duration, hour_rows, trouble
from portal.web.office.crew_forms import CrewBookForm
from portal.web.security import allow_script, parts, who
from portal.web.shared.pages import page, told

Answer = str | Response | tuple[str, int]


def crew_days() -> str:
    """Three weeks of the schedule; with a lot, its booking filled into the form."""
    form = CrewBookForm.blank()
    found = schedule(parts(), who(), _begin(request.args.get("begin", "")))
    chosen = found.row(request.args.get("lot", ""))
    if chosen is not None:
        form.show(chosen)
    return _page(found, form)


def _begin(text: str) -> date | None:
    """The day a link asks for, nothing for none. Raises 404 for what no link of ours says."""
    if not text:
        return None
    try:
        day = date.fromisoformat(text)
    except ValueError:
        abort(404)
    if not date(1990, 1, 1) <= day <= date(2190, 1, 1):
        abort(404)
    return day


def _page(found: Schedule, form: CrewBookForm) -> str:
    allow_script()
    form.offer(booking.technicians(parts(), who()))
    form.offer_lots([row for row in found.rows if row.state in ("unscheduled", "booked", "on site")])
    wide, narrow = charts(found)
    earlier, later = (date.fromordinal(found.first.toordinal() + step) for step in (-SPAN + 7, SPAN - 7))
    return page(
        "office/crew_days.html", found=found, form=form, wide=wide, narrow=narrow, hours=hour_rows(found),
        trouble=trouble, duration=duration,
        earlier=url_for("office.crew_days", begin=earlier.isoformat()),
        later=url_for("office.crew_days", begin=later.isoformat()),
        here=found.first.isoformat(), today=found.today,
    )  # fmt: skip


def book() -> Answer:
    """Book a stop of the schedule, or move it."""
    form = CrewBookForm.sent()
    first = form.text("first")
    status = _booked(form)
    if not status:
        return redirect(url_for("office.crew_days", begin=first if _is_day(first) else None), 303)
    return _page(schedule(parts(), who(), _begin(first if _is_day(first) else "")), form), status


def _is_day(text: str) -> bool:
    try:
        return date(1990, 1, 1) <= date.fromisoformat(text) <= date(2190, 1, 1)
    except ValueError:
        return False


def _booked(form: CrewBookForm) -> int:
    """Book what was sent; answers 0, or the status with which it was not booked."""
    valid, (lot_id, version) = form.validate(), form.chosen
    if not valid:
        return 422
    if not lot_id:
        form.lot.errors = [*form.lot.errors, _("Choose a lot.")]
        return 422
    entered = form.text("technician"), form.day.data, None, form.text("reason"), form.text("kind")
    try:
        booking.book(parts(), who(), lot_id, version, *entered)
    except BadInput as bad:
        form.take(bad)
        return 422
    except Overtaken as overtaken:
        form.form_errors.append(_(
            "%(name)s changed this lot in the meantime, and nothing of yours was done. "
            "Look at the schedule as it is now, and book again.", name=overtaken.by or _("Somebody else"),
        ))  # fmt: skip
        return 409
    except Refused as refused:
        form.form_errors.append(told(refused.says))
        return 409
    except NotFound:
        form.lot.errors = [*form.lot.errors, _("Choose a lot.")]
        return 422
    flash(_("Booked. The builder and the technician are told by mail."))
    return 0
