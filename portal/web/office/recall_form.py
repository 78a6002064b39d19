"""The form of something found bad, and its words."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from wtforms import HiddenField, SelectField, StringField, TextAreaField

from portal.acts.recalling import RecallAsked
from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.sheet_form import SheetForm

KINDS = {"product lot": _("A product lot"), "certificate": _("An applicator’s certificate")}
STATES = {"prepared": _("prepared, not sent"), "sent": _("sent"), "left out": _("left out")}
MARKS = {"prepared": "needs", "sent": "done", "left out": "stopped"}


class RecallForm(SheetForm):
    """What was found bad, and what those concerned are to read. `looked`: which records were looked at."""

    name = "recall"
    kind = SelectField(_("What was found bad"), validate_choice=False, choices=lambda: [
        ("", _("Choose")), *KINDS.items()
    ])  # fmt: skip
    value = StringField(
        _("Its number"), filters=[stripped], render_kw={"autocomplete": "off"},
        description=_("As it stands on the container or on the certificate."),
    )  # fmt: skip
    since = DayField(_("Treated from"), description=_("Left empty, from the first."))
    until = DayField(_("Treated through"), description=_("Left empty, until today."))
    found = TextAreaField(_("What was found"), filters=[stripped], render_kw={"rows": 3})
    to_do = TextAreaField(
        _("What is done about it"), filters=[stripped], render_kw={"rows": 3},
        description=_("And what the owner should do, or need not do."),
    )  # fmt: skip
    looked = HiddenField()

    @property
    def asked(self) -> RecallAsked:
        """What to look for."""
        return RecallAsked(self.text("kind"), self.text("value"), self.since.data, self.until.data)
