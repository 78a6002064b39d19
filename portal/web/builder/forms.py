"""A builder's forms: answers to a quote, and the company's own rule for two people."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from wtforms import StringField

from portal.web.shared.answer_form import AcceptForm, AnswerForm, DeclineForm
from portal.web.shared.lot_form import stripped
from portal.web.shared.sheet_form import SheetForm

__all__ = ["AcceptForm", "AnswerForm", "DeclineForm", "SecondForm"]


class SecondForm(SheetForm):
    """The amount over which two people accept."""

    name = "second"
    second_over = StringField(
        _("Two people accept what comes to more than"), filters=[stripped],
        description=_("Leave it empty, and one person’s yes is always enough."),
        render_kw={"inputmode": "decimal"},
    )  # fmt: skip
