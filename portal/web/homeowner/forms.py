"""The one form of a homeowner."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import StringField
from wtforms.validators import InputRequired


class FindForm(FlaskForm):
    """The two things that go together."""

    number = StringField(
        _("Warranty number"), [InputRequired()],
        description=_("11 letters and digits, like ABCD-EFGH-JKM. It stands on the certificate."),
        render_kw={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"},
    )  # fmt: skip
    house_number = StringField(
        _("House number"), [InputRequired()], description=_("The number in the address."),
        render_kw={"autocomplete": "off"},
    )  # fmt: skip
