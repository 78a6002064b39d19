"""A builder names the first owner of a house at closing."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import holding
from portal.core.errors import BadInput, Refused
from portal.web.builder.looking import Answer, sheet_page
from portal.web.security import parts, who
from portal.web.shared.holders import OwnerForm
from portal.web.shared.pages import told


def name_owner(lot_id: str) -> Answer:
    """Name the first owner."""
    form, once = OwnerForm.sent(), request.form.get("once_key", "")
    try:
        if not form.validate():
            return sheet_page(lot_id, "warranty", owner=form), 422
        holding.name_first_owner(parts(), who(), lot_id, form.holder(), once)
    except BadInput as bad:
        form.take(bad)
        return sheet_page(lot_id, "warranty", owner=form), 422
    except Refused as refused:
        return sheet_page(lot_id, "warranty", owner=form, refusal=told(refused.says)), 409
    flash(_("The owner is named."))
    return redirect(url_for("builder.lot", lot_id=lot_id, sheet="warranty"), 303)
