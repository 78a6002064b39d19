"""A builder asks for a price, changes what was asked, and asks again. One form for all three."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import asking, desk, plan_views, sheet
from portal.core.errors import BadInput, Overtaken, Refused
from portal.web.builder import lists
from portal.web.builder.looking import Answer
from portal.web.builder.starting import started
from portal.web.security import parts, who
from portal.web.shared import figures, takeoff_page
from portal.web.shared.takeoff_page import TakeoffPage


def ask() -> Answer:
    """Ask for a price for a new lot; first with figures, then for good."""
    form = takeoff_page.sent() if request.method == "POST" else takeoff_page.begin(lists.last_place())
    start = started(form)
    if form.to_send():
        try:
            lot_id = asking.ask(
                parts(), who(), form.asked(), form.once_key, start.edition_id, mirrored=start.mirrored
            )
        except BadInput as bad:
            form.turn_down(bad)
        else:
            flash(_("Asked. The office checks the takeoff and sends the quote by mail."))
            return redirect(url_for("builder.lot", lot_id=lot_id))
    lead = _("Enter the house and the lot, work it out, look at the figures, then ask.")
    offered = plan_views.offered(parts(), who())
    return _page(form, _("Ask for a price"), lead, _("Ask for this price"), started=start, offered=offered)


def redraw() -> str:
    """The house as it is being typed, for the page it is typed on."""
    return takeoff_page.redrawn("builder")


def change(lot_id: str) -> Answer:
    """Change what was asked, as long as nothing of it is sent."""

    def act(form: TakeoffPage) -> None:
        asking.change(parts(), who(), lot_id, form.version, form.asked())
        flash(_("Changed. The office checks it anew."))

    lead = _("Nothing of it is sent yet, so everything can still be changed.")
    return _again(lot_id, act, _("Change what was asked"), lead, _("Change it to this"))


def ask_again(lot_id: str) -> Answer:
    """Ask again after a quote: everything is carried over."""

    def act(form: TakeoffPage) -> None:
        asking.ask_again(parts(), who(), lot_id, form.version, form.asked())
        flash(_("Asked again. The office checks it and sends a new revision."))

    lead = _(
        "Everything is carried over. Change what has changed; a new revision takes the place of the old."
    )
    return _again(lot_id, act, _("Ask again"), lead, _("Ask again for this price"))


def _again(
    lot_id: str, act: Callable[[TakeoffPage], None], heading: str, lead: str, send_words: str
) -> Answer:
    lot = sheet.sheet(parts(), who(), lot_id)
    form = takeoff_page.sent(lot_id) if request.method == "POST" else takeoff_page.of_sheet(lot)
    back = url_for("builder.lot", lot_id=lot_id)
    if form.to_send():
        try:
            act(form)
            return redirect(back)
        except BadInput as bad:
            form.turn_down(bad)
        except Overtaken as overtaken:
            form.overtake(overtaken, lot.version)
        except Refused as refused:
            form.refuse(refused)
    named = _("%(heading)s: %(lot)s", heading=heading, lot=f"{lot.place.lot}, {lot.place.address}")
    return _page(form, named, lead, send_words, back)


def _page(
    form: TakeoffPage, heading: str, lead: str, send_words: str, cancel: str = "", **more: Any
) -> Answer:
    return form.answer(
        "builder/ask.html",
        **more,
        heading=heading,
        lead=lead,
        send_words=send_words,
        cancel=cancel,
        redraw_url=url_for("builder.redraw"),
        figures=figures.fresh(form.figures, "builder"),
        subdivisions=desk.subdivisions(parts(), who()),
    )
