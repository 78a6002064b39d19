"""The treatment's booking and its signing off."""

from __future__ import annotations

from flask_babel import gettext as _

from portal.acts import booking, treating
from portal.web.office.forms import BookForm, CallOffForm, SignOffForm
from portal.web.office.lot import Answer, do
from portal.web.security import parts, who


def book(lot_id: str) -> Answer:
    """Book a technician and a day, or move the booking."""
    form = BookForm.sent()
    form.offer(booking.technicians(parts(), who()))
    return do(lot_id, "treatment", form, lambda f: booking.book(
        parts(), who(), lot_id, f.seen, f.text("technician"), f.day.data, f.text("notes"), f.text("reason")
    ), _("Booked. The builder and the technician are told by mail."))  # fmt: skip


def call_off(lot_id: str) -> Answer:
    """Take the booking back."""
    return do(lot_id, "treatment", CallOffForm.sent(), lambda f: booking.call_off(
        parts(), who(), lot_id, f.seen, f.text("reason")
    ), _("Called off. The lot stands to be booked again."))  # fmt: skip


def sign_off(lot_id: str) -> Answer:
    """Sign the treatment record off."""
    return do(lot_id, "treatment", SignOffForm.sent(), lambda _form: treating.sign_off(
        parts(), who(), lot_id
    ), _("Signed off."))  # fmt: skip
