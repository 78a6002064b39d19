"""A builder's forms: answers to a quote, somebody to invite, the company's address."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import EmailField, HiddenField, IntegerField, StringField, TextAreaField
from wtforms.validators import InputRequired
from wtforms.widgets import HiddenInput

from portal.web.shared.lot_form import stripped
from portal.web.shared.people_form import RightsFields
from portal.web.shared.sheet_form import SheetForm


class ColleagueForm(RightsFields):
    """Somebody to invite to the company."""

    name, elsewhere = "invite", {"name": "person", "rights": "accept"}
    person = StringField(_("Name"), filters=[stripped], render_kw={"autocomplete": "off"})
    email = EmailField(_("Mail address"), filters=[stripped], render_kw={"autocomplete": "off"})


class CompanyForm(SheetForm):
    """How to reach the company. Its name is the office's to change."""

    name = "company"
    address = TextAreaField(_("Address"), filters=[stripped], render_kw={"rows": 3})
    phone = StringField(_("Phone"), filters=[stripped], render_kw={"type": "tel"})
    email = EmailField(_("Mail address of the company"), filters=[stripped])


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
