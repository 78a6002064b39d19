"""The day siding starts, the treatment's booking and its signing off."""

from __future__ import annotations

from flask import Response, flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import amending, booking, entering, keeping, photographing, treating
from portal.acts.amending import PageTyped
from portal.acts.siding_day import give_siding_day
from portal.web.office.forms import AmendForm, BookForm, CallOffForm, ForgetForm, SendBackForm, SignOffForm
from portal.web.office.lot import Answer, do
from portal.web.security import parts, who
from portal.web.shared.frame_days import Answer as FrameAnswer
from portal.web.shared.frame_days import frame_days_page
from portal.web.shared.photo_answers import jpeg
from portal.web.shared.sheet_form import SidingDayForm


def frame_days(lot_id: str) -> FrameAnswer:
    """The days of the open frame, given or changed."""
    return frame_days_page(lot_id, "office")


def siding_day(lot_id: str) -> Answer:
    """Keep the day siding starts, as the builder told it."""
    form = SidingDayForm.sent()
    return do(lot_id, form.came_from, form, lambda f: give_siding_day(
        parts(), who(), lot_id, f.seen, f.siding_starts.data
    ), _("Kept. The line of days is drawn by it."))  # fmt: skip


def book(lot_id: str) -> Answer:
    """Book a technician and a day, or move the booking."""
    form = BookForm.sent()
    form.offer(booking.technicians(parts(), who()))
    return do(lot_id, "treatment", form, lambda f: booking.book(
        parts(), who(), lot_id, f.seen, f.text("technician"), f.day.data, f.text("notes"), f.text("reason"),
        f.text("kind"),
    ), _("Booked. The builder and the technician are told by mail."))  # fmt: skip


def call_off(lot_id: str) -> Answer:
    """Take the booking back."""
    return do(lot_id, "treatment", CallOffForm.sent(), lambda f: booking.call_off(
        parts(), who(), lot_id, f.seen, f.text("reason"), f.text("kind")
    ), _("Called off. The lot stands to be booked again."))  # fmt: skip


def pick(lot_id: str) -> Answer:
    """Pick which of two entries of the field counts."""
    entering.pick(parts(), who(), lot_id, request.form.get("field", ""), request.form.get("entry", ""))
    flash(_("Picked. The technician's phones take it over."))
    return redirect(url_for("office.lot", lot_id=lot_id, sheet="treatment"), 303)


def show_photo(lot_id: str, photo_id: str, size: str) -> Response:
    """A photo from the lot's site."""
    return jpeg(photographing.lot_photo(parts(), who(), lot_id, photo_id, size == "small"))


def send_back(lot_id: str) -> Answer:
    """Send the record back to its technician, with a reason."""
    return do(lot_id, "treatment", SendBackForm.sent(), lambda f: amending.send_back(
        parts(), who(), lot_id, f.seen, f.text("reason")
    ), _("Sent back. The technician is told, and answers by a further page."))  # fmt: skip


def amend(lot_id: str) -> Answer:
    """Add a further page to a record that was signed off."""
    return do(lot_id, "treatment", AmendForm.sent(), lambda f: amending.amend(
        parts(), who(), lot_id, f.seen,
        PageTyped(f.text("subject"), f.text("was"), f.text("now"), f.text("why")),
    ), _("The page is added. The record before it stays as it was."))  # fmt: skip


def forget(lot_id: str) -> Answer:
    """Let a record go whose time is over."""
    return do(lot_id, "treatment", ForgetForm.sent(), lambda f: keeping.forget_record(
        parts(), who(), lot_id, f.seen
    ), _("The record is let go."))  # fmt: skip


def sign_off(lot_id: str) -> Answer:
    """Sign the treatment record off."""
    return do(lot_id, "treatment", SignOffForm.sent(), lambda _form: treating.sign_off(
        parts(), who(), lot_id
    ), _("Signed off."))  # fmt: skip
