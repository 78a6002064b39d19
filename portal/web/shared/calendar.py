"""A person's calendar of stops: the page of its private address, and what the address answers."""

from __future__ import annotations

from flask import Response, redirect, request, session, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import calendars
from portal.acts.calendars import Calendar, CalendarRow
from portal.core.crewdays.ical import Event, Feed, written
from portal.web.security import parts, who
from portal.web.shared.pages import page

#: Where the one page that shows a new address finds it.
NEW = "calendar_address"


def calendar_page(endpoint: str) -> str | AnyResponse:
    """Whether there is an address, and a press that makes one. A new address is shown once."""
    if request.method == "POST":
        session[NEW] = calendars.renew(parts(), who())
        return redirect(url_for(endpoint), 303)
    made = calendars.made_at(parts(), who())
    return page("shared/calendar.html", address=session.pop(NEW, ""), made=made, kind=who().kind)


def feed(token: str) -> Response:
    """The calendar behind an address, as a calendar program fetches it."""
    found = calendars.calendar(parts(), token)
    answer = Response(written(_feed(found), found.now), content_type="text/calendar; charset=utf-8")
    answer.headers["Cache-Control"] = "private, no-cache"
    answer.headers["X-Robots-Tag"] = "noindex"
    return answer


def _feed(found: Calendar) -> Feed:
    mine = found.kind == "technician"
    name = _("Stops of %(name)s", name=found.name) if mine else _("Treatments, %(name)s", name=found.company)
    return Feed(name, tuple(_event(found, stop) for stop in found.stops))


def _event(found: Calendar, stop: CalendarRow) -> Event:
    links, mine = parts().links, found.kind == "technician"
    place = ", ".join(filter(None, (f"{stop.house_number} {stop.street}", stop.town, stop.state)))
    # Of a stop that is called off, who comes now is another's affair.
    more = [stop.company, stop.notes] if mine else [
        "" if stop.called_off or not stop.technician
        else _("%(technician)s will come.", technician=stop.technician),
    ]  # fmt: skip
    return Event(
        uid=f"{stop.job_id}-{'stop' if mine else 'treatment'}@{found.domain}", day=stop.day,
        summary=_("Treat %(lot)s", lot=stop.lot) if mine else _("Treatment of %(lot)s", lot=stop.lot),
        location=f"{place} {stop.postal_code}",
        description="\n".join(filter(None, (stop.number, stop.subdivision, *more))),
        url=links.stop(stop.job_id) if mine else links.builder_lot(stop.lot_id),
        sequence=stop.sequence, changed_at=stop.changed_at, called_off=stop.called_off,
    )  # fmt: skip
