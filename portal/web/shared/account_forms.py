"""What the office and a builder both enter about what is owed."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from wtforms import TextAreaField

from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.sheet_form import SheetForm


class StatementForm(SheetForm):
    """The days of a statement."""

    name = "statement"
    first = DayField(_("First day"))
    last = DayField(_("Last day"))


class DisputeForm(SheetForm):
    """What is not right about an invoice."""

    name = "dispute"
    reason = TextAreaField(_("What is not right"), filters=[stripped], render_kw={"rows": 3})


class SettleForm(SheetForm):
    """How it was settled; a builder may take its own word back."""

    name = "settle"
    words = TextAreaField(_("How it was settled"), filters=[stripped], render_kw={"rows": 2})
