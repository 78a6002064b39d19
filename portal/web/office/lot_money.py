"""What comes after the treatment: payments, and what becomes of the warranty."""

from __future__ import annotations

from flask import request
from flask_babel import gettext as _

from portal.acts import covering, paying, sealed
from portal.acts import sheet as sheets
from portal.core.errors import NotFound
from portal.web.office.forms import KeepHeldForm, PayForm, ReleaseForm, ReplaceLinkForm, VoidForm
from portal.web.office.lot import Answer, do
from portal.web.security import parts, who
from portal.web.shared.pages import page


def pay(lot_id: str) -> Answer:
    """Record money that came."""
    invoice = sheets.sheet(parts(), who(), lot_id).invoice
    if invoice is None:
        raise NotFound("invoice", lot_id)
    once = request.form.get("once_key", "")
    return do(lot_id, "invoice", PayForm.sent(), lambda f: paying.record_payment(
        parts(), who(), invoice.id, f.text("amount"), f.text("method"), f.text("reference"),
        f.received_on.data, once, f.text("keep"),
    ), _("The payment is recorded."))  # fmt: skip


def release(lot_id: str) -> Answer:
    """Bring the warranty into force by hand."""
    return do(lot_id, "warranty", ReleaseForm.sent(), lambda _form: covering.release(parts(), who(), lot_id),
              _("The warranty is in force."))  # fmt: skip


def keep_held(lot_id: str) -> Answer:
    """Keep the warranty held, whatever is paid."""
    return do(lot_id, "warranty", KeepHeldForm.sent(), lambda f: covering.keep_held(
        parts(), who(), lot_id, f.text("reason")
    ), _("The warranty stays held."))  # fmt: skip


def void(lot_id: str) -> Answer:
    """Make the warranty void: the reason first, then once more to confirm."""
    form = VoidForm.sent()
    if form.reason.data and not form.sure.data:
        lot = sheets.sheet(parts(), who(), lot_id)
        return page("office/void.html", lot=lot, form=form)
    return do(lot_id, "warranty", form, lambda f: covering.make_void(
        parts(), who(), lot_id, f.text("reason")
    ), _("The warranty is void."))  # fmt: skip


def replace_link(lot_id: str) -> Answer:
    """Revoke the link that the certificate's QR carries."""
    return do(lot_id, "warranty", ReplaceLinkForm.sent(), lambda f: sealed.replace_link(
        parts(), who(), lot_id, f.text("reason")
    ), _("The old link opens nothing any more. The certificate now carries a new one."))  # fmt: skip
