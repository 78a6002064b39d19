"""A technician's hours and days off, as the office enters them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from flask_babel import ngettext
from werkzeug.wrappers import Response

from portal.acts import technician_days as acts
from portal.core.errors import BadInput, NotFound
from portal.web.office.crew_forms import DaysOffForm
from portal.web.security import parts, who
from portal.web.shared.pages import beside, page, reads

Answer = str | Response | tuple[str, int]


def technician(technician_id: str) -> str:
    """The week and the days off."""
    return _page(technician_id)


def _page(
    technician_id: str, hours: dict[str, str] | None = None, errors: dict[str, list[str]] | None = None,
    form: DaysOffForm | None = None,
) -> str:  # fmt: skip
    found = acts.technician_days(parts(), who(), technician_id)
    known = {at: _hours(minutes) for at, minutes in zip(acts.DAYS, found.week, strict=True)}
    # 4 January 2027 is a Monday: the days of the week are named as the reader's calendar names them.
    names = [reads().day(date(2027, 1, 4 + n), "full").partition(",")[0] for n in range(7)]
    return page(
        "office/technician.html", found=found, hours=hours or known, errors=errors or {},
        days=list(zip(acts.DAYS, names, strict=True)), form=form or DaysOffForm.blank(),
    )  # fmt: skip


def _hours(minutes: int) -> str:
    return reads().number(Decimal(minutes) / 60) if minutes else ""


def week(technician_id: str) -> Answer:
    """Keep the hours of the week."""
    typed = {at: request.form.get(at, "").strip() for at in acts.DAYS}
    try:
        acts.set_week(parts(), who(), technician_id, list(typed.values()))
    except BadInput as bad:
        return _page(technician_id, typed, beside(bad)), 422
    flash(_("The week is kept."))
    return redirect(url_for("office.technician", technician_id=technician_id), 303)


def off(technician_id: str) -> Answer:
    """Keep days off."""
    form = DaysOffForm.sent()
    if not form.validate():
        return _page(technician_id, form=form), 422
    try:
        entered = form.first.data, form.last.data, form.text("words")
        stops = acts.add_days_off(parts(), who(), technician_id, *entered)
    except BadInput as bad:
        form.take(bad)
        return _page(technician_id, form=form), 422
    flash(_("Kept.") if not stops else ngettext(
        "Kept. One stop is booked on these days: move it.",
        "Kept. %(num)s stops are booked on these days: move them.", stops,
    ))  # fmt: skip
    return redirect(url_for("office.technician", technician_id=technician_id), 303)


def back(technician_id: str, day: str) -> Response:
    """Take a day off back."""
    try:
        which = date.fromisoformat(day)
    except ValueError:
        raise NotFound("day off", day) from None
    acts.drop_day_off(parts(), who(), technician_id, which)
    flash(_("Taken back."))
    return redirect(url_for("office.technician", technician_id=technician_id), 303)
