"""Forms about an invoice that is chased, and of a statement. What may be entered is judged by the acts."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from wtforms import HiddenField, StringField

from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.sheet_form import SheetForm


class PromiseForm(SheetForm):
    """By when it will be paid."""

    name = "promise"
    by_day = DayField(_("Promised by"))
    said_by = StringField(_("Who said so"), filters=[stripped])
    words = StringField(_("What was said"), filters=[stripped])


class InterestForm(SheetForm):
    """Interest to bill. `amount` is what the page showed: where it has changed since, nothing is billed."""

    name, elsewhere = "interest", {"amount": "until"}
    until = DayField(_("Up to and including"))
    amount = HiddenField()
