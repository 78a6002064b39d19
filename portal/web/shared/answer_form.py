"""Answers to a quote: of somebody of the company, and of a purchaser through a mailed link."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import HiddenField, IntegerField, StringField, TextAreaField
from wtforms.validators import InputRequired
from wtforms.widgets import HiddenInput

from portal.web.shared.lot_form import stripped


class AnswerForm(FlaskForm):
    """What every answer carries: exactly the revision that was seen, by its number and its fingerprint."""

    revision = IntegerField(widget=HiddenInput())
    seen = HiddenField()


class AcceptForm(AnswerForm):
    """Accept."""

    name = StringField(
        _("Your name"),
        [InputRequired()],
        filters=[stripped],
        description=_("Typed, it is your signature on this revision."),
        render_kw={"autocomplete": "name"},
    )
    purchase_order = StringField(_("Purchase order number"), filters=[stripped])


class DeclineForm(AnswerForm):
    """Decline."""

    reason = TextAreaField(
        _("Why not"),
        [InputRequired()],
        filters=[stripped],
        description=_("A few words, so that the office can do better."),
    )
