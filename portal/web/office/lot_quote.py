"""From what was asked to a quote that is sent: start, correct, extra lines, approve, send, a new revision."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import asking, quoting
from portal.acts import sheet as sheets
from portal.core.errors import BadInput, Overtaken
from portal.web.office.forms import ApproveForm, DropForm, ExtraForm, ReviseForm, SendForm, StartForm
from portal.web.office.lot import Answer, do
from portal.web.security import parts, who
from portal.web.shared import figures, takeoff_page
from portal.web.shared.takeoff_page import TakeoffPage


def start(lot_id: str) -> Answer:
    """Take up what was asked."""
    return do(lot_id, "quote", StartForm.sent(), lambda f: quoting.start(parts(), who(), lot_id, f.seen),
              _("The quote is started. Check the takeoff, then approve."))  # fmt: skip


def correct(lot_id: str) -> Answer:
    """Correct the takeoff, on the form the builder asked with."""
    lot = sheets.sheet(parts(), who(), lot_id)
    form = takeoff_page.sent(lot_id) if request.method == "POST" else takeoff_page.of_sheet(lot)
    if form.to_send():
        try:
            asking.change(parts(), who(), lot_id, form.version, form.asked())
        except BadInput as bad:
            form.turn_down(bad)
        except Overtaken as overtaken:
            form.overtake(overtaken, lot.version)
        else:
            flash(_("The takeoff is corrected."))
            return redirect(url_for("office.lot", lot_id=lot_id, sheet="takeoff"), 303)
    return _form(form, lot_id)


def redraw() -> str:
    """The house as it is being corrected, for the page it is corrected on."""
    return takeoff_page.redrawn("office", request.args.get("lot", ""))


def _form(form: TakeoffPage, lot_id: str) -> tuple[str, int]:
    shown = figures.fresh(form.figures, "office")
    return form.answer(
        "office/correct.html", heading=_("Correct the takeoff"), send_words=_("Keep the corrected takeoff"),
        lead=_("Change what is not as measured, work it out, look at the figures, then keep it."),
        figures=shown, subdivisions=(),
        cancel=url_for("office.lot", lot_id=lot_id, sheet="takeoff"),
        redraw_url=url_for("office.redraw", lot=lot_id),
    )  # fmt: skip


def extra(lot_id: str) -> Answer:
    """Add a line of the office's own."""
    return do(lot_id, "quote", ExtraForm.sent(), lambda f: quoting.add_extra(
        parts(), who(), lot_id, f.seen, f.text("label"), f.text("reason"), f.text("amount")
    ), _("The line is added."))  # fmt: skip


def drop_extra(lot_id: str, extra_id: str) -> Answer:
    """Take a line of the office's own off again."""
    return do(lot_id, "quote", DropForm.sent(), lambda f: quoting.drop_extra(
        parts(), who(), lot_id, f.seen, extra_id
    ), _("The line is taken off."))  # fmt: skip


def approve(lot_id: str) -> Answer:
    """Approve takeoff and price."""
    return do(lot_id, "quote", ApproveForm.sent(), lambda f: quoting.approve(
        parts(), who(), lot_id, f.seen, f.text("remarks"), f.text("reason")
    ), _("Approved. It can be sent."))  # fmt: skip


def send(lot_id: str) -> Answer:
    """Send the approved revision."""
    return do(lot_id, "quote", SendForm.sent(), lambda f: quoting.send(parts(), who(), lot_id, f.seen),
              _("Sent. The builder has the quote by mail."))  # fmt: skip


def revise(lot_id: str) -> Answer:
    """Begin a new revision."""
    return do(lot_id, "quote", ReviseForm.sent(), lambda f: quoting.revise(parts(), who(), lot_id, f.seen),
              _("A new revision is begun. The one that is out holds until the new one is sent."))  # fmt: skip
