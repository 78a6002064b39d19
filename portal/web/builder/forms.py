"""A builder's forms: answers to a quote, the rule for two people, somebody to invite, the address."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from wtforms import EmailField, StringField, TextAreaField

from portal.web.shared.answer_form import AcceptForm, AnswerForm, DeclineForm
from portal.web.shared.lot_form import stripped
from portal.web.shared.people_form import RightsFields
from portal.web.shared.sheet_form import SheetForm

__all__ = ["AcceptForm", "AnswerForm", "ColleagueForm", "CompanyForm", "DeclineForm", "SecondForm"]


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


class SecondForm(SheetForm):
    """The amount over which two people accept."""

    name = "second"
    second_over = StringField(
        _("Two people accept what comes to more than"), filters=[stripped],
        description=_("Leave it empty, and one person’s yes is always enough."),
        render_kw={"inputmode": "decimal"},
    )  # fmt: skip
