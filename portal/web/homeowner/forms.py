"""A homeowner's forms: finding a warranty, and asking for a lost number."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import StringField
from wtforms.validators import InputRequired

from portal.acts.losing import LostTyped
from portal.core.errors import BadInput
from portal.web.shared.pages import told


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


class LostForm(FlaskForm):
    """What is known of the house where the number is not."""

    house_number = StringField(_("House number"), render_kw={"autocomplete": "off"})
    street = StringField(_("Street"), render_kw={"autocomplete": "off"},
                         description=_("Without the house number."))  # fmt: skip
    postal_code = StringField(
        _("ZIP code"), render_kw={"autocomplete": "postal-code", "inputmode": "numeric"}
    )
    closed_in = StringField(_("Month of closing"), render_kw={"autocomplete": "off"}, description=_(
        "When the house became yours: 2027-07 or July 2027."))  # fmt: skip

    def asked(self) -> LostTyped:
        """What was typed."""
        return LostTyped(**{key: str(self[key].data or "").strip() for key in LostTyped.__dataclass_fields__})

    def take(self, bad: BadInput) -> None:
        """Put each problem beside its field."""
        for problem in bad.problems:
            field = self[problem.at]
            field.errors = [*field.errors, told(problem.says)]

    def wrong(self) -> list[tuple[str, str]]:
        """Every problem with the id of its field, for the summary."""
        return [(field.id, f"{field.label.text}: {says}") for field in self for says in field.errors]
