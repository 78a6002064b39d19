"""Whose warranty it is, on the warranty sheet: the first owner, named at closing."""

from __future__ import annotations

from typing import Any

from flask import url_for
from flask_babel import lazy_gettext as _
from wtforms import EmailField, StringField

from portal.acts import holding, troubles
from portal.acts.holding import HolderTyped
from portal.acts.sealed import has_certificate
from portal.acts.sheet import LotSheet
from portal.web.security import parts, who
from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.pages import fresh_once_key
from portal.web.shared.sheet_form import SheetForm


class OwnerForm(SheetForm):
    """The first owner of the house."""

    name, elsewhere = "owner", {"name": "person"}
    person = StringField(_("Name of the owner"), filters=[stripped], render_kw={"autocomplete": "off"})
    email = EmailField(
        _("Mail address"), filters=[stripped], render_kw={"autocomplete": "off"},
        description=_("To this address a lost number is mailed, and to no other."),
    )  # fmt: skip
    phone = StringField(_("Phone"), filters=[stripped], render_kw={"type": "tel", "autocomplete": "off"})
    since = DayField(_("Day of closing"))

    def holder(self) -> HolderTyped:
        """What was typed."""
        return HolderTyped(self.text("person"), self.text("email"), self.text("phone"), self.since.data)


def beside_the_promise(lot: LotSheet, shown: str, room: str, typed: OwnerForm | None) -> dict[str, Any]:
    """What holders.html needs; nothing on another sheet, or before there is a warranty."""
    if shown != "warranty" or lot.warranty is None:
        return {"holders": None}
    found = holding.holders_of(parts(), who(), lot.id)
    form = None if found or lot.warranty.state == "void" else typed or OwnerForm.blank()
    url = url_for(f"{room}.name_owner", lot_id=lot.id)
    return {"holders": found, "owner_form": form, "owner_url": url,
            "handed_url": url_for("office.handed_on", lot_id=lot.id) if room == "office" else "",
            "packet_url": url_for(f"{room}.closing_packet", lot_id=lot.id)
            if has_certificate(lot.warranty) else "",
            "send_packet_url": url_for(f"{room}.send_packet", lot_id=lot.id), "packet_key": fresh_once_key(),
            "reported": troubles.reported_at(parts(), who(), lot.id) if room == "office" else [],
            "addition_url": url_for(f"{room}.ask_addition", lot_id=lot.id)}  # fmt: skip
