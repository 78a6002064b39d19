"""The office's forms on a lot's sheet and among people. What may be entered is judged by the acts."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, ClassVar, Self

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import EmailField, Field, HiddenField, SelectField, StringField, TextAreaField

from portal.acts.booking import TechnicianRow
from portal.core.errors import BadInput
from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.pages import told


class SheetForm(FlaskForm):
    """A form of the office's: it takes an act's problems beside its fields, and says what was typed.

    On a lot's sheet it carries the lot's version. `name` tells the forms of one page apart, in the names of
    their fields too; `offered` is whether the act can be done as the lot stands now.
    """

    name = ""
    #: Fields that an act calls otherwise than the form.
    elsewhere: ClassVar[dict[str, str]] = {}
    offered = True
    version = HiddenField()

    @classmethod
    def blank(cls, **known: Any) -> Self:
        """The form before anything is typed, with what is known."""
        return cls(formdata=None, prefix=f"{cls.name}-", data=known)

    @classmethod
    def sent(cls) -> Self:
        """The form as this request sends it."""
        return cls(prefix=f"{cls.name}-")

    @property
    def seen(self) -> int:
        """The version of the lot that was looked at; 0, which no lot has, where it is no number."""
        typed = self.version.data or ""
        return int(typed) if typed.isdecimal() and len(typed) < 10 else 0

    def text(self, name: str) -> str:
        """What a field holds; nothing where it was not sent."""
        return str(self[name].data or "")

    def take(self, bad: BadInput) -> None:
        """Put each problem beside its field."""
        for problem in bad.problems:
            at = self.elsewhere.get(problem.at, problem.at)
            if at in self:
                self[at].errors = [*self[at].errors, told(problem.says)]
            else:
                self.form_errors.append(told(problem.says))

    def wrong(self) -> list[tuple[str, str]]:
        """Every problem with the id of its field, for the summary."""
        beside = [(field.id, f"{field.label.text}: {says}") for field in self for says in field.errors]
        return [("", str(says)) for says in self.form_errors] + beside

    def typed(self) -> list[tuple[Any, str]]:
        """What was typed, with its labels."""
        shown = [(field, _typed(field)) for field in self if not isinstance(field, HiddenField)]
        return [(field.label.text, words) for field, words in shown if words]


def _typed(field: Field) -> str:
    typed = str((field.raw_data or [""])[0]).strip()
    if isinstance(field, SelectField):
        return next((str(label) for value, label, *_rest in field.iter_choices() if value == typed), typed)
    return typed


class StartForm(SheetForm):
    """Start the quote."""

    name = "start"


class DropForm(SheetForm):
    """Take an extra line off."""

    name = "drop"


class SendForm(SheetForm):
    """Send the approved revision."""

    name = "send"


class ReviseForm(SheetForm):
    """Begin a new revision."""

    name = "revise"


class SignOffForm(SheetForm):
    """Sign the treatment record off."""

    name = "sign-off"


class ReleaseForm(SheetForm):
    """Bring the warranty into force."""

    name = "release"


class ExtraForm(SheetForm):
    """A line of the office's own."""

    name = "extra"
    label = StringField(_("What it is for"), filters=[stripped])
    reason = StringField(_("Reason"), filters=[stripped], description=_("The builder reads it on the quote."))
    amount = StringField(_("Amount"), filters=[stripped], render_kw={"inputmode": "decimal"})


class ApproveForm(SheetForm):
    """Approving, with what the builder should read beside the price."""

    name = "approve"
    remarks = TextAreaField(_("Remarks on the quote"), filters=[stripped])


class BookForm(SheetForm):
    """A technician and a day."""

    name = "book"
    technician = SelectField(_("Technician"), validate_choice=False)
    day = DayField(_("Day"))
    notes = TextAreaField(_("Notes for the technician"), filters=[stripped],
                          description=_("Gate code, where to park, who to ask for."))  # fmt: skip
    reason = StringField(_("Reason, where the day is past the start of insulation"), filters=[stripped])

    def offer(self, technicians: Iterable[TechnicianRow]) -> None:
        """Name those who can be booked."""
        self.technician.choices = [("", _("Choose")), *((one.id, one.name) for one in technicians)]


class _ReasonForm(SheetForm):
    reason = TextAreaField(_("Reason"), filters=[stripped], render_kw={"rows": 2})


class CallOffForm(_ReasonForm):
    """Take the booking back."""

    name = "call-off"


class KeepHeldForm(_ReasonForm):
    """Keep the warranty held."""

    name = "keep-held"


class VoidForm(_ReasonForm):
    """Make the warranty void; `sure` comes from the page that asks once more."""

    name = "void"
    sure = HiddenField()


class PayForm(SheetForm):
    """Money that came."""

    name = "pay"
    amount = StringField(_("Amount"), filters=[stripped], render_kw={"inputmode": "decimal"})
    method = SelectField(_("How it was paid"), validate_choice=False, choices=lambda: [
        ("", _("Choose")), ("check", _("Check")), ("bank transfer", _("Bank transfer")), ("cash", _("Cash")),
        ("other", _("Another way")),
    ])  # fmt: skip
    reference = StringField(_("Reference"), filters=[stripped],
                            description=_("Check number, or what the transfer says."))  # fmt: skip
    received_on = DayField(_("Day received"))


class InviteForm(SheetForm):
    """Somebody to invite."""

    name, elsewhere = "invite", {"name": "person"}
    kind = SelectField(_("What this person does"), validate_choice=False)
    person = StringField(_("Name"), filters=[stripped], render_kw={"autocomplete": "off"})
    email = EmailField(_("Mail address"), filters=[stripped], render_kw={"autocomplete": "off"})
    company = SelectField(_("Builder this person works for"), validate_choice=False)
    certificate = StringField(_("Certificate number"), filters=[stripped],
                              description=_("Of a technician; it stands on treatment records."))  # fmt: skip


class BuilderForm(SheetForm):
    """A builder's company."""

    name, elsewhere = "builder", {"name": "company"}
    company = StringField(_("Company"), filters=[stripped])
    address = TextAreaField(_("Address"), filters=[stripped], render_kw={"rows": 3})
    phone = StringField(_("Phone"), filters=[stripped], render_kw={"type": "tel"})
    email = EmailField(_("Mail address of the company"), filters=[stripped])
