"""Find a day: what is proposed for the lots that have none, ticked and booked."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from flask_babel import ngettext
from werkzeug.wrappers import Response

from portal.acts import day_finding
from portal.acts.day_finding import USUAL_WEEKS, WEEKS, Pick, Proposal, Taken
from portal.web.office.crew_chart import duration
from portal.web.security import parts, who
from portal.web.shared.pages import page

Answer = str | Response | tuple[str, int]


def find_day() -> Answer:
    """What is proposed, from the day and for the weeks that the form asks for."""
    asked, errors = _asked(request.args.get("first", ""), request.args.get("weeks", ""))
    return (_page(asked, errors), 422) if errors else _page(asked)


def _asked(first: str, weeks: str) -> tuple[tuple[date | None, int], dict[str, str]]:
    errors, day, long = {}, None, USUAL_WEEKS
    try:
        day = date.fromisoformat(first) if first else None
    except ValueError:
        errors["first"] = _("“%(read)s” is no day; write it as 2027-03-09.", read=first[:20])
    if day is not None and abs((day - parts().today()).days) > 3660:
        errors["first"] = _("That is more than ten years from today.")
    if weeks in [str(one) for one in WEEKS]:
        long = int(weeks)
    elif weeks:
        errors["weeks"] = _("Choose for how many weeks.")
    return (None if errors else day, long), errors


def book() -> Answer:
    """Book what is ticked, or the one that was pressed."""
    only = request.form.get("only")
    texts = [only] if only else request.form.getlist("take")
    asked, _errors = _asked(request.form.get("first", ""), request.form.get("weeks", ""))
    picked = [pick for text in texts if (pick := _pick(text))]
    if not picked:
        return _page(asked, {"take": _("Tick the lots to book.")}, ticked=[]), 422
    taken = day_finding.take(parts(), who(), picked)
    if taken.left:
        return _page(asked, taken=taken)
    flash(_did(taken.booked))
    if only:
        return redirect(url_for("office.find_day", first=asked[0], weeks=asked[1]), 303)
    return redirect(url_for("office.crew_days", begin=min(pick.day for pick in picked).isoformat()), 303)


def _pick(text: str) -> Pick | None:
    """A proposal as its tick box says it; None for what no page of ours says."""
    lot_id, _colon, rest = text.partition(":")
    version, _colon, rest = rest.partition(":")
    technician_id, _colon, day = rest.partition(":")
    try:
        return Pick(lot_id[:40], int(version[:9]), technician_id[:40], date.fromisoformat(day))
    except ValueError:
        return None


def _said(pick: Proposal) -> str:
    return f"{pick.row.lot_id}:{pick.row.version}:{pick.technician_id}:{pick.day.isoformat()}"


def _did(count: int) -> str:
    if not count:
        return str(_("Nothing was booked."))
    return str(ngettext(
        "One lot is booked. The builder and the technician are told by mail.",
        "%(num)s lots are booked. Builders and technicians are told by mail.", count,
    ))  # fmt: skip


def _page(
    asked: tuple[date | None, int], errors: dict[str, Any] | None = None, taken: Taken | None = None,
    ticked: list[str] | None = None,
) -> str:  # fmt: skip
    found = day_finding.propose(parts(), who(), *asked)
    return page(
        "office/find_day.html", found=found, errors=errors or {}, said=_said, taken=taken,
        weeks=[(one, str(one)) for one in WEEKS],
        did=_did(taken.booked) if taken else "", all_ticked=ticked is None, duration=duration,
        today=parts().today(),
    )  # fmt: skip
