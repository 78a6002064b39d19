"""The office's forms on a lot's sheet and among people. What may be entered is judged by the acts."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from flask_babel import lazy_gettext as _
from wtforms import EmailField, HiddenField, SelectField, StringField, TextAreaField

from portal.acts.booking import TechnicianRow
from portal.core.crewdays.checks import KINDS
from portal.core.errors import BadInput
from portal.web.shared import words
from portal.web.shared.further import subject_choices
from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.people_form import RightsFields
from portal.web.shared.sheet_form import SheetForm


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


class ListedForm(SheetForm):
    """An extra of the rate book's list. `listed` are those of today, with their prices in words."""

    name, elsewhere = "listed", {"reason": "why"}
    listed = SelectField(_("From the list"), validate_choice=False)
    quantity = StringField(_("How many pieces or feet"), filters=[stripped],
                           render_kw={"inputmode": "decimal"})  # fmt: skip
    why = StringField(_("Reason"), filters=[stripped], description=_("The builder reads it on the quote."))


class MilesForm(SheetForm):
    """How far a lot is."""

    name = "miles"
    miles = StringField(_("Miles"), filters=[stripped], render_kw={"inputmode": "decimal"})


class ApproveForm(SheetForm):
    """Approving, with what the builder should read beside the price."""

    name = "approve"
    remarks = TextAreaField(_("Remarks on the quote"), filters=[stripped])
    reason = TextAreaField(_("Why it is approved under the margin floor"), filters=[stripped],
                           description=_("Kept in the history, for the office alone."),
                           render_kw={"rows": 2})  # fmt: skip


def why_field(label: Any) -> SelectField:
    """Why a booking is moved or called off."""
    return SelectField(label, validate_choice=False, choices=lambda: [
        ("", _("Choose")), *((kind, words.WHY[kind]) for kind in KINDS)
    ])  # fmt: skip


class BookForm(SheetForm):
    """A technician and a day."""

    name = "book"
    technician = SelectField(_("Technician"), validate_choice=False)
    day = DayField(_("Day"))
    notes = TextAreaField(_("Notes for the technician"), filters=[stripped],
                          description=_("Gate code, where to park, who to ask for."))  # fmt: skip
    kind = why_field(_("Why, where it is moved"))
    reason = StringField(_("Reason"), filters=[stripped], description=_(
        "For a day outside the open frame, over the hours, or on a day off: it is kept."))  # fmt: skip

    def offer(self, technicians: Iterable[TechnicianRow]) -> None:
        """Name those who can be booked."""
        self.technician.choices = [("", _("Choose")), *((one.id, one.name) for one in technicians)]


class _ReasonForm(SheetForm):
    reason = TextAreaField(_("Reason"), filters=[stripped], render_kw={"rows": 2})


class CallOffForm(_ReasonForm):
    """Take the booking back."""

    name = "call-off"
    kind = why_field(_("Why"))


class KeepHeldForm(_ReasonForm):
    """Keep the warranty held."""

    name = "keep-held"


class ReplaceLinkForm(_ReasonForm):
    """Revoke the warranty's link."""

    name = "replace-link"


class VoidForm(_ReasonForm):
    """Make the warranty void; `sure` comes from the page that asks once more."""

    name = "void"
    sure = HiddenField()


class SendBackForm(_ReasonForm):
    """Send the treatment record back to its technician."""

    name, elsewhere = "send-back", {"why": "reason"}


class ForgetForm(SheetForm):
    """Let a record go whose time is over."""

    name = "forget"


class AmendForm(SheetForm):
    """A further page of a record that was signed off."""

    name = "amend"
    subject = SelectField(_("What it is about"), validate_choice=False, choices=subject_choices)
    was = TextAreaField(_("What the record says"), filters=[stripped], render_kw={"rows": 2})
    now = TextAreaField(_("What is right"), filters=[stripped], render_kw={"rows": 2})
    why = TextAreaField(_("Why"), filters=[stripped], render_kw={"rows": 2})


def method_field(label: Any) -> SelectField:
    """How money came, or was paid back."""
    return SelectField(label, validate_choice=False, choices=lambda: [
        ("", _("Choose")), ("check", _("Check")), ("bank transfer", _("Bank transfer")), ("cash", _("Cash")),
        ("other", _("Another way")),
    ])  # fmt: skip


class KeepsRest(SheetForm):
    """Money that came. What is over is kept as credit once that was said, to the cent: `rest` is how much."""

    keep = HiddenField(_("More than is open"))
    rest: Decimal | None = None

    def take(self, bad: BadInput) -> None:
        """Put each problem beside its field, and know how much is over."""
        self.rest = next((one.says.values["rest"].amount for one in bad.problems if one.at == "keep"), None)
        super().take(bad)


class PayForm(KeepsRest):
    """Money that came on the invoice of a sheet."""

    name = "pay"
    amount = StringField(_("Amount"), filters=[stripped], render_kw={"inputmode": "decimal"})
    method = method_field(_("How it was paid"))
    reference = StringField(_("Reference"), filters=[stripped],
                            description=_("Check number, or what the transfer says."))  # fmt: skip
    received_on = DayField(_("Day received"))


class InviteForm(RightsFields):
    """Somebody to invite."""

    name, elsewhere = "invite", {"name": "person", "rights": "accept"}
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


class ExemptionForm(SheetForm):
    """A builder's certificate of exemption from tax."""

    name, elsewhere = "exemption", {"jurisdiction_id": "jurisdiction"}
    number = StringField(_("Certificate number"), filters=[stripped], description=_("It stands on papers."))
    jurisdiction = SelectField(_("Holds in"), validate_choice=False)
    first_day = DayField(_("First day"))
    last_day = DayField(_("Last day"))


class CertificateForm(SheetForm):
    """What stands on records of a technician."""

    name = "certificate"
    certificate = StringField(
        _("Certificate number"), filters=[stripped],
        description=_("Of the certified applicator: the technician’s own, or the supervisor’s."),
    )  # fmt: skip
    supervisor = StringField(
        _("Works under the certified applicator"), filters=[stripped],
        description=_("Leave it empty where the technician is certified."),
    )  # fmt: skip
