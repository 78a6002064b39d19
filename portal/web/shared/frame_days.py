"""The page on which the days of the open frame are given or changed, for the builder and for the office."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import sheet
from portal.acts.frame_days import give_frame_days
from portal.core.errors import BadInput, Overtaken
from portal.web.security import parts, who
from portal.web.shared.pages import page
from portal.web.shared.sheet_form import FrameDaysForm

Answer = str | Response | tuple[str, int]


def frame_days_page(lot_id: str, viewer: str) -> Answer:
    """Shows the days, or keeps those that were sent and goes back to the sheet."""
    lot = sheet.sheet(parts(), who(), lot_id)
    back = url_for(f"{viewer}.lot", lot_id=lot_id, sheet="treatment")
    if request.method == "GET":
        form = FrameDaysForm.blank(
            version=str(lot.version), framing_done=lot.framing_done, insulation_starts=lot.insulation_starts
        )
        return page("shared/frame_days.html", lot=lot, form=form, back=back)
    form = FrameDaysForm.sent()
    status = _kept(lot_id, form)
    if not status:
        flash(_("Kept. The window is drawn by it."))
        return redirect(back, 303)
    return page("shared/frame_days.html", lot=lot, form=form, back=back), status


def _kept(lot_id: str, form: FrameDaysForm) -> int:
    """Keep what was sent; answers 0, or the status with which it was not kept."""
    if not form.validate():
        return 422
    try:
        days = form.framing_done.data, form.insulation_starts.data
        give_frame_days(parts(), who(), lot_id, form.seen, *days)
    except BadInput as bad:
        form.take(bad)
        return 422
    except Overtaken as overtaken:
        form.version.data = str(sheet.sheet(parts(), who(), lot_id).version)
        form.form_errors.append(_(
            "%(name)s changed this lot in the meantime, and nothing of yours was done. "
            "What you typed stands in its form, to be sent again.",
            name=overtaken.by or _("Somebody else"),
        ))  # fmt: skip
        return 409
    return 0
