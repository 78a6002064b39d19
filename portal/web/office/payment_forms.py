"""The office's forms for money: what came, credit used and paid back, what did not hold or is given up."""

from __future__ import annotations

from typing import Any, ClassVar

from flask import request
from flask_babel import lazy_gettext as _
from wtforms import RadioField, SelectField, StringField, TextAreaField

from portal.acts.paying import Typed
from portal.core.errors import BadInput
from portal.web.office.forms import KeepsRest, method_field
from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.pages import told
from portal.web.shared.sheet_form import SheetForm

PART = "part-"


def amount_field(label: Any) -> StringField:
    """An amount of money."""
    return StringField(label, filters=[stripped], render_kw={"inputmode": "decimal", "autocomplete": "off"})


class PartsForm(SheetForm):
    """A form with an amount beside each of some invoices, in fields of their own: part-<invoice>."""

    def __init__(self, *given: Any, **more: Any) -> None:
        super().__init__(*given, **more)
        self.parts: dict[str, str] = {}
        self.part_errors: dict[str, list[str]] = {}

    def read_parts(self) -> None:
        """Take the amounts that this request sends."""
        self.parts = {
            name.removeprefix(PART): value.strip()
            for name, value in request.form.items()
            if name.startswith(PART) and name.isprintable()  # no id has what PostgreSQL takes for no text
        }

    def take(self, bad: BadInput) -> None:
        """Problems with a part stand beside its invoice."""
        for problem in bad.problems:
            if problem.at.startswith(PART):
                said = told(problem.says)
                self.part_errors.setdefault(problem.at.removeprefix(PART), []).append(said)
        super().take(BadInput(one for one in bad.problems if not one.at.startswith(PART)))

    def wrong(self) -> list[tuple[str, str]]:
        """Every problem with the id of its field, those of the parts too."""
        parts = [(PART + key, says) for key, said in self.part_errors.items() for says in said]
        return [*super().wrong(), *parts]


class ReceiveForm(PartsForm, KeepsRest):
    """Money that came from a builder."""

    name = "receive"
    amount = amount_field(_("Amount"))
    received_on = DayField(_("Day received"))
    method = method_field(_("How it was paid"))
    reference = StringField(
        _("Reference"), filters=[stripped], description=_("Check number, or what the transfer says.")
    )
    how = RadioField(_("What it pays"), validate_choice=False, choices=lambda: [
        ("oldest", _("The oldest first, as far as it goes")), ("chosen", _("These invoices")),
        ("none", _("No invoice yet: all of it is kept as credit")),
    ])  # fmt: skip

    def entered(self) -> Typed:
        """The payment as it was typed."""
        return Typed(
            self.text("amount"), self.text("method"), self.text("reference"), self.received_on.data,
            self.text("how"), self.parts if self.how.data == "chosen" else {}, self.text("keep"),
        )  # fmt: skip


class UseForm(PartsForm):
    """A builder's credit, to be used on invoices."""

    name = "use"


class RefundForm(SheetForm):
    """A builder's credit, paid back."""

    name = "refund"
    amount = amount_field(_("Amount"))
    on = DayField(_("Day paid back"))
    method = method_field(_("How it was paid back"))
    reference = StringField(_("Reference"), filters=[stripped])
    reason = StringField(_("Reason"), filters=[stripped])


class BouncedForm(SheetForm):
    """A payment that did not hold."""

    name = "bounced"
    kind = SelectField(_("What happened"), validate_choice=False, choices=lambda: [
        ("", _("Choose")), ("bounced", _("The bank gave it back")),
        ("mistake", _("It was entered by mistake")),
    ])  # fmt: skip
    on = DayField(_("Day"))
    reason = TextAreaField(
        _("Reason"), filters=[stripped], render_kw={"rows": 2},
        description=_("The builder reads it, unless it was entered by mistake."),
    )  # fmt: skip


class WriteOffForm(SheetForm):
    """What nobody will pay anymore."""

    name = "write-off"
    elsewhere: ClassVar[dict[str, str]] = {}
    amount = amount_field(_("Amount"))
    reason = TextAreaField(_("Reason"), filters=[stripped], render_kw={"rows": 2})
