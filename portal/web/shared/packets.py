"""The closing packet of a lot, for its builder and the office: saved, or its owner written to."""

from __future__ import annotations

from flask import Response, flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import packet as acts
from portal.core.errors import Refused
from portal.web.security import parts, who
from portal.web.shared.pages import told
from portal.web.shared.paper_answers import pdf


def closing_packet(lot_id: str) -> Response | AnyResponse:
    """The PDF; without a certificate, back to the sheet with the reason."""
    try:
        return pdf(acts.packet_of_lot(parts(), who(), lot_id))
    except Refused as refused:
        flash(told(refused.says), "error")
        return redirect(url_for(f"{who().kind}.lot", lot_id=lot_id, sheet="warranty"), 303)


def send_packet(lot_id: str) -> AnyResponse:
    """Write to the owner on record where it stands."""
    try:
        acts.send_packet(parts(), who(), lot_id, request.form.get("once_key", ""))
    except Refused as refused:
        flash(told(refused.says), "error")
    else:
        flash(_("The owner was written to."))
    return redirect(url_for(f"{who().kind}.lot", lot_id=lot_id, sheet="warranty"), 303)
