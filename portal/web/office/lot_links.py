"""What a builder otherwise does, done in the office: links to purchasers, and the first owner named."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import holding, purchasing
from portal.web.office.lot import Answer, do
from portal.web.security import parts, who
from portal.web.shared.holders import OwnerForm
from portal.web.shared.purchasers import LinkForm


def mail_link(lot_id: str) -> Answer:
    """Mail a purchaser a link to the quote."""
    form = LinkForm.sent()
    return do(lot_id, "quote", form, lambda f: purchasing.mail_link(
        parts(), who(), lot_id, request.form.get("revision", 0, type=int), f.text("person"), f.text("email"),
        f.until.data, request.form.get("once_key", ""),
    ), _("The link is on its way to %(email)s.", email=form.text("email")))  # fmt: skip


def name_owner(lot_id: str) -> Answer:
    """Name the first owner."""
    return do(lot_id, "warranty", OwnerForm.sent(), lambda f: holding.name_first_owner(
        parts(), who(), lot_id, f.holder(), request.form.get("once_key", "")
    ), _("The owner is named."))  # fmt: skip


def withdraw_link(lot_id: str, link_id: str) -> Answer:
    """Withdraw a link."""
    purchasing.withdraw_link(parts(), who(), lot_id, link_id)
    flash(_("The link is withdrawn: it opens nothing any more."))
    return redirect(url_for("office.lot", lot_id=lot_id, sheet="quote"), 303)
